//! Maps that go out and come in by a link.

use leptos::prelude::*;
use sparktrail_core::practice;
use sparktrail_core::share::{self, LinkError, MARK};

use super::{Base, Place};
use crate::edge::address;

/// What came of a link that was opened.
#[derive(Debug, Clone, PartialEq)]
pub enum Arrival {
    /// Its map is open, as a project of its own.
    Opened,
    /// It holds no map that could be opened; nothing was changed.
    Refused(LinkError),
    /// The map that was open could not be kept, so it was left open.
    Unsaved,
}

impl Base {
    /// The address of a page that opens with the whole map.
    ///
    /// # Errors
    /// [`LinkError::TooLarge`].
    pub fn link(self) -> Result<String, LinkError> {
        let letters = self
            .harness
            .with_untracked(|harness| share::link(harness))?;
        Ok(format!("{}{MARK}{letters}", address::page()))
    }

    /// Opens the map in a link as a project of its own, and says what came of it. The open map is never touched.
    pub fn open_link(self, text: &str) {
        let arrival = match share::opened(text).map(|harness| self.open_harness(harness)) {
            Ok(Ok(())) => Arrival::Opened,
            Ok(Err(_)) => Arrival::Unsaved,
            Err(error) => Arrival::Refused(error),
        };
        self.session.arrival.set(Some(arrival));
    }

    /// Takes a link out of the page's address, to be opened.
    pub fn take_address(self) {
        let fragment = address::fragment();
        if fragment.starts_with(MARK) {
            address::drop_fragment();
            self.session.sent.set(Some(fragment));
        } else if fragment.starts_with(practice::MARK) {
            address::drop_fragment();
            if self.session.place.get_untracked() == Place::Job {
                self.leave();
            }
            self.session.trial.set(Some(fragment));
            self.session.place.set(Place::Practice);
        }
    }
}
