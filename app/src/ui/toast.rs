//! A passing message, with the way to take back what it tells of.

use std::fmt;
use std::sync::Arc;

use leptos::prelude::*;

/// What can be done about a message.
///
/// It holds what it does by itself, not as a `Callback`: a message outlives the piece of the page
/// that made it.
#[derive(Clone)]
pub struct ToastAct {
    /// The button's words.
    pub words: String,
    act: Arc<dyn Fn() + Send + Sync>,
    /// Whether it still does what its message says; tracked.
    is_due: Arc<dyn Fn() -> bool + Send + Sync>,
}

impl ToastAct {
    /// A button that says `words` and does `act`.
    pub fn new(words: impl Into<String>, act: impl Fn() + Send + Sync + 'static) -> Self {
        Self {
            words: words.into(),
            act: Arc::new(act),
            is_due: Arc::new(|| true),
        }
    }

    /// The same for as long as `is_due` holds: the message goes with it.
    #[must_use]
    pub fn only_while(self, is_due: impl Fn() -> bool + Send + Sync + 'static) -> Self {
        Self {
            is_due: Arc::new(is_due),
            ..self
        }
    }
}

impl fmt::Debug for ToastAct {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("ToastAct").field(&self.words).finish()
    }
}

/// A passing message.
#[derive(Debug, Clone)]
pub struct Toast {
    /// Tells messages apart.
    pub id: u32,
    /// What happened.
    pub words: String,
    /// What can be done about it.
    pub act: Option<ToastAct>,
}

/// The messages that are showing now, the newest last.
#[component]
pub fn Toasts(
    /// The messages.
    #[prop(into)]
    toasts: Signal<Vec<Toast>>,
    /// Called with the message to put away.
    away: Callback<u32>,
    /// The word for putting a message away.
    close: &'static str,
) -> impl IntoView {
    let one = move |toast: Toast| {
        let id = toast.id;
        let act = toast.act.map(|act| {
            view! {
                <button
                    type="button"
                    class="button"
                    on:click=move |_| {
                        (act.act)();
                        away.run(id);
                    }
                >
                    {act.words}
                </button>
            }
        });
        let close = act.is_none().then(|| {
            view! {
                <button type="button" class="button" on:click=move |_| away.run(id)>
                    {close}
                </button>
            }
        });
        view! {
            <div class="toast">
                <p>{toast.words}</p>
                {act}
                {close}
            </div>
        }
        .into_any()
    };
    let due = move || {
        let mut toasts = toasts.get();
        toasts.retain(|toast| toast.act.as_ref().is_none_or(|act| (act.is_due)()));
        toasts
    };
    view! {
        <div class="toasts" role="status" aria-live="polite">
            <For each=due key=|toast| toast.id children=one />
        </div>
    }
    .into_any()
}
