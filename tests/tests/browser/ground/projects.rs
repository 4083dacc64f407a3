//! Own maps: renamed, copied, deleted and brought back, saved as a file and opened from it.

use sparktrail_core::model::file;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::{
    button, choose, click, download_into, downloaded, drawn, empty_directory, find, go_home,
    harness_in, open_example, open_file, open_project, own_maps, painted_after, rename_open,
    sample,
};

/// Opens the sheet of one own map on the first screen.
async fn more_for(page: &Page, title: &str) {
    click(page, &button(&format!("More for {title}"))).await;
    find(page, "//dialog[@open]").await;
}

/// Chooses in the open sheet, and waits until it is gone.
async fn in_sheet(page: &Page, words: &str) {
    click(page, &format!("//dialog[@open]//button[.='{words}']")).await;
    page.until(
        "the sheet to close",
        "return !document.querySelector('dialog[open]')",
    )
    .await;
}

#[test]
fn own_maps_are_renamed_copied_deleted_and_brought_back() {
    for (screen, scheme) in [
        (Screen::Desktop, Scheme::Light),
        (Screen::Phone, Scheme::Dark),
    ] {
        visit(screen, scheme, async |page| {
            page.open("").await;
            open_example(page, "Black coupé").await;
            let map = drawn(page).await;
            go_home(page).await;
            assert_eq!(own_maps(page).await, ["Black coupé"]);

            more_for(page, "Black coupé").await;
            page.fill("dialog[open] input", "Uncle's coupé").await;
            in_sheet(page, "Rename").await;
            assert_eq!(own_maps(page).await, ["Uncle's coupé"]);

            more_for(page, "Uncle's coupé").await;
            in_sheet(page, "Make a copy").await;
            assert_eq!(
                own_maps(page).await,
                ["Uncle's coupé (copy)", "Uncle's coupé"]
            );

            more_for(page, "Uncle's coupé").await;
            in_sheet(page, "Delete").await;
            page.says("Uncle's coupé was deleted.").await;
            assert_eq!(own_maps(page).await, ["Uncle's coupé (copy)"]);
            page.picture("deleted").await;
            click(page, "//*[@role='status']//button[.='Undo']").await;
            page.until(
                "the map to be back",
                "return document.querySelectorAll('.projects strong').length === 2",
            )
            .await;

            // Later, when the message is gone, the bin still gives it back, after a reload too.
            more_for(page, "Uncle's coupé").await;
            in_sheet(page, "Delete").await;
            page.reload().await;
            assert_eq!(own_maps(page).await, ["Uncle's coupé (copy)"]);
            click(page, "//summary[.='Deleted lately']").await;
            click(page, &button("Put back")).await;
            page.until(
                "the map to be back",
                "return document.querySelectorAll('.projects strong').length === 2",
            )
            .await;

            for title in ["Uncle's coupé (copy)", "Uncle's coupé"] {
                open_project(page, title).await;
                assert!(drawn(page).await == map, "{title} looks other than before");
                go_home(page).await;
            }
        });
    }
}

#[test]
fn a_map_saved_as_a_file_is_the_same_map() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let original = harness_in(&sample("white-cruiser"));
        page.open("").await;
        open_example(page, &original.title).await;

        // From the open map.
        let directory = empty_directory("saved-open-map");
        download_into(page, &directory).await;
        click(page, &button("Name, story, file")).await;
        click(page, "//dialog[@open]//button[.='Save as a file']").await;
        let (file, saved) = downloaded(&directory).await;
        assert_eq!(saved, original);
        assert_eq!(file.file_name().unwrap_or_default(), "white-cruiser.json");

        // A change that was made here is in the file: a fact that is less sure than it seemed.
        choose(page, Screen::Desktop, "Coil A").await;
        find(page, "//aside//h2[.='Coil A']").await;
        let facts = "//aside//dl//div[dt='Primary, 1 to 15']";
        click(page, &format!("{facts}//button[@data-source='assumed']")).await;
        rename_open(page, "Cruiser, in doubt").await;
        go_home(page).await;

        // From the list on the first screen.
        let directory = empty_directory("saved-own-map");
        download_into(page, &directory).await;
        more_for(page, "Cruiser, in doubt").await;
        in_sheet(page, "Save as a file").await;
        let (saved_file, changed) = downloaded(&directory).await;
        assert_eq!(changed.title, "Cruiser, in doubt");
        assert_ne!(changed.parts, original.parts, "the fact is as it was");
        let again = file::write(&changed);
        assert_eq!(
            file::read(&again).expect("what was written can be read"),
            changed
        );

        // The map that the file holds is there already: it opens as what it is.
        open_project(page, "Cruiser, in doubt").await;
        let map = drawn(page).await;
        go_home(page).await;
        painted_after(page, async || open_file(page, &saved_file).await).await;
        go_home(page).await;
        assert_eq!(own_maps(page).await, ["Cruiser, in doubt"]);

        // Once that has gone on, the file opens as a map of its own beside it.
        more_for(page, "Cruiser, in doubt").await;
        page.fill("dialog[open] input", "Cruiser, mended").await;
        in_sheet(page, "Rename").await;
        painted_after(page, async || open_file(page, &saved_file).await).await;
        assert_eq!(page.text("h1").await, "Cruiser, in doubt");
        assert!(drawn(page).await == map, "the file draws another map");
        choose(page, Screen::Desktop, "Coil A").await;
        let pressed = format!("{facts}//button[@aria-pressed='true']");
        let how = find(page, &pressed).await.attr("data-source").await;
        assert_eq!(
            how.expect("a button can be asked").as_deref(),
            Some("assumed")
        );
        go_home(page).await;
        assert_eq!(
            own_maps(page).await,
            ["Cruiser, in doubt", "Cruiser, mended"]
        );
    });
}
