//! What an act found, in one tap or one number; and whether the fault shows now, which bears on it.

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::isolation::{Answer, Question};
use sparktrail_core::model::FaultThen;

use super::super::entry::{self, Said};
use super::super::words::findings::{self as finding_words, answer_to};
use super::super::words::next as words;
use crate::edge::{clock, page};
use crate::store::{Store, Tab};
use crate::ui::choice;

/// One tap that says whether the fault is there now, where that bears on the answer.
pub(super) fn shows_now(store: Store, question: Memo<Option<Question>>) -> AnyView {
    let bears = Memo::new(move |_| {
        let can_be_passed =
            |question: &Option<Question>| question.as_ref().map(Question::can_be_passed_while_away);
        let can_be_passed = question.with(can_be_passed);
        can_be_passed.is_some_and(|can| can || store.fault_now() == FaultThen::Away)
    });
    let shown = move || bears.get().then(|| toggle(store));
    shown.into_any()
}

/// The same; what can be done next depends on it.
pub(super) fn toggle(store: Store) -> AnyView {
    let now = Signal::derive(move || store.fault_now());
    let buttons: Vec<AnyView> = words::THENS
        .iter()
        .map(|&(word, then)| {
            let is_now = move || now.get() == then;
            choice(word, "button", is_now, move || store.say_now(then))
        })
        .collect();
    let hint = move || match now.get() {
        FaultThen::Away => words::AWAY_NOW.said(),
        FaultThen::Present | FaultThen::Unknown => words::AWAY_HINT.said(),
    };
    view! {
        <h3>{words::THEN_NOW}</h3>
        <div class="way-row then-now" role="group" aria-label=words::THEN_NOW>{buttons}</div>
        <p class="faint small">{hint}</p>
    }
    .into_any()
}

fn enter(store: Store, question: &Question, answer: Answer) {
    let fault_then = entry::fault_then(store, question, answer);
    let said = Said::new(question.clone(), answer).seen();
    let Some((seen, setup)) = said else {
        // Which code it was is for the form to ask.
        store.session.tab.set(Tab::Findings);
        return;
    };
    page::scroll_to_start(".side");
    store.change(Command::AddFinding {
        seen,
        setup,
        fault_then,
        at: Some(clock::timestamp()),
        note: String::new(),
    });
    entry::say_entered(store, words::ENTERED);
}

/// From what was typed to an answer, or to what is wrong with it.
type Understands = fn(&str) -> Result<Answer, String>;

/// Buttons for what may come out, or a field for what was read.
pub(super) fn answers(store: Store, asked: &Question, outcomes: &[Answer]) -> AnyView {
    let question = StoredValue::new(asked.clone());
    let typed: Option<Understands> = match asked {
        Question::Volts(_) | Question::Drop(_) => Some(entry::volts),
        Question::Resistance(_) => Some(entry::ohms),
        Question::Contribution(_)
        | Question::Spark(_)
        | Question::Lamp(_)
        | Question::Look(_)
        | Question::Stress(..)
        | Question::Substitute(..)
        | Question::Swap(_)
        | Question::Clean(_)
        | Question::Remake(_)
        | Question::Code(_)
        | Question::AnyCode
        | Question::Compression(_) => None,
    };
    let Some(read) = typed else {
        let buttons: Vec<AnyView> = outcomes
            .iter()
            .map(|&answer| {
                let words = answer_to(asked, answer);
                let put = move |_| question.with_value(|question| enter(store, question, answer));
                view! {
                    <button type="button" class="button" on:click=put>
                        {words}
                    </button>
                }
                .into_any()
            })
            .collect();
        return view! {
            <h3>{words::OUTCOMES}</h3>
            <div class="way-row">{buttons}</div>
        }
        .into_any();
    };
    let text = store.session.drafts.read_for(asked);
    let trouble = RwSignal::new(None::<String>);
    let submit = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        match text.with_untracked(|text| read(text)) {
            Ok(answer) => {
                // The same may be asked again.
                text.set(String::new());
                trouble.set(None);
                question.with_value(|question| enter(store, question, answer));
            }
            Err(why) => trouble.set(Some(why)),
        }
    };
    let ohms = matches!(asked, Question::Resistance(_));
    let overload = ohms.then(|| {
        let put = move |_| question.with_value(|question| enter(store, question, Answer::Overload));
        view! { <button type="button" class="button" on:click=put>"OL"</button> }.into_any()
    });
    let label = if ohms {
        finding_words::OHMS
    } else {
        finding_words::VOLTS
    };
    let wrong = move || {
        let words = trouble.get()?;
        Some(view! { <p class="alarm" role="alert">{words}</p> }.into_any())
    };
    view! {
        <h3>{words::READ}</h3>
        <form class="read" on:submit=submit>
            <label class="field">
                <span>{label}</span>
                <input
                    type="text"
                    autocomplete="off"
                    prop:value=move || text.get()
                    on:input:target=move |event| text.set(event.target().value())
                />
            </label>
            <div class="way-row">
                <button type="submit" class="button" data-weight="strong">
                    {finding_words::ENTER}
                </button>
                {overload}
            </div>
            {wrong}
        </form>
    }
    .into_any()
}
