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
        let is_small = drawing.with_untracked(|drawing| pieces(drawing, &Layer::ALL) <= SMALL);
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
        let before = Layer::ALL.iter().position(|one| *one == layer);
        let before = Layer::ALL.get(..before?)?;
        self.drawing.with_untracked(|drawing| {
            let room = room.saturating_sub(pieces(drawing, before));
            Some(room).filter(|room| *room < pieces(drawing, &[layer]))
        })
    }

    /// Whether some of the map is still to come. Tracked.
    pub(super) fn is_coming(self) -> bool {
        !self.whole.get()
    }
}

fn pieces(drawing: &Drawing, layers: &[Layer]) -> usize {
    layers.iter().map(|layer| layer.count(drawing)).sum()
}
