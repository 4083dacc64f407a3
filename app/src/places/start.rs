//! The first screen: open a file, go on with an own map, look at an example.

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::projects::ProjectList;
use super::samples::{SAMPLES, Sample};
use super::trouble::{Trouble, TroubleNote};
use super::words::{start as words, trouble as wrong};
use crate::edge::theme::Theme;
use crate::edge::{fetch, files};
use crate::store::Store;
use crate::ui::{Icon, IconButton, Mark, picture};

/// The first screen.
#[component]
pub fn Start(
    /// The store.
    store: Store,
) -> impl IntoView {
    let trouble = RwSignal::new(None);
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
            <OpenFile store trouble />
            <ProjectList store trouble />
            <Examples store trouble />
        </main>
    }
    .into_any()
}

/// The button that turns the palette.
#[component]
pub(super) fn ThemeButton(
    /// The store.
    store: Store,
) -> impl IntoView {
    let theme = store.session.theme;
    let act = Callback::new(move |()| store.session.turn_theme());
    move || {
        let (icon, name) = match theme.get() {
            Theme::System => (Icon::HalfMoon, words::THEME_SYSTEM),
            Theme::Light => (Icon::Sun, words::THEME_LIGHT),
            Theme::Dark => (Icon::Moon, words::THEME_DARK),
        };
        view! { <IconButton icon name=name act /> }
    }
}

/// The file field and its button.
#[component]
fn OpenFile(store: Store, trouble: RwSignal<Option<Trouble>>) -> impl IntoView {
    let field = NodeRef::<html::Input>::new();
    let choose = move |_| {
        if let Some(field) = field.get_untracked() {
            files::choose(&field);
        }
    };
    let chosen = move |event: leptos::ev::Event| {
        let Some(file) = files::picked(&event) else {
            return;
        };
        trouble.set(None);
        spawn_local(async move {
            match files::read(&file).await {
                Ok(text) => {
                    if let Err(error) = store.open_text(&text) {
                        trouble.set(Some(error.into()));
                    }
                }
                Err(error) => trouble.set(Some(Trouble::plain(wrong::file(error)))),
            }
        });
    };
    view! {
        <section class="card open-file">
            <div>
                <h2>{words::OPEN_HEADING}</h2>
                <p class="faint">{words::OPEN_HINT}</p>
            </div>
            <input
                node_ref=field
                class="unseen"
                type="file"
                accept=".json,application/json"
                tabindex="-1"
                aria-label=words::OPEN_HEADING
                on:change=chosen
            />
            <button type="button" class="button" data-weight="strong" on:click=choose>
                {picture(Icon::OpenFile)}
                {words::OPEN}
            </button>
        </section>
    }
    .into_any()
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
    let cards: Vec<AnyView> = SAMPLES
        .iter()
        .map(|sample| {
            let story = move || {
                if fetching.get() == Some(sample.file) {
                    words::FETCHING
                } else {
                    sample.story
                }
            };
            view! {
                <li>
                    <button type="button" class="example" data-example=sample.name() on:click=move |_| open(*sample)>
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
