//! A tour of the whole app: every place where a person can come to stand, one after the other.
//!
//! The way is taken by scripts, not by hands: what a tour looks at is the places, whatever the screen.
//! That hands and keys get there is for other tests to show.

use serde_json::json;
use thirtyfour::Key;

use super::Page;
use crate::place;

/// One act on the way.
enum Act {
    /// Opens the page anew.
    Open(&'static str),
    /// Opens the link of a sample.
    OpenLink(&'static str),
    /// Presses what says this, or is called so, in the sheet that is open where there is one.
    Press(&'static str),
    /// Presses the first that the selector finds.
    Css(&'static str),
    /// Goes to a view of the open map.
    View(&'static str),
    /// Chooses a thing on the map, by its name.
    Choose(&'static str),
    /// A key, wherever the keyboard is.
    Key(Key),
    /// Hands a file of the repository to a field.
    Upload(&'static str, &'static str),
    /// Writes a field anew.
    Fill(&'static str, &'static str),
    /// Runs a script.
    Run(&'static str),
    /// Waits until the selector finds something that shows.
    Wait(&'static str),
    /// Unfolds everything that folds.
    Unfold,
    /// Here is a place.
    Look(&'static str),
}

use Act::{Choose, Css, Fill, Look, Open, OpenLink, Press, Run, Unfold, Upload, View, Wait};

/// From now on the browser keeps nothing.
const KEEPS_NOTHING: &str = "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError') }; return true";

const FIRST_SCREEN: &[Act] = &[
    Open(""),
    Wait(".example"),
    Look("first screen"),
    Press("My engine"),
    Wait("fieldset"),
    Unfold,
    Look("my engine"),
    Press("Back"),
    Upload(
        "input[type=file]",
        "tests/broken-harnesses/several-at-once.json",
    ),
    Wait(".alarm"),
    Look("first screen, a broken file"),
];

const MAP: &[Act] = &[
    Open(""),
    Css("[data-example=white-cruiser]"),
    Wait(".map-canvas .item"),
    Wait(".side .sureness, .side .hint"),
    Look("map"),
    Choose("Coil A"),
    Wait(".picked"),
    Press("Show the walks from here"),
    Wait(".walk-offers"),
    Look("map, a part"),
    Choose("Cylinder 1, dead"),
    Wait(".picked"),
    Look("map, a cylinder"),
    Act::Key(Key::Escape),
    View("What if"),
    Wait(".group"),
    Unfold,
    Look("what if"),
    Choose("Coil A"),
    Wait(".way"),
    Unfold,
    Css(".way"),
    Wait(".outcome"),
    Look("what if, broken"),
    Css(".outcome > .button"),
    View("Shared"),
    Wait(".share"),
    Look("shared"),
    View("Check"),
    Unfold,
    Look("check"),
];

const SEARCH: &[Act] = &[
    View("Findings"),
    Wait(".found"),
    Unfold,
    Look("findings"),
    View("Suspects"),
    Wait(".suspect"),
    Unfold,
    Look("suspects"),
    View("Next"),
    Wait(".act"),
    Unfold,
    Look("next"),
    Css(".walk-begin"),
    Wait(".walk-card"),
    Unfold,
    Look("a walk"),
    View("Meter"),
    Wait(".lead"),
    Unfold,
    Look("meter"),
    Css("[data-lead=red] [aria-expanded]"),
    Wait(".look-up input"),
    Look("meter, choosing a terminal"),
    View("Cycle"),
    Wait(".score .stave"),
    Unfold,
    Look("cycle"),
];

const CHANGE: &[Act] = &[
    View("Map"),
    Press("Edit the map"),
    Wait(".edit-tools .icon"),
    Look("editor"),
    Choose("Coil A"),
    Wait("[aria-label^='Connect ']"),
    Unfold,
    Look("editor, a part"),
    Css("[aria-label^='Connect ']"),
    Wait("dialog[open] .lookup .row"),
    Look("editor, choosing a terminal"),
    Act::Key(Key::Escape),
    Press("Add a part"),
    Wait("dialog[open] button"),
    Look("editor, adding"),
    Act::Key(Key::Escape),
    Press("Done editing"),
    Css(".stage > .forms button:nth-child(2)"),
    Wait("#pin-grid td"),
    Look("pin table"),
    Css("#pin-grid td[data-column=colour]"),
    Css("#pin-grid td[data-column=colour]"),
    Wait("#pin-field"),
    Look("pin table, a cell"),
    Act::Key(Key::Escape),
    Press("Paste rows"),
    Wait(".pins textarea"),
    Fill(
        ".pins textarea",
        "unit\tpin\tcolour\nControl unit\t7\tBK/WH\nControl unit\t1\tnone such",
    ),
    Wait(".pins table"),
    Look("pin table, pasting"),
    Css(".stage > .forms button:nth-child(3)"),
    Wait(".face, .faces, .pins"),
    Look("connector"),
    Css(".stage > .forms button:nth-child(1)"),
];

const SEND: &[Act] = &[
    Press("Share this map"),
    Wait(".link-field"),
    Unfold,
    Look("sharing"),
    Act::Key(Key::Escape),
    Press("Name, story, file"),
    Wait("dialog[open] textarea"),
    Look("name and story"),
    Press("Report of this case"),
    Wait("dialog[open] article"),
    Look("report"),
    Act::Key(Key::Escape),
    Press("Name, story, file"),
    Press("Compare with another map"),
    Wait("dialog[open] .paste input"),
    Look("compare, choosing"),
    Upload(
        "dialog[open] input[type=file]",
        "sample-harnesses/yellow-van.json",
    ),
    Wait(".difference"),
    Look("compare"),
    Press("End comparing"),
    Act::Key(Key::Escape),
    Run("document.activeElement.blur(); return true"),
    Run(
        "document.body.dispatchEvent(new KeyboardEvent('keydown', { key: '?', bubbles: true })); return true",
    ),
    Wait("dialog[open] .facts"),
    Look("keys"),
    Act::Key(Key::Escape),
    Css(".bar .tab:last-child"),
    Wait("dialog[open] .rows"),
    Look("further views"),
    Act::Key(Key::Escape),
    Press("All maps"),
    Wait(".projects .row"),
    Look("first screen, own maps"),
    Css("[aria-label^='More for']"),
    Wait("dialog[open]"),
    Look("an own map"),
    Press("Delete"),
    Wait(".toast"),
    Look("first screen, a map deleted"),
];

const TRACE: &[Act] = &[
    Open(""),
    Css("[data-example=barn-find]"),
    Wait(".map-canvas .item"),
    View("Trace"),
    Wait(".trace-form"),
    Look("trace"),
    Press("Yes, each"),
    Press("Begin"),
    Wait(".trace .act"),
    Unfold,
    Look("trace, a step"),
];

const PRACTICE: &[Act] = &[
    Open(""),
    Css("[data-act=practice]"),
    Wait("[data-act=start]"),
    Look("practice"),
    Css("[data-act=start]"),
    Wait("[data-card=culprit]"),
    Css("[data-test]"),
    Unfold,
    Look("practice, searching"),
    Css("[data-act=give-up]"),
    Wait("[data-card=truth]"),
    Unfold,
    Look("practice, the truth"),
    Css(".practice .home"),
    Wait("[data-lesson='2']"),
    Css("[data-lesson='2']"),
    Wait("[data-act=next]"),
    Look("lesson"),
];

const NOTES: &[Act] = &[
    Open(""),
    OpenLink("green-tourer"),
    Wait("dialog[open] .sent-title"),
    Look("a link that came"),
    Open("?again"),
    Open("?again#map=1cut"),
    Wait("dialog[open] .alarm"),
    Look("a link that is cut"),
    Open(""),
    Css("[data-example=red-twin]"),
    Wait(".side .sureness, .side .hint"),
    Run(KEEPS_NOTHING),
    Press("Name, story, file"),
    Wait("dialog[open] input"),
    Fill("dialog[open] input", "Not kept"),
    Press("Keep"),
    Wait(".side .alarm"),
    Look("a map that is not kept"),
];

const TOUR: &[&[Act]] = &[
    FIRST_SCREEN,
    MAP,
    SEARCH,
    CHANGE,
    SEND,
    TRACE,
    PRACTICE,
    NOTES,
];

/// Goes through all places and calls `look` at each with its name.
///
/// # Panics
/// When a place cannot be reached.
pub async fn tour(page: &Page, look: impl AsyncFnMut(&'static str)) {
    tour_in(page, &str::to_owned, look).await;
}

/// The same in another language: `said` tells what the page says for the English of a button, a view or a thing.
///
/// # Panics
/// When a place cannot be reached.
pub async fn tour_in(
    page: &Page,
    said: &dyn Fn(&str) -> String,
    mut look: impl AsyncFnMut(&'static str),
) {
    for act in TOUR.iter().copied().flatten() {
        if let Look(name) = act {
            page.settle().await;
            look(name).await;
        } else {
            act.take(page, said).await;
        }
    }
}

/// How many places the tour comes to.
#[must_use]
pub fn places() -> usize {
    let acts = TOUR.iter().copied().flatten();
    acts.filter(|act| matches!(act, Look(_))).count()
}

/// Whether an element shows.
const SHOWS: &str = "const shows = e => e.checkVisibility({ checkVisibilityCSS: true });";

impl Act {
    async fn take(&self, page: &Page, said: &dyn Fn(&str) -> String) {
        match self {
            Self::Open(path) => page.open(path).await,
            Self::OpenLink(name) => page.open(&link(name)).await,
            Self::Press(words) => press(page, &said(words)).await,
            Self::Css(css) => css_press(page, &said(css)).await,
            Self::View(name) => view(page, &said(name)).await,
            Self::Choose(name) => choose(page, &said(name)).await,
            Self::Key(key) => page.press(key.value().to_string()).await,
            Self::Upload(css, path) => page.upload(css, &place::root().join(path)).await,
            Self::Fill(css, text) => page.fill(css, text).await,
            Self::Run(script) => {
                page.evaluate(script).await;
            }
            Self::Wait(css) => {
                let script = format!(
                    "{SHOWS} return [...document.querySelectorAll({})].some(shows)",
                    json!(said(css))
                );
                page.until(css, &script).await;
            }
            Self::Unfold => {
                let script = "for (const folded of document.querySelectorAll('details')) folded.open = true; return true";
                page.evaluate(script).await;
            }
            Self::Look(_) => {}
        }
    }
}

/// The link of a sample, from the `#` on.
fn link(name: &str) -> String {
    let text =
        std::fs::read_to_string(place::sample(name)).unwrap_or_else(|e| panic!("{name}: {e}"));
    let harness =
        sparktrail_core::model::file::read(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
    let link = sparktrail_core::share::link(&harness).unwrap_or_else(|e| panic!("{name}: {e}"));
    format!("{}{link}", sparktrail_core::share::MARK)
}

async fn press(page: &Page, words: &str) {
    let script = format!(
        "{SHOWS}
         const said = e => (e.getAttribute('aria-label') ?? e.innerText).trim().replace(/\\s+/g, ' ');
         const within = document.querySelector('dialog[open]') ?? document;
         const found = [...within.querySelectorAll('button, summary')]
           .find(e => shows(e) && !e.disabled && said(e).startsWith({}));
         found?.click();
         return !!found",
        json!(words)
    );
    page.until(&format!("{words:?} to press"), &script).await;
}

async fn css_press(page: &Page, css: &str) {
    let script = format!(
        "const found = document.querySelector({}); found?.click(); return !!found",
        json!(css)
    );
    page.until(&format!("{css} to press"), &script).await;
}

/// Goes to a view of the open map, whether its tab shows or not.
pub async fn view(page: &Page, name: &str) {
    let script = format!(
        "const tab = [...document.querySelectorAll('.top .tab')]
           .find(tab => tab.firstChild.textContent.trim() === {});
         tab?.click();
         return !!tab",
        json!(name)
    );
    page.until(&format!("the view {name}"), &script).await;
}

/// Chooses a thing on the map.
async fn choose(page: &Page, name: &str) {
    let script = format!(
        "const item = document.querySelector('.map-canvas [aria-label=' + CSS.escape({}) + ']');
         item?.focus();
         return !!item && document.activeElement === item",
        json!(name)
    );
    page.until(&format!("{name} on the map"), &script).await;
    page.press(Key::Enter.value().to_string()).await;
}
