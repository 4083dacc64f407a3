//! The base coil of the check values as a harness of its own, for checks and for learning.

use super::nominal;
use crate::copper;
use crate::engine::{Bank, CylinderId, Engine, Firing, Layout, Strokes};
use crate::model::{
    Battery, Coil, ControlUnit, Driver, DriverId, GroundSite, Harness, Lead, LeadKind, PartId,
    PartKind, Pin, PinId, PinRole, Plug, Port, Secondary, Terminal, UnitRole, Wire, WireId,
    WireSize,
};
use crate::provenance::Fact;
use crate::units::{Celsius, Degrees, Henries, Metres, Ohms, SquareMillimetres, Volts};

/// The base coil of the check values: 12.8 V, 20 mΩ + 0.1 Ω of harness, 0.5 Ω, 3.5 mH, ratio 85; a
/// driver of 0.75 V + 0.1 Ω. What contacts and joints add is taken off the primary and the driver, so
/// that the loop has exactly these resistances.
#[derive(Debug, Clone, PartialEq)]
pub struct BaseCoil {
    /// The map.
    pub harness: Harness,
    /// The coil.
    pub coil: PartId,
    /// Its driver, in the control unit.
    pub driver: DriverId,
    /// The wire from battery plus to the coil.
    pub feed: WireId,
    /// The wire from the control unit to the coil.
    pub control: WireId,
    /// The control unit's pin.
    pub pin: Terminal,
    /// The coil's terminal 1.
    pub low: Terminal,
    /// Battery minus.
    pub minus: Terminal,
    /// The two leads, that of cylinder 1 first.
    pub leads: [PartId; 2],
    /// The two plugs, that of cylinder 1 first.
    pub plugs: [PartId; 2],
}

const fn at(part: PartId, port: Port) -> Terminal {
    Terminal { part, port }
}

/// What lies between the unit's pin and battery minus beside the driver itself, Ω.
pub(super) const UNIT_SIDE: f64 = nominal::TRACE.value
    + 2.0 * nominal::SOLDER.value
    + nominal::BOARD.value
    + 2.0 * nominal::MATED.value
    + 2.0 * nominal::WIRE_LEAST.value
    + 3.0 * nominal::JOINT.value;

/// A wire of this resistance.
fn wire(from: Terminal, to: Terminal, ohms: f64) -> Wire {
    let size = SquareMillimetres::lit(10.0);
    let per_metre = copper::resistance(size, Metres::lit(1.0), Celsius::lit(20.0)).get();
    Wire {
        from: Some(Fact::assumed(from)),
        to: Some(Fact::assumed(to)),
        size: Some(Fact::assumed(WireSize::Area(size))),
        length: Some(Fact::assumed(Metres::lit(ohms / per_metre))),
        ..Wire::default()
    }
}

impl Default for BaseCoil {
    fn default() -> Self {
        Self::new()
    }
}

impl BaseCoil {
    /// The base coil.
    #[must_use]
    pub fn new() -> Self {
        let one = CylinderId(1);
        let two = CylinderId(2);
        let engine = Engine {
            strokes: Strokes::Four,
            layout: Layout::Inline,
            banks: vec![Bank {
                name: String::new(),
                cylinders: vec![one, two],
            }],
            order: Fact::assumed(vec![one, two]),
            firing: Fact::assumed(Firing::At(vec![Degrees::ZERO, Degrees::lit(360.0)])),
        };
        let mut harness = Harness::new("bench", engine);
        let battery = harness.add_part(
            "battery",
            PartKind::Battery(Battery {
                voltage: Some(Fact::assumed(Volts::lit(12.8))),
                resistance: Some(Fact::assumed(Ohms::lit(0.02))),
            }),
        );
        let ground = harness.add_part("ground", PartKind::Ground(GroundSite::Engine));
        let control_side = nominal::MATED.value + nominal::WIRE_LEAST.value;
        let coil = harness.add_part(
            "coil",
            PartKind::Coil(Coil {
                primary_resistance: Some(Fact::assumed(Ohms::lit(0.5 - control_side))),
                primary_inductance: Some(Fact::assumed(Henries::lit(0.0035))),
                turns_ratio: Some(Fact::assumed(85.0)),
                ..Coil::new(Secondary::TwoEnded)
            }),
        );
        let (out, common): (PinId, PinId) = (harness.fresh(), harness.fresh());
        let driver = harness.fresh();
        let pin = |id, role| Pin {
            id,
            label: None,
            role: Some(Fact::assumed(role)),
            note: String::new(),
        };
        let unit = harness.add_part(
            "unit",
            PartKind::ControlUnit(ControlUnit {
                pins: vec![pin(out, PinRole::CoilSwitch), pin(common, PinRole::Ground)],
                drivers: vec![Driver {
                    output: Some(Fact::assumed(out)),
                    on_resistance: Some(Fact::assumed(Ohms::lit(0.1 - UNIT_SIDE))),
                    ..Driver::new(driver, "driver")
                }],
                ..ControlUnit::new(UnitRole::EngineControl)
            }),
        );
        let minus = at(battery, Port::Minus);
        let feed_wire = 0.1 - nominal::JOINT.value - nominal::MATED.value;
        let feed = harness.add_wire(wire(
            at(battery, Port::Plus),
            at(coil, Port::Feed),
            feed_wire,
        ));
        let control = harness.add_wire(wire(
            at(unit, Port::Pin(out)),
            at(coil, Port::Switched),
            1e-5,
        ));
        harness.add_wire(wire(
            at(unit, Port::Pin(common)),
            at(ground, Port::Joint),
            1e-5,
        ));
        harness.add_wire(wire(at(ground, Port::Joint), minus, 1e-5));
        let mut leads = Vec::new();
        let mut plugs = Vec::new();
        for (tower, cylinder) in [(Port::TowerA, one), (Port::TowerB, two)] {
            let plug = harness.add_part(
                "plug",
                PartKind::Plug(Plug {
                    cylinder: Some(Fact::assumed(cylinder)),
                    ..Plug::default()
                }),
            );
            leads.push(harness.add_part(
                "lead",
                PartKind::Lead(Lead {
                    kind: LeadKind::Lead,
                    from: Some(Fact::assumed(at(coil, tower))),
                    to: Some(Fact::assumed(at(plug, Port::PlugTop))),
                    resistance: None,
                }),
            ));
            plugs.push(plug);
        }
        Self {
            coil,
            driver,
            feed,
            control,
            pin: at(unit, Port::Pin(out)),
            low: at(coil, Port::Switched),
            minus,
            leads: [leads[0], leads[1]],
            plugs: [plugs[0], plugs[1]],
            harness,
        }
    }
}
