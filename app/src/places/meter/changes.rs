//! How the meter would read with a fault, and which faults would change the reading.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::electrics::{OperatingPoint, Solution};
use sparktrail_core::faults::{
    Alike, Fault, Mode, Shift, Shown, alike, all_faults, alteration, severities, shifts,
};
use sparktrail_core::model::{Harness, Terminal};

use super::super::words::faults::Say;
use super::super::words::meter as words;
use crate::edge::{clock, timer};
use crate::store::Store;

/// Groups of faults that the card lists, and faults in each.
const GROUPS: usize = 10;
const IN_GROUP: usize = 40;
/// Milliseconds that one slice of the search may take.
const SLICE_MS: f64 = 8.0;
/// Faults tried between two looks at the clock.
const AT_ONCE: usize = 24;

/// The reading with what is broken for trying, and the list of faults that would change it.
#[component]
pub(super) fn WithFault(store: Store) -> impl IntoView {
    let found = search(store);
    let nothing = move || store.meter.reading.with(Option::is_none);
    move || {
        (!nothing()).then(|| {
            view! {
                <section class="card" data-card="fault">
                    <h3>{words::WITH_FAULT}</h3>
                    <Chosen store />
                    <Groups store found />
                </section>
            }
            .into_any()
        })
    }
}

/// The reading with what is broken for trying.
#[component]
fn Chosen(store: Store) -> impl IntoView {
    let (meter, broken) = (store.meter, store.session.broken);
    move || {
        let fault = broken.get()?;
        let (Some(Ok(healthy)), Some(Ok(with))) = (meter.reading.get(), meter.faulty_reading.get())
        else {
            return None;
        };
        let harness = store.told.get();
        let name = fault_name(&harness, fault);
        Some(
            view! {
                <div class="reading" aria-live="polite">
                    <p class="eyebrow">{name}</p>
                    <p class="figure num" data-reading="faulty">{words::measure(with.value)}</p>
                    <p class="num">{words::beside(&healthy, &with)}</p>
                    {other_severities(store, &harness, fault)}
                    <button
                        type="button"
                        class="button way"
                        on:click=move |_| broken.set(None)
                    >
                        {words::MEND}
                    </button>
                </div>
            }
            .into_any(),
        )
    }
}

fn fault_name(harness: &Harness, Fault { element, mode }: Fault) -> String {
    let severity = mode
        .ohms()
        .filter(|_| !matches!(mode, Mode::HighResistance(_)))
        .map_or_else(String::new, |ohms| {
            format!(" ({})", words::ohms(ohms.get()))
        });
    format!(
        "{}: {}{severity}",
        harness.element_name(element),
        Say(harness).mode(mode)
    )
}

/// The same fault, milder and worse.
fn other_severities(store: Store, harness: &Harness, fault: Fault) -> Option<AnyView> {
    let modes = severities(fault.element, fault.mode);
    if modes.len() < 2 {
        return None;
    }
    let meter = store.meter;
    let (red, black) = meter.at_red.get().zip(meter.at_black.get())?;
    let (circuit, setup) = (meter.circuit.get()?, meter.setup.get());
    let rows: Vec<AnyView> = modes
        .into_iter()
        .filter_map(|mode| {
            let fault = Fault::new(fault.element, mode);
            let change = alteration(harness, &circuit, fault);
            let (value, _) = Solution::of(&circuit, &setup, &change)
                .shows(red, black)
                .ok()?;
            let severity = mode
                .ohms()
                .map_or_else(|| Say(harness).mode(mode), |ohms| words::ohms(ohms.get()));
            Some(
                view! {
                    <li class="step">
                        <span class="num">{severity}</span>
                        <span class="num">{words::measure(value)}</span>
                    </li>
                }
                .into_any(),
            )
        })
        .collect();
    Some(
        view! {
            <details>
                <summary>{words::SEVERITIES}</summary>
                <ul class="path">{rows}</ul>
            </details>
        }
        .into_any(),
    )
}

/// How far the search has come.
#[derive(Debug, Clone, PartialEq)]
enum Found {
    /// It runs.
    Looking,
    /// These are all.
    All(Vec<Alike>),
}

#[component]
fn Groups(store: Store, found: RwSignal<Found>) -> impl IntoView {
    move || {
        let groups = match found.get() {
            Found::Looking => {
                return view! { <p class="faint" role="status">{words::LOOKING}</p> }.into_any();
            }
            Found::All(groups) => groups,
        };
        if groups.is_empty() {
            return view! { <p class="faint">{words::NO_FAULT}</p> }.into_any();
        }
        let harness = store.harness.get_untracked();
        let rows: Vec<AnyView> = groups
            .into_iter()
            .take(GROUPS)
            .map(|group| group_row(store, &harness, group))
            .collect();
        view! {
            <p class="faint">{words::FAULT_HINT}</p>
            <div class="groups">{rows}</div>
        }
        .into_any()
    }
}

fn group_row(store: Store, harness: &Arc<Harness>, group: Alike) -> AnyView {
    let harness = Arc::clone(harness);
    let Some(&first) = group.faults.first() else {
        return ().into_any();
    };
    let reading = words::measure(group.value);
    if group.faults.len() == 1 {
        let name = view! {
            <span class="grow">{fault_name(&harness, first)}</span>
            <strong class="num">{reading}</strong>
        };
        return view! {
            <ul class="rows ways"><FaultRow store fault=first name=name.into_any() /></ul>
        }
        .into_any();
    }
    let open = RwSignal::new(false);
    let summary = words::and_more(&fault_name(&harness, first), group.faults.len() - 1);
    let faults = group.faults;
    let rows = move || {
        open.get().then(|| {
            let buttons: Vec<AnyView> = faults
                .iter()
                .take(IN_GROUP)
                .map(|&fault| {
                    let name = fault_name(&harness, fault).into_any();
                    view! { <FaultRow store fault name /> }.into_any()
                })
                .collect();
            view! { <ul class="rows">{buttons}</ul> }.into_any()
        })
    };
    view! {
        <details class="ways" on:toggle=move |_| open.set(true)>
            <summary class="step">
                <span>{summary}</span>
                <strong class="num">{reading}</strong>
            </summary>
            {rows}
        </details>
    }
    .into_any()
}

/// One fault to choose: it is then broken for trying, on the map too.
#[component]
fn FaultRow(store: Store, fault: Fault, name: AnyView) -> impl IntoView {
    let broken = store.session.broken;
    let pressed = move || {
        if broken.get() == Some(fault) {
            "true"
        } else {
            "false"
        }
    };
    view! {
        <li>
            <button
                type="button"
                class="row"
                aria-pressed=pressed
                on:click=move |_| broken.set(Some(fault))
            >
                {name}
            </button>
        </li>
    }
    .into_any()
}

/// One search: what it works on and how far it has come.
struct Search {
    harness: Arc<Harness>,
    point: Arc<OperatingPoint>,
    leads: (Terminal, Terminal),
    healthy: Shown,
    faults: Vec<Fault>,
    next: usize,
    shifts: Vec<Shift>,
}

/// Tries every fault in slices, anew whenever the harness, the setup or a lead changes.
fn search(store: Store) -> RwSignal<Found> {
    let meter = store.meter;
    let found = RwSignal::new(Found::Looking);
    // Tells a search that has been overtaken from the one that counts.
    let turn = StoredValue::new(0_u32);
    Effect::new(move |_| {
        turn.update_value(|turn| *turn = turn.wrapping_add(1));
        let Some(leads) = meter.at_red.get().zip(meter.at_black.get()) else {
            return;
        };
        let shown = meter
            .healthy
            .with(|solution| solution.as_ref()?.shows(leads.0, leads.1).ok());
        let (Some((value, band)), Some(circuit)) = (shown, meter.circuit.get()) else {
            return;
        };
        let setup = meter.setup.get();
        found.set(Found::Looking);
        let harness = store.told.get();
        let mine = turn.get_value();
        timer::soon(move || {
            let search = Search {
                faults: all_faults(&harness),
                point: Arc::new(OperatingPoint::of(&circuit, &setup)),
                harness,
                leads,
                healthy: Shown { value, band },
                next: 0,
                shifts: Vec::new(),
            };
            go_on(search, turn, mine, found);
        });
    });
    found
}

fn go_on(mut search: Search, turn: StoredValue<u32>, mine: u32, found: RwSignal<Found>) {
    let start = clock::now_ms();
    while search.next < search.faults.len() {
        let end = (search.next + AT_ONCE).min(search.faults.len());
        let more = shifts(
            &search.harness,
            &search.point,
            search.leads,
            search.healthy,
            &search.faults[search.next..end],
        );
        search.shifts.extend(more);
        search.next = end;
        if clock::now_ms() - start >= SLICE_MS {
            break;
        }
    }
    // The place may have been left meanwhile.
    if turn.try_get_value() != Some(mine) {
        return;
    }
    if search.next < search.faults.len() {
        timer::soon(move || go_on(search, turn, mine, found));
    } else {
        let groups = alike(search.shifts, search.healthy);
        found.try_set(Found::All(groups));
    }
}
