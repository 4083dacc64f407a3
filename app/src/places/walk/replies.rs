//! The replies to a step: big buttons, or a field for a number with its unit.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::isolation::Answer;
use sparktrail_core::walkthrough::{Refused, Replies, Reply, Step};

use super::super::words::findings as finding_words;
use super::super::words::walk as words;
use super::{Now, tell};
use crate::store::Store;

/// The buttons or the field of a step.
pub(super) fn form(store: Store, now: &Arc<Now>, step: &Step) -> AnyView {
    match &step.replies {
        Replies::Choice(offered) => choice(store, now, step, offered),
        Replies::Volts => number(store, now, finding_words::VOLTS.said(), "V"),
        Replies::Ohms => number(store, now, finding_words::OHMS.said(), "Ω"),
    }
}

/// Goes one step on, or tells why not.
fn give(store: Store, now: &Now, reply: Reply, typed: &str) -> Option<String> {
    match now.walk.answer(&store.harness_now(), reply) {
        Ok(answered) => {
            tell(store, store.go_on_walking(answered));
            None
        }
        Err(why) => Some(refused(why, typed)),
    }
}

fn refused(why: Refused, typed: &str) -> String {
    match why {
        Refused::Mistyped(why) => finding_words::mistyped(why, typed),
        Refused::NotOffered | Refused::Over => words::NOT_OFFERED.into(),
    }
}

fn choice(store: Store, now: &Arc<Now>, step: &Step, offered: &[Reply]) -> AnyView {
    let trouble = RwSignal::new(None::<String>);
    let one = |&reply: &Reply| {
        let now = Arc::clone(now);
        let put = move |_| trouble.set(give(store, &now, reply, ""));
        view! {
            <button type="button" class="button walk-reply" on:click=put>
                {words::reply(&step.task, reply)}
            </button>
        }
        .into_any()
    };
    let buttons: Vec<AnyView> = offered.iter().map(one).collect();
    view! {
        <h3>{words::REPLY}</h3>
        <div class="walk-replies" role="group" aria-label=words::REPLY>{buttons}</div>
        {alarm(trouble)}
    }
    .into_any()
}

fn alarm(trouble: RwSignal<Option<String>>) -> impl Fn() -> Option<AnyView> {
    move || {
        let words = trouble.get()?;
        Some(view! { <p class="alarm" role="alert">{words}</p> }.into_any())
    }
}

fn number(store: Store, now: &Arc<Now>, label: &'static str, unit: &'static str) -> AnyView {
    let text = RwSignal::new(String::new());
    let trouble = RwSignal::new(None::<String>);
    let ohms = unit == "Ω";
    let submit = {
        let now = Arc::clone(now);
        move |event: leptos::ev::SubmitEvent| {
            event.prevent_default();
            let typed = text.get_untracked();
            let replies = if ohms { Replies::Ohms } else { Replies::Volts };
            trouble.set(match replies.typed(&typed) {
                Ok(reply) => give(store, &now, reply, &typed),
                Err(why) => Some(refused(why, &typed)),
            });
        }
    };
    let overload = ohms.then(|| {
        let now = Arc::clone(now);
        let put = move |_| trouble.set(give(store, &now, Reply::Found(Answer::Overload), "OL"));
        view! {
            <button type="button" class="button walk-reply" on:click=put>"OL"</button>
        }
        .into_any()
    });
    view! {
        <h3>{words::READ}</h3>
        <form class="walk-read" on:submit=submit>
            <label class="field">
                <span>{label}</span>
                <span class="walk-number">
                    <input
                        type="text"
                        inputmode="text"
                        autocomplete="off"
                        class="num"
                        prop:value=move || text.get()
                        on:input:target=move |event| text.set(event.target().value())
                    />
                    <span aria-hidden="true">{unit}</span>
                </span>
            </label>
            <div class="walk-replies">
                <button type="submit" class="button walk-reply" data-weight="strong">
                    {finding_words::ENTER}
                </button>
                {overload}
            </div>
            {alarm(trouble)}
        </form>
    }
    .into_any()
}
