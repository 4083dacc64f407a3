//! Every job of the app done with keys alone: no pointer, no focus set by a script, and the keyboard's place always
//! in sight.

use std::panic::AssertUnwindSafe;
use std::pin::Pin;
use std::time::Duration;

use futures_util::FutureExt;
use serde_json::{Value, json};
use thirtyfour::Key;

use super::Page;
use super::hands::Hands;

/// One job, from the opened page on.
pub struct Job {
    /// What is done.
    pub name: &'static str,
    act: for<'a> fn(Hands<'a>) -> Pin<Box<dyn Future<Output = ()> + 'a>>,
}

macro_rules! job {
    ($name:literal, $act:ident) => {
        Job {
            name: $name,
            act: |hands| Box::pin($act(hands)),
        }
    };
}

/// Every job.
pub const JOBS: &[Job] = &[
    job!("open an example", open_example),
    job!("start from an own engine", own_engine),
    job!(
        "break a part on the map and see which cylinders die",
        what_if
    ),
    job!("read how a cylinder is fed, step by step", trails),
    job!("enter a finding", finding),
    job!("read why something is suspected", suspects),
    job!("answer the next test", next_test),
    job!("be walked through a test", walk),
    job!("trace an unknown pin", trace),
    job!("put the meter's leads and read", meter),
    job!("turn the crank through the cycle", cycle),
    job!("look for a hidden fault", practice),
    job!("go through a lesson", lesson),
    job!("add a part, connect it, take it away, undo", edit),
    job!("type over a cell of the pin table", table),
    job!("paste rows", paste),
    job!("copy the link of a map", share),
    job!("delete a map, bring it back, open it", projects),
    job!("write the report", report),
];

impl Job {
    /// Does the job on a page that was just opened.
    ///
    /// # Errors
    /// What went wrong, in words: the job was not done, nobody saw where the keyboard was, or a pointer was used.
    ///
    /// # Panics
    /// Never: what panics on the way is the error.
    pub async fn done(&self, page: &Page) -> Result<(), String> {
        page.beforehand(COUNT).await;
        let act = async {
            page.open("").await;
            (self.act)(Hands { page }).await;
            assert_eq!(
                page.evaluate("return pointed").await,
                0,
                "a pointer was used"
            );
        };
        let done = AssertUnwindSafe(act).catch_unwind().await;
        done.map_err(|why| {
            let text = why.downcast_ref::<String>().cloned();
            text.or_else(|| why.downcast_ref::<&str>().map(|&text| text.to_owned()))
                .unwrap_or_else(|| "it failed".into())
        })
    }
}

/// Counts what a pointer does, in every page to come.
const COUNT: &str = "
globalThis.pointed = 0;
addEventListener('pointerdown', () => pointed += 1, true);";

async fn open_example(hands: Hands<'_>) {
    hands.twin().await;
    hands.shows(".map-canvas .item").await;
}

async fn own_engine(hands: Hands<'_>) {
    hands.choose("My engine").await;
    hands.shows("fieldset").await;
    hands.choose("Draw the map").await;
    hands
        .until(
            "the map",
            "return performance.getEntriesByName('first-map').length > 0",
        )
        .await;
}

async fn what_if(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Coil").await;
    hands.choose("What if this fails?").await;
    hands.choose("open").await;
    hands.shows(".outcome").await;
    hands.until(
        "it to be said which cylinders die",
        "return /without a spark: 1, 2/.test(document.querySelector('[data-spoken]').textContent)",
    )
    .await;
    hands
        .shows(".map-canvas [aria-label='Cylinder 1, dead']")
        .await;
}

async fn trails(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("The map in words").await;
    hands.choose_css(".trail > summary").await;
    hands.shows(".stretch .step").await;
    // Each step leads to the thing itself.
    hands.choose_css(".stretch .link").await;
    hands.shows(".picked").await;
}

async fn finding(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Findings").await;
    hands.shows(".cyl").await;
    let count = "return document.querySelectorAll('.found').length";
    let before = hands.number(count).await;
    hands
        .to_css(".cyl[data-state=unknown], .cyl[data-state=works], .cyl")
        .await;
    let state = "return document.activeElement.dataset.state";
    let was = hands.page.evaluate(state).await;
    hands.press(Key::Enter).await;
    hands
        .until("another state", &format!("{state} !== {was}"))
        .await;
    let after = hands.number(count).await;
    assert!(after >= before, "{before} findings, then {after}");
    // And by the form.
    hands.choose_css(".add > summary").await;
    hands.to_css(".add-form select").await;
}

async fn suspects(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Suspects").await;
    hands.shows(".suspect").await;
    let open = "return document.activeElement.parentElement.open";
    hands.to_css(".suspect summary").await;
    let before = hands.page.evaluate(open).await;
    hands.press(Key::Enter).await;
    hands
        .until("it to unfold or fold", &format!("{open} !== {before}"))
        .await;
}

async fn next_test(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Next").await;
    hands.shows(".act").await;
    let saved = "return document.querySelectorAll('.toast').length";
    hands
        .to_css(".act .read input, .act > .way-row:not(.then-now) button")
        .await;
    if hands
        .page
        .evaluate("return document.activeElement.tagName")
        .await
        == "INPUT"
    {
        hands.type_text("0,5").await;
    }
    hands.press(Key::Enter).await;
    hands
        .until("it to be entered", &format!("{saved} > 0"))
        .await;
}

async fn walk(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Next").await;
    hands.shows(".act").await;
    hands.choose_css(".walk-begin").await;
    hands.shows(".walk-card").await;
    let step = "return document.getElementById('walk-step').textContent";
    let first = hands.page.evaluate(step).await;
    hands
        .to_css(".walk-card .walk-reply, .walk-card input")
        .await;
    if hands
        .page
        .evaluate("return document.activeElement.tagName")
        .await
        == "INPUT"
    {
        hands.type_text("12,4").await;
    }
    hands.press(Key::Enter).await;
    hands
        .until("the next step", &format!("{step} !== {first}"))
        .await;
    // The keyboard goes along: the new step is read out.
    hands
        .until(
            "the keyboard to be on the step",
            "return document.activeElement.id === 'walk-step'",
        )
        .await;
}

async fn trace(hands: Hands<'_>) {
    hands.example("Barn find").await;
    hands.choose("Trace").await;
    hands.shows(".trace-form").await;
    hands.choose("Yes, each").await;
    hands.choose("Begin").await;
    hands.shows(".trace .act").await;
    let step = "return document.querySelector('.trace').innerText";
    let first = hands.page.evaluate(step).await;
    hands.choose("None of them").await;
    hands
        .until("the next step", &format!("{step} !== {first}"))
        .await;
}

async fn meter(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Meter").await;
    hands.shows(".lead").await;
    hands
        .choose_css(".lead[data-lead=red] [aria-expanded]")
        .await;
    hands.shows(".look-up input").await;
    if hands
        .page
        .evaluate("return document.activeElement.matches('.look-up input')")
        .await
        != true
    {
        hands.to_css(".look-up input").await;
    }
    hands.type_text("coil 15").await;
    hands
        .until(
            "fewer lines",
            "return document.querySelectorAll('.lookup .row').length < 4",
        )
        .await;
    hands.choose_css(".lookup .row").await;
    hands
        .until(
            "a reading",
            "return /\\d/.test(document.querySelector('[data-reading]')?.textContent ?? '')",
        )
        .await;
}

async fn cycle(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Cycle").await;
    hands.shows(".score .stave").await;
    hands.to_css("input.slide").await;
    let angle = "return document.querySelector('.crank-angle').textContent";
    let before = hands.page.evaluate(angle).await;
    hands.press(Key::Right).await;
    hands
        .until("the crank to turn", &format!("{angle} !== {before}"))
        .await;
}

async fn practice(hands: Hands<'_>) {
    hands.choose("Practice and lessons").await;
    hands.shows("[data-act=start]").await;
    hands.choose_css("[data-act=start]").await;
    hands.shows("[data-card=culprit]").await;
    hands.choose_css("[data-test]").await;
    hands
        .until(
            "one test on the record",
            "return /^1 test/.test(document.querySelector('[data-spent]').textContent)",
        )
        .await;
    hands.choose_css("[data-act='give-up']").await;
    hands.shows("[data-card=truth]").await;
}

async fn lesson(hands: Hands<'_>) {
    hands.choose("Practice and lessons").await;
    hands.shows("[data-lesson='2']").await;
    hands.choose_css("[data-lesson='2']").await;
    hands.shows("[data-act=next]").await;
    hands.choose_css("[data-act=next]").await;
    hands
        .until(
            "the second step",
            "return !!document.querySelector('[data-lesson-step=\"1\"]')",
        )
        .await;
}

async fn edit(hands: Hands<'_>) {
    hands.twin().await;
    let parts = "return document.querySelectorAll('.map-canvas .item.part').length";
    let wires = "return document.querySelectorAll('.map-canvas .item.wire').length";
    let (few, thin) = (hands.number(parts).await, hands.number(wires).await);
    hands.type_text("e").await;
    hands.shows(".edit-tools .icon").await;
    hands.type_text("a").await;
    hands.shows("dialog[open] .row").await;
    hands.choose("Fuse").await;
    hands
        .until("one part more", &format!("{parts} === {}", few + 1))
        .await;
    hands.choose("Connect Fuse").await;
    hands.shows("dialog[open] .lookup .row").await;
    if hands
        .page
        .evaluate("return document.activeElement.matches('dialog input')")
        .await
        != true
    {
        hands.to_css("dialog[open] input").await;
    }
    hands.type_text("battery 30").await;
    hands
        .until(
            "one line",
            "return document.querySelectorAll('dialog[open] .lookup .row').length === 1",
        )
        .await;
    hands.choose_css("dialog[open] .lookup .row").await;
    hands
        .until("one wire more", &format!("{wires} === {}", thin + 1))
        .await;
    hands.press(Key::Delete).await;
    hands
        .until("it to be taken away", &format!("{wires} === {thin}"))
        .await;
    for _ in 0..3 {
        hands.command('z').await;
    }
    hands
        .until("all as it was", &format!("{parts} === {few}"))
        .await;
}

async fn table(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Pin table").await;
    hands.shows("#pin-grid td").await;
    hands.to_css("#pin-grid").await;
    hands.press(Key::Down).await;
    // To the last column: a note can be written to any row with a wire.
    hands.press(Key::End).await;
    for _ in 0..8 {
        hands.press(Key::Right).await;
    }
    hands.press(Key::Enter).await;
    hands.shows("#pin-field").await;
    hands
        .until(
            "the field to have the keyboard",
            "return document.activeElement.id === 'pin-field'",
        )
        .await;
    hands.type_text("by keys").await;
    hands.press(Key::Enter).await;
    hands
        .until(
            "the cell to say so",
            "return document.querySelector('#pin-grid').innerText.includes('by keys')",
        )
        .await;
}

async fn paste(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Pin table").await;
    hands.shows("#pin-grid td").await;
    hands.choose("Paste rows").await;
    hands.shows(".pins textarea").await;
    if hands
        .page
        .evaluate("return document.activeElement.matches('.pins textarea')")
        .await
        != true
    {
        hands.to_css(".pins textarea").await;
    }
    // A tab cannot be typed into a field: rows may be parted by semicolons too.
    let rows = "unit;pin;note\nIgnition box;77;from keys";
    hands.type_text(rows).await;
    hands.shows(".pin-guess").await;
    hands.to_css(".pin-foot [data-weight=strong]").await;
    hands.press(Key::Enter).await;
    hands
        .until(
            "the new row",
            "return document.querySelector('#pin-grid')?.innerText.includes('77')",
        )
        .await;
}

async fn share(hands: Hands<'_>) {
    let permissions = json!({ "permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"] });
    hands
        .page
        .tell("Browser.grantPermissions", permissions)
        .await;
    hands.twin().await;
    hands.choose("Share this map").await;
    hands.shows(".link-field").await;
    hands.choose("Copy the link").await;
    hands.page.says("The link is copied").await;
    let copied: Value = hands
        .page
        .evaluate("return navigator.clipboard.readText()")
        .await;
    assert!(
        copied.as_str().is_some_and(|link| link.contains("#map=")),
        "{copied}"
    );
    hands.close_sheet("Share this map").await;
}

async fn projects(hands: Hands<'_>) {
    hands.twin().await;
    hands
        .until(
            "it to be kept",
            "return document.querySelector('.saved').innerText === 'saved'",
        )
        .await;
    hands.choose("All maps").await;
    hands.shows(".project").await;
    hands.choose("More for Red twin").await;
    hands.shows("dialog[open]").await;
    hands.close_sheet("More for Red twin").await;
    hands.press(Key::Enter).await;
    hands.shows("dialog[open]").await;
    hands.choose("Delete").await;
    hands
        .until(
            "it to go",
            "return !document.querySelector('.project .row')",
        )
        .await;
    hands.choose_css(".bin > summary, .toast .button").await;
    if hands
        .page
        .evaluate("return document.activeElement.matches('.bin > summary')")
        .await
        == true
    {
        hands.choose_css(".bin .button").await;
    }
    hands.shows(".project .row").await;
    tokio::time::sleep(Duration::from_millis(50)).await;
    hands.choose_css(".project .row").await;
    hands.shows(".map-canvas .item").await;
}

async fn report(hands: Hands<'_>) {
    hands.twin().await;
    hands.choose("Name, story, file").await;
    hands.shows("dialog[open] textarea").await;
    hands.choose("Report of this case").await;
    hands.shows("dialog[open] article").await;
    hands.to("Copy as text").await;
    hands.close_sheet("Name, story, file").await;
}
