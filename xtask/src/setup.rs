//! Makes a fresh machine ready: the wasm target, Chromium, Firefox, ngspice and a Python environment.
//!
//! Packages of the system are installed only by root on Debian or a relative of it; elsewhere
//! the message names what to install.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::command::{Run, in_path};
use crate::place;

/// The target that the front end is compiled for.
pub(crate) const WASM: &str = "wasm32-unknown-unknown";

/// The programs that the tests use beside cargo, as far as they are there.
pub(crate) struct Outside {
    /// Python with the packages of `tests/requirements.txt`.
    pub(crate) python: Result<PathBuf>,
    pub(crate) ngspice: Result<PathBuf>,
    pub(crate) browser: Result<Browser>,
    pub(crate) firefox: Result<Firefox>,
}

impl Outside {
    /// Finds or installs everything that `cargo xtask test` needs.
    pub(crate) fn find() -> Result<Self> {
        wasm_target()?;
        Ok(Self {
            browser: for_browser(),
            firefox: firefox(),
            ngspice: program(&["ngspice"], "ngspice"),
            python: python_environment(),
        })
    }

    /// Why each of the programs that are not there is not there.
    pub(crate) fn missing(&self) -> Vec<String> {
        [
            self.browser.as_ref().err(),
            self.firefox.as_ref().err(),
            self.ngspice.as_ref().err(),
            self.python.as_ref().err(),
        ]
        .into_iter()
        .flatten()
        .map(|error| format!("{error:#}"))
        .collect()
    }
}

/// `cargo xtask setup`: everything that the tests need, or an error that names what is missing.
pub(crate) fn for_tests() -> Result<()> {
    let missing = Outside::find()?.missing();
    if !missing.is_empty() {
        bail!("{}", missing.join("\n"));
    }
    println!(
        "ready: wasm target, Chromium and Firefox with their drivers, ngspice, Python environment"
    );
    Ok(())
}

/// Chromium and its driver.
pub(crate) struct Browser {
    pub(crate) chromium: PathBuf,
    pub(crate) chromedriver: PathBuf,
}

/// Finds or installs Chromium and its driver; `CHROMIUM` and `CHROMEDRIVER` name other ones.
pub(crate) fn for_browser() -> Result<Browser> {
    Ok(Browser {
        chromium: named("CHROMIUM").map_or_else(
            || {
                program(
                    &["chromium", "chromium-browser", "google-chrome"],
                    "chromium",
                )
            },
            Ok,
        )?,
        chromedriver: named("CHROMEDRIVER")
            .map_or_else(|| program(&["chromedriver"], "chromium-driver"), Ok)?,
    })
}

/// The second engine: Firefox and its driver.
pub(crate) struct Firefox {
    pub(crate) firefox: PathBuf,
    pub(crate) geckodriver: PathBuf,
}

/// The driver of Firefox that is built where there is none: Debian has no package of it.
const GECKODRIVER: &str = "0.37.1";

/// Finds or installs Firefox and its driver; `FIREFOX` and `GECKODRIVER` name other ones.
fn firefox() -> Result<Firefox> {
    Ok(Firefox {
        firefox: named("FIREFOX")
            .map_or_else(|| program(&["firefox-esr", "firefox"], "firefox-esr"), Ok)?,
        geckodriver: named("GECKODRIVER").map_or_else(geckodriver, Ok)?,
    })
}

/// Firefox's driver: in `PATH`, or in `target/tools`, where cargo builds it when it is missing.
fn geckodriver() -> Result<PathBuf> {
    let tools = place::target().join("tools");
    let built = tools.join("bin/geckodriver");
    if let Some(there) = in_path("geckodriver").or_else(|| built.is_file().then(|| built.clone())) {
        return Ok(there);
    }
    Run::cargo()
        .args([
            "install",
            "geckodriver",
            "--locked",
            "--version",
            GECKODRIVER,
        ])
        .args([Path::new("--root"), &tools])
        .run()
        .context(
            "`geckodriver` is missing and could not be built. Install it and try again: \
             cargo install geckodriver --locked",
        )?;
    Ok(built)
}

/// Adds the wasm target to the toolchain in use when it is missing.
pub(crate) fn wasm_target() -> Result<()> {
    let sysroot = Run::new("rustc")
        .args(["--print", "sysroot"])
        .says()
        .context("`rustc --print sysroot` failed: is Rust installed by rustup?")?;
    let libraries = Path::new(sysroot.trim()).join("lib/rustlib").join(WASM);
    if libraries.is_dir() {
        return Ok(());
    }
    Run::new("rustup")
        .args(["target", "add", WASM])
        .run()
        .with_context(|| format!("the Rust target {WASM} is missing and could not be added"))
}

fn named(variable: &str) -> Option<PathBuf> {
    std::env::var_os(variable)
        .map(PathBuf::from)
        .filter(|path| path.is_file())
}

/// The first of `names` in `PATH`, installed from the Debian `package` when there is none.
fn program(names: &[&str], package: &str) -> Result<PathBuf> {
    let found = || names.iter().find_map(|name| in_path(name));
    if let Some(path) = found() {
        return Ok(path);
    }
    install(package)?;
    found().with_context(|| format!("`{package}` was installed, but brought no `{}`", names[0]))
}

/// Installs a package of the system, as root on Debian; elsewhere says what to install.
fn install(package: &str) -> Result<()> {
    let root = Run::new("id").args(["-u"]).says().as_deref().map(str::trim) == Some("0");
    if !root || in_path("apt-get").is_none() {
        bail!(
            "`{package}` is missing. Install it and try again; on Debian: \
             sudo apt-get install chromium chromium-driver firefox-esr ngspice python3-venv"
        );
    }
    let apt = |args: &[&str]| {
        Run::new("apt-get")
            .args(args)
            .env("DEBIAN_FRONTEND", "noninteractive")
            .run()
    };
    apt(&["update", "-q"])
        .and_then(|()| apt(&["install", "-y", "-q", "--no-install-recommends", package]))
        .with_context(|| format!("`{package}` is missing and could not be installed"))
}

/// A Python environment in `target/venv` with exactly the packages of `tests/requirements.txt` and
/// `tests/requirements-alone.txt`.
fn python_environment() -> Result<PathBuf> {
    let venv = place::target().join("venv");
    let python = venv.join("bin/python3");
    let wanted = place::root().join("tests/requirements.txt");
    let stamp = venv.join("requirements.txt");
    let alone = place::root().join("tests/requirements-alone.txt");
    let mut pinned =
        fs::read_to_string(&wanted).context("tests/requirements.txt cannot be read")?;
    pinned += &fs::read_to_string(&alone).context("tests/requirements-alone.txt cannot be read")?;
    if python.is_file() && fs::read_to_string(&stamp).is_ok_and(|installed| installed == pinned) {
        return Ok(python);
    }

    // Debian ships Python without what makes an environment until python3-venv is there.
    let can_make_one = ["-c", "import ensurepip, venv"];
    if Run::new(system_python())
        .args(can_make_one)
        .says()
        .is_none()
    {
        install("python3-venv")?;
    }
    let _ = fs::remove_dir_all(&venv);
    Run::new(system_python())
        .args([Path::new("-m"), Path::new("venv"), &venv])
        .run()?;
    Run::new(&python)
        .args(["-m", "pip", "install", "--quiet", "--requirement"])
        .args([&wanted])
        .run()
        .context("the Python packages of tests/requirements.txt could not be installed")?;
    Run::new(&python)
        .args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--no-deps",
            "--requirement",
        ])
        .args([&alone])
        .run()
        .context("the packages of tests/requirements-alone.txt could not be installed")?;
    fs::write(&stamp, pinned).context("the Python environment cannot be stamped")?;
    Ok(python)
}

/// The system's own Python where there is one, else the first in `PATH`.
fn system_python() -> &'static Path {
    let system = Path::new("/usr/bin/python3");
    if system.is_file() {
        system
    } else {
        Path::new("python3")
    }
}
