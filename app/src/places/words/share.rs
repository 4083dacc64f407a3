//! Words of sending a map on and of opening one that was sent.

use crate::text::{Text, text};
use sparktrail_core::drawing::Legend;
use sparktrail_core::model::Works;
use sparktrail_core::said::{said, say};
use sparktrail_core::share::LinkError;

/// The button and the sheet's heading.
pub const SHARE: Text = text("Share this map");
/// What a link is.
pub const LEAD: Text = text(
    "The link is the whole map, with its story and findings. Nothing is sent to us or kept anywhere: whoever has the link has the map.",
);
/// The link's field.
pub const LINK: Text = text("Link with the whole map");
/// Copying it.
pub const COPY: Text = text("Copy the link");
/// It was copied.
pub const COPIED: Text = text("The link is copied. Paste it where it should go.");
/// It could not be copied.
pub const NOT_COPIED: Text =
    text("This browser does not let the page copy. The link is selected: copy it from there.");
/// The device's own way.
pub const SEND: Text = text("Send…");
/// While the link is being made.
pub const MAKING: Text = text("Making the link…");
/// Heading over the code.
pub const CODE: Text = text("Code for a phone’s camera");
/// What it is for.
pub const CODE_HINT: Text = text("Point a phone’s camera at it to open this map there.");
/// The code, for readers.
pub const CODE_NAME: Text = text("QR code of the link");
/// The link is too long for it.
pub const CODE_TOO_LONG: Text =
    text("This map is too large for a code that a camera can read. Send the link or the file.");
/// Heading over the files.
pub const FILES: Text = text("As a file");
/// What each is good for.
pub const FILES_HINT: Text = text(
    "The map file opens here again. A picture goes into any forum post, the pin table into a spreadsheet.",
);
/// The map file.
pub const FILE_MAP: Text = text("Map (.json)");
/// The picture in dots.
pub const FILE_PNG: Text = text("Picture (.png)");
/// The picture in lines.
pub const FILE_SVG: Text = text("Picture (.svg)");
/// The pin table as text.
pub const TABLE: Text = text("Copy the pin table");
/// The same as a file.
pub const FILE_TABLE: Text = text("Pin table (.csv)");
/// It is on the clipboard.
pub const TABLE_COPIED: Text =
    text("The pin table is copied: paste it into a post or a spreadsheet.");
/// It could not be copied.
pub const TABLE_NOT_COPIED: Text = text("This browser does not let the page copy the pin table.");
/// The picture could not be made.
pub const NO_PICTURE: Text =
    text("The browser could not make the picture. Save it as .svg instead.");

/// How long the link is.
#[must_use]
pub fn length(letters: usize) -> String {
    say!("{letters} characters")
}

/// The map does not fit into a link.
pub const TOO_LARGE: Text = text("This map is too large for a link. Send the map file instead.");

/// The words of the picture's legend.
#[must_use]
pub fn legend() -> Legend {
    Legend {
        assumed: said("assumed"),
        diagram: said("from a diagram"),
        measured: said("measured"),
        cold: said("dead, or comes and goes"),
        heat: said("may be the fault"),
        cleared: said("proven good"),
    }
}

/// The word under a cylinder that does not do its share; none under one that does.
#[must_use]
pub fn cold(works: Works) -> Option<&'static str> {
    match works {
        Works::Dead => Some(said("dead")),
        Works::Sometimes => Some(said("at times")),
        Works::Alive => None,
    }
}

/// The field for a link that somebody sent.
pub const PASTE: Text = text("Or paste a link here");
/// Opening it.
pub const OPEN: Text = text("Open the link");

/// Heading of the sheet after a link was opened.
pub const ARRIVED: Text = text("Someone sent you this map");
/// Heading of the sheet after a link could not be opened.
pub const NOT_ARRIVED: Text = text("This link could not be opened");
/// What became of the person's own maps.
pub const YOURS: Text = text("It is kept as a map of its own; your other maps are as they were.");
/// Where the person has a map of the same name: most likely it is the one that was sent out.
pub const OWN_OF_NAME: Text = text(
    "You have a map of this name. Compare the two and take over what you want, one difference at a time.",
);
/// To the comparison.
pub const COMPARE: Text = text("Compare with mine");

/// To the comparison with one of several.
#[must_use]
pub fn compare_with(ago: &str) -> String {
    say!("Compare with mine, {ago}")
}

/// The dead ones.
pub const DEAD: Text = text("Dead");
/// Those that come and go.
pub const AT_TIMES: Text = text("Come and go");
/// Nothing was said of any cylinder.
pub const NONE_DEAD: Text = text("No cylinder is marked dead.");
/// Heading over the likeliest suspects.
pub const SUSPECTS: Text = text("What the findings point to");
/// While they are being worked out.
pub const SUSPECTS_SOON: Text = text("Working it out…");
/// No findings.
pub const NO_FINDINGS: Text = text("Nothing was measured yet.");
/// Nothing fits.
pub const NO_SUSPECT: Text = text("No single fault explains all findings.");
/// To the map.
pub const TO_MAP: Text = text("Look at the map");
/// To the suspects.
pub const TO_SUSPECTS: Text = text("See why");
/// To the findings.
pub const TO_FINDINGS: Text = text("See the findings");
/// Put away.
pub const CLOSE: Text = text("Close");
/// The open map is not kept.
pub const UNSAVED: Text = text(
    "The map that is open now could not be kept on this device, and opening another would lose it. Save it as a file first, then open the link again.",
);

/// How many findings came along.
#[must_use]
pub fn findings(count: usize) -> String {
    match count {
        0 => NO_FINDINGS.into(),
        1 => say!("1 finding"),
        many => say!("{many} findings"),
    }
}

/// Why a link holds no map that can be opened, and what to do.
#[must_use]
pub fn refused(error: &LinkError) -> (String, Vec<String>) {
    let plain = |words: &str| (words.to_owned(), Vec::new());
    match error {
        LinkError::NoMap => plain(said(
            "There is no map in it. A link with a map has “#map=” and a long row of letters in it: copy all of it.",
        )),
        LinkError::CutOff => plain(said(
            "This link was cut off on its way, so its map is not all there. Ask for it again, or ask for the map file.",
        )),
        LinkError::Altered => plain(said(
            "This link was altered on its way: some of its letters are not those that were sent. Ask for it again, or ask for the map file.",
        )),
        LinkError::Newer { .. } => plain(said(
            "This link comes from a newer Sparktrail than this one. Load this page again to get the newest, then open the link again.",
        )),
        LinkError::TooLarge { .. } => plain(said(
            "This link claims to hold more than any map. It was not opened.",
        )),
        LinkError::Unreadable(errors) => {
            let mut lines: Vec<String> = errors.errors.iter().map(ToString::to_string).collect();
            lines.truncate(8);
            let words = said(
                "This link is whole, but what it holds is no map: it was made by hand or by another program.",
            );
            (words.to_owned(), lines)
        }
    }
}
