//! Takes pictures of the page while it is being built: `cargo xtask screens`.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use serde_json::Value;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;
use thirtyfour::Key;

const USAGE: &str = "\
Takes pictures of the built page, on the phone and on the desktop, in the light and in the dark.

    cargo xtask screens [--phone | --desktop | --laptop | --small] [STEP]...

Steps are done in order, each on a page with an empty profile:
    SAMPLE          open sample-harnesses/SAMPLE.json: by the button with its title where the page
                    has one, else through its file input
    open:FILE       hand any other file to the page's file input
    go:PATH         open a path below the first page, such as go:#practice
    click:TEXT      click the button, link or tab that says TEXT
    css:SELECTOR    click the first element that the selector finds
    point:SELECTOR  click in the middle of an element of a drawing
    hover:SELECTOR  move the pointer onto an element
    key:NAME        press a key: Escape, Enter, Tab, Delete, ?, f, …
    says:TEXT       wait until the page says TEXT
    js:SCRIPT       run a script in the page
    pause:MS        wait so many milliseconds
    shot:NAME       take pictures NAME-SCREEN-SCHEME.png into target/screens
Without a shot one is taken at the end, named `screen` or after the sample.";

fn main() -> ExitCode {
    let mut screens = Screen::ALL.to_vec();
    let mut steps = Vec::new();
    for word in std::env::args().skip(1) {
        match word.as_str() {
            "--help" | "-h" => {
                println!("{USAGE}");
                return ExitCode::SUCCESS;
            }
            "--phone" => screens = vec![Screen::Phone],
            "--desktop" => screens = vec![Screen::Desktop],
            "--laptop" => screens = vec![Screen::Laptop],
            "--small" => screens = vec![Screen::Small],
            "--" => {}
            step => match Step::read(step) {
                Ok(step) => steps.push(step),
                Err(error) => {
                    eprintln!("{error}\n\n{USAGE}");
                    return ExitCode::FAILURE;
                }
            },
        }
    }
    if !steps.iter().any(|step| matches!(step, Step::Shot(_))) {
        let sample = steps.iter().find_map(Step::sample).unwrap_or("screen");
        steps.push(Step::Shot(sample.to_owned()));
    }

    for screen in screens {
        let visited = visit(screen, Scheme::Light, async |page| {
            page.open("").await;
            for step in &steps {
                step.take(page).await;
            }
            for trouble in page.forgive_troubles().await {
                println!("trouble: {trouble}");
            }
        });
        if visited.is_none() {
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}

/// One thing that is done to the page; see [`USAGE`].
enum Step {
    Sample(String),
    Open(PathBuf),
    Go(String),
    ClickText(String),
    Click(String),
    Point(String),
    Hover(String),
    Press(String),
    Says(String),
    Run(String),
    Pause(Duration),
    Shot(String),
}

impl Step {
    fn read(word: &str) -> Result<Self, String> {
        let Some((verb, rest)) = word.split_once(':') else {
            return if place::sample(word).is_file() {
                Ok(Self::Sample(word.to_owned()))
            } else {
                Err(format!("sample-harnesses/{word}.json is not there"))
            };
        };
        let rest_owned = rest.to_owned();
        Ok(match verb {
            "open" => Self::Open(std::path::absolute(rest).map_err(|error| error.to_string())?),
            "go" => Self::Go(rest_owned),
            "click" => Self::ClickText(rest_owned),
            "css" => Self::Click(rest_owned),
            "point" => Self::Point(rest_owned),
            "hover" => Self::Hover(rest_owned),
            "key" => Self::Press(key(rest)?),
            "says" => Self::Says(rest_owned),
            "js" => Self::Run(rest_owned),
            "pause" => Self::Pause(Duration::from_millis(
                rest.parse()
                    .map_err(|_| format!("{word}: no number of milliseconds"))?,
            )),
            "shot" => Self::Shot(rest_owned),
            _ => return Err(format!("{word}: no such step")),
        })
    }

    fn sample(&self) -> Option<&str> {
        if let Self::Sample(name) = self {
            Some(name)
        } else {
            None
        }
    }

    async fn take(&self, page: &Page) {
        match self {
            Self::Sample(name) => {
                let file = place::sample(name);
                let title = title(&file);
                if page
                    .texts("button")
                    .await
                    .iter()
                    .any(|text| text.contains(&title))
                {
                    page.click_text(&title).await;
                } else {
                    give(page, &file).await;
                }
                settle(page).await;
            }
            Self::Open(file) => {
                give(page, file).await;
                settle(page).await;
            }
            Self::Go(path) => page.open(path).await,
            Self::ClickText(text) => page.click_text(text).await,
            Self::Click(css) => page.click(css).await,
            Self::Point(css) => page.point_at(css).await,
            Self::Hover(css) => page.hover(css).await,
            Self::Press(keys) => page.press(keys.as_str()).await,
            Self::Says(text) => page.says(text).await,
            Self::Run(script) => println!("{}", page.evaluate(script).await),
            Self::Pause(time) => tokio::time::sleep(*time).await,
            Self::Shot(name) => {
                for file in page.picture(name).await {
                    println!("{}", file.display());
                }
            }
        }
    }
}

/// The title of a harness, which no file of ours lacks.
fn title(file: &Path) -> String {
    let text = std::fs::read_to_string(file).unwrap_or_default();
    let harness: Value = serde_json::from_str(&text).unwrap_or_default();
    harness["title"].as_str().unwrap_or("no title").to_owned()
}

async fn give(page: &Page, file: &Path) {
    page.upload("input[type=file]", file).await;
}

/// Lets the page draw what it was given.
async fn settle(page: &Page) {
    let drawn = "return new Promise(done => \
                 setTimeout(() => requestAnimationFrame(() => done(true)), 250))";
    page.evaluate(drawn).await;
}

/// What the driver sends for a key of that name; a single letter stands for itself.
fn key(name: &str) -> Result<String, String> {
    let key = match name {
        "Escape" | "Esc" => Key::Escape,
        "Enter" => Key::Enter,
        "Tab" => Key::Tab,
        "Delete" => Key::Delete,
        "Backspace" => Key::Backspace,
        "Space" => Key::Space,
        "Up" => Key::Up,
        "Down" => Key::Down,
        "Left" => Key::Left,
        "Right" => Key::Right,
        "Home" => Key::Home,
        "End" => Key::End,
        letter if letter.chars().count() == 1 => return Ok(letter.to_owned()),
        _ => return Err(format!("key:{name}: no such key")),
    };
    Ok(key.value().to_string())
}
