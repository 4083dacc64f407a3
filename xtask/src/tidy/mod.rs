//! `cargo xtask tidy`: house rules that a compiler cannot see.
//!
//! Each rule is a function from one source file to what is wrong in it, and has a test that
//! shows it a bad file.

mod floors;
mod guests;
mod looks;
mod spoken;
mod tokens;

use std::fmt;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};

use crate::place;
use tokens::Token;

/// One file of the repository.
struct Source {
    /// Relative to the root, with `/` between folders.
    path: String,
    text: String,
    /// What the compiler would read, without comments; empty unless the file is Rust.
    tokens: Vec<Token>,
}

impl Source {
    fn new(path: impl Into<String>, text: impl Into<String>) -> Self {
        let (path, text) = (path.into(), text.into());
        let tokens = if path.ends_with(".rs") {
            tokens::read(&text)
        } else {
            Vec::new()
        };
        Self { path, text, tokens }
    }

    fn is_rust(&self) -> bool {
        self.path.ends_with(".rs")
    }

    fn warning(&self, line: usize, words: impl Into<String>) -> Finding {
        Finding {
            weight: Weight::Warning,
            ..self.fault(line, words)
        }
    }

    fn fault(&self, line: usize, words: impl Into<String>) -> Finding {
        Finding {
            place: format!("{}:{line}", self.path),
            weight: Weight::Fault,
            words: words.into(),
        }
    }
}

/// What a rule found.
#[derive(Debug)]
struct Finding {
    place: String,
    weight: Weight,
    words: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Weight {
    /// Fails the build.
    Fault,
    /// Is said, and no more.
    Warning,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let weight = match self.weight {
            Weight::Fault => "fault",
            Weight::Warning => "warning",
        };
        write!(f, "{weight}: {}: {}", self.place, self.words)
    }
}

/// Every rule.
const RULES: &[fn(&Source) -> Vec<Finding>] = &[
    floors::core_imports_downward,
    floors::app_rooms_keep_apart,
    guests::petgraph_stays_in_topology,
    guests::serde_stays_in_files,
    guests::browser_stays_in_edge,
    looks::colours_have_names,
    looks::opens_with_a_sentence,
    looks::stays_short,
    looks::says_what_it_is,
    looks::is_finished,
    looks::names_no_machine,
    spoken::words_can_be_translated,
];

/// Looks at every file of the repository and fails where one breaks a rule.
pub(crate) fn check() -> Result<()> {
    let sources = sources()?;
    let mut faults = 0;
    let whole = spoken::translations_are_whole(&sources);
    for finding in sources.iter().flat_map(findings).chain(whole) {
        println!("{finding}");
        if finding.weight == Weight::Fault {
            faults += 1;
        }
    }
    if faults > 0 {
        bail!("tidy found {faults} fault(s)");
    }
    println!("tidy: {} files keep the house rules", sources.len());
    Ok(())
}

/// Every file of the repository, by its path in rising order.
fn sources() -> Result<Vec<Source>> {
    let mut sources = Vec::new();
    gather(place::root(), "", &mut sources)?;
    sources.sort_by(|one, other| one.path.cmp(&other.path));
    Ok(sources)
}

/// Writes every translation anew, in the order of the source: what it lacks gets an empty text, what is said no more is
/// left out.
pub(crate) fn write_translations() -> Result<()> {
    let sources = sources()?;
    for source in sources
        .iter()
        .filter(|source| spoken::is_translation(source))
    {
        let text = spoken::in_order(&sources, &source.text)
            .with_context(|| format!("{} cannot be read", source.path))?;
        let empty = text.matches("\": \"\"").count();
        fs::write(place::root().join(&source.path), text)
            .with_context(|| format!("{} cannot be written", source.path))?;
        println!("{}: {empty} to be translated", source.path);
    }
    Ok(())
}

fn findings(source: &Source) -> impl Iterator<Item = Finding> {
    RULES.iter().flat_map(|rule| rule(source))
}

/// Collects the files that people write; what is built, hidden or generated is left out.
fn gather(folder: &Path, path: &str, sources: &mut Vec<Source>) -> Result<()> {
    let entries = fs::read_dir(folder).with_context(|| format!("{path} cannot be read"))?;
    for entry in entries {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let path = if path.is_empty() {
            name.clone()
        } else {
            format!("{path}/{name}")
        };
        if name.starts_with('.') || name == "target" || name == "Cargo.lock" {
            continue;
        }
        if entry.file_type()?.is_dir() {
            gather(&entry.path(), &path, sources)?;
        } else if let Ok(text) = fs::read_to_string(entry.path()) {
            sources.push(Source::new(path, text));
        }
    }
    Ok(())
}

#[cfg(test)]
fn words_of(rule: fn(&Source) -> Vec<Finding>, path: &str, text: &str) -> Vec<String> {
    rule(&Source::new(path, text))
        .into_iter()
        .map(|finding| finding.to_string())
        .collect()
}

/// Shows a rule a good file and a bad one.
#[cfg(test)]
fn shows(rule: fn(&Source) -> Vec<Finding>, path: &str, good: &str, bad: &str) {
    assert_eq!(words_of(rule, path, good), Vec::<String>::new(), "{good}");
    assert_ne!(words_of(rule, path, bad), Vec::<String>::new(), "{bad}");
}
