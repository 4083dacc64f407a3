//! The editor as a person uses it: with the mouse, with a finger, with the keyboard alone.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::time::{Duration, Instant};

use serde_json::json;
use sparktrail_core::drawing::{Drawing, Pick, Point, Proportions};
use sparktrail_core::edit::{Command, FactAt, FactValue, apply};
use sparktrail_core::model::{Harness, PartId, PartKind, Port, Terminal, WireEnd, file};
use sparktrail_core::provenance::{Fact, Provenance};
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;
use thirtyfour::Key;

const PATIENCE: Duration = Duration::from_secs(20);

pub(super) fn twin() -> Harness {
    let text = std::fs::read_to_string(place::sample("red-twin")).unwrap();
    file::read(&text).unwrap()
}

pub(super) fn part(harness: &Harness, name: &str) -> PartId {
    let found = harness.parts.iter().find(|(_, part)| part.name == name);
    *found.unwrap_or_else(|| panic!("no part {name}")).0
}

pub(super) fn at(harness: &Harness, name: &str, port: Port) -> Terminal {
    let part = part(harness, name);
    Terminal { part, port }
}

/// Hands a map to the first screen and begins to edit it.
pub(super) async fn open(page: &Page, harness: &Harness, name: &str) {
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.json"));
    std::fs::write(&path, file::write(harness)).unwrap();
    page.open("").await;
    page.upload("input[type=file]", &path).await;
    page.find(".map-canvas").await;
    page.find("[aria-label='Edit the map']").await;
}

/// The map as it is kept on the device, once it is as wanted.
pub(super) async fn kept(page: &Page, what: &str, wanted: impl Fn(&Harness) -> bool) -> Harness {
    let start = Instant::now();
    let script =
        "return Object.values(localStorage).filter(text => text.includes('sparktrail-harness'))";
    loop {
        let texts: Vec<String> = serde_json::from_value(page.evaluate(script).await).unwrap();
        let found = texts
            .iter()
            .filter_map(|text| file::read(text).ok())
            .find(&wanted);
        if let Some(found) = found {
            return found;
        }
        assert!(start.elapsed() < PATIENCE, "waited in vain for {what}");
        tokio::time::sleep(Duration::from_millis(60)).await;
    }
}

/// The same but for the numbers that were given out meanwhile.
pub(super) fn same(a: &Harness, b: &Harness) -> bool {
    let next_id = 0;
    Harness {
        next_id,
        ..a.clone()
    } == Harness {
        next_id,
        ..b.clone()
    }
}

/// Where a place of the map is in the window.
pub(super) async fn on_screen(page: &Page, at: Point) -> (i64, i64) {
    let script = "const m = document.querySelector('.map-canvas > g').getScreenCTM();
                  const p = new DOMPoint(arguments[0], arguments[1]).matrixTransform(m);
                  return [Math.round(p.x), Math.round(p.y)]";
    let found = page
        .evaluate_with(script, vec![json!(at.x), json!(at.y)])
        .await;
    serde_json::from_value(found).unwrap()
}

/// Where something stands in the window, as the core draws the map.
pub(super) async fn stands(page: &Page, harness: &Harness, pick: Pick) -> (i64, i64) {
    let drawing = Drawing::proportioned(harness, Proportions::Wide);
    let place = drawing.place_of(pick).unwrap().centre();
    on_screen(page, place).await
}

/// Drags with the mouse from one place of the window to another.
pub(super) async fn drag(page: &Page, from: (i64, i64), to: (i64, i64)) {
    let chain = page.driver().action_chain();
    let chain = chain.move_to(from.0, from.1).click_and_hold();
    let middle = (i64::midpoint(from.0, to.0), i64::midpoint(from.1, to.1));
    let chain = chain.move_to(middle.0, middle.1).move_to(to.0, to.1);
    chain.release().perform().await.unwrap();
}

pub(super) async fn press(page: &Page, key: Key) {
    page.press(key.value().to_string()).await;
}

/// Ctrl with a letter.
pub(super) async fn command(page: &Page, letter: char) {
    let chain = page.driver().action_chain().key_down(Key::Control);
    let chain = chain.send_keys(letter.to_string()).key_up(Key::Control);
    chain.perform().await.unwrap();
}

#[test]
fn parts_are_moved_joined_and_taken_away_with_the_mouse() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let harness = twin();
        open(page, &harness, "editor-mouse").await;
        page.click("[aria-label='Edit the map']").await;
        page.says("Drag a part to move it").await;

        // A part follows the hand, on the grid, and stays where it was put.
        let coil = part(&harness, "Coil");
        let from = stands(page, &harness, Pick::Part(coil)).await;
        drag(page, from, (from.0, from.1 + 90)).await;
        let moved = kept(page, "the coil to be moved", |h| {
            h.parts[&coil].drawn_at.is_some()
        })
        .await;
        let before = Drawing::of(&harness).stands[&coil];
        let after = Drawing::of(&moved).stands[&coil];
        assert!(after.y > before.y + 30.0, "{before:?} {after:?}");

        // From terminal to terminal a wire is drawn.
        let (plus, feed) = (
            at(&moved, "Battery", Port::Plus),
            at(&moved, "Coil", Port::Feed),
        );
        let from = stands(page, &moved, Pick::Terminal(plus)).await;
        let to = stands(page, &moved, Pick::Terminal(feed)).await;
        drag(page, from, to).await;
        let joined = kept(page, "a wire from the battery to the coil", |h| {
            let ends =
                |w: &sparktrail_core::model::Wire| (w.from.map(|f| f.value), w.to.map(|f| f.value));
            h.wires
                .values()
                .any(|w| ends(w) == (Some(plus), Some(feed)))
        })
        .await;
        assert_eq!(joined.wires.len(), harness.wires.len() + 1);
        page.picture("editor-joined").await;

        // The new wire is chosen; Delete takes it away.
        press(page, Key::Delete).await;
        kept(page, "the wire to go", |h| {
            h.wires.len() == harness.wires.len()
        })
        .await;

        // A copy has a name of its own.
        page.press("e").await;
        page.press("e").await;
        let at_fuse = stands(page, &moved, Pick::Part(part(&moved, "Ignition fuse"))).await;
        let chain = page.driver().action_chain();
        chain
            .move_to(at_fuse.0, at_fuse.1)
            .click()
            .perform()
            .await
            .unwrap();
        command(page, 'd').await;
        kept(page, "a second fuse", |h| {
            h.parts.values().any(|part| part.name == "Ignition fuse 2")
        })
        .await;

        // Back to the beginning, step by step.
        for _ in 0..4 {
            command(page, 'z').await;
        }
        kept(page, "everything to be as it was", |h| same(h, &harness)).await;
    });
}

#[test]
fn three_pins_are_corrected_by_keyboard_only_and_all_undone() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let harness = twin();
        open(page, &harness, "editor-keys").await;
        page.press("e").await;
        page.says("Drag a part to move it").await;

        // Tab walks the map in the order of the trail; Enter opens the box.
        let here = "const e = document.activeElement; return e.getAttribute('aria-label') ?? ''";
        let mut steps = 0;
        while page.evaluate(here).await != "Ignition box" {
            press(page, Key::Tab).await;
            steps += 1;
            assert!(steps < 150, "Tab never comes to the box");
        }
        press(page, Key::Enter).await;
        page.says("Add a pin").await;

        let unit = part(&harness, "Ignition box");
        let pins: Vec<_> = harness
            .unit(unit)
            .unwrap()
            .pins
            .iter()
            .map(|p| p.id)
            .collect();
        for (nth, pin) in pins.iter().take(3).enumerate() {
            let old = harness
                .pin(unit, *pin)
                .unwrap()
                .label
                .clone()
                .unwrap()
                .value;
            let wanted = format!("Number: pin {old}");
            let mut steps = 0;
            while page.evaluate(here).await != wanted.as_str() {
                press(page, Key::Tab).await;
                steps += 1;
                assert!(steps < 150, "Tab never comes to {wanted}");
            }
            command(page, 'a').await;
            page.press(format!("C{nth}")).await;
            press(page, Key::Tab).await;
        }
        let corrected = kept(page, "three corrected pins", |h| {
            let label = |pin| {
                h.pin(unit, pin)
                    .and_then(|p| p.label.clone())
                    .map(|l| l.value)
            };
            (0..3).all(|nth| label(pins[nth]) == Some(format!("C{nth}")))
        })
        .await;
        assert_eq!(corrected.pin(unit, pins[3]), harness.pin(unit, pins[3]));

        // Out of the fields, and back.
        press(page, Key::Escape).await;
        page.evaluate("document.activeElement.blur(); return true")
            .await;
        for _ in 0..3 {
            command(page, 'z').await;
        }
        kept(page, "all pins as they were", |h| same(h, &harness)).await;
    });
}

#[test]
fn a_part_is_added_and_connected_with_a_finger() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        let harness = twin();
        open(page, &harness, "editor-touch").await;
        page.click("[aria-label='Edit the map']").await;
        page.click("[aria-label='Add a part']").await;
        page.picture("editor-add").await;
        page.click_text("Fuse").await;
        let more = kept(page, "a new fuse", |h| {
            h.parts.len() == harness.parts.len() + 1
        })
        .await;
        let (&fuse, new) = more.parts.last_key_value().unwrap();
        assert!(matches!(new.kind, PartKind::Fuse(_)));

        // The panel tells its terminals; one is joined by choosing the other from a list.
        page.click("[aria-label='Connect Fuse · in']").await;
        page.type_into("dialog[open] input[type=search]", "battery 30")
            .await;
        page.click("dialog[open] .lookup .row").await;
        let plus = at(&harness, "Battery", Port::Plus);
        let joined = kept(page, "a wire to the battery", |h| {
            h.wires.len() == harness.wires.len() + 1
        })
        .await;
        let (&wire, known) = joined.wires.last_key_value().unwrap();
        let port = Port::In;
        assert_eq!(
            known.from.map(|f| f.value),
            Some(Terminal { part: fuse, port })
        );
        assert_eq!(known.to.map(|f| f.value), Some(plus));

        // Its far end is led elsewhere from the panel.
        page.click("[aria-label='To: Battery · 30']").await;
        page.type_into("dialog[open] input[type=search]", "key out")
            .await;
        page.click("dialog[open] .lookup .row").await;
        let out = at(&harness, "Ignition key", Port::Out);
        kept(page, "the wire to end at the key", |h| {
            h.wires
                .get(&wire)
                .and_then(|w| w.end(WireEnd::To))
                .map(|f| f.value)
                == Some(out)
        })
        .await;
        page.picture("editor-wire").await;
        for _ in 0..3 {
            page.click("[aria-label^='Undo']").await;
        }
        kept(page, "everything to be as it was", |h| same(h, &harness)).await;
    });
}

#[test]
fn what_clashes_is_shown_and_settled_and_one_tap_says_how_a_fact_is_known() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let mut harness = twin();
        let unit = part(&harness, "Ignition box");
        let pin = harness.unit(unit).unwrap().pins[0].id;
        let label = FactAt::PinLabel(unit, pin);
        let how = Provenance::Diagram;
        harness = apply(&harness, &Command::SetProvenance { at: label, how }).unwrap();
        open(page, &harness, "editor-clash").await;
        page.click("[aria-label='Edit the map']").await;

        // What is seen on the car disagrees with the diagram: both stay.
        let chain = page.driver().action_chain();
        // Near its top: its driver is in the middle.
        let drawing = Drawing::proportioned(&harness, Proportions::Wide);
        let place = drawing.place_of(Pick::Part(unit)).unwrap();
        let at_box = on_screen(page, Point::new(place.centre().x, place.y + 14.0)).await;
        chain
            .move_to(at_box.0, at_box.1)
            .click()
            .perform()
            .await
            .unwrap();
        let old = harness.pin(unit, pin).unwrap().label.clone().unwrap().value;
        page.click(&format!("[aria-label='Number: pin {old}']"))
            .await;
        command(page, 'a').await;
        page.press("9").await;
        press(page, Key::Tab).await;
        let clash = kept(page, "the clash", |h| h.rivals.len() == 1).await;
        assert_eq!(
            clash.fact(label),
            Some(Fact::measured(FactValue::Label("9".into())))
        );
        page.says("also said").await;
        page.picture("editor-clash").await;

        // Going by the diagram after all.
        page.click_text("Go by this").await;
        let settled = kept(page, "the clash to be settled", |h| h.rivals.is_empty()).await;
        assert_eq!(
            settled.fact(label),
            Some(Fact::diagram(FactValue::Label(old.clone())))
        );

        // One tap: it was seen on the car.
        page.click(&format!("[aria-label='Open Ignition box · pin {old}']"))
            .await;
        page.click("[aria-label='Number: measured']").await;
        kept(page, "the number to be measured", |h| {
            h.fact(label).map(|fact| fact.how) == Some(Provenance::Measured)
        })
        .await;
    });
}

#[test]
fn several_parts_are_framed_and_nudged_together() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let harness = twin();
        open(page, &harness, "editor-several").await;
        page.click("[aria-label='Edit the map']").await;

        // A frame around battery and fuse, drawn with Shift held.
        let drawing = Drawing::proportioned(&harness, Proportions::Wide);
        let rail = ["Battery", "Ignition fuse"].map(|name| part(&harness, name));
        let places = rail.map(|part| drawing.stands[&part]);
        let corner = Point::new(places[0].x - 45.0, places[0].y - 45.0);
        let opposite = Point::new(places[1].x + 24.0, places[1].y + 40.0);
        let (from, to) = (
            on_screen(page, corner).await,
            on_screen(page, opposite).await,
        );
        let chain = page.driver().action_chain().key_down(Key::Shift);
        let chain = chain.move_to(from.0, from.1).click_and_hold();
        let chain = chain.move_to(to.0 - 9, to.1 - 9).move_to(to.0, to.1);
        let chain = chain.release().key_up(Key::Shift);
        chain.perform().await.unwrap();
        page.says("2 parts chosen").await;

        // The arrow keys move both by the same step, and the keyboard stays on the map.
        page.evaluate(
            "document.querySelector('.map-canvas [tabindex=\"0\"]').focus(); return true",
        )
        .await;
        press(page, Key::Down).await;
        press(page, Key::Down).await;
        let moved = kept(page, "both to be moved", |h| {
            let after = Drawing::of(h).stands;
            rail.iter()
                .all(|part| after[part].y > drawing.stands[part].y + 20.0)
        })
        .await;
        let placed = moved.parts.values().filter(|p| p.drawn_at.is_some());
        assert_eq!(placed.count(), 2);
        let on_map = "return !!document.activeElement.closest('.map-canvas')";
        assert_eq!(page.evaluate(on_map).await, true);

        // The map places them again, and Esc lets go of them.
        page.click_text("Let the map place it").await;
        kept(page, "the map to place them", |h| {
            h.parts.values().all(|p| p.drawn_at.is_none())
        })
        .await;
        press(page, Key::Escape).await;
        page.until(
            "them to be let go",
            "return !document.body.innerText.includes('parts chosen')",
        )
        .await;
    });
}
