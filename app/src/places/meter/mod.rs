//! What a meter should read between two places, why, with which fault it would read otherwise, and where
//! its leads tell two cases apart.

mod apart;
mod changes;
mod leads;
mod reading;
mod setup;

use leptos::prelude::*;

use super::words::meter as words;
use crate::store::{LeadColour, Store};

/// The panel.
#[component]
pub(super) fn MeterPanel(store: Store) -> impl IntoView {
    follow_taps(store);
    view! {
        <div class="panel meter">
            <section class="card">
                <h2 class="unseen">{words::HEADING}</h2>
                <setup::Usual store />
                <leads::Leads store />
                <reading::Healthy store />
                <reading::PictureToggle store />
            </section>
            <reading::Cautions store />
            <changes::WithFault store />
            <reading::Why store />
            <apart::TellApart store />
        </div>
    }
    .into_any()
}

/// While a lead is in hand, what is tapped on the map is where it goes; it is not selected.
fn follow_taps(store: Store) {
    let (meter, session) = (store.meter, store.session);
    if meter.at_red.get_untracked().is_none() && meter.in_hand.get_untracked().is_none() {
        meter.take(LeadColour::Red);
    }
    Effect::new(move |_| {
        let (Some(pick), Some(_)) = (session.picked.get(), meter.in_hand.get()) else {
            return;
        };
        session.picked.set(None);
        let found = store
            .harness
            .with_untracked(|harness| meter.touch(harness, pick));
        if found == 0 {
            session.say(words::NO_TERMINAL, None);
        }
    });
    on_cleanup(move || meter.offered.set(Vec::new()));
}
