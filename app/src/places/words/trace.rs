//! Words of tracing: which pins, what to measure, what it means, what does not fit together.

use sparktrail_core::model::{Harness, OhmReading, PartId};
use sparktrail_core::trace::{
    Doubted, MOST_COILS, MOST_PINS, Measure, Power, Shown, TraceError, Use, Way,
};

/// Its heading.
pub const HEADING: &str = "Find out what unknown pins are for";
/// What it is good for.
pub const LEAD: &str = "Unplug the control unit, measure at its plug, and each step here narrows down what a pin can be. The next step is always the one that tells most for its time. It can be left and gone on with later.";
/// Which box.
pub const UNIT: &str = "Which plug?";
/// Which pins.
pub const PINS: &str = "Which pins do you not know?";
/// How to tell them apart.
pub const PINS_HINT: &str =
    "Give each the number moulded beside it on the plug, so that you find it again.";
/// A pin's number.
pub const NUMBER: &str = "Number on the plug";
/// Pins that the map lacks.
pub const MORE: &str = "More pins of this plug, by their numbers (4, 7, 12)";
/// Which coils.
pub const COILS: &str = "Which coils could be theirs?";
/// Whether each coil has its pin.
pub const SURE: &str = "Is each of these coils sure to have its pin among them?";
/// It is.
pub const ALL: &str = "Yes, each";
/// It is not.
pub const NOT_SURE: &str = "Not sure";
/// What that saves.
pub const SURE_HINT: &str = "If you are sure, fewer measurements do.";
/// Begins.
pub const BEGIN: &str = "Begin";
/// No box with pins.
pub const NO_UNIT: &str =
    "The map shows no control unit and no ignition module. Add one with Edit, then come back.";
/// Over the card.
pub const DO_THIS: &str = "Do this next";
/// What to expect.
pub const EXPECT: &str = "Expect";
/// Each pin in turn.
pub const EACH: &str = "each pin in turn, in the unplugged plug, on the side of the wires";
/// What showed voltage.
pub const WHICH_LIVE: &str = "Tap every pin that shows battery voltage";
/// What lost voltage.
pub const WHICH_LOST: &str = "Tap every pin that has lost its voltage";
/// Which pin is joined.
pub const WHICH_JOINED: &str = "Which pin is joined to it?";
/// What each pin read.
pub const WHAT_OHMS: &str = "What did each pin read, in Ω?";
/// A pin may be left out.
pub const LEAVE_OUT: &str = "Leave a pin empty that you did not reach.";
/// Nothing was typed.
pub const NOTHING_TYPED: &str = "Type at least one reading, or OL where the meter shows no number.";
/// None.
pub const NONE: &str = "None of them";
/// Enter.
pub const ENTER: &str = "Enter";
/// It cannot be done.
pub const CANNOT: &str = "I cannot do that here";
/// The others.
pub const INSTEAD: &str = "Do something else instead";
/// What was set aside.
pub const ASIDE: &str = "Set aside";
/// It can be done.
pub const AFTER_ALL: &str = "I can do it after all";
/// What each may be.
pub const MAY_BE: &str = "What each pin may still be";
/// Known.
pub const KNOWN: &str = "known";
/// What was done.
pub const SO_FAR: &str = "What you measured";
/// Takes the last back.
pub const TAKE_BACK: &str = "Take the last one back";
/// Facts on the map.
pub const PUT: &str = "Put it on the map";
/// What that does.
pub const PUT_HINT: &str =
    "What is known so far becomes solid on the map, as measured. Undo takes it back.";
/// It was put.
pub const PUT_DONE: &str = "On the map, as measured.";
/// Everything is known.
pub const DONE: &str = "Every pin is known.";
/// Nothing more can be learned.
pub const NO_MORE: &str = "No measurement here tells more. What is known so far can go on the map.";
/// All of it is on the map.
pub const ON_MAP: &str = "All of it is on the map.";
/// The map.
pub const TO_MAP: &str = "Look at the map";
/// Ends it.
pub const OTHERS: &str = "Trace other pins";
/// Something does not fit.
pub const CLASH: &str = "These answers cannot all be right.";
/// What to do then.
pub const AGAIN: &str = "Take this one again";
/// Others that may be wrong.
pub const ALSO: &str = "If it comes out the same, one of these is wrong";
/// Not every coil has its pin.
pub const NOT_ALL: &str = "Some coil has its pin elsewhere, if all answers are right: you said that each has its pin among these.";
/// Says so.
pub const SAY_NOT_ALL: &str = "A coil may have its pin elsewhere";
/// It could not be kept.
pub const NOT_KEPT: &str =
    "This browser does not keep the measurements: finish before you close the page.";
/// The map has changed under it.
pub const GONE: &str =
    "The map has lost what was being traced. Undo brings it back; or choose anew.";

/// One pin alone.
#[must_use]
pub fn only(pin: &str) -> String {
    format!("{pin}, in the unplugged plug, on the side of the wires")
}

/// A pin without a number.
#[must_use]
pub fn unnamed(place: usize) -> String {
    format!("pin without a number, {place}")
}

/// A pin with its number.
#[must_use]
pub fn pin(label: &str) -> String {
    format!("pin {label}")
}

/// What to do.
#[must_use]
pub fn act(harness: &Harness, measure: &Measure) -> String {
    match measure {
        Measure::Volts => "See which pins carry battery voltage.".into(),
        Measure::FromFeed => "Measure the resistance from the coils’ feed to each pin.".into(),
        Measure::ToGround => "Measure the resistance from each pin to ground.".into(),
        Measure::Unplug(coils) => format!(
            "Unplug {} and see which pins lose their voltage.",
            names(harness, coils.iter())
        ),
        Measure::Continuity(coil) => format!(
            "Unplug {} and find the pin that is joined to its control wire.",
            harness.part_name(*coil)
        ),
    }
}

fn names<'a>(harness: &Harness, parts: impl Iterator<Item = &'a PartId>) -> String {
    let names: Vec<&str> = parts.map(|part| harness.part_name(*part)).collect();
    match names.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, first)) => format!("{} and {last}", first.join(", ")),
        None => String::new(),
    }
}

/// What to expect, and how sure that is.
#[must_use]
pub const fn expect(measure: &Measure) -> &'static str {
    match measure {
        Measure::Volts => {
            "About 12 V, or nothing. Nothing at all on every pin? The unit itself may pull in the relay that feeds the coils: then say that you cannot do this here."
        }
        Measure::FromFeed => {
            "A coil under about 2 Ω, an injector about 10 to 18 Ω, a relay about 50 to 120 Ω, a direct feed nearly 0 Ω; OL where it hangs on something else. Common practice: cars differ."
        }
        Measure::ToGround => "Nearly 0 Ω on a ground pin, much more on all others.",
        Measure::Unplug(_) => {
            "Still about 12 V on most pins; nothing on the pins of the unplugged coils."
        }
        Measure::Continuity(_) => "Under 1 Ω on the right pin, OL on all others.",
    }
}

/// What to mind.
#[must_use]
pub fn cautions(measure: &Measure) -> Vec<&'static str> {
    let mut found = vec![
        "Battery off before the control unit’s plug comes off and before it goes on again. Touch bare metal first. Leave plugs of airbags alone.",
    ];
    match measure.power() {
        Power::KeyOn => found.push(
            "Battery back on and key on only while you read; never turn the starter with plugs off. Key off before a coil’s plug comes off or goes on.",
        ),
        Power::BatteryOff => found.push(
            "Battery off for every resistance: else the reading is nonsense and the meter may burn. Hold the two leads together first and take what they read off.",
        ),
    }
    found.push("Touch a contact from the side with a thin probe. Never push a probe in: a spread contact is a new fault.");
    found.push(super::meter::RULES);
    found
}

/// A way of measuring, in a list.
#[must_use]
pub const fn way(way: Way) -> &'static str {
    match way {
        Way::Volts => "Voltage with the key on",
        Way::FromFeed => "Resistance from the feed",
        Way::ToGround => "Resistance to ground",
        Way::Unplug => "Unplugging coils with the key on",
        Way::Continuity => "Continuity from a coil’s plug",
    }
}

/// What a pin is for.
#[must_use]
pub fn usage(harness: &Harness, what: Use) -> String {
    match what {
        Use::Coil(coil) => format!("control of {}", harness.part_name(coil)),
        Use::AnotherCoil => "control of another coil".into(),
        Use::Injector => "injector".into(),
        Use::Relay => "relay".into(),
        Use::Feed => "direct feed".into(),
        Use::Ground => "ground".into(),
        Use::Signal => "signal, or nothing".into(),
    }
}

/// What one reading was.
#[must_use]
pub fn shown(measure: &Measure, shown: Shown) -> String {
    match (measure, shown) {
        (Measure::Continuity(_), Shown::There) => "joined".into(),
        (Measure::Continuity(_), Shown::NotThere) => "not joined".into(),
        (Measure::Unplug(_), Shown::There) => "still has voltage".into(),
        (Measure::Unplug(_), Shown::NotThere) => "lost its voltage".into(),
        (_, Shown::There) => "battery voltage".into(),
        (_, Shown::NotThere) => "no voltage".into(),
        (_, Shown::Ohms(OhmReading::Overload)) => "OL".into(),
        (_, Shown::Ohms(OhmReading::Ohms(ohms))) => super::meter::ohms(ohms.get()),
    }
}

/// A reading that is doubted.
#[must_use]
pub fn doubted(harness: &Harness, pin: &str, doubted: &Doubted) -> String {
    let how = match &doubted.measure {
        Measure::Volts => "key on".into(),
        Measure::FromFeed => "from the feed".into(),
        Measure::ToGround => "to ground".into(),
        Measure::Unplug(coils) => format!("with {} unplugged", names(harness, coils.iter())),
        Measure::Continuity(coil) => format!("to the control wire of {}", harness.part_name(*coil)),
    };
    let often = if doubted.agreed > 1 {
        format!(" ({} times)", doubted.agreed)
    } else {
        String::new()
    };
    format!(
        "{pin}, {how}: {}{often}",
        shown(&doubted.measure, doubted.shown)
    )
}

/// A share as a percentage.
#[must_use]
pub fn share(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

/// Why it cannot begin.
#[must_use]
pub fn trouble(harness: &Harness, error: TraceError) -> String {
    match error {
        TraceError::NoUnit(_) | TraceError::NoPin(..) | TraceError::NoCoil(_) => GONE.into(),
        TraceError::NoPins => "Choose at least one pin.".into(),
        TraceError::TooManyCoils(many) => format!(
            "{many} coils are more than can be told apart at once. Choose at most {MOST_COILS}, the others afterwards."
        ),
        TraceError::TooManyPins(many) => format!(
            "{many} pins are a lot at once. Choose at most {MOST_PINS}, the others afterwards."
        ),
        TraceError::TooFewPins { coils, pins } => format!(
            "{coils} coils cannot each have a pin among {pins} of {}. Choose more pins or fewer coils, or say that you are not sure.",
            harness.title
        ),
    }
}
