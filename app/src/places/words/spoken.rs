//! Words for those who do not see the map: what has just changed on it.

use crate::text::{Text, text};
use sparktrail_core::said::say;

/// Something is broken for trying: which cylinders it takes.
#[must_use]
pub fn broken(what: &str, dead: &str, doubtful: &str) -> String {
    let mut said = match dead {
        "" => say!("{what}: no cylinder dies."),
        dead => say!("{what}: cylinders without a spark: {dead}."),
    };
    if !doubtful.is_empty() {
        said.push_str(&say!(" Doubtful: {doubtful}."));
    }
    said
}

/// It works again.
pub const MENDED: Text = text("Nothing is broken for trying.");

/// The findings were weighed anew.
#[must_use]
pub fn weighed(suspect: &str, share: &str, next: &str) -> String {
    say!("Likeliest now: {suspect}, {share}. Next: {next}")
}
