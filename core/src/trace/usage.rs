//! What a pin may be for, and what each measurement shows on it then.

use std::collections::BTreeSet;

use crate::model::{OhmReading, PartId, PinRole};

use super::Measure;

/// What a pin of a unit may be for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Use {
    /// It switches this coil, or tells the driver inside it to switch.
    Coil(PartId),
    /// It switches a coil that is not among those asked for.
    AnotherCoil,
    /// It opens an injector.
    Injector,
    /// It pulls in a relay.
    Relay,
    /// It is fed straight from the battery, a fuse or a relay.
    Feed,
    /// It is joined to ground.
    Ground,
    /// A sensor, a signal, or nothing at all.
    Signal,
}

impl Use {
    /// Every use beside the coils asked for.
    pub(super) const BESIDE: [Self; 6] = [
        Self::AnotherCoil,
        Self::Injector,
        Self::Relay,
        Self::Feed,
        Self::Ground,
        Self::Signal,
    ];

    /// How likely a pin is to be for this, before anything was measured; for coils, all of them together.
    ///
    /// # Source
    /// Judgement: on the plug of a unit that somebody opened for its ignition.
    pub(super) const fn prior(self) -> f64 {
        match self {
            Self::Coil(_) => 0.40,
            Self::AnotherCoil => 0.02,
            Self::Injector => 0.16,
            Self::Relay | Self::Ground => 0.08,
            Self::Feed => 0.10,
            Self::Signal => 0.16,
        }
    }

    /// The role that a pin of this use has on a map; a coil with a driver of its own is told by a signal.
    #[must_use]
    pub const fn role(self, coil: Terminal1) -> PinRole {
        match self {
            Self::Coil(_) => match coil {
                Terminal1::BroughtOut => PinRole::CoilSwitch,
                Terminal1::Inside => PinRole::DriveOut,
            },
            Self::AnotherCoil => PinRole::CoilSwitch,
            Self::Injector => PinRole::InjectorSwitch,
            Self::Relay => PinRole::RelaySwitch,
            Self::Feed => PinRole::Supply,
            Self::Ground => PinRole::Ground,
            Self::Signal => PinRole::SensorIn,
        }
    }
}

/// Whether a coil's terminal 1 can be reached from outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Terminal1 {
    /// It is brought out: the pin sees the feed through the winding.
    BroughtOut,
    /// A driver sits inside the coil: only its signal wire is brought out.
    Inside,
}

/// What one measurement showed on one pin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shown {
    /// Battery voltage, or continuity, is there.
    There,
    /// It is not.
    NotThere,
    /// What the ohmmeter read, its own leads taken off.
    Ohms(OhmReading),
}

/// Upper ends of the bands in which a resistance is told apart, Ω.
///
/// # Source
/// Common practice, no source: coil primaries stay under about 2 Ω, injectors read about 10 to 18 Ω, relay
/// windings about 50 to 120 Ω; the bands between hold what either may read.
const BANDS: [f64; 8] = [0.25, 0.45, 2.5, 6.0, 25.0, 45.0, 150.0, 500.0];
/// Those bands, one beyond them, and "OL".
const BAND_COUNT: usize = 10;

/// How likely a reading from the feed to a pin falls into each band. Judgement. A ground pin sees the feed through
/// whatever else hangs on it, so it may read nearly anything.
const fn from_feed(pin: Use, coil: Terminal1) -> [f64; BAND_COUNT] {
    match (pin, coil) {
        (Use::Coil(_), Terminal1::Inside) => [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.05, 0.25, 0.7],
        (Use::Coil(_), Terminal1::BroughtOut) | (Use::AnotherCoil, _) => {
            [0.0, 0.2, 0.75, 0.05, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0]
        }
        (Use::Injector, _) => [0.0, 0.0, 0.0, 0.1, 0.8, 0.05, 0.0, 0.0, 0.0, 0.05],
        (Use::Relay, _) => [0.0, 0.0, 0.0, 0.0, 0.0, 0.1, 0.75, 0.05, 0.0, 0.1],
        (Use::Feed, _) => [0.65, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.25],
        (Use::Ground, _) => [0.0, 0.05, 0.1, 0.15, 0.15, 0.1, 0.1, 0.1, 0.1, 0.15],
        (Use::Signal, _) => [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.05, 0.1, 0.25, 0.6],
    }
}

/// How likely a reading from a pin to ground falls into each band. Judgement.
const fn to_ground(pin: Use) -> [f64; BAND_COUNT] {
    match pin {
        Use::Ground => [0.85, 0.1, 0.05, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
        Use::Coil(_) | Use::AnotherCoil | Use::Injector | Use::Relay | Use::Feed => {
            [0.0, 0.0, 0.05, 0.1, 0.1, 0.1, 0.15, 0.15, 0.15, 0.2]
        }
        Use::Signal => [0.0, 0.0, 0.0, 0.05, 0.05, 0.05, 0.1, 0.15, 0.3, 0.3],
    }
}

/// How likely a pin carries battery voltage with the key on and the unit unplugged. Judgement.
const fn live(pin: Use, coil: Terminal1) -> f64 {
    match (pin, coil) {
        (Use::Coil(_), Terminal1::BroughtOut) | (Use::AnotherCoil | Use::Injector, _) => 1.0,
        (Use::Relay, _) => 0.95,
        (Use::Feed, _) => 0.9,
        (Use::Signal, _) => 0.1,
        (Use::Coil(_), Terminal1::Inside) | (Use::Ground, _) => 0.0,
    }
}

/// A way in which a measurement can come out on one pin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Outcome(pub(super) usize);

/// How many ways a measurement can come out on one pin.
pub(super) const fn outcomes(measure: &Measure) -> usize {
    match measure {
        Measure::Volts | Measure::Unplug(_) | Measure::Continuity(_) => 2,
        Measure::FromFeed | Measure::ToGround => BAND_COUNT,
    }
}

/// The outcome that a reading is; `None` where it is no reading of this measurement.
pub(super) fn outcome(measure: &Measure, shown: Shown) -> Option<Outcome> {
    match (measure, shown) {
        (Measure::Volts | Measure::Unplug(_) | Measure::Continuity(_), Shown::There) => {
            Some(Outcome(0))
        }
        (Measure::Volts | Measure::Unplug(_) | Measure::Continuity(_), Shown::NotThere) => {
            Some(Outcome(1))
        }
        (Measure::FromFeed | Measure::ToGround, Shown::Ohms(reading)) => Some(match reading {
            OhmReading::Overload => Outcome(BAND_COUNT - 1),
            OhmReading::Ohms(ohms) => {
                let band = BANDS.iter().position(|upper| ohms.get() < *upper);
                Outcome(band.unwrap_or(BANDS.len()))
            }
        }),
        (Measure::Volts | Measure::Unplug(_) | Measure::Continuity(_), Shown::Ohms(_))
        | (Measure::FromFeed | Measure::ToGround, Shown::There | Shown::NotThere) => None,
    }
}

/// How likely each outcome is on a pin of this use, read without error.
pub(super) fn spread(measure: &Measure, pin: Use, coil: Terminal1) -> Vec<f64> {
    let two = |there: f64| vec![there, 1.0 - there];
    match measure {
        Measure::Volts => two(live(pin, coil)),
        Measure::FromFeed => from_feed(pin, coil).to_vec(),
        Measure::ToGround => to_ground(pin).to_vec(),
        Measure::Unplug(coils) => two(if is_one_of(pin, coils) {
            0.0
        } else {
            live(pin, coil)
        }),
        Measure::Continuity(at) => two(if pin == Use::Coil(*at) { 1.0 } else { 0.0 }),
    }
}

fn is_one_of(pin: Use, coils: &BTreeSet<PartId>) -> bool {
    if let Use::Coil(coil) = pin {
        coils.contains(&coil)
    } else {
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spread_sums_to_one() {
        let coil = PartId::from_number(7);
        let measures = [
            Measure::Volts,
            Measure::FromFeed,
            Measure::ToGround,
            Measure::Unplug([coil].into()),
            Measure::Continuity(coil),
        ];
        for measure in &measures {
            for pin in Use::BESIDE.into_iter().chain([Use::Coil(coil)]) {
                for brought in [Terminal1::BroughtOut, Terminal1::Inside] {
                    let spread = spread(measure, pin, brought);
                    assert_eq!(spread.len(), outcomes(measure));
                    let sum: f64 = spread.iter().sum();
                    assert!((sum - 1.0).abs() < 1e-12, "{measure:?} {pin:?} {sum}");
                }
            }
        }
        let priors: f64 = Use::BESIDE.into_iter().map(Use::prior).sum();
        assert!((priors + Use::Coil(coil).prior() - 1.0).abs() < 1e-12);
    }
}
