//! Sparktrail in the browser: draws the map and runs the job.

#![allow(
    unreachable_pub,
    reason = "the component macro makes what it writes public, whatever the component is"
)]

mod app;
pub mod canvas;
pub mod edge;
mod later;
mod places;
pub mod store;
pub mod text;
mod ui;
mod workshop;

use sparktrail_core::said;

pub use app::App;

/// Fills the page and goes to work.
pub fn run() {
    edge::rescue::hold_panics();
    edge::language::hear(|words| {
        if !words.is_empty() {
            // The page speaks one language as long as it stands.
            said::speak(Some(Box::leak(Box::new(said::Table::of(words)))));
        }
        if let Some(place) = edge::page::mount_point() {
            leptos::mount::mount_to(place, App).forget();
            edge::early::tell(edge::early::Stands::Start);
        }
    });
}
