//! The layers of the map, back to front: housings, glows, wires, leads, parts, words, badges.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use leptos::{attr::AttributeValue, ev, prelude::*};
use sparktrail_core::drawing::{
    Disc, Drawing, LOOSE_R, Label, Mark, PATTERNS, Pick, Rect, Run, Shape, circle, glow,
};
use sparktrail_core::model::Element;

use super::Map;
use super::board::{Role, item_id, shows};
use super::lit::Cold;
use super::marks::{Badge, Marks, Rooms, Sign, Tick};
use super::pieces::{Layer, Names, layer};
use crate::edge::canvas as edge;

/// Hatching for cylinders.
pub(super) fn patterns() -> AnyView {
    view! { <defs inner_html=PATTERNS></defs> }.into_any()
}

/// Everything that stands on the map.
pub(super) fn layers(map: Map) -> AnyView {
    Effect::new(move |_| {
        let count = map.drawing.with(|drawing| drawing.walk.len());
        if map.tab_stop.get_untracked() >= count {
            map.tab_stop.set(0);
        }
    });
    let block = Memo::new(move |_| map.drawing.with(|drawing| drawing.engine.marks.clone()));
    let engine = move || block.with(|marks| marks.iter().map(mark).collect::<Vec<AnyView>>());
    let discs = Memo::new(move |_| map.drawing.with(|drawing| drawing.engine.discs.clone()));
    let cold_words = move || {
        let discs = discs.get().into_iter();
        let words: Vec<AnyView> = discs.map(|disc| cold_word(map, disc)).collect();
        words
    };
    let names = StoredValue::new(Names::default());
    let layer = |of| layer(map, names, of);
    view! {
        <g class="behind">{engine} {layer(Layer::Behind)}</g>
        {glows(map)}
        <g class="wires">{layer(Layer::Wires)}</g>
        <g class="discs">{layer(Layer::Discs)} {layer(Layer::Cold)}</g>
        <g class="leads">{layer(Layer::Leads)}</g>
        <g class="parts">{layer(Layer::Parts)}</g>
        <g class="words" aria-hidden="true">{layer(Layer::Words)} {cold_words}</g>
        {badges(map)}
    }
    .into_any()
}

/// A group that is selected but never focused.
pub(super) fn passed(map: Map, pick: Pick, class: &'static str, inside: AnyView) -> AnyView {
    view! {
        <g class=class use:shows=(map, pick, Role::Passed)>
            {inside}
        </g>
    }
    .into_any()
}

/// A group that can be focused and read out.
pub(super) fn walked(map: Map, pick: Pick, class: &'static str, inside: AnyView) -> AnyView {
    let name = map.harness.with_untracked(|harness| pick.name(harness));
    if let Pick::Cylinder(cylinder) = pick {
        let label = move || {
            let cold = map.cold.with(|cold| cold.get(&cylinder).copied());
            cold.map_or_else(|| name.clone(), |cold| format!("{name}, {}", cold.word()))
        };
        return item(map, pick, class, label, inside);
    }
    item(map, pick, class, name, inside)
}

fn item(
    map: Map,
    pick: Pick,
    class: &'static str,
    label: impl AttributeValue + 'static,
    inside: AnyView,
) -> AnyView {
    view! {
        <g
            id=item_id(pick)
            class=class
            role="button"
            aria-label=label
            aria-pressed="false"
            tabindex="-1"
            use:shows=(map, pick, Role::Walked)
        >
            {inside}
        </g>
    }
    .into_any()
}

/// What stands in the group of a part, driver, terminal or cylinder.
pub(super) fn shape_inside(shape: &Shape) -> AnyView {
    let marks: Vec<AnyView> = shape.marks.iter().map(mark).collect();
    let halo = match shape.pick {
        Pick::Cylinder(_) | Pick::Terminal(_) => {
            circle(shape.bounds.centre(), shape.bounds.w / 2.0 + 5.0)
        }
        Pick::Part(_) | Pick::Driver(_) | Pick::Wire(_) | Pick::Element(_) => {
            rounded(shape.bounds.grown(6.0))
        }
    };
    inside(halo, marks.into_any())
}

/// What stands in the group of a wire or lead.
pub(super) fn run_inside(run: &Run) -> AnyView {
    let strokes = run.strokes().into_iter().map(|(class, stroke)| {
        view! { <path class=class d=run.d.clone() stroke=stroke /> }.into_any()
    });
    let strokes: Vec<AnyView> = strokes.collect();
    let loose = run.loose.iter();
    let loose: Vec<AnyView> = loose
        .map(|p| view! { <path class="loose" d=circle(*p, LOOSE_R) /> }.into_any())
        .collect();
    let drawn = view! { <g class="run" data-how=run.code()>{strokes} {loose}</g> }.into_any();
    inside(run.d.clone(), drawn)
}

fn inside(halo: String, drawn: AnyView) -> AnyView {
    view! {
        <path class="halo" d=halo />
        {drawn}
    }
    .into_any()
}

/// A word.
pub(super) fn label(map: Map, label: &Label) -> AnyView {
    view! {
        <text
            class=label.class()
            x=format!("{:.1}", label.at.x)
            y=format!("{:.1}", label.at.y)
            font-size=format!("{:.1}", label.size)
            text-anchor=label.align.anchor()
            use:shows=(map, label.of, Role::Lit)
        >
            {label.text.clone()}
        </text>
    }
    .into_any()
}

/// Hatch of a cylinder that does not do its share.
pub(super) fn cold(map: Map, disc: Disc) -> AnyView {
    let ring = disc.ring();
    let how = how_cold(map, disc);
    let shown = move || {
        let cold = how.get()?;
        Some(view! {
            <path class="wash" d=ring.clone() />
            <path class="ring" d=ring.clone() fill=cold.fill() />
            <circle class="eye" cx=disc.at.x cy=disc.at.y r=disc.eye() />
        })
    };
    let state = move || how.get().map(|cold| cold.code());
    let of = Pick::Cylinder(disc.cylinder);
    view! {
        <g class="cold" data-state=state aria-hidden="true" use:shows=(map, of, Role::Lit)>
            {shown}
        </g>
    }
    .into_any()
}

/// Word under a cylinder that does not do its share. It lies over all else but the percentages, and never dims.
fn cold_word(map: Map, disc: Disc) -> AnyView {
    let place = Memo::new(move |_| {
        let zoom = map.zoom.get();
        map.drawing.with(|drawing| drawing.word_under(disc, zoom))
    });
    let how = how_cold(map, disc);
    let shown = move || {
        let cold = how.get()?;
        let (at, size) = place.get();
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

/// How far a cylinder does not do its share.
fn how_cold(map: Map, disc: Disc) -> Memo<Option<Cold>> {
    Memo::new(move |_| map.cold.with(|cold| cold.get(&disc.cylinder).copied()))
}

/// Glows under what may be at fault; the likelier the wider. One stays on the page as long as it follows the same
/// line.
fn glows(map: Map) -> AnyView {
    let each = move || {
        let drawing = map.drawing.get();
        map.heat.with(|heat| {
            let hot = heat.iter().filter(|(_, p)| **p > 0.004);
            hot.filter_map(|(element, _)| {
                let mut print = DefaultHasher::new();
                (element, &drawing.spots.get(element)?.d).hash(&mut print);
                Some((print.finish(), *element))
            })
            .collect::<Vec<(u64, Element)>>()
        })
    };
    let one = move |(_, element): (u64, Element)| {
        let share = move || map.heat.with(|heat| heat.get(&element).copied());
        let glow = move || glow(share().unwrap_or(0.0));
        let spot = |drawing: &Arc<Drawing>| drawing.spots.get(&element).map(|spot| spot.d.clone());
        let d = map.drawing.with_untracked(spot);
        view! {
            <path
                class="glow"
                d=d
                stroke-width=move || format!("{:.1}", glow().0)
                opacity=move || format!("{:.2}", glow().1)
            />
        }
        .into_any()
    };
    view! {
        <g class="glows" aria-hidden="true">
            <For each key=|(print, _)| *print children=one />
        </g>
    }
    .into_any()
}

/// Percentages of likely faults, ticks of proven-good elements. What stands where it stood stays on the page.
fn badges(map: Map) -> AnyView {
    let rooms = Memo::new(move |_| {
        map.drawing
            .with(|drawing| Rooms::of(drawing, map.zoom.get()))
    });
    let each = move || {
        let drawing = map.drawing.get();
        let harness = map.harness.get_untracked();
        let zoom = map.zoom.get();
        let rooms = rooms.read();
        let mut marks = map
            .cold
            .with(|cold| Marks::new(&drawing, &harness, zoom, &rooms, cold));
        let badges = map.heat.with(|heat| marks.badges(heat));
        let ticks = map.cleared.with(|good| marks.ticks(good));
        // Percentages lie over ticks.
        let ticks = ticks.into_iter().map(Sign::Tick);
        Sign::numbered(ticks.chain(badges.into_iter().map(Sign::Badge)))
    };
    let one = |(_, sign): (u64, Sign)| match sign {
        Sign::Badge(one) => badge(one),
        Sign::Tick(one) => tick(one),
    };
    view! {
        <g class="badges" aria-hidden="true">
            <For each key=|(print, _)| *print children=one />
        </g>
    }
    .into_any()
}

fn badge(badge: Badge) -> AnyView {
    let at = badge.room.centre();
    view! {
        <g class="badge" data-level=badge.level()>
            <path d=rounded(badge.room) />
            <text
                x=format!("{:.1}", at.x)
                y=format!("{:.1}", at.y + 0.35 * badge.size)
                font-size=format!("{:.1}", badge.size)
                text-anchor="middle"
            >
                {badge.words()}
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

/// What the keyboard stands on, where that is an item of the map.
fn item_of(map: Map, event: &ev::FocusEvent) -> Option<Pick> {
    let id = edge::id_met(event)?;
    map.board.with_value(|board| board.walked(&id))
}

/// The keyboard came to something on the map.
pub(super) fn came(map: Map, event: &ev::FocusEvent) {
    if let Some(pick) = item_of(map, event) {
        focused(map, pick);
    }
}

/// The keyboard came to an item: light it, bring it into view.
pub(super) fn focused(map: Map, pick: Pick) {
    let place = |drawing: &Arc<Drawing>| drawing.walk.iter().position(|found| *found == pick);
    if let Some(nth) = map.drawing.with_untracked(place)
        && map.tab_stop.get_untracked() != nth
    {
        map.tab_stop.set(nth);
    }
    if map.hovered.get_untracked() != Some(pick) {
        map.hovered.set(Some(pick));
    }
    let place = map.drawing.with_untracked(|d| d.place_of(pick));
    if let Some(place) = place {
        let now = map.camera.get_untracked();
        let shown = now.showing(place, map.size.get_untracked());
        if shown != now {
            map.camera.set(shown);
        }
    }
}

/// The keyboard left something on the map. What is drawn anew while it is moved gets it back at once, and stays lit
/// meanwhile.
pub(super) fn left(map: Map, event: &ev::FocusEvent) {
    if item_of(map, event).is_none() {
        return;
    }
    let comes_back = map.hand.editor.refocus.with_untracked(Option::is_some);
    if !comes_back {
        map.hovered.set(None);
    }
}

fn mark(mark: &Mark) -> AnyView {
    view! { <path class=mark.class() d=mark.d.clone() /> }.into_any()
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
