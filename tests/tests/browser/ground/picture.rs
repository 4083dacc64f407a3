//! The picture of the README: one example with one thing broken.

use std::fs;

use sparktrail_tests::browser::{Scheme, Screen, visit};
use sparktrail_tests::place;

use super::{button, choose, click, find, open_example};

/// Named in the environment, it lets the picture in the README be replaced.
const UPDATE: &str = "UPDATE_PICTURES";
/// No README needs a larger one.
const MOST_BYTES: usize = 250_000;

#[test]
fn readme_picture() {
    let taken = visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "Black coupé").await;
        choose(page, Screen::Desktop, "Coil C").await;
        click(page, &button("What if this fails?")).await;
        click(
            page,
            "//details[summary='primary winding']//button[.='open']",
        )
        .await;
        find(page, "//aside//h2[.='Coil C, primary winding: open']").await;
        // The pointer rests beside the map, so that the trail of what is broken shines.
        page.hover("h1").await;
        page.evaluate("document.activeElement.blur(); return true")
            .await;
        page.settle().await;
        page.driver()
            .screenshot_as_png()
            .await
            .expect("a picture can be taken")
    });
    let Some(png) = taken else { return };
    assert!(png.len() <= MOST_BYTES, "{} bytes", png.len());
    let file = place::target().join("screens/readme.png");
    fs::create_dir_all(place::target().join("screens")).expect("a directory can be made");
    fs::write(&file, &png).expect("the picture can be written");

    let shown = place::root().join("docs/sparktrail.png");
    if std::env::var_os(UPDATE).is_some_and(|update| update == "1") {
        fs::create_dir_all(place::root().join("docs")).expect("a directory can be made");
        fs::copy(&file, &shown).expect("the picture can be copied");
    }
    // Fonts and rounding differ between machines, so the pictures are not compared byte by byte.
    assert!(shown.is_file(), "make it with {UPDATE}=1");
}
