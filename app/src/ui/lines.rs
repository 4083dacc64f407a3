//! Lines that stay on the page while what they say changes.

use std::sync::Arc;

use leptos::prelude::*;

/// As many lines as there are, each made once for its place, from 0: what it says follows signals of its own, so that
/// another list writes anew only what differs, and leaves the keyboard where it is.
pub fn by_place(
    many: Signal<usize>,
    one: impl Fn(usize) -> AnyView + Send + Sync + 'static,
) -> AnyView {
    // One copy of the code behind it for all lists.
    let one: Arc<dyn Fn(usize) -> AnyView + Send + Sync> = Arc::new(one);
    let each = move || 0..many.get();
    view! { <For each key=|place| *place children=move |place| one(place) /> }.into_any()
}
