//! The firing order and the crank angles, to be changed, with what the check says of them.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::layouts::{
    propose_uneven, read_angles, read_order, write_angles, write_order,
};
use sparktrail_core::edit::{FactAt, FactValue};
use sparktrail_core::engine::Firing;
use sparktrail_core::model::{Harness, MapFinding};

use super::acts::say;
use super::fields::text;
use crate::places::facts::companions;
use crate::places::selection::how_of;
use crate::places::words::{editor as words, engine as engine_words, job as job_words};
use crate::store::Store;
use crate::ui::drop_down_in_line;

/// The card.
pub(super) fn engine(store: Store) -> AnyView {
    let trouble = RwSignal::new(None::<String>);
    let pairs = move || store.told.with(|harness| companions(harness));
    view! {
        <section class="card edit-engine">
            <h2 class="sub-head">{words::ENGINE}</h2>
            {order(store, trouble)}
            {steps(store)}
            {angles(store, trouble)}
            {move || trouble.get().map(|said| view! { <p class="wrong" role="alert">{said}</p> })}
            <dl class="facts">
                <div class="fact">
                    <dt>{job_words::COMPANIONS}</dt>
                    <dd class="num">{pairs}</dd>
                </div>
            </dl>
            {answer(store)}
        </section>
    }
    .into_any()
}

/// The firing order as it is written, taken when the person leaves it.
fn order(store: Store, trouble: RwSignal<Option<String>>) -> AnyView {
    let now = move |harness: &Arc<Harness>| write_order(&harness.engine.order.value);
    let shown = Memo::new(move |_| store.told.with(now));
    let act = move |typed: String| {
        let harness = store.harness_now();
        match read_order(&typed, &harness.engine.cylinders()) {
            Ok(order) => {
                trouble.set(None);
                if order != harness.engine.order.value {
                    say(store, FactAt::FiringOrder, Some(FactValue::Order(order)));
                }
            }
            Err(error) => trouble.set(Some(words::no_firing(&error))),
        }
    };
    let name = engine_words::ORDER;
    let field = text(None, name.into(), shown.into(), Box::new(act));
    view! {
        <label class="field"><span>{name}</span>{field}</label>
        {how_of(store, FactAt::FiringOrder, name.to_owned())}
    }
    .into_any()
}

/// Whether it fires at even steps. Uneven ones are proposed, to be overwritten.
fn steps(store: Store) -> AnyView {
    let (name, entries) = engine_words::STEPS;
    let is_uneven = move |harness: &Arc<Harness>| harness.engine.firing.value != Firing::Even;
    let at = Memo::new(move |_| usize::from(store.told.with(is_uneven)));
    let choose = move |place: usize| {
        let firing = if place == 0 {
            Firing::Even
        } else {
            let propose = |harness: &Arc<Harness>| propose_uneven(&harness.engine);
            Firing::At(store.harness.with_untracked(propose))
        };
        say(store, FactAt::FiringAngles, Some(FactValue::Firing(firing)));
    };
    let entries = entries.iter().map(|words| (*words).to_owned()).collect();
    let field = drop_down_in_line(name.into(), entries, at.into(), Callback::new(choose));
    view! {
        <label class="field"><span>{name}</span>{field}</label>
        {how_of(store, FactAt::FiringAngles, name.to_owned())}
    }
    .into_any()
}

/// The crank angles of an engine that fires unevenly.
fn angles(store: Store, trouble: RwSignal<Option<String>>) -> AnyView {
    let now = move |harness: &Arc<Harness>| match &harness.engine.firing.value {
        Firing::Even => None,
        Firing::At(angles) => Some(write_angles(angles)),
    };
    let shown = Memo::new(move |_| store.told.with(now));
    let any = Memo::new(move |_| shown.with(Option::is_some));
    let act = move |typed: String| {
        let harness = store.harness_now();
        match read_angles(&typed, &harness.engine) {
            Ok(angles) => {
                trouble.set(None);
                if Some(write_angles(&angles)) != shown.get_untracked() {
                    let firing = FactValue::Firing(Firing::At(angles));
                    say(store, FactAt::FiringAngles, Some(firing));
                }
            }
            Err(error) => trouble.set(Some(words::no_firing(&error))),
        }
    };
    let field = move || {
        any.get().then(|| {
            let name = engine_words::ANGLES;
            let text = text(
                None,
                name.into(),
                Signal::derive(move || shown.get().unwrap_or_default()),
                Box::new(act),
            );
            view! {
                <label class="field"><span>{name}</span>{text}</label>
                <p class="faint small">{words::ANGLES_AS}</p>
            }
        })
    };
    view! { {field} }.into_any()
}

/// What the check says of order, angles and the coils that two cylinders share.
fn answer(store: Store) -> AnyView {
    let found = Memo::new(move |_| {
        let mut found = store.derived.findings.get();
        found.retain(MapFinding::is_of_engine);
        let told = found.iter();
        store.harness.with_untracked(|harness| {
            told.map(|finding| finding.named(harness).to_string())
                .collect::<Vec<String>>()
        })
    });
    let shown = move || {
        let found = found.get();
        if found.is_empty() {
            return view! { <p class="faint small">{words::ENGINE_FINE}</p> }.into_any();
        }
        let rows: Vec<AnyView> = found
            .into_iter()
            .map(|said| view! { <li>{said}</li> }.into_any())
            .collect();
        view! { <ul class="wrongs">{rows}</ul> }.into_any()
    };
    view! { <div role="status">{shown}</div> }.into_any()
}
