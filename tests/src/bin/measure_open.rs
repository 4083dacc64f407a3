//! Measures who can use the built page and how large a map it bears, in headless Chromium, and prints the rows:
//! part of `cargo xtask measure`; with the word `scale` only those of the large map.

use std::fs;
use std::process::ExitCode;
use std::time::Duration;

use serde_json::{Value, json};
use sparktrail_core::model::file;
use sparktrail_measures::large::{large, terminals};
use sparktrail_tests::browser::axe::{self, Impact};
use sparktrail_tests::browser::by_keyboard::JOBS;
use sparktrail_tests::browser::tour::{places, tour, view};
use sparktrail_tests::browser::{Encoding, Page, Scheme, Screen, Served};
use sparktrail_tests::place;

/// Coils of the large map.
const COILS: usize = 40;
/// How often it is opened; the median counts.
const VISITS: usize = 3;
/// Steps of a hand that moves it.
const STEPS: u32 = 120;

fn main() -> ExitCode {
    let Some(app) = Served::start(&place::target().join("dist"), Encoding::Plain) else {
        return ExitCode::FAILURE;
    };
    let mut rows = scale(&app);
    if std::env::args().nth(1).as_deref() != Some("scale") {
        rows.extend(serious(&app));
        rows.push(jobs(&app));
    }
    println!("{}", Value::Array(rows));
    ExitCode::SUCCESS
}

/// Rules of accessibility that are broken in earnest, over all places. No row where axe is not installed.
fn serious(app: &Served) -> Option<Value> {
    let program = axe::program()?;
    let mut found = Vec::new();
    for scheme in Scheme::ALL {
        for screen in Screen::ALL {
            app.visit(screen, scheme, async |page| {
                tour(page, async |place| {
                    found.extend(axe::broken(page, &program, place).await);
                })
                .await;
                page.forgive_troubles().await;
            });
        }
    }
    let all = found.len();
    found.retain(|broken| broken.impact >= Impact::Serious);
    Some(json!({
        "name": "axe.serious",
        "value": found.len(),
        "unit": "",
        "beside": all,
        "note": format!(
            "rules that axe-core 4.12 finds broken seriously or critically on {} places, on phone and desktop, in \
             light and dark; beside: all that it finds, taste included",
            places()
        ),
    }))
}

/// How many jobs are done by keyboard alone.
fn jobs(app: &Served) -> Value {
    let mut failed = Vec::new();
    for job in JOBS {
        app.visit(Screen::Desktop, Scheme::Light, async |page| {
            if job.done(page).await.is_err() {
                failed.push(job.name);
            }
            page.forgive_troubles().await;
        });
    }
    let list = if failed.is_empty() {
        "none fails".to_owned()
    } else {
        format!("not done: {}", failed.join(", "))
    };
    json!({
        "name": "keyboard.jobs_done",
        "value": JOBS.len() - failed.len(),
        "unit": "jobs",
        "beside": JOBS.len(),
        "note": format!("done with keys alone, the keyboard's place always in sight; {list}; beside: all jobs"),
    })
}

/// What the large map took once.
struct Seen {
    open_ms: f64,
    ranked_ms: f64,
    longest_ms: f64,
    pan_ms: f64,
}

/// A map of 40 coils opened, moved, broken and ranked.
fn scale(app: &Served) -> Vec<Value> {
    let Some(harness) = large(COILS) else {
        return Vec::new();
    };
    let path = place::target().join("large.json");
    if let Err(error) = fs::write(&path, file::write(&harness)) {
        eprintln!("{}: {error}", path.display());
        return Vec::new();
    }
    let mut seen: Vec<Seen> = (0..VISITS)
        .map(|_| {
            app.visit(Screen::Desktop, Scheme::Light, async |page| {
                page.allow_motion().await;
                once(page, &path).await
            })
        })
        .collect();
    let mut middle = |of: fn(&Seen) -> f64| {
        seen.sort_by(|a, b| of(a).total_cmp(&of(b)));
        of(&seen[VISITS / 2])
    };
    let count = terminals(&harness);
    vec![
        json!({
            "name": "scale.40coils_open_ms",
            "value": middle(|seen| seen.open_ms),
            "unit": "ms",
            "beside": middle(|seen| seen.ranked_ms),
            "note": format!(
                "from the file's choice to the painted map of {COILS} coils and {count} terminals, desktop, median of \
                 {VISITS}; beside: until its suspects are ranked; the longest task of the page meanwhile took {:.0} ms",
                middle(|seen| seen.longest_ms)
            ),
        }),
        json!({
            "name": "scale.40coils_pan_ms_p95",
            "value": middle(|seen| seen.pan_ms),
            "unit": "ms",
            "beside": 1000.0 / 60.0,
            "note": "from picture to picture while a hand drags that map: 95 of 100 take no longer; beside: a screen of \
                     60 pictures a second",
        }),
    ]
}

/// Notes the longest task, in every page to come.
const LONGEST: &str = "
globalThis.longest = 0;
new PerformanceObserver(list => {
  for (const task of list.getEntries()) longest = Math.max(longest, task.duration);
}).observe({ type: 'longtask', buffered: true });";

async fn once(page: &Page, path: &std::path::Path) -> Seen {
    page.beforehand(LONGEST).await;
    page.open("").await;
    // The second module comes by itself before anybody could have chosen a file.
    page.until(
        "the rest of the program",
        "return !!document.querySelector('[data-spoken]')",
    )
    .await;
    page.evaluate(
        "longest = 0;
         document.querySelector('input[type=file]').addEventListener('change', () => chosen = performance.now(), true);
         globalThis.chosen = 0;
         return true",
    )
    .await;
    page.upload("input[type=file]", path).await;
    page.until(
        "the map",
        "return performance.getEntriesByName('first-map').length > 0",
    )
    .await;
    let open_ms = number(
        &page
            .evaluate("return performance.getEntriesByName('first-map')[0].startTime - chosen")
            .await,
    );
    view(page, "Suspects").await;
    page.until(
        "the suspects",
        "if (!document.querySelector('.suspect')) return false;
         globalThis.ranked ??= performance.now() - chosen;
         return true",
    )
    .await;
    let ranked_ms = number(&page.evaluate("return ranked").await);
    let longest_ms = number(&page.evaluate("return longest").await);
    // What is weighed beside comes to its end before a hand moves the map.
    tokio::time::sleep(Duration::from_secs(5)).await;
    Seen {
        open_ms,
        ranked_ms,
        longest_ms,
        pan_ms: pan(page).await,
    }
}

/// Drags the map about and gives the time from picture to picture that 95 of 100 do not exceed.
async fn pan(page: &Page) -> f64 {
    const COUNT: &str = "
globalThis.frames = [];
globalThis.counting = true;
let last = performance.now();
const count = now => {
  frames.push(now - last);
  last = now;
  if (counting) requestAnimationFrame(count);
};
requestAnimationFrame(count);";
    const P95: &str = "
counting = false;
const sorted = frames.slice(2).sort((a, b) => a - b);
return sorted[Math.floor(sorted.length * 0.95)];";
    let place = "const map = document.querySelector('.map-canvas').getBoundingClientRect();
        return [map.left + 12, map.bottom - 90]";
    let at = page.evaluate(place).await;
    let from = (number(&at[0]), number(&at[1]));
    mouse(page, "mousePressed", from).await;
    page.evaluate(COUNT).await;
    for step in 0..STEPS {
        let turn = f64::from(step) / f64::from(STEPS) * std::f64::consts::TAU;
        let at = (
            from.0 + 160.0 * (1.0 - turn.cos()),
            from.1 - 110.0 * turn.sin(),
        );
        mouse(page, "mouseMoved", at).await;
    }
    let p95 = number(&page.evaluate(P95).await);
    mouse(page, "mouseReleased", from).await;
    p95
}

async fn mouse(page: &Page, kind: &str, at: (f64, f64)) {
    let event = json!({
        "type": kind,
        "x": at.0,
        "y": at.1,
        "button": "left",
        "buttons": u32::from(kind != "mouseReleased"),
        "clickCount": u32::from(kind != "mouseMoved"),
    });
    page.tell("Input.dispatchMouseEvent", event).await;
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}
