//! The page as a person meets it: open, point, type, read; and what it must never do.

use std::fmt::Display;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use thirtyfour::prelude::*;

use super::engine::{self, Engine, Tongue};
use super::{Scheme, Screen};
use crate::place;

/// How long a person would wait for something to appear.
const PATIENCE: Duration = Duration::from_secs(20);

/// What the page is then told by its own script (`static/early.js`).
const PROGRAM_IS_HERE: &str = "return document.documentElement.dataset.program === 'here'";

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

/// The visited page.
///
/// Every method panics when the page does not do what it is asked, naming what was asked of it:
/// that is how a test fails.
pub struct Page {
    driver: WebDriver,
    tongue: Tongue,
    /// The address of the first page, with a `/` at the end.
    home: String,
    screen: Mutex<Screen>,
    /// What the logs said so far; reading a log empties it.
    troubles: Mutex<Vec<String>>,
    requests: Mutex<Requests>,
}

/// How many requests a page made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Requests {
    /// All of them.
    pub asked: usize,
    /// Those without an answer.
    pub failed: usize,
    /// Those to another origin.
    pub foreign: usize,
}

impl Page {
    pub(super) async fn new(
        engine: Engine,
        driver: WebDriver,
        home: String,
        screen: Screen,
    ) -> Self {
        Self {
            tongue: Tongue::new(engine, &driver).await,
            driver,
            home,
            screen: Mutex::new(screen),
            troubles: Mutex::default(),
            requests: Mutex::default(),
        }
    }

    pub(super) async fn leave(&self) {
        let _ = self.driver.clone().quit().await;
    }

    /// The driver itself, for what is not offered here.
    #[must_use]
    pub fn driver(&self) -> &WebDriver {
        &self.driver
    }

    /// Opens `path` below the first page (`""` is the first page itself) and waits until the
    /// program has taken the place of what stands there before it.
    pub async fn open(&self, path: &str) {
        self.go(path).await;
        self.until("the program to start", PROGRAM_IS_HERE).await;
    }

    /// Opens `path` below the first page and waits for nothing but its load.
    pub async fn go(&self, path: &str) {
        let url = format!("{}{path}", self.home);
        done(&url, self.driver.goto(&url).await);
    }

    /// Runs a script in every page to come, before anything of the page itself.
    pub async fn beforehand(&self, script: &str) {
        self.tongue.beforehand(&self.driver, script).await;
    }

    /// Loads the page again, as after closing it.
    pub async fn reload(&self) {
        self.tongue.reload(&self.driver).await;
        self.until("the program to start", PROGRAM_IS_HERE).await;
    }

    /// The title of the page.
    pub async fn title(&self) -> String {
        done("the title", self.driver.title().await)
    }

    /// The first element that the CSS selector finds, once it is shown.
    pub async fn find(&self, css: &str) -> WebElement {
        let query = self.driver.query(By::Css(css)).and_displayed();
        done(
            css,
            query
                .wait(PATIENCE, Duration::from_millis(50))
                .first()
                .await,
        )
    }

    /// How many elements the CSS selector finds now.
    pub async fn count(&self, css: &str) -> usize {
        done(css, self.driver.find_all(By::Css(css)).await).len()
    }

    /// The text of the first element that the CSS selector finds.
    pub async fn text(&self, css: &str) -> String {
        done(css, self.find(css).await.text().await)
    }

    /// The texts of all elements that the CSS selector finds now, in the order of the page.
    pub async fn texts(&self, css: &str) -> Vec<String> {
        let script = "return [...document.querySelectorAll(arguments[0])].map(e => \
                      (e.innerText ?? e.textContent).trim())";
        let found = self.evaluate_with(script, vec![json!(css)]).await;
        done(css, serde_json::from_value(found))
    }

    /// Clicks the first element that the CSS selector finds.
    pub async fn click(&self, css: &str) {
        let element = self.find(css).await;
        let _ = element.scroll_into_view().await;
        done(&format!("click on {css}"), element.click().await);
    }

    /// Clicks the first button, link, tab or menu entry with this visible text; what is only read out is no text
    /// that a person could point at.
    pub async fn click_text(&self, text: &str) {
        let quoted = format!("'{}'", text.replace('\'', ""));
        let path = format!(
            "//*[self::button or self::a or self::summary or self::label or @role]\
             [not(ancestor-or-self::*[contains(concat(' ', @class, ' '), ' unseen ')])]\
             [contains(normalize-space(translate(., \"'\", '')), {quoted})]"
        );
        let query = self.driver.query(By::XPath(path)).and_displayed();
        let found = query
            .wait(PATIENCE, Duration::from_millis(50))
            .any_required()
            .await;
        // The innermost one: a role on the page around it holds the same text.
        let element = done(text, done(text, found).pop().ok_or("nothing says so"));
        let _ = element.scroll_into_view().await;
        done(&format!("click on {text:?}"), element.click().await);
    }

    /// Clicks on an element of a drawing in the middle of what it occupies, or nearer to its
    /// start where something covers the middle; as a pointer would.
    pub async fn point_at(&self, css: &str) {
        let element = self.find(css).await;
        let chain = self.driver.action_chain().move_to_element_center(&element);
        done(&format!("point at {css}"), chain.click().perform().await);
    }

    /// Moves the pointer onto an element.
    pub async fn hover(&self, css: &str) {
        let element = self.find(css).await;
        let chain = self.driver.action_chain().move_to_element_center(&element);
        done(&format!("hover on {css}"), chain.perform().await);
    }

    /// Drags an element by so many CSS pixels.
    pub async fn drag(&self, css: &str, (right, down): (i64, i64)) {
        let element = self.find(css).await;
        // `drag_and_drop_element_by_offset` of the driver library never lets go.
        let chain = self
            .driver
            .action_chain()
            .click_and_hold_element(&element)
            .move_by_offset(right, down)
            .release();
        done(&format!("drag {css}"), chain.perform().await);
    }

    /// Types into an element, after what stands there; see [`Key`] for keys without a letter.
    pub async fn type_into(&self, css: &str, keys: impl Into<TypingData>) {
        let element = self.find(css).await;
        done(&format!("type into {css}"), element.send_keys(keys).await);
    }

    /// Replaces what stands in an input.
    pub async fn fill(&self, css: &str, text: &str) {
        let element = self.find(css).await;
        done(&format!("empty {css}"), element.clear().await);
        done(&format!("type into {css}"), element.send_keys(text).await);
    }

    /// Presses keys wherever the focus is.
    pub async fn press(&self, keys: impl Into<TypingData>) {
        let chain = self.driver.action_chain().send_keys(keys);
        done("press keys", chain.perform().await);
    }

    /// Hands a file to a file input, shown or not.
    pub async fn upload(&self, css: &str, file: &Path) {
        let element = done(css, self.driver.find(By::Css(css)).await);
        let file = file.to_string_lossy().into_owned();
        done(&format!("{file} into {css}"), element.send_keys(file).await);
    }

    /// Waits until the page's text contains `text`.
    pub async fn says(&self, text: &str) {
        let script = "return document.body.innerText.includes(arguments[0])";
        self.until_with(
            &format!("the page to say {text:?}"),
            script,
            vec![json!(text)],
        )
        .await;
    }

    /// Waits until a script, which must `return`, gives something true.
    pub async fn until(&self, what: &str, script: &str) {
        self.until_with(what, script, Vec::new()).await;
    }

    async fn until_with(&self, what: &str, script: &str, arguments: Vec<Value>) {
        let start = Instant::now();
        while self.evaluate_with(script, arguments.clone()).await != Value::Bool(true) {
            if start.elapsed() > PATIENCE {
                let troubles = self.troubles().await.join("\n  ");
                let text = self.evaluate("return document.body.innerText").await;
                panic!("waited in vain for {what}; the page says {text}\n  {troubles}");
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// What a script in the page returns; it must say `return`.
    pub async fn evaluate(&self, script: &str) -> Value {
        self.evaluate_with(script, Vec::new()).await
    }

    /// What a script in the page returns, given `arguments[0]` and so on.
    pub async fn evaluate_with(&self, script: &str, arguments: Vec<Value>) -> Value {
        let answer = done(script, self.driver.execute(script, arguments).await);
        answer.json().clone()
    }

    /// Makes the screen and the colour scheme others; motion is always asked to be reduced, so
    /// that pictures do not depend on when they are taken.
    pub async fn look(&self, screen: Screen, scheme: Scheme) {
        *locked(&self.screen) = screen;
        self.tongue.look(&self.driver, screen, scheme).await;
    }

    /// No longer asks for little motion.
    pub async fn allow_motion(&self) {
        let features = json!([{ "name": "prefers-reduced-motion", "value": "no-preference" }]);
        self.tell(
            "Emulation.setEmulatedMedia",
            json!({ "features": features }),
        )
        .await;
    }

    /// Makes the machine and the line slower; takes hold with the next load.
    pub async fn throttle(&self, throttle: Throttle) {
        let bytes_per_second = throttle.bits_per_second / 8.0;
        self.tell(
            "Emulation.setCPUThrottlingRate",
            json!({ "rate": throttle.cpu }),
        )
        .await;
        self.tell("Network.enable", json!({})).await;
        self.tell(
            "Network.emulateNetworkConditions",
            json!({
                "offline": false,
                "latency": throttle.latency_ms,
                "downloadThroughput": bytes_per_second,
                "uploadThroughput": bytes_per_second,
            }),
        )
        .await;
    }

    /// Sends one command of the Chrome DevTools protocol.
    ///
    /// # Panics
    /// In Firefox, which knows none.
    pub async fn tell(&self, command: &str, parameters: Value) -> Value {
        assert_eq!(
            self.engine(),
            Engine::Chromium,
            "{command} is Chromium's own"
        );
        engine::tell(&self.driver, command, parameters).await
    }

    /// The engine that visits.
    #[must_use]
    pub fn engine(&self) -> Engine {
        self.tongue.engine()
    }

    /// Where downloads go from now on.
    pub async fn download_into(&self, directory: &Path) {
        self.tongue.download_into(&self.driver, directory).await;
    }

    /// Takes the page as it is, in the light and in the dark: `target/screens/` then holds
    /// `NAME-SCREEN-light.png` and `NAME-SCREEN-dark.png`. Leaves the page light. Firefox takes one,
    /// `NAME-SCREEN-firefox.png`.
    pub async fn picture(&self, name: &str) -> Vec<PathBuf> {
        let screen = *locked(&self.screen);
        if self.engine() == Engine::Firefox {
            // It keeps the palette that it was begun with.
            self.settle().await;
            return vec![
                self.shoot(&format!("{name}-{}-firefox.png", screen.name()))
                    .await,
            ];
        }
        let mut taken = Vec::new();
        for scheme in [Scheme::Dark, Scheme::Light] {
            self.look(screen, scheme).await;
            self.settle().await;
            let name = format!("{name}-{}-{}.png", screen.name(), scheme.name());
            taken.push(self.shoot(&name).await);
        }
        taken
    }

    /// Waits until fonts are there, nothing moves any more and the next frame was painted.
    pub async fn settle(&self) {
        self.evaluate(
            "const frame = () => new Promise(requestAnimationFrame);
             return document.fonts.ready.then(frame)
               .then(() => Promise.allSettled(document.getAnimations().map(a => a.finished)))
               .then(frame).then(frame).then(() => true)",
        )
        .await;
    }

    /// Keeps a picture of the page on which a test failed.
    pub(super) async fn failed(&self) {
        let thread = std::thread::current();
        let test = thread.name().unwrap_or("visit").replace("::", "-");
        if let Ok(png) = self.driver.screenshot_as_png().await {
            let file = keep(&format!("failed-{test}.png"), &png);
            eprintln!("the page as it was: {}", file.display());
        }
    }

    /// Takes the page as it is, as it is: `target/screens/NAME`.
    pub async fn shoot(&self, name: &str) -> PathBuf {
        keep(name, &done(name, self.driver.screenshot_as_png().await))
    }

    /// What the page must never do, as far as it did it: break its content policy, write an
    /// error to the console, leave an error uncaught, ask another origin for anything.
    pub async fn troubles(&self) -> Vec<String> {
        let heard = self.tongue.heard(&self.driver).await;
        let foreign = heard.asked.iter().filter(|url| !self.is_own(url));
        let foreign: Vec<String> = foreign
            .map(|url| format!("another origin was asked: {url}"))
            .collect();
        let mut requests = locked(&self.requests);
        requests.asked += heard.asked.len();
        requests.failed += heard.failed.len();
        requests.foreign += foreign.len();
        let mut troubles = locked(&self.troubles);
        let errors = heard.errors.iter();
        troubles.extend(errors.map(|error| format!("console: {error}")));
        troubles.extend(foreign);
        troubles.clone()
    }

    fn is_own(&self, url: &str) -> bool {
        url.starts_with(&self.home)
            || ["data:", "blob:", "about:", "chrome:"]
                .iter()
                .any(|own| url.starts_with(own))
    }

    /// What the page asked for so far.
    pub async fn requests(&self) -> Requests {
        let _ = self.troubles().await;
        *locked(&self.requests)
    }

    /// The troubles so far, which the visit then no longer counts: for tests that provoke some.
    pub async fn forgive_troubles(&self) -> Vec<String> {
        let troubles = self.troubles().await;
        locked(&self.troubles).clear();
        troubles
    }
}

fn keep(name: &str, png: &[u8]) -> PathBuf {
    let file = place::target().join("screens").join(name);
    let folder = file.parent().unwrap_or(&file);
    let written = fs::create_dir_all(folder).and_then(|()| fs::write(&file, png));
    done(&file.display().to_string(), written);
    file
}

pub(super) fn locked<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex
        .lock()
        .unwrap_or_else(std::sync::PoisonError::into_inner)
}

/// The value of what was asked of the page, or the test fails, naming it.
pub(super) fn done<T>(what: &str, answer: Result<T, impl Display>) -> T {
    answer.unwrap_or_else(|error| panic!("{what}: {error}"))
}
