//! Starts a server, a driver and a browser for one visit, and ends all three.

use std::cell::RefCell;
use std::io::{BufRead, BufReader};
use std::panic::{AssertUnwindSafe, resume_unwind};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use futures_util::FutureExt;
use serde_json::Value;
use sparktrail_site::{Encoding, Site};
use tempfile::TempDir;
use thirtyfour::{Capabilities, WebDriver};

use super::engine::Engine;
use super::{Page, Scheme, Screen};

/// A built page that is being served, and the browser that visits it.
pub struct Served {
    /// `None` while it is silent.
    site: RefCell<Option<Site>>,
    home: String,
    programs: Programs,
}

/// The browser and its driver.
struct Programs {
    engine: Engine,
    browser: PathBuf,
    driver: PathBuf,
}

impl Served {
    /// Serves the page in `dist`, for the engine that is chosen ([`Engine::chosen`]). `None` where it is not there, see
    /// [`outside::chromium`](crate::outside::chromium).
    ///
    /// # Panics
    /// When there is no page in `dist`.
    #[must_use]
    pub fn start(dist: &Path, encoding: Encoding) -> Option<Self> {
        let engine = Engine::chosen();
        let (browser, driver) = engine.programs()?;
        let site = Site::start(dist, 0, encoding)
            .unwrap_or_else(|error| panic!("{error}; build the page first: cargo xtask build"));
        Some(Self {
            home: site.url(),
            site: RefCell::new(Some(site)),
            programs: Programs {
                engine,
                browser,
                driver,
            },
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
    programs: &Programs,
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
        let session = driver.session(programs, scheme).await;
        let page = Page::new(programs.engine, session, home, screen).await;
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
    /// What it and the browser write down on the way; it goes after them.
    _scratch: TempDir,
}

impl Driver {
    /// Starts the driver on a free port of its own choice.
    fn start(programs: &Programs) -> Self {
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
    fn choose_port(programs: &Programs) -> Result<Self, String> {
        let scratch = tempfile::tempdir().map_err(|error| error.to_string())?;
        let mut command = Command::new(&programs.driver);
        command.arg("--port=0").env("TMPDIR", scratch.path());
        if programs.engine == Engine::Firefox {
            // Visits go on side by side: each needs a port of its own for either tongue.
            command.arg("--websocket-port=0");
        }
        let mut process = command
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
            let said = line
                .split_once("successfully on port ")
                .or_else(|| line.split_once("Listening on 127.0.0.1:"))?;
            Some(said.1.trim_end_matches('.').to_owned())
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
            _scratch: scratch,
        })
    }

    /// A browser with an empty profile; Chromium with the flags of `webdriver.json` and both logs.
    async fn session(&self, programs: &Programs, scheme: Scheme) -> WebDriver {
        let wanted = programs.engine.capabilities(&programs.browser, scheme);
        let Value::Object(wanted) = wanted else {
            panic!("no capabilities: {wanted}");
        };
        WebDriver::new(&self.url, Capabilities::from(wanted))
            .await
            .unwrap_or_else(|error| {
                panic!("{} does not start: {error}", programs.browser.display())
            })
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // Asked to end, Firefox's driver ends a browser that nobody has left; killed, it would leave it behind.
        let asked = Command::new("kill")
            .arg(self.process.id().to_string())
            .status();
        if !asked.is_ok_and(|status| status.success()) {
            let _ = self.process.kill();
        }
        let _ = self.process.wait();
    }
}
