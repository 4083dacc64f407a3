//! A map sent on by link into another person's browser; links that were cut, altered or made by hand; pictures.

use std::fs;
use std::time::Duration;

use sparktrail_core::edit::{Command, apply};
use sparktrail_core::share;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::{
    button, click, download_into, empty_directory, find, go_home, go_to, harness_in, kept,
    open_example, own_maps, sample,
};

/// The link that the share sheet shows.
async fn link_of(page: &Page) -> String {
    click(page, &button("Share this map")).await;
    page.until(
        "the link",
        "return document.querySelector('.link-field')?.value.includes('#map=')",
    )
    .await;
    let link = page
        .evaluate("return document.querySelector('.link-field').value")
        .await;
    link.as_str().unwrap_or_default().to_owned()
}

/// What follows the page's own address in a link.
fn letters(link: &str) -> &str {
    let (_, letters) = link.split_once("#map=").expect("a link with a map");
    letters
}

async fn close_sheet(page: &Page) {
    page.press(thirtyfour::Key::Escape).await;
    page.until(
        "the sheet to close",
        "return !document.querySelector('dialog[open]')",
    )
    .await;
}

#[test]
fn a_map_goes_by_link_into_another_browser() {
    for screen in Screen::ALL {
        let link = visit(screen, Scheme::Light, async |page| {
            page.open("").await;
            open_example(page, "White cruiser").await;
            let link = link_of(page).await;
            click(page, "//dialog[@open]//summary").await;
            find(page, "//*[@aria-label='QR code of the link']").await;
            page.picture("share").await;
            link
        });
        let Some(link) = link else { return };
        assert!(
            letters(&link).len() <= 2_000,
            "{} letters",
            letters(&link).len()
        );
        let sent = harness_in(&sample("white-cruiser"));
        assert_eq!(share::opened(&link).as_ref(), Ok(&sent));

        // An empty profile, as on the other person's machine.
        visit(screen, Scheme::Light, async |page| {
            page.open(&format!("#map={}", letters(&link))).await;
            page.says("Someone sent you this map").await;
            page.says(&sent.about).await;
            let dead = page.texts("dialog[open] .disc[data-state=dead]").await;
            assert_eq!(dead, ["1", "6"]);
            page.says("13 findings").await;
            page.until(
                "the suspects",
                "return document.querySelectorAll('dialog[open] .sent-suspect').length === 3",
            )
            .await;
            page.picture("sent").await;
            click(page, &button("Look at the map")).await;
            let address = page.evaluate("return location.href").await;
            assert!(
                !address.as_str().unwrap_or_default().contains('#'),
                "{address}"
            );
            assert_eq!(page.text("h1").await, sent.title);
            let again = link_of(page).await;
            assert_eq!(share::opened(&again).as_ref(), Ok(&sent));
            close_sheet(page).await;
            go_home(page).await;
            assert_eq!(own_maps(page).await, [sent.title.as_str()]);
        });
    }
}

#[test]
fn a_bad_link_is_told_and_touches_nothing() {
    let sent = harness_in(&sample("white-cruiser"));
    let whole = share::link(&sent).expect("it fits");
    let cut = whole[..whole.len() / 2].to_owned();
    let middle = whole.len() / 2;
    let other = if &whole[middle..=middle] == "x" {
        "y"
    } else {
        "x"
    };
    let altered = format!("{}{other}{}", &whole[..middle], &whole[middle + 1..]);
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Black coupé").await;
        let before = kept(page).await;
        for (letters, said) in [
            (cut.as_str(), "cut off"),
            (altered.as_str(), "altered"),
            ("made-by-hand", "cut off"),
        ] {
            page.evaluate_with(
                "location.hash = 'map=' + arguments[0]",
                vec![letters.into()],
            )
            .await;
            page.says("This link could not be opened").await;
            page.says(said).await;
            page.says("your own maps are as they were").await;
            page.picture(&format!("bad-link-{}", said.replace(' ', "-")))
                .await;
            click(page, "//dialog[@open]//button[.='Close']").await;
            assert_eq!(page.text("h1").await, "Black coupé");
            assert_eq!(kept(page).await, before);
        }
        // By the field on the first screen, with words around it.
        go_home(page).await;
        page.fill(
            ".paste input",
            &format!("look: http://map.example/#map={cut}"),
        )
        .await;
        click(page, &button("Open the link")).await;
        page.says("Ask for it again").await;
        click(page, "//dialog[@open]//button[.='Close']").await;
        page.fill(
            ".paste input",
            &format!("look: http://map.example/#map={whole} thanks"),
        )
        .await;
        click(page, &button("Open the link")).await;
        page.says("Someone sent you this map").await;
        click(page, &button("See why")).await;
        page.find(".suspect").await;
        go_home(page).await;
        let mut maps = own_maps(page).await;
        maps.sort();
        assert_eq!(maps, ["Black coupé", "White cruiser"]);
    });
}

#[test]
fn pictures_are_saved_and_hold_labels_as_text() {
    let mut hostile = harness_in(&sample("white-cruiser"));
    let evil = "</text><script>carriedOut=1</script><img src=x onerror=carriedOut=1>";
    for part in hostile.parts.values_mut() {
        part.name = evil.into();
    }
    let hostile = apply(&hostile, &Command::Rename(format!("Map {evil}"))).expect("a name");
    let letters = share::link(&hostile).expect("it fits");
    visit(Screen::Desktop, Scheme::Dark, async |page| {
        page.open(&format!("#map={letters}")).await;
        click(page, &button("Look at the map")).await;
        let directory = empty_directory("pictures");
        download_into(page, &directory).await;
        click(page, &button("Share this map")).await;
        for kind in ["Picture (.svg)", "Picture (.png)"] {
            click(page, &button(kind)).await;
        }
        let mut found = Vec::new();
        for _ in 0..200 {
            found = fs::read_dir(&directory)
                .expect("the directory is there")
                .flatten()
                .map(|entry| entry.path())
                .filter(|path| {
                    path.extension()
                        .is_some_and(|end| end == "svg" || end == "png")
                })
                .collect();
            if found.len() == 2 {
                break;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        assert_eq!(found.len(), 2, "{found:?}");
        for path in found {
            let bytes = fs::read(&path).expect("the file can be read");
            if path.extension().is_some_and(|end| end == "svg") {
                let text = String::from_utf8(bytes).expect("text");
                assert!(text.contains("&lt;script&gt;") && !text.contains("<script"));
                // The browser's own parser is the judge.
                let parsed = page
                    .evaluate_with(
                        "const found = new DOMParser().parseFromString(arguments[0], 'image/svg+xml');
                         return [found.querySelectorAll('parsererror, script, img').length,
                                 found.querySelectorAll('text').length > 20]",
                        vec![text.into()],
                    )
                    .await;
                assert_eq!(parsed, serde_json::json!([0, true]));
            } else {
                assert!(
                    bytes.starts_with(b"\x89PNG") && bytes.len() > 20_000,
                    "{} bytes",
                    bytes.len()
                );
            }
        }
        close_sheet(page).await;
        go_to(page, "Suspects").await;
        let carried = page.evaluate("return typeof window.carriedOut").await;
        assert_eq!(carried, "undefined");
    });
}
