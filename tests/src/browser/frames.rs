//! How smoothly the map moves under a hand: real pointer and wheel events, and the pictures that follow them.

use std::time::Duration;

use serde_json::{Value, json};

use super::Page;

/// Notes every picture: how long after the one before, and the work that it took on the page's main thread, from
/// the first event that belongs to it until it has been laid out and painted.
const WATCH: &str = "
globalThis.pictures = [];
globalThis.watching = true;
let begun = null, last = null;
const begin = () => { begun ??= performance.now(); };
for (const kind of ['pointermove', 'pointerdown', 'pointerup', 'wheel', 'touchmove', 'keydown'])
  addEventListener(kind, begin, { capture: true, passive: true });
const channel = new MessageChannel();
channel.port1.onmessage = ({ data }) => { data.work = performance.now() - data.begun; pictures.push(data); };
const frame = now => {
  begin();
  channel.port2.postMessage({ apart: last === null ? null : now - last, begun });
  begun = null;
  last = now;
  if (watching) requestAnimationFrame(frame);
};
requestAnimationFrame(frame);";

/// Ends the watch and gives the 95th of 100 of each figure, and how many pictures there were.
const TOLD: &str = "
watching = false;
const p95 = figures => figures.sort((a, b) => a - b)[Math.floor(figures.length * 0.95)] ?? null;
const whole = pictures.filter(one => one.apart !== null);
return { apart: p95(whole.map(one => one.apart)), work: p95(whole.map(one => one.work)), count: whole.length };";

/// What was seen while a hand moved the map: 95 of 100 pictures took no longer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Smoothness {
    /// From picture to picture, in milliseconds.
    pub apart_ms: f64,
    /// The page's own work for one picture, in milliseconds: what a screen of any speed has to wait for.
    pub work_ms: f64,
    /// How many pictures were seen.
    pub pictures: u64,
    /// What the page's main thread spent on one step of the hand in the mean, in milliseconds of its own processor
    /// time, so that it is the same on a busy machine.
    pub spent_ms: f64,
}

/// Watches the pictures of a page while a hand takes so many steps.
pub async fn watched(page: &Page, steps: u32, act: impl AsyncFnOnce(&Page, u32)) -> Smoothness {
    page.evaluate(WATCH).await;
    let before = spent_ms(page).await;
    act(page, steps).await;
    let told = page.evaluate(TOLD).await;
    let spent = spent_ms(page).await - before;
    let figure = |name: &str| told[name].as_f64().unwrap_or(f64::NAN);
    Smoothness {
        apart_ms: figure("apart"),
        work_ms: figure("work"),
        pictures: told["count"].as_u64().unwrap_or(0),
        spent_ms: spent / f64::from(steps),
    }
}

/// What the page's main thread has spent so far, in milliseconds of processor time.
async fn spent_ms(page: &Page) -> f64 {
    let parameters = json!({ "timeDomain": "threadTicks" });
    page.tell("Performance.enable", parameters).await;
    let told = page.tell("Performance.getMetrics", json!({})).await;
    if std::env::var_os("TELL").is_some() {
        eprintln!("{told}");
    }
    let metrics = told["metrics"].as_array();
    let metric = metrics
        .into_iter()
        .flatten()
        .find(|metric| metric["name"] == "TaskDuration");
    let seconds = metric.and_then(|metric| metric["value"].as_f64());
    1000.0 * seconds.unwrap_or(f64::NAN)
}

/// Waits until the page has had nothing to do for a second: what is reckoned after a map was opened is then done.
pub async fn come_to_rest(page: &Page) {
    const BUSY: &str = "
globalThis.busyUntil = performance.now();
new PerformanceObserver(list => {
  for (const task of list.getEntries()) busyUntil = Math.max(busyUntil, task.startTime + task.duration);
}).observe({ type: 'long-animation-frame', buffered: false });
const beat = then => {
  const now = performance.now();
  if (now - then > 25) busyUntil = now;
  setTimeout(beat, 5, now);
};
beat(performance.now());";
    page.evaluate(BUSY).await;
    page.until(
        "the page to come to rest",
        "return performance.now() - busyUntil > 1000",
    )
    .await;
}

/// Drags the map about by its paper with the mouse, there and back, in steps as a hand makes them.
pub async fn drag_about(page: &Page, from: (f64, f64), steps: u32) {
    mouse(page, "mousePressed", from, 1).await;
    let mut at = from;
    for step in 0..steps {
        let turn = f64::from(step) / f64::from(steps) * std::f64::consts::TAU;
        at = (
            from.0 - 160.0 * turn.sin(),
            from.1 - 110.0 * (2.0 * turn).sin(),
        );
        mouse(page, "mouseMoved", at, 1).await;
    }
    mouse(page, "mouseReleased", at, 0).await;
}

/// Turns the wheel over a place of the page, nearer and away again, so that all steps of detail are passed.
pub async fn wheel_about(page: &Page, at: (f64, f64), notches: u32) {
    for notch in 0..notches {
        let nearer = notch < notches / 2;
        let wheel = json!({
            "type": "mouseWheel",
            "x": at.0,
            "y": at.1,
            "deltaX": 0,
            "deltaY": if nearer { -60 } else { 60 },
        });
        page.tell("Input.dispatchMouseEvent", wheel).await;
    }
}

/// Spreads two fingers on the map and brings them together again.
pub async fn pinch_about(page: &Page, middle: (f64, f64), steps: u32) {
    let fingers = |step: u32| {
        let turn = f64::from(step) / f64::from(steps) * std::f64::consts::TAU;
        let far = 60.0 + 90.0 * (1.0 - turn.cos());
        json!([
            { "x": middle.0 - far / 2.0, "y": middle.1 + 40.0 * turn.sin(), "id": 1 },
            { "x": middle.0 + far / 2.0, "y": middle.1 + 40.0 * turn.sin(), "id": 2 },
        ])
    };
    touch(page, "touchStart", fingers(0)).await;
    for step in 1..steps {
        touch(page, "touchMove", fingers(step)).await;
    }
    touch(page, "touchEnd", json!([])).await;
}

/// How long it takes from a key that changes the map until the changed map has been laid out and painted, in
/// milliseconds: the middle of several, and what the page's main thread spent on one, all that follows from it
/// included, in milliseconds of processor time. The keyboard must stand on something that the keys change.
pub async fn key_to_picture(page: &Page, keys: &[&str]) -> (f64, f64) {
    const NOTE: &str = "
globalThis.answered = [];
const channel = new MessageChannel();
channel.port1.onmessage = ({ data }) => answered.push(performance.now() - data);
addEventListener('keydown', () => {
  const pressed = performance.now();
  requestAnimationFrame(() => channel.port2.postMessage(pressed));
}, { capture: true });";
    page.evaluate(NOTE).await;
    let before = spent_ms(page).await;
    for key in keys {
        page.press(*key).await;
        tokio::time::sleep(Duration::from_millis(400)).await;
    }
    let spent = spent_ms(page).await - before;
    let count = u32::try_from(keys.len()).map_or(f64::NAN, f64::from);
    let middle = "return answered.sort((a, b) => a - b)[Math.floor(answered.length / 2)]";
    let middle = page.evaluate(middle).await.as_f64();
    (middle.unwrap_or(f64::NAN), spent / count)
}

async fn mouse(page: &Page, kind: &str, at: (f64, f64), buttons: u32) {
    let event = json!({
        "type": kind,
        "x": at.0,
        "y": at.1,
        "button": "left",
        "buttons": buttons,
        "clickCount": u32::from(kind != "mouseMoved"),
    });
    page.tell("Input.dispatchMouseEvent", event).await;
}

async fn touch(page: &Page, kind: &str, points: Value) {
    let event = json!({ "type": kind, "touchPoints": points });
    page.tell("Input.dispatchTouchEvent", event).await;
}
