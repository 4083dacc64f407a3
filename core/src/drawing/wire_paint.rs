//! What each wire colour looks like on a screen: the one place in the core that holds colour literals.

use crate::model::Colour;

/// The paint of a wire colour as `#rrggbb`, chosen to be told apart on light and dark ground over a casing.
///
/// # Source
/// Common practice, no source: IEC 60757 names colours and does not define their shades.
#[must_use]
pub const fn paint(colour: Colour) -> &'static str {
    match colour {
        Colour::Black => "#1c1d20",
        Colour::Brown => "#7b4a26",
        Colour::Red => "#c8322f",
        Colour::Orange => "#e5811c",
        Colour::Yellow => "#edc722",
        Colour::Green => "#2f9150",
        Colour::Blue => "#2c6fbd",
        Colour::Violet => "#7c4aa8",
        Colour::Grey => "#8d9299",
        Colour::White => "#fbfaf5",
        Colour::Pink => "#ea8fae",
        Colour::Gold => "#b98f2e",
        Colour::Turquoise => "#26a9a6",
        Colour::Silver => "#c3c8ce",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_colour_has_a_paint_of_its_own() {
        let paints: BTreeSet<_> = Colour::ALL.iter().map(|c| paint(*c)).collect();
        assert_eq!(paints.len(), Colour::ALL.len());
        assert!(paints.iter().all(|p| p.len() == 7 && p.starts_with('#')));
    }
}
