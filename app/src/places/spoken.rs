//! Says what has just changed on the map, for readers: cold cylinders, the leading suspect, the next thing to do.

use leptos::prelude::*;

use super::words::faults::{Say, numbers};
use super::words::spoken as words;
use super::words::{next, suspects};
use crate::store::{Place, Planned, Reckoned, Store};

/// A region that is always there and says the last change; nothing of it shows.
pub(crate) fn spoken(store: Store) -> AnyView {
    let broken = Memo::new(move |_| broken(store));
    let weighed = Memo::new(move |_| weighed(store));
    let said = RwSignal::new(String::new());
    Effect::watch(
        move || broken.get(),
        move |now, before, _| match now {
            Some(now) => said.set(now.clone()),
            None if before.is_some_and(Option::is_some) => said.set(words::MENDED.into()),
            None => {}
        },
        false,
    );
    Effect::watch(
        move || weighed.get(),
        move |now, _, _| {
            if let Some(now) = now {
                said.set(now.clone());
            }
        },
        false,
    );
    view! { <p class="unseen" role="status" data-spoken="true">{move || said.get()}</p> }.into_any()
}

/// What is broken for trying, and the cylinders that it takes.
fn broken(store: Store) -> Option<String> {
    let effect = store.derived.effect.get()?;
    let harness = store.harness.get_untracked();
    let what = format!(
        "{}, {}",
        harness.element_name(effect.fault.element),
        Say(&harness).mode(effect.fault.mode)
    );
    let list = |verdicts: &[sparktrail_core::faults::Verdict]| {
        let all: Vec<_> = verdicts.iter().map(|verdict| verdict.cylinder).collect();
        numbers(&all)
    };
    Some(words::broken(
        &what,
        &list(&effect.dead),
        &list(&effect.doubtful),
    ))
}

/// The leading suspect and what to do next, once both are known.
fn weighed(store: Store) -> Option<String> {
    if store.session.place.get() != Place::Job {
        return None;
    }
    let (Reckoned::Known(verdict), Planned::Known(advice)) = (
        store.isolation.reckoned.get(),
        store.isolation.planned.get(),
    ) else {
        return None;
    };
    if verdict.evidence == 0 {
        return None;
    }
    let harness = store.harness.get_untracked();
    let leader = verdict.suspects.first()?;
    let next = match &advice.loose {
        Some(loose) => next::trace(&harness, loose),
        None => next::act(&harness, &advice.acts.first()?.act),
    };
    Some(words::weighed(
        &leader.why.unit.name(&harness),
        &suspects::share(leader.why.share),
        &next,
    ))
}
