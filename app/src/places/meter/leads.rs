//! Where the two leads are, and the ways to put them elsewhere: on the map, or from a list.

use leptos::prelude::*;
use sparktrail_core::model::{Harness, Terminal};
use sparktrail_core::topology::Pick;

use super::super::words::meter as words;
use crate::store::{LeadColour, Store};

/// Most lines that the list shows.
const MOST: usize = 60;

/// Both leads.
#[component]
pub(super) fn Leads(store: Store) -> impl IntoView {
    let meter = store.meter;
    let looking = RwSignal::new(None::<LeadColour>);
    let rows: Vec<AnyView> = LeadColour::BOTH
        .into_iter()
        .map(|lead| view! { <LeadRow store lead looking /> }.into_any())
        .collect();
    let hint = move || {
        let lead = meter.in_hand.get()?;
        Some(view! { <p class="in-hand" role="status">{words::in_hand(lead)}</p> }.into_any())
    };
    let list = move || {
        let lead = looking.get()?;
        Some(view! { <List store lead looking /> }.into_any())
    };
    view! {
        <div class="leads" role="group" aria-label=words::LEADS>{rows}</div>
        {hint}
        <Offered store />
        {list}
        <Selected store />
    }
    .into_any()
}

/// The round badge that stands for a lead here and on the map.
#[component]
fn Badge(lead: LeadColour) -> impl IntoView {
    view! { <span class="lead-badge" data-lead=lead.word() aria-hidden="true">{lead.letter()}</span> }
        .into_any()
}

#[component]
fn LeadRow(store: Store, lead: LeadColour, looking: RwSignal<Option<LeadColour>>) -> impl IntoView {
    let meter = store.meter;
    let at = move || {
        meter.at(lead).map_or_else(
            || words::NOWHERE.to_owned(),
            |terminal| {
                store
                    .harness
                    .with(|harness| harness.terminal_name(terminal))
            },
        )
    };
    let held = move || meter.in_hand.get() == Some(lead);
    let pressed = move || if held() { "true" } else { "false" };
    let open = move || looking.get() == Some(lead);
    let listed = move || if open() { "true" } else { "false" };
    view! {
        <div class="lead" data-lead=lead.word()>
            <Badge lead />
            <p class="lead-at">
                <span class="unseen">{words::lead(lead)}": "</span>
                <strong>{at}</strong>
            </p>
            <div class="lead-acts">
                <button
                    type="button"
                    class="button way"
                    aria-pressed=pressed
                    aria-label=words::take(lead)
                    on:click=move |_| {
                        looking.set(None);
                        meter.take(lead);
                    }
                >
                    {words::ON_MAP}
                </button>
                <button
                    type="button"
                    class="button way"
                    aria-expanded=listed
                    aria-label=format!("{}: {}", words::lead(lead), words::LOOK_UP)
                    on:click=move |_| looking.set((!open()).then_some(lead))
                >
                    {words::LIST}
                </button>
            </div>
        </div>
    }
    .into_any()
}

/// The terminals of the part that was tapped.
#[component]
fn Offered(store: Store) -> impl IntoView {
    let meter = store.meter;
    move || {
        let offered = meter.offered.get();
        let lead = meter.in_hand.get()?;
        let first = offered.first()?;
        let name = store
            .harness
            .with(|harness| harness.part_name(first.part).to_owned());
        let rows = terminals(store, lead, offered);
        Some(
            view! {
                <div class="offered">
                    <h3>{name}": "{words::WHICH}</h3>
                    <div class="way-row">{rows}</div>
                </div>
            }
            .into_any(),
        )
    }
}

fn terminals(store: Store, lead: LeadColour, all: Vec<Terminal>) -> Vec<AnyView> {
    let one_part = all.windows(2).all(|two| two[0].part == two[1].part);
    let hovered = store.session.hovered;
    all.into_iter()
        .map(|terminal| {
            let name = store.harness.with_untracked(|harness| {
                if one_part {
                    harness.port_name(terminal)
                } else {
                    harness.terminal_name(terminal)
                }
            });
            let pick = Some(Pick::Terminal(terminal));
            view! {
                <button
                    type="button"
                    class="button way"
                    on:click=move |_| {
                        hovered.set(None);
                        store.meter.put(lead, terminal);
                    }
                    on:pointerenter=move |_| hovered.set(pick)
                    on:pointerleave=move |_| hovered.set(None)
                    on:focus=move |_| hovered.set(pick)
                    on:blur=move |_| hovered.set(None)
                >
                    {name}
                </button>
            }
            .into_any()
        })
        .collect()
}

/// Every terminal by part, narrowed by what is typed.
#[component]
fn List(store: Store, lead: LeadColour, looking: RwSignal<Option<LeadColour>>) -> impl IntoView {
    let typed = RwSignal::new(String::new());
    let body = move || {
        let harness = store.told.get();
        let wanted = typed.with(|typed| typed.trim().to_lowercase());
        let found = matching(&harness, &wanted);
        if found.is_empty() {
            return view! { <p class="faint">{words::NO_MATCH}</p> }.into_any();
        }
        let more = (found.len() > MOST)
            .then(|| view! { <p class="faint small">{words::MORE_MATCH}</p> }.into_any());
        let rows: Vec<AnyView> = found
            .into_iter()
            .take(MOST)
            .map(|terminal| {
                let name = harness.terminal_name(terminal);
                let put = move |_| {
                    store.meter.put(lead, terminal);
                    looking.set(None);
                };
                view! {
                    <li>
                        <button type="button" class="row" on:click=put>{name}</button>
                    </li>
                }
                .into_any()
            })
            .collect();
        view! { <ul class="rows lookup">{rows}</ul> {more} }.into_any()
    };
    view! {
        <div class="look-up">
            <label class="field">
                <span>{words::lead(lead)}": "{words::SEARCH}</span>
                <input
                    type="search"
                    autocomplete="off"
                    prop:value=move || typed.get()
                    on:input:target=move |event| typed.set(event.target().value())
                />
            </label>
            {body}
        </div>
    }
    .into_any()
}

/// The terminals whose names hold every word that was typed; all of them for none.
fn matching(harness: &Harness, wanted: &str) -> Vec<Terminal> {
    harness
        .parts
        .keys()
        .flat_map(|&part| harness.terminals_of(part))
        .filter(|&terminal| {
            let name = harness.terminal_name(terminal).to_lowercase();
            wanted.split_whitespace().all(|word| name.contains(word))
        })
        .collect()
}

/// What is selected on the map while no lead is in hand: both leads can go there.
#[component]
fn Selected(store: Store) -> impl IntoView {
    let (meter, session) = (store.meter, store.session);
    move || {
        let pick = session.picked.get()?;
        if meter.in_hand.get().is_some() {
            return None;
        }
        let name = store
            .harness
            .with(|harness| super::super::facts::name(harness, pick));
        let acts: Vec<AnyView> = LeadColour::BOTH
            .into_iter()
            .map(|lead| {
                view! {
                    <button
                        type="button"
                        class="button way"
                        on:click=move |_| meter.take(lead)
                    >
                        {words::here(lead)}
                    </button>
                }
                .into_any()
            })
            .collect();
        Some(
            view! {
                <div class="offered">
                    <h3>{name}</h3>
                    <div class="way-row">{acts}</div>
                </div>
            }
            .into_any(),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sparktrail_core::engine::{Engine, Firing, Layout, Strokes};
    use sparktrail_core::model::{Battery, Coil, PartKind, Port, Secondary};
    use sparktrail_core::provenance::Fact;

    #[test]
    fn terminals_are_found_by_every_word() {
        let mut harness = Harness::new(
            "",
            Engine {
                strokes: Strokes::Four,
                layout: Layout::Inline,
                banks: Vec::new(),
                order: Fact::assumed(Vec::new()),
                firing: Fact::assumed(Firing::Even),
            },
        );
        harness.add_part("Battery", PartKind::Battery(Battery::default()));
        let coil = harness.add_part("Coil A", PartKind::Coil(Coil::new(Secondary::TwoEnded)));
        assert_eq!(matching(&harness, "").len(), 6);
        let found = matching(&harness, "coil 15");
        assert_eq!(
            found,
            [Terminal {
                part: coil,
                port: Port::Feed
            }]
        );
        assert!(matching(&harness, "nothing").is_empty());
    }
}
