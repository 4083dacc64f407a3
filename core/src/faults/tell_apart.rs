//! Where to put a meter's leads to tell one case from another: healthy from faulty, one fault from another.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::Fault;
use super::electric::alteration;
use crate::electrics::{Alteration, Circuit, Desk, Measure, OperatingPoint, Solution, nominal};
use crate::gather::Arrange;
use crate::model::{
    BatteryLink, EngineState, GroundSite, Harness, Hold, PartKind, Port, Setup, Terminal, WireEnd,
    across, ends_at, other,
};
use crate::units::{Ohms, Rpm, Volts};

/// A reading without its reason: the value and the band that an ordinary meter may show around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// The value.
    pub value: Measure,
    /// Lowest and highest, in the same unit.
    pub band: (f64, f64),
}

/// Two leads in one setup, and what each of the two cases reads there.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// How the car stands.
    pub setup: Setup,
    /// The red lead.
    pub red: Terminal,
    /// The black lead.
    pub black: Terminal,
    /// What the first case reads.
    pub first: Shown,
    /// What the second case reads.
    pub second: Shown,
    /// How far the two lie apart, in widths of their bands: above 1 the bands do not meet.
    pub widths: f64,
}

/// What a fault makes of one reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shift {
    /// The fault.
    pub fault: Fault,
    /// The reading with it.
    pub value: Measure,
    /// How far it lies from the healthy reading, in widths of its band.
    pub widths: f64,
}

/// Beyond this many band-widths any meter tells the two apart: what is easier to reach comes first then.
const PLAIN: f64 = 3.0;
/// Readings nearer to each other than this share of a band-width count as the same.
const SAME: f64 = 0.25;
/// Readings within this share of each other count as alike where faults are sorted by what they read.
const ALIKE: f64 = 0.02;

/// How far two readings lie apart, in widths of their bands (the mean of the two).
///
/// An ohmmeter's overload counts as its largest reading.
#[must_use]
pub fn widths_apart(a: Shown, b: Shown) -> f64 {
    let width = |shown: Shown| match shown.value {
        Measure::Volts(_) | Measure::Ohms(_) => shown.band.1 - shown.band.0,
        Measure::Overload => 0.3 * nominal::OVERLOAD.value,
    };
    let mean = f64::midpoint(width(a), width(b)).max(1e-9);
    let apart = (number(a.value) - number(b.value)).abs() / mean;
    if apart.is_finite() { apart } else { 0.0 }
}

/// The setups in which a person usually measures, the easiest first: key on; idling; cranking; battery
/// off; key on and battery off with each control unit unplugged.
#[must_use]
pub fn usual_setups(harness: &Harness) -> Vec<Setup> {
    let cranking = Setup {
        engine: EngineState::Cranking(Rpm::lit(200.0)),
        ..Setup::key_on()
    };
    let mut found = vec![
        Setup::key_on(),
        Setup::idling(),
        cranking,
        Setup::battery_off(),
    ];
    for &unit in harness.parts.keys() {
        if harness.unit(unit).is_some() {
            for mut setup in [Setup::key_on(), Setup::battery_off()] {
                setup.unplugged.insert(unit);
                found.push(setup);
            }
        }
    }
    found
}

/// The place where a black lead usually goes: the engine's metal, else the body's, else battery minus.
#[must_use]
pub fn usual_black(harness: &Harness) -> Option<Terminal> {
    let first = |wanted: fn(&PartKind) -> Option<Port>| {
        harness.parts.iter().find_map(|(&part, found)| {
            Some(Terminal {
                part,
                port: wanted(&found.kind)?,
            })
        })
    };
    first(|kind| matches!(kind, PartKind::Ground(GroundSite::Engine)).then_some(Port::Joint))
        .or_else(|| {
            first(|kind| matches!(kind, PartKind::Ground(GroundSite::Body)).then_some(Port::Joint))
        })
        .or_else(|| first(|kind| matches!(kind, PartKind::Battery(_)).then_some(Port::Minus)))
}

/// Where high voltage can stand: no meter goes there while the battery is connected.
#[must_use]
pub fn is_high_voltage(port: Port) -> bool {
    port.hold() == Hold::Push
}

/// Where several hundred volts stand for an instant each time a driver lets go of a coil: the switched end
/// of a primary, the pins of drivers that end it, and what single wires, splices and connectors join to them.
///
/// # Source
/// Primary flyback of 250 to 350 V or more, as an electronics article gives it; that such voltage stands on
/// the primary side and on what is joined to it: trade precautions that quote VDE 0104.
#[must_use]
pub fn kicks(harness: &Harness, terminal: Terminal) -> bool {
    let drives = |at: Terminal| {
        let unit = harness.unit(at.part);
        unit.is_some_and(|unit| {
            let mut outputs = unit.drivers.iter().filter_map(|driver| driver.output);
            outputs.any(|output| Port::Pin(output.value) == at.port)
        })
    };
    let mut seen = BTreeSet::from([terminal]);
    let mut open = vec![terminal];
    while let Some(here) = open.pop() {
        if here.port == Port::Switched || drives(here) {
            return true;
        }
        if here != terminal && !matches!(here.port, Port::Cavity(..) | Port::Joint) {
            continue;
        }
        let wires = ends_at(harness, here)
            .into_iter()
            .filter_map(|(wire, end)| {
                let far = harness.wires.get(&wire)?.end(other(end))?;
                Some(far.value)
            });
        open.extend(wires.chain(across(here)).filter(|next| seen.insert(*next)));
    }
    false
}

/// The pairs of terminals and setups that tell two cases apart best, the best first, at most `most`.
/// `None` is the healthy harness.
///
/// Pairs that read the same as a better one are left out. Terminals of the high-voltage side are looked
/// at with the battery off only, a running engine only where both cases still spark somewhere.
#[must_use]
pub fn tell_apart(
    harness: &Harness,
    circuit: &Arc<Circuit>,
    cases: [Option<Fault>; 2],
    setups: &[Setup],
    most: usize,
) -> Vec<Apart> {
    let found = setups
        .iter()
        .flat_map(|setup| tell_apart_in(harness, circuit, cases, setup))
        .collect();
    best(harness, found, most)
}

/// All pairs of terminals that tell two cases apart in one setup, in no order: one slice of
/// [`tell_apart`], to be ranked by [`best`].
#[must_use]
pub fn tell_apart_in(
    harness: &Harness,
    circuit: &Arc<Circuit>,
    cases: [Option<Fault>; 2],
    setup: &Setup,
) -> Vec<Apart> {
    let [first, second] = cases.map(|case| {
        let change = case.map_or_else(Alteration::default, |fault| {
            alteration(harness, circuit, fault)
        });
        Solution::of(circuit, setup, &change)
    });
    let running = matches!(setup.engine, EngineState::Running(_));
    if running
        && [&first, &second]
            .iter()
            .any(|s| s.currents().next().is_none())
    {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (red, black) in pairs(harness, setup) {
        let shown = |solution: &Solution| {
            let (value, band) = solution.shows(red, black).ok()?;
            Some(Shown { value, band })
        };
        let (Some(first), Some(second)) = (shown(&first), shown(&second)) else {
            continue;
        };
        let widths = widths_apart(first, second);
        if widths > 0.5 {
            found.push(Apart {
                setup: setup.clone(),
                red,
                black,
                first,
                second,
                widths,
            });
        }
    }
    found
}

/// The best of these, the best first, at most `most`; of those that read alike in one setup only the
/// one that is easiest to reach.
///
/// # Source
/// Judgement: beyond three band-widths every meter tells the two apart, so the easier act comes first.
#[must_use]
pub fn best(harness: &Harness, mut found: Vec<Apart>, most: usize) -> Vec<Apart> {
    let plain = |apart: &Apart| apart.widths.min(PLAIN);
    found.retain(|apart| apart.widths > 1.0);
    found.arrange_by(|a, b| {
        plain(b)
            .total_cmp(&plain(a))
            .then_with(|| effort(harness, a).cmp(&effort(harness, b)))
            .then_with(|| b.widths.total_cmp(&a.widths))
            .then_with(|| (a.red, a.black).cmp(&(b.red, b.black)))
    });
    let mut kept: Vec<Apart> = Vec::new();
    for apart in found {
        let alike = |other: &Apart| {
            other.setup == apart.setup
                && widths_apart(other.first, apart.first) < SAME
                && widths_apart(other.second, apart.second) < SAME
        };
        if !kept.iter().any(alike) {
            kept.push(apart);
            if kept.len() == most {
                break;
            }
        }
    }
    kept
}

/// How much trouble a reading is; the less the better. Judgement.
fn effort(harness: &Harness, apart: &Apart) -> u32 {
    let setup = &apart.setup;
    let mut effort = 0;
    effort += 3 * u32::try_from(setup.unplugged.len()).unwrap_or(9);
    effort += match setup.engine {
        EngineState::Stopped => 0,
        EngineState::Cranking(_) | EngineState::Running(_) => 2,
    };
    if setup.battery == BatteryLink::Disconnected {
        effort += 2;
    }
    if Some(apart.black) != usual_black(harness) {
        effort += 1;
    }
    for terminal in [apart.red, apart.black] {
        effort += match terminal.port.hold() {
            Hold::Contact => 0,
            Hold::Joint | Hold::Plain => 1,
            Hold::Push | Hold::Thread => 2,
        };
    }
    effort
}

/// Where the two leads may go: every terminal against the usual black one and the battery's posts, both
/// ends of each wire, and the terminals of each part against each other.
fn pairs(harness: &Harness, setup: &Setup) -> Vec<(Terminal, Terminal)> {
    let reachable = |terminal: Terminal| {
        setup.battery == BatteryLink::Disconnected || !is_high_voltage(terminal.port)
    };
    let mut blacks: Vec<Terminal> = usual_black(harness).into_iter().collect();
    let batteries = harness
        .parts
        .iter()
        .filter(|(_, part)| matches!(part.kind, PartKind::Battery(_)));
    for (&part, _) in batteries {
        blacks.extend([Port::Minus, Port::Plus].map(|port| Terminal { part, port }));
    }
    let mut found = BTreeMap::new();
    let mut add = |red: Terminal, black: Terminal| {
        if red != black && reachable(red) && reachable(black) {
            let next = found.len();
            // Each pair once: a meter turned round reads the same with the other sign.
            if !found.contains_key(&(black, red)) {
                found.entry((red, black)).or_insert(next);
            }
        }
    };
    for &part in harness.parts.keys() {
        let terminals = harness.terminals_of(part);
        for &red in &terminals {
            for &black in &blacks {
                add(red, black);
            }
        }
        // The pins of a unit are not paired with each other: there are too many, and nothing joins them.
        if harness.unit(part).is_none() {
            for (at, &red) in terminals.iter().enumerate() {
                for &black in &terminals[at + 1..] {
                    add(red, black);
                }
            }
        }
    }
    for wire in harness.wires.values() {
        if let [Some(a), Some(b)] = WireEnd::BOTH.map(|end| wire.end(end)) {
            add(a.value, b.value);
        }
    }
    found.into_keys().collect()
}

/// What each of these faults makes of the reading between two terminals, in their order: one slice of a
/// search through all faults. `healthy` is the reading without a fault.
///
/// Quick rather than exact where both leads stand on places that float: readings against battery minus
/// are subtracted. Ask [`super::solve`] for the exact one. Empty for terminals that are not on the map.
#[must_use]
pub fn shifts(
    harness: &Harness,
    point: &Arc<OperatingPoint>,
    (red, black): (Terminal, Terminal),
    healthy: Shown,
    faults: &[Fault],
) -> Vec<Shift> {
    let circuit = point.circuit();
    let (Some(at_red), Some(at_black)) = (circuit.terminal(red), circuit.terminal(black)) else {
        return Vec::new();
    };
    let ohms = point.setup().battery == BatteryLink::Disconnected;
    let mut desk = Desk::new(point);
    let mut found = Vec::with_capacity(faults.len());
    for &fault in faults {
        let change = alteration(harness, circuit, fault);
        if change.is_unseen() {
            continue;
        }
        let value = if ohms {
            match Solution::of(circuit, point.setup(), &change).shows(red, black) {
                Ok((value, _)) => value,
                Err(_) => continue,
            }
        } else {
            let readings = desk.answer(&change).readings;
            let apart = readings[at_red] - readings[at_black];
            Measure::Volts(Volts::new(apart).unwrap_or_default())
        };
        let widths = widths_apart(healthy, Shown { value, ..healthy });
        found.push(Shift {
            fault,
            value,
            widths,
        });
    }
    found
}

/// Faults with which a meter reads alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Alike {
    /// What it reads with the one that lies farthest from the healthy reading.
    pub value: Measure,
    /// How far that lies from the healthy reading, in widths of its band.
    pub widths: f64,
    /// The faults, in their order.
    pub faults: Vec<Fault>,
}

/// The faults that change a reading, those that read alike together, the largest change first.
#[must_use]
pub fn alike(mut found: Vec<Shift>, healthy: Shown) -> Vec<Alike> {
    found.retain(|shift| shift.widths > 0.5);
    found.arrange_by(|a, b| {
        number(a.value)
            .total_cmp(&number(b.value))
            .then_with(|| a.fault.cmp(&b.fault))
    });
    let mut groups: Vec<(f64, Alike)> = Vec::new();
    for shift in found {
        let value = number(shift.value);
        let near = |first: f64| {
            let shown = |value| Shown { value, ..healthy };
            (value - first).abs() <= ALIKE * value.abs()
                || shift.value == Measure::Overload && first >= nominal::OVERLOAD.value
                || widths_apart(shown(shift.value), shown(at(first, shift.value))) < SAME
        };
        match groups.last_mut() {
            Some((first, group)) if near(*first) => {
                if shift.widths > group.widths {
                    group.widths = shift.widths;
                    group.value = shift.value;
                }
                group.faults.push(shift.fault);
            }
            Some(_) | None => groups.push((
                value,
                Alike {
                    value: shift.value,
                    widths: shift.widths,
                    faults: vec![shift.fault],
                },
            )),
        }
    }
    let mut groups: Vec<Alike> = groups.into_iter().map(|(_, group)| group).collect();
    for group in &mut groups {
        group.faults.arrange();
    }
    groups.arrange_by(|a, b| b.widths.total_cmp(&a.widths));
    groups
}

/// A number as the same kind of measure as another.
fn at(value: f64, like: Measure) -> Measure {
    match like {
        Measure::Volts(_) => Measure::Volts(Volts::new(value).unwrap_or_default()),
        Measure::Ohms(_) | Measure::Overload => Measure::Ohms(Ohms::new(value).unwrap_or_default()),
    }
}

/// The number of a measure, in its own unit; an overload counts as the largest reading.
fn number(value: Measure) -> f64 {
    match value {
        Measure::Volts(volts) => volts.get(),
        Measure::Ohms(ohms) => ohms.get(),
        Measure::Overload => nominal::OVERLOAD.value,
    }
}
