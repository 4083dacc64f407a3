//! What stands before the program is what the program draws.

use std::collections::BTreeMap;
use std::fs;

use serde_json::{Value, json};
use sparktrail_tests::browser::{Page, Screen};
use sparktrail_tests::place;

use super::{SECOND, hold, let_go, marked, visit_in};

/// Named in the environment, it lets the markup be written anew.
const UPDATE: &str = "UPDATE_EARLY";

/// The first screen, or the frame of an open map without its map and title, as markup with a line for each block.
const MARKUP: &str = "
const made = document.querySelector(arguments[0]).cloneNode(true);
const comments = document.createTreeWalker(made, NodeFilter.SHOW_COMMENT);
const all = [];
while (comments.nextNode()) all.push(comments.currentNode);
for (const comment of all) comment.remove();
for (const map of made.querySelectorAll('.map')) {
  map.querySelector('.map-canvas').remove();
  map.removeAttribute('data-zoom');
  made.querySelector('h1').textContent = '';
}
made.normalize();
return made.outerHTML.replace(/(?!^)<(main|header|section|div|ul|li|nav|aside|form)\\b/g, '\\n<$1');";

async fn markup(page: &Page, what: &str) -> String {
    let markup = page.evaluate_with(MARKUP, vec![json!(what)]).await;
    markup.as_str().unwrap_or_default().to_owned()
}

/// All that stands before the program, as the program itself draws it.
async fn drawn(page: &Page, waiting: &str) -> String {
    hold(page, SECOND).await;
    page.open("").await;
    let start = markup(page, "#app .start").await;
    page.click("#app [data-example=barn-find]").await;
    marked(page, "first-map-answers").await;
    let job = markup(page, "#app .job").await;
    let_go(page, SECOND[0]).await;
    format!(
        "<div class=\"toasts early-note\" role=\"status\" data-words=\"{waiting}\"></div>\n\
         <template>{job}</template>\n{start}\n"
    )
}

#[test]
fn the_first_screen_before_the_program_is_the_programs_own() {
    for language in ["en", "de"] {
        let waiting = waiting(language);
        let file = place::root().join(format!("static/early/{language}.html"));
        for screen in Screen::ALL {
            visit_in(language, screen, async |page| {
                let drawn = drawn(page, &waiting).await;
                assert!(drawn.contains("data-example") && !drawn.contains("style="));
                if std::env::var_os(UPDATE).is_some_and(|update| update == "1") {
                    fs::write(&file, &drawn).expect("the markup can be written");
                }
                let kept = fs::read_to_string(&file).unwrap_or_default();
                assert!(
                    kept == drawn,
                    "{} is not what the program draws on {screen:?}. Write it anew: cargo xtask build, \
                     {UPDATE}=1 cargo test -p sparktrail-tests --features browser --test browser early::same, \
                     cargo xtask build. The program draws:\n{drawn}",
                    file.display()
                );
            });
        }
    }
}

/// What is said while something that was pressed waits for the program.
fn waiting(language: &str) -> String {
    const ENGLISH: &str = "Getting the map ready…";
    let words = place::root().join(format!("static/words/{language}.json"));
    let table: BTreeMap<String, String> = fs::read_to_string(words)
        .ok()
        .and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or_default();
    table
        .get(ENGLISH)
        .map_or(ENGLISH, String::as_str)
        .to_owned()
}

/// What is painted of a map: each stroke and word in its order, with all that its look hangs on.
const PAINTED: &str = "
const zoom = arguments[1];
const facts = ['class', 'd', 'x', 'y', 'cx', 'cy', 'r', 'fill', 'stroke', 'font-size', 'text-anchor'];
const layers = ['behind', 'wires', 'discs', 'leads', 'parts', 'words'];
// The hatching: of the map's own kind, not words that only look like it.
const pattern = e => {
  const found = e.closest('pattern');
  if (!found) return undefined;
  const facts = [...found.attributes].map(a => a.name + a.value.replace('early-', 'map-'));
  return [e.namespaceURI, found.namespaceURI, ...facts.sort()].join(' ');
};
const root = typeof arguments[0] === 'string' ? document.querySelector(arguments[0]) : null;
const painted = (root) => [...root.querySelectorAll('path, circle, text')]
  .filter(e => !e.matches('.halo, .from-close') && (e.dataset.zoom ?? zoom) === zoom)
  .map(e => [e, layers.find(layer => e.closest('.' + layer)) ?? pattern(e)])
  .filter(([, layer]) => layer)
  .map(([e, layer]) => [layer, e.tagName, ...facts.map(fact => e.getAttribute(fact)?.replace('#early-', '#map-')),
    e.textContent, e.closest('.run')?.dataset.how, e.closest('.cold')?.dataset.state].join(' | '));
if (root) return painted(root);
return fetch(arguments[2]).then(answer => answer.text()).then(text => {
  const place = document.createElement('div');
  place.innerHTML = text;
  return painted(place);
});";

/// The picture of every example shows what the program paints of it, stroke by stroke.
fn every_picture(language: &str, screen: Screen) {
    let shape = if screen == Screen::Phone {
        "tall"
    } else {
        "wide"
    };
    visit_in(language, screen, async |page| {
        page.open("").await;
        let names = page
            .evaluate("return [...document.querySelectorAll('[data-example]')].map(e => e.dataset.example)")
            .await;
        let names: Vec<String> = serde_json::from_value(names).expect("names");
        assert!(names.len() >= 10, "{names:?}");
        for name in names {
            page.evaluate("performance.clearMarks(); return true").await;
            page.click(&format!("[data-example={name}]")).await;
            marked(page, "first-map-answers").await;
            let zoom = page
                .evaluate("return document.querySelector('.map').dataset.zoom")
                .await;
            let live = page
                .evaluate_with(PAINTED, vec![json!(".map-canvas"), zoom.clone()])
                .await;
            let file = format!("early/{language}/{name}-{shape}.svg");
            let picture = page
                .evaluate_with(PAINTED, vec![Value::Null, zoom, json!(file)])
                .await;
            let (live, picture) = (lines(&live), lines(&picture));
            assert!(live.len() > 50, "{name}: {} strokes", live.len());
            let differs = live
                .iter()
                .zip(&picture)
                .find(|(live, picture)| live != picture);
            assert_eq!(differs, None, "{file}: the map, and its picture");
            assert_eq!(live.len(), picture.len(), "{file}");
            page.click(".home").await;
            page.find(".start").await;
        }
    });
}

fn lines(painted: &Value) -> Vec<String> {
    serde_json::from_value(painted.clone()).unwrap_or_default()
}

#[test]
fn a_picture_shows_what_the_program_paints_on_a_phone() {
    every_picture("en", Screen::Phone);
}

#[test]
fn a_picture_shows_what_the_program_paints_on_a_desktop() {
    every_picture("de", Screen::Desktop);
}
