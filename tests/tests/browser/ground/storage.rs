//! A browser that keeps nothing, or nothing more: the page says so and hands out a file.

use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::{
    button, click, download_into, downloaded, empty_directory, find, go_home, harness_in,
    open_example, open_project, own_maps, rename_open, sample,
};

/// Takes all the room that the browser gives, down to the last few characters.
const FILL: &str = "
let size = 1 << 22, n = 0;
while (size > 0) {
  try { localStorage.setItem('filling' + n, 'x'.repeat(size)); n += 1; }
  catch { size >>= 1; }
}
return n";

/// A browser that forbids storage throws as soon as the page asks for it.
const FORBID: &str = "Object.defineProperty(window, 'localStorage', {
  get() { throw new DOMException('storage is forbidden here', 'SecurityError') } })";

/// The file that the message offers to save.
async fn save_from_message(page: &Page, name: &str) -> sparktrail_core::model::Harness {
    let directory = empty_directory(name);
    download_into(page, &directory).await;
    click(page, "//*[@role='alert']//button[.='Save as a file']").await;
    downloaded(&directory).await.1
}

#[test]
fn a_full_browser_loses_nothing() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Green tourer").await;
        page.evaluate(FILL).await;
        rename_open(page, "Green tourer, after the storm").await;
        page.says("There is no room left").await;
        find(page, "//*[@role='status' and .='not saved']").await;
        page.picture("storage-full").await;
        let saved = save_from_message(page, "storage-full").await;
        assert_eq!(saved.title, "Green tourer, after the storm");
        assert_eq!(saved.parts, harness_in(&sample("green-tourer")).parts);

        // What was kept before still is.
        page.reload().await;
        assert_eq!(own_maps(page).await, ["Green tourer"]);
        open_project(page, "Green tourer").await;

        // With room again, changes are kept again.
        page.evaluate("for (const key of Object.keys(localStorage)) if (key.startsWith('filling')) localStorage.removeItem(key); return true")
            .await;
        rename_open(page, "Green tourer, dry").await;
        find(page, "//*[@role='status' and .='saved']").await;
        go_home(page).await;
        assert_eq!(own_maps(page).await, ["Green tourer, dry"]);
    });
}

#[test]
fn an_example_opens_in_a_full_browser() {
    visit(Screen::Desktop, Scheme::Dark, async |page| {
        page.open("").await;
        page.evaluate(FILL).await;
        open_example(page, "Grey saloon").await;
        page.says("There is no room left").await;
        let saved = save_from_message(page, "example-in-full-browser").await;
        assert_eq!(saved, harness_in(&sample("grey-saloon")));
    });
}

#[test]
fn a_browser_that_keeps_nothing_still_works() {
    for screen in Screen::ALL {
        visit(screen, Scheme::Light, async |page| {
            page.beforehand(FORBID).await;
            page.open("").await;
            page.says("This browser does not let the page keep anything")
                .await;
            page.picture("storage-closed-start").await;
            open_example(page, "Yellow van").await;
            page.says("This browser does not let the page keep anything")
                .await;
            page.picture("storage-closed-map").await;
            let saved = save_from_message(page, &format!("storage-closed-{screen:?}")).await;
            assert_eq!(saved, harness_in(&sample("yellow-van")));
            // The palette turns all the same.
            click(page, &button("Colours: as the system. Change to light")).await;
            find(page, &button("Colours: light. Change to dark")).await;
        });
    }
}
