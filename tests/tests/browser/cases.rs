//! Whole cases on a phone, from an empty browser to a closed case and a report.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::path::Path;
use std::time::Duration;

use sparktrail_tests::browser::{Engine, Page, Scheme, Screen, visit};

use super::ground::{
    button, click, download_into, empty_directory, find, go_to, open_example, open_project, unfold,
};
use super::suspects::choose;
use super::trace;

/// Adds a resistance that was read, by the form.
async fn add_resistance(page: &Page, red: &str, black: &str, read: &str) {
    go_to(page, "Findings").await;
    click(page, "//details[contains(@class,'add')]/summary").await;
    choose(page, "Red lead on", red).await;
    choose(page, "Black lead on", black).await;
    choose(page, "Was the fault there at the time?", "yes").await;
    page.fill(".add-form input[type=text]", read).await;
    click(page, &button("Enter it")).await;
}

/// Waits until a suspect leads.
async fn leads(page: &Page, name: &str) {
    go_to(page, "Suspects").await;
    let script = format!(
        "return document.querySelector('.suspect-name')?.textContent === {}",
        serde_json::json!(name)
    );
    page.until(&format!("{name} to lead"), &script).await;
}

/// Mends, sees that all cylinders work, and closes the case with its cause.
async fn mend_and_close(page: &Page, done: &str, cause: &str, cylinders: usize) {
    go_to(page, "Next").await;
    unfold(page, "I did something to the car").await;
    page.fill(".closing textarea", done).await;
    click(page, &button("It is mended, I think")).await;
    page.says("Mended. Is the fault gone?").await;
    page.says("nothing was looked at since").await;
    click(page, &button("All cylinders work now")).await;
    page.says(&format!("{cylinders} of {cylinders} cylinders work"))
        .await;
    click(page, &button("It is gone: close the case")).await;
    click(
        page,
        &format!("//form[contains(@class,'read')]{}", button(cause)),
    )
    .await;
    click(page, &button("Close the case")).await;
    page.says("Case closed").await;
    for place in ["Map", "Findings", "Suspects"] {
        go_to(page, place).await;
        page.says("Case closed").await;
    }
    go_to(page, "Findings").await;
    page.says("on the mended car").await;
}

/// The text of the report, saved as a file.
async fn report(page: &Page, directory: &Path) -> String {
    page.until(
        "passing messages to pass",
        "return !document.querySelector('.toast')",
    )
    .await;
    click(page, &button("Report of this case")).await;
    find(page, "//dialog[@open]//article").await;
    page.until(
        "the map in the report",
        "return document.querySelector('.report-map')?.naturalWidth > 0",
    )
    .await;
    download_into(page, directory).await;
    click(page, &button("Save as a file")).await;
    for _ in 0..200 {
        let written = fs::read_dir(directory)
            .unwrap()
            .filter_map(|entry| Some(entry.ok()?.path()))
            .find(|path| path.extension().is_some_and(|end| end == "md"));
        if let Some(text) = written.and_then(|path| fs::read_to_string(path).ok())
            && text.contains("Sparktrail")
        {
            return text;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("no report was saved");
}

/// On paper the report stands alone, from its title to its last line.
async fn on_paper(page: &Page) {
    let paper = serde_json::json!({ "printBackground": false });
    let printed = page.tell("Page.printToPDF", paper).await;
    let printed = printed["data"].as_str().unwrap();
    // "%PDF" as base64 writes it.
    assert!(printed.starts_with("JVBER"), "no paper came");
    // It stands in the page itself and nothing else shows: what stands over the page is cut to one sheet.
    let print = serde_json::json!({ "media": "print" });
    page.tell("Emulation.setEmulatedMedia", print).await;
    let shown = "return [...document.querySelectorAll('#app > *')]
        .filter(piece => piece.getClientRects().length > 0)
        .map(piece => [piece.className, piece.textContent.includes('Fitted another Coil C')])";
    let shown = page.evaluate(shown).await;
    let screen = serde_json::json!({ "media": "" });
    page.tell("Emulation.setEmulatedMedia", screen).await;
    assert_eq!(shown, serde_json::json!([["paper", true]]));
}

#[test]
fn an_unfamiliar_car_with_unknown_pins() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Barn find").await;
        trace::begin(page).await;
        trace::to_the_end(page).await;
        click(page, &button("Put it on the map")).await;
        page.says("All of it is on the map.").await;

        add_resistance(page, "Coil C · 4a", "Coil C · 4b", "OL").await;
        leads(page, "Coil C").await;
        mend_and_close(page, "Fitted another Coil C", "Coil C", 6).await;

        // Closing is a change like any other.
        go_to(page, "Map").await;
        click(page, "//button[starts-with(@aria-label, 'Undo')]").await;
        page.says("Mended. Is the fault gone?").await;
        click(page, "//button[starts-with(@aria-label, 'Redo')]").await;
        page.says("Case closed").await;

        let text = report(page, &empty_directory("unfamiliar-car")).await;
        for told in [
            "It was\\: Coil C",
            "Done\\: Fitted another Coil C",
            "6 of 6 cylinders work",
            "| Control unit | 23 | switching a coil |",
            "| Control unit | 24 | switching a coil |",
            "Cylinder 3 is dead.",
            "(on the mended car)",
            "OL, no way through, from Coil C",
        ] {
            assert!(text.contains(told), "{told} is not in\n{text}");
        }
        page.picture("report").await;
        if page.engine() == Engine::Chromium {
            on_paper(page).await;
        }

        // It is closed when the page comes back, and can be opened again.
        page.reload().await;
        open_project(page, "Barn find").await;
        page.says("Case closed").await;
        click(page, &button("The fault is back: open it again")).await;
        leads(page, "Coil C").await;
    });
}
