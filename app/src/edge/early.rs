//! Words to the script that shows the page before the program is there (`static/early.js`).

use web_sys::{CustomEvent, CustomEventInit};

/// Something of the program stands, and may be shown in place of what was there before.
const STANDS: &str = "sparktrail-stands";

/// What of the program stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// The page with its first screen.
    Start,
    /// A word of trouble on the first screen, in place of the map that was asked for.
    Trouble,
    /// A map.
    Map,
}

/// What was seen before the program's own map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Before {
    /// No map.
    Nothing,
    /// A picture of this map.
    Picture,
}

/// Tells that something stands; it is then what is seen. Tells what was seen before.
pub fn tell(what: Stands) -> Before {
    let word = match what {
        Stands::Start => "start",
        Stands::Trouble => "trouble",
        Stands::Map => "map",
    };
    let with = CustomEventInit::new();
    with.set_detail(&word.into());
    with.set_cancelable(true);
    let event = CustomEvent::new_with_event_init_dict(STANDS, &with);
    match web_sys::window().zip(event.ok()) {
        Some((window, event)) if window.dispatch_event(&event) == Ok(false) => Before::Picture,
        Some(_) | None => Before::Nothing,
    }
}
