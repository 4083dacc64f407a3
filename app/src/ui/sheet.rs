//! A sheet over the page: it holds the keyboard until it is closed, and closes on Esc.

use leptos::html;
use leptos::prelude::*;

use crate::edge::dialog;

/// The sheet. What is inside is made anew each time that it opens.
#[component]
pub fn Sheet(
    /// Whether it shows.
    #[prop(into)]
    open: Signal<bool>,
    /// Called when the person closes it.
    close: Callback<()>,
    /// Its heading.
    #[prop(into)]
    title: Signal<String>,
    /// What is inside.
    children: ChildrenFn,
) -> impl IntoView {
    let node = NodeRef::<html::Dialog>::new();
    Effect::new(move |_| {
        if let Some(sheet) = node.get() {
            if open.get() {
                dialog::show(&sheet);
            } else {
                dialog::close(&sheet);
            }
        }
    });
    let body = move || open.get().then(|| children());
    view! {
        <dialog
            node_ref=node
            class="sheet"
            aria-label=move || title.get()
            on:close=move |_| close.run(())
        >
            <div class="sheet-body">
                <h2>{move || title.get()}</h2>
                {body}
            </div>
        </dialog>
    }
    .into_any()
}

/// The row of buttons at a sheet's foot.
#[component]
pub fn SheetActs(
    /// The buttons.
    children: Children,
) -> impl IntoView {
    view! { <div class="sheet-acts">{children()}</div> }.into_any()
}
