//! Words of the guided walks: what to do at each step, what an answer meant, how a walk ended.

use crate::text::{Text, plain, text};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Question};
use sparktrail_core::model::{
    Effect, Element, FaultThen, Harness, PartKind, Setup, Spark, Stored, StressKind, SwapOutcome,
};
use sparktrail_core::said::{said, say};
use sparktrail_core::walkthrough::{
    Caution, Culprit, Fitness, Foretold, Instrument, Kind, Meaning, NoWalk, Reply, Step, Task,
    Verdict,
};

use super::findings::{CAME, answer as answer_words, pair, works_word};
use super::meter::{self, ohms, volts};
use super::next;
use super::suspects::titled;

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
pub const REPLY: Text = text("What is it?");
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
            "Cool {name} with freezing spray from an electronics shop, in short puffs away from hot parts and sparks, while the engine idles."
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
        (Task::Ask(Question::Stress(..)), Reply::Found(Answer::Effect(Effect::Changed))) => {
            CAME.said().to_owned()
        }
        (Task::Ask(Question::AnyCode), Reply::Found(Answer::Stored(Stored::Present))) => {
            say!("some are stored")
        }
        (_, Reply::Done) => say!("Done"),
        (_, Reply::Yes) => say!("Yes"),
        (_, Reply::No) => say!("No"),
        (_, Reply::Unsure) => say!("I cannot tell"),
        (_, Reply::OnlyCranks) => say!("It only turns"),
        (_, Reply::TheRestWork) => say!("All the others work"),
        (_, Reply::Found(answer)) => answer_words(answer),
    }
}

/// What a reply meant; nothing where it speaks for itself.
#[must_use]
pub fn meaning(harness: &Harness, meaning: &Meaning) -> Option<String> {
    Some(match meaning {
        Meaning::Noted | Meaning::Plain(_) => return None,
        Meaning::LeadsSound(read) => say!(
            "The leads are sound. They show {} by themselves; that is taken off every reading.",
            ohms(*read)
        ),
        Meaning::LeadsBroken => {
            say!(
                "Leads held together must show next to nothing. Check the range, the sockets on the meter and the leads, then try again."
            )
        }
        Meaning::GroundProven => say!("The meter and its black lead are proven."),
        Meaning::NoGround => {
            say!(
                "A battery does not read like that: the black lead touches nothing, the range is wrong, or the battery is flat. Clean its post, press both tips on, and read again."
            )
        }
        Meaning::BatteryGivesWay => {
            say!(
                "The leads are proven, so this counts: the battery gives way. It is flat or worn out, or its posts do not touch. Charge it, away from flames and sparks, and clean posts and clamps before you look further; what you measure until then is judged by this."
            )
        }
        Meaning::LeadsCrossed => {
            say!("Below zero: red and black have changed places. Turn them round and read again.")
        }
        Meaning::Doubted => {
            say!(
                "That may be the black lead in the air. It does not count yet: read the battery once more first."
            )
        }
        Meaning::ToolProven => say!("The light works."),
        Meaning::ToolDoubted(cylinder) => say!(
            "No sparks on cylinder {cylinder}, which works? Check the clip, its arrow and its battery leads. This does not count."
        ),
        Meaning::Fault(FaultThen::Present) => say!("It is there: what you measure now counts."),
        Meaning::Fault(FaultThen::Away) => {
            say!("It is away: a test that passes now clears nothing.")
        }
        Meaning::Fault(FaultThen::Unknown) => {
            say!("Nobody knows: a test that passes now clears less.")
        }
        Meaning::Cylinder(cylinder, works) => {
            say!("Cylinder {cylinder}: {}.", works_word(*works))
        }
        Meaning::OthersWork(cylinders) => say!("Cylinders {} work.", list(cylinders)),
        Meaning::NoneWorks => {
            say!("No cylinder works: whatever serves the whole engine comes first.")
        }
        Meaning::Sparked(cylinder, spark) => sparked(*cylinder, *spark),
        Meaning::Sound {
            then: FaultThen::Away,
            ..
        } => {
            say!("As it should be, but the fault was away: it clears nothing.")
        }
        Meaning::Sound { cleared, .. } => {
            say!("As it should be. Cleared: {}.", names(harness, cleared))
        }
        Meaning::Bad { within, fitness } => say!(
            "{} The fault is one of these: {}.",
            fit(*fitness),
            names(harness, within)
        ),
        Meaning::Reading { off } if *off == 0.0 => say!("Within what a sound car reads."),
        Meaning::Reading { off } if off.is_infinite() => {
            say!("No way through, where there should be one.")
        }
        Meaning::Reading { off } => say!(
            "{:.2} {} than a sound car reads.",
            off.abs(),
            if *off < 0.0 {
                said("lower")
            } else {
                said("higher")
            }
        ),
        Meaning::GoneForNow => {
            say!(
                "Gone for now. Contacts that were moved work for a while: warm it up before you believe it."
            )
        }
    })
}

fn fit(fitness: Fitness) -> &'static str {
    said(match fitness {
        Fitness::Good => "It is good.",
        Fitness::High => "It conducts, but badly.",
        Fitness::Open => "It does not conduct.",
    })
}

fn sparked(cylinder: CylinderId, spark: Spark) -> String {
    match spark {
        Spark::Yes => say!(
            "The lead of cylinder {cylinder} carries sparks: look at its plug, fuel and compression."
        ),
        Spark::No => {
            say!("No sparks in the lead of cylinder {cylinder}: lead, coil, or what switches it.")
        }
        Spark::Weak => say!("Weak sparks in the lead of cylinder {cylinder}."),
        Spark::WrongTime => {
            say!("The lead of cylinder {cylinder} sparks at the wrong time: leads may be crossed.")
        }
    }
}

fn names(harness: &Harness, elements: &[Element]) -> String {
    if elements.is_empty() {
        return say!("nothing");
    }
    let names: Vec<String> = elements.iter().map(|e| harness.element_name(*e)).collect();
    names.join("; ")
}

fn list(cylinders: &[CylinderId]) -> String {
    let all: Vec<String> = cylinders.iter().map(ToString::to_string).collect();
    match all.split_last() {
        None => say!("none"),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => say!("{} and {last}", rest.join(", ")),
    }
}

/// How a walk ended.
#[must_use]
pub fn verdict(harness: &Harness, verdict: &Verdict) -> String {
    match verdict {
        Verdict::Cylinders { dead, sometimes } if dead.is_empty() && sometimes.is_empty() => {
            say!("Every cylinder works. Come back when one does not, warm or cold, wet or dry.")
        }
        Verdict::Cylinders { dead, sometimes } => {
            let dead = (!dead.is_empty()).then(|| say!("Dead: {}.", list(dead)));
            let others =
                (!sometimes.is_empty()).then(|| say!("Now and then: {}.", list(sometimes)));
            let words: Vec<String> = dead.into_iter().chain(others).collect();
            say!("{} Next now knows where to look.", words.join(" "))
        }
        Verdict::DoesNotTurn => {
            say!(
                "The starter does not turn the engine. That is battery, starter or its wiring, not the ignition."
            )
        }
        Verdict::NotProven => {
            say!(
                "The meter or tool could not be proven, so nothing was measured. Try another meter, another lead, another range."
            )
        }
        Verdict::NoPath => {
            say!("The map does not join these two places. Draw what is missing, then begin again.")
        }
        Verdict::NoLoad => {
            say!(
                "While the engine does not turn, no current flows there and nothing can be lost. Check the path with the ohmmeter instead."
            )
        }
        Verdict::PathSound {
            then: FaultThen::Away,
            ..
        } => {
            say!(
                "The path was good, but the fault was away at the time: nothing is cleared. Measure again while it shows."
            )
        }
        Verdict::PathSound {
            cleared, unseen, ..
        } => {
            let rest = if unseen.is_empty() {
                String::new()
            } else {
                say!(
                    " This reading would not have shown: {}.",
                    names(harness, unseen)
                )
            };
            say!(
                "The path is good. Cleared: {}.{rest} Not tested: the contacts inside a plug that was pulled, and shorts to other wires.",
                names(harness, cleared)
            )
        }
        Verdict::PathBad { within, fitness } => say!(
            "{} It lies here: {}. Clean, re-make or replace it, then measure the whole path again: there may be more than one.",
            fit(*fitness),
            names(harness, within)
        ),
        Verdict::CameAndWent { within } => say!(
            "The whole was bad, each piece of it good: it comes and goes, or a tip had slipped. Wiggle {} while you measure.",
            names(harness, within)
        ),
        Verdict::Siblings { level, odd } if odd.is_empty() => say!(
            "All within half a volt of {}. No pin stands out.",
            volts(*level)
        ),
        Verdict::Siblings { level, odd } => {
            let odd: Vec<String> = odd
                .iter()
                .map(|(terminal, apart)| {
                    say!(
                        "{} reads {} {}",
                        harness.terminal_name(*terminal),
                        volts(apart.abs()),
                        if *apart < 0.0 {
                            said("lower")
                        } else {
                            said("higher")
                        }
                    )
                })
                .collect();
            say!(
                "Most read about {}. Standing out: {}. Siblings should agree within half a volt.",
                volts(*level),
                odd.join("; ")
            )
        }
        Verdict::Sparks(seen) => seen
            .iter()
            .map(|(cylinder, spark)| sparked(*cylinder, *spark))
            .collect::<Vec<_>>()
            .join(" "),
        Verdict::Swapped { outcome, left } => swapped(harness, *outcome, left),
        Verdict::NotNow => {
            say!("Not now: while the fault is away a swap tells nothing. Come back when it shows.")
        }
        Verdict::Stressed {
            element,
            found: Some((by, _)),
            ..
        } => say!(
            "It answers to being {}: {} or what hangs on it is a strong suspect.",
            provoked(*by),
            harness.element_name(*element)
        ),
        Verdict::Stressed {
            then: FaultThen::Away,
            ..
        } => {
            say!(
                "Nothing brought the fault back. It was away all the time, so this clears nothing."
            )
        }
        Verdict::Stressed { element, .. } => say!(
            "Nothing changed. That speaks a little against {}, no more.",
            harness.element_name(*element)
        ),
        Verdict::Mended => {
            say!(
                "The fault is gone. Look once more in a few days, warm and in the wet, before you believe it."
            )
        }
        Verdict::NotMended { ill } => say!(
            "Not mended: {} still does not work. What was found before still counts.",
            list(ill)
        ),
        Verdict::One { answer, .. } => say!("Entered: {}.", answer_words(*answer)),
    }
}

fn provoked(by: StressKind) -> &'static str {
    said(match by {
        StressKind::Wiggled => "moved",
        StressKind::Heated => "warmed",
        StressKind::Cooled => "cooled",
    })
}

fn swapped(harness: &Harness, outcome: SwapOutcome, left: &[Element]) -> String {
    match outcome {
        SwapOutcome::Moved => {
            say!("The fault moved with the part: the part is bad. Replace it.")
        }
        SwapOutcome::Stayed => say!(
            "The fault stayed where it was. That clears only what you moved; it does not clear its place. Still there: {}.",
            some_names(harness, left)
        ),
        SwapOutcome::Gone => {
            say!(
                "Gone, warm too. What you moved was re-seated or re-soldered by the swap: that may have been the cure."
            )
        }
        SwapOutcome::Changed => {
            say!("Something else changed. Check that everything went back where it belongs.")
        }
    }
}

/// The first few names.
fn some_names(harness: &Harness, elements: &[Element]) -> String {
    const MOST: usize = 8;
    let few = names(harness, elements.get(..MOST).unwrap_or(elements));
    match elements.len().checked_sub(MOST) {
        None | Some(0) => few,
        Some(more) => say!("{few}; and {more} more"),
    }
}

/// What a suspect predicts of a swap.
#[must_use]
pub fn foretold(told: &Foretold) -> String {
    let (before, after) = (list(&told.before), list(&told.after));
    match told.culprit {
        Culprit::Thing => {
            say!("If the part is bad, the dead cylinders move: from {before} to {after}.")
        }
        Culprit::Place => say!(
            "If its place is bad (joint, contact, wire, drive path), {after} stay dead: nothing moves."
        ),
    }
}

/// What to mind.
#[must_use]
pub fn caution(caution: Caution) -> &'static str {
    said(match caution {
        Caution::HighVoltage => next::SECONDARY.said(),
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
        Caution::Fuel => {
            "Fuel stands under pressure and its vapour burns: no sparks or flames near it, a cloth and an extinguisher at hand."
        }
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
