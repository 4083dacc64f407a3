//! The cycle's place: dials by hand and by key, the crank by key, a fault shown, numbers as the core has them.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use serde_json::json;
use sparktrail_core::cycle::{Cycle, Dials, FigureKind};
use sparktrail_core::model::{Harness, file};
use sparktrail_core::units::Seconds;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;
use thirtyfour::Key;

const PEAK: &str = "[data-figure='Peak'] strong";
const ANGLE: &str = ".crank-angle";
const CRANK: &str = ".crank .slide";

fn v6() -> Harness {
    let text = std::fs::read_to_string(place::sample("black-coupe")).unwrap();
    file::read(&text).unwrap()
}

/// The current when the first coil lets go, as the page writes it.
fn peak(turn: impl FnOnce(&mut Dials)) -> String {
    let harness = v6();
    let mut dials = Dials::of(&harness);
    turn(&mut dials);
    let cycle = Cycle::of(&harness, &dials, None);
    let figures = cycle.figures(&cycle.coils[0]);
    let peak = figures.iter().find(|f| f.kind == FigureKind::Peak).unwrap();
    format!("{:.2} A", peak.value.unwrap())
}

async fn open_cycle(page: &Page) {
    page.open("").await;
    page.click_text("Black coupé").await;
    page.find(".map-canvas").await;
    let tab = "[...document.querySelectorAll('.tabs .tab')].find(t => t.textContent === 'Cycle')";
    page.until("the tab", &format!("return !!{tab}")).await;
    page.evaluate(&format!("{tab}.click()")).await;
    page.find(".score .stave").await;
}

async fn reads(page: &Page, place: &str, expected: &str) {
    let script = format!(
        "return document.querySelector({})?.textContent === {}",
        json!(place),
        json!(expected)
    );
    page.until(&format!("{place} to read {expected}"), &script)
        .await;
}

async fn focus(page: &Page, place: &str) {
    let script = format!("document.querySelector({}).focus()", json!(place));
    page.evaluate(&script).await;
}

async fn press(page: &Page, key: Key) {
    page.press(key.value().to_string()).await;
}

#[test]
fn play_step_and_scrub_by_key() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_cycle(page).await;
        focus(page, CRANK).await;
        press(page, Key::Right).await;
        reads(page, ANGLE, "1°").await;
        press(page, Key::Left).await;
        reads(page, ANGLE, "0°").await;
        // To the next event and on to the spark: on a V6 with three coils every 120 degrees.
        press(page, Key::PageUp).await;
        press(page, Key::PageUp).await;
        reads(page, ANGLE, "120°").await;
        // The way of its current shines, nothing else.
        page.until(
            "the way on the map",
            "return document.querySelectorAll('.map [data-light=\"own\"]').length > 3",
        )
        .await;
        press(page, Key::PageDown).await;
        page.until(
            "a step back",
            &format!("return parseInt(document.querySelector('{ANGLE}').textContent) < 120"),
        )
        .await;
        press(page, Key::End).await;
        reads(page, ANGLE, "720°").await;
        press(page, Key::Home).await;
        reads(page, ANGLE, "0°").await;
        // It plays from event to event, since motion is not wanted here, and stands again.
        page.press(" ").await;
        reads(page, "[data-act='play']", "Pause").await;
        page.until(
            "the crank to turn",
            &format!("return parseInt(document.querySelector('{ANGLE}').textContent) > 0"),
        )
        .await;
        page.press(" ").await;
        reads(page, "[data-act='play']", "Play").await;
    });
}

#[test]
fn the_score_is_scrubbed_by_pointer() {
    visit(Screen::Desktop, Scheme::Dark, async |page| {
        open_cycle(page).await;
        page.drag(".score .cursor .knob", (120, 10)).await;
        page.until(
            "the crank to follow",
            &format!("return parseInt(document.querySelector('{ANGLE}').textContent) > 150"),
        )
        .await;
    });
}

#[test]
fn dials_change_the_numbers() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_cycle(page).await;
        reads(page, PEAK, &peak(|_| ())).await;
        focus(page, "[data-dial='dwell'] .slide").await;
        for _ in 0..5 {
            press(page, Key::Left).await;
        }
        let shorter = peak(|dials| dials.dwell = Seconds::lit(0.0025));
        reads(page, PEAK, &shorter).await;
        page.fill("[data-dial='supply'] input[type='number']", "10")
            .await;
        press(page, Key::Tab).await;
        let both = peak(|dials| {
            dials.dwell = Seconds::lit(0.0025);
            dials.supply = sparktrail_core::units::Volts::lit(10.0);
        });
        reads(page, PEAK, &both).await;
        page.click_text("Dials back as the map has them").await;
        reads(page, PEAK, &peak(|_| ())).await;
        // The formula and its source, one tap away.
        page.click("[data-figure='Peak'] summary").await;
        page.says("I = V/R").await;
        page.says("Source:").await;
        page.picture("cycle-numbers").await;
    });
}

#[test]
fn a_fault_on_the_map_shows_in_the_cycle() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_cycle(page).await;
        let crosses =
            "return document.querySelectorAll('.score .spark-mark[data-state=\"no\"]').length";
        assert_eq!(page.evaluate(crosses).await, json!(0));
        page.click_text("Choose what to break").await;
        let coil =
            "[...document.querySelectorAll('.side .row')].find(r => /Coil A/.test(r.textContent))";
        page.until("the list", &format!("return !!{coil}")).await;
        page.evaluate(&format!("{coil}.click()")).await;
        let open = "[...document.querySelectorAll('.side details')].find(d => /primary/i.test(d.textContent))\
                    ?.querySelector('button.way')";
        page.until("the ways", &format!("return !!{open}")).await;
        page.evaluate(&format!("{open}.click()")).await;
        let tab = "[...document.querySelectorAll('.tabs .tab')].find(t => t.textContent === 'Cycle').click()";
        page.evaluate(tab).await;
        page.find("[data-card='broken']").await;
        page.until("four sparks to vanish", &format!("{crosses} === 4"))
            .await;
        page.says("no current").await;
        page.picture("cycle-fault").await;
    });
}

#[test]
fn pictures_of_the_cycle() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        open_cycle(page).await;
        page.evaluate("document.querySelector('.side').scrollTop = 150")
            .await;
        page.picture("cycle").await;
        page.look(Screen::Desktop, Scheme::Light).await;
        page.picture("cycle").await;
    });
}
