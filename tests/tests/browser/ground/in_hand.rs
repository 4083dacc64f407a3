//! A hand that moves the map moves its sheet, and what is drawn on it only when it lets go.

use serde_json::Value;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;

use super::{open_file, painted_after};

/// Where the drawing lies on its sheet, where the sheet lies, whether it is held, and where something drawn is seen.
const SEEN: &str = "
const sheet = document.querySelector('.map-canvas');
const thing = sheet.querySelector('.item.cylinder').getBoundingClientRect();
return {
  drawn: sheet.querySelector(':scope > g').getAttribute('transform'),
  sheet: sheet.style.transform,
  held: document.querySelector('.map').classList.contains('held'),
  x: thing.x,
  y: thing.y,
  wide: thing.width,
}";

/// One notch of the wheel.
const TURNED: &str = "
const [x, y] = arguments;
document.querySelector('.map-glass').dispatchEvent(new WheelEvent('wheel', {
  clientX: x, clientY: y, deltaY: -100, bubbles: true, cancelable: true,
}));
return true";

/// What is seen once it was painted: before that a browser may tell where it stood in the picture before.
async fn seen(page: &Page) -> Value {
    const PAINTED: &str = "
window.isPainted = false;
requestAnimationFrame(() => requestAnimationFrame(() => { window.isPainted = true; }));
return true";
    page.evaluate(PAINTED).await;
    page.until("a picture", "return window.isPainted").await;
    page.evaluate(SEEN).await
}

fn number(seen: &Value, name: &str) -> f64 {
    seen[name].as_f64().expect("a number")
}

/// How far something drawn was moved, right and down.
fn moved(before: &Value, after: &Value) -> (f64, f64) {
    let by = |name| number(after, name) - number(before, name);
    (by("x"), by("y"))
}

fn near((x, y): (f64, f64), (right, down): (f64, f64)) -> bool {
    (x - right).abs() < 0.05 && (y - down).abs() < 0.05
}

async fn open(page: &Page) {
    let sample = place::sample("blue-estate");
    page.open("").await;
    painted_after(page, async || open_file(page, &sample).await).await;
}

/// A place of the map where nothing is drawn.
async fn paper(page: &Page) -> (i64, i64) {
    const AT: &str = "
const map = document.querySelector('.map-glass').getBoundingClientRect();
return [Math.round(map.left + 12), Math.round(map.bottom - 90)]";
    let at = page.evaluate(AT).await;
    let place = |nth: usize| at[nth].as_i64().expect("a whole number");
    (place(0), place(1))
}

async fn hold(page: &Page, at: (i64, i64)) {
    let chain = page.driver().action_chain();
    let chain = chain.move_to(at.0, at.1).click_and_hold();
    chain.perform().await.expect("the mouse is pressed");
}

async fn go(page: &Page, to: (i64, i64)) {
    let chain = page.driver().action_chain().move_to(to.0, to.1);
    chain.perform().await.expect("the mouse goes there");
}

async fn let_go(page: &Page) {
    let chain = page.driver().action_chain().release();
    chain.perform().await.expect("the mouse is let go");
}

#[test]
fn a_hand_moves_the_sheet_and_lets_the_drawing_lie() {
    for screen in Screen::ALL {
        visit(screen, Scheme::Light, async |page| {
            open(page).await;
            let (x, y) = paper(page).await;
            let before = seen(page).await;
            hold(page, (x, y)).await;
            go(page, (x + 60, y - 30)).await;
            let first = seen(page).await;
            go(page, (x + 130, y - 71)).await;
            let then = seen(page).await;
            // A hand that has not strayed yet may still mean a tap: so much of its way the map does not follow.
            let (right, down) = moved(&before, &first);
            let strayed = (60.0 - right).hypot(-30.0 - down);
            assert!(strayed < 6.0, "{before} {first}");
            let by = moved(&first, &then);
            assert!(near(by, (70.0, -41.0)), "{first} {then}");
            for seen in [&first, &then] {
                assert_eq!(seen["held"], true, "{seen}");
                assert_eq!(seen["drawn"], before["drawn"], "nothing is drawn anew");
                assert_ne!(seen["sheet"], "", "the sheet is moved");
            }
            let_go(page).await;
            let after = seen(page).await;
            assert!(near(moved(&then, &after), (0.0, 0.0)), "{then} {after}");
            assert_eq!(after["held"], false);
            assert_eq!(after["sheet"], "", "the sheet lies where it lay");
            assert_ne!(after["drawn"], before["drawn"]);
        });
    }
}

#[test]
fn a_wheel_turned_while_the_map_is_held_brings_it_nearer_under_the_pointer() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open(page).await;
        let (x, y) = paper(page).await;
        let before = seen(page).await;
        hold(page, (x, y)).await;
        go(page, (x + 40, y - 40)).await;
        let held = seen(page).await;
        let at = vec![(x + 40).into(), (y - 40).into()];
        page.evaluate_with(TURNED, at).await;
        let nearer = seen(page).await;
        let factor = number(&nearer, "wide") / number(&held, "wide");
        assert!(factor > 1.1, "{held} {nearer}");
        // What lies under the pointer stays there: all else goes away from it by as much as it grows.
        let from = |seen: &Value, name: &str, at: i64| {
            #[allow(clippy::cast_precision_loss, reason = "a place on a screen")]
            let at = at as f64;
            number(seen, name) - at
        };
        for (name, at) in [("x", x + 40), ("y", y - 40)] {
            let (was, is) = (from(&held, name, at), from(&nearer, name, at));
            assert!((is - was * factor).abs() < 0.5, "{held} {nearer}");
        }
        go(page, (x + 50, y - 45)).await;
        let then = seen(page).await;
        assert!(near(moved(&nearer, &then), (10.0, -5.0)), "{nearer} {then}");
        let_go(page).await;
        let after = seen(page).await;
        assert!(near(moved(&then, &after), (0.0, 0.0)), "{then} {after}");
        assert!(number(&before, "wide") < number(&after, "wide"));
    });
}
