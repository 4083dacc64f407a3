//! Unknown pins of an unfamiliar car traced by touch on a phone, with a reload in between.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use sparktrail_core::model::{
    Effect, Element, FactAt, FactValue, FaultThen, Finding, Harness, PartId, PinRole, Port, Seen,
    SwapOutcome, SwapPair, Terminal, WireEnd, file,
};
use sparktrail_core::provenance::Provenance;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;
use thirtyfour::prelude::*;

use super::ground::{button, click, find, go_to, kept, open_example, open_project};

/// The true answer: which pin, by the number that the test gives it, switches which coil.
const TRUTH: [(&str, &str); 2] = [("pin 24", "Coil B"), ("pin 23", "Coil C")];

/// Chooses what is unknown on the map of the barn find, and begins.
pub(super) async fn begin(page: &Page) {
    go_to(page, "Trace").await;
    find(page, "//h2[.='Find out what unknown pins are for']").await;
    let fields = page
        .driver()
        .find_all(By::Css(".trace-pin input[type=text]"))
        .await
        .unwrap();
    assert_eq!(fields.len(), 3, "pins without a number");
    // The last two are those without a use, and ticked; the first is a ground pin.
    for (field, number) in fields.iter().rev().zip(["24", "23"]) {
        let _ = field.scroll_into_view().await;
        field.send_keys(number).await.unwrap();
    }
    let ticked = "return [...document.querySelectorAll('.trace-form input[type=checkbox]')]
        .filter(box => box.checked).length";
    assert_eq!(page.evaluate(ticked).await, 4, "two pins, two coils");
    click(page, &button("Begin")).await;
    find(page, "//p[.='Do this next']").await;
}

/// Carries out the step that shows, as the car would answer. Returns what it was.
async fn step(page: &Page) -> String {
    let act = page.text(".trace .act h2").await;
    if act.contains("carry battery voltage") {
        for (pin, _) in TRUTH {
            click(page, &button(pin)).await;
        }
        click(page, &button("Enter")).await;
    } else if act.contains("resistance from the coils") {
        for place in 1..=page.count(".ohms-row").await {
            let ohms = if place == 1 { "0.6" } else { "0,7" };
            page.fill(&format!(".ohms-row:nth-of-type({place}) input"), ohms)
                .await;
        }
        click(page, &button("Enter")).await;
    } else if act.contains("each pin to ground") {
        for place in 1..=page.count(".ohms-row").await {
            click(page, &format!("(//button[.='OL'])[{place}]")).await;
        }
        click(page, &button("Enter")).await;
    } else if act.contains("lose their voltage") {
        let lost = TRUTH.iter().filter(|(_, coil)| act.contains(coil));
        for (pin, _) in lost {
            click(page, &button(pin)).await;
        }
        click(
            page,
            "//section//button[@data-weight='strong' and (.='Enter' or .='None of them')]",
        )
        .await;
    } else if act.contains("find the pin that is joined") {
        let (pin, _) = TRUTH.iter().find(|(_, coil)| act.contains(coil)).unwrap();
        click(page, &button(pin)).await;
    } else {
        panic!("no answer to: {act}");
    }
    // What comes next shows before anything else is asked.
    let next = format!(
        "return document.querySelector('.trace .act h2')?.textContent !== {}",
        serde_json::json!(act)
    );
    page.until("the next step", &next).await;
    act
}

/// Follows the steps until every pin is known.
pub(super) async fn to_the_end(page: &Page) -> Vec<String> {
    let mut done = Vec::new();
    while page.count(".trace .act").await > 0 {
        done.push(step(page).await);
        assert!(done.len() < 12, "no end: {done:?}");
    }
    find(page, "//p[.='Every pin is known.']").await;
    done
}

/// The open map as the browser keeps it.
pub(super) async fn saved(page: &Page) -> Harness {
    page.until(
        "the map to be kept",
        "return document.querySelector('.saved').textContent.trim() === 'saved'",
    )
    .await;
    let all = kept(page).await;
    let mut maps = all.as_object().unwrap().iter();
    let (_, text) = maps
        .rfind(|(key, _)| key.starts_with("sparktrail/1/map/"))
        .unwrap();
    file::read(text.as_str().unwrap()).unwrap()
}

fn part(map: &Harness, name: &str) -> PartId {
    *map.parts
        .iter()
        .find(|(_, part)| part.name == name)
        .unwrap()
        .0
}

/// The number of the pin to which the control wire of a coil leads, where both ends are measured.
fn measured_pin(map: &Harness, coil: &str) -> Option<String> {
    let coil = part(map, coil);
    let wire = map.wires.values().find(|wire| {
        wire.to.is_some_and(|to| {
            to.value.part == coil
                && to.value.port == Port::Switched
                && to.how == Provenance::Measured
        })
    })?;
    let from = wire
        .end(WireEnd::From)
        .filter(|from| from.how == Provenance::Measured)?;
    let Port::Pin(pin) = from.value.port else {
        return None;
    };
    let role = map.fact(FactAt::PinRole(from.value.part, pin))?;
    assert_eq!(role.value, FactValue::Role(PinRole::CoilSwitch));
    map.pin(from.value.part, pin)?
        .label
        .clone()
        .map(|label| label.value)
}

#[test]
fn an_unfamiliar_car_is_traced_by_touch() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Barn find").await;
        begin(page).await;
        page.says("Battery off before the control unit").await;
        page.picture("trace-step").await;
        let first = step(page).await;
        let second = page.text(".trace .act h2").await;

        // The page goes away and comes back: the trace stands where it stood.
        page.reload().await;
        open_project(page, "Barn find").await;
        go_to(page, "Trace").await;
        assert_eq!(page.text(".trace .act h2").await, second);

        // The first answer is taken back and given again.
        click(page, &button("Take the last one back")).await;
        find(page, &format!("//h2[.='{first}']")).await;
        let done = to_the_end(page).await;
        assert!(done.len() >= 2, "{done:?}");
        page.picture("trace-known").await;
        click(page, &button("Put it on the map")).await;
        page.says("All of it is on the map.").await;
        let map = saved(page).await;
        for (pin, coil) in TRUTH {
            let number = measured_pin(&map, coil);
            assert_eq!(number.as_deref(), pin.strip_prefix("pin "), "{coil}");
        }

        // One undo takes it back as a whole.
        go_to(page, "Map").await;
        click(page, "//button[starts-with(@aria-label, 'Undo')]").await;
        page.says("saved").await;
        let undone = "return document.querySelector('.saved').textContent.trim() === 'saved'";
        page.until("the map to be kept", undone).await;
        let map = saved(page).await;
        assert_eq!(measured_pin(&map, "Coil B"), None);
    });
}

#[test]
fn clashing_answers_are_named_and_mended_by_touch() {
    visit(Screen::Phone, Scheme::Dark, async |page| {
        page.open("").await;
        open_example(page, "Barn find").await;
        go_to(page, "Trace").await;
        click(page, &button("Yes, each")).await;
        click(page, &button("Begin")).await;
        let act = page.text(".trace .act h2").await;
        assert!(act.contains("find the pin that is joined"), "{act}");
        // Each coil was said to have its pin among these two; now one is said to have none.
        click(page, &button("None of them")).await;
        page.says("These answers cannot all be right.").await;
        let named = page.text(".trace .act h2").await;
        assert!(named.contains("not joined"), "{named}");
        page.says("A coil may have its pin elsewhere").await;
        page.picture("trace-clash").await;
        // Taken again, it was joined after all: that settles both.
        click(page, &button("joined")).await;
        find(page, "//p[.='Every pin is known.']").await;
    });
}

/// The barn find, its dead coil swapped and its plug cleaned in vain: what is left is the wire that nobody followed.
fn left_with_the_wire() -> String {
    let text = std::fs::read_to_string(place::sample("barn-find")).unwrap();
    let mut map = file::read(&text).unwrap();
    let (a, c) = (part(&map, "Coil A"), part(&map, "Coil C"));
    let control = Terminal {
        part: c,
        port: Port::Switched,
    };
    for seen in [
        Seen::Swapped {
            what: SwapPair::Parts(a, c),
            outcome: SwapOutcome::Stayed,
        },
        Seen::Cleaned {
            element: Element::Mated(control),
            effect: Effect::Same,
        },
    ] {
        let id = map.fresh();
        map.findings
            .push(Finding::new(id, seen, FaultThen::Present));
    }
    file::write(&map)
}

/// Opens that map and goes to what Next says.
async fn open_left_with_the_wire(page: &Page) {
    let directory = place::target().join("tmp");
    std::fs::create_dir_all(&directory).unwrap();
    let file = directory.join(format!("nobody-followed-{}.json", std::process::id()));
    std::fs::write(&file, left_with_the_wire()).unwrap();
    page.open("").await;
    page.upload("input[type=file]", &file).await;
    page.find(".map-canvas").await;
    std::fs::remove_file(&file).unwrap();
    go_to(page, "Next").await;
    find(
        page,
        "//h2[.='Find out which pin of Control unit switches Coil C.']",
    )
    .await;
    page.says("Dead cylinders on it: 3, 4.").await;
    // Who does not see it is told the same.
    page.until(
        "the words of it",
        "return /Next: Find out which pin of Control unit switches Coil C\\./.test(document.querySelector('[data-spoken]')?.textContent)",
    )
    .await;
    // What can be tested without it is still offered.
    find(page, "//p[.='Or test without it']").await;
}

#[test]
fn next_says_to_trace_a_wire_that_nobody_has_followed() {
    visit(Screen::Desktop, Scheme::Dark, async |page| {
        open_left_with_the_wire(page).await;
        page.picture("next-trace-first-wide").await;
    });
    visit(Screen::Phone, Scheme::Light, async |page| {
        open_left_with_the_wire(page).await;
        page.picture("next-trace-first").await;
        click(page, &button("Find out which pin")).await;
        begin(page).await;
        to_the_end(page).await;
        click(page, &button("Put it on the map")).await;
        page.says("All of it is on the map.").await;

        // The map is whole: Next goes on with tests.
        go_to(page, "Next").await;
        find(page, "//p[.='Do this next']").await;
        page.until(
            "the tests of the whole map",
            "return !!document.querySelector('.next .act') && !document.querySelector('.trace-first')",
        )
        .await;
    });
}
