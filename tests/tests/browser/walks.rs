//! Guided walks on a phone: by touch and by keyboard, taken back, left, and gone on with after a reload.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use serde_json::json;
use sparktrail_core::faults::{Fault, Mode};
use sparktrail_core::model::{Element, Port, SwapOutcome, Terminal};
use sparktrail_core::walkthrough::Verdict;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use thirtyfour::Key;

use super::cases::part;
use super::ground::{tap as touch_at, unfold};
use super::owner::{Hand, Kind, Owner, next};
use super::suspects::open_without_findings;
use super::trace::saved;

/// A finger on the button that says this.
pub(super) async fn tap(page: &Page, words: &str) {
    let script = "const button = [...document.querySelectorAll('button')]
        .find(b => b.offsetParent && b.textContent.trim().startsWith(arguments[0]));
        if (!button) return null;
        button.scrollIntoView({ block: 'center' });
        const box = button.getBoundingClientRect();
        return [box.x + box.width / 2, box.y + box.height / 2, box.height]";
    page.until(
        &format!("a button that says {words}"),
        &script
            .replace("arguments[0]", &json!(words).to_string())
            .replace(
                "return [box.x + box.width / 2, box.y + box.height / 2, box.height]",
                "return box.height > 0",
            ),
    )
    .await;
    let at = page.evaluate_with(script, vec![words.into()]).await;
    let number = |place: usize| {
        at[place]
            .as_f64()
            .unwrap_or_else(|| panic!("{words}: {at}"))
    };
    assert!(number(2) >= 44.0, "{words} is too small for a finger: {at}");
    touch_at(page, number(0), number(1)).await;
}

/// A finger on the thing of the map whose name begins so.
async fn touch(page: &Page, name: &str) {
    touch_item(page, &item(name)).await;
}

/// A finger on an item of the map.
pub(super) async fn touch_item(page: &Page, item: &str) {
    page.find(item).await;
    page.settle().await;
    let script = "const box = document.querySelector(arguments[0]).getBoundingClientRect();
        return [box.x + box.width / 2, box.y + box.height / 2]";
    let at = page.evaluate_with(script, vec![json!(item)]).await;
    let number = |place: usize| at[place].as_f64().unwrap();
    touch_at(page, number(0), number(1)).await;
}

fn item(name: &str) -> String {
    format!(".map-canvas .item[aria-label^='{name}']")
}

/// The keyboard on the same, as Tab brings it there, and Enter.
async fn enter(page: &Page, name: &str) {
    let item = item(name);
    page.find(&item).await;
    let focus = "document.querySelector(arguments[0]).focus()";
    page.evaluate_with(focus, vec![json!(item)]).await;
    page.press(Key::Enter.value().to_string()).await;
}

/// Tab, and again, until the keyboard is on what begins with these words, then Enter.
pub(super) async fn key(page: &Page, words: &str) {
    for _ in 0..120 {
        let here = page
            .evaluate("return document.activeElement.textContent.trim()")
            .await;
        if here.as_str().is_some_and(|here| here.starts_with(words)) {
            page.press(Key::Enter.value().to_string()).await;
            return;
        }
        page.press(Key::Tab.value().to_string()).await;
    }
    panic!("Tab never comes to {words}");
}

/// What the step asks, once it is another than before.
pub(super) async fn step_after(page: &Page, before: &str) -> String {
    page.until(
        &format!("the step after {before:?}"),
        &format!(
            "const step = document.querySelector('#walk-step');
             return !!step && step.textContent !== {}",
            json!(before)
        ),
    )
    .await;
    page.text("#walk-step").await
}

/// The cylinder that a step is about.
fn cylinder(step: &str) -> u8 {
    let (_, rest) = step
        .split_once("cylinder ")
        .unwrap_or_else(|| panic!("{step}"));
    let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap_or_else(|_| panic!("{step}"))
}

async fn counting(page: &Page) -> i64 {
    page.evaluate("return document.querySelectorAll('.found:not([data-state=taken-back])').length")
        .await
        .as_i64()
        .unwrap()
}

#[test]
fn the_dead_cylinders_are_found_by_touch_with_a_reload_on_the_way() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        open_without_findings(page).await;
        tap(page, "Findings").await;
        tap(page, "Find the dead cylinders").await;
        let mut step = step_after(page, "").await;
        assert!(step.contains("start the engine"), "{step}");
        // The walk has the whole phone but for the map.
        assert_eq!(
            page.evaluate("return document.querySelector('.job > .bar').offsetParent === null")
                .await,
            true
        );
        tap(page, "Yes, it runs").await;
        step = step_after(page, &step).await;
        page.picture("walk-dead").await;
        let answer = |step: &str| {
            let dead = [1, 6].contains(&cylinder(step));
            if dead { "dead" } else { "works" }
        };
        for _ in 0..2 {
            tap(page, answer(&step)).await;
            step = step_after(page, &step).await;
        }
        // Taken back, and answered again.
        tap(page, "Take back").await;
        let again = step_after(page, &step).await;
        tap(page, answer(&again)).await;
        assert_eq!(step_after(page, &again).await, step);
        // The page goes away in the middle.
        page.until(
            "the map to be kept",
            "return document.querySelector('.saved').textContent.trim() === 'saved'",
        )
        .await;
        tokio::time::sleep(std::time::Duration::from_millis(600)).await;
        page.reload().await;
        tap(page, "White").await;
        assert_eq!(step_after(page, "").await, step);
        // Left, and gone on with from Next.
        tap(page, "Leave").await;
        tap(page, "Go on with it").await;
        assert_eq!(step_after(page, "").await, step);
        while step.contains("do its share") {
            tap(page, answer(&step)).await;
            step = step_after(page, &step).await;
        }
        let mut looked = Vec::new();
        while step != "Done" {
            looked.push(cylinder(&step));
            tap(page, "no spark").await;
            step = step_after(page, &step).await;
        }
        looked.sort_unstable();
        assert_eq!(looked, [1, 6]);
        page.says("Next now knows where to look").await;
        page.picture("walk-done").await;
        tap(page, "See what to do next").await;
        tap(page, "Findings").await;
        page.says("Cylinder 6 is dead.").await;
        // Eight cylinders and two leads; what was taken back no longer counts.
        assert_eq!(counting(page).await, 10);
    });
}

/// The run of the wire from the first coil's pin, measured with a broken wire in mind.
#[test]
fn a_path_is_narrowed_down_by_keyboard() {
    visit(Screen::Phone, Scheme::Dark, async |page| {
        open_without_findings(page).await;
        enter(page, "Coil A").await;
        page.says("Check it, step by step").await;
        key(page, "Show the walks from here").await;
        page.says("Does it conduct").await;
        key(page, "Does it conduct").await;
        let leads = step_after(page, "").await;
        assert!(leads.contains("tips of both leads together"), "{leads}");
        let field = ".walk-read input";
        page.find(field).await;
        // A voltage is no resistance: told, and nothing is lost.
        page.fill(field, "12 V").await;
        page.press(Key::Enter.value().to_string()).await;
        page.says("a resistance is asked for").await;
        page.fill(field, "0,2").await;
        page.press(Key::Enter.value().to_string()).await;
        let whole = step_after(page, &leads).await;
        assert!(whole.contains("Measure resistance"), "{whole}");
        page.says("The leads are sound").await;
        // Red and black stand on the map.
        page.find(".probe[data-lead=red]").await;
        page.find(".probe[data-lead=black]").await;
        page.picture("walk-path").await;
        key(page, "OL").await;
        let mut step = step_after(page, &whole).await;
        let mut steps = 0;
        while step != "Done" {
            steps += 1;
            assert!(steps < 6, "the walk wanders: {step}");
            // The break is in the first stretch: each shorter one from its beginning is open too.
            page.find(field).await;
            page.fill(field, "OL").await;
            page.press(Key::Enter.value().to_string()).await;
            step = step_after(page, &step).await;
        }
        page.says("It lies here").await;
        page.picture("walk-path-done").await;
    });
}

/// Goes to a thing on the map and begins the walk there that begins with these words.
async fn begin_at(page: &Page, owner: &Owner<'_>, (hand, thing): (Hand, &str), walk: &str) {
    owner.press("Map").await;
    match hand {
        Hand::Finger => touch(page, thing).await,
        Hand::Keys => enter(page, thing).await,
    }
    owner.press("Show the walks from here").await;
    owner.press(walk).await;
}

/// A bad contact in the feed of one coil: siblings, voltage drop, wiggling, a swap of coils, and after the repair.
async fn play_the_walks(page: &Page, hand: Hand) {
    open_without_findings(page).await;
    let map = saved(page).await;
    let coil = part(&map, "Coil A");
    let contact = Element::Mated(Terminal {
        part: coil,
        port: Port::Feed,
    });
    let fault = Fault::new(contact, Mode::Open);
    let owner = Owner::new(page, hand, Kind::Steady, fault);

    begin_at(
        page,
        &owner,
        (hand, "Coil A"),
        "Coil A · 1 beside its siblings",
    )
    .await;
    let Verdict::Siblings { odd, .. } = owner.walk().await else {
        panic!("no comparison");
    };
    assert!(odd.iter().any(|(pin, _)| pin.part == coil), "{odd:?}");
    page.says("Siblings should agree within half a volt").await;
    owner.press("See what to do next").await;

    begin_at(
        page,
        &owner,
        (hand, "Ignition relay"),
        "Voltage lost under load",
    )
    .await;
    // The feed of the control unit, which is sound.
    let Verdict::PathSound { cleared, .. } = owner.walk().await else {
        panic!("not sound");
    };
    let relay = Element::Contact(part(&map, "Ignition relay"));
    assert!(cleared.contains(&relay), "{cleared:?}");
    owner.press("See what to do next").await;

    begin_at(page, &owner, (hand, "Coil A"), "Provoke").await;
    let stressed = owner.walk().await;
    assert!(
        matches!(stressed, Verdict::Stressed { found: None, .. }),
        "{stressed:?}"
    );
    page.says("That speaks a little against").await;
    owner.press("See what to do next").await;

    begin_at(page, &owner, (hand, "Coil A"), "Swap Coil A and Coil").await;
    let Verdict::Swapped { outcome, left } = owner.walk().await else {
        panic!("no swap");
    };
    assert_eq!(outcome, SwapOutcome::Stayed);
    assert!(left.contains(&contact), "{left:?}");
    owner.press("See what to do next").await;

    next(page).await;
    owner.mended();
    unfold(page, "Other walks").await;
    owner.press("Check after the repair").await;
    assert_eq!(owner.walk().await, Verdict::Mended);
    page.says("Look once more in a few days").await;
    owner.press("See what to do next").await;
}

#[test]
fn siblings_drop_stress_swap_and_after_the_repair_by_touch() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        play_the_walks(page, Hand::Finger).await;
    });
}

#[test]
fn siblings_drop_stress_swap_and_after_the_repair_by_keyboard() {
    visit(Screen::Phone, Scheme::Dark, async |page| {
        play_the_walks(page, Hand::Keys).await;
    });
}

#[test]
fn a_walk_stands_in_the_side_column_and_on_paper() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        page.click_text("Red").await;
        page.find(".map-canvas").await;
        let script = "const tab = [...document.querySelectorAll('.top .tab')]
            .find(t => t.textContent.trim().startsWith('Next')); tab.click(); return true";
        page.evaluate(script).await;
        page.says("Walk me through it").await;
        page.click_text("Walk me through it").await;
        step_after(page, "").await;
        page.picture("walk-side").await;
        page.click_text("On paper").await;
        page.says("A sound car").await;
        assert!(page.count(".walk-sheet tbody tr").await > 0);
        // On one page of A4 at 96 dots an inch, as the browser prints it.
        let printed = page
            .tell(
                "Page.printToPDF",
                json!({ "paperWidth": 8.27, "paperHeight": 11.69 }),
            )
            .await;
        let pdf = printed["data"].as_str().unwrap();
        assert_eq!(pages(pdf), 1);
        page.picture("walk-paper").await;
    });
}

/// How many pages a PDF in base64 has: its tree of pages counts them (ISO 32000-1, 7.7.3).
fn pages(pdf: &str) -> u32 {
    use base64ct::{Base64, Encoding};

    let bytes = Base64::decode_vec(pdf).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    let (_, tree) = text.split_once("/Type /Pages").expect("a tree of pages");
    let (_, count) = tree.split_once("/Count ").expect("a count");
    let digits: String = count.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap()
}
