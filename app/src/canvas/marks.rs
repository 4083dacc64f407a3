//! Percentages and ticks on the map: which of them show at a level, and where they have room.

use std::collections::{BTreeMap, BTreeSet};
use std::hash::{DefaultHasher, Hash, Hasher};

use sparktrail_core::drawing::{Drawing, Label, Pick, Point, Rect, Zoom};
use sparktrail_core::gather::Arrange;
use sparktrail_core::model::{Element, Harness, PartKind};
use sparktrail_core::topology::thing_of;

use super::lit::{ColdMap, HeatMap};

/// The least probability that is written as a number.
const LEAST: f64 = 0.05;

/// A percentage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Badge {
    pub(super) room: Rect,
    /// Type size in map units.
    pub(super) size: f64,
    /// Probability, 0 to 1.
    pub(super) share: f64,
}

impl Badge {
    /// What is written on it.
    pub(super) fn words(&self) -> String {
        format!("{:.0} %", self.share * 100.0)
    }

    /// How hot it looks, as an attribute.
    pub(super) const fn level(&self) -> &'static str {
        if self.share >= 0.2 { "high" } else { "mild" }
    }
}

/// A tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tick {
    pub(super) at: Point,
    pub(super) r: f64,
}

/// One of both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sign {
    Badge(Badge),
    Tick(Tick),
}

impl Sign {
    /// A number that is another one where it stands elsewhere or looks otherwise.
    fn print(&self) -> u64 {
        let mut print = DefaultHasher::new();
        let (at, size) = match self {
            Self::Badge(badge) => {
                (badge.words(), badge.level()).hash(&mut print);
                (Point::new(badge.room.x, badge.room.y), badge.size)
            }
            Self::Tick(Tick { at, r }) => (*at, *r),
        };
        for figure in [at.x, at.y, size] {
            figure.to_bits().hash(&mut print);
        }
        print.finish()
    }

    /// Each with its number, back to front; of those that look alike at one place one.
    pub(super) fn numbered(signs: impl IntoIterator<Item = Self>) -> Vec<(u64, Self)> {
        let mut known = BTreeSet::new();
        let numbered = signs.into_iter().map(|sign| (sign.print(), sign));
        numbered.filter(|(print, _)| known.insert(*print)).collect()
    }
}

/// The room on a map at one level that is taken whatever was found.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Rooms {
    /// What can be read, from the top down.
    words: Vec<Rect>,
    /// The height of the tallest of them.
    tallest: f64,
    /// The parts that a percentage keeps off: from far all, from near none, for then it stands on what is inside.
    bodies: Vec<Rect>,
}

impl Rooms {
    pub(super) fn of(drawing: &Drawing, zoom: Zoom) -> Self {
        let labels = drawing.labels.iter().filter(|label| label.shows_at(zoom));
        let discs = drawing
            .engine
            .discs
            .iter()
            .map(|disc| Rect::about(disc.at, 1.3 * disc.r, 1.3 * disc.r));
        let pins = drawing
            .shapes
            .iter()
            .filter(|shape| matches!(shape.pick, Pick::Terminal(_)) && shape.bounds.w > 16.0);
        // From far nothing stands on another part; from near it stands on the elements inside.
        let bodies = drawing.shapes.iter().filter(|shape| {
            let is_part = matches!(shape.pick, Pick::Part(_));
            zoom == Zoom::Far && is_part && shape.bounds.w.min(shape.bounds.h) > 30.0
        });
        let mut words: Vec<Rect> = labels
            .map(Label::bounds)
            .chain(discs)
            .chain(pins.map(|shape| shape.bounds))
            .collect();
        words.arrange_by(|a, b| a.y.total_cmp(&b.y));
        Self {
            tallest: words.iter().map(|room| room.h).fold(0.0, f64::max),
            words,
            bodies: bodies.map(|shape| shape.bounds).collect(),
        }
    }

    /// Whether something that can be read stands in a room.
    fn has_word_in(&self, room: Rect) -> bool {
        let first = self
            .words
            .partition_point(|word| word.y < room.y - self.tallest);
        let beside = self.words[first..].iter();
        beside
            .take_while(|word| word.y <= room.bottom())
            .any(|word| word.overlaps(room))
    }
}

/// What stands on one map at one level, and the room that is taken already.
pub(super) struct Marks<'a> {
    drawing: &'a Drawing,
    harness: &'a Harness,
    zoom: Zoom,
    rooms: &'a Rooms,
    taken: Vec<Rect>,
    /// The words under cylinders that do not work.
    cold: Vec<Rect>,
}

impl<'a> Marks<'a> {
    /// `cold`: under these cylinders stands a word; `rooms`: those of this map at this level.
    pub(super) fn new(
        drawing: &'a Drawing,
        harness: &'a Harness,
        zoom: Zoom,
        rooms: &'a Rooms,
        cold: &ColdMap,
    ) -> Self {
        let cold = drawing.engine.discs.iter().filter_map(|disc| {
            let word = cold.get(&disc.cylinder)?.word();
            let (at, size) = drawing.word_under(*disc, zoom);
            let letters = word.chars().map(|_| 0.55 * size).sum();
            Some(Rect::about(at.by(0.0, -0.3 * size), letters, size))
        });
        Self {
            drawing,
            harness,
            zoom,
            rooms,
            taken: Vec::new(),
            cold: cold.collect(),
        }
    }

    /// The percentages, the highest first. From far a thing has one for all that can fail in it.
    pub(super) fn badges(&mut self, heat: &HeatMap) -> Vec<Badge> {
        let mut shares: BTreeMap<Pick, (f64, Element)> = BTreeMap::new();
        for (&element, share) in heat {
            let pick = match self.zoom {
                Zoom::Far => thing_of(self.harness, element),
                Zoom::Near | Zoom::Close => Pick::Element(element),
            };
            shares.entry(pick).or_insert((0.0, element)).0 += share;
        }
        let mut hot: Vec<(Pick, f64, Element)> = shares
            .into_iter()
            .filter(|(_, (share, _))| *share > LEAST)
            .map(|(pick, (share, element))| (pick, share.min(1.0), element))
            .collect();
        hot.arrange_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let size = match self.zoom {
            Zoom::Far => 0.9 * self.drawing.far_size,
            Zoom::Near => 13.0,
            Zoom::Close => 9.0,
        };
        let (w, h) = (3.1 * size, 1.5 * size);
        let mut found = Vec::new();
        for (pick, share, element) in hot {
            let Some(body) = self.body(pick, element) else {
                continue;
            };
            let seats = around(body, w, h);
            let mut room = self
                .free(&seats, &self.rooms.bodies)
                .unwrap_or_else(|| self.inside(seats[0]));
            while self.taken.iter().any(|taken| taken.overlaps(room)) {
                room = room.moved(0.0, h + 2.0);
            }
            self.taken.push(room);
            found.push(Badge { room, size, share });
        }
        found
    }

    /// The ticks, after the percentages. From far only whole parts have one; one that finds no room waits
    /// for a closer look.
    pub(super) fn ticks(&mut self, good: &BTreeSet<Element>) -> Vec<Tick> {
        let r = match self.zoom {
            Zoom::Far => 0.42 * self.drawing.far_size,
            Zoom::Near => 7.5,
            Zoom::Close => 5.0,
        };
        let mut found = Vec::new();
        let mut things = BTreeSet::new();
        for &element in good {
            if self.zoom == Zoom::Far && !things.insert(thing_of(self.harness, element)) {
                continue;
            }
            let spot = self.drawing.spots.get(&element).map(|spot| spot.at);
            let seats = match self.zoom {
                Zoom::Far => self.corners(element),
                Zoom::Near | Zoom::Close => spot.map_or_else(Vec::new, |at| {
                    [(0.0, -1.5), (0.0, 1.5), (1.6, 0.0), (-1.6, 0.0)]
                        .map(|(dx, dy)| at.by(dx * r, dy * r))
                        .to_vec()
                }),
            };
            let rooms: Vec<Rect> = seats
                .iter()
                .map(|at| Rect::about(*at, 2.2 * r, 2.2 * r))
                .collect();
            let last = match self.zoom {
                Zoom::Far | Zoom::Near => None,
                Zoom::Close => rooms.first().copied(),
            };
            if let Some(room) = self.free(&rooms, &[]).or(last) {
                self.taken.push(room);
                found.push(Tick {
                    at: room.centre(),
                    r,
                });
            }
        }
        found
    }

    /// The first of some rooms that nothing has taken, words and `bodies` included.
    fn free(&self, rooms: &[Rect], bodies: &[Rect]) -> Option<Rect> {
        let is_free = |room: &&Rect| {
            let mut others = self.taken.iter().chain(&self.cold).chain(bodies);
            self.inside(**room) == **room
                && !others.any(|other| other.overlaps(**room))
                && !self.rooms.has_word_in(**room)
        };
        rooms.iter().find(is_free).copied()
    }

    /// A room moved sideways into the map, as far as it stands outside.
    fn inside(&self, room: Rect) -> Rect {
        let b = self.drawing.bounds;
        let over = (room.right() - b.right()).max(0.0);
        let under = (b.x - room.x).max(0.0);
        room.moved(under - over, 0.0)
    }

    /// What a percentage stands beside.
    fn body(&self, pick: Pick, element: Element) -> Option<Rect> {
        let spot = || {
            let at = self.drawing.spots.get(&element)?.at;
            Some(Rect::about(at, 4.0, 4.0))
        };
        match pick {
            Pick::Element(_) | Pick::Wire(_) => spot(),
            Pick::Part(_) | Pick::Cylinder(_) | Pick::Terminal(_) | Pick::Driver(_) => {
                self.drawing.place_of(pick).or_else(spot)
            }
        }
    }

    /// The corners of the part or driver that is ticked as a whole.
    fn corners(&self, element: Element) -> Vec<Point> {
        let pick = thing_of(self.harness, element);
        let is_whole = match pick {
            Pick::Driver(_) => true,
            Pick::Part(part) => match self.harness.parts.get(&part).map(|part| &part.kind) {
                Some(
                    PartKind::Battery(_)
                    | PartKind::Fuse(_)
                    | PartKind::KeySwitch
                    | PartKind::Relay(_)
                    | PartKind::Coil(_)
                    | PartKind::Distributor(_)
                    | PartKind::Injector(_),
                ) => true,
                Some(
                    PartKind::Splice
                    | PartKind::Ground(_)
                    | PartKind::Connector(_)
                    | PartKind::ControlUnit(_)
                    | PartKind::Pack
                    | PartKind::Lead(_)
                    | PartKind::Plug(_),
                )
                | None => false,
            },
            Pick::Wire(_) | Pick::Element(_) | Pick::Cylinder(_) | Pick::Terminal(_) => false,
        };
        match self.drawing.place_of(pick) {
            Some(b) if is_whole => vec![
                Point::new(b.right(), b.y),
                Point::new(b.x, b.y),
                Point::new(b.right(), b.bottom()),
                Point::new(b.x, b.bottom()),
            ],
            Some(_) | None => Vec::new(),
        }
    }
}

/// The rooms about a body: to its right, below, above, to its left.
fn around(body: Rect, w: f64, h: f64) -> [Rect; 4] {
    let c = body.centre();
    let (dx, dy) = ((body.w + w) / 2.0 + 3.0, (body.h + h) / 2.0 + 3.0);
    [(dx, 0.0), (0.0, dy), (0.0, -dy), (-dx, 0.0)].map(|(dx, dy)| Rect::about(c.by(dx, dy), w, h))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use sparktrail_core::drawing::Proportions;
    use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
    use sparktrail_core::engine::{Layout, Strokes};

    fn map() -> (Harness, Drawing) {
        let engine = propose_engine(6, Layout::Inline, Strokes::Four);
        let harness = build(&Plan::new("Six in line", engine)).unwrap();
        let drawing = Drawing::proportioned(&harness, Proportions::Tall);
        (harness, drawing)
    }

    fn apart(rooms: &[Rect]) {
        for (i, a) in rooms.iter().enumerate() {
            for b in rooms.iter().skip(i + 1) {
                assert!(!a.overlaps(*b), "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn from_far_a_part_has_one_percentage_for_all_that_can_fail_in_it() {
        let (harness, drawing) = map();
        let coil = harness
            .parts
            .iter()
            .find(|(_, part)| matches!(part.kind, PartKind::Coil(_)))
            .map(|(id, _)| *id)
            .unwrap();
        let heat: HeatMap = [
            (Element::Primary(coil), 0.3),
            (Element::Secondary(coil), 0.25),
            (Element::CoilInsulation(coil), 0.04),
        ]
        .into_iter()
        .collect();
        let at = |zoom| {
            let rooms = Rooms::of(&drawing, zoom);
            Marks::new(&drawing, &harness, zoom, &rooms, &ColdMap::new()).badges(&heat)
        };
        let far = at(Zoom::Far);
        assert_eq!(far.len(), 1);
        assert!((far[0].share - 0.59).abs() < 1e-9);
        let body = drawing.place_of(Pick::Part(coil)).unwrap();
        assert!(!far[0].room.overlaps(body));
        let near = at(Zoom::Near);
        assert_eq!(near.len(), 2, "one below 5 % carries no number");
        apart(&near.iter().map(|badge| badge.room).collect::<Vec<_>>());
    }

    #[test]
    fn a_sign_has_another_number_where_it_looks_otherwise_and_no_two_have_the_same() {
        let badge = |x: f64, share: f64| {
            let room = Rect::about(Point::new(x, 0.0), 30.0, 15.0);
            let size = 10.0;
            Sign::Badge(Badge { room, size, share })
        };
        let tick = |x: f64, r: f64| {
            let at = Point::new(x, 0.0);
            Sign::Tick(Tick { at, r })
        };
        let all = [
            badge(0.0, 0.311),
            badge(0.0, 0.32),
            // Both say 20 %, one of them is hotter.
            badge(0.0, 0.199),
            badge(0.0, 0.2),
            badge(9.0, 0.311),
            tick(0.0, 5.0),
            tick(9.0, 5.0),
            tick(9.0, 6.0),
        ];
        assert_eq!(Sign::numbered(all).len(), all.len());
        let alike = [
            badge(0.0, 0.311),
            tick(0.0, 5.0),
            badge(0.0, 0.312),
            tick(0.0, 5.0),
        ];
        let numbered = Sign::numbered(alike);
        assert_eq!(numbered.len(), 2, "one percentage and one tick are seen");
        assert_eq!(numbered[0].1, alike[0]);
    }

    #[test]
    fn ticks_never_crowd_and_from_close_none_is_left_out() {
        let (harness, drawing) = map();
        let good: BTreeSet<Element> = harness.elements().into_iter().collect();
        let at = |zoom| {
            let rooms = Rooms::of(&drawing, zoom);
            Marks::new(&drawing, &harness, zoom, &rooms, &ColdMap::new()).ticks(&good)
        };
        let far = at(Zoom::Far);
        assert!(!far.is_empty() && far.len() < 20, "{}", far.len());
        for zoom in [Zoom::Far, Zoom::Near] {
            let rooms: Vec<Rect> = at(zoom)
                .iter()
                .map(|tick| Rect::about(tick.at, 2.0 * tick.r, 2.0 * tick.r))
                .collect();
            apart(&rooms);
        }
        let spots = good.iter().filter(|e| drawing.spots.contains_key(e));
        assert_eq!(at(Zoom::Close).len(), spots.count());
    }

    #[test]
    fn a_word_is_met_in_a_room_wherever_it_stands_in_it() {
        let (_, drawing) = map();
        for zoom in [Zoom::Far, Zoom::Near, Zoom::Close] {
            let rooms = Rooms::of(&drawing, zoom);
            assert!(rooms.words.len() > 20);
            let b = drawing.bounds;
            for x in 0..40 {
                for y in 0..40 {
                    let (x, y) = (f64::from(x) / 40.0, f64::from(y) / 40.0);
                    let at = Point::new(b.x + x * b.w, b.y + y * b.h);
                    let room = Rect::about(at, 60.0, 12.0);
                    let stands = rooms.words.iter().any(|word| word.overlaps(room));
                    assert_eq!(rooms.has_word_in(room), stands, "{room:?}");
                }
            }
        }
    }
}
