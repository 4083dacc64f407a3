//! Who shares what: drivers, coils, feeds, grounds, connectors, each with its cylinders.

use leptos::prelude::*;
use sparktrail_core::model::{Element, Harness};
use sparktrail_core::topology::Pick;
use sparktrail_core::topology::{Group, SharedBy};

use super::words::shared as words;
use crate::store::Store;
use crate::ui::{DiscState, Discs};

/// The panel.
#[component]
pub(super) fn SharedPanel(store: Store) -> impl IntoView {
    let body = move || {
        let groups: Vec<Group> = store.derived.topology.with(|topology| {
            let groups = topology.iter().flat_map(|topology| topology.sharing());
            groups
                .filter(|group| group.cylinders.len() > 1)
                .cloned()
                .collect()
        });
        if groups.is_empty() {
            return view! { <p class="faint">{words::NOTHING}</p> }.into_any();
        }
        let mut by_kind: Vec<(&'static str, Vec<AnyView>)> = Vec::new();
        for group in groups {
            let heading = words::heading(&group.by);
            let row = view! { <Row store group /> }.into_any();
            match by_kind.last_mut() {
                Some((last, rows)) if *last == heading => rows.push(row),
                Some(_) | None => by_kind.push((heading, vec![row])),
            }
        }
        by_kind
            .into_iter()
            .map(|(heading, rows)| {
                view! {
                    <h3 class="share-kind">{heading}</h3>
                    <ul class="rows">{rows}</ul>
                }
                .into_any()
            })
            .collect::<Vec<AnyView>>()
            .into_any()
    };
    on_cleanup(move || store.session.lit.set(None));
    view! {
        <div class="panel">
            <section class="card">
                <h2>{words::HEADING}</h2>
                <p class="faint">{words::LEAD}</p>
                {body}
            </section>
        </div>
    }
    .into_any()
}

#[component]
fn Row(store: Store, group: Group) -> impl IntoView {
    let name = store
        .harness
        .with_untracked(|harness| name(harness, &group.by));
    let picks = StoredValue::new(picks(&group.by));
    // A stretch is no one thing to select: its first element stands for it.
    let first = picks.with_value(|picks| picks.first().copied());
    let all = store
        .harness
        .with_untracked(|harness| harness.engine.cylinders().len());
    let who = if group.cylinders.len() == all {
        view! { <span class="faint num">{words::all(all)}</span> }.into_any()
    } else {
        let numbers = group.cylinders.iter().map(|cylinder| cylinder.0).collect();
        view! { <Discs numbers state=DiscState::Plain /> }.into_any()
    };
    let (lit, picked) = (store.session.lit, store.session.picked);
    let light = move || lit.set(Some(picks.get_value()));
    let current = move || (first.is_some() && picked.get() == first).then_some("true");
    view! {
        <li>
            <button
                type="button"
                class="row share"
                aria-current=current
                on:click=move |_| picked.set(first)
                on:pointerenter=move |_| light()
                on:pointerleave=move |_| lit.set(None)
                on:focus=move |_| light()
                on:blur=move |_| lit.set(None)
            >
                <span class="grow">{name}</span>
                {who}
            </button>
        </li>
    }
    .into_any()
}

pub(super) fn name(harness: &Harness, by: &SharedBy) -> String {
    match by {
        SharedBy::Driver(driver) => super::facts::name(harness, Pick::Driver(*driver)),
        SharedBy::Unit(part)
        | SharedBy::Coil(part)
        | SharedBy::Pack(part)
        | SharedBy::Distributor(part)
        | SharedBy::Key(part)
        | SharedBy::Relay(part)
        | SharedBy::Fuse(part)
        | SharedBy::Connector(part)
        | SharedBy::Splice(part) => harness.part_name(*part).to_owned(),
        SharedBy::Feed(elements) | SharedBy::Ground(elements) => stretch(harness, elements),
    }
}

/// A stretch by the parts on it; by its wire where it lies within one part or between two.
fn stretch(harness: &Harness, elements: &[Element]) -> String {
    let mut parts: Vec<&str> = Vec::new();
    for &element in elements {
        let part = if let Element::Joint(wire, end) = element {
            let wire = harness.wires.get(&wire);
            wire.and_then(|wire| wire.end(end))
                .map(|fact| fact.value.part)
        } else {
            harness.part_of(element)
        };
        if let Some(name) = part.map(|part| harness.part_name(part))
            && !parts.contains(&name)
        {
            parts.push(name);
        }
    }
    let wire = elements.iter().find_map(|element| {
        if let Element::Wire(wire) = element {
            Some(*wire)
        } else {
            None
        }
    });
    match (parts.as_slice(), wire) {
        ([] | [_] | [_, _], Some(wire)) => harness.wire_name(wire),
        ([], None) => words::STRETCH.into(),
        (parts, _) => words::stretch(parts),
    }
}

fn picks(by: &SharedBy) -> Vec<Pick> {
    match by {
        SharedBy::Driver(driver) => vec![Pick::Driver(*driver)],
        SharedBy::Unit(part)
        | SharedBy::Coil(part)
        | SharedBy::Pack(part)
        | SharedBy::Distributor(part)
        | SharedBy::Key(part)
        | SharedBy::Relay(part)
        | SharedBy::Fuse(part)
        | SharedBy::Connector(part)
        | SharedBy::Splice(part) => vec![Pick::Part(*part)],
        SharedBy::Feed(elements) | SharedBy::Ground(elements) => elements
            .iter()
            .map(|element| Pick::Element(*element))
            .collect(),
    }
}
