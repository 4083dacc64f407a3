//! Work put off to later on the same page.

use std::time::Duration;

use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::set_timeout_with_handle;

/// Work that waits; dropping this lets it run, [`Waiting::cancel`] does not.
#[derive(Debug)]
pub struct Waiting(Option<TimeoutHandle>);

impl Waiting {
    /// Gives the work up.
    pub fn cancel(self) {
        if let Some(handle) = self.0 {
            handle.clear();
        }
    }
}

/// Runs `work` once after `ms` milliseconds, unless cancelled.
pub fn after(ms: u64, work: impl FnOnce() + 'static) -> Waiting {
    Waiting(set_timeout_with_handle(work, Duration::from_millis(ms)).ok())
}

/// Runs `work` as soon as the page has drawn breath.
pub fn soon(work: impl FnOnce() + 'static) {
    let _ = after(0, work);
}
