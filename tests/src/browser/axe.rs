//! axe-core looks at the page and tells which rules of accessibility it breaks.
//!
//! axe-core 4.12, Deque Systems, MPL-2.0: it comes with the Python package that `tests/requirements-alone.txt`
//! pins, is put into the page by the driver and is no part of the product.

use std::fmt;

use serde_json::Value;

use super::Page;
use crate::outside;

/// How bad axe holds a broken rule to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Impact {
    /// An annoyance.
    Minor,
    /// Some cannot do some things easily.
    Moderate,
    /// Some are kept from something.
    Serious,
    /// Some are kept out.
    Critical,
}

/// One rule that one piece of a place breaks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// Where in the app.
    pub place: String,
    /// The rule's name.
    pub rule: String,
    /// How bad it is.
    pub impact: Impact,
    /// The piece of the page.
    pub node: String,
    /// What is wrong with it.
    pub why: String,
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}: {:?} {}: {}\n    {}",
            self.place,
            self.impact,
            self.rule,
            self.node,
            self.why.replace('\n', " ")
        )
    }
}

/// The program, or `None` where it is not installed: see [`outside::python`].
#[must_use]
pub fn program() -> Option<String> {
    const READ: &str = "
from pathlib import Path
import axe_playwright_python
print((Path(axe_playwright_python.__file__).parent / 'axe.min.js').read_text())";
    outside::python_says(READ, "")
}

/// Every rule that the page breaks as it stands now.
///
/// # Panics
/// When axe itself fails.
pub async fn broken(page: &Page, program: &str, place: &str) -> Vec<Broken> {
    const RUN: &str = "
return axe.run(document, { resultTypes: ['violations'] }).then(found => found.violations.flatMap(rule =>
  rule.nodes.map(node => [rule.id, node.impact ?? rule.impact, node.target.join(' '), node.failureSummary])))";
    if page.evaluate("return typeof axe").await == "undefined" {
        page.evaluate(program).await;
    }
    let found = page.evaluate(RUN).await;
    let found = found
        .as_array()
        .unwrap_or_else(|| panic!("axe at {place}: {found}"));
    let text = |row: &Value, at: usize| row[at].as_str().unwrap_or_default().to_owned();
    let one = |row: &Value| Broken {
        place: place.to_owned(),
        rule: text(row, 0),
        impact: match row[1].as_str() {
            Some("critical") => Impact::Critical,
            Some("serious") => Impact::Serious,
            Some("moderate") => Impact::Moderate,
            _ => Impact::Minor,
        },
        node: text(row, 2),
        why: text(row, 3),
    };
    found.iter().map(one).collect()
}
