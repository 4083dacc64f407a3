//! A walk for paper: the steps that a sound car leads through, and what else may have to be measured.

use super::bench::Bench;
use super::kind::Kind;
use super::path::Path;
use super::step::{Expected, Replies, Reply, Step, Task};
use super::walk::{Stage, Walk};
use crate::electrics::Measure;
use crate::isolation::{Answer, Question};
use crate::model::{Harness, Setup};

/// A sheet holds no more steps than this.
const MOST: usize = 40;

impl Walk {
    /// The steps from here on, each answered as by a sound car with the fault there; of a path also each
    /// stretch from its beginning, so that a bad reading can be followed without a screen.
    #[must_use]
    pub fn sheet(&self, harness: &Harness) -> Vec<Step> {
        let mut steps = Vec::new();
        let mut walk = self.clone();
        while let Stage::Ask(step) = walk.stage(harness).now {
            if steps.len() >= MOST {
                break;
            }
            let reply = sound(harness, &step);
            steps.push(step);
            let Some(answered) = reply.and_then(|reply| walk.answer(harness, reply).ok()) else {
                break;
            };
            walk = answered.walk;
        }
        let stretches = steps
            .last()
            .map_or_else(Vec::new, |whole| self.stretches(harness, whole));
        steps.extend(stretches);
        steps.truncate(MOST);
        steps
    }

    /// Of the step that measures a whole path: the same from its beginning to each stop on the way.
    fn stretches(&self, harness: &Harness, whole: &Step) -> Vec<Step> {
        let (Kind::Continuity { from, to } | Kind::Drop { from, to }) = self.kind() else {
            return Vec::new();
        };
        let setup = if matches!(self.kind(), Kind::Continuity { .. }) {
            // The path as it is before plugs are pulled.
            Setup::battery_off()
        } else {
            whole.setup.clone()
        };
        let solution = Bench::new(harness).solution(&setup);
        let Some(path) = Path::of(harness, &solution, *from, *to) else {
            return Vec::new();
        };
        let inner = path.stops.len().saturating_sub(1);
        path.stops
            .iter()
            .take(inner)
            .skip(1)
            .rev()
            .filter_map(|stop| {
                let mut step = whole.clone();
                if let Task::Ask(Question::Resistance(probes) | Question::Drop(probes)) =
                    &mut step.task
                {
                    probes.black = Some(*stop);
                    Some(step)
                } else {
                    None
                }
            })
            .collect()
    }
}

/// What a sound car answers; where nothing is to be expected, the first reply offered.
fn sound(harness: &Harness, step: &Step) -> Option<Reply> {
    let expected = match step.expected(harness) {
        Some(Expected::Reading(reading)) => Some(match reading.value {
            Measure::Volts(volts) => Answer::Volts(volts.get(), volts.get()),
            Measure::Ohms(ohms) => Answer::Ohms(ohms.get(), ohms.get()),
            Measure::Overload => Answer::Overload,
        }),
        Some(Expected::AtMost(_)) => Some(Answer::Ohms(0.0, 0.0)),
        Some(Expected::Answer(answer)) => Some(answer),
        None => None,
    };
    let expected = expected.map(Reply::Found);
    match &step.replies {
        Replies::Choice(offered) => expected
            .filter(|reply| offered.contains(reply))
            .or_else(|| offered.first().copied()),
        Replies::Volts | Replies::Ohms => expected,
    }
}
