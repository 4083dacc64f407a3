//! What an answer within a walk meant, how a walk ended, and what a suspect predicts.

use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::{Element, FaultThen, Harness, Spark, StressKind, SwapOutcome};
use sparktrail_core::said::{said, say};
use sparktrail_core::walkthrough::{Culprit, Fitness, Foretold, Meaning, Verdict};

use super::super::findings::{answer_to, works_word};
use super::super::meter::{ohms, volts};

/// What a reply meant; nothing where it speaks for itself.
#[must_use]
pub fn meaning(harness: &Harness, meaning: &Meaning) -> Option<String> {
    Some(match meaning {
        Meaning::Noted | Meaning::Plain(_) => return None,
        Meaning::LeadsSound(read) => say!(
            "The leads are sound. They show {} by themselves; that is taken off every reading.",
            ohms(*read)
        ),
        Meaning::LeadsBroken => {
            say!(
                "Leads held together must show next to nothing. Check the range, the sockets on the meter and the leads, then try again."
            )
        }
        Meaning::GroundProven => say!("The meter and its black lead are proven."),
        Meaning::NoGround => {
            say!(
                "A battery does not read like that: the black lead touches nothing, the range is wrong, or the battery is flat. Clean its post, press both tips on, and read again."
            )
        }
        Meaning::BatteryGivesWay => {
            say!(
                "The leads are proven, so this counts: the battery gives way. It is flat or worn out, or its posts do not touch. Charge it, away from flames and sparks, and clean posts and clamps before you look further; what you measure until then is judged by this."
            )
        }
        Meaning::LeadsCrossed => {
            say!("Below zero: red and black have changed places. Turn them round and read again.")
        }
        Meaning::Doubted => {
            say!(
                "That may be the black lead in the air. It does not count yet: read the battery once more first."
            )
        }
        Meaning::ToolProven => say!("The light works."),
        Meaning::ToolDoubted(cylinder) => say!(
            "No sparks on cylinder {cylinder}, which works? Check the clip, its arrow and its battery leads. This does not count."
        ),
        Meaning::Fault(FaultThen::Present) => say!("It is there: what you measure now counts."),
        Meaning::Fault(FaultThen::Away) => {
            say!("It is away: a test that passes now clears nothing.")
        }
        Meaning::Fault(FaultThen::Unknown) => {
            say!("Nobody knows: a test that passes now clears less.")
        }
        Meaning::Cylinder(cylinder, works) => {
            say!("Cylinder {cylinder}: {}.", works_word(*works))
        }
        Meaning::OthersWork(cylinders) => say!("Cylinders {} work.", list(cylinders)),
        Meaning::NoneWorks => {
            say!("No cylinder works: whatever serves the whole engine comes first.")
        }
        Meaning::Sparked(cylinder, spark) => sparked(*cylinder, *spark),
        Meaning::Sound {
            then: FaultThen::Away,
            ..
        } => {
            say!("As it should be, but the fault was away: it clears nothing.")
        }
        Meaning::Sound { cleared, .. } => {
            say!("As it should be. Cleared: {}.", names(harness, cleared))
        }
        Meaning::Bad { within, fitness } => say!(
            "{} The fault is one of these: {}.",
            fit(*fitness),
            names(harness, within)
        ),
        Meaning::Reading { off } if *off == 0.0 => say!("Within what a sound car reads."),
        Meaning::Reading { off } if off.is_infinite() => {
            say!("No way through, where there should be one.")
        }
        Meaning::Reading { off } => say!(
            "{:.2} {} than a sound car reads.",
            off.abs(),
            if *off < 0.0 {
                said("lower")
            } else {
                said("higher")
            }
        ),
        Meaning::GoneForNow => {
            say!(
                "Gone for now. Contacts that were moved work for a while: warm it up before you believe it."
            )
        }
    })
}

fn fit(fitness: Fitness) -> &'static str {
    said(match fitness {
        Fitness::Good => "It is good.",
        Fitness::High => "It conducts, but badly.",
        Fitness::Open => "It does not conduct.",
    })
}

fn sparked(cylinder: CylinderId, spark: Spark) -> String {
    match spark {
        Spark::Yes => say!(
            "The lead of cylinder {cylinder} carries sparks: look at its plug, fuel and compression."
        ),
        Spark::No => {
            say!("No sparks in the lead of cylinder {cylinder}: lead, coil, or what switches it.")
        }
        Spark::Weak => say!("Weak sparks in the lead of cylinder {cylinder}."),
        Spark::WrongTime => {
            say!("The lead of cylinder {cylinder} sparks at the wrong time: leads may be crossed.")
        }
    }
}

fn names(harness: &Harness, elements: &[Element]) -> String {
    if elements.is_empty() {
        return say!("nothing");
    }
    let names: Vec<String> = elements.iter().map(|e| harness.element_name(*e)).collect();
    names.join("; ")
}

fn list(cylinders: &[CylinderId]) -> String {
    let all: Vec<String> = cylinders.iter().map(ToString::to_string).collect();
    match all.split_last() {
        None => say!("none"),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => say!("{} and {last}", rest.join(", ")),
    }
}

/// How a walk ended.
#[must_use]
pub fn verdict(harness: &Harness, verdict: &Verdict) -> String {
    match verdict {
        Verdict::Cylinders { dead, sometimes } if dead.is_empty() && sometimes.is_empty() => {
            say!("Every cylinder works. Come back when one does not, warm or cold, wet or dry.")
        }
        Verdict::Cylinders { dead, sometimes } => {
            let dead = (!dead.is_empty()).then(|| say!("Dead: {}.", list(dead)));
            let others =
                (!sometimes.is_empty()).then(|| say!("Now and then: {}.", list(sometimes)));
            let words: Vec<String> = dead.into_iter().chain(others).collect();
            say!("{} Next now knows where to look.", words.join(" "))
        }
        Verdict::DoesNotTurn => {
            say!(
                "The starter does not turn the engine. That is battery, starter or its wiring, not the ignition."
            )
        }
        Verdict::NotProven => {
            say!(
                "The meter or tool could not be proven, so nothing was measured. Try another meter, another lead, another range."
            )
        }
        Verdict::NoPath => {
            say!("The map does not join these two places. Draw what is missing, then begin again.")
        }
        Verdict::BatteryGivesWay => {
            say!(
                "The battery gives way, so too little flows for a bad path to lose anything: every path would pass. Charge it, away from flames and sparks, then begin again. What it read is written down."
            )
        }
        Verdict::NoLoad => {
            say!(
                "While the engine does not turn, no current flows there and nothing can be lost. Check the path with the ohmmeter instead."
            )
        }
        Verdict::PathSound {
            then: FaultThen::Away,
            ..
        } => {
            say!(
                "The path was good, but the fault was away at the time: nothing is cleared. Measure again while it shows."
            )
        }
        Verdict::PathSound {
            cleared, unseen, ..
        } => {
            let rest = if unseen.is_empty() {
                String::new()
            } else {
                say!(
                    " This reading would not have shown: {}.",
                    names(harness, unseen)
                )
            };
            say!(
                "The path is good. Cleared: {}.{rest} Not tested: the contacts inside a plug that was pulled, and shorts to other wires.",
                names(harness, cleared)
            )
        }
        Verdict::PathBad { within, fitness } => say!(
            "{} It lies here: {}. Clean, re-make or replace it, then measure the whole path again: there may be more than one.",
            fit(*fitness),
            names(harness, within)
        ),
        Verdict::CameAndWent { within } => say!(
            "The whole was bad, each piece of it good: it comes and goes, or a tip had slipped. Wiggle {} while you measure.",
            names(harness, within)
        ),
        Verdict::Siblings { level, odd } if odd.is_empty() => say!(
            "All within half a volt of {}. No pin stands out.",
            volts(*level)
        ),
        Verdict::Siblings { level, odd } => {
            let odd: Vec<String> = odd
                .iter()
                .map(|(terminal, apart)| {
                    say!(
                        "{} reads {} {}",
                        harness.terminal_name(*terminal),
                        volts(apart.abs()),
                        if *apart < 0.0 {
                            said("lower")
                        } else {
                            said("higher")
                        }
                    )
                })
                .collect();
            say!(
                "Most read about {}. Standing out: {}. Siblings should agree within half a volt.",
                volts(*level),
                odd.join("; ")
            )
        }
        Verdict::Sparks(seen) => seen
            .iter()
            .map(|(cylinder, spark)| sparked(*cylinder, *spark))
            .collect::<Vec<_>>()
            .join(" "),
        Verdict::Swapped { outcome, left } => swapped(harness, *outcome, left),
        Verdict::NotNow => {
            say!("Not now: while the fault is away a swap tells nothing. Come back when it shows.")
        }
        Verdict::Stressed {
            element,
            found: Some((by, _)),
            ..
        } => say!(
            "It answers to being {}: {} or what hangs on it is a strong suspect.",
            provoked(*by),
            harness.element_name(*element)
        ),
        Verdict::Stressed {
            then: FaultThen::Away,
            ..
        } => {
            say!(
                "Nothing brought the fault back. It was away all the time, so this clears nothing."
            )
        }
        Verdict::Stressed { element, .. } => say!(
            "Nothing changed. That speaks a little against {}, no more.",
            harness.element_name(*element)
        ),
        Verdict::Mended => {
            say!(
                "The fault is gone. Look once more in a few days, warm and in the wet, before you believe it."
            )
        }
        Verdict::NotMended { ill } => say!(
            "Not mended: {} still does not work. What was found before still counts.",
            list(ill)
        ),
        Verdict::One { question, answer } => say!("Entered: {}.", answer_to(question, *answer)),
    }
}

fn provoked(by: StressKind) -> &'static str {
    said(match by {
        StressKind::Wiggled => "moved",
        StressKind::Heated => "warmed",
        StressKind::Cooled => "cooled",
    })
}

fn swapped(harness: &Harness, outcome: SwapOutcome, left: &[Element]) -> String {
    match outcome {
        SwapOutcome::Moved => {
            say!("The fault moved with the part: the part is bad. Replace it.")
        }
        SwapOutcome::Stayed => say!(
            "The fault stayed where it was. That clears only what you moved; it does not clear its place. Still there: {}.",
            some_names(harness, left)
        ),
        SwapOutcome::Gone => {
            say!(
                "Gone, warm too. What you moved was re-seated or re-soldered by the swap: that may have been the cure."
            )
        }
        SwapOutcome::Changed => {
            say!("Something else changed. Check that everything went back where it belongs.")
        }
    }
}

/// The first few names.
fn some_names(harness: &Harness, elements: &[Element]) -> String {
    const MOST: usize = 8;
    let few = names(harness, elements.get(..MOST).unwrap_or(elements));
    match elements.len().checked_sub(MOST) {
        None | Some(0) => few,
        Some(more) => say!("{few}; and {more} more"),
    }
}

/// What a suspect predicts of a swap.
#[must_use]
pub fn foretold(told: &Foretold) -> String {
    let (before, after) = (list(&told.before), list(&told.after));
    match told.culprit {
        Culprit::Thing => {
            say!("If the part is bad, the dead cylinders move: from {before} to {after}.")
        }
        Culprit::Place => say!(
            "If its place is bad (joint, contact, wire, drive path), {after} stay dead: nothing moves."
        ),
    }
}
