//! Practice in the browser: a whole case from the first screen to the truth, a link, a lesson.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use serde_json::json;
use sparktrail_core::isolation::Unit;
use sparktrail_core::model::{Harness, file};
use sparktrail_core::practice::{Bench, Level, MARK, Ticket};
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;

fn harness() -> Harness {
    let text = std::fs::read_to_string(place::sample("blue-estate")).unwrap();
    file::read(&text).unwrap()
}

fn ticket() -> Ticket {
    Ticket {
        engine: "blue-estate".into(),
        level: Level::Single,
        seed: 7,
    }
}

/// What is hidden in the case of the ticket: the place of its unit of repair among all.
fn culprit() -> usize {
    let bench = Bench::of(&harness(), ticket()).unwrap();
    let unit: Unit = bench.truth().faults[0].1;
    let units = bench.case().units();
    units.iter().position(|known| *known == unit).unwrap()
}

async fn ready(page: &Page) {
    page.find("[data-card='culprit']").await;
}

async fn press(page: &Page, button: &str) {
    let script = format!("document.querySelector({}).click()", json!(button));
    page.until(
        button,
        &format!("return !!document.querySelector({})", json!(button)),
    )
    .await;
    page.evaluate(&script).await;
}

/// The owner's maps as this device keeps them, letter by letter.
async fn kept(page: &Page) -> serde_json::Value {
    let all = "return JSON.stringify(Object.entries(localStorage).filter(([k]) => /map|projects/.test(k)).sort())";
    page.evaluate(all).await
}

#[test]
fn a_whole_case() {
    let number = culprit();
    visit(Screen::Desktop, Scheme::Light, async |page| {
        // An own map is open and kept when the link comes.
        page.open("").await;
        page.click_text("Black coupé").await;
        page.find(".map-canvas").await;
        page.says("saved").await;
        let before = kept(page).await;
        assert_ne!(before, json!("[]"));
        let link = format!(
            "location.hash = {}",
            json!(format!("{MARK}{}", ticket().write()))
        );
        page.evaluate(&link).await;
        ready(page).await;
        // A test: it costs time and is written down.
        press(page, "[data-test]").await;
        page.until(
            "one test on the record",
            "return /^1 test, /.test(document.querySelector('[data-spent]').textContent)",
        )
        .await;
        page.picture("practice-bench").await;
        // A wrong name, then the right one.
        let open = "document.querySelector('[data-card=\"culprit\"] details').open = true";
        page.evaluate(open).await;
        page.fill("[data-card='culprit'] input", "no such thing")
            .await;
        page.until(
            "an empty list",
            "return document.querySelectorAll('[data-unit]').length === 0",
        )
        .await;
        page.fill("[data-card='culprit'] input", "Battery").await;
        let wrong = format!("[data-unit]:not([data-unit='{number}'])");
        press(page, &wrong).await;
        page.says("mending that changes nothing").await;
        let bench = Bench::of(&harness(), ticket()).unwrap();
        let name = bench.case().units()[number].name(bench.harness());
        page.fill("[data-card='culprit'] input", &name).await;
        press(page, &format!("[data-unit='{number}']")).await;
        page.says("This is what was wrong").await;
        // The planner's way beside, to its end.
        page.until(
            "the planner to stop",
            "return /The planner (stopped|gave up)/.test(document.body.textContent)",
        )
        .await;
        page.says("bits to learn").await;
        page.picture("practice-truth").await;
        assert_eq!(
            kept(page).await,
            before,
            "no map of the owner's was touched"
        );
    });
}

#[test]
fn a_case_from_the_first_screen() {
    visit(Screen::Phone, Scheme::Dark, async |page| {
        page.open("").await;
        press(page, "[data-act='practice']").await;
        page.says("Find a hidden fault").await;
        page.picture("practice-choose").await;
        press(page, "[data-act='start']").await;
        ready(page).await;
        page.picture("practice-phone").await;
        press(page, "[data-act='give-up']").await;
        page.says("This is what was wrong").await;
        page.evaluate("history.back()").await;
        page.says("Look at an example").await;
    });
}

#[test]
fn a_link_that_is_none_says_why() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open(&format!("{MARK}blue-estate.easy.1")).await;
        page.says("the level in it is not known").await;
        page.says("Find a hidden fault").await;
    });
}

#[test]
fn lessons_step_by_step() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        press(page, "[data-act='practice']").await;
        press(page, "[data-lesson='2']").await;
        page.says("reads 12.").await;
        page.picture("lesson-pin").await;
        press(page, "[data-act='next']").await;
        page.says("never proves that a driver works").await;
        press(page, "[data-act='next']").await;
        // Far below its neighbours: the core's own reading.
        page.until(
            "a reading near ten volts",
            "return /reads (9|10)\\./.test(document.querySelector('.lesson-number').textContent)",
        )
        .await;
        press(page, "[data-act='next']").await;
        page.says("Voltage drop").await;
    });
}
