//! What a learner turns: dwell, supply, speed, resistance and load, and how the harness then is.

use crate::electrics::{Charge, nominal};
use crate::model::{Harness, PartId, PartKind};
use crate::provenance::Fact;
use crate::units::{Ohms, Rpm, Seconds, Volts};

/// From where to where a dial goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Lowest.
    pub least: f64,
    /// Highest.
    pub most: f64,
    /// From one mark to the next.
    pub step: f64,
}

impl Range {
    /// The nearest value inside.
    #[must_use]
    pub const fn hold(self, value: f64) -> f64 {
        if value.is_nan() {
            self.least
        } else {
            value.clamp(self.least, self.most)
        }
    }
}

/// What can be turned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dials {
    /// How long each driver is on before a spark, where the time allows it.
    pub dwell: Seconds,
    /// The battery's voltage at rest.
    pub supply: Volts,
    /// Speed of the crank.
    pub speed: Rpm,
    /// Resistance added in series with the primary of [`Dials::at`]: a bad contact on its way.
    pub added: Ohms,
    /// The coil that has the added resistance.
    pub at: Option<PartId>,
    /// What fills the cylinders at compression.
    pub load: Charge,
}

impl Dials {
    /// Dwell, ms.
    pub const DWELL: Range = Range {
        least: 0.5,
        most: 8.0,
        step: 0.1,
    };
    /// Supply, V.
    pub const SUPPLY: Range = Range {
        least: 5.0,
        most: 16.0,
        step: 0.1,
    };
    /// Speed, turns a minute.
    pub const SPEED: Range = Range {
        least: 100.0,
        most: 9_000.0,
        step: 50.0,
    };
    /// Added resistance, Ω.
    pub const ADDED: Range = Range {
        least: 0.0,
        most: 10.0,
        step: 0.1,
    };

    /// The dials as a harness has them, idling at 800 turns a minute; the first coil is in hand.
    #[must_use]
    pub fn of(harness: &Harness) -> Self {
        let supply = harness.parts.values().find_map(|part| {
            if let PartKind::Battery(battery) = &part.kind {
                battery.voltage.map(|fact| fact.value)
            } else {
                None
            }
        });
        let supply = supply.map_or(nominal::BATTERY_VOLTAGE.value, Volts::get);
        let mut ids = harness.parts.keys().copied();
        Self {
            dwell: Seconds::lit(nominal::DWELL.value),
            supply: Volts::new(Self::SUPPLY.hold(supply)).unwrap_or_default(),
            speed: Rpm::lit(800.0),
            added: Ohms::ZERO,
            at: ids.find(|&id| harness.coil(id).is_some()),
            load: Charge::Idle,
        }
    }

    /// The harness as these dials have it.
    pub(super) fn applied(&self, harness: &Harness) -> Harness {
        let mut changed = harness.clone();
        for (id, part) in &mut changed.parts {
            if let PartKind::Battery(battery) = &mut part.kind {
                battery.voltage = Some(Fact::assumed(self.supply));
            } else if let PartKind::Coil(coil) = &mut part.kind
                && self.at == Some(*id)
                && self.added > Ohms::ZERO
            {
                let own = coil
                    .primary_resistance
                    .map_or(Ohms::lit(nominal::PRIMARY_RESISTANCE.value), |fact| {
                        fact.value
                    });
                coil.primary_resistance = Some(Fact::assumed(own + self.added));
            }
        }
        changed
    }
}
