//! The panel beside the map: one for each view.

use std::sync::Arc;

use leptos::prelude::*;

use super::check::CheckPanel;
use super::compare::ComparePanel;
use super::cycle::CyclePanel;
use super::findings::FindingsPanel;
use super::inspector::WhatIfPanel;
use super::lost_note::LostNote;
use super::meter::MeterPanel;
use super::next::NextPanel;
use super::overview::MapPanel;
use super::shared::SharedPanel;
use super::suspects::SuspectsPanel;
use super::trace::TracePanel;
use super::walk::WalkPanel;
use super::walk_offers::{OtherWalks, WaitingWalk};
use super::words::compare as compare_words;
use crate::store::{Store, Tab};

/// The panel of the view that is chosen.
pub(crate) fn panel(store: Store) -> AnyView {
    let tab = store.session.tab;
    let panel = move || match tab.get() {
        Tab::Map => match store.session.compared.get() {
            Some(compared) => {
                let heading = compare_words::heading(&compared.title);
                let theirs = Arc::clone(&compared.theirs);
                view! { <ComparePanel store heading theirs /> }.into_any()
            }
            None => view! { <MapPanel store /> }.into_any(),
        },
        Tab::Findings => view! { <FindingsPanel store /> }.into_any(),
        Tab::Suspects => view! { <SuspectsPanel store /> }.into_any(),
        Tab::Next if store.session.walking.get() => view! { <WalkPanel store /> }.into_any(),
        Tab::Next => view! {
            <WaitingWalk store />
            <NextPanel store />
            <OtherWalks store />
        }
        .into_any(),
        Tab::WhatIf => view! { <WhatIfPanel store /> }.into_any(),
        Tab::Meter => view! { <MeterPanel store /> }.into_any(),
        Tab::Cycle => view! { <CyclePanel store /> }.into_any(),
        Tab::Shared => view! { <SharedPanel store /> }.into_any(),
        Tab::Check => view! { <CheckPanel store /> }.into_any(),
        Tab::Trace => view! { <TracePanel store /> }.into_any(),
    };
    view! { <LostNote store /> {panel} }.into_any()
}
