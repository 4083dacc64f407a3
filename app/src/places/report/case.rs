//! What a report tells of the case itself: its cause, the work done, the pins.

use std::sync::Arc;

use sparktrail_core::model::{CaseState, Harness, PartId, PinId, Port};
use sparktrail_core::report::Block;
use sparktrail_core::table::{Names, Placed, Scope, rows};

use super::super::closing::{since, work_lines};
use super::super::words::{closing as closing_words, facts as fact_words, report as words};
use super::head;

/// What it was, what was done, what was seen since; nothing while the case is open.
pub(super) fn cause(harness: &Harness) -> Vec<Block> {
    let (done, cause) = match harness.case_state() {
        CaseState::Open => return Vec::new(),
        CaseState::Mended(done) => (Some(done), None),
        CaseState::Closed(done, cause) => (done, Some(cause)),
    };
    let line = |term: &str, text: &str| format!("{term}: {}", text.trim());
    let mut lines = Vec::new();
    lines.extend(cause.map(|cause| line(closing_words::IT_WAS.said(), &cause.text)));
    lines.extend(done.map(|done| line(closing_words::WAS_DONE.said(), &done.text)));
    lines.push(line(closing_words::SINCE.said(), &since(harness)));
    vec![Block::List(lines)]
}

/// The work log.
pub(super) fn work(harness: &Arc<Harness>) -> Vec<Block> {
    let lines = work_lines(harness);
    if lines.is_empty() {
        return Vec::new();
    }
    vec![Block::List(lines)]
}

/// The pins of every control unit and module, as they stand in the pin table.
pub(super) fn pins(harness: &Harness) -> Vec<Block> {
    let names = Names::of(harness);
    let units = harness.parts.keys().copied();
    let units = units.filter(|part| harness.unit(*part).is_some());
    let rows: Vec<Vec<String>> = units
        .flat_map(|unit| rows(harness, &names, Scope::Part(unit)))
        .map(|placed| row(harness, placed))
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table {
        head: head(words::PINS_HEAD),
        rows,
    }]
}

fn row(harness: &Harness, placed: Placed) -> Vec<String> {
    let role = placed.at.terminal.and_then(|terminal| {
        let Port::Pin(pin) = terminal.port else {
            return None;
        };
        role(harness, terminal.part, pin)
    });
    let row = placed.row;
    vec![
        row.unit,
        row.pin,
        role.unwrap_or_default(),
        row.colour.map(|colour| colour.code()).unwrap_or_default(),
        row.goes_to,
        row.how
            .map(|how| how.phrase().to_owned())
            .unwrap_or_default(),
    ]
}

fn role(harness: &Harness, unit: PartId, pin: PinId) -> Option<String> {
    let role = harness.pin(unit, pin)?.role?;
    Some(fact_words::role(role.value).to_owned())
}
