//! One coil through one period of its driver, in time: what the closed form says at every moment.

use std::sync::Arc;

use super::circuit::Circuit;
use super::coil::{energy, times_at};
use super::energised::Fired;
use super::solution::Solution;
use super::spark::{self, Demand, Discharge};
use crate::model::{DriverId, Harness, PartId};
use crate::units::{Amps, Degrees, Henries, Joules, Ohms, Rpm, Seconds, Volts};

/// One coil that one driver energises, in the periodic steady state.
#[derive(Debug, Clone)]
pub struct CoilRun {
    circuit: Arc<Circuit>,
    one: Fired,
    dwell: f64,
    period: f64,
}

/// A quantity that a closed form gave; what overflowed is none.
fn amps(value: f64) -> Amps {
    Amps::new(value).unwrap_or_default()
}

fn seconds(value: f64) -> Seconds {
    Seconds::new(value).unwrap_or_default()
}

impl CoilRun {
    /// The coil.
    #[must_use]
    pub fn coil(&self) -> PartId {
        self.circuit.coils[self.one.coil].part
    }

    /// The driver.
    #[must_use]
    pub fn driver(&self) -> DriverId {
        self.circuit.drivers[self.one.driver].id
    }

    /// Crank angles at which the driver lets go, rising, each once.
    #[must_use]
    pub fn angles(&self) -> Vec<Degrees> {
        self.circuit.let_go(self.one.driver)
    }

    /// How long the driver is on before each spark.
    #[must_use]
    pub fn dwell(&self) -> Seconds {
        seconds(self.dwell)
    }

    /// From one spark to the next.
    #[must_use]
    pub fn period(&self) -> Seconds {
        seconds(self.period)
    }

    /// Sparks in one working cycle of the engine.
    #[must_use]
    pub fn sparks(&self) -> f64 {
        self.circuit.drivers[self.one.driver].sparks
    }

    /// Turns of the crank in one working cycle.
    #[must_use]
    pub fn turns(&self) -> f64 {
        self.circuit.turns
    }

    /// Inductance of the primary.
    #[must_use]
    pub fn inductance(&self) -> Henries {
        Henries::new(self.one.wound.henries).unwrap_or_default()
    }

    /// Resistance of the whole loop while the driver is on, its own slope resistance included.
    #[must_use]
    pub fn loop_resistance(&self) -> Ohms {
        Ohms::new(self.one.wound.on.ohms).unwrap_or_default()
    }

    /// Voltage that drives the loop while the driver is on: the supply less what the driver keeps.
    #[must_use]
    pub fn voltage(&self) -> Volts {
        self.end_current() * self.loop_resistance()
    }

    /// Current that it would reach if the driver stayed on.
    #[must_use]
    pub fn end_current(&self) -> Amps {
        amps(self.one.wound.on.toward)
    }

    /// Current that it keeps while the driver is off: none, unless something leaks.
    #[must_use]
    pub fn resting(&self) -> Amps {
        amps(self.one.wound.off.toward)
    }

    /// Whether the driver charges the coil. Another coil's driver can pull down what flows through a coil
    /// whose own driver is stuck.
    #[must_use]
    pub fn charges(&self) -> bool {
        self.end_current() > self.resting()
    }

    /// Current when the driver turns on.
    #[must_use]
    pub fn start(&self) -> Amps {
        amps(self.one.run.start)
    }

    /// Current when the driver lets go.
    #[must_use]
    pub fn peak(&self) -> Amps {
        amps(self.one.run.peak)
    }

    /// Current averaged over the period.
    #[must_use]
    pub fn average(&self) -> Amps {
        amps(self.one.run.average)
    }

    /// What the coil stores when the driver lets go.
    #[must_use]
    pub fn energy(&self) -> Joules {
        energy(self.inductance(), self.peak())
    }

    /// Current at a time after the driver turned on; the period repeats.
    ///
    /// # Source
    /// Two first-order phases joined at both ends: i = i∞ + (i₀ − i∞)·e^(−t·R/L) in each. What the spark
    /// makes of the coil's energy on the secondary side is not in it.
    #[must_use]
    pub fn current(&self, after: Seconds) -> Amps {
        let time = if self.period > 0.0 {
            after.get().rem_euclid(self.period)
        } else {
            0.0
        };
        let wound = self.one.wound;
        let toward = |course: super::energised::Course, from: f64, time: f64| {
            course.toward + (from - course.toward) * (-time * course.ohms / wound.henries).exp()
        };
        amps(if time > self.dwell {
            toward(wound.off, self.one.run.peak, time - self.dwell)
        } else if wound.shorted.is_some() {
            wound.run(time, self.period).0.peak
        } else {
            toward(wound.on, self.one.run.start, time)
        })
    }

    /// The same coil with another dwell and period, everything else as it is.
    #[must_use]
    pub fn with_times(&self, dwell: Seconds, period: Seconds) -> Self {
        let (dwell, period) = (dwell.get().max(1e-6), period.get().max(2e-6));
        let (run, inside) = self.one.wound.run(dwell.min(period), period);
        Self {
            one: Fired {
                run,
                inside,
                ..self.one
            },
            dwell,
            period,
            circuit: Arc::clone(&self.circuit),
        }
    }

    /// The same coil at another speed of the crank (above zero) with this dwell wanted; the loop stays as
    /// it is, only the times change.
    #[must_use]
    pub fn at_speed(&self, speed: Rpm, wanted: Seconds) -> Self {
        let turns = self.turns() / self.sparks();
        let (period, dwell) = times_at(turns, speed.get().max(1.0), wanted.get());
        self.with_times(seconds(dwell), seconds(period))
    }

    /// Highest voltage of the unloaded secondary, kV; approximate.
    ///
    /// # Source
    /// First peak of the secondary's resonance, held by clamp × turns ratio × overshoot; see
    /// [`SparkEvent::available_kv`](super::SparkEvent::available_kv).
    #[must_use]
    pub fn tower_kilovolts(&self) -> f64 {
        self.one.limit(&self.circuit.coils[self.one.coil], None)
    }
}

impl Solution {
    /// Every coil that a driver energises, in the order of drivers; a coil with two drivers stands there
    /// twice. Empty while the engine stands.
    #[must_use]
    pub fn runs(&self) -> Vec<CoilRun> {
        let all = self.fired().iter();
        all.map(|one| CoilRun {
            circuit: Arc::clone(self.circuit()),
            one: *one,
            dwell: self.point().drivers[one.driver].dwell,
            period: self.point().drivers[one.driver].period,
        })
        .collect()
    }

    /// Current through a coil's primary while no driver switches: what flows all the time. `None` for a
    /// part that is no coil of the circuit.
    #[must_use]
    pub fn steady_current(&self, coil: PartId) -> Option<Amps> {
        let circuit = self.circuit();
        let at = circuit
            .coils
            .iter()
            .find(|known| known.part == coil)?
            .strand;
        let (strand, point) = (&circuit.strands[at], self.point());
        Some(amps(
            point.weights[at] * (point.off[strand.a] - point.off[strand.b]),
        ))
    }

    /// Every spark that is asked of every plug, coil by coil, in the order of the crank angle.
    #[must_use]
    pub fn discharges(&self, harness: &Harness, demand: Demand) -> Vec<Discharge> {
        let mut found = Vec::new();
        spark::discharges(
            harness,
            self.circuit(),
            self.fired().iter().copied(),
            self.alteration(),
            demand,
            |spark| found.push(spark),
        );
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrics::{Alteration, Assumptions, BaseCoil, current_after};
    use crate::model::Setup;

    fn base() -> CoilRun {
        let base = BaseCoil::new();
        let circuit = Arc::new(Circuit::of(&base.harness, &Assumptions::default()));
        let solution = Solution::of(&circuit, &Setup::idling(), &Alteration::default());
        solution.runs().remove(0)
    }

    /// Source: closed form of a first-order circuit, 12.05 V, 0.72 Ω, 3.5 mH; the loop also sees what the
    /// leaks of the map carry, a millionth.
    #[test]
    fn the_ramp_in_time() {
        let run = base();
        assert!(
            (run.voltage().get() - 12.05).abs() < 1e-4,
            "{}",
            run.voltage()
        );
        assert!((run.loop_resistance().get() - 0.72).abs() < 1e-5);
        for ms in [0.0, 0.5, 1.0, 2.0, 2.999] {
            let time = Seconds::lit(ms / 1e3);
            let wanted = current_after(
                Volts::lit(12.05),
                Ohms::lit(0.72),
                Henries::lit(0.0035),
                time,
            );
            let found = run.current(time);
            assert!((found - wanted).get().abs() < 1e-4, "{found}, {wanted}");
        }
        assert!((run.current(run.dwell()) - run.peak()).get().abs() < 1e-9);
        assert!(run.current(Seconds::lit(0.05)).get().abs() < 1e-6);
        let next = run.period() + Seconds::lit(0.001);
        assert!(
            (run.current(next) - run.current(Seconds::lit(0.001)))
                .get()
                .abs()
                < 1e-9
        );
    }

    #[test]
    fn other_times_are_those_of_another_solution() {
        let base_run = base();
        let faster = base_run.with_times(Seconds::lit(0.002), Seconds::lit(0.01));
        let wanted = current_after(
            Volts::lit(12.05),
            Ohms::lit(0.72),
            Henries::lit(0.0035),
            Seconds::lit(0.002),
        );
        assert!((faster.peak() - wanted).get().abs() < 1e-4);
        assert!(faster.tower_kilovolts() < base_run.tower_kilovolts());
        let same = base_run.with_times(base_run.dwell(), base_run.period());
        assert!((same.peak() - base_run.peak()).get().abs() < 1e-12);
    }
}
