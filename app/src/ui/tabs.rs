//! A row of places to go; the one shown now is marked.

use leptos::prelude::*;

/// One place to go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TabItem<T> {
    /// What it leads to.
    pub to: T,
    /// Its name.
    pub name: &'static str,
    /// How many things wait there; none shows no number.
    pub count: usize,
}

/// The row. `class` says where it stands: in the top bar or at the bottom.
#[component]
pub fn TabBar<T>(
    /// The places.
    #[prop(into)]
    items: Signal<Vec<TabItem<T>>>,
    /// The one shown now.
    #[prop(into)]
    at: Signal<T>,
    /// Called with the one chosen.
    go: Callback<T>,
    /// Where the row stands.
    class: &'static str,
    /// What the row is called for readers.
    label: &'static str,
) -> impl IntoView
where
    T: Copy + PartialEq + Send + Sync + 'static,
{
    let tabs = move || {
        items
            .get()
            .into_iter()
            .map(|item| {
                let here = move || (at.get() == item.to).then_some("page");
                let count = (item.count > 0)
                    .then(|| view! { <span class="count num">{item.count.to_string()}</span> });
                view! {
                    <button type="button" class="tab" aria-current=here on:click=move |_| go.run(item.to)>
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
