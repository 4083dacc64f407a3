//! The whole page: which place shows, the messages, the keys, the Back button.

use leptos::prelude::*;
use sparktrail_core::share::MARK;

use crate::edge::keys::{self, Heed};
use crate::edge::{address, page, timer};
use crate::later::{Came, Workshop};
use crate::places::words::{job, start as words};
use crate::places::{FetchAgain, Job, Start};
use crate::store::{Base, Place, Store};

/// The steps of the Back button.
const START: &str = "start";
const JOB: &str = "job";

/// The whole page.
#[component]
pub fn App() -> impl IntoView {
    let base = Base::new();
    listen_to_keys(base);
    follow_back_button(base);
    fetch_the_rest(base);
    follow_links(base);
    Effect::new(move |_| page::set_title(&words::page_title(&base.page_title())));
    let place = Memo::new(move |_| base.session.place.get());
    view! {
        {move || match place.get() {
            Place::Start => view! { <Start base /> }.into_any(),
            Place::Engine => second(base, |here| here.engine),
            Place::Job => view! { <Job base /> }.into_any(),
            Place::Practice => second(base, |here| here.practice),
        }}
        {move || base.later.here().map(|here| (here.over)(here.store))}
    }
}

/// Sends for the second module where a person has lingered on the first screen, and for the questions about an own
/// engine. An open map sends for it itself, once it stands.
fn fetch_the_rest(base: Base) {
    const LINGERED_MS: u64 = 2_000;
    let place = base.session.place;
    let _ = timer::after(LINGERED_MS, move || {
        if place.get_untracked() == Place::Start {
            base.fetch_later();
        }
    });
    Effect::new(move |_| {
        if matches!(place.get(), Place::Engine | Place::Practice) {
            base.fetch_later();
        }
    });
}

/// A place that comes with the second module: the questions about an own engine, practice.
fn second(base: Base, place: fn(&Workshop) -> fn(Store) -> AnyView) -> AnyView {
    let room = move || match base.later.came() {
        Came::Here(here) => place(here)(here.store),
        Came::NotYet | Came::Coming => {
            view! { <p class="boot" role="status">{job::COMING}</p> }.into_any()
        }
        Came::Failed => view! { <FetchAgain base /> }.into_any(),
    };
    view! { {room} }.into_any()
}

/// Opens the map in the address, now and whenever another link is put there.
fn follow_links(base: Base) {
    // The listener lives as long as the page.
    let _ = address::on_fragment(move || {
        base.take_address();
        if base.session.place.get_untracked() == Place::Job {
            address::stand(JOB);
        }
    });
    base.take_address();
    Effect::new(move |_| {
        if base.session.sent.with(Option::is_none) {
            return;
        }
        // The second module reads links.
        base.fetch_later();
        if let (Some(here), Some(link)) = (base.later.here(), base.session.sent.get_untracked()) {
            base.session.sent.set(None);
            (here.open_link)(here.store, &link);
        }
    });
}

fn listen_to_keys(base: Base) {
    // The listener lives as long as the page.
    let _ = keys::on_press(move |press| {
        if base.session.place.get_untracked() != Place::Job {
            return Heed::Left;
        }
        let workshop = base.later.here_now();
        workshop.map_or(Heed::Left, |here| (here.press)(here.store, &press))
    });
}

fn follow_back_button(base: Base) {
    const ENGINE: &str = "engine";
    const PRACTICE: &str = "practice";
    address::stand(START);
    Effect::watch(
        move || base.session.place.get(),
        move |place, before, _| match (before, place) {
            (Some(Place::Start), Place::Engine) => address::step(ENGINE),
            (Some(Place::Start), Place::Job) => address::step(JOB),
            (Some(Place::Start), Place::Practice) => address::step(PRACTICE),
            // The questions are answered: Back leads to the first screen.
            (Some(Place::Engine), Place::Job) => address::stand(JOB),
            (
                Some(Place::Start | Place::Engine | Place::Job | Place::Practice) | None,
                Place::Start | Place::Engine | Place::Job | Place::Practice,
            ) => {}
        },
        false,
    );
    let _ = address::on_back(move |step| match step.as_str() {
        // A link put into the address is a step too, and no way back.
        _ if address::fragment().starts_with(MARK) => {}
        JOB => {
            if base.open_project().is_some() {
                base.session.place.set(Place::Job);
            }
        }
        ENGINE => base.session.place.set(Place::Engine),
        PRACTICE => base.session.place.set(Place::Practice),
        _ => base.leave(),
    });
}
