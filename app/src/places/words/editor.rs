//! Words of the editor on the map.

use crate::text::{Text, text};
use sparktrail_core::model::{GroundSite, LeadKind, Secondary, UnitRole};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::said::{said, say};

/// The button that begins editing.
pub const EDIT: Text = text("Edit the map");
/// The same button while editing.
pub const DONE: Text = text("Done editing");
/// The row of buttons.
pub const TOOLS: Text = text("Editing");
/// Heading of the list of kinds, and the button that opens it.
pub const ADD: Text = text("Add a part");
/// Choosing several.
pub const SEVERAL: Text = text("Choose several");
/// Copying.
pub const COPY: Text = text("Copy");
/// Taking away.
pub const REMOVE: Text = text("Take away");
/// Letting the map place what was placed by hand.
pub const TIDY: Text = text("Let the map place it");
/// The same for everything.
pub const TIDY_ALL: Text = text("Let the map place all");
/// Connecting.
pub const CONNECT: Text = text("Connect");
/// What a person is told at the start.
pub const HINT: Text = text(
    "Drag a part to move it, or from pin to pin to connect; onto a wire makes a splice. Tap a thing to change it here.",
);
/// The same where a wire is in hand.
pub const IN_HAND: Text = text("Tap the other terminal on the map, or choose it from the list.");
/// Choosing from the list instead.
pub const FROM_LIST: Text = text("Choose from the list");
/// Choosing on the map instead of from the list.
pub const IN_HAND_BUTTON: Text = text("Tap it on the map instead");
/// Putting down what is in hand.
pub const PUT_DOWN: Text = text("Put down");
/// How what is entered is known.
pub const ENTERED: Text = text("What I enter is");
/// Why that matters.
pub const ENTERED_HINT: Text =
    text("Where a diagram and the car disagree, both are kept: the car's word stands on the map.");
/// Heading over clashes.
pub const CLASHES: Text = text("These clash");
/// Beside a value that clashes.
pub const ALSO: Text = text("also said");
/// Going by the other value.
pub const TAKE: Text = text("Go by this");
/// Keeping the one on the map.
pub const KEEP: Text = text("Drop it");
/// Name of a part.
pub const NAME: Text = text("Name");
/// Note on it.
pub const NOTE: Text = text("Note");
/// Where it sits.
pub const PLACE: Text = text("Where it sits");
/// Heading over the terminals of a part.
pub const TERMINALS: Text = text("Terminals");
/// Nothing is joined to a terminal.
pub const NOTHING: Text = text("nothing yet");
/// Heading over the pins of a box.
pub const PINS: Text = text("Pins");
/// Heading over the cavities of a connector.
pub const CAVITIES: Text = text("Cavities");
/// Adding a pin.
pub const ADD_PIN: Text = text("Add a pin");
/// Adding a cavity.
pub const ADD_CAVITY: Text = text("Add a cavity");
/// Adding a driver.
pub const ADD_DRIVER: Text = text("Add a driver");
/// Number or letter of a pin.
pub const NUMBER: Text = text("Number");
/// What a pin is for.
pub const USE: Text = text("Used for");
/// Opening it.
pub const OPEN: Text = text("Open");
/// Base colour of a wire.
pub const BASE: Text = text("Colour");
/// Tracer of a wire.
pub const TRACER: Text = text("Stripe");
/// No stripe.
pub const NO_TRACER: Text = text("no stripe");
/// Nobody knows.
pub const UNKNOWN: Text = text("not known");
/// Choosing a terminal.
pub const CHOOSE: Text = text("choose…");
/// Taking an end off.
pub const LOOSEN: Text = text("Disconnect");
/// Finding a terminal in a list.
pub const FIND: Text = text("Find a terminal");
/// Closing a sheet.
pub const CLOSE: Text = text("Close");
/// Nothing fits what was typed.
pub const NONE_FOUND: Text = text("No terminal is called that.");
/// A driver inside a coil.
pub const INSIDE: Text = text("Driver inside the coil");
/// How a coil is built.
pub const BUILT: Text = text("Built as");
/// What a ground point is on.
pub const SITE: Text = text("Bolted to");
/// What a box is.
pub const BOX: Text = text("Kind of box");
/// Lead or boot.
pub const LEAD: Text = text("Kind");
/// The housing of a coil.
pub const PACK: Text = text("Housed in");
/// None.
pub const ALONE: Text = text("by itself");
/// Towers of a distributor.
pub const TOWERS: Text = text("Towers, in the order of the cap");
/// The cylinder that a tower feeds.
pub const FEEDS: Text = text("Feeds cylinder");
/// A value was kept beside a stronger one.
pub const BESIDE: Text =
    text("Kept beside: the map goes by what is better known. It shows as a clash.");
/// A wire was dropped where nothing takes it.
pub const ON_A_TERMINAL: Text = text("Drop it on a terminal, a part or another wire.");
/// Putting a splice into a wire.
pub const SPLICE: Text = text("Put a splice in");
/// The name of a new splice.
pub const SPLICE_NAME: Text = text("Splice");
/// Heading over the firing order.
pub const ENGINE: Text = text("Engine");
/// What the crank angles are written like.
pub const ANGLES_AS: Text =
    text("In firing order, counted from the first one: 0-90-240-330-480-570.");
/// What the check says of order and angles.
pub const ENGINE_FINE: Text = text("The check finds nothing against it.");
/// A driver in a coil.
pub const DRIVER_INSIDE: Text = text("driver");

/// Parts that can be added: the heading in the list and the name that the part gets.
pub const KINDS: [(Text, Text); 15] = [
    (text("Coil, two towers"), text("Coil A")),
    (text("Coil, one tower"), text("Coil A")),
    (text("Coil pack"), text("Coil pack")),
    (text("Control unit"), text("Control unit")),
    (text("Ignition module"), text("Ignition module")),
    (text("Connector"), text("Connector")),
    (text("Splice"), text("Splice")),
    (text("Ground point"), text("Ground")),
    (text("Fuse"), text("Fuse")),
    (text("Relay"), text("Relay")),
    (text("Ignition switch"), text("Ignition switch")),
    (text("Battery"), text("Battery")),
    (text("Distributor"), text("Distributor")),
    (text("Injector"), text("Injector 1")),
    (text("Spark plug"), text("Plug")),
];

/// How a coil is brought out.
pub const SECONDARIES: [(Secondary, Text); 3] = [
    (Secondary::TwoEnded, text("two towers")),
    (
        Secondary::ReturnsToFeed,
        text("one tower, joined to 15 inside"),
    ),
    (Secondary::ReturnsToGround, text("one tower, ground at 31")),
];
/// What a ground point is on.
pub const SITES: [(GroundSite, Text); 2] = [
    (GroundSite::Engine, text("the engine")),
    (GroundSite::Body, text("the body")),
];
/// Boxes.
pub const BOXES: [(UnitRole, Text); 2] = [
    (UnitRole::EngineControl, text("control unit")),
    (UnitRole::IgnitionModule, text("ignition module")),
];
/// Leads.
pub const LEADS: [(LeadKind, Text); 2] = [
    (LeadKind::Lead, text("plug lead")),
    (LeadKind::Boot, text("boot of a coil on its plug")),
];

/// How what is entered is known, as one may say it.
#[must_use]
pub fn entered(how: Provenance) -> &'static str {
    said(match how {
        Provenance::Assumed => "a guess",
        Provenance::Diagram => "from a diagram",
        Provenance::Measured => "seen on the car",
    })
}

/// Heading over several chosen parts.
#[must_use]
pub fn chosen(many: usize) -> String {
    if many == 1 {
        say!("1 part chosen")
    } else {
        say!("{many} parts chosen")
    }
}

/// Heading of the list from which the other terminal is chosen.
#[must_use]
pub fn connect(from: &str) -> String {
    say!("Connect {from} to …")
}

/// Heading of the list from which a terminal is chosen.
#[must_use]
pub fn which(fact: &str) -> String {
    say!("Choose {fact}")
}

/// A size that was typed is none.
#[must_use]
pub fn no_size(typed: &str) -> String {
    say!("“{typed}” is no wire size. Write 0.75 for square millimetres, or AWG 18.")
}

/// Towers that were typed are none.
#[must_use]
pub fn no_towers(typed: &str) -> String {
    say!("“{typed}” names no cylinders. Write their numbers with dashes: 1-3-4-2.")
}

/// Why a firing order or crank angles cannot be taken.
#[must_use]
pub fn no_firing(error: &impl std::error::Error) -> String {
    super::engine::sentence(&error.to_string())
}

/// A cylinder.
#[must_use]
pub fn cylinder(number: u8) -> String {
    say!("cylinder {number}")
}

/// The name of a new driver.
#[must_use]
pub fn driver(nth: usize) -> String {
    match u8::try_from(nth) {
        Ok(nth @ 0..26) => say!("driver {}", char::from(b'A' + nth)),
        Ok(_) | Err(_) => say!("driver {}", nth + 1),
    }
}
