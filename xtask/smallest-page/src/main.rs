//! The smallest Leptos page: one paragraph. Sparktrail's size and start are measured beside it.

use leptos::prelude::*;

fn main() {
    leptos::mount::mount_to_body(|| view! { <p>"Sparktrail"</p> });
}
