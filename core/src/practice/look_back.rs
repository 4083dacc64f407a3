//! After the last test: naming the culprit, the truth, and the least that anybody would need.

use super::bench::Bench;
use super::hidden::Earlier;
use super::run::Run;
use crate::faults::Fault;
use crate::isolation::{ISOLATED, Unit, entropy};

/// A unit of repair that was named, with what came of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Naming {
    /// What was named.
    pub unit: Unit,
    /// Whether mending it mends a fault that is there.
    pub right: bool,
}

/// What was wrong all the time.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// The faults, with the units of repair that mend them.
    pub faults: Vec<(Fault, Unit)>,
    /// The earlier repair that pointed the wrong way.
    pub earlier: Option<Earlier>,
}

/// The least that anybody would need on average.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// What there is to learn about the unit of repair after the complaint, until one is as sure as the
    /// planner asks for, bits.
    pub bits: f64,
    /// So many yes-or-no answers at the least, if each halved what is left.
    ///
    /// # Source
    /// Information bound: ⌈bits⌉ answers of one bit. Real tests do not halve, cost unlike, and err: even
    /// the best possible tree needs some 2.5 times as many (measured on the samples).
    pub halvings: u32,
}

impl Bench {
    /// Names a unit of repair as the culprit, and says whether it is.
    pub fn name(&self, run: &mut Run, unit: Unit) -> Naming {
        let right = self.culprits().contains(&unit);
        let naming = Naming { unit, right };
        run.named.push(naming);
        naming
    }

    /// Whether everything that is wrong was named.
    #[must_use]
    pub fn is_solved(&self, run: &Run) -> bool {
        let named: Vec<Unit> = run.named.iter().map(|naming| naming.unit).collect();
        self.culprits().iter().all(|unit| named.contains(unit))
    }

    fn culprits(&self) -> Vec<Unit> {
        let causes = self.causes().iter();
        causes
            .map(|cause| self.case().causes()[*cause].unit)
            .collect()
    }

    /// What was wrong all the time.
    #[must_use]
    pub fn truth(&self) -> Truth {
        let hidden = self.hidden();
        Truth {
            faults: hidden.faults.iter().copied().zip(self.culprits()).collect(),
            earlier: hidden.earlier,
        }
    }

    /// How likely each culprit is after a run, the planner's suspects being asked; zero where nothing fits.
    #[must_use]
    pub fn shares(&self, run: &Run) -> Vec<f64> {
        let Some(assessment) = self.assess(run) else {
            return vec![0.0; self.culprits().len()];
        };
        let share = |unit: Unit| {
            let number = self.case().unit_number(unit)?;
            Some(assessment.belief.unit(number))
        };
        self.culprits()
            .into_iter()
            .map(|unit| share(unit).unwrap_or(0.0))
            .collect()
    }

    /// The least that anybody would need after the complaint.
    #[must_use]
    pub fn bound(&self) -> Bound {
        let start = self.assess(&self.begin());
        let units = start.map(|start| start.belief.units().to_vec());
        let bits = units.map_or(0.0, |units| {
            (entropy(&units) - left_over(units.len())).max(0.0)
        });
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "bits are a small number above zero"
        )]
        let halvings = bits.ceil() as u32;
        Bound { bits, halvings }
    }
}

/// The most that may be left to know when one of so many units holds the share that counts as found, bits.
///
/// # Source
/// Fano's inequality, value from memory.
fn left_over(units: usize) -> f64 {
    let others = f64::from(u32::try_from(units.saturating_sub(1)).unwrap_or(u32::MAX)).max(1.0);
    let miss = 1.0 - ISOLATED;
    entropy(&[ISOLATED, miss]) + miss * others.log2()
}
