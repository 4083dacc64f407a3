//! Starts a server, a driver and a browser for one visit, and ends all three.

use std::cell::RefCell;
use std::io::{BufRead, BufReader};
use std::panic::{AssertUnwindSafe, resume_unwind};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use futures_util::FutureExt;
use serde_json::{Map, Value, json};
use sparktrail_site::{Encoding, Site};
use thirtyfour::{Capabilities, WebDriver};

use super::{Page, Scheme, Screen};
use crate::outside;

/// A built page that is being served, and the browser that visits it.
pub struct Served {
    /// `None` while it is silent.
    site: RefCell<Option<Site>>,
    home: String,
    programs: Chromium,
}

/// The browser and its driver.
struct Chromium {
    chromium: PathBuf,
    driver: PathBuf,
}

impl Served {
    /// Serves the page in `dist`. `None` where there is no Chromium, see
    /// [`outside::chromium`].
    ///
    /// # Panics
    /// When there is no page in `dist`.
    #[must_use]
    pub fn start(dist: &Path, encoding: Encoding) -> Option<Self> {
        let (chromium, driver) = outside::chromium()?;
        let site = Site::start(dist, 0, encoding)
            .unwrap_or_else(|error| panic!("{error}; build the page first: cargo xtask build"));
        Some(Self {
            home: site.url(),
            site: RefCell::new(Some(site)),
            programs: Chromium { chromium, driver },
        })
    }

    /// Answers nothing more: to a browser that is as good as no network.
    pub fn fall_silent(&self) {
        self.site.take();
    }

    /// One visit with a fresh profile; see [`super::visit`].
    ///
    /// # Panics
    /// As [`super::visit`] does.
    pub fn visit<T>(&self, screen: Screen, scheme: Scheme, act: impl AsyncFnOnce(&Page) -> T) -> T {
        visit(&self.programs, self.home.clone(), (screen, scheme), act)
    }
}

fn visit<T>(
    programs: &Chromium,
    home: String,
    (screen, scheme): (Screen, Scheme),
    act: impl AsyncFnOnce(&Page) -> T,
) -> T {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap_or_else(|error| panic!("no runtime: {error}"));
    let driver = Driver::start(programs);
    runtime.block_on(async {
        let page = Page::new(driver.session().await, home, screen);
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
        // The port that it chooses must be free twice, on IPv4 and on IPv6, and now and then is
        // not: it then ends at once, and another choice is all that is needed.
        let mut said = String::new();
        for _ in 0..5 {
            match Self::choose_port(programs) {
                Ok(driver) => return driver,
                Err(last_words) => said = last_words,
            }
        }
        panic!("{} names no port:\n{said}", programs.driver.display())
    }

    /// Starts the driver; when it names no port, what it said instead.
    fn choose_port(programs: &Chromium) -> Result<Self, String> {
        let mut process = Command::new(&programs.driver)
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|error| error.to_string())?;
        let mut lines = process
            .stdout
            .take()
            .map(BufReader::new)
            .into_iter()
            .flat_map(BufRead::lines)
            .map_while(Result::ok);
        let mut said = String::new();
        let port = lines.find_map(|line| {
            said.push_str(&line);
            said.push('\n');
            let port = line.split_once("successfully on port ")?.1;
            Some(port.trim_end_matches('.').to_owned())
        });
        let Some(port) = port else {
            let _ = process.kill();
            let _ = process.wait();
            return Err(said);
        };
        // Whatever it prints later must find a reader.
        std::thread::spawn(move || lines.for_each(drop));
        Ok(Self {
            process,
            url: format!("http://127.0.0.1:{port}"),
            chromium: programs.chromium.clone(),
        })
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
