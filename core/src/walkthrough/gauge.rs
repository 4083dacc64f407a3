//! Steps that many walks share: does it run, does the fault show, is the meter proven, what does it read.

use super::step::{Replies, Reply, Task};
use super::tape::{Scene, Tape, found, reading};
use super::verdict::Meaning;
use super::walk::Shows;
use crate::isolation::{Answer, Probes, Question};
use crate::model::{EngineState, FaultThen, Glow, Harness, PartKind, Port, Setup, Terminal};
use crate::units::Rpm;

/// How often a meter, lead or tool may fail to prove itself before the walk gives up.
const TRIES: usize = 3;
/// Leads held together show less than this, Ω. Common practice, no source.
pub(super) const LEADS: f64 = 1.5;
/// A battery reads within these shares of what it should: flat to charging. Judgement.
const BATTERY: (f64, f64) = (0.6, 1.4);
/// A reading of less than this where more than [`LIVE`] is expected may come from a black lead in the
/// air, V. Judgement.
const NOTHING: f64 = 0.3;
/// See [`NOTHING`], V.
const LIVE: f64 = 3.0;

/// How the engine turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Turns {
    /// By itself.
    Runs,
    /// By the starter.
    Cranks,
    /// Not at all.
    No,
}

/// What a reading of the battery was worth.
enum Battery {
    /// It reads like one, this share of the model's: meter, range and black lead are proven.
    Proves(f64),
    /// It reads this, V: less than a healthy one, and not below zero.
    Low(f64),
    /// No battery reads so: red and black have changed places, or the range is wrong.
    Unlike,
}

/// Where at least this much is lost along a sound path, nothing at all is doubtful, V. Judgement.
const SOME_DROP: f64 = 0.1;

/// The starter turns the engine at this speed. Common practice, no source: 150 to 250 turns a minute.
pub(super) fn cranking() -> Setup {
    Setup {
        engine: EngineState::Cranking(Rpm::lit(200.0)),
        ..Setup::key_on()
    }
}

impl Turns {
    /// How the car stands then.
    pub(super) fn setup(self) -> Setup {
        match self {
            Self::Runs => Setup::idling(),
            Self::Cranks => cranking(),
            Self::No => Setup::key_on(),
        }
    }
}

/// Key out, everything plugged in: how the car stands while hands are on it.
pub(super) fn at_rest() -> Setup {
    Setup {
        key: crate::model::Key::Off,
        ..Setup::key_on()
    }
}

/// Both posts of the battery, red on plus.
pub(super) fn battery(harness: &Harness, setup: &Setup) -> Option<Probes> {
    let (&part, _) = harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Battery(_)))?;
    let at = |port| Terminal { part, port };
    Some(Probes {
        red: at(Port::Plus),
        black: Some(at(Port::Minus)),
        setup: setup.clone(),
    })
}

impl Tape<'_> {
    /// Does the engine run by itself?
    pub(super) fn runs(&mut self, left: usize) -> Scene<Turns> {
        let replies = Replies::of(&[Reply::Yes, Reply::OnlyCranks, Reply::No]);
        let reply = self.ask(Task::Runs, &Setup::idling(), replies, left)?;
        Ok(match reply {
            Reply::Yes => Turns::Runs,
            Reply::OnlyCranks => Turns::Cranks,
            Reply::Done | Reply::No | Reply::Unsure | Reply::TheRestWork | Reply::Found(_) => {
                Turns::No
            }
        })
    }

    /// Whether the fault shows now, asked where it may come and go.
    pub(super) fn fault_now_if_it_wavers(&mut self, left: usize) -> Scene<()> {
        match self.shows {
            Shows::Steady => Ok(()),
            Shows::Wavers => self.fault_now(left),
        }
    }

    /// Whether the fault shows now.
    pub(super) fn fault_now(&mut self, left: usize) -> Scene<()> {
        let replies = Replies::of(&[Reply::Yes, Reply::No, Reply::Unsure]);
        let reply = self.ask(Task::FaultNow, &Setup::idling(), replies, left)?;
        self.then = match reply {
            Reply::Yes => FaultThen::Present,
            Reply::No => FaultThen::Away,
            Reply::Done
            | Reply::Unsure
            | Reply::OnlyCranks
            | Reply::TheRestWork
            | Reply::Found(_) => FaultThen::Unknown,
        };
        self.mean(Meaning::Fault(self.then));
        Ok(())
    }

    /// Leads held together: what they show by themselves, Ω; `None` where they could not be proven.
    pub(super) fn leads(&mut self, left: usize) -> Scene<Option<f64>> {
        for _ in 0..TRIES {
            let setup = Setup::battery_off();
            let reply = self.ask(Task::LeadsTogether, &setup, Replies::Ohms, left)?;
            let ohms = reading(reply);
            if ohms <= LEADS {
                self.mean(Meaning::LeadsSound(ohms));
                return Ok(Some(ohms));
            }
            self.mean(Meaning::LeadsBroken);
        }
        Ok(None)
    }

    /// A reading of the battery: it proves meter, range and black lead. How far the battery stands from
    /// the model's, as a share of it; `None` where nothing could be proven. A map without battery
    /// proves nothing and asks nothing.
    ///
    /// Where it fails twice under load it is read at rest: a battery that is whole there proves the leads,
    /// and what it reads under load counts, be it nothing. The same of a flat one: some volts at rest, and
    /// more than a lead in the air under load.
    pub(super) fn reference(&mut self, setup: &Setup, left: usize) -> Scene<Option<f64>> {
        let Some(probes) = battery(self.harness, setup) else {
            return Ok(Some(1.0));
        };
        let share = self.proven_by(&probes, left)?;
        self.supply = share.unwrap_or(1.0);
        Ok(share)
    }

    fn proven_by(&mut self, probes: &Probes, left: usize) -> Scene<Option<f64>> {
        let mut loaded = None;
        for _ in 0..TRIES - 1 {
            loaded = match self.battery_reads(probes, left)? {
                Battery::Proves(share) => return Ok(Some(share)),
                Battery::Low(volts) => Some(volts),
                Battery::Unlike => None,
            };
        }
        let at_rest = Probes {
            setup: at_rest(),
            ..probes.clone()
        };
        let trusted = match self.battery_reads(&at_rest, left)? {
            Battery::Proves(_) => true,
            Battery::Low(rest) => rest >= LIVE && loaded.is_some_and(|volts| volts >= NOTHING),
            Battery::Unlike => false,
        };
        if !trusted {
            return Ok(None);
        }
        Ok(match self.battery_reads(probes, left)? {
            Battery::Proves(share) => Some(share),
            Battery::Low(volts) => {
                let answer = Answer::Volts(volts, volts);
                let question = Question::Volts(probes.clone());
                self.note(&question, answer, FaultThen::Unknown);
                self.mean(Meaning::BatteryGivesWay);
                Some(volts / self.battery_wanted(probes))
            }
            Battery::Unlike => None,
        })
    }

    /// What the battery of the map reads, V.
    fn battery_wanted(&self, probes: &Probes) -> f64 {
        self.bench.number(probes).map_or(12.6, |(volts, _)| volts)
    }

    /// One reading of the battery.
    fn battery_reads(&mut self, probes: &Probes, left: usize) -> Scene<Battery> {
        let wanted = self.battery_wanted(probes);
        let task = Task::Reference(probes.clone());
        let reply = self.ask(task, &probes.setup, Replies::Volts, left)?;
        let volts = reading(reply);
        let share = volts / wanted;
        Ok(if (BATTERY.0..=BATTERY.1).contains(&share) {
            let question = Question::Volts(probes.clone());
            self.note(&question, found(reply), FaultThen::Unknown);
            self.mean(Meaning::GroundProven);
            Battery::Proves(share)
        } else {
            self.mean(if share <= -BATTERY.0 {
                Meaning::LeadsCrossed
            } else {
                Meaning::NoGround
            });
            if volts > -NOTHING && is_weak(share) {
                Battery::Low(volts)
            } else {
                Battery::Unlike
            }
        })
    }

    /// A test lamp on the battery: whether it is proven.
    pub(super) fn lamp_reference(&mut self, setup: &Setup, left: usize) -> Scene<bool> {
        let Some(probes) = battery(self.harness, setup) else {
            return Ok(true);
        };
        let replies = || Replies::to(&Question::Lamp(probes.clone()));
        for _ in 0..TRIES {
            let task = Task::LampReference(probes.clone());
            let reply = self.ask(task, setup, replies(), left)?;
            if found(reply) == Answer::Glow(Glow::Bright) {
                self.mean(Meaning::GroundProven);
                return Ok(true);
            }
            self.mean(Meaning::NoGround);
        }
        Ok(false)
    }

    /// What a voltmeter reads, V; `None` where a doubtful reading led to a reference that failed.
    ///
    /// Nothing at all where the battery's voltage belongs, or a reading below zero, does not count
    /// before meter and black lead are proven again.
    pub(super) fn volts(&mut self, question: &Question, left: usize) -> Scene<Option<f64>> {
        let Some(probes) = question.probes().cloned() else {
            return Ok(None);
        };
        let task = || Task::Ask(question.clone());
        let mut reply = self.ask(task(), &probes.setup, Replies::Volts, left)?;
        let wanted = self
            .bench
            .number(&probes)
            .map(|(volts, _)| volts * self.supply);
        if wanted.is_some_and(|wanted| is_doubtful(question, reading(reply), wanted)) {
            self.mean(Meaning::Doubted);
            if self.reference(&probes.setup, left + 1)?.is_none() {
                return Ok(None);
            }
            reply = self.ask(task(), &probes.setup, Replies::Volts, left)?;
        }
        self.note(question, found(reply), self.then);
        Ok(Some(reading(reply)))
    }

    /// What an ohmmeter reads, Ω, infinite for overload.
    pub(super) fn ohms(&mut self, question: &Question, left: usize) -> Scene<f64> {
        let setup = question
            .probes()
            .map_or_else(Setup::battery_off, |p| p.setup.clone());
        let reply = self.ask(Task::Ask(question.clone()), &setup, Replies::Ohms, left)?;
        self.note(question, found(reply), self.then);
        Ok(reading(reply))
    }
}

/// Whether a battery at this share of what it should read gives way.
pub(super) fn is_weak(share: f64) -> bool {
    share < BATTERY.0
}

/// Whether a reading looks like a black lead that touches nothing, or leads that are crossed.
fn is_doubtful(question: &Question, read: f64, wanted: f64) -> bool {
    if matches!(question, Question::Drop(_)) {
        return wanted.abs() >= SOME_DROP && read.abs() < 0.1 * wanted.abs();
    }
    (wanted >= LIVE && read < NOTHING) || (wanted >= NOTHING && read < -NOTHING)
}
