//! When the program breaks or does not come, every map is handed over as a file, and the page goes on.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};
use sparktrail_tests::browser::{Encoding, Page, Scheme, Screen, Served, visit};

use super::ground::{
    arrived, button, click, download_into, downloaded, empty_directory, find, go_home, kept,
    open_example, open_file, open_project, own_maps, rename_open,
};
use super::offline::copied;

/// The browser fails the program where it cannot do without: the next element that it makes is refused.
const REFUSE: &str = "
const real = Document.prototype.createElement;
Document.prototype.createElement = function (...told) {
  if (!document.querySelector('.rescue') && !globalThis.refused) {
    globalThis.refused = true;
    throw new Error('no element for you');
  }
  return real.apply(this, told);
};
const clone = Node.prototype.cloneNode;
Node.prototype.cloneNode = function (...told) {
  if (!globalThis.refused) {
    globalThis.refused = true;
    throw new Error('no element for you');
  }
  return clone.apply(this, told);
};
return true";

/// Lets every page to come call its program with an address far outside of its memory: a real trap. It must be the
/// page's own script: a driver's script may get a program of its own.
const CAN_TRAP: &str = "
globalThis.trap = () => import(new URL('sparktrail.js', location.href).href)
  .then(({ default: init }) => init())
  .then((program) => { setTimeout(() => program.__wbindgen_free(0xfffffff0, 64, 1)); });";
const TRAP: &str = "window.trap(); return true";

const BROKE: &str = "Something in the program broke";

/// Saves all maps by the way out, then loads the page again in a browser that forgot everything, and restores them
/// through the program's own restore.
async fn saves_and_restores(page: &Page, directory: &Path, titles: &[&str]) {
    let before = kept(page).await;
    download_into(page, directory).await;
    click(page, &button("Save all maps in one file")).await;
    page.says("To get the maps back").await;
    let whole = |text: &str| serde_json::from_str::<Value>(text).ok();
    let (file, backup) = arrived(directory, "json", whole).await;
    assert_eq!(backup["maps"].as_array().map(Vec::len), Some(titles.len()));
    assert_eq!(kept(page).await, before, "what is broken writes nothing");

    click(page, &button("Load the page again")).await;
    assert_eq!(own_maps(page).await, titles);
    page.evaluate("localStorage.clear(); return true").await;
    page.reload().await;
    page.until("no maps", "return !document.querySelector('.projects')")
        .await;
    open_file(page, &file).await;
    page.says("2 maps restored").await;
    assert_eq!(own_maps(page).await, titles);
    let again = kept(page).await;
    for (key, map) in before.as_object().into_iter().flatten() {
        if let Some(id) = key.strip_prefix("sparktrail/1/map/") {
            let id = id.split('.').next().unwrap_or_default();
            let back = again.as_object().into_iter().flatten();
            let mut back = back.filter(|(key, _)| key.contains(&format!("map/{id}.")));
            assert_eq!(back.next().map(|(_, map)| map), Some(map), "{key}");
        }
    }
}

/// Two maps, the second one open.
async fn two_maps(page: &Page) {
    page.beforehand(CAN_TRAP).await;
    page.open("").await;
    open_example(page, "Green tourer").await;
    go_home(page).await;
    open_example(page, "Red twin").await;
    rename_open(page, "Red twin, of a friend").await;
    find(page, "//*[@role='status' and .='saved']").await;
}

#[test]
fn a_panic_hands_over_every_map_and_goes_on() {
    let directory = empty_directory("panic");
    visit(Screen::Phone, Scheme::Light, async |page| {
        two_maps(page).await;
        page.evaluate(REFUSE).await;
        page.evaluate(
            "document.querySelector('[aria-label=\"Name, story, file\"]').click(); return true",
        )
        .await;
        page.says(BROKE).await;
        page.picture("panic").await;
        let troubles = page.forgive_troubles().await.join("\n");
        assert!(troubles.contains("panicked at"), "{troubles}");
        saves_and_restores(page, &directory, &["Red twin, of a friend", "Green tourer"]).await;
        open_project(page, "Red twin, of a friend").await;
    });
}

#[test]
fn a_trap_hands_over_every_map_and_goes_on() {
    let directory = empty_directory("trap");
    visit(Screen::Desktop, Scheme::Dark, async |page| {
        two_maps(page).await;
        page.evaluate(TRAP).await;
        page.says(BROKE).await;
        page.picture("trap").await;
        page.forgive_troubles().await;
        saves_and_restores(page, &directory, &["Red twin, of a friend", "Green tourer"]).await;
    });
}

/// A map that had no place on the device when the program broke is handed over too, alone or with the others.
#[test]
fn a_map_that_was_not_kept_outlives_a_panic() {
    let directory = empty_directory("panic-unsaved");
    visit(Screen::Phone, Scheme::Light, async |page| {
        two_maps(page).await;
        page.evaluate(super::windows::FILL).await;
        rename_open(page, "Red twin, not kept").await;
        page.says("There is no room left").await;
        page.evaluate(TRAP).await;
        page.says(BROKE).await;
        page.forgive_troubles().await;
        download_into(page, &directory).await;
        click(page, &button("Save: Red twin, not kept")).await;
        let (file, map) = downloaded(&directory).await;
        assert_eq!(map.title, "Red twin, not kept");
        fs::remove_file(file).expect("it can be removed");
        click(page, &button("Save all maps in one file")).await;
        let whole = |text: &str| serde_json::from_str::<Value>(text).ok();
        let (_, backup) = arrived(&directory, "json", whole).await;
        let maps = backup["maps"].as_array().into_iter().flatten();
        let titles: Vec<&str> = maps
            .filter_map(|kept| kept["map"]["title"].as_str())
            .collect();
        assert_eq!(
            titles,
            [
                "Red twin, not kept",
                "Red twin, of a friend",
                "Green tourer"
            ]
        );
    });
}

const NO_PROGRAM: &str = "this is no program";

/// Two maps are kept; then a file of the page does not come, or another text in its place. `shows` opens the page and
/// comes to the way out; with the file back, all maps are saved and restored.
fn with_a_file_amiss(
    name: &str,
    file: &str,
    instead: Option<&str>,
    shows: impl AsyncFnOnce(&Page),
) {
    let folder = copied(name);
    let directory = empty_directory(&format!("{name}-maps"));
    // Kept on the device, the page would not be asked for at all.
    fs::remove_file(folder.join("worker.js")).expect("there is a worker");
    let Some(served) = Served::start(&folder, Encoding::Plain) else {
        return;
    };
    served.visit(Screen::Phone, Scheme::Light, async |page| {
        two_maps(page).await;
        page.forgive_troubles().await;
        let path = folder.join(file);
        let sound = fs::read(&path).expect("it is there");
        match instead {
            None => fs::remove_file(&path).expect("it can be removed"),
            Some(text) => fs::write(&path, text).expect("it can be written"),
        }
        shows(page).await;
        page.picture(name).await;
        page.forgive_troubles().await;
        fs::write(&path, sound).expect("it can be written");
        saves_and_restores(page, &directory, &["Red twin, of a friend", "Green tourer"]).await;
        page.forgive_troubles().await;
    });
}

#[test]
fn a_page_that_cannot_start_hands_over_every_map() {
    for (file, instead) in [
        ("sparktrail.js", None),
        ("sparktrail.js", Some(NO_PROGRAM)),
        ("sparktrail_bg.wasm", None),
        ("sparktrail_bg.wasm", Some(NO_PROGRAM)),
        ("boot.js", None),
    ] {
        with_a_file_amiss("cannot-start", file, instead, async |page| {
            page.go("").await;
            page.says("The program could not start").await;
            let twice = "return document.body.textContent.includes('The page could not start')";
            assert_eq!(
                page.evaluate(twice).await,
                json!(false),
                "one message is enough"
            );
        });
    }
}

/// The second module does not come, or is no program: the map stands, and the maps can be saved.
#[test]
fn a_second_module_that_cannot_run_hands_over_every_map() {
    for instead in [None, Some(NO_PROGRAM)] {
        let file = "split_workshop.wasm";
        with_a_file_amiss("no-second-module", file, instead, async |page| {
            page.open("").await;
            page.says("The rest of the program did not arrive").await;
            click(page, &button("Save my maps as files")).await;
            page.says("Your maps as files").await;
        });
    }
}

#[test]
fn what_is_damaged_is_saved_as_it_is() {
    let directory = empty_directory("damaged-rescue");
    visit(Screen::Phone, Scheme::Light, async |page| {
        two_maps(page).await;
        let spoil = "
const key = Object.keys(localStorage).find((key) => localStorage.getItem(key).includes('of a friend') && key.includes('/map/'));
localStorage.setItem(key, localStorage.getItem(key).slice(0, 700));
return true";
        page.evaluate(spoil).await;
        page.evaluate(TRAP).await;
        page.says("damaged, saved just as it is").await;
        page.forgive_troubles().await;
        download_into(page, &directory).await;
        click(page, &button("Save all maps in one file")).await;
        let whole = |text: &str| serde_json::from_str::<Value>(text).ok();
        let (_, backup) = arrived(&directory, "json", whole).await;
        assert_eq!(backup["maps"].as_array().map(Vec::len), Some(1));
        let damaged = &backup["damaged"][0];
        assert_eq!(damaged["title"], json!("Red twin, of a friend"));
        assert_eq!(damaged["text"].as_str().map(str::len), Some(700));
    });
}
