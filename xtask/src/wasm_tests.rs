//! Runs compiled wasm tests in headless Chromium; cargo calls it as the runner of the target.

use std::ffi::OsString;

use anyhow::{Result, bail};

use crate::command::Run;
use crate::setup;

/// Set once Chromium and its driver are found, so that the second process runs the tests.
const READY: &str = "SPARKTRAIL_WASM_TESTS_READY";

/// Runs the tests in the wasm file that cargo names, with the wasm-bindgen of our Cargo.lock.
pub(crate) fn run(args: Vec<OsString>) -> Result<()> {
    if std::env::var_os(READY).is_none() {
        // The runner takes its driver from the environment, and a process cannot safely change
        // its own: so it starts itself once more.
        let browser = setup::for_browser()?;
        return Run::new(std::env::current_exe()?)
            .args(["wasm-test-runner"])
            .args(args)
            .env("CHROMEDRIVER", browser.chromedriver)
            .env(READY, "1")
            .env("WASM_BINDGEN_USE_BROWSER", "1")
            .in_current_directory()?
            .quietly();
    }
    let named = std::iter::once(OsString::from("wasm-bindgen-test-runner")).chain(args);
    match wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(named) {
        Ok(()) => Ok(()),
        Err(error) => bail!("{error:#}"),
    }
}
