//! From an open page to the whole map of an own engine, as a person gets there with few clicks.

use std::time::Duration;

use thirtyfour::prelude::*;

use super::Page;

/// Counts what a person does in every page to come: each press of a pointer, each key.
const COUNT: &str = "
globalThis.pressed = { pointer: 0, keys: 0 };
addEventListener('pointerdown', e => { if (e.isTrusted) pressed.pointer += 1 }, true);
addEventListener('keydown', e => { if (e.isTrusted) pressed.keys += 1 }, true);";

/// What it took.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Clicks or taps, as the page itself counted them.
    pub clicks: u64,
    /// Keys.
    pub keys: u64,
}

/// Opens the page and goes to the map of a V8 whose cylinders 1 and 6 are dead, with the mouse or
/// the finger alone; everything else stays as it is proposed.
///
/// # Panics
/// When the page does not do what it is asked.
pub async fn draw_v8_with_two_dead(page: &Page) -> Effort {
    page.beforehand(COUNT).await;
    page.open("").await;
    for path in [
        "//button[normalize-space()='My engine']",
        "//fieldset[legend='How many cylinders?']//label[normalize-space()='8']",
        "//fieldset[legend='Which cylinders are dead?']//button[@aria-label='Cylinder 1 is dead']",
        "//fieldset[legend='Which cylinders are dead?']//button[@aria-label='Cylinder 6 is dead']",
        "//button[normalize-space()='Draw the map']",
    ] {
        let query = page.driver().query(By::XPath(path)).and_displayed();
        let element = query
            .wait(Duration::from_secs(20), Duration::from_millis(50))
            .first()
            .await
            .unwrap_or_else(|error| panic!("{path}: {error}"));
        let _ = element.scroll_into_view().await;
        element
            .click()
            .await
            .unwrap_or_else(|error| panic!("click on {path}: {error}"));
    }
    page.until(
        "the map to be painted",
        "return performance.getEntriesByName('first-map').length > 0",
    )
    .await;
    effort(page).await
}

/// What was done since the page was opened, where it was opened after [`draw_v8_with_two_dead`]
/// began to count.
pub async fn effort(page: &Page) -> Effort {
    let pressed = page.evaluate("return pressed").await;
    let count = |name: &str| pressed[name].as_u64().unwrap_or(u64::MAX);
    Effort {
        clicks: count("pointer"),
        keys: count("keys"),
    }
}
