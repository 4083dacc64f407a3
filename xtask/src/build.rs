//! Compiles a front end to WebAssembly and lays out what a static host serves.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::command::Run;
use crate::place;
use crate::setup::{self, WASM};

/// How much the compiler optimises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Profile {
    /// Small and fast, as published.
    Release,
    /// Quick to build again after an edit.
    Dev,
}

/// A page: a package with one binary, and the static files that stand around it.
pub(crate) struct Page {
    pub(crate) package: &'static str,
    /// The static files, relative to the root of the repository.
    pub(crate) static_files: &'static str,
    /// Where it is laid out, relative to the target directory.
    pub(crate) dist: &'static str,
    /// Folders of maps that go with it: from, relative to the root, and to, relative to the page.
    pub(crate) maps: &'static [(&'static str, &'static str)],
}

/// Sparktrail itself.
pub(crate) const APP: Page = Page {
    package: "sparktrail",
    static_files: "static",
    dist: "dist",
    maps: &[("sample-harnesses", "samples")],
};

/// The page that Sparktrail is measured beside.
pub(crate) const SMALLEST: Page = Page {
    package: "smallest-page",
    static_files: "xtask/smallest-page/static",
    dist: "dist-smallest",
    maps: &[],
};

/// The page that measures the core in a browser.
pub(crate) const MEASURES: Page = Page {
    package: "sparktrail-measures",
    static_files: "tests/measures/static",
    dist: "dist-measures",
    maps: &[],
};

/// Builds a page and returns the directory that holds it.
///
/// The compiled program becomes `PACKAGE_bg.wasm` with its glue `PACKAGE.js`, beside the
/// static files.
pub(crate) fn build(page: &Page, profile: Profile) -> Result<PathBuf> {
    setup::wasm_target()?;
    let mut args = vec!["build", "--target", WASM, "--package", page.package];
    if profile == Profile::Release {
        args.push("--release");
    }
    Run::cargo().args(args).run()?;

    let static_files = place::root().join(page.static_files);
    if !static_files.join("index.html").is_file() {
        bail!("{}/index.html is missing", page.static_files);
    }
    let dist = place::target().join(page.dist);
    let next = place::target().join(format!("{}-next", page.dist));
    let _ = fs::remove_dir_all(&next);
    copy(&static_files, &next)?;
    for (from, to) in page.maps {
        copy(&place::root().join(from), &next.join(to))?;
    }
    bind(page, profile, &next)?;
    let _ = fs::remove_dir_all(&dist);
    fs::rename(&next, &dist).with_context(|| format!("{} cannot be replaced", dist.display()))?;
    Ok(dist)
}

/// Writes the program and its glue into `out` with the wasm-bindgen of our own Cargo.lock.
fn bind(page: &Page, profile: Profile, out: &Path) -> Result<()> {
    let folder = match profile {
        Profile::Release => "release",
        Profile::Dev => "debug",
    };
    let program = place::target()
        .join(WASM)
        .join(folder)
        .join(page.package)
        .with_extension("wasm");
    let mut args: Vec<std::ffi::OsString> = [
        "wasm-bindgen",
        "--target",
        "web",
        "--no-typescript",
        "--out-name",
        page.package,
    ]
    .map(Into::into)
    .into();
    if profile == Profile::Release {
        // `strip` in the profile would also remove `target_features`, which wasm-bindgen needs.
        args.extend(["--remove-name-section", "--remove-producers-section"].map(Into::into));
    }
    args.extend(["--out-dir".into(), out.into(), program.clone().into()]);
    wasm_bindgen_cli::wasm_bindgen::run_cli_with_args(args)
        .with_context(|| format!("wasm-bindgen failed on {}", program.display()))
}

/// Copies a directory with everything in it.
fn copy(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to).with_context(|| format!("{} cannot be made", to.display()))?;
    let entries =
        fs::read_dir(from).with_context(|| format!("{} cannot be read", from.display()))?;
    for entry in entries {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), &target)
                .with_context(|| format!("{} cannot be copied", entry.path().display()))?;
        }
    }
    Ok(())
}
