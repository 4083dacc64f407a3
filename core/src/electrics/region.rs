//! What stands apart in one setup: the part of a circuit that faults elsewhere cannot reach.

use super::alteration::Alteration;
use super::circuit::{Circuit, StrandKind};
use super::operating_point::OperatingPoint;

/// Nodes that are joined to each other by what conducts in one setup, and to nothing else but the
/// reference.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Region {
    inside: Vec<bool>,
    nodes: usize,
}

impl OperatingPoint {
    /// The region around some places of the circuit.
    ///
    /// `None` where it holds what relays, units, fuses or drivers do: then a fault anywhere may be
    /// felt there.
    #[must_use]
    pub fn region(&self, around: &[usize]) -> Option<Region> {
        let circuit = self.circuit();
        let reference = circuit.reference();
        let mut inside = vec![false; reference + 1];
        let mut open: Vec<usize> = around.iter().copied().filter(|n| *n < reference).collect();
        let mut nodes = 0;
        while let Some(node) = open.pop() {
            if node == reference || inside[node] {
                continue;
            }
            inside[node] = true;
            nodes += 1;
            for at in &circuit.beside[node] {
                let strand = &circuit.strands[*at];
                match strand.kind {
                    StrandKind::Fixed
                        if self.weights[*at] > 0.0
                            && circuit.fuses.iter().any(|fuse| fuse.strand == *at) =>
                    {
                        return None;
                    }
                    StrandKind::Fixed | StrandKind::Gap => {}
                    StrandKind::Battery | StrandKind::Key if self.weights[*at] > 0.0 => {}
                    StrandKind::Battery | StrandKind::Key => continue,
                    StrandKind::Relay(_)
                    | StrandKind::RelaySwitch(_)
                    | StrandKind::Load(_)
                    | StrandKind::Switch
                    | StrandKind::Drive(_) => return None,
                }
                if self.weights[*at] > 0.0 {
                    open.extend([strand.a, strand.b]);
                }
            }
        }
        Some(Region { inside, nodes })
    }
}

impl Region {
    /// How many nodes it has.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.nodes
    }

    /// Whether it has none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.nodes == 0
    }

    /// Whether an alteration touches it. One that does not leaves every potential in it as it was.
    #[must_use]
    pub fn is_touched(&self, circuit: &Circuit, alteration: &Alteration) -> bool {
        let inside = |node: usize| self.inside.get(node).copied().unwrap_or(false);
        let edited = alteration.edits.iter().any(|(at, _)| {
            circuit
                .ends(*at)
                .is_some_and(|(a, b)| inside(a) || inside(b))
        });
        edited
            || alteration
                .bridges
                .iter()
                .any(|(a, b, _)| inside(*a) || inside(*b))
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::edit::layouts::{Plan, build, propose_engine};
    use crate::electrics::{Assumptions, Circuit, Desk, Edit};
    use crate::engine::{Layout, Strokes};
    use crate::model::{Harness, Port, Setup, Terminal};
    use crate::units::Degrees;

    /// The other end of the wire that ends at a terminal.
    fn far_end(harness: &Harness, near: Terminal) -> Option<Terminal> {
        harness.wires.values().find_map(|wire| {
            let (from, to) = (wire.from?.value, wire.to?.value);
            if from == near {
                Some(to)
            } else if to == near {
                Some(from)
            } else {
                None
            }
        })
    }

    /// Oracle: every alteration solved; what does not touch the region changes nothing in it.
    #[test]
    fn faults_elsewhere_are_not_felt() {
        let vee = Layout::Vee {
            bank_angle: Degrees::lit(90.0),
        };
        let harness = build(&Plan::new("six", propose_engine(6, vee, Strokes::Four)))
            .unwrap_or_else(|why| panic!("{why}"));
        let circuit = Arc::new(Circuit::of(&harness, &Assumptions::default()));
        let mut compared = 0;
        for (part, place) in circuit
            .terminals()
            .filter(|(t, _)| matches!(t.port, Port::Switched))
            .map(|(t, _)| (t, far_end(&harness, t)))
            .filter_map(|(t, far)| Some((t.part, circuit.terminal(far?)?)))
        {
            // With unit and coil unplugged, the wire between them is alone.
            let mut setup = Setup::key_on();
            let units = harness
                .parts
                .keys()
                .filter(|id| harness.unit(**id).is_some());
            setup.unplugged.extend(units.copied().chain([part]));
            let point = Arc::new(OperatingPoint::of(&circuit, &setup));
            let Some(region) = point.region(&[place]) else {
                continue;
            };
            let mut desk = Desk::new(&point);
            let healthy = desk.answer(&Alteration::default()).readings[place];
            for at in 0..circuit.strands.len() {
                for edit in [Edit::Open, Edit::Series(8.0), Edit::Welded] {
                    let alteration = Alteration {
                        edits: vec![(at, edit)],
                        ..Alteration::default()
                    };
                    if !region.is_touched(&circuit, &alteration) {
                        let reading = desk.answer(&alteration).readings[place];
                        assert!((reading - healthy).abs() < 1e-9, "{at} {edit:?}");
                        compared += 1;
                    }
                }
            }
        }
        assert!(compared > 0, "no region stands apart");
    }
}
