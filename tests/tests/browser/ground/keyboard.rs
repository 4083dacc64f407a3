//! The whole job with the keyboard alone.

use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use thirtyfour::Key;

use super::{find, harness_in, sample};

/// What the keyboard is on: its name for readers, or its text.
async fn at(page: &Page) -> String {
    let name = page
        .evaluate(
            "const e = document.activeElement;
             return e === document.body ? ''
               : e.getAttribute('aria-label') ?? e.innerText.trim()",
        )
        .await;
    name.as_str().unwrap_or_default().to_owned()
}

async fn press(page: &Page, key: Key) {
    page.press(key.value().to_string()).await;
}

/// Tab the other way.
async fn back(page: &Page) {
    let chain = page.driver().action_chain().key_down(Key::Shift);
    let chain = chain.send_keys(Key::Tab).key_up(Key::Shift);
    chain.perform().await.expect("keys are pressed");
}

/// Tab, and again, until the keyboard is on what is wanted; everything met on the way.
async fn tab_to(page: &Page, what: &str, is_it: impl Fn(&str) -> bool) -> Vec<String> {
    let mut met = Vec::new();
    for _ in 0..150 {
        press(page, Key::Tab).await;
        let here = at(page).await;
        met.push(here.clone());
        if is_it(&here) {
            return met;
        }
    }
    panic!("Tab never comes to {what}: {met:#?}");
}

/// Whether the ring around what the keyboard is on can be seen.
async fn focus_shows(page: &Page) -> bool {
    page.evaluate(
        "const e = document.activeElement;
         const seen = s => (s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0);
         const halo = e.querySelector('.halo');
         return seen(getComputedStyle(e))
           || (halo && getComputedStyle(halo).stroke !== 'none'
               && parseFloat(getComputedStyle(halo).opacity) > 0)",
    )
    .await
        == true
}

#[test]
fn the_job_is_done_without_a_pointer() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        let harness = harness_in(&sample("red-twin"));
        page.open("").await;
        tab_to(page, "the example", |here| {
            here.starts_with("Red twin") || here.contains("\nRed twin")
        })
        .await;
        assert!(focus_shows(page).await, "nobody sees where the keyboard is");
        press(page, Key::Enter).await;
        page.until(
            "the map",
            "return performance.getEntriesByName('first-map').length > 0",
        )
        .await;

        // Along the trail: battery first, and on to the cylinders at the end.
        tab_to(page, "the battery", |here| here == "Battery").await;
        assert!(focus_shows(page).await, "nobody sees where the keyboard is");
        let walk = tab_to(page, "the last cylinder", |here| {
            here.starts_with("Cylinder 2")
        })
        .await;
        for part in harness.parts.values().filter(|part| part.name != "Battery") {
            assert!(
                walk.contains(&part.name),
                "{} is not on the walk {walk:#?}",
                part.name
            );
        }
        let place = |name: &str| walk.iter().position(|met| met == name);
        assert!(place("Ignition fuse") < place("Coil"), "{walk:#?}");
        assert!(place("Coil") < place("Lead 1"), "{walk:#?}");
        page.until(
            "the trail to light",
            "return !!document.querySelector('.map.lit')",
        )
        .await;

        // Back to the coil, and choose it.
        for _ in 0..walk.len() {
            if at(page).await == "Coil" {
                break;
            }
            back(page).await;
        }
        assert_eq!(at(page).await, "Coil");
        press(page, Key::Enter).await;
        find(page, "//aside//h2[.='Coil']").await;

        tab_to(page, "the question", |here| here == "What if this fails?").await;
        press(page, Key::Enter).await;
        find(page, "//aside//h3[.='Break it']").await;
        tab_to(page, "a way to fail", |here| here == "open").await;
        press(page, Key::Enter).await;
        page.says("Broken for trying").await;
        assert_eq!(
            page.count(".map-canvas [aria-label='Cylinder 1, dead']")
                .await,
            1
        );

        // Esc goes back one step at a time: mended, put away, the map's own panel.
        let one_back = [
            ("it to be mended", "!document.querySelector('.outcome')"),
            (
                "it to be put away",
                "!document.querySelector('.map-canvas [aria-pressed=true]')",
            ),
            (
                "the map's panel",
                "document.querySelector('.job').dataset.tab === 'map'",
            ),
        ];
        for (what, done) in one_back {
            assert_eq!(
                page.evaluate(&format!("return {done}")).await,
                false,
                "{what}, too early"
            );
            press(page, Key::Escape).await;
            page.until(what, &format!("return {done}")).await;
        }

        // The keys are told, and Esc puts the list away.
        page.press("?").await;
        find(page, "//dialog[@open]//h2[.='Keys']").await;
        page.says("walk along the map").await;
        page.picture("keys").await;
        press(page, Key::Escape).await;
        page.until(
            "the list to go",
            "return !document.querySelector('dialog[open]')",
        )
        .await;
    });
}
