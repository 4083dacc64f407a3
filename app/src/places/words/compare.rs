//! Words of comparing two maps.

use crate::text::{Text, text};
use sparktrail_core::compare::{Change, Only};
use sparktrail_core::model::{Age, Condition, Exposure, Harness, PartId, Place};
use sparktrail_core::provenance::Fact;
use sparktrail_core::said::{said, say};
use sparktrail_core::share::LinkError;

use super::facts::provenance;
use super::findings::sentence;

/// The way to it.
pub const COMPARE: Text = text("Compare with another map");
/// What it does.
pub const LEAD: Text = text(
    "Choose the other map: a link or file that someone sent, or one of yours. Neither map is changed until you take something over.",
);
/// A link.
pub const LINK: Text = text("Paste a link");
/// Comparing with what was pasted.
pub const GO: Text = text("Compare");
/// A file.
pub const FILE: Text = text("Choose a file");
/// Heading over the own maps.
pub const YOURS: Text = text("One of yours");
/// The other map could not be read.
pub const NOT_READ: Text = text("This map could not be read");
/// Putting the other map away.
pub const END: Text = text("End comparing");
/// The maps agree.
pub const SAME: Text = text("The two maps agree in everything.");
/// Before what the own map says.
pub const OURS: Text = text("yours");
/// Before what the other map says.
pub const THEIRS: Text = text("theirs");
/// Taking their value.
pub const TAKE: Text = text("Take theirs");
/// Taking over what only they have.
pub const TAKE_OVER: Text = text("Take it over");
/// Letting go of what only this map has.
pub const LET_GO: Text = text("Let it go");
/// It could not be done.
pub const CANNOT: Text = text("This could not be taken over.");
/// One was measured, one read off a diagram, and they differ.
pub const CLASH: Text =
    text("One is measured, one from a diagram: the measured stands, the other is kept beside it.");
/// Nobody knows.
pub const UNKNOWN: Text = text("not known");
/// Marks on the map.
pub const MARKS: Text = text("On the map: + only in theirs, − only in yours, ≠ differs.");

/// The heading.
#[must_use]
pub fn heading(title: &str) -> String {
    say!("Compared with “{}”", super::start::titled(title))
}

/// How many differences there are.
#[must_use]
pub fn count(many: usize) -> String {
    match many {
        1 => say!("1 difference"),
        many => say!("{many} differences"),
    }
}

/// What comes along.
#[must_use]
pub fn brings(names: &[String]) -> String {
    say!("Brings along: {}", names.join(", "))
}

/// The other map's link is no good.
#[must_use]
pub fn link(error: &LinkError) -> (String, Vec<String>) {
    super::share::refused(error)
}

/// The sign of a difference, as it stands on the map.
#[must_use]
pub fn sign(change: Change) -> (&'static str, &'static str) {
    match change.only() {
        Some(Only::Theirs) => ("+", said("only in theirs")),
        Some(Only::Ours) => ("−", said("only in yours")),
        None => ("≠", said("differs")),
    }
}

/// The button that takes it over.
#[must_use]
pub fn act(change: Change) -> &'static str {
    match change.only() {
        Some(Only::Theirs) => TAKE_OVER.said(),
        Some(Only::Ours) => LET_GO.said(),
        None => TAKE.said(),
    }
}

/// A difference: what it is about, and where both say something, yours and theirs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// What it is about.
    pub about: String,
    /// What each says.
    pub sides: Option<(String, String)>,
}

/// A difference in words.
#[must_use]
pub fn told(ours: &Harness, theirs: &Harness, change: Change) -> Told {
    let one = |only: Only| match only {
        Only::Ours => ours,
        Only::Theirs => theirs,
    };
    let alone = |about: String| Told { about, sides: None };
    let both = |about: String, ours: String, theirs: String| Told {
        about,
        sides: Some((ours, theirs)),
    };
    let finding = |harness: &Harness, id| {
        let found = harness.findings.iter().find(|finding| finding.id == id);
        found.map_or_else(String::new, |found| sentence(harness, found))
    };
    let terminal = |harness: &Harness, part, port| {
        harness.terminal_name(sparktrail_core::model::Terminal { part, port })
    };
    let of_part =
        |id: PartId, what: &str, say: &dyn Fn(&sparktrail_core::model::Part) -> String| {
            let side = |harness: &Harness| harness.parts.get(&id).map(say).unwrap_or_default();
            both(
                format!("{}: {what}", ours.part_name(id)),
                or_nothing(side(ours)),
                or_nothing(side(theirs)),
            )
        };
    match change {
        Change::Finding(id, only) => alone(finding(one(only), id)),
        Change::FindingDiffers(id) => alone(say!(
            "{} (differs in how it counts or in its note)",
            finding(ours, id)
        )),
        Change::Work(id, only) => {
            let mut work = one(only).work.iter();
            let entry = work.find(|entry| entry.id == id);
            alone(entry.map_or_else(String::new, |entry| entry.text.clone()))
        }
        Change::Engine => both(say!("The engine’s layout"), engine(ours), engine(theirs)),
        Change::Part(id, only) => alone(or_nothing(one(only).part_name(id).to_owned())),
        Change::Pin(part, id, only) => alone(terminal(
            one(only),
            part,
            sparktrail_core::model::Port::Pin(id),
        )),
        Change::Cavity(part, id, only) => {
            let label = one(only)
                .cavity(part, id)
                .and_then(|cavity| cavity.label.as_ref());
            let label = label.map_or("?", |label| label.value.as_str());
            alone(say!("{} · cavity {label}", one(only).part_name(part)))
        }
        Change::Driver(part, id, only) => {
            let name = one(only)
                .driver(id)
                .map_or("", |driver| driver.name.as_str());
            alone(format!("{} · {name}", one(only).part_name(part)))
        }
        Change::Wire(id, only) => alone(one(only).wire_name(id)),
        Change::Fact(at) => {
            let side = |harness: &Harness| {
                harness.fact(at).map_or_else(
                    || UNKNOWN.to_owned(),
                    |Fact { value, how }| {
                        format!("{}, {}", harness.value_name(at, &value), provenance(how))
                    },
                )
            };
            both(capital(&ours.fact_name(at)), side(ours), side(theirs))
        }
        Change::PartName(id) => of_part(id, said("name"), &|part| part.name.clone()),
        Change::PartPlace(id) => of_part(id, said("where it sits"), &|part| place(&part.place)),
        Change::PartCondition(id) => {
            of_part(id, said("condition"), &|part| condition(part.condition))
        }
        Change::PartNote(id) => of_part(id, said("note"), &|part| part.note.clone()),
        Change::PartForm(id) => alone(say!("{}: its kind", ours.part_name(id))),
        Change::PartFace(id) => alone(say!("{}: how its cavities stand", ours.part_name(id))),
        Change::DriverName(part, id) => {
            let name = |harness: &Harness| {
                harness
                    .driver(id)
                    .map(|driver| driver.name.clone())
                    .unwrap_or_default()
            };
            both(
                say!("{}: name of a driver", ours.part_name(part)),
                name(ours),
                name(theirs),
            )
        }
        Change::PinNote(part, id) => {
            let note = |harness: &Harness| {
                harness
                    .pin(part, id)
                    .map(|pin| pin.note.clone())
                    .unwrap_or_default()
            };
            let of = terminal(ours, part, sparktrail_core::model::Port::Pin(id));
            both(
                say!("{of}: note"),
                or_nothing(note(ours)),
                or_nothing(note(theirs)),
            )
        }
        Change::WireNote(id) => {
            let note = |harness: &Harness| {
                harness
                    .wires
                    .get(&id)
                    .map(|wire| wire.note.clone())
                    .unwrap_or_default()
            };
            both(
                say!("{}: note", ours.wire_name(id)),
                or_nothing(note(ours)),
                or_nothing(note(theirs)),
            )
        }
        Change::Title => both(
            say!("The map’s name"),
            or_nothing(ours.title.clone()),
            or_nothing(theirs.title.clone()),
        ),
        Change::About => both(
            say!("The story"),
            or_nothing(ours.about.clone()),
            or_nothing(theirs.about.clone()),
        ),
    }
}

fn or_nothing(text: String) -> String {
    if text.trim().is_empty() {
        say!("nothing")
    } else {
        text
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn engine(harness: &Harness) -> String {
    let engine = &harness.engine;
    super::facts::engine(engine.cylinders().len(), engine.layout, engine.strokes)
}

fn place(place: &Place) -> String {
    match place.reach {
        Some(reach) => say!("{} ({} min to reach)", place.text, reach.get()),
        None => place.text.clone(),
    }
}

fn condition(condition: Condition) -> String {
    let age = match condition.age {
        Age::Unknown => said("age not known"),
        Age::New => said("new"),
        Age::Old => said("old"),
    };
    let exposure = match condition.exposure {
        Exposure::Unknown => said("surroundings not known"),
        Exposure::Dry => said("dry"),
        Exposure::Wet => said("wet"),
    };
    format!("{age}, {exposure}")
}
