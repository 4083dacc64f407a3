//! The whole page: which place shows, the messages, the keys, the Back button.

use leptos::prelude::*;
use sparktrail_core::share::MARK;

use crate::edge::keys::{self, Heed};
use crate::edge::{address, page, timer};
use crate::later::Came;
use crate::places::words::{job, start as words};
use crate::places::{FetchAgain, Job, Start};
use crate::store::{Place, Store};
use crate::ui::Toasts;

/// The steps of the Back button.
const START: &str = "start";
const JOB: &str = "job";

/// The whole page.
#[component]
pub fn App() -> impl IntoView {
    let store = Store::new();
    listen_to_keys(store);
    follow_back_button(store);
    fetch_the_rest(store);
    follow_links(store);
    Effect::new(move |_| page::set_title(&words::page_title(&store.page_title())));
    let away = Callback::new(move |id| store.session.put_away(id));
    let place = Memo::new(move |_| store.session.place.get());
    view! {
        {move || match place.get() {
            Place::Start => view! { <Start store /> }.into_any(),
            Place::Engine => own_engine(store),
            Place::Job => view! { <Job store /> }.into_any(),
        }}
        {move || store.later.here().map(|here| (here.over)(store))}
        <Toasts toasts=store.session.toasts away close=words::CLOSE />
    }
}

/// Sends for the second module where a person has lingered on the first screen, and for the questions about an own
/// engine. An open map sends for it itself, once it stands.
fn fetch_the_rest(store: Store) {
    const LINGERED_MS: u64 = 2_000;
    let place = store.session.place;
    let _ = timer::after(LINGERED_MS, move || {
        if place.get_untracked() == Place::Start {
            store.later.fetch();
        }
    });
    Effect::new(move |_| {
        if place.get() == Place::Engine {
            store.later.fetch();
        }
    });
}

/// The questions about an own engine, which come with the second module.
fn own_engine(store: Store) -> AnyView {
    let room = move || match store.later.came() {
        Came::Here(here) => (here.engine)(store),
        Came::NotYet | Came::Coming => {
            view! { <p class="boot" role="status">{job::COMING}</p> }.into_any()
        }
        Came::Failed => view! { <FetchAgain store /> }.into_any(),
    };
    view! { {room} }.into_any()
}

/// Opens the map in the address, now and whenever another link is put there.
fn follow_links(store: Store) {
    // The listener lives as long as the page.
    let _ = address::on_fragment(move || {
        store.take_address();
        if store.session.place.get_untracked() == Place::Job {
            address::stand(JOB);
        }
    });
    store.take_address();
    Effect::new(move |_| {
        if store.session.sent.with(Option::is_none) {
            return;
        }
        // The second module reads links.
        store.later.fetch();
        if let (Some(here), Some(link)) = (store.later.here(), store.session.sent.get_untracked()) {
            store.session.sent.set(None);
            (here.open_link)(store, &link);
        }
    });
}

fn listen_to_keys(store: Store) {
    // The listener lives as long as the page.
    let _ = keys::on_press(move |press| {
        if store.session.place.get_untracked() != Place::Job {
            return Heed::Left;
        }
        let workshop = store.later.here_now();
        workshop.map_or(Heed::Left, |here| (here.press)(store, &press))
    });
}

fn follow_back_button(store: Store) {
    const ENGINE: &str = "engine";
    address::stand(START);
    Effect::watch(
        move || store.session.place.get(),
        move |place, before, _| match (before, place) {
            (Some(Place::Start), Place::Engine) => address::step(ENGINE),
            (Some(Place::Start), Place::Job) => address::step(JOB),
            // The questions are answered: Back leads to the first screen.
            (Some(Place::Engine), Place::Job) => address::stand(JOB),
            (Some(Place::Engine), Place::Start)
            | (Some(Place::Start | Place::Job) | None, Place::Start | Place::Job)
            | (Some(Place::Engine | Place::Job) | None, Place::Engine) => {}
        },
        false,
    );
    let _ = address::on_back(move |step| match step.as_str() {
        // A link put into the address is a step too, and no way back.
        _ if address::fragment().starts_with(MARK) => {}
        JOB => {
            if store.open_project().is_some() {
                store.session.place.set(Place::Job);
            }
        }
        ENGINE => store.session.place.set(Place::Engine),
        _ => store.leave(),
    });
}
