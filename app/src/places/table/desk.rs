//! What the pin table is doing now: which rows show, in which order, which cell is held.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::gather::{Arrange, Gather};
use sparktrail_core::model::{PartId, Port};
use sparktrail_core::table::{
    Column, Names, Placed, Row, RowAt, Scope, cells, natural, retype, rows,
};
use sparktrail_core::topology::Pick;

use super::super::words::table as words;
use crate::edge::{canvas, page};
use crate::store::Store;

/// What the table shows.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Mode {
    /// The rows.
    Grid,
    /// The box to paste into.
    Paste,
}

/// The order of the rows.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Sorted {
    /// As a pin table is read.
    Usual,
    /// By a column.
    Up(Column),
    /// By a column, backward.
    Down(Column),
}

/// A cell that is being typed over.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) struct Held {
    pub(super) at: RowAt,
    pub(super) column: Column,
}

/// The columns of the table, in their order.
pub(super) const COLUMNS: [Column; 8] = [
    Column::Pin,
    Column::Unit,
    Column::Colour,
    Column::Area,
    Column::Metres,
    Column::GoesTo,
    Column::Known,
    Column::Note,
];

/// The table's signals.
#[derive(Clone, Copy)]
pub(super) struct Desk {
    pub(super) store: Store,
    pub(super) mode: RwSignal<Mode>,
    pub(super) scope: RwSignal<Scope>,
    pub(super) filter: RwSignal<String>,
    pub(super) sorted: RwSignal<Sorted>,
    pub(super) names: Memo<Arc<Names>>,
    pub(super) rows: Memo<Arc<BTreeMap<RowAt, Row>>>,
    /// Every row of the scope, in the usual order.
    pub(super) all: Memo<Vec<RowAt>>,
    /// Those that pass the filter, in the order asked for.
    pub(super) shown: Memo<Vec<RowAt>>,
    /// The cell that the keyboard stands on.
    pub(super) active: RwSignal<Option<Held>>,
    /// The cell that is being typed over.
    pub(super) editing: RwSignal<Option<Held>>,
    /// What stands in it now.
    pub(super) draft: RwSignal<String>,
    /// Why it cannot say so.
    pub(super) trouble: RwSignal<Option<String>>,
    /// The rows as text, where the browser kept them off the clipboard.
    pub(super) by_hand: RwSignal<Option<String>>,
}

/// The id of the grid, which holds the keyboard.
pub(super) const GRID: &str = "pin-grid";
/// The id of the field in the cell that is being typed over.
pub(super) const FIELD: &str = "pin-field";

impl Desk {
    pub(super) fn new(store: Store) -> Self {
        let scope = RwSignal::new(Scope::All);
        let filter = RwSignal::new(String::new());
        let sorted = RwSignal::new(Sorted::Usual);
        // They follow the document and nothing else.
        let names = Memo::new_with_compare(
            move |_| store.told.with(|harness| Arc::new(Names::of(harness))),
            |_, _| true,
        );
        let placed = Memo::new_with_compare(
            move |_| {
                let names = names.get();
                let scope = scope.get();
                let rows = |harness: &Arc<_>| rows(harness, &names, scope);
                Arc::new(store.told.with(rows))
            },
            |_, _| true,
        );
        let rows = Memo::new_with_compare(
            move |_| {
                placed.with(|placed| {
                    let rows = placed.iter().map(|placed| (placed.at, placed.row.clone()));
                    Arc::new(rows.gather::<BTreeMap<_, _>>())
                })
            },
            |_, _| true,
        );
        let all =
            Memo::new(move |_| placed.with(|placed| placed.iter().map(|row| row.at).collect()));
        let shown = Memo::new(move |_| {
            let wanted = filter.with(|filter| filter.trim().to_lowercase());
            let sorted = sorted.get();
            placed.with(|placed| shown(placed, &wanted, sorted))
        });
        Self {
            store,
            mode: RwSignal::new(Mode::Grid),
            scope,
            filter,
            sorted,
            names,
            rows,
            all,
            shown,
            active: RwSignal::new(None),
            editing: RwSignal::new(None),
            draft: RwSignal::new(String::new()),
            trouble: RwSignal::new(None),
            by_hand: RwSignal::new(None),
        }
    }

    /// What a row says now. Not tracked.
    pub(super) fn row(self, at: RowAt) -> Row {
        self.rows
            .with_untracked(|rows| rows.get(&at).cloned().unwrap_or_default())
    }

    /// Puts the keyboard on a cell and picks its row on the map.
    pub(super) fn stand(self, held: Held) {
        self.active.set(Some(held));
        self.trouble.set(None);
        self.store.session.picked.set(pick(held.at));
        let id = cell_id(held);
        page::next_frame(move || page::bring_into_view(&id));
    }

    /// Moves the keyboard by rows and columns; stays within the table.
    pub(super) fn step(self, down: isize, right: isize) {
        let shown = self.shown.get_untracked();
        let Some(first) = shown.first() else { return };
        let Some(held) = self.active.get_untracked() else {
            let column = Column::Pin;
            self.stand(Held { at: *first, column });
            return;
        };
        let row = shown.iter().position(|at| *at == held.at).unwrap_or(0);
        let column = COLUMNS.iter().position(|c| *c == held.column).unwrap_or(0);
        let row = row.saturating_add_signed(down).min(shown.len() - 1);
        let column = column.saturating_add_signed(right).min(COLUMNS.len() - 1);
        if let (Some(&at), Some(&column)) = (shown.get(row), COLUMNS.get(column)) {
            self.stand(Held { at, column });
        }
    }

    /// Begins to type over a cell: with what it says, or with what was typed.
    pub(super) fn begin(self, held: Held, typed: Option<String>) {
        let can = self.store.harness.with_untracked(|harness| {
            sparktrail_core::table::can_retype(harness, held.at, held.column)
        });
        self.active.set(Some(held));
        if !can {
            self.trouble.set(Some(words::not_here(held.column).into()));
            return;
        }
        self.trouble.set(None);
        let says = || text(&self.row(held.at), held.column);
        let select = typed.is_none();
        self.draft.set(typed.unwrap_or_else(says));
        self.editing.set(Some(held));
        page::next_frame(move || {
            if select {
                canvas::select_id(FIELD);
            } else {
                canvas::focus_id(FIELD);
            }
        });
    }

    /// Leaves a cell as it was.
    pub(super) fn let_be(self) {
        self.editing.set(None);
        self.trouble.set(None);
        canvas::focus_id(GRID);
    }

    /// Makes the cell say what was typed; whether it does now. What cannot be is told and stays to be mended.
    pub(super) fn keep(self) -> bool {
        let Some(held) = self.editing.get_untracked() else {
            return true;
        };
        let draft = self.draft.get_untracked();
        let kept = self.write(held, &draft);
        if kept {
            self.editing.set(None);
            canvas::focus_id(GRID);
        }
        kept
    }

    /// Makes a cell say `text`.
    pub(super) fn write(self, held: Held, text: &str) -> bool {
        let harness = self.store.harness_now();
        let names = self.names.get_untracked();
        let said = retype(&harness, &names, held.at, held.column, text);
        let trouble = match said {
            Ok(None) => None,
            Ok(Some(command)) => match self.store.dispatch(command) {
                Ok(()) => {
                    self.follow(held);
                    None
                }
                Err(error) => Some(error.told(&harness)),
            },
            Err(wrong) => Some(words::wrong(&wrong)),
        };
        let kept = trouble.is_none();
        self.trouble.set(trouble);
        kept
    }

    /// A pin that has got its first wire has another row: the keyboard goes with it.
    fn follow(self, held: Held) {
        let all = self.all.get_untracked();
        if all.contains(&held.at) {
            return;
        }
        let row = all.iter().find(|at| at.terminal == held.at.terminal);
        let column = held.column;
        self.active.set(row.map(|&at| Held { at, column }));
    }
}

/// The rows that pass the filter, in the order asked for.
fn shown(placed: &[Placed], wanted: &str, sorted: Sorted) -> Vec<RowAt> {
    let passes = |row: &Row| {
        wanted.is_empty()
            || COLUMNS
                .iter()
                .any(|column| text(row, *column).to_lowercase().contains(wanted))
    };
    let mut kept: Vec<(usize, &Placed)> = placed
        .iter()
        .enumerate()
        .filter(|(_, placed)| passes(&placed.row))
        .collect();
    let (column, turned) = match sorted {
        Sorted::Usual => return kept.into_iter().map(|(_, placed)| placed.at).collect(),
        Sorted::Up(column) => (column, false),
        Sorted::Down(column) => (column, true),
    };
    kept.arrange_by(|(i, a), (j, b)| {
        let order = by(column, &a.row, &b.row);
        (if turned { order.reverse() } else { order }).then(i.cmp(j))
    });
    kept.into_iter().map(|(_, placed)| placed.at).collect()
}

/// The order of two rows by a column; what says nothing comes last.
fn by(column: Column, a: &Row, b: &Row) -> Ordering {
    let number = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => a.total_cmp(&b),
        (a, b) => a.is_none().cmp(&b.is_none()),
    };
    match column {
        Column::Area => {
            let area = |row: &Row| row.size.map(|size| size.area().get());
            number(area(a), area(b))
        }
        Column::Metres => {
            let length = |row: &Row| row.length.map(|length| length.get());
            number(length(a), length(b))
        }
        Column::Known => a.how.cmp(&b.how),
        Column::Unit
        | Column::Pin
        | Column::Colour
        | Column::Base
        | Column::Tracer
        | Column::Gauge
        | Column::Centimetres
        | Column::Millimetres
        | Column::GoesTo
        | Column::FarPin
        | Column::Note
        | Column::LeftOut => {
            let (a, b) = (text(a, column), text(b, column));
            a.is_empty().cmp(&b.is_empty()).then(natural(&a, &b))
        }
    }
}

/// What a cell says, as it is typed.
pub(super) fn text(row: &Row, column: Column) -> String {
    match column {
        Column::Unit => row.unit.clone(),
        Column::Pin => row.pin.clone(),
        Column::Colour => row.colour.map(cells::write_colour).unwrap_or_default(),
        Column::Area => row.size.map(cells::write_size).unwrap_or_default(),
        Column::Metres => row.length.map(cells::write_length).unwrap_or_default(),
        Column::GoesTo => row.goes_to.clone(),
        Column::Known => row.how.map(cells::write_how).unwrap_or_default().to_owned(),
        Column::Note => row.note.clone(),
        Column::Base
        | Column::Tracer
        | Column::Gauge
        | Column::Centimetres
        | Column::Millimetres
        | Column::FarPin
        | Column::LeftOut => String::new(),
    }
}

/// What a row is on the map.
pub(super) fn pick(at: RowAt) -> Option<Pick> {
    match (at.terminal, at.wire) {
        (_, Some((wire, _))) => Some(Pick::Wire(wire)),
        (Some(terminal), None) => Some(Pick::Terminal(terminal)),
        (None, None) => None,
    }
}

/// The id of a row, unlike that of any other.
pub(super) fn row_id(at: RowAt) -> String {
    if let Some((wire, end)) = at.wire {
        let end = match end {
            sparktrail_core::model::WireEnd::From => "a",
            sparktrail_core::model::WireEnd::To => "b",
        };
        return format!("pin-row-w{wire}{end}");
    }
    let Some(terminal) = at.terminal else {
        return "pin-row".into();
    };
    let part: PartId = terminal.part;
    if let Port::Pin(pin) = terminal.port {
        format!("pin-row-{part}-{pin}")
    } else if let Port::Cavity(cavity, side) = terminal.port {
        format!("pin-row-{part}-{cavity}-{side:?}")
    } else {
        format!("pin-row-{part}")
    }
}

/// The id of a cell.
pub(super) fn cell_id(held: Held) -> String {
    let column = COLUMNS.iter().position(|c| *c == held.column).unwrap_or(0);
    format!("{}-{column}", row_id(held.at))
}
