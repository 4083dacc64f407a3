//! A harness as a circuit: nodes in the order of elimination, a conductance a branch, drivers, coils, relays and units.

use std::collections::BTreeMap;

use super::build::Builder;
use super::nominal;
use super::reach::Reach;
use super::sparse::Pattern;
use crate::copper;
use crate::model::{DriverId, Element, Harness, PartId, Terminal, UnitRole, WireId};
use crate::topology::{Network, Node};
use crate::units::{Celsius, Metres, Ohms, Seconds, SquareMillimetres};

/// What is taken for granted where the map says nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumptions {
    /// Temperature of the wiring.
    pub temperature: Celsius,
    /// How long a driver is on before each spark.
    pub dwell: Seconds,
}

impl Default for Assumptions {
    fn default() -> Self {
        Self {
            temperature: Celsius::lit(nominal::TEMPERATURE.value),
            dwell: Seconds::lit(nominal::DWELL.value),
        }
    }
}

/// The circuit of a harness, for every setup.
#[derive(Debug, Clone)]
pub struct Circuit {
    pub(super) nodes: Vec<Node>,
    pub(super) index: BTreeMap<Node, usize>,
    /// The node that stands for zero volts.
    pub(super) reference: Node,
    pub(super) strands: Vec<Strand>,
    /// By node, the reference last: the strands that end there, rising.
    pub(super) beside: Vec<Vec<usize>>,
    /// Every element with each strand in which it stands, rising.
    pub(super) elements: Vec<(Element, usize)>,
    pub(super) pattern: Pattern,
    pub(super) drivers: Vec<DriverAt>,
    pub(super) coils: Vec<CoilAt>,
    pub(super) relays: Vec<RelayAt>,
    pub(super) units: Vec<UnitAt>,
    pub(super) fuses: Vec<FuseAt>,
    pub(super) terminals: BTreeMap<Terminal, usize>,
    pub(super) dwell: f64,
    /// Turns of the crank in a working cycle.
    pub(super) turns: f64,
}

/// One branch.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strand {
    pub(super) a: usize,
    pub(super) b: usize,
    pub(super) kind: StrandKind,
    pub(super) element: Option<Element>,
    /// Conductance when it conducts, S.
    pub(super) siemens: f64,
    /// Voltage that it drives from `b` to `a`, V.
    pub(super) emf: f64,
}

/// When a branch conducts; numbers point into the circuit's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum StrandKind {
    Battery,
    Fixed,
    Key,
    Relay(usize),
    RelaySwitch(usize),
    Load(usize),
    Switch,
    /// What makes the drive signal of a driver.
    Drive(usize),
    /// Never by itself: a gap.
    Gap,
}

#[derive(Debug, Clone)]
pub(super) struct DriverAt {
    pub(super) id: DriverId,
    pub(super) host: PartId,
    pub(super) strand: usize,
    pub(super) collector: usize,
    pub(super) emitter: usize,
    pub(super) volts: f64,
    pub(super) ohms: f64,
    /// The unit whose logic commands it; `None` while the map does not tell.
    pub(super) command: Option<usize>,
    /// The module that must be fed for it to switch.
    pub(super) module: Option<usize>,
    /// Where its drive signal arrives, with the strand that makes the signal.
    pub(super) line: Option<(usize, usize)>,
    pub(super) coils: Vec<usize>,
    /// Sparks in one working cycle.
    pub(super) sparks: f64,
}

#[derive(Debug, Clone)]
pub(super) struct CoilAt {
    pub(super) part: PartId,
    pub(super) strand: usize,
    pub(super) henries: f64,
    pub(super) ratio: f64,
    pub(super) reach: Reach,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct RelayAt {
    /// The strand of its winding; `None` where the map has none.
    pub(super) winding: Option<usize>,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct FuseAt {
    pub(super) strand: usize,
    /// A.
    pub(super) rating: f64,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct UnitAt {
    pub(super) part: PartId,
    pub(super) role: UnitRole,
    /// Supply and ground rail; `None`: no supply pin is known, so it is taken to work with the key on.
    pub(super) rails: Option<(usize, usize)>,
}

impl StrandKind {
    /// The unit that makes a drive signal here.
    pub(super) fn drive_of(self) -> Option<usize> {
        if let Self::Drive(unit) = self {
            Some(unit)
        } else {
            None
        }
    }
}

/// A resistance as a conductance that stays within what the reckoning holds, S.
pub(super) fn siemens(ohms: f64) -> f64 {
    1.0 / ohms.clamp(nominal::WIRE_LEAST.value / 4.0, 1e12)
}

impl Circuit {
    /// The circuit of a harness. Unfinished parts give nodes that float.
    #[must_use]
    pub fn of(harness: &Harness, assumptions: &Assumptions) -> Self {
        let network = Network::of(harness);
        Builder::new(harness, &network, assumptions).finish()
    }

    /// How many nodes there are beside the reference.
    #[must_use]
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Whether nothing is on the map.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// The place of a node of the network in the circuit; `None` for what carries no current.
    #[must_use]
    pub fn place(&self, node: Node) -> Option<usize> {
        self.index.get(&node).copied()
    }

    /// The node at a place; the reference stands for itself.
    pub(super) fn node(&self, place: usize) -> Node {
        self.nodes.get(place).copied().unwrap_or(self.reference)
    }

    /// The place of a terminal.
    #[must_use]
    pub fn terminal(&self, terminal: Terminal) -> Option<usize> {
        self.terminals.get(&terminal).copied()
    }

    /// Every terminal with its place, in rising order.
    pub fn terminals(&self) -> impl Iterator<Item = (Terminal, usize)> + '_ {
        self.terminals
            .iter()
            .map(|(&terminal, &place)| (terminal, place))
    }

    /// The place to which all potentials refer: battery minus where there is a battery.
    #[must_use]
    pub fn reference(&self) -> usize {
        self.nodes.len()
    }

    /// The branches in which an element stands, rising.
    pub fn branches_of(&self, element: Element) -> impl Iterator<Item = usize> + '_ {
        let from = self.elements.partition_point(|(other, _)| *other < element);
        self.elements[from..]
            .iter()
            .take_while(move |(other, _)| *other == element)
            .map(|(_, at)| *at)
    }

    /// The two places of a branch.
    #[must_use]
    pub fn ends(&self, branch: usize) -> Option<(usize, usize)> {
        self.strands.get(branch).map(|strand| (strand.a, strand.b))
    }

    /// Resistance of a branch while it conducts, Ω.
    #[must_use]
    pub fn ohms(&self, branch: usize) -> Option<f64> {
        self.strands.get(branch).map(|strand| 1.0 / strand.siemens)
    }

    /// What the high voltage of each coil reaches.
    pub fn reaches(&self) -> impl Iterator<Item = &Reach> {
        self.coils.iter().map(|coil| &coil.reach)
    }
}

/// Resistance of a wire, with defaults where the map says nothing.
#[must_use]
pub fn wire_resistance(harness: &Harness, wire: WireId, temperature: Celsius) -> Ohms {
    let wire = harness.wires.get(&wire);
    let area = wire
        .and_then(|w| w.size)
        .map_or(SquareMillimetres::lit(nominal::WIRE_AREA.value), |fact| {
            fact.value.area()
        });
    let length = wire
        .and_then(|w| w.length)
        .map_or(Metres::lit(nominal::WIRE_LENGTH.value), |fact| fact.value);
    let found = copper::resistance(area, length, temperature);
    found.max(Ohms::lit(nominal::WIRE_LEAST.value))
}
