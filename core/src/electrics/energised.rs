//! Which drivers switch, and the coils that they energise: the periodic current of each.

use std::sync::Arc;

use super::alteration::{Alteration, Switching};
use super::coil::{Periodic, Phase, ShortedTurns, periodic};
use super::desk::Desk;
use super::islands::Islands;
use super::nominal;
use super::update::{Direction, Update};

/// A switched coil whose primary sees less than this share of its own voltage is not energised.
pub(super) const SEEN: f64 = 0.02;

/// A potential (V, or V for 1 A) that changes move by less than this stays where it is.
const STILL: f64 = 1e-9;

/// What drives a primary's current with its driver on or off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Course {
    /// Current that it runs toward, A.
    pub(super) toward: f64,
    /// Resistance of its whole loop, Ω.
    pub(super) ohms: f64,
}

/// A primary as it is driven, whatever the time that its driver takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wound {
    /// H.
    pub(super) henries: f64,
    pub(super) on: Course,
    pub(super) off: Course,
    /// Where some of its turns are shorted.
    pub(super) shorted: Option<ShortedTurns>,
}

impl Wound {
    /// Its periodic current with these times (s), and the current in shorted turns at turn-off, A.
    pub(super) fn run(self, dwell: f64, period: f64) -> (Periodic, Option<f64>) {
        if let Some(turns) = self.shorted {
            let run = turns.run(self.on.toward, self.on.ohms, dwell, period);
            return (run.periodic, Some(run.inside));
        }
        let phase = |course: Course, time| Phase {
            toward: course.toward,
            constant: self.henries / course.ohms,
            time,
        };
        let (on, off) = (phase(self.on, dwell), phase(self.off, period - dwell));
        (periodic(self.henries, on, off), None)
    }
}

/// One coil energised by one driver.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fired {
    pub(super) driver: usize,
    pub(super) coil: usize,
    pub(super) wound: Wound,
    pub(super) run: Periodic,
    /// Current in shorted turns at turn-off, A.
    pub(super) inside: Option<f64>,
    /// Voltage at which the driver holds the flyback, V.
    pub(super) clamp: f64,
    /// Potential of the feed with the drivers off, V.
    pub(super) feed: f64,
}

/// A primary as a driver that switches sees it.
#[derive(Debug)]
pub(super) struct Port {
    coil: usize,
    /// Its conductance, S.
    weight: f64,
    /// Voltage across it for 1 A into the driver's collector and out of its emitter, V.
    across: f64,
    /// Potential of its feed with the drivers off, V.
    feed: f64,
    /// Current that it runs toward with the driver off, and on, A.
    towards: [f64; 2],
    /// Resistance between its ends with the driver off, itself in place, Ω.
    seen: f64,
}

impl Desk {
    /// Whether a change lets a drive signal stand high although nothing commands it.
    pub(super) fn driven(&self, update: &Update, islands: &Islands, currents: &[f64]) -> bool {
        let point = &self.point;
        point
            .circuit
            .drivers
            .iter()
            .zip(&point.drivers)
            .enumerate()
            .any(|(k, (driver, own))| {
                let Some((start, _)) = driver.line else {
                    return false;
                };
                let share = if own.period > 0.0 {
                    own.dwell / own.period
                } else {
                    0.0
                };
                let off = |node: usize| self.at(update, islands, &point.off, currents, node);
                let level = off(start) - off(driver.emitter);
                if level < nominal::DRIVE_LEAST.value
                    || point.held.iter().any(|held| held.driver == k)
                {
                    return false;
                }
                let added = point.signal(k);
                if added.is_empty() {
                    return true;
                }
                let shares = self.currents_of(update, added);
                let signal = |node: usize| self.at(update, islands, added, &shares, node);
                level - share * (signal(start) - signal(driver.emitter))
                    >= nominal::DRIVE_LEAST.value
            })
    }

    /// Whether a driver that switches in the healthy circuit feels nothing of the changes, nor do the coils
    /// that it energises: all of it is then as in the healthy answer.
    pub(super) fn is_spared(
        &self,
        k: usize,
        update: &Update,
        islands: &Islands,
        currents: &[f64],
        alteration: &Alteration,
    ) -> bool {
        let point = &self.point;
        let circuit = &point.circuit;
        let (driver, own) = (&circuit.drivers[k], &point.drivers[k]);
        let meant = !alteration.silent.is_empty()
            || !alteration.shorted.is_empty()
            || alteration.drivers.iter().any(|(id, _)| *id == driver.id);
        if meant || !self.sound.0.contains(&k) {
            return false;
        }
        let cut = |node: usize| {
            let cut = update.cut.as_ref();
            cut.is_some_and(|cut| islands.holds(cut, node))
        };
        let shift = |by: &[f64], node: usize| update.moved(by, |d| self.directions[d].z[node]);
        let shares = self.currents_of(update, &own.unit);
        let still = |node: usize| {
            !cut(node)
                && shift(currents, node).abs() <= STILL
                && shift(&shares, node).abs() <= STILL
        };
        let commanded = driver.line.is_none_or(|(start, _)| {
            let shares = self.currents_of(update, point.signal(k));
            let still = |node: usize| still(node) && shift(&shares, node).abs() <= STILL;
            still(start) && still(driver.emitter)
        });
        let many = update.deltas.len();
        let coil_still = |j: usize, near: bool| {
            let at = circuit.coils[j].strand;
            let strand = &circuit.strands[at];
            let apart = |d: &Direction| (d.z[strand.a] - d.z[strand.b]).abs();
            let changed = update.deltas.iter().any(|delta| delta.strand == Some(at));
            let own = || {
                let unmoved = self.directions[..many].iter().all(|d| apart(d) <= STILL);
                still(strand.a) && still(strand.b) && unmoved
            };
            let across = shift(&shares, strand.a) - shift(&shares, strand.b);
            !changed && if near { own() } else { across.abs() <= STILL }
        };
        commanded
            && still(driver.collector)
            && still(driver.emitter)
            && own.near.iter().all(|j| coil_still(*j, true))
            && self.touched.iter().all(|j| coil_still(*j, false))
    }

    /// Whether a driver still switches.
    pub(super) fn switches(
        &self,
        k: usize,
        update: &Update,
        islands: &Islands,
        currents: &[f64],
        alteration: &Alteration,
    ) -> bool {
        let point = &self.point;
        let driver = &point.circuit.drivers[k];
        let stuck = alteration
            .drivers
            .iter()
            .any(|(id, how)| *id == driver.id && !matches!(how, Switching::Clamp(_)));
        let commanded = driver.command.is_none_or(|unit| {
            point.circuit.decides(unit)
                && !alteration.silences(driver.id, point.circuit.units[unit].part)
        }) && !alteration.silences(driver.id, driver.host);
        let held = point.held.iter().any(|held| held.driver == k);
        if stuck || held || !commanded || !point.powered(k) {
            return false;
        }
        let Some((start, _)) = driver.line else {
            return true;
        };
        let (signal, timing) = (point.signal(k), &point.drivers[k]);
        let shares = self.currents_of(update, signal);
        let level = |values: &[f64], drawn: &[f64]| {
            self.at(update, islands, values, drawn, start)
                - self.at(update, islands, values, drawn, driver.emitter)
        };
        // The averaged signal is already in the potentials with the drivers off.
        let rest = 1.0 - timing.dwell / timing.period;
        level(&point.off, currents) + rest * level(signal, &shares) >= nominal::DRIVE_LEAST.value
    }

    /// Average current (A) by which the unit response of driver `k` enters the averaged potentials;
    /// notes the coils that it energises.
    ///
    /// # Source
    /// Average-value model: closed-form periodic current in each primary; the average of the voltage
    /// across an inductance is what its current gains through the on-time.
    pub(super) fn switch(
        &mut self,
        k: usize,
        update: &Update,
        islands: &Islands,
        currents: &[f64],
        shares: &[f64],
        alteration: &Alteration,
    ) -> f64 {
        let point = &Arc::clone(&self.point);
        let circuit = &point.circuit;
        let (driver, own) = (&circuit.drivers[k], &point.drivers[k]);
        let mut ports = std::mem::take(&mut self.ports);
        let off = |node: usize| self.at(update, islands, &point.off, currents, node);
        let unit = |node: usize| self.at(update, islands, &own.unit, shares, node);
        let hidden = |node: usize| {
            update
                .cut
                .as_ref()
                .is_some_and(|cut| islands.holds(cut, node))
        };
        let before = off(driver.collector) - off(driver.emitter) - driver.volts;
        if before <= 0.0 || hidden(driver.collector) {
            return 0.0;
        }
        let through = driver.ohms + (unit(driver.collector) - unit(driver.emitter)).max(0.0);
        let current = before / through;
        let clamp = alteration.drivers.iter().find_map(|(id, how)| match how {
            Switching::Clamp(volts) if *id == driver.id => Some(*volts),
            Switching::Clamp(_) | Switching::Never | Switching::Always | Switching::Limited(_) => {
                None
            }
        });
        let mut kappa = -own.dwell * current;
        let met = own
            .near
            .iter()
            .chain(self.touched.iter().filter(|j| !own.near.contains(j)))
            .filter_map(|&j| {
                let strand = &circuit.strands[circuit.coils[j].strand];
                if hidden(strand.a) || hidden(strand.b) {
                    return None;
                }
                let apart =
                    |d: usize| self.directions[d].z[strand.a] - self.directions[d].z[strand.b];
                let weight = update.weight(point, circuit.coils[j].strand);
                let across = own.across[j] - update.moved(shares, apart);
                let resting = off(strand.a) - off(strand.b);
                (weight > 1e-9 && across.abs() * weight >= SEEN).then(|| Port {
                    coil: j,
                    weight,
                    across,
                    feed: off(strand.a),
                    towards: [weight * resting, weight * (resting - current * across)],
                    seen: point.port_ohms[j] - update.squared(apart),
                })
            });
        ports.extend(met);
        // Coils that one driver energises together rise and are cut together: none loads another.
        let together = ports.len() > 1;
        for port in ports.drain(..) {
            let coil = &circuit.coils[port.coil];
            let ohms = 1.0 / port.weight;
            // The whole loop from what the primary's ends see with it in place.
            let whole = |seen: f64| ohms * ohms / (ohms - seen).max(ohms * 1e-12);
            let (loop_on, loop_off) = if together {
                (before / port.towards[1].max(1e-9), ohms * 1e12)
            } else {
                let seen_on = port.seen - port.across * port.across / through;
                (whole(seen_on), whole(port.seen))
            };
            let share = alteration
                .shorted
                .iter()
                .find(|(part, _)| *part == coil.part)
                .map(|(_, share)| share.clamp(0.0, 0.95))
                .filter(|share| *share > 1e-4);
            let wound = Wound {
                henries: coil.henries,
                on: Course {
                    toward: port.towards[1],
                    ohms: loop_on,
                },
                off: Course {
                    toward: port.towards[0],
                    ohms: loop_off,
                },
                shorted: share.map(|share| ShortedTurns {
                    henries: coil.henries,
                    ohms: ohms / (1.0 - share),
                    share,
                }),
            };
            let (mut run, inside) = wound.run(own.dwell, own.period);
            kappa -= port.weight * run.flux * port.across / through;
            if let Some(clamp) = clamp {
                // A clamp that low holds the primary's current up after the driver has let go.
                let over = (clamp - port.feed).max(1.0);
                let tail = 0.5 * coil.henries * run.peak * run.peak / over;
                kappa -= tail;
                run.average += tail / own.period;
            }
            self.fired.push(Fired {
                driver: k,
                coil: port.coil,
                wound,
                run,
                inside,
                clamp: clamp.unwrap_or(nominal::DRIVER_CLAMP.value),
                feed: port.feed,
            });
        }
        self.ports = ports;
        kappa / own.period
    }
}
