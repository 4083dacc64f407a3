//! Words of the page that is kept on the device.

use crate::text::{Text, text};

/// A newer page was fetched.
pub const NEWER: Text = text("A newer Sparktrail is ready. Your maps stay as they are.");
/// The button that goes over to it.
pub const USE_NOW: Text = text("Use it now");
/// Another window went over to it.
pub const ELSEWHERE: Text =
    text("Another window went over to a newer Sparktrail. Load this one again when it suits you.");
/// The button for that.
pub const LOAD_AGAIN: Text = text("Load again");
/// The first visit of a newer page.
pub const RENEWED: Text = text("Sparktrail was renewed. Your maps are as you left them.");
