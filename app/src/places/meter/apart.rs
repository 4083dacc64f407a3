//! Where to put the leads to tell two cases apart: a healthy harness and a fault, or two faults.

use leptos::prelude::*;
use sparktrail_core::faults::{Apart, Fault, best, modes_of, tell_apart_in, usual_setups};
use sparktrail_core::model::{Harness, PartKind, Setup};
use sparktrail_core::topology::Pick;

use super::super::facts;
use super::super::words::faults::{Say, within};
use super::super::words::meter as words;
use crate::edge::{events, timer};
use crate::store::{LeadColour, Store};

/// Lines that the card lists.
const MOST: usize = 6;

/// The card.
#[component]
pub(super) fn TellApart(store: Store) -> impl IntoView {
    let open = RwSignal::new(false);
    let body = move || open.get().then(|| view! { <Body store /> }.into_any());
    view! {
        <details class="card" data-card="apart" on:toggle=move |_| open.set(true)>
            <summary><h3>{words::APART}</h3></summary>
            {body}
        </details>
    }
    .into_any()
}

#[component]
fn Body(store: Store) -> impl IntoView {
    let first = RwSignal::new(None::<Fault>);
    let second = RwSignal::new(store.session.broken.get_untracked());
    // What is broken on the map is the second case until another is chosen here.
    Effect::watch(
        move || store.session.broken.get(),
        move |broken, _, _| {
            if broken.is_some() {
                second.set(*broken);
            }
        },
        false,
    );
    let found = search(store, first, second);
    view! {
        <p class="faint">{words::APART_LEAD}</p>
        <CaseChoice store case=first name=words::FIRST.said() />
        <CaseChoice store case=second name=words::SECOND.said() />
        <List store found cases=[first, second] />
    }
    .into_any()
}

/// Where a fault can be: what can be picked, with its name.
fn owners(harness: &Harness) -> Vec<(Pick, String)> {
    let parts = harness
        .parts
        .iter()
        .filter(|(_, part)| !matches!(part.kind, PartKind::Pack))
        .map(|(&id, _)| Pick::Part(id));
    let wires = harness.wires.keys().map(|&id| Pick::Wire(id));
    parts
        .chain(wires)
        .map(|pick| (pick, facts::name(harness, pick)))
        .collect()
}

/// The faults of what was picked, with their names.
fn faults(store: Store, harness: &Harness, owner: Pick) -> Vec<(Fault, String)> {
    let name = facts::name(harness, owner);
    let elements = store.derived.elements_at(harness, owner);
    elements
        .into_iter()
        .flat_map(|element| {
            modes_of(harness, element)
                .into_iter()
                .map(move |mode| Fault::new(element, mode))
        })
        .map(|fault| {
            let element = within(&harness.element_name(fault.element), &name);
            (
                fault,
                format!("{element}: {}", Say(harness).mode(fault.mode)),
            )
        })
        .collect()
}

/// Two lists: where, and what.
#[component]
fn CaseChoice(store: Store, case: RwSignal<Option<Fault>>, name: &'static str) -> impl IntoView {
    let owner = RwSignal::new(None::<Pick>);
    let harness = store.harness;
    // A case that was set from elsewhere shows where it is.
    Effect::new(move |_| {
        let Some(fault) = case.get() else { return };
        let holds = |pick: Pick| {
            harness.with_untracked(|harness| {
                faults(store, harness, pick)
                    .iter()
                    .any(|(other, _)| *other == fault)
            })
        };
        if owner.get_untracked().is_none_or(|pick| !holds(pick)) {
            let all = harness.with_untracked(|harness| owners(harness));
            owner.set(
                all.into_iter()
                    .map(|(pick, _)| pick)
                    .find(|pick| holds(*pick)),
            );
        }
    });
    let all = Memo::new(move |_| harness.with(|harness| owners(harness)));
    let wheres = move || {
        let mut options = vec![
            view! { <option prop:selected=move || owner.get().is_none()>{words::NOTHING_BROKEN}</option> }
                .into_any(),
        ];
        options.extend(all.get().into_iter().map(|(pick, name)| {
            view! { <option prop:selected=move || owner.get() == Some(pick)>{name}</option> }
                .into_any()
        }));
        options
    };
    let choose_where = move |event: leptos::ev::Event| {
        let Some(place) = events::chosen(&event) else {
            return;
        };
        let pick = place
            .checked_sub(1)
            .and_then(|place| all.with(|all| all.get(place).map(|(pick, _)| *pick)));
        owner.set(pick);
        let first = pick.and_then(|pick| {
            harness.with_untracked(|harness| faults(store, harness, pick).first().map(|(f, _)| *f))
        });
        case.set(first);
    };
    let whats = move || {
        let pick = owner.get()?;
        let list = harness.with(|harness| faults(store, harness, pick));
        let all: Vec<Fault> = list.iter().map(|(fault, _)| *fault).collect();
        let options: Vec<AnyView> = list
            .into_iter()
            .map(|(fault, name)| {
                view! { <option prop:selected=move || case.get() == Some(fault)>{name}</option> }
                    .into_any()
            })
            .collect();
        let choose = move |event: leptos::ev::Event| {
            let chosen = events::chosen(&event).and_then(|place| all.get(place).copied());
            if chosen.is_some() {
                case.set(chosen);
            }
        };
        Some(
            view! {
                <select aria-label=format!("{name}: {}", words::WHAT) on:change=choose>
                    {options}
                </select>
            }
            .into_any(),
        )
    };
    view! {
        <div class="field case">
            <span>{name}</span>
            <select aria-label=format!("{name}: {}", words::WHERE) on:change=choose_where>
                {wheres}
            </select>
            {whats}
        </div>
    }
    .into_any()
}

/// How far the search has come.
#[derive(Debug, Clone, PartialEq)]
enum Found {
    /// The two cases are one.
    Same,
    /// It runs.
    Looking,
    /// These are the best.
    Best(Vec<Apart>),
}

/// Looks through one setup after the other, a slice each.
fn search(
    store: Store,
    first: RwSignal<Option<Fault>>,
    second: RwSignal<Option<Fault>>,
) -> RwSignal<Found> {
    let found = RwSignal::new(Found::Same);
    let turn = StoredValue::new(0_u32);
    Effect::new(move |_| {
        turn.update_value(|turn| *turn = turn.wrapping_add(1));
        let cases = [first.get(), second.get()];
        let harness = store.told.get();
        let circuit = store.meter.circuit.get();
        let (Some(circuit), true) = (circuit, cases[0] != cases[1]) else {
            found.set(Found::Same);
            return;
        };
        found.set(Found::Looking);
        let mine = turn.get_value();
        let mut setups = usual_setups(&harness);
        setups.reverse();
        let slice = move |setups: &mut Vec<Setup>| {
            let setup = setups.pop()?;
            Some(tell_apart_in(&harness, &circuit, cases, &setup))
        };
        let rank = move |all| {
            store
                .harness
                .with_untracked(|harness| best(harness, all, MOST))
        };
        timer::soon(move || go_on(setups, Vec::new(), slice, rank, (turn, mine), found));
    });
    found
}

fn go_on(
    mut setups: Vec<Setup>,
    mut all: Vec<Apart>,
    slice: impl Fn(&mut Vec<Setup>) -> Option<Vec<Apart>> + 'static,
    rank: impl FnOnce(Vec<Apart>) -> Vec<Apart> + 'static,
    (turn, mine): (StoredValue<u32>, u32),
    found: RwSignal<Found>,
) {
    if turn.try_get_value() != Some(mine) {
        return;
    }
    if let Some(more) = slice(&mut setups) {
        all.extend(more);
        timer::soon(move || go_on(setups, all, slice, rank, (turn, mine), found));
    } else {
        found.try_set(Found::Best(rank(all)));
    }
}

#[component]
fn List(
    store: Store,
    found: RwSignal<Found>,
    cases: [RwSignal<Option<Fault>>; 2],
) -> impl IntoView {
    move || {
        let list = match found.get() {
            Found::Same => return view! { <p class="faint">{words::APART_SAME}</p> }.into_any(),
            Found::Looking => {
                return view! { <p class="faint" role="status">{words::APART_LOOKING}</p> }
                    .into_any();
            }
            Found::Best(list) => list,
        };
        if list.is_empty() {
            return view! { <p>{words::APART_NONE}</p> }.into_any();
        }
        let harness = store.harness.get_untracked();
        let names = cases.map(|case| {
            case.get_untracked().map_or_else(
                || words::NOTHING_BROKEN.to_owned(),
                |fault| Say(&harness).mode(fault.mode),
            )
        });
        let rows: Vec<AnyView> = list
            .into_iter()
            .map(|apart| row(store, &harness, &names, apart))
            .collect();
        view! { <ol class="aparts">{rows}</ol> }.into_any()
    }
}

fn row(store: Store, harness: &Harness, names: &[String; 2], apart: Apart) -> AnyView {
    let (red, black) = words::places(harness, apart.red, apart.black);
    let setup = words::setup(harness, &apart.setup);
    let widths = words::widths(apart.widths);
    let readings: Vec<AnyView> = names
        .iter()
        .zip([apart.first, apart.second])
        .map(|(name, shown)| {
            view! {
                <div class="step">
                    <dt>{name.clone()}</dt>
                    <dd class="num"><strong>{words::measure(shown.value)}</strong></dd>
                </div>
            }
            .into_any()
        })
        .collect();
    let go = move |_| {
        store.meter.setup.set(apart.setup.clone());
        store.meter.put(LeadColour::Red, apart.red);
        store.meter.put(LeadColour::Black, apart.black);
    };
    view! {
        <li class="apart">
            <p class="eyebrow">{setup}</p>
            <p class="apart-at">
                <span class="lead-badge" data-lead="red" aria-hidden="true">"R"</span>
                <span>{red}</span>
            </p>
            <p class="apart-at">
                <span class="lead-badge" data-lead="black" aria-hidden="true">"B"</span>
                <span>{black}</span>
            </p>
            <dl>{readings}</dl>
            <p class="faint small">{widths}</p>
            <button type="button" class="button way" on:click=go>{words::APART_GO}</button>
        </li>
    }
    .into_any()
}
