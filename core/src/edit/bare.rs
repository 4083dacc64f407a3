//! What of a harness bears on its faults: the map without words, looks, findings and how facts are known.

use super::facts;
use crate::model::{Condition, Harness, Part, PartId, Place};
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

/// Whether two maps are drawn alike: whether the same parts and wires, told alike, are on the same engine.
#[must_use]
pub fn drawn_alike(a: &Harness, b: &Harness) -> bool {
    a.engine == b.engine && a.wires == b.wires && a.parts == b.parts
}

/// Whether two maps are the same but for where their parts are drawn, for what was found and for what was done.
#[must_use]
pub fn wired_alike(a: &Harness, b: &Harness) -> bool {
    a.engine == b.engine
        && a.wires == b.wires
        && a.parts.len() == b.parts.len()
        && a.parts.iter().zip(&b.parts).all(is_same_but_for_its_place)
}

/// Whether two maps are the same but for where their parts are drawn.
#[must_use]
pub fn told_alike(a: &Harness, b: &Harness) -> bool {
    a.title == b.title
        && a.about == b.about
        && a.rivals == b.rivals
        && a.findings == b.findings
        && a.work == b.work
        && wired_alike(a, b)
}

fn is_same_but_for_its_place((a, b): ((&PartId, &Part), (&PartId, &Part))) -> bool {
    let (id, told) = b;
    // Named one by one, so that whatever a part may get is thought of here.
    let Part {
        name,
        kind,
        place,
        condition,
        note,
        drawn_at: _,
        face,
    } = a.1;
    a.0 == id
        && *kind == told.kind
        && *name == told.name
        && *place == told.place
        && *condition == told.condition
        && *note == told.note
        && *face == told.face
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::edit::layouts::{Plan, build, propose_engine};
    use crate::engine::{Layout, Strokes};
    use crate::model::{Age, CaseStep, DrawnAt, PartKind, WireColour, WorkEntry};

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
        other.parts.values_mut().next().unwrap().condition.age = Age::New;
        assert_ne!(bare(&other), map);
        assert_eq!(bare_wiring(&bare(&other)), bare_wiring(&map));
        let last = *other.wires.keys().next_back().unwrap();
        other.wires.remove(&last);
        assert_ne!(bare_wiring(&bare(&other)), bare_wiring(&map));
    }

    #[test]
    fn what_was_found_draws_no_other_map_and_where_a_part_stands_wires_none() {
        let engine = propose_engine(4, Layout::Inline, Strokes::Four);
        let harness = build(&Plan::new("four", engine)).unwrap();
        let mut found = harness.clone();
        found.title = "Another title".into();
        let id = found.fresh();
        found.work.push(WorkEntry {
            id,
            at: None,
            text: "Cleaned a plug".into(),
            step: CaseStep::default(),
            element: None,
        });
        assert!(drawn_alike(&harness, &found) && wired_alike(&harness, &found));
        assert!(!told_alike(&harness, &found));
        let changed = |change: fn(&mut Part)| {
            let mut other = harness.clone();
            change(other.parts.values_mut().next().unwrap());
            other
        };
        let moved = changed(|part| part.drawn_at = Some(DrawnAt { x: 24.0, y: 48.0 }));
        assert!(!drawn_alike(&harness, &moved) && wired_alike(&harness, &moved));
        assert!(told_alike(&harness, &moved));
        let other: [fn(&mut Part); 4] = [
            |part| part.name.push('!'),
            |part| part.note.push('!'),
            |part| part.condition.age = Age::New,
            |part| part.kind = PartKind::Splice,
        ];
        for change in other {
            let told = changed(change);
            assert!(!drawn_alike(&harness, &told) && !wired_alike(&harness, &told));
            assert!(!told_alike(&harness, &told));
        }
        let said: [fn(&mut Harness); 2] = [
            |harness| harness.title.push('!'),
            |harness| harness.about.push('!'),
        ];
        for say in said {
            let mut other = harness.clone();
            say(&mut other);
            assert!(drawn_alike(&harness, &other) && wired_alike(&harness, &other));
            assert!(!told_alike(&harness, &other));
        }
        let mut less = harness.clone();
        less.parts.pop_last();
        assert!(!drawn_alike(&harness, &less) && !wired_alike(&harness, &less));
        let mut cut = harness.clone();
        cut.wires.pop_last();
        assert!(!drawn_alike(&harness, &cut) && !wired_alike(&harness, &cut));
    }
}
