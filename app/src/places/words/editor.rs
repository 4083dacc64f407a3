//! Words of the editor on the map.

use sparktrail_core::model::{GroundSite, LeadKind, Secondary, UnitRole};
use sparktrail_core::provenance::Provenance;

/// The button that begins editing.
pub const EDIT: &str = "Edit the map";
/// The same button while editing.
pub const DONE: &str = "Done editing";
/// The row of buttons.
pub const TOOLS: &str = "Editing";
/// Heading of the list of kinds, and the button that opens it.
pub const ADD: &str = "Add a part";
/// Choosing several.
pub const SEVERAL: &str = "Choose several";
/// Copying.
pub const COPY: &str = "Copy";
/// Taking away.
pub const REMOVE: &str = "Take away";
/// Letting the map place what was placed by hand.
pub const TIDY: &str = "Let the map place it";
/// The same for everything.
pub const TIDY_ALL: &str = "Let the map place all";
/// Connecting.
pub const CONNECT: &str = "Connect";
/// What a person is told at the start.
pub const HINT: &str =
    "Drag a part to move it, or from pin to pin to connect. Tap a thing to change it here.";
/// The same where a wire is in hand.
pub const IN_HAND: &str = "Tap the other terminal on the map, or choose it from the list.";
/// Choosing from the list instead.
pub const FROM_LIST: &str = "Choose from the list";
/// Choosing on the map instead of from the list.
pub const IN_HAND_BUTTON: &str = "Tap it on the map instead";
/// Putting down what is in hand.
pub const PUT_DOWN: &str = "Put down";
/// How what is entered is known.
pub const ENTERED: &str = "What I enter is";
/// Why that matters.
pub const ENTERED_HINT: &str =
    "Where a diagram and the car disagree, both are kept: the car's word stands on the map.";
/// Heading over clashes.
pub const CLASHES: &str = "These clash";
/// Beside a value that clashes.
pub const ALSO: &str = "also said";
/// Going by the other value.
pub const TAKE: &str = "Go by this";
/// Keeping the one on the map.
pub const KEEP: &str = "Drop it";
/// Name of a part.
pub const NAME: &str = "Name";
/// Note on it.
pub const NOTE: &str = "Note";
/// Where it sits.
pub const PLACE: &str = "Where it sits";
/// Heading over the terminals of a part.
pub const TERMINALS: &str = "Terminals";
/// Nothing is joined to a terminal.
pub const NOTHING: &str = "nothing yet";
/// Heading over the pins of a box.
pub const PINS: &str = "Pins";
/// Heading over the cavities of a connector.
pub const CAVITIES: &str = "Cavities";
/// Adding a pin.
pub const ADD_PIN: &str = "Add a pin";
/// Adding a cavity.
pub const ADD_CAVITY: &str = "Add a cavity";
/// Adding a driver.
pub const ADD_DRIVER: &str = "Add a driver";
/// Number or letter of a pin.
pub const NUMBER: &str = "Number";
/// What a pin is for.
pub const USE: &str = "Used for";
/// Opening it.
pub const OPEN: &str = "Open";
/// Base colour of a wire.
pub const BASE: &str = "Colour";
/// Tracer of a wire.
pub const TRACER: &str = "Stripe";
/// No stripe.
pub const NO_TRACER: &str = "no stripe";
/// Nobody knows.
pub const UNKNOWN: &str = "not known";
/// Choosing a terminal.
pub const CHOOSE: &str = "choose…";
/// Taking an end off.
pub const LOOSEN: &str = "Disconnect";
/// Finding a terminal in a list.
pub const FIND: &str = "Find a terminal";
/// Closing a sheet.
pub const CLOSE: &str = "Close";
/// Nothing fits what was typed.
pub const NONE_FOUND: &str = "No terminal is called that.";
/// A driver inside a coil.
pub const INSIDE: &str = "Driver inside the coil";
/// How a coil is built.
pub const BUILT: &str = "Built as";
/// What a ground point is on.
pub const SITE: &str = "Bolted to";
/// What a box is.
pub const BOX: &str = "Kind of box";
/// Lead or boot.
pub const LEAD: &str = "Kind";
/// The housing of a coil.
pub const PACK: &str = "Housed in";
/// None.
pub const ALONE: &str = "by itself";
/// Towers of a distributor.
pub const TOWERS: &str = "Towers, in the order of the cap";
/// The cylinder that a tower feeds.
pub const FEEDS: &str = "Feeds cylinder";
/// A value was kept beside a stronger one.
pub const BESIDE: &str = "Kept beside: the map goes by what is better known. It shows as a clash.";
/// A wire was dropped where nothing takes it.
pub const ON_A_TERMINAL: &str = "Drop it on a terminal or a part.";
/// A driver in a coil.
pub const DRIVER_INSIDE: &str = "driver";

/// Parts that can be added: the heading in the list and the name that the part gets.
pub const KINDS: [(&str, &str); 14] = [
    ("Coil, two towers", "Coil A"),
    ("Coil, one tower", "Coil A"),
    ("Coil pack", "Coil pack"),
    ("Control unit", "Control unit"),
    ("Ignition module", "Ignition module"),
    ("Connector", "Connector"),
    ("Splice", "Splice"),
    ("Ground point", "Ground"),
    ("Fuse", "Fuse"),
    ("Relay", "Relay"),
    ("Ignition switch", "Ignition switch"),
    ("Battery", "Battery"),
    ("Distributor", "Distributor"),
    ("Spark plug", "Plug"),
];

/// How a coil is brought out.
pub const SECONDARIES: [(Secondary, &str); 3] = [
    (Secondary::TwoEnded, "two towers"),
    (Secondary::ReturnsToFeed, "one tower, joined to 15 inside"),
    (Secondary::ReturnsToGround, "one tower, ground at 31"),
];
/// What a ground point is on.
pub const SITES: [(GroundSite, &str); 2] = [
    (GroundSite::Engine, "the engine"),
    (GroundSite::Body, "the body"),
];
/// Boxes.
pub const BOXES: [(UnitRole, &str); 2] = [
    (UnitRole::EngineControl, "control unit"),
    (UnitRole::IgnitionModule, "ignition module"),
];
/// Leads.
pub const LEADS: [(LeadKind, &str); 2] = [
    (LeadKind::Lead, "plug lead"),
    (LeadKind::Boot, "boot of a coil on its plug"),
];

/// How what is entered is known, as one may say it.
#[must_use]
pub const fn entered(how: Provenance) -> &'static str {
    match how {
        Provenance::Assumed => "a guess",
        Provenance::Diagram => "from a diagram",
        Provenance::Measured => "seen on the car",
    }
}

/// Heading over several chosen parts.
#[must_use]
pub fn chosen(many: usize) -> String {
    if many == 1 {
        "1 part chosen".into()
    } else {
        format!("{many} parts chosen")
    }
}

/// Heading of the list from which the other terminal is chosen.
#[must_use]
pub fn connect(from: &str) -> String {
    format!("Connect {from} to …")
}

/// Heading of the list from which a terminal is chosen.
#[must_use]
pub fn which(fact: &str) -> String {
    format!("Choose {fact}")
}

/// A size that was typed is none.
#[must_use]
pub fn no_size(typed: &str) -> String {
    format!("“{typed}” is no wire size. Write 0.75 for square millimetres, or AWG 18.")
}

/// Towers that were typed are none.
#[must_use]
pub fn no_towers(typed: &str) -> String {
    format!("“{typed}” names no cylinders. Write their numbers with dashes: 1-3-4-2.")
}

/// A cylinder.
#[must_use]
pub fn cylinder(number: u8) -> String {
    format!("cylinder {number}")
}

/// The name of a new driver.
#[must_use]
pub fn driver(nth: usize) -> String {
    match u8::try_from(nth) {
        Ok(nth @ 0..26) => format!("driver {}", char::from(b'A' + nth)),
        Ok(_) | Err(_) => format!("driver {}", nth + 1),
    }
}
