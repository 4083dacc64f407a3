//! Sparktrail's front end: draws the map and runs the job in the browser.

use leptos::prelude::*;

/// The whole page.
#[component]
pub fn App() -> impl IntoView {
    view! { <p>"Sparktrail"</p> }
}
