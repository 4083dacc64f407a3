//! Starts Sparktrail in the browser.

fn main() {
    leptos::mount::mount_to_body(sparktrail::App);
}
