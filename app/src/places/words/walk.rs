//! Words of the guided walks: what to do at each step, what an answer meant, how a walk ended.

use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Question};
use sparktrail_core::model::{
    Effect, Element, FaultThen, Harness, PartKind, Setup, Spark, Stored, StressKind, SwapOutcome,
};
use sparktrail_core::walkthrough::{
    Caution, Culprit, Fitness, Foretold, Instrument, Kind, Meaning, NoWalk, Reply, Step, Task,
    Verdict,
};

use super::findings::{answer as answer_words, pair, works_word};
use super::meter::{self, ohms, volts};
use super::next;
use super::suspects::titled;

/// Starts the walk of an act.
pub const WALK_ME: &str = "Walk me through it";
/// Starts the walk that finds the dead cylinders.
pub const FIND_DEAD: &str = "Find the dead cylinders, step by step";
/// Heading over the walks that a place offers.
pub const FROM_HERE: &str = "Check it, step by step";
/// Shows them.
pub const SHOW_OFFERS: &str = "Show the walks from here";
/// There are none.
pub const NO_OFFERS: &str =
    "No guided walk begins here. Choose a wire, a pin, a coil or a cylinder.";
/// The walk that was left.
pub const LEFT: &str = "A walk is waiting";
/// Walks that begin at no place of the map.
pub const OTHER_WALKS: &str = "Other walks";
/// Goes on with it.
pub const GO_ON: &str = "Go on with it";
/// Puts it away.
pub const PUT_AWAY: &str = "Put it away";
/// Leaves the walk.
pub const LEAVE: &str = "Leave";
/// What leaving does.
pub const LEAVE_HINT: &str = "Leave; the walk waits under Next";
/// One step back.
pub const BACK: &str = "Take back";
/// What taking back does.
pub const BACK_HINT: &str = "Take the last answer back, with what it found";
/// Opens the sheet.
pub const PAPER: &str = "On paper";
/// Heading of the sheet.
pub const SHEET: &str = "This walk on paper";
/// What the sheet is.
pub const SHEET_LEAD: &str = "One page for use without a screen: what a sound car shows, and room for what yours does. Stop where a reading is wrong, and enter what you wrote down later.";
/// Prints it.
pub const PRINT: &str = "Print";
/// Columns of the sheet.
pub const SHEET_HEAD: [&str; 4] = ["", "Do this", "A sound car", "Yours"];
/// The walk.
pub const WALK: &str = "Guided walk";
/// How the car has to stand.
pub const CAR: &str = "Car";
/// With what.
pub const WITH: &str = "With";
/// Over what was found in the last step.
pub const SO_FAR: &str = "Steps so far";
/// What should show.
pub const EXPECTED: &str = "A sound car";
/// Why it should.
pub const WHY: &str = "Why";
/// Where the leads go on the face of a connector.
pub const FACE: &str = "On the connector, seen from the wires";
/// Over the replies.
pub const REPLY: &str = "What is it?";
/// Over the field.
pub const READ: &str = "What did it read?";
/// Before a swap.
pub const FORETOLD: &str = "What each suspect predicts";
/// The end.
pub const OVER: &str = "Done";
/// Back to the plan.
pub const TO_NEXT: &str = "See what to do next";

/// What a walk is about.
#[must_use]
pub fn kind(harness: &Harness, kind: &Kind) -> String {
    let at = |terminal| harness.terminal_name(terminal);
    match kind {
        Kind::Dead => "Find the dead cylinders".into(),
        Kind::Continuity { from, to } => {
            format!("Does it conduct: {} to {}", at(*from), at(*to))
        }
        Kind::Siblings { of } => format!("{} beside its siblings", at(*of)),
        Kind::Drop { from, to } => {
            format!("Voltage lost under load: {} to {}", at(*from), at(*to))
        }
        Kind::Spark(cylinder) => format!("Spark of cylinder {cylinder}"),
        Kind::Swap(two) => {
            let (a, b) = pair(harness, *two);
            format!("Swap {a} and {b}")
        }
        Kind::Stress(element) => format!("Provoke {}", harness.element_name(*element)),
        Kind::Mended(_) => "Check after the repair".into(),
        Kind::Single(question) => asked(harness, question),
    }
}

/// How far a walk is.
#[must_use]
pub fn progress(done: usize, left: usize) -> String {
    match left {
        0 => format!("Step {}, the last one", done + 1),
        1 => format!("Step {}, at most 1 more", done + 1),
        left => format!("Step {}, at most {left} more", done + 1),
    }
}

fn asked(harness: &Harness, question: &Question) -> String {
    next::ask(harness, question)
}

/// What to do at a step.
#[must_use]
pub fn task(harness: &Harness, step: &Step) -> String {
    match &step.task {
        Task::Runs => "Try to start the engine. Does it run by itself?".into(),
        Task::FaultNow => "Does the fault show right now?".into(),
        Task::LeadsTogether => {
            "Set the meter to ohms and hold the tips of both leads together.".into()
        }
        Task::Reference(_) => {
            "First a reading that you know: red on the battery’s plus, black on its minus.".into()
        }
        Task::LampReference(_) => {
            "First prove the lamp: hold it across the battery’s posts. It must shine brightly."
                .into()
        }
        Task::Ask(Question::Contribution(cylinder)) => {
            format!("Does cylinder {cylinder} do its share?")
        }
        Task::Ask(Question::Drop(_)) => {
            "With the engine turning, press red and black on hard. What is lost between them?"
                .into()
        }
        Task::Ask(Question::Swap(two)) => {
            let (a, b) = pair(harness, *two);
            format!("Start the engine. {a} and {b} have changed places: what does the fault do?")
        }
        Task::Ask(Question::Stress(element, by)) => stressed(harness, *element, *by),
        Task::Ask(
            question @ (Question::Substitute(..) | Question::Clean(_) | Question::Remake(_)),
        ) => format!(
            "{} Now start the engine: what does the fault do?",
            done(harness, question)
        ),
        Task::Ask(question) => asked(harness, question),
        Task::ProveTool(Question::Spark(cylinder)) => format!(
            "Prove the light first: clip it to the lead of cylinder {cylinder}, which works. Does it flash?"
        ),
        Task::ProveTool(question) => asked(harness, question),
        Task::Exchange(two) => {
            let (a, b) = pair(harness, *two);
            format!("Let {a} and {b} change places. Plug everything back in.")
        }
        Task::Carry(question) => asked(harness, question),
        Task::Restore => {
            "Put everything back: plugs pushed home until they click, covers on, battery on.".into()
        }
        Task::ClearCodes => {
            "Read the stored trouble codes, write them down, then clear them.".into()
        }
        Task::Warm => "Let the engine get warm, then drive where the fault used to show.".into(),
    }
}

fn done(harness: &Harness, question: &Question) -> String {
    match question {
        Question::Substitute(part, _) => format!("{} is replaced.", harness.part_name(*part)),
        Question::Clean(element) | Question::Remake(element) => {
            format!("{} is done.", titled(&harness.element_name(*element)))
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
        Task::Reference(_) => Some(
            "It proves the meter, its range and the black lead. Then leave black there, or on bare engine metal.".into(),
        ),
        Task::Ask(Question::Contribution(cylinder)) => {
            Some(contribution(*cylinder, &step.setup))
        }
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
        "Just after a cold start the exhaust of a dead cylinder stays clearly cooler than the others’: compare with a thermometer that needs no touch. Never pull a lead for it.".into()
    } else {
        format!(
            "While the engine idles, take the plug off the injector of cylinder {cylinder}, listen, and push it on again. If nothing changed, the cylinder was dead."
        )
    }
}

fn stressed(harness: &Harness, element: Element, by: StressKind) -> String {
    let name = harness.element_name(element);
    match by {
        StressKind::Wiggled => format!("Move {name} gently by hand while the engine idles."),
        StressKind::Heated => {
            format!(
                "Warm {name} with a hair dryer, never with a flame, not hotter than the hand bears, while the engine idles."
            )
        }
        StressKind::Cooled => format!(
            "Cool {name} with freezing spray from an electronics shop, in short puffs away from hot parts and sparks, while the engine idles."
        ),
    }
}

/// What a step is done with.
#[must_use]
pub const fn instrument(with: Instrument) -> &'static str {
    match with {
        Instrument::Volts => "Meter on DC volts, the range above 20 V",
        Instrument::Ohms => "Meter on ohms, the lowest range",
        Instrument::Lamp => "Test lamp",
        Instrument::Flash => "Timing light, or a spark tester in the lead",
    }
}

/// A reply on its button.
#[must_use]
pub fn reply(task: &Task, reply: Reply) -> String {
    match (task, reply) {
        (Task::Runs, Reply::Yes) => "Yes, it runs".into(),
        (Task::Runs, Reply::OnlyCranks) => "The starter turns it, it does not run".into(),
        (Task::Runs, Reply::No) => "The starter does not turn it".into(),
        (Task::FaultNow, Reply::No) => "No, it is away".into(),
        (Task::ClearCodes, Reply::Unsure) => "I cannot read codes".into(),
        (Task::Ask(Question::Stress(..)), Reply::Found(Answer::Effect(Effect::Changed))) => {
            "the fault came, or got worse".into()
        }
        (Task::Ask(Question::AnyCode), Reply::Found(Answer::Stored(Stored::Present))) => {
            "some are stored".into()
        }
        (_, Reply::Done) => "Done".into(),
        (_, Reply::Yes) => "Yes".into(),
        (_, Reply::No) => "No".into(),
        (_, Reply::Unsure) => "I cannot tell".into(),
        (_, Reply::OnlyCranks) => "It only turns".into(),
        (_, Reply::TheRestWork) => "All the others work".into(),
        (_, Reply::Found(answer)) => answer_words(answer),
    }
}

/// What a reply meant; nothing where it speaks for itself.
#[must_use]
pub fn meaning(harness: &Harness, meaning: &Meaning) -> Option<String> {
    Some(match meaning {
        Meaning::Noted | Meaning::Plain(_) => return None,
        Meaning::LeadsSound(read) => format!(
            "The leads are sound. They show {} by themselves; that is taken off every reading.",
            ohms(*read)
        ),
        Meaning::LeadsBroken => {
            "Leads held together must show next to nothing. Check the range, the sockets on the meter and the leads, then try again.".into()
        }
        Meaning::GroundProven => "The meter and its black lead are proven.".into(),
        Meaning::NoGround => {
            "A battery does not read like that: the black lead touches nothing, the range is wrong, or the battery is flat. Clean its post, press both tips on, and read again.".into()
        }
        Meaning::LeadsCrossed => {
            "Below zero: red and black have changed places. Turn them round and read again.".into()
        }
        Meaning::Doubted => {
            "That may be the black lead in the air. It does not count yet: read the battery once more first.".into()
        }
        Meaning::ToolProven => "The light works.".into(),
        Meaning::ToolDoubted(cylinder) => format!(
            "No sparks on cylinder {cylinder}, which works? Check the clip, its arrow and its battery leads. This does not count."
        ),
        Meaning::Fault(FaultThen::Present) => "It is there: what you measure now counts.".into(),
        Meaning::Fault(FaultThen::Away) => {
            "It is away: a test that passes now clears nothing.".into()
        }
        Meaning::Fault(FaultThen::Unknown) => {
            "Nobody knows: a test that passes now clears less.".into()
        }
        Meaning::Cylinder(cylinder, works) => {
            format!("Cylinder {cylinder}: {}.", works_word(*works))
        }
        Meaning::OthersWork(cylinders) => format!("Cylinders {} work.", list(cylinders)),
        Meaning::NoneWorks => {
            "No cylinder works: whatever serves the whole engine comes first.".into()
        }
        Meaning::Sparked(cylinder, spark) => sparked(*cylinder, *spark),
        Meaning::Sound { then: FaultThen::Away, .. } => {
            "As it should be, but the fault was away: it clears nothing.".into()
        }
        Meaning::Sound { cleared, .. } => format!("As it should be. Cleared: {}.", names(harness, cleared)),
        Meaning::Bad { within, fitness } => format!(
            "{} The fault is one of these: {}.",
            fit(*fitness),
            names(harness, within)
        ),
        Meaning::Reading { off } if *off == 0.0 => "Within what a sound car reads.".into(),
        Meaning::Reading { off } if off.is_infinite() => {
            "No way through, where there should be one.".into()
        }
        Meaning::Reading { off } => format!(
            "{:.2} {} than a sound car reads.",
            off.abs(),
            if *off < 0.0 { "lower" } else { "higher" }
        ),
        Meaning::GoneForNow => {
            "Gone for now. Contacts that were moved work for a while: warm it up before you believe it.".into()
        }
    })
}

const fn fit(fitness: Fitness) -> &'static str {
    match fitness {
        Fitness::Good => "It is good.",
        Fitness::High => "It conducts, but badly.",
        Fitness::Open => "It does not conduct.",
    }
}

fn sparked(cylinder: CylinderId, spark: Spark) -> String {
    match spark {
        Spark::Yes => format!(
            "The lead of cylinder {cylinder} carries sparks: look at its plug, fuel and compression."
        ),
        Spark::No => format!(
            "No sparks in the lead of cylinder {cylinder}: lead, coil, or what switches it."
        ),
        Spark::Weak => format!("Weak sparks in the lead of cylinder {cylinder}."),
        Spark::WrongTime => format!(
            "The lead of cylinder {cylinder} sparks at the wrong time: leads may be crossed."
        ),
    }
}

fn names(harness: &Harness, elements: &[Element]) -> String {
    if elements.is_empty() {
        return "nothing".into();
    }
    let names: Vec<String> = elements.iter().map(|e| harness.element_name(*e)).collect();
    names.join("; ")
}

fn list(cylinders: &[CylinderId]) -> String {
    let all: Vec<String> = cylinders.iter().map(ToString::to_string).collect();
    match all.split_last() {
        None => "none".into(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

/// How a walk ended.
#[must_use]
pub fn verdict(harness: &Harness, verdict: &Verdict) -> String {
    match verdict {
        Verdict::Cylinders { dead, sometimes } if dead.is_empty() && sometimes.is_empty() => {
            "Every cylinder works. Come back when one does not, warm or cold, wet or dry.".into()
        }
        Verdict::Cylinders { dead, sometimes } => {
            let dead = (!dead.is_empty()).then(|| format!("Dead: {}.", list(dead)));
            let others = (!sometimes.is_empty()).then(|| format!("Now and then: {}.", list(sometimes)));
            let words: Vec<String> = dead.into_iter().chain(others).collect();
            format!("{} Next now knows where to look.", words.join(" "))
        }
        Verdict::DoesNotTurn => {
            "The starter does not turn the engine. That is battery, starter or its wiring, not the ignition.".into()
        }
        Verdict::NotProven => {
            "The meter or tool could not be proven, so nothing was measured. Try another meter, another lead, another range.".into()
        }
        Verdict::NoPath => {
            "The map does not join these two places. Draw what is missing, then begin again.".into()
        }
        Verdict::NoLoad => {
            "While the engine does not turn, no current flows there and nothing can be lost. Check the path with the ohmmeter instead.".into()
        }
        Verdict::PathSound { then: FaultThen::Away, .. } => {
            "The path was good, but the fault was away at the time: nothing is cleared. Measure again while it shows.".into()
        }
        Verdict::PathSound { cleared, unseen, .. } => {
            let rest = if unseen.is_empty() {
                String::new()
            } else {
                format!(" This reading would not have shown: {}.", names(harness, unseen))
            };
            format!(
                "The path is good. Cleared: {}.{rest} Not tested: the contacts inside a plug that was pulled, and shorts to other wires.",
                names(harness, cleared)
            )
        }
        Verdict::PathBad { within, fitness } => format!(
            "{} It lies here: {}. Clean, re-make or replace it, then measure the whole path again: there may be more than one.",
            fit(*fitness),
            names(harness, within)
        ),
        Verdict::CameAndWent { within } => format!(
            "The whole was bad, each piece of it good: it comes and goes, or a tip had slipped. Wiggle {} while you measure.",
            names(harness, within)
        ),
        Verdict::Siblings { level, odd } if odd.is_empty() => format!(
            "All within half a volt of {}. No pin stands out.",
            volts(*level)
        ),
        Verdict::Siblings { level, odd } => {
            let odd: Vec<String> = odd
                .iter()
                .map(|(terminal, apart)| {
                    format!(
                        "{} reads {} {}",
                        harness.terminal_name(*terminal),
                        volts(apart.abs()),
                        if *apart < 0.0 { "lower" } else { "higher" }
                    )
                })
                .collect();
            format!(
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
            "Not now: while the fault is away a swap tells nothing. Come back when it shows.".into()
        }
        Verdict::Stressed { element, found: Some((by, _)), .. } => format!(
            "It answers to being {}: {} or what hangs on it is a strong suspect.",
            provoked(*by),
            harness.element_name(*element)
        ),
        Verdict::Stressed { then: FaultThen::Away, .. } => {
            "Nothing brought the fault back. It was away all the time, so this clears nothing.".into()
        }
        Verdict::Stressed { element, .. } => format!(
            "Nothing changed. That speaks a little against {}, no more.",
            harness.element_name(*element)
        ),
        Verdict::Mended => {
            "The fault is gone. Look once more in a few days, warm and in the wet, before you believe it.".into()
        }
        Verdict::NotMended { ill } => format!(
            "Not mended: {} still does not work. What was found before still counts.",
            list(ill)
        ),
        Verdict::One { answer, .. } => format!("Entered: {}.", answer_words(*answer)),
    }
}

const fn provoked(by: StressKind) -> &'static str {
    match by {
        StressKind::Wiggled => "moved",
        StressKind::Heated => "warmed",
        StressKind::Cooled => "cooled",
    }
}

fn swapped(harness: &Harness, outcome: SwapOutcome, left: &[Element]) -> String {
    match outcome {
        SwapOutcome::Moved => {
            "The fault moved with the part: the part is bad. Replace it.".into()
        }
        SwapOutcome::Stayed => format!(
            "The fault stayed where it was. That clears only what you moved; it does not clear its place. Still there: {}.",
            some_names(harness, left)
        ),
        SwapOutcome::Gone => {
            "Gone, warm too. What you moved was re-seated or re-soldered by the swap: that may have been the cure.".into()
        }
        SwapOutcome::Changed => {
            "Something else changed. Check that everything went back where it belongs.".into()
        }
    }
}

/// The first few names.
fn some_names(harness: &Harness, elements: &[Element]) -> String {
    const MOST: usize = 8;
    let few = names(harness, elements.get(..MOST).unwrap_or(elements));
    match elements.len().checked_sub(MOST) {
        None | Some(0) => few,
        Some(more) => format!("{few}; and {more} more"),
    }
}

/// What a suspect predicts of a swap.
#[must_use]
pub fn foretold(told: &Foretold) -> String {
    let (before, after) = (list(&told.before), list(&told.after));
    match told.culprit {
        Culprit::Thing => {
            format!("If the part is bad, the dead cylinders move: from {before} to {after}.")
        }
        Culprit::Place => format!(
            "If its place is bad (joint, contact, wire, drive path), {after} stay dead: nothing moves."
        ),
    }
}

/// What to mind.
#[must_use]
pub const fn caution(caution: Caution) -> &'static str {
    match caution {
        Caution::HighVoltage => next::SECONDARY,
        Caution::Running => next::RUNNING,
        Caution::Cranking => {
            "The starter turns the engine: gearbox in neutral, brake on, hands and leads clear of belts and fans. Stop the fuel first: its vapour and sparks make fire."
        }
        Caution::TakingOff => next::PULLING,
        Caution::Unit => next::UNIT,
        Caution::OpenCase => {
            "The case is open: touch bare metal before you touch the board, lay no tool on it, and keep water and fingers off what is live."
        }
        Caution::Soldering => next::SOLDER,
        Caution::OhmsOnly => {
            "Battery’s minus off before the meter is on ohms: on a live circuit the reading is nonsense and the meter may burn."
        }
        Caution::Fuel => {
            "Fuel stands under pressure and its vapour burns: no sparks or flames near it, a cloth and an extinguisher at hand."
        }
        Caution::Driving => "Who drives does not watch or measure. Take someone along.",
        Caution::LocalRules => meter::RULES,
    }
}

/// Why a walk that was kept cannot be shown.
#[must_use]
pub fn no_walk(why: &NoWalk) -> String {
    match why {
        NoWalk::Newer => {
            "This walk was kept by a newer version of the program. Load the page again to go on with it, or put it away.".into()
        }
        NoWalk::NotOne | NoWalk::Subject | NoWalk::Reply(_) => {
            "The walk that was kept cannot be read. What it found is in Findings; put it away and begin anew.".into()
        }
    }
}

/// Why a reply was not taken.
pub const NOT_OFFERED: &str = "The step has changed: answer what it asks now.";

/// At most this much.
#[must_use]
pub fn at_most(most: f64) -> String {
    format!("under {}", ohms(most))
}

/// A part that has a face: a control unit or a connector.
#[must_use]
pub fn has_face(harness: &Harness, part: sparktrail_core::model::PartId) -> bool {
    harness
        .parts
        .get(&part)
        .is_some_and(|part| matches!(part.kind, PartKind::ControlUnit(_) | PartKind::Connector(_)))
}
