//! A person whose browser speaks German reads German, and may turn to English and back.

use serde_json::json;
use sparktrail_tests::browser::tour::view;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

/// The browser's languages, as the page sees them.
const GERMAN: &str =
    "Object.defineProperty(navigator, 'languages', { get: () => ['de-DE', 'de'] });
     Object.defineProperty(navigator, 'language', { get: () => 'de-DE' });";

#[test]
fn who_turns_to_english_and_back_keeps_the_maps() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.beforehand(GERMAN).await;
        page.open("").await;
        assert_eq!(
            heading(page).await,
            "Zwei Zylinder tot. Welcher eine Fehler erklärt das?"
        );
        page.click("[data-example=red-twin]").await;
        page.find(".map-canvas .item").await;
        view(page, "Befunde").await;
        page.find(".found").await;
        page.click("[aria-label='Name, Geschichte, Datei']").await;
        page.fill("dialog[open] input", "Meine zwei").await;
        page.click("dialog[open] [type=submit]").await;
        page.click("[aria-label='Name, Geschichte, Datei']").await;
        page.click("dialog[open] [data-language=en]").await;
        page.until("English", "return document.documentElement.lang === 'en'")
            .await;
        page.until(
            "the heading",
            "return document.querySelector('h1')?.textContent.startsWith('Two cylinders dead')",
        )
        .await;
        page.until("the map", &listed("Meine zwei")).await;
        page.click("[data-language=de]").await;
        page.until(
            "the heading",
            "return document.querySelector('h1')?.textContent.startsWith('Zwei Zylinder tot')",
        )
        .await;
        page.until("the map", &listed("Meine zwei")).await;
    });
}

/// Without its words the page speaks English and does everything.
#[test]
fn a_table_that_does_not_come_does_no_harm() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.beforehand(GERMAN).await;
        page.beforehand(
            "const fetched = globalThis.fetch;
             globalThis.fetch = (what, how) => String(what).includes('words/')
               ? Promise.reject(new TypeError('no network')) : fetched(what, how);",
        )
        .await;
        page.open("").await;
        assert_eq!(
            heading(page).await,
            "Two cylinders dead. Which one fault explains it?"
        );
        assert_eq!(
            page.evaluate("return document.documentElement.lang").await,
            "en"
        );
    });
}

async fn heading(page: &Page) -> String {
    page.text("h1").await
}

fn listed(title: &str) -> String {
    format!(
        "return [...document.querySelectorAll('.projects .row')].some(row => row.textContent.includes({}))",
        json!(title)
    )
}
