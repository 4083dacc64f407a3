//! What the pieces of the map show beside their shape: light, voltage, which are chosen, where the Tab key comes to.
//!
//! One effect tells the pieces whose show has changed. With closures in each piece a map of thousands would take
//! longer to make, and every change of light would run them all.

use std::collections::BTreeSet;
use std::hash::{DefaultHasher, Hash, Hasher};

use leptos::prelude::*;
use rustc_hash::FxHashMap;
use sparktrail_core::drawing::Pick;
use sparktrail_core::model::{Harness, PartId};

use super::{Level, Light, Lit, Map, VoltMap};
use crate::edge::canvas::{self as edge, Element};

/// What a piece shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Show {
    /// How brightly it is drawn; `None` while nothing is lit.
    light: Option<Light>,
    volt: Option<Level>,
    chosen: bool,
    /// Whether the Tab key comes to it.
    stop: bool,
}

/// What the map shows as a whole.
#[derive(Debug, Default)]
struct Whole {
    lit: Option<Lit>,
    volts: Option<VoltMap>,
    selected: Option<Pick>,
    chosen: BTreeSet<PartId>,
    stop: Option<Pick>,
}

impl Whole {
    fn of(map: Map) -> Self {
        Self {
            lit: map.lit.get(),
            volts: map.volts.get(),
            selected: map.selected.get(),
            chosen: map.hand.editor.chosen.get(),
            stop: map.stop.get(),
        }
    }

    fn show(&self, pick: Pick, harness: &Harness) -> Show {
        let chosen = matches!(pick, Pick::Part(part) if self.chosen.contains(&part));
        let volts = self.volts.as_ref().and_then(|volts| volts.get(&pick));
        Show {
            light: self.lit.as_ref().map(|lit| lit.of_pick(pick, harness)),
            volt: volts.map(|mark| mark.level),
            chosen: chosen || self.selected == Some(pick),
            stop: self.stop == Some(pick),
        }
    }
}

/// How much of it a piece shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    /// Only the light: words, hatching.
    Lit,
    /// All but what the keyboard needs.
    Passed,
    /// All: it can be focused.
    Walked,
}

impl Role {
    /// The attributes in which two shows differ, with what they are now.
    fn differences(self, was: Show, now: Show) -> Vec<(&'static str, Option<String>)> {
        let whether = |yes, then: &str, or: &str| Some(String::from(if yes { then } else { or }));
        let mut found = Vec::new();
        if was.light != now.light {
            let word = now.light.map(|light| light.word().to_owned());
            found.push(("data-light", word));
        }
        if self == Self::Lit {
            return found;
        }
        if was.volt != now.volt {
            found.push(("data-volt", now.volt.map(Level::word)));
        }
        if self == Self::Walked && was.chosen != now.chosen {
            found.push(("aria-pressed", whether(now.chosen, "true", "false")));
        }
        if self == Self::Walked && was.stop != now.stop {
            found.push(("tabindex", whether(now.stop, "0", "-1")));
        }
        found
    }
}

/// A piece on the page.
struct Piece {
    nth: u64,
    role: Role,
    element: Element,
    shown: Show,
}

impl Piece {
    fn show(&mut self, now: Show) {
        for (name, value) in self.role.differences(self.shown, now) {
            edge::put_attribute(&self.element, name, value.as_deref());
        }
        if self.role != Role::Lit && self.shown.chosen != now.chosen {
            edge::put_class(&self.element, "chosen", now.chosen);
        }
        self.shown = now;
    }
}

/// The pieces on the page, by what they belong to.
#[derive(Default)]
pub(super) struct Board {
    pieces: FxHashMap<Pick, Vec<Piece>>,
    walked: FxHashMap<String, Pick>,
    whole: Whole,
    made: u64,
}

impl Board {
    fn tell(&mut self, whole: Whole, harness: &Harness) {
        self.whole = whole;
        for (pick, pieces) in &mut self.pieces {
            let now = self.whole.show(*pick, harness);
            for piece in pieces.iter_mut().filter(|piece| piece.shown != now) {
                piece.show(now);
            }
        }
    }

    fn add(&mut self, pick: Pick, role: Role, element: Element, harness: &Harness) -> u64 {
        self.made += 1;
        let mut piece = Piece {
            nth: self.made,
            role,
            element,
            shown: Show::default(),
        };
        piece.show(self.whole.show(pick, harness));
        if role == Role::Walked {
            self.walked.insert(item_id(pick), pick);
        }
        self.pieces.entry(pick).or_default().push(piece);
        self.made
    }

    fn remove(&mut self, pick: Pick, nth: u64) {
        if let Some(pieces) = self.pieces.get_mut(&pick) {
            pieces.retain(|piece| piece.nth != nth);
            if pieces.is_empty() {
                self.pieces.remove(&pick);
                self.walked.remove(&item_id(pick));
            }
        }
    }

    /// The thing that can be focused under this id.
    pub(super) fn walked(&self, id: &str) -> Option<Pick> {
        self.walked.get(id).copied()
    }
}

/// The id of something that can be focused, on the page.
pub(super) fn item_id(pick: Pick) -> String {
    let mut print = DefaultHasher::new();
    pick.hash(&mut print);
    format!("map-item-{:x}", print.finish())
}

/// A directive: from now on, until it is taken off the page, `element` shows what the map shows of `pick`. It begins
/// with `aria-pressed` false and `tabindex` -1.
pub(super) fn shows(element: Element, (map, pick, role): (Map, Pick, Role)) {
    let add = |board: &mut Board| {
        map.harness
            .with_untracked(|harness| board.add(pick, role, element, harness))
    };
    if let Some(nth) = map.board.try_update_value(add) {
        on_cleanup(move || {
            map.board.try_update_value(|board| board.remove(pick, nth));
        });
    }
}

/// Keeps all pieces true to what the map shows.
pub(super) fn keep(map: Map) {
    Effect::new(move |_| {
        let whole = Whole::of(map);
        map.harness.with_untracked(|harness| {
            map.board.update_value(|board| board.tell(whole, harness));
        });
    });
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use sparktrail_core::model::file;

    fn names(role: Role, was: Show, now: Show) -> Vec<&'static str> {
        let differences = role.differences(was, now).into_iter();
        differences.map(|(name, _)| name).collect()
    }

    #[test]
    fn only_what_differs_is_told_and_only_to_whom_it_concerns() {
        let was = Show::default();
        let now = Show {
            light: Some(Light::Dim),
            volt: Some(Level::Floats),
            chosen: true,
            stop: true,
        };
        assert_eq!(names(Role::Walked, was, was), Vec::<&str>::new());
        assert_eq!(names(Role::Lit, was, now), ["data-light"]);
        assert_eq!(names(Role::Passed, was, now), ["data-light", "data-volt"]);
        assert_eq!(
            names(Role::Walked, was, now),
            ["data-light", "data-volt", "aria-pressed", "tabindex"]
        );
    }

    #[test]
    fn what_is_no_longer_lit_loses_the_attribute() {
        let lit = Show {
            light: Some(Light::Own),
            ..Show::default()
        };
        let told = Role::Lit.differences(lit, Show::default());
        assert_eq!(told, [("data-light", None)]);
    }

    #[test]
    fn a_part_is_chosen_alone_or_with_others() {
        let harness = file::read(include_str!(
            "../../../sample-harnesses/silver-limousine.json"
        ));
        let harness = harness.unwrap();
        let parts: Vec<PartId> = harness.parts.keys().copied().take(3).collect();
        let whole = Whole {
            selected: Some(Pick::Part(parts[0])),
            chosen: BTreeSet::from([parts[1]]),
            ..Whole::default()
        };
        let chosen = parts
            .iter()
            .map(|part| whole.show(Pick::Part(*part), &harness).chosen);
        assert_eq!(chosen.collect::<Vec<bool>>(), [true, true, false]);
    }
}
