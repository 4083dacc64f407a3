//! The best thing to do now, as a card: what, where, how long, what comes off, what to mind, what it would mean.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::isolation::{Access, Answer, Probes, Question, Stop, Unit};
use sparktrail_core::model::{Element, FaultThen, Harness, PartKind, Port, SwapPair, WireEnd};
use sparktrail_core::topology::Pick;

use super::entry::{self, Said, to_findings};
use super::words::findings::answer as answer_words;
use super::words::meter::{self as meter_words, UnitUnplugged};
use super::words::next::{self as words, Inside};
use crate::edge::{clock, page};
use crate::store::{Advice, Advised, LeadColour, Planned, Reckoned, Store, Tab};

/// The panel.
#[component]
pub(super) fn NextPanel(store: Store) -> impl IntoView {
    let chosen = RwSignal::new(0_usize);
    // A new plan begins with its best act.
    Effect::new(move |_| {
        store.isolation.planned.track();
        chosen.set(0);
    });
    let body = move || match (
        store.isolation.reckoned.get(),
        store.isolation.planned.get(),
    ) {
        (Reckoned::NothingFits, _) => {
            view! { <p class="alarm">{words::NOTHING_FITS}</p> }.into_any()
        }
        (Reckoned::NoCase(error), _) => {
            view! { <p class="alarm">{super::words::suspects::no_case(error)}</p> }.into_any()
        }
        (Reckoned::Soon, _) | (Reckoned::Known(_), Planned::Weighing(_, 0)) => {
            view! { <p class="faint" role="status">{words::WEIGHING}</p> }.into_any()
        }
        (Reckoned::Known(_), Planned::Weighing(done, of)) => view! {
            <section class="card" role="status">
                <p>{words::WEIGHING}</p>
                <progress max=of.to_string() value=done.to_string()>
                    {words::progress(done, of)}
                </progress>
            </section>
        }
        .into_any(),
        (Reckoned::Known(verdict), Planned::Known(advice)) => {
            told(store, verdict.evidence, &advice, chosen)
        }
    };
    on_cleanup(move || store.session.lit.set(None));
    view! { <div class="panel next">{body}</div> }.into_any()
}

fn told(store: Store, evidence: usize, advice: &Arc<Advice>, chosen: RwSignal<usize>) -> AnyView {
    let harness = store.harness.get_untracked();
    let nothing_yet = (evidence == 0).then(|| {
        view! {
            <section class="card">
                <p>{words::NOTHING_YET}</p>
                {to_findings(store)}
            </section>
        }
        .into_any()
    });
    let stop = words::stop(&harness, advice.stop)
        .map(|words| view! { <p class="good-note" role="status">{words}</p> }.into_any());
    let repairs = (advice.stop != Stop::GoOn).then(|| repairs(&harness, advice));
    let card = {
        let advice = Arc::clone(advice);
        move || {
            let advised = advice.acts.get(chosen.get())?.clone();
            let harness = store.harness.get_untracked();
            Some(act_card(store, &harness, &advised, &advice.leaders))
        }
    };
    let others = others(&harness, advice, chosen);
    view! {
        {nothing_yet}
        {stop}
        {repairs}
        {card}
        {others}
    }
    .into_any()
}

fn repairs(harness: &Harness, advice: &Advice) -> AnyView {
    let rows: Vec<AnyView> = advice
        .repairs
        .iter()
        .take(6)
        .map(|(unit, share)| {
            view! {
                <li class="step">
                    <span>{super::words::suspects::titled(&unit.name(harness))}</span>
                    <span class="num">{words::chance(*share)}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    view! {
        <section class="card">
            <h3>{words::REPAIRS}</h3>
            <ol class="path">{rows}</ol>
        </section>
    }
    .into_any()
}

fn others(harness: &Harness, advice: &Arc<Advice>, chosen: RwSignal<usize>) -> AnyView {
    if advice.acts.len() < 2 {
        return ().into_any();
    }
    let rows: Vec<AnyView> = advice
        .acts
        .iter()
        .enumerate()
        .map(|(place, advised)| {
            let name = words::act(harness, &advised.act);
            let sub = format!(
                "{}, {}",
                words::minutes(advised.proposal.price),
                words::worth(advised.proposal.bits)
            );
            let current = move || (chosen.get() == place).then_some("true");
            view! {
                <li>
                    <button
                        type="button"
                        class="row"
                        aria-current=current
                        on:click=move |_| {
                            chosen.set(place);
                            page::scroll_to_start(".side");
                        }
                    >
                        <span class="grow">{name} <span class="sub">{sub}</span></span>
                    </button>
                </li>
            }
            .into_any()
        })
        .collect();
    view! {
        <details class="card">
            <summary><h3>{words::INSTEAD}</h3></summary>
            <ul class="rows">{rows}</ul>
        </details>
    }
    .into_any()
}

fn act_card(
    store: Store,
    harness: &Harness,
    advised: &Advised,
    leaders: &[(Unit, f64)],
) -> AnyView {
    let act = &advised.act;
    store.session.lit.set(Some(picks(harness, &act.question)));
    let first: Vec<String> = advised
        .opens
        .iter()
        .map(|(access, _)| words::access(harness, *access))
        .collect();
    let first = if first.is_empty() {
        words::NOTHING_FIRST.to_owned()
    } else {
        first.join(", ")
    };
    let leads = probes_of(&act.question).map(|probes| leads(store, harness, probes));
    let cautions = cautions(harness, advised);
    view! {
        <section class="card act">
            <p class="eyebrow">{words::DO_THIS}</p>
            <h2>{words::act(harness, act)}</h2>
            <dl class="facts">
                {leads}
                {fact(words::TIME, words::minutes(advised.proposal.price))}
                {fact(words::FIRST, first)}
            </dl>
            {cautions}
            {answers(store, advised)}
            {predictions(harness, advised, leaders)}
        </section>
    }
    .into_any()
}

fn fact(term: &'static str, value: String) -> AnyView {
    view! {
        <div class="fact">
            <dt>{term}</dt>
            <dd>{value}</dd>
        </div>
    }
    .into_any()
}

fn leads(store: Store, harness: &Harness, probes: &Probes) -> AnyView {
    let black = probes
        .black
        .map_or_else(String::new, |black| harness.terminal_name(black));
    let at = probes.clone();
    let show = move |_| {
        let meter = store.meter;
        meter.setup.set(at.setup.clone());
        meter.put(LeadColour::Red, at.red);
        if let Some(black) = at.black {
            meter.put(LeadColour::Black, black);
        }
        meter.in_hand.set(None);
        store.session.tab.set(Tab::Meter);
    };
    view! {
        {fact(words::RED, harness.terminal_name(probes.red))}
        {fact(words::BLACK, black)}
        {fact(words::SETUP, meter_words::setup(harness, &probes.setup))}
        <div class="fact">
            <dt></dt>
            <dd>
                <button type="button" class="link" on:click=show>{words::SHOW_METER}</button>
            </dd>
        </div>
    }
    .into_any()
}

fn cautions(harness: &Harness, advised: &Advised) -> AnyView {
    let question = &advised.act.question;
    let opens = |soldering: bool| {
        advised.opens.iter().any(|(access, _)| match access {
            Access::Open(_) => !soldering,
            Access::Solder(_) => soldering,
            Access::Reach(_) | Access::Plugs(_) => false,
        })
    };
    let remade = matches!(
        question,
        Question::Remake(Element::Driver(..)) | Question::Swap(SwapPair::Transistors(..))
    );
    let inside = if opens(true) || remade {
        Inside::Solder
    } else if opens(false) {
        Inside::Open
    } else {
        Inside::No
    };
    let unit = |part| {
        let part = harness.parts.get(&part);
        part.is_some_and(|part| matches!(part.kind, PartKind::ControlUnit(_)))
    };
    let unplugged = probes_of(question).is_some_and(|probes| {
        let mut ends = [Some(probes.red), probes.black].into_iter().flatten();
        probes.setup.unplugged.iter().any(|part| unit(*part))
            || (matches!(question, Question::Resistance(_))
                && ends.any(|end| unit(end.part) && matches!(end.port, Port::Pin(_))))
    });
    let unplugged = if unplugged {
        UnitUnplugged::Yes
    } else {
        UnitUnplugged::No
    };
    let lines: Vec<AnyView> = words::cautions(&advised.act, inside, unplugged)
        .into_iter()
        .map(|words| view! { <p>{words}</p> }.into_any())
        .collect();
    if lines.is_empty() {
        return ().into_any();
    }
    view! {
        <div class="caution" role="note">
            <strong>{words::CAUTION}</strong>
            {lines}
        </div>
    }
    .into_any()
}

const fn probes_of(question: &Question) -> Option<&Probes> {
    match question {
        Question::Volts(probes)
        | Question::Resistance(probes)
        | Question::Drop(probes)
        | Question::Lamp(probes) => Some(probes),
        Question::Contribution(_)
        | Question::Spark(_)
        | Question::Look(_)
        | Question::Stress(..)
        | Question::Substitute(..)
        | Question::Swap(_)
        | Question::Clean(_)
        | Question::Remake(_)
        | Question::Code(_)
        | Question::AnyCode
        | Question::Compression(_) => None,
    }
}

fn enter(store: Store, question: &Question, answer: Answer) {
    let said = Said::new(question.clone(), answer).seen();
    let Some((seen, setup)) = said else {
        // Which code it was is for the form to ask.
        store.session.tab.set(Tab::Findings);
        return;
    };
    store.session.say(words::ENTERED, None);
    page::scroll_to_start(".side");
    store.change(Command::AddFinding {
        seen,
        setup,
        fault_then: FaultThen::Unknown,
        at: Some(clock::timestamp()),
        note: String::new(),
    });
}

/// From what was typed to an answer, or to what is wrong with it.
type Understands = fn(&str) -> Result<Answer, String>;

/// Buttons for what may come out, or a field for what was read.
fn answers(store: Store, advised: &Advised) -> AnyView {
    let question = StoredValue::new(advised.act.question.clone());
    let typed: Option<Understands> = match &advised.act.question {
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
        let buttons: Vec<AnyView> = advised
            .proposal
            .outcomes
            .iter()
            .map(|outcome| {
                let answer = outcome.answer;
                let put = move |_| question.with_value(|question| enter(store, question, answer));
                view! {
                    <button type="button" class="button" on:click=put>
                        {answer_words(answer)}
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
    let text = RwSignal::new(String::new());
    let trouble = RwSignal::new(None::<String>);
    let submit = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        match text.with_untracked(|text| read(text)) {
            Ok(answer) => question.with_value(|question| enter(store, question, answer)),
            Err(why) => trouble.set(Some(why)),
        }
    };
    let ohms = matches!(advised.act.question, Question::Resistance(_));
    let overload = ohms.then(|| {
        let put = move |_| question.with_value(|question| enter(store, question, Answer::Overload));
        view! { <button type="button" class="button" on:click=put>"OL"</button> }.into_any()
    });
    let label = if ohms {
        super::words::findings::OHMS
    } else {
        super::words::findings::VOLTS
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
                    {super::words::findings::ENTER}
                </button>
                {overload}
            </div>
            {wrong}
        </form>
    }
    .into_any()
}

/// For each outcome what would lead then; for each leading suspect what it predicts.
fn predictions(harness: &Harness, advised: &Advised, leaders: &[(Unit, f64)]) -> AnyView {
    let then: Vec<AnyView> = advised
        .proposal
        .outcomes
        .iter()
        .filter(|outcome| outcome.chance >= 0.01)
        .map(|outcome| {
            let leads = outcome
                .after
                .first()
                .map_or_else(String::new, |(unit, share)| {
                    words::leads_then(&unit.name(harness), *share)
                });
            view! {
                <li class="step">
                    <span>
                        {answer_words(outcome.answer)} ": "
                        <span class="faint small">{leads}</span>
                    </span>
                    <span class="num">{words::chance(outcome.chance)}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    let predicts: Vec<AnyView> = leaders
        .iter()
        .filter_map(|(unit, _)| {
            let best = advised
                .proposal
                .outcomes
                .iter()
                .filter_map(|outcome| {
                    let (_, chance) = outcome.by_leader.iter().find(|(u, _)| u == unit)?;
                    Some((outcome.answer, *chance))
                })
                .max_by(|a, b| a.1.total_cmp(&b.1))?;
            Some(
                view! {
                    <li class="step">
                        <span>{super::words::suspects::titled(&unit.name(harness))}</span>
                        <span class="num">
                            {format!("{} ({})", answer_words(best.0), words::chance(best.1))}
                        </span>
                    </li>
                }
                .into_any(),
            )
        })
        .collect();
    view! {
        <details class="predict" open>
            <summary><h3>{words::THEN}</h3></summary>
            <ul class="path">{then}</ul>
        </details>
        <details class="predict">
            <summary><h3>{words::PREDICT}</h3></summary>
            <ul class="path">{predicts}</ul>
        </details>
    }
    .into_any()
}

/// What the act is about, on the map.
fn picks(harness: &Harness, question: &Question) -> Vec<Pick> {
    let element = |element: Element| {
        if let Element::Driver(driver, _) = element {
            return vec![Pick::Element(element), Pick::Driver(driver)];
        }
        let mut found = vec![Pick::Element(element)];
        if let Element::Wire(wire) | Element::Joint(wire, WireEnd::From | WireEnd::To) = element {
            found.push(Pick::Wire(wire));
        }
        found.extend(harness.part_of(element).map(Pick::Part));
        found
    };
    match question {
        Question::Contribution(cylinder)
        | Question::Spark(cylinder)
        | Question::Compression(cylinder) => vec![Pick::Cylinder(*cylinder)],
        Question::Volts(probes)
        | Question::Resistance(probes)
        | Question::Drop(probes)
        | Question::Lamp(probes) => {
            let ends = [Some(probes.red), probes.black];
            let ends = ends.into_iter().flatten();
            ends.flat_map(|end| [Pick::Terminal(end), Pick::Part(end.part)])
                .collect()
        }
        Question::Look(about)
        | Question::Stress(about, _)
        | Question::Clean(about)
        | Question::Remake(about) => element(*about),
        Question::Substitute(part, _) => vec![Pick::Part(*part)],
        Question::Swap(SwapPair::Parts(a, b)) => vec![Pick::Part(*a), Pick::Part(*b)],
        Question::Swap(SwapPair::Transistors(a, b)) => vec![Pick::Driver(*a), Pick::Driver(*b)],
        Question::Code(_) | Question::AnyCode => Vec::new(),
    }
}
