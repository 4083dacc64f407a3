//! Values that clash with those that the map goes by, in the file.

use super::piece::{Blank, Fields, Record, choice};
use crate::engine::{CylinderId, Firing};
use crate::model::{
    CavityId, DriverId, FactAt, FactValue, PartId, PinId, PinRole, Rival, Terminal, WireColour,
    WireEnd, WireId, WireSize,
};
use crate::provenance::Provenance;

impl Blank for Rival {
    fn blank() -> Self {
        Self {
            at: FactAt::FiringOrder,
            value: FactValue::Number(0.0),
            how: Provenance::Assumed,
        }
    }
}

impl Record for Rival {
    const SAYS: (&'static str, &'static str) = (
        "rival",
        "A value that clashes with the one that the map goes by.",
    );

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.one_of(&mut self.at, "Which fact it is about.");
        fields.one_of(&mut self.value, "What kind of value it is.");
        fields.must("how", &mut self.how, "How it is known.");
    }
}

fn part() -> PartId {
    PartId::from_number(0)
}

fn wire() -> WireId {
    WireId::from_number(0)
}

fn driver() -> DriverId {
    DriverId::from_number(0)
}

choice!(FactAt by "about" {
    Self::FiringOrder = "firing_order": Self::FiringOrder,
    Self::FiringAngles = "firing_degrees": Self::FiringAngles,
    Self::WireEnd(..) = "wire_end": Self::WireEnd(wire(), WireEnd::From),
    Self::WireColour(_) = "wire_colour": Self::WireColour(wire()),
    Self::WireSize(_) = "wire_size": Self::WireSize(wire()),
    Self::WireLength(_) = "wire_length": Self::WireLength(wire()),
    Self::PinLabel(..) = "pin_label": Self::PinLabel(part(), PinId::from_number(0)),
    Self::PinRole(..) = "pin_role": Self::PinRole(part(), PinId::from_number(0)),
    Self::CavityLabel(..) = "cavity_label": Self::CavityLabel(part(), CavityId::from_number(0)),
    Self::DriverOutput(_) = "driver_output": Self::DriverOutput(driver()),
    Self::DriverGround(_) = "driver_ground": Self::DriverGround(driver()),
    Self::DriverDrive(_) = "driver_drive": Self::DriverDrive(driver()),
    Self::DriverOnVoltage(_) = "driver_on_voltage": Self::DriverOnVoltage(driver()),
    Self::DriverOnResistance(_) = "driver_on_resistance": Self::DriverOnResistance(driver()),
    Self::BatteryVoltage(_) = "battery_voltage": Self::BatteryVoltage(part()),
    Self::BatteryResistance(_) = "battery_resistance": Self::BatteryResistance(part()),
    Self::FuseRating(_) = "fuse_rating": Self::FuseRating(part()),
    Self::RelayWinding(_) = "relay_winding": Self::RelayWinding(part()),
    Self::PrimaryResistance(_) = "primary_resistance": Self::PrimaryResistance(part()),
    Self::PrimaryInductance(_) = "primary_inductance": Self::PrimaryInductance(part()),
    Self::SecondaryResistance(_) = "secondary_resistance": Self::SecondaryResistance(part()),
    Self::TurnsRatio(_) = "turns_ratio": Self::TurnsRatio(part()),
    Self::LeadFrom(_) = "lead_from": Self::LeadFrom(part()),
    Self::LeadTo(_) = "lead_to": Self::LeadTo(part()),
    Self::LeadResistance(_) = "lead_resistance": Self::LeadResistance(part()),
    Self::PlugCylinder(_) = "plug_cylinder": Self::PlugCylinder(part()),
    Self::PlugGap(_) = "plug_gap": Self::PlugGap(part()),
    Self::PlugResistor(_) = "plug_resistor": Self::PlugResistor(part()),
    Self::InjectorCylinder(_) = "injector_cylinder": Self::InjectorCylinder(part()),
    Self::InjectorWinding(_) = "injector_winding": Self::InjectorWinding(part()),
    Self::PullUp(_) = "pull_up": Self::PullUp(part()),
    Self::PullDown(_) = "pull_down": Self::PullDown(part()),
} visit(self, fields) {
    match self {
        Self::FiringOrder | Self::FiringAngles => {}
        Self::WireEnd(wire, end) => {
            fields.must("wire", wire, "The wire.");
            fields.must("end", end, "Which of its ends.");
        }
        Self::WireColour(wire)
        | Self::WireSize(wire)
        | Self::WireLength(wire) => fields.must("wire", wire, "The wire."),
        Self::PinLabel(part, pin) | Self::PinRole(part, pin) => {
            fields.must("part", part, "The control unit.");
            fields.host(part.number());
            fields.must("pin", pin, "Its pin.");
        }
        Self::CavityLabel(part, cavity) => {
            fields.must("part", part, "The connector.");
            fields.host(part.number());
            fields.must("cavity", cavity, "Its cavity.");
        }
        Self::DriverOutput(driver)
        | Self::DriverGround(driver)
        | Self::DriverDrive(driver)
        | Self::DriverOnVoltage(driver)
        | Self::DriverOnResistance(driver) => fields.must("driver", driver, "The driver."),
        Self::BatteryVoltage(part)
        | Self::BatteryResistance(part)
        | Self::FuseRating(part)
        | Self::RelayWinding(part)
        | Self::PrimaryResistance(part)
        | Self::PrimaryInductance(part)
        | Self::SecondaryResistance(part)
        | Self::TurnsRatio(part)
        | Self::LeadFrom(part)
        | Self::LeadTo(part)
        | Self::LeadResistance(part)
        | Self::PlugCylinder(part)
        | Self::PlugGap(part)
        | Self::PlugResistor(part)
        | Self::InjectorCylinder(part)
        | Self::InjectorWinding(part)
        | Self::PullUp(part)
        | Self::PullDown(part) => fields.must("part", part, "The part."),
    }
});

choice!(FactValue by "says" {
    Self::Number(_) = "number": Self::Number(0.0),
    Self::Size(_) = "size": Self::Size(WireSize::blank()),
    Self::Colour(_) = "colour": Self::Colour(WireColour::blank()),
    Self::Terminal(_) = "terminal": Self::Terminal(Terminal::blank()),
    Self::Label(_) = "label": Self::Label(String::new()),
    Self::Role(_) = "role": Self::Role(PinRole::blank()),
    Self::Cylinder(_) = "cylinder": Self::Cylinder(CylinderId::blank()),
    Self::Order(_) = "order": Self::Order(Vec::new()),
    Self::Firing(_) = "degrees": Self::Firing(Firing::Even),
} visit(self, fields) {
    match self {
        Self::Number(value) => fields.must("value", value, "The number, in the unit of its quantity."),
        Self::Size(value) => fields.must("value", value, "The conductor size."),
        Self::Colour(value) => fields.must("value", value, "The insulation colour."),
        Self::Terminal(value) => fields.must("value", value, "The terminal."),
        Self::Label(value) => fields.must("value", value, "The number or letter."),
        Self::Role(value) => fields.must("value", value, "What the pin is for."),
        Self::Cylinder(value) => fields.must("value", value, "The cylinder."),
        Self::Order(value) => fields.must("value", value, "The firing order."),
        Self::Firing(value) => fields.must("value", value, "\"even\", or crank angles."),
    }
});
