//! The page kept on this device by the browser's service worker, and the newer one that may wait there.

use js_sys::Reflect;
use serde::Deserialize;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{EventTarget, ServiceWorkerContainer, ServiceWorkerRegistration, ServiceWorkerState};

use super::{fetch, storage};

/// The worker, beside the page.
const WORKER: &str = "worker.js";
/// What a worker that waits understands.
const USE_NOW: &str = "use-now";
/// Where the page finds which build it is.
const BUILD: &str = "build.json";
/// Which build was here last.
const SEEN: &str = "sparktrail/1/build";

/// The mark of a build, as the build wrote it.
#[derive(Deserialize)]
struct Told {
    build: String,
}

/// Keeps the page on this device. `newer` is called whenever a newer page is kept and waits to be used; `taken`
/// when this window's page was replaced by a newer one, whichever window asked for it. Where the browser keeps
/// no pages, nothing happens.
pub fn keep(newer: impl Fn() + Clone + 'static, taken: impl Fn() + 'static) {
    let Some(workers) = workers() else { return };
    listen(&workers, "controllerchange", taken);
    spawn_local(async move {
        // A browser may forbid it: the page then needs a network, as any other does.
        let Ok(found) = JsFuture::from(workers.register(WORKER)).await else {
            return;
        };
        let Ok(registration) = found.dyn_into::<ServiceWorkerRegistration>() else {
            return;
        };
        if registration.waiting().is_some() && workers.controller().is_some() {
            newer();
        }
        let watched = registration.clone();
        listen(&registration, "updatefound", move || {
            let Some(coming) = watched.installing() else {
                return;
            };
            let (workers, newer) = (workers.clone(), newer.clone());
            let state = coming.clone();
            listen(&coming, "statechange", move || {
                // The first page ever kept replaces none.
                if state.state() == ServiceWorkerState::Installed && workers.controller().is_some()
                {
                    newer();
                }
            });
        });
    });
}

/// Puts the page that waits in the place of this one; `taken` is then called in every window.
pub fn use_newer() {
    let Some(workers) = workers() else { return };
    spawn_local(async move {
        let found = JsFuture::from(workers.get_registration()).await.ok();
        let waiting = found
            .and_then(|found| found.dyn_into::<ServiceWorkerRegistration>().ok())
            .and_then(|registration| registration.waiting());
        if let Some(waiting) = waiting {
            // A worker that ended meanwhile is asked again at the next visit.
            let _ = waiting.post_message(&USE_NOW.into());
        }
    });
}

/// Whether this is another build than the one that was here last. Remembers this one.
pub async fn is_renewed() -> bool {
    let Some(build) = build().await else {
        return false;
    };
    let seen = storage::read(SEEN).ok().flatten();
    if seen.as_deref() == Some(build.as_str()) {
        return false;
    }
    // Where nothing can be kept, no build was seen.
    let _ = storage::write(SEEN, &build);
    seen.is_some()
}

async fn build() -> Option<String> {
    let text = fetch::text(BUILD).await.ok()?;
    let told: Told = serde_json::from_str(&text).ok()?;
    Some(told.build)
}

/// Where pages are kept; browsers offer it only on safe addresses.
fn workers() -> Option<ServiceWorkerContainer> {
    let navigator = web_sys::window()?.navigator();
    Reflect::get(&navigator, &"serviceWorker".into())
        .ok()?
        .dyn_into()
        .ok()
}

/// Calls `act` at every such event, as long as the page lives.
fn listen(target: &EventTarget, event: &str, act: impl Fn() + 'static) {
    let act = Closure::<dyn Fn()>::new(act).into_js_value();
    // It throws only for names that are no events.
    let _ = target.add_event_listener_with_callback(event, act.unchecked_ref());
}
