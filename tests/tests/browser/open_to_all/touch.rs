//! Everything that a finger should hit is at least 44 pixels wide and high.
//!
//! Source: WCAG 2.2, 2.5.5 Target Size (Enhanced): 44 by 44 CSS pixels, except what has an equivalent that is large
//! enough, what stands in a line of text, and what is essential; 2.5.8 asks for 24. Two kinds are left out here:
//!
//! - the things on the map, whose size is that of the drawing: it can be zoomed, a finger that comes near is enough,
//!   and each can be chosen from the list of what is on the map too (equivalent);
//! - the cells of the pin table, which a tap chooses from a grid as wide as the screen is not (essential: rows of a
//!   table that one wants to compare); what is typed is typed into a field of full height.

use sparktrail_tests::browser::tour::tour;
use sparktrail_tests::browser::{Scheme, Screen, visit};

/// What is smaller than a finger, as sentences.
const SMALL: &str = "
const small = [];
const boxes = '[type=checkbox], [type=radio]';
for (const e of document.querySelectorAll('button, a[href], input, select, textarea, summary, [role=button], [role=tab]')) {
  if (!e.checkVisibility({ checkVisibilityCSS: true }) || e.disabled || e.closest('.map-canvas, #pin-grid, .unseen, [inert]')) continue;
  if (document.querySelector('dialog[open]') && !e.closest('dialog[open]')) continue;
  const target = (e.matches(boxes) && e.closest('label')) || e;
  const box = target.getBoundingClientRect();
  if (box.width < 1 || box.height < 1) continue;
  if (box.width < 43.5 || box.height < 43.5) {
    const said = (e.getAttribute('aria-label') ?? e.innerText ?? '').trim().slice(0, 30);
    small.push(`${e.tagName.toLowerCase()}.${e.className} “${said}”: ${box.width.toFixed(0)} × ${box.height.toFixed(0)}`);
  }
}
return [...new Set(small)]";

#[test]
fn every_target_fits_a_finger() {
    let mut all = Vec::new();
    visit(Screen::Phone, Scheme::Light, async |page| {
        tour(page, async |place| {
            let small = page.evaluate(SMALL).await;
            let small = small.as_array().cloned().unwrap_or_default();
            all.extend(small.iter().map(|what| format!("{place}: {what}")));
        })
        .await;
        page.forgive_troubles().await;
    });
    assert!(all.is_empty(), "{}", all.join("\n"));
}
