//! P(answer | cause) for every question: discrete answers by rates, readings by prediction and width.

use super::cause::Cause;
use super::defaults as d;
use super::forecast::{Fate, Flash, Meter, Reading, Showing};
use super::question::{Answer, Probes, Question};
use super::siblings::{self, Beside, Shift};
use super::touch::{self, Touch};
use crate::engine::CylinderId;
use crate::faults::Mode;
use crate::model::{
    CompressionResult, Effect, Element, EngineState, Glow, Harness, Look, Setup, Spark, Stored,
    SwapOutcome, Works,
};

/// All that is needed to say how likely an answer is under each cause.
pub(super) struct Outlook<'a> {
    pub(super) harness: &'a Harness,
    pub(super) causes: &'a [Cause],
    /// By cause; one more at the end for "nothing wrong".
    pub(super) showings: &'a [Showing],
    pub(super) meter: &'a dyn Meter,
}

/// Likelihood of one answer: by cause, and one more at the end for "nothing wrong".
pub(super) type Row = Vec<f64>;

/// All answers to a question with their probabilities.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spread {
    pub(super) answers: Vec<Answer>,
    pub(super) rows: Vec<Row>,
}

/// How wide a predicted reading is.
#[derive(Debug, Clone, Copy)]
struct Expected {
    centre: f64,
    width: f64,
    gross: f64,
}

impl Outlook<'_> {
    /// Every answer to a question that has a list of them; `None` for readings of a meter.
    fn discrete(&self, question: &Question) -> Option<Spread> {
        Some(match question {
            Question::Contribution(cylinder) => self.list(
                &[Works::Alive, Works::Dead, Works::Sometimes],
                Answer::Works,
                |cause, showing| contribution(cause, showing.fate(*cylinder)),
            ),
            Question::Spark(cylinder) => self.list(
                &[Spark::Yes, Spark::No, Spark::Weak, Spark::WrongTime],
                Answer::Spark,
                |_, showing| flash(showing.flash(*cylinder)),
            ),
            Question::Look(element) => {
                self.list(&[Look::Sound, Look::Damaged], Answer::Look, |cause, _| {
                    let seen = cause.map_or(d::LOOK.1, |c| touch::look(self.harness, *element, c));
                    [1.0 - seen, seen]
                })
            }
            Question::Stress(element, _) => {
                self.effects(|cause| touch::stress(self.harness, *element, cause))
            }
            Question::Substitute(part, with) => {
                self.effects(|cause| touch::substitute(self.harness, *part, *with, cause))
            }
            Question::Clean(element) => {
                self.effects(|cause| touch::clean(self.harness, *element, cause))
            }
            Question::Remake(element) => {
                self.effects(|cause| touch::remake(self.harness, *element, cause))
            }
            Question::Swap(pair) => self.list(
                &[
                    SwapOutcome::Moved,
                    SwapOutcome::Stayed,
                    SwapOutcome::Gone,
                    SwapOutcome::Changed,
                ],
                Answer::Swap,
                |cause, _| {
                    let Touch {
                        cured,
                        changed,
                        moved,
                    } = cause.map_or(Touch::NOTHING, |c| touch::swap(self.harness, *pair, c));
                    [moved, 1.0 - cured - changed - moved, cured, changed]
                },
            ),
            Question::AnyCode => self.list(
                &[Stored::Present, Stored::Absent],
                Answer::Stored,
                |_, showing| {
                    let stored = if showing.ill().next().is_some() {
                        d::CAN_DETECT * d::CODE.0 + (1.0 - d::CAN_DETECT) * d::CODE.1
                    } else {
                        d::CODE.1
                    };
                    [stored, 1.0 - stored]
                },
            ),
            Question::Code(code) => {
                let meaning = super::codes::meaning(code);
                self.list(
                    &[Stored::Present, Stored::Absent],
                    Answer::Stored,
                    |cause, showing| {
                        let p = super::codes::stored(meaning, cause.map(|c| c.fault), showing);
                        [p, 1.0 - p]
                    },
                )
            }
            Question::Compression(cylinder) => self.list(
                &[CompressionResult::Good, CompressionResult::Low],
                Answer::Compression,
                |cause, _| {
                    let low = cause.is_some_and(|c| no_compression(c, *cylinder));
                    let p = if low {
                        d::COMPRESSION.0
                    } else {
                        d::COMPRESSION.1
                    };
                    [1.0 - p, p]
                },
            ),
            Question::Lamp(probes) => self.lamp(probes),
            Question::Volts(_) | Question::Resistance(_) | Question::Drop(_) => return None,
        })
    }

    fn list<T: Copy, const N: usize>(
        &self,
        answers: &[T; N],
        wrap: fn(T) -> Answer,
        chances: impl Fn(Option<&Cause>, &Showing) -> [f64; N],
    ) -> Spread {
        let mut rows = vec![Vec::with_capacity(self.showings.len()); N];
        for (place, showing) in self.showings.iter().enumerate() {
            for (row, p) in rows
                .iter_mut()
                .zip(chances(self.causes.get(place), showing))
            {
                row.push(p);
            }
        }
        Spread {
            answers: answers.iter().map(|answer| wrap(*answer)).collect(),
            rows,
        }
    }

    fn effects(&self, touch: impl Fn(&Cause) -> Touch) -> Spread {
        self.list(
            &[Effect::Same, Effect::Cured, Effect::Changed],
            Answer::Effect,
            |cause, _| {
                let t = cause.map_or(Touch::NOTHING, &touch);
                let changed = t.changed + t.moved;
                [1.0 - t.cured - changed, t.cured, changed]
            },
        )
    }

    fn lamp(&self, probes: &Probes) -> Spread {
        let volts = self.meter.volts(&probes.setup, probes.red, probes.black);
        let ohms = probes
            .black
            .and_then(|black| self.meter.ohms(&dead(&probes.setup), probes.red, black));
        let (volts, ohms) = match (volts, ohms) {
            (Some(volts), Some(ohms)) => (volts, ohms),
            (None, _) | (_, None) => return self.indifferent_lamp(),
        };
        let runs = !matches!(probes.setup.engine, EngineState::Stopped);
        let place = std::cell::Cell::new(0_usize);
        self.list(
            &[Glow::Bright, Glow::Dim, Glow::Off, Glow::Flickering],
            Answer::Glow,
            |_, _| {
                let at = place.get();
                place.set(at + 1);
                let pick = |r: &Reading| r.by_cause.get(at).copied().unwrap_or(r.healthy);
                // A 5 W lamp is about 29 Ω when it shines.
                let behind = pick(&ohms).clamp(0.0, 1e9);
                let across = pick(&volts).abs() * 29.0 / (29.0 + behind);
                match (across > 9.0, across > 3.0, runs) {
                    (true, _, false) => [0.94, 0.03, 0.02, 0.01],
                    (true, _, true) => [0.80, 0.04, 0.02, 0.14],
                    (false, true, false) => [0.08, 0.85, 0.06, 0.01],
                    (false, true, true) => [0.08, 0.75, 0.06, 0.11],
                    (false, false, _) => [0.01, 0.04, 0.94, 0.01],
                }
            },
        )
    }

    fn indifferent_lamp(&self) -> Spread {
        self.list(
            &[Glow::Bright, Glow::Dim, Glow::Off, Glow::Flickering],
            Answer::Glow,
            |_, _| [0.25; 4],
        )
    }

    /// The row of one finding's answer. `shifts`: by cause, see `siblings`; empty for none.
    /// `None` where the question says nothing here: a reading that cannot be reckoned.
    pub(super) fn row(
        &self,
        question: &Question,
        answer: &Answer,
        shifts: &[Shift],
    ) -> Option<Row> {
        if let Some(spread) = self.discrete(question) {
            let place = spread.answers.iter().position(|a| a == answer)?;
            return spread.rows.into_iter().nth(place);
        }
        match (question, answer) {
            (Question::Volts(probes) | Question::Drop(probes), Answer::Volts(reading, _)) => {
                let usual = if matches!(question, Question::Volts(_)) {
                    Shift::ALONE
                } else {
                    Shift::COMPARED
                };
                let shift = |place: usize| shifts.get(place).copied().unwrap_or(usual);
                let expected = self.expected_volts(question, probes, shift)?;
                Some(
                    expected
                        .iter()
                        .enumerate()
                        .map(|(place, e)| density_volts(*e, reading + shift(place).volts))
                        .collect(),
                )
            }
            (Question::Resistance(probes), Answer::Ohms(reading, _)) => {
                let ohms = self.meter.ohms(&probes.setup, probes.red, probes.black?)?;
                Some(self.by_cause(&ohms, |cause, ohms, healthy| {
                    density_ohms(cause, ohms, healthy, *reading)
                }))
            }
            (Question::Resistance(probes), Answer::Overload) => {
                let ohms = self.meter.ohms(&probes.setup, probes.red, probes.black?)?;
                Some(self.by_cause(&ohms, |_, ohms, _| overload(ohms)))
            }
            // A reading of another kind than was asked for says nothing.
            (_, _) => None,
        }
    }

    /// Every answer to any question, readings cut into ranges, each suspect's chances summing to one.
    pub(super) fn spread(&self, question: &Question) -> Option<Spread> {
        match question {
            Question::Contribution(_)
            | Question::Spark(_)
            | Question::Lamp(_)
            | Question::Look(_)
            | Question::Stress(..)
            | Question::Substitute(..)
            | Question::Swap(_)
            | Question::Clean(_)
            | Question::Remake(_)
            | Question::Code(_)
            | Question::AnyCode
            | Question::Compression(_) => self.discrete(question),
            Question::Volts(probes) | Question::Drop(probes) => {
                let expected = self.expected_volts(question, probes, |_| Shift::COMPARED)?;
                let healthy = expected.last()?.centre;
                let cuts = volt_cuts(healthy, expected.iter().map(|e| e.centre));
                Some(cut(&cuts, Answer::Volts, |low, high| {
                    expected.iter().map(|e| mass_volts(*e, low, high)).collect()
                }))
            }
            Question::Resistance(probes) => {
                let ohms = self.meter.ohms(&probes.setup, probes.red, probes.black?)?;
                let cuts = ohm_cuts(ohms.healthy);
                let mut spread = cut(&cuts, Answer::Ohms, |low, high| {
                    self.by_cause(&ohms, |cause, ohms, healthy| {
                        mass_ohms(cause, ohms, healthy, low, high)
                    })
                });
                spread.answers.push(Answer::Overload);
                spread
                    .rows
                    .push(self.by_cause(&ohms, |_, ohms, _| overload(ohms)));
                Some(spread)
            }
        }
    }

    /// For each cause, and for none, the level that all siblings' readings ask for.
    pub(super) fn shifts(&self, probes: &Probes, all: &[(Question, Answer)]) -> Vec<Shift> {
        let read: Vec<(Reading, f64, bool)> = siblings::readings(self.harness, all, probes)
            .into_iter()
            .filter_map(|(p, seen)| {
                let reading = self.meter.volts(&p.setup, p.red, p.black)?;
                Some((reading, seen, p.red == probes.red))
            })
            .collect();
        (0..=self.causes.len())
            .map(|place| {
                let graded = self.causes.get(place).is_some_and(|c| graded(c.fault.mode));
                let beside: Vec<Beside> = read
                    .iter()
                    .map(|(reading, seen, own)| {
                        let volts = reading.by_cause.get(place).unwrap_or(&reading.healthy);
                        let grid = if graded {
                            d::GRID_WIDTH * (volts - reading.healthy).abs()
                        } else {
                            0.0
                        };
                        Beside {
                            apart: volts - seen,
                            width: d::IDLE_WIDTH.hypot(grid),
                            own: *own,
                        }
                    })
                    .collect();
                siblings::shift(&beside)
            })
            .collect()
    }

    fn by_cause(&self, reading: &Reading, rate: impl Fn(Option<&Cause>, f64, f64) -> f64) -> Row {
        let mut row: Row = self
            .causes
            .iter()
            .zip(&reading.by_cause)
            .map(|(cause, value)| rate(Some(cause), *value, reading.healthy))
            .collect();
        row.push(rate(None, reading.healthy, reading.healthy));
        row
    }

    fn expected_volts(
        &self,
        question: &Question,
        probes: &Probes,
        shift: impl Fn(usize) -> Shift,
    ) -> Option<Vec<Expected>> {
        let reading = self.meter.volts(&probes.setup, probes.red, probes.black)?;
        let base = match (question, probes.setup.engine) {
            (Question::Drop(_), _) | (_, EngineState::Stopped) => d::VOLTS_WIDTH,
            (_, EngineState::Cranking(_) | EngineState::Running(_)) => d::IDLE_WIDTH,
        };
        // What battery and meter do to a reading that is compared with no sibling: their spread
        // is a share of the voltage itself.
        let level = (reading.healthy.abs() / 12.0).min(1.0);
        let width = |place: usize| base.hypot(shift(place).unsure * level);
        let mut all: Vec<Expected> = self
            .causes
            .iter()
            .zip(&reading.by_cause)
            .enumerate()
            .map(|(place, (cause, volts))| {
                let grid = if graded(cause.fault.mode) {
                    d::GRID_WIDTH * (volts - reading.healthy).abs()
                } else {
                    0.0
                };
                Expected {
                    centre: *volts,
                    width: width(place).hypot(grid),
                    gross: shift(place).gross,
                }
            })
            .collect();
        all.push(Expected {
            centre: reading.healthy,
            width: width(self.causes.len()),
            gross: shift(self.causes.len()).gross,
        });
        Some(all)
    }
}

/// The same setup with the battery off, for a lamp's source resistance.
fn dead(setup: &Setup) -> Setup {
    Setup {
        unplugged: setup.unplugged.clone(),
        pulled_fuses: setup.pulled_fuses.clone(),
        ..Setup::battery_off()
    }
}

/// Whether a mode has a severity that lies between grid points.
const fn graded(mode: Mode) -> bool {
    mode.ohms().is_some() || matches!(mode, Mode::TurnsShorted(_))
}

fn contribution(cause: Option<&Cause>, fate: Fate) -> [f64; 3] {
    let ill = match fate {
        Fate::Lives => 0.0,
        Fate::Weak | Fate::Dies | Fate::WrongTime => 1.0,
    };
    let share = cause.map_or(0.0, |c| c.comes_and_goes);
    let weak = if fate == Fate::Weak { 0.25 } else { 0.0 };
    let sometimes = 0.01 + ill * share * d::AWAY + weak;
    let dead = match fate {
        Fate::Lives => d::DEAD_ERROR,
        Fate::Weak => 0.35,
        Fate::Dies => 1.0 - d::DEAD_ERROR,
        Fate::WrongTime => 0.85,
    };
    let rest = 1.0 - sometimes;
    [rest * (1.0 - dead), rest * dead, sometimes]
}

/// Chances of yes, no, weak, at the wrong time.
fn flash(flash: Flash) -> [f64; 4] {
    let (miss, stray) = d::FLASH;
    match flash {
        Flash::Yes => [0.96 - miss, miss, 0.03, 0.01],
        Flash::No => [stray, 0.96 - stray, 0.03, 0.01],
        Flash::Weak => [0.35, 0.15, 0.49, 0.01],
        Flash::WrongTime => [0.08, miss, 0.03, 0.89 - miss],
    }
}

fn no_compression(cause: &Cause, cylinder: CylinderId) -> bool {
    cause.fault.element == Element::Cylinder(cylinder) && cause.fault.mode == Mode::NoCompression
}

/// Of gross errors on a voltmeter, the share that reads nothing at all or the whole battery.
const AT_THE_ENDS: f64 = 0.6;
/// How wide those two are, V.
const END: f64 = 0.5;
/// Range of a voltmeter here, V.
const RANGE: (f64, f64) = (-1.0, 16.0);

fn density_volts(expected: Expected, reading: f64) -> f64 {
    let z = (reading - expected.centre) / expected.width;
    let normal = (-0.5 * z * z).exp() / (expected.width * (2.0 * std::f64::consts::PI).sqrt());
    (1.0 - expected.gross) * normal + expected.gross * gross_density(reading)
}

fn gross_density(reading: f64) -> f64 {
    let ends = if reading.abs() < END || (reading - 12.6).abs() < END {
        AT_THE_ENDS / (4.0 * END)
    } else {
        0.0
    };
    let inside = (RANGE.0..=RANGE.1).contains(&reading);
    ends + if inside {
        (1.0 - AT_THE_ENDS) / (RANGE.1 - RANGE.0)
    } else {
        // Outside the range the reading itself is in doubt: it tells suspects apart by nothing.
        1e-3
    }
}

fn mass_volts(expected: Expected, low: f64, high: f64) -> f64 {
    let at = |x: f64| {
        if x.is_finite() {
            normal_cdf((x - expected.centre) / expected.width)
        } else if x > 0.0 {
            1.0
        } else {
            0.0
        }
    };
    (1.0 - expected.gross) * (at(high) - at(low)) + expected.gross * gross_mass(low, high)
}

fn gross_mass(low: f64, high: f64) -> f64 {
    let share = |from: f64, to: f64| {
        // The outermost ranges reach to infinity and take what lies beyond.
        let overlap = high.min(to) - low.max(from);
        overlap.max(0.0) / (to - from)
    };
    AT_THE_ENDS * 0.5 * (share(-END, END) + share(12.6 - END, 12.6 + END))
        + (1.0 - AT_THE_ENDS) * share(RANGE.0, RANGE.1)
}

/// Where readings in volts are cut into ranges: apart from healthy, and in between.
fn volt_cuts(healthy: f64, centres: impl Iterator<Item = f64>) -> Vec<f64> {
    let (mut least, mut most) = (healthy, healthy);
    for centre in centres {
        least = least.min(centre);
        most = most.max(centre);
    }
    let mut cuts = vec![f64::NEG_INFINITY];
    if least < healthy - 0.3 {
        if healthy > 6.0 {
            cuts.push(1.0);
            if healthy > 9.0 {
                cuts.push(healthy * 0.6);
            }
        }
        cuts.push(healthy - 0.4);
    }
    if most > healthy + 0.3 {
        cuts.push(healthy + 0.4);
        if healthy < 6.0 {
            cuts.push((healthy + 1.0).max(1.0));
            cuts.push(healthy + 6.0);
        }
    }
    cuts.push(f64::INFINITY);
    cuts
}

/// What a resistance is compared by: decades of (R + 0.3 Ω).
fn decades(ohms: f64) -> f64 {
    (ohms.max(0.0) + d::OHMS_WIDTH.1).log10()
}

/// Range of an ohmmeter in decades.
const DECADES: f64 = 7.0;
/// Chance to read a number where overload is due, and overload where a number is.
const WRONG_RANGE: f64 = 0.01;

fn overload(ohms: f64) -> f64 {
    if ohms < d::OVERLOAD {
        WRONG_RANGE
    } else {
        1.0 - WRONG_RANGE
    }
}

fn ohm_width(cause: Option<&Cause>, ohms: f64, healthy: f64) -> f64 {
    let moved = (decades(ohms) - decades(healthy)).abs() > 1e-6;
    let grid = if moved && cause.is_some_and(|c| graded(c.fault.mode)) {
        d::GRID_DECADES
    } else {
        0.0
    };
    d::OHMS_WIDTH.0.hypot(grid)
}

fn density_ohms(cause: Option<&Cause>, ohms: f64, healthy: f64, reading: f64) -> f64 {
    if ohms >= d::OVERLOAD {
        return WRONG_RANGE / DECADES;
    }
    let width = ohm_width(cause, ohms, healthy);
    let z = (decades(reading) - decades(ohms)) / width;
    let normal = (-0.5 * z * z).exp() / (width * (2.0 * std::f64::consts::PI).sqrt());
    (1.0 - WRONG_RANGE) * ((1.0 - d::GROSS) * normal + d::GROSS / DECADES)
}

fn mass_ohms(cause: Option<&Cause>, ohms: f64, healthy: f64, low: f64, high: f64) -> f64 {
    let from = if low <= 0.0 {
        f64::NEG_INFINITY
    } else {
        decades(low)
    };
    let to = if high.is_finite() {
        decades(high)
    } else {
        f64::INFINITY
    };
    let bottom = d::OHMS_WIDTH.1.log10();
    let top = bottom + DECADES;
    let gross = ((to.min(top) - from.max(bottom)) / DECADES).max(0.0);
    if ohms >= d::OVERLOAD {
        return WRONG_RANGE * gross;
    }
    let width = ohm_width(cause, ohms, healthy);
    let at = |x: f64| {
        if x.is_finite() {
            normal_cdf((x - decades(ohms)) / width)
        } else if x > 0.0 {
            1.0
        } else {
            0.0
        }
    };
    (1.0 - WRONG_RANGE) * ((1.0 - d::GROSS) * (at(to) - at(from)) + d::GROSS * gross)
}

/// Where resistances are cut into ranges.
fn ohm_cuts(healthy: f64) -> Vec<f64> {
    let mut cuts = vec![0.0];
    if healthy < d::OVERLOAD {
        let centre = healthy + d::OHMS_WIDTH.1;
        for factor in [0.55, 1.8, 6.0] {
            let at = centre * factor - d::OHMS_WIDTH.1;
            if at > 0.0 {
                cuts.push(at);
            }
        }
    } else {
        cuts.push(30.0);
    }
    cuts.push(f64::INFINITY);
    cuts
}

fn cut(cuts: &[f64], wrap: fn(f64, f64) -> Answer, row: impl Fn(f64, f64) -> Row) -> Spread {
    let (answers, rows) = cuts
        .windows(2)
        .map(|w| (wrap(w[0], w[1]), row(w[0], w[1])))
        .unzip();
    let mut spread = Spread { answers, rows };
    spread.even_out();
    spread
}

impl Spread {
    /// Makes each suspect's chances sum to what they should; takes up what ranges leave out.
    fn even_out(&mut self) {
        let Some(width) = self.rows.first().map(Vec::len) else {
            return;
        };
        for suspect in 0..width {
            let sum: f64 = self.rows.iter().map(|row| row[suspect]).sum();
            // Resistances leave the overload to its own row.
            if sum > 0.5 {
                let goal = if self.answers.iter().any(|a| matches!(a, Answer::Ohms(..))) {
                    1.0 - WRONG_RANGE
                } else {
                    1.0
                };
                for row in &mut self.rows {
                    row[suspect] *= goal / sum;
                }
            } else if sum > 0.0 {
                for row in &mut self.rows {
                    row[suspect] *= WRONG_RANGE / sum;
                }
            }
        }
    }
}

/// Share of a standard normal below `z`, within 1e-7.
///
/// # Source
/// Abramowitz and Stegun 26.2.17 (value from memory).
pub(super) fn normal_cdf(z: f64) -> f64 {
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let poly = t
        * (0.319_381_530
            + t * (-0.356_563_782
                + t * (1.781_477_937 + t * (-1.821_255_978 + t * 1.330_274_429))));
    let tail = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt() * poly;
    if z >= 0.0 { 1.0 - tail } else { tail }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: tables of the normal distribution (value from memory).
    #[test]
    fn the_normal_distribution() {
        for (z, p) in [
            (0.0, 0.5),
            (1.0, 0.841_345),
            (-1.96, 0.024_998),
            (3.0, 0.998_650),
        ] {
            assert!((normal_cdf(z) - p).abs() < 1e-6);
        }
    }
}
