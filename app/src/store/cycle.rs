//! What a person turns and watches on the cycle's place: never saved, never undone.

use leptos::prelude::*;
use sparktrail_core::cycle::Dials;
use sparktrail_core::model::PartId;
use sparktrail_core::topology::Pick;

/// Whether the crank turns by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Going {
    /// It stands.
    #[default]
    Standing,
    /// It turns.
    Playing,
}

/// The signals of the cycle's place.
#[derive(Debug, Clone, Copy)]
pub struct Cycling {
    /// The dials, once one was turned; the map's own before.
    pub dials: RwSignal<Option<Dials>>,
    /// Where the crank stands, in degrees.
    pub angle: RwSignal<f64>,
    /// Whether it turns.
    pub going: RwSignal<Going>,
    /// The coil whose numbers show; the first while none was chosen.
    pub coil: RwSignal<Option<PartId>>,
    /// The way of the spark's current, as places on the map, while a spark is shown.
    pub way: RwSignal<Option<Vec<Pick>>>,
}

impl Cycling {
    pub(super) fn new() -> Self {
        Self {
            dials: RwSignal::new(None),
            angle: RwSignal::new(0.0),
            going: RwSignal::new(Going::Standing),
            coil: RwSignal::new(None),
            way: RwSignal::new(None),
        }
    }

    /// Forgets all that belongs to one document.
    pub(super) fn clear(self) {
        self.dials.set(None);
        self.angle.set(0.0);
        self.coil.set(None);
        self.rest();
    }

    /// Stops the crank and puts the map's light out.
    pub fn rest(self) {
        self.going.set(Going::Standing);
        self.way.set(None);
    }
}
