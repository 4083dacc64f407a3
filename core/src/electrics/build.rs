//! From a harness to its circuit: what each branch conducts, what switches what, and the order of the nodes.

use std::collections::{BTreeMap, BTreeSet};

use super::circuit::{
    Assumptions, Circuit, CoilAt, DriverAt, FuseAt, Pull, RelayAt, Strand, StrandKind, UnitAt,
    siemens, wire_resistance,
};
use super::nominal;
use super::reach::Reach;
use super::sparse::{Pattern, elimination_order};
use crate::engine::Strokes;
use crate::model::{
    DriverId, DriverPiece, Element, GroundSite, Harness, LeadKind, PartId, PartKind, Pin, PinRole,
    Port, Secondary, Terminal, UnitRole,
};
use crate::topology::{Branch, BranchKind, Network, Node};

/// A strand whose ends are not yet numbered.
struct Loose {
    a: Node,
    b: Node,
    kind: StrandKind,
    element: Option<Element>,
    ohms: f64,
    emf: f64,
}

pub(super) struct Builder<'h> {
    harness: &'h Harness,
    network: &'h Network,
    assumptions: &'h Assumptions,
    units: Vec<(PartId, UnitRole)>,
    relays: Vec<PartId>,
    loose: Vec<Loose>,
    conductors: BTreeMap<Node, Vec<Node>>,
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

    fn unit(&self, part: PartId) -> Option<usize> {
        self.units.iter().position(|(id, _)| *id == part)
    }

    /// What is joined to a node by conductors alone.
    fn joined(&self, from: Node) -> BTreeSet<Node> {
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
            .collect();
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
        let first: BTreeMap<Node, usize> = nodes.iter().copied().zip(0..).collect();
        let order = elimination_order(n, &ends(&first));
        let nodes: Vec<Node> = order.into_iter().map(|at| nodes[at]).collect();
        let mut index: BTreeMap<Node, usize> = nodes.iter().copied().zip(0..).collect();
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
        let terminals = self
            .harness
            .parts
            .keys()
            .flat_map(|&part| self.harness.terminals_of(part))
            .filter_map(|t| index.get(&self.network.at(t)).map(|&at| (t, at)))
            .collect();
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

    fn add(&mut self, a: Node, b: Node, kind: StrandKind, element: Option<Element>, ohms: f64) {
        self.loose.push(Loose {
            a,
            b,
            kind,
            element,
            ohms,
            emf: 0.0,
        });
    }

    fn strand(&mut self, branch: &Branch) {
        let part = |element: Option<Element>| element.and_then(|e| self.harness.part_of(e));
        let kind_of = |id: PartId| self.harness.parts.get(&id).map(|part| &part.kind);
        let mut emf = 0.0;
        let (kind, ohms) = match branch.kind {
            BranchKind::Source => {
                let battery = match part(branch.element).and_then(kind_of) {
                    Some(PartKind::Battery(battery)) => battery.clone(),
                    _ => crate::model::Battery::default(),
                };
                emf = battery
                    .voltage
                    .map_or(nominal::BATTERY_VOLTAGE.value, |f| f.value.get());
                let inner = battery.resistance.map(|f| f.value.get());
                (
                    StrandKind::Battery,
                    inner.unwrap_or(nominal::BATTERY_RESISTANCE.value),
                )
            }
            BranchKind::Conductor => (StrandKind::Fixed, self.conductor(branch.element)),
            BranchKind::KeyContact => (StrandKind::Key, nominal::KEY_CONTACT.value),
            BranchKind::RelayContact => {
                let relay =
                    part(branch.element).and_then(|id| self.relays.iter().position(|&r| r == id));
                let kind = relay.map_or(StrandKind::Gap, StrandKind::Relay);
                (kind, nominal::RELAY_CONTACT.value)
            }
            BranchKind::RelayWinding => {
                let known = match part(branch.element).and_then(kind_of) {
                    Some(PartKind::Relay(relay)) => relay.winding.map(|f| f.value.get()),
                    _ => None,
                };
                (
                    StrandKind::Fixed,
                    known.unwrap_or(nominal::RELAY_WINDING.value),
                )
            }
            BranchKind::UnitLoad => {
                let unit = part(branch.element).and_then(|id| self.unit(id));
                (
                    unit.map_or(StrandKind::Fixed, StrandKind::Load),
                    nominal::UNIT_AWAKE.value,
                )
            }
            BranchKind::Primary | BranchKind::Secondary => {
                let coil = part(branch.element).and_then(|id| self.harness.coil(id));
                let ohms = if branch.kind == BranchKind::Primary {
                    coil.and_then(|c| c.primary_resistance)
                        .map_or(nominal::PRIMARY_RESISTANCE.value, |f| f.value.get())
                } else {
                    coil.and_then(|c| c.secondary_resistance)
                        .map_or(nominal::SECONDARY_RESISTANCE.value, |f| f.value.get())
                };
                (StrandKind::Fixed, ohms)
            }
            BranchKind::Switch => (StrandKind::Switch, nominal::DRIVER_RESISTANCE.value),
            BranchKind::RelaySwitch => {
                let unit = if let Node::GroundRail(part) = branch.b {
                    self.unit(part)
                } else {
                    None
                };
                let kind = unit.map_or(StrandKind::Gap, StrandKind::RelaySwitch);
                (kind, nominal::RELAY_SWITCH.value)
            }
            BranchKind::InjectorWinding => {
                let known = match part(branch.element).and_then(kind_of) {
                    Some(PartKind::Injector(injector)) => injector.winding.map(|f| f.value.get()),
                    _ => None,
                };
                (
                    StrandKind::Fixed,
                    known.unwrap_or(nominal::INJECTOR_WINDING.value),
                )
            }
            BranchKind::Rotor => (StrandKind::Fixed, nominal::ROTOR.value),
            BranchKind::CapGap(_) | BranchKind::Gap => (StrandKind::Gap, 1e12),
            BranchKind::Lead => {
                let lead = part(branch.element).and_then(|id| self.harness.lead(id));
                let usual = match lead.map(|l| l.kind) {
                    Some(LeadKind::Lead) | None => nominal::LEAD.value,
                    Some(LeadKind::Boot) => nominal::BOOT.value,
                };
                let known = lead.and_then(|l| l.resistance).map(|f| f.value.get());
                (StrandKind::Fixed, known.unwrap_or(usual))
            }
            BranchKind::PlugResistor => {
                let plug = part(branch.element).and_then(|id| self.harness.plug(id));
                let known = plug.and_then(|p| p.resistor).map(|f| f.value.get());
                (
                    StrandKind::Fixed,
                    known.unwrap_or(nominal::PLUG_RESISTOR.value),
                )
            }
            // A signal commands, it carries no power: `outputs` and `inputs` add what loads it.
            BranchKind::Signal => return,
        };
        let (a, b, element) = (branch.a, branch.b, branch.element);
        self.loose.push(Loose {
            a,
            b,
            kind,
            element,
            ohms,
            emf,
        });
    }

    /// Rated current of a fuse, A.
    fn rating(&self, id: PartId) -> f64 {
        let rating = match self.harness.parts.get(&id).map(|part| &part.kind) {
            Some(PartKind::Fuse(fuse)) => fuse.rating.map(|f| f.value.get()),
            _ => None,
        };
        rating.unwrap_or(nominal::FUSE_RATING.value).max(0.1)
    }

    fn fuses(&self, strands: &[Strand]) -> Vec<FuseAt> {
        self.harness
            .parts
            .iter()
            .filter(|(_, part)| matches!(part.kind, PartKind::Fuse(_)))
            .filter_map(|(&id, _)| {
                let strand = strands
                    .iter()
                    .position(|s| s.element == Some(Element::Contact(id)))?;
                Some(FuseAt {
                    strand,
                    rating: self.rating(id),
                })
            })
            .collect()
    }

    fn conductor(&self, element: Option<Element>) -> f64 {
        match element {
            Some(Element::Wire(id)) => {
                wire_resistance(self.harness, id, self.assumptions.temperature).get()
            }
            Some(Element::Joint(..)) => nominal::JOINT.value,
            Some(Element::Contact(id)) => nominal::FUSE_DROP.value / self.rating(id),
            Some(Element::Trace(..)) => nominal::TRACE.value,
            Some(Element::BoardSupply(_) | Element::BoardGround(_)) => nominal::BOARD.value,
            Some(Element::Driver(..)) => nominal::SOLDER.value,
            _ => nominal::MATED.value,
        }
    }

    /// What a unit hangs on its outputs: drive signals, and the resistors of its fault detection.
    fn outputs(&mut self, unit: usize, part: PartId) {
        let Some(found) = self.harness.unit(part) else {
            return;
        };
        let fed = |pin: &Pin| pin.role.is_some_and(|role| role.value == PinRole::Supply);
        if found.role == UnitRole::IgnitionModule && found.pins.iter().any(fed) {
            let (supply, ground) = (Node::SupplyRail(part), Node::GroundRail(part));
            let load = nominal::MODULE_AWAKE.value;
            self.add(supply, ground, StrandKind::Load(unit), None, load);
        }
        for pin in &found.pins {
            let land = Node::Land(part, pin.id);
            match pin.role.map(|fact| fact.value) {
                Some(PinRole::DriveOut) => self.loose.push(Loose {
                    a: land,
                    b: Node::GroundRail(part),
                    kind: StrandKind::Drive(unit),
                    element: None,
                    ohms: nominal::DRIVE_SOURCE.value,
                    emf: nominal::DRIVE_VOLTAGE.value,
                }),
                Some(PinRole::CoilSwitch) => {
                    let (rail, ohms) = match self.assumptions.pulls.get(&part) {
                        Some(Pull::Up(ohms)) => (Node::SupplyRail(part), ohms.get()),
                        Some(Pull::Down(ohms)) => (Node::GroundRail(part), ohms.get()),
                        None => continue,
                    };
                    self.add(land, rail, StrandKind::Fixed, None, ohms);
                }
                Some(
                    PinRole::DriveIn
                    | PinRole::Supply
                    | PinRole::Ground
                    | PinRole::InjectorSwitch
                    | PinRole::RelaySwitch
                    | PinRole::SensorIn
                    | PinRole::Other,
                )
                | None => {}
            }
        }
    }

    /// Where a driver's drive signal arrives, if it comes over a wire.
    fn start(&self, id: DriverId) -> Option<Node> {
        let first = Element::Driver(id, DriverPiece::DriveJoint);
        let (_, branch) = self.network.branches_of(first).next()?;
        Some(branch.a).filter(|node| !matches!(node, Node::DriveStart(_)))
    }

    /// What a drive signal that comes over a wire has to feed.
    fn inputs(&mut self, hosts: &[(PartId, DriverId)], starts: &[Option<Node>]) {
        for (&(_, id), start) in hosts.iter().zip(starts) {
            if let Some(start) = *start {
                let ohms = nominal::DRIVE_RESISTOR.value + nominal::GATE_PULL_DOWN.value;
                let element = Element::Driver(id, DriverPiece::DriveResistor);
                self.add(
                    start,
                    Node::Emitter(id),
                    StrandKind::Fixed,
                    Some(element),
                    ohms,
                );
            }
        }
    }

    fn coils(&self, strands: &[Strand]) -> Vec<CoilAt> {
        Reach::all(self.harness)
            .into_iter()
            .filter_map(|reach| {
                let part = reach.coil;
                let coil = self.harness.coil(part)?;
                let strand = strands
                    .iter()
                    .position(|s| s.element == Some(Element::Primary(part)))?;
                let henries = coil
                    .primary_inductance
                    .map_or(nominal::PRIMARY_INDUCTANCE.value, |f| f.value.get());
                let ratio = coil
                    .turns_ratio
                    .map_or(nominal::TURNS_RATIO.value, |f| f.value);
                let ratio = if ratio.is_finite() {
                    ratio.clamp(1.0, 1e4)
                } else {
                    nominal::TURNS_RATIO.value
                };
                Some(CoilAt {
                    part,
                    strand,
                    henries: henries.clamp(1e-6, 10.0),
                    ratio,
                    reach,
                })
            })
            .collect()
    }

    fn drivers(
        &self,
        index: &BTreeMap<Node, usize>,
        strands: &[Strand],
        coils: &[CoilAt],
        hosts: &[(PartId, DriverId)],
        starts: &[Option<Node>],
    ) -> Vec<DriverAt> {
        let mut found = Vec::new();
        for (&(host, id), start) in hosts.iter().zip(starts) {
            let (collector, emitter) = (Node::Collector(id), Node::Emitter(id));
            let (Some(&c), Some(&e)) = (index.get(&collector), index.get(&emitter)) else {
                continue;
            };
            let Some(strand) = strands
                .iter()
                .position(|s| s.element == Some(Element::Driver(id, DriverPiece::Switch)))
            else {
                continue;
            };
            let known = self.harness.driver(id);
            let switched: BTreeSet<usize> = self
                .joined(collector)
                .iter()
                .filter_map(|n| index.get(n).copied())
                .collect();
            let served: Vec<usize> = (0..coils.len())
                .filter(|&k| switched.contains(&strands[coils[k].strand].b))
                .collect();
            let line = start.and_then(|start| self.line(index, strands, start));
            let unit = self.unit(host);
            let in_engine_unit = unit.is_some_and(|u| self.units[u].1 == UnitRole::EngineControl);
            let first = || {
                self.units
                    .iter()
                    .position(|(_, role)| *role == UnitRole::EngineControl)
            };
            let command = match line {
                Some((_, drive)) => strands[drive].kind.drive_of(),
                None if in_engine_unit && start.is_none() => unit,
                None => first(),
            };
            found.push(DriverAt {
                id,
                host,
                strand,
                collector: c,
                emitter: e,
                volts: known
                    .and_then(|d| d.on_voltage)
                    .map_or(nominal::DRIVER_VOLTAGE.value, |f| {
                        f.value.get().clamp(0.0, 1e3)
                    }),
                ohms: known
                    .and_then(|d| d.on_resistance)
                    .map_or(nominal::DRIVER_RESISTANCE.value, |f| {
                        f.value.get().clamp(1e-3, 1e6)
                    }),
                command,
                module: if in_engine_unit { None } else { unit },
                line,
                sparks: self.sparks(&served, coils),
                coils: served,
            });
        }
        found
    }

    /// Where a drive signal arrives and the strand that makes it.
    fn line(
        &self,
        index: &BTreeMap<Node, usize>,
        strands: &[Strand],
        start: Node,
    ) -> Option<(usize, usize)> {
        let along: BTreeSet<usize> = self
            .joined(start)
            .iter()
            .filter_map(|n| index.get(n).copied())
            .collect();
        let drive = strands
            .iter()
            .position(|s| matches!(s.kind, StrandKind::Drive(_)) && along.contains(&s.a))?;
        Some((*index.get(&start)?, drive))
    }

    fn sparks(&self, served: &[usize], coils: &[CoilAt]) -> f64 {
        let mut angles: Vec<f64> = served
            .iter()
            .flat_map(|&k| coils[k].reach.angles.iter().map(|angle| angle.get()))
            .collect();
        angles.sort_by(f64::total_cmp);
        angles.dedup_by(|a, b| (*a - *b).abs() <= crate::engine::SAME_ANGLE.get());
        let many = u32::try_from(angles.len()).map_or(1.0, f64::from);
        if many > 0.0 {
            return many;
        }
        let two_ended = served
            .iter()
            .any(|&k| coils[k].reach.secondary == Secondary::TwoEnded);
        match self.harness.engine.strokes {
            Strokes::Four if two_ended => 2.0,
            Strokes::Four | Strokes::Two => 1.0,
        }
    }

    fn relays(&self, strands: &[Strand]) -> Vec<RelayAt> {
        self.relays
            .iter()
            .map(|&part| {
                let wanted = Some(Element::RelayWinding(part));
                let winding = strands.iter().position(|s| s.element == wanted);
                RelayAt { winding }
            })
            .collect()
    }

    fn units_at(&self, index: &BTreeMap<Node, usize>) -> Vec<UnitAt> {
        self.units
            .iter()
            .map(|&(part, role)| {
                let fed = self.harness.unit(part).is_some_and(|unit| {
                    unit.pins
                        .iter()
                        .any(|pin| pin.role.is_some_and(|r| r.value == PinRole::Supply))
                });
                let rails = index
                    .get(&Node::SupplyRail(part))
                    .zip(index.get(&Node::GroundRail(part)))
                    .map(|(&a, &b)| (a, b))
                    .filter(|_| fed);
                UnitAt { part, role, rails }
            })
            .collect()
    }
}
