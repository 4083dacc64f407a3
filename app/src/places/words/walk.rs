//! Words of the guided walks: what to do at each step, what an answer meant, how a walk ended.

mod told;

use crate::text::{Text, plain, text};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Question};
use sparktrail_core::model::{Element, Harness, PartKind, Setup, Stored, StressKind};
use sparktrail_core::said::{said, say};
use sparktrail_core::walkthrough::{Caution, Instrument, Kind, NoWalk, Reply, Step, Task};

use super::findings::{answer as answer_words, answer_to, pair};
use super::meter::{self, ohms};
use super::next;
use super::suspects::titled;

pub use told::{foretold, meaning, verdict};

/// Starts the walk of an act.
pub const WALK_ME: Text = text("Walk me through it");
/// Starts the walk that finds the dead cylinders.
pub const FIND_DEAD: Text = text("Find the dead cylinders, step by step");
/// Heading over the walks that a place offers.
pub const FROM_HERE: Text = text("Check it, step by step");
/// Shows them.
pub const SHOW_OFFERS: Text = text("Show the walks from here");
/// There are none.
pub const NO_OFFERS: Text =
    text("No guided walk begins here. Choose a wire, a pin, a coil or a cylinder.");
/// The walk that was left.
pub const LEFT: Text = text("A walk is waiting");
/// Walks that begin at no place of the map.
pub const OTHER_WALKS: Text = text("Other walks");
/// Goes on with it.
pub const GO_ON: Text = text("Go on with it");
/// Puts it away.
pub const PUT_AWAY: Text = text("Put it away");
/// Leaves the walk.
pub const LEAVE: Text = text("Leave");
/// What leaving does.
pub const LEAVE_HINT: Text = text("Leave; the walk waits under Next");
/// One step back.
pub const BACK: Text = text("Take back");
/// What taking back does.
pub const BACK_HINT: Text = text("Take the last answer back, with what it found");
/// Opens the sheet.
pub const PAPER: Text = text("On paper");
/// Heading of the sheet.
pub const SHEET: Text = text("This walk on paper");
/// What the sheet is.
pub const SHEET_LEAD: Text = text(
    "One page for use without a screen: what a sound car shows, and room for what yours does. Stop where a reading is wrong, and enter what you wrote down later.",
);
/// Prints it.
pub const PRINT: Text = text("Print");
/// Columns of the sheet.
pub const SHEET_HEAD: [Text; 4] = [
    plain(""),
    text("Do this"),
    text("A sound car"),
    text("Yours"),
];
/// The walk.
pub const WALK: Text = text("Guided walk");
/// How the car has to stand.
pub const CAR: Text = text("Car");
/// With what.
pub const WITH: Text = text("With");
/// Over what was found in the last step.
pub const SO_FAR: Text = text("Steps so far");
/// What should show.
pub const EXPECTED: Text = text("A sound car");
/// Why it should.
pub const WHY: Text = text("Why");
/// Where the leads go on the face of a connector.
pub const FACE: Text = text("On the connector, seen from the wires");
/// Over the replies.
pub const REPLY: Text = text("Your answer");
/// Over the field.
pub const READ: Text = text("What did it read?");
/// Before a swap.
pub const FORETOLD: Text = text("What each suspect predicts");
/// The end.
pub const OVER: Text = text("Done");
/// Back to the plan.
pub const TO_NEXT: Text = text("See what to do next");

/// What a walk is about.
#[must_use]
pub fn kind(harness: &Harness, kind: &Kind) -> String {
    let at = |terminal| harness.terminal_name(terminal);
    match kind {
        Kind::Dead => say!("Find the dead cylinders"),
        Kind::Continuity { from, to } => {
            say!("Does it conduct: {} to {}", at(*from), at(*to))
        }
        Kind::Siblings { of } => say!("{} beside its siblings", at(*of)),
        Kind::Drop { from, to } => {
            say!("Voltage lost under load: {} to {}", at(*from), at(*to))
        }
        Kind::Spark(cylinder) => say!("Spark of cylinder {cylinder}"),
        Kind::Swap(two) => {
            let (a, b) = pair(harness, *two);
            say!("Swap {a} and {b}")
        }
        Kind::Stress(element) => say!("Provoke {}", harness.element_name(*element)),
        Kind::Mended(_) => say!("Check after the repair"),
        Kind::Single(question) => asked(harness, question),
    }
}

/// How far a walk is.
#[must_use]
pub fn progress(done: usize, left: usize) -> String {
    match left {
        0 => say!("Step {}, the last one", done + 1),
        1 => say!("Step {}, at most 1 more", done + 1),
        left => say!("Step {}, at most {left} more", done + 1),
    }
}

fn asked(harness: &Harness, question: &Question) -> String {
    next::ask(harness, question)
}

/// What to do at a step.
#[must_use]
pub fn task(harness: &Harness, step: &Step) -> String {
    match &step.task {
        Task::Runs => say!("Try to start the engine. Does it run by itself?"),
        Task::FaultNow => say!("Does the fault show right now?"),
        Task::LeadsTogether => {
            say!("Set the meter to ohms and hold the tips of both leads together.")
        }
        Task::Reference(_) => {
            say!("First a reading that you know: red on the battery’s plus, black on its minus.")
        }
        Task::LampReference(_) => {
            say!(
                "First prove the lamp: hold it across the battery’s posts. It must shine brightly."
            )
        }
        Task::Ask(Question::Contribution(cylinder)) => {
            say!("Does cylinder {cylinder} do its share?")
        }
        Task::Ask(Question::Drop(_)) => {
            say!("With the engine turning, press red and black on hard. What is lost between them?")
        }
        Task::Ask(Question::Swap(two)) => {
            let (a, b) = pair(harness, *two);
            say!("Start the engine. {a} and {b} have changed places: what does the fault do?")
        }
        Task::Ask(Question::Stress(element, by)) => stressed(harness, *element, *by),
        Task::Ask(
            question @ (Question::Substitute(..) | Question::Clean(_) | Question::Remake(_)),
        ) => say!(
            "{} Now start the engine: what does the fault do?",
            done(harness, question)
        ),
        Task::Ask(question) => asked(harness, question),
        Task::ProveTool(Question::Spark(cylinder)) => say!(
            "Prove the light first: clip it to the lead of cylinder {cylinder}, which works. Does it flash?"
        ),
        Task::ProveTool(question) => asked(harness, question),
        Task::Exchange(two) => {
            let (a, b) = pair(harness, *two);
            say!("Let {a} and {b} change places. Plug everything back in.")
        }
        Task::Carry(question) => asked(harness, question),
        Task::Restore => {
            say!("Put everything back: plugs pushed home until they click, covers on, battery on.")
        }
        Task::ClearCodes => {
            say!("Read the stored trouble codes, write them down, then clear them.")
        }
        Task::Warm => say!("Let the engine get warm, then drive where the fault used to show."),
    }
}

fn done(harness: &Harness, question: &Question) -> String {
    match question {
        Question::Substitute(part, _) => say!("{} is replaced.", harness.part_name(*part)),
        Question::Clean(element) | Question::Remake(element) => {
            say!("{} is done.", titled(&harness.element_name(*element)))
        }
        Question::Contribution(_)
        | Question::Spark(_)
        | Question::Volts(_)
        | Question::Resistance(_)
        | Question::Drop(_)
        | Question::Lamp(_)
        | Question::Look(_)
        | Question::Stress(..)
        | Question::Swap(_)
        | Question::Code(_)
        | Question::AnyCode
        | Question::Compression(_) => String::new(),
    }
}

/// How to do it, where that wants more words.
#[must_use]
pub fn how(step: &Step) -> Option<String> {
    match &step.task {
        Task::Reference(_) => Some(say!(
            "It proves the meter, its range and the black lead. Then leave black there, or on bare engine metal."
        )),
        Task::Ask(Question::Contribution(cylinder)) => Some(contribution(*cylinder, &step.setup)),
        Task::Ask(_)
        | Task::Runs
        | Task::FaultNow
        | Task::LeadsTogether
        | Task::LampReference(_)
        | Task::ProveTool(_)
        | Task::Exchange(_)
        | Task::Carry(_)
        | Task::Restore
        | Task::ClearCodes
        | Task::Warm => None,
    }
}

fn contribution(cylinder: CylinderId, setup: &Setup) -> String {
    if setup.unplugged.is_empty() {
        say!(
            "Just after a cold start the exhaust of a dead cylinder stays clearly cooler than the others’: compare with a thermometer that needs no touch. Never pull a lead for it."
        )
    } else {
        say!(
            "While the engine idles, take the plug off the injector of cylinder {cylinder}, listen, and push it on again. If nothing changed, the cylinder was dead."
        )
    }
}

fn stressed(harness: &Harness, element: Element, by: StressKind) -> String {
    let name = harness.element_name(element);
    match by {
        StressKind::Wiggled => say!("Move {name} gently by hand while the engine idles."),
        StressKind::Heated => {
            say!(
                "Warm {name} with a hair dryer, never with a flame, not hotter than the hand bears, while the engine idles."
            )
        }
        StressKind::Cooled => say!(
            "Cool {name} with freezing spray from an electronics shop, one that says that it does not burn, in short puffs away from hot parts and sparks, while the engine idles."
        ),
    }
}

/// What a step is done with.
#[must_use]
pub fn instrument(with: Instrument) -> &'static str {
    said(match with {
        Instrument::Volts => "Meter on DC volts, the range above 20 V",
        Instrument::Ohms => "Meter on ohms, the lowest range",
        Instrument::Lamp => "Test lamp",
        Instrument::Flash => "Timing light, or a spark tester in the lead",
    })
}

/// A reply on its button.
#[must_use]
pub fn reply(task: &Task, reply: Reply) -> String {
    match (task, reply) {
        (Task::Runs, Reply::Yes) => say!("Yes, it runs"),
        (Task::Runs, Reply::OnlyCranks) => say!("The starter turns it, it does not run"),
        (Task::Runs, Reply::No) => say!("The starter does not turn it"),
        (Task::FaultNow, Reply::No) => say!("No, it is away"),
        (Task::ClearCodes, Reply::Unsure) => say!("I cannot read codes"),
        (Task::Ask(Question::AnyCode), Reply::Found(Answer::Stored(Stored::Present))) => {
            say!("some are stored")
        }
        (Task::Ask(question), Reply::Found(answer)) => answer_to(question, answer),
        (_, Reply::Done) => say!("Done"),
        (_, Reply::Yes) => say!("Yes"),
        (_, Reply::No) => say!("No"),
        (_, Reply::Unsure) => say!("I cannot tell"),
        (_, Reply::OnlyCranks) => say!("It only turns"),
        (_, Reply::TheRestWork) => say!("All the others work"),
        (_, Reply::Found(answer)) => answer_words(answer),
    }
}

/// What to mind.
#[must_use]
pub fn caution(caution: Caution) -> &'static str {
    said(match caution {
        Caution::HighVoltage => next::SECONDARY.said(),
        Caution::Kick => meter::KICK.said(),
        Caution::OpenSpark => next::OPEN_SPARK.said(),
        Caution::Running => next::RUNNING.said(),
        Caution::Cranking => {
            "The starter turns the engine: gearbox in neutral, brake on, hands and leads clear of belts and fans. Stop the fuel first: its vapour and sparks make fire."
        }
        Caution::TakingOff => next::PULLING.said(),
        Caution::Unit => next::UNIT.said(),
        Caution::OpenCase => {
            "The case is open: touch bare metal before you touch the board, lay no tool on it, and keep water and fingers off what is live."
        }
        Caution::Soldering => next::SOLDER.said(),
        Caution::OhmsOnly => {
            "Battery’s minus off before the meter is on ohms: on a live circuit the reading is nonsense and the meter may burn."
        }
        Caution::Fuel => next::FUEL.said(),
        Caution::Driving => "Who drives does not watch or measure. Take someone along.",
        Caution::LocalRules => meter::RULES.said(),
    })
}

/// Why a walk that was kept cannot be shown.
#[must_use]
pub fn no_walk(why: &NoWalk) -> String {
    match why {
        NoWalk::Newer => {
            say!(
                "This walk was kept by a newer version of the program. Load the page again to go on with it, or put it away."
            )
        }
        NoWalk::NotOne | NoWalk::Subject | NoWalk::Reply(_) => {
            say!(
                "The walk that was kept cannot be read. What it found is in Findings; put it away and begin anew."
            )
        }
    }
}

/// Why a reply was not taken.
pub const NOT_OFFERED: Text = text("The step has changed: answer what it asks now.");

/// At most this much.
#[must_use]
pub fn at_most(most: f64) -> String {
    say!("under {}", ohms(most))
}

/// A part that has a face: a control unit or a connector.
#[must_use]
pub fn has_face(harness: &Harness, part: sparktrail_core::model::PartId) -> bool {
    harness
        .parts
        .get(&part)
        .is_some_and(|part| matches!(part.kind, PartKind::ControlUnit(_) | PartKind::Connector(_)))
}
