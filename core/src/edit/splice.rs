//! A splice put into a wire: the wire becomes two, and whatever meets it there is joined.

use super::parts;
use super::rivals::state;
use super::value::check;
use super::wiring::{add_wire, connect};
use super::{EditError, FactAt, FactValue, WireLook};
use crate::model::{
    DrawnAt, Element, Harness, PartId, PartKind, Port, Rival, Seen, Terminal, Wire, WireEnd, WireId,
};
use crate::provenance::{Fact, Provenance};
use crate::units::Metres;

/// What meets a wire at its new splice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meets {
    /// Nothing yet.
    Nothing,
    /// The end of another wire, which is led there.
    End(WireId, WireEnd),
    /// A terminal, from which a new wire goes there.
    Terminal(Terminal),
}

/// Where a splice goes.
pub(super) struct Cut<'a> {
    pub(super) wire: WireId,
    pub(super) name: &'a str,
    pub(super) at: Option<DrawnAt>,
    pub(super) meets: Meets,
    pub(super) how: Provenance,
}

/// Cuts a wire and joins its halves, and whatever meets them, at a new splice.
///
/// The half that the wire's first end is on stays that wire. The other gets its far end with all that is said of
/// it, and both have its colour and size. Where the splice sits along the wire nobody has said: each half is
/// assumed to be half as long.
pub(super) fn cut(harness: &mut Harness, cut: &Cut<'_>) -> Result<(), EditError> {
    let &Cut { wire, how, .. } = cut;
    if let Meets::End(other, _) = cut.meets {
        if other == wire {
            return Err(EditError::OntoItself(wire));
        }
        if !harness.wires.contains_key(&other) {
            return Err(EditError::NoWire(other));
        }
    }
    let old = harness.wires.get(&wire).ok_or(EditError::NoWire(wire))?;
    let old = old.clone();
    let splice = added(harness, cut)?;
    let joined = |how| Some(Fact { value: splice, how });
    let far = Wire {
        from: joined(how),
        to: old.to,
        colour: old.colour,
        size: old.size,
        length: None,
        note: String::new(),
    };
    let new = harness.next_id;
    add_wire(harness, &far)?;
    let new = WireId::from_number(new);
    halve(harness, wire, new, old.length.map(|fact| fact.value));
    hand_over(harness, wire, new);
    if let Some(near) = harness.wires.get_mut(&wire) {
        near.to = joined(how);
    }
    meet(harness, splice, cut.meets, how)
}

/// The terminal of a new splice.
fn added(harness: &mut Harness, cut: &Cut<'_>) -> Result<Terminal, EditError> {
    let id = harness.next_id;
    parts::add(harness, cut.name, &PartKind::Splice, cut.at)?;
    let part = PartId::from_number(id);
    let port = Port::Joint;
    Ok(Terminal { part, port })
}

/// Both halves are half as long as the wire was, where that can be said.
fn halve(harness: &mut Harness, near: WireId, far: WireId, length: Option<Metres>) {
    for half in [near, far] {
        let said = length.and_then(|length| {
            let value = Metres::new(length.get() / 2.0).ok()?;
            let number = FactValue::Number(value.get());
            check(harness, FactAt::WireLength(half), &number).ok()?;
            Some(Fact::assumed(value))
        });
        if let Some(wire) = harness.wires.get_mut(&half) {
            wire.length = said;
        }
    }
    harness
        .rivals
        .retain(|rival| rival.at != FactAt::WireLength(near));
}

/// What is said of the far end goes with it: other values, looks at its joint, entries of the work log.
fn hand_over(harness: &mut Harness, near: WireId, far: WireId) {
    for rival in &mut harness.rivals {
        if rival.at == FactAt::WireEnd(near, WireEnd::To) {
            rival.at = FactAt::WireEnd(far, WireEnd::To);
        }
    }
    let also: Vec<Rival> = harness
        .rivals
        .iter()
        .filter_map(|rival| {
            let at = if rival.at == FactAt::WireColour(near) {
                FactAt::WireColour(far)
            } else if rival.at == FactAt::WireSize(near) {
                FactAt::WireSize(far)
            } else {
                return None;
            };
            Some(Rival {
                at,
                ..rival.clone()
            })
        })
        .collect();
    harness.rivals.extend(also);
    let joint = |wire| Element::Joint(wire, WireEnd::To);
    let follow = |element: &mut Element| {
        if *element == joint(near) {
            *element = joint(far);
        }
    };
    for finding in &mut harness.findings {
        if let Seen::Look { element, .. }
        | Seen::Stress { element, .. }
        | Seen::Cleaned { element, .. }
        | Seen::Remade { element, .. } = &mut finding.seen
        {
            follow(element);
        }
    }
    for entry in &mut harness.work {
        if let Some(element) = &mut entry.element {
            follow(element);
        }
    }
}

/// Joins what meets the splice.
fn meet(
    harness: &mut Harness,
    splice: Terminal,
    meets: Meets,
    how: Provenance,
) -> Result<(), EditError> {
    match meets {
        Meets::Nothing => Ok(()),
        Meets::End(wire, end) => {
            let value = FactValue::Terminal(splice);
            state(
                harness,
                FactAt::WireEnd(wire, end),
                Some(Fact { value, how }),
            )
        }
        Meets::Terminal(from) => connect(harness, from, splice, how, WireLook::default()),
    }
}
