//! The pieces of a layer of the map: one stays on the page, with the keyboard on it, until it is drawn otherwise.

use std::collections::BTreeSet;
use std::hash::{DefaultHasher, Hash, Hasher};

use leptos::prelude::*;
use sparktrail_core::drawing::{
    Disc, Drawing, Label, Mark, Pick, Point, Rect, Run, RunKind, Shape,
};
use sparktrail_core::gather::Gather;
use sparktrail_core::model::Harness;

use super::Map;
use super::layers::{cold, label, run, shape};

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

    /// A number for each piece that is another as soon as the piece is drawn or called otherwise.
    fn prints(self, drawing: &Drawing, harness: &Harness) -> Vec<(u64, usize)> {
        let walk: BTreeSet<Pick> = drawing.walk.iter().copied().gather();
        let mut taken = BTreeSet::new();
        let prints = self.pieces(drawing).map(|(nth, piece)| {
            let mut print = DefaultHasher::new();
            piece.print(&mut print);
            if let Some(pick) = piece.pick()
                && walk.contains(&pick)
            {
                pick.name(harness).hash(&mut print);
            }
            let mut print = print.finish();
            // Two words that are the same at the same place.
            while !taken.insert(print) {
                print = print.wrapping_add(1);
            }
            (print, nth)
        });
        prints.collect()
    }
}

impl Piece<'_> {
    /// What of it can be focused; nothing of words and hatching.
    fn pick(&self) -> Option<Pick> {
        match self {
            Self::Shape(shape) => Some(shape.pick),
            Self::Run(run) => Some(run.pick),
            Self::Label(_) | Self::Cold(_) => None,
        }
    }

    fn print(&self, print: &mut DefaultHasher) {
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

    fn view(&self, map: Map) -> AnyView {
        match self {
            Self::Shape(one) => shape(map, one),
            Self::Run(one) => run(map, one),
            Self::Label(one) => label(map, one),
            Self::Cold(disc) => cold(map, *disc),
        }
    }
}

fn point(at: Point, print: &mut DefaultHasher) {
    (at.x.to_bits(), at.y.to_bits()).hash(print);
}

fn rect(of: Rect, print: &mut DefaultHasher) {
    point(Point::new(of.x, of.y), print);
    point(Point::new(of.w, of.h), print);
}

/// The id of something that can be focused, on the page.
pub(super) fn item_id(pick: Pick) -> String {
    let mut print = DefaultHasher::new();
    pick.hash(&mut print);
    format!("map-item-{:x}", print.finish())
}

/// The pieces of a layer, put on the page and kept there.
pub(super) fn layer(map: Map, of: Layer) -> AnyView {
    let each = move || {
        map.drawing.with(|drawing| {
            map.harness
                .with_untracked(|harness| of.prints(drawing, harness))
        })
    };
    let one = move |(_, nth): (u64, usize)| {
        map.drawing
            .with_untracked(|drawing| of.piece(drawing, nth).map(|piece| piece.view(map)))
    };
    view! { <For each key=|(print, _)| *print children=one /> }.into_any()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use sparktrail_core::edit::{Command, apply};
    use sparktrail_core::model::{DrawnAt, file};

    const LAYERS: [Layer; 7] = [
        Layer::Behind,
        Layer::Wires,
        Layer::Leads,
        Layer::Discs,
        Layer::Cold,
        Layer::Parts,
        Layer::Words,
    ];

    fn limousine() -> Harness {
        file::read(include_str!(
            "../../../sample-harnesses/silver-limousine.json"
        ))
        .unwrap()
    }

    fn prints(harness: &Harness) -> BTreeSet<u64> {
        let drawing = Drawing::of(harness);
        let all = LAYERS.map(|layer| layer.prints(&drawing, harness));
        all.iter().flatten().map(|(print, _)| *print).collect()
    }

    #[test]
    fn every_piece_of_the_drawing_is_in_one_layer() {
        let harness = limousine();
        let drawing = Drawing::of(&harness);
        let pieces: usize = LAYERS
            .iter()
            .map(|layer| layer.prints(&drawing, &harness).len())
            .sum();
        let drawn = drawing.behind.len() + drawing.shapes.len() + drawing.runs.len();
        let discs = drawing.engine.discs.len();
        assert_eq!(pieces, drawn + drawing.labels.len() + discs);
    }

    #[test]
    fn a_part_that_moves_leaves_the_most_of_the_map_on_the_page() {
        let harness = limousine();
        let (part, at) = Drawing::of(&harness)
            .stands
            .into_iter()
            .next_back()
            .unwrap();
        let place = DrawnAt {
            x: at.x + 24.0,
            y: at.y,
        };
        let moved = apply(&harness, &Command::Put(vec![(part, Some(place))])).unwrap();
        let (before, after) = (prints(&harness), prints(&moved));
        let same = before.intersection(&after).count();
        assert!(before != after, "the move shows");
        assert!(same * 10 > before.len() * 9, "{same} of {}", before.len());
    }

    #[test]
    fn a_new_name_is_a_new_piece() {
        let harness = limousine();
        let part = *harness.parts.keys().next().unwrap();
        let name = "Spare battery".into();
        let renamed = apply(&harness, &Command::RenamePart { part, name }).unwrap();
        assert_ne!(prints(&harness), prints(&renamed));
    }
}
