//! The best thing to do now, as a card: what, where, how long, what comes off, what to mind, what it would mean.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::isolation::{Access, Answer, Kit, Probes, Question, Stop, Tool, Unit};
use sparktrail_core::model::{Element, Harness, PartKind, Port, SwapPair, WireEnd, Works};
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::Kind;

use super::closing::{Stands, case_card, is_open};
use super::entry::{self, Said, to_findings};
use super::words::findings::answer as answer_words;
use super::words::meter::{self as meter_words, UnitUnplugged};
use super::words::next::{self as words, Inside};
use super::words::walk::WALK_ME;
use crate::edge::{clock, page};
use crate::store::{
    Advice, Advised, LeadColour, Planned, Reckoned, Store, Tab, Verdict, cylinders_said,
};
use crate::ui::{caution, fact};

/// The panel.
#[component]
pub(super) fn NextPanel(store: Store) -> impl IntoView {
    let chosen = RwSignal::new(0_usize);
    let then = RwSignal::new(usual_then(store));
    // A new plan begins with its best act.
    Effect::new(move |_| {
        store.isolation.planned.track();
        chosen.set(0);
    });
    let searching = Memo::new(move |_| is_open(store));
    let body = move || match (
        store.isolation.reckoned.get(),
        store.isolation.planned.get(),
    ) {
        // The tests are about a fault that is mended.
        (_, _) if !searching.get() => ().into_any(),
        (Reckoned::NothingFits(_), _) => {
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
            told(store, &verdict, &advice, chosen, then)
        }
    };
    on_cleanup(move || store.session.lit.set(None));
    let tools = tools(store);
    view! {
        <div class="panel next">
            {move || (!searching.get()).then(|| case_card(store, Stands::Next))}
            {body}
            {move || searching.get().then(|| case_card(store, Stands::Next))}
            {tools}
        </div>
    }
    .into_any()
}

/// Whether the fault is there now, as far as is known without asking: a cylinder that is dead for good
/// stays dead while someone measures.
fn usual_then(store: Store) -> usize {
    let wavers = store.harness.with_untracked(|harness| {
        cylinders_said(harness.findings_now())
            .into_values()
            .any(|works| works == Works::Sometimes)
    });
    usize::from(wavers)
}

/// The owner's tools and skills: a tap adds or takes away.
fn tools(store: Store) -> AnyView {
    let kit = store.isolation.kit;
    let boxes: Vec<AnyView> = Tool::ALL
        .into_iter()
        .map(|tool| {
            let turn = move |_| {
                kit.update(|kit| {
                    *kit = if kit.has(tool) {
                        kit.without(tool)
                    } else {
                        kit.with(tool)
                    };
                });
            };
            view! {
                <label class="switch">
                    <input type="checkbox" prop:checked=move || kit.get().has(tool) on:change=turn />
                    <span>{words::tool(tool)}</span>
                </label>
            }
            .into_any()
        })
        .collect();
    view! {
        <details class="card kit">
            <summary><h3>{words::TOOLS}</h3></summary>
            <p class="faint small">{words::TOOLS_HINT}</p>
            {boxes}
        </details>
    }
    .into_any()
}

fn told(
    store: Store,
    verdict: &Verdict,
    advice: &Arc<Advice>,
    chosen: RwSignal<usize>,
    then: RwSignal<usize>,
) -> AnyView {
    let harness = store.harness.get_untracked();
    let kit = store.isolation.kit.get_untracked();
    let again = verdict.retake.first().and_then(|id| {
        let finding = harness.findings.iter().find(|found| found.id == *id)?;
        let words = super::words::suspects::contradicts(&super::words::findings::sentence(
            &harness, finding,
        ));
        Some(view! { <p class="alarm" role="status">{words}</p> }.into_any())
    });
    let nothing_yet = (verdict.evidence == 0).then(|| {
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
    let repairs = (advice.stop != Stop::GoOn).then(|| repairs(&harness, advice, kit));
    let mend = matches!(advice.stop, Stop::Mend(_));
    let card = {
        let advice = Arc::clone(advice);
        move || {
            let advised = advice.acts.get(chosen.get())?.clone();
            let harness = store.harness.get_untracked();
            let eyebrow = if mend && chosen.get() == 0 {
                words::MEND_THIS.said()
            } else {
                words::DO_THIS.said()
            };
            Some(act_card(
                store,
                &harness,
                &advised,
                &advice.leaders,
                eyebrow,
                then,
            ))
        }
    };
    let others = others(&harness, advice, chosen);
    view! {
        {nothing_yet}
        {again}
        {stop}
        {repairs}
        {card}
        {others}
    }
    .into_any()
}

fn repairs(harness: &Harness, advice: &Advice, kit: Kit) -> AnyView {
    let solders = kit.has(Tool::BoardSoldering);
    let mut first_for_a_specialist = None;
    let rows: Vec<AnyView> = advice
        .repairs
        .iter()
        .take(6)
        .map(|(unit, share)| {
            let name = unit.name(harness);
            let other_hands = unit.is_on_a_board() && !solders;
            if other_hands && first_for_a_specialist.is_none() {
                first_for_a_specialist = Some(words::specialist(&name));
            }
            let who = other_hands
                .then(|| view! { <span class="tag">{words::FOR_A_SPECIALIST}</span> }.into_any());
            view! {
                <li class="step">
                    <span>{super::words::suspects::titled(&name)} " " {who}</span>
                    <span class="num">{words::chance(*share)}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    let tell = first_for_a_specialist.map(|words| view! { <p>{words}</p> }.into_any());
    view! {
        <section class="card">
            <h3>{words::REPAIRS}</h3>
            <ol class="path">{rows}</ol>
            {tell}
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
    eyebrow: &'static str,
    then: RwSignal<usize>,
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
    let leads = act
        .question
        .probes()
        .map(|probes| leads(store, harness, probes));
    let cautions = cautions(harness, advised);
    view! {
        <section class="card act">
            <p class="eyebrow">{eyebrow}</p>
            <h2>{words::act(harness, act)}</h2>
            <dl class="facts">
                {leads}
                {fact(words::TIME.said(), words::minutes(advised.proposal.price))}
                {fact(words::FIRST.said(), first)}
            </dl>
            {cautions}
            {super::walk_offers::begin(store, Kind::of(&act.question), WALK_ME.to_owned())}
            {shows_now(&act.question, then)}
            {answers(store, advised, then)}
            {predictions(harness, advised, leaders)}
        </section>
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
        {fact(words::RED.said(), harness.terminal_name(probes.red))}
        {fact(words::BLACK.said(), black)}
        {fact(words::SETUP.said(), meter_words::setup(harness, &probes.setup))}
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
    let unplugged = question.probes().is_some_and(|probes| {
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
    caution(
        words::CAUTION.said(),
        words::cautions(&advised.act, inside, unplugged),
    )
}

/// One tap that says whether the fault is there now, where that bears on the answer.
fn shows_now(question: &Question, then: RwSignal<usize>) -> AnyView {
    if !question.can_be_passed_while_away() {
        return ().into_any();
    }
    let buttons: Vec<AnyView> = words::THENS
        .iter()
        .enumerate()
        .map(|(place, (word, _))| {
            view! {
                <button
                    type="button"
                    class="button"
                    aria-pressed=move || if then.get() == place { "true" } else { "false" }
                    on:click=move |_| then.set(place)
                >
                    {*word}
                </button>
            }
            .into_any()
        })
        .collect();
    view! {
        <h3>{words::THEN_NOW}</h3>
        <div class="way-row then-now" role="group" aria-label=words::THEN_NOW>{buttons}</div>
        <p class="faint small">{words::AWAY_HINT}</p>
    }
    .into_any()
}

fn enter(store: Store, question: &Question, answer: Answer, then: RwSignal<usize>) {
    let fault_then = words::THENS
        .get(then.get_untracked())
        .filter(|_| question.can_be_passed_while_away())
        .map(|(_, then)| *then)
        .unwrap_or_default();
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
        fault_then,
        at: Some(clock::timestamp()),
        note: String::new(),
    });
}

/// From what was typed to an answer, or to what is wrong with it.
type Understands = fn(&str) -> Result<Answer, String>;

/// Buttons for what may come out, or a field for what was read.
fn answers(store: Store, advised: &Advised, then: RwSignal<usize>) -> AnyView {
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
                let put =
                    move |_| question.with_value(|question| enter(store, question, answer, then));
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
            Ok(answer) => question.with_value(|question| enter(store, question, answer, then)),
            Err(why) => trouble.set(Some(why)),
        }
    };
    let ohms = matches!(advised.act.question, Question::Resistance(_));
    let overload = ohms.then(|| {
        let put =
            move |_| question.with_value(|question| enter(store, question, Answer::Overload, then));
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
