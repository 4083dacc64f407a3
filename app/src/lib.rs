//! Sparktrail in the browser: draws the map and runs the job.

pub mod edge;

use leptos::prelude::*;

/// The whole page.
#[component]
pub fn App() -> impl IntoView {
    view! { <p>"Sparktrail"</p> }
}
