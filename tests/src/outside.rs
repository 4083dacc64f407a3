//! Outside programs that check our answers: Python with networkx and friends, and ngspice.
//!
//! A check that needs one begins like this:
//!
//! ```no_run
//! use sparktrail_tests::outside;
//!
//! let Some(answer) = outside::python_says("import networkx; print(networkx.__version__)", "")
//! else {
//!     return; // said on the terminal; under CI=true this is a failure instead
//! };
//! assert_eq!(answer.trim(), "3.6.1");
//! ```
//!
//! `cargo xtask test` installs the programs and names them in `SPARKTRAIL_PYTHON` and
//! `SPARKTRAIL_NGSPICE`; a plain `cargo test` finds what `cargo xtask setup` left behind.

use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::place;

/// Names the Python that holds the packages of `tests/requirements.txt`.
pub const PYTHON: &str = "SPARKTRAIL_PYTHON";
/// Names the ngspice program.
pub const NGSPICE: &str = "SPARKTRAIL_NGSPICE";
/// Names a file that collects one line for each check that was not run.
pub const NOT_RUN: &str = "SPARKTRAIL_NOT_RUN";

/// The Python that holds the packages of `tests/requirements.txt`.
///
/// `None` when there is none: the terminal then says which test was not run and how to
/// install it.
///
/// # Panics
/// With `CI` set and no such Python: a missing outside check fails there.
#[must_use]
pub fn python() -> Option<PathBuf> {
    let local = place::target().join("venv/bin/python3");
    find(
        "Python with networkx, numpy, scipy, python-sat, pyagrum and axe-core",
        PYTHON,
        &[local],
    )
}

/// The ngspice program. `None` and panics as for [`python`].
///
/// # Panics
/// With `CI` set and no ngspice.
#[must_use]
pub fn ngspice() -> Option<PathBuf> {
    find("ngspice", NGSPICE, &[in_path("ngspice")])
}

/// Chromium and its driver, in this order. `None` and panics as for [`python`].
///
/// # Panics
/// With `CI` set and no Chromium or no driver.
#[must_use]
pub fn chromium() -> Option<(PathBuf, PathBuf)> {
    let browsers = ["chromium", "chromium-browser", "google-chrome"].map(in_path);
    let drivers = ["chromedriver"].map(in_path);
    Some((
        find("Chromium", "CHROMIUM", &browsers)?,
        find("Chromium's driver", "CHROMEDRIVER", &drivers)?,
    ))
}

/// Firefox and its driver, in this order. `None` and panics as for [`python`].
///
/// # Panics
/// With `CI` set and no Firefox or no driver.
#[must_use]
pub fn firefox() -> Option<(PathBuf, PathBuf)> {
    let browsers = ["firefox-esr", "firefox"].map(in_path);
    let drivers = [
        place::target().join("tools/bin/geckodriver"),
        in_path("geckodriver"),
    ];
    Some((
        find("Firefox", "FIREFOX", &browsers)?,
        find("Firefox's driver", "GECKODRIVER", &drivers)?,
    ))
}

/// Runs a Python program with `input` on its standard input and returns what it prints.
/// `None` where there is no Python, see [`python`].
///
/// # Panics
/// When the program fails, with its message; with `CI` set also when there is no Python.
#[must_use]
pub fn python_says(program: &str, input: &str) -> Option<String> {
    let python = python()?;
    Some(run(Command::new(python).arg("-c").arg(program), input))
}

/// Runs a Python file of this package (`script` relative to `tests/`) with `input` on its
/// standard input and returns what it prints. `None` where there is no Python, see [`python`].
///
/// # Panics
/// When the program fails, with its message; with `CI` set also when there is no Python.
#[must_use]
pub fn python_file_says(script: &str, input: &str) -> Option<String> {
    let python = python()?;
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join(script);
    Some(run(Command::new(python).arg(script), input))
}

/// Runs a circuit through `ngspice -b` and returns what it prints. `None` where there is no
/// ngspice, see [`ngspice`].
///
/// # Panics
/// When ngspice fails, with its message; with `CI` set also when there is no ngspice.
#[must_use]
pub fn ngspice_says(circuit: &str) -> Option<String> {
    let ngspice = ngspice()?;
    Some(run(Command::new(ngspice).arg("-b"), circuit))
}

/// The first of the named program and the candidates that is there; else says so.
fn find(what: &str, variable: &str, candidates: &[PathBuf]) -> Option<PathBuf> {
    let named = std::env::var_os(variable).map(PathBuf::from);
    let found = named
        .iter()
        .chain(candidates)
        .find(|path| path.is_file())
        .cloned();
    if found.is_none() {
        not_run(what);
    }
    found
}

/// Says that the running test was not run for want of `what`, and how to install it.
///
/// # Panics
/// With `CI` set: there a missing outside check is a failure.
pub fn not_run(what: &str) {
    let thread = std::thread::current();
    let line = format!(
        "NOT RUN: {} needs {what}; install it with `cargo xtask setup`",
        thread.name().unwrap_or("this check"),
    );
    assert!(
        std::env::var_os("CI").is_none_or(|ci| ci.is_empty() || ci == "false"),
        "{line}"
    );
    if let Some(list) = std::env::var_os(NOT_RUN)
        && let Ok(mut list) = OpenOptions::new().create(true).append(true).open(list)
    {
        let _ = writeln!(list, "{line}");
    }
    // Not `eprintln!`: the test harness would swallow it when the test passes.
    let _ = writeln!(std::io::stderr(), "{line}");
}

fn in_path(program: &str) -> PathBuf {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path)
        .map(|dir| dir.join(program))
        .find(|file| file.is_file())
        .unwrap_or_default()
}

fn run(command: &mut Command, input: &str) -> String {
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{command:?} does not start: {error}"));
    // Written beside the reading: a large input and a large answer would else block each other.
    let mut stdin = child.stdin.take();
    let input = input.to_owned();
    let writer = std::thread::spawn(move || {
        if let Some(stdin) = stdin.as_mut() {
            let _ = stdin.write_all(input.as_bytes());
        }
    });
    let output = child
        .wait_with_output()
        .unwrap_or_else(|error| panic!("{command:?} cannot be waited for: {error}"));
    let _ = writer.join();
    let printed = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        output.status.success(),
        "{command:?} ended with {}:\n{}\n{printed}",
        output.status,
        String::from_utf8_lossy(&output.stderr)
    );
    printed
}
