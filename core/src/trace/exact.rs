//! The exact belief over assignments: no coil has two of the pins, all else is independent pin by pin.

use super::Coverage;

/// Share of each option at each pin, over all assignments in which no coil is taken twice.
///
/// `weights`: a row a pin; its first `coils` entries are the weights of the coils, the others of everything
/// else. Returns rows of the same shape, each summing to 1; `None` where no assignment has any weight.
///
/// Every assignment weighs the product of its entries. The sum over all of them goes pin by pin over the set of
/// coils that are taken: pins × 2^coils × coils multiplications, from the first pin on and from the last back.
/// That is exact: no assignment is left out, though there may be more of them than can be listed.
///
/// # Source
/// Dynamic programming over subsets, as for the permanent of a matrix: Held, Karp 1962, doi:10.1137/0110015
/// (value from memory). Held against a plain listing of all assignments in the tests.
pub(super) fn shares(
    weights: &[Vec<f64>],
    coils: usize,
    coverage: Coverage,
) -> Option<Vec<Vec<f64>>> {
    let weights: Vec<Vec<f64>> = weights.iter().map(|row| scaled(row)).collect();
    let sets = 1_usize << coils;
    let mut ahead = vec![vec![0.0; sets]; weights.len() + 1];
    let last = ahead.last_mut()?;
    for (taken, weight) in last.iter_mut().enumerate() {
        let whole = taken + 1 == sets;
        *weight = match coverage {
            Coverage::All if !whole => 0.0,
            Coverage::All | Coverage::Some => 1.0,
        };
    }
    for pin in (0..weights.len()).rev() {
        let (here, after) = ahead.split_at_mut(pin + 1);
        let (Some(here), Some(after)) = (here.last_mut(), after.first()) else {
            continue;
        };
        back(&weights[pin], coils, after, here);
    }
    let mut reached = vec![0.0; sets];
    if let Some(none) = reached.first_mut() {
        *none = 1.0;
    }
    let mut found = Vec::with_capacity(weights.len());
    for (pin, row) in weights.iter().enumerate() {
        let (mut share, next) = forward(row, coils, &reached, &ahead[pin + 1]);
        let total: f64 = share.iter().sum();
        if !(total > 0.0 && total.is_finite()) {
            return None;
        }
        for part in &mut share {
            *part /= total;
        }
        found.push(share);
        reached = scaled(&next);
    }
    Some(found)
}

/// The same proportions with 1 as the largest.
fn scaled(row: &[f64]) -> Vec<f64> {
    let most = row.iter().copied().fold(0.0, f64::max);
    if most > 0.0 {
        row.iter().map(|weight| weight / most).collect()
    } else {
        row.to_vec()
    }
}

/// The weight of all that the pins from this one on can be, for each set of coils that is taken before it.
fn back(row: &[f64], coils: usize, after: &[f64], here: &mut [f64]) {
    let beside: f64 = row[coils..].iter().sum();
    for (taken, weight) in here.iter_mut().enumerate() {
        let mut sum = beside * after[taken];
        for (coil, own) in row[..coils].iter().enumerate() {
            let with = taken | (1 << coil);
            if with != taken && *own > 0.0 {
                sum += own * after[with];
            }
        }
        *weight = sum;
    }
    let most = here.iter().copied().fold(0.0, f64::max);
    if most > 0.0 {
        for weight in here {
            *weight /= most;
        }
    }
}

/// The weight of each option at a pin, and of each set of coils that is taken after it.
fn forward(row: &[f64], coils: usize, before: &[f64], ahead: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let mut share = vec![0.0; row.len()];
    let mut next = vec![0.0; before.len()];
    let beside: f64 = row[coils..].iter().sum();
    let mut stays = 0.0;
    for (taken, weight) in before.iter().enumerate() {
        if *weight <= 0.0 {
            continue;
        }
        stays += weight * ahead[taken];
        next[taken] += weight * beside;
        for (coil, own) in row[..coils].iter().enumerate() {
            let with = taken | (1 << coil);
            if with != taken {
                share[coil] += weight * own * ahead[with];
                next[with] += weight * own;
            }
        }
    }
    for (option, own) in row.iter().enumerate().skip(coils) {
        share[option] = own * stays;
    }
    (share, next)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Every assignment, one by one.
    fn listed(weights: &[Vec<f64>], coils: usize, coverage: Coverage) -> Option<Vec<Vec<f64>>> {
        let mut found: Vec<Vec<f64>> = weights.iter().map(|row| vec![0.0; row.len()]).collect();
        let mut chosen = vec![0; weights.len()];
        let mut total = 0.0;
        loop {
            let taken: Vec<usize> = chosen.iter().copied().filter(|o| *o < coils).collect();
            let mut once = taken.clone();
            once.sort_unstable();
            once.dedup();
            if once.len() == taken.len() && (coverage == Coverage::Some || once.len() == coils) {
                let weight: f64 = chosen.iter().zip(weights).map(|(o, row)| row[*o]).product();
                total += weight;
                for (row, option) in found.iter_mut().zip(&chosen) {
                    row[*option] += weight;
                }
            }
            let Some(place) = (0..chosen.len()).find(|p| chosen[*p] + 1 < weights[*p].len()) else {
                break;
            };
            chosen[place] += 1;
            chosen[..place].fill(0);
        }
        (total > 0.0).then(|| {
            for row in &mut found {
                for share in row {
                    *share /= total;
                }
            }
            found
        })
    }

    proptest! {
        #[test]
        fn as_every_assignment_listed(
            coils in 0_usize..4,
            rows in proptest::collection::vec(
                proptest::collection::vec(prop_oneof![Just(0.0), 0.001_f64..1.0], 5),
                1..5,
            ),
            all in any::<bool>(),
        ) {
            let coverage = if all { Coverage::All } else { Coverage::Some };
            let (ours, theirs) = (shares(&rows, coils, coverage), listed(&rows, coils, coverage));
            prop_assert_eq!(ours.is_some(), theirs.is_some());
            for (a, b) in ours.iter().flatten().flatten().zip(theirs.iter().flatten().flatten()) {
                prop_assert!((a - b).abs() < 1e-9, "{} {}", a, b);
            }
        }
    }
}
