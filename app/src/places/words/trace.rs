//! Words of tracing: which pins, what to measure, what it means, what does not fit together.

use crate::text::{Text, text};
use sparktrail_core::model::{Harness, OhmReading, PartId};
use sparktrail_core::said::{digits, said, say};
use sparktrail_core::trace::{
    Doubted, MOST_COILS, MOST_PINS, Measure, Power, Shown, TraceError, Use, Way,
};

/// Its heading.
pub const HEADING: Text = text("Find out what unknown pins are for");
/// What it is good for.
pub const LEAD: Text = text(
    "Unplug the control unit, measure at its plug, and each step here narrows down what a pin can be. The next step is always the one that tells most for its time. It can be left and gone on with later.",
);
/// Which box.
pub const UNIT: Text = text("Which plug?");
/// Which pins.
pub const PINS: Text = text("Which pins do you not know?");
/// How to tell them apart.
pub const PINS_HINT: Text =
    text("Give each the number moulded beside it on the plug, so that you find it again.");
/// A pin's number.
pub const NUMBER: Text = text("Number on the plug");
/// Pins that the map lacks.
pub const MORE: Text = text("More pins of this plug, by their numbers (4, 7, 12)");
/// Which coils.
pub const COILS: Text = text("Which coils could be theirs?");
/// Whether each coil has its pin.
pub const SURE: Text = text("Is each of these coils sure to have its pin among them?");
/// It is.
pub const ALL: Text = text("Yes, each");
/// It is not.
pub const NOT_SURE: Text = text("Not sure");
/// What that saves.
pub const SURE_HINT: Text = text("If you are sure, fewer measurements do.");
/// Begins.
pub const BEGIN: Text = text("Begin");
/// No box with pins.
pub const NO_UNIT: Text = text(
    "The map shows no control unit and no ignition module. Add one with Edit, then come back.",
);
/// Over the card.
pub const DO_THIS: Text = text("Do this next");
/// What to expect.
pub const EXPECT: Text = text("Expect");
/// Each pin in turn.
pub const EACH: Text = text("each pin in turn, in the unplugged plug, on the side of the wires");
/// What showed voltage.
pub const WHICH_LIVE: Text = text("Tap every pin that shows battery voltage");
/// What lost voltage.
pub const WHICH_LOST: Text = text("Tap every pin that has lost its voltage");
/// Which pin is joined.
pub const WHICH_JOINED: Text = text("Which pin is joined to it?");
/// What each pin read.
pub const WHAT_OHMS: Text = text("What did each pin read, in Ω?");
/// A pin may be left out.
pub const LEAVE_OUT: Text = text("Leave a pin empty that you did not reach.");
/// Nothing was typed.
pub const NOTHING_TYPED: Text =
    text("Type at least one reading, or OL where the meter shows no number.");
/// None.
pub const NONE: Text = text("None of them");
/// Enter.
pub const ENTER: Text = text("Enter");
/// It cannot be done.
pub const CANNOT: Text = text("I cannot do that here");
/// What was set aside.
pub const ASIDE: Text = text("Set aside");
/// It can be done.
pub const AFTER_ALL: Text = text("I can do it after all");
/// What each may be.
pub const MAY_BE: Text = text("What each pin may still be");
/// Known.
pub const KNOWN: Text = text("known");
/// What was done.
pub const SO_FAR: Text = text("What you measured");
/// Takes the last back.
pub const TAKE_BACK: Text = text("Take the last one back");
/// Facts on the map.
pub const PUT: Text = text("Put it on the map");
/// What that does.
pub const PUT_HINT: Text =
    text("What is known so far becomes solid on the map, as measured. Undo takes it back.");
/// It was put.
pub const PUT_DONE: Text = text("On the map, as measured.");
/// Everything is known.
pub const DONE: Text = text("Every pin is known.");
/// Nothing more can be learned.
pub const NO_MORE: Text =
    text("No measurement here tells more. What is known so far can go on the map.");
/// All of it is on the map.
pub const ON_MAP: Text = text("All of it is on the map.");
/// The map.
pub const TO_MAP: Text = text("Look at the map");
/// Ends it.
pub const OTHERS: Text = text("Trace other pins");
/// Something does not fit.
pub const CLASH: Text = text("These answers cannot all be right.");
/// What to do then.
pub const AGAIN: Text = text("Take this one again");
/// Others that may be wrong.
pub const ALSO: Text = text("If it comes out the same, one of these is wrong");
/// Not every coil has its pin.
pub const NOT_ALL: Text = text(
    "Some coil has its pin elsewhere, if all answers are right: you said that each has its pin among these.",
);
/// Says so.
pub const SAY_NOT_ALL: Text = text("A coil may have its pin elsewhere");
/// It could not be kept.
pub const NOT_KEPT: Text =
    text("This browser does not keep the measurements: finish before you close the page.");
/// The map has changed under it.
pub const GONE: Text =
    text("The map has lost what was being traced. Undo brings it back; or choose anew.");

/// One pin alone.
#[must_use]
pub fn only(pin: &str) -> String {
    say!("{pin}, in the unplugged plug, on the side of the wires")
}

/// A pin without a number.
#[must_use]
pub fn unnamed(place: usize) -> String {
    say!("pin without a number, {place}")
}

/// A pin with its number.
#[must_use]
pub fn pin(label: &str) -> String {
    say!("pin {label}")
}

/// What to do.
#[must_use]
pub fn act(harness: &Harness, measure: &Measure) -> String {
    match measure {
        Measure::Volts => say!("See which pins carry battery voltage."),
        Measure::FromFeed => say!("Measure the resistance from the coils’ feed to each pin."),
        Measure::ToGround => say!("Measure the resistance from each pin to ground."),
        Measure::Unplug(coils) => say!(
            "Unplug {} and see which pins lose their voltage.",
            names(harness, coils.iter())
        ),
        Measure::Continuity(coil) => say!(
            "Unplug {} and find the pin that is joined to its control wire.",
            harness.part_name(*coil)
        ),
    }
}

fn names<'a>(harness: &Harness, parts: impl Iterator<Item = &'a PartId>) -> String {
    let names: Vec<&str> = parts.map(|part| harness.part_name(*part)).collect();
    match names.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, first)) => say!("{} and {last}", first.join(", ")),
        None => String::new(),
    }
}

/// What to expect, and how sure that is.
#[must_use]
pub fn expect(measure: &Measure) -> &'static str {
    said(match measure {
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
    })
}

/// What to mind.
#[must_use]
pub fn cautions(measure: &Measure) -> Vec<&'static str> {
    let mut found = vec![said(
        "Battery off before the control unit’s plug comes off and before it goes on again. Touch bare metal first. Leave plugs of airbags alone.",
    )];
    match measure.power() {
        Power::KeyOn => found.push(
            said("Battery back on and key on only while you read; never turn the starter with plugs off. Key off before a coil’s plug comes off or goes on."),
        ),
        Power::BatteryOff => found.push(
            said("Battery off for every resistance: else the reading is nonsense and the meter may burn. Hold the two leads together first and take what they read off."),
        ),
    }
    found.push(said("Touch a contact from the side with a thin probe. Never push a probe in: a spread contact is a new fault."));
    found.push(super::meter::RULES.said());
    found
}

/// A way of measuring, in a list.
#[must_use]
pub fn way(way: Way) -> &'static str {
    said(match way {
        Way::Volts => "Voltage with the key on",
        Way::FromFeed => "Resistance from the feed",
        Way::ToGround => "Resistance to ground",
        Way::Unplug => "Unplugging coils with the key on",
        Way::Continuity => "Continuity from a coil’s plug",
    })
}

/// What a pin is for.
#[must_use]
pub fn usage(harness: &Harness, what: Use) -> String {
    match what {
        Use::Coil(coil) => say!("control of {}", harness.part_name(coil)),
        Use::AnotherCoil => say!("control of another coil"),
        Use::Injector => say!("injector"),
        Use::Relay => say!("relay"),
        Use::Feed => say!("direct feed"),
        Use::Ground => say!("ground"),
        Use::Signal => say!("signal, or nothing"),
    }
}

/// What one reading was.
#[must_use]
pub fn shown(measure: &Measure, shown: Shown) -> String {
    match (measure, shown) {
        (Measure::Continuity(_), Shown::There) => say!("joined"),
        (Measure::Continuity(_), Shown::NotThere) => say!("not joined"),
        (Measure::Unplug(_), Shown::There) => say!("still has voltage"),
        (Measure::Unplug(_), Shown::NotThere) => say!("lost its voltage"),
        (_, Shown::There) => say!("battery voltage"),
        (_, Shown::NotThere) => say!("no voltage"),
        (_, Shown::Ohms(OhmReading::Overload)) => say!("OL"),
        (_, Shown::Ohms(OhmReading::Ohms(ohms))) => super::meter::ohms(ohms.get()),
    }
}

/// A reading that is doubted.
#[must_use]
pub fn doubted(harness: &Harness, pin: &str, doubted: &Doubted) -> String {
    let how = match &doubted.measure {
        Measure::Volts => say!("key on"),
        Measure::FromFeed => say!("from the feed"),
        Measure::ToGround => say!("to ground"),
        Measure::Unplug(coils) => say!("with {} unplugged", names(harness, coils.iter())),
        Measure::Continuity(coil) => say!("to the control wire of {}", harness.part_name(*coil)),
    };
    let often = if doubted.agreed > 1 {
        say!(" ({} times)", doubted.agreed)
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
    digits!("{:.0} %", share * 100.0)
}

/// Why it cannot begin.
#[must_use]
pub fn trouble(harness: &Harness, error: TraceError) -> String {
    match error {
        TraceError::NoUnit(_) | TraceError::NoPin(..) | TraceError::NoCoil(_) => GONE.into(),
        TraceError::NoPins => say!("Choose at least one pin."),
        TraceError::TooManyCoils(many) => say!(
            "{many} coils are more than can be told apart at once. Choose at most {MOST_COILS}, the others afterwards."
        ),
        TraceError::TooManyPins(many) => say!(
            "{many} pins are a lot at once. Choose at most {MOST_PINS}, the others afterwards."
        ),
        TraceError::TooFewPins { coils, pins } => say!(
            "{coils} coils cannot each have a pin among {pins} of {}. Choose more pins or fewer coils, or say that you are not sure.",
            harness.title
        ),
    }
}
