//! The report of a case: what it says, that no name in it is carried out, and that it leaves the page whole.

use std::fs;

use serde_json::json;
use sparktrail_core::model::file;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::ground::{
    arrived, button, click, download_into, empty_directory, go_to, harness_in, open_file,
    painted_after, sample,
};

/// A title and a name that would change the page, or the look of a forum's text, if they were markup.
const TITLE: &str = "Cruiser <img src=x onerror=\"carriedOut=1\"> *mine*";
const COIL: &str = "Coil <script>carriedOut=1</script> | one";

/// The V8 sample under those names, as if nothing had been found yet.
async fn open_hostile(page: &Page) {
    let mut harness = harness_in(&sample("white-cruiser"));
    harness.title = TITLE.into();
    let coil = harness
        .parts
        .values_mut()
        .find(|part| part.name == "Coil A");
    coil.expect("the sample has a coil A").name = COIL.into();
    harness.findings.clear();
    let path = empty_directory("report").join("hostile.json");
    fs::write(&path, file::write(&harness)).expect("the file can be written");
    page.open("").await;
    painted_after(page, async || open_file(page, &path).await).await;
}

/// Enters on the page that cylinders 1 and 6 are dead, and waits for the suspects.
async fn enter_two_dead(page: &Page) {
    go_to(page, "Findings").await;
    for cylinder in [1, 6] {
        page.click(&format!(".cyl:nth-child({cylinder})")).await;
        page.find(&format!(".cyl:nth-child({cylinder})[data-state=dead]"))
            .await;
    }
    page.click(".others").await;
    page.says("Cylinder 8 works.").await;
    go_to(page, "Suspects").await;
    // What was cleared is written once somebody opens it.
    page.click(".suspects details.card > summary").await;
    page.until(
        "the verdict on all cylinders",
        "return [...document.querySelectorAll('.reason')].some(r => r.textContent.includes('Cylinder 8'))",
    )
    .await;
}

async fn open_report(page: &Page) {
    click(page, &button("Name, story, file")).await;
    click(page, "//dialog[@open]//button[.='Report of this case']").await;
    page.find("dialog[open] .report").await;
}

/// The rows of the table under a heading of the report, each as its cells.
async fn rows_under(page: &Page, heading: &str) -> Vec<Vec<String>> {
    let rows = page
        .evaluate_with(
            "let at = [...document.querySelectorAll('.report h4')].find(h => h.textContent === arguments[0]);
             while (at && !at.querySelector('tbody')) at = at.nextElementSibling;
             return [...at.querySelectorAll('tbody tr')].map(r => [...r.cells].map(c => c.textContent))",
            vec![json!(heading)],
        )
        .await;
    serde_json::from_value(rows).expect("rows of text")
}

#[test]
fn a_case_is_reported_in_full_and_nothing_in_it_is_carried_out() {
    let directory = empty_directory("reports");
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_hostile(page).await;
        enter_two_dead(page).await;
        open_report(page).await;
        assert_eq!(page.text(".report h3").await, TITLE);
        // The engine as the sample's file has it.
        page.says("Firing order: 1-8-4-3-6-5-7-2").await;

        let found = rows_under(page, "What was found").await;
        assert_eq!(found.len(), 8, "{found:?}");
        // In the order in which it was entered.
        for (cylinder, row) in [1, 6, 2, 3, 4, 5, 7, 8].into_iter().zip(&found) {
            let says = if [1, 6].contains(&cylinder) {
                "is dead."
            } else {
                "works."
            };
            assert_eq!(row[1], format!("Cylinder {cylinder} {says}"));
        }

        let suspects = rows_under(page, "What could be wrong").await;
        assert!(!suspects.is_empty());
        assert!(
            suspects.iter().all(|row| row[2].contains("Cylinder")),
            "{suspects:?}"
        );

        // In the sample's file one coil has towers for 1 and 6.
        let fed = rows_under(page, "Which cylinders share what").await;
        let coil = fed.iter().find(|row| row[1].contains(COIL));
        assert_eq!(coil.map(|row| row[2].as_str()), Some("1, 6"), "{fed:?}");

        let carried_out = page
            .evaluate(
                "return [typeof window.carriedOut,
                         document.querySelectorAll('.report :is(img:not(.report-map), script)').length]",
            )
            .await;
        assert_eq!(carried_out, json!(["undefined", 0]));
        page.picture("report").await;
    });
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_hostile(page).await;
        enter_two_dead(page).await;
        open_report(page).await;
        let permissions =
            json!({ "permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"] });
        page.tell("Browser.grantPermissions", permissions).await;
        click(page, "//dialog[@open]//button[.='Copy as text']").await;
        page.says("Copied. Paste it where you like.").await;
        let copied = page.evaluate("return navigator.clipboard.readText()").await;
        let copied = copied.as_str().expect("the clipboard holds text");
        assert!(copied.starts_with("# Cruiser \\<img "), "{copied}");
        assert!(copied.contains("\\*mine\\*"), "{copied}");
        assert!(copied.contains("Cylinder 6 is dead."), "{copied}");

        download_into(page, &directory).await;
        click(page, "//dialog[@open]//button[.='Save as a file']").await;
        let whole = |text: &str| (text.trim_end() == copied.trim_end()).then_some(());
        let (path, ()) = arrived(&directory, "md", whole).await;
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        assert!(name.starts_with("cruiser-img"), "{name}");
    });
}
