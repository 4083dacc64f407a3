//! What a fault does to the circuit, and what should then be read and seen: faults in their second form.

use std::sync::Arc;

use super::{Fault, Mode, all_faults};
use crate::electrics::{
    Alteration, Assumptions, Circuit, Edit, HighFault, HighPlace, Reading, ReadingError, Silence,
    Solution, Switching, nominal,
};
use crate::model::{
    DriverId, DriverPiece, Element, GroundSite, Harness, PartId, PartKind, Port, Setup, Terminal,
};
use crate::topology::Node;
use crate::units::{Amps, Ohms, Percent};

/// Inner insulation that has broken down holds the secondary to this, kV. Common practice, no source.
const BREAKDOWN_KV: f64 = 4.0;
/// A track along a tower, rotor or cap flashes over at this, kV. Common practice, no source.
const TRACKING_KV: f64 = 9.0;
/// A cracked insulator flashes over at this, kV. Common practice, no source.
const CRACKED_KV: f64 = 6.0;
/// Shorted secondary turns hold the secondary to this, kV. Judgement, after shorted primary turns.
const SHORTED_SECONDARY_KV: f64 = 6.0;
/// How many times as wide a worn gap is. Common practice, no source.
const WORN: f64 = 1.8;

/// What a fault changes in the circuit of its harness. Faults that are not electrical, or that the
/// element cannot have, change nothing.
#[must_use]
pub fn alteration(harness: &Harness, circuit: &Circuit, fault: Fault) -> Alteration {
    let case = Case {
        harness,
        circuit,
        element: fault.element,
    };
    match fault.mode {
        Mode::Open => case.open(),
        Mode::HighResistance(ohms) => case.series(ohms.get().max(0.0)),
        Mode::ToGround(ohms) => case.to_ground(ohms.get()),
        Mode::ToSupply(ohms) => case.to_supply(ohms.get()),
        Mode::ToNeighbour(other, ohms) => case.to_neighbour(other, ohms.get()),
        Mode::NeverOn => case.driver(|id| vec![(id, Switching::Never)]),
        Mode::AlwaysOn => case.always_on(),
        Mode::AlwaysOnLimited(amps) => {
            case.driver(|id| vec![(id, Switching::Limited(amps.get().max(0.0)))])
        }
        Mode::PartlyOn(ohms) => case.partly_on(ohms.get()),
        Mode::Leaky(ohms) => case.leaky(ohms.get()),
        Mode::TurnsShorted(share) => case.turns_shorted(share),
        Mode::Breakdown => case.breakdown(),
        Mode::Tracking => case.tracking(),
        Mode::TrackingBetween(a, b) => {
            let place = |cylinder| case.cap_tower(cylinder);
            high(
                [a, b]
                    .into_iter()
                    .filter_map(place)
                    .map(|p| HighFault::Flashes(p, TRACKING_KV)),
            )
        }
        Mode::BurntTower(cylinder) => high(case.cap_tower(cylinder).map(HighFault::Broken)),
        Mode::Fouled(ohms) => case.fouled(ohms.get()),
        Mode::Worn => high(case.part().map(|plug| HighFault::Wide(plug, WORN))),
        Mode::Cracked => high(
            case.part()
                .map(|plug| HighFault::Flashes(HighPlace::Plug(plug), CRACKED_KV)),
        ),
        Mode::CrossedWith(other) => case.crossed(other),
        Mode::Silent | Mode::Missing => Alteration {
            silent: case.part().map(Silence::Unit).into_iter().collect(),
            ..Alteration::default()
        },
        Mode::SilentFor(driver) => Alteration {
            silent: vec![Silence::Driver(driver)],
            ..Alteration::default()
        },
        // A signal that comes and goes has no steady reading; the others are not electrical.
        Mode::Erratic | Mode::NoFuel | Mode::WrongAir | Mode::NoCompression => {
            Alteration::default()
        }
    }
}

/// What a meter should show between two terminals, with its band and why; with a fault, or healthy.
///
/// # Errors
/// [`ReadingError::NoTerminal`] for a terminal that is not on the map.
pub fn expected(
    harness: &Harness,
    setup: &Setup,
    (red, black): (Terminal, Terminal),
    fault: Option<&Fault>,
) -> Result<Reading, ReadingError> {
    solve(harness, setup, fault).reading(red, black)
}

/// The circuit of a harness in one setup, with a fault or healthy, solved.
#[must_use]
pub fn solve(harness: &Harness, setup: &Setup, fault: Option<&Fault>) -> Solution {
    let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
    let change = fault.map_or_else(Alteration::default, |fault| {
        alteration(harness, &circuit, *fault)
    });
    Solution::of(&circuit, setup, &change)
}

/// A mode at its usual severities, log-spaced where a resistance tells how bad it is.
///
/// # Source
/// Judgement: from hardly felt to nearly open.
#[must_use]
pub fn severities(element: Element, mode: Mode) -> Vec<Mode> {
    let each = |all: &[f64], make: fn(Ohms) -> Mode| -> Vec<Mode> {
        all.iter()
            .filter_map(|ohms| Ohms::new(*ohms).ok())
            .map(make)
            .collect()
    };
    let high_voltage = matches!(
        element,
        Element::LeadConductor(_)
            | Element::PlugResistor(_)
            | Element::Secondary(_)
            | Element::Rotor(_)
    );
    match mode {
        Mode::HighResistance(_) if high_voltage => each(&[1e5, 1e6, 1e7], Mode::HighResistance),
        Mode::HighResistance(_) => each(&[0.5, 2.0, 8.0, 100.0], Mode::HighResistance),
        Mode::ToGround(_) => each(&[0.05, 3.0, 8.0, 25.0], Mode::ToGround),
        Mode::ToSupply(_) => each(&[0.05, 3.0, 25.0], Mode::ToSupply),
        Mode::ToNeighbour(other, _) => [0.05, 3.0]
            .into_iter()
            .filter_map(|ohms| Ohms::new(ohms).ok())
            .map(|ohms| Mode::ToNeighbour(other, ohms))
            .collect(),
        Mode::PartlyOn(_) => each(&[1.5, 3.0, 8.0], Mode::PartlyOn),
        Mode::Leaky(_) if matches!(element, Element::LeadInsulation(_)) => {
            each(&[1e4, 1e5, 1e6], Mode::Leaky)
        }
        Mode::AlwaysOnLimited(_) => [6.0, 9.0]
            .into_iter()
            .filter_map(|amps| Amps::new(amps).ok())
            .map(Mode::AlwaysOnLimited)
            .collect(),
        Mode::Leaky(_) => each(&[3.0, 8.0, 25.0], Mode::Leaky),
        Mode::Fouled(_) => each(&[1e4, 1e5, 1e6], Mode::Fouled),
        Mode::TurnsShorted(_) => [5.0, 10.0, 30.0]
            .into_iter()
            .filter_map(|share| Percent::new(share).ok())
            .map(Mode::TurnsShorted)
            .collect(),
        Mode::Open
        | Mode::NeverOn
        | Mode::AlwaysOn
        | Mode::Breakdown
        | Mode::Tracking
        | Mode::TrackingBetween(..)
        | Mode::BurntTower(_)
        | Mode::Worn
        | Mode::Cracked
        | Mode::CrossedWith(_)
        | Mode::Silent
        | Mode::SilentFor(_)
        | Mode::Missing
        | Mode::Erratic
        | Mode::NoFuel
        | Mode::WrongAir
        | Mode::NoCompression => vec![mode],
    }
}

/// Every single fault of a harness at each of its usual severities: element × mode × severity.
#[must_use]
pub fn graded_faults(harness: &Harness) -> Vec<Fault> {
    all_faults(harness)
        .into_iter()
        .flat_map(|fault| {
            severities(fault.element, fault.mode)
                .into_iter()
                .map(move |mode| Fault::new(fault.element, mode))
        })
        .collect()
}

fn high(faults: impl IntoIterator<Item = HighFault>) -> Alteration {
    Alteration {
        high: faults.into_iter().collect(),
        ..Alteration::default()
    }
}

/// Where an element stands on the high-voltage side; `None` on the low-voltage side.
pub(crate) fn high_place(element: Element) -> Option<HighPlace> {
    match element {
        Element::Secondary(part) | Element::CoilInsulation(part) => {
            Some(HighPlace::Secondary(part))
        }
        Element::Rotor(part) | Element::Cap(part) => Some(HighPlace::Rotor(part)),
        Element::LeadConductor(part) | Element::LeadInsulation(part) => Some(HighPlace::Lead(part)),
        Element::Gap(part) | Element::Insulator(part) | Element::PlugResistor(part) => {
            Some(HighPlace::Plug(part))
        }
        Element::Battery(_)
        | Element::Contact(_)
        | Element::RelayWinding(_)
        | Element::Wire(_)
        | Element::Joint(..)
        | Element::Mated(_)
        | Element::Cavity(..)
        | Element::Trace(..)
        | Element::BoardSupply(_)
        | Element::BoardGround(_)
        | Element::Logic(_)
        | Element::CrankSignal(_)
        | Element::Driver(..)
        | Element::Primary(_)
        | Element::InjectorWinding(_)
        | Element::Cylinder(_) => None,
    }
}

/// One element of one harness.
struct Case<'h> {
    harness: &'h Harness,
    circuit: &'h Circuit,
    element: Element,
}

impl Case<'_> {
    fn part(&self) -> Option<PartId> {
        self.harness.part_of(self.element)
    }

    fn edit(&self, edit: Edit) -> Alteration {
        Alteration {
            edits: self
                .circuit
                .branches_of(self.element)
                .map(|at| (at, edit))
                .collect(),
            ..Alteration::default()
        }
    }

    fn driver(&self, how: impl Fn(DriverId) -> Vec<(DriverId, Switching)>) -> Alteration {
        let Element::Driver(id, _) = self.element else {
            return Alteration::default();
        };
        Alteration {
            drivers: how(id),
            ..Alteration::default()
        }
    }

    fn high_place(&self) -> Option<HighPlace> {
        high_place(self.element)
    }

    fn cap_tower(&self, cylinder: crate::engine::CylinderId) -> Option<HighPlace> {
        Some(HighPlace::CapTower(self.part()?, cylinder))
    }

    /// Whether the element is a piece of a drive path: it carries a command, no power.
    fn drives(&self) -> bool {
        matches!(
            self.element,
            Element::Driver(
                _,
                DriverPiece::DriveJoint | DriverPiece::DriveResistor | DriverPiece::GateJoint
            )
        )
    }

    fn open(&self) -> Alteration {
        Alteration {
            drivers: if self.drives() {
                self.driver(|id| vec![(id, Switching::Never)]).drivers
            } else {
                Vec::new()
            },
            high: self
                .high_place()
                .map(HighFault::Broken)
                .into_iter()
                .collect(),
            ..self.edit(Edit::Open)
        }
    }

    fn series(&self, ohms: f64) -> Alteration {
        let fails = self.drives() && ohms > nominal::DRIVE_FAILS.value;
        Alteration {
            drivers: if fails {
                self.driver(|id| vec![(id, Switching::Never)]).drivers
            } else {
                Vec::new()
            },
            high: self
                .high_place()
                .map(|place| HighFault::Series(place, ohms))
                .into_iter()
                .collect(),
            ..self.edit(Edit::Series(ohms))
        }
    }

    /// The place where something touches the element: a winding or contact at the end that is switched
    /// or nearer the consumer, a wire at its first end.
    fn touched(&self, element: Element) -> Option<usize> {
        let (a, b) = self
            .circuit
            .ends(self.circuit.branches_of(element).next()?)?;
        match element {
            Element::Primary(_) | Element::InjectorWinding(_) | Element::RelayWinding(_) => Some(b),
            Element::Battery(_)
            | Element::Contact(_)
            | Element::Wire(_)
            | Element::Joint(..)
            | Element::Mated(_)
            | Element::Cavity(..)
            | Element::Trace(..)
            | Element::BoardSupply(_)
            | Element::BoardGround(_)
            | Element::Logic(_)
            | Element::CrankSignal(_)
            | Element::Driver(..)
            | Element::Secondary(_)
            | Element::CoilInsulation(_)
            | Element::Rotor(_)
            | Element::Cap(_)
            | Element::LeadConductor(_)
            | Element::LeadInsulation(_)
            | Element::Gap(_)
            | Element::Insulator(_)
            | Element::PlugResistor(_)
            | Element::Cylinder(_) => Some(a),
        }
    }

    /// The nearest metal, else battery minus.
    fn metal(&self) -> usize {
        [GroundSite::Engine, GroundSite::Body]
            .into_iter()
            .find_map(|site| self.circuit.place(Node::Metal(site)))
            .unwrap_or_else(|| self.circuit.reference())
    }

    fn bridge(from: Option<usize>, to: Option<usize>, ohms: f64) -> Alteration {
        Alteration {
            bridges: from
                .zip(to)
                .map(|(a, b)| (a, b, ohms))
                .into_iter()
                .collect(),
            ..Alteration::default()
        }
    }

    fn to_ground(&self, ohms: f64) -> Alteration {
        Self::bridge(self.touched(self.element), Some(self.metal()), ohms)
    }

    fn to_supply(&self, ohms: f64) -> Alteration {
        let plus = self
            .harness
            .parts
            .iter()
            .find(|(_, part)| matches!(part.kind, PartKind::Battery(_)))
            .and_then(|(&part, _)| {
                self.circuit.terminal(Terminal {
                    part,
                    port: Port::Plus,
                })
            });
        Self::bridge(self.touched(self.element), plus, ohms)
    }

    fn to_neighbour(&self, other: Element, ohms: f64) -> Alteration {
        Self::bridge(self.touched(self.element), self.touched(other), ohms)
    }

    fn always_on(&self) -> Alteration {
        if let Element::Driver(..) = self.element {
            self.driver(|id| vec![(id, Switching::Always)])
        } else {
            self.edit(Edit::Welded)
        }
    }

    /// Each lead on the other's plug: sparks go there, and so does an ohmmeter's current.
    fn crossed(&self, other: PartId) -> Alteration {
        let Some(mine) = self.part() else {
            return Alteration::default();
        };
        let ends = |lead: PartId| {
            let strand = self
                .circuit
                .branches_of(Element::LeadConductor(lead))
                .next()?;
            let (tower, plug) = self.circuit.ends(strand)?;
            Some((strand, tower, plug, self.circuit.ohms(strand)?))
        };
        let crossed = high([HighFault::Crossed(mine, other)]);
        let (Some(a), Some(b)) = (ends(mine), ends(other)) else {
            return crossed;
        };
        Alteration {
            edits: vec![(a.0, Edit::Open), (b.0, Edit::Open)],
            bridges: vec![(a.1, b.2, a.3), (b.1, a.2, b.3)],
            ..crossed
        }
    }

    fn across_switch(&self, ohms: f64) -> Alteration {
        let Element::Driver(id, _) = self.element else {
            return Alteration::default();
        };
        Self::bridge(
            self.circuit.place(Node::Collector(id)),
            self.circuit.place(Node::Emitter(id)),
            ohms,
        )
    }

    fn partly_on(&self, ohms: f64) -> Alteration {
        Alteration {
            drivers: self.driver(|id| vec![(id, Switching::Never)]).drivers,
            ..self.across_switch(ohms)
        }
    }

    fn leaky(&self, ohms: f64) -> Alteration {
        if let Element::LeadInsulation(lead) = self.element {
            let end = self.circuit.terminal(Terminal {
                part: lead,
                port: Port::LeadFrom,
            });
            return Alteration {
                high: vec![HighFault::Shunt(HighPlace::Lead(lead), ohms)],
                ..Self::bridge(end, Some(self.metal()), ohms)
            };
        }
        self.across_switch(ohms)
    }

    fn fouled(&self, ohms: f64) -> Alteration {
        let Some(plug) = self.part() else {
            return Alteration::default();
        };
        Alteration {
            high: vec![HighFault::Shunt(HighPlace::Plug(plug), ohms)],
            ..Self::bridge(
                self.circuit.place(Node::Electrode(plug)),
                Some(self.metal()),
                ohms,
            )
        }
    }

    fn turns_shorted(&self, share: Percent) -> Alteration {
        let share = (share.get() / 100.0).clamp(0.0, 0.95);
        let edit = self.edit(Edit::Share(1.0 - share));
        if let Element::Primary(coil) = self.element {
            Alteration {
                shorted: vec![(coil, share)],
                ..edit
            }
        } else if let Element::Secondary(coil) = self.element {
            Alteration {
                high: vec![HighFault::Flashes(
                    HighPlace::Secondary(coil),
                    SHORTED_SECONDARY_KV,
                )],
                ..edit
            }
        } else {
            edit
        }
    }

    fn breakdown(&self) -> Alteration {
        high(
            self.high_place()
                .map(|place| HighFault::Flashes(place, BREAKDOWN_KV)),
        )
    }

    fn tracking(&self) -> Alteration {
        let Some(part) = self.part() else {
            return Alteration::default();
        };
        let towers = self.harness.terminals_of(part).into_iter();
        high(
            towers
                .filter(|terminal| matches!(terminal.port, Port::TowerA | Port::TowerB))
                .map(|terminal| HighFault::Flashes(HighPlace::Tower(terminal), TRACKING_KV)),
        )
    }
}
