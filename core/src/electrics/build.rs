//! From a harness to its circuit: every branch of its network, and the order of the nodes.

use std::collections::{BTreeMap, BTreeSet};

use super::circuit::{Assumptions, Circuit, Strand, StrandKind, siemens};
use super::sparse::{Pattern, elimination_order};
use crate::engine::Strokes;
use crate::gather::{Arrange, Gather};
use crate::model::{
    DriverId, Element, GroundSite, Harness, PartId, PartKind, Port, Terminal, UnitRole,
};
use crate::topology::{BranchKind, Network, Node};

/// A strand whose ends are not yet numbered.
pub(super) struct Loose {
    pub(super) a: Node,
    pub(super) b: Node,
    pub(super) kind: StrandKind,
    pub(super) element: Option<Element>,
    pub(super) ohms: f64,
    pub(super) emf: f64,
}

pub(super) struct Builder<'h> {
    pub(super) harness: &'h Harness,
    pub(super) network: &'h Network,
    pub(super) assumptions: &'h Assumptions,
    pub(super) units: Vec<(PartId, UnitRole)>,
    pub(super) relays: Vec<PartId>,
    pub(super) loose: Vec<Loose>,
    pub(super) conductors: BTreeMap<Node, Vec<Node>>,
}

impl<'h> Builder<'h> {
    pub(super) fn new(
        harness: &'h Harness,
        network: &'h Network,
        assumptions: &'h Assumptions,
    ) -> Self {
        let units = harness
            .parts
            .keys()
            .filter_map(|&id| harness.unit(id).map(|unit| (id, unit.role)))
            .collect();
        let relays = harness
            .parts
            .iter()
            .filter(|(_, part)| matches!(part.kind, PartKind::Relay(_)))
            .map(|(&id, _)| id)
            .collect();
        let mut conductors: BTreeMap<Node, Vec<Node>> = BTreeMap::new();
        for branch in &network.branches {
            if branch.kind == BranchKind::Conductor {
                conductors.entry(branch.a).or_default().push(branch.b);
                conductors.entry(branch.b).or_default().push(branch.a);
            }
        }
        Self {
            harness,
            network,
            assumptions,
            units,
            relays,
            loose: Vec::new(),
            conductors,
        }
    }

    pub(super) fn unit(&self, part: PartId) -> Option<usize> {
        self.units.iter().position(|(id, _)| *id == part)
    }

    /// What is joined to a node by conductors alone.
    pub(super) fn joined(&self, from: Node) -> BTreeSet<Node> {
        let mut seen = BTreeSet::from([from]);
        let mut todo = vec![from];
        while let Some(node) = todo.pop() {
            for &next in self
                .conductors
                .get(&node)
                .map_or(&[] as &[Node], Vec::as_slice)
            {
                if seen.insert(next) {
                    todo.push(next);
                }
            }
        }
        seen
    }

    pub(super) fn finish(mut self) -> Circuit {
        for branch in &self.network.branches {
            self.strand(branch);
        }
        for (unit, &(part, _)) in self.units.clone().iter().enumerate() {
            self.outputs(unit, part);
        }
        let hosts: Vec<(PartId, DriverId)> = self
            .harness
            .drivers()
            .map(|(host, driver)| (host, driver.id))
            .collect();
        let starts: Vec<Option<Node>> = hosts.iter().map(|&(_, id)| self.start(id)).collect();
        self.inputs(&hosts, &starts);

        let mut nodes: BTreeSet<Node> = self
            .loose
            .iter()
            .flat_map(|strand| [strand.a, strand.b])
            .gather();
        for &part in self.harness.parts.keys() {
            nodes.extend(
                self.harness
                    .terminals_of(part)
                    .into_iter()
                    .map(|t| self.network.at(t)),
            );
        }
        let reference = self
            .harness
            .parts
            .iter()
            .find(|(_, part)| matches!(part.kind, PartKind::Battery(_)))
            .map(|(&part, _)| {
                Node::At(Terminal {
                    part,
                    port: Port::Minus,
                })
            });
        if let Some(reference) = reference {
            nodes.remove(&reference);
        }
        self.number(
            &nodes.into_iter().collect::<Vec<_>>(),
            reference,
            &hosts,
            &starts,
        )
    }

    fn number(
        self,
        nodes: &[Node],
        reference: Option<Node>,
        hosts: &[(PartId, DriverId)],
        starts: &[Option<Node>],
    ) -> Circuit {
        let n = nodes.len();
        let ends = |index: &BTreeMap<Node, usize>| -> Vec<(usize, usize)> {
            self.loose
                .iter()
                .map(|s| {
                    (
                        index.get(&s.a).map_or(n, |&i| i),
                        index.get(&s.b).map_or(n, |&i| i),
                    )
                })
                .collect()
        };
        let first: BTreeMap<Node, usize> = nodes.iter().copied().zip(0..).gather();
        let order = elimination_order(n, &ends(&first));
        let nodes: Vec<Node> = order.into_iter().map(|at| nodes[at]).collect();
        let mut index: BTreeMap<Node, usize> = nodes.iter().copied().zip(0..).gather();
        let edges = ends(&index);
        if let Some(reference) = reference {
            index.insert(reference, n);
        }
        let strands: Vec<Strand> = self
            .loose
            .iter()
            .zip(&edges)
            .map(|(s, &(a, b))| Strand {
                a,
                b,
                kind: s.kind,
                element: s.element,
                siemens: siemens(s.ohms),
                emf: s.emf,
            })
            .collect();
        let mut beside: Vec<Vec<usize>> = vec![Vec::new(); n + 1];
        for (at, strand) in strands.iter().enumerate() {
            beside[strand.a].push(at);
            if strand.b != strand.a {
                beside[strand.b].push(at);
            }
        }
        let places = strands.iter().zip(0..);
        let mut elements: Vec<(Element, usize)> = places
            .filter_map(|(strand, at)| Some((strand.element?, at)))
            .collect();
        elements.arrange();
        let terminals = self
            .harness
            .parts
            .keys()
            .flat_map(|&part| self.harness.terminals_of(part))
            .filter_map(|t| index.get(&self.network.at(t)).map(|&at| (t, at)))
            .gather();
        let coils = self.coils(&strands);
        let drivers = self.drivers(&index, &strands, &coils, hosts, starts);
        let relays = self.relays(&strands);
        let units = self.units_at(&index);
        let fuses = self.fuses(&strands);
        Circuit {
            pattern: Pattern::of(n, &edges),
            nodes,
            index,
            reference: reference.unwrap_or(Node::Metal(GroundSite::Body)),
            strands,
            beside,
            elements,
            drivers,
            coils,
            relays,
            units,
            fuses,
            terminals,
            dwell: self.assumptions.dwell.get().clamp(1e-5, 1.0),
            turns: match self.harness.engine.strokes {
                Strokes::Two => 1.0,
                Strokes::Four => 2.0,
            },
        }
    }

    pub(super) fn add(
        &mut self,
        a: Node,
        b: Node,
        kind: StrandKind,
        element: Option<Element>,
        ohms: f64,
    ) {
        self.loose.push(Loose {
            a,
            b,
            kind,
            element,
            ohms,
            emf: 0.0,
        });
    }
}
