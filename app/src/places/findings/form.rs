//! The plain form that adds a finding of any kind.

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Probes, Question};
use sparktrail_core::model::{Element, Harness, PartId, Setup, SwapPair, Terminal};

use super::super::entry::{self, Said};
use super::fields::{Among, Choice, Grouped, Typed};
use super::words::{self, Kind};
use crate::edge::clock;
use crate::store::Store;

/// What the form holds.
#[derive(Clone, Copy)]
struct Fields {
    kind: RwSignal<usize>,
    cylinder: RwSignal<Option<CylinderId>>,
    red: RwSignal<Option<Terminal>>,
    black: RwSignal<Option<Terminal>>,
    element: RwSignal<Option<Element>>,
    part: RwSignal<Option<PartId>>,
    other: RwSignal<Option<PartId>>,
    by: RwSignal<usize>,
    setup: RwSignal<usize>,
    outcome: RwSignal<usize>,
    then: RwSignal<usize>,
    text: RwSignal<String>,
}

impl Fields {
    fn of(store: Store) -> Self {
        Self {
            kind: RwSignal::new(0),
            cylinder: RwSignal::new(None),
            red: RwSignal::new(store.meter.at_red.get_untracked()),
            black: RwSignal::new(store.meter.at_black.get_untracked()),
            element: RwSignal::new(None),
            part: RwSignal::new(None),
            other: RwSignal::new(None),
            by: RwSignal::new(0),
            setup: RwSignal::new(0),
            outcome: RwSignal::new(0),
            then: RwSignal::new(0),
            text: RwSignal::new(String::new()),
        }
    }

    fn kind(self) -> Kind {
        Kind::ALL
            .get(self.kind.get_untracked())
            .copied()
            .unwrap_or(Kind::Resistance)
    }

    /// What is entered, or what is missing or cannot be.
    fn said(self) -> Result<Said, String> {
        let need = |field: &str| words::missing(field);
        let cylinder = || {
            self.cylinder
                .get_untracked()
                .ok_or_else(|| need(words::CYLINDER.said()))
        };
        let element = || {
            self.element
                .get_untracked()
                .ok_or_else(|| need(words::ELEMENT.said()))
        };
        let part = || {
            self.part
                .get_untracked()
                .ok_or_else(|| need(words::PART.said()))
        };
        let probes = |setup: Setup| -> Result<Probes, String> {
            let red = self
                .red
                .get_untracked()
                .ok_or_else(|| need(words::RED.said()))?;
            let black = self.black.get_untracked();
            let black = black.ok_or_else(|| need(words::BLACK.said()))?;
            if red == black {
                return Err(words::SAME_PLACE.into());
            }
            Ok(Probes {
                red,
                black: Some(black),
                setup,
            })
        };
        let setup = || {
            let [first, second] = words::setups().map(|(_, setup)| setup);
            if self.setup.get_untracked() == 0 {
                first
            } else {
                second
            }
        };
        let kind = self.kind();
        let outcome = || -> Result<Answer, String> {
            let outcomes = kind.outcomes();
            let place = self.outcome.get_untracked();
            let first = outcomes.get(place).or_else(|| outcomes.first());
            first.copied().ok_or_else(|| need(words::OUTCOME.said()))
        };
        let typed = self.text.get_untracked();
        Ok(match kind {
            Kind::Contribution => Said::new(Question::Contribution(cylinder()?), outcome()?),
            Kind::Spark => Said::new(Question::Spark(cylinder()?), outcome()?),
            Kind::Volts => Said::new(Question::Volts(probes(setup())?), entry::volts(&typed)?),
            Kind::Drop => Said::new(
                Question::Drop(probes(Setup::idling())?),
                entry::volts(&typed)?,
            ),
            Kind::Resistance => Said::new(
                Question::Resistance(probes(Setup::battery_off())?),
                entry::ohms(&typed)?,
            ),
            Kind::Lamp => Said::new(Question::Lamp(probes(setup())?), outcome()?),
            Kind::Look => Said::new(Question::Look(element()?), outcome()?),
            Kind::Stress => {
                let by = self.by.get_untracked();
                let by = words::STRESSES.get(by).copied();
                let by = by.ok_or_else(|| need(words::BY.said()))?;
                Said::new(Question::Stress(element()?, by), outcome()?)
            }
            Kind::Substituted => {
                let with = words::SUBSTITUTES.get(self.by.get_untracked());
                let (_, with) = with.ok_or_else(|| need(words::BY.said()))?;
                Said::new(Question::Substitute(part()?, *with), outcome()?)
            }
            Kind::Swapped => {
                let part = part()?;
                let other = self.other.get_untracked();
                let other = other.ok_or_else(|| need(words::OTHER.said()))?;
                if part == other {
                    return Err(words::SAME_PART.into());
                }
                Said::new(Question::Swap(SwapPair::Parts(part, other)), outcome()?)
            }
            Kind::Cleaned => Said::new(Question::Clean(element()?), outcome()?),
            Kind::Remade => Said::new(Question::Remake(element()?), outcome()?),
            Kind::Code => entry::code(outcome()?, &typed)?,
            Kind::Compression => Said::new(Question::Compression(cylinder()?), outcome()?),
        })
    }
}

/// The form.
#[component]
pub(super) fn Form(store: Store) -> impl IntoView {
    let fields = Fields::of(store);
    let trouble = RwSignal::new(None::<String>);
    let enter = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        match fields.said() {
            Ok(said) => {
                let fault_then = words::THENS
                    .get(fields.then.get_untracked())
                    .filter(|_| fields.kind().asks_then())
                    .map(|(_, then)| *then)
                    .unwrap_or_default();
                match said.seen() {
                    Some((seen, setup)) => {
                        trouble.set(None);
                        fields.text.set(String::new());
                        store.change(Command::AddFinding {
                            seen,
                            setup,
                            fault_then,
                            at: Some(clock::timestamp()),
                            note: String::new(),
                        });
                    }
                    None => trouble.set(Some(words::missing(words::OUTCOME.said()))),
                }
            }
            Err(why) => trouble.set(Some(why)),
        }
    };
    let names = Kind::ALL.map(|kind| kind.name().to_owned()).to_vec();
    let kind = Memo::new(move |_| {
        let place = fields.kind.get();
        fields.by.set(0);
        fields.outcome.set(0);
        trouble.set(None);
        Kind::ALL.get(place).copied().unwrap_or(Kind::Resistance)
    });
    let body = move || {
        let kind = kind.get();
        store
            .harness
            .with_untracked(|harness| fields_of(harness, fields, kind))
    };
    let wrong = move || {
        let words = trouble.get()?;
        Some(view! { <p class="alarm" role="alert">{words}</p> }.into_any())
    };
    view! {
        <details class="card add">
            <summary><h2>{words::ADD}</h2></summary>
            <form class="add-form" on:submit=enter>
                <Among label=words::KIND.said() names chosen=fields.kind />
                {body}
                {wrong}
                <button type="submit" class="button" data-weight="strong">{words::ENTER}</button>
            </form>
        </details>
    }
    .into_any()
}

fn fields_of(harness: &Harness, fields: Fields, kind: Kind) -> Vec<AnyView> {
    let cylinder = || {
        let all = harness.engine.cylinders();
        let entries = all.into_iter().map(|c| (c, c.to_string())).collect();
        let groups = vec![(String::new(), entries)];
        view! { <Choice label=words::CYLINDER.said() groups chosen=fields.cylinder /> }.into_any()
    };
    let element = || {
        let groups = elements(harness);
        view! { <Choice label=words::ELEMENT.said() groups chosen=fields.element /> }.into_any()
    };
    let terminal = |label, chosen| {
        let groups = terminals(harness);
        view! { <Choice label groups chosen /> }.into_any()
    };
    let part = |label, chosen| {
        let groups = parts(harness);
        view! { <Choice label groups chosen /> }.into_any()
    };
    let setup = || {
        let names = words::setups().map(|(name, _)| name.to_owned()).to_vec();
        view! { <Among label=words::SETUP.said() names chosen=fields.setup /> }.into_any()
    };
    let among =
        |label, names: Vec<String>, chosen| view! { <Among label names chosen /> }.into_any();
    let typed = |label| view! { <Typed label text=fields.text /> }.into_any();
    let mut list = match kind {
        Kind::Contribution | Kind::Spark | Kind::Compression => vec![cylinder()],
        Kind::Volts => vec![
            terminal(words::RED.said(), fields.red),
            terminal(words::BLACK.said(), fields.black),
            setup(),
            typed(words::VOLTS.said()),
        ],
        Kind::Drop => vec![
            terminal(words::RED.said(), fields.red),
            terminal(words::BLACK.said(), fields.black),
            typed(words::VOLTS.said()),
        ],
        Kind::Resistance => vec![
            terminal(words::RED.said(), fields.red),
            terminal(words::BLACK.said(), fields.black),
            typed(words::OHMS.said()),
        ],
        Kind::Lamp => vec![
            terminal(words::RED.said(), fields.red),
            terminal(words::BLACK.said(), fields.black),
            setup(),
        ],
        Kind::Look | Kind::Cleaned | Kind::Remade => vec![element()],
        Kind::Stress => {
            let ways = words::STRESSES.map(|by| words::stressed(by).to_owned());
            vec![element(), among(words::BY.said(), ways.to_vec(), fields.by)]
        }
        Kind::Substituted => {
            let ways = words::SUBSTITUTES.map(|(name, _)| name.to_owned());
            vec![
                part(words::PART.said(), fields.part),
                among(words::OTHER.said(), ways.to_vec(), fields.by),
            ]
        }
        Kind::Swapped => vec![
            part(words::PART.said(), fields.part),
            part(words::OTHER.said(), fields.other),
        ],
        Kind::Code => vec![typed(words::CODE.said())],
    };
    let outcomes: Vec<String> = kind.outcomes().into_iter().map(words::answer).collect();
    if !outcomes.is_empty() {
        list.push(among(words::OUTCOME.said(), outcomes, fields.outcome));
    }
    if kind.asks_then() {
        let names = words::THENS.map(|(name, _)| name.to_owned()).to_vec();
        list.push(among(words::THEN.said(), names, fields.then));
    }
    list
}

fn terminals(harness: &Harness) -> Grouped<Terminal> {
    let of = |part: PartId| -> Vec<(Terminal, String)> {
        let all = harness.terminals_of(part);
        let named = all.into_iter().map(|t| (t, harness.terminal_name(t)));
        named.collect()
    };
    harness
        .parts
        .iter()
        .map(|(&id, part)| (part.name.clone(), of(id)))
        .filter(|(_, entries)| !entries.is_empty())
        .collect()
}

fn elements(harness: &Harness) -> Grouped<Element> {
    let mut groups: Grouped<Element> = Vec::new();
    for element in harness.elements() {
        let heading = harness
            .part_of(element)
            .map_or_else(String::new, |part| harness.part_name(part).to_owned());
        let entry = (element, harness.element_name(element));
        match groups.iter_mut().find(|(known, _)| *known == heading) {
            Some((_, entries)) => entries.push(entry),
            None => groups.push((heading, vec![entry])),
        }
    }
    groups
}

fn parts(harness: &Harness) -> Grouped<PartId> {
    let all = harness.parts.iter();
    let entries = all.map(|(&id, part)| (id, part.name.clone())).collect();
    vec![(String::new(), entries)]
}
