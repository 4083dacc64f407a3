//! What the map does not join yet: where the coil of a dead cylinder is switched, if nobody has followed its wire.

use super::case::{Assessment, Case};
use super::stop::Stop;
use crate::electrics::Reach;
use crate::engine::CylinderId;
use crate::gather::Arrange;
use crate::model::{
    CavityId, DriverId, Element, Harness, PartId, PartKind, PinId, PinRole, Port, Side, Strand,
    Terminal, WireId, ends_at,
};

/// What is to be traced before more is tested.
#[derive(Debug, Clone, PartialEq)]
pub struct Loose {
    /// The unit whose pins lead nowhere, and which of them.
    pub unit: PartId,
    /// Those pins, rising.
    pub pins: Vec<PinId>,
    /// The coils of dead cylinders whose wire nobody has followed to a pin, rising.
    pub coils: Vec<PartId>,
    /// The dead cylinders that they feed, rising.
    pub cylinders: Vec<CylinderId>,
    /// Share of the belief that lies on what is loose.
    pub share: f64,
}

/// From this share on, what is loose is traced first: no test tells which of it belongs to the dead cylinders.
/// Judgement, tried with the bench on the sample that has loose ends.
const TRACED_FIRST: f64 = 0.2;

/// What of a map hangs loose around some coils and one unit.
#[derive(Debug, Default)]
struct Ends {
    wires: Vec<WireId>,
    terminals: Vec<Terminal>,
    drivers: Vec<DriverId>,
    cavities: Vec<(PartId, CavityId)>,
}

impl Case<'_> {
    /// What to trace before more is tested: the coil of a dead cylinder has a wire that nobody has followed, some
    /// unit has pins that lead nowhere, and the fault may well lie there. `None` where testing, mending or
    /// somebody else comes first; `stop`: what the plan says.
    #[must_use]
    pub fn trace_first(&self, assessment: &Assessment, stop: Stop) -> Option<Loose> {
        match stop {
            Stop::Isolated(_) | Stop::Mend(_) => return None,
            Stop::GoOn | Stop::HandOver(_) | Stop::NothingTells | Stop::TooMany => {}
        }
        let harness = self.harness.as_ref();
        let mut loose = Loose::around(harness, &assessment.dead())?;
        let ends = Ends::of(harness, &loose);
        let shares = self.causes.iter().enumerate();
        loose.share = shares
            .filter(|(_, cause)| ends.holds(cause.fault.element))
            .map(|(number, _)| assessment.belief.suspect(number))
            .sum();
        (loose.share >= TRACED_FIRST).then_some(loose)
    }
}

impl Loose {
    /// What hangs loose on the way of these cylinders, no share said; `None` where the map joins it all, or has
    /// no pin left that it could lead to.
    #[must_use]
    pub fn around(harness: &Harness, cylinders: &[CylinderId]) -> Option<Self> {
        let (coils, cylinders) = unfollowed(harness, cylinders);
        if coils.is_empty() {
            return None;
        }
        let (unit, pins) = pins_to_nowhere(harness)?;
        Some(Self {
            unit,
            pins,
            coils,
            cylinders,
            share: 0.0,
        })
    }
}

/// The coils of these cylinders whose control leads nowhere, and those cylinders.
fn unfollowed(harness: &Harness, dead: &[CylinderId]) -> (Vec<PartId>, Vec<CylinderId>) {
    let (mut coils, mut cylinders) = (Vec::new(), Vec::new());
    for reach in Reach::all(harness) {
        let fed = reach.ways.iter().filter_map(|way| way.cylinder);
        let fed: Vec<CylinderId> = fed.filter(|cylinder| dead.contains(cylinder)).collect();
        if !fed.is_empty() && hangs(harness, control_of(harness, reach.coil)) {
            coils.push(reach.coil);
            cylinders.extend(fed);
        }
    }
    cylinders.arrange();
    cylinders.dedup();
    (coils, cylinders)
}

/// Where a coil is told to spark: terminal 1, or the input of the driver cast into it.
#[must_use]
pub fn control_of(harness: &Harness, part: PartId) -> Terminal {
    let inside = harness.coil(part).is_some_and(|coil| coil.driver.is_some());
    let port = if inside {
        Port::DriveIn
    } else {
        Port::Switched
    };
    Terminal { part, port }
}

/// Whether no wire is at a terminal, or one that nobody has followed to its end.
fn hangs(harness: &Harness, at: Terminal) -> bool {
    ends_at(harness, at).is_empty()
        || Strand::from(harness, at).is_some_and(|strand| strand.to.is_none())
}

/// The unit with the most pins that lead nowhere and may be for a coil, and these pins.
fn pins_to_nowhere(harness: &Harness) -> Option<(PartId, Vec<PinId>)> {
    let mut best: Option<(PartId, Vec<PinId>)> = None;
    for &part in harness.parts.keys() {
        let Some(unit) = harness.unit(part) else {
            continue;
        };
        let pins = unit.pins.iter().filter(|pin| {
            let serves_coils = pin
                .role
                .is_none_or(|role| matches!(role.value, PinRole::CoilSwitch | PinRole::DriveOut));
            let port = Port::Pin(pin.id);
            serves_coils && hangs(harness, Terminal { part, port })
        });
        let mut pins: Vec<PinId> = pins.map(|pin| pin.id).collect();
        pins.arrange();
        let most = best.as_ref().map_or(0, |(_, pins)| pins.len());
        if pins.len() > most {
            best = Some((part, pins));
        }
    }
    best
}

impl Ends {
    fn of(harness: &Harness, loose: &Loose) -> Self {
        let (unit, pins, coils) = (loose.unit, &loose.pins, &loose.coils);
        let mut found = Self::default();
        let ports = pins.iter().map(|pin| Port::Pin(*pin));
        let at_unit = ports.map(|port| Terminal { part: unit, port });
        let at_coils = coils.iter().map(|coil| control_of(harness, *coil));
        found.terminals.extend(at_unit.chain(at_coils));
        for &terminal in &found.terminals {
            if let Some(strand) = Strand::from(harness, terminal) {
                found.wires.extend([strand.near.0, strand.far.0]);
            }
        }
        let drivers = harness.unit(unit).map_or(&[][..], |unit| &unit.drivers);
        let placed = |pin: PinId| !pins.contains(&pin);
        found.drivers = drivers
            .iter()
            .filter(|driver| !driver.output.is_some_and(|pin| placed(pin.value)))
            .map(|driver| driver.id)
            .collect();
        for (&part, what) in &harness.parts {
            let PartKind::Connector(connector) = &what.kind else {
                continue;
            };
            for cavity in &connector.cavities {
                let sides = [Side::A, Side::B].map(|side| Port::Cavity(cavity.id, side));
                if sides
                    .iter()
                    .all(|&port| ends_at(harness, Terminal { part, port }).is_empty())
                {
                    found.cavities.push((part, cavity.id));
                }
            }
        }
        found
    }

    /// Whether an element is among what hangs loose.
    fn holds(&self, element: Element) -> bool {
        match element {
            Element::Wire(wire) | Element::Joint(wire, _) => self.wires.contains(&wire),
            Element::Mated(terminal) => self.terminals.contains(&terminal),
            Element::Trace(part, pin) => self.terminals.contains(&Terminal {
                part,
                port: Port::Pin(pin),
            }),
            Element::Driver(driver, _) => self.drivers.contains(&driver),
            Element::Cavity(part, cavity) => self.cavities.contains(&(part, cavity)),
            Element::Battery(_)
            | Element::Contact(_)
            | Element::RelayWinding(_)
            | Element::BoardSupply(_)
            | Element::BoardGround(_)
            | Element::Logic(_)
            | Element::CrankSignal(_)
            | Element::Primary(_)
            | Element::Secondary(_)
            | Element::CoilInsulation(_)
            | Element::Rotor(_)
            | Element::Cap(_)
            | Element::LeadConductor(_)
            | Element::LeadInsulation(_)
            | Element::Gap(_)
            | Element::Insulator(_)
            | Element::PlugResistor(_)
            | Element::InjectorWinding(_)
            | Element::Cylinder(_) => false,
        }
    }
}
