//! The page kept on the device: it opens without a network, and a newer one waits until it is asked for.

use std::fs;
use std::path::{Path, PathBuf};

use sparktrail_site::keep_offline;
use sparktrail_tests::browser::axe::{self, Impact};
use sparktrail_tests::browser::{Encoding, Page, Scheme, Screen, Served, dist};

use super::ground::{button, click, empty_directory, go_home, open_example, own_maps, rename_open};

/// The page that `cargo xtask build` made, in a folder of this test's own.
pub(super) fn copied(name: &str) -> PathBuf {
    let folder = empty_directory(name);
    copy(&dist(), &folder);
    folder
}

fn copy(from: &Path, to: &Path) {
    for entry in fs::read_dir(from).expect("the page is built: cargo xtask build") {
        let entry = entry.expect("the folder can be read");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            fs::create_dir_all(&target).expect("a folder can be made");
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("a file can be copied");
        }
    }
}

/// Waits until the whole page is kept.
async fn is_kept(page: &Page) {
    page.until(
        "the page to be kept",
        "return navigator.serviceWorker.getRegistration().then((found) => !!found?.active)",
    )
    .await;
}

/// Adds a line to a style sheet, as a newer build might.
fn change(folder: &Path) {
    let sheet = folder.join("first.css");
    let text = fs::read_to_string(&sheet).expect("the sheet can be read");
    fs::write(sheet, text + "\n:root { --of-the-newer: 1; }\n").expect("it can be written");
}

/// Whether the page has the changed sheet.
async fn is_newer(page: &Page) -> bool {
    let script =
        "return getComputedStyle(document.documentElement).getPropertyValue('--of-the-newer')";
    page.evaluate(script).await == "1"
}

#[test]
fn the_second_visit_needs_no_network() {
    let folder = copied("offline");
    let Some(served) = Served::start(&folder, Encoding::Plain) else {
        return;
    };
    served.visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Green tourer").await;
        rename_open(page, "Green tourer, far from home").await;
        is_kept(page).await;
        served.fall_silent();
        page.open("?from=elsewhere").await;
        assert_eq!(own_maps(page).await, ["Green tourer, far from home"]);
        // An example that was never looked at, and the second module behind it.
        open_example(page, "Grey saloon").await;
        click(page, &button("Suspects")).await;
        page.picture("without-network").await;
        go_home(page).await;
        assert_eq!(own_maps(page).await.len(), 2);
    });
}

#[test]
fn a_newer_page_waits_until_it_is_asked_for_and_loses_nothing() {
    let folder = copied("renewed");
    let Some(served) = Served::start(&folder, Encoding::Plain) else {
        return;
    };
    served.visit(Screen::Desktop, Scheme::Dark, async |page| {
        keep_then_publish(page, &folder).await;
        open_example(page, "Grey saloon").await;
        look_for_newer(page).await;
        page.says("A newer Sparktrail is ready").await;
        page.picture("newer-page").await;
        if let Some(program) = axe::program() {
            let mut broken = axe::broken(page, &program, "the newer page's note").await;
            broken.retain(|one| one.impact >= Impact::Serious);
            assert!(broken.is_empty(), "{broken:?}");
        }
        assert!(!is_newer(page).await, "it waits");
        rename_open(page, "Grey saloon, half done").await;
        click(page, &button("Use it now")).await;
        page.says("Sparktrail was renewed").await;
        assert!(is_newer(page).await);
        assert_eq!(
            own_maps(page).await,
            ["Grey saloon, half done", "Green tourer"]
        );
    });
}

/// Opens an example, comes back once the page is kept, and finds a newer one published meanwhile.
async fn keep_then_publish(page: &Page, folder: &Path) {
    page.open("").await;
    open_example(page, "Green tourer").await;
    is_kept(page).await;
    page.reload().await;
    change(folder);
    keep_offline(folder).expect("the page can be listed");
}

/// Asks for a newer page, as the browser itself does now and then.
async fn look_for_newer(page: &Page) {
    page.evaluate(
        "return navigator.serviceWorker.getRegistration().then((found) => found.update()).then(() => true)",
    )
    .await;
}

#[test]
fn a_page_that_is_half_published_is_not_taken() {
    let folder = copied("half-published");
    let Some(served) = Served::start(&folder, Encoding::Plain) else {
        return;
    };
    served.visit(Screen::Desktop, Scheme::Light, async |page| {
        keep_then_publish(page, &folder).await;
        // One more change after the list was made: the list no longer fits.
        change(&folder);
        look_for_newer(page).await;
        page.until(
            "the newer page to be given up",
            "return navigator.serviceWorker.getRegistration()
                .then((found) => !found.installing && !found.waiting)",
        )
        .await;
        let kept = page.evaluate("return caches.keys()").await;
        assert_eq!(kept.as_array().map(Vec::len), Some(1), "{kept}");
        page.reload().await;
        assert!(!is_newer(page).await);
        assert_eq!(own_maps(page).await, ["Green tourer"]);
    });
}
