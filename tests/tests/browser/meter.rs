//! The meter's place on the V6 sample: what the page reads is what the core reckons.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use serde_json::json;
use sparktrail_core::edit::{Command, FactAt, apply, nominal};
use sparktrail_core::electrics::Measure;
use sparktrail_core::faults::{Fault, Mode, USUAL_PARTLY_ON, expected, usual_black};
use sparktrail_core::model::{
    DriverPiece, Element, Harness, PartKind, Port, Setup, Terminal, file,
};
use sparktrail_core::provenance::Fact;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;
use thirtyfour::Key;

const RED: &str = ".lead[data-lead='red']";
const HEALTHY: &str = "[data-reading='healthy']";
const FAULTY: &str = "[data-reading='faulty']";

fn v6() -> Harness {
    let text = std::fs::read_to_string(place::sample("black-coupe")).unwrap();
    file::read(&text).unwrap()
}

/// The pin that the first driver switches, and that driver's transistor partly on.
fn pin_and_fault(harness: &Harness) -> (Terminal, Fault) {
    let (part, driver) = harness.drivers().next().unwrap();
    let pin = Terminal {
        part,
        port: Port::Pin(driver.output.unwrap().value),
    };
    let element = Element::Driver(driver.id, DriverPiece::Switch);
    (pin, Fault::new(element, Mode::PartlyOn(USUAL_PARTLY_ON)))
}

/// What the core reads there, as the page writes it.
fn core_reads(harness: &Harness, setup: &Setup, fault: Option<&Fault>) -> String {
    let (pin, _) = pin_and_fault(harness);
    let black = usual_black(harness).unwrap();
    match expected(harness, setup, (pin, black), fault).unwrap().value {
        Measure::Volts(volts) => format!("{:.2} V", volts.get()),
        Measure::Ohms(_) | Measure::Overload => panic!("no voltage"),
    }
}

async fn open_meter(page: &Page) {
    page.open("").await;
    page.click_text("Black coupé").await;
    page.find(".map-canvas").await;
    page.click_text("Meter").await;
    page.find(RED).await;
}

/// Waits until a figure on the page says `expected`.
async fn reads(page: &Page, figure: &str, expected: &str) {
    let script = format!(
        "return document.querySelector({})?.textContent === {}",
        json!(figure),
        json!(expected)
    );
    page.until(&format!("{figure} to read {expected}"), &script)
        .await;
}

async fn put_red_from_the_list(page: &Page, harness: &Harness) {
    let name = harness.terminal_name(pin_and_fault(harness).0);
    page.click(&format!("{RED} [aria-expanded]")).await;
    page.type_into(".look-up input", name.replace(" · ", " "))
        .await;
    page.until(
        "one terminal to be left",
        "return document.querySelectorAll('.lookup .row').length === 1",
    )
    .await;
    // By keyboard: on from the field to the only line, and choose it.
    page.press(Key::Tab.value().to_string()).await;
    page.press(Key::Enter.value().to_string()).await;
    let at = format!(
        "return document.querySelector(\"{RED} strong\").textContent === {}",
        json!(name)
    );
    page.until("the red lead to be put down", &at).await;
}

#[test]
fn a_healthy_and_a_partly_on_pin_read_what_the_core_reckons() {
    let harness = v6();
    let (_, fault) = pin_and_fault(&harness);
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_meter(page).await;
        put_red_from_the_list(page, &harness).await;
        let mut readings = Vec::new();
        for (button, setup) in [("Key on", Setup::key_on()), ("Idling", Setup::idling())] {
            page.click_text(button).await;
            let healthy = core_reads(&harness, &setup, None);
            reads(page, HEALTHY, &healthy).await;
            readings.push(healthy);
        }
        assert_ne!(readings[0], readings[1], "the setup changes the reading");
        // The fault is chosen where any fault is, and shows here with both setups.
        page.click_text("Tell two cases apart").await;
        let where_list = "[aria-label='or this: where']";
        let name = harness.part_name(pin_and_fault(&harness).0.part).to_owned();
        choose(page, where_list, &name).await;
        let what = format!("{}: hangs partly on", harness.element_name(fault.element));
        let what = what.trim_start_matches(&format!("{name}, ")).to_owned();
        choose(page, "[aria-label='or this: what']", &what).await;
        page.says("Put the leads there").await;
        let rows = page.texts(".apart").await;
        let key_on = core_reads(&harness, &Setup::key_on(), Some(&fault));
        assert!(rows[0].contains("Key on"), "{rows:?}");
        assert!(
            rows.iter().any(|row| row.contains(&key_on)),
            "{key_on} in {rows:?}"
        );
        page.click(".apart .button").await;
        page.picture("meter-apart").await;
    });
}

/// Chooses from a list by its words, as a keyboard would.
async fn choose(page: &Page, list: &str, words: &str) {
    let script = "const list = document.querySelector(arguments[0]);
        const at = [...list.options].findIndex(o => o.textContent === arguments[1]);
        if (at < 0) return [...list.options].map(o => o.textContent).join('; ');
        list.selectedIndex = at;
        list.dispatchEvent(new Event('change', { bubbles: true }));
        return true;";
    page.find(list).await;
    let chosen = page
        .evaluate_with(script, vec![json!(list), json!(words)])
        .await;
    assert_eq!(chosen, true, "{words} in {list}");
}

#[test]
fn leads_go_down_where_the_map_is_tapped() {
    let harness = v6();
    let (pin, fault) = pin_and_fault(&harness);
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_meter(page).await;
        // The red lead is in hand from the start; the unit has many pins, so the page asks which.
        let unit = harness.part_name(pin.part);
        let healthy = core_reads(&harness, &Setup::key_on(), None);
        choose_on_map(page, unit).await;
        page.says("Which terminal?").await;
        page.click_text(&harness.port_name(pin)).await;
        reads(page, HEALTHY, &healthy).await;
        // By pointer: what lies in the middle of the unit is its second driver, which stands for its pin.
        let (_, next) = harness.drivers().nth(1).unwrap();
        page.click("[aria-label='Red lead: place it on the map']")
            .await;
        page.point_at(&format!(".item.part[aria-label='{unit}']"))
            .await;
        let other = harness.port_name(Terminal {
            part: pin.part,
            port: Port::Pin(next.output.unwrap().value),
        });
        let moved = format!(
            "return document.querySelector(\"{RED} strong\").textContent.endsWith('{other}')"
        );
        page.until("the red lead to move", &moved).await;
        // The black lead too, to the engine's ground point, where it is anyway.
        page.click("[aria-label='Black lead: place it on the map']")
            .await;
        let ground = harness.part_name(usual_black(&harness).unwrap().part);
        choose_on_map(page, ground).await;
        page.until(
            "both leads to be down",
            "return !document.querySelector('.in-hand')",
        )
        .await;
        put_red_from_the_list(page, &harness).await;
        reads(page, HEALTHY, &healthy).await;
        assert_eq!(page.count(".probe").await, 2);
        let letters = page.texts(".probe text").await;
        assert_eq!(letters, ["R", "B"]);
        // What is broken in another place shows its reading here.
        page.click_text("What if").await;
        choose_on_map(page, unit).await;
        let element = harness.element_name(fault.element);
        let short = element.trim_start_matches(&format!("{unit}, ")).to_owned();
        let open = format!(
            "const s = [...document.querySelectorAll('details.ways summary')]\
             .find(s => s.textContent === {}); if (s && !s.parentElement.open) s.click(); \
             return !!s",
            json!(short)
        );
        page.until("the transistor to be listed", &open).await;
        page.evaluate_with(
            "const d = [...document.querySelectorAll('details.ways')]\
             .find(d => d.querySelector('summary').textContent === arguments[0]);\
             [...d.querySelectorAll('button')].find(b => b.textContent.includes('partly on')).click();",
            vec![json!(short)],
        )
        .await;
        page.click_text("Meter").await;
        for (button, setup) in [("Key on", Setup::key_on()), ("Idling", Setup::idling())] {
            page.click_text(button).await;
            reads(page, FAULTY, &core_reads(&harness, &setup, Some(&fault))).await;
        }
        page.click_text("Show voltages on the map").await;
        assert!(page.count(".volt-number").await > 5);
        page.says("floats").await;
        page.picture("meter-voltages").await;
    });
}

/// Chooses a part on the map by keyboard: its place in the walk, then Enter.
async fn choose_on_map(page: &Page, name: &str) {
    let item = format!(".item.part[aria-label='{name}']");
    page.find(&item).await;
    page.evaluate_with(
        "document.querySelector(arguments[0]).focus()",
        vec![json!(item)],
    )
    .await;
    page.press(Key::Enter.value().to_string()).await;
}

/// Types over what stands in a field and goes on to the next, as a person does.
async fn retype(page: &Page, field: &str, text: &str) {
    page.click(field).await;
    page.evaluate_with(
        "document.querySelector(arguments[0]).select()",
        vec![json!(field)],
    )
    .await;
    page.press(format!("{text}{}", Key::Tab.value())).await;
}

#[test]
fn a_number_typed_in_changes_the_reading_and_undo_brings_it_back() {
    let harness = v6();
    let battery = harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Battery(_)))
        .map(|(&id, _)| id)
        .unwrap();
    let at = FactAt::BatteryVoltage(battery);
    let how = nominal(&harness, at).unwrap().how;
    let value = Some(Fact { value: 12.1, how });
    let weaker = apply(&harness, &Command::SetNominal { at, value }).unwrap();
    let before = core_reads(&harness, &Setup::key_on(), None);
    let after = core_reads(&weaker, &Setup::key_on(), None);
    assert_ne!(before, after);
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_meter(page).await;
        put_red_from_the_list(page, &harness).await;
        reads(page, HEALTHY, &before).await;
        page.click_text("Map").await;
        let name = harness.part_name(battery);
        choose_on_map(page, name).await;
        let field = "input[aria-label='Voltage at rest, V']";
        // A slip of the pen is refused where it happened, and changes nothing.
        retype(page, field, "1210").await;
        page.says("It must lie between 0.5 and 300 V.").await;
        retype(page, field, "12,1").await;
        page.click_text("Meter").await;
        reads(page, HEALTHY, &after).await;
        page.click("[aria-label^='Undo']").await;
        reads(page, HEALTHY, &before).await;
    });
}
