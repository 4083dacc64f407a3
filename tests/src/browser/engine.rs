//! Which browser visits the page, and how each of them is told what no common standard says.
//!
//! Chromium is told over its DevTools protocol, Firefox over WebDriver BiDi.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use futures_util::StreamExt;
use serde_json::{Value, json};
use thirtyfour::bidi::BiDi;
use thirtyfour::prelude::*;

use super::page::{done, locked};
use super::{Scheme, Screen};
use crate::outside;

/// Names the engine: `chromium` or `firefox`.
pub const BROWSER: &str = "SPARKTRAIL_BROWSER";

/// A browser engine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    /// Chromium's; all tests run in it.
    Chromium,
    /// Gecko, in Firefox; the tests that need nothing of Chromium's own run in it too.
    Firefox,
}

impl Engine {
    /// The engine that [`BROWSER`] names; Chromium where it names none.
    ///
    /// # Panics
    /// When it names another.
    #[must_use]
    pub fn chosen() -> Self {
        match std::env::var(BROWSER).as_deref() {
            Ok("firefox") => Self::Firefox,
            Ok("chromium" | "") | Err(_) => Self::Chromium,
            Ok(other) => panic!("{BROWSER}={other}: the tests know chromium and firefox"),
        }
    }

    /// The browser and its driver, in this order; see [`outside::chromium`].
    pub(super) fn programs(self) -> Option<(PathBuf, PathBuf)> {
        match self {
            Self::Chromium => outside::chromium(),
            Self::Firefox => outside::firefox(),
        }
    }

    /// What the driver is asked for: a browser with an empty profile that keeps its logs.
    pub(super) fn capabilities(self, browser: &Path, scheme: Scheme) -> Value {
        match self {
            Self::Chromium => {
                let flags = include_str!("../../../webdriver.json");
                let mut wanted: Value = done("webdriver.json", serde_json::from_str(flags));
                wanted["browserName"] = json!("chrome");
                wanted["goog:loggingPrefs"] = json!({ "browser": "ALL", "performance": "ALL" });
                wanted["goog:chromeOptions"]["binary"] = json!(browser);
                wanted
            }
            Self::Firefox => json!({
                "browserName": "firefox",
                "webSocketUrl": true,
                "moz:firefoxOptions": {
                    "binary": browser,
                    "args": ["-headless"],
                    "prefs": {
                        "layout.css.prefers-color-scheme.content-override":
                            if scheme == Scheme::Dark { 0 } else { 1 },
                        "ui.prefersReducedMotion": 1,
                        "intl.accept_languages": "en",
                        // A file that is saved is saved without a question, as in the other browser.
                        "browser.download.alwaysOpenPanel": false,
                        "browser.download.always_ask_before_handling_new_types": false,
                        "dom.disable_beforeunload": true,
                    },
                },
            }),
        }
    }
}

/// How the visiting browser is told more than WebDriver knows, and what it told of the page.
pub(super) enum Tongue {
    /// The DevTools protocol; its logs are asked for.
    Chromium,
    /// WebDriver BiDi; its log arrives by itself.
    Firefox {
        bidi: Box<BiDi>,
        heard: Arc<Mutex<Vec<Value>>>,
    },
}

/// Makes Firefox say aloud what breaks the content policy, as Chromium does by itself.
const SAY_VIOLATIONS: &str = "addEventListener('securitypolicyviolation', (event) => console.error(
  `Content Security Policy: ${event.effectiveDirective} refused ${event.blockedURI}`));";

impl Tongue {
    pub(super) async fn new(engine: Engine, driver: &WebDriver) -> Self {
        match engine {
            Engine::Chromium => Self::Chromium,
            Engine::Firefox => {
                let bidi = done("WebDriver BiDi", driver.bidi().await);
                let heard = Arc::new(Mutex::new(Vec::new()));
                let mut events = bidi.subscribe_raw();
                let listener = Arc::clone(&heard);
                tokio::spawn(async move {
                    while let Some(event) = events.next().await {
                        let event = json!({ "method": event.method, "params": event.params });
                        locked(&listener).push(event);
                    }
                });
                let wanted = json!({ "events": ["log.entryAdded", "network.beforeRequestSent", "network.fetchError"] });
                done("the log", bidi.send_raw("session.subscribe", wanted).await);
                let tongue = Self::Firefox {
                    bidi: Box::new(bidi),
                    heard,
                };
                tongue.beforehand(driver, SAY_VIOLATIONS).await;
                tongue
            }
        }
    }

    pub(super) fn engine(&self) -> Engine {
        match self {
            Self::Chromium => Engine::Chromium,
            Self::Firefox { .. } => Engine::Firefox,
        }
    }

    /// Runs a script in every page to come, before anything of the page itself.
    pub(super) async fn beforehand(&self, driver: &WebDriver, script: &str) {
        match self {
            Self::Chromium => {
                let source = json!({ "source": script });
                tell(driver, "Page.addScriptToEvaluateOnNewDocument", source).await;
            }
            Self::Firefox { bidi, .. } => {
                let function = json!({ "functionDeclaration": format!("() => {{ {script} }}") });
                done(
                    script,
                    bidi.send_raw("script.addPreloadScript", function).await,
                );
            }
        }
    }

    /// Loads the page again, as a person does: not past what is kept on the device, as Firefox's own driver would.
    pub(super) async fn reload(&self, driver: &WebDriver) {
        if self.engine() == Engine::Chromium {
            done("reload", driver.refresh().await);
            return;
        }
        let reload = "window.isOld = true; setTimeout(() => location.reload()); return true";
        done("reload", driver.execute(reload, Vec::new()).await);
        let is_new = "return !window.isOld && document.readyState === 'complete'";
        for _ in 0..400 {
            // A script that the reload overtakes is no answer.
            let answer = driver.execute(is_new, Vec::new()).await;
            if answer.is_ok_and(|answer| *answer.json() == json!(true)) {
                return;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        panic!("the page was not loaded again");
    }

    /// Where downloads go from now on.
    pub(super) async fn download_into(&self, driver: &WebDriver, directory: &Path) {
        match self {
            Self::Chromium => {
                let wanted = json!({ "behavior": "allow", "downloadPath": directory });
                tell(driver, "Browser.setDownloadBehavior", wanted).await;
            }
            Self::Firefox { bidi, .. } => {
                let allowed = json!({ "type": "allowed", "destinationFolder": directory });
                let wanted = json!({ "downloadBehavior": allowed });
                let told = bidi.send_raw("browser.setDownloadBehavior", wanted).await;
                done("where downloads go", told);
            }
        }
    }

    /// Makes the window a screen of that size. Chromium also changes what the system asks for; Firefox was begun with
    /// it, and keeps it.
    pub(super) async fn look(&self, driver: &WebDriver, screen: Screen, scheme: Scheme) {
        let (width, height) = screen.size();
        let phone = screen == Screen::Phone;
        let ratio = if phone { 2 } else { 1 };
        match self {
            Self::Chromium => {
                let metrics = json!({
                    "width": width,
                    "height": height,
                    "deviceScaleFactor": ratio,
                    "mobile": phone,
                });
                tell(driver, "Emulation.setDeviceMetricsOverride", metrics).await;
                let touch = json!({ "enabled": phone });
                tell(driver, "Emulation.setTouchEmulationEnabled", touch).await;
                let features = json!({ "features": [
                    { "name": "prefers-color-scheme", "value": scheme.name() },
                    { "name": "prefers-reduced-motion", "value": "reduce" },
                ] });
                tell(driver, "Emulation.setEmulatedMedia", features).await;
            }
            Self::Firefox { bidi, .. } => {
                let window = done("the window", driver.window().await).to_string();
                let size = json!({
                    "context": window,
                    "viewport": { "width": width, "height": height },
                    "devicePixelRatio": f64::from(ratio),
                });
                done(
                    "the screen",
                    bidi.send_raw("browsingContext.setViewport", size).await,
                );
            }
        }
    }

    /// What the page said and asked for since this was called last.
    pub(super) async fn heard(&self, driver: &WebDriver) -> Heard {
        let mut all = Heard::default();
        match self {
            Self::Chromium => {
                for entry in done("the console", driver.browser_log().await) {
                    let refused = entry.message.contains("Content Security Policy");
                    if entry.level == "SEVERE" || refused {
                        all.errors.push(entry.message);
                    }
                }
                for entry in done("the network log", driver.get_log("performance").await) {
                    let entry: Value = serde_json::from_str(&entry.message).unwrap_or_default();
                    let (method, facts) =
                        (&entry["message"]["method"], &entry["message"]["params"]);
                    if method == "Network.requestWillBeSent" {
                        all.asked.push(text(&facts["request"]["url"]));
                    } else if method == "Network.loadingFailed" {
                        all.failed.push(text(&facts["errorText"]));
                    }
                }
            }
            Self::Firefox { heard, .. } => {
                // An answer from the page comes after all that it has said before.
                done("the page", driver.title().await);
                for event in locked(heard).drain(..) {
                    let (method, facts) = (&event["method"], &event["params"]);
                    if method == "network.beforeRequestSent" {
                        all.asked.push(text(&facts["request"]["url"]));
                    } else if method == "network.fetchError" {
                        all.failed.push(text(&facts["errorText"]));
                    } else if method == "log.entryAdded" && facts["level"] == "error" {
                        all.errors.push(text(&facts["text"]));
                    }
                }
            }
        }
        all
    }
}

/// What a page said and asked for.
#[derive(Default)]
pub(super) struct Heard {
    /// Errors in the console, uncaught ones and breaches of the content policy among them.
    pub(super) errors: Vec<String>,
    /// The addresses that were asked for.
    pub(super) asked: Vec<String>,
    /// Why requests failed, one for each.
    pub(super) failed: Vec<String>,
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}

/// Sends one command of the Chrome DevTools protocol.
pub(super) async fn tell(driver: &WebDriver, command: &str, parameters: Value) -> Value {
    done(command, driver.cdp().send_raw(command, parameters).await)
}
