//! `cargo xtask serve`: builds the app and serves it on this machine.

use anyhow::{Context, Result};
use sparktrail_site::{Encoding, Site};

use crate::build::{self, Profile};

/// Builds the app and serves it until the process is ended.
pub(crate) fn serve(profile: Profile, port: u16) -> Result<()> {
    let dist = build::build(&build::APP, profile)?;
    let site = Site::start(&dist, port, Encoding::Plain)
        .with_context(|| format!("cannot serve on port {port}; choose another with --port"))?;
    println!("Sparktrail is at {}  (Ctrl-C ends it)", site.url());
    site.serve_on();
    Ok(())
}
