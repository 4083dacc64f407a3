//! What names a case: engine, level, seed; as the words of a link.

use std::fmt::Write;

/// How hard a case is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// One fault that stays.
    Single,
    /// One fault that comes and goes.
    Intermittent,
    /// Two faults at once.
    Two,
    /// One fault on a circuit board.
    Board,
    /// One fault, and an earlier repair that points the wrong way.
    Misleading,
}

impl Level {
    /// Every level, the easiest first.
    pub const ALL: [Self; 5] = [
        Self::Single,
        Self::Intermittent,
        Self::Two,
        Self::Board,
        Self::Misleading,
    ];

    /// A short name in lower case, the same in every link.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Single => "single",
            Self::Intermittent => "intermittent",
            Self::Two => "two",
            Self::Board => "board",
            Self::Misleading => "misleading",
        }
    }
}

/// A case by name.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Ticket {
    /// The example that it is about, by its file name without ending.
    pub engine: String,
    /// How hard it is.
    pub level: Level,
    /// What hides the fault.
    pub seed: u64,
}

/// What stands before a ticket in a page's address.
pub const MARK: &str = "#try=";
/// Longest name of an engine that a ticket may hold.
const LONGEST: usize = 64;

/// Why some words are no ticket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TicketError {
    /// Not three pieces with points between them.
    #[error("a practice link holds an engine, a level and a number with points between them")]
    Pieces,
    /// The engine's name has other letters than a file name here.
    #[error("the engine of a practice link is named with small letters, digits and hyphens")]
    Engine,
    /// No such level.
    #[error("the level of a practice link is not known here")]
    Level,
    /// The seed is no number of this kind.
    #[error("a practice link ends in a number of up to sixteen digits and letters a to f")]
    Seed,
}

impl Ticket {
    /// The ticket as words: `barn-find.single.1f`.
    #[must_use]
    pub fn write(&self) -> String {
        let mut text = format!("{}.{}.", self.engine, self.level.code());
        // Writing to a string cannot fail.
        let _ = write!(text, "{:x}", self.seed);
        text
    }

    /// The ticket in some words, with [`MARK`] before them or without.
    ///
    /// # Errors
    /// [`TicketError`].
    pub fn read(words: &str) -> Result<Self, TicketError> {
        let words = words.trim();
        let words = words.strip_prefix(MARK).unwrap_or(words);
        let mut pieces = words.split('.');
        let (Some(engine), Some(level), Some(seed), None) =
            (pieces.next(), pieces.next(), pieces.next(), pieces.next())
        else {
            return Err(TicketError::Pieces);
        };
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if engine.is_empty() || engine.len() > LONGEST || !engine.chars().all(plain) {
            return Err(TicketError::Engine);
        }
        let level = Level::ALL.into_iter().find(|known| known.code() == level);
        Ok(Self {
            engine: engine.to_owned(),
            level: level.ok_or(TicketError::Level)?,
            seed: u64::from_str_radix(seed, 16).map_err(|_| TicketError::Seed)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        for level in Level::ALL {
            for seed in [0, 31, u64::MAX] {
                let engine = "red-twin".to_owned();
                let ticket = Ticket {
                    engine,
                    level,
                    seed,
                };
                assert_eq!(Ticket::read(&ticket.write()), Ok(ticket.clone()));
                let marked = format!("{MARK}{}", ticket.write());
                assert_eq!(Ticket::read(&marked), Ok(ticket));
            }
        }
    }

    #[test]
    fn what_is_no_ticket_says_why() {
        for (words, wanted) in [
            ("", TicketError::Pieces),
            ("a.single", TicketError::Pieces),
            ("a.single.1.2", TicketError::Pieces),
            (".single.1", TicketError::Engine),
            ("../etc.single.1", TicketError::Pieces),
            ("a/b.single.1", TicketError::Engine),
            ("a.easy.1", TicketError::Level),
            ("a.single.g", TicketError::Seed),
            ("a.single.11111111111111111", TicketError::Seed),
        ] {
            assert_eq!(Ticket::read(words), Err(wanted), "{words}");
        }
    }
}
