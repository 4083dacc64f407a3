//! The list of differences, each with the button that takes it over.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::compare::{Change, Only, differences, is_clash, needs, take, together};
use sparktrail_core::model::Harness;

use crate::places::words::compare as words;
use crate::store::{Beside, Difference, Store};

/// Rows shown at once; the rest follows as those are taken.
const MOST: usize = 300;

/// The panel.
#[component]
pub(in crate::places) fn ComparePanel(
    /// The store.
    store: Store,
    /// Its heading.
    heading: String,
    /// The other map.
    theirs: Arc<Harness>,
) -> impl IntoView {
    let for_list = Arc::clone(&theirs);
    let found = Memo::new(move |_| {
        store
            .harness
            .with(|ours| Arc::new(differences(ours, &for_list)))
    });
    let for_map = Arc::clone(&theirs);
    Effect::new(move |_| {
        let ours = store.harness.get();
        let marks = found.with(|found| marks(found));
        let both = Arc::new(together(&ours, &for_map));
        store
            .session
            .beside
            .set(Some(Arc::new(Beside { both, marks })));
    });
    on_cleanup(move || {
        store.session.beside.set(None);
        store.session.lit.set(None);
    });
    let rows = move || {
        let ours = store.harness.get();
        let found = found.get();
        if found.is_empty() {
            return view! { <p role="status">{words::SAME}</p> }.into_any();
        }
        let rows: Vec<AnyView> = found
            .iter()
            .take(MOST)
            .map(|change| row(store, &ours, &theirs, *change))
            .collect();
        view! { <ul class="differences">{rows}</ul> }.into_any()
    };
    let count = move || words::count(found.with(|found| found.len()));
    view! {
        <div class="panel compare">
            <section class="card">
                <h2>{heading}</h2>
                <p class="num" role="status">{count}</p>
                <p class="faint small">{words::MARKS}</p>
                <button type="button" class="button" on:click=move |_| store.end_comparing()>
                    {words::END}
                </button>
                {rows}
            </section>
        </div>
    }
    .into_any()
}

fn row(store: Store, ours: &Harness, theirs: &Arc<Harness>, change: Change) -> AnyView {
    let (sign, sign_name) = words::sign(change);
    let told = words::told(ours, theirs, change);
    let sides = told.sides.map(|(our, their)| {
        view! {
            <dl class="sides">
                <div><dt>{words::OURS}</dt><dd>{our}</dd></div>
                <div><dt>{words::THEIRS}</dt><dd>{their}</dd></div>
            </dl>
        }
        .into_any()
    });
    let clash = is_clash(ours, theirs, change)
        .then(|| view! { <p class="small faint">{words::CLASH}</p> }.into_any());
    let along: Vec<String> = needs(ours, theirs, change)
        .into_iter()
        .map(|needed| words::told(ours, theirs, needed).about)
        .collect();
    let along = (!along.is_empty())
        .then(|| view! { <p class="small faint">{words::brings(&along)}</p> }.into_any());
    let theirs = Arc::clone(theirs);
    let act = move |_| {
        let command = take(&store.harness_now(), &theirs, change);
        match command {
            Some(command) => store.change(command),
            None => store.session.say(words::CANNOT, None),
        }
    };
    let pick = change.pick();
    let (lit, light) = (store.session.lit, move || pick.map(|pick| vec![pick]));
    let name = format!("{}: {}", words::act(change), told.about);
    view! {
        <li
            class="difference"
            on:pointerenter=move |_| lit.set(light())
            on:pointerleave=move |_| lit.set(None)
            on:focusin=move |_| lit.set(light())
            on:focusout=move |_| lit.set(None)
        >
            <span class="sign" role="img" aria-label=sign_name title=sign_name>{sign}</span>
            <div class="grow">
                <p>{told.about}</p>
                {sides}
                {clash}
                {along}
            </div>
            <button type="button" class="button" aria-label=name on:click=act>
                {words::act(change)}
            </button>
        </li>
    }
    .into_any()
}

/// What differs on the map, once for each thing.
fn marks(found: &[Change]) -> Vec<(sparktrail_core::topology::Pick, Difference)> {
    let mut marks = Vec::new();
    for change in found {
        let Some(pick) = change.pick() else { continue };
        if marks.iter().any(|(known, _)| *known == pick) {
            continue;
        }
        let difference = match change.only() {
            Some(Only::Theirs) => Difference::Added,
            Some(Only::Ours) => Difference::Removed,
            None => Difference::Differs,
        };
        marks.push((pick, difference));
    }
    marks
}
