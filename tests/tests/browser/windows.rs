//! Two windows on one project, backups, files that are too large, and a browser without room: nothing is lost.

use std::fs;
use std::time::Duration;

use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use thirtyfour::WindowHandle;

use super::ground::{
    arrived, button, click, download_into, downloaded, empty_directory, find, go_home, kept,
    open_example, open_file, open_project, own_maps, rename_open,
};

const CHANGED: &str = "This map was changed in another window.";

async fn saved(page: &Page) {
    page.until(
        "the map to be kept",
        "return document.querySelector('.saved').innerText === 'saved'",
    )
    .await;
}

/// Opens the page in a second window of the same browser, and stays there.
async fn second_window(page: &Page) -> (WindowHandle, WindowHandle) {
    let driver = page.driver();
    let first = driver.window().await.expect("there is a window");
    let second = driver.new_tab().await.expect("a tab opens");
    to(page, &second).await;
    page.look(Screen::Desktop, Scheme::Light).await;
    page.open("").await;
    (first, second)
}

async fn to(page: &Page, window: &WindowHandle) {
    let switched = page.driver().switch_to_window(window.clone()).await;
    switched.expect("the window is there");
}

#[test]
fn two_windows_do_not_overwrite_each_other() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Blue estate").await;
        saved(page).await;
        let (first, second) = second_window(page).await;
        open_project(page, "Blue estate").await;
        rename_open(page, "Estate, second window").await;
        saved(page).await;

        // The first one is told, goes on all the same, and keeps both.
        to(page, &first).await;
        page.says(CHANGED).await;
        page.picture("two-windows").await;
        let theirs = kept(page).await;
        rename_open(page, "Estate, first window").await;
        page.says("not saved").await;
        tokio::time::sleep(Duration::from_millis(700)).await;
        assert_eq!(kept(page).await, theirs, "something was overwritten");
        // Taking the change back does not take back what was told.
        page.evaluate("document.querySelector('.tools button').click(); return true")
            .await;
        page.says("Blue estate").await;
        tokio::time::sleep(Duration::from_millis(700)).await;
        page.says(CHANGED).await;
        page.evaluate("document.querySelectorAll('.tools button')[1].click(); return true")
            .await;
        click(page, &button("Keep both")).await;
        saved(page).await;
        go_home(page).await;
        assert_eq!(
            own_maps(page).await,
            [
                "Estate, first window (from a second window)",
                "Estate, second window"
            ]
        );

        // The second one was not disturbed.
        to(page, &second).await;
        assert_eq!(page.count("[role=alert]").await, 0);
        rename_open(page, "Estate, still the second").await;
        saved(page).await;
        to(page, &first).await;
        page.until(
            "the list to follow",
            "return document.querySelector('.projects strong').innerText === 'Estate, still the second'",
        )
        .await;
    });
}

#[test]
fn the_other_windows_state_is_taken_and_undone() {
    visit(Screen::Desktop, Scheme::Dark, async |page| {
        page.open("").await;
        open_example(page, "Green tourer").await;
        saved(page).await;
        let (first, second) = second_window(page).await;
        open_project(page, "Green tourer").await;
        rename_open(page, "Tourer, theirs").await;
        saved(page).await;
        to(page, &first).await;
        page.says(CHANGED).await;
        click(page, &button("Show the other window’s")).await;
        page.until(
            "theirs",
            "return document.querySelector('h1').innerText === 'Tourer, theirs'",
        )
        .await;
        saved(page).await;
        assert_eq!(page.count("[role=alert]").await, 0);
        click(page, "//div[@class='tools']//button[1]").await;
        page.until(
            "ours",
            "return document.querySelector('h1').innerText === 'Green tourer'",
        )
        .await;
        saved(page).await;
        to(page, &second).await;
        page.says(CHANGED).await;

        // Deleted there, it can be kept here.
        to(page, &first).await;
        go_home(page).await;
        click(page, &button("More for Green tourer")).await;
        click(page, "//dialog[@open]//button[.='Delete']").await;
        to(page, &second).await;
        page.says("This map was deleted in another window.").await;
        click(page, &button("Keep this one")).await;
        saved(page).await;
        go_home(page).await;
        assert_eq!(own_maps(page).await, ["Tourer, theirs"]);
    });
}

/// What was changed in a window that had fallen behind is kept even if nobody chooses.
#[test]
fn leaving_a_window_that_fell_behind_keeps_both() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Yellow van").await;
        saved(page).await;
        let (first, _) = second_window(page).await;
        open_project(page, "Yellow van").await;
        rename_open(page, "Van, second window").await;
        saved(page).await;
        to(page, &first).await;
        page.says(CHANGED).await;
        rename_open(page, "Van, first window").await;
        page.says("not saved").await;
        go_home(page).await;
        assert_eq!(
            own_maps(page).await,
            [
                "Van, first window (from a second window)",
                "Van, second window"
            ]
        );
    });
}

#[test]
fn all_maps_go_into_one_file_and_come_back() {
    let directory = empty_directory("backup");
    let backup = visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        for title in ["Blue estate", "Grey saloon"] {
            open_example(page, title).await;
            go_home(page).await;
        }
        download_into(page, &directory).await;
        click(page, &button("Back up all to one file")).await;
        page.says("2 maps are in the backup.").await;
        let whole = |text: &str| text.ends_with('}').then_some(());
        let (file, ()) = arrived(&directory, "json", whole).await;
        assert_eq!(
            file.file_name().unwrap_or_default(),
            "sparktrail-backup.json"
        );

        // Gone on since: the backup comes beside, and what is the same stays as it is.
        open_project(page, "Blue estate").await;
        rename_open(page, "Blue estate, mended").await;
        saved(page).await;
        go_home(page).await;
        open_file(page, &file).await;
        page.says("1 map kept beside your own, which went on since, 1 map here already.")
            .await;
        let mut titles = own_maps(page).await;
        titles.sort();
        let expected = [
            "Blue estate (from a backup)",
            "Blue estate, mended",
            "Grey saloon",
        ];
        assert_eq!(titles, expected);
        page.picture("restored-beside").await;
        file
    });
    let Some(backup) = backup else { return };
    visit(Screen::Phone, Scheme::Dark, async |page| {
        page.open("").await;
        open_file(page, &backup).await;
        page.says("2 maps restored.").await;
        assert_eq!(own_maps(page).await, ["Grey saloon", "Blue estate"]);
        page.picture("restored").await;
        open_project(page, "Grey saloon").await;
        go_home(page).await;

        // A damaged one changes nothing.
        let before = kept(page).await;
        let text = fs::read_to_string(&backup).expect("the backup can be read");
        let cut = directory.join("cut.json");
        fs::write(&cut, &text[..text.len() / 2]).expect("a file can be written");
        open_file(page, &cut).await;
        page.says("This backup could not be read").await;
        page.says("Take a complete copy").await;
        assert_eq!(kept(page).await, before);
    });
}

#[test]
fn a_file_that_is_too_large_is_not_even_read() {
    let directory = empty_directory("large");
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Red twin").await;
        go_home(page).await;
        let before = kept(page).await;
        for (name, beginning, bytes, said) in [
            (
                "map",
                "{",
                50_000_000,
                "This file has 50 MB. Such a file has at most 4 MB",
            ),
            (
                "just",
                "{",
                4_000_001,
                "This file has 5 MB. Such a file has at most 4 MB",
            ),
            (
                "backup",
                "{ \"format\": \"sparktrail-backup\"",
                50_000_000,
                "This file has 50 MB. Such a file has at most 32 MB",
            ),
        ] {
            let path = directory.join(format!("{name}.json"));
            fs::write(&path, beginning).expect("a file can be written");
            let file = fs::File::options().write(true).open(&path);
            let file = file.expect("the file is there");
            file.set_len(bytes).expect("it can be made long");
            open_file(page, &path).await;
            page.says(said).await;
            assert_eq!(kept(page).await, before);
            fs::remove_file(&path).expect("it can be removed");
            click(page, &button("Close")).await;
        }
        assert_eq!(own_maps(page).await, ["Red twin"]);
    });
}

/// Takes all the room that the browser gives.
pub(super) const FILL: &str = "
let size = 1 << 22, n = 0;
while (size > 0) {
  try { localStorage.setItem('filling' + n, 'x'.repeat(size)); n += 1; }
  catch { size >>= 1; }
}
return n";

#[test]
fn a_map_that_cannot_be_kept_is_not_lost_to_the_next_one() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        page.evaluate(FILL).await;
        click(page, &button("My engine")).await;
        super::ground::painted_after(page, async || {
            click(page, &button("Draw the map")).await;
        })
        .await;
        page.says("There is no room left").await;
        go_home(page).await;
        page.says("“My inline 4” could not be kept on this device.")
            .await;
        page.picture("left-unsaved").await;

        // Nothing else takes its place.
        let example = "//section[h2='Look at an example']//button[.//strong='Red twin']";
        click(page, example).await;
        page.says("“My inline 4” is not kept yet, so nothing else was opened.")
            .await;
        click(page, &button("Go back to it")).await;
        find(page, "//h1[.='My inline 4']").await;

        // Once it is in a file, the next one may.
        let directory = empty_directory("left-unsaved");
        download_into(page, &directory).await;
        click(page, "//*[@role='alert']//button[.='Save as a file']").await;
        assert_eq!(downloaded(&directory).await.1.title, "My inline 4");
        go_home(page).await;
        page.until(
            "the note to go",
            "return !document.querySelector('[role=alert]')",
        )
        .await;
        open_example(page, "Red twin").await;
    });
}
