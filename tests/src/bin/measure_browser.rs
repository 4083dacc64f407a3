//! Measures the built pages in headless Chromium and prints the rows: `cargo xtask measure`; with the word
//! `core` only those of the measuring page, with `starts` only those of the first map, with `findings` only those of a
//! finding that is entered, with `frames` only those of a map that moves.

use std::cell::Cell;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use sparktrail_site::{brotli, content_type, is_worth_compressing};
use sparktrail_tests::browser::frames::{
    Smoothness, come_to_rest, drag_about, key_to_picture, pinch_about, watched, wheel_about,
};
use sparktrail_tests::browser::own_engine::draw_v8_with_two_dead;
use sparktrail_tests::browser::starts::{self, Start, VISITS, starts};
use sparktrail_tests::browser::{
    Encoding, Page, Requests, Scheme, Screen, Served, Throttle, faults,
};
use sparktrail_tests::place;

/// How long the core's measures in the browser may take on a busy machine.
const LONGEST: Duration = Duration::from_secs(300);

/// A screen of 60 pictures a second.
const FRAME_MS: f64 = 1000.0 / 60.0;

/// A middling phone on a middling line.
const SLOW: Throttle = Throttle {
    cpu: 4.0,
    bits_per_second: 1.6e6,
    latency_ms: 150.0,
};

fn main() -> ExitCode {
    let only = match std::env::args().nth(1).as_deref() {
        Some("core") => {
            serve("dist-measures", Encoding::Brotli).map(|measures| core_rows(&measures))
        }
        Some("frames") => serve("dist", Encoding::Plain).map(|app| frame_rows(&app)),
        Some("starts") => serve("dist", Encoding::Brotli)
            .zip(serve("dist-smallest", Encoding::Brotli))
            .map(|(app, smallest)| start_rows(&app, &smallest)),
        Some("findings") => serve("dist", Encoding::Brotli).map(|app| repaints(&app).to_vec()),
        _ => every_row(),
    };
    let Some(rows) = only else {
        return ExitCode::FAILURE;
    };
    println!("{}", Value::Array(rows));
    ExitCode::SUCCESS
}

fn every_row() -> Option<Vec<Value>> {
    let (app, smallest, measures) = served()?;
    let mut rows = start_rows(&app, &smallest);
    rows.push(whole_app());
    rows.push(v8_clicks(&app));
    rows.extend(frame_rows(&app));
    rows.extend(solid_rows());
    rows.extend(repaints(&app));
    rows.extend(core_rows(&measures));
    Some(rows)
}

/// When the first map is seen and when it answers, and what is fetched for either.
fn start_rows(app: &Served, smallest: &Served) -> Vec<Value> {
    let seen = starts::needed_for_first_map(app);
    let quick = (starts(app, None), starts(smallest, None));
    let slow = (starts(app, Some(SLOW)), starts(smallest, Some(SLOW)));
    let picture = "a picture of the map in its frame, before the program is there: it is looked at, and what is \
                   pressed waits for the program";
    let answers = "the program's own map, which answers a finger";
    let slowly = "processor 4 times slower, 1.6 Mbit/s, 150 ms to a first answer";
    let times = [
        (
            "first_map.ms",
            quick.0.first_map_ms,
            quick.1.first_map_ms,
            note(picture, &quick.0),
        ),
        (
            "first_map.throttled_ms",
            slow.0.first_map_ms,
            slow.1.first_map_ms,
            format!("{}; {slowly}", note(picture, &slow.0)),
        ),
        (
            "first_map.answers_ms",
            quick.0.answers_ms,
            quick.1.first_map_ms,
            note(answers, &quick.0),
        ),
        (
            "first_map.answers_throttled_ms",
            slow.0.answers_ms,
            slow.1.first_map_ms,
            format!("{}; {slowly}", note(answers, &slow.0)),
        ),
    ];
    let mut rows = vec![
        json!({
            "name": "transfer.brotli_bytes",
            "value": seen.bytes,
            "unit": "bytes",
            "beside": quick.1.answers.bytes,
            "note": format!(
                "all that is fetched for the first map that is seen, {picture}; measured where the program never \
                 comes; {}; brotli 11; beside: the smallest Leptos page built the same way, its program included",
                seen.kinds
            ),
        }),
        json!({
            "name": "transfer.answers_brotli_bytes",
            "value": quick.0.answers.bytes,
            "unit": "bytes",
            "beside": quick.1.answers.bytes,
            "note": format!(
                "all that is fetched until the map answers a finger, the picture before it included; {}; brotli 11; \
                 beside: the smallest Leptos page built the same way",
                quick.0.answers.kinds
            ),
        }),
        json!({
            "name": "first_map.ratio",
            "value": quick.0.first_map_ms / quick.1.first_map_ms,
            "unit": "times",
            "beside": 2,
            "note": "the first map that is seen, a picture, beside the smallest page; beside: the most that it should be",
        }),
    ];
    rows.extend(times.map(|(name, ms, beside, note)| {
        json!({ "name": name, "value": ms, "unit": "ms", "beside": beside, "note": note })
    }));
    rows
}

/// What a visitor has fetched once everything is here: all files of the page but the examples, the icons and other
/// languages' words; of the examples' pictures the largest one.
fn whole_app() -> Value {
    let all: usize = ["", "fonts"].into_iter().flat_map(sent).sum();
    let picture = sent("early/en").into_iter().max().unwrap_or_default();
    json!({
        "name": "transfer.total_brotli_bytes",
        "value": all + picture,
        "unit": "bytes",
        "beside": 300_000,
        "note": format!(
            "all files of the page but examples, icons and other languages' words, with the largest of the examples' \
             pictures ({picture}); brotli 11; beside: what is aimed at"
        ),
    })
}

/// The bytes of each file in a folder of the page, as it is sent.
fn sent(folder: &str) -> Vec<usize> {
    let files = fs::read_dir(place::target().join("dist").join(folder));
    let files = files.into_iter().flatten().flatten();
    let files = files
        .map(|entry| entry.path())
        .filter(|path| path.is_file());
    let sent = files.map(|file| {
        let plain = fs::read(&file).unwrap_or_default();
        if is_worth_compressing(content_type(&file)) {
            brotli(&plain).len()
        } else {
            plain.len()
        }
    });
    sent.collect()
}

/// How fast pictures follow while the largest sample moves or is changed.
fn frame_rows(app: &Served) -> Vec<Value> {
    let mut rows = vec![cycle_frames(app), edit_frame(app)];
    rows.extend(map_frames(app));
    rows
}

fn served() -> Option<(Served, Served, Served)> {
    Some((
        serve("dist", Encoding::Brotli)?,
        serve("dist-smallest", Encoding::Brotli)?,
        serve("dist-measures", Encoding::Brotli)?,
    ))
}

fn serve(dist: &str, encoding: Encoding) -> Option<Served> {
    Served::start(&place::target().join(dist), encoding)
}

fn note(what: &str, start: &Start) -> String {
    format!(
        "from opening the page to {what}; the example chosen as soon as the page holds its button, the frame of its \
         map painted at {:.0} ms; median of \
         {VISITS} visits with an empty profile, phone, brotli-encoded by a local server; beside: the smallest Leptos \
         page to its painted paragraph",
        start.first_seen_ms
    )
}

/// How many clicks lie between the opened page and the map of a V8 with two dead cylinders.
fn v8_clicks(app: &Served) -> Value {
    let effort = app.visit(Screen::Phone, Scheme::Light, draw_v8_with_two_dead);
    json!({
        "name": "start.v8_clicks",
        "value": effort.clicks,
        "unit": "clicks",
        "beside": 8,
        "note": format!(
            "from opening the page to the map of a V8 with two dead cylinders, {} keys; beside: the \
             most that it may take",
            effort.keys
        ),
    })
}

/// What the page asks of the network, first with one and then without, and what befalls its storage.
fn solid_rows() -> Vec<Value> {
    // Nothing of it depends on how large the files are, and compressing them takes longer than all the rest.
    let Some(app) = serve("dist", Encoding::Plain) else {
        return Vec::new();
    };
    let with = Cell::new(Requests::default());
    let without = app.visit(Screen::Phone, Scheme::Light, async |page| {
        go_round(page).await;
        page.until(
            "the page to be kept",
            "return navigator.serviceWorker.getRegistration().then((found) => !!found?.active)",
        )
        .await;
        with.set(page.requests().await);
        app.fall_silent();
        go_round(page).await;
        page.requests().await
    });
    let with = with.get();
    vec![
        json!({
            "name": "offline.requests_failed",
            "value": without.failed - with.failed,
            "unit": "requests",
            "beside": without.asked - with.asked,
            "note": "requests without an answer on the second visit, the server silent: first screen, an example \
                     never seen before, every view of it; beside: all requests of that visit",
        }),
        json!({
            "name": "foreign.requests",
            "value": without.foreign,
            "unit": "requests",
            "beside": without.asked,
            "note": "requests to another origin on both visits; beside: all requests",
        }),
        faults_survived(),
    ]
}

/// The first screen, then another example at each call, with every view of it.
async fn go_round(page: &Page) {
    page.open("").await;
    let seen = page
        .evaluate("return Object.keys(localStorage).length > 1")
        .await;
    let example = if seen == json!(true) {
        "silver-limousine"
    } else {
        "barn-find"
    };
    page.click(&format!("[data-example={example}]")).await;
    page.until(
        "the rest of the program",
        "return document.querySelector('.saved')?.innerText === 'saved'",
    )
    .await;
    let views = "return document.querySelectorAll('nav .tab').length";
    for at in 0..page.evaluate(views).await.as_u64().unwrap_or(0) {
        let go = "document.querySelectorAll('nav .tab')[arguments[0]].click(); return true";
        page.evaluate_with(go, vec![json!(at)]).await;
        page.settle().await;
    }
}

/// How many of the faults of the browser's storage lose nothing.
fn faults_survived() -> Value {
    let all = faults::all();
    let lost: Vec<String> = all
        .iter()
        .filter(|fault| {
            serve("dist", Encoding::Plain).is_none_or(|app| {
                catch_unwind(AssertUnwindSafe(|| faults::suffer(&app, **fault))).is_err()
            })
        })
        .map(|fault| format!("{fault:?}"))
        .collect();
    let lost_note = if lost.is_empty() {
        String::new()
    } else {
        format!("; lost: {}", lost.join(", "))
    };
    json!({
        "name": "storage.faults_survived",
        "value": all.len() - lost.len(),
        "unit": "faults",
        "beside": all.len(),
        "note": format!(
            "storage full, forbidden, emptied, cut off while saving, spoilt by hand or by a newer program, key by \
             key, each in a fresh browser; beside: all that are tried{lost_note}"
        ),
    })
}

/// How long a picture takes while the cycle of the largest sample plays: 95 of 100 take no longer.
fn cycle_frames(app: &Served) -> Value {
    const VIEW: &str = "
[...document.querySelectorAll('.tabs .tab')].find(t => t.textContent === 'Cycle').click();";
    const COUNT: &str = "
document.querySelector('[data-act=play]').click();
globalThis.frames = [];
let last = performance.now();
const count = now => {
  frames.push(now - last);
  last = now;
  if (frames.length < 400) requestAnimationFrame(count);
};
requestAnimationFrame(count);";
    const P95: &str = "
const sorted = frames.slice(5).sort((a, b) => a - b);
return sorted[Math.floor(sorted.length * 0.95)];";
    let ms = app.visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        page.click("[data-example=silver-limousine]").await;
        page.find(".map-canvas").await;
        page.allow_motion().await;
        page.evaluate(VIEW).await;
        page.find(".score .stave").await;
        page.evaluate(COUNT).await;
        page.until("400 pictures", "return frames.length >= 400")
            .await;
        number(&page.evaluate(P95).await)
    });
    json!({
        "name": "cycle.frame_ms_p95",
        "value": ms,
        "unit": "ms",
        "beside": FRAME_MS,
        "note": "from picture to picture while the cycle of the V12 plays, the map lighting up at each \
                 spark: 95 of 100 take no longer; beside: a screen of 60 pictures a second",
    })
}

/// How quickly a finding shows on a V8 and on a V12.
fn repaints(app: &Served) -> [Value; 2] {
    [
        repaint(app, "v8", "white-cruiser", FRAME_MS),
        repaint(app, "v12", "silver-limousine", 50.0),
    ]
}

/// From a finding to the picture that shows what it changed: the same finding is entered again and again, by undo
/// and redo, while Suspects shows and while Next does; the map with its heat stands beside both. A person's key comes
/// at any moment between two pictures of the screen, so these come at moments spread evenly over that time; what is
/// waited for before the key does not count, what is waited for after it does.
fn repaint(app: &Served, engine: &str, sample: &str, beside: f64) -> Value {
    /// Undoes or redoes so many milliseconds after a picture; tells when the picture after the new plan was painted,
    /// how much of that was reckoning, and how much idle: from the last of the work to the picture's turn.
    const ENTER: &str = "
const [shiftKey, after] = arguments;
const last = name => performance.getEntriesByName(name).at(-1)?.startTime ?? 0;
const enter = done => {
  const start = performance.now();
  const idle = new MessageChannel();
  let free = start;
  // Sent on once, to stand behind what the program itself puts off.
  let sent = false;
  idle.port1.onmessage = () => {
    if (sent) free = performance.now();
    else { sent = true; idle.port2.postMessage(0); }
  };
  document.body.dispatchEvent(new KeyboardEvent('keydown',
    { key: 'z', ctrlKey: true, shiftKey, bubbles: true, cancelable: true }));
  const look = () => {
    if (last('isolation-next') < start) return requestAnimationFrame(look);
    const begun = performance.now();
    const painted = new MessageChannel();
    painted.port1.onmessage = () => done([performance.now() - start,
      last('isolation-next') - last('isolation-begun'), free > start ? Math.max(0, begun - free) : 0]);
    painted.port2.postMessage(0);
  };
  requestAnimationFrame(look);
  idle.port2.postMessage(0);
};
return new Promise(done => requestAnimationFrame(() => setTimeout(enter, after, done)));";
    const TIMES: usize = 21;
    let tab = |name: &str| {
        format!(
            "[...document.querySelectorAll('.top .tab')]
               .find(t => t.firstChild.textContent.trim() === '{name}').click()"
        )
    };
    let (mut whole, mut reckoning, mut idle) = (Vec::new(), Vec::new(), Vec::new());
    app.visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        page.click(&format!("[data-example={sample}]")).await;
        page.find(".map-canvas").await;
        page.evaluate(&tab("Findings")).await;
        // The second part of the program is compressed as it is asked for: longer than a person would wait.
        let asked = Instant::now();
        while page.count(".cyl").await == 0 && asked.elapsed() < LONGEST {
            tokio::time::sleep(Duration::from_millis(500)).await;
        }
        page.click(".cyl").await;
        for (place, shows) in [("Suspects", ".suspect"), ("Next", ".next .act")] {
            page.evaluate(&tab(place)).await;
            page.find(shows).await;
            page.until(
                "the plan",
                "return performance.getEntriesByName('isolation-next').length > 0",
            )
            .await;
            page.settle().await;
            for turn in 0..2 * TIMES {
                let redo = turn % 2 == 1;
                let after = FRAME_MS * ((turn / 2) as f64) / (TIMES as f64);
                let told = page
                    .evaluate_with(ENTER, vec![json!(redo), json!(after)])
                    .await;
                if redo {
                    whole.push(number(&told[0]));
                    reckoning.push(number(&told[1]));
                    idle.push(number(&told[2]));
                }
                page.settle().await;
            }
        }
    });
    let median = |figures: &mut Vec<f64>| {
        figures.sort_by(f64::total_cmp);
        figures[figures.len() / 2]
    };
    json!({
        "name": format!("finding.{engine}_repaint_ms"),
        "value": median(&mut whole),
        "unit": "ms",
        "beside": beside,
        "note": format!(
            "from a finding to the picture with its suspects, heat and next act painted; {:.1} ms of it reckoning, \
             {:.1} ms idle until the screen's turn, the rest pictures; median of {}, half of them on Suspects, half on \
             Next, entered at moments spread evenly over the time between two pictures of the screen; beside: what is \
             aimed at",
            median(&mut reckoning),
            median(&mut idle),
            2 * TIMES
        ),
    })
}

/// How long a picture takes while hands move the map of the largest sample.
fn map_frames(app: &Served) -> [Value; 2] {
    let mouse = app.visit(Screen::Desktop, Scheme::Light, async |page| {
        open_v12(page).await;
        let drag = async |page: &Page, steps| drag_about(page, (520.0, 160.0), steps).await;
        let wheel = async |page: &Page, steps| wheel_about(page, (560.0, 420.0), steps).await;
        let dragged = watched(page, 240, drag).await;
        let wheeled = watched(page, 120, wheel).await;
        (dragged, wheeled)
    });
    let fingers = app.visit(Screen::Phone, Scheme::Light, async |page| {
        open_v12(page).await;
        let pinch = async |page: &Page, steps| pinch_about(page, (195.0, 300.0), steps).await;
        watched(page, 240, pinch).await
    });
    let (dragged, wheeled) = mouse;
    let worse = if wheeled.apart_ms > dragged.apart_ms {
        wheeled
    } else {
        dragged
    };
    let told = |what: &str, seen: Smoothness| {
        format!(
            "{what} {:.1} ms apart, {:.1} ms of work, {:.1} ms of the processor for a step of the hand",
            seen.apart_ms, seen.work_ms, seen.spent_ms
        )
    };
    [
        json!({
            "name": "frame.v12_pan_ms_p95",
            "value": worse.apart_ms,
            "unit": "ms",
            "beside": FRAME_MS,
            "note": format!(
                "from picture to picture while the mouse drags the map of the V12 and the wheel zooms it through \
                 all steps of detail, the slower of both: 95 of 100 take no longer ({}, {}); beside: a screen of \
                 60 pictures a second",
                told("drag", dragged), told("wheel", wheeled)
            ),
        }),
        json!({
            "name": "frame.v12_pinch_work_ms_p95",
            "value": fingers.work_ms,
            "unit": "ms",
            "beside": FRAME_MS,
            "note": format!(
                "the page's own work for a picture while two fingers pinch the same map on a phone, however slow \
                 the screen ({}); beside: the time that a screen of 60 pictures a second leaves",
                told("pinch", fingers)
            ),
        }),
    ]
}

/// How long it takes from a key that moves a part of the largest sample until the changed map is painted.
fn edit_frame(app: &Served) -> Value {
    let (ms, spent) = app.visit(Screen::Desktop, Scheme::Light, async |page| {
        open_v12(page).await;
        page.click("[aria-label='Edit the map']").await;
        page.evaluate("document.querySelector('.map-canvas .item.part[tabindex]').focus()")
            .await;
        page.press("\u{e007}").await;
        come_to_rest(page).await;
        let (right, left) = ("\u{e014}", "\u{e012}");
        let there_and_back = [right, right, left, right, left, left, right, right, left];
        key_to_picture(page, &there_and_back.repeat(5)).await
    });
    json!({
        "name": "edit.frame_ms",
        "value": ms,
        "unit": "ms",
        "beside": FRAME_MS,
        "note": format!(
            "from the arrow key that moves a part of the V12 to the map drawn anew, laid out and painted: the \
             middle of 45; {spent:.1} ms of the processor for all that follows from it; beside: a screen of 60 \
             pictures a second"
        ),
    })
}

/// Opens the largest sample and waits until all that follows from it has been reckoned.
async fn open_v12(page: &Page) {
    page.open("").await;
    page.allow_motion().await;
    page.click("[data-example=silver-limousine]").await;
    page.find(".map-canvas").await;
    page.find("[aria-label='Edit the map']").await;
    come_to_rest(page).await;
}

/// The rows of `sparktrail-measures`, timed in the browser.
fn core_rows(measures: &Served) -> Vec<Value> {
    let rows = measures.visit(Screen::Desktop, Scheme::Light, async |page| {
        page.go("").await;
        // It measures for as long as it takes: longer than a person would wait.
        let ended = "return 'measuredRows' in globalThis || 'measuringFailed' in globalThis";
        let start = Instant::now();
        while page.evaluate(ended).await != json!(true) && start.elapsed() < LONGEST {
            tokio::time::sleep(Duration::from_millis(500)).await;
        }
        text(&page.evaluate("return globalThis.measuredRows ?? ''").await)
    });
    let mut rows: Vec<Value> = serde_json::from_str(&rows).unwrap_or_default();
    assert!(!rows.is_empty(), "the measuring page gave no rows");
    for row in &mut rows {
        let name = text(&row["name"]);
        // Some rows say by their own name where they were measured.
        if !name.contains("_browser_") {
            row["name"] = json!(format!("{name} in Chromium"));
        }
    }
    rows
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(0.0)
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}
