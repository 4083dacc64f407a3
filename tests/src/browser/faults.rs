//! What can befall the browser's storage, and the question after each of them: is every map still there?

use std::time::Duration;

use serde_json::json;
use thirtyfour::prelude::*;

use super::power::{Flow, cut};
use super::{Page, Scheme, Screen, Served};
use crate::place;

/// Something that befalls what the browser keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// There is no room left while a map is open and changed.
    Full,
    /// The page is given no storage at all.
    Blocked,
    /// Everything is thrown away while a map is open.
    Emptied,
    /// The power is cut after so many changes to what is kept, in the middle of something.
    Cut(Flow, u32),
    /// Something else stands under a key.
    Spoilt(Key, &'static str),
    /// A newer program wrote what stands under a key.
    Newer(Key, &'static str),
    /// A newer program says more of the projects in the list than this one knows.
    MoreTold,
}

/// A kind of key that the program keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// The list of projects.
    List,
    /// The first project's map.
    Map,
    /// The second project's guided walk.
    Walk,
    /// The second project's trace.
    Trace,
    /// Which tools are at hand.
    Tools,
    /// Light or dark.
    Theme,
    /// Which language is spoken.
    Language,
    /// Which build was here last.
    Build,
    /// A key that this program does not know.
    Unknown,
}

impl Key {
    fn name(self) -> &'static str {
        match self {
            Self::List => "sparktrail/1/projects",
            Self::Map => "sparktrail/1/map/1700000000000.3",
            Self::Walk => "sparktrail/1/walk/1700000000001",
            Self::Trace => "sparktrail/1/trace/1700000000001",
            Self::Tools => "sparktrail/1/tools",
            Self::Theme => "sparktrail/1/theme",
            Self::Language => "sparktrail/1/language",
            Self::Build => "sparktrail/1/build",
            Self::Unknown => "sparktrail/1/map/nobody knows",
        }
    }
}

/// Every fault, in the order in which the tests go through them.
#[must_use]
pub fn all() -> Vec<Fault> {
    let mut all = vec![Fault::Full, Fault::Blocked, Fault::Emptied];
    for flow in Flow::ALL {
        all.extend((0..=flow.changes()).map(|after| Fault::Cut(flow, after)));
    }
    let rubbish = [
        "",
        "{oops",
        "null",
        "[]",
        "\u{0}\u{ffff}",
        "{\"projects\":[]}",
    ];
    for key in [
        Key::List,
        Key::Map,
        Key::Walk,
        Key::Trace,
        Key::Tools,
        Key::Theme,
        Key::Language,
        Key::Build,
        Key::Unknown,
    ] {
        let texts = match key {
            Key::List | Key::Map => &rubbish[..],
            Key::Walk
            | Key::Trace
            | Key::Tools
            | Key::Theme
            | Key::Language
            | Key::Build
            | Key::Unknown => &rubbish[1..2],
        };
        all.extend(texts.iter().map(|text| Fault::Spoilt(key, text)));
    }
    all.extend([
        Fault::Spoilt(Key::List, ELSEWHERE),
        Fault::Newer(Key::List, "{\"projects\":[],\"of_a_newer_program\":[1]}"),
        Fault::Newer(
            Key::List,
            "{\"version\":2,\"maps\":{\"1700000000000\":\"A\"}}",
        ),
        Fault::Newer(
            Key::Map,
            "{\"format\":\"sparktrail-harness\",\"version\":2,\"title\":\"Kept first\",\"new\":{}}",
        ),
        Fault::Newer(
            Key::Walk,
            "sparktrail-walk 2 dead steady\nof a newer program\n\n",
        ),
        Fault::Newer(Key::Trace, "sparktrail-trace 2\nof a newer program\n"),
        Fault::Newer(Key::Unknown, "of a newer program"),
        Fault::MoreTold,
    ]);
    all
}

/// A list whose entries speak of records that are not there.
const ELSEWHERE: &str = "{\"projects\":[\
    {\"id\":\"1700000000000\",\"title\":\"Kept first\",\"changed\":1700000000000,\"revision\":88},\
    {\"id\":\"1700000000001\",\"title\":\"Kept second\",\"changed\":1700000000001,\"revision\":0}]}";

/// Takes all the room that the browser gives, down to the last few characters.
const FILL: &str = "
let size = 1 << 22, n = 0;
while (size > 0) {
  try { localStorage.setItem('filling' + n, 'x'.repeat(size)); n += 1; }
  catch { size >>= 1; }
}
return n";

const EMPTY_AGAIN: &str = "
for (const key of Object.keys(localStorage)) if (key.startsWith('filling')) localStorage.removeItem(key);
return true";

/// A browser that forbids storage throws as soon as the page asks for it.
const FORBID: &str = "Object.defineProperty(window, 'localStorage', {
  get() { throw new DOMException('storage is forbidden here', 'SecurityError') } })";

/// Keeps two projects, with all that is kept beside them, as if they had been made here.
const PLANT: &str = "
const [first, second] = arguments;
localStorage.clear();
const entries = [['1700000000000', 'Kept first', 3], ['1700000000001', 'Kept second', 1]];
localStorage.setItem('sparktrail/1/map/1700000000000.3', first);
localStorage.setItem('sparktrail/1/map/1700000000001.1', second);
localStorage.setItem('sparktrail/1/projects', JSON.stringify({
  projects: entries.map(([id, title, revision]) => ({ id, title, about: '', changed: Number(id), revision })),
  bin: [],
}));
localStorage.setItem('sparktrail/1/walk/1700000000001', 'left\\nsparktrail-walk 1 dead steady\\n\\n');
localStorage.setItem('sparktrail/1/trace/1700000000001', 'sparktrail-trace 1\\nunit 1\\npins -\\ncoils -\\ncoverage all\\n');
return true";

/// Lets a fault befall a page in a fresh browser.
///
/// # Panics
/// When something is lost by it, or the page does not go on.
pub fn suffer(served: &Served, fault: Fault) {
    served.visit(Screen::Phone, Scheme::Light, async |page| match fault {
        Fault::Blocked => blocked(page).await,
        Fault::Full => full(page).await,
        Fault::Emptied => emptied(page).await,
        Fault::Cut(flow, after) => cut(page, flow, after).await,
        Fault::MoreTold => more_told(page).await,
        Fault::Spoilt(key, text) | Fault::Newer(key, text) => spoilt(page, key, text).await,
    });
}

/// The two maps, as text.
pub(super) fn maps() -> [String; 2] {
    [("red-twin", "Kept first"), ("yellow-van", "Kept second")].map(|(sample, title)| {
        let text = std::fs::read_to_string(place::sample(sample))
            .unwrap_or_else(|error| panic!("{sample}: {error}"));
        let mut map: serde_json::Value =
            serde_json::from_str(&text).unwrap_or_else(|error| panic!("{sample}: {error}"));
        map["title"] = json!(title);
        map.to_string()
    })
}

pub(super) async fn plant(page: &Page) -> [String; 2] {
    page.open("").await;
    let maps = maps();
    page.evaluate_with(PLANT, maps.iter().map(|map| json!(map)).collect())
        .await;
    maps
}

/// Presses what an XPath finds, once it is shown.
pub(super) async fn press(page: &Page, path: &str) {
    let query = page.driver().query(By::XPath(path)).and_displayed();
    let found = query
        .wait(Duration::from_secs(20), Duration::from_millis(50))
        .first()
        .await
        .unwrap_or_else(|error| panic!("{path}: {error}"));
    let _ = found.scroll_into_view().await;
    found
        .click()
        .await
        .unwrap_or_else(|error| panic!("click on {path}: {error}"));
}

/// The titles on the first screen, once they are read.
pub(super) async fn titles(page: &Page) -> Vec<String> {
    page.until(
        "the own maps",
        "return document.querySelector('.start') && !document.querySelector('[data-coming]')",
    )
    .await;
    let mut titles = page.texts(".projects strong").await;
    titles.sort();
    titles
}

pub(super) async fn open(page: &Page, title: &str) {
    press(page, &format!("//section//button[.//strong='{title}']")).await;
    page.until(
        "the map",
        &format!(
            "return document.querySelector('h1')?.innerText === {}",
            json!(title)
        ),
    )
    .await;
    page.until(
        "the rest of the program",
        "return /^(not )?saved$/.test(document.querySelector('.saved')?.innerText ?? '')",
    )
    .await;
}

pub(super) async fn rename(page: &Page, title: &str) {
    press(page, "//button[@aria-label='Name, story, file']").await;
    page.fill("dialog[open] input", title).await;
    press(page, "//dialog[@open]//button[.='Keep']").await;
    page.until(
        "the sheet to close",
        "return !document.querySelector('dialog[open]')",
    )
    .await;
}

pub(super) async fn says_saved(page: &Page, words: &str) {
    page.until(
        &format!("the page to say “{words}”"),
        &format!(
            "return document.querySelector('.saved')?.innerText === {}",
            json!(words)
        ),
    )
    .await;
}

async fn stands_under(page: &Page, key: &str) -> String {
    let text = page
        .evaluate_with(
            "return localStorage.getItem(arguments[0])",
            vec![json!(key)],
        )
        .await;
    text.as_str().unwrap_or_default().to_owned()
}

/// Everything that the way out offers, without the buttons' own words.
async fn offered(page: &Page) -> Vec<String> {
    let ask = "dispatchEvent(new CustomEvent('sparktrail-rescue', { detail: { cause: 'asked' } })); return true";
    page.evaluate(ask).await;
    let offered = page.texts(".rescue-maps span").await;
    page.evaluate("document.querySelector('.rescue').remove(); return true")
        .await;
    offered
}

async fn full(page: &Page) {
    plant(page).await;
    page.reload().await;
    open(page, "Kept first").await;
    page.evaluate(FILL).await;
    rename(page, "Kept first, changed").await;
    says_saved(page, "not saved").await;
    let offered = offered(page).await;
    assert!(
        offered.contains(&"Kept first, changed (not kept on this device yet)".to_owned()),
        "{offered:?}"
    );
    assert!(offered.contains(&"Kept first".to_owned()), "{offered:?}");
    page.evaluate(EMPTY_AGAIN).await;
    rename(page, "Kept first, with room").await;
    says_saved(page, "saved").await;
    page.reload().await;
    assert_eq!(titles(page).await, ["Kept first, with room", "Kept second"]);
}

async fn blocked(page: &Page) {
    page.beforehand(FORBID).await;
    page.open("").await;
    page.says("This browser does not let the page keep anything")
        .await;
    press(page, "//section//button[.//strong='Red twin']").await;
    says_saved(page, "not saved").await;
    assert_eq!(
        offered(page).await,
        ["Red twin (not kept on this device yet)"]
    );
}

async fn emptied(page: &Page) {
    plant(page).await;
    page.reload().await;
    open(page, "Kept first").await;
    page.evaluate("localStorage.clear(); return true").await;
    rename(page, "Kept first, changed").await;
    press(page, "//button[.='Keep this one']").await;
    says_saved(page, "saved").await;
    page.reload().await;
    assert_eq!(titles(page).await, ["Kept first, changed"]);
    open(page, "Kept first, changed").await;
}

/// A newer program says more of each project, and of all of them, than this one knows.
async fn more_told(page: &Page) {
    const TELL: &str = "
const list = JSON.parse(localStorage.getItem('sparktrail/1/projects'));
list.folders = ['Workshop'];
for (const entry of list.projects) entry.news = { pinned: true, of: entry.id };
localStorage.setItem('sparktrail/1/projects', JSON.stringify(list));
return true";
    const TOLD: &str = "
const list = JSON.parse(localStorage.getItem('sparktrail/1/projects'));
const all = [...list.projects, ...list.bin].map(e => [e.title, e.news?.pinned === true && e.news.of === e.id]);
return { folders: list.folders, all: Object.fromEntries(all) }";
    plant(page).await;
    page.evaluate(TELL).await;
    page.reload().await;
    open(page, "Kept first").await;
    rename(page, "Kept first, changed").await;
    says_saved(page, "saved").await;
    page.evaluate("history.back(); return true").await;
    titles(page).await;
    press(page, "//button[@aria-label='More for Kept second']").await;
    press(page, "//dialog[@open]//button[.='Delete']").await;
    press(page, "//*[@role='status']//button[.='Undo']").await;
    page.reload().await;
    assert_eq!(titles(page).await, ["Kept first, changed", "Kept second"]);
    let told = page.evaluate(TOLD).await;
    let all = json!({ "Kept first, changed": true, "Kept second": true });
    assert_eq!(told, json!({ "folders": ["Workshop"], "all": all }));
}

async fn spoilt(page: &Page, key: Key, text: &str) {
    let [_, second] = plant(page).await;
    page.evaluate_with(
        "localStorage.setItem(arguments[0], arguments[1]); return true",
        vec![json!(key.name()), json!(text)],
    )
    .await;
    page.reload().await;
    assert_eq!(titles(page).await, ["Kept first", "Kept second"]);
    if key == Key::Map {
        // It cannot be opened, which is said; what stands there is left as it is.
        press(page, "//section//button[.//strong='Kept first']").await;
        page.find("[role=alert]").await;
    } else {
        open(page, "Kept first").await;
        page.evaluate("history.back(); return true").await;
    }
    titles(page).await;
    open(page, "Kept second").await;
    let offered = offered(page).await;
    assert_eq!(offered.len(), 2, "{offered:?}");
    assert_eq!(
        stands_under(page, "sparktrail/1/map/1700000000001.1").await,
        second
    );
    if !matches!(key, Key::List | Key::Build) {
        assert_eq!(stands_under(page, key.name()).await, text);
    }
}
