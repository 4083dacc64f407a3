//! Words of mending and closing a case.

use crate::text::{Text, text};
use sparktrail_core::said::{said, say};

/// The heading while nothing was mended.
pub const DONE_HEADING: Text = text("I did something to the car");
/// What was done.
pub const DID: Text = text("What did you do?");
/// Is it mended?
pub const MENDED: Text = text("It is mended, I think");
/// Work on the way.
pub const ONLY_NOTE: Text = text("Only note it");
/// What the two mean.
pub const DID_HINT: Text = text(
    "Once it is mended, what you find is about the mended car: it no longer counts for or against a suspect.",
);
/// Nothing was typed.
pub const SAY_WHAT: Text = text("Say in a few words what you did.");
/// It was noted.
pub const NOTED: Text = text("Noted in the work log.");
/// Over the card of a mended car.
pub const SEE_HEADING: Text = text("Mended. Is the fault gone?");
/// What to do then.
pub const SEE: Text = text(
    "Clear the trouble codes if there were any, then let it idle or drive as when the fault showed, cold and warm.",
);
/// All is well.
pub const ALL_WORK: Text = text("All cylinders work now");
/// To the findings.
pub const TO_FINDINGS: Text = text("Some do not: say which");
/// It is not.
pub const STILL: Text = text("The fault is still there");
/// It is.
pub const GONE: Text = text("It is gone: close the case");
/// What it was.
pub const WAS: Text = text("What was it?");
/// In own words.
pub const WAS_WORDS: Text = text("In your words");
/// Another cause.
pub const OTHER: Text = text("something else");
/// Closes.
pub const CLOSE: Text = text("Close the case");
/// No cause.
pub const SAY_CAUSE: Text = text("Choose what it was, or say it in your words.");
/// It was closed.
pub const CLOSED: Text = text("The case is closed.");
/// Over the card of a closed case.
pub const CLOSED_HEADING: Text = text("Case closed");
/// A closed case in one line.
#[must_use]
pub fn closed_line(cause: &str) -> String {
    say!("Case closed: it was {cause}")
}

/// The cause.
pub const IT_WAS: Text = text("It was");
/// The act.
pub const WAS_DONE: Text = text("Done");
/// The check after it.
pub const SINCE: Text = text("Since then");
/// The report.
pub const REPORT: Text = text("Report of this case");
/// Opens it again.
pub const REOPEN: Text = text("The fault is back: open it again");
/// It was opened.
pub const REOPENED: Text =
    text("Open again. What was found on the mended car stays in the list and does not count.");
/// Marks a finding.
pub const ON_MENDED: Text = text("on the mended car");
/// Nothing was found after mending.
pub const NOT_SEEN: Text = text("nothing was looked at since");

/// How many cylinders work on the mended car.
#[must_use]
pub fn works_now(alive: usize, of: usize, dead: &[String]) -> String {
    if dead.is_empty() {
        say!("{alive} of {of} cylinders work")
    } else {
        say!(
            "{alive} of {of} cylinders work; still dead or doubtful: {}",
            dead.join(", ")
        )
    }
}

/// What an entry of the log means for the case, before its text.
#[must_use]
pub fn step(step: sparktrail_core::model::CaseStep) -> &'static str {
    use sparktrail_core::model::CaseStep;
    said(match step {
        CaseStep::Work => "Done",
        CaseStep::Mended => "Mended",
        CaseStep::Closed => "Closed: it was",
        CaseStep::Reopened => "Opened again",
    })
}
