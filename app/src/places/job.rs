//! An open map: the frame, the map itself, and the panel beside it.

use leptos::prelude::*;

use super::check::CheckPanel;
use super::inspector::WhatIfPanel;
use super::meter::MeterPanel;
use super::more::{MoreSheet, save_as_file};
use super::overview::MapPanel;
use super::shared::SharedPanel;
use super::start::ThemeButton;
use super::words::{job as words, trouble as wrong};
use crate::store::{Saved, Store, Tab};
use crate::ui::{Icon, IconButton, Mark, TabBar, TabItem};

/// An open map.
#[component]
pub fn Job(
    /// The store.
    store: Store,
) -> impl IntoView {
    let tab = store.session.tab;
    let panel = move || match tab.get() {
        Tab::Map => view! { <MapPanel store /> }.into_any(),
        Tab::WhatIf => view! { <WhatIfPanel store /> }.into_any(),
        Tab::Meter => view! { <MeterPanel store /> }.into_any(),
        Tab::Shared => view! { <SharedPanel store /> }.into_any(),
        Tab::Check => view! { <CheckPanel store /> }.into_any(),
    };
    view! {
        <div class="job" data-tab=move || tab.get().word()>
            <TopBar store />
            <main class="stage" aria-label=words::MAP>
                <super::stage::Stage store />
            </main>
            <aside class="side" aria-label=words::SIDE>
                <LostNote store />
                {panel}
            </aside>
            <Tabs store class="tabs bar only-narrow" />
        </div>
    }
    .into_any()
}

#[component]
fn TopBar(store: Store) -> impl IntoView {
    let more = RwSignal::new(false);
    let harness = store.harness;
    let title =
        move || harness.with(|harness| super::words::start::titled(&harness.title).to_owned());
    view! {
        <header class="top">
            <button
                type="button"
                class="home"
                title=words::HOME
                aria-label=words::HOME
                on:click=move |_| store.leave()
            >
                <Mark />
            </button>
            <div class="top-name">
                <h1>{title}</h1>
            </div>
            <SavedNote store />
            <Tabs store class="tabs only-wide" />
            <div class="top-acts">
                <ThemeButton store />
                <IconButton
                    icon=Icon::More
                    name=words::MORE
                    act=Callback::new(move |()| more.set(true))
                />
            </div>
            <MoreSheet store open=more />
        </header>
    }
    .into_any()
}

/// Whether the map is kept on this device.
#[component]
fn SavedNote(store: Store) -> impl IntoView {
    let word = move || match store.saved() {
        Saved::Kept => words::SAVED,
        Saved::Soon => words::SAVING,
        Saved::Lost(_) => words::NOT_SAVED,
    };
    let state = move || matches!(store.saved(), Saved::Lost(_)).then_some("lost");
    view! {
        <span class="saved" data-state=state role="status">
            {word}
        </span>
    }
    .into_any()
}

/// What to do when the map cannot be kept.
#[component]
fn LostNote(store: Store) -> impl IntoView {
    move || {
        let Saved::Lost(error) = store.saved() else {
            return ().into_any();
        };
        view! {
            <div class="alarm lost" role="alert">
                <p>{wrong::storage(error)}</p>
                <button type="button" class="button" on:click=move |_| save_as_file(store)>
                    {super::words::start::SAVE_FILE}
                </button>
            </div>
        }
        .into_any()
    }
}

#[component]
fn Tabs(store: Store, class: &'static str) -> impl IntoView {
    let items = Signal::derive(move || {
        Tab::ALL
            .into_iter()
            .map(|tab| TabItem {
                to: tab,
                name: words::tab(tab),
                count: match tab {
                    Tab::Check => store.derived.findings.with(Vec::len),
                    Tab::Map | Tab::WhatIf | Tab::Meter | Tab::Shared => 0,
                },
            })
            .collect::<Vec<_>>()
    });
    let go = Callback::new(move |tab| store.session.tab.set(tab));
    view! { <TabBar items at=store.session.tab go class label=words::TABS /> }.into_any()
}
