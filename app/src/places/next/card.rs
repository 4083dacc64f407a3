//! One act as a card: where the leads go, how long it takes, what comes off, what to mind, what it would mean.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::isolation::{Access, Answer, Probes, Question, Stop, Unit};
use sparktrail_core::model::{Element, Harness, PartKind, Port, SwapPair, WireEnd};
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::Kind;

use super::super::words::findings::answer_to;
use super::super::words::meter::{self as meter_words, HighVoltage, UnitUnplugged};
use super::super::words::next::{self as words, Inside};
use super::super::words::walk::WALK_ME;
use super::answers::{answers, shows_now};
use crate::store::{Advice, Advised, LeadColour, Store, Tab};
use crate::text::Text;
use crate::ui::{by_place, caution, living_fact, named_fact};

/// The chosen act of a plan as a card; what it is about is lit on the map. The card stays on the page while the next
/// plan comes, and writes anew what differs.
pub(super) fn card(store: Store, chosen: RwSignal<usize>) -> AnyView {
    let picked = Picked { store, chosen };
    let question =
        Memo::new(move |_| picked.read(|_, _, advised| Some(advised.act.question.clone())));
    Effect::new(move |_| {
        let about = question.with(|question| {
            let question = question.as_ref()?;
            let of = |harness: &Arc<Harness>| picks(harness, question);
            Some(store.harness.with_untracked(of))
        });
        store.session.lit.set(about);
    });
    let eyebrow = move || {
        picked.read(|_, advice, _| {
            // The first of the plan, where it says to mend something.
            let mends = matches!(advice.stop, Stop::Mend(_)) && chosen.get() == 0;
            let words = match (mends, &advice.loose) {
                (true, _) => words::MEND_THIS,
                (false, None) => words::DO_THIS,
                (false, Some(_)) => words::OR_TEST,
            };
            words.said()
        })
    };
    let what = move || picked.read(|harness, _, advised| words::act(harness, &advised.act));
    let some = Memo::new(move |_| question.with(Option::is_some));
    let card = move || {
        view! {
            <section class="card act">
                <p class="eyebrow">{eyebrow}</p>
                <h2>{what}</h2>
                {facts(picked, question)}
                {cautions(picked)}
                {doing(picked, question)}
                {predictions(picked)}
            </section>
        }
        .into_any()
    };
    view! { {move || some.get().then(card)} }.into_any()
}

/// The act of the plan that was chosen.
#[derive(Debug, Clone, Copy)]
struct Picked {
    store: Store,
    /// Its place.
    chosen: RwSignal<usize>,
}

impl Picked {
    /// What is read off it, and the plan around it, once there is one. Tracked.
    fn read<T: Default>(self, of: impl FnOnce(&Harness, &Advice, &Advised) -> T) -> T {
        let place = self.chosen.get();
        super::read(self.store, |harness, advice| {
            let advised = advice.acts.get(place);
            advised.map_or_else(T::default, |advised| of(harness, advice, advised))
        })
    }
}

/// How the act is begun and what came of it.
fn doing(picked: Picked, question: Memo<Option<Question>>) -> AnyView {
    let store = picked.store;
    let kind = move || question.with_untracked(|question| question.as_ref().map(Kind::of));
    let answers = move || question.get().map(|question| came_of(picked, &question));
    view! {
        {super::super::walk_offers::begin_what(store, kind, WALK_ME.to_owned())}
        {shows_now(store, question)}
        {answers}
    }
    .into_any()
}

fn came_of(picked: Picked, question: &Question) -> AnyView {
    let outcomes = |_: &Harness, _: &Advice, advised: &Advised| {
        let outcomes = advised.proposal.outcomes.iter();
        outcomes
            .map(|outcome| outcome.answer)
            .collect::<Vec<Answer>>()
    };
    let outcomes = untrack(|| picked.read(outcomes));
    answers(picked.store, question, &outcomes)
}

/// Where the leads go, how long it takes, what comes off first.
fn facts(picked: Picked, question: Memo<Option<Question>>) -> AnyView {
    let measured = Memo::new(move |_| {
        question.with(|question| {
            question
                .as_ref()
                .is_some_and(|asked| asked.probes().is_some())
        })
    });
    let leads = move || measured.get().then(|| leads(picked.store, question));
    let minutes = move || picked.read(|_, _, advised| words::minutes(advised.proposal.price));
    let first = move || picked.read(opened_first);
    view! {
        <dl class="facts">
            {leads}
            {living_fact(words::TIME.said(), Signal::derive(minutes))}
            {living_fact(words::FIRST.said(), Signal::derive(first))}
        </dl>
    }
    .into_any()
}

fn opened_first(harness: &Harness, _: &Advice, advised: &Advised) -> String {
    let first: Vec<String> = advised
        .opens
        .iter()
        .map(|(access, _)| words::access(harness, *access))
        .collect();
    if first.is_empty() {
        words::NOTHING_FIRST.to_owned()
    } else {
        first.join(", ")
    }
}

fn leads(store: Store, question: Memo<Option<Question>>) -> AnyView {
    let read = move |what: fn(&Harness, &Probes) -> String| {
        Signal::derive(move || {
            question.with(|question| {
                let probes = question.as_ref().and_then(Question::probes);
                let said = |probes| {
                    store
                        .harness
                        .with_untracked(|harness| what(harness, probes))
                };
                probes.map(said).unwrap_or_default()
            })
        })
    };
    let red = read(|harness, probes| harness.terminal_name(probes.red));
    let black = read(|harness, probes| {
        let black = probes.black.map(|black| harness.terminal_name(black));
        black.unwrap_or_default()
    });
    let setup = read(|harness, probes| meter_words::setup(harness, &probes.setup));
    let show = move |_| {
        let question = question.get_untracked();
        let Some(at) = question.as_ref().and_then(Question::probes) else {
            return;
        };
        let meter = store.meter;
        meter.setup.set(at.setup.clone());
        meter.put(LeadColour::Red, at.red);
        if let Some(black) = at.black {
            meter.put(LeadColour::Black, black);
        }
        meter.in_hand.set(None);
        store.session.tab.set(Tab::Meter);
    };
    let is_lamp =
        Memo::new(move |_| question.with(|question| matches!(question, Some(Question::Lamp(_)))));
    let end = move |meter: Text, lamp: Text| {
        Signal::derive(move || if is_lamp.get() { lamp } else { meter }.said())
    };
    view! {
        {named_fact(end(words::RED, words::TIP), red)}
        {named_fact(end(words::BLACK, words::CLIP), black)}
        {living_fact(words::SETUP.said(), setup)}
        <div class="fact">
            <dt></dt>
            <dd>
                <button type="button" class="link" on:click=show>{words::SHOW_METER}</button>
            </dd>
        </div>
    }
    .into_any()
}

fn cautions(picked: Picked) -> AnyView {
    let lines = Memo::new(move |_| picked.read(|harness, _, advised| to_mind(harness, advised)));
    let card = move || caution(words::CAUTION.said(), lines.get());
    view! { {card} }.into_any()
}

fn to_mind(harness: &Harness, advised: &Advised) -> Vec<&'static str> {
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
    let leads = question
        .probes()
        .map(|probes| [Some(probes.red), probes.black]);
    let leads = leads.into_iter().flatten().flatten();
    words::cautions(
        &advised.act,
        inside,
        unplugged,
        HighVoltage::at(harness, leads),
    )
}

/// What a line foretells: what of, what follows, and how likely it is.
type Foretold = (String, String, String);

/// For each outcome what would lead then; for each leading suspect what it predicts.
fn predictions(picked: Picked) -> AnyView {
    let then = Memo::new(move |_| picked.read(|harness, _, advised| then(harness, advised)));
    let predicts = Memo::new(move |_| picked.read(predicts));
    view! {
        <details class="predict" open>
            <summary><h3>{words::THEN}</h3></summary>
            <ul class="path">{foretold(then)}</ul>
        </details>
        <details class="predict">
            <summary><h3>{words::PREDICT}</h3></summary>
            <ul class="path">{foretold(predicts)}</ul>
        </details>
    }
    .into_any()
}

fn foretold(all: Memo<Vec<Foretold>>) -> AnyView {
    let many = Memo::new(move |_| all.with(Vec::len));
    by_place(many.into(), move |place| {
        let part = move |part: fn(&Foretold) -> &String| {
            move || {
                all.with(|all| {
                    let part = all.get(place).map(part);
                    part.cloned().unwrap_or_default()
                })
            }
        };
        view! {
            <li class="step">
                <span>{part(|line| &line.0)} <span class="faint small">{part(|line| &line.1)}</span></span>
                <span class="num">{part(|line| &line.2)}</span>
            </li>
        }
        .into_any()
    })
}

fn then(harness: &Harness, advised: &Advised) -> Vec<Foretold> {
    let outcomes = advised.proposal.outcomes.iter();
    outcomes
        .filter(|outcome| outcome.chance >= 0.01)
        .map(|outcome| {
            let leads =
                |(unit, share): &(Unit, f64)| words::leads_then(&unit.name(harness), *share);
            let answer = answer_to(&advised.act.question, outcome.answer);
            (
                format!("{answer}: "),
                outcome.after.first().map(leads).unwrap_or_default(),
                words::chance(outcome.chance),
            )
        })
        .collect()
}

fn predicts(harness: &Harness, advice: &Advice, advised: &Advised) -> Vec<Foretold> {
    let of = |(unit, _): &(Unit, f64)| {
        let best = advised
            .proposal
            .outcomes
            .iter()
            .filter_map(|outcome| {
                let (_, chance) = outcome.by_leader.iter().find(|(u, _)| u == unit)?;
                Some((outcome.answer, *chance))
            })
            .max_by(|a, b| a.1.total_cmp(&b.1))?;
        let answer = answer_to(&advised.act.question, best.0);
        Some((
            super::super::words::suspects::titled(&unit.name(harness)),
            String::new(),
            format!("{answer} ({})", words::chance(best.1)),
        ))
    };
    advice.leaders.iter().filter_map(of).collect()
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
