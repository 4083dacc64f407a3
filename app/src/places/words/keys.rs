//! Words of the list of keys.

use crate::text::{Text, plain, text, text_in};

/// Heading.
pub const HEADING: Text = text("Keys");
/// Putting the list away.
pub const CLOSE: Text = text("Close");

/// Each key and what it does.
pub const KEYS: &[(Text, Text)] = &[
    (
        text("Tab"),
        text("walk along the map, from the battery to the plugs"),
    ),
    (text("Enter"), text("choose what the keyboard is on")),
    (text("Esc"), text("one step back")),
    (text("Arrows"), text("move the map")),
    (plain("+  −"), text("closer, further away")),
    (plain("0"), text("the whole map")),
    (text("Ctrl Z"), text("undo")),
    (text("Ctrl Shift Z"), text("redo")),
    (plain("?"), text("this list")),
    (plain("E"), text("edit the map, or stop editing it")),
    (plain("A"), text("editing: add a part")),
    (plain("C"), text("editing: connect what is chosen")),
    (
        text("Arrows"),
        text("editing: move what is chosen; with Shift, farther"),
    ),
    (
        text_in("key", "Delete"),
        text("editing: take away what is chosen"),
    ),
    (text("Ctrl D"), text("editing: copy what is chosen")),
    (plain("F2"), text("editing: name what is chosen")),
    (
        plain("S"),
        text("editing: choose several, one after the other"),
    ),
];
