//! Names in another writing direction, kept apart from the words around them.

use std::borrow::Cow;

/// FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE.
const ISOLATE: char = '\u{2068}';
const POP: char = '\u{2069}';

/// Whether a character belongs to a script that is written from right to left.
const fn is_right_to_left(letter: char) -> bool {
    matches!(
        letter,
        '\u{590}'..='\u{8ff}'
            | '\u{fb1d}'..='\u{fdff}'
            | '\u{fe70}'..='\u{feff}'
            | '\u{10800}'..='\u{10fff}'
            | '\u{1e800}'..='\u{1efff}'
    )
}

/// A name as it stands within other words. One that holds letters written from right to left is isolated: else
/// numbers and arrows beside it would be drawn in its direction, and "from → to" would read "to → from". Every other
/// name stays as it is.
///
/// # Source
/// Unicode Standard Annex #9, Unicode Bidirectional Algorithm, 2.4 and 6.3: explicit isolates around inserted text; the
/// blocks of right-to-left scripts are those of its default classes R and AL.
#[must_use]
pub fn apart(name: &str) -> Cow<'_, str> {
    if name.chars().any(is_right_to_left) {
        Cow::Owned(format!("{ISOLATE}{name}{POP}"))
    } else {
        Cow::Borrowed(name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_from_right_to_left_are_isolated() {
        for plain in ["", "Coil A", "Zündspule 1", "Катушка", "コイル", "4a"] {
            assert_eq!(apart(plain), plain);
        }
        for turned in ["סליל", "ملف الإشعال 2", "Coil אבג"] {
            assert_eq!(apart(turned), format!("\u{2068}{turned}\u{2069}"));
        }
    }
}
