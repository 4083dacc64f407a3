//! On a screen of 320 pixels and at 200 % zoom nothing is lost: no place scrolls sideways, no text is cut off.
//!
//! Source: WCAG 2.2, 1.4.10 Reflow (320 CSS pixels; drawings and tables may scroll by themselves) and 1.4.4 Resize
//! Text (200 %).

use serde_json::json;
use sparktrail_tests::browser::tour::tour;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

/// What a place loses at the size that the screen has now: a list of sentences.
///
/// What may scroll sideways by itself is drawn or a table: `ALONE`.
const LOST: &str = "
const ALONE = '.map-canvas, svg, table, .report-table, .pin-scroll, pre';
const lost = [];
const wide = document.scrollingElement;
if (wide.scrollWidth > innerWidth) lost.push(`the page is ${wide.scrollWidth} wide`);
const name = e => e.tagName.toLowerCase() + [...e.classList].map(c => '.' + c).join('');
const scrolls = s => /auto|scroll/.test(s.overflowX);
for (const e of document.querySelectorAll('body *')) {
  if (!e.checkVisibility() || e.closest('svg')) continue;
  const style = getComputedStyle(e);
  if (scrolls(style) && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0
      && !e.matches(ALONE) && !e.querySelector(':scope > table, :scope > svg') && !/TEXTAREA|INPUT/.test(e.tagName)) {
    lost.push(`${name(e)} scrolls sideways: ${e.scrollWidth} in ${e.clientWidth}`);
  }
}
// What is only for readers is cut off on purpose.
const isUnseen = e => {
  const room = e.getBoundingClientRect();
  return room.width <= 1 && room.height <= 1 || Boolean(e.parentElement) && isUnseen(e.parentElement);
};
const check = (box, within, said) => {
  if (isUnseen(within)) return;
  for (let at = within; at; at = at.parentElement) {
    const style = getComputedStyle(at), room = at.getBoundingClientRect();
    if (scrolls(style)) return;
    if (/hidden|clip/.test(style.overflowX) && (box.right > room.right + 1 || box.left < room.left - 1)) {
      lost.push(`“${said}” is cut off by ${name(at)}`);
      return;
    }
    if (/hidden|clip/.test(style.overflowY) && (box.bottom > room.bottom + 2 || box.top < room.top - 2)) {
      lost.push(`“${said}” is cut off below by ${name(at)}`);
      return;
    }
  }
  if (box.right > innerWidth + 1 || box.left < -1) lost.push(`“${said}” leaves the page`);
};
const shows = e => e.checkVisibility({ checkVisibilityCSS: true });
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let node; (node = walker.nextNode());) {
  const e = node.parentElement;
  if (!node.data.trim() || !shows(e) || e.closest('svg, script, option')) continue;
  const range = document.createRange();
  range.selectNodeContents(node);
  for (const box of range.getClientRects()) {
    if (box.width >= 1) check(box, e, node.data.trim().slice(0, 40));
  }
}
for (const e of document.querySelectorAll('button, input, select, textarea, summary')) {
  const box = e.getBoundingClientRect();
  if (shows(e) && box.width >= 1 && e.parentElement) check(box, e.parentElement, e.getAttribute('aria-label') ?? name(e));
}
return [...new Set(lost)]";

/// Makes the screen so many CSS pixels wide and high.
async fn size(page: &Page, (width, height): (u32, u32), scale: u32) {
    page.tell(
        "Emulation.setDeviceMetricsOverride",
        json!({ "width": width, "height": height, "deviceScaleFactor": scale, "mobile": width < 700 }),
    )
    .await;
    page.settle().await;
}

fn loses_nothing(screen: Screen, at: (u32, u32), scale: u32) {
    let mut all = Vec::new();
    visit(screen, Scheme::Light, async |page| {
        tour(page, async |place| {
            size(page, at, scale).await;
            let lost = page.evaluate(LOST).await;
            let lost = lost.as_array().cloned().unwrap_or_default();
            all.extend(lost.iter().map(|what| format!("{place}: {what}")));
            page.shoot(&format!("size-{}/{place}.png", at.0)).await;
        })
        .await;
        page.forgive_troubles().await;
    });
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn nothing_is_lost_at_320_pixels() {
    loses_nothing(Screen::Phone, (320, 640), 1);
}

/// A screen of 1440 × 900 at 200 %.
#[test]
fn nothing_is_lost_at_twice_the_size() {
    loses_nothing(Screen::Desktop, (720, 450), 2);
}

/// A check that cannot fail proves nothing.
#[test]
fn what_is_lost_is_seen() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        let before = page.evaluate(LOST).await;
        page.evaluate(
            "const wide = document.createElement('p');
             wide.textContent = 'one line that is far too long for any screen of any phone';
             wide.style.cssText = 'white-space: nowrap; width: 50px; overflow: hidden';
             document.querySelector('main').append(wide);
             return true",
        )
        .await;
        let after = page.evaluate(LOST).await;
        assert_eq!(before, json!([]));
        assert_eq!(after.as_array().map(Vec::len), Some(1), "{after}");
    });
}
