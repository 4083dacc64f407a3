//! Which wire of the harness each pasted row is about.

mod anchors;

use std::collections::{BTreeMap, BTreeSet};

use super::changes::{self, Changes};
use super::{
    Column, Fate, Given, Harness, Names, NewPinKind, NewWire, Pasted, Plan, Row, Spot, Terminal,
    Use, WireEnd, WireId,
};
use crate::gather::Gather;
use crate::model::{Hold, Port};
use crate::table::names::with_side;
use crate::table::read::ReadRow;
use crate::table::row::{RowAt, anchor_of, other, row};
use crate::table::wrong::Wrong;

/// A row that could be read, and where it is to stand.
struct Wanted {
    line: usize,
    /// Its place among the entries.
    entry: usize,
    row: Row,
    at: Anchor,
    far: Option<Spot>,
    /// The wire that it turned out to be about, with the end at `at`.
    wire: Option<(WireId, WireEnd)>,
}

/// Where a row stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Anchor {
    At(Spot),
    /// A wire that hangs in the air.
    Loose(WireId),
}

/// The work in hand.
pub(super) struct Matching<'h> {
    harness: &'h Harness,
    names: &'h Names,
    pasted: &'h Pasted,
    given: Given,
    /// The wire ends at each terminal.
    ends: BTreeMap<Terminal, Vec<(WireId, WireEnd)>>,
    /// Wires that a row is about, with that row's place in `wanted`.
    claimed: BTreeMap<WireId, usize>,
    plan: Plan,
}

impl<'h> Matching<'h> {
    pub(super) fn new(
        harness: &'h Harness,
        names: &'h Names,
        pasted: &'h Pasted,
        given: Given,
    ) -> Self {
        let mut ends: BTreeMap<Terminal, Vec<(WireId, WireEnd)>> = BTreeMap::new();
        for (&id, wire) in &harness.wires {
            for end in WireEnd::BOTH {
                if let Some(fact) = wire.end(end) {
                    ends.entry(fact.value).or_default().push((id, end));
                }
            }
        }
        Self {
            harness,
            names,
            pasted,
            given,
            ends,
            claimed: BTreeMap::new(),
            plan: Plan::default(),
        }
    }

    pub(super) fn run(mut self, read: Vec<ReadRow>) -> Plan {
        let mut wanted = self.places(read);
        self.refuse_doubles(&mut wanted);
        self.match_exactly(&mut wanted);
        self.match_by_colour_and_order(&mut wanted);
        self.match_open_ends(&mut wanted);
        self.settle(&wanted);
        self.plan
    }

    // ---- Doubles

    /// A pin takes one row, or as many as it has wires.
    fn refuse_doubles(&mut self, wanted: &mut Vec<Wanted>) {
        let mut seen: BTreeMap<Anchor, (usize, usize)> = BTreeMap::new();
        let mut kept = Vec::new();
        for want in std::mem::take(wanted) {
            let most = match want.at {
                Anchor::At(Spot::There(terminal)) if is_pin(terminal.port) => {
                    self.ends.get(&terminal).map_or(1, Vec::len).max(1)
                }
                // Splices, screws and the like take any number.
                Anchor::At(Spot::There(_)) => usize::MAX,
                Anchor::At(Spot::New(..)) | Anchor::Loose(_) => 1,
            };
            let (first_line, count) = seen.entry(want.at).or_insert((want.line, 0));
            *count += 1;
            if *count > most {
                let wrong = Wrong::DuplicatePin {
                    pin: want.row.pin.clone(),
                    first_line: *first_line,
                };
                self.refuse(want.entry, want.line, Some(Column::Pin), wrong);
            } else {
                kept.push(want);
            }
        }
        *wanted = kept;
    }

    // ---- Wires

    fn claim(&mut self, wanted: &mut [Wanted], place: usize, wire: (WireId, WireEnd)) {
        if let Some(want) = wanted.get_mut(place) {
            want.wire = Some(wire);
            self.claimed.entry(wire.0).or_insert(place);
        }
    }

    /// The wire ends at a terminal that no row is about yet.
    fn free(&self, at: Anchor) -> Vec<(WireId, WireEnd)> {
        let Anchor::At(Spot::There(terminal)) = at else {
            return Vec::new();
        };
        let ends = self.ends.get(&terminal).map_or(&[][..], Vec::as_slice);
        let free = ends.iter().filter(|(id, _)| !self.claimed.contains_key(id));
        free.copied().collect()
    }

    fn far_of(&self, (id, end): (WireId, WireEnd)) -> Option<Terminal> {
        let far = self.harness.wires.get(&id)?.end(other(end))?.value;
        self.names.has(far).then_some(far)
    }

    /// Rows that say just what the map says, then rows whose wire joins the same two terminals.
    fn match_exactly(&mut self, wanted: &mut [Wanted]) {
        for place in 0..wanted.len() {
            let Some(want) = wanted.get(place) else { break };
            if let Anchor::Loose(id) = want.at {
                self.claim(wanted, place, (id, WireEnd::From));
                continue;
            }
            let found = self.free(want.at).into_iter().find(|wire| {
                let at = RowAt {
                    terminal: terminal_of(want.at),
                    wire: Some(*wire),
                };
                let now = row(self.harness, self.names, at);
                let colour = now.colour == want.row.colour;
                now.goes_to == want.row.goes_to
                    && colour
                    && now.size == want.row.size
                    && now.length == want.row.length
                    && now.note == want.row.note
            });
            if let Some(wire) = found {
                self.claim(wanted, place, wire);
            }
        }
        for by_colour in [true, false] {
            for place in 0..wanted.len() {
                let Some(want) = wanted.get(place).filter(|want| want.wire.is_none()) else {
                    continue;
                };
                let Some(Spot::There(far)) = want.far else {
                    continue;
                };
                let found = self.free(want.at).into_iter().find(|wire| {
                    let colour = self.colour(wire.0) == want.row.colour;
                    self.far_of(*wire) == Some(far) && (colour || !by_colour)
                });
                if let Some(wire) = found {
                    self.claim(wanted, place, wire);
                }
            }
        }
    }

    fn colour(&self, id: WireId) -> Option<crate::model::WireColour> {
        self.harness.wires.get(&id)?.colour.map(|fact| fact.value)
    }

    /// Rows at the same terminal as a wire that no other row is about: the colour tells, else the order.
    fn match_by_colour_and_order(&mut self, wanted: &mut [Wanted]) {
        let mut rows: BTreeMap<Anchor, Vec<usize>> = BTreeMap::new();
        for (place, want) in wanted.iter().enumerate() {
            rows.entry(want.at).or_default().push(place);
        }
        for (at, places) in rows {
            let Some(terminal) = terminal_of(at) else {
                continue;
            };
            let open = |wanted: &[Wanted], place: usize| {
                wanted.get(place).is_some_and(|want| want.wire.is_none())
            };
            for &place in &places {
                let Some(want) = wanted.get(place).filter(|want| want.wire.is_none()) else {
                    continue;
                };
                let mut alike = self.free(at).into_iter().filter(|wire| {
                    want.row.colour.is_some() && self.colour(wire.0) == want.row.colour
                });
                // At a splice the colour tells only where the row does not say where the wire goes.
                let tells = is_pin(terminal.port) || want.far.is_none();
                if let Some(wire) = alike.next().filter(|_| tells) {
                    self.claim(wanted, place, wire);
                }
            }
            let ends = self.ends.get(&terminal).map_or(0, Vec::len);
            let own = self.own(terminal);
            let complete =
                is_pin(terminal.port) || places.len() == ends || places.len() == own.len();
            for &place in &places {
                if !open(wanted, place) {
                    continue;
                }
                let silent = wanted.get(place).is_some_and(|want| want.far.is_none());
                if !complete && !silent {
                    continue;
                }
                let free = self.free(at);
                let best = free
                    .iter()
                    .find(|(id, _)| own.contains(id))
                    .or(free.first());
                if let Some(&wire) = best {
                    self.claim(wanted, place, wire);
                }
            }
        }
    }

    /// The wires that have their row at this terminal when the whole harness is a table.
    fn own(&self, terminal: Terminal) -> BTreeSet<WireId> {
        let ends = self.ends.get(&terminal).map_or(&[][..], Vec::as_slice);
        let own = ends.iter().filter(|(id, end)| {
            let wire = self.harness.wires.get(id);
            wire.is_some_and(|wire| {
                anchor_of(self.harness, self.names, wire)
                    .is_some_and(|(anchored, _)| anchored == *end)
            })
        });
        own.map(|(id, _)| *id).gather()
    }

    /// Rows with a pin of their own and a wire known only from its other end.
    fn match_open_ends(&mut self, wanted: &mut [Wanted]) {
        for place in 0..wanted.len() {
            let Some(want) = wanted.get(place).filter(|want| want.wire.is_none()) else {
                continue;
            };
            let (Anchor::At(near), Some(Spot::There(far))) = (want.at, want.far) else {
                continue;
            };
            let colour = want.row.colour;
            let fits = |id: WireId| match (self.colour(id), colour) {
                (Some(known), Some(said)) => known == said,
                (Some(_) | None, None) | (None, Some(_)) => true,
            };
            // An end that nobody followed; else, where one wire fits, one from another pin of the same part.
            let part = match near {
                Spot::There(terminal) => Some(terminal.part),
                Spot::New(place, _) => self.plan.pins.get(place).map(|pin| pin.part),
            };
            let candidates = self.free(Anchor::At(Spot::There(far)));
            let open = candidates
                .iter()
                .find(|wire| self.far_of(**wire).is_none() && fits(wire.0));
            let moved = (far.port.hold() == Hold::Contact && candidates.len() == 1)
                .then(|| candidates.first())
                .flatten()
                .filter(|wire| {
                    let from = self.far_of(**wire);
                    from.is_some_and(|from| Some(from.part) == part && is_pin(from.port))
                });
            if let Some(&(id, end)) = open.or(moved) {
                self.claim(wanted, place, (id, other(end)));
            }
        }
    }

    // ---- What follows

    fn settle(&mut self, wanted: &[Wanted]) {
        let mut told: BTreeMap<WireId, usize> = BTreeMap::new();
        for (place, want) in wanted.iter().enumerate() {
            if let Some(wire) = want.wire {
                told.entry(wire.0).or_insert(place);
                let at = RowAt {
                    terminal: terminal_of(want.at),
                    wire: Some(wire),
                };
                self.change(want, at);
                continue;
            }
            if self.is_told_from_the_other_end(wanted, place) {
                continue;
            }
            self.add(want);
        }
    }

    /// Whether an earlier row tells of this wire from its other end; says so where they differ.
    fn is_told_from_the_other_end(&mut self, wanted: &[Wanted], place: usize) -> bool {
        let Some(want) = wanted.get(place) else {
            return false;
        };
        let (Anchor::At(near), Some(far)) = (want.at, want.far) else {
            return false;
        };
        let earlier = wanted.iter().enumerate().find(|(other, first)| {
            *other != place
                && first.at == Anchor::At(far)
                && first.far == Some(near)
                && (first.wire.is_some() || *other < place)
        });
        let Some((_, first)) = earlier else {
            return false;
        };
        let agrees = |first: &Row, row: &Row| {
            (row.colour.is_none() || row.colour == first.colour)
                && (row.size.is_none() || row.size == first.size)
                && (row.length.is_none() || row.length == first.length)
        };
        if !agrees(&first.row, &want.row) {
            let first_line = first.line;
            self.refuse(want.entry, want.line, None, Wrong::SameWire { first_line });
        }
        true
    }

    /// What the row says of a place that is there already.
    fn change(&mut self, want: &Wanted, at: RowAt) {
        let mut changes = Changes::new(self.harness, self.names, self.given, at, &want.row);
        if let Anchor::At(near) = want.at {
            changes.label(near, &want.row.pin);
            changes.near(near, &self.called(near));
        }
        if let Some(far) = want.far {
            changes.far(far, &self.called(far));
        }
        changes.rest();
        let Changes {
            cells,
            steps,
            errors,
            ..
        } = changes;
        if self.refuse_all(want, errors) {
            return;
        }
        self.plan.steps.extend(steps);
        self.uses(want);
        if let Some(entry) = self.plan.entries.get_mut(want.entry)
            && !cells.is_empty()
        {
            entry.fate = Fate::Changed(cells);
        }
    }

    /// What the row says of a pin or wire that is not there yet.
    fn add(&mut self, want: &Wanted) {
        let Anchor::At(near) = want.at else { return };
        let row = &want.row;
        let tells_of_a_wire = want.far.is_some()
            || row.colour.is_some()
            || row.size.is_some()
            || row.length.is_some();
        if let (Spot::There(terminal), false) = (near, tells_of_a_wire) {
            let at = RowAt {
                terminal: Some(terminal),
                wire: None,
            };
            self.change(want, at);
            return;
        }
        if self.refuse_all(want, changes::out_of_range(row)) {
            return;
        }
        let mut cells = changes::new_cells(row);
        if let Spot::New(place, _) = near {
            cells.insert(0, changes::new_cell(Column::Pin, &row.pin));
            if !tells_of_a_wire && let Some(pin) = self.plan.pins.get_mut(place) {
                pin.note.clone_from(&row.note);
            }
        }
        if tells_of_a_wire {
            self.plan.wires.push(NewWire {
                from: near,
                to: want.far,
                row: row.clone(),
                how: row.how.unwrap_or(self.given.how),
            });
        }
        self.uses(want);
        if let Some(entry) = self.plan.entries.get_mut(want.entry) {
            entry.fate = Fate::New(cells);
        }
    }

    /// Notes what is wrong with a row; whether anything is.
    fn refuse_all(&mut self, want: &Wanted, errors: Vec<(Column, Wrong)>) -> bool {
        let any = !errors.is_empty();
        for (column, wrong) in errors {
            self.refuse(want.entry, want.line, Some(column), wrong);
        }
        any
    }

    /// The new pins that a row names are needed.
    fn uses(&mut self, want: &Wanted) {
        let near = if let Anchor::At(spot) = want.at {
            Some(spot)
        } else {
            None
        };
        for spot in [near, want.far].into_iter().flatten() {
            if let Spot::New(place, _) = spot
                && let Some(pin) = self.plan.pins.get_mut(place)
            {
                pin.use_of = Use::Some;
            }
        }
    }

    /// A spot as the table writes it.
    fn called(&self, spot: Spot) -> String {
        match spot {
            Spot::There(terminal) => self.names.terminal(terminal),
            Spot::New(place, side) => self.plan.pins.get(place).map_or_else(String::new, |pin| {
                let unit = self.names.part(pin.part);
                match pin.kind {
                    NewPinKind::Pin => format!("{unit} · {}", pin.label),
                    NewPinKind::Cavity => {
                        format!("{unit} · {}", with_side(&pin.label, side))
                    }
                }
            }),
        }
    }
}

fn terminal_of(at: Anchor) -> Option<Terminal> {
    match at {
        Anchor::At(Spot::There(terminal)) => Some(terminal),
        Anchor::At(Spot::New(..)) | Anchor::Loose(_) => None,
    }
}

/// Whether wires are counted there one by one.
const fn is_pin(port: Port) -> bool {
    matches!(port, Port::Pin(_) | Port::Cavity(..))
}
