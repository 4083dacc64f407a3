//! Wires led elsewhere and spliced, the engine corrected, clashes settled in the table, the table as a file.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use serde_json::json;
use sparktrail_core::drawing::{Drawing, Pick, Point, Proportions};
use sparktrail_core::edit::layouts::write_angles;
use sparktrail_core::edit::{Command, FactAt, FactValue, apply};
use sparktrail_core::engine::Firing;
use sparktrail_core::model::{Colour, Harness, PartKind, Port, WireColour, WireEnd, WireId, file};
use sparktrail_core::provenance::{Fact, Provenance};
use sparktrail_core::table::{Names, Pasted, Row, Scope, rows};
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;
use thirtyfour::Key;

use super::editor::{at, command, drag, kept, on_screen, open, press, same, stands, twin};
use super::ground::{arrived, download_into, empty_directory};

/// A place on the paper of a wire that nothing else covers: the middle of its longest stretch.
fn middle(harness: &Harness, wire: WireId) -> Point {
    let drawing = Drawing::proportioned(harness, Proportions::Wide);
    let run = drawing.runs.iter().find(|run| run.pick == Pick::Wire(wire));
    let stretches = run.unwrap().points.windows(2);
    let longest = stretches.max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])));
    let [a, b] = longest.unwrap() else {
        panic!("a stretch has two ends")
    };
    Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y))
}

/// Where the end of a wire is drawn: the end of its run that is nearer to its terminal.
fn end_of(harness: &Harness, wire: WireId, end: WireEnd) -> Point {
    let drawing = Drawing::proportioned(harness, Proportions::Wide);
    let terminal = harness.wires[&wire].end(end).unwrap().value;
    let place = drawing.place_of(Pick::Terminal(terminal));
    let place = place.or_else(|| drawing.place_of(Pick::Part(terminal.part)));
    let place = place.unwrap().centre();
    let run = drawing.runs.iter().find(|run| run.pick == Pick::Wire(wire));
    let points = &run.unwrap().points;
    let ends = [*points.first().unwrap(), *points.last().unwrap()];
    let nearer = |a: &Point, b: &Point| a.distance(place).total_cmp(&b.distance(place));
    ends.into_iter().min_by(nearer).unwrap()
}

async fn tap(page: &Page, at: (i64, i64)) {
    let chain = page.driver().action_chain().move_to(at.0, at.1).click();
    chain.perform().await.unwrap();
}

#[test]
fn a_wires_end_is_dragged_to_another_terminal_and_onto_a_wire() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let harness = twin();
        open(page, &harness, "wiring-ends").await;
        page.click("[aria-label='Edit the map']").await;
        page.says("onto a wire makes a splice").await;

        // Chosen, a wire shows its two ends; the one at the fuse goes to the key.
        let fuse = at(&harness, "Ignition fuse", Port::In);
        let key = at(&harness, "Ignition key", Port::In);
        let feeds = |wire: &sparktrail_core::model::Wire| wire.to.map(|fact| fact.value);
        let found = harness.wires.iter().find(|(_, w)| feeds(w) == Some(fuse));
        let wire = *found.unwrap().0;
        tap(page, on_screen(page, middle(&harness, wire)).await).await;
        page.find(".wire-end").await;
        let from = on_screen(page, end_of(&harness, wire, WireEnd::To)).await;
        let to = stands(page, &harness, Pick::Terminal(key)).await;
        drag(page, from, to).await;
        let led = kept(page, "the wire to end at the key", |h| {
            h.wires.get(&wire).and_then(feeds) == Some(key)
        })
        .await;
        assert_eq!(led.wires.len(), harness.wires.len());
        page.picture("wiring-led").await;

        // Let go on the wire to the coil, it is joined there by a splice.
        let coil = at(&led, "Coil", Port::Switched);
        let found = led.wires.iter().find(|(_, w)| feeds(w) == Some(coil));
        let onto = *found.unwrap().0;
        let from = on_screen(page, end_of(&led, wire, WireEnd::To)).await;
        let to = on_screen(page, middle(&led, onto)).await;
        drag(page, from, to).await;
        let spliced = kept(page, "a splice", |h| h.parts.len() > led.parts.len()).await;
        let (&splice, new) = spliced.parts.last_key_value().unwrap();
        assert!(matches!(new.kind, PartKind::Splice));
        assert_eq!(spliced.wires.len(), led.wires.len() + 1);
        for joined in [wire, onto] {
            assert_eq!(feeds(&spliced.wires[&joined]).map(|t| t.part), Some(splice));
        }
        let (_, far) = spliced.wires.last_key_value().unwrap();
        assert_eq!(feeds(far), Some(coil));
        page.picture("wiring-spliced").await;

        page.evaluate("document.activeElement.blur(); return true")
            .await;
        for _ in 0..2 {
            command(page, 'z').await;
        }
        kept(page, "everything to be as it was", |h| same(h, &harness)).await;
    });
}

#[test]
fn a_splice_is_put_in_from_the_panel_and_an_injector_added_with_a_finger() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        let harness = twin();
        open(page, &harness, "wiring-touch").await;
        page.click("[aria-label='Edit the map']").await;
        page.click_text("Wires").await;
        page.click("details[open] .rows li:first-child button")
            .await;
        page.click_text("Put a splice in").await;
        let spliced = kept(page, "a splice", |h| h.parts.len() > harness.parts.len()).await;
        assert_eq!(spliced.wires.len(), harness.wires.len() + 1);
        page.click("[aria-label='Add a part']").await;
        page.click_text("Injector").await;
        let more = kept(page, "an injector", |h| h.parts.len() > spliced.parts.len()).await;
        let (_, new) = more.parts.last_key_value().unwrap();
        assert!(matches!(new.kind, PartKind::Injector(_)));
        page.picture("wiring-injector").await;
        for _ in 0..2 {
            page.click("[aria-label^='Undo']").await;
        }
        kept(page, "everything to be as it was", |h| same(h, &harness)).await;
    });
}

const ORDER: &str = ".edit-engine input[aria-label='Firing order']";
const ANGLES: &str = ".edit-engine input[aria-label^='Crank angle']";

/// Types over a field of the panel and leaves it.
async fn fill(page: &Page, css: &str, text: &str) {
    page.click(css).await;
    command(page, 'a').await;
    page.press(text).await;
    press(page, Key::Tab).await;
}

#[test]
fn the_firing_order_and_the_crank_angles_are_corrected_and_the_check_answers() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let text = std::fs::read_to_string(place::sample("black-coupe")).unwrap();
        let harness = file::read(&text).unwrap();
        open(page, &harness, "wiring-engine").await;
        page.click("[aria-label='Edit the map']").await;
        page.find(ORDER).await;
        page.says("1 and 4, 2 and 5, 3 and 6").await;
        page.says("The check finds nothing against it.").await;

        // What is no order is told and changes nothing.
        fill(page, ORDER, "1-2-3-4-5").await;
        page.says("Not in it yet").await;
        fill(page, ORDER, "1-2-3-4-5-9").await;
        page.says("The engine has no cylinder 9").await;

        // Another order parts the companions, and the check names the coils.
        fill(page, ORDER, "1 4 2 3 5 6").await;
        kept(page, "the order", |h| {
            h.engine
                .order
                .value
                .iter()
                .map(|c| c.0)
                .eq([1, 4, 2, 3, 5, 6])
        })
        .await;
        page.says("1 and 3, 2 and 6, 4 and 5").await;
        page.find(".wrongs li").await;
        // The diagram said another one: it is kept beside, and settles it.
        page.says("also said").await;
        page.picture("wiring-engine").await;
        page.click_text("Go by this").await;
        page.says("The check finds nothing against it.").await;

        // Unevenly: no two pistons are at the top together any more.
        page.click(".edit-engine select option:nth-child(2)").await;
        page.says("none: no two pistons are at the top together")
            .await;
        fill(page, ANGLES, "0-90-240-330-480").await;
        page.says("There are 5 angles for 6 cylinders").await;
        fill(page, ANGLES, "0-60-240-300-480-540").await;
        kept(page, "the angles", |h| match &h.engine.firing.value {
            Firing::Even => false,
            Firing::At(angles) => write_angles(angles) == "0-60-240-300-480-540",
        })
        .await;
        for _ in 0..4 {
            page.evaluate("document.activeElement.blur(); return true")
                .await;
            command(page, 'z').await;
        }
        kept(page, "everything to be as it was", |h| same(h, &harness)).await;
    });
}

#[test]
fn a_clash_is_marked_in_its_cell_and_settled_from_there() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let harness = twin();
        let wire = *harness.wires.keys().next().unwrap();
        let colour = |base| FactValue::Colour(WireColour { base, tracer: None });
        let at = FactAt::WireColour(wire);
        let fact = Some(Fact::diagram(colour(Colour::Brown)));
        let clash = apply(&harness, &Command::SetFact { at, fact }).unwrap();
        assert_eq!(clash.rivals.len(), 1);
        open(page, &clash, "wiring-clash").await;
        page.click(".stage > .forms button:nth-child(2)").await;
        page.find("#pin-grid td[data-clash]").await;
        assert_eq!(page.count("#pin-grid td[data-clash]").await, 1);
        page.click("#pin-grid td[data-clash='true'][data-column='colour']")
            .await;
        page.says("also said").await;
        page.picture("wiring-clash").await;
        page.click_text("Go by this").await;
        let settled = kept(page, "the clash to be settled", |h| h.rivals.is_empty()).await;
        let held = settled.fact(at).unwrap();
        assert_eq!(
            (held.value, held.how),
            (colour(Colour::Brown), Provenance::Diagram)
        );
        page.until(
            "the mark to go",
            "return !document.querySelector('#pin-grid td[data-clash]')",
        )
        .await;
    });
}

#[test]
fn the_table_is_saved_as_a_file_that_reads_back() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let mut harness = twin();
        let unit = harness.parts.values_mut().next().unwrap();
        unit.name = "=cmd|' /C calc'!A0".into();
        open(page, &harness, "wiring-file").await;
        page.click(".stage > .forms button:nth-child(2)").await;
        page.find("#pin-grid tbody td").await;
        let directory = empty_directory("wiring-file");
        download_into(page, &directory).await;
        page.click_text("Save as .csv").await;
        let whole = |text: &str| text.ends_with("\r\n").then(|| text.to_owned());
        let (_, text) = arrived(&directory, "csv", whole).await;
        assert!(text.contains("'=cmd"), "{text}");
        let names = Names::of(&harness);
        let written: Vec<Row> = rows(&harness, &names, Scope::All)
            .into_iter()
            .map(|placed| placed.row)
            .collect();
        let read = Pasted::guessed(&text, &names).unwrap().read().unwrap();
        let read: Vec<Row> = read.into_iter().map(|read| read.row.unwrap()).collect();
        assert_eq!(read, written);
    });
}

#[test]
fn every_view_has_its_tab_in_the_window_at_every_width() {
    for screen in [Screen::Desktop, Screen::Laptop, Screen::Small] {
        visit(screen, Scheme::Light, async |page| {
            page.open("").await;
            page.click_text("Black coupé").await;
            page.find(".map-canvas").await;
            page.find("[aria-label='Edit the map']").await;
            let outside = page
                .evaluate_with(
                    "const row = [...document.querySelectorAll('.top .tab, .top h1, .top .saved, .top button')]
                       .map(e => [e.getBoundingClientRect(), e.textContent])
                       .filter(([box]) => box.width > 0);
                     const out = row.filter(([box]) => box.left < 0 || box.right > innerWidth || box.width < 12);
                     const over = row.filter(([a], i) => row.some(([b], j) => j > i
                       && a.left + 1 < b.right && b.left + 1 < a.right
                       && a.top + 1 < b.bottom && b.top + 1 < a.bottom));
                     return [...out, ...over].map(([, text]) => text)
                       .concat(document.documentElement.scrollWidth > innerWidth ? ['the page scrolls'] : [])",
                    vec![json!(0)],
                )
                .await;
            assert_eq!(outside, json!([]), "{screen:?}");
            page.picture("tabs").await;
        });
    }
}
