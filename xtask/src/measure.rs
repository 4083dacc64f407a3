//! `cargo xtask measure`: builds as published, measures natively and in headless Chromium,
//! prints one table and writes `target/measure.json`.
//!
//! The figures come from three programs, each of which prints a JSON list of rows:
//! `sparktrail-measures` (the core, natively), `measure_browser` of the tests package (the
//! built pages, and `sparktrail-measures` once more, in the browser) and `measure_open` there
//! (who can use the app, and how large a map it bears).

use std::fs;

use anyhow::{Context, Result, bail};
use serde_json::Value;

use crate::build::{self, Profile};
use crate::command::Run;
use crate::{place, setup};

/// What is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum What {
    /// The core and the app.
    All,
    /// The core, natively and in a page.
    Core,
}

/// Builds, measures, prints and writes.
pub(crate) fn measure(what: What) -> Result<()> {
    let browser = setup::for_browser()?;
    let (pages, only, name): (&[_], &[&str], _) = match what {
        What::All => (
            &[&build::APP, &build::SMALLEST, &build::MEASURES],
            &[],
            "measure.json",
        ),
        What::Core => (&[&build::MEASURES], &["--", "core"], "measure-core.json"),
    };
    for page in pages {
        build::build(page, Profile::Release)?;
    }
    let native = Run::cargo().args(["run", "--release", "--package", "sparktrail-measures"]);
    let in_browser = Run::cargo()
        .args([
            "run",
            "--package",
            "sparktrail-tests",
            "--features",
            "browser",
        ])
        .args(["--bin", "measure_browser"])
        .args(only)
        .env("CHROMIUM", browser.chromium)
        .env("CHROMEDRIVER", browser.chromedriver);

    let mut rows = rows(native)?;
    rows.extend(self::rows(in_browser)?);
    if what == What::All {
        rows.extend(open_to_all()?);
    }
    for row in &rows {
        println!("{}", line(row));
    }
    let file = place::target().join(name);
    let text = serde_json::to_string_pretty(&Value::Array(rows))?;
    fs::write(&file, text + "\n")
        .with_context(|| format!("{} cannot be written", file.display()))?;
    println!("\nwritten to {}", file.display());
    Ok(())
}

/// Whether everybody can use the app, and whether it bears a large map.
fn open_to_all() -> Result<Vec<Value>> {
    let browser = setup::for_browser()?;
    let program = Run::cargo()
        .args(["run", "--package", "sparktrail-tests"])
        .args(["--features", "browser", "--bin", "measure_open"])
        .env("CHROMIUM", browser.chromium)
        .env("CHROMEDRIVER", browser.chromedriver);
    rows(program)
}

/// The rows that a measuring program prints.
fn rows(program: Run) -> Result<Vec<Value>> {
    let printed = program.output()?;
    let rows: Vec<Value> = serde_json::from_str(printed.trim())
        .with_context(|| format!("no list of rows: {printed}"))?;
    for row in &rows {
        let whole = row["name"].is_string() && row["value"].is_number() && row["unit"].is_string();
        if !whole {
            bail!("no row of a measure: {row}");
        }
    }
    Ok(rows)
}

/// A row as a line of the table.
fn line(row: &Value) -> String {
    let text = |field: &str| row[field].as_str().unwrap_or_default().to_owned();
    let beside = row["beside"].as_f64().map(figure).unwrap_or_default();
    let value = row["value"].as_f64().map(figure).unwrap_or_default();
    format!(
        "{:<28} {value:>10} {:<6} beside {beside:>10}   {}",
        text("name"),
        text("unit"),
        text("note")
    )
}

/// A figure with about four digits that say something.
fn figure(value: f64) -> String {
    let decimals = match value.abs() {
        small if small < 1.0 => 4,
        small if small < 100.0 => 2,
        _ => 0,
    };
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_row_is_a_line() {
        let row = json!({
            "name": "a.b_ms", "value": 1.234_5, "unit": "ms", "beside": 1234.5, "note": "how"
        });
        let words: Vec<String> = line(&row).split_whitespace().map(str::to_owned).collect();
        assert_eq!(words, ["a.b_ms", "1.23", "ms", "beside", "1234", "how"]);
    }
}
