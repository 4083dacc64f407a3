//! An open map: the frame, the map itself, and the panel beside it.

use leptos::prelude::*;

use super::fetch_again::FetchAgain;
use super::palette::ThemeButton;
use super::words::job as words;
use crate::edge::page;
use crate::later::Came;
use crate::store::{Base, Saved, Tab};
use crate::ui::{Icon, IconButton, Mark, TabBar, TabItem};

/// An open map.
#[component]
pub fn Job(
    /// The base.
    base: Base,
) -> impl IntoView {
    let tab = base.session.tab;
    let later = base.later;
    let panel = move || match later.came() {
        Came::Here(here) => (here.panel)(here.store),
        Came::NotYet | Came::Coming => {
            view! { <p class="panel faint" role="status">{words::COMING}</p> }.into_any()
        }
        Came::Failed => view! { <FetchAgain base /> }.into_any(),
    };
    let walking = move || {
        let walks = base.session.walking.get() && tab.get() == Tab::Next;
        walks.then_some("true")
    };
    // Another view begins at its head. The first one stands there; to ask where it stands would lay out the page.
    Effect::new(move |before: Option<()>| {
        tab.track();
        if before.is_some() {
            page::scroll_to_start(".side");
        }
    });
    view! {
        <div class="job" data-tab=move || tab.get().word() data-walking=walking>
            <TopBar base />
            <main
                class="stage"
                aria-label=words::MAP
                data-form=move || base.session.form.get().word()
            >
                <super::stage::Stage base />
                {move || later.here().map(|here| (here.forms)(here.store))}
            </main>
            <aside class="side" aria-label=words::SIDE>
                {panel}
            </aside>
            <ShortTabs base />
        </div>
    }
    .into_any()
}

#[component]
fn TopBar(base: Base) -> impl IntoView {
    let more = RwSignal::new(false);
    let share = RwSignal::new(false);
    let harness = base.harness;
    let title =
        move || harness.with(|harness| super::words::start::titled(&harness.title).to_owned());
    view! {
        <header class="top">
            <button
                type="button"
                class="home"
                title=words::HOME
                aria-label=words::HOME
                on:click=move |_| base.leave()
            >
                <Mark />
            </button>
            <div class="top-name">
                <h1>{title}</h1>
            </div>
            <SavedNote base />
            <Tabs base class="tabs only-wide" />
            <div class="top-acts">
                <IconButton
                    icon=Icon::Share
                    name=words::SHARE.said()
                    act=Callback::new(move |()| share.set(true))
                />
                <ThemeButton base />
                <IconButton
                    icon=Icon::More
                    name=words::MORE.said()
                    act=Callback::new(move |()| more.set(true))
                />
            </div>
            {move || base.later.here().map(|here| (here.more)(here.store, more))}
            {move || base.later.here().map(|here| (here.share)(here.store, share))}
        </header>
    }
    .into_any()
}

/// Whether the map is kept on this device.
#[component]
fn SavedNote(base: Base) -> impl IntoView {
    let word = move || match base.saved() {
        Saved::Kept => words::SAVED.said(),
        // What keeps it did not arrive.
        Saved::Soon if matches!(base.later.came(), Came::Failed) => words::NOT_SAVED.said(),
        Saved::Soon => words::SAVING.said(),
        Saved::Lost(_) | Saved::Clash(_) => words::NOT_SAVED.said(),
    };
    let state = move || matches!(base.saved(), Saved::Lost(_) | Saved::Clash(_)).then_some("lost");
    view! {
        <span class="saved" data-state=state role="status">
            {word}
        </span>
    }
    .into_any()
}

/// Every view in one row.
#[component]
fn Tabs(base: Base, class: &'static str) -> impl IntoView {
    let items = Signal::derive(move || Tab::ALL.map(|tab| item(base, tab)).into());
    let tab = base.session.tab;
    let at = Signal::derive(move || place_in(&Tab::ALL, tab.get()));
    let go = Callback::new(move |place| {
        if let Some(to) = Tab::ALL.get(place) {
            tab.set(*to);
        }
    });
    view! { <TabBar items at go class label=words::TABS.said() /> }.into_any()
}

fn item(base: Base, tab: Tab) -> TabItem {
    TabItem {
        name: words::tab(tab),
        count: count(base, tab),
    }
}

/// The place of a view in a row; the one behind its end where the row leaves it out.
fn place_in(row: &[Tab], tab: Tab) -> usize {
    let mut row = row.iter();
    let end = row.len();
    row.position(|one| *one == tab).unwrap_or(end)
}

/// How many things wait in a view.
fn count(base: Base, tab: Tab) -> usize {
    let here = base.later.here();
    here.map_or(0, |here| (here.waiting)(here.store, tab))
}

/// The first views in one row, and one more entry for the others: these come with the second module.
#[component]
fn ShortTabs(base: Base) -> impl IntoView {
    let more = RwSignal::new(false);
    let tab = base.session.tab;
    let items = Signal::derive(move || {
        let mut row: Vec<TabItem> = Tab::FIRST.map(|tab| item(base, tab)).into();
        row.push(TabItem {
            name: words::MORE_VIEWS.said(),
            count: 0,
        });
        row
    });
    let at = Signal::derive(move || place_in(&Tab::FIRST, tab.get()));
    let go = Callback::new(move |place| match Tab::FIRST.get(place) {
        Some(to) => tab.set(*to),
        None => more.set(true),
    });
    view! {
        <TabBar items at go class="tabs bar only-narrow" label=words::TABS.said() />
        {move || base.later.here().map(|here| (here.more_views)(here.store, more))}
    }
    .into_any()
}
