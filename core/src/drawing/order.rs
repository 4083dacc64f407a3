//! Order and spacing along one axis: each thing as near as may be to where it wants to be.

use super::geometry::{GRID, snap};
use crate::gather::Arrange;

/// Something that wants a place on an axis and needs room on both sides of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Want {
    /// Where it would like to be.
    pub(super) at: f64,
    /// Room before.
    pub(super) before: f64,
    /// Room after.
    pub(super) after: f64,
}

/// Places for `wants`, kept in their order, on the grid, none nearer than their rooms allow;
/// the sum of the distances from the wanted places is as small as blocks of neighbours allow.
///
/// # Source
/// Pool-adjacent-violators for isotonic regression with medians: Ayer et al. 1955, value from memory.
pub(super) fn spread(wants: &[Want]) -> Vec<f64> {
    // With the rooms taken off, the places must only never fall.
    let mut shift = 0.0;
    let mut shifts = Vec::with_capacity(wants.len());
    for (i, want) in wants.iter().enumerate() {
        if i > 0 {
            shift += snap(wants[i - 1].after + want.before).max(GRID);
        }
        shifts.push(shift);
    }
    let mut blocks: Vec<Vec<f64>> = Vec::new();
    for (want, shift) in wants.iter().zip(&shifts) {
        blocks.push(vec![snap(want.at) - shift]);
        while let [.., a, b] = blocks.as_slice()
            && median(a) > median(b)
        {
            let last = blocks.pop().unwrap_or_default();
            if let Some(block) = blocks.last_mut() {
                block.extend(last);
            }
        }
    }
    blocks
        .iter()
        .flat_map(|block| std::iter::repeat_n(median(block), block.len()))
        .zip(shifts)
        .map(|(place, shift)| place + shift)
        .collect()
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.arrange_by(f64::total_cmp);
    sorted
        .get((sorted.len().max(1) - 1) / 2)
        .copied()
        .unwrap_or(0.0)
}

/// The mean, or `None` of nothing.
pub(super) fn mean(values: impl IntoIterator<Item = f64>) -> Option<f64> {
    let (mut sum, mut n) = (0.0, 0.0);
    for v in values {
        sum += v;
        n += 1.0;
    }
    (n > 0.0).then(|| sum / n)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(at: f64) -> Want {
        Want {
            at,
            before: 12.0,
            after: 12.0,
        }
    }

    #[test]
    fn free_wants_are_met_and_crowds_are_spread() {
        assert_eq!(spread(&[at(0.0), at(48.0)]), vec![0.0, 48.0]);
        let crowd = spread(&[at(24.0), at(24.0), at(24.0)]);
        assert!(crowd.windows(2).all(|w| w[1] - w[0] >= 24.0), "{crowd:?}");
        assert!(crowd.contains(&24.0));
    }
}
