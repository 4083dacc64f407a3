//! Words of the cycle: strokes, sparks, dials, numbers, what a fault changes.

use crate::text::{Text, text};
use sparktrail_core::cycle::{
    CoilChange, CoilRow, Figure, FigureKind, Firing, Given, Leg, PlugEnd, Polarity, SecondaryPath,
    SparkChange,
};
use sparktrail_core::electrics::{Charge, Moment, SparkReason, SparkState};
use sparktrail_core::engine::Stroke;
use sparktrail_core::model::{GroundSite, Harness};
use sparktrail_core::said::{digits, said, say};

/// Heading.
pub const HEADING: Text = text("One working cycle");
/// What it shows.
pub const LEAD: Text = text(
    "Each line rises and falls as its piston does. A coil charges, lets go, and every plug on it sparks at once.",
);
/// The map has no coil.
pub const NO_COIL: Text = text("There is no coil on this map yet.");
/// The drawing, for readers.
pub const SCORE: Text = text(
    "Strokes, dwell and sparks along the crank angle; the list of sparks below says the same in words",
);
/// The crank, as a control.
pub const CRANK: Text = text("Crank angle");
/// Turns of the crank a minute.
pub const RPM: Text = text("rpm");
/// Turning by itself.
pub const PLAY: Text = text("Play");
/// Standing still.
pub const PAUSE: Text = text("Pause");
/// To the event before.
pub const BACK: Text = text("Step back");
/// To the next event.
pub const ON: Text = text("Step on");
/// The keys.
pub const KEYS: Text = text(
    "On the slider: arrows turn the crank, Page Up and Page Down step from event to event, Space plays.",
);
/// Cylinders without a coil.
pub const LONE: Text = text("No coil on the map");
/// The key to the shapes.
pub const KEY_SPARK: Text = text("working spark");
/// The same.
pub const KEY_WASTE: Text = text("waste spark");
/// The same.
pub const KEY_NONE: Text = text("no spark");
/// The same.
pub const KEY_DWELL: Text = text("dwell: the coil charges");
/// Heading over one coil.
pub const COIL: Text = text("One coil, closely");
/// Which coil.
pub const WHICH_COIL: Text = text("Coil");
/// Heading over the numbers.
pub const NUMBERS: Text = text("Its numbers");
/// The list of sparks.
pub const EVENTS: Text = text("All sparks as a list");
/// A dial.
pub const DWELL: Text = text("Dwell: how long it charges");
/// A dial.
pub const SUPPLY: Text = text("Battery voltage");
/// A dial.
pub const SPEED: Text = text("Engine speed");
/// A dial.
pub const ADDED: Text = text("Bad contact in this coil's circuit");
/// A choice.
pub const LOAD: Text = text("How hard the engine works");
/// Back to the map's own values.
pub const AS_MAP: Text = text("Dials back as the map has them");
/// A plot.
pub const PLOT_CURRENT: Text = text("Current through the coil while it charges");
/// A plot.
pub const PLOT_SPEED: Text = text("Voltage that the coil can make, by engine speed");
/// There is no curve.
pub const NO_CURVE: Text = text("Nothing charges this coil, so it makes no voltage.");
/// Before a fault is chosen.
pub const TRY_FAULT: Text = text("With a fault");
/// The same.
pub const TRY_FAULT_HINT: Text =
    text("Break something on the map and see here which sparks vanish and what the current does.");
/// The way there.
pub const TO_WHAT_IF: Text = text("Choose what to break");
/// A fault that changes nothing here.
pub const NOTHING_CHANGED: Text = text("Sparks and currents stay as they were.");

/// A crank angle.
#[must_use]
pub fn angle(degrees: f64) -> String {
    digits!("{degrees:.0}°")
}

/// A stroke.
#[must_use]
pub fn stroke(stroke: Stroke) -> &'static str {
    said(match stroke {
        Stroke::Intake => "intake",
        Stroke::Compression => "compression",
        Stroke::Power => "power",
        Stroke::Exhaust => "exhaust",
    })
}

/// A stroke in attributes.
#[must_use]
pub const fn stroke_code(of: Stroke) -> &'static str {
    match of {
        Stroke::Intake => "intake",
        Stroke::Compression => "compression",
        Stroke::Power => "power",
        Stroke::Exhaust => "exhaust",
    }
}

/// Which spark it is, in attributes.
#[must_use]
pub const fn moment_code(moment: Moment) -> &'static str {
    match moment {
        Moment::Compression => "compression",
        Moment::Exhaust => "waste",
        Moment::Other => "stray",
    }
}

/// A spark in a word or two, beside its shape.
#[must_use]
pub fn spark_short(moment: Moment, state: SparkState) -> &'static str {
    said(match (moment, state) {
        (_, SparkState::No) => "none",
        (Moment::Compression, SparkState::Yes) => "spark",
        (Moment::Exhaust, SparkState::Yes) => "waste",
        (Moment::Other, SparkState::Yes) => "stray",
        (Moment::Compression, SparkState::Weak) => "weak spark",
        (Moment::Exhaust, SparkState::Weak) => "weak waste",
        (Moment::Other, SparkState::Weak) => "weak stray",
        (Moment::Compression, SparkState::Doubtful) => "spark?",
        (Moment::Exhaust, SparkState::Doubtful) => "waste?",
        (Moment::Other, SparkState::Doubtful) => "stray?",
    })
}

/// Which spark it is, in a sentence.
fn moment(moment: Moment) -> &'static str {
    said(match moment {
        Moment::Compression => "working spark",
        Moment::Exhaust => "waste spark",
        Moment::Other => "spark at no useful time",
    })
}

/// How it sparks, in a sentence.
fn state(state: SparkState) -> &'static str {
    said(match state {
        SparkState::No => "gone",
        SparkState::Doubtful => "in doubt",
        SparkState::Weak => "weak",
        SparkState::Yes => "there",
    })
}

/// Why a spark is as it is.
fn reason(reason: SparkReason) -> &'static str {
    said(match reason {
        SparkReason::Enough => "the coil has enough for it",
        SparkReason::NotEnergised => "no current is switched through the coil",
        SparkReason::LittleEnergy => "the coil stores too little",
        SparkReason::LowVoltage => "the coil does not reach the voltage that the gap needs",
        SparkReason::Shunted => "something beside the gap eats the voltage",
        SparkReason::FlashesOver => "it flashes over somewhere else first",
        SparkReason::Broken => "the way to the plug is broken",
        SparkReason::PartnerBroken => {
            "the way to the coil's other plug is broken: only an arc can close the loop"
        }
        SparkReason::SeriesResistance => "too much resistance on the way",
        SparkReason::GapBridged => "the gap is bridged: current passes without a spark",
        SparkReason::NotOnMap => "the way to the other plug is not on the map",
    })
}

/// A coil that charges now.
#[must_use]
pub fn charging(coil: &str, amps: f64) -> String {
    say!("{coil} carries {amps:.1} A")
}

/// What happens at the cursor.
#[must_use]
pub fn now(charging: &[String], next: Option<String>) -> String {
    let now = if charging.is_empty() {
        say!("No coil carries current.")
    } else {
        format!("{}.", charging.join(", "))
    };
    match next {
        Some(next) => say!("{now} Next: {next}."),
        None => now,
    }
}

/// The next spark.
#[must_use]
pub fn next_spark(harness: &Harness, row: &CoilRow, firing: &Firing) -> String {
    say!(
        "{} at {}",
        firing_short(harness, row, firing),
        angle(firing.at.get())
    )
}

fn at(end: &PlugEnd) -> String {
    end.cylinder
        .map_or_else(|| say!("a plug"), |cylinder| say!("cylinder {cylinder}"))
}

fn firing_short(harness: &Harness, row: &CoilRow, firing: &Firing) -> String {
    let ends: Vec<String> = firing
        .ends
        .iter()
        .map(|end| format!("{} ({})", at(end), spark_short(end.moment, end.spark.state)))
        .collect();
    format!(
        "{}: {}",
        harness.part_name(row.coil),
        ends.join(said(" and "))
    )
}

/// One firing in the list.
#[must_use]
pub fn firing(harness: &Harness, row: &CoilRow, firing: &Firing) -> String {
    let ends: Vec<String> = firing
        .ends
        .iter()
        .map(|end| {
            say!(
                "{} {}, centre {}, needs {:.1} of {:.0} kV",
                at(end),
                spark_short(end.moment, end.spark.state),
                polarity(end.polarity),
                end.spark.needed_kv,
                end.spark.available_kv
            )
        })
        .collect();
    format!("{}: {}", harness.part_name(row.coil), ends.join("; "))
}

/// A polarity.
fn polarity(polarity: Polarity) -> &'static str {
    said(match polarity {
        Polarity::Negative => "negative",
        Polarity::Positive => "positive",
    })
}

/// The way of the current.
#[must_use]
pub fn way(harness: &Harness, path: &SecondaryPath) -> String {
    let legs: Vec<String> = path
        .legs
        .iter()
        .map(|leg| match *leg {
            Leg::Through(element) => harness.element_name(element),
            Leg::Metal(GroundSite::Engine) => say!("cylinder head"),
            Leg::Metal(GroundSite::Body) => say!("body"),
        })
        .collect();
    let way = legs.join(" → ");
    if path.flows {
        way
    } else {
        say!("No current: {way}")
    }
}

/// A dial's field.
#[must_use]
pub fn typed(name: &str, unit: &str) -> String {
    say!("{name}, in {unit}")
}

/// A load.
#[must_use]
pub fn load(load: Charge) -> &'static str {
    said(match load {
        Charge::OpenAir => "plug out of the engine",
        Charge::Exhaust => "end of exhaust",
        Charge::Idle => "idle",
        Charge::PartLoad => "part load",
        Charge::FullLoad => "full load",
    })
}

/// A figure's name.
#[must_use]
pub fn figure_name(kind: FigureKind) -> &'static str {
    said(match kind {
        FigureKind::Peak => "Current when it lets go",
        FigureKind::Energy => "Energy stored then",
        FigureKind::Available => "Voltage it can make",
        FigureKind::Needed => "Voltage the working plug needs",
        FigureKind::NeededWaste => "Voltage the waste plug needs",
        FigureKind::FullDwell => "Whole dwell fits up to",
        FigureKind::EnoughSpeed => "Charges enough up to",
        FigureKind::ShortestDwell => "Shortest dwell that is enough",
        FigureKind::DwellAngle => "Dwell as crank angle",
        FigureKind::Average => "Average current",
        FigureKind::Voltage => "Voltage that drives the current",
        FigureKind::Loop => "Resistance of the whole loop",
        FigureKind::Constant => "Time constant",
        FigureKind::End => "Current it would reach in the end",
    })
}

/// A figure's number with its unit.
#[must_use]
pub fn figure(figure: &Figure) -> String {
    let unit = figure.kind.unit();
    match (figure.kind, figure.value) {
        (FigureKind::EnoughSpeed, None) => say!("not enough at any speed"),
        (FigureKind::EnoughSpeed, Some(speed)) if speed > 19_999.0 => {
            say!("any speed an engine turns")
        }
        (_, None) => say!("no dwell is enough"),
        (FigureKind::DwellAngle, Some(value)) => digits!("{value:.1}°"),
        (FigureKind::FullDwell | FigureKind::EnoughSpeed, Some(value)) => {
            digits!("{:.0} {unit}", (value / 10.0).round() * 10.0)
        }
        (_, Some(value)) => amount(value, unit),
    }
}

/// A number with its unit, to three digits.
fn amount(value: f64, unit: &str) -> String {
    let digits = match value.abs() {
        v if v >= 100.0 => 0,
        v if v >= 10.0 => 1,
        v if v >= 0.1 => 2,
        _less => 3,
    };
    digits!("{value:.digits$} {unit}").trim_end().to_owned()
}

/// What stands in a formula.
#[must_use]
pub fn given(given: &Given) -> String {
    format!("{} = {}", given.letter, amount(given.value, given.unit))
}

/// Where a formula comes from.
#[must_use]
pub fn source(source: &str) -> String {
    say!("Source: {source}.")
}

/// A coil that nothing charges.
#[must_use]
pub fn not_charged(steady: f64) -> String {
    if steady > 0.05 {
        say!(
            "{steady:.1} A flow through it all the time and are never cut off: it gets hot and makes no spark."
        )
    } else {
        say!("No driver charges this coil: no current, no spark.")
    }
}

/// On the plot, where the current is enough.
#[must_use]
pub fn enough(amps: f64) -> String {
    say!("enough for the plug from {amps:.1} A")
}

/// On the plot, the highest speed.
#[must_use]
pub fn fastest(speed: f64) -> String {
    say!("enough up to {:.0}", (speed / 10.0).round() * 10.0)
}

/// On the plot, what the plug needs.
#[must_use]
pub fn needs(kilovolts: f64) -> String {
    say!("the plug needs {kilovolts:.1} kV")
}

/// On an axis.
#[must_use]
pub fn tick(value: f64) -> String {
    if value.fract().abs() < 1e-9 {
        digits!("{value:.0}")
    } else {
        digits!("{value:.1}")
    }
}

/// The plot of the current, for readers.
#[must_use]
pub fn current_told(row: &CoilRow) -> String {
    match row.runs.first() {
        Some(run) => say!(
            "The current rises to {:.1} A in {:.1} ms and is then cut off",
            run.peak().get(),
            run.dwell().get() * 1e3
        ),
        None => not_charged(row.steady.get()),
    }
}

/// The sparks that a fault changes, those alike in one line.
#[must_use]
pub fn sparks_changed(harness: &Harness, changes: &[SparkChange]) -> Vec<String> {
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    for change in changes {
        let now = change.now.map_or(said("not asked for any more"), state);
        let what = format!(
            "{}: {now}: {}",
            moment(change.moment),
            reason(change.reason)
        );
        let who = match change.cylinder {
            Some(cylinder) => format!("{cylinder}"),
            None => harness.part_name(change.plug).to_owned(),
        };
        match lines.iter_mut().find(|(line, _)| *line == what) {
            Some((_, all)) if all.contains(&who) => {}
            Some((_, all)) => all.push(who),
            None => lines.push((what, vec![who])),
        }
    }
    lines
        .into_iter()
        .map(|(what, who)| say!("Cylinder {}, {what}.", who.join(said(" and "))))
        .collect()
}

/// A coil whose current a fault changes.
#[must_use]
pub fn coil_changed(harness: &Harness, change: &CoilChange) -> String {
    let name = harness.part_name(change.coil);
    let (before, now) = (change.peak.0.get(), change.peak.1.get());
    if change.switched {
        say!("{name}: {now:.1} A when it lets go, {before:.1} A before.")
    } else if change.steady.1.get() > 0.05 {
        say!(
            "{name}: {:.1} A all the time, never cut off; {before:.1} A at each spark before.",
            change.steady.1.get()
        )
    } else {
        say!("{name}: no current; {before:.1} A at each spark before.")
    }
}
