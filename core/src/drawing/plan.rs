//! The drawing under construction: where boxes, terminals, bars and cylinders stand.

use std::collections::{BTreeMap, BTreeSet};

use super::geometry::{Point, Rect};
use super::links::Links;
use crate::engine::CylinderId;
use crate::gather::Arrange;
use crate::model::{
    ControlUnit, Harness, PartId, PartKind, Port, Secondary, Terminal, UnitRole, WireEnd, WireId,
};

/// The proportions of the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Shape {
    /// For a screen wider than high.
    #[default]
    Wide,
    /// For a phone held upright: narrower boxes and channels.
    Tall,
}

/// Sizes that follow from the shape, all in map units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measure {
    pub(super) shape: Shape,
    pub(super) margin: f64,
    pub(super) unit_w: f64,
    pub(super) module_w: f64,
    pub(super) coil_w: f64,
    pub(super) bar_slot: f64,
    pub(super) connector_slot: f64,
    pub(super) pad: f64,
    pub(super) lead_gap: f64,
    pub(super) disc_r: f64,
    pub(super) bank_w: f64,
    pub(super) rail_step: f64,
    /// Width and height, in CSS pixels, of the map on a common screen of this shape.
    pub(super) screen: (f64, f64),
}

impl Measure {
    pub(super) const fn of(shape: Shape) -> Self {
        match shape {
            Shape::Wide => Self {
                shape,
                margin: 36.0,
                unit_w: 216.0,
                module_w: 180.0,
                coil_w: 120.0,
                bar_slot: 60.0,
                connector_slot: 84.0,
                pad: 60.0,
                lead_gap: 132.0,
                disc_r: 33.0,
                bank_w: 120.0,
                rail_step: 120.0,
                screen: (1000.0, 760.0),
            },
            Shape::Tall => Self {
                shape,
                margin: 24.0,
                unit_w: 108.0,
                module_w: 108.0,
                coil_w: 84.0,
                bar_slot: 36.0,
                connector_slot: 60.0,
                pad: 36.0,
                lead_gap: 72.0,
                disc_r: 30.0,
                bank_w: 84.0,
                rail_step: 72.0,
                screen: (374.0, 610.0),
            },
        }
    }
}

/// The side of a part that a terminal looks out of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Face {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Upward.
    Up,
    /// Downward.
    Down,
}

impl Face {
    /// One step outward.
    pub(super) const fn step(self) -> (f64, f64) {
        match self {
            Self::Left => (-1.0, 0.0),
            Self::Right => (1.0, 0.0),
            Self::Up => (0.0, -1.0),
            Self::Down => (0.0, 1.0),
        }
    }
}

/// Where a wire meets a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub(super) at: Point,
    pub(super) face: Face,
}

/// Height that a driver with no known pin takes up in its unit.
pub(super) const LOOSE_DRIVER: f64 = 72.0;
/// Room below the lowest driver, for its name and for pins in the lower edge.
pub(super) const UNIT_FOOT: f64 = 24.0;

/// Type size of the note of a unit's place.
pub(super) const PLACE_SIZE: f64 = 13.0;

/// CSS pixels that the names of coils and units have when the whole map is seen at once.
const FAR_PIXELS: f64 = 11.0;
/// Least and greatest type size of these names, in map units.
const FAR_SIZE: (f64, f64) = (21.0, 31.0);

/// What a splice or ground point looks like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Bar {
    /// A splice whose wires leave level: an upright bar.
    Upright { x: f64, top: f64, bottom: f64 },
    /// A splice or ground point whose wires leave upward (ground) or any way (splice): a level bar.
    Level { y: f64, left: f64, right: f64 },
}

impl Bar {
    pub(super) fn bounds(self) -> Rect {
        match self {
            Self::Upright { x, top, bottom } => {
                Rect::new(x - 4.0, top - 4.0, 8.0, bottom - top + 8.0)
            }
            Self::Level { y, left, right } => {
                Rect::new(left - 4.0, y - 4.0, right - left + 8.0, 8.0)
            }
        }
    }
}

/// The drawing under construction.
pub(super) struct Plan<'a> {
    pub(super) harness: &'a Harness,
    pub(super) links: Links,
    /// The wires on ways that were measured from end to end.
    pub(super) proved: BTreeSet<WireId>,
    pub(super) m: Measure,
    pub(super) boxes: BTreeMap<PartId, Rect>,
    pub(super) ports: BTreeMap<Terminal, Spot>,
    pub(super) bars: BTreeMap<PartId, Bar>,
    pub(super) taps: BTreeMap<(WireId, WireEnd), Spot>,
    /// Where each part that can be moved by hand stands.
    pub(super) stands: BTreeMap<PartId, Point>,
    pub(super) discs: BTreeMap<CylinderId, Point>,
    pub(super) banks: Vec<Rect>,
    pub(super) block: Rect,
    pub(super) order: Vec<PartId>,
    /// Type size of the names that show when the whole map is seen at once.
    pub(super) far: f64,
}

impl<'a> Plan<'a> {
    pub(super) fn new(harness: &'a Harness, shape: Shape) -> Self {
        Self {
            harness,
            links: Links::of(harness),
            proved: harness.proved_wires(),
            m: Measure::of(shape),
            boxes: BTreeMap::new(),
            ports: BTreeMap::new(),
            bars: BTreeMap::new(),
            taps: BTreeMap::new(),
            stands: BTreeMap::new(),
            discs: BTreeMap::new(),
            banks: Vec::new(),
            block: Rect::default(),
            order: Vec::new(),
            far: FAR_SIZE.0,
        }
    }

    /// Chooses the type size of the far names by the size of the map: a large map is seen from farther away.
    pub(super) fn set_far_size(&mut self) {
        let b = self.bounds().grown(self.m.margin);
        let scale = (self.m.screen.0 / b.w).min(self.m.screen.1 / b.h);
        self.far = (FAR_PIXELS / scale).clamp(FAR_SIZE.0, FAR_SIZE.1);
    }

    /// Type size of a word under a cylinder: that of the far names as far as the next cylinder lets it.
    pub(super) fn word_size(&self) -> f64 {
        let mut places: Vec<Point> = self.discs.values().copied().collect();
        places.arrange_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        let gap = places
            .windows(2)
            .filter(|w| (w[0].x - w[1].x).abs() < 0.5)
            .map(|w| w[1].y - w[0].y - 2.0 * self.m.disc_r)
            .fold(f64::INFINITY, f64::min);
        (0.9 * self.far).min(gap - 5.0).max(15.0)
    }

    pub(super) fn kind(&self, part: PartId) -> Option<&'a PartKind> {
        self.harness.parts.get(&part).map(|p| &p.kind)
    }

    /// What the part counts as when the drawing is laid out.
    pub(super) fn class(&self, part: PartId) -> Class {
        match self.kind(part) {
            Some(
                PartKind::Battery(_) | PartKind::Fuse(_) | PartKind::KeySwitch | PartKind::Relay(_),
            ) => Class::Rail,
            Some(PartKind::Splice) => Class::Splice,
            Some(PartKind::Ground(_)) => Class::Ground,
            Some(PartKind::Connector(_)) => Class::Connector,
            Some(PartKind::ControlUnit(unit)) => match unit.role {
                UnitRole::EngineControl => Class::Unit,
                UnitRole::IgnitionModule => Class::Module,
            },
            Some(PartKind::Coil(_)) => Class::Coil,
            Some(PartKind::Injector(_)) => Class::Injector,
            Some(PartKind::Pack) => Class::Pack,
            Some(PartKind::Distributor(_)) => Class::Distributor,
            Some(PartKind::Lead(_) | PartKind::Plug(_)) | None => Class::Spark,
        }
    }

    pub(super) fn parts(&self, class: Class) -> Vec<PartId> {
        self.harness
            .parts
            .keys()
            .copied()
            .filter(|id| self.class(*id) == class)
            .collect()
    }

    /// The classes of what the part is wired to.
    pub(super) fn neighbours(&self, part: PartId) -> Vec<PartId> {
        self.links
            .of_part(part)
            .filter_map(|(_, link)| link.other.map(|t| t.part))
            .filter(|p| *p != part)
            .collect()
    }

    pub(super) fn put(&mut self, part: PartId, bounds: Rect) {
        self.boxes.insert(part, bounds);
    }

    pub(super) fn port(&mut self, terminal: Terminal, at: Point, face: Face) {
        self.ports.insert(terminal, Spot { at, face });
    }

    /// Moves a part with its terminals.
    pub(super) fn shift(&mut self, part: PartId, dx: f64, dy: f64) {
        if let Some(b) = self.boxes.get_mut(&part) {
            *b = b.moved(dx, dy);
        }
        let first = Terminal {
            part,
            port: Port::FIRST,
        };
        for (_, spot) in self
            .ports
            .range_mut(first..)
            .take_while(|(terminal, _)| terminal.part == part)
        {
            spot.at = spot.at.by(dx, dy);
        }
        if let Some(bar) = self.bars.get_mut(&part) {
            *bar = match *bar {
                Bar::Upright { x, top, bottom } => Bar::Upright {
                    x: x + dx,
                    top: top + dy,
                    bottom: bottom + dy,
                },
                Bar::Level { y, left, right } => Bar::Level {
                    y: y + dy,
                    left: left + dx,
                    right: right + dx,
                },
            };
        }
    }

    /// Where a terminal stands on the vertical axis; for a splice the mean of what it is wired to.
    pub(super) fn known_y(&self, terminal: Terminal) -> Option<f64> {
        if let Some(spot) = self.ports.get(&terminal) {
            return Some(spot.at.y);
        }
        super::order::mean(
            self.links
                .of_part(terminal.part)
                .filter_map(|(_, link)| link.other)
                .filter_map(|t| self.ports.get(&t))
                .map(|spot| spot.at.y),
        )
    }

    /// Whether there are so many coils that each is drawn lower, with its name beside it and not above.
    pub(super) fn has_many_coils(&self) -> bool {
        let coils = self.parts(Class::Coil);
        let is_single = |id: &PartId| {
            let coil = self.harness.coil(*id);
            coil.is_some_and(|coil| coil.secondary != Secondary::TwoEnded)
        };
        coils.len() > 8 && coils.iter().all(is_single)
    }

    /// The height of a driver beside its pin: lower where a unit holds many and none is told by a pin to switch.
    pub(super) fn driver_room(unit: &ControlUnit) -> f64 {
        if unit.drivers.len() > 8 && unit.drivers.iter().all(|d| d.drive.is_none()) {
            48.0
        } else {
            60.0
        }
    }

    /// What the note of a unit's place says, line by line, in a box `w` wide. On a phone it stands beside the map.
    pub(super) fn place_note(&self, unit: PartId, w: f64) -> Vec<String> {
        let text = self.harness.parts.get(&unit).map(|p| &p.place.text);
        match (self.m.shape, text) {
            (Shape::Wide, Some(text)) => super::shape::wrapped(text, PLACE_SIZE, w - 28.0, 2),
            (Shape::Wide, None) | (Shape::Tall, _) => Vec::new(),
        }
    }

    /// Room above a unit's first row, for its name and the note of its place.
    pub(super) fn header(&self, unit: PartId, w: f64) -> f64 {
        match self.m.shape {
            Shape::Wide => {
                let lines = self.place_note(unit, w).len() as f64;
                60.0 + super::geometry::GRID * (lines - 1.0).max(0.0)
            }
            Shape::Tall => 84.0,
        }
    }

    /// The bodies of a connector: one around each run of cavities that touch.
    pub(super) fn pods(&self, connector: PartId) -> Vec<Rect> {
        let Some(b) = self.boxes.get(&connector) else {
            return Vec::new();
        };
        let mut ys: Vec<f64> = self
            .ports
            .iter()
            .filter(|(t, spot)| t.part == connector && spot.face == Face::Left)
            .map(|(_, spot)| spot.at.y)
            .collect();
        ys.arrange_by(f64::total_cmp);
        let mut pods: Vec<Rect> = Vec::new();
        for y in ys {
            let pod = Rect::new(b.x, y - 12.0, b.w, 24.0);
            match pods.last_mut() {
                Some(last) if last.bottom() >= pod.y - 1.0 => *last = last.union(pod),
                Some(_) | None => pods.push(pod),
            }
        }
        if pods.is_empty() {
            pods.push(*b);
        }
        pods
    }

    /// Everything that stands somewhere, as boxes.
    pub(super) fn bounds(&self) -> Rect {
        self.boxes
            .values()
            .copied()
            .chain(self.bars.values().map(|bar| bar.bounds()))
            .chain(self.banks.iter().copied())
            .chain((self.block.w > 0.0).then_some(self.block))
            .reduce(Rect::union)
            .unwrap_or_default()
    }
}

/// What a part counts as when the drawing is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Class {
    /// Battery, fuse, key switch, relay: across the top.
    Rail,
    Splice,
    Ground,
    Connector,
    Unit,
    Module,
    Coil,
    Injector,
    Pack,
    Distributor,
    /// Leads and plugs.
    Spark,
}
