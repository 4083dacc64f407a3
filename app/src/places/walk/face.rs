//! The face of each connector that a lead goes to, with red and black where they go.

use leptos::prelude::*;
use sparktrail_core::isolation::Probes;
use sparktrail_core::model::{Harness, PartId, Port, Side, Terminal};
use sparktrail_core::table::{Seen, pins, proposed, seating};

use super::super::words::walk as words;
use crate::store::LeadColour;

/// The faces of the connectors at red and black, each once.
pub(super) fn faces(harness: &Harness, probes: &Probes) -> AnyView {
    let mut plugs: Vec<(PartId, Side)> = Vec::new();
    for end in [Some(probes.red), probes.black].into_iter().flatten() {
        let side = if let Port::Cavity(_, side) = end.port {
            side
        } else {
            Side::A
        };
        if words::has_face(harness, end.part) && !plugs.contains(&(end.part, side)) {
            plugs.push((end.part, side));
        }
    }
    let shown: Vec<AnyView> = plugs
        .into_iter()
        .filter_map(|(part, side)| face(harness, probes, part, side))
        .collect();
    if shown.is_empty() {
        return ().into_any();
    }
    view! {
        <details class="predict" open>
            <summary><h3>{words::FACE}</h3></summary>
            {shown}
        </details>
    }
    .into_any()
}

fn face(harness: &Harness, probes: &Probes, part: PartId, side: Side) -> Option<AnyView> {
    let pins = pins(harness, part, side);
    if pins.is_empty() {
        return None;
    }
    let set = harness.parts.get(&part).and_then(|part| part.face);
    let shape = set.unwrap_or_else(|| proposed(pins.iter().map(|(_, label)| label.as_str())));
    let seating = seating(shape, &pins, side, Seen::WireSide);
    let lines: Vec<AnyView> = seating
        .rows
        .iter()
        .map(|line| {
            let seats: Vec<AnyView> = line
                .iter()
                .map(|seat| cavity(probes, seat.terminal, &seat.number))
                .collect();
            view! { <tr>{seats}</tr> }.into_any()
        })
        .collect();
    let name = harness.part_name(part).to_owned();
    let label = name.clone();
    Some(
        view! {
            <div class="walk-face">
                <table aria-label=label>
                    <caption>{name}</caption>
                    <tbody>{lines}</tbody>
                </table>
            </div>
        }
        .into_any(),
    )
}

fn cavity(probes: &Probes, terminal: Option<Terminal>, number: &str) -> AnyView {
    let lead = terminal.and_then(|terminal| {
        if terminal == probes.red {
            Some(LeadColour::Red)
        } else if Some(terminal) == probes.black {
            Some(LeadColour::Black)
        } else {
            None
        }
    });
    let letter = lead.map(LeadColour::letter);
    view! {
        <td data-lead=lead.map(LeadColour::word) data-free=terminal.is_none().then_some("true")>
            <span class="num">{number.to_owned()}</span>
            {letter}
        </td>
    }
    .into_any()
}
