//! What stands before the program is there: the same as the program draws, and what is pressed meanwhile counts.

mod meanwhile;
mod same;

use serde_json::{Value, json};
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::german::GERMAN;

/// The modules of the program.
const BOTH: &[&str] = &["sparktrail_bg.wasm", "split_workshop.wasm"];
const SECOND: &[&str] = &["split_workshop.wasm"];

/// Keeps files from arriving until they are let go, in every page to come.
async fn hold(page: &Page, files: &[&str]) {
    let script = format!(
        "{{
           const real = globalThis.fetch;
           globalThis.letGo = {{}};
           globalThis.fetch = async (what, how) => {{
             const file = {}.find((file) => String(what?.url ?? what).endsWith(file));
             if (file) await new Promise((go) => {{ globalThis.letGo[file] = go; }});
             return real(what, how);
           }};
         }}",
        json!(files)
    );
    page.beforehand(&script).await;
}

/// Lets a file arrive that is waited for.
async fn let_go(page: &Page, file: &str) {
    let let_go = format!("const go = globalThis.letGo['{file}']; go?.(); return Boolean(go)");
    page.until(file, &let_go).await;
}

/// Visits in one language, in which the page is opened without waiting for its program.
fn visit_in(language: &str, screen: Screen, act: impl AsyncFnOnce(&Page)) {
    visit(screen, Scheme::Light, async |page| {
        if language == "de" {
            page.beforehand(GERMAN).await;
        }
        act(page).await;
    });
}

/// Opens the page and waits for the first screen that stands before the program.
async fn open_early(page: &Page) {
    page.go("").await;
    page.find("#early .start").await;
}

/// Whether anything stands before the program.
async fn is_early(page: &Page) -> bool {
    let is = "return 'early' in document.documentElement.dataset";
    page.evaluate(is).await == true
}

/// Waits until the program has taken over.
async fn taken_over(page: &Page) {
    page.until(
        "the program to take over",
        "return document.documentElement.dataset.program === 'here' && !document.getElementById('early')?.checkVisibility()",
    )
    .await;
}

/// How often a point was marked on the browser's timeline.
async fn marks(page: &Page, name: &str) -> Value {
    let count = format!("return performance.getEntriesByName('{name}').length");
    page.evaluate(&count).await
}

async fn marked(page: &Page, name: &str) {
    let script = format!("return performance.getEntriesByName('{name}').length > 0");
    page.until(name, &script).await;
}
