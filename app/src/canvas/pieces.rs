//! The pieces of a layer of the map: one stays on the page, with the keyboard on it, until it is drawn otherwise.

use std::hash::{Hash, Hasher};
use std::sync::Arc;

use leptos::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet, FxHasher};
use sparktrail_core::drawing::{
    Disc, Drawing, Label, Mark, Pick, Point, Rect, Run, RunKind, Shape,
};
use sparktrail_core::model::Harness;

use super::Map;
use super::layers::{cold, label, passed, run_inside, shape_inside, walked};

/// What a layer of the map holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Layer {
    /// Housings, behind the wires.
    Behind,
    /// Wires.
    Wires,
    /// Leads and boots.
    Leads,
    /// The discs of the cylinders.
    Discs,
    /// The hatching of the cylinders.
    Cold,
    /// Everything else that has a shape.
    Parts,
    /// Words.
    Words,
}

/// One piece of a layer, as the drawing holds it.
enum Piece<'a> {
    Shape(&'a Shape),
    Run(&'a Run),
    Label(&'a Label),
    Cold(Disc),
}

impl Layer {
    /// All of them, back to front as they come to the page.
    pub(super) const ALL: [Self; 7] = [
        Self::Behind,
        Self::Wires,
        Self::Discs,
        Self::Cold,
        Self::Leads,
        Self::Parts,
        Self::Words,
    ];

    /// How many pieces it has.
    pub(super) fn count(self, drawing: &Drawing) -> usize {
        self.pieces(drawing).count()
    }

    /// The pieces of the layer, back to front, each with its number for [`Self::piece`].
    fn pieces(self, drawing: &Drawing) -> impl Iterator<Item = (usize, Piece<'_>)> {
        let all = match self {
            Self::Behind => drawing.behind.len(),
            Self::Wires | Self::Leads => drawing.runs.len(),
            Self::Discs | Self::Parts => drawing.shapes.len(),
            Self::Cold => drawing.engine.discs.len(),
            Self::Words => drawing.labels.len(),
        };
        (0..all).filter_map(move |nth| Some((nth, self.piece(drawing, nth)?)))
    }

    /// One piece by its number; `None` for one of another layer.
    fn piece(self, drawing: &Drawing, nth: usize) -> Option<Piece<'_>> {
        let of_cylinder = |shape: &Shape| matches!(shape.pick, Pick::Cylinder(_));
        let run = drawing.runs.get(nth);
        let shape = drawing.shapes.get(nth);
        match self {
            Self::Behind => drawing.behind.get(nth).map(Piece::Shape),
            Self::Wires => run.filter(|run| run.kind == RunKind::Wire).map(Piece::Run),
            Self::Leads => run.filter(|run| run.kind != RunKind::Wire).map(Piece::Run),
            Self::Discs => shape.filter(|shape| of_cylinder(shape)).map(Piece::Shape),
            Self::Parts => shape.filter(|shape| !of_cylinder(shape)).map(Piece::Shape),
            Self::Cold => drawing.engine.discs.get(nth).copied().map(Piece::Cold),
            Self::Words => drawing.labels.get(nth).map(Piece::Label),
        }
    }

    /// What is kept of each piece on the page.
    fn kept(self, drawing: &Drawing, mut name: impl FnMut(Pick) -> u64) -> Vec<Kept> {
        let mut taken = FxHashSet::default();
        let kept = self.pieces(drawing).map(|(nth, piece)| {
            let (look, walked) = (piece.look(), piece.walked());
            let mut id = match walked {
                Some(pick) => printed(&(pick, name(pick))),
                None => look,
            };
            // Two words that are the same at the same place.
            while !taken.insert(id) {
                id = id.wrapping_add(1);
            }
            let walked = walked.is_some();
            Kept {
                id,
                look,
                nth,
                walked,
            }
        });
        kept.collect()
    }
}

/// A piece as it is kept on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Kept {
    /// Another one as soon as it has to be put on the page anew: what can be focused when it is called otherwise,
    /// anything else when it is drawn otherwise.
    id: u64,
    /// Another one as soon as it is drawn otherwise.
    look: u64,
    /// Its number for [`Layer::piece`].
    nth: usize,
    /// Whether it can be focused.
    walked: bool,
}

impl Piece<'_> {
    /// What of it can be focused.
    fn walked(&self) -> Option<Pick> {
        match self {
            Self::Shape(shape) => Some(shape.pick).filter(|pick| Drawing::is_on_walk(*pick)),
            Self::Run(run) => Some(run.pick),
            Self::Label(_) | Self::Cold(_) => None,
        }
    }

    /// A number that is another one as soon as it is drawn otherwise.
    fn look(&self) -> u64 {
        let mut print = FxHasher::default();
        self.print(&mut print);
        print.finish()
    }

    fn print(&self, print: &mut FxHasher) {
        match self {
            Self::Shape(shape) => {
                shape.pick.hash(print);
                rect(shape.bounds, print);
                for Mark { role, from, d } in &shape.marks {
                    (role, from, d).hash(print);
                }
            }
            Self::Run(run) => {
                (run.pick, run.kind, &run.d, run.colour, run.how).hash(print);
                for at in &run.loose {
                    point(*at, print);
                }
            }
            Self::Label(label) => {
                (&label.text, label.align, label.voice).hash(print);
                (label.from, label.until, label.of).hash(print);
                point(label.at, print);
                label.size.to_bits().hash(print);
            }
            Self::Cold(disc) => {
                disc.cylinder.hash(print);
                point(disc.at, print);
                disc.r.to_bits().hash(print);
            }
        }
    }

    /// The piece on the page. What can be focused draws its inside anew whenever it is told another number.
    fn view(&self, map: Map, layer: Layer, nth: Option<ArcRwSignal<usize>>) -> AnyView {
        let (pick, class) = match self {
            Self::Shape(shape) => (shape.pick, shape.class()),
            Self::Run(run) => (run.pick, "item wire"),
            Self::Label(one) => return label(map, one),
            Self::Cold(disc) => return cold(map, *disc),
        };
        let Some(nth) = nth else {
            return passed(map, pick, class, self.inside());
        };
        let inside = move || {
            let nth = nth.get();
            map.drawing.with_untracked(|drawing| {
                let piece = layer.piece(drawing, nth);
                piece.map(|piece| piece.inside())
            })
        };
        walked(map, pick, class, inside.into_any())
    }

    /// What stands in the group of something with a shape.
    fn inside(&self) -> AnyView {
        match self {
            Self::Shape(shape) => shape_inside(shape),
            Self::Run(run) => run_inside(run),
            Self::Label(_) | Self::Cold(_) => ().into_any(),
        }
    }
}

fn printed(what: &impl Hash) -> u64 {
    let mut print = FxHasher::default();
    what.hash(&mut print);
    print.finish()
}

fn point(at: Point, print: &mut FxHasher) {
    (at.x.to_bits(), at.y.to_bits()).hash(print);
}

fn rect(of: Rect, print: &mut FxHasher) {
    point(Point::new(of.x, of.y), print);
    point(Point::new(of.w, of.h), print);
}

/// The names of what can be focused, as numbers: made once for each map, not again because a part was moved.
#[derive(Debug, Default)]
pub(super) struct Names {
    of: Option<Arc<Harness>>,
    prints: FxHashMap<Pick, u64>,
}

impl Names {
    fn print(&mut self, harness: &Arc<Harness>, pick: Pick) -> u64 {
        if self.of.as_ref().is_none_or(|of| !Arc::ptr_eq(of, harness)) {
            *self = Self {
                of: Some(Arc::clone(harness)),
                prints: FxHashMap::default(),
            };
        }
        let print = || printed(&pick.name(harness));
        *self.prints.entry(pick).or_insert_with(print)
    }
}

/// How the pieces of a layer that can be focused stand on the page: by their ids, how each was drawn last, and what
/// tells it that it is drawn otherwise.
type Shown = FxHashMap<u64, (u64, ArcRwSignal<usize>)>;

/// Notes what is kept now, and tells those that are drawn otherwise than before.
fn note(shown: &mut Shown, kept: &[Kept]) {
    let mut before = std::mem::take(shown);
    for one in kept.iter().filter(|one| one.walked) {
        let told = match before.remove(&one.id) {
            Some((look, told)) => {
                if look == one.look {
                    told.update_untracked(|nth| *nth = one.nth);
                } else {
                    told.set(one.nth);
                }
                told
            }
            None => ArcRwSignal::new(one.nth),
        };
        shown.insert(one.id, (one.look, told));
    }
}

/// The pieces of a layer, put on the page and kept there.
pub(super) fn layer(map: Map, names: StoredValue<Names>, of: Layer) -> AnyView {
    let shown = StoredValue::new(Shown::default());
    let most = Memo::new(move |_| map.coming.most(of));
    let each = move || {
        map.drawing.with(|drawing| {
            let told = map.told.get_untracked();
            let kept =
                names.try_update_value(|names| of.kept(drawing, |pick| names.print(&told, pick)));
            let mut kept = kept.unwrap_or_default();
            kept.truncate(most.get().unwrap_or(usize::MAX));
            shown.update_value(|shown| note(shown, &kept));
            kept
        })
    };
    let one = move |Kept { id, nth, .. }: Kept| {
        let told = shown.with_value(|shown| shown.get(&id).map(|(_, told)| told.clone()));
        map.drawing.with_untracked(|drawing| {
            let piece = of.piece(drawing, nth);
            piece.map(|piece| piece.view(map, of, told))
        })
    };
    view! { <For each key=|kept| kept.id children=one /> }.into_any()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use std::collections::BTreeSet;

    use super::*;
    use sparktrail_core::edit::{Command, apply};
    use sparktrail_core::model::{DrawnAt, file};

    fn limousine() -> Harness {
        file::read(include_str!(
            "../../../sample-harnesses/silver-limousine.json"
        ))
        .unwrap()
    }

    fn kept(layer: Layer, harness: &Harness) -> Vec<Kept> {
        let harness = Arc::new(harness.clone());
        let mut names = Names::default();
        let name = |pick| names.print(&harness, pick);
        layer.kept(&Drawing::of(&harness), name)
    }

    fn all<T>(harness: &Harness, what: impl Fn(Kept) -> T + Copy) -> Vec<T> {
        let each = |layer| kept(layer, harness).into_iter().map(what);
        Layer::ALL.into_iter().flat_map(each).collect()
    }

    fn moved(harness: &Harness) -> Harness {
        let stands = Drawing::of(harness).stands;
        let (part, at) = stands.into_iter().next_back().unwrap();
        let place = DrawnAt {
            x: at.x + 24.0,
            y: at.y,
        };
        apply(harness, &Command::Put(vec![(part, Some(place))])).unwrap()
    }

    #[test]
    fn every_piece_of_the_drawing_is_in_one_layer() {
        let harness = limousine();
        let drawing = Drawing::of(&harness);
        let pieces = all(&harness, |one| one.id).len();
        let drawn = drawing.behind.len() + drawing.shapes.len() + drawing.runs.len();
        let discs = drawing.engine.discs.len();
        assert_eq!(pieces, drawn + drawing.labels.len() + discs);
    }

    #[test]
    fn a_part_that_moves_leaves_the_most_of_the_map_as_it_is() {
        let harness = limousine();
        let looks = |harness: &Harness| -> BTreeSet<(u64, u64)> {
            all(harness, |one| (one.id, one.look)).into_iter().collect()
        };
        let (before, after) = (looks(&harness), looks(&moved(&harness)));
        let same = before.intersection(&after).count();
        assert!(before != after, "the move shows");
        assert!(same * 10 > before.len() * 9, "{same} of {}", before.len());
    }

    #[test]
    fn what_can_be_focused_stays_on_the_page_and_knows_how_it_is_drawn_now() {
        let harness = limousine();
        for layer in Layer::ALL {
            let mut shown = Shown::default();
            note(&mut shown, &kept(layer, &harness));
            let before: BTreeSet<u64> = shown.keys().copied().collect();
            let harness = moved(&harness);
            let drawing = Drawing::of(&harness);
            note(&mut shown, &kept(layer, &harness));
            let after: BTreeSet<u64> = shown.keys().copied().collect();
            assert_eq!(before, after, "{layer:?}");
            for (look, nth) in shown.values() {
                let piece = layer.piece(&drawing, nth.get_untracked()).unwrap();
                assert_eq!(piece.look(), *look, "{layer:?}");
            }
        }
    }

    #[test]
    fn a_new_name_is_a_new_piece() {
        let harness = limousine();
        let part = *harness.parts.keys().next().unwrap();
        let name = "Spare battery".into();
        let renamed = apply(&harness, &Command::RenamePart { part, name }).unwrap();
        let ids = |harness| all(harness, |one| one.id);
        assert_ne!(ids(&harness), ids(&renamed));
    }
}
