//! Words of the list of keys.

/// Heading.
pub const HEADING: &str = "Keys";
/// Putting the list away.
pub const CLOSE: &str = "Close";

/// Each key and what it does.
pub const KEYS: &[(&str, &str)] = &[
    ("Tab", "walk along the map, from the battery to the plugs"),
    ("Enter", "choose what the keyboard is on"),
    ("Esc", "one step back"),
    ("Arrows", "move the map"),
    ("+  −", "closer, further away"),
    ("0", "the whole map"),
    ("Ctrl Z", "undo"),
    ("Ctrl Shift Z", "redo"),
    ("?", "this list"),
    ("E", "edit the map, or stop editing it"),
    ("A", "editing: add a part"),
    ("C", "editing: connect what is chosen"),
    (
        "Arrows",
        "editing: move what is chosen; with Shift, farther",
    ),
    ("Delete", "editing: take away what is chosen"),
    ("Ctrl D", "editing: copy what is chosen"),
    ("F2", "editing: name what is chosen"),
    ("S", "editing: choose several, one after the other"),
];
