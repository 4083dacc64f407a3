//! Belief: exact Bayes over every suspect, computed afresh from the list of evidence.

use std::cmp::Ordering;

use super::Suspects;
use crate::gather::Arrange;

/// All suspects together cannot have produced what was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no suspect could have produced all of this")]
pub struct NothingFits;

/// How likely each suspect and each unit of repair is, given what was seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// By suspect.
    suspect: Vec<f64>,
    /// By unit of repair.
    unit: Vec<f64>,
    /// P(everything seen).
    seen: Product,
}

impl Belief {
    /// Belief before anything was seen.
    #[must_use]
    pub fn prior(suspects: &Suspects) -> Self {
        Self::spread(suspects, suspects.priors().to_vec(), Product::of(1.0))
    }

    /// Belief after `evidence`: each item gives P(what was seen | suspect) for every suspect.
    ///
    /// Rows may be scaled by any positive factor of their own. The result does not depend on the
    /// order of the rows: they are multiplied in an order of their own, so that even the last bit is
    /// the same. Taking a row out of the list is the same as never having had it, because nothing
    /// else is kept.
    ///
    /// # Errors
    /// [`NothingFits`] when every suspect has a likelihood of zero somewhere.
    ///
    /// # Source
    /// Bayes' rule; powers of two that a product would overflow or vanish by are counted apart.
    pub fn of<R: AsRef<[f64]>>(suspects: &Suspects, evidence: &[R]) -> Result<Self, NothingFits> {
        let mut rows: Vec<&[f64]> = evidence.iter().map(AsRef::as_ref).collect();
        rows.arrange_by(|a, b| by_entries(a, b));
        let priors = suspects.priors().iter();
        let mut products: Vec<Product> = priors.map(|prior| Product::of(*prior)).collect();
        for row in rows {
            for (product, p) in products.iter_mut().zip(row) {
                product.multiply(likelihood(*p));
            }
        }
        let top = products.iter().copied().reduce(Product::larger);
        let top = top.filter(|top| top.part > 0.0).ok_or(NothingFits)?;
        let weights: Vec<f64> = products.iter().map(|product| product.over(top)).collect();
        let total: f64 = weights.iter().sum();
        let share = weights.into_iter().map(|w| w / total).collect();
        let mut seen = top;
        seen.multiply(total);
        Ok(Self::spread(suspects, share, seen))
    }

    /// The shares of all units of repair as they would be without one piece of the evidence. `rows`: all that this
    /// belief rests on; `out`: the place of the piece.
    ///
    /// A suspect's share is divided by what the piece gave it; where that cannot be undone, the rest is multiplied anew.
    pub(super) fn without(&self, suspects: &Suspects, rows: &[&[f64]], out: usize) -> Vec<f64> {
        let anew = |suspect: usize| {
            let mut product = Product::of(suspects.priors()[suspect]);
            for (_, row) in rows.iter().enumerate().filter(|(place, _)| *place != out) {
                product.multiply(row.get(suspect).map_or(1.0, |p| likelihood(*p)));
            }
            // The belief's own shares are such products over the chance of all that was seen.
            product.part /= self.seen.part;
            product.steps -= self.seen.steps;
            product.settle();
            product
        };
        let mut units = vec![0.0; self.unit.len()];
        let mut beyond: Vec<(usize, Product)> = Vec::new();
        for (suspect, share) in self.suspect.iter().enumerate() {
            let p = rows[out].get(suspect).map_or(1.0, |p| likelihood(*p));
            if *share > VANISHING && p > VANISHING && p < 1.0 / VANISHING {
                units[suspects.unit_of(suspect)] += share / p;
            } else {
                beyond.push((suspect, anew(suspect)));
            }
        }
        let most = Product::of(units.iter().sum());
        let products = beyond.iter().map(|(_, product)| *product);
        let top = products.fold(most, Product::larger);
        for unit in &mut units {
            *unit = Product::of(*unit).over(top);
        }
        for (suspect, product) in beyond {
            units[suspects.unit_of(suspect)] += product.over(top);
        }
        let total: f64 = units.iter().sum();
        for unit in &mut units {
            *unit /= total;
        }
        units
    }

    fn spread(suspects: &Suspects, suspect: Vec<f64>, seen: Product) -> Self {
        let unit = (0..suspects.units())
            .map(|u| suspects.of_unit(u).iter().map(|h| suspect[*h]).sum())
            .collect();
        Self {
            suspect,
            unit,
            seen,
        }
    }

    /// Share of one suspect, 0 to 1.
    #[must_use]
    pub fn suspect(&self, suspect: usize) -> f64 {
        self.suspect[suspect]
    }

    /// Shares of all suspects; they sum to one.
    #[must_use]
    pub fn suspects(&self) -> &[f64] {
        &self.suspect
    }

    /// Share of one unit of repair, 0 to 1.
    #[must_use]
    pub fn unit(&self, unit: usize) -> f64 {
        self.unit[unit]
    }

    /// Shares of all units of repair; they sum to one.
    #[must_use]
    pub fn units(&self) -> &[f64] {
        &self.unit
    }

    /// Natural logarithm of P(everything seen), as far as the rows were not scaled.
    /// Comparing it with and without one item says how odd that item is.
    #[must_use]
    pub fn fit(&self) -> f64 {
        self.seen.ln()
    }

    /// Units of repair with their shares, the likeliest first, equals by number.
    #[must_use]
    pub fn ranked(&self) -> Vec<(usize, f64)> {
        let mut all: Vec<(usize, f64)> = self.unit.iter().copied().enumerate().collect();
        all.arrange_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        all
    }

    /// The likeliest unit of repair and its share, the first of equals.
    #[must_use]
    pub fn leader(&self) -> (usize, f64) {
        let mut leader = (0, 0.0);
        for (unit, share) in self.unit.iter().copied().enumerate() {
            if share > leader.1 {
                leader = (unit, share);
            }
        }
        leader
    }
}

/// What a row gives a suspect. What is no probability speaks for nobody: it can neither clear nor accuse.
fn likelihood(p: f64) -> f64 {
    if p.is_finite() && p >= 0.0 { p } else { 1.0 }
}

/// An order of rows in which only those that are alike stand on equal terms.
fn by_entries(a: &[f64], b: &[f64]) -> Ordering {
    let entries = a.iter().zip(b).map(|(a, b)| a.total_cmp(b));
    let first = entries.into_iter().find(|order| order.is_ne());
    first.unwrap_or_else(|| a.len().cmp(&b.len()))
}

/// Where a share or what it is divided by lies below this, or above the inverse of it, the quotient may be lost.
const VANISHING: f64 = 1e-150;

/// A product of figures of at least 0, however many: `part` · 2^(512 · `steps`).
#[derive(Debug, Clone, Copy, PartialEq)]
struct Product {
    /// 0, or from 2^-256 up to 2^256.
    part: f64,
    steps: i32,
}

impl Product {
    /// 2^512.
    const STEP: f64 = f64::from_bits((1023 + 512) << 52);
    /// 2^256.
    const MOST: f64 = f64::from_bits((1023 + 256) << 52);

    fn of(figure: f64) -> Self {
        let mut product = Self {
            part: figure,
            steps: 0,
        };
        product.settle();
        product
    }

    fn multiply(&mut self, figure: f64) {
        // Both lie so near to 1 that their product neither overflows nor vanishes.
        let figure = Self::of(figure);
        self.part *= figure.part;
        self.steps += figure.steps;
        self.settle();
    }

    /// Brings the part back to where it may lie.
    fn settle(&mut self) {
        while self.part >= Self::MOST {
            self.part /= Self::STEP;
            self.steps += 1;
        }
        while self.part > 0.0 && self.part < 1.0 / Self::MOST {
            self.part *= Self::STEP;
            self.steps -= 1;
        }
    }

    /// The larger of two.
    fn larger(self, other: Self) -> Self {
        let stands = |product: Self| (product.part > 0.0, product.steps);
        let order = stands(self).cmp(&stands(other));
        let order = order.then(self.part.total_cmp(&other.part));
        if order.is_lt() { other } else { self }
    }

    /// This over one that is at least as large, and not 0.
    fn over(self, top: Self) -> f64 {
        match top.steps - self.steps {
            0 => self.part / top.part,
            1 => self.part / top.part / Self::STEP,
            _ => 0.0,
        }
    }

    /// Natural logarithm.
    fn ln(self) -> f64 {
        self.part.ln() + f64::from(self.steps) * 512.0 * std::f64::consts::LN_2
    }
}

/// Several findings of one test as one finding, because they share what made them right or wrong.
///
/// `rows`: P(outcome | suspect) of each finding. `shared`: chance, 0 to 1, that a repeat merely
/// repeats the first one's luck; then agreeing repeats say no more than one does, while
/// contradicting repeats are independent for sure.
///
/// # Source
/// A latent "same draw" with two states, summed out. Judgement: its share is a table value.
#[must_use]
pub fn repeated(rows: &[Vec<f64>], shared: f64) -> Vec<f64> {
    let Some((first, rest)) = rows.split_first() else {
        return Vec::new();
    };
    let agree = rest.iter().all(|row| row == first);
    let shared = if agree { shared.clamp(0.0, 1.0) } else { 0.0 };
    first
        .iter()
        .enumerate()
        .map(|(suspect, p)| {
            let apart: f64 = rest.iter().map(|row| row[suspect]).product();
            shared * p + (1.0 - shared) * p * apart
        })
        .collect()
}

/// A row of evidence that was gathered while nobody knows whether the fault showed.
///
/// `with_fault`: P(seen | suspect, fault shows); `healthy`: P(seen | nothing wrong);
/// `comes_and_goes`: for each suspect, the share of its cases that come and go; `away`: chance
/// that such a fault was away just then.
#[must_use]
pub fn blend_unknown(
    with_fault: &[f64],
    healthy: f64,
    comes_and_goes: &[f64],
    away: f64,
) -> Vec<f64> {
    with_fault
        .iter()
        .zip(comes_and_goes)
        .map(|(p, share)| {
            let gone = (share * away).clamp(0.0, 1.0);
            gone * healthy + (1.0 - gone) * p
        })
        .collect()
}

/// The one observation "this fault goes away at times": a row that speaks for suspects that do.
///
/// However many findings were made while the fault was away, this row counts once; the findings
/// themselves clear nothing.
#[must_use]
pub fn away(comes_and_goes: &[f64]) -> Vec<f64> {
    comes_and_goes
        .iter()
        .map(|share| share.clamp(0.0, 1.0))
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use proptest::prelude::*;

    use super::*;

    /// Likelihoods as they come: ordinary ones, some that rule out, some that would make a plain product vanish.
    fn entry() -> impl Strategy<Value = f64> {
        prop_oneof![
            6 => 0.001..1.0_f64,
            1 => Just(0.0),
            1 => (-320.0..-80.0_f64).prop_map(|power| 10_f64.powf(power)),
            1 => (20.0..300.0_f64).prop_map(|power| 10_f64.powf(power)),
        ]
    }

    fn rows() -> impl Strategy<Value = Vec<Vec<f64>>> {
        prop::collection::vec(prop::collection::vec(entry(), 6), 1..12)
    }

    fn suspects() -> Suspects {
        Suspects::new(&[(3.0, 0), (1.0, 1), (2.0, 0), (1.0, 2), (0.5, 1), (1e-9, 3)]).unwrap()
    }

    /// The same by logarithms, which neither overflow nor vanish.
    fn by_logarithms(suspects: &Suspects, rows: &[Vec<f64>]) -> Option<(Vec<f64>, f64)> {
        let logs: Vec<f64> = (0..suspects.len())
            .map(|h| suspects.priors()[h].ln() + rows.iter().map(|row| row[h].ln()).sum::<f64>())
            .collect();
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = logs.iter().map(|log| (log - top).exp()).sum();
        let shares = logs.iter().map(|log| (log - top).exp() / total).collect();
        top.is_finite().then_some((shares, top + total.ln()))
    }

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-9 * (1.0 + b.abs())
    }

    proptest! {
        #[test]
        fn products_say_what_logarithms_say(rows in rows()) {
            let suspects = suspects();
            let found = Belief::of(&suspects, &rows).ok();
            let wanted = by_logarithms(&suspects, &rows);
            prop_assert_eq!(found.is_some(), wanted.is_some());
            if let (Some(found), Some((shares, fit))) = (found, wanted) {
                for (a, b) in found.suspects().iter().zip(shares) {
                    prop_assert!(close(*a, b), "{} {}", a, b);
                }
                prop_assert!(close(found.fit(), fit), "{} {}", found.fit(), fit);
            }
        }

        #[test]
        fn without_a_piece_it_is_as_if_it_had_never_been(rows in rows()) {
            let suspects = suspects();
            let Ok(belief) = Belief::of(&suspects, &rows) else {
                return Ok(());
            };
            let all: Vec<&[f64]> = rows.iter().map(AsRef::as_ref).collect();
            for out in 0..rows.len() {
                let mut rest = rows.clone();
                rest.remove(out);
                let wanted = Belief::of(&suspects, &rest).unwrap();
                let found = belief.without(&suspects, &all, out);
                for (a, b) in found.iter().zip(wanted.units()) {
                    prop_assert!(close(*a, *b), "{} {}", a, b);
                }
            }
        }
    }
}
