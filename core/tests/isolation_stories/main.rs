//! Stories that must come out right, told on samples: what the owner found, and what must then be believed.
//!
//! The bounds are those of a prototype of the same method with invented priors: judgement throughout.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "a test names what it looks for"
)]

use sparktrail_core::edit::layouts;
use sparktrail_core::engine::{CylinderId, Layout, Strokes};
use sparktrail_core::isolation::{
    Answer, Assessment, Case, Explained, PairSearch, Plan, Question, Unit,
};
use sparktrail_core::model::*;
use sparktrail_core::units::{Degrees, Ohms, Volts};

mod dead;
mod driver;
mod tried;

const V8: &str = include_str!("../../../sample-harnesses/white-cruiser.json");
const V6: &str = include_str!("../../../sample-harnesses/black-coupe.json");
const FOUR: &str = include_str!("../../../sample-harnesses/blue-estate.json");

/// A sample with its own findings and the owner's word on ages left out.
fn sample(text: &str) -> Harness {
    let mut harness = file::read(text).unwrap();
    harness.findings.clear();
    for part in harness.parts.values_mut() {
        part.condition = Condition::default();
    }
    harness
}

struct Story {
    harness: Harness,
    findings: Vec<Finding>,
}

impl Story {
    fn of(text: &str) -> Self {
        Self {
            harness: sample(text),
            findings: Vec::new(),
        }
    }

    fn see(&mut self, seen: Seen) -> &mut Self {
        self.see_in(seen, None, FaultThen::Present)
    }

    fn see_in(&mut self, seen: Seen, setup: Option<Setup>, then: FaultThen) -> &mut Self {
        let number = 10_000 + u32::try_from(self.findings.len()).unwrap();
        self.findings.push(Finding {
            setup,
            ..Finding::new(FindingId::from_number(number), seen, then)
        });
        self
    }

    /// These cylinders are dead, all others alive.
    fn dead(&mut self, dead: &[u8]) -> &mut Self {
        for cylinder in self.harness.engine.cylinders() {
            let works = if dead.contains(&cylinder.0) {
                Works::Dead
            } else {
                Works::Alive
            };
            self.see(Seen::Contribution { cylinder, works });
        }
        self
    }

    fn part(&self, name: &str) -> PartId {
        let found = self.harness.parts.iter().find(|(_, p)| p.name == name);
        *found.unwrap_or_else(|| panic!("no part {name}")).0
    }

    fn at(&self, name: &str, port: Port) -> Terminal {
        Terminal {
            part: self.part(name),
            port,
        }
    }

    /// The unit's pin that switches the nth driver.
    fn pin(&self, driver: usize) -> Terminal {
        let (part, driver) = self.harness.drivers().nth(driver).unwrap();
        Terminal {
            part,
            port: Port::Pin(driver.output.unwrap().value),
        }
    }

    fn driver(&self, nth: usize) -> DriverId {
        self.harness.drivers().nth(nth).unwrap().1.id
    }

    fn volts_at(&mut self, red: Terminal, volts: f64, setup: Setup) -> &mut Self {
        let black = Some(self.minus());
        let reading = Volts::lit(volts);
        self.see_in(
            Seen::Volts {
                red,
                black,
                reading,
            },
            Some(setup),
            FaultThen::Present,
        )
    }

    fn minus(&self) -> Terminal {
        let battery = |p: &Part| matches!(p.kind, PartKind::Battery(_));
        let (id, _) = self.harness.parts.iter().find(|(_, p)| battery(p)).unwrap();
        Terminal {
            part: *id,
            port: Port::Minus,
        }
    }

    fn case(&self) -> Case<'_> {
        Case::of(&self.harness).unwrap()
    }

    fn assess(&self, case: &Case<'_>) -> Assessment {
        let assessment = case.assess_with(&self.findings).unwrap();
        assert!(assessment.troubles.is_empty(), "{:?}", assessment.troubles);
        assessment
    }

    fn share(&self, test: impl Fn(Unit) -> bool) -> f64 {
        let case = self.case();
        let assessment = self.assess(&case);
        sum(&case, &assessment, test)
    }

    /// Share of causes rather than units.
    fn share_of(&self, test: impl Fn(&sparktrail_core::isolation::Cause) -> bool) -> f64 {
        let case = self.case();
        let assessment = self.assess(&case);
        case.causes()
            .iter()
            .enumerate()
            .filter(|(_, cause)| test(cause))
            .map(|(i, _)| assessment.belief.suspect(i))
            .sum()
    }

    fn print(&self, what: &str) {
        let case = self.case();
        let assessment = self.assess(&case);
        println!("{what}");
        for (unit, share) in case.ranked(&assessment, 0.004) {
            println!("  {share:.3} {}", unit.name(&self.harness));
        }
    }

    /// Whether a unit belongs to a driver: its pieces, joints and drive path.
    fn is_driver(&self, unit: Unit, nth: usize) -> bool {
        let id = self.driver(nth);
        matches!(unit, Unit::Transistor(d) | Unit::DriverJoints(d) | Unit::DriveResistor(d) if d == id)
    }
}

fn sum(case: &Case<'_>, assessment: &Assessment, test: impl Fn(Unit) -> bool) -> f64 {
    case.units()
        .iter()
        .enumerate()
        .filter(|(_, unit)| test(**unit))
        .map(|(i, _)| assessment.belief.unit(i))
        .sum()
}

/// Whether a unit serves both cylinders of the pair 1 + 6 through its coil, and nothing else.
fn shared_path_of_1_and_6(story: &Story, unit: Unit) -> bool {
    let harness = &story.harness;
    let coil = story.part("Coil A");
    let driver = story.driver(0);
    let pin = story.pin(0);
    let touches = |terminal: Terminal| {
        terminal == pin || terminal.part == coil || is_cavity(harness, terminal, pin)
    };
    match unit {
        Unit::Part(part) => part == coil,
        Unit::Wire(wire) => {
            let wire = &harness.wires[&wire];
            [wire.from, wire.to]
                .into_iter()
                .flatten()
                .any(|end| touches(end.value))
        }
        // The coil's own plug; of the unit's and the connector's plugs, what the pin's causes hold.
        Unit::Contacts(part) => part == coil,
        Unit::Trace(_, id) => Port::Pin(id) == pin.port,
        Unit::Transistor(d) | Unit::DriverJoints(d) | Unit::DriveResistor(d) => d == driver,
        // The joint of the coil's own feed wire at the splice; the unit's logic for that driver.
        Unit::Joints(part) => harness.part_name(part) == "Coil splice",
        Unit::Logic(_) => true,
        Unit::BoardSupply(_)
        | Unit::BoardGround(_)
        | Unit::CrankSignal(_)
        | Unit::Crossed(..)
        | Unit::Cylinder(_) => false,
    }
}

/// Whether a terminal is a side of the cavity to which the pin's wire goes.
fn is_cavity(harness: &Harness, terminal: Terminal, pin: Terminal) -> bool {
    let Port::Cavity(cavity, _) = terminal.port else {
        return false;
    };
    harness.wires.values().any(|wire| {
        let ends: Vec<Terminal> = [wire.from, wire.to]
            .into_iter()
            .flatten()
            .map(|end| end.value)
            .collect();
        ends.contains(&pin)
            && ends.iter().any(|end| {
                end.part == terminal.part && matches!(end.port, Port::Cavity(c, _) if c == cavity)
            })
    })
}
