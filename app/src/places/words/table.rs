//! Words of the pin table and of the connector's face.

use crate::text::{Text, text};
use sparktrail_core::model::{Corner, Run, Side};
use sparktrail_core::said::{said, say};
use sparktrail_core::table::{
    Clash, Column, Heading, RowError, Separator, Tally, TextError, Wrong,
};

use crate::store::MapForm;

/// The switch between the views of one map.
pub const FORMS: Text = text("The map as");

/// A view of the map.
#[must_use]
pub fn form(form: MapForm) -> &'static str {
    said(match form {
        MapForm::Drawing => "Drawing",
        MapForm::Table => "Pin table",
        MapForm::Face => "Connector",
    })
}

/// The table, for readers.
pub const TABLE: Text = text("Pin table");
/// The unit whose rows show.
pub const UNIT: Text = text("Rows of");
/// All of them.
pub const ALL_UNITS: Text = text("the whole map");
/// The filter.
pub const FILTER: Text = text("Only rows with");
/// What to type into it.
pub const FILTER_HINT: Text = text("a pin, colour, part…");
/// Opens the box to paste into.
pub const PASTE: Text = text("Paste rows");
/// Copies the rows that show.
pub const COPY: Text = text("Copy rows");
/// Saves them.
pub const SAVE: Text = text("Save as .csv");
/// The sign in a cell of which something else is said too.
pub const CLASH: Text = text("Something else is said of this too. Tap the cell to settle it.");
/// They are on the clipboard.
#[must_use]
pub fn copied(rows: usize) -> String {
    match rows {
        1 => say!("One row copied. Paste it into a spreadsheet or a message."),
        rows => say!("{rows} rows copied. Paste them into a spreadsheet or a message."),
    }
}
/// The browser did not let them onto the clipboard.
pub const NOT_COPIED: Text =
    text("The browser did not let the rows onto the clipboard. Select them here and copy them.");
/// The text to copy by hand.
pub const COPY_BY_HAND: Text = text("The rows as text");
/// Puts something away.
pub const DONE: Text = text("Done");
/// No row passes the filter.
pub const NO_ROWS: Text = text("No row has that. Change the filter, or show the whole map.");
/// The map has no pins or wires.
pub const EMPTY: Text =
    text("No pins and no wires yet. Draw them, or paste rows from a spreadsheet.");
/// How the table is worked.
pub const HINT: Text = text(
    "Tap a cell twice to change it. On a keyboard: arrows move, Enter or typing changes, Esc leaves it as it was.",
);
/// An empty cell, for readers.
pub const NOTHING: Text = text("nothing known");
/// A cell in the making.
#[must_use]
pub fn editing(column: Column, unit: &str, pin: &str) -> String {
    say!("{} of {unit}, {pin}", name(column))
}
/// The colours to choose from.
pub const PALETTE: Text = text("Colours: base first, then the stripe");
/// The cell is not changed here.
#[must_use]
pub fn not_here(column: Column) -> &'static str {
    said(match column {
        Column::Unit => "A part gets another name on the drawing.",
        Column::Pin => "This terminal's name is fixed.",
        Column::Known => "Nothing is known here yet.",
        Column::Colour
        | Column::Base
        | Column::Tracer
        | Column::Area
        | Column::Gauge
        | Column::Metres
        | Column::Centimetres
        | Column::Millimetres
        | Column::GoesTo
        | Column::FarPin
        | Column::Note
        | Column::LeftOut => "There is no wire here to write it on. Say first where it goes.",
    })
}
/// The size of the table.
#[must_use]
pub fn shown(shown: usize, all: usize) -> String {
    if shown == all {
        say!("{all} rows")
    } else {
        say!("{shown} of {all} rows")
    }
}

/// What a column holds.
#[must_use]
pub fn name(column: Column) -> &'static str {
    said(match column {
        Column::Unit => "Unit",
        Column::Pin => "Pin",
        Column::Colour => "Colour",
        Column::Base => "Base colour",
        Column::Tracer => "Stripe",
        Column::Area => "Size, mm² or AWG",
        Column::Gauge => "Size, AWG",
        Column::Metres => "Length, m",
        Column::Centimetres => "Length, cm",
        Column::Millimetres => "Length, mm",
        Column::GoesTo => "Goes to",
        Column::FarPin => "Pin at the other end",
        Column::Known => "Known",
        Column::Note => "Note",
        Column::LeftOut => "left out",
    })
}

/// The head of a column, short.
#[must_use]
pub fn head(column: Column) -> &'static str {
    said(match column {
        Column::Area => "Size",
        Column::Metres => "Length",
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
        | Column::Known
        | Column::Note
        | Column::LeftOut => name(column),
    })
}

// Pasting

/// The box.
pub const PASTE_TITLE: Text = text("Paste rows");
/// What can be pasted.
pub const PASTE_LEAD: Text = text(
    "Copy rows in any spreadsheet and paste them below. Nothing changes until you apply them.",
);
/// The field.
pub const PASTE_FIELD: Text = text("Rows, with or without a heading");
/// Between the cells.
pub const SEPARATOR: Text = text("Between cells");
/// A separator.
#[must_use]
pub fn separator(separator: Separator) -> &'static str {
    said(match separator {
        Separator::Tab => "tab",
        Separator::Comma => "comma",
        Separator::Semicolon => "semicolon",
    })
}
/// The first row.
pub const HEADING: Text = text("First row");
/// What the first row is.
#[must_use]
pub fn heading(heading: Heading) -> &'static str {
    said(match heading {
        Heading::FirstRow => "names the columns",
        Heading::None => "is a pin like the others",
    })
}
/// The unit for rows without one.
pub const PASTE_UNIT: Text = text("Rows without a unit are of");
/// None is chosen.
pub const NO_UNIT: Text = text("no unit chosen");
/// One side of an in-line connector.
#[must_use]
pub fn side_of(part: &str, side: Side) -> String {
    format!("{part}, {}", side_short(side))
}
/// A side, after the connector's name.
#[must_use]
pub fn side_short(side: Side) -> &'static str {
    said(match side {
        Side::A => "side A, toward the control unit",
        Side::B => "side B, toward the engine",
    })
}
/// How rows are known that do not tell it.
pub const PASTE_HOW: Text = text("Rows that do not tell it are");
/// The guess.
pub const GUESS: Text = text("What the columns hold");
/// Above the guess.
pub const GUESS_LEAD: Text = text("This is a guess. Correct it where it is wrong.");
/// A column of the pasted table.
#[must_use]
pub fn column(place: usize) -> String {
    say!("Column {}", place + 1)
}
/// More rows than the guess shows.
#[must_use]
pub fn more_rows(rows: usize) -> String {
    match rows {
        1 => say!("and one more row"),
        rows => say!("and {rows} more rows"),
    }
}
/// What would happen.
pub const OUTCOME: Text = text("What would change");
/// How many rows do what.
#[must_use]
pub fn tally(tally: Tally) -> String {
    let mut parts = Vec::new();
    let mut add = |many: usize, one: &str, more: &str| match many {
        0 => {}
        1 => parts.push(one.to_owned()),
        many => parts.push(format!("{many} {more}")),
    };
    add(
        tally.changed,
        said("one row changes the map"),
        said("rows change the map"),
    );
    add(tally.new, said("one is new to it"), said("are new to it"));
    add(
        tally.same,
        said("one says what it says already"),
        said("say what it says already"),
    );
    add(
        tally.wrong,
        said("one is wrong and is left out"),
        said("are wrong and are left out"),
    );
    let mut text = parts.join(", ");
    if let Some(first) = text.get(..1).map(str::to_uppercase) {
        text.replace_range(..1, &first);
    }
    text.push('.');
    text
}
/// Does it.
#[must_use]
pub fn apply(tally: Tally) -> String {
    let rows = tally.changed + tally.new;
    let rows = match rows {
        1 => say!("Apply one row"),
        rows => say!("Apply {rows} rows"),
    };
    match tally.wrong {
        0 => rows,
        1 => say!("{rows}, leave one out"),
        wrong => say!("{rows}, leave {wrong} out"),
    }
}
/// Nothing to do.
pub const NOTHING_TO_APPLY: Text = text("Nothing to apply");
/// Leaves the box.
pub const CANCEL: Text = text("Cancel");
/// It is done.
#[must_use]
pub fn applied(tally: Tally) -> String {
    let rows = tally.changed + tally.new;
    match (rows, tally.wrong) {
        (1, 0) => say!("One row applied."),
        (rows, 0) => say!("{rows} rows applied."),
        (1, wrong) => say!("One row applied, {wrong} left out."),
        (rows, wrong) => say!("{rows} rows applied, {wrong} left out."),
    }
}
/// Takes it back.
pub const UNDO: Text = text("Undo");
/// What is wrong.
#[must_use]
pub fn wrong_rows(rows: usize) -> String {
    match rows {
        1 => say!("One row is wrong"),
        rows => say!("{rows} rows are wrong"),
    }
}
/// A place in the text.
#[must_use]
pub fn place(error: &RowError) -> String {
    match error.column {
        Some(column) => say!("Line {}, column {column}", error.line),
        None => say!("Line {}", error.line),
    }
}
/// What is wrong, and the mend, as two sentences.
#[must_use]
pub fn wrong(wrong: &Wrong) -> String {
    format!(
        "{}. {}",
        upper(&wrong.to_string()),
        ended(&upper(&wrong.mend()))
    )
}
/// Why there are no rows.
#[must_use]
pub fn text_error(error: TextError) -> String {
    format!(
        "{}. {}",
        upper(&error.to_string()),
        ended(&upper(error.mend()))
    )
}
fn ended(text: &str) -> String {
    if text.ends_with(['?', '.']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}
fn upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}
/// A line of the text.
#[must_use]
pub fn line(line: usize) -> String {
    say!("Line {line}")
}
/// A row that is new.
pub const NEW: Text = text("new");
/// A cell that changes.
#[must_use]
pub fn change(column: Column, before: &str, after: &str) -> String {
    if before.is_empty() {
        format!("{}: {after}", head(column))
    } else {
        format!("{}: {before} → {after}", head(column))
    }
}
/// What a clash comes to.
#[must_use]
pub fn clash(clash: Clash) -> &'static str {
    said(match clash {
        Clash::None => "",
        Clash::RowStands => "clashes with a diagram; the row stands, both are kept",
        Clash::MapStands => "clashes with what is known better; the map stays, both are kept",
    })
}
/// More changes than are listed.
#[must_use]
pub fn more_changes(rows: usize) -> String {
    say!("and {rows} more")
}
/// More wrong rows than are listed.
#[must_use]
pub fn more_wrong(rows: usize) -> String {
    say!("and {rows} more")
}

// The face

/// Which connector shows.
pub const CONNECTOR: Text = text("Connector");
/// No connector, no unit.
pub const NO_CONNECTOR: Text =
    text("The map has no control unit and no connector yet. Draw one, and its face shows here.");
/// It has no pins.
pub const NO_PINS: Text =
    text("It has no pins yet. Paste them as rows, or add them on the drawing.");
/// From where one looks.
pub const SEEN: Text = text("Seen from");
/// Where the wires go in.
pub const WIRE_SIDE: Text = text("wire side");
/// Where it mates.
pub const MATING_SIDE: Text = text("mating side");
/// The caption from the wire side.
pub const FROM_WIRES: Text = text("You look at the back of the plug, where the wires go in.");
/// The caption from the mating side.
pub const FROM_MATING: Text =
    text("Mirrored: you look into the face that mates, so left and right have changed places.");
/// Nobody has said what it looks like.
pub const PROPOSED: Text = text(
    "Nobody has said yet how many rows this plug has. This is a proposal: compare it with the plug and set it.",
);
/// The shape.
pub const SHAPE: Text = text("What the plug looks like");
/// How many rows.
pub const ROWS: Text = text("Rows");
/// How many columns.
pub const COLUMNS: Text = text("Columns");
/// How the numbers run.
pub const RUN: Text = text("Numbers run");
/// A way in which they run.
#[must_use]
pub fn run(run: Run) -> &'static str {
    said(match run {
        Run::Rows => "along each row",
        Run::Columns => "along each column",
        Run::ToAndFro => "along the rows, to and fro",
        Run::Letters => "by row letter: A1, A2, B1",
    })
}
/// Where they begin.
pub const FIRST: Text = text("They begin");
/// A corner, from the wire side.
#[must_use]
pub fn corner(corner: Corner) -> &'static str {
    said(match corner {
        Corner::TopLeft => "top left",
        Corner::TopRight => "top right",
        Corner::BottomLeft => "bottom left",
        Corner::BottomRight => "bottom right",
    })
}
/// Takes the proposal as it is.
pub const KEEP_SHAPE: Text = text("It looks like this");
/// The corner is told from the wire side.
pub const SHAPE_NOTE: Text = text(
    "Told as seen from the wire side; of an in-line connector, from the side toward the control unit.",
);
/// Pins without a place.
pub const BESIDE: Text = text("Without a place on this face");
/// Why.
pub const BESIDE_WHY: Text =
    text("Their numbers are unknown, stand twice, or lie beyond these rows and columns.");
/// A place where nothing is known.
pub const FREE: Text = text("not on the map");
/// A pin without a wire.
pub const NO_WIRE: Text = text("no wire");
/// How a count must be.
#[must_use]
pub fn out_of_count(most: u8) -> String {
    say!("It must be a whole number from 1 to {most}.")
}
