//! Values far outside what parts of their kind have, with the range and where it comes from.

use super::{MapFinding, Spot};
use crate::model::{Coil, Driver, DriverPiece, Element, Harness, PartId, PartKind};
use crate::said::to_say;

/// A value that a part or wire can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// Resistance of a coil's primary.
    Primary,
    /// Inductance of a coil's primary.
    Inductance,
    /// Resistance of a coil's secondary.
    Secondary,
    /// Secondary turns for each primary turn.
    TurnsRatio,
    /// Resistance of a lead or boot.
    Lead,
    /// A plug's built-in resistor.
    PlugResistor,
    /// A plug's gap.
    Gap,
    /// A battery's voltage at rest.
    BatteryVoltage,
    /// A battery's inner resistance.
    BatteryResistance,
    /// A fuse's rated current.
    FuseRating,
    /// Resistance of a relay's winding.
    RelayWinding,
    /// Resistance of an injector's winding.
    InjectorWinding,
    /// A resistor by which a unit tests its outputs.
    Pull,
    /// Fixed voltage across a driver that is on.
    DriverVoltage,
    /// Slope resistance of a driver that is on.
    DriverResistance,
    /// Cross-section of a wire.
    WireArea,
    /// Length of a wire.
    WireLength,
}

/// How well a range is founded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// Published, read at second hand.
    Weak,
    /// Handbook range, value from memory.
    Memory,
    /// Common practice, no source.
    Practice,
}

/// What a quantity usually is, and beyond what it is reported.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The usual values, least and greatest.
    pub usual: (f64, f64),
    /// The values that are let pass, least and greatest: the usual ones with a margin of two or more.
    pub passes: (f64, f64),
    /// The unit of all four; empty for a ratio.
    pub unit: &'static str,
    /// How well the usual values are founded.
    pub basis: Basis,
    /// Where they come from.
    pub source: &'static str,
}

const BROCHURE: &str = to_say("a coil maker's brochure, read at second hand");
const BULLETIN: &str = to_say("a plug maker's bulletin");
const HANDBOOK: &str = to_say("handbook range, value from memory");
const PRACTICE: &str = to_say("common practice, no source");

const fn of(
    usual: (f64, f64),
    passes: (f64, f64),
    unit: &'static str,
    basis: Basis,
    source: &'static str,
) -> Range {
    Range {
        usual,
        passes,
        unit,
        basis,
        source,
    }
}

impl Quantity {
    /// Its range.
    ///
    /// # Source
    /// Coils: a coil maker's brochure quoted at second hand (electronic ignition 0.3–1.0 Ω and
    /// 8–15 kΩ, distributor coils 0.5–2.0 Ω and 8–19 kΩ). Plug resistors: a plug maker's bulletin
    /// (1 to 10 kΩ). Turns and gaps: handbook ranges, value from memory. The rest: common practice.
    #[must_use]
    pub const fn range(self) -> Range {
        match self {
            Self::Primary => of((0.3, 2.0), (0.15, 4.0), "Ω", Basis::Weak, BROCHURE),
            Self::Secondary => of((8e3, 19e3), (2e3, 40e3), "Ω", Basis::Weak, BROCHURE),
            Self::PlugResistor => of((1e3, 10e3), (0.0, 20e3), "Ω", Basis::Weak, BULLETIN),
            Self::TurnsRatio => of((60.0, 120.0), (20.0, 300.0), "", Basis::Memory, HANDBOOK),
            Self::Gap => of((0.6, 1.1), (0.2, 2.2), "mm", Basis::Memory, HANDBOOK),
            Self::Inductance => of((2e-3, 8e-3), (2e-4, 2e-2), "H", Basis::Practice, PRACTICE),
            Self::Lead => of((0.0, 25e3), (0.0, 60e3), "Ω", Basis::Practice, PRACTICE),
            Self::BatteryVoltage => of((12.0, 13.0), (5.0, 30.0), "V", Basis::Practice, PRACTICE),
            Self::BatteryResistance => {
                of((3e-3, 0.03), (5e-4, 0.5), "Ω", Basis::Practice, PRACTICE)
            }
            Self::FuseRating => of((5.0, 40.0), (1.0, 150.0), "A", Basis::Practice, PRACTICE),
            Self::RelayWinding => of((50.0, 120.0), (20.0, 500.0), "Ω", Basis::Practice, PRACTICE),
            Self::Pull => of((1e3, 100e3), (50.0, 10e6), "Ω", Basis::Practice, PRACTICE),
            Self::InjectorWinding => of((2.0, 17.0), (0.3, 40.0), "Ω", Basis::Practice, PRACTICE),
            Self::DriverVoltage => of((0.0, 2.0), (0.0, 4.0), "V", Basis::Practice, PRACTICE),
            Self::DriverResistance => of((0.0, 0.3), (0.0, 2.0), "Ω", Basis::Practice, PRACTICE),
            Self::WireArea => of((0.35, 50.0), (0.1, 150.0), "mm²", Basis::Practice, PRACTICE),
            Self::WireLength => of((0.05, 6.0), (0.01, 30.0), "m", Basis::Practice, PRACTICE),
        }
    }
}

/// Collects values and reports those out of range.
struct Values<'f> {
    found: &'f mut Vec<MapFinding>,
}

impl Values<'_> {
    fn see(&mut self, spot: Spot, quantity: Quantity, value: Option<f64>) {
        let Some(value) = value else { return };
        let (least, most) = quantity.range().passes;
        if !(least..=most).contains(&value) {
            self.found.push(MapFinding::ValueOutOfRange {
                spot,
                quantity,
                value,
            });
        }
    }

    fn driver(&mut self, driver: &Driver) {
        let spot = Spot::Element(Element::Driver(driver.id, DriverPiece::Switch));
        self.see(
            spot,
            Quantity::DriverVoltage,
            driver.on_voltage.map(|f| f.value.get()),
        );
        self.see(
            spot,
            Quantity::DriverResistance,
            driver.on_resistance.map(|f| f.value.get()),
        );
    }

    fn coil(&mut self, id: PartId, coil: &Coil) {
        let primary = Spot::Element(Element::Primary(id));
        let secondary = Spot::Element(Element::Secondary(id));
        let ohms = |fact: Option<crate::provenance::Fact<crate::units::Ohms>>| {
            fact.map(|fact| fact.value.get())
        };
        self.see(primary, Quantity::Primary, ohms(coil.primary_resistance));
        self.see(
            primary,
            Quantity::Inductance,
            coil.primary_inductance.map(|f| f.value.get()),
        );
        self.see(
            secondary,
            Quantity::Secondary,
            ohms(coil.secondary_resistance),
        );
        self.see(
            secondary,
            Quantity::TurnsRatio,
            coil.turns_ratio.map(|f| f.value),
        );
        if let Some(driver) = &coil.driver {
            self.driver(driver);
        }
    }
}

pub(super) fn check(harness: &Harness, found: &mut Vec<MapFinding>) {
    let mut values = Values { found };
    for (&id, part) in &harness.parts {
        let here = Spot::Part(id);
        match &part.kind {
            PartKind::Battery(battery) => {
                let volts = battery.voltage.map(|f| f.value.get());
                values.see(here, Quantity::BatteryVoltage, volts);
                let ohms = battery.resistance.map(|f| f.value.get());
                values.see(here, Quantity::BatteryResistance, ohms);
            }
            PartKind::Fuse(fuse) => {
                values.see(
                    here,
                    Quantity::FuseRating,
                    fuse.rating.map(|f| f.value.get()),
                );
            }
            PartKind::Relay(relay) => {
                let ohms = relay.winding.map(|f| f.value.get());
                values.see(
                    Spot::Element(Element::RelayWinding(id)),
                    Quantity::RelayWinding,
                    ohms,
                );
            }
            PartKind::ControlUnit(unit) => {
                for driver in &unit.drivers {
                    values.driver(driver);
                }
                for pull in [unit.pull_up, unit.pull_down] {
                    values.see(here, Quantity::Pull, pull.map(|f| f.value.get()));
                }
            }
            PartKind::Coil(coil) => values.coil(id, coil),
            PartKind::Lead(lead) => {
                values.see(here, Quantity::Lead, lead.resistance.map(|f| f.value.get()));
            }
            PartKind::Plug(plug) => {
                values.see(
                    Spot::Element(Element::Gap(id)),
                    Quantity::Gap,
                    plug.gap.map(|f| f.value.get()),
                );
                values.see(
                    Spot::Element(Element::PlugResistor(id)),
                    Quantity::PlugResistor,
                    plug.resistor.map(|f| f.value.get()),
                );
            }
            PartKind::Injector(injector) => {
                let ohms = injector.winding.map(|f| f.value.get());
                values.see(
                    Spot::Element(Element::InjectorWinding(id)),
                    Quantity::InjectorWinding,
                    ohms,
                );
            }
            PartKind::KeySwitch
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::Pack
            | PartKind::Distributor(_) => {}
        }
    }
    for (&id, wire) in &harness.wires {
        let area = wire.size.map(|f| f.value.area().get());
        values.see(Spot::Wire(id), Quantity::WireArea, area);
        let length = wire.length.map(|f| f.value.get());
        values.see(Spot::Wire(id), Quantity::WireLength, length);
    }
}
