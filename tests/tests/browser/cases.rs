//! Whole cases on a phone, from an empty browser to a closed case and a report.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;
use std::time::Duration;

use sparktrail_core::faults::{Fault, Mode};
use sparktrail_core::model::{DriverPiece, Element, Harness, PartId, Port, SwapOutcome, Terminal};
use sparktrail_core::units::Ohms;
use sparktrail_core::walkthrough::Verdict;
use sparktrail_tests::browser::own_engine::draw_v8_with_two_dead;
use sparktrail_tests::browser::{Engine, Page, Scheme, Screen, visit};

use super::ground::{
    button, click, download_into, empty_directory, find, go_to, open_example, open_project,
    painted_after, unfold,
};
use super::owner::{Hand, Kind, Owner, next};
use super::suspects::choose;
use super::trace;
use super::walks::touch_item;

/// Adds a resistance that was read, by the form.
async fn add_resistance(page: &Page, red: &str, black: &str, read: &str) {
    go_to(page, "Findings").await;
    click(page, "//details[contains(@class,'add')]/summary").await;
    choose(page, "Red lead on", red).await;
    choose(page, "Black lead on", black).await;
    choose(page, "Was the fault there at the time?", "yes").await;
    page.fill(".add-form input[type=text]", read).await;
    click(page, &button("Enter it")).await;
}

/// Waits until a suspect leads.
async fn leads(page: &Page, name: &str) {
    go_to(page, "Suspects").await;
    let script = format!(
        "return document.querySelector('.suspect-name')?.textContent === {}",
        serde_json::json!(name)
    );
    page.until(&format!("{name} to lead"), &script).await;
}

/// Says what was done to the car, and that it is mended.
async fn mend(page: &Page, done: &str) {
    go_to(page, "Next").await;
    unfold(page, "I did something to the car").await;
    page.fill(".closing textarea", done).await;
    click(page, &button("It is mended, I think")).await;
    page.says("Mended. Is the fault gone?").await;
    page.says("nothing was looked at since").await;
}

/// The check after the repair, step by step, by the button on the card.
async fn check(page: &Page, owner: &Owner<'_>) {
    owner.press("Check after the repair").await;
    assert_eq!(owner.walk().await, Verdict::Mended);
    page.says("Look once more in a few days").await;
    owner.press("See what to do next").await;
}

/// Sees that all cylinders work, and closes the case with its cause.
async fn close(page: &Page, cause: &str, cylinders: usize) {
    click(page, &button("All cylinders work now")).await;
    page.says(&format!("{cylinders} of {cylinders} cylinders work"))
        .await;
    click(page, &button("It is gone: close the case")).await;
    click(
        page,
        &format!("//form[contains(@class,'read')]{}", button(cause)),
    )
    .await;
    click(page, &button("Close the case")).await;
    page.says("Case closed").await;
    for place in ["Map", "Findings", "Suspects"] {
        go_to(page, place).await;
        page.says("Case closed").await;
    }
    go_to(page, "Findings").await;
    page.says("on the mended car").await;
}

/// Draws the map of an own engine of which nothing is known but how many cylinders it has.
async fn draw_own(page: &Page, cylinders: &str) -> Harness {
    page.open("").await;
    click(page, &button("My engine")).await;
    let count =
        format!("//fieldset[legend='How many cylinders?']//label[normalize-space()='{cylinders}']");
    click(page, &count).await;
    painted_after(page, async || click(page, &button("Draw the map")).await).await;
    trace::saved(page).await
}

pub(super) fn part(map: &Harness, name: &str) -> PartId {
    let mut parts = map.parts.iter();
    *parts.find(|(_, part)| part.name == name).unwrap().0
}

/// The share of a suspect, 0 where it is not listed.
async fn share(page: &Page, name: &str) -> f64 {
    go_to(page, "Suspects").await;
    page.find(".suspect").await;
    page.settle().await;
    let script = "return [...document.querySelectorAll('.suspect')]
        .filter(s => s.querySelector('.suspect-name').textContent.toLowerCase() === arguments[0].toLowerCase())
        .reduce((sum, s) => sum + Number(s.dataset.share), 0)";
    let found = page.evaluate_with(script, vec![name.into()]).await;
    found.as_f64().unwrap()
}

/// What the report must say, and must not.
fn assert_told(text: &str, told: &[&str]) {
    for told in told {
        assert!(text.contains(told), "{told} is not in\n{text}");
    }
}

/// The text of the report, saved as a file.
async fn report(page: &Page, directory: &Path) -> String {
    page.until(
        "passing messages to pass",
        "return !document.querySelector('.toast')",
    )
    .await;
    click(page, &button("Report of this case")).await;
    find(page, "//dialog[@open]//article").await;
    page.until(
        "the map in the report",
        "return document.querySelector('.report-map')?.naturalWidth > 0",
    )
    .await;
    download_into(page, directory).await;
    click(page, &button("Save as a file")).await;
    for _ in 0..200 {
        let written = fs::read_dir(directory)
            .unwrap()
            .filter_map(|entry| Some(entry.ok()?.path()))
            .find(|path| path.extension().is_some_and(|end| end == "md"));
        if let Some(text) = written.and_then(|path| fs::read_to_string(path).ok())
            && text.contains("Sparktrail")
        {
            return text;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("no report was saved");
}

/// On paper the report stands alone, from its title to its last line.
async fn on_paper(page: &Page) {
    let paper = serde_json::json!({ "printBackground": false });
    let printed = page.tell("Page.printToPDF", paper).await;
    let printed = printed["data"].as_str().unwrap();
    // "%PDF" as base64 writes it.
    assert!(printed.starts_with("JVBER"), "no paper came");
    // It stands in the page itself and nothing else shows: what stands over the page is cut to one sheet.
    let print = serde_json::json!({ "media": "print" });
    page.tell("Emulation.setEmulatedMedia", print).await;
    let shown = "return [...document.querySelectorAll('#app > *')]
        .filter(piece => piece.getClientRects().length > 0)
        .map(piece => [piece.className, piece.textContent.includes('Fitted another Coil C')])";
    let shown = page.evaluate(shown).await;
    let screen = serde_json::json!({ "media": "" });
    page.tell("Emulation.setEmulatedMedia", screen).await;
    assert_eq!(shown, serde_json::json!([["paper", true]]));
}

#[test]
fn an_unfamiliar_car_with_unknown_pins() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Barn find").await;
        trace::begin(page).await;
        trace::to_the_end(page).await;
        click(page, &button("Put it on the map")).await;
        page.says("All of it is on the map.").await;

        add_resistance(page, "Coil C · 4a", "Coil C · 4b", "OL").await;
        leads(page, "Coil C").await;
        mend(page, "Fitted another Coil C").await;
        close(page, "Coil C", 6).await;

        // Closing is a change like any other.
        go_to(page, "Map").await;
        click(page, "//button[starts-with(@aria-label, 'Undo')]").await;
        page.says("Mended. Is the fault gone?").await;
        click(page, "//button[starts-with(@aria-label, 'Redo')]").await;
        page.says("Case closed").await;

        let text = report(page, &empty_directory("unfamiliar-car")).await;
        assert_told(
            &text,
            &[
                "It was\\: Coil C",
                "Done\\: Fitted another Coil C",
                "6 of 6 cylinders work",
                "| Control unit | 23 | switching a coil |",
                "| Control unit | 24 | switching a coil |",
                "Cylinder 3 is dead.",
                "(on the mended car)",
                "OL, no way through, from Coil C",
            ],
        );
        page.picture("report").await;
        if page.engine() == Engine::Chromium {
            on_paper(page).await;
        }

        // It is closed when the page comes back, and can be opened again.
        page.reload().await;
        open_project(page, "Barn find").await;
        page.says("Case closed").await;
        click(page, &button("The fault is back: open it again")).await;
        leads(page, "Coil C").await;
    });
}

#[test]
fn a_bad_control_wire_contact_on_a_v6() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        let map = draw_own(page, "6").await;
        assert_eq!(map.title, "My V6");
        let contact = Terminal {
            part: part(&map, "Coil B"),
            port: Port::Switched,
        };
        let fault = Fault::new(Element::Mated(contact), Mode::Open);
        let owner = Owner::new(page, Hand::Finger, Kind::Steady, fault);
        go_to(page, "Findings").await;
        owner.press("Find the dead cylinders").await;
        let found = owner.walk().await;
        let Verdict::Cylinders { dead, .. } = &found else {
            panic!("{found:?}");
        };
        assert_eq!(dead.len(), 2, "{found:?}");
        owner.press("See what to do next").await;
        let (acts, stop) = owner.search().await;
        assert!(stop.contains("Coil B, plug contacts"), "{acts:?}: {stop}");
        page.picture("case-contact").await;
        owner.mended();
        mend(page, "Cleaned and tightened the pin in the plug of Coil B").await;
        check(page, &owner).await;
        close(page, "Coil B, plug contacts", 6).await;
        let text = report(page, &empty_directory("control-wire-contact")).await;
        let dead = format!("Cylinder {} is dead.", dead[0]);
        assert_told(
            &text,
            &[
                "It was\\: Coil B, plug contacts",
                "Done\\: Cleaned and tightened the pin in the plug of Coil B",
                "6 of 6 cylinders work",
                &dead,
                "(on the mended car)",
            ],
        );
    });
}

#[test]
fn a_drive_path_joint_that_survives_a_swap_of_transistors() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        draw_v8_with_two_dead(page).await;
        let map = trace::saved(page).await;
        let topology = sparktrail_core::topology::Topology::of(&map);
        let fault = |driver| {
            let joint = Element::Driver(driver, DriverPiece::DriveJoint);
            Fault::new(joint, Mode::PartlyOn(Ohms::lit(3.0)))
        };
        let kills = |driver| sparktrail_core::faults::effect(&map, &topology, fault(driver));
        let mut drivers = map.drivers().map(|(_, driver)| driver.id);
        let driver = drivers
            .find(|driver| kills(*driver).dead_cylinders().iter().any(|c| c.0 == 1))
            .unwrap();
        let name = &map.driver(driver).unwrap().name;
        let owner = Owner::new(page, Hand::Finger, Kind::Steady, fault(driver));
        // Whoever swaps transistors solders boards.
        go_to(page, "Next").await;
        unfold(page, "What you have").await;
        click(page, "//label[normalize-space()='I solder boards']").await;
        next(page).await;
        let transistor = format!("{name}, transistor");
        let before = share(page, &transistor).await;
        assert!(before > 0.0, "{transistor} is no suspect");
        go_to(page, "Map").await;
        touch_item(
            page,
            &format!(".map-canvas .item.driver[aria-label*='{name}']"),
        )
        .await;
        owner.press("Show the walks from here").await;
        owner.press(&format!("Swap {name}")).await;
        owner.press("Yes").await;
        page.says("If the part is bad, the dead cylinders move: from 1 and 6")
            .await;
        page.says("stay dead: nothing moves").await;
        page.picture("case-swap").await;
        let verdict = owner.walk().await;
        let Verdict::Swapped { outcome, left } = &verdict else {
            panic!("{verdict:?}");
        };
        assert_eq!(*outcome, SwapOutcome::Stayed);
        assert!(left.contains(&fault(driver).element), "{left:?}");
        page.says("That clears only what you moved").await;
        owner.press("See what to do next").await;
        go_to(page, "Map").await;
        click(page, &button("Put away")).await;
        let after = share(page, &transistor).await;
        assert!(after <= 0.05 && after < before, "{before} became {after}");
        let (acts, stop) = owner.search().await;
        let joints = format!("{name}, solder joints");
        assert!(stop.contains(&joints), "{acts:?}: {stop}");
        page.picture("case-drive-path").await;
        // Whoever does not solder hands it over, with what to say.
        unfold(page, "What you have").await;
        click(page, "//label[normalize-space()='I solder boards']").await;
        page.says("hand the unit to a specialist").await;
        page.says("for a specialist").await;
        owner.mended();
        mend(page, "The specialist re-soldered the drive path").await;
        check(page, &owner).await;
        let cause = format!("D{}", &joints[1..]);
        close(page, &cause, 8).await;
        let text = report(page, &empty_directory("drive-path")).await;
        assert_told(
            &text,
            &[
                &format!("It was\\: {cause}"),
                "8 of 8 cylinders work",
                "the fault stayed where it was",
                "Cylinder 6 is dead.",
            ],
        );
    });
}

#[test]
fn an_intermittent_feed() {
    visit(Screen::Phone, Scheme::Dark, async |page| {
        let map = draw_own(page, "4").await;
        let contact = Terminal {
            part: part(&map, "Coil A"),
            port: Port::Feed,
        };
        let fault = Fault::new(Element::Mated(contact), Mode::Open);
        let owner = Owner::new(page, Hand::Finger, Kind::Wavers, fault);
        owner.shows.set(false);
        go_to(page, "Findings").await;
        owner.press("Find the dead cylinders").await;
        let found = owner.walk().await;
        let Verdict::Cylinders { dead, sometimes } = &found else {
            panic!("{found:?}");
        };
        assert!(dead.is_empty() && sometimes.len() == 2, "{found:?}");
        owner.press("See what to do next").await;
        const CONTACTS: &str = "Coil A, plug contacts";
        let before = share(page, CONTACTS).await;
        // A pass while the fault is away takes nothing from what was suspected.
        go_to(page, "Next").await;
        next(page).await;
        owner.press("Walk me through it").await;
        owner.press("No, it is away").await;
        page.says("a test that passes now clears nothing").await;
        owner.walk().await;
        owner.press("See what to do next").await;
        let after = share(page, CONTACTS).await;
        assert!(after >= before, "{before} became {after}");
        go_to(page, "Next").await;
        next(page).await;
        page.says("only what can bring it back").await;
        let (acts, stop) = owner.search().await;
        page.picture("case-intermittent").await;
        assert!(stop.contains(CONTACTS), "{acts:?}: {stop}");
        owner.mended();
        mend(page, "Made the pin in the plug of Coil A hold again").await;
        check(page, &owner).await;
        close(page, CONTACTS, 4).await;
        let text = report(page, &empty_directory("intermittent-feed")).await;
        assert_told(
            &text,
            &["It was\\: Coil A, plug contacts", "comes and goes"],
        );
    });
}
