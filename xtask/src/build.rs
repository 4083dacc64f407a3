//! Compiles a front end to WebAssembly and lays out what a static host serves.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::command::Run;
use crate::early;
use crate::place;
use crate::setup::{self, WASM};

/// Where cargo looks for flags of the compiler for pages alone.
const RUSTFLAGS: &str = "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS";

/// How much the compiler optimises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Profile {
    /// Small and fast, as published.
    Release,
    /// Quick to build again after an edit.
    Dev,
}

/// How many modules a page is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Parts {
    /// All in one.
    One,
    /// What the first picture needs, and the rest.
    Two,
}

/// A page: a package with one binary, and the static files that stand around it.
pub(crate) struct Page {
    pub(crate) package: &'static str,
    /// The static files, relative to the root of the repository.
    pub(crate) static_files: &'static str,
    /// Where it is laid out, relative to the target directory.
    pub(crate) dist: &'static str,
    /// The profile of Cargo.toml under which it is published.
    profile: &'static str,
    /// Whether a second module comes after the first map. Only as published: cutting takes a while.
    parts: Parts,
    /// Folders of maps that go with it: from, relative to the root, and to, relative to the page.
    pub(crate) maps: &'static [(&'static str, &'static str)],
}

/// Sparktrail itself.
pub(crate) const APP: Page = Page {
    package: "sparktrail",
    static_files: "static",
    dist: "dist",
    profile: "page",
    parts: Parts::Two,
    maps: &[("sample-harnesses", "samples")],
};

/// The page that Sparktrail is measured beside.
pub(crate) const SMALLEST: Page = Page {
    package: "smallest-page",
    static_files: "xtask/smallest-page/static",
    dist: "dist-smallest",
    profile: "page",
    parts: Parts::One,
    maps: &[],
};

/// The page that measures the core in a browser, built as the app is: it tells the speed that people get.
pub(crate) const MEASURES: Page = Page {
    package: "sparktrail-measures",
    static_files: "tests/measures/static",
    dist: "dist-measures",
    profile: "page",
    parts: Parts::One,
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
        args.extend(["--profile", page.profile]);
    }
    let mut cargo = Run::cargo();
    if profile == Profile::Release {
        // Each piece of a page is then built by code that all pieces share, not by a copy made for its type: a
        // tenth less to fetch.
        cargo = cargo.env(RUSTFLAGS, "--cfg=erase_components");
    }
    let in_two = page.parts == Parts::Two && profile == Profile::Release;
    if in_two {
        args.extend(["--features", "parts"]);
    }
    cargo.args(args).run()?;

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
    let maps: Vec<PathBuf> = page.maps.iter().map(|(_, to)| next.join(to)).collect();
    early::lay_out(&next, &maps)?;
    let compiled = compiled(page, profile);
    if in_two {
        let first = place::target().join(format!("{}-first.wasm", page.package));
        cut(page, &compiled, &first, &next)?;
        bind(page, profile, &first, &next)?;
    } else {
        bind(page, profile, &compiled, &next)?;
    }
    if profile == Profile::Release {
        sparktrail_site::keep_offline(&next)?;
    }
    let _ = fs::remove_dir_all(&dist);
    fs::rename(&next, &dist).with_context(|| format!("{} cannot be replaced", dist.display()))?;
    Ok(dist)
}

/// Where the compiler puts the program.
fn compiled(page: &Page, profile: Profile) -> PathBuf {
    let folder = match profile {
        Profile::Release => page.profile,
        Profile::Dev => "debug",
    };
    place::target()
        .join(WASM)
        .join(folder)
        .join(page.package)
        .with_extension("wasm")
}

/// Cuts the program in two: what the first picture needs goes to `first`, the rest into `out` with
/// the glue that fetches it.
fn cut(page: &Page, program: &Path, first: &Path, out: &Path) -> Result<()> {
    let bytes =
        fs::read(program).with_context(|| format!("{} cannot be read", program.display()))?;
    let glue = format!("./{}.js", page.package);
    let mut options = wasm_split_cli_support::Options::new(&bytes);
    options.output_dir = out;
    options.main_out_path = first;
    options.link_name = "./parts.js";
    options.main_module = &glue;
    let cut = wasm_split_cli_support::transform(options)
        .map_err(|error| anyhow::anyhow!("{} cannot be cut: {error:#}", program.display()))?;
    for later in cut.split_modules {
        if !keeps_names() {
            let bytes = fs::read(&later)?;
            fs::write(&later, without_names(&bytes)?)?;
        }
    }
    Ok(())
}

/// Whether functions keep their names, so that a browser's profile of a published page can be read.
fn keeps_names() -> bool {
    std::env::var_os("KEEP_NAMES").is_some()
}

/// A module without what only people read of it; of the first one wasm-bindgen takes it away.
fn without_names(module: &[u8]) -> Result<Vec<u8>> {
    let mut kept = wasm_encoder::Module::new();
    for payload in wasmparser::Parser::new(0).parse_all(module) {
        let payload = payload?;
        if let wasmparser::Payload::CustomSection(section) = &payload
            && matches!(section.name(), "name" | "producers")
        {
            continue;
        }
        if let Some((id, range)) = payload.as_section() {
            let range = usize::try_from(range.start)?..usize::try_from(range.end)?;
            let data = module
                .get(range)
                .context("a section ends beyond the module")?;
            kept.section(&wasm_encoder::RawSection { id, data });
        }
    }
    Ok(kept.finish())
}

/// Writes the program and its glue into `out` with the wasm-bindgen of our own Cargo.lock.
fn bind(page: &Page, profile: Profile, program: &Path, out: &Path) -> Result<()> {
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
    if profile == Profile::Release && !keeps_names() {
        // `strip` in the profile would also remove `target_features`, which wasm-bindgen needs.
        args.extend(["--remove-name-section", "--remove-producers-section"].map(Into::into));
    }
    // The second module links to what the linker exports of the first.
    args.push("--keep-lld-exports".into());
    args.extend(["--out-dir".into(), out.into(), program.into()]);
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_taken_away_and_nothing_else() {
        let custom = |name: &str| wasm_encoder::CustomSection {
            name: name.to_owned().into(),
            data: b"left as it is".into(),
        };
        let mut module = wasm_encoder::Module::new();
        let mut types = wasm_encoder::TypeSection::new();
        types.ty().function([], []);
        module.section(&types).section(&custom("target_features"));
        let expected = module.clone().finish();
        module
            .section(&custom("name"))
            .section(&custom("producers"));
        let found = without_names(&module.finish()).expect("a whole module");
        assert_eq!(found, expected);
        assert!(without_names(&expected[..expected.len() - 3]).is_err());
    }
}
