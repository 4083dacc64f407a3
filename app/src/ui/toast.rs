//! A passing message, with the way to take back what it tells of.

use leptos::prelude::*;

/// What can be done about a message.
#[derive(Debug, Clone)]
pub struct ToastAct {
    /// The button's words.
    pub words: String,
    /// What the button does.
    pub act: Callback<()>,
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
                        act.act.run(());
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
    view! {
        <div class="toasts" role="status" aria-live="polite">
            <For each=move || toasts.get() key=|toast| toast.id children=one />
        </div>
    }
    .into_any()
}
