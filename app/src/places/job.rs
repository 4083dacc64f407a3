//! An open map: the frame, the map itself, and the panel beside it.

use leptos::prelude::*;

use super::fetch_again::FetchAgain;
use super::map_file::save_as_file;
use super::palette::ThemeButton;
use super::words::{job as words, trouble as wrong};
use crate::edge::page;
use crate::later::Came;
use crate::store::{Clash, Saved, Store, Tab};
use crate::ui::{Icon, IconButton, Mark, Sheet, TabBar, TabItem};

/// An open map.
#[component]
pub fn Job(
    /// The store.
    store: Store,
) -> impl IntoView {
    let tab = store.session.tab;
    let later = store.later;
    let panel = move || match later.came() {
        Came::Here(here) => (here.panel)(store),
        Came::NotYet | Came::Coming => {
            view! { <p class="panel faint" role="status">{words::COMING}</p> }.into_any()
        }
        Came::Failed => view! { <FetchAgain store /> }.into_any(),
    };
    let walking = move || {
        let walks = store.session.walking.get() && tab.get() == Tab::Next;
        walks.then_some("true")
    };
    // Another view begins at its head.
    Effect::new(move |_| {
        tab.track();
        page::scroll_to_start(".side");
    });
    view! {
        <div class="job" data-tab=move || tab.get().word() data-walking=walking>
            <TopBar store />
            <main
                class="stage"
                aria-label=words::MAP
                data-form=move || store.session.form.get().word()
            >
                <super::stage::Stage store />
                {move || later.here().map(|here| (here.forms)(store))}
            </main>
            <aside class="side" aria-label=words::SIDE>
                <LostNote store />
                {panel}
            </aside>
            <ShortTabs store />
        </div>
    }
    .into_any()
}

#[component]
fn TopBar(store: Store) -> impl IntoView {
    let more = RwSignal::new(false);
    let share = RwSignal::new(false);
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
                <IconButton
                    icon=Icon::Share
                    name=words::SHARE
                    act=Callback::new(move |()| share.set(true))
                />
                <ThemeButton store />
                <IconButton
                    icon=Icon::More
                    name=words::MORE
                    act=Callback::new(move |()| more.set(true))
                />
            </div>
            {move || store.later.here().map(|here| (here.more)(store, more))}
            {move || store.later.here().map(|here| (here.share)(store, share))}
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
        Saved::Lost(_) | Saved::Clash(_) => words::NOT_SAVED,
    };
    let state = move || matches!(store.saved(), Saved::Lost(_) | Saved::Clash(_)).then_some("lost");
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
    move || match store.saved() {
        Saved::Kept | Saved::Soon => ().into_any(),
        Saved::Lost(error) => view! {
            <div class="alarm lost" role="alert">
                <p>{wrong::storage(error)}</p>
                <button type="button" class="button" on:click=move |_| save_as_file(store)>
                    {super::words::start::SAVE_FILE}
                </button>
            </div>
        }
        .into_any(),
        Saved::Clash(clash) => clash_note(store, clash),
    }
}

/// What to do when another window went on with the map.
fn clash_note(store: Store, clash: Clash) -> AnyView {
    let keep = match clash {
        Clash::Changed => wrong::KEEP_BOTH,
        Clash::Deleted => wrong::KEEP_THIS,
    };
    let theirs = (clash == Clash::Changed).then(|| {
        let take = move |_| {
            if let Err(error) = store.take_theirs() {
                store.session.say(wrong::not_opened(&error).0, None);
            }
        };
        view! {
            <button type="button" class="button" on:click=take>{wrong::TAKE_THEIRS}</button>
        }
        .into_any()
    });
    view! {
        <div class="alarm lost" role="alert">
            <p>{wrong::clash(clash)}</p>
            <button type="button" class="button" on:click=move |_| store.keep_both()>{keep}</button>
            " "
            {theirs}
        </div>
    }
    .into_any()
}

/// Every view in one row.
#[component]
fn Tabs(store: Store, class: &'static str) -> impl IntoView {
    let items = Signal::derive(move || {
        Tab::ALL
            .into_iter()
            .map(|tab| TabItem {
                to: tab,
                name: words::tab(tab),
                count: count(store, tab),
            })
            .collect::<Vec<_>>()
    });
    let go = Callback::new(move |tab| store.session.tab.set(tab));
    view! { <TabBar items at=store.session.tab go class label=words::TABS /> }.into_any()
}

/// How many things wait in a view.
fn count(store: Store, tab: Tab) -> usize {
    match tab {
        Tab::Check => store.derived.findings.with(Vec::len),
        Tab::Map
        | Tab::Findings
        | Tab::Suspects
        | Tab::Next
        | Tab::WhatIf
        | Tab::Meter
        | Tab::Cycle
        | Tab::Shared
        | Tab::Trace => 0,
    }
}

/// Where an entry of the short row leads.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    /// To a view.
    To(Tab),
    /// To the list of the other views.
    More,
}

/// The first views in one row, and one more entry for the others.
#[component]
fn ShortTabs(store: Store) -> impl IntoView {
    let more = RwSignal::new(false);
    let tab = store.session.tab;
    let items = Signal::derive(move || {
        let first = Tab::FIRST.into_iter().map(|tab| TabItem {
            to: Way::To(tab),
            name: words::tab(tab),
            count: count(store, tab),
        });
        let last = TabItem {
            to: Way::More,
            name: words::MORE_VIEWS,
            count: 0,
        };
        first.chain([last]).collect::<Vec<_>>()
    });
    let at = Signal::derive(move || {
        let tab = tab.get();
        if Tab::FIRST.contains(&tab) {
            Way::To(tab)
        } else {
            Way::More
        }
    });
    let go = Callback::new(move |way| match way {
        Way::To(to) => tab.set(to),
        Way::More => more.set(true),
    });
    let close = Callback::new(move |()| more.set(false));
    view! {
        <TabBar items at go class="tabs bar only-narrow" label=words::TABS />
        <Sheet open=more close title=words::MORE_VIEWS>
            <OtherTabs store more />
        </Sheet>
    }
    .into_any()
}

/// The views that the short row leaves out.
#[component]
fn OtherTabs(store: Store, more: RwSignal<bool>) -> impl IntoView {
    let rows: Vec<AnyView> = Tab::ALL
        .into_iter()
        .filter(|tab| !Tab::FIRST.contains(tab))
        .map(|to| {
            let waiting = count(store, to);
            let waiting = (waiting > 0)
                .then(|| view! { <span class="tag num">{waiting.to_string()}</span> }.into_any());
            let go = move |_| {
                more.set(false);
                store.session.tab.set(to);
            };
            let here = (store.session.tab.get_untracked() == to).then_some("true");
            view! {
                <li>
                    <button type="button" class="row" aria-current=here on:click=go>
                        <span class="grow">{words::tab(to)}</span>
                        {waiting}
                    </button>
                </li>
            }
            .into_any()
        })
        .collect();
    view! { <ul class="rows">{rows}</ul> }.into_any()
}
