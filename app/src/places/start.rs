//! The first screen: start from an own engine, open a file, go on with an own map, look at an example.

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use sparktrail_core::model::file::limits;

use super::fetch_again::FetchAgain;
use super::map_file::{file_field, save_as_file};
use super::palette::ThemeButton;
use super::samples::{Sample, samples};
use super::share::paste_link;
use super::trouble::{Trouble, TroubleNote};
use super::words::{job as job_words, start as words, trouble as wrong};
use crate::edge::{fetch, files, page};
use crate::later::Came;
use crate::store::{Place, Store, backup};
use crate::ui::Mark;

/// The first screen.
#[component]
pub fn Start(
    /// The store.
    store: Store,
) -> impl IntoView {
    let trouble = RwSignal::new(None);
    let field = NodeRef::<html::Input>::new();
    view! {
        <main class="start">
            <header class="start-head">
                <span class="brand"><Mark /> "Sparktrail"</span>
                <ThemeButton store />
            </header>
            <div class="start-lead">
                <h1>{words::HEADING}</h1>
                <p>{words::LEAD} " " {words::PRIVATE}</p>
            </div>
            <TroubleNote trouble />
            {left_unsaved(store)}
            <div class="ways-in">
                {own_engine(store)}
                {open_file(store, trouble, field)}
            </div>
            {own_maps(store, trouble, field)}
            <Examples store trouble />
        </main>
    }
    .into_any()
}

/// The way to a map of one's own.
fn own_engine(store: Store) -> AnyView {
    view! {
        <section class="card way-in">
            <div>
                <h2>{words::OWN_HEADING}</h2>
                <p class="faint">{words::OWN_HINT}</p>
            </div>
            <button
                type="button"
                class="button"
                data-weight="strong"
                on:click=move |_| store.session.place.set(Place::Engine)
            >
                {words::OWN}
            </button>
        </section>
    }
    .into_any()
}

/// The map that was open and could not be kept: it must not go unseen.
fn left_unsaved(store: Store) -> AnyView {
    let note = move || {
        store.left_unsaved().map(|title| {
            view! {
                <div class="alarm" role="alert">
                    <p>{wrong::left_unsaved(&title)}</p>
                    <div class="alarm-acts">
                        <button type="button" class="button" on:click=move |_| store.session.place.set(Place::Job)>
                            {wrong::GO_BACK}
                        </button>
                        <button type="button" class="button" on:click=move |_| save_as_file(store)>
                            {words::SAVE_FILE}
                        </button>
                        <button type="button" class="button" data-weight="quiet" on:click=move |_| store.give_up()>
                            {wrong::GIVE_UP}
                        </button>
                    </div>
                </div>
            }
            .into_any()
        })
    };
    view! { {note} }.into_any()
}

/// The file field and its button.
fn open_file(
    store: Store,
    trouble: RwSignal<Option<Trouble>>,
    field: NodeRef<html::Input>,
) -> AnyView {
    let take = Callback::new(move |file: files::File| {
        trouble.set(None);
        spawn_local(async move { trouble.set(take_in(store, &file).await.err()) });
    });
    view! {
        <section class="card way-in">
            <div>
                <h2>{words::OPEN_HEADING}</h2>
                <p class="faint">{words::OPEN_HINT}</p>
            </div>
            {file_field(field, words::OPEN_HEADING, words::OPEN, take)}
            {paste_link(store)}
        </section>
    }
    .into_any()
}

/// The maps of this device, which come with the second module.
fn own_maps(
    store: Store,
    trouble: RwSignal<Option<Trouble>>,
    field: NodeRef<html::Input>,
) -> AnyView {
    let closed = move || store.list().err();
    let some = Memo::new(move |_| store.list().is_ok_and(|list| !list.projects.is_empty()));
    Effect::new(move |_| {
        if some.get() {
            page::after_painting(move || store.later.fetch());
        }
    });
    let rows = move || match (closed(), some.get(), store.later.came()) {
        (Some(error), _, _) => {
            view! { <p class="alarm" role="alert">{wrong::storage_at_start(error)}</p> }.into_any()
        }
        (None, false, _) => ().into_any(),
        (None, true, Came::Here(here)) => (here.projects)(store, trouble, field),
        (None, true, Came::NotYet | Came::Coming) => {
            view! { <p class="faint" role="status" data-coming="">{words::OWN_COMING}</p> }
                .into_any()
        }
        (None, true, Came::Failed) => view! { <FetchAgain store /> }.into_any(),
    };
    view! { {rows} }.into_any()
}

/// Opens a map, or takes in a backup, from a file that is not larger than such a file can be.
async fn take_in(store: Store, file: &files::File) -> Result<(), Trouble> {
    let unreadable = |error| Trouble::plain(wrong::file(error));
    let is_backup = backup::is_backup(&files::beginning(file).await.map_err(unreadable)?);
    let most = if is_backup {
        backup::MOST_BYTES
    } else {
        limits::MOST_BYTES
    };
    let text = files::read(file, most).await.map_err(unreadable)?;
    if !is_backup {
        return store.open_text(&text).map_err(Trouble::from);
    }
    match store.later.arrived().await {
        Some(here) => (here.restore)(store, &text),
        None => Err(Trouble::plain(job_words::NOT_ARRIVED)),
    }
}

/// The examples, each with its engine drawn small.
#[component]
fn Examples(store: Store, trouble: RwSignal<Option<Trouble>>) -> impl IntoView {
    let fetching = RwSignal::new(None::<&'static str>);
    let open = move |sample: Sample| {
        if fetching.get_untracked().is_some() {
            return;
        }
        trouble.set(None);
        fetching.set(Some(sample.file));
        spawn_local(async move {
            let text = fetch::text(&sample.path()).await;
            fetching.set(None);
            match text {
                Ok(text) => {
                    if let Err(error) = store.open_text(&text) {
                        trouble.set(Some(error.into()));
                    }
                }
                Err(error) => trouble.set(Some(Trouble::plain(wrong::fetch(error)))),
            }
        });
    };
    let cards: Vec<AnyView> = samples()
        .into_iter()
        .map(|sample| {
            let story = move || {
                if fetching.get() == Some(sample.file) {
                    words::FETCHING
                } else {
                    sample.line()
                }
            };
            view! {
                <li>
                    <button type="button" class="example" data-example=sample.name() on:click=move |_| open(sample)>
                        <EngineGlyph rows=sample.rows />
                        <span class="example-words">
                            <strong>{sample.title}</strong>
                            <span class="faint small">{story}</span>
                        </span>
                    </button>
                </li>
            }
            .into_any()
        })
        .collect();
    view! {
        <section class="examples">
            <h2>{words::EXAMPLES}</h2>
            <p class="faint">{words::EXAMPLES_HINT}</p>
            <ul class="example-list">{cards}</ul>
        </section>
    }
    .into_any()
}

/// The engine seen from above, front to the left, as rows of discs.
#[component]
fn EngineGlyph(rows: &'static [&'static [u8]]) -> impl IntoView {
    const STEP: usize = 20;
    let longest = rows.iter().map(|row| row.len()).max().unwrap_or(0);
    let (width, height) = (longest * STEP + 8, rows.len() * STEP + 8);
    // The rows of a vee stand half a step apart, as on the engine.
    let discs: Vec<AnyView> = rows
        .iter()
        .enumerate()
        .flat_map(|(down, row)| {
            row.iter().enumerate().map(move |(along, _)| {
                let x = along * STEP + STEP / 2 + if down % 2 == 1 { 8 } else { 0 };
                let y = down * STEP + STEP / 2 + 4;
                view! { <circle cx=x.to_string() cy=y.to_string() r="7" /> }.into_any()
            })
        })
        .collect();
    let name = words::cylinders(rows.iter().map(|row| row.len()).sum());
    view! {
        <span class="glyph">
            <svg viewBox=format!("0 0 {width} {height}") width=width.to_string() height=height.to_string() aria-hidden="true">
                {discs}
            </svg>
            <span class="tiny faint">{name}</span>
        </span>
    }
    .into_any()
}
