//! The way to the findings: from a question with its answer to one, from what a person types to an answer.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Question};
use sparktrail_core::model::{Effect, FaultThen, Harness, Seen, Setup, Stored, Works};

use super::words::findings as words;
use super::words::job::UNDO;
use super::words::suspects::TO_FINDINGS;
use crate::edge::clock;
use crate::store::{Store, Tab, cylinders_said};
use crate::text::Text;
use crate::ui::ToastAct;

/// The button that leads to the findings.
fn to_findings(store: Store) -> AnyView {
    view! {
        <button
            type="button"
            class="button"
            data-weight="strong"
            on:click=move |_| store.session.tab.set(Tab::Findings)
        >
            {TO_FINDINGS}
        </button>
    }
    .into_any()
}

/// The card that leads to the findings while there are none, with what a place says of that.
pub(super) fn nothing_yet(store: Store, words: Text) -> AnyView {
    let fresh = Memo::new(move |_| store.read_verdict(|_, verdict| verdict.evidence == 0));
    let card = move || {
        let card = || {
            view! {
                <section class="card">
                    <p>{words}</p>
                    {to_findings(store)}
                </section>
            }
            .into_any()
        };
        fresh.get().then(card)
    };
    view! { {card} }.into_any()
}

/// Says in passing that something was entered just before, with the button that takes it back: on a phone no other is near.
pub(super) fn say_entered(store: Store, words: Text) {
    store.session.say(words, Some(takes_back(store, UNDO)));
}

/// The button of a message that takes back the change it tells of. It goes with the next change, whichever that is:
/// it would take back that one.
pub(super) fn takes_back(store: Store, words: Text) -> ToastAct {
    let told = store.harness.get_untracked();
    ToastAct::new(words, move || store.undo())
        .only_while(move || store.harness.with(|now| Arc::ptr_eq(now, &told)))
}

/// The cylinders that nothing was said of, while some are dead or doubtful, with the button that says that they work.
/// `class` is that of the piece that holds both.
pub(super) fn others_work(store: Store, class: &'static str) -> AnyView {
    let untold = Memo::new(move |_| store.harness.with(|harness| untold(harness)));
    let mark = move |_| {
        let untold = untold.get_untracked();
        store.change(Command::MarkAll {
            marks: untold.into_iter().map(|c| (c, Works::Alive)).collect(),
            at: Some(clock::timestamp()),
        });
        say_entered(store, words::ENTERED);
    };
    let shown = Memo::new(move |_| untold.with(|untold| !untold.is_empty()));
    let offer = move || {
        let offer = || {
            view! {
                <div class=class>
                    <p>{move || untold.with(|untold| words::untold(untold))}</p>
                    <p class="faint small">{words::OTHERS_HINT}</p>
                    <button type="button" class="button others" on:click=mark>
                        {words::OTHERS_WORK}
                    </button>
                </div>
            }
            .into_any()
        };
        shown.get().then(offer)
    };
    view! { {offer} }.into_any()
}

/// The cylinders that nothing was said of, while some are known to be dead or doubtful.
fn untold(harness: &Harness) -> Vec<CylinderId> {
    let said = cylinders_said(harness.findings_now());
    if said.values().all(|works| *works == Works::Alive) {
        return Vec::new();
    }
    let mut all = harness.engine.cylinders();
    all.retain(|cylinder| !said.contains_key(cylinder));
    all
}

/// What a person said: a question with its answer.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Said {
    question: Question,
    answer: Answer,
}

impl Said {
    pub(super) const fn new(question: Question, answer: Answer) -> Self {
        Self { question, answer }
    }

    /// The finding that says the same, and how the car stood; `None` where the answer belongs to
    /// another question.
    pub(super) fn seen(self) -> Option<(Seen, Option<Setup>)> {
        self.question.seen(self.answer)
    }
}

/// Whether the fault showed when a question was answered just now. What brings it back shows it.
pub(super) fn fault_then(store: Store, question: &Question, answer: Answer) -> FaultThen {
    let stressed = matches!(question, Question::Stress(..));
    if stressed && answer == Answer::Effect(Effect::Changed) {
        FaultThen::Present
    } else if stressed || question.can_be_passed_while_away() {
        store.fault_now_untracked()
    } else {
        FaultThen::Unknown
    }
}

/// A voltage as typed: a comma or a point, with or without its unit.
pub(super) fn volts(typed: &str) -> Result<Answer, String> {
    Answer::volts_typed(typed).map_err(|why| words::mistyped(why, typed))
}

/// A resistance as typed: "0.5", "12,5k", "1M", "OL"; `m` is milliohms.
pub(super) fn ohms(typed: &str) -> Result<Answer, String> {
    Answer::ohms_typed(typed).map_err(|why| words::mistyped(why, typed))
}

/// A reading as somebody would type it; nothing for what is not typed.
pub(super) fn typed(answer: Answer) -> String {
    match answer {
        Answer::Volts(value, _) | Answer::Ohms(value, _) => value.to_string(),
        Answer::Overload => "OL".into(),
        Answer::Works(_)
        | Answer::Spark(_)
        | Answer::Glow(_)
        | Answer::Look(_)
        | Answer::Effect(_)
        | Answer::Swap(_)
        | Answer::Stored(_)
        | Answer::Compression(_) => String::new(),
    }
}

/// A code as typed, where one was stored.
pub(super) fn code(answer: Answer, typed: &str) -> Result<Said, String> {
    if answer == Answer::Stored(Stored::Absent) {
        return Ok(Said::new(Question::AnyCode, answer));
    }
    let code = typed.trim().to_uppercase();
    if code.is_empty() || code.len() > 20 {
        return Err(words::NO_CODE.into());
    }
    Ok(Said::new(Question::Code(code), answer))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_read_is_told_with_its_mend() {
        for typed in ["", "abc", "1e999", "NaN", "1.2.3"] {
            assert!(ohms(typed).is_err_and(|why| why.contains("OL")), "{typed}");
            assert!(
                volts(typed).is_err_and(|why| why.contains("12.4")),
                "{typed}"
            );
        }
        assert_eq!(ohms("-1"), Err(words::NEGATIVE_OHMS.into()));
        assert_eq!(ohms("2e9"), Err(words::TOO_MANY_OHMS.into()));
        assert_eq!(volts("1200"), Err(words::TOO_MANY_VOLTS.into()));
        assert_eq!(volts("0.4 Ω"), Err(words::OHMS_FOR_VOLTS.into()));
        assert_eq!(ohms("12.4 V"), Err(words::VOLTS_FOR_OHMS.into()));
        assert!(code(Answer::Stored(Stored::Present), " ").is_err());
    }
}
