//! How long the link of a whole map is, and how long it takes to make and to open one.

use sparktrail_core::model::file;
use sparktrail_core::share::{link, opened};

use crate::Row;
use crate::stopwatch::median_ms;

/// A V8 with four double-ended coils and thirteen findings.
const V8: &str = include_str!("../../../sample-harnesses/white-cruiser.json");
/// A V12 with a coil on each cylinder and in-line connectors: the largest sample.
const V12: &str = include_str!("../../../sample-harnesses/silver-limousine.json");

pub(crate) fn rows() -> Vec<Row> {
    [("v8", V8, 2_000.0), ("v12", V12, 3_000.0)]
        .into_iter()
        .filter_map(|(name, text, most)| {
            let harness = file::read(text).ok()?;
            let letters = link(&harness).ok()?;
            let note = format!(
                "{} findings; made in {:.1} ms, opened in {:.1} ms; beside: the most that was asked for",
                harness.findings.len(),
                median_ms(|| link(&harness)),
                median_ms(|| opened(&letters)),
            );
            Some(Row {
                name: format!("link.{name}_chars"),
                value: f64::from(u32::try_from(letters.len()).ok()?),
                unit: "characters",
                beside: Some(most),
                note,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_links_are_measured() {
        assert_eq!(rows().len(), 2);
    }
}
