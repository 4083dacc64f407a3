//! Words of practice: choosing a case, testing, naming, looking back.

use crate::text::{Text, text};
use sparktrail_core::model::{FaultThen, Finding, Harness, Seen, Works};
use sparktrail_core::practice::{
    Bound, Earlier, End, Level, MARK, Naming, PracticeError, Step, Ticket, TicketError,
};
use sparktrail_core::said::{digits, said, say};

/// Heading.
pub const HEADING: Text = text("Practice");
/// Back to the first screen.
pub const HOME: Text = text("All maps");
/// Back to the choice.
pub const LEAVE: Text = text("Leave");
/// The map's region.
pub const MAP: Text = text("Map of the practice car");
/// The panel's region.
pub const SIDE: Text = text("The practice case");
/// Heading of the choice.
pub const CHOOSE: Text = text("Find a hidden fault");
/// What it is.
pub const LEAD: Text = text(
    "One of the example cars gets a fault that only the program knows. Measure as often as you like: it costs no real car anything. Your own maps are not touched.",
);
/// Which car.
pub const ENGINE: Text = text("Car");
/// How hard.
pub const LEVEL: Text = text("How hard");
/// The button.
pub const START: Text = text("Hide a fault");
/// Heading of the lessons.
pub const LESSONS: Text = text("Short lessons");
/// What they are.
pub const LESSONS_LEAD: Text = text("A few steps each, on a live map.");
/// The record.
pub const RECORD: Text = text("What is known");
/// Beside what the owner said.
pub const TOLD: Text = text("said by the owner");
/// The tests.
pub const TESTS: Text = text("Do a test");
/// The field that narrows them.
pub const FILTER_HINT: Text = text("Tap the map, or type what to test");
/// Heading of the naming.
pub const CULPRIT: Text = text("Name the culprit");
/// What it asks.
pub const CULPRIT_HINT: Text = text("When you are sure enough, say what has to be mended.");
/// The list.
pub const CULPRIT_LIST: Text = text("Everything that could be mended");
/// The field that narrows it.
pub const CULPRIT_FILTER: Text = text("Type a part or wire");
/// Giving up.
pub const GIVE_UP: Text = text("Show me what it is");
/// The case as a link.
pub const LINK: Text = text("Try my fault");
/// What it does.
pub const LINK_HINT: Text = text("Whoever opens this link gets the same car with the same fault.");
/// Copying it.
pub const COPY: Text = text("Copy the link");
/// It was copied.
pub const COPIED: Text = text("Copied.");
/// Heading of the truth.
pub const TRUTH: Text = text("This is what was wrong");
/// Heading of the comparison.
pub const BESIDE: Text = text("Your way beside the planner's");
/// Column.
pub const YOU: Text = text("You");
/// Column.
pub const PLANNER: Text = text("Planner");
/// Row.
pub const TESTS_DONE: Text = text("Tests");
/// Row.
pub const MINUTES: Text = text("Time");
/// Row.
pub const PARTS: Text = text("Spent on parts");
/// Row.
pub const LEARNED: Text = text("Learned");
/// Heading.
pub const YOUR_PATH: Text = text("Your tests, and what each told");
/// Fold.
pub const PLANNER_PATH: Text = text("The planner's tests");
/// Nothing was done.
pub const NO_TESTS: Text = text("No test was done.");
/// Another case.
pub const ANOTHER: Text = text("Another case");
/// A link names a car that is not here.
pub const NO_ENGINE: Text =
    text("The link names a car that this version does not have. Choose one here instead.");

/// The cars to choose from; maps that cannot be searched come last.
#[must_use]
pub fn engines(all: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    // The old sketch is wrong on purpose: nothing can be found on it.
    let sound = |name: &&(&'static str, &'static str)| name.0 != "old-pickup";
    all.iter().filter(sound).copied().collect()
}

/// While a case is being set up.
#[must_use]
pub fn setting(done: usize, of: usize) -> String {
    let share = done * 100 / of.max(1);
    say!("Setting up the bench… {share} %")
}

/// A case's heading.
#[must_use]
pub fn case_heading(title: &str, of: Option<Level>) -> String {
    match of {
        Some(of) => format!("{title}: {}", level(of)),
        None => title.to_owned(),
    }
}

/// A lesson's heading.
#[must_use]
pub fn lesson_heading(number: usize) -> String {
    use super::lessons as words;
    let titles = [
        words::WASTE,
        words::COMPANIONS,
        words::PIN,
        words::DROP,
        words::SWAP,
        words::AWAY,
    ];
    titles.get(number).copied().unwrap_or(HEADING).to_owned()
}

/// A level.
#[must_use]
pub fn level(level: Level) -> &'static str {
    said(match level {
        Level::Single => "One fault",
        Level::Intermittent => "A fault that comes and goes",
        Level::Two => "Two faults",
        Level::Board => "A fault on a board",
        Level::Misleading => "A misleading earlier repair",
    })
}

/// What a level is.
#[must_use]
pub fn level_hint(level: Level) -> &'static str {
    said(match level {
        Level::Single => "It stays: what you measure is what it is.",
        Level::Intermittent => "Each test says whether it showed just then.",
        Level::Two => "Both have to be named.",
        Level::Board => "Inside a control unit or driver: joints, traces, transistors.",
        Level::Misleading => "Something was done before, and it points the wrong way.",
    })
}

/// A case that cannot be.
#[must_use]
pub fn no_case(error: PracticeError) -> String {
    match error {
        PracticeError::NoCase(_) => say!(
            "Nothing can be looked for on this car: its map shows no ignition to test. Choose another car."
        ),
        PracticeError::NoSuchFault => {
            say!("This car has no fault of that kind. Choose another level or another car.")
        }
    }
}

/// A link that is none.
#[must_use]
pub fn bad_link(error: TicketError) -> String {
    let why = match error {
        TicketError::Pieces => said("a piece of it is missing"),
        TicketError::Engine => said("the car in it has no proper name"),
        TicketError::Level => said("the level in it is not known to this version"),
        TicketError::Seed => said("the number at its end is not whole"),
    };
    say!("This practice link cannot be read: {why}. Ask for it again, or choose a case here.")
}

/// Whether a finding says that a cylinder works.
#[must_use]
pub const fn is_fine(finding: &Finding) -> bool {
    matches!(
        finding.seen,
        Seen::Contribution {
            works: Works::Alive,
            ..
        }
    )
}

/// The cylinders that work.
#[must_use]
pub fn fine(count: usize) -> String {
    if count == 1 {
        say!("The other cylinder works.")
    } else {
        say!("The other {count} cylinders work.")
    }
}

/// What was spent.
#[must_use]
pub fn spent(tests: usize, time: f64, parts: f64) -> String {
    let tests = if tests == 1 {
        say!("1 test")
    } else {
        say!("{tests} tests")
    };
    say!("{tests}, {}, {} for parts", minutes(time), money(parts))
}

/// Minutes.
#[must_use]
pub fn minutes(minutes: f64) -> String {
    digits!("{minutes:.0} min")
}

/// Money, in no particular one.
#[must_use]
pub fn money(money: f64) -> String {
    if money < 0.5 {
        say!("nothing")
    } else {
        say!("{money:.0} coins")
    }
}

/// What a test costs.
#[must_use]
pub fn price(time: f64, parts: f64) -> String {
    if parts < 0.5 {
        minutes(time)
    } else {
        format!("{}, {}", minutes(time), money(parts))
    }
}

/// More lines than show.
#[must_use]
pub fn more(more: usize) -> Option<String> {
    (more > 0).then(|| say!("{more} more: tap a part on the map or type a word."))
}

/// Beside a test that was done.
#[must_use]
pub fn step_note(step: &Step, then: FaultThen, level: Level) -> String {
    let cost = price(step.minutes, step.money);
    match (level, then) {
        (Level::Intermittent, FaultThen::Away) => say!("{cost}; the fault was away"),
        (Level::Intermittent, _) => say!("{cost}; the fault showed"),
        _ => cost,
    }
}

/// What came of naming something.
#[must_use]
pub fn named(name: &str, naming: Naming) -> String {
    if naming.right {
        say!("{name}: yes, that is one. Is it all?")
    } else {
        say!("{name}: no, mending that changes nothing.")
    }
}

/// What mends a fault.
#[must_use]
pub fn mends(unit: &str) -> String {
    say!("Mended by: {unit}")
}

/// The earlier repair.
#[must_use]
pub fn earlier(harness: &Harness, earlier: Earlier) -> String {
    match earlier {
        Earlier::BadNewPart(part) => say!(
            "{} had been renewed, and the new one was bad as well. A new part is not a good part.",
            harness.part_name(part)
        ),
        Earlier::SwappedTransistors(..) => {
            say!(
                "The transistors had been swapped and the dead pair stayed. That cleared the transistor, not its joints and its drive."
            )
        }
    }
}

/// Bits.
#[must_use]
pub fn bits(bits: f64) -> String {
    say!("{bits:.1} bits")
}

/// What a test told.
#[must_use]
pub fn told(step: &Step) -> String {
    let expected = step
        .expected
        .map_or_else(String::new, |bits| say!(", expected {bits:.1}"));
    match step.bits {
        Some(bits) if bits < -0.05 => {
            say!("unsettled what seemed sure by {:.1} bits{expected}.", -bits)
        }
        Some(bits) => say!("told {bits:.1} bits{expected}."),
        None => say!("after it no single fault fits all that was found."),
    }
}

/// What leads after a test.
#[must_use]
pub fn leads(unit: &str, share: f64) -> String {
    say!("Then led by {unit}, {:.0} %.", share * 100.0)
}

/// The least that anybody would need.
#[must_use]
pub fn bound(bound: Bound) -> String {
    say!(
        "After the complaint there were {:.1} bits to learn: at least {} yes-or-no answers, if each halved what is left. Real tests do not halve and err at times, so even the best possible plan needs about two and a half times as many.",
        bound.bits,
        bound.halvings
    )
}

/// Why the planner stopped.
#[must_use]
pub fn end(end: Option<End>) -> &'static str {
    said(match end {
        None => "The planner is still at work…",
        Some(End::Isolated) => "The planner stopped sure of one suspect.",
        Some(End::Cured) => "The planner stopped because what it did mended it.",
        Some(End::NothingTells) => "The planner stopped because no test tells more.",
        Some(End::GivenUp) => "The planner gave up after many tests.",
        Some(End::NothingFits) => {
            "The planner stopped because no single fault fits what was found: it would now look for two."
        }
    })
}

/// A case as a link.
#[must_use]
pub fn link(page: &str, ticket: &Ticket) -> String {
    format!("{page}{MARK}{}", ticket.write())
}
