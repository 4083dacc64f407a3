//! The ground floor as a person goes over it: open, break, keep, save, and what must not happen on the way.

mod broken_files;
mod comparing;
mod in_hand;
mod keyboard;
mod markup;
mod picture;
mod projects;
mod samples;
mod sharing;
mod storage;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use sparktrail_core::model::Harness;
use sparktrail_core::model::file;
use sparktrail_tests::browser::{Engine, Page, Screen};
use sparktrail_tests::place;
use thirtyfour::prelude::*;

/// How long a person would wait for something to appear.
const PATIENCE: Duration = Duration::from_secs(20);

/// The harness in a file of ours.
pub(super) fn harness_in(path: &Path) -> Harness {
    let text = fs::read_to_string(path).expect("the file can be read");
    file::read(&text).unwrap_or_else(|errors| panic!("{}: {errors}", path.display()))
}

/// A directory that is empty and this test's own.
pub(super) fn empty_directory(name: &str) -> PathBuf {
    let directory = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&directory);
    fs::create_dir_all(&directory).expect("a directory can be made");
    directory
}

/// What an XPath finds, once it is shown.
pub(super) async fn find(page: &Page, path: &str) -> WebElement {
    page.driver()
        .query(By::XPath(path))
        .and_displayed()
        .wait(PATIENCE, Duration::from_millis(50))
        .first()
        .await
        .unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Clicks what an XPath finds, or taps on it where the screen is a touch screen.
pub(super) async fn click(page: &Page, path: &str) {
    let element = find(page, path).await;
    let _ = element.scroll_into_view().await;
    element
        .click()
        .await
        .unwrap_or_else(|error| panic!("click on {path}: {error}"));
}

/// Unfolds what stands under a heading, unless it is unfolded already.
pub(super) async fn unfold(page: &Page, heading: &str) {
    let folded = find(page, &under(heading)).await;
    if folded
        .attr("open")
        .await
        .expect("the page answers")
        .is_none()
    {
        click(page, &format!("{}/summary", under(heading))).await;
    }
}

/// What stands under a heading that folds.
fn under(heading: &str) -> String {
    format!("//details[normalize-space(summary)={}]", quoted(heading))
}

/// A text as XPath writes it.
fn quoted(text: &str) -> String {
    if !text.contains('\'') {
        return format!("'{text}'");
    }
    let pieces: Vec<String> = text.split('\'').map(|piece| format!("'{piece}'")).collect();
    format!("concat({})", pieces.join(", \"'\", "))
}

/// The button with exactly these words, or this name for readers.
pub(super) fn button(words: &str) -> String {
    let words = quoted(words);
    format!("//button[normalize-space(.)={words} or @aria-label={words}]")
}

/// Chooses an example on the first screen and waits until its map is painted.
pub(super) async fn open_example(page: &Page, title: &str) {
    painted_after(page, async || {
        let path = format!(
            "//section[h2='Look at an example']//button[.//strong={}]",
            quoted(title)
        );
        click(page, &path).await;
    })
    .await;
    assert_eq!(page.text("h1").await, title);
}

/// Goes on with an own map from the first screen and waits until it is painted.
pub(super) async fn open_project(page: &Page, title: &str) {
    painted_after(page, async || {
        let path = format!(
            "//section[h2='Go on with your own']//button[.//strong={}]",
            quoted(title)
        );
        click(page, &path).await;
    })
    .await;
    assert_eq!(page.text("h1").await, title);
}

/// Hands a file to the first screen.
pub(super) async fn open_file(page: &Page, file: &Path) {
    page.upload("input[type=file]", file).await;
}

/// Waits for the painting of the map that `act` opens, and for its keeping.
pub(super) async fn painted_after(page: &Page, act: impl AsyncFnOnce()) {
    page.evaluate("performance.clearMarks('first-map'); return true")
        .await;
    act().await;
    page.until(
        "the map to be painted",
        "return performance.getEntriesByName('first-map').length > 0",
    )
    .await;
    // The map stands before that which keeps it has come.
    page.until(
        "the map to be kept, or the page to say that it is not",
        "return /^(not )?saved$/.test(document.querySelector('.saved').innerText)",
    )
    .await;
}

/// Goes to a view of the open map: by its tab, or by the list of further ones on a narrow screen.
pub(super) async fn go_to(page: &Page, view: &str) {
    let has_tab = page
        .evaluate_with(
            "return [...document.querySelectorAll('nav .tab')].some(
               tab => tab.checkVisibility() && tab.firstChild.textContent.trim() === arguments[0])",
            vec![view.into()],
        )
        .await;
    let entry = format!("button[starts-with(normalize-space(.), {})]", quoted(view));
    if has_tab == true {
        click(page, &format!("//nav//{entry}")).await;
    } else {
        click(page, "//nav//button[.='More']").await;
        click(page, &format!("//dialog[@open]//{entry}")).await;
    }
}

/// Goes from an open map to the first screen.
pub(super) async fn go_home(page: &Page) {
    click(page, &button("All maps")).await;
    find(page, "//h2[.='Look at an example']").await;
}

/// The titles of the own maps on the first screen, the one saved last first.
pub(super) async fn own_maps(page: &Page) -> Vec<String> {
    let told =
        "return document.querySelector('.start') && !document.querySelector('[data-coming]')";
    page.until("the own maps", told).await;
    page.texts(".projects strong").await
}

/// Everything that is drawn: names, lines and places, without what depends on selection or zoom
/// and without the heat, which comes when it has been reckoned.
async fn drawn(page: &Page) -> Value {
    let all = page
        .evaluate(
            "return [...document.querySelectorAll('.map-canvas :is(path, text)')]
               .filter(e => !e.closest('.glows, .badges'))
               .map(e => [e.getAttribute('d'), e.getAttribute('x'), e.getAttribute('y'),
                          e.textContent])",
        )
        .await;
    assert!(
        all.as_array().is_some_and(|all| all.len() > 20),
        "the map shows next to nothing"
    );
    all
}

/// Points at a thing on the map, by its name, as the screen lets a person do: with the mouse or
/// with a finger.
async fn choose(page: &Page, screen: Screen, name: &str) {
    let path = format!(
        "//*[name()='svg']//*[@role='button' and @aria-label={}]",
        quoted(name)
    );
    let element = find(page, &path).await;
    match screen {
        Screen::Desktop | Screen::Laptop | Screen::Small => {
            let chain = page.driver().action_chain();
            let chain = chain.move_to_element_center(&element).click();
            chain.perform().await.expect("the mouse clicks");
        }
        Screen::Phone => {
            let corner = element.rect().await.expect("it has a place");
            let (x, y) = (
                corner.x + corner.width / 2.0,
                corner.y + corner.height / 2.0,
            );
            tap(page, x, y).await;
        }
    }
}

/// A finger touches the screen and leaves it again.
pub(super) async fn tap(page: &Page, x: f64, y: f64) {
    if page.engine() == Engine::Firefox {
        // It takes no raw touches: what it makes of a finger's tap is a click.
        #[allow(clippy::cast_possible_truncation, reason = "places on a screen")]
        let (x, y) = (x.round() as i64, y.round() as i64);
        let chain = page.driver().action_chain().move_to(x, y).click();
        chain.perform().await.expect("it is tapped");
        return;
    }
    let touch = json!({ "type": "touchStart", "touchPoints": [{ "x": x, "y": y }] });
    page.tell("Input.dispatchTouchEvent", touch).await;
    let lift = json!({ "type": "touchEnd", "touchPoints": [] });
    page.tell("Input.dispatchTouchEvent", lift).await;
}

/// Where downloads go from now on.
pub(super) async fn download_into(page: &Page, directory: &Path) {
    page.download_into(directory).await;
}

/// The one file with this ending that arrives in `directory`, once `made` makes something of its text.
pub(super) async fn arrived<T>(
    directory: &Path,
    ending: &str,
    made: impl Fn(&str) -> Option<T>,
) -> (PathBuf, T) {
    let start = Instant::now();
    loop {
        let found: Vec<PathBuf> = fs::read_dir(directory)
            .expect("the directory can be read")
            .filter_map(|entry| Some(entry.ok()?.path()))
            .filter(|path| path.extension().is_some_and(|end| end == ending))
            .collect();
        if let [one] = &found[..]
            && let Ok(text) = fs::read_to_string(one)
            && let Some(made) = made(&text)
        {
            return (one.clone(), made);
        }
        assert!(
            start.elapsed() < PATIENCE,
            "no file was saved in {}: {found:?}",
            directory.display()
        );
        tokio::time::sleep(Duration::from_millis(30)).await;
    }
}

/// The one harness that arrives in `directory`.
pub(super) async fn downloaded(directory: &Path) -> (PathBuf, Harness) {
    arrived(directory, "json", |text| file::read(text).ok()).await
}

/// Everything that the browser keeps for the page.
pub(super) async fn kept(page: &Page) -> Value {
    page.evaluate("return Object.fromEntries(Object.entries(localStorage).sort())")
        .await
}

/// Gives the open map another title, in its sheet.
pub(super) async fn rename_open(page: &Page, title: &str) {
    click(page, &button("Name, story, file")).await;
    page.fill("dialog[open] input", title).await;
    click(page, "//dialog[@open]//button[.='Keep']").await;
    page.until(
        "the sheet to close",
        "return !document.querySelector('dialog[open]')",
    )
    .await;
}

/// The path of a sample.
pub(super) fn sample(name: &str) -> PathBuf {
    place::sample(name)
}
