//! Practice: a hidden fault on a bench that costs nothing, and short lessons on a live map. Nothing here
//! touches the owner's maps.

mod bench;
mod choose;
mod desk;
mod lessons;
mod look_back;
mod record;

use leptos::prelude::*;

use super::palette::ThemeButton;
use super::words::practice as words;
use crate::store::{Place, Store};
use crate::ui::Mark;
use desk::{Desk, Stage};

/// The place.
#[component]
pub(crate) fn Practice(
    /// The store: of it only the theme, the place and a link that waits are used.
    store: Store,
) -> impl IntoView {
    let desk = Desk::new();
    let stage = desk.stage;
    Effect::new(move |_| {
        if let Some(link) = store.session.trial.get() {
            store.session.trial.set(None);
            desk.open(&link);
        }
    });
    let side = move || match stage.get() {
        Stage::Choosing => view! { <choose::Choose desk /> }.into_any(),
        Stage::Setting(done, of) => {
            view! { <p class="card" role="status">{words::setting(done, of)}</p> }.into_any()
        }
        Stage::Trouble(why) => view! {
            <p class="alarm" role="alert">{why}</p>
            <choose::Choose desk />
        }
        .into_any(),
        Stage::Searching => view! { <bench::Searching desk /> }.into_any(),
        Stage::Over => view! { <look_back::LookBack desk /> }.into_any(),
        Stage::Lesson(number) => view! { <lessons::Lesson desk number /> }.into_any(),
    };
    let tab = move || match stage.get() {
        Stage::Choosing | Stage::Setting(..) | Stage::Trouble(_) => "choosing",
        Stage::Searching | Stage::Over | Stage::Lesson(_) => "bench",
    };
    // Without a map beside it the choice is what the page is about.
    let side_role = move || {
        if tab() == "choosing" {
            "main"
        } else {
            "complementary"
        }
    };
    let heading = move || desk.heading();
    let home = move |_| match stage.get_untracked() {
        Stage::Choosing | Stage::Trouble(_) => store.session.place.set(Place::Start),
        Stage::Setting(..) | Stage::Searching | Stage::Over | Stage::Lesson(_) => desk.leave(),
    };
    let home_name = move || match stage.get() {
        Stage::Choosing | Stage::Trouble(_) => words::HOME.said(),
        Stage::Setting(..) | Stage::Searching | Stage::Over | Stage::Lesson(_) => {
            words::LEAVE.said()
        }
    };
    view! {
        <div class="job practice" data-tab=tab>
            <header class="top">
                <button type="button" class="home" title=home_name aria-label=home_name on:click=home>
                    <Mark />
                </button>
                <div class="top-name">
                    <h1>{heading}</h1>
                </div>
                <div class="top-acts">
                    <button type="button" class="button" data-weight="quiet" on:click=home>
                        {home_name}
                    </button>
                    <ThemeButton base=*store />
                </div>
            </header>
            <main class="stage" aria-label=words::MAP data-form="drawing">
                {move || desk.has_map().then(|| desk.map())}
            </main>
            <div class="side" role=side_role aria-label=words::SIDE>
                <div class="panel">{side}</div>
            </div>
        </div>
    }
    .into_any()
}
