//! Ways in which a whole map travels: a link that holds it.
//!
//! A link is the map's file without its white space, squeezed by a predictor that knows such files, and written in
//! letters that survive an address. Opening one goes through the same reader as a file, so that nothing comes in
//! by a link that could not come in by a file.
//!
//! ```
//! use sparktrail_core::share::{link, opened};
//! # use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
//! # use sparktrail_core::engine::{Layout, Strokes};
//! # let four = propose_engine(4, Layout::Inline, Strokes::Four);
//! # let harness = build(&Plan::new("Blue estate", four)).expect("a usual engine");
//! let letters = link(&harness)?;
//! assert!(letters.len() < 500);
//! assert_eq!(opened(&letters).as_ref(), Ok(&harness));
//! # Ok::<(), sparktrail_core::share::LinkError>(())
//! ```

mod coder;
mod envelope;
mod guess;
mod numbers;
mod outline;
mod plain;
#[cfg(test)]
mod tests;

use crate::model::Harness;
use crate::model::file::{self, FileErrors};

pub use envelope::{MARK, MOST_LETTERS, MOST_PLAIN};

/// Why a map could not be put into a link, or a link holds no map.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LinkError {
    /// The map is larger than a link may hold.
    #[error("the map takes {bytes} bytes, more than the {MOST_PLAIN} that a link may hold")]
    TooLarge {
        /// Its size as a file without white space.
        bytes: usize,
    },
    /// There is nothing in the text that looks like such a link.
    #[error("there is no map in this link")]
    NoMap,
    /// The end is missing.
    #[error("the link was cut off")]
    CutOff,
    /// Some of its letters are not those that were sent.
    #[error("the link was altered on its way")]
    Altered,
    /// It comes from a program newer than this one.
    #[error("the link is of version {version}, newer than this program knows")]
    Newer {
        /// Its version.
        version: u8,
    },
    /// It is whole, but what it holds is no map: someone made it by hand.
    #[error("the link holds no map: {0}")]
    Unreadable(FileErrors),
}

/// The letters of a link that holds the whole map, findings and work included: A to Z, a to z, 0 to 9, `-` and `_`.
///
/// Equal maps give equal letters.
///
/// # Errors
/// [`LinkError::TooLarge`].
pub fn link(harness: &Harness) -> Result<String, LinkError> {
    let text = plain::without_space(&file::write(harness));
    if text.len() > MOST_PLAIN {
        return Err(LinkError::TooLarge { bytes: text.len() });
    }
    Ok(envelope::seal(&text))
}

/// The map in a link. `text` is the letters alone, or any text in which such a link stands.
///
/// What [`link`] made reads back equal, as long as the harness keeps to the limits of files.
///
/// # Errors
/// [`LinkError`] tells a link that was cut off from one that was altered.
pub fn opened(text: &str) -> Result<Harness, LinkError> {
    let text = envelope::open(text)?;
    file::read(&text).map_err(LinkError::Unreadable)
}
