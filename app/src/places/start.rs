//! The first screen: start from an own engine, open a file, go on with an own map, look at an example.

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use sparktrail_core::model::file::limits;

use super::fetch_again::FetchAgain;
use super::language::other_languages;
use super::map_file::file_field;
use super::palette::ThemeButton;
use super::samples::{Sample, samples};
use super::share::paste_link;
use super::trouble::{Trouble, TroubleNote};
use super::words::{job as job_words, start as words, trouble as wrong};
use crate::edge::early::{self, Stands};
use crate::edge::{fetch, files, page};
use crate::later::Came;
use crate::store::{Base, OpenError, Place, backup};
use crate::ui::Mark;

/// The first screen.
#[component]
pub fn Start(
    /// The store.
    base: Base,
) -> impl IntoView {
    let trouble = RwSignal::new(None);
    let field = NodeRef::<html::Input>::new();
    Effect::new(move |_| {
        if trouble.with(Option::is_some) {
            early::tell(Stands::Trouble);
        }
    });
    view! {
        <main class="start">
            <header class="start-head">
                <span class="brand"><Mark /> "Sparktrail"</span>
                <span class="start-acts">{other_languages(base)} <ThemeButton base /></span>
            </header>
            <div class="start-lead">
                <h1>{words::HEADING}</h1>
                <p>{words::LEAD} " " {words::PRIVATE}</p>
            </div>
            <TroubleNote trouble />
            {move || base.later.here().map(|here| (here.left_unsaved)(here.store))}
            <div class="ways-in">
                {own_engine(base)}
                {open_file(base, trouble, field)}
                {practice(base)}
            </div>
            {own_maps(base, trouble, field)}
            <Examples base trouble />
        </main>
    }
    .into_any()
}

/// The way to a map of one's own.
fn own_engine(base: Base) -> AnyView {
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
                on:click=move |_| base.session.place.set(Place::Engine)
            >
                {words::OWN}
            </button>
        </section>
    }
    .into_any()
}

/// The way to a case that costs nothing.
fn practice(base: Base) -> AnyView {
    view! {
        <section class="card way-in">
            <div>
                <h2>{words::PRACTICE_HEADING}</h2>
                <p class="faint">{words::PRACTICE_HINT}</p>
            </div>
            <button
                type="button"
                class="button"
                data-act="practice"
                on:click=move |_| base.session.place.set(Place::Practice)
            >
                {words::PRACTICE}
            </button>
        </section>
    }
    .into_any()
}

/// The file field and its button.
fn open_file(
    base: Base,
    trouble: RwSignal<Option<Trouble>>,
    field: NodeRef<html::Input>,
) -> AnyView {
    let take = Callback::new(move |file: files::File| {
        trouble.set(None);
        spawn_local(async move { trouble.set(take_in(base, &file).await.err()) });
    });
    view! {
        <section class="card way-in">
            <div>
                <h2>{words::OPEN_HEADING}</h2>
                <p class="faint">{words::OPEN_HINT}</p>
            </div>
            {file_field(field, words::OPEN_HEADING.said(), words::OPEN.said(), take)}
            {paste_link(base)}
        </section>
    }
    .into_any()
}

/// The maps of this device, which come with the second module.
fn own_maps(
    base: Base,
    trouble: RwSignal<Option<Trouble>>,
    field: NodeRef<html::Input>,
) -> AnyView {
    let at_first = base.has_maps();
    let closed = move || at_first.err().or_else(|| base.list().err());
    let some = Memo::new(move |_| match base.later.here() {
        Some(_) => base.list().is_ok_and(|list| !list.projects.is_empty()),
        None => at_first == Ok(true),
    });
    Effect::new(move |_| {
        if some.get() {
            page::after_painting(move || base.fetch_later());
        }
    });
    let rows = move || match (closed(), some.get(), base.later.came()) {
        (Some(error), _, _) => {
            view! { <p class="alarm" role="alert">{wrong::storage_at_start(error)}</p> }.into_any()
        }
        (None, false, _) => ().into_any(),
        (None, true, Came::Here(here)) => (here.projects)(here.store, trouble, field),
        (None, true, Came::NotYet | Came::Coming) => {
            view! { <p class="faint" role="status" data-coming="">{words::OWN_COMING}</p> }
                .into_any()
        }
        (None, true, Came::Failed) => view! { <FetchAgain base /> }.into_any(),
    };
    view! { {rows} }.into_any()
}

/// Opens a map, or takes in a backup, from a file that is not larger than such a file can be.
async fn take_in(base: Base, file: &files::File) -> Result<(), Trouble> {
    let unreadable = |error| Trouble::plain(wrong::file(error));
    let is_backup = backup::is_backup(&files::beginning(file).await.map_err(unreadable)?);
    let most = if is_backup {
        backup::MOST_BYTES
    } else {
        limits::MOST_BYTES
    };
    let text = files::read(file, most).await.map_err(unreadable)?;
    if !is_backup {
        return match base.open_text_in_steps(&text).await {
            Ok(()) => Ok(()),
            Err(error) => Err(told(base, error).await),
        };
    }
    match base.later_arrived().await {
        Some(here) => (here.restore)(here.store, &text),
        None => Err(Trouble::plain(job_words::NOT_ARRIVED)),
    }
}

/// Why a map was not opened: the words come with the second module.
async fn told(base: Base, error: OpenError) -> Trouble {
    match base.later_arrived().await {
        Some(here) => (here.told)(error),
        None => Trouble::plain(wrong::BAD_FILE),
    }
}

/// The examples, each with its engine drawn small.
#[component]
fn Examples(base: Base, trouble: RwSignal<Option<Trouble>>) -> impl IntoView {
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
                    if let Err(error) = base.open_text(&text) {
                        trouble.set(Some(told(base, error).await));
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
                    words::FETCHING.said()
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
