//! Starts a server, a driver and a browser for one visit, and ends all three.

use std::io::{BufRead, BufReader};
use std::panic::{AssertUnwindSafe, resume_unwind};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use futures_util::FutureExt;
use serde_json::{Map, Value, json};
use sparktrail_site::{Encoding, Site};
use thirtyfour::{Capabilities, WebDriver};

use super::{Page, Scheme, Screen};

/// The browser and its driver.
#[derive(Clone, Debug)]
pub struct Chromium {
    /// The browser program.
    pub chromium: PathBuf,
    /// The program that drives it.
    pub driver: PathBuf,
}

/// A slower machine on a slower line.
#[derive(Clone, Copy, Debug)]
pub struct Throttle {
    /// How many times slower the processor is.
    pub cpu: f64,
    /// What the line carries, in bits a second.
    pub bits_per_second: f64,
    /// The time to a first answer, in milliseconds.
    pub latency_ms: f64,
}

/// One visit: see [`super::visit`].
pub(super) fn visit<T>(
    programs: &Chromium,
    dist: &Path,
    (screen, scheme): (Screen, Scheme),
    act: impl AsyncFnOnce(&Page) -> T,
) -> T {
    let site = Site::start(dist, 0, Encoding::Plain)
        .unwrap_or_else(|error| panic!("{error}; build the page first: cargo xtask build"));
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap_or_else(|error| panic!("no runtime: {error}"));
    let driver = Driver::start(programs);
    runtime.block_on(async {
        let page = Page::new(driver.session().await, site.url(), screen);
        page.look(screen, scheme).await;
        let visit = async {
            let answer = act(&page).await;
            let troubles = page.troubles().await;
            assert!(
                troubles.is_empty(),
                "the page got into trouble:\n  {}",
                troubles.join("\n  ")
            );
            answer
        };
        let outcome = AssertUnwindSafe(visit).catch_unwind().await;
        if outcome.is_err() {
            page.failed().await;
        }
        page.leave().await;
        outcome.unwrap_or_else(|panic| resume_unwind(panic))
    })
}

/// A running driver; it ends when this is dropped.
struct Driver {
    process: Child,
    url: String,
    chromium: PathBuf,
}

impl Driver {
    /// Starts the driver on a free port of its own choice.
    fn start(programs: &Chromium) -> Self {
        let mut process = Command::new(&programs.driver)
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|error| {
                panic!("{} does not start: {error}", programs.driver.display())
            });
        let mut lines = process.stdout.take().map(BufReader::new);
        let port = lines
            .iter_mut()
            .flat_map(BufRead::lines)
            .map_while(Result::ok)
            .find_map(|line| {
                let port = line.split_once("successfully on port ")?.1;
                Some(port.trim_end_matches('.').to_owned())
            });
        // Whatever it prints later must find a reader.
        std::thread::spawn(move || {
            lines
                .into_iter()
                .flat_map(BufRead::lines)
                .map_while(Result::ok)
                .for_each(drop);
        });
        let Some(port) = port else {
            let _ = process.kill();
            panic!("{} names no port", programs.driver.display());
        };
        Self {
            process,
            url: format!("http://127.0.0.1:{port}"),
            chromium: programs.chromium.clone(),
        }
    }

    /// A browser with an empty profile, the flags of `webdriver.json`, and both logs.
    async fn session(&self) -> WebDriver {
        WebDriver::new(&self.url, self.capabilities())
            .await
            .unwrap_or_else(|error| panic!("{} does not start: {error}", self.chromium.display()))
    }

    fn capabilities(&self) -> Capabilities {
        let flags = include_str!("../../../webdriver.json");
        let mut wanted: Map<String, Value> = serde_json::from_str(flags)
            .unwrap_or_else(|error| panic!("webdriver.json cannot be read: {error}"));
        wanted.insert("browserName".into(), json!("chrome"));
        wanted.insert(
            "goog:loggingPrefs".into(),
            json!({ "browser": "ALL", "performance": "ALL" }),
        );
        if let Some(options) = wanted.get_mut("goog:chromeOptions") {
            options["binary"] = json!(self.chromium);
        }
        wanted.into()
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
