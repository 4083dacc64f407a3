//! How a page starts on a phone: when the first map is seen, when it answers a finger, and what was fetched for either.

use std::time::Duration;

use serde_json::{Value, json};

use super::{Page, Scheme, Screen, Served, Throttle};

/// How often each start is timed; the median counts.
pub const VISITS: usize = 7;

/// Chooses one and the same example as soon as the page holds its button, as fast as no person could: so the page's own
/// time is measured and nobody's hesitation.
pub const CHOOSE: &str = "
new MutationObserver((_, observer) => {
  const button = document.querySelector('[data-example=barn-find]');
  if (button) {
    observer.disconnect();
    button.click();
  }
}).observe(document, { childList: true, subtree: true });";

/// Keeps the program from being fetched at all.
const NO_PROGRAM: &str = "
const real = globalThis.fetch;
globalThis.fetch = (what, how) =>
  String(what?.url ?? what).endsWith('_bg.wasm') ? new Promise(() => {}) : real(what, how);";

/// The median start of a page.
#[derive(Debug, Clone)]
pub struct Start {
    /// From opening the page to the first map painted, in milliseconds, were it as a picture.
    pub first_map_ms: f64,
    /// To the map that answers a finger.
    pub answers_ms: f64,
    /// To the first thing that is seen: the frame of the map.
    pub first_seen_ms: f64,
    /// What had been fetched when the map answered, as it was sent.
    pub answers: Fetched,
}

/// What was fetched, as it was sent.
#[derive(Debug, Clone)]
pub struct Fetched {
    /// All together.
    pub bytes: f64,
    /// How much of each kind of file.
    pub kinds: String,
}

/// The median start of a served page.
///
/// # Panics
/// When the page shows no map.
#[must_use]
pub fn starts(served: &Served, throttle: Option<Throttle>) -> Start {
    // The first visit warms up the server's compressed files and the machine.
    let visits: Vec<Start> = (0..=VISITS)
        .map(|_| start(served, throttle))
        .skip(1)
        .collect();
    let median = |figure: fn(&Start) -> f64| {
        let mut figures: Vec<f64> = visits.iter().map(figure).collect();
        figures.sort_by(f64::total_cmp);
        figures[VISITS / 2]
    };
    Start {
        first_map_ms: median(|visit| visit.first_map_ms),
        answers_ms: median(|visit| visit.answers_ms),
        first_seen_ms: median(|visit| visit.first_seen_ms),
        answers: Fetched {
            bytes: median(|visit| visit.answers.bytes),
            kinds: visits
                .first()
                .map_or_else(String::new, |visit| visit.answers.kinds.clone()),
        },
    }
}

fn start(served: &Served, throttle: Option<Throttle>) -> Start {
    served.visit(Screen::Phone, Scheme::Light, async |page| {
        page.beforehand(CHOOSE).await;
        if let Some(throttle) = throttle {
            page.throttle(throttle).await;
        }
        page.go("").await;
        // A page of one piece has the one mark.
        let stands = "return ['first-map-answers', 'first-map'].some(name =>
            performance.getEntriesByName(name).length > 0 &&
            (name === 'first-map-answers' || !document.getElementById('early')))";
        page.until("the map to answer", stands).await;
        Start {
            first_map_ms: mark(page, &["first-map"]).await,
            answers_ms: mark(page, &["first-map-answers", "first-map"]).await,
            first_seen_ms: mark(page, &["first-contentful-paint"]).await,
            answers: fetched(page, &["first-map-answers", "first-map"]).await,
        }
    })
}

/// All that is fetched for the first map that is seen, by a visit on which the program never comes.
///
/// # Panics
/// When the page shows no map without its program.
#[must_use]
pub fn needed_for_first_map(served: &Served) -> Fetched {
    served.visit(Screen::Phone, Scheme::Light, async |page| {
        page.beforehand(NO_PROGRAM).await;
        page.beforehand(CHOOSE).await;
        page.go("").await;
        let seen = "return performance.getEntriesByName('first-map').length > 0";
        page.until("the first map", seen).await;
        fetched(page, &["first-map"]).await
    })
}

async fn fetched(page: &Page, marks: &[&str]) -> Fetched {
    // What was on its way when the map stood is counted when it is here.
    tokio::time::sleep(Duration::from_millis(300)).await;
    let all = page.evaluate_with(FETCHED, vec![json!(marks)]).await;
    Fetched {
        bytes: all[0].as_f64().unwrap_or_default(),
        kinds: all[1].as_str().unwrap_or_default().to_owned(),
    }
}

/// What was asked for before a mark, each file once: bytes, and bytes by kind.
const FETCHED: &str = "
const name = arguments[0].find(name => performance.getEntriesByName(name).length > 0);
const drawn = performance.getEntriesByName(name)[0].startTime;
const fetched = [...new Map(
  [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]
    .filter(e => e.startTime <= drawn)
    .map(e => [e.name, e])
).values()];
const sum = entries => entries.reduce((sum, e) => sum + e.encodedBodySize, 0);
const kinds = Object.groupBy(fetched, e =>
  e.entryType === 'navigation' ? 'html' : new URL(e.name).pathname.split('.').pop());
return [sum(fetched), Object.entries(kinds).map(([kind, entries]) => `${kind} ${sum(entries)}`).join(', ')];";

/// When the first of some marks was left that was left at all.
async fn mark(page: &Page, names: &[&str]) -> f64 {
    let script = "return arguments[0].map(name => performance.getEntriesByName(name)[0]?.startTime).find(Boolean) ?? null";
    let found: Value = page.evaluate_with(script, vec![json!(names)]).await;
    found.as_f64().unwrap_or_default()
}
