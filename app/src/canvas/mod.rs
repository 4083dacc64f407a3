//! The map on the screen: drawn as SVG, panned and zoomed, walked with the keyboard, lit along its trails.

mod board;
mod coming;
mod controls;
pub(crate) mod editing;
mod gestures;
mod layers;
mod lit;
mod marks;
mod overlay;
mod pieces;
mod probes;
mod projection;
mod signs;

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::{ev, html, prelude::*, svg};
use sparktrail_core::drawing::{Drawing, Pick, Point, Proportions, Zoom};
use sparktrail_core::model::{Element, Harness, Terminal};
use sparktrail_core::said::said;

pub use editing::Hand;
pub use lit::{Cold, ColdMap, HeatMap, Light, Lit};
pub use overlay::{Level, VoltMap, VoltMark};
pub use projection::{Camera, Foot, Hold, Size};

use crate::edge::canvas::{self as edge, SizeWatch};
use crate::edge::page;
use crate::store::{Difference, LeadColour};
use board::Board;
use coming::Coming;
use gestures::Gestures;

/// Everything that the parts of the map share.
#[derive(Clone, Copy)]
pub(crate) struct Map {
    harness: Signal<Arc<Harness>>,
    /// The same, but not again because a part was moved.
    told: Signal<Arc<Harness>>,
    drawing: Signal<Arc<Drawing>>,
    selected: RwSignal<Option<Pick>>,
    hovered: RwSignal<Option<Pick>>,
    camera: RwSignal<Camera>,
    cold: Signal<ColdMap>,
    lit: Signal<Option<Lit>>,
    heat: Signal<HeatMap>,
    cleared: Signal<BTreeSet<Element>>,
    volts: Signal<Option<VoltMap>>,
    probes: Signal<Vec<(LeadColour, Terminal)>>,
    marks: Signal<Vec<(Pick, Difference)>>,
    /// Whether a hand has hold of the map and does nothing but move it.
    held: RwSignal<bool>,
    /// The camera when it took hold.
    held_at: RwSignal<Camera>,
    size: RwSignal<Size>,
    zoom: Memo<Zoom>,
    /// The item of the walk that the Tab key comes to.
    tab_stop: RwSignal<usize>,
    /// The same as what stands there.
    stop: Memo<Option<Pick>>,
    /// How much of the map is on the page.
    coming: Coming,
    hand: Hand,
    foot: Signal<Foot>,
    board: StoredValue<Board, LocalStorage>,
}

impl Map {
    /// Zooms about the middle of the canvas.
    fn zoom_by(self, factor: f64) {
        let size = self.size.get_untracked();
        let middle = Point::new(size.width / 2.0, size.height / 2.0);
        self.camera.update(|c| *c = c.zoomed(factor, middle));
    }

    fn fit(self) {
        let bounds = self.drawing.with_untracked(|d| d.bounds);
        let foot = untrack(|| self.foot.get());
        self.camera
            .set(Camera::fit(bounds, self.size.get_untracked(), foot));
    }

    /// What lies under a place of the canvas, met within `reach` CSS pixels.
    fn under(self, at: Point, reach: f64) -> Option<Pick> {
        let camera = self.camera.get_untracked();
        let zoom = self.zoom.get_untracked();
        self.drawing
            .with_untracked(|d| d.pick_at(camera.to_map(at), reach / camera.scale, zoom))
    }

    /// How far a hand has moved the map since it took hold of it, in CSS pixels; `None` at rest, and where the map
    /// is no longer as large. Tracked.
    fn moved(self) -> Option<Point> {
        let now = self.camera.get();
        let moved = self.held_at.with(|at| now.beside(*at));
        moved.filter(|_| self.held.get())
    }

    /// The camera with which the drawing lies on its sheet: while a hand moves the map, the sheet is moved and
    /// nothing that is drawn on it. Tracked.
    fn laid(self) -> Camera {
        let at = self.moved().map_or(self.camera, |_| self.held_at);
        at.get()
    }

    /// CSS pixels for one map unit. Tracked; a hand that only moves the map tells of nothing.
    fn scale(self) -> f64 {
        let camera = if self.held.get() {
            self.held_at
        } else {
            self.camera
        };
        camera.with(|camera| camera.scale)
    }
}

/// The map of one harness.
///
/// Pointing or focusing sets `hovered`; a tap, click or Enter sets `selected`; Escape clears it. The camera
/// follows the map's size until a person moves it ([`Hold`]). `shape` is told for which proportions the canvas
/// has room, so that the owner of `drawing` can lay it out anew.
#[component]
pub fn MapView(
    /// The harness.
    #[prop(into)]
    harness: Signal<Arc<Harness>>,
    /// The harness as it was when last anything but where its parts are drawn changed, where somebody knows.
    #[prop(into, optional)]
    told: Option<Signal<Arc<Harness>>>,
    /// Its drawing.
    #[prop(into)]
    drawing: Signal<Arc<Drawing>>,
    /// What happens when the map is changed by hand; without it the map can only be looked at.
    #[prop(optional)]
    hand: Option<Hand>,
    /// What is selected.
    selected: RwSignal<Option<Pick>>,
    /// What is pointed at.
    hovered: RwSignal<Option<Pick>>,
    /// How the map lies on the screen.
    camera: RwSignal<Camera>,
    /// The cylinders that do not do their share.
    #[prop(into)]
    cold: Signal<ColdMap>,
    /// The things on the trail; `None` dims nothing.
    #[prop(into)]
    lit: Signal<Option<Lit>>,
    /// The probability of each element to be the fault.
    #[prop(into, optional)]
    heat: Option<Signal<HeatMap>>,
    /// The elements that are proven good.
    #[prop(into, optional)]
    cleared: Option<Signal<BTreeSet<Element>>>,
    /// The voltages that colour the map; `None` leaves wires their own colours.
    #[prop(into, optional)]
    volts: Option<Signal<Option<VoltMap>>>,
    /// Where a meter's leads touch.
    #[prop(into, optional)]
    probes: Option<Signal<Vec<(LeadColour, Terminal)>>>,
    /// Whether a canvas with little room comes near to the leads.
    #[prop(into, optional)]
    near: Option<Signal<bool>>,
    /// What differs between two maps on one sheet.
    #[prop(into, optional)]
    marks: Option<Signal<Vec<(Pick, Difference)>>>,
    /// Told which proportions suit the canvas.
    #[prop(optional)]
    shape: Option<RwSignal<Proportions>>,
    /// What stands at the foot of the canvas; the buttons if nobody says.
    #[prop(into, optional)]
    foot: Option<Signal<Foot>>,
    /// Told when the whole map is on the page.
    #[prop(optional)]
    whole: Option<RwSignal<bool>>,
) -> impl IntoView {
    let size = RwSignal::new(Size::default());
    let zoom = Memo::new(move |_| Zoom::at_scale(camera.with(|c| c.scale)));
    let hand = hand.unwrap_or_else(Hand::none);
    let tab_stop = RwSignal::new(0);
    let stop = Memo::new(move |_| {
        let nth = tab_stop.get();
        drawing.with(|drawing| drawing.walk.get(nth).copied())
    });
    let map = Map {
        harness,
        told: told.unwrap_or(harness),
        drawing,
        selected,
        hovered,
        camera,
        cold,
        lit,
        heat: heat.unwrap_or_else(|| Signal::derive(HeatMap::new)),
        cleared: cleared.unwrap_or_else(|| Signal::derive(BTreeSet::new)),
        volts: volts.unwrap_or_else(|| Signal::derive(|| None)),
        probes: probes.unwrap_or_else(|| Signal::derive(Vec::new)),
        marks: marks.unwrap_or_else(|| Signal::derive(Vec::new)),
        held: RwSignal::new(false),
        held_at: RwSignal::new(Camera::default()),
        size,
        zoom,
        tab_stop,
        stop,
        coming: Coming::begin(drawing, whole.unwrap_or_else(|| RwSignal::new(false))),
        hand,
        foot: foot.unwrap_or_else(|| Signal::derive(Foot::default)),
        board: StoredValue::new_local(Board::default()),
    };
    board::keep(map);
    editing::keep_focus(map);
    let canvas = NodeRef::<svg::Svg>::new();
    watch_size(map, canvas, shape);
    move_sheet(map, canvas);
    Effect::new(move |_| {
        let bounds = drawing.with(|d| d.bounds);
        let size = size.get();
        if size.width > 1.0 && camera.with(|c| c.hold) == Hold::Fit {
            let fitted = Camera::fit(bounds, size, map.foot.get());
            if camera.get_untracked() != fitted {
                camera.set(fitted);
            }
        }
    });
    if let Some(near) = near {
        come_near(map, near);
    }
    let glass = NodeRef::<html::Div>::new();
    let gestures = Gestures::new(map, glass);
    let pointing = move || hovered.with(Option::is_some);
    view! {
        // Where the keyboard is, is heard here and not on the canvas: one that listens can itself be focused.
        <div
            class="map"
            class:held=move || map.held.get()
            class:coming=move || map.coming.is_coming()
            class:editing=move || hand.editor.is_on()
            class:lit=move || lit.with(Option::is_some)
            data-zoom=move || zoom.get().word()
            on:focusin=move |e| layers::came(map, &e)
            on:focusout=move |e| layers::left(map, &e)
        >
            <svg
                node_ref=canvas
                class="map-canvas"
                role="group"
                aria-label=said("Map of the wiring. Tab walks along it, Enter selects, arrow keys move it, plus and minus zoom.")
                on:keydown=move |e| controls::key(map, &e)
            >
                {layers::patterns()}
                <g transform=move || map.laid().transform()>
                    {layers::layers(map)} {overlay::numbers(map)} {probes::probes(map)}
                    {signs::signs(map)} {editing::shown(map)}
                </g>
            </svg>
            // What is told of wheel and fingers is told of each thing inside, at every picture: of the map's
            // thousands that takes longer than to paint them.
            <div
                node_ref=glass
                class="map-glass"
                class:pointing=pointing
                aria-hidden="true"
                on:pointerdown=move |e| gestures.down(&e)
                on:pointermove=move |e| gestures.moved(&e)
                on:pointerup=move |e| gestures.up(&e)
                on:click=move |e| gestures.clicked(&e)
                on:pointercancel=move |e| gestures.cancel(&e)
                on:pointerleave=move |_| gestures.left()
                on:wheel=move |e: ev::WheelEvent| gestures.wheel(&e)
                on:dblclick=move |e| gestures.twice(&e)
            ></div>
            {controls::buttons(map)}
        </div>
    }
    .into_any()
}

/// A canvas narrower than this, in CSS pixels, has little room.
const NARROW: f64 = 640.0;

/// The proportions that a canvas so many CSS pixels wide has room for.
fn suiting(width: f64) -> Proportions {
    if width < NARROW {
        Proportions::Tall
    } else {
        Proportions::Wide
    }
}

/// The proportions to begin with, before there is a canvas: none is wider than the window, so that in a narrow one
/// no map is drawn twice.
#[must_use]
pub fn likely_shape() -> Proportions {
    page::width().map_or(Proportions::Wide, suiting)
}

/// Comes near to where leads are put, where there is little room; and back to the whole map after that.
fn come_near(map: Map, near: Signal<bool>) {
    Effect::new(move |came: Option<bool>| {
        let size = map.size.get();
        let places: Vec<Point> = if near.get() && size.width < NARROW {
            let touched = probes::touched(map);
            touched.into_iter().map(|one| one.place.centre()).collect()
        } else {
            Vec::new()
        };
        let camera = Camera::over(&places, size);
        if let Some(camera) = camera {
            map.camera.set(camera);
        } else if came == Some(true) {
            map.fit();
        }
        camera.is_some()
    });
}

/// Moves the sheet with the hand that has hold of the map.
fn move_sheet(map: Map, canvas: NodeRef<svg::Svg>) {
    Effect::new(move |_| {
        let moved = map.moved();
        if let Some(sheet) = canvas.get() {
            edge::move_by(&sheet, moved.map(|by| (by.x, by.y)));
        }
    });
}

/// Keeps `size` and `shape` true to the canvas.
fn watch_size(map: Map, canvas: NodeRef<svg::Svg>, shape: Option<RwSignal<Proportions>>) {
    let watch = StoredValue::new_local(None::<SizeWatch>);
    Effect::new(move |_| {
        let Some(element) = canvas.get() else { return };
        let measured = element.clone();
        let measure = move || {
            let found = edge::page_box(&measured);
            let size = Size {
                width: found.width,
                height: found.height,
            };
            if map.size.try_get_untracked().is_none_or(|old| old == size) {
                return;
            }
            map.size.set(size);
            if let Some(shape) = shape {
                let suits = suiting(size.width);
                if shape.get_untracked() != suits {
                    shape.set(suits);
                }
            }
        };
        measure();
        watch.set_value(SizeWatch::start(&element, measure));
    });
    on_cleanup(move || {
        watch.try_update_value(Option::take);
    });
}
