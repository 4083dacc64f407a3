//! `cargo xtask test`: the one command that runs every check and ends with a summary.

use std::ffi::OsString;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use anyhow::{Result, bail};
use clap::ValueEnum;

use crate::build::{self, Profile};
use crate::command::Run;
use crate::setup::{Outside, WASM};
use crate::{place, tidy};

/// One part of the whole, in the order in which they are run: what fails soonest comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Step {
    /// `cargo fmt --check`
    Format,
    /// The house rules
    Tidy,
    /// clippy, native and wasm, warnings denied
    Lint,
    /// The app as published, which the browser tests visit
    Build,
    /// Unit, doc, snapshot, outside and browser tests
    Native,
    /// The browser tests that need nothing of Chromium's own, in Firefox
    Firefox,
    /// The app's own tests, compiled to WebAssembly, in headless Chromium
    Wasm,
}

const ALL: [Step; 7] = [
    Step::Format,
    Step::Tidy,
    Step::Lint,
    Step::Build,
    Step::Native,
    Step::Firefox,
    Step::Wasm,
];

/// The seed of the laws' random cases: what the caller set, else always the same, so that a run can be repeated.
/// One is as good as any; a seed at which a law fails has found a fault, which wants mending and a test of its own.
fn random_cases() -> OsString {
    std::env::var_os("PROPTEST_RNG_SEED").unwrap_or_else(|| "1".into())
}

/// How a step went.
struct Report {
    name: &'static str,
    time: Duration,
    /// Why it failed.
    failure: Option<String>,
    count: Count,
}

/// What the test programs of a step said.
#[derive(Clone, Copy, Default)]
struct Count {
    passed: usize,
    failed: usize,
    ignored: usize,
}

impl Count {
    /// Adds what a line such as `test result: ok. 3 passed; 0 failed; 1 ignored; …` says.
    fn add(&mut self, line: &str) {
        let Some((_, counts)) = line
            .trim()
            .strip_prefix("test result: ")
            .and_then(|rest| rest.split_once(". "))
        else {
            return;
        };
        for part in counts.split(';') {
            let mut words = part.split_whitespace();
            let number = words.next().and_then(|word| word.parse().ok()).unwrap_or(0);
            match words.next() {
                Some("passed") => self.passed += number,
                Some("failed") => self.failed += number,
                Some("ignored") => self.ignored += number,
                _ => {}
            }
        }
    }

    fn total(self) -> usize {
        self.passed + self.failed + self.ignored
    }
}

/// Runs the steps, or all of them when none is named; every step is run, whatever failed before.
pub(crate) fn run(only: &[Step]) -> Result<()> {
    let ci = std::env::var("CI").is_ok_and(|ci| !ci.is_empty() && ci != "false");
    let start = Instant::now();
    let outside = Outside::find()?;
    let missing = outside.missing();
    let mut reports = vec![Report {
        name: "set-up",
        time: start.elapsed(),
        // Without these, some tests cannot be run: that must not pass for a success in CI.
        failure: (ci && !missing.is_empty()).then(|| missing.join("; ")),
        count: Count::default(),
    }];
    let not_run = place::target().join("not-run.txt");
    let _ = fs::remove_file(&not_run);

    let steps = if only.is_empty() { &ALL[..] } else { only };
    for step in ALL.into_iter().filter(|step| steps.contains(step)) {
        println!("\n== {}", step.name());
        let start = Instant::now();
        let mut count = Count::default();
        let failure = step.run(&outside, &not_run, &mut count).err();
        reports.push(Report {
            name: step.name(),
            time: start.elapsed(),
            failure: failure.map(|error| format!("{error:#}")),
            count,
        });
    }
    let not_run = fs::read_to_string(&not_run).unwrap_or_default();
    summary(&reports, &missing, &not_run)
}

impl Step {
    fn name(self) -> &'static str {
        match self {
            Self::Format => "format",
            Self::Tidy => "tidy",
            Self::Lint => "lint",
            Self::Build => "build",
            Self::Native => "native, outside and browser tests",
            Self::Firefox => "browser tests in Firefox",
            Self::Wasm => "wasm tests",
        }
    }

    fn run(self, outside: &Outside, not_run: &Path, count: &mut Count) -> Result<()> {
        match self {
            Self::Format => Run::cargo().args(["fmt", "--all", "--check"]).run(),
            Self::Tidy => tidy::check(),
            Self::Lint => lint(),
            Self::Build => build::build(&build::APP, Profile::Release).map(drop),
            Self::Native => tests(
                &["--workspace", "--all-features", "--no-fail-fast"],
                outside,
                not_run,
                count,
            ),
            Self::Firefox => {
                if let Err(error) = &outside.firefox {
                    bail!("not run: {error:#}");
                }
                tests(&IN_FIREFOX, outside, not_run, count)
            }
            Self::Wasm => {
                if let Err(error) = &outside.browser {
                    bail!("not run: {error:#}");
                }
                let args = [
                    "--target",
                    WASM,
                    "--package",
                    "sparktrail",
                    "--no-fail-fast",
                ];
                tests(&args, outside, not_run, count)
            }
        }
    }
}

/// The tests that are run in Firefox too. Built as all tests are, so that nothing is built twice.
const IN_FIREFOX: [&str; 13] = [
    "--workspace",
    "--all-features",
    "--no-fail-fast",
    "--test",
    "browser",
    "--",
    "cases::",
    "early::",
    "faults::",
    "harness::page_starts",
    "harness::trouble",
    "offline::",
    "rescue::",
];

fn lint() -> Result<()> {
    let deny = ["--", "--deny", "warnings"];
    let native = ["clippy", "--workspace", "--all-targets", "--all-features"];
    Run::cargo().args(native).args(deny).run()?;
    // The core's tests are native; its library is what the browser runs.
    let wasm = ["clippy", "--target", WASM];
    let core = ["--package", "sparktrail-core"];
    Run::cargo().args(wasm).args(core).args(deny).run()?;
    let app = ["--package", "sparktrail", "--all-targets"];
    Run::cargo().args(wasm).args(app).args(deny).run()
}

fn tests(args: &[&str], outside: &Outside, not_run: &Path, count: &mut Count) -> Result<()> {
    let mut run = Run::cargo()
        .args(["test"])
        .args(args)
        .env("SPARKTRAIL_NOT_RUN", not_run)
        // A snapshot that differs is a failure; nothing is written.
        .env("INSTA_UPDATE", "no")
        // The same random cases every time; `PROPTEST_RNG_SEED=… cargo xtask test` tries others.
        .env("PROPTEST_RNG_SEED", random_cases())
        .env("WASM_BINDGEN_TEST_TIMEOUT", "120");
    if let Ok(python) = &outside.python {
        run = run.env("SPARKTRAIL_PYTHON", python);
    }
    if let Ok(ngspice) = &outside.ngspice {
        run = run.env("SPARKTRAIL_NGSPICE", ngspice);
    }
    if let Ok(firefox) = &outside.firefox {
        run = run
            .env("FIREFOX", &firefox.firefox)
            .env("GECKODRIVER", &firefox.geckodriver);
    }
    run = run.env(
        "SPARKTRAIL_BROWSER",
        if args == IN_FIREFOX {
            "firefox"
        } else {
            "chromium"
        },
    );
    if let Ok(browser) = &outside.browser {
        run = run
            .env("CHROMIUM", &browser.chromium)
            .env("CHROMEDRIVER", &browser.chromedriver);
    }
    run.watched(|line| count.add(line))
}

fn summary(reports: &[Report], missing: &[String], not_run: &str) -> Result<()> {
    println!("\n== summary");
    for words in missing {
        println!("missing: {words}");
    }
    print!("{not_run}");
    let mut all = Count::default();
    let mut failures = 0;
    for report in reports {
        let count = report.count;
        let tests = if count.total() > 0 {
            format!("  {} passed, {} failed", count.passed, count.failed)
        } else {
            String::new()
        };
        let verdict = if report.failure.is_some() {
            "FAILED"
        } else {
            "ok"
        };
        let seconds = report.time.as_secs_f64();
        println!("{verdict:>6}  {seconds:6.1} s  {}{tests}", report.name);
        if let Some(failure) = &report.failure {
            println!("                  {failure}");
            failures += 1;
        }
        all.passed += count.passed;
        all.failed += count.failed;
        all.ignored += count.ignored;
    }
    let verdict = if failures > 0 { "FAILED" } else { "ok" };
    println!(
        "test result: {verdict}. {} passed; {} failed; {} ignored; {} not run",
        all.passed,
        all.failed,
        all.ignored,
        not_run.lines().count()
    );
    if failures > 0 {
        bail!("{failures} step(s) failed");
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_are_counted() {
        let mut count = Count::default();
        count.add("test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out");
        count.add("test result: FAILED. 2 passed; 4 failed; 0 ignored; 0 filtered out");
        count.add("running 3 tests");
        assert_eq!((count.passed, count.failed, count.ignored), (5, 4, 1));
    }
}
