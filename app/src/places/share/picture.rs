//! The open map as a picture, with the dead cylinders and what the findings say.

use sparktrail_core::drawing::{Caption, Drawing};
use sparktrail_core::model::CaseState;

use crate::places::words::{share as words, start};
use crate::store::{Reckoned, Store, cylinders_said};

/// The text of an SVG file, with its width and height in CSS pixels.
pub(in crate::places) fn picture(store: Store) -> (String, f64, f64) {
    let harness = store.harness_now();
    let cold = cylinders_said(harness.findings_now())
        .into_iter()
        .filter_map(|(cylinder, works)| Some((cylinder, words::cold(works)?.to_owned())))
        .collect();
    let mut caption = Caption {
        title: start::titled(&harness.title).to_owned(),
        about: harness.about.clone(),
        cold,
        legend: words::legend(),
        ..Caption::default()
    };
    if let Reckoned::Known(verdict) = store.isolation.reckoned.get_untracked()
        && verdict.evidence > 0
        && harness.case_state() == CaseState::Open
    {
        caption.heat.clone_from(&verdict.heat);
        caption.cleared.clone_from(&verdict.good);
    }
    Drawing::of(&harness).picture(&caption)
}

use leptos::prelude::GetUntracked as _;
