//! A finding about a map, in English, with the owner's names for things.

use crate::said::{said, say};
use std::fmt;

use super::{MapFinding, Missing, Spot};
use crate::engine::{CylinderId, MOST_CYLINDERS};
use crate::model::{DriverId, Harness, PartId, PinId, PinRole, Port, Terminal, WireEnd};

/// A finding with the map that it is about: shows itself as one sentence.
#[derive(Debug, Clone, Copy)]
pub struct Named<'a> {
    finding: &'a MapFinding,
    harness: &'a Harness,
}

impl MapFinding {
    /// The finding with the names of `harness`, to be shown.
    #[must_use]
    pub const fn named<'a>(&'a self, harness: &'a Harness) -> Named<'a> {
        Named {
            finding: self,
            harness,
        }
    }
}

fn end_word(end: WireEnd) -> &'static str {
    said(match end {
        WireEnd::From => "first",
        WireEnd::To => "far",
    })
}

/// What a pin is for, after "is for" or "needs a pin for".
fn role_word(role: PinRole) -> &'static str {
    said(match role {
        PinRole::CoilSwitch => "switching a coil",
        PinRole::DriveOut => "a drive signal out",
        PinRole::DriveIn => "a drive signal in",
        PinRole::Supply => "the supply",
        PinRole::Ground => "the ground",
        PinRole::InjectorSwitch => "switching an injector",
        PinRole::RelaySwitch => "switching a relay",
        PinRole::SensorIn => "a sensor",
        PinRole::Other => "something else",
    })
}

/// "1, 2 and 3".
fn and(names: &[String]) -> String {
    match names {
        [] => say!("nothing"),
        [one] => one.clone(),
        [before @ .., last] => say!("{} and {last}", before.join(", ")),
    }
}

impl Named<'_> {
    fn part(&self, id: PartId) -> &str {
        self.harness.part_name(id)
    }

    fn parts(&self, ids: &[PartId]) -> String {
        let names: Vec<String> = ids.iter().map(|id| self.part(*id).to_owned()).collect();
        and(&names)
    }

    fn driver(&self, id: DriverId) -> String {
        self.harness
            .driver(id)
            .map_or_else(|| say!("a driver"), |driver| driver.name.clone())
    }

    fn drivers(&self, ids: &[DriverId]) -> String {
        let names: Vec<String> = ids.iter().map(|id| self.driver(*id)).collect();
        and(&names)
    }

    fn pin(&self, part: PartId, pin: PinId) -> String {
        self.harness.terminal_name(Terminal {
            part,
            port: Port::Pin(pin),
        })
    }

    fn spot(&self, spot: Spot) -> String {
        match spot {
            Spot::Part(id) => self.part(id).to_owned(),
            Spot::Terminal(terminal) => self.harness.terminal_name(terminal),
            Spot::Wire(wire) => self.harness.wire_name(wire),
            Spot::Element(element) => self.harness.element_name(element),
            Spot::Cylinder(cylinder) => say!("cylinder {cylinder}"),
            Spot::Finding(finding) => say!("finding {finding}"),
        }
    }

    fn missing(&self, missing: Missing) -> String {
        match missing {
            Missing::Part(id) => say!("a part (number {id})"),
            Missing::Terminal(terminal) => {
                say!("a terminal of {}", self.part(terminal.part))
            }
            Missing::Element(element) => match self.harness.part_of(element) {
                Some(part) => say!("something inside {}", self.part(part)),
                None => say!("a wire, joint or driver"),
            },
            Missing::Cylinder(cylinder) => say!("cylinder {cylinder}"),
            Missing::Driver(id) => say!("a driver (number {id})"),
        }
    }
}

impl fmt::Display for Named<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.told())
    }
}

impl Named<'_> {
    fn told(&self) -> String {
        let h = self.harness;
        let wire = |id| h.wire_name(id);
        let terminal = |t| h.terminal_name(t);
        let place = |place: &usize| {
            let cylinder = h.engine.order.value.get(*place);
            cylinder.map_or_else(
                || say!("entry {} of the firing order", place + 1),
                |c: &CylinderId| say!("cylinder {c}"),
            )
        };
        match self.finding {
            MapFinding::NoCylinders => say!("The engine has no cylinders."),
            MapFinding::TooManyCylinders { found } => {
                say!("The engine has {found} cylinders; at most {MOST_CYLINDERS} can be mapped.")
            }
            MapFinding::CylinderRepeated { cylinder } => {
                say!("Cylinder {cylinder} stands twice in the rows.")
            }
            MapFinding::OrderLacks { cylinder } => {
                say!("The firing order leaves out cylinder {cylinder}.")
            }
            MapFinding::OrderRepeats { cylinder } => {
                say!("The firing order names cylinder {cylinder} more than once.")
            }
            MapFinding::OrderUnknown { cylinder } => {
                say!("The firing order names cylinder {cylinder}, which the engine does not have.")
            }
            MapFinding::AngleCount { order, angles } => {
                say!("The firing order has {order} entries, but {angles} crank angles are given.")
            }
            MapFinding::FirstAngle { at } => {
                say!("The crank angles begin at {at} instead of 0 °.")
            }
            MapFinding::AngleFalls {
                place: p,
                before,
                at,
            } => say!(
                "The crank angle of {} is {at}, less than the {before} before it.",
                place(p)
            ),
            MapFinding::AngleOutside {
                place: p,
                at,
                cycle,
            } => say!(
                "The crank angle of {} is {at}; it must lie from 0 up to {cycle}.",
                place(p)
            ),
            MapFinding::WireLoose { wire: w, end } => say!(
                "The {} end of {} has not been followed yet.",
                end_word(*end),
                wire(*w)
            ),
            MapFinding::WireNowhere { wire: w, end, .. } => say!(
                "The {} end of {} is at a terminal that does not exist.",
                end_word(*end),
                wire(*w)
            ),
            MapFinding::WireAtHighVoltage { terminal: t, .. } => say!(
                "A wire ends at {}, where only a plug lead can be.",
                terminal(*t)
            ),
            MapFinding::WireToItself { wire: w } => {
                say!("Both ends of {} are at the same terminal.", wire(*w))
            }
            MapFinding::WiresParallel { wires: (w, _) } => {
                say!("Two wires join the same terminals: {}.", wire(*w))
            }
            MapFinding::LeadLoose { lead, end } => say!(
                "The {} end of {} has not been followed yet.",
                end_word(*end),
                self.part(*lead)
            ),
            MapFinding::LeadNowhere { lead, end, .. } => say!(
                "The {} end of {} is at a terminal that does not exist.",
                end_word(*end),
                self.part(*lead)
            ),
            MapFinding::LeadMisplaced {
                lead,
                end,
                terminal: t,
            } => say!(
                "The {} end of {} cannot be at {}: leads go from a tower to a plug or to a distributor's centre.",
                end_word(*end),
                self.part(*lead),
                terminal(*t)
            ),
            MapFinding::LeadsShare { terminal: t, leads } => {
                say!("{} share {}.", self.parts(leads), terminal(*t))
            }
            MapFinding::PinLabelRepeated { unit, pins } => say!(
                "{} pins of {} carry the same label: {}.",
                pins.len(),
                self.part(*unit),
                pins.first()
                    .map_or_else(String::new, |pin| self.pin(*unit, *pin))
            ),
            MapFinding::PinUnlabelled { unit, .. } => {
                say!("A pin of {} has no number yet.", self.part(*unit))
            }
            MapFinding::PinUnknown { unit, pin } => {
                say!("What {} is for is not known yet.", self.pin(*unit, *pin))
            }
            MapFinding::CavityLabelRepeated {
                connector,
                cavities,
            } => say!(
                "{} cavities of {} carry the same label.",
                cavities.len(),
                self.part(*connector)
            ),
            MapFinding::CavityUnlabelled { connector, .. } => {
                say!("A cavity of {} has no number yet.", self.part(*connector))
            }
            MapFinding::NotCompanions {
                coil,
                cylinders: (a, b),
                tops: (at_a, at_b),
                apart,
            } => say!(
                "{} fires cylinders {a} and {b} together, but their pistons are {apart:.0} of crank apart (tops at {at_a:.0} and {at_b:.0}); a double-ended coil needs 0 or 360 °.",
                self.part(*coil)
            ),
            MapFinding::NoCompanionsAtAll { coils } => say!(
                "No two pistons of this engine are at the top together, so no double-ended coil can serve it: {}.",
                self.parts(coils)
            ),
            MapFinding::TowerWithoutLead { tower } => {
                say!("No lead comes from {}.", terminal(*tower))
            }
            MapFinding::CoilWithoutFeed { coil } => {
                say!("{} has no feed from the battery.", self.part(*coil))
            }
            MapFinding::CoilWithoutSwitch { coil } => {
                say!("Nothing switches {} yet.", self.part(*coil))
            }
            MapFinding::CoilWithoutGround { coil } => {
                say!(
                    "{} has a ground terminal with no way to ground.",
                    self.part(*coil)
                )
            }
            MapFinding::CoilAtWrongPin {
                coil,
                unit,
                pin,
                role,
            } => say!(
                "{} is switched from {}, which is for {}.",
                self.part(*coil),
                self.pin(*unit, *pin),
                role_word(*role)
            ),
            MapFinding::CoilsShareDriver {
                driver,
                unit,
                coils,
            } => say!(
                "{} share {} of {}.",
                self.parts(coils),
                self.driver(*driver),
                self.part(*unit)
            ),
            MapFinding::DriversShareCoil { coil, drivers } => {
                say!("{} share {}.", self.drivers(drivers), self.part(*coil))
            }
            MapFinding::DriverWithoutCoil { driver, unit } => say!(
                "{}: {} switches no coil yet.",
                self.part(*unit),
                self.driver(*driver)
            ),
            MapFinding::DriverWithoutSignal { driver, unit } => say!(
                "Nothing tells {} of {} when to switch.",
                self.driver(*driver),
                self.part(*unit)
            ),
            MapFinding::DriverPinMissing { driver, unit, .. } => say!(
                "{}: {} uses a pin that does not exist.",
                self.part(*unit),
                self.driver(*driver)
            ),
            MapFinding::DriverPinRole {
                driver,
                unit,
                pin,
                needs,
                role,
            } => say!(
                "{}: {} needs a pin for {}, but {} is for {}.",
                self.part(*unit),
                self.driver(*driver),
                role_word(*needs),
                self.pin(*unit, *pin),
                role_word(*role)
            ),
            MapFinding::DriversSharePin { unit, pin, drivers } => {
                say!("{} share {}.", self.drivers(drivers), self.pin(*unit, *pin))
            }
            MapFinding::PackMissing { coil, .. } => say!(
                "{} is said to sit in a pack, but there is no such pack.",
                self.part(*coil)
            ),
            MapFinding::PackEmpty { pack } => {
                say!("{} holds no coil yet.", self.part(*pack))
            }
            MapFinding::CylinderWithoutPlug { cylinder } => {
                say!("Cylinder {cylinder} has no spark plug yet.")
            }
            MapFinding::CylinderWithoutCoil { cylinder } => {
                say!("No coil reaches cylinder {cylinder} yet.")
            }
            MapFinding::PlugWithoutCoil { plug } => {
                say!("No coil reaches {} yet.", self.part(*plug))
            }
            MapFinding::CylinderUntold { part } => {
                say!(
                    "Which cylinder {} belongs to is not known yet.",
                    self.part(*part)
                )
            }
            MapFinding::CylinderUnknown { part, cylinder } => say!(
                "{} is for cylinder {cylinder}, which the engine does not have.",
                self.part(*part)
            ),
            MapFinding::CapRepeats {
                distributor,
                cylinder,
            } => say!(
                "{} has more than one tower for cylinder {cylinder}.",
                self.part(*distributor)
            ),
            MapFinding::CapOutOfOrder { distributor } => say!(
                "The towers of {} do not follow the firing order either way round.",
                self.part(*distributor)
            ),
            MapFinding::LeadsCrossed {
                tower,
                lead,
                cylinder,
            } => say!(
                "{} comes from {} but goes to cylinder {cylinder}.",
                self.part(*lead),
                terminal(*tower)
            ),
            MapFinding::DistributorWithoutCoil { distributor } => {
                say!(
                    "No coil feeds the centre of {} yet.",
                    self.part(*distributor)
                )
            }
            MapFinding::NoBattery => say!("There is no battery on the map yet."),
            MapFinding::SeveralBatteries { batteries } => {
                say!("There are several batteries: {}.", self.parts(batteries))
            }
            MapFinding::NoGroundPath { grounds } if grounds.is_empty() => say!(
                "No ground point on the engine is drawn yet: the plugs' way back to the battery is missing."
            ),
            MapFinding::NoGroundPath { grounds } => {
                say!("{} has no way back to the battery.", self.parts(grounds))
            }
            MapFinding::ShortCircuit { wires } => say!(
                "Battery positive and negative are joined with nothing between, over {}.",
                and(&wires.iter().map(|w| wire(*w)).collect::<Vec<_>>())
            ),
            MapFinding::UnitWithoutSupply { unit } => {
                say!("{} has no supply yet.", self.part(*unit))
            }
            MapFinding::UnitWithoutGround { unit } => {
                say!("{} has no ground yet.", self.part(*unit))
            }
            MapFinding::RelayWithoutWinding { terminal: t } => say!(
                "Nothing is joined to {}, so the relay can never pull in.",
                terminal(*t)
            ),
            MapFinding::DeadEnd { terminal: t } => {
                say!("Nothing is joined to {} yet.", terminal(*t))
            }
            MapFinding::ValueOutOfRange {
                spot,
                quantity,
                value,
            } => {
                let range = quantity.range();
                let unit = if range.unit.is_empty() {
                    String::new()
                } else {
                    format!(" {}", range.unit)
                };
                say!(
                    "{}: {value}{unit} is far from the usual {} to {}{unit} ({}).",
                    self.spot(*spot),
                    range.usual.0,
                    range.usual.1,
                    said(range.source)
                )
            }
            MapFinding::FactsClash { at } => {
                let held = self.harness.fact(*at).map(|fact| (fact.value, fact.how));
                let others = self.harness.rivals_of(*at);
                let others = others.map(|rival| (rival.value.clone(), rival.how));
                let all: Vec<String> = held
                    .into_iter()
                    .chain(others)
                    .map(|(value, how)| {
                        format!(
                            "{} ({})",
                            self.harness.value_name(*at, &value),
                            how.phrase()
                        )
                    })
                    .collect();
                say!(
                    "What is said of {} clashes: {}.",
                    self.harness.fact_name(*at),
                    and(&all)
                )
            }
            MapFinding::FindingNames { finding, missing } => say!(
                "Finding {finding} names {}, which the map does not have.",
                self.missing(*missing)
            ),
        }
    }
}
