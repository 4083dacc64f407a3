//! What stands behind the pointers of [`Workshop`]: the only door to the program's second module.

use leptos::prelude::*;

use crate::canvas::editing::Acts;
use crate::later::Workshop;
use crate::places::words::start as words;
use crate::places::{
    ArrivalSheet, ChangeTools, ChooseSheet, KeysSheet, MoreSheet, MoreViews, MyEngine, Practice,
    ProjectList, ReportSheet, ShareSheet, Trouble, editor, forms, left_unsaved, lights, offline,
    panel, press, restore, spoken,
};
use crate::store::Store;
use crate::ui::Toasts;

impl Workshop {
    /// The whole of it.
    pub(crate) fn new() -> Self {
        Self {
            lit: lights::lit,
            volts: lights::volts,
            cold: lights::cold,
            heat: lights::heat,
            cleared: lights::cleared,
            probes: lights::probes,
            waiting: Store::waiting,
            begin: |base| {
                let store = Store::begin(base);
                offline::keep(store);
                store
            },
            lay_down: Store::lay_down,
            keep_opened: |store| store.keep_opened(),
            settle: |store| store.settle(),
            refresh_list: |store| store.refresh_list(),
            told: Trouble::from,
            left_unsaved,
            projects: |store, trouble, field| {
                view! { <ProjectList store trouble field /> }.into_any()
            },
            restore,
            panel,
            engine: |store| view! { <MyEngine store /> }.into_any(),
            practice: |store| view! { <Practice store /> }.into_any(),
            acts: Acts::ALL,
            moved: editor::moved,
            joined: editor::joined,
            led: editor::led,
            press,
            tools: |store| view! { <ChangeTools store /> {editor::tools(store)} }.into_any(),
            forms,
            more: |store, open| view! { <MoreSheet store open /> }.into_any(),
            open_link: |store, link| store.open_link(link),
            more_views: |store, open| view! { <MoreViews store open /> }.into_any(),
            over,
            share: |store, open| view! { <ShareSheet store open /> }.into_any(),
        }
    }
}

/// What stands over the page.
fn over(store: Store) -> AnyView {
    let away = Callback::new(move |id| store.session.put_away(id));
    view! {
        <ArrivalSheet store />
        <ChooseSheet store />
        <ReportSheet store />
        <KeysSheet store />
        {spoken(store)}
        <Toasts toasts=store.session.toasts away close=words::CLOSE.said() />
    }
    .into_any()
}
