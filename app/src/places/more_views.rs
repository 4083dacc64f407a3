//! The views that the short row of tabs leaves out.

use leptos::prelude::*;

use super::words::job as words;
use crate::store::{Store, Tab};
use crate::ui::Sheet;

/// The sheet with them.
#[component]
pub(crate) fn MoreViews(
    /// The store.
    store: Store,
    /// Whether it shows.
    open: RwSignal<bool>,
) -> impl IntoView {
    let close = Callback::new(move |()| open.set(false));
    view! {
        <Sheet open close title=words::MORE_VIEWS.said()>
            {rows(store, open)}
        </Sheet>
    }
    .into_any()
}

fn rows(store: Store, open: RwSignal<bool>) -> AnyView {
    let rows: Vec<AnyView> = Tab::ALL
        .into_iter()
        .filter(|tab| !Tab::FIRST.contains(tab))
        .map(|to| {
            let waiting = store.waiting(to);
            let waiting = (waiting > 0)
                .then(|| view! { <span class="tag num">{waiting.to_string()}</span> }.into_any());
            let go = move |_| {
                open.set(false);
                store.session.tab.set(to);
            };
            let here = (store.session.tab.get_untracked() == to).then_some("true");
            view! {
                <li>
                    <button type="button" class="row" aria-current=here on:click=go>
                        <span class="grow">{words::tab(to)}</span>
                        {waiting}
                    </button>
                </li>
            }
            .into_any()
        })
        .collect();
    view! { <ul class="rows">{rows}</ul> }.into_any()
}
