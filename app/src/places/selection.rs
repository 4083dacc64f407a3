//! What is selected: its name, its facts; and lists to select from without the map.

use leptos::prelude::*;
use sparktrail_core::edit::{Command, FactAt};
use sparktrail_core::model::PartKind;
use sparktrail_core::provenance::Provenance;
use sparktrail_core::topology::Pick;

use super::facts::{self, FactLine};
use super::nominals::{NumberField, is_number};
use super::words::{facts as fact_words, job as words};
use crate::store::Store;
use crate::ui::{Icon, IconButton};

/// The name of what is selected, and the button that puts it away.
#[component]
pub(super) fn PickedHead(store: Store, pick: Pick) -> impl IntoView {
    let name = move || store.told.with(|harness| facts::name(harness, pick));
    let kind = store
        .harness
        .with_untracked(|harness| facts::kind(harness, pick));
    view! {
        <div class="picked-head">
            <div>
                <p class="eyebrow">{kind}</p>
                <h2>{name}</h2>
            </div>
            <IconButton
                icon=Icon::Close
                name=words::UNPICK.said()
                act=Callback::new(move |()| store.session.picked.set(None))
            />
        </div>
    }
    .into_any()
}

/// Every fact of what is selected, each with how it is known.
#[component]
pub(super) fn FactCard(store: Store, pick: Pick) -> impl IntoView {
    let lines = Memo::new(move |_| store.told.with(|harness| facts::lines(harness, pick)));
    let empty = Memo::new(move |_| lines.with(Vec::is_empty));
    let kept = move || {
        let lines = lines.get().into_iter().enumerate();
        lines
            .map(|(nth, line)| Kept::of(store, nth, line))
            .collect::<Vec<_>>()
    };
    let one = move |line: Kept| match line {
        Kept::Field { at, term, .. } => view! { <FieldLine store at term /> }.into_any(),
        Kept::Told(_, line) => view! { <ToldLine store line /> }.into_any(),
    };
    move || {
        if empty.get() {
            return ().into_any();
        }
        view! {
            <section class="card">
                <h3>{fact_words::FACTS}</h3>
                <dl class="facts">
                    <For each=kept key=Clone::clone children=one />
                </dl>
            </section>
        }
        .into_any()
    }
}

/// What a line is made anew for: one that is changed in its place stays, and so does the keyboard on it, whatever it
/// says.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Kept {
    Field {
        nth: usize,
        at: FactAt,
        term: String,
    },
    Told(usize, FactLine),
}

impl Kept {
    fn of(store: Store, nth: usize, line: FactLine) -> Self {
        let typed = |at: &FactAt| {
            is_number(*at) || store.editor.is_on_now() && super::editor::has_field(*at)
        };
        match line.at.filter(typed) {
            Some(at) => Self::Field {
                nth,
                at,
                term: line.term,
            },
            None => Self::Told(nth, line),
        }
    }
}

/// A fact in the field in which it is changed.
#[component]
fn FieldLine(store: Store, at: FactAt, term: String) -> impl IntoView {
    let field = if store.editor.is_on_now() && super::editor::has_field(at) {
        super::editor::field(store, at, &term)
    } else {
        let term = term.clone();
        view! { <NumberField store at term /> }.into_any()
    };
    let known = how_of(store, at, term.clone());
    view! {
        <div class="fact">
            <dt>{term}</dt>
            <dd>{field} {known}</dd>
        </div>
    }
    .into_any()
}

#[component]
fn ToldLine(store: Store, line: FactLine) -> impl IntoView {
    let known = line
        .known
        .map(|(at, _)| how_of(store, at, line.term.clone()));
    let value = match (line.value, line.leads_to) {
        (None, _) => view! { <span class="faint">{fact_words::UNKNOWN}</span> }.into_any(),
        (Some(value), None) => view! { <span class="num">{value}</span> }.into_any(),
        (Some(value), Some(pick)) => view! {
            <button
                type="button"
                class="link"
                on:click=move |_| store.session.picked.set(Some(pick))
            >
                {value}
            </button>
        }
        .into_any(),
    };
    view! {
        <div class="fact">
            <dt>{line.term}</dt>
            <dd>{value} {known}</dd>
        </div>
    }
    .into_any()
}

/// How a fact is known, where it is, and what else is said of it.
pub(super) fn how_of(store: Store, at: FactAt, term: String) -> AnyView {
    let how = Memo::new(move |_| {
        store
            .harness
            .with(|harness| harness.fact(at).map(|f| f.how))
    });
    let is_known = Memo::new(move |_| how.with(Option::is_some));
    let shown = move || {
        is_known.get().then(|| {
            let how = Signal::derive(move || how.get().unwrap_or_default());
            view! { <How store at how term=term.clone() /> }
        })
    };
    view! {
        {shown}
        {super::editor::clash(store, at)}
    }
    .into_any()
}

/// How a fact is known, changed with one tap.
#[component]
fn How(store: Store, at: FactAt, how: Signal<Provenance>, term: String) -> impl IntoView {
    let buttons: Vec<AnyView> = Provenance::ALL
        .into_iter()
        .map(move |each| {
            let word = fact_words::provenance_short(each);
            let pressed = move || if how.get() == each { "true" } else { "false" };
            view! {
                <button
                    type="button"
                    data-source=source(each)
                    aria-pressed=pressed
                    aria-label=format!("{term}: {}", fact_words::provenance(each))
                    on:click=move |_| store.change(Command::SetProvenance { at, how: each })
                >
                    {word}
                </button>
            }
            .into_any()
        })
        .collect();
    view! {
        <span class="how" role="group" aria-label=fact_words::HOW>
            {buttons}
        </span>
    }
    .into_any()
}

/// A word for the way a fact is known, for attributes.
pub(super) const fn source(how: Provenance) -> &'static str {
    match how {
        Provenance::Assumed => "assumed",
        Provenance::Diagram => "diagram",
        Provenance::Measured => "measured",
    }
}

/// Every part and cylinder in groups, to be chosen without the map.
#[component]
pub(super) fn PartList(store: Store) -> impl IntoView {
    move || {
        let mut groups: Vec<(&'static str, Vec<(Pick, String)>)> = Vec::new();
        store.told.with(|harness| {
            for (&id, part) in &harness.parts {
                // A ground point or splice has nothing of its own that fails: its joints are the wires'.
                if matches!(part.kind, PartKind::Pack) {
                    continue;
                }
                let heading = fact_words::kinds(&part.kind);
                let entry = (Pick::Part(id), part.name.clone());
                match groups.iter_mut().find(|(found, _)| *found == heading) {
                    Some((_, entries)) => entries.push(entry),
                    None => groups.push((heading, vec![entry])),
                }
            }
            let wires = harness
                .wires
                .keys()
                .map(|&id| (Pick::Wire(id), harness.wire_name(id)))
                .collect();
            groups.push((fact_words::WIRES.said(), wires));
        });
        let groups: Vec<AnyView> = groups
            .into_iter()
            .filter(|(_, entries)| !entries.is_empty())
            .map(|(heading, entries)| {
                let rows: Vec<AnyView> = entries
                    .into_iter()
                    .map(|(pick, name)| view! { <PickRow store pick name /> }.into_any())
                    .collect();
                view! {
                    <details class="group">
                        <summary>{heading} <span class="faint num">{rows.len().to_string()}</span></summary>
                        <ul class="rows">{rows}</ul>
                    </details>
                }
                .into_any()
            })
            .collect();
        view! {
            <section class="card">
                <h2 class="sub-head">{words::PARTS}</h2>
                {groups}
            </section>
        }
        .into_any()
    }
}

/// One thing to choose; pointing at it lights it on the map.
#[component]
pub(super) fn PickRow(store: Store, pick: Pick, name: String) -> impl IntoView {
    let hovered = store.session.hovered;
    view! {
        <li>
            <button
                type="button"
                class="row"
                on:click=move |_| store.session.picked.set(Some(pick))
                on:pointerenter=move |_| hovered.set(Some(pick))
                on:pointerleave=move |_| hovered.set(None)
                on:focus=move |_| hovered.set(Some(pick))
                on:blur=move |_| hovered.set(None)
            >
                {name}
            </button>
        </li>
    }
    .into_any()
}
