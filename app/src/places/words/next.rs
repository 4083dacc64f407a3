//! Words of the next act: what to do, what comes off first, what to mind, what it would mean.

use crate::text::{Text, text};
use sparktrail_core::isolation::{Access, Act, Loose, Probes, Question, Stop, Tool, Unit};
use sparktrail_core::model::{
    DriverPiece, Element, EngineState, FaultThen, Harness, StressKind, Substitute,
};
use sparktrail_core::said::{said, say};

use super::findings::pair;
use super::meter::{self, HighVoltage, UnitUnplugged};

/// Over the card.
pub const DO_THIS: Text = text("Do this next");
/// Over the card, where something is to be traced first.
pub const OR_TEST: Text = text("Or test without it");
/// To the place where pins are traced.
pub const TRACE: Text = text("Find out which pin");
/// The plan is being made.
pub const WEIGHING: Text = text("Weighing every test…");
/// Where the leads go.
pub const RED: Text = text("Red lead");
/// Where the leads go.
pub const BLACK: Text = text("Black lead");
/// Where a test lamp goes.
pub const TIP: Text = text("Tip of the lamp");
/// Where a test lamp goes.
pub const CLIP: Text = text("Clip of the lamp");
/// How the car stands.
pub const SETUP: Text = text("Car");
/// The time it takes.
pub const TIME: Text = text("Takes");
/// What comes off.
pub const FIRST: Text = text("First");
/// Nothing comes off.
pub const NOTHING_FIRST: Text = text("nothing to take off");
/// What it means.
pub const OUTCOMES: Text = text("What did you find?");
/// What a reading means.
pub const READ: Text = text("What did it read?");
/// What leads then.
pub const THEN: Text = text("What each outcome would mean");
/// What suspects predict.
pub const PREDICT: Text = text("What each suspect predicts");
/// The others.
pub const INSTEAD: Text = text("Do something else instead");
/// Cautions.
pub const CAUTION: Text = text("Before you start");
/// What is left to mend.
pub const REPAIRS: Text = text("What is left to mend, in this order");
/// No dead cylinder told yet.
pub const NOTHING_YET: Text =
    text("Say which cylinders are dead first: every test is weighed by that.");
/// Nothing fits.
pub const NOTHING_FITS: Text =
    text("There is no next test while the findings contradict each other. See Suspects.");
/// Meter place.
pub const SHOW_METER: Text = text("Show on the meter");
/// Fault there or not.
pub const ENTERED: Text = text("Entered. The next step is ready.");

/// What an act tells, as bits in words.
#[must_use]
pub fn worth(bits: f64) -> &'static str {
    said(if bits >= 0.8 {
        "tells very much"
    } else if bits >= 0.4 {
        "tells much"
    } else if bits >= 0.15 {
        "tells something"
    } else {
        "tells little"
    })
}

/// Minutes, spoken.
#[must_use]
pub fn minutes(minutes: f64) -> String {
    if minutes < 1.5 {
        say!("about a minute")
    } else {
        say!("about {minutes:.0} minutes")
    }
}

/// What is to be traced.
#[must_use]
pub fn trace(harness: &Harness, loose: &Loose) -> String {
    let coils: Vec<&str> = loose.coils.iter().map(|c| harness.part_name(*c)).collect();
    let (coils, unit) = (coils.join(", "), harness.part_name(loose.unit));
    say!("Find out which pin of {unit} switches {coils}.")
}

/// Why it is to be traced before anything is tested.
#[must_use]
pub fn why_trace(loose: &Loose) -> String {
    let dead: Vec<String> = loose.cylinders.iter().map(ToString::to_string).collect();
    let (dead, share) = (dead.join(", "), chance(loose.share));
    say!(
        "Nobody has followed that wire to its end yet. Dead cylinders on it: {dead}. The fault may be on the wire, at a pin that leads nowhere on this map, or behind it ({share}), and no test tells these apart before you know which pin it is."
    )
}

/// Whether to go on.
#[must_use]
pub fn stop(harness: &Harness, stop: Stop) -> Option<String> {
    match stop {
        Stop::GoOn => None,
        Stop::Isolated(unit) => Some(say!(
            "Found, as far as testing can tell: {}. Mend it, then see whether the fault is gone.",
            unit.name(harness)
        )),
        Stop::Mend(unit) => Some(say!(
            "Mend {} now: that costs less than testing on. Then see whether the fault is gone.",
            unit.name(harness)
        )),
        Stop::HandOver(unit @ Unit::Cylinder(_)) => Some(say!(
            "More tests are not likely to help. What leads is {}. That is not electrical: have it looked at by somebody who has the tools for it.",
            unit.name(harness)
        )),
        Stop::HandOver(unit) => Some(say!(
            "More tests are not likely to help. What leads is still {}, though it was mended once: look at that repair again, with care.",
            unit.name(harness)
        )),
        Stop::NothingTells => Some(say!(
            "No test tells enough to be worth its time. Work down the list of what is left to mend."
        )),
        Stop::TooMany => Some(say!(
            "That is a lot of tests. Better work down the list of what is left to mend."
        )),
    }
}

/// What to do, as a sentence.
#[must_use]
pub fn act(harness: &Harness, act: &Act) -> String {
    ask(harness, &act.question)
}

/// What a question asks to be done, as a sentence.
#[must_use]
pub fn ask(harness: &Harness, question: &Question) -> String {
    let piece = |element| harness.element_name(element);
    match question {
        Question::Contribution(cylinder) => say!("See whether cylinder {cylinder} works."),
        Question::Spark(cylinder) if harness.boot_of(*cylinder).is_some() => say!(
            "With the engine off, put a spark tester between the coil and the plug of cylinder {cylinder}, or an extension lead that takes a timing light. Then start it and watch for sparks."
        ),
        Question::Spark(cylinder) => say!(
            "With the engine off, clip a timing light to the lead of cylinder {cylinder}, or put a spark tester between lead and plug. Then start it and watch for sparks."
        ),
        Question::Volts(probes) => {
            say!("Measure volts at {}.", harness.terminal_name(probes.red))
        }
        Question::Resistance(probes) => say!(
            "Measure resistance from {} to {}.",
            harness.terminal_name(probes.red),
            other(harness, probes)
        ),
        Question::Drop(probes) => say!(
            "Measure the voltage lost from {} to {} under load.",
            harness.terminal_name(probes.red),
            other(harness, probes)
        ),
        Question::Lamp(probes) if probes.setup.engine != EngineState::Stopped => say!(
            "Clip a test lamp, best one with diodes, to {} and hold its tip to {} while a helper turns the engine with the starter: see whether it flickers.",
            other(harness, probes),
            harness.terminal_name(probes.red)
        ),
        Question::Lamp(probes) => {
            say!("Hold a test lamp to {}.", harness.terminal_name(probes.red))
        }
        Question::Look(Element::Cylinder(cylinder)) => say!(
            "With the engine idling, see whether cylinder {cylinder} gets fuel and air: does its injector, if it has one, click at the tip of a long screwdriver with your ear at the handle; does air hiss in at its intake; is a hose off?"
        ),
        Question::Look(element) => say!("Look closely at {}.", piece(*element)),
        Question::Stress(element, by) => match by {
            StressKind::Wiggled => {
                let plug = harness.part_of(*element);
                let plug =
                    plug.map_or_else(|| piece(*element), |part| harness.part_name(part).into());
                say!("Wiggle the plug of {plug} and listen to the engine.")
            }
            StressKind::Heated => say!("Warm {} gently and watch.", piece(*element)),
            StressKind::Cooled => say!("Cool {} and watch.", piece(*element)),
        },
        Question::Substitute(part, with) => match with {
            Substitute::New => say!("Fit a new {}.", harness.part_name(*part)),
            Substitute::KnownGood => say!(
                "Put one that is known to work in place of {}.",
                harness.part_name(*part)
            ),
        },
        Question::Swap(two) => {
            let (a, b) = pair(harness, *two);
            say!("Swap {a} and {b}, and see whether the fault moves.")
        }
        Question::Clean(element) => {
            let plug = harness.part_of(*element);
            let plug = plug.map_or_else(|| piece(*element), |part| harness.part_name(part).into());
            say!("Pull the plug of {plug}, clean all its contacts and push it on again.")
        }
        Question::Remake(element) => remake(harness, *element),
        Question::Code(code) => say!("See whether code {code} is stored."),
        Question::AnyCode => say!("Read the trouble codes."),
        Question::Compression(cylinder) => {
            say!("Check the compression of cylinder {cylinder} beside its neighbours.")
        }
    }
}

/// What is made anew, by what it is.
fn remake(harness: &Harness, element: Element) -> String {
    let piece = harness.element_name(element);
    match element {
        Element::Wire(_) => say!("Lay a new wire in place of {piece}."),
        Element::CrankSignal(_) => {
            say!("Replace the crank sensor, with its plug and wires, by ones known to work.")
        }
        Element::Driver(driver, DriverPiece::Switch | DriverPiece::DriveResistor) => {
            let name = harness
                .driver(driver)
                .map_or_else(|| say!("the driver"), |d| d.name.clone());
            say!("Solder in a new part for {piece} ({name}).")
        }
        Element::Driver(
            driver,
            DriverPiece::OutputJoint
            | DriverPiece::GroundJoint
            | DriverPiece::DriveJoint
            | DriverPiece::GateJoint,
        ) => {
            let name = harness
                .driver(driver)
                .map_or_else(|| say!("the driver"), |d| d.name.clone());
            say!("Re-solder all joints of {name}.")
        }
        Element::BoardSupply(_) | Element::BoardGround(_) => say!("Re-solder {piece}."),
        Element::Trace(..) => say!("Bridge {piece} with a wire."),
        Element::Battery(_)
        | Element::Contact(_)
        | Element::RelayWinding(_)
        | Element::Joint(..)
        | Element::Mated(_)
        | Element::Cavity(..)
        | Element::Logic(_)
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
        | Element::Cylinder(_) => say!("Make {piece} anew."),
    }
}

/// What to tell a specialist who works on boards.
#[must_use]
pub fn specialist(unit: &str) -> String {
    say!(
        "This sits on a board: hand the unit to a specialist unless you solder boards. Tell them: “The likeliest fault is {unit}. Please check and re-solder it, and restore the protective coat.” Give them the list of your findings."
    )
}

/// A tool as people say it.
#[must_use]
pub fn tool(tool: Tool) -> &'static str {
    said(match tool {
        Tool::Meter => "Multimeter",
        Tool::TestLamp => "Test lamp",
        Tool::TimingLight => "Timing light",
        Tool::SparkTester => "Spark tester",
        Tool::Scope => "Oscilloscope",
        Tool::CompressionTester => "Compression tester",
        Tool::BoardSoldering => "I solder boards",
    })
}

/// Heading over the tools.
pub const TOOLS: Text = text("What you have");
/// What they do.
pub const TOOLS_HINT: Text = text(
    "Only tests that you can do are proposed. Board work is for those who are practised at it.",
);
/// Whether the fault showed.
pub const THEN_NOW: Text = text("The fault shows now");
/// Choices for that, in order.
pub const THENS: [(Text, FaultThen); 3] = [
    (text("yes"), FaultThen::Present),
    (text("not sure"), FaultThen::Unknown),
    (text("no, it is away"), FaultThen::Away),
];
/// What a pass while away is worth.
pub const AWAY_HINT: Text = text("A test that passes while the fault is away clears nothing.");
/// What can be done while it is away.
pub const AWAY_NOW: Text = text(
    "While it is away, only what can bring it back, or can be seen without it, tells anything. Tap “yes” as soon as it shows.",
);
/// There is nothing.
pub const WAIT_FOR_IT: Text = text(
    "Nothing to do until the fault shows again. Warm, cold, wet, rough road: bring about what it likes, then tap “yes”.",
);
/// Over the repair that is advised.
pub const MEND_THIS: Text = text("Mend this now");

/// A repair that is another trade.
pub const FOR_A_SPECIALIST: Text = text("for a specialist");

fn other(harness: &Harness, probes: &Probes) -> String {
    probes
        .black
        .map_or_else(|| say!("nothing"), |black| harness.terminal_name(black))
}

/// What must be opened or taken out.
#[must_use]
pub fn access(harness: &Harness, access: Access) -> String {
    match access {
        Access::Reach(part) => say!("get at {}", harness.part_name(part)),
        Access::Plugs(row) => {
            let row = harness
                .engine
                .banks
                .get(row)
                .map_or_else(|| say!("the row"), |bank| bank.name.clone());
            say!("get at the plugs of {row}")
        }
        Access::Open(part) => say!("take {} out and open it", harness.part_name(part)),
        Access::Solder(part) => {
            say!("heat the iron for the board of {}", harness.part_name(part))
        }
    }
}

/// Whether an act goes inside a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Inside {
    /// Nothing is opened.
    No,
    /// A unit's housing is opened.
    Open,
    /// There is soldering on a board.
    Solder,
}

pub(super) const RUNNING: Text = text(
    "The engine runs: hands, sleeves and tools clear of belts and fans, exhaust and coolant are hot, work in the open air.",
);
pub(super) const SECONDARY: Text = text(
    "Tens of thousands of volts stand on the plug leads: keep clear, and keep away with a pacemaker. Never pull a lead on a running engine.",
);
const CRANKING: Text = text(
    "The starter turns the engine: gearbox in neutral, brake on. Stop fuel and spark first; fuel vapour and sparks make fire.",
);
pub(super) const OPEN_SPARK: Text = text(
    "No coil may spark into the open: it hurts people and kills coils. Take the small plug off every coil before a spark plug or its lead comes off and the engine is turned.",
);
pub(super) const PULLING: Text = text(
    "Engine off, key out, battery off and parts cool before you take anything off or apart. A hybrid can start its engine by itself: never with the car switched on. Leave orange cables (hybrid) and yellow plugs (airbags) alone.",
);
pub(super) const FUEL: Text = text(
    "Fuel stands under pressure and its vapour burns: no sparks or flames near it, a cloth and an extinguisher at hand.",
);
const FREEZING: Text = text(
    "Only freezing spray that says that it does not burn: most of it does, and there are sparks and hot parts about.",
);
pub(super) const UNIT: Text = text(
    "Take the battery off before you unplug the control unit. Touch bare metal first: a static spark kills a board.",
);
pub(super) const SOLDER: Text = text(
    "Solder on a board only if you are practised at it, with an iron that holds its temperature, and put the protective coat back on afterwards.",
);

/// What to mind, the most needed first; the last word is that local rules come first.
#[must_use]
pub fn cautions(
    act: &Act,
    inside: Inside,
    unit_unplugged: UnitUnplugged,
    high: HighVoltage,
) -> Vec<&'static str> {
    let mut found = match &act.question {
        Question::Contribution(_) | Question::Spark(_) => vec![RUNNING.said(), SECONDARY.said()],
        Question::Volts(probes)
        | Question::Drop(probes)
        | Question::Lamp(probes)
        | Question::Resistance(probes) => meter::cautions(&probes.setup, unit_unplugged, high),
        Question::Stress(_, StressKind::Wiggled) => vec![RUNNING.said(), SECONDARY.said()],
        Question::Stress(_, StressKind::Heated) => vec![
            RUNNING.said(),
            SECONDARY.said(),
            said("Warm with a hair dryer, never with a flame: there is fuel vapour about."),
        ],
        Question::Stress(_, StressKind::Cooled) => {
            vec![RUNNING.said(), SECONDARY.said(), FREEZING.said()]
        }
        Question::Look(Element::Cylinder(_)) => {
            vec![RUNNING.said(), SECONDARY.said(), FUEL.said()]
        }
        Question::Look(_)
        | Question::Substitute(..)
        | Question::Swap(_)
        | Question::Clean(_)
        | Question::Remake(_) => vec![PULLING.said()],
        Question::Compression(_) => vec![CRANKING.said(), OPEN_SPARK.said(), PULLING.said()],
        Question::Code(_) | Question::AnyCode => Vec::new(),
    };
    match inside {
        Inside::No => {}
        Inside::Open => found.push(UNIT.said()),
        Inside::Solder => found.extend([UNIT.said(), SOLDER.said()]),
    }
    if !found.is_empty() {
        found.push(meter::RULES.said());
    }
    found
}

/// How likely something is, in words.
#[must_use]
pub fn chance(chance: f64) -> String {
    super::suspects::share(chance)
}

/// What leads after an outcome.
#[must_use]
pub fn leads_then(unit: &str, share: f64) -> String {
    say!("then {unit} leads with {}", super::suspects::share(share))
}

/// How far the weighing is.
#[must_use]
pub fn progress(done: usize, of: usize) -> String {
    say!("{done} of {of}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use sparktrail_core::engine::CylinderId;
    use sparktrail_core::isolation::{AccessSet, Cost, Needs};
    use sparktrail_core::model::Setup;

    fn asks(question: Question) -> Act {
        Act {
            question,
            cost: Cost {
                minutes: 1.0,
                risk: 0.0,
                access: AccessSet::NONE,
            },
            aim: None,
            needs: Needs::NOTHING,
        }
    }

    #[test]
    fn acts_that_can_hurt_say_how() {
        let spark = asks(Question::Spark(CylinderId(1)));
        let said = cautions(&spark, Inside::No, UnitUnplugged::No, HighVoltage::Away).join(" ");
        for word in ["pacemaker", "belts", "Never pull a lead", "Local rules"] {
            assert!(said.contains(word), "{word} is not in {said}");
        }
        let codes = asks(Question::AnyCode);
        let said = cautions(&codes, Inside::Solder, UnitUnplugged::No, HighVoltage::Away).join(" ");
        for word in ["battery off before you unplug", "static", "practised"] {
            assert!(said.contains(word), "{word} is not in {said}");
        }
        let volts = asks(Question::Volts(Probes {
            red: sparktrail_core::model::Terminal {
                part: sparktrail_core::model::PartId::from(1),
                port: sparktrail_core::model::Port::Plus,
            },
            black: None,
            setup: Setup::idling(),
        }));
        let said = cautions(&volts, Inside::No, UnitUnplugged::No, HighVoltage::Kick).join(" ");
        for word in ["Belts and fans", "several hundred volts"] {
            assert!(said.contains(word), "{word} is not in {said}");
        }
        let compression = asks(Question::Compression(CylinderId(1)));
        let said = cautions(
            &compression,
            Inside::No,
            UnitUnplugged::No,
            HighVoltage::Away,
        )
        .join(" ");
        for word in [
            "Stop fuel and spark",
            "spark into the open",
            "airbags",
            "hybrid",
        ] {
            assert!(said.contains(word), "{word} is not in {said}");
        }
        let contact = Element::Mated(sparktrail_core::model::Terminal {
            part: sparktrail_core::model::PartId::from(1),
            port: sparktrail_core::model::Port::Feed,
        });
        let cooled = asks(Question::Stress(contact, StressKind::Cooled));
        let said = cautions(&cooled, Inside::No, UnitUnplugged::No, HighVoltage::Away).join(" ");
        assert!(
            said.contains("does not burn") && !said.contains("hair dryer"),
            "{said}"
        );
    }
}
