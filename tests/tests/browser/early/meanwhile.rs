//! What a person does before the program is there, and what becomes of it.

use serde_json::json;
use sparktrail_tests::browser::axe::{self, Impact};
use sparktrail_tests::browser::starts::CHOOSE;
use sparktrail_tests::browser::{Engine, Page, Screen};
use thirtyfour::Key;

use super::super::ground::sample;
use super::{BOTH, hold, is_early, let_go, marked, marks, open_early, taken_over, visit_in};

/// Where everything stands that is seen: the frame's pieces, the map's words and the rings of dead cylinders.
const PLACES: &str = r"
const seen = document.querySelector(arguments[0]);
const all = seen.querySelectorAll('.top, h1, .saved, .tab, .icon, .map, .map-zoom, .side p, .label, .cold-word, .cold .ring, .mark.disc');
return [...all].filter(e => e.checkVisibility({ visibilityProperty: true }) && !e.matches('.from-close'))
  .filter(e => (e.dataset.zoom ?? 'far') === document.querySelector('.job .map').dataset.zoom || !e.matches('[data-zoom].cold-word'))
  .map(e => { const r = e.getBoundingClientRect(); const name = e.matches('text, p, h1, .tab') ? e.textContent : e.tagName; return [name, r.x, r.y, r.width, r.height]; });";

type Seen = Vec<(String, f64, f64, f64, f64)>;

async fn places(page: &Page, of: &str) -> Seen {
    let seen = page.evaluate_with(PLACES, vec![json!(of)]).await;
    serde_json::from_value(seen).expect("places")
}

/// No serious finding of axe.
async fn is_open_to_all(page: &Page, place: &str) {
    let Some(program) = axe::program() else {
        return;
    };
    let mut broken = axe::broken(page, &program, place).await;
    broken.retain(|broken| broken.impact >= Impact::Serious);
    assert!(broken.is_empty(), "{broken:?}");
}

fn an_example_is_seen_and_does_not_move(language: &str, screen: Screen) {
    visit_in(language, screen, async |page| {
        hold(page, BOTH).await;
        open_early(page).await;
        let lang = page.evaluate("return document.documentElement.lang").await;
        assert_eq!(lang, language);
        is_open_to_all(page, "the first screen before the program").await;
        page.picture(&format!("early-start-{language}")).await;
        page.click("#early [data-example=blue-estate]").await;
        marked(page, "first-map").await;
        is_open_to_all(page, "a map before the program").await;
        page.picture(&format!("early-map-{language}")).await;
        let before = places(page, "#early .job").await;
        assert!(before.len() > 20, "{before:?}");
        assert_eq!(marks(page, "first-map-answers").await, 0);
        let unread = "const app = document.getElementById('app'); return app.inert && !app.checkVisibility({ opacityProperty: true })";
        assert_eq!(page.evaluate(unread).await, true);

        let_go(page, BOTH[0]).await;
        taken_over(page).await;
        marked(page, "first-map-answers").await;
        assert_eq!(marks(page, "first-map").await, 1);
        page.picture(&format!("early-taken-{language}")).await;
        let after = places(page, "#app .job").await;
        assert_eq!(before.len(), after.len(), "{before:?}\n{after:?}");
        for (old, new) in before.iter().zip(&after) {
            assert_eq!(old.0, new.0);
            let moved = [old.1 - new.1, old.2 - new.2, old.3 - new.3, old.4 - new.4];
            assert!(moved.iter().all(|by| by.abs() <= 1.0), "{old:?} {new:?}");
        }
        let_go(page, BOTH[1]).await;
        // Nor do the style sheets that come with the rest paint over the hatching.
        page.find("#app .tools").await;
        let sheets = "return [...document.querySelectorAll('link[rel=stylesheet]')].every(link => link.sheet)";
        page.until("every style sheet", sheets).await;
        let hatching = "return getComputedStyle(document.querySelector('#app .cold .ring')).fill";
        let hatching = page.evaluate(hatching).await;
        let is_hatched = hatching
            .as_str()
            .is_some_and(|fill| fill.contains("#map-dead"));
        assert!(is_hatched, "{hatching}");
        let kept =
            "return Object.keys(localStorage).some((key) => key.startsWith('sparktrail/1/map/'))";
        page.until("the map to be kept", kept).await;
    });
}

#[test]
fn an_example_is_seen_before_the_program_and_does_not_move() {
    an_example_is_seen_and_does_not_move("en", Screen::Phone);
    an_example_is_seen_and_does_not_move("de", Screen::Desktop);
}

#[test]
fn on_a_tablet_nothing_moves_either() {
    an_example_is_seen_and_does_not_move("de", Screen::Phone);
    an_example_is_seen_and_does_not_move("en", Screen::Small);
}

/// The keyboard is on the own engine's button when the program takes over, and the press before that is heard.
#[test]
fn an_own_engine_that_is_asked_for_early_is_asked_about() {
    for (language, screen) in [("en", Screen::Phone), ("de", Screen::Desktop)] {
        visit_in(language, screen, async |page| {
            hold(page, BOTH).await;
            open_early(page).await;
            page.click("#early .way-in .button[data-weight=strong]")
                .await;
            let waits = page.text("#early .early-note").await;
            assert!(!waits.is_empty());
            page.evaluate("document.querySelector('#early [data-example=red-twin]').focus({ preventScroll: true }); return true")
                .await;
            let_go(page, BOTH[0]).await;
            let_go(page, BOTH[1]).await;
            taken_over(page).await;
            page.find("#app fieldset").await;
        });
    }
}

/// Without a press the first screen is the program's from one picture to the next: as far down, with the same thing in
/// the keyboard's reach, with the same letters in its field.
#[test]
fn the_first_screen_stays_as_it_is_when_the_program_takes_over() {
    visit_in("en", Screen::Phone, async |page| {
        hold(page, BOTH).await;
        open_early(page).await;
        page.type_into("#early input[type=text]", "some letters")
            .await;
        page.evaluate("scrollTo(0, 300); document.querySelector('#early [data-example=red-twin]').focus({ preventScroll: true }); return true")
            .await;
        let_go(page, BOTH[0]).await;
        taken_over(page).await;
        let found = page
            .evaluate("return [scrollY, document.activeElement.dataset.example, document.querySelector('#app input[type=text]').value]")
            .await;
        assert_eq!(found, json!([300, "red-twin", "some letters"]));
        // It is the program's: the keyboard opens the map.
        page.press(Key::Enter).await;
        marked(page, "first-map-answers").await;
        let_go(page, BOTH[1]).await;
    });
}

/// Who chooses while the page still comes in has the frame of that map at once, and its picture is sent for once.
#[test]
fn an_example_that_is_chosen_while_the_page_comes_in_is_seen() {
    visit_in("en", Screen::Desktop, async |page| {
        hold(page, BOTH).await;
        page.beforehand(CHOOSE).await;
        page.go("").await;
        marked(page, "first-map").await;
        assert_eq!(page.text("#early h1").await, "Barn find");
        let (start, pictures) = (
            "return document.querySelector('#early .start').checkVisibility()",
            "return performance.getEntriesByType('resource').filter((e) => e.name.endsWith('.svg') && e.name.includes('/early/')).length",
        );
        assert_eq!(page.evaluate(start).await, false);
        assert_eq!(page.evaluate(pictures).await, 1);
        let_go(page, BOTH[0]).await;
        let_go(page, BOTH[1]).await;
        taken_over(page).await;
        assert_eq!(page.text("#app h1").await, "Barn find");
    });
}

#[test]
fn a_file_that_is_chosen_early_is_opened() {
    visit_in("en", Screen::Desktop, async |page| {
        hold(page, BOTH).await;
        open_early(page).await;
        page.upload("#early input[type=file]", &sample("grey-saloon"))
            .await;
        let_go(page, BOTH[0]).await;
        let_go(page, BOTH[1]).await;
        taken_over(page).await;
        marked(page, "first-map-answers").await;
        assert_eq!(page.text("#app h1").await, "Grey saloon");
    });
}

/// Back on the first screen before the program was there, another example is chosen, and one of its views.
#[test]
fn a_second_choice_counts_and_so_does_a_view() {
    visit_in("en", Screen::Desktop, async |page| {
        hold(page, BOTH).await;
        open_early(page).await;
        page.click("#early [data-example=red-twin]").await;
        marked(page, "first-map").await;
        page.click("#early .home").await;
        page.click("#early [data-example=silver-limousine]").await;
        page.click("#early .top .tab:nth-child(3)").await;
        let_go(page, BOTH[0]).await;
        let_go(page, BOTH[1]).await;
        taken_over(page).await;
        assert_eq!(page.text("#app h1").await, "Silver limousine");
        page.find("#app .top .tab:nth-child(3)[aria-current=page]")
            .await;
    });
}

#[test]
fn what_is_not_true_is_not_shown() {
    const FORBID: &str = "Object.defineProperty(window, 'localStorage', {
        get() { throw new DOMException('storage is forbidden here', 'SecurityError') } })";
    visit_in("en", Screen::Phone, async |page| {
        hold(page, BOTH).await;
        page.go("#map=1").await;
        assert!(!is_early(page).await, "there is a link");
        page.find("#boot").await;
        page.evaluate(
            "localStorage.setItem('sparktrail/1/projects', '{}'); location.hash = ''; return true",
        )
        .await;
        page.go("?again").await;
        assert!(!is_early(page).await, "there are own maps");
        page.evaluate("localStorage.clear(); return true").await;
        page.go("?once-more").await;
        assert!(is_early(page).await, "this person has none");
        page.beforehand(FORBID).await;
        page.go("?locked").await;
        assert!(!is_early(page).await, "nobody knows");
        page.find("#boot").await;
        // Firefox tells of a part that was still on its way when the page was left.
        page.forgive_troubles().await;
    });
}

/// Where the program cannot start, what stood before it gives way to the way out.
#[test]
fn a_program_that_does_not_come_says_so() {
    visit_in("en", Screen::Phone, async |page| {
        let fails = "const real = globalThis.fetch;
            globalThis.fetch = (what, how) => String(what?.url ?? what).endsWith('_bg.wasm')
              ? Promise.reject(new TypeError('no line')) : real(what, how);";
        page.beforehand(fails).await;
        page.go("").await;
        page.says("The program could not start").await;
        assert!(!is_early(page).await);
        page.forgive_troubles().await;
    });
}

/// An example that does not arrive is told of by the program, on its first screen.
#[test]
fn an_example_that_does_not_come_is_told_of() {
    visit_in("en", Screen::Phone, async |page| {
        hold(page, BOTH).await;
        let fails = "const held = globalThis.fetch;
            globalThis.fetch = (what, how) => String(what?.url ?? what).includes('samples/')
              ? Promise.reject(new TypeError('no line')) : held(what, how);";
        page.beforehand(fails).await;
        open_early(page).await;
        page.click("#early [data-example=blue-estate]").await;
        let_go(page, BOTH[0]).await;
        let_go(page, BOTH[1]).await;
        taken_over(page).await;
        page.find("#app .start [role=alert]").await;
        if page.engine() == Engine::Chromium {
            page.picture("early-no-example").await;
        }
    });
}
