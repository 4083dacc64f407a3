//! P(answer | cause) for every question: discrete answers by rates, readings by prediction and width.

use super::cause::Cause;
use super::defaults as d;
use super::forecast::{Fate, Flash, Reading, Showing};
use super::meter::Workbench;
use super::near::Near;
use super::question::{Answer, Probes, Question};
use super::readings::{
    Expected, VoltRanges, density_ohms, density_volts, graded, ohm_cuts, ohm_masses, ohms_alike,
    overload, volt_cuts, volts_alike,
};
use super::siblings::{self, Beside, Shift};
use super::spread::{Memo, Spread};
use super::touch::{self, Aim, Touch};
use crate::engine::CylinderId;
use crate::faults::Mode;
use crate::model::{
    CompressionResult, Effect, Element, EngineState, Glow, Harness, Look, Spark, Stored,
    SwapOutcome, Works,
};

/// All that is needed to say how likely an answer is under each cause.
pub(super) struct Outlook<'a> {
    pub(super) harness: &'a Harness,
    pub(super) causes: &'a [Cause],
    /// By cause; one more at the end for "nothing wrong".
    pub(super) showings: &'a [Showing],
    pub(super) meter: &'a Workbench,
    pub(super) near: &'a Near,
}

/// Likelihood of one answer: by cause, and one more at the end for "nothing wrong".
pub(super) type Row = Vec<f64>;

impl Outlook<'_> {
    /// Every answer to a question that has a list of them; `None` for readings of a meter.
    fn discrete(&self, question: &Question) -> Option<Spread> {
        Some(match question {
            Question::Contribution(cylinder) => self.list(
                &[Works::Alive, Works::Dead, Works::Sometimes],
                Answer::Works,
                |_, showing| showing.fate(*cylinder) == Fate::Lives,
                |cause, showing| contribution(cause, showing.fate(*cylinder)),
            ),
            Question::Spark(cylinder) => self.list(
                &[Spark::Yes, Spark::No, Spark::Weak, Spark::WrongTime],
                Answer::Spark,
                |_, showing| showing.flash(*cylinder) == Flash::Yes,
                |_, showing| flash(showing.flash(*cylinder)),
            ),
            Question::Look(element) => {
                let aim = Aim::at(self.harness, *element);
                let stray = touch::stray(&aim);
                let (answers, near) = ([Look::Sound, Look::Damaged], self.near.element(&aim));
                let mut spread =
                    Spread::of(answers.map(Answer::Look).to_vec(), &[1.0 - stray, stray]);
                for cause in near {
                    let seen = touch::look(&aim, &self.causes[cause]);
                    spread.put(cause, &[1.0 - seen, seen]);
                }
                spread
            }
            Question::Stress(element, _) => {
                let aim = Aim::at(self.harness, *element);
                let near = self.near.element(&aim);
                self.effects(Touch::STRESS_ELSEWHERE, near, |c| touch::stress(&aim, c))
            }
            Question::Substitute(part, with) => {
                let touch = |cause: &Cause| touch::substitute(*part, *with, cause);
                self.effects(Touch::NOTHING, self.near.part(*part), touch)
            }
            Question::Clean(element) => {
                let aim = Aim::at(self.harness, *element);
                let near = self.near.element(&aim);
                self.effects(Touch::NOTHING, near, |cause| touch::clean(&aim, cause))
            }
            Question::Remake(element) => {
                let aim = Aim::at(self.harness, *element);
                let near = self.near.element(&aim);
                self.effects(Touch::NOTHING, near, |cause| touch::remake(&aim, cause))
            }
            Question::Swap(pair) => {
                let answers = [
                    SwapOutcome::Moved,
                    SwapOutcome::Stayed,
                    SwapOutcome::Gone,
                    SwapOutcome::Changed,
                ];
                let chances = |touch: Touch| {
                    let Touch {
                        cured,
                        changed,
                        moved,
                    } = touch;
                    [moved, 1.0 - cured - changed - moved, cured, changed]
                };
                let answers = answers.map(Answer::Swap).to_vec();
                let mut spread = Spread::of(answers, &chances(Touch::NOTHING));
                for cause in self.near.swap(*pair) {
                    spread.put(cause, &chances(touch::swap(*pair, &self.causes[cause])));
                }
                spread
            }
            Question::AnyCode => self.list(
                &[Stored::Present, Stored::Absent],
                Answer::Stored,
                |_, showing| showing.ill().next().is_none(),
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
                    |_, _| false,
                    |cause, showing| {
                        let p = super::codes::stored(meaning, cause.map(|c| c.fault), showing);
                        [p, 1.0 - p]
                    },
                )
            }
            Question::Compression(cylinder) => self.list(
                &[CompressionResult::Good, CompressionResult::Low],
                Answer::Compression,
                |cause, _| !no_compression(cause, *cylinder),
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

    /// Each cause asked, unless it is known to answer as if nothing were wrong.
    fn list<T: Copy, const N: usize>(
        &self,
        answers: &[T; N],
        wrap: fn(T) -> Answer,
        as_usual: impl Fn(&Cause, &Showing) -> bool,
        chances: impl Fn(Option<&Cause>, &Showing) -> [f64; N],
    ) -> Spread {
        let answers = answers.iter().map(|answer| wrap(*answer)).collect();
        let (with_fault, healthy) = self.showings.split_at(self.causes.len());
        let usual = healthy
            .first()
            .map_or([0.0; N], |healthy| chances(None, healthy));
        let mut spread = Spread::of(answers, &usual);
        for (cause, (known, showing)) in self.causes.iter().zip(with_fault).enumerate() {
            if !as_usual(known, showing) {
                spread.put(cause, &chances(Some(known), showing));
            }
        }
        spread
    }

    /// What an act does: to the causes near it, and `elsewhere` to all others.
    fn effects(
        &self,
        elsewhere: Touch,
        near: Vec<usize>,
        touch: impl Fn(&Cause) -> Touch,
    ) -> Spread {
        let answers = [Effect::Same, Effect::Cured, Effect::Changed].map(Answer::Effect);
        let chances = |t: Touch| {
            let changed = t.changed + t.moved;
            [1.0 - t.cured - changed, t.cured, changed]
        };
        let (healthy, usual) = (chances(Touch::NOTHING), chances(elsewhere));
        let mut spread = Spread::elsewhere(answers.to_vec(), &healthy, &usual);
        for cause in near {
            spread.put(cause, &chances(touch(&self.causes[cause])));
        }
        spread
    }

    fn lamp(&self, probes: &Probes) -> Spread {
        if let Some(coil) = super::pulses::coil_at(probes) {
            let healthy = self.showings.last().and_then(|healthy| healthy.pulse(coil));
            let as_usual = |_: &Cause, showing: &Showing| showing.pulse(coil) == healthy;
            return self.list(&GLOWS, Answer::Glow, as_usual, |_, showing| {
                showing.pulse(coil).map_or([0.25; 4], d::pulses)
            });
        }
        let Some(across) = self.meter.lit(probes, LAMP) else {
            return self.indifferent_lamp();
        };
        let engine = probes.setup.engine;
        let answers = GLOWS.map(Answer::Glow);
        let mut spread = Spread::of(answers.to_vec(), &glow(across.healthy, engine));
        for (cause, across) in across.by_cause.iter().enumerate() {
            spread.put(cause, &glow(*across, engine));
        }
        spread
    }

    fn indifferent_lamp(&self) -> Spread {
        self.list(&GLOWS, Answer::Glow, |_, _| true, |_, _| [0.25; 4])
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
            return spread.row(answer, self.causes.len());
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
                let ohms = self.meter.ohms(probes)?;
                Some(self.by_cause(&ohms, |cause, ohms, healthy| {
                    density_ohms(cause, ohms, healthy, *reading)
                }))
            }
            (Question::Resistance(probes), Answer::Overload) => {
                let ohms = self.meter.ohms(probes)?;
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
                let reading = self.meter.volts_apart(probes, volts_alike)?;
                let volts = self.volts_of(question, probes, reading.healthy);
                let mut ranges = VoltRanges::of(volt_cuts(&reading));
                let healthy = volts(None, reading.healthy, Shift::COMPARED);
                let mut spread = Spread::of(ranges.answers(), ranges.masses(healthy));
                let mut memo = Memo::new();
                for &(cause, value) in &reading.causes {
                    let known = &self.causes[cause];
                    // Many causes read alike to the last bit, as all that cut a supply do.
                    let slot = memo.slot(value, graded(known.fault.mode));
                    if let Some(kept) = *slot {
                        spread.put_again(cause, kept);
                    } else {
                        let expected = volts(Some(known), value, Shift::COMPARED);
                        *slot = Some(spread.put(cause, ranges.masses(expected)));
                    }
                }
                Some(spread)
            }
            Question::Resistance(probes) => {
                let reading = self.meter.ohms_apart(probes, ohms_alike)?;
                let healthy = reading.healthy;
                let cuts = ohm_cuts(healthy);
                let ranges = cuts.windows(2).map(|w| Answer::Ohms(w[0], w[1]));
                let answers = ranges.chain([Answer::Overload]).collect();
                let mut spread = Spread::of(answers, &ohm_masses(&cuts, None, healthy, healthy));
                for &(cause, ohms) in &reading.causes {
                    let known = Some(&self.causes[cause]);
                    spread.put(cause, &ohm_masses(&cuts, known, ohms, healthy));
                }
                Some(spread)
            }
        }
    }

    /// For each cause, and for none, the level that all siblings' readings ask for; see [`siblings::readings`].
    pub(super) fn shifts(&self, probes: &Probes, beside: &[(Probes, f64)]) -> Vec<Shift> {
        let read: Vec<(Reading, f64, bool)> = beside
            .iter()
            .filter_map(|(p, seen)| {
                let reading = self.meter.volts(p)?;
                Some((reading, *seen, p.red == probes.red))
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
                siblings::shift(&beside, probes.setup.engine)
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

    /// How wide a reading in volts is, by cause, its value and what is known of the car's level.
    fn volts_of(
        &self,
        question: &Question,
        probes: &Probes,
        healthy: f64,
    ) -> impl Fn(Option<&Cause>, f64, Shift) -> Expected + use<> {
        let base = match (question, probes.setup.engine) {
            (Question::Drop(_), _) | (_, EngineState::Stopped) => d::VOLTS_WIDTH,
            (_, EngineState::Cranking(_) | EngineState::Running(_)) => d::IDLE_WIDTH,
        };
        // What battery and meter do to a reading that is compared with no sibling: their spread
        // is a share of the voltage itself.
        let level = (healthy.abs() / 12.0).min(1.0);
        move |cause, centre, shift| {
            let grid = if cause.is_some_and(|cause| graded(cause.fault.mode)) {
                d::GRID_WIDTH * (centre - healthy).abs()
            } else {
                0.0
            };
            Expected {
                centre,
                width: (base * base + (shift.unsure * level).powi(2) + grid * grid).sqrt(),
                gross: shift.gross,
            }
        }
    }

    fn expected_volts(
        &self,
        question: &Question,
        probes: &Probes,
        shift: impl Fn(usize) -> Shift,
    ) -> Option<Vec<Expected>> {
        let reading = self.meter.volts(probes)?;
        let volts = self.volts_of(question, probes, reading.healthy);
        let with_fault = self.causes.iter().zip(&reading.by_cause).enumerate();
        let mut all: Vec<Expected> = with_fault
            .map(|(place, (cause, value))| volts(Some(cause), *value, shift(place)))
            .collect();
        all.push(volts(None, reading.healthy, shift(self.causes.len())));
        Some(all)
    }
}

/// What a lamp can do.
const GLOWS: [Glow; 4] = [Glow::Bright, Glow::Dim, Glow::Off, Glow::Flickering];

/// A lamp of 5 W when it shines, Ω. A cold one takes more current, for a moment.
const LAMP: f64 = 29.0;

/// Chances of bright, dim, off and flickering with so many volts across the lamp.
fn glow(across: f64, engine: EngineState) -> [f64; 4] {
    let runs = !matches!(engine, EngineState::Stopped);
    let across = across.abs();
    match (across > 9.0, across > 3.0, runs) {
        (true, _, false) => [0.94, 0.03, 0.02, 0.01],
        (true, _, true) => [0.80, 0.04, 0.02, 0.14],
        (false, true, false) => [0.08, 0.85, 0.06, 0.01],
        (false, true, true) => [0.08, 0.75, 0.06, 0.11],
        (false, false, _) => [0.01, 0.04, 0.94, 0.01],
    }
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
