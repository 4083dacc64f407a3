//! Words of the short lessons.

use crate::text::{Text, text, text_in};
use sparktrail_core::said::say;

/// To the step before.
pub const BACK: Text = text("Back");
/// To the next step.
pub const NEXT: Text = text_in("button", "Next");
/// To the next lesson.
pub const ON_FROM_HERE: Text = text("On to the next");

/// Title.
pub const WASTE: Text = text("The waste spark: why two cylinders die together");
/// Step.
pub const WASTE_PATH: Text = text(
    "This coil has two towers. When it fires, the current leaves one tower, jumps one plug, crosses the cylinder head, jumps the other plug and comes back at the other tower. It is one loop: both plugs spark, or neither should.",
);
/// Step.
pub const WASTE_NEEDS: Text = text(
    "One of the two cylinders is full and squeezed: its spark does work. The other is just pushing out its burnt gas: its spark is wasted, and it needs little voltage. Half a cycle later they change roles.",
);
/// Step.
pub const WASTE_COIL: Text = text(
    "Break the coil's primary and nothing charges it: both cylinders go dead together. The same is true of its driver, its control wire and its supply.",
);
/// Step.
pub const WASTE_LEAD: Text = text(
    "Break one plug lead instead, and only its own cylinder is surely dead. The companion is in doubt: an arc across the break may close the loop for it. Two dead companions therefore point at what they share.",
);
/// Source.
pub const WASTE_SOURCE: Text = text(
    "Sources: Auto Fundamentals (Goodheart-Willcox 2020), chapter 10, page 209; on one open plug circuit: “Dual-plug ignition coil facts” (motorcycleproject.com). The voltages are this program's, from an empirical formula for a uniform field.",
);

/// Title.
pub const COMPANIONS: Text = text("Companions: who can share a coil");
/// Step.
pub const COMPANIONS_ONE: Text = text(
    "A coil with two towers fires both its plugs at one moment. So the two pistons must reach the top at that moment: one at the end of compression, the other at the end of exhaust.",
);
/// Step.
pub const COMPANIONS_TWO: Text = text(
    "Here is the next pair. In an evenly firing engine the companion stands half the firing order further on. What counts is the crank, not the number of cylinders: some six-cylinder engines have no companions at all.",
);
/// Step.
pub const COMPANIONS_DRIVER: Text = text(
    "Each pair has one driver. When it never switches on, exactly this pair goes dead, and no other.",
);
/// Source.
pub const COMPANIONS_SOURCE: Text = text(
    "Sources: encyclopedia text “Wasted spark system”; crank geometry: two tops must coincide every 360°.",
);

/// Title.
pub const PIN: Text = text("Why a healthy pin reads battery voltage while idling");
/// Step.
pub const PIN_HEALTHY: Text = text(
    "The driver pulls this pin to ground only for some thousandths of a second before each spark. And whatever the coil does, the average voltage across an inductance is nothing: all that is lost is the average current times the coil's resistance. So a meter shows nearly battery voltage.",
);
/// Step.
pub const PIN_NEVER: Text = text(
    "A driver that never switches on lets the pin stand at battery voltage too. So “about battery” never proves that a driver works. Compare it with the other pins, same meter, same speed.",
);
/// Step.
pub const PIN_PARTLY: Text = text(
    "A reading far below its neighbours does tell something: here the transistor is held partly on, and current flows all the time. With the key on and the engine standing it reads the same.",
);
/// Source.
pub const PIN_SOURCE: Text = text(
    "Source: flux balance of an inductance; the readings agree with ngspice, a general circuit simulator, within a few millivolts. That pins more than half a volt apart mean a problem: common practice, no source.",
);

/// Title.
pub const DROP: Text = text("Voltage drop: a bad contact hides until current flows");
/// Step.
pub const DROP_STILL: Text = text(
    "There are two ohms too many in this coil's supply. With the key on and nothing switched no current flows, so nothing is lost on the way, and the meter shows full voltage. Everything looks well.",
);
/// Step.
pub const DROP_LOAD: Text = text(
    "Now measure from battery plus to the coil's supply while the engine idles: one lead at each end of the way. A healthy way loses very little, because its resistance is small.",
);
/// Step.
pub const DROP_BAD: Text = text(
    "With the two ohms the same two leads show many times as much. A drop is measured along the way, under load: that is what finds the place.",
);
/// Source.
pub const DROP_SOURCE: Text = text(
    "Source: Ohm's law on the map's own circuit, with the average current of the coil at idle; copper after IEC 60028. Put the leads on before the engine runs and keep clear of belts, fans and leads.",
);

/// Title.
pub const SWAP: Text = text("Why a swap can mislead");
/// Step.
pub const SWAP_DEAD: Text =
    text("A solder joint at this driver's output is open. Its pair of cylinders is dead.");
/// Step.
pub const SWAP_CLEARS: Text = text(
    "Somebody swaps two transistors, and the same pair stays dead. What has that cleared? Only this: the transistor itself.",
);
/// Step.
pub const SWAP_LEAVES: Text = text(
    "Its joints, its resistor and the way to its gate all stayed where they were. They are still in question, and now they lead. Before any swap, say what each outcome would clear.",
);
/// Source.
pub const SWAP_SOURCE: Text = text(
    "Source: reasoning on the map; how often a swap mends or spoils something by itself is judgement, no source. Work on boards only if you are practised at it, with the battery off.",
);

/// Title.
pub const AWAY: Text = text("Faults that come and go");
/// Step.
pub const AWAY_THERE: Text = text(
    "A contact in this coil's plug opens at times. While it is open, the low end of the coil has no supply, and the meter shows it at once.",
);
/// Step.
pub const AWAY_GONE: Text = text(
    "A minute later the contact touches again. The same leads on the same places now read as they should. That clears nothing: it only says that the fault was away.",
);
/// Step.
pub const AWAY_PROVOKE: Text = text(
    "So with every reading ask: does the engine run badly right now? Provoke it (move the plug, warm it, wet it), and measure while it shows. Record for each finding whether the fault was there.",
);
/// Source.
pub const AWAY_SOURCE: Text = text(
    "Source: reasoning; which parts come and go most often is judgement, no source. Keep hands and leads away from moving parts and from the high voltage.",
);

/// Where one is.
#[must_use]
pub fn place(at: usize, of: usize) -> String {
    say!("Step {at} of {of}")
}

/// What two plugs need.
#[must_use]
pub fn needs((work, high): (u8, f64), (waste, low): (u8, f64)) -> String {
    say!("Cylinder {work} needs {high:.1} kV, cylinder {waste} {low:.1} kV.")
}

/// When two pistons are at the top of compression.
#[must_use]
pub fn tops((a, first): (u8, f64), (b, second): (u8, f64)) -> String {
    say!("Cylinder {a} fires at {first:.0}°, cylinder {b} at {second:.0}°: a whole turn apart.")
}

/// What a meter reads.
#[must_use]
pub fn reads(at: &str, volts: f64) -> String {
    say!("{at} reads {volts:.2} V.")
}

/// What is lost on the way.
#[must_use]
pub fn lost(volts: f64) -> String {
    say!("{volts:.3} V are lost on the way.")
}
