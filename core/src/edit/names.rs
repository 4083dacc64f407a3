//! Names that nothing else on the map has.

use crate::model::Harness;

/// `name` itself where no part has it; else the next that is free: "Lead 3" → "Lead 4", "Coil A" → "Coil B",
/// "Main relay" → "Main relay 2".
#[must_use]
pub fn free_name(harness: &Harness, name: &str) -> String {
    let name = name.trim();
    let taken = |name: &str| harness.parts.values().any(|part| part.name == name);
    if !taken(name) {
        return name.to_owned();
    }
    let (stem, last) = name.rsplit_once(' ').unwrap_or((name, ""));
    if let [letter @ b'A'..=b'Y'] = last.as_bytes() {
        let free = (letter + 1..=b'Z')
            .map(|letter| format!("{stem} {}", char::from(letter)))
            .find(|name| !taken(name));
        if let Some(free) = free {
            return free;
        }
    }
    let (stem, from) = last
        .parse::<u32>()
        .map_or((name, 2), |number| (stem, number.saturating_add(1)));
    // There are at most as many taken names as parts.
    (from..=u32::MAX)
        .map(|number| format!("{stem} {number}"))
        .find(|name| !taken(name))
        .unwrap_or_else(|| name.to_owned())
}
