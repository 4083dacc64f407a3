//! Where a person asks for little motion, nothing moves by itself.

use sparktrail_tests::browser::tour::tour;
use sparktrail_tests::browser::{Scheme, Screen, visit};

/// What moves, or would move at a touch, for longer than a blink.
const MOVES: &str = "
const long = text => text.split(',').some(time => parseFloat(time) * (time.includes('ms') ? 1 : 1000) > 10);
return [...document.querySelectorAll('body *')].filter(e => {
  const style = getComputedStyle(e);
  return long(style.transitionDuration) || (style.animationName !== 'none' && long(style.animationDuration));
}).map(e => e.outerHTML.slice(0, 80)).slice(0, 5)";

/// Every visit asks for little motion, see [`sparktrail_tests::browser::Page::look`].
#[test]
fn nothing_moves_by_itself() {
    let mut all = Vec::new();
    visit(Screen::Desktop, Scheme::Light, async |page| {
        tour(page, async |place| {
            let moves = page.evaluate(MOVES).await;
            if moves != serde_json::json!([]) {
                all.push(format!("{place}: {moves}"));
            }
        })
        .await;
        page.forgive_troubles().await;
        page.open("").await;
        page.allow_motion().await;
        let moves = page.evaluate(MOVES).await;
        assert_ne!(moves, serde_json::json!([]), "the check sees nothing");
    });
    assert!(all.is_empty(), "{}", all.join("\n"));
}
