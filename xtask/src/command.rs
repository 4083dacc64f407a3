//! Runs other programs, says what it runs, and turns a failure into an error that names it.

use std::ffi::OsStr;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

use crate::place;

/// A command in the root of the repository, printed as it is run.
pub(crate) struct Run(Command);

impl Run {
    pub(crate) fn new(program: impl AsRef<OsStr>) -> Self {
        let mut command = Command::new(program);
        command.current_dir(place::root());
        Self(command)
    }

    /// The cargo that runs us.
    pub(crate) fn cargo() -> Self {
        Self::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
    }

    pub(crate) fn args<S: AsRef<OsStr>>(mut self, args: impl IntoIterator<Item = S>) -> Self {
        self.0.args(args);
        self
    }

    pub(crate) fn env(mut self, name: &str, value: impl AsRef<OsStr>) -> Self {
        self.0.env(name, value);
        self
    }

    /// Where we were started, rather than the root of the repository.
    pub(crate) fn in_current_directory(mut self) -> Result<Self> {
        self.0.current_dir(std::env::current_dir()?);
        Ok(self)
    }

    /// Runs to the end without saying so; the program has said itself what went wrong.
    pub(crate) fn quietly(mut self) -> Result<()> {
        let status = self
            .0
            .status()
            .with_context(|| format!("`{}` does not start", self.shown()))?;
        if !status.success() {
            bail!("{status}");
        }
        Ok(())
    }

    /// Runs to the end; the program's output goes to the terminal.
    pub(crate) fn run(mut self) -> Result<()> {
        eprintln!("$ {}", self.shown());
        let status = self
            .0
            .status()
            .with_context(|| format!("`{}` does not start", self.shown()))?;
        if !status.success() {
            bail!("`{}` failed ({status})", self.shown());
        }
        Ok(())
    }

    /// Runs to the end and returns what it prints, or `None` when it cannot run or fails.
    pub(crate) fn says(mut self) -> Option<String> {
        let output = self.0.stderr(Stdio::null()).output().ok()?;
        output
            .status
            .success()
            .then(|| String::from_utf8_lossy(&output.stdout).into_owned())
    }

    /// Runs to the end; hands each line that the program prints to `see` and to the terminal.
    pub(crate) fn watched(mut self, mut see: impl FnMut(&str)) -> Result<()> {
        eprintln!("$ {}", self.shown());
        let mut child = self
            .0
            .stdout(Stdio::piped())
            .spawn()
            .with_context(|| format!("`{}` does not start", self.shown()))?;
        if let Some(stdout) = child.stdout.take() {
            for line in BufReader::new(stdout).split(b'\n') {
                let line = String::from_utf8_lossy(&line?).into_owned();
                println!("{line}");
                see(&line);
            }
        }
        let status = child.wait()?;
        if !status.success() {
            bail!("`{}` failed ({status})", self.shown());
        }
        Ok(())
    }

    /// Runs to the end and returns what it prints.
    pub(crate) fn output(mut self) -> Result<String> {
        eprintln!("$ {}", self.shown());
        let output = self
            .0
            .stderr(Stdio::inherit())
            .output()
            .with_context(|| format!("`{}` does not start", self.shown()))?;
        if !output.status.success() {
            bail!("`{}` failed ({})", self.shown(), output.status);
        }
        Ok(String::from_utf8_lossy(&output.stdout).into_owned())
    }

    fn shown(&self) -> String {
        let program = Path::new(self.0.get_program());
        let name = program.file_name().unwrap_or(program.as_os_str());
        std::iter::once(name)
            .chain(self.0.get_args())
            .map(|word| word.to_string_lossy().into_owned())
            .collect::<Vec<_>>()
            .join(" ")
    }
}

/// Where a program stands in `PATH`.
pub(crate) fn in_path(program: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .map(|dir| dir.join(program))
        .find(|file| file.is_file())
}
