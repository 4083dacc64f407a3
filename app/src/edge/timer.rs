//! Work put off to later on the same page.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::time::Duration;

use js_sys::{Function, Promise};
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::set_timeout_with_handle;
use wasm_bindgen::JsCast;
use wasm_bindgen::JsValue;
use wasm_bindgen::closure::Closure;
use wasm_bindgen_futures::JsFuture;
use web_sys::{MessageChannel, MessagePort};

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
///
/// A message to the page itself: a timer that follows a timer waits for 4 ms first, in all browsers (HTML
/// standard, timers, step "nesting level greater than 5").
pub fn soon(work: impl FnOnce() + 'static) {
    let work: Work = Box::new(work);
    let rest = LETTERS.with(|letters| match letters {
        Some(letters) => letters.send(work),
        None => Some(work),
    });
    if let Some(work) = rest {
        let _ = after(0, work);
    }
}

/// Waits until the page has drawn breath.
pub async fn breath() {
    let drawn = Promise::new(&mut |done: Function, _: Function| {
        soon(move || {
            let _ = done.call0(&JsValue::NULL);
        });
    });
    // It is never refused.
    let _ = JsFuture::from(drawn).await;
}

type Work = Box<dyn FnOnce()>;

thread_local! {
    static LETTERS: Option<Letters> = Letters::new();
    /// What was sent and not yet received, oldest first.
    static SENT: RefCell<VecDeque<Work>> = const { RefCell::new(VecDeque::new()) };
}

/// A line on which the page sends messages to itself.
struct Letters {
    to: MessagePort,
    /// The end that hears; the line is cut when it goes.
    _from: MessagePort,
    _heard: Closure<dyn FnMut()>,
}

impl Letters {
    fn new() -> Option<Self> {
        let line = MessageChannel::new().ok()?;
        let heard = Closure::<dyn FnMut()>::new(|| {
            let work = SENT.with(|sent| sent.borrow_mut().pop_front());
            if let Some(work) = work {
                work();
            }
        });
        let from = line.port1();
        from.set_onmessage(Some(heard.as_ref().unchecked_ref()));
        Some(Self {
            to: line.port2(),
            _from: from,
            _heard: heard,
        })
    }

    /// Sends work to be done when it is received; gives it back where that cannot be.
    fn send(&self, work: Work) -> Option<Work> {
        SENT.with(|sent| sent.borrow_mut().push_back(work));
        if self.to.post_message(&JsValue::NULL).is_ok() {
            None
        } else {
            SENT.with(|sent| sent.borrow_mut().pop_back())
        }
    }
}
