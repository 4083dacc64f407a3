//! A large map comes to the page in parts, and the page draws breath between them.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::drawing::Drawing;

use super::pieces::Layer;
use crate::edge::timer;

/// A map of no more pieces is put on the page at once.
const SMALL: usize = 800;
/// So many pieces of a larger one are put on the page at once.
const AT_ONCE: usize = 600;

/// How far a map has come to the page.
#[derive(Clone, Copy)]
pub(super) struct Coming {
    drawing: Signal<Arc<Drawing>>,
    /// For how many pieces there is room, over all layers, back to front.
    room: RwSignal<usize>,
    /// Whether all of them are there.
    whole: RwSignal<bool>,
}

impl Coming {
    /// Lets a map come; `whole` is told when all of it is there.
    pub(super) fn begin(drawing: Signal<Arc<Drawing>>, whole: RwSignal<bool>) -> Self {
        let is_small = !drawing.with_untracked(|drawing| is_large(drawing));
        let coming = Self {
            drawing,
            room: RwSignal::new(if is_small { usize::MAX } else { 0 }),
            whole,
        };
        whole.set(is_small);
        if !is_small {
            coming.go_on();
        }
        coming
    }

    fn go_on(self) {
        timer::soon(move || {
            let all = self.drawing.try_with_untracked(|d| pieces(d, &Layer::ALL));
            let (Some(all), Some(room)) = (all, self.room.try_get_untracked()) else {
                return;
            };
            if room < all {
                self.room.set(room + AT_ONCE);
                self.go_on();
            } else {
                self.room.set(usize::MAX);
                self.whole.set(true);
            }
        });
    }

    /// How many pieces of a layer have room; `None` where all have. Tracked.
    pub(super) fn most(self, layer: Layer) -> Option<usize> {
        let room = self.room.get();
        if room == usize::MAX {
            return None;
        }
        self.drawing
            .with_untracked(|drawing| most(drawing, room, layer))
    }

    /// Whether some of the map is still to come. Tracked.
    pub(super) fn is_coming(self) -> bool {
        !self.whole.get()
    }
}

/// Whether a map has so many pieces that it takes a browser long to put them on the page and to paint them.
fn is_large(drawing: &Drawing) -> bool {
    pieces(drawing, &Layer::ALL) > SMALL
}

/// How many pieces of a layer have room where so many of the whole drawing have; `None` where all have.
fn most(drawing: &Drawing, room: usize, layer: Layer) -> Option<usize> {
    let before = Layer::ALL.iter().position(|one| *one == layer);
    let before = Layer::ALL.get(..before?)?;
    let room = room.saturating_sub(pieces(drawing, before));
    Some(room).filter(|room| *room < pieces(drawing, &[layer]))
}

fn pieces(drawing: &Drawing, layers: &[Layer]) -> usize {
    layers.iter().map(|layer| layer.count(drawing)).sum()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use sparktrail_core::model::file;

    #[test]
    fn pieces_come_back_to_front_and_none_is_left_out() {
        let harness = file::read(include_str!(
            "../../../sample-harnesses/silver-limousine.json"
        ));
        let drawing = Drawing::of(&harness.unwrap());
        let all = pieces(&drawing, &Layer::ALL);
        for room in 0..=all {
            let there = Layer::ALL.map(|layer| {
                let whole = pieces(&drawing, &[layer]);
                (most(&drawing, room, layer).unwrap_or(whole), whole)
            });
            let sum: usize = there.iter().map(|(some, _)| some).sum();
            assert_eq!(sum, room);
            let begun = there.iter().rposition(|(some, _)| *some > 0).unwrap_or(0);
            let behind = &there[..begun];
            assert!(behind.iter().all(|(some, whole)| some == whole), "{room}");
        }
    }
}
