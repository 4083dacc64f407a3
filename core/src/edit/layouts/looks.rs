//! Invented but plausible looks of wires and values of parts, for maps that nobody has checked yet.

use crate::model::{Colour, WireColour};
use crate::units::{Amps, Henries, Metres, Millimetres, Ohms, SquareMillimetres, Volts};

/// Colour, cross-section and length of a wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Look {
    /// Insulation.
    pub(super) colour: WireColour,
    /// Conductor.
    pub(super) area: SquareMillimetres,
    /// Length.
    pub(super) length: Metres,
}

impl Look {
    /// The same wire, another length.
    pub(super) const fn of_length(self, metres: f64) -> Self {
        Self {
            length: Metres::lit(metres),
            ..self
        }
    }
}

const fn look(base: Colour, tracer: Option<Colour>, area: f64, length: f64) -> Look {
    Look {
        colour: WireColour { base, tracer },
        area: SquareMillimetres::lit(area),
        length: Metres::lit(length),
    }
}

/// Battery to fuse, key and relay.
pub(super) const BATTERY_FEED: Look = look(Colour::Red, None, 4.0, 0.6);
/// Battery and engine to the body.
pub(super) const GROUND_CABLE: Look = look(Colour::Black, None, 16.0, 0.5);
/// A unit's ground.
pub(super) const GROUND: Look = look(Colour::Brown, None, 1.5, 0.8);
/// Key to the relay's winding.
pub(super) const KEY: Look = look(Colour::Black, Some(Colour::Red), 1.0, 1.2);
/// Relay or key to the first splice.
pub(super) const SWITCHED: Look = look(Colour::Red, Some(Colour::White), 2.5, 0.7);
/// Splice to a coil.
pub(super) const COIL_FEED: Look = look(Colour::Red, Some(Colour::White), 1.5, 0.5);
/// Splice to a control unit or module.
pub(super) const UNIT_FEED: Look = look(Colour::Red, Some(Colour::Blue), 1.0, 1.1);
/// Splice to an injector.
pub(super) const INJECTOR_FEED: Look = look(Colour::Red, Some(Colour::Yellow), 1.0, 0.6);

/// None is a base colour of a numbered wire, and none makes green with yellow: that pair is reserved for
/// protective earth (IEC 60445).
const TRACERS: [Option<Colour>; 8] = [
    None,
    Some(Colour::White),
    Some(Colour::Red),
    Some(Colour::Orange),
    Some(Colour::Black),
    Some(Colour::Blue),
    Some(Colour::Brown),
    Some(Colour::Violet),
];

fn numbered(bases: [Colour; 3], nth: usize, area: f64, length: f64) -> Look {
    let base = bases
        .get(nth / TRACERS.len() % bases.len())
        .copied()
        .unwrap_or(Colour::White);
    let tracer = TRACERS.get(nth % TRACERS.len()).copied().flatten();
    look(base, tracer, area, length)
}

/// The nth wire from a driver to a coil's terminal 1; no two of the first 24 look alike.
pub(super) fn coil_switch(nth: usize) -> Look {
    numbered([Colour::Green, Colour::Grey, Colour::Pink], nth, 1.5, 1.4)
}

/// The nth wire that carries a drive signal.
pub(super) fn drive_signal(nth: usize) -> Look {
    numbered(
        [Colour::Pink, Colour::Turquoise, Colour::Grey],
        nth,
        0.5,
        1.2,
    )
}

/// The nth wire to an injector.
pub(super) fn injector_switch(nth: usize) -> Look {
    numbered(
        [Colour::Yellow, Colour::Turquoise, Colour::Silver],
        nth,
        1.0,
        1.5,
    )
}

/// Values of a battery at rest, of fuses, windings, coils, plugs and leads.
///
/// # Source
/// Common practice, no source; within the ranges of the coil and plug makers' figures that `check` uses.
pub(super) mod value {
    use super::{Amps, Henries, Millimetres, Ohms, Volts};

    pub(in super::super) const BATTERY: Volts = Volts::lit(12.8);
    pub(in super::super) const BATTERY_INNER: Ohms = Ohms::lit(0.02);
    pub(in super::super) const FUSE: Amps = Amps::lit(20.0);
    pub(in super::super) const RELAY_WINDING: Ohms = Ohms::lit(85.0);
    pub(in super::super) const PRIMARY: Ohms = Ohms::lit(0.5);
    pub(in super::super) const PRIMARY_DISTRIBUTOR: Ohms = Ohms::lit(0.8);
    pub(in super::super) const INDUCTANCE: Henries = Henries::lit(0.0035);
    pub(in super::super) const SECONDARY: Ohms = Ohms::lit(10_000.0);
    pub(in super::super) const TURNS: f64 = 85.0;
    pub(in super::super) const DRIVER_VOLTAGE: Volts = Volts::lit(0.75);
    pub(in super::super) const DRIVER_SLOPE: Ohms = Ohms::lit(0.1);
    pub(in super::super) const LEAD: Ohms = Ohms::lit(5_000.0);
    pub(in super::super) const BOOT: Ohms = Ohms::lit(1_000.0);
    pub(in super::super) const PLUG_RESISTOR: Ohms = Ohms::lit(5_000.0);
    pub(in super::super) const GAP: Millimetres = Millimetres::lit(0.8);
    pub(in super::super) const INJECTOR: Ohms = Ohms::lit(14.0);
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn numbered_wires_can_be_told_apart() {
        for look in [coil_switch, drive_signal, injector_switch] {
            let colours: Vec<WireColour> = (0..24).map(|nth| look(nth).colour).collect();
            let codes: BTreeSet<String> = colours.iter().map(|colour| colour.code()).collect();
            assert_eq!(codes.len(), 24);
            assert!(colours.iter().all(|c| c.tracer != Some(c.base)));
        }
    }
}
