//! What of a harness bears on its faults: the map without words, looks, findings and how facts are known.

use super::facts;
use crate::model::{Condition, Harness, Place};
use crate::provenance::Provenance;

/// The map alone. Two harnesses with the same bare map have the same faults with the same effects,
/// readings, priors and costs.
#[must_use]
pub fn bare(harness: &Harness) -> Harness {
    let mut map = harness.clone();
    map.findings.clear();
    map.work.clear();
    map.title.clear();
    map.about.clear();
    map.next_id = 0;
    for part in map.parts.values_mut() {
        part.name.clear();
        part.note.clear();
        part.place.text.clear();
        part.drawn_at = None;
        part.face = None;
    }
    for wire in map.wires.values_mut() {
        wire.colour = None;
        wire.note.clear();
    }
    facts::visit(&mut map, &mut |_, how| *how = Provenance::Assumed);
    map
}

/// A bare map without what the owner knows of the parts' age, surroundings and reach. Two harnesses
/// that agree in this have the same faults with the same effects and readings; priors and costs may
/// differ.
#[must_use]
pub fn bare_wiring(bare: &Harness) -> Harness {
    let mut map = bare.clone();
    for part in map.parts.values_mut() {
        part.place = Place::default();
        part.condition = Condition::default();
    }
    map
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::edit::layouts::{Plan, build, propose_engine};
    use crate::engine::{Layout, Strokes};
    use crate::model::{Age, WireColour};

    #[test]
    fn words_and_provenance_do_not_count_and_the_rest_does() {
        let harness = build(&Plan::new(
            "four",
            propose_engine(4, Layout::Inline, Strokes::Four),
        ))
        .unwrap();
        let map = bare(&harness);
        let mut other = harness.clone();
        other.title = "another".into();
        for part in other.parts.values_mut() {
            part.name.push('!');
        }
        facts::visit(&mut other, &mut |_, how| *how = Provenance::Measured);
        for wire in other.wires.values_mut() {
            wire.colour = None::<crate::provenance::Fact<WireColour>>;
        }
        assert_eq!(bare(&other), map);
        other.parts.values_mut().next().unwrap().condition.age = Age::Old;
        assert_ne!(bare(&other), map);
        assert_eq!(bare_wiring(&bare(&other)), bare_wiring(&map));
        let last = *other.wires.keys().next_back().unwrap();
        other.wires.remove(&last);
        assert_ne!(bare_wiring(&bare(&other)), bare_wiring(&map));
    }
}
