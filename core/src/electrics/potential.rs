//! The voltage picture: where every terminal stands, and which of them hang on nothing.

use std::collections::BTreeMap;

use super::solution::Solution;
use crate::gather::Gather;
use crate::model::Terminal;
use crate::units::Volts;

/// Where a terminal stands against battery minus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Potential {
    /// At this voltage; averaged over the cycle where the engine turns.
    At(Volts),
    /// At none: nothing that conducts joins it to the battery, so a meter shows only what its own
    /// resistance makes of it.
    Floats,
}

impl Solution {
    /// Where every terminal stands. With the battery off they all float, but those that are joined to
    /// battery minus.
    #[must_use]
    pub fn picture(&self) -> BTreeMap<Terminal, Potential> {
        let circuit = self.circuit();
        let point = self.point();
        let strands = circuit.strands.iter().map(|strand| (strand.a, strand.b));
        let bridges = self.alteration().bridges.iter().map(|&(a, b, _)| (a, b));
        let mut beside: Vec<Vec<usize>> = vec![Vec::new(); circuit.len() + 1];
        for ((a, b), weight) in strands.chain(bridges).zip(&point.weights) {
            if *weight > 0.0 {
                beside[a].push(b);
                beside[b].push(a);
            }
        }
        let mut joined = vec![false; circuit.len() + 1];
        let mut todo = vec![circuit.reference()];
        joined[circuit.reference()] = true;
        while let Some(node) = todo.pop() {
            for &next in &beside[node] {
                if !joined[next] {
                    joined[next] = true;
                    todo.push(next);
                }
            }
        }
        circuit
            .terminals()
            .map(|(terminal, place)| {
                let potential = if joined[place] {
                    Potential::At(Volts::new(self.volts()[place]).unwrap_or_default())
                } else {
                    Potential::Floats
                };
                (terminal, potential)
            })
            .gather()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use std::sync::Arc;

    use super::*;
    use crate::edit::layouts::{Plan, build, propose_engine};
    use crate::electrics::{Alteration, Assumptions, Circuit};
    use crate::engine::{Layout, Strokes};
    use crate::model::{PartKind, Port, Setup};

    /// Seen on any car: with the key on all of the primary side stands at battery voltage or ground, the
    /// loop of a double-ended secondary touches neither; with the unit unplugged its supply pin on the
    /// car's side still has battery voltage.
    #[test]
    fn the_primary_stands_and_the_secondary_floats() {
        let engine = propose_engine(4, Layout::Inline, Strokes::Four);
        let harness = build(&Plan::new("Test", engine)).unwrap();
        let circuit = Arc::new(Circuit::of(&harness, &Assumptions::default()));
        let solution = Solution::of(&circuit, &Setup::key_on(), &Alteration::default());
        let picture = solution.picture();
        assert_eq!(picture.len(), circuit.terminals().count());
        let coils: Vec<_> = harness
            .parts
            .iter()
            .filter(|(_, part)| matches!(part.kind, PartKind::Coil(_)))
            .map(|(&id, _)| id)
            .collect();
        assert_eq!(coils.len(), 2);
        for part in coils {
            let at = |port| picture[&Terminal { part, port }];
            for port in [Port::Feed, Port::Switched] {
                let Potential::At(volts) = at(port) else {
                    panic!("{port:?} floats");
                };
                assert!((volts.get() - 12.8).abs() < 0.05, "{volts}");
            }
            assert_eq!(at(Port::TowerA), Potential::Floats);
        }
        let cut = Solution::of(&circuit, &Setup::battery_off(), &Alteration::default());
        let floating = cut.picture().into_values();
        let floating = floating.filter(|p| *p == Potential::Floats).count();
        assert!(floating > 0 && floating < picture.len(), "{floating}");
    }
}
