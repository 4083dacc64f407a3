//! Words of mending and closing a case.

/// The heading while nothing was mended.
pub const DONE_HEADING: &str = "I did something to the car";
/// What was done.
pub const DID: &str = "What did you do?";
/// Is it mended?
pub const MENDED: &str = "It is mended, I think";
/// Work on the way.
pub const ONLY_NOTE: &str = "Only note it";
/// What the two mean.
pub const DID_HINT: &str = "Once it is mended, what you find is about the mended car: it no longer counts for or against a suspect.";
/// Nothing was typed.
pub const SAY_WHAT: &str = "Say in a few words what you did.";
/// It was noted.
pub const NOTED: &str = "Noted in the work log.";
/// Over the card of a mended car.
pub const SEE_HEADING: &str = "Mended. Is the fault gone?";
/// What to do then.
pub const SEE: &str = "Clear the trouble codes if there were any, then let it idle or drive as when the fault showed, cold and warm.";
/// All is well.
pub const ALL_WORK: &str = "All cylinders work now";
/// To the findings.
pub const TO_FINDINGS: &str = "Some do not: say which";
/// It is not.
pub const STILL: &str = "The fault is still there";
/// It is.
pub const GONE: &str = "It is gone: close the case";
/// What it was.
pub const WAS: &str = "What was it?";
/// In own words.
pub const WAS_WORDS: &str = "In your words";
/// Another cause.
pub const OTHER: &str = "something else";
/// Closes.
pub const CLOSE: &str = "Close the case";
/// No cause.
pub const SAY_CAUSE: &str = "Choose what it was, or say it in your words.";
/// It was closed.
pub const CLOSED: &str = "The case is closed.";
/// Over the card of a closed case.
pub const CLOSED_HEADING: &str = "Case closed";
/// The cause.
pub const IT_WAS: &str = "It was";
/// The act.
pub const WAS_DONE: &str = "Done";
/// The check after it.
pub const SINCE: &str = "Since then";
/// The report.
pub const REPORT: &str = "Report of this case";
/// Opens it again.
pub const REOPEN: &str = "The fault is back: open it again";
/// It was opened.
pub const REOPENED: &str =
    "Open again. What was found on the mended car stays in the list and does not count.";
/// Marks a finding.
pub const ON_MENDED: &str = "on the mended car";
/// Nothing was found after mending.
pub const NOT_SEEN: &str = "nothing was looked at since";

/// How many cylinders work on the mended car.
#[must_use]
pub fn works_now(alive: usize, of: usize, dead: &[String]) -> String {
    if dead.is_empty() {
        format!("{alive} of {of} cylinders work")
    } else {
        format!(
            "{alive} of {of} cylinders work; still dead or doubtful: {}",
            dead.join(", ")
        )
    }
}

/// What an entry of the log means for the case, before its text.
#[must_use]
pub const fn step(step: sparktrail_core::model::CaseStep) -> &'static str {
    use sparktrail_core::model::CaseStep;
    match step {
        CaseStep::Work => "Done",
        CaseStep::Mended => "Mended",
        CaseStep::Closed => "Closed: it was",
        CaseStep::Reopened => "Opened again",
    }
}
