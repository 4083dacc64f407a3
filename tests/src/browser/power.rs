//! The power is cut in the middle of what a person does: after each single change to what the browser keeps.

use std::path::PathBuf;

use serde_json::{Value, json};
use sparktrail_core::model::{Harness, PartKind, file};
use sparktrail_core::share;

use super::Page;
use super::faults::{maps, open, plant, press, rename, says_saved, titles};
use crate::place;

/// Something that a person does to maps that are kept: “Kept first” and “Kept second”.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flow {
    /// The first gets another title.
    Rename,
    /// A part is added to the first, and saved by itself.
    Edit,
    /// A link is opened as a new map.
    FromLink,
    /// The first is deleted, which is taken back at once.
    DeleteAndUndo,
    /// A backup is taken in: a map that is not here, and another state of the first.
    Restore,
    /// The first is copied.
    Duplicate,
}

impl Flow {
    /// Every flow.
    pub const ALL: [Self; 6] = [
        Self::Rename,
        Self::Edit,
        Self::FromLink,
        Self::DeleteAndUndo,
        Self::Restore,
        Self::Duplicate,
    ];

    /// How many changes to what is kept it makes: records, the list, old records taken away.
    #[must_use]
    pub const fn changes(self) -> u32 {
        match self {
            Self::Rename | Self::Edit => 3,
            Self::FromLink | Self::DeleteAndUndo | Self::Duplicate => 2,
            Self::Restore => 4,
        }
    }
}

/// After so many changes nothing is kept any more, and nothing says so.
const CUT: &str = "
globalThis.changesLeft = arguments[0];
for (const change of ['setItem', 'removeItem']) {
  const real = Storage.prototype[change];
  Storage.prototype[change] = function (...told) {
    if (globalThis.changesLeft > 0) { globalThis.changesLeft -= 1; real.apply(this, told); }
  };
}
return true";

/// Everything that can be had: the record of each project, and of each that can be brought back.
const HAD: &str = "
const list = JSON.parse(localStorage.getItem('sparktrail/1/projects'));
return [...list.projects, ...list.bin].map(e => [e.title, localStorage.getItem(`sparktrail/1/map/${e.id}.${e.revision}`)])";

/// What lies on the device, by title.
struct Had(Vec<(String, String)>);

impl Had {
    async fn on(page: &Page) -> Self {
        let found: Vec<(String, Option<String>)> = serde_json::from_value(page.evaluate(HAD).await)
            .unwrap_or_else(|error| panic!("what is kept: {error}"));
        let whole = |(title, text): (String, Option<String>)| {
            let text = text.unwrap_or_else(|| panic!("{title} has no record"));
            (title, text)
        };
        Self(found.into_iter().map(whole).collect())
    }

    fn titles(&self) -> Vec<&str> {
        let mut titles: Vec<&str> = self.0.iter().map(|(title, _)| title.as_str()).collect();
        titles.sort_unstable();
        titles
    }

    fn text(&self, title: &str) -> &str {
        let found = self.0.iter().find(|(other, _)| other == title);
        found.map_or_else(|| panic!("{title} is lost"), |(_, text)| text.as_str())
    }
}

fn map(text: &str) -> Harness {
    file::read(text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn sample(name: &str) -> Harness {
    let text = std::fs::read_to_string(place::sample(name));
    map(&text.unwrap_or_else(|error| panic!("{name}: {error}")))
}

/// A backup with a map that is not here and another state of the first.
fn backup() -> PathBuf {
    let value = |text: &str| -> Value {
        serde_json::from_str(text).unwrap_or_else(|error| panic!("{error}"))
    };
    let [first, _] = maps();
    let mut other = value(&first);
    other["about"] = json!("as it was in spring");
    let mut new = value(&file::write(&sample("barn-find")));
    new["title"] = json!("From the backup");
    let backup = json!({
        "format": "sparktrail-backup",
        "version": 1,
        "maps": [
            { "id": "1700000000000", "changed": 1.0, "map": other },
            { "id": "1600000000000", "changed": 2.0, "map": new },
        ],
    });
    let path = place::target().join("power-cut-backup.json");
    std::fs::write(&path, backup.to_string())
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    path
}

async fn more_for_first(page: &Page, act: &str) {
    press(page, "//button[@aria-label='More for Kept first']").await;
    press(page, &format!("//dialog[@open]//button[.='{act}']")).await;
    page.until(
        "the sheet to close",
        "return !document.querySelector('dialog[open]')",
    )
    .await;
}

/// Does it, with the power going off after so many changes.
async fn act(page: &Page, flow: Flow, after: u32) {
    if matches!(flow, Flow::Rename | Flow::Edit) {
        open(page, "Kept first").await;
    } else {
        titles(page).await;
    }
    page.evaluate_with(CUT, vec![json!(after)]).await;
    match flow {
        Flow::Rename => {
            rename(page, "Kept first, changed").await;
            says_saved(page, "saved").await;
        }
        Flow::Edit => {
            page.click("[aria-label='Edit the map']").await;
            page.click("[aria-label='Add a part']").await;
            press(page, "//dialog[@open]//button[.='Relay']").await;
            page.find("[aria-label^='Connect Relay']").await;
            says_saved(page, "saved").await;
        }
        Flow::FromLink => {
            let mut sent = sample("barn-find");
            sent.title = "Sent to me".into();
            let link = share::link(&sent).unwrap_or_else(|error| panic!("{error}"));
            page.fill(".paste input", &format!("#map={link}")).await;
            press(page, "//button[.='Open the link']").await;
            press(page, "//dialog[@open]//button[.='Look at the map']").await;
            says_saved(page, "saved").await;
        }
        Flow::DeleteAndUndo => {
            more_for_first(page, "Delete").await;
            press(page, "//*[@role='status']//button[.='Undo']").await;
        }
        Flow::Restore => {
            page.upload("input[type=file]", &backup()).await;
            page.find(".toast").await;
        }
        Flow::Duplicate => {
            more_for_first(page, "Make a copy").await;
            page.settle().await;
        }
    }
}

/// What may be there afterwards: each title with what its map must be like. The first two are there whatever happens.
fn is_one_of_ours(flow: Flow, title: &str, text: &str) -> bool {
    let [first, second] = maps();
    match (title, flow) {
        ("Kept second", _) => text == second,
        ("Kept first", Flow::Edit) => text == first || has_relay(text) && !has_relay(&first),
        // Another state of the first stands beside it, under a title of its own.
        ("Kept first", _) => text == first,
        ("Kept first, changed", Flow::Rename) | ("Kept first (copy)", Flow::Duplicate) => {
            map(text).parts == map(&first).parts
        }
        ("Sent to me", Flow::FromLink) | ("From the backup", Flow::Restore) => {
            map(text).parts == sample("barn-find").parts
        }
        (_, Flow::Restore) => map(text).about == "as it was in spring",
        (_, _) => false,
    }
}

fn has_relay(text: &str) -> bool {
    let map = map(text);
    let mut parts = map.parts.values();
    parts.any(|part| part.name == "Relay" && matches!(part.kind, PartKind::Relay(_)))
}

/// Whether all of it arrived.
fn is_done(flow: Flow, had: &Had) -> bool {
    let titles = had.titles();
    match flow {
        Flow::Rename => titles == ["Kept first, changed", "Kept second"],
        Flow::Edit => has_relay(had.text("Kept first")),
        Flow::FromLink => titles == ["Kept first", "Kept second", "Sent to me"],
        Flow::DeleteAndUndo => titles == ["Kept first", "Kept second"],
        Flow::Restore => titles.len() == 4 && titles.contains(&"From the backup"),
        Flow::Duplicate => titles == ["Kept first", "Kept first (copy)", "Kept second"],
    }
}

pub(super) async fn cut(page: &Page, flow: Flow, after: u32) {
    plant(page).await;
    page.reload().await;
    act(page, flow, after).await;
    // The power is back.
    page.reload().await;
    let listed = titles(page).await;
    let had = Had::on(page).await;
    for (title, text) in &had.0 {
        assert!(is_one_of_ours(flow, title, text), "{title} is {text}");
    }
    let titles = had.titles();
    let is_there = |title: &str| titles.contains(&title);
    assert!(is_there("Kept second"), "{titles:?}");
    let renamed = flow == Flow::Rename && is_there("Kept first, changed");
    assert!(is_there("Kept first") != renamed, "{titles:?}");
    if after == 0 {
        assert_eq!(titles, ["Kept first", "Kept second"]);
    }
    if after >= flow.changes() {
        assert!(is_done(flow, &had), "{titles:?}");
        assert_eq!(listed.len(), titles.len(), "{listed:?} of {titles:?}");
    }
    // And it goes on from there.
    let first = listed
        .first()
        .unwrap_or_else(|| panic!("nothing is listed of {titles:?}"));
    open(page, first).await;
    rename(page, "Gone on").await;
    says_saved(page, "saved").await;
    assert!(Had::on(page).await.titles().contains(&"Gone on"));
}
