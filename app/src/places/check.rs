//! What is unfinished, doubtful or wrong in the map; each line leads to its place.

use leptos::prelude::*;
use sparktrail_core::model::{MapFinding, Severity, Spot};
use sparktrail_core::topology::Pick;

use super::words::check as words;
use crate::store::{Store, Tab};

/// The panel.
#[component]
pub(super) fn CheckPanel(store: Store) -> impl IntoView {
    let body = move || {
        let found = store.derived.findings.get();
        if found.is_empty() {
            return view! {
                <section class="card">
                    <h2>{words::HEADING}</h2>
                    <p>{words::CLEAN}</p>
                    <p class="faint">{words::CLEAN_HINT}</p>
                </section>
            }
            .into_any();
        }
        let groups: Vec<AnyView> = [Severity::Wrong, Severity::Doubtful, Severity::Unfinished]
            .into_iter()
            .filter_map(|severity| {
                let of: Vec<MapFinding> = found
                    .iter()
                    .filter(|finding| finding.severity() == severity)
                    .cloned()
                    .collect();
                (!of.is_empty()).then(|| view! { <Group store severity of /> }.into_any())
            })
            .collect();
        view! {
            <section class="card">
                <h2>{words::HEADING}</h2>
                <p class="faint">{words::LEAD}</p>
                {to_trace(store)}
                {groups}
            </section>
        }
        .into_any()
    };
    view! { <div class="panel">{body}</div> }.into_any()
}

/// Where pins are unknown, the way to find out what they are for.
fn to_trace(store: Store) -> Option<AnyView> {
    let unknown = store.harness.with_untracked(|harness| {
        let mut units = harness.parts.keys().filter_map(|part| harness.unit(*part));
        units.any(|unit| unit.pins.iter().any(|pin| pin.role.is_none()))
    });
    let go = move |_| store.session.tab.set(Tab::Trace);
    unknown.then(|| {
        view! {
            <button type="button" class="button" on:click=go>
                {super::words::trace::HEADING}
            </button>
        }
        .into_any()
    })
}

#[component]
fn Group(store: Store, severity: Severity, of: Vec<MapFinding>) -> impl IntoView {
    let rows: Vec<AnyView> = of
        .into_iter()
        .map(|finding| view! { <Row store finding /> }.into_any())
        .collect();
    view! {
        <div class="check-group">
            <h3>{words::severity(severity)} <span class="faint num">{rows.len().to_string()}</span></h3>
            <ul class="rows">{rows}</ul>
        </div>
    }
    .into_any()
}

#[component]
fn Row(store: Store, finding: MapFinding) -> impl IntoView {
    let words = store
        .harness
        .with_untracked(|harness| finding.named(harness).to_string());
    let places = finding.places();
    let pick = places.iter().find_map(|spot| pick_of(*spot));
    let hovered = store.session.hovered;
    let Some(pick) = pick else {
        return view! { <li class="row">{words}</li> }.into_any();
    };
    let current = move || (store.session.picked.get() == Some(pick)).then_some("true");
    view! {
        <li>
            <button
                type="button"
                class="row"
                aria-current=current
                on:click=move |_| store.session.picked.set(Some(pick))
                on:pointerenter=move |_| hovered.set(Some(pick))
                on:pointerleave=move |_| hovered.set(None)
                on:focus=move |_| hovered.set(Some(pick))
                on:blur=move |_| hovered.set(None)
            >
                {words}
            </button>
        </li>
    }
    .into_any()
}

/// The place on the map; a finding about a finding has none.
const fn pick_of(spot: Spot) -> Option<Pick> {
    match spot {
        Spot::Part(part) => Some(Pick::Part(part)),
        Spot::Terminal(terminal) => Some(Pick::Terminal(terminal)),
        Spot::Wire(wire) => Some(Pick::Wire(wire)),
        Spot::Element(element) => Some(Pick::Element(element)),
        Spot::Cylinder(cylinder) => Some(Pick::Cylinder(cylinder)),
        Spot::Finding(_) => None,
    }
}
