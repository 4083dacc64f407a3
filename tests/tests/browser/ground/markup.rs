//! Names that look like markup are names: nothing in them is ever carried out.

use std::fs;

use sparktrail_core::model::{Harness, PartKind, file};
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::{
    button, click, empty_directory, find, go_home, go_to, harness_in, open_file, own_maps,
    painted_after, quoted, sample, under, unfold,
};

/// Each would set `window.carriedOut` or ask another origin for something if it were markup.
const IMAGE: &str = "<img src=x onerror=\"carriedOut=1\">";
const SCRIPT: &str = "<script>carriedOut=1</script>";
const AWAY: &str = "<img src=\"http://127.0.0.1:9/a.png\">";
const DRAWN: &str = "</text><svg onload=\"carriedOut=1\">";
const FRAME: &str = "<iframe srcdoc=\"<script>top.carriedOut=1</script>\"></iframe>&lt;b&gt;";

/// A harness in which every text is one of these.
fn hostile() -> Harness {
    let mut harness = harness_in(&sample("blue-estate"));
    harness.title = format!("{IMAGE} {SCRIPT}");
    harness.about = format!("{SCRIPT} {AWAY} {FRAME}");
    for bank in &mut harness.engine.banks {
        bank.name = DRAWN.into();
    }
    for (at, part) in harness.parts.values_mut().enumerate() {
        part.name = format!("{at} {}", [IMAGE, SCRIPT, AWAY, DRAWN][at % 4]);
        part.note = format!("{FRAME}{IMAGE}");
        part.place.text = SCRIPT.into();
        if let PartKind::ControlUnit(unit) = &mut part.kind {
            for driver in &mut unit.drivers {
                driver.name = format!("{} {IMAGE}", driver.name);
            }
        }
    }
    for wire in harness.wires.values_mut() {
        wire.note = format!("{AWAY}{SCRIPT}");
    }
    harness
}

/// Nothing was carried out, and no element came to be that our own page does not make.
async fn nothing_happened(page: &Page, what: &str) {
    let found = page
        .evaluate(
            "return [typeof window.carriedOut,
                     document.querySelectorAll('img, iframe, object, embed').length,
                     document.querySelectorAll('svg svg').length,
                     document.querySelectorAll('script:not([src])').length,
                     document.querySelectorAll('[onload], [onerror]').length]",
        )
        .await;
    assert_eq!(
        found,
        serde_json::json!(["undefined", 0, 0, 0, 0]),
        "{what}"
    );
}

#[test]
fn markup_in_names_is_shown_and_never_carried_out() {
    let harness = hostile();
    let path = empty_directory("markup").join("hostile.json");
    fs::write(&path, file::write(&harness)).expect("the file can be written");
    for screen in Screen::ALL {
        visit(screen, Scheme::Light, async |page| {
            page.open("").await;
            painted_after(page, async || open_file(page, &path).await).await;
            assert_eq!(page.text("h1").await, harness.title);
            assert_eq!(
                page.title().await,
                format!("{} · Sparktrail", harness.title)
            );
            nothing_happened(page, "the map").await;
            if screen == Screen::Desktop {
                assert_eq!(page.text(".story").await, harness.about);
            }
            for part in harness.parts.values() {
                let label = quoted(&part.name);
                let path = format!("//*[@role='button' and @aria-label={label}]");
                find(page, &path).await;
            }
            page.picture("markup").await;

            // Each part's panel, by the list; its notes are among the facts.
            for view in [
                "Findings", "Suspects", "Next", "Meter", "Shared", "Check", "What if",
            ] {
                go_to(page, view).await;
                nothing_happened(page, view).await;
            }
            page.evaluate(
                "document.querySelectorAll('details').forEach(d => d.open = true); return true",
            )
            .await;
            let coil = harness
                .parts
                .values()
                .find(|part| matches!(part.kind, PartKind::Coil(_)))
                .expect("there is a coil");
            click(page, &format!("//aside//button[.={}]", quoted(&coil.name))).await;
            find(page, "//aside//h3[.='Break it']").await;
            unfold(page, "primary winding").await;
            click(
                page,
                &format!("{}//button[.='open']", under("primary winding")),
            )
            .await;
            page.says("Broken for trying").await;
            page.says(&coil.name).await;
            nothing_happened(page, "what if").await;
            go_to(page, "Map").await;
            page.says(&coil.note).await;
            nothing_happened(page, "the facts").await;

            // The list, the sheet and the passing message repeat the title.
            go_home(page).await;
            assert_eq!(own_maps(page).await, [harness.title.as_str()]);
            click(page, &button(&format!("More for {}", harness.title))).await;
            assert_eq!(page.text("dialog[open] h2").await, harness.title);
            click(page, "//dialog[@open]//button[.='Delete']").await;
            page.says(&format!("{} was deleted.", harness.title)).await;
            nothing_happened(page, "the first screen").await;
        });
    }
}
