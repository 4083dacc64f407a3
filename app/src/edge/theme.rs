//! Light, dark, or as the system says: kept between visits, set on `<html>`.

use super::storage;

const KEY: &str = "sparktrail/1/theme";
const ATTRIBUTE: &str = "data-theme";

/// Which palette to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// As the system says.
    #[default]
    System,
    /// Paper.
    Light,
    /// Night garage.
    Dark,
}

impl Theme {
    /// The next of the three, round and round.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::System => Self::Light,
            Self::Light => Self::Dark,
            Self::Dark => Self::System,
        }
    }

    const fn word(self) -> Option<&'static str> {
        match self {
            Self::System => None,
            Self::Light => Some("light"),
            Self::Dark => Some("dark"),
        }
    }
}

/// The theme chosen earlier; the system's where none was or storage is closed.
#[must_use]
pub fn chosen() -> Theme {
    match storage::read(KEY).ok().flatten().as_deref() {
        Some("light") => Theme::Light,
        Some("dark") => Theme::Dark,
        Some(_) | None => Theme::System,
    }
}

/// Shows `theme` now and keeps it for later visits where storage allows.
pub fn choose(theme: Theme) {
    if let Some(root) = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.document_element())
    {
        let _ = match theme.word() {
            Some(word) => root.set_attribute(ATTRIBUTE, word),
            None => root.remove_attribute(ATTRIBUTE),
        };
    }
    // A theme that is not kept is shown all the same.
    let _ = match theme.word() {
        Some(word) => storage::write(KEY, word),
        None => storage::remove(KEY),
    };
}
