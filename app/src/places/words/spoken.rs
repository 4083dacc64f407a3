//! Words for those who do not see the map: what has just changed on it.

/// Something is broken for trying: which cylinders it takes.
#[must_use]
pub fn broken(what: &str, dead: &str, doubtful: &str) -> String {
    let mut said = match dead {
        "" => format!("{what}: no cylinder dies."),
        dead => format!("{what}: cylinders without a spark: {dead}."),
    };
    if !doubtful.is_empty() {
        said.push_str(&format!(" Doubtful: {doubtful}."));
    }
    said
}

/// It works again.
pub const MENDED: &str = "Nothing is broken for trying.";

/// The findings were weighed anew.
#[must_use]
pub fn weighed(suspect: &str, share: &str, next: &str) -> String {
    format!("Likeliest now: {suspect}, {share}. Next: {next}")
}
