//! How likely a meter's reading is where another is due: densities, and shares of whole ranges.

use super::cause::Cause;
use super::defaults as d;
use super::forecast::Departures;
use super::question::Answer;
use crate::faults::Mode;

/// How wide a predicted reading is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Expected {
    pub(super) centre: f64,
    pub(super) width: f64,
    pub(super) gross: f64,
}

/// Whether a mode has a severity that lies between grid points.
pub(super) const fn graded(mode: Mode) -> bool {
    mode.ohms().is_some() || matches!(mode, Mode::TurnsShorted(_))
}

/// Of gross errors on a voltmeter, the share that reads nothing at all or the whole battery.
const AT_THE_ENDS: f64 = 0.6;
/// How wide those two are, V.
const END: f64 = 0.5;
/// Range of a voltmeter here, V.
const RANGE: (f64, f64) = (-1.0, 16.0);

pub(super) fn density_volts(expected: Expected, reading: f64) -> f64 {
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

/// Readings closer than this share of a reading's own width are foreseen alike. Judgement: about a millivolt.
const ALIKE: f64 = 0.01;

/// Whether a plan takes a voltage for that of the healthy harness: no meter would show the difference.
pub(super) fn volts_alike(volts: f64, healthy: f64) -> bool {
    (volts - healthy).abs() < ALIKE * d::VOLTS_WIDTH
}

/// The same for resistances, Ω.
pub(super) fn ohms_alike(ohms: f64, healthy: f64) -> bool {
    let over = (ohms >= d::OVERLOAD, healthy >= d::OVERLOAD);
    // What a step of that many decades is to R + 0.3 Ω.
    let step = ALIKE * d::OHMS_WIDTH.0 * std::f64::consts::LN_10;
    over == (true, true)
        || over == (false, false)
            && (ohms - healthy).abs() < step * (healthy.max(0.0) + d::OHMS_WIDTH.1)
}

/// The ranges into which readings in volts are cut.
pub(super) struct VoltRanges {
    cuts: Vec<f64>,
    /// By range, its share of the gross errors.
    gross: Vec<f64>,
    masses: Vec<f64>,
}

impl VoltRanges {
    pub(super) fn of(cuts: Vec<f64>) -> Self {
        Self {
            gross: cuts.windows(2).map(|w| gross_mass(w[0], w[1])).collect(),
            masses: Vec::with_capacity(cuts.len()),
            cuts,
        }
    }

    pub(super) fn answers(&self) -> Vec<Answer> {
        let ranges = self.cuts.windows(2);
        ranges.map(|w| Answer::Volts(w[0], w[1])).collect()
    }

    /// Chance of each range; they sum to one.
    pub(super) fn masses(&mut self, expected: Expected) -> &[f64] {
        self.masses.clear();
        let mut below = 0.0;
        for (upper, gross) in self.cuts[1..].iter().zip(&self.gross) {
            let upto = share_below(*upper, expected.centre, expected.width);
            let mass = (1.0 - expected.gross) * (upto - below) + expected.gross * gross;
            self.masses.push(mass);
            below = upto;
        }
        level(&mut self.masses, 1.0);
        &self.masses
    }
}

/// Share of a reading that lies below a cut.
fn share_below(cut: f64, centre: f64, width: f64) -> f64 {
    if cut.is_finite() {
        normal_cdf((cut - centre) / width)
    } else if cut > 0.0 {
        1.0
    } else {
        0.0
    }
}

/// Masses made to sum to `goal`; takes up what ranges leave out.
fn level(masses: &mut [f64], goal: f64) {
    let sum: f64 = masses.iter().sum();
    if sum > 0.0 {
        for mass in masses {
            *mass *= goal / sum;
        }
    }
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
pub(super) fn volt_cuts(reading: &Departures) -> Vec<f64> {
    let healthy = reading.healthy;
    let (mut least, mut most) = (healthy, healthy);
    for &(_, centre) in &reading.causes {
        if centre < least {
            least = centre;
        } else if centre > most {
            most = centre;
        }
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

pub(super) fn overload(ohms: f64) -> f64 {
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

pub(super) fn density_ohms(cause: Option<&Cause>, ohms: f64, healthy: f64, reading: f64) -> f64 {
    if ohms >= d::OVERLOAD {
        return WRONG_RANGE / DECADES;
    }
    let width = ohm_width(cause, ohms, healthy);
    let z = (decades(reading) - decades(ohms)) / width;
    let normal = (-0.5 * z * z).exp() / (width * (2.0 * std::f64::consts::PI).sqrt());
    (1.0 - WRONG_RANGE) * ((1.0 - d::GROSS) * normal + d::GROSS / DECADES)
}

/// Chance of each range between neighbouring cuts, and of overload at the end; they sum to one.
pub(super) fn ohm_masses(cuts: &[f64], cause: Option<&Cause>, ohms: f64, healthy: f64) -> Vec<f64> {
    let bottom = d::OHMS_WIDTH.1.log10();
    let top = bottom + DECADES;
    let place = |cut: f64| {
        if cut <= 0.0 {
            f64::NEG_INFINITY
        } else if cut.is_finite() {
            decades(cut)
        } else {
            f64::INFINITY
        }
    };
    let edges: Vec<f64> = cuts.iter().map(|cut| place(*cut)).collect();
    let gross = |edge: &[f64]| ((edge[1].min(top) - edge[0].max(bottom)) / DECADES).max(0.0);
    let over = ohms >= d::OVERLOAD;
    let mut masses: Vec<f64> = if over {
        edges.windows(2).map(gross).collect()
    } else {
        let (centre, width) = (decades(ohms), ohm_width(cause, ohms, healthy));
        let below: Vec<f64> = edges
            .iter()
            .map(|edge| share_below(*edge, centre, width))
            .collect();
        edges
            .windows(2)
            .zip(below.windows(2))
            .map(|(edge, below)| (1.0 - d::GROSS) * (below[1] - below[0]) + d::GROSS * gross(edge))
            .collect()
    };
    let overload = overload(ohms);
    level(&mut masses, 1.0 - overload);
    masses.push(overload);
    masses
}

/// Where resistances are cut into ranges.
pub(super) fn ohm_cuts(healthy: f64) -> Vec<f64> {
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

/// Share of a standard normal below `z`, within 1e-7.
///
/// # Source
/// Abramowitz and Stegun 26.2.17 (value from memory).
fn normal_cdf(z: f64) -> f64 {
    // Out there the tail is below the error of what follows.
    if z.abs() > 6.0 {
        return f64::from(u8::from(z > 0.0));
    }
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
