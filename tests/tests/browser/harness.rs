//! The page starts, on both screens, and the checks that every visit makes do see trouble.

use sparktrail_tests::browser::{Scheme, Screen, visit};

use super::ground::open_example;

#[test]
fn page_starts_on_both_screens() {
    for screen in Screen::ALL {
        visit(screen, Scheme::Light, async |page| {
            page.open("").await;
            assert_eq!(page.title().await, "Sparktrail");
            let size = page.evaluate("return [innerWidth, innerHeight]").await;
            let (width, height) = screen.size();
            assert_eq!(size, serde_json::json!([width, height]));
            page.picture("first-screen").await;
        });
    }
}

/// An open map fills the window and the page itself does not scroll: its panel does.
#[test]
fn an_open_map_is_as_high_as_the_window() {
    for screen in [Screen::Phone, Screen::Desktop] {
        visit(screen, Scheme::Light, async |page| {
            page.open("").await;
            open_example(page, "White cruiser").await;
            let said = "return document.querySelector('[data-spoken]')?.textContent !== ''";
            page.until("the suspects to be said", said).await;
            let page_and_window = "return [document.scrollingElement.scrollHeight, innerHeight]";
            let heights = page.evaluate(page_and_window).await;
            assert_eq!(heights[0], heights[1]);
        });
    }
}

#[test]
fn scheme_follows_the_system() {
    let dark = "return matchMedia('(prefers-color-scheme: dark)').matches";
    visit(Screen::Desktop, Scheme::Dark, async |page| {
        page.open("").await;
        assert_eq!(page.evaluate(dark).await, true);
        page.look(Screen::Desktop, Scheme::Light).await;
        assert_eq!(page.evaluate(dark).await, false);
    });
}

/// A check that cannot fail proves nothing: provoke each kind of trouble.
#[test]
fn trouble_is_seen() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        page.evaluate(
            "const inline = document.createElement('script');
             inline.textContent = 'window.ran = true';
             document.body.append(inline);
             fetch('http://127.0.0.1:9/elsewhere').catch(() => {});
             console.error('said aloud');
             setTimeout(() => { throw new Error('uncaught') });",
        )
        .await;
        assert_eq!(page.evaluate("return window.ran === undefined").await, true);
        page.until(
            "the timeout",
            "return new Promise(done => setTimeout(() => done(true), 50))",
        )
        .await;
        let troubles = page.forgive_troubles().await.join("\n");
        for trouble in ["script-src", "connect-src", "said aloud", "uncaught"] {
            assert!(
                troubles.contains(trouble),
                "{trouble} is not in:\n{troubles}"
            );
        }
    });
}
