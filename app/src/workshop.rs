//! What stands behind the pointers of [`Workshop`]: the only door to the program's second module.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::electrics::{Alteration, Assumptions, Circuit, Solution};
use sparktrail_core::faults::{Fault, alteration, refined};
use sparktrail_core::model::{Harness, Setup, check};
use sparktrail_core::topology::Topology;

use crate::canvas::editing::Acts;
use crate::later::Workshop;
use crate::places::{
    ArrivalSheet, ChangeTools, ChooseSheet, KeysSheet, MoreSheet, MyEngine, ProjectList,
    ReportSheet, ShareSheet, editor, forms, lights, offline, panel, press, restore,
};
use crate::store::Store;

impl Workshop {
    /// The whole of it.
    pub(crate) fn new() -> Self {
        Self {
            topology: Topology::of,
            check,
            effect: refined,
            circuit: |harness| Circuit::of(harness, &Assumptions::default()),
            solution,
            reading: Solution::reading,
            picture: Solution::picture,
            lit: lights::lit,
            volts: lights::volts,
            begin: |store| {
                store.begin();
                offline::keep(store);
            },
            projects: |store, trouble, field| {
                view! { <ProjectList store trouble field /> }.into_any()
            },
            restore,
            panel,
            engine: |store| view! { <MyEngine store /> }.into_any(),
            acts: Acts::ALL,
            moved: editor::moved,
            joined: editor::joined,
            led: editor::led,
            press,
            tools: |store| view! { <ChangeTools store /> {editor::tools(store)} }.into_any(),
            forms,
            more: |store, open| view! { <MoreSheet store open /> }.into_any(),
            open_link: Store::open_link,
            over: |store| {
                view! {
                    <ArrivalSheet store />
                    <ChooseSheet store />
                    <ReportSheet store />
                    <KeysSheet store />
                }
                .into_any()
            },
            share: |store, open| view! { <ShareSheet store open /> }.into_any(),
        }
    }
}

fn solution(
    harness: &Harness,
    circuit: &Arc<Circuit>,
    setup: &Setup,
    fault: Option<Fault>,
) -> Solution {
    let change = fault.map_or_else(Alteration::default, |fault| {
        alteration(harness, circuit, fault)
    });
    Solution::of(circuit, setup, &change)
}
