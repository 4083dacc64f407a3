//! Colours that the person forces on every page: what was told by a colour is still told.

use serde_json::{Value, json};
use sparktrail_tests::browser::tour::view;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::super::ground::{click, open_example};

async fn force(page: &Page, scheme: Scheme) {
    let scheme = match scheme {
        Scheme::Light => "light",
        Scheme::Dark => "dark",
    };
    let features = json!([
        { "name": "forced-colors", "value": "active" },
        { "name": "prefers-color-scheme", "value": scheme },
        { "name": "prefers-reduced-motion", "value": "reduce" },
    ]);
    page.tell(
        "Emulation.setEmulatedMedia",
        json!({ "features": features }),
    )
    .await;
    let active = page
        .evaluate("return matchMedia('(forced-colors: active)').matches")
        .await;
    assert_eq!(active, true);
    page.settle().await;
}

/// A property as it is drawn.
async fn drawn(page: &Page, css: &str, property: &str) -> Value {
    let script = "const e = document.querySelector(arguments[0]);
        return e && getComputedStyle(e).getPropertyValue(arguments[1])";
    page.evaluate_with(script, vec![css.into(), property.into()])
        .await
}

async fn differ(page: &Page, (one, other): (&str, &str), properties: &[&str]) {
    let mut both = Vec::new();
    for property in properties {
        let pair = (
            drawn(page, one, property).await,
            drawn(page, other, property).await,
        );
        assert!(
            !pair.0.is_null() && !pair.1.is_null(),
            "{one} or {other} is not there"
        );
        if pair.0 != pair.1 {
            return;
        }
        both.push(format!("{property}: {}", pair.0));
    }
    panic!("{one} looks like {other}: {both:?}");
}

#[test]
fn nothing_is_told_by_colour_alone() {
    for scheme in Scheme::ALL {
        visit(Screen::Desktop, scheme, async |page| {
            page.open("").await;
            open_example(page, "White cruiser").await;
            page.find(".map-canvas .badge").await;
            force(page, scheme).await;
            page.shoot(&format!("forced-{scheme:?}-map.png")).await;
            let ground = drawn(page, ".map", "background-color").await;
            // Dead: a hatch, a ring and a word, each seen on the ground.
            for (css, property) in [
                (".cold[data-state=dead] .ring", "stroke"),
                ("#map-dead .hatch", "stroke"),
                (".cold-word", "fill"),
                (".mark.disc", "stroke"),
                (".mark.symbol", "stroke"),
                (".label.name", "fill"),
                (".badge path", "fill"),
                (".tick-disc", "fill"),
                (".run .casing", "stroke"),
            ] {
                let seen = drawn(page, css, property).await;
                assert!(
                    seen != ground && seen != "none",
                    "{css}: {seen} on {ground}"
                );
            }
            differ(page, (".badge path", ".badge text"), &["fill"]).await;
            differ(page, (".tick-disc", ".tick-mark"), &["fill", "stroke"]).await;

            // Chosen, and where the keyboard is.
            page.press(thirtyfour::Key::Tab.value().to_string()).await;
            let script = "document.querySelector('.map-canvas [aria-label=\"Coil A\"]').focus(); return true";
            page.evaluate(script).await;
            page.press(thirtyfour::Key::Enter.value().to_string()).await;
            page.find(".picked").await;
            let halo = drawn(page, ".item.chosen > .halo", "stroke").await;
            assert!(halo != "none" && halo != ground, "{halo}");
            page.shoot(&format!("forced-{scheme:?}-chosen.png")).await;
            // The browser would put another ground behind these words, of the words' own colour.
            let strong = "aside .button[data-weight=strong]";
            let adjusted = drawn(page, strong, "forced-color-adjust").await;
            assert_eq!(adjusted, "none");
            let (words, ground) = (
                drawn(page, strong, "color").await,
                drawn(page, strong, "background-color").await,
            );
            assert_ne!(words, ground);
            click(page, "//aside//button[.='What if this fails?']").await;
            page.find(".way").await;
            page.click(".way").await;
            page.find(".outcome").await;
            page.settle().await;
            page.shoot(&format!("forced-{scheme:?}-broken.png")).await;
            let pressed = (".way[aria-pressed=true]", ".way[aria-pressed=false]");
            differ(
                page,
                pressed,
                &["background-color", "border-top-width", "border-top-style"],
            )
            .await;
            let tabs = (".top .tab[aria-current]", ".top .tab:not([aria-current])");
            differ(page, tabs, &["background-color"]).await;
            let discs = (".disc[data-state=dead]", ".disc[data-state=plain]");
            differ(page, discs, &["border-top-style", "border-top-width"]).await;
            for place in ["Suspects", "Findings", "Meter", "Cycle"] {
                view(page, place).await;
                page.find(".side .card").await;
                page.settle().await;
                page.shoot(&format!("forced-{scheme:?}-{place}.png")).await;
            }
            page.forgive_troubles().await;
        });
    }
}
