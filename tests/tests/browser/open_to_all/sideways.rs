//! Names written from right to left, alone and mixed, break neither map nor lists nor report.

use std::fs;

use sparktrail_core::model::{PartKind, file};
use sparktrail_tests::browser::tour::view;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::super::ground::{
    button, click, empty_directory, harness_in, open_file, painted_after, sample,
};

/// "Ignition coil 2" in Arabic, "fuse (old)" in Hebrew, and both with Latin letters.
const NAMES: [&str; 4] = ["ملف الإشعال 2", "נתיך (ישן)", "Coil סליל 7", "صندوق B · 3"];

/// The red twin under such names.
async fn open_turned(page: &Page) {
    let mut harness = harness_in(&sample("red-twin"));
    harness.title = "שתי צילינדרים Red twin".into();
    for (at, part) in harness.parts.values_mut().enumerate() {
        if !matches!(part.kind, PartKind::Plug(_)) {
            part.name = format!("{} {at}", NAMES[at % NAMES.len()]);
        }
    }
    let path = empty_directory("sideways").join("turned.json");
    fs::write(&path, file::write(&harness)).expect("the file can be written");
    page.open("").await;
    painted_after(page, async || open_file(page, &path).await).await;
}

/// Whether in every name of a wire what it comes from stands left of the arrow, and what it goes to right of it.
const ORDER: &str = "
const wrong = [];
const walker = document.createTreeWalker(document.querySelector('.side'), NodeFilter.SHOW_TEXT);
for (let node; (node = walker.nextNode());) {
  const arrow = node.data.indexOf('→');
  if (arrow < 2 || !node.parentElement.checkVisibility()) continue;
  const at = (from, to) => {
    const range = document.createRange();
    range.setStart(node, from);
    range.setEnd(node, to);
    return range.getBoundingClientRect();
  };
  const [whole, mid] = [at(0, node.data.length), at(arrow, arrow + 1)];
  if (whole.height > 1.6 * mid.height) continue; // on several lines
  // The first letter of the second name, whichever way it is written, is right of the arrow.
  const first = at(0, 1), after = at(arrow + 3, arrow + 4);
  if (first.left > mid.left || after.left < mid.left) wrong.push(node.data);
}
return wrong";

#[test]
fn names_from_right_to_left_break_nothing() {
    for screen in Screen::ALL {
        visit(screen, Scheme::Light, async |page| {
            open_turned(page).await;
            page.picture("sideways-map").await;
            view(page, "What if").await;
            page.find(".group").await;
            page.evaluate(
                "for (const d of document.querySelectorAll('details')) d.open = true; return true",
            )
            .await;
            page.settle().await;
            assert_eq!(page.evaluate(ORDER).await, serde_json::json!([]));
            page.picture("sideways-list").await;
            let wide = "return document.scrollingElement.scrollWidth <= innerWidth";
            assert_eq!(page.evaluate(wide).await, true);
            // Every name on the drawing stays within the drawing.
            view(page, "Map").await;
            let outside = page
                .evaluate(
                    "const room = document.querySelector('.map-canvas').getBoundingClientRect();
                     return [...document.querySelectorAll('.map-canvas .label')]
                       .filter(l => l.checkVisibility() && l.getBoundingClientRect().width > 0)
                       .filter(l => { const b = l.getBoundingClientRect();
                                      return b.left < room.left - 2 || b.right > room.right + 2; })
                       .map(l => l.textContent)",
                )
                .await;
            assert_eq!(outside, serde_json::json!([]));
            click(page, &button("Name, story, file")).await;
            click(page, &button("Report of this case")).await;
            page.find("dialog[open] article").await;
            page.picture("sideways-report").await;
            assert_eq!(page.evaluate(wide).await, true);
        });
    }
}
