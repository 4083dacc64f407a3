//! Words of what could be wrong: shares, reasons, what was cleared, and what cannot be told.

use crate::text::{Text, text};
use sparktrail_core::isolation::{CaseError, Factor};
use sparktrail_core::said::{digits, say};

/// Heading.
pub const HEADING: Text = text("What could be wrong");
/// Nothing was found yet.
pub const NOTHING_YET: Text = text(
    "Nothing was found yet, so this is only how often each thing fails. Say which cylinders are dead first.",
);
/// On to the findings.
pub const TO_FINDINGS: Text = text("Enter findings");
/// The reckoning runs.
pub const SOON: Text = text("Working out what could be wrong…");
/// Where the shares come from.
pub const PRIORS: Text = text(
    "How often each thing fails is engineering judgement, not counted data. The findings weigh far more.",
);
/// The likely reasons.
pub const WHY: Text = text("Why");
/// It fails so.
pub const WAYS: Text = text("Most likely");
/// Nothing moved it.
pub const UNMOVED: Text = text("No finding has moved this one.");
/// Heading over what was cleared.
pub const CLEARED: Text = text("Cleared");
/// Nothing was cleared yet.
pub const NOTHING_CLEARED: Text = text("Nothing yet.");
/// Not the wiring.
pub const NOT_ELECTRICAL: Text =
    text("More likely no electrical fault: look at fuel, air and compression.");
/// Two at once.
pub const NOT_BY_ONE: Text = text(
    "No single fault explains all of this well. Two faults at once are possible, or the map is not right somewhere.",
);
/// Findings that do not count.
pub const TROUBLES: Text = text("These findings do not count");
/// The rest of the list.
pub const REST: Text = text("The rest are less likely still.");

/// A name at the head of a line.
#[must_use]
pub fn titled(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// A share as people read it.
#[must_use]
pub fn share(share: f64) -> String {
    let percent = share * 100.0;
    if percent >= 99.5 {
        "> 99 %".into()
    } else if percent < 1.0 {
        "< 1 %".into()
    } else {
        digits!("{percent:.0} %")
    }
}

/// What a finding did to a suspect; `None` where it did next to nothing.
#[must_use]
pub fn factor(factor: &Factor) -> Option<String> {
    let value = factor.factor;
    if value >= 1000.0 {
        Some(say!("makes it very much likelier"))
    } else if value >= 1.15 {
        Some(say!("makes it {} times likelier", times(value)))
    } else if value <= 0.001 {
        Some(say!("all but rules it out"))
    } else if value <= 1.0 / 1.15 {
        Some(say!("makes it {} times less likely", times(1.0 / value)))
    } else {
        None
    }
}

fn times(value: f64) -> String {
    if value >= 9.95 {
        digits!("{value:.0}")
    } else {
        digits!("{value:.1}")
    }
}

/// Findings that cannot all be true.
#[must_use]
pub fn check_again(most_doubtful: &str) -> String {
    say!(
        "These findings cannot all be true with one fault. The most doubtful is: “{most_doubtful}” Do that one again, or take it back."
    )
}

/// Nothing on the map could have produced all of it.
#[must_use]
pub fn nothing_fits(most_doubtful: &str) -> String {
    say!(
        "These findings cannot all be true: nothing on this map could cause them together. The most doubtful is: “{most_doubtful}” Do that one again or take it back, or check that the map is right."
    )
}

/// One finding against the rest.
#[must_use]
pub fn contradicts(most_doubtful: &str) -> String {
    say!(
        "This finding does not fit the others: “{most_doubtful}” Do it again before you go on: a wrong pin, a wrong range or a slip of the eye is likelier than it looks."
    )
}

/// Heading over two faults at once.
pub const PAIRS: Text = text("Two faults at once");
/// When to look for them.
pub const PAIRS_WHEN: Text =
    text("Two faults at once are rare. Do the doubtful finding again first; then look for pairs.");
/// Look for them.
pub const PAIRS_GO: Text = text("Look for pairs of faults");
/// It runs.
pub const PAIRS_SEARCHING: Text = text("Looking at every pair…");
/// Stop it.
pub const PAIRS_STOP: Text = text("Stop");
/// There are none.
pub const PAIRS_NONE: Text = text(
    "No two faults on this map explain it either. The map may be wrong somewhere, or a finding is.",
);
/// What the shares mean.
pub const PAIRS_SHARES: Text = text(
    "Shares are among pairs. Mending one of a pair must change which cylinders are dead: see after each repair.",
);

/// Two suspects together.
#[must_use]
pub fn both(a: &str, b: &str) -> String {
    say!("{} and {b}", titled(a))
}

/// How likely two are, rather than one.
#[must_use]
pub fn two_rather_than_one(chance: f64) -> String {
    say!(
        "Chance that it is two faults rather than one with a finding that is wrong: {}.",
        share(chance)
    )
}

/// How far the search is.
#[must_use]
pub fn progress(done: usize, of: usize) -> String {
    say!("{done} of {of}")
}

/// There is no case.
#[must_use]
pub fn no_case(error: CaseError) -> String {
    match error {
        CaseError::Empty => say!("Nothing on this map can fail yet. Add parts and wires first."),
        CaseError::Suspects(_) => {
            say!(
                "The suspects could not be worked out from this map. Look at Check for what is missing."
            )
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    #[test]
    fn factors_read_as_words() {
        let said = |factor: f64| {
            super::factor(&Factor {
                findings: Vec::new(),
                factor,
            })
        };
        assert_eq!(said(1.0), None);
        assert_eq!(said(2.28).unwrap(), "makes it 2.3 times likelier");
        assert_eq!(said(0.25).unwrap(), "makes it 4.0 times less likely");
        assert_eq!(said(1e-6).unwrap(), "all but rules it out");
        assert_eq!(said(f64::INFINITY).unwrap(), "makes it very much likelier");
    }

    #[test]
    fn shares_never_claim_certainty() {
        assert_eq!(share(1.0), "> 99 %");
        assert_eq!(share(0.513), "51 %");
        assert_eq!(share(0.0), "< 1 %");
    }
}
