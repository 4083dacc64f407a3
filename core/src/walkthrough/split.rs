//! Narrowing a path down by halves: with an ohmmeter, or by the voltage lost under load.

use super::gauge::{Turns, is_weak};
use super::path::{self, Fitness, Path};
use super::tape::{Scene, Tape};
use super::verdict::{Meaning, Verdict};
use crate::faults::{Fault, Mode, USUAL_SERIES};
use crate::isolation::{Probes, Question};
use crate::model::{Element, FaultThen, Setup, Terminal};

/// A way to measure a stretch, and what a good reading of it clears.
struct Probe<'p> {
    path: &'p Path,
    setup: Setup,
    kind: ProbeKind,
}

#[derive(Clone, Copy)]
enum ProbeKind {
    /// Ω; what the leads show by themselves.
    Ohms(f64),
    /// V; what the battery gives.
    Volts(f64),
}

/// Whether a path conducts.
pub(super) fn continuity(tape: &mut Tape<'_>, from: Terminal, to: Terminal) -> Scene<Verdict> {
    let sound = tape.bench.solution(&Setup::battery_off());
    let Some(path) = Path::of(tape.harness, &sound, from, to) else {
        return Ok(Verdict::NoPath);
    };
    let left = most_steps(&path);
    tape.fault_now_if_it_wavers(left + 1)?;
    let Some(leads) = tape.leads(left)? else {
        return Ok(Verdict::NotProven);
    };
    let probe = Probe {
        setup: path::ohm_setup(tape.harness, &tape.bench, &path),
        path: &path,
        kind: ProbeKind::Ohms(leads),
    };
    halve(tape, &probe)
}

/// How much voltage a path loses under load.
pub(super) fn drop(tape: &mut Tape<'_>, from: Terminal, to: Terminal) -> Scene<Verdict> {
    tape.fault_now_if_it_wavers(6)?;
    let setup = match tape.runs(5)? {
        Turns::No => return Ok(Verdict::NoLoad),
        turns @ (Turns::Runs | Turns::Cranks) => turns.setup(),
    };
    let sound = tape.bench.solution(&setup);
    let Some(path) = Path::of(tape.harness, &sound, from, to) else {
        return Ok(Verdict::NoPath);
    };
    let Some(share) = tape.reference(&setup, most_steps(&path))? else {
        return Ok(Verdict::NotProven);
    };
    if is_weak(share) {
        // Too little flows for a bad path to lose anything: every one would pass.
        return Ok(Verdict::BatteryGivesWay);
    }
    let probe = Probe {
        path: &path,
        setup,
        kind: ProbeKind::Volts(12.6 * share),
    };
    halve(tape, &probe)
}

/// The whole, each halving, and the stretch itself.
fn most_steps(path: &Path) -> usize {
    let stretches = path.stops.len().saturating_sub(1).max(1);
    let halvings =
        usize::try_from(stretches.ilog2()).unwrap_or(0) + usize::from(!stretches.is_power_of_two());
    1 + halvings + usize::from(stretches > 1)
}

fn halve(tape: &mut Tape<'_>, probe: &Probe<'_>) -> Scene<Verdict> {
    let (mut low, mut high) = (0, probe.path.stops.len() - 1);
    let mut left = most_steps(probe.path);
    let Some(mut fitness) = measure(tape, probe, (low, high), left - 1)? else {
        return Ok(Verdict::NotProven);
    };
    let mut itself = true;
    if fitness == Fitness::Good {
        return Ok(sound(tape, probe, (low, high)));
    }
    bad(tape, probe, (low, high), fitness);
    while high - low > 1 {
        left = left.saturating_sub(1);
        let middle = probe.path.middle(low, high);
        let Some(found) = measure(tape, probe, (low, middle), left.saturating_sub(1).max(1))?
        else {
            return Ok(Verdict::NotProven);
        };
        if found == Fitness::Good {
            sound(tape, probe, (low, middle));
            low = middle;
            // The rest was not measured by itself: that it is bad follows.
            itself = false;
        } else {
            bad(tape, probe, (low, middle), found);
            fitness = found;
            high = middle;
            itself = true;
        }
    }
    if !itself {
        let Some(found) = measure(tape, probe, (low, high), 0)? else {
            return Ok(Verdict::NotProven);
        };
        if found == Fitness::Good {
            sound(tape, probe, (low, high));
            let within = probe.path.elements(low, high);
            return Ok(Verdict::CameAndWent { within });
        }
        bad(tape, probe, (low, high), found);
        fitness = found;
    }
    let within = probe.path.elements(low, high);
    Ok(Verdict::PathBad { within, fitness })
}

impl Probe<'_> {
    fn probes(&self, (from, to): (usize, usize)) -> Option<Probes> {
        Some(Probes {
            red: *self.path.stops.get(from)?,
            black: Some(*self.path.stops.get(to)?),
            setup: self.setup.clone(),
        })
    }

    /// What a good reading of a stretch does not show.
    fn unseen(&self, tape: &Tape<'_>, stretch: (usize, usize)) -> Vec<Element> {
        let elements = self.path.elements(stretch.0, stretch.1);
        match self.kind {
            ProbeKind::Ohms(_) => path::unseen(
                tape.harness,
                &tape.bench,
                self.path,
                &self.setup,
                stretch,
                &elements,
            ),
            ProbeKind::Volts(_) => {
                let Some(probes) = self.probes(stretch) else {
                    return elements;
                };
                let Some((_, band)) = tape.bench.number(&probes) else {
                    return elements;
                };
                let hides = |element: &Element| {
                    let fault = Fault::new(*element, Mode::HighResistance(USUAL_SERIES));
                    tape.bench
                        .with(&probes, fault)
                        .is_none_or(|volts| volts <= band.1)
                };
                elements.into_iter().filter(hides).collect()
            }
        }
    }
}

fn measure(
    tape: &mut Tape<'_>,
    probe: &Probe<'_>,
    stretch: (usize, usize),
    left: usize,
) -> Scene<Option<Fitness>> {
    let Some(probes) = probe.probes(stretch) else {
        return Ok(None);
    };
    let band = tape
        .bench
        .number(&probes)
        .map_or((0.0, 0.5), |(_, band)| band);
    match probe.kind {
        ProbeKind::Ohms(leads) => {
            let read = tape.ohms(&Question::Resistance(probes), left)?;
            Ok(Some(Fitness::of_ohms((read - leads).max(0.0), band)))
        }
        ProbeKind::Volts(supply) => {
            let read = tape.volts(&Question::Drop(probes), left)?;
            Ok(read.map(|read| Fitness::of_drop(read.abs(), band, supply)))
        }
    }
}

fn sound(tape: &mut Tape<'_>, probe: &Probe<'_>, stretch: (usize, usize)) -> Verdict {
    let unseen = probe.unseen(tape, stretch);
    let then = tape.then;
    let cleared: Vec<Element> = if then == FaultThen::Away {
        Vec::new()
    } else {
        probe
            .path
            .elements(stretch.0, stretch.1)
            .into_iter()
            .filter(|element| !unseen.contains(element))
            .collect()
    };
    tape.mean(Meaning::Sound {
        cleared: cleared.clone(),
        then,
    });
    Verdict::PathSound {
        cleared,
        unseen,
        then,
    }
}

fn bad(tape: &mut Tape<'_>, probe: &Probe<'_>, stretch: (usize, usize), fitness: Fitness) {
    let within = probe.path.elements(stretch.0, stretch.1);
    tape.mean(Meaning::Bad { within, fitness });
}
