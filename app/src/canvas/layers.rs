//! The layers of the map, back to front: housings, glows, wires, leads, parts, words, badges.

use std::collections::BTreeMap;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::drawing::{
    Align, Disc, Drawing, Label, Mark, Pick, Point, Rect, Run, RunKind, Shape, paint,
};
use sparktrail_core::gather::Gather;
use sparktrail_core::model::Harness;
use sparktrail_core::provenance::Provenance;

use super::Map;
use super::lit::Cold;
use super::marks::{Badge, Marks, Tick, word_under};

/// The id of the nth item of the walk.
pub(super) fn item_id(nth: usize) -> String {
    format!("map-item-{nth}")
}

/// Hatching for cylinders.
pub(super) fn patterns() -> AnyView {
    view! {
        <defs>
            <pattern id="map-dead" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                <path class="hatch" d="M4.5 0V9" />
            </pattern>
            <pattern id="map-doubtful" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                <circle class="speck" cx="4" cy="4" r="1.5" />
            </pattern>
        </defs>
    }
    .into_any()
}

/// What one layout of the map needs to be put on the page.
struct Layers {
    map: Map,
    harness: Arc<Harness>,
    /// Place of each pick in the walk.
    walk: BTreeMap<Pick, usize>,
}

/// Everything that stands on the map.
pub(super) fn layers(map: Map) -> AnyView {
    let drawing = map.drawing.get();
    let harness = map.harness.get_untracked();
    let count = drawing.walk.len();
    if map.tab_stop.get_untracked() >= count {
        map.tab_stop.set(0);
    }
    let layers = Layers {
        map,
        harness,
        walk: drawing
            .walk
            .iter()
            .enumerate()
            .map(|(i, p)| (*p, i))
            .gather(),
    };
    let shapes = |shapes: &[Shape]| shapes.iter().map(|s| layers.shape(s)).collect_view();
    let runs = |kind: fn(RunKind) -> bool| {
        drawing
            .runs
            .iter()
            .filter(|r| kind(r.kind))
            .map(|r| layers.run(r))
            .collect_view()
    };
    let engine = drawing.engine.marks.iter().map(mark).collect_view();
    let behind = shapes(&drawing.behind);
    let wires = runs(|kind| kind == RunKind::Wire);
    let leads = runs(|kind| kind != RunKind::Wire);
    let (discs, parts): (Vec<Shape>, Vec<Shape>) = drawing
        .shapes
        .iter()
        .cloned()
        .partition(|s| matches!(s.pick, Pick::Cylinder(_)));
    let cold = drawing
        .engine
        .discs
        .iter()
        .map(|d| layers.cold(*d))
        .collect_view();
    let discs = shapes(&discs);
    let parts = shapes(&parts);
    let words = drawing
        .labels
        .iter()
        .map(|l| layers.label(l))
        .collect_view();
    let cold_words = drawing
        .engine
        .discs
        .iter()
        .map(|d| layers.cold_word(*d, &drawing))
        .collect_view();
    let glows = layers.glows(&drawing);
    let badges = layers.badges(&drawing);
    view! {
        <g class="behind">{engine} {behind}</g>
        {glows}
        <g class="wires">{wires}</g>
        <g class="discs">{discs} {cold}</g>
        <g class="leads">{leads}</g>
        <g class="parts">{parts}</g>
        <g class="words" aria-hidden="true">{words} {cold_words}</g>
        {badges}
    }
    .into_any()
}

impl Layers {
    /// How brightly a pick is drawn, as an attribute.
    fn light(&self, pick: Pick) -> impl Fn() -> Option<&'static str> + use<> {
        let map = self.map;
        let harness = Arc::clone(&self.harness);
        move || {
            map.lit
                .with(|lit| lit.as_ref().map(|lit| lit.of_pick(pick, &harness).word()))
        }
    }

    /// A group that can be focused and read out when it is part of the walk.
    fn item(&self, pick: Pick, class: &'static str, halo: String, inner: AnyView) -> AnyView {
        let map = self.map;
        let light = self.light(pick);
        let selected = move || map.is_chosen(pick);
        let volt = move || {
            map.volts
                .with(|volts| volts.as_ref()?.get(&pick).map(|mark| mark.level.word()))
        };
        let Some(nth) = self.walk.get(&pick).copied() else {
            return view! {
                <g class=class data-light=light data-volt=volt class:chosen=selected>
                    <path class="halo" d=halo />
                    {inner}
                </g>
            }
            .into_any();
        };
        let name = pick.name(&self.harness);
        let cylinder = match pick {
            Pick::Cylinder(cylinder) => Some(cylinder),
            Pick::Part(_)
            | Pick::Wire(_)
            | Pick::Element(_)
            | Pick::Terminal(_)
            | Pick::Driver(_) => None,
        };
        let label = move || {
            let cold = cylinder.and_then(|c| map.cold.with(|cold| cold.get(&c).copied()));
            cold.map_or_else(|| name.clone(), |cold| format!("{name}, {}", cold.word()))
        };
        let tabindex = move || if map.tab_stop.get() == nth { "0" } else { "-1" };
        view! {
            <g
                id=item_id(nth)
                class=class
                role="button"
                aria-label=label
                aria-pressed=move || if selected() { "true" } else { "false" }
                tabindex=tabindex
                data-light=light
                data-volt=volt
                class:chosen=selected
                on:focus=move |_| focused(map, nth, pick)
                on:blur=move |_| map.hovered.set(None)
            >
                <path class="halo" d=halo />
                {inner}
            </g>
        }
        .into_any()
    }

    fn shape(&self, shape: &Shape) -> AnyView {
        let marks = shape.marks.iter().map(mark).collect_view().into_any();
        let class = match shape.pick {
            Pick::Part(_) => "item part",
            Pick::Driver(_) => "item driver",
            Pick::Terminal(_) => "item terminal",
            Pick::Cylinder(_) => "item cylinder",
            Pick::Wire(_) | Pick::Element(_) => "item",
        };
        let halo = match shape.pick {
            Pick::Cylinder(_) | Pick::Terminal(_) => {
                circle(shape.bounds.centre(), shape.bounds.w / 2.0 + 5.0)
            }
            Pick::Part(_) | Pick::Driver(_) | Pick::Wire(_) | Pick::Element(_) => {
                rounded(shape.bounds.grown(6.0))
            }
        };
        self.item(shape.pick, class, halo, marks)
    }

    fn run(&self, run: &Run) -> AnyView {
        let d = run.d.clone();
        let how = match run.how {
            Provenance::Assumed => "assumed",
            Provenance::Diagram => "diagram",
            Provenance::Measured => "measured",
        };
        let inner = match run.kind {
            RunKind::Wire => {
                let base = run.colour.map(|c| paint(c.base));
                let unknown = base.is_none();
                let tracer = run.colour.and_then(|c| c.tracer).map(|tracer| {
                    view! { <path class="tracer" d=d.clone() stroke=paint(tracer) /> }
                });
                view! {
                    <path class="gap" d=d.clone() />
                    <path class="casing" d=d.clone() />
                    <path class="base" class:unknown=unknown d=d.clone() stroke=base />
                    {tracer}
                }
                .into_any()
            }
            RunKind::Lead | RunKind::Boot => view! {
                <path class="gap" d=d.clone() />
                <path class="lead" class:boot=run.kind == RunKind::Boot d=d.clone() />
            }
            .into_any(),
        };
        let loose = run
            .loose
            .iter()
            .map(|p| view! { <path class="loose" d=circle(*p, 5.0) /> })
            .collect_view();
        let inner = view! { <g class="run" data-how=how>{inner} {loose}</g> }.into_any();
        self.item(run.pick, "item wire", run.d.clone(), inner)
    }

    fn label(&self, label: &Label) -> AnyView {
        let light = self.light(label.of);
        let anchor = match label.align {
            Align::Start => "start",
            Align::Middle => "middle",
            Align::End => "end",
        };
        view! {
            <text
                class=format!("label {} from-{} until-{}", label.voice.word(), label.from.word(), label.until.word())
                x=format!("{:.1}", label.at.x)
                y=format!("{:.1}", label.at.y)
                font-size=format!("{:.1}", label.size)
                text-anchor=anchor
                data-light=light
            >
                {label.text.clone()}
            </text>
        }
        .into_any()
    }

    /// Hatch of a cylinder that does not do its share.
    fn cold(&self, disc: Disc) -> AnyView {
        let map = self.map;
        let light = self.light(Pick::Cylinder(disc.cylinder));
        let ring = circle(disc.at, disc.r - 1.5);
        let shown = move || {
            let cold = map.cold.with(|cold| cold.get(&disc.cylinder).copied())?;
            let fill = match cold {
                Cold::Dead => "url(#map-dead)",
                Cold::Doubtful => "url(#map-doubtful)",
            };
            Some(view! {
                <path class="wash" d=ring.clone() />
                <path class="ring" d=ring.clone() fill=fill />
                <circle class="eye" cx=disc.at.x cy=disc.at.y r=0.56 * disc.r />
            })
        };
        let state = self.state_of(disc);
        view! { <g class="cold" data-state=state data-light=light aria-hidden="true">{shown}</g> }
            .into_any()
    }

    /// Word under a cylinder that does not do its share. It lies over all else but the percentages, and never dims.
    fn cold_word(&self, disc: Disc, drawing: &Arc<Drawing>) -> AnyView {
        let map = self.map;
        let drawing = Arc::clone(drawing);
        let shown = move || {
            let cold = map.cold.with(|cold| cold.get(&disc.cylinder).copied())?;
            let (at, size) = word_under(disc, &drawing, map.zoom.get());
            Some(view! {
                <text
                    class="cold-word"
                    x=format!("{:.1}", at.x)
                    y=format!("{:.1}", at.y)
                    font-size=format!("{size:.1}")
                    text-anchor="middle"
                >
                    {cold.word()}
                </text>
            })
        };
        view! { <g>{shown}</g> }.into_any()
    }

    fn state_of(&self, disc: Disc) -> impl Fn() -> Option<&'static str> + use<> {
        let map = self.map;
        move || {
            map.cold
                .with(|cold| cold.get(&disc.cylinder).map(|c| c.code()))
        }
    }

    /// Glows under what may be at fault; the likelier the wider.
    fn glows(&self, drawing: &Arc<Drawing>) -> AnyView {
        let map = self.map;
        let drawing = Arc::clone(drawing);
        let glows = move || {
            map.heat.with(|heat| {
                heat.iter()
                    .filter(|(_, p)| **p > 0.004)
                    .filter_map(|(element, p)| {
                        let spot = drawing.spots.get(element)?;
                        let width = 5.0 + 26.0 * p.clamp(0.0, 1.0).sqrt();
                        let opacity = 0.25 + 0.6 * p.clamp(0.0, 1.0).sqrt();
                        Some(view! {
                            <path
                                class="glow"
                                d=spot.d.clone()
                                stroke-width=format!("{width:.1}")
                                opacity=format!("{opacity:.2}")
                            />
                        })
                    })
                    .collect_view()
            })
        };
        view! { <g class="glows" aria-hidden="true">{glows}</g> }.into_any()
    }

    /// Percentages of likely faults, ticks of proven-good elements.
    fn badges(&self, drawing: &Arc<Drawing>) -> AnyView {
        let map = self.map;
        let drawing = Arc::clone(drawing);
        let harness = Arc::clone(&self.harness);
        let shown = move || {
            let zoom = map.zoom.get();
            let mut marks = map
                .cold
                .with(|cold| Marks::new(&drawing, &harness, zoom, cold));
            let badges = map.heat.with(|heat| marks.badges(heat));
            let ticks = map.cleared.with(|good| marks.ticks(good));
            let ticks: Vec<AnyView> = ticks.into_iter().map(tick).collect();
            let badges: Vec<AnyView> = badges.into_iter().map(badge).collect();
            (ticks, badges)
        };
        view! { <g class="badges" aria-hidden="true">{shown}</g> }.into_any()
    }
}

fn badge(badge: Badge) -> AnyView {
    let level = if badge.share >= 0.2 { "high" } else { "mild" };
    let at = badge.room.centre();
    view! {
        <g class="badge" data-level=level>
            <path d=rounded(badge.room) />
            <text
                x=format!("{:.1}", at.x)
                y=format!("{:.1}", at.y + 0.35 * badge.size)
                font-size=format!("{:.1}", badge.size)
                text-anchor="middle"
            >
                {format!("{:.0} %", badge.share * 100.0)}
            </text>
        </g>
    }
    .into_any()
}

fn tick(Tick { at, r }: Tick) -> AnyView {
    let (x, y, a, b) = (at.x - 0.55 * r, at.y + 0.05 * r, 0.4 * r, 0.72 * r);
    let mark = format!("M{x:.1} {y:.1}l{a:.1} {a:.1}l{b:.1} -{:.1}", 0.8 * r);
    view! {
        <g class="tick">
            <path class="tick-disc" d=circle(at, r) />
            <path class="tick-mark" d=mark stroke-width=format!("{:.1}", 0.27 * r) />
        </g>
    }
    .into_any()
}

/// The keyboard came to an item: light it, bring it into view.
fn focused(map: Map, nth: usize, pick: Pick) {
    if map.tab_stop.get_untracked() != nth {
        map.tab_stop.set(nth);
    }
    map.hovered.set(Some(pick));
    let place = map.drawing.with_untracked(|d| d.place_of(pick));
    if let Some(place) = place {
        let now = map.camera.get_untracked();
        let shown = now.showing(place, map.size.get_untracked());
        if shown != now {
            map.camera.set(shown);
        }
    }
}

fn mark(mark: &Mark) -> AnyView {
    let class = format!("mark {} from-{}", mark.role.word(), mark.from.word());
    view! { <path class=class d=mark.d.clone() /> }.into_any()
}

pub(super) fn circle(at: Point, r: f64) -> String {
    format!(
        "M{:.1} {:.1}a{r:.1} {r:.1} 0 1 1 {:.1} 0a{r:.1} {r:.1} 0 1 1 {:.1} 0Z",
        at.x - r,
        at.y,
        2.0 * r,
        -2.0 * r
    )
}

fn rounded(b: Rect) -> String {
    let r = (b.h / 2.0).min(b.w / 2.0).min(12.0);
    format!(
        "M{:.1} {:.1}H{:.1}a{r} {r} 0 0 1 {r} {r}V{:.1}a{r} {r} 0 0 1 -{r} {r}H{:.1}a{r} {r} 0 0 1 -{r} -{r}V{:.1}a{r} {r} 0 0 1 {r} -{r}Z",
        b.x + r,
        b.y,
        b.right() - r,
        b.bottom() - r,
        b.x + r,
        b.y + r
    )
}
