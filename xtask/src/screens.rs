//! `cargo xtask screens`: builds the app quickly and takes pictures of it.

use anyhow::Result;

use crate::build::{self, Profile};
use crate::command::Run;
use crate::setup;

/// Builds the app and hands `steps` to the `screens` program of the tests package.
pub(crate) fn take(profile: Profile, steps: &[String]) -> Result<()> {
    let browser = setup::for_browser()?;
    build::build(&build::APP, profile)?;
    Run::cargo()
        .args(["run", "--quiet", "--package", "sparktrail-tests"])
        .args(["--features", "browser", "--bin", "screens", "--"])
        .args(steps)
        .env("CHROMIUM", browser.chromium)
        .env("CHROMEDRIVER", browser.chromedriver)
        .run()
}
