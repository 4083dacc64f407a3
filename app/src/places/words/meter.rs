//! Words of the meter: leads, setups, readings, reasons, cautions.

use crate::text::{Text, text, text_in};
use sparktrail_core::electrics::{Measure, Reading, ReadingError, Step};
use sparktrail_core::faults::{is_high_voltage, kicks};
use sparktrail_core::model::{BatteryLink, EngineState, Harness, Key, Setup, Terminal};
use sparktrail_core::said::{digits, said, say};
use sparktrail_core::units::{Ohms, Volts};

use super::facts::ohms as ohm_words;
use crate::store::LeadColour;

/// Heading.
pub const HEADING: Text = text("What should a meter read?");
/// No red lead yet.
pub const PUT_RED: Text =
    text("Put the red lead somewhere: tap a pin or part on the map, or look it up.");
/// The place of the leads.
pub const LEADS: Text = text("Leads");
/// A lead that is nowhere.
pub const NOWHERE: Text = text("nowhere yet");
/// Choosing from a list.
pub const LIST: Text = text("List");
/// Taking a lead in hand, on its button.
pub const ON_MAP: Text = text("On map");
/// Choosing from a list, in full.
pub const LOOK_UP: Text = text("choose from a list");
/// The field that narrows the list.
pub const SEARCH: Text = text("Part or terminal");
/// Nothing fits what was typed.
pub const NO_MATCH: Text = text("No terminal is called that.");
/// The list is longer than it shows.
pub const MORE_MATCH: Text = text("There are more: type a few more letters.");
/// How the car stands.
pub const SETUP: Text = text("How the car stands");
/// All that a setup says.
pub const SETUP_MORE: Text = text("Change the details");
/// Battery.
pub const BATTERY: Text = text("Battery");
/// Key.
pub const KEY: Text = text("Key");
/// Engine.
pub const ENGINE: Text = text("Engine");
/// Speed.
pub const RPM: Text = text("Turns a minute");
/// Plugs that are pulled.
pub const UNPLUGGED: Text = text("Unplugged");
/// Fuses that are out.
pub const FUSES: Text = text("Fuses taken out");
/// Over the figure.
pub const HEALTHY: Text = text("Healthy");
/// The map in the colours of its voltages.
pub const PICTURE: Text = text("Show voltages on the map");
/// With the battery off there is nothing to show.
pub const PICTURE_OFF: Text = text("With the battery off nothing stands at a voltage.");
/// What is broken shows in the picture.
pub const PICTURE_FAULT: Text = text("With the fault that is broken for trying.");
/// On the map, at what floats.
pub const FLOATING: Text = text("floats");
/// In the legend.
pub const FLOATS: Text = text("floats: joined to nothing that gives it a voltage");
/// The reason.
pub const WHY: Text = text("Why");
/// What lies between, volts.
pub const WHY_VOLTS: Text = text("From red to black, with what is lost at each place:");
/// What lies between, ohms.
pub const WHY_OHMS: Text = text("From red to black along the least resistance:");
/// Nothing lies between.
pub const WHY_NOTHING: Text =
    text("Nothing joins the two places. The meter shows only what its own resistance makes of it.");
/// Other ways beside the one shown.
pub const WHY_PARALLEL: Text =
    text("There are other ways beside this one, so the meter shows less than the sum.");
/// Inside a unit.
pub const INSIDE: Text = text("inside the unit");
/// Spikes.
pub const CLIPPED: Text = text(
    "Flyback spikes stand here. A meter that cuts them off reads a little lower: compare with the neighbours, same meter, same speed.",
);
/// The map has no alternator.
pub const CHARGES: Text = text(
    "Reckoned for a battery that nobody charges. With the alternator at work a car shows one to two volts more everywhere: compare with the battery’s posts.",
);
/// Card about faults.
pub const WITH_FAULT: Text = text("With a fault");
/// Before a fault is chosen.
pub const FAULT_HINT: Text =
    text("These faults would change this reading. Choose one to see it on the map.");
/// The search runs.
pub const LOOKING: Text = text("Trying every fault…");
/// No fault changes it.
pub const NO_FAULT: Text =
    text("No single fault changes this reading by more than a meter’s spread.");
/// Putting the chosen fault right again.
pub const MEND: Text = text("Put it right again");
/// Other severities.
pub const SEVERITIES: Text = text("If it is milder or worse");
/// Card about telling apart.
pub const APART: Text = text("Tell two cases apart: where to put the leads");
/// What the card does.
pub const APART_LEAD: Text = text("The readings that differ most, the easiest to take first.");
/// First case.
pub const FIRST: Text = text("This");
/// Second case.
pub const SECOND: Text = text("or this");
/// No fault.
pub const NOTHING_BROKEN: Text = text("Healthy");
/// Where the fault is.
pub const WHERE: Text = text("where");
/// What the fault is.
pub const WHAT: Text = text("what");
/// The cases are the same.
pub const APART_SAME: Text = text("Choose two different cases.");
/// The search runs.
pub const APART_LOOKING: Text = text("Trying every pair of places…");
/// No reading parts them.
pub const APART_NONE: Text =
    text("No reading in the usual setups tells these two apart by more than a meter’s spread.");
/// Act: put the leads there.
pub const APART_GO: Text = text("Put the leads there");
/// Which terminal of a part.
pub const WHICH: Text = text("Which terminal?");
/// Nothing to touch.
pub const NO_TERMINAL: Text = text("There is no place for a lead there.");
/// Over the cautions.
pub const CAUTION: Text = text("Before you measure");

/// The usual setups with their names, in the order of the buttons.
#[must_use]
pub fn usual() -> [(&'static str, Setup); 3] {
    [
        (said("Key on"), Setup::key_on()),
        (said("Idling"), Setup::idling()),
        (said("Battery off, Ω"), Setup::battery_off()),
    ]
}

/// A lead by its name.
#[must_use]
pub fn lead(lead: LeadColour) -> &'static str {
    said(match lead {
        LeadColour::Red => "Red lead",
        LeadColour::Black => "Black lead",
    })
}

/// The button that takes a lead in hand.
#[must_use]
pub fn take(lead: LeadColour) -> &'static str {
    said(match lead {
        LeadColour::Red => "Red lead: place it on the map",
        LeadColour::Black => "Black lead: place it on the map",
    })
}

/// What to do with the lead in hand.
#[must_use]
pub fn in_hand(lead: LeadColour) -> &'static str {
    said(match lead {
        LeadColour::Red => "Red is in your hand: tap its place on the map.",
        LeadColour::Black => "Black is in your hand: tap its place on the map.",
    })
}

/// Putting a lead on what is selected.
#[must_use]
pub fn here(lead: LeadColour) -> &'static str {
    said(match lead {
        LeadColour::Red => "Red here",
        LeadColour::Black => "Black here",
    })
}

/// What the engine does.
#[must_use]
pub fn engine(engine: EngineState) -> String {
    match engine {
        EngineState::Stopped => say!("engine stopped"),
        EngineState::Cranking(_) => say!("starter turning"),
        EngineState::Running(rpm) => say!("engine running at {:.0} turns a minute", rpm.get()),
    }
}

/// The choices for the engine.
pub const ENGINES: [Text; 3] = [
    text("stopped"),
    text("turned by the starter"),
    text("running"),
];
/// The choices for the battery.
pub const BATTERIES: [Text; 2] = [text("connected"), text_in("battery", "off")];
/// The choices for the key.
pub const KEYS: [Text; 2] = [text("on"), text("off")];

/// A setup in one line.
#[must_use]
pub fn setup(harness: &Harness, setup: &Setup) -> String {
    let mut words = match (setup.battery, setup.key) {
        (BatteryLink::Disconnected, _) => say!("Battery off"),
        (BatteryLink::Connected, Key::On) => say!("Key on"),
        (BatteryLink::Connected, Key::Off) => say!("Key off"),
    };
    if setup.battery == BatteryLink::Connected && setup.key == Key::On {
        words = format!("{words}, {}", engine(setup.engine));
    }
    let names = |ids: &std::collections::BTreeSet<_>| -> String {
        let names: Vec<&str> = ids.iter().map(|&id| harness.part_name(id)).collect();
        names.join(", ")
    };
    if !setup.unplugged.is_empty() {
        words = say!("{words}; {} unplugged", names(&setup.unplugged));
    }
    if !setup.pulled_fuses.is_empty() {
        words = say!("{words}; {} out", names(&setup.pulled_fuses));
    }
    words
}

/// A voltage with as many digits as a meter shows.
#[must_use]
pub fn volts(value: f64) -> String {
    // No minus before a zero.
    let value = if value.abs() < 0.005 { 0.0 } else { value };
    digits!("{value:.2} V")
}

/// The voltage at one end of what floats at its other end.
#[must_use]
pub fn half_floating(value: f64) -> String {
    format!("{} | {FLOATING}", number(value))
}

/// The voltages at two ends: one number where they are the same.
#[must_use]
pub fn ends(first: f64, last: f64) -> String {
    if (first - last).abs() < 0.05 {
        number(f64::midpoint(first, last))
    } else {
        format!("{} … {}", number(first), number(last))
    }
}

/// A resistance with three digits, in the unit people use for its size.
#[must_use]
pub fn ohms(value: f64) -> String {
    let three = |value: f64| {
        if value >= 99.95 {
            digits!("{value:.0}")
        } else if value >= 9.995 {
            digits!("{value:.1}")
        } else {
            digits!("{value:.2}")
        }
    };
    if value >= 999_500.0 {
        format!("{} MΩ", three(value / 1e6))
    } else if value >= 999.5 {
        format!("{} kΩ", three(value / 1e3))
    } else {
        format!("{} Ω", three(value))
    }
}

/// A reading as the meter shows it.
#[must_use]
pub fn measure(value: Measure) -> String {
    match value {
        Measure::Volts(v) => volts(v.get()),
        Measure::Ohms(r) => ohms(r.get()),
        Measure::Overload => say!("OL"),
    }
}

/// The band of a healthy reading.
#[must_use]
pub fn band(reading: &Reading) -> String {
    let (low, high) = reading.band;
    match reading.value {
        Measure::Volts(_) => say!("{} to {} counts as healthy", number(low), volts(high)),
        Measure::Ohms(_) => say!("{} to {} counts as healthy", ohms(low), ohms(high)),
        Measure::Overload => say!("No way through: the meter shows overload, as it should here"),
    }
}

fn number(value: f64) -> String {
    let text = volts(value);
    text.trim_end_matches(" V").to_owned()
}

/// How a reading with a fault lies beside the healthy one.
#[must_use]
pub fn beside(healthy: &Reading, with: &Reading) -> String {
    let inside = |value: f64| (healthy.band.0..=healthy.band.1).contains(&value);
    let told = |value: f64, apart: String, word: &str| {
        if inside(value) {
            say!("{apart} {word}: a meter does not show this fault here")
        } else {
            say!("{apart} {word} than healthy")
        }
    };
    match (healthy.value, with.value) {
        (Measure::Volts(a), Measure::Volts(b)) => {
            let apart = b.get() - a.get();
            if apart.abs() < 0.005 {
                return say!("the same: a meter does not show this fault here");
            }
            let word = if apart < 0.0 {
                said("lower")
            } else {
                said("higher")
            };
            told(b.get(), volts(apart.abs()), word)
        }
        (Measure::Ohms(a), Measure::Ohms(b)) => {
            let apart = b.get() - a.get();
            if apart.abs() < 0.005 {
                return say!("the same: a meter does not show this fault here");
            }
            let word = if apart < 0.0 {
                said("less")
            } else {
                said("more")
            };
            told(b.get(), ohms(apart.abs()), word)
        }
        (Measure::Overload, Measure::Overload) => {
            say!("the same: a meter does not show this fault here")
        }
        (_, Measure::Overload) => say!("no way through any more"),
        (Measure::Overload, _) => say!("a way through where none should be"),
        (Measure::Volts(_), Measure::Ohms(_)) | (Measure::Ohms(_), Measure::Volts(_)) => {
            String::new()
        }
    }
}

/// Why there is no reading.
#[must_use]
pub fn no_reading(harness: &Harness, error: ReadingError) -> String {
    match error {
        ReadingError::NoTerminal(terminal) => say!(
            "{} is not on the map any more. Put the lead somewhere else.",
            harness.terminal_name(terminal)
        ),
        ReadingError::Live => {
            say!("Take the battery off first: resistance is never measured on a live circuit.")
        }
    }
}

/// What is lost at one step.
#[must_use]
pub fn lost(step: &Step, ohmmeter: Ohmmeter) -> String {
    match ohmmeter {
        Ohmmeter::Yes => ohm_words(round_ohms(step.ohms)),
        Ohmmeter::No => small_volts(step.drop),
    }
}

/// Whether resistance is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ohmmeter {
    /// It is.
    Yes,
    /// Voltage is.
    No,
}

fn round_ohms(value: Ohms) -> Ohms {
    let digits = 10_f64.powf(2.0 - value.get().abs().max(1e-9).log10().floor());
    Ohms::new((value.get() * digits).round() / digits).unwrap_or_default()
}

/// A drop: volts, or millivolts where it is small.
#[must_use]
pub fn small_volts(value: Volts) -> String {
    let size = value.get().abs();
    if size >= 0.1 {
        volts(value.get())
    } else if size >= 5e-4 {
        digits!("{:.0} mV", value.get() * 1e3)
    } else {
        "0 mV".into()
    }
}

/// Several places where little is lost.
#[must_use]
pub fn few(count: usize) -> String {
    if count == 1 {
        say!("1 contact or wire")
    } else {
        say!("{count} wires and contacts")
    }
}

/// Several faults that read alike, by the first of them.
#[must_use]
pub fn and_more(first: &str, more: usize) -> String {
    say!("{first}, and {more} more")
}

/// How far apart two readings lie.
#[must_use]
pub fn widths(widths: f64) -> String {
    if widths >= 20.0 {
        say!("far apart: no meter can mix them up")
    } else {
        say!("{widths:.1} times a meter’s spread apart")
    }
}

/// Where the leads go.
#[must_use]
pub fn places(harness: &Harness, red: Terminal, black: Terminal) -> (String, String) {
    (harness.terminal_name(red), harness.terminal_name(black))
}

/// What to mind in a setup with leads at these places; each is a sentence or two.
#[must_use]
pub fn cautions(
    setup: &Setup,
    unit_unplugged: UnitUnplugged,
    high: HighVoltage,
) -> Vec<&'static str> {
    let mut found = Vec::new();
    let live = setup.battery == BatteryLink::Connected;
    if high == HighVoltage::Near && live {
        found.push(
            said("Tens of thousands of volts stand here as soon as the engine turns. Never put a meter here with the battery on, and keep away with a pacemaker. Never pull a lead on a running engine."),
        );
    }
    if high == HighVoltage::Kick && live && setup.engine != EngineState::Stopped {
        found.push(KICK.said());
    }
    if !live {
        found.push(
            said("Take the battery’s negative terminal off and wait a minute. Never measure resistance with the battery connected: the reading is nonsense and the meter may burn."),
        );
    }
    if unit_unplugged == UnitUnplugged::Yes && live {
        found.push(
            said("Take the battery off before you unplug or plug in the control unit. Put it back on only for this reading, and touch bare metal first."),
        );
    } else if unit_unplugged == UnitUnplugged::Yes {
        found.push(said(
            "Touch bare metal before you touch the pins of the control unit.",
        ));
    }
    match setup.engine {
        EngineState::Stopped => {}
        EngineState::Cranking(_) => found.push(
            said("The engine turns: gearbox in neutral, brake on, hands, sleeves and leads clear of belts and fans. Keep clear of the plugs and their leads."),
        ),
        EngineState::Running(_) => found.push(
            said("Belts and fans move, exhaust and coolant are hot. Fasten the meter’s leads clear of them before you start, work in the open air, and keep clear of the plug leads: secondary voltage can kill."),
        ),
    }
    if live && setup.key == Key::On && setup.engine == EngineState::Stopped {
        found.push(said("Do not leave the key on for long with the engine stopped: a coil that is held on gets hot."));
    }
    found
}

/// Where a coil kicks back while the engine turns.
pub(super) const KICK: Text = text(
    "Each time a coil is switched off, several hundred volts stand here for an instant: hold the tips by their insulation alone, and use a meter made for 600 V or more.",
);

/// The last word of every caution.
pub const RULES: Text = text("Local rules and licensed practice come first.");

/// Whether a control unit is unplugged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitUnplugged {
    /// One is.
    Yes,
    /// None is.
    No,
}

/// Whether a lead stands where high voltage can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HighVoltage {
    /// It does: tens of thousands of volts.
    Near,
    /// A lead stands where a coil kicks back when it is switched off: hundreds of volts.
    Kick,
    /// Neither does.
    Away,
}

impl HighVoltage {
    /// What stands where these leads are.
    #[must_use]
    pub fn at(harness: &Harness, leads: impl IntoIterator<Item = Terminal> + Clone) -> Self {
        let mut near = leads.clone().into_iter();
        if near.any(|lead| is_high_voltage(lead.port)) {
            Self::Near
        } else if leads.into_iter().any(|lead| kicks(harness, lead)) {
            Self::Kick
        } else {
            Self::Away
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_written_as_a_meter_shows_them() {
        for (value, expected) in [
            (12.8, "12.80 V"),
            (-0.001, "0.00 V"),
            (0.25, "0.25 V"),
            (-12.8, "-12.80 V"),
        ] {
            assert_eq!(volts(value), expected);
        }
        for (value, expected) in [
            (0.0, "0.00 Ω"),
            (0.553, "0.55 Ω"),
            (10_020.0, "10.0 kΩ"),
            (999.7, "1.00 kΩ"),
            (1.5e6, "1.50 MΩ"),
            (85.0, "85.0 Ω"),
        ] {
            assert_eq!(ohms(value), expected);
        }
    }

    #[test]
    fn every_setup_that_can_hurt_says_how() {
        for (_, setup) in usual() {
            let said = cautions(&setup, UnitUnplugged::No, HighVoltage::Away);
            assert!(!said.is_empty());
        }
        let near = cautions(&Setup::key_on(), UnitUnplugged::No, HighVoltage::Near);
        assert!(near[0].contains("pacemaker"));
        let off = cautions(&Setup::battery_off(), UnitUnplugged::Yes, HighVoltage::Near);
        assert!(off[0].contains("Never measure resistance"));
        let kick = |setup| cautions(&setup, UnitUnplugged::No, HighVoltage::Kick).join(" ");
        assert!(kick(Setup::idling()).contains("several hundred volts"));
        assert!(!kick(Setup::key_on()).contains("several hundred volts"));
        let unit = cautions(&Setup::key_on(), UnitUnplugged::Yes, HighVoltage::Away);
        assert!(unit[0].contains("battery off before you unplug"));
    }
}
