//! A row of places to go; the one shown now is marked.

use leptos::prelude::*;

/// One place to go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TabItem {
    /// Its name.
    pub name: &'static str,
    /// How many things wait there; none shows no number.
    pub count: usize,
}

/// The row. `class` says where it stands: in the top bar or at the bottom.
#[component]
pub fn TabBar(
    /// The places.
    #[prop(into)]
    items: Signal<Vec<TabItem>>,
    /// The place in the row, from 0, of the one shown now.
    #[prop(into)]
    at: Signal<usize>,
    /// Called with the place of the one chosen.
    go: Callback<usize>,
    /// Where the row stands.
    class: &'static str,
    /// What the row is called for readers.
    label: &'static str,
) -> impl IntoView {
    let tabs = move || {
        items
            .get()
            .into_iter()
            .enumerate()
            .map(|(place, item)| {
                let here = move || (at.get() == place).then_some("page");
                let count = (item.count > 0)
                    .then(|| view! { <span class="count num">{item.count.to_string()}</span> });
                view! {
                    <button type="button" class="tab" aria-current=here on:click=move |_| go.run(place)>
                        {item.name}
                        {count}
                    </button>
                }
                .into_any()
            })
            .collect::<Vec<AnyView>>()
    };
    view! { <nav class=class aria-label=label>{tabs}</nav> }.into_any()
}
