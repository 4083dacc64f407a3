//! The plain form that adds a finding of any kind, or changes one that was entered.

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Probes, Question};
use sparktrail_core::model::{
    Effect, Element, FaultThen, Finding, Harness, PartId, Seen, Setup, SwapPair, Terminal,
};

use super::super::entry::{self, Said};
use super::fields::{Among, Choice, Grouped, Typed};
use super::words::{self, Kind};
use crate::edge::clock;
use crate::store::{FindingDraft, Store};

/// What the form holds.
#[derive(Clone, Copy)]
struct Fields {
    /// The finding that is changed; `None` where one is added.
    own: StoredValue<Option<Finding>>,
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
    fn empty(own: Option<Finding>) -> Self {
        Self {
            own: StoredValue::new(own),
            kind: RwSignal::new(0),
            cylinder: RwSignal::new(None),
            red: RwSignal::new(None),
            black: RwSignal::new(None),
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

    /// A new finding, as far as it was begun; leads that the meter has moved since are where the meter's are.
    fn begun(store: Store, draft: FindingDraft) -> Self {
        let fields = Self::empty(None);
        let meter = leads_of_meter(store);
        let moved = meter != draft.meter;
        let [red, black] = if moved { meter } else { draft.leads };
        fields.red.set(red);
        fields.black.set(black);
        let [part, other] = draft.parts;
        fields.part.set(part);
        fields.other.set(other);
        fields.kind.set(draft.kind);
        fields.cylinder.set(draft.cylinder);
        fields.element.set(draft.element);
        fields.by.set(draft.by);
        fields.setup.set(draft.setup);
        fields.outcome.set(draft.outcome);
        fields.then.set(draft.then);
        fields.text.set(draft.text);
        fields
    }

    /// What was begun, to go on with later.
    fn draft(self, store: Store) -> FindingDraft {
        FindingDraft {
            kind: self.kind.get_untracked(),
            cylinder: self.cylinder.get_untracked(),
            leads: [self.red, self.black].map(|lead| lead.get_untracked()),
            meter: leads_of_meter(store),
            element: self.element.get_untracked(),
            parts: [self.part, self.other].map(|part| part.get_untracked()),
            by: self.by.get_untracked(),
            setup: self.setup.get_untracked(),
            outcome: self.outcome.get_untracked(),
            then: self.then.get_untracked(),
            text: self.text.get_untracked(),
        }
    }

    /// A finding as it was entered.
    fn of_finding(finding: &Finding) -> Self {
        let fields = Self::empty(Some(finding.clone()));
        let (question, answer) = Question::of(finding);
        let kind = Kind::of(&question);
        fields.kind.set(place_of(&Kind::ALL, &kind));
        fields.outcome.set(place_of(&kind.outcomes(), &answer));
        let then = words::THENS.map(|(_, then)| then);
        fields.then.set(place_of(&then, &finding.fault_then));
        fields.text.set(entry::typed(answer));
        if let Some(probes) = question.probes() {
            fields.red.set(Some(probes.red));
            fields.black.set(probes.black);
        }
        match question {
            Question::Contribution(cylinder)
            | Question::Spark(cylinder)
            | Question::Compression(cylinder) => fields.cylinder.set(Some(cylinder)),
            Question::Look(element) | Question::Clean(element) | Question::Remake(element) => {
                fields.element.set(Some(element));
            }
            Question::Stress(element, by) => {
                fields.element.set(Some(element));
                fields.by.set(place_of(&words::STRESSES, &by));
            }
            Question::Substitute(part, with) => {
                fields.part.set(Some(part));
                let all = words::SUBSTITUTES.map(|(_, with)| with);
                fields.by.set(place_of(&all, &with));
            }
            Question::Swap(SwapPair::Parts(part, other)) => {
                fields.part.set(Some(part));
                fields.other.set(Some(other));
            }
            Question::Code(code) => fields.text.set(code),
            Question::Swap(SwapPair::Transistors(..))
            | Question::AnyCode
            | Question::Volts(_)
            | Question::Resistance(_)
            | Question::Drop(_)
            | Question::Lamp(_) => {}
        }
        fields
    }

    fn kind(self) -> Kind {
        Kind::ALL
            .get(self.kind.get_untracked())
            .copied()
            .unwrap_or(Kind::Resistance)
    }

    /// The ways in which the car may have stood: those that are usual, and where a finding is changed the one
    /// that was entered, first.
    fn setups(self, kind: Kind) -> Vec<Setup> {
        let mut usual = words::setups(kind);
        let own = self.own.with_value(|own| {
            let (question, _) = Question::of(own.as_ref()?);
            Some(question.probes()?.setup.clone())
        });
        if let Some(own) = own {
            usual.retain(|setup| *setup != own);
            usual.insert(0, own);
        }
        usual
    }

    /// Whether the fault showed.
    fn fault_then(self) -> FaultThen {
        if !self.kind().asks_then() {
            let own = |own: &Option<Finding>| own.as_ref().map(|own| own.fault_then);
            return self.own.with_value(own).unwrap_or_default();
        }
        let chosen = words::THENS.get(self.then.get_untracked());
        chosen.map(|(_, then)| *then).unwrap_or_default()
    }

    /// The transistors that changed places: which they were is not to be chosen here.
    fn transistors(self) -> Option<SwapPair> {
        self.own.with_value(|own| {
            let pair = |what| matches!(what, SwapPair::Transistors(..)).then_some(what);
            if let Seen::Swapped { what, .. } = own.as_ref()?.seen {
                pair(what)
            } else {
                None
            }
        })
    }

    /// Whether the black lead of the finding that is changed touched nothing.
    fn had_no_black(self) -> bool {
        self.own.with_value(|own| {
            own.as_ref()
                .is_some_and(|own| matches!(own.seen, Seen::Volts { black: None, .. }))
        })
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
        let kind = self.kind();
        let probes = || -> Result<Probes, String> {
            let red = self
                .red
                .get_untracked()
                .ok_or_else(|| need(words::ends(kind)[0].said()))?;
            let black = self.black.get_untracked();
            if black.is_none() && !self.had_no_black() {
                return Err(need(words::ends(kind)[1].said()));
            }
            if Some(red) == black {
                return Err(words::SAME_PLACE.into());
            }
            let mut setups = self.setups(kind).into_iter();
            let setup = setups.nth(self.setup.get_untracked());
            let setup = setup.ok_or_else(|| need(words::SETUP.said()))?;
            Ok(Probes { red, black, setup })
        };
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
            Kind::Volts => Said::new(Question::Volts(probes()?), entry::volts(&typed)?),
            Kind::Drop => Said::new(Question::Drop(probes()?), entry::volts(&typed)?),
            Kind::Resistance => Said::new(Question::Resistance(probes()?), entry::ohms(&typed)?),
            Kind::Lamp => Said::new(Question::Lamp(probes()?), outcome()?),
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
            Kind::Swapped if let Some(pair) = self.transistors() => {
                Said::new(Question::Swap(pair), outcome()?)
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

/// Where the meter's leads are, red and black.
fn leads_of_meter(store: Store) -> [Option<Terminal>; 2] {
    [store.meter.at_red, store.meter.at_black].map(|lead| lead.get_untracked())
}

/// The form that adds a finding; left half-filled, it is found so.
#[component]
pub(super) fn Form(store: Store) -> impl IntoView {
    let kept = store.session.drafts.finding;
    let draft = kept.get_value();
    let open = RwSignal::new(draft.is_some());
    let fields = Fields::begun(store, draft.unwrap_or_default());
    on_cleanup(move || {
        let open = open.get_untracked();
        kept.set_value(open.then(|| fields.draft(store)));
    });
    let trouble = RwSignal::new(None::<String>);
    let enter = move |(seen, setup)| {
        fields.text.set(String::new());
        store.change(Command::AddFinding {
            seen,
            setup,
            fault_then: fields.fault_then(),
            at: Some(clock::timestamp()),
            note: String::new(),
        });
        entry::say_entered(store, words::ENTERED);
    };
    let names = Kind::ALL.map(|kind| kind.name().to_owned()).to_vec();
    let kind = Memo::new(move |before: Option<&Kind>| {
        let place = fields.kind.get();
        if before.is_some() {
            fields.by.set(0);
            fields.outcome.set(0);
            fields.setup.set(0);
            trouble.set(None);
        }
        Kind::ALL.get(place).copied().unwrap_or(Kind::Resistance)
    });
    let body = move || {
        let kind = kind.get();
        store
            .harness
            .with_untracked(|harness| fields_of(harness, fields, kind))
    };
    view! {
        <details
            class="card add"
            open=open.get_untracked()
            on:toggle:target=move |event| open.set(event.target().open())
        >
            <summary><h2>{words::ADD}</h2></summary>
            <form class="add-form" on:submit=move |event| submit(&event, fields, trouble, enter)>
                <Among label=words::KIND.said() names chosen=fields.kind />
                {body}
                {alarm(trouble)}
                <button type="submit" class="button" data-weight="strong">{words::ENTER}</button>
            </form>
        </details>
    }
    .into_any()
}

/// The form that changes a finding that was entered, under it in the list; done with, it clears `open`.
pub(super) fn change(store: Store, finding: &Finding, open: RwSignal<bool>) -> AnyView {
    let fields = Fields::of_finding(finding);
    let trouble = RwSignal::new(None::<String>);
    let before = fields.said().ok().and_then(Said::seen);
    let (id, was) = (finding.id, finding.fault_then);
    // Of what is no reading the form asks nothing about how the car stood.
    let stood = fields
        .setups(fields.kind())
        .is_empty()
        .then(|| finding.setup.clone())
        .flatten();
    let enter = move |(seen, setup): (Seen, Option<Setup>)| {
        let fault_then = fields.fault_then();
        let same = before == Some((seen.clone(), setup.clone())) && fault_then == was;
        open.set(false);
        if !same {
            store.change(Command::CorrectFinding {
                finding: id,
                seen,
                setup: setup.or(stood),
                fault_then,
            });
            entry::say_entered(store, words::CHANGED);
        }
    };
    let body = store
        .harness
        .with_untracked(|harness| fields_of(harness, fields, fields.kind()));
    view! {
        <form
            class="add-form"
            aria-label=words::CHANGE
            on:submit=move |event| submit(&event, fields, trouble, enter.clone())
        >
            {body}
            {alarm(trouble)}
            <div class="way-row">
                <button type="submit" class="button" data-weight="strong">
                    {words::CHANGE_DONE}
                </button>
                <button type="button" class="button" on:click=move |_| open.set(false)>
                    {words::LEAVE_IT}
                </button>
            </div>
        </form>
    }
    .into_any()
}

/// What is entered goes to `enter`; what cannot be is told.
fn submit(
    event: &leptos::ev::SubmitEvent,
    fields: Fields,
    trouble: RwSignal<Option<String>>,
    enter: impl FnOnce((Seen, Option<Setup>)),
) {
    event.prevent_default();
    let said = fields.said().and_then(|said| {
        let seen = said.seen();
        seen.ok_or_else(|| words::missing(words::OUTCOME.said()))
    });
    match said {
        Ok(seen) => {
            trouble.set(None);
            enter(seen);
        }
        Err(why) => trouble.set(Some(why)),
    }
}

fn alarm(trouble: RwSignal<Option<String>>) -> impl Fn() -> Option<AnyView> {
    move || {
        let words = trouble.get()?;
        Some(view! { <p class="alarm" role="alert">{words}</p> }.into_any())
    }
}

/// The place of a thing in a list; the first where it is not there.
fn place_of<T: PartialEq>(all: &[T], one: &T) -> usize {
    all.iter().position(|other| other == one).unwrap_or(0)
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
    let setups: Vec<String> = fields
        .setups(kind)
        .iter()
        .map(|setup| words::stands(harness, setup))
        .collect();
    let among =
        |label, names: Vec<String>, chosen| view! { <Among label names chosen /> }.into_any();
    let typed = |label| view! { <Typed label text=fields.text /> }.into_any();
    let leads = |read: Option<&'static str>| {
        let [red, black] = words::ends(kind);
        let mut list = vec![
            terminal(red.said(), fields.red),
            terminal(black.said(), fields.black),
        ];
        if setups.len() > 1 {
            list.push(among(words::SETUP.said(), setups, fields.setup));
        }
        list.extend(read.map(typed));
        list
    };
    let mut list = match kind {
        Kind::Contribution | Kind::Spark | Kind::Compression => vec![cylinder()],
        Kind::Volts | Kind::Drop => leads(Some(words::VOLTS.said())),
        Kind::Resistance => leads(Some(words::OHMS.said())),
        Kind::Lamp => leads(None),
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
        Kind::Swapped if fields.transistors().is_some() => Vec::new(),
        Kind::Swapped => vec![
            part(words::PART.said(), fields.part),
            part(words::OTHER.said(), fields.other),
        ],
        Kind::Code => vec![typed(words::CODE.said())],
    };
    let named = |answer| match (kind, answer) {
        (Kind::Stress, Answer::Effect(Effect::Changed)) => words::CAME.to_owned(),
        (_, answer) => words::answer(answer),
    };
    let outcomes: Vec<String> = kind.outcomes().into_iter().map(named).collect();
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
