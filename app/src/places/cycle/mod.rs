//! One working cycle of the engine: pistons, dwell and sparks along the crank angle, the current's way on
//! the map, and what dwell, supply, speed and resistance make of it.

mod change;
mod dials;
mod list;
mod numbers;
mod play;
mod plots;
mod scale;
mod score;

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::cycle::{Cycle, Dials, Firing};
use sparktrail_core::model::{Harness, PartId};
use sparktrail_core::topology::Pick;
use sparktrail_core::units::Degrees;

use super::words::cycle as words;
use crate::edge::events;
use crate::store::Store;

/// After a spark its way stays lit for so many degrees of the crank.
const AFTERGLOW: f64 = 40.0;

/// What the pieces of the place look at.
#[derive(Debug, Clone, Copy)]
struct Seen {
    store: Store,
    /// The dials as they stand.
    dials: Memo<Dials>,
    /// The healthy cycle at these dials.
    healthy: Memo<Arc<Cycle>>,
    /// The same with what is broken for trying; the healthy one where nothing is.
    shown: Memo<Arc<Cycle>>,
    /// The coil whose numbers show.
    coil: Memo<Option<PartId>>,
}

impl Seen {
    fn new(store: Store) -> Self {
        let cycling = store.cycle;
        let dials = Memo::new(move |_| {
            let usual = || store.told.with(|harness| Dials::of(harness));
            cycling.dials.get().unwrap_or_else(usual)
        });
        let cycle = move |fault| {
            let dials = dials.get();
            store
                .harness
                .with(|harness| Arc::new(Cycle::of(harness, &dials, fault)))
        };
        let healthy = Memo::new_with_compare(move |_| cycle(None), |_, _| true);
        let shown = Memo::new_with_compare(
            move |_| match store.session.broken.get() {
                None => healthy.get(),
                fault => cycle(fault),
            },
            |_, _| true,
        );
        let coil = Memo::new(move |_| {
            let chosen = cycling.coil.get();
            shown.with(|cycle| {
                let known = chosen.filter(|&coil| cycle.coil(coil).is_some());
                known.or_else(|| cycle.coils.first().map(|row| row.coil))
            })
        });
        Self {
            store,
            dials,
            healthy,
            shown,
            coil,
        }
    }

    /// Length of the cycle, degrees. Tracked.
    fn length(self) -> f64 {
        self.shown.with(|cycle| cycle.length.get())
    }

    /// Turns a dial.
    fn turn(self, turn: impl FnOnce(&mut Dials)) {
        let mut dials = self.dials.get_untracked();
        turn(&mut dials);
        // What is added is added to the coil that shows.
        dials.at = self.coil.get_untracked();
        self.store.cycle.dials.set(Some(dials));
    }

    /// The spark whose way is lit at this angle: its coil, and its place among the coil's firings. Tracked.
    fn lit(self) -> Option<(PartId, usize)> {
        let angle = self.store.cycle.angle.get();
        self.shown.with(|cycle| {
            let length = cycle.length.get();
            let since = |firing: &Firing| (angle - firing.at.get()).rem_euclid(length);
            let rows = cycle.coils.iter().flat_map(|row| {
                let firings = row.firings.iter().enumerate();
                firings.map(move |(place, firing)| (row.coil, place, since(firing)))
            });
            rows.filter(|(.., since)| *since <= AFTERGLOW)
                .min_by(|a, b| a.2.total_cmp(&b.2))
                .map(|(coil, place, _)| (coil, place))
        })
    }
}

/// The panel.
#[component]
pub(super) fn CyclePanel(store: Store) -> impl IntoView {
    let seen = Seen::new(store);
    follow_taps(seen);
    light(seen);
    on_cleanup(move || store.cycle.rest());
    let empty = Memo::new(move |_| seen.shown.with(|cycle| cycle.coils.is_empty()));
    view! {
        <div class="panel cycle">
            <section class="card">
                <h2>{words::HEADING}</h2>
                <p class="faint">{words::LEAD}</p>
                <play::Controls seen />
                <score::Score seen />
                <play::Now seen />
            </section>
            <change::Broken seen />
            {move || {
                if empty.get() {
                    view! { <p class="card faint">{words::NO_COIL}</p> }.into_any()
                } else {
                    view! { <Coil seen /> }.into_any()
                }
            }}
            <list::Events seen />
        </div>
    }
    .into_any()
}

/// One coil: its dials, plots and numbers.
#[component]
fn Coil(seen: Seen) -> impl IntoView {
    view! {
        <section class="card coil-card">
            <h3>{words::COIL}</h3>
            <Choose seen />
            <dials::Sliders seen />
            <plots::Plots seen />
            <h3>{words::NUMBERS}</h3>
            <numbers::Numbers seen />
        </section>
    }
    .into_any()
}

/// Which coil's numbers show.
#[component]
fn Choose(seen: Seen) -> impl IntoView {
    let coils = Memo::new(move |_| {
        seen.shown
            .with(|cycle| cycle.coils.iter().map(|row| row.coil).collect::<Vec<_>>())
    });
    let options = move || {
        let harness = seen.store.told.get();
        coils
            .get()
            .into_iter()
            .map(|coil| {
                let name = harness.part_name(coil).to_owned();
                let here = move || seen.coil.get() == Some(coil);
                view! { <option prop:selected=here>{name}</option> }.into_any()
            })
            .collect::<Vec<AnyView>>()
    };
    let chosen = move |event| {
        let coil =
            events::chosen(&event).and_then(|place| coils.get_untracked().get(place).copied());
        if coil.is_some() {
            seen.store.cycle.coil.set(coil);
        }
    };
    move || {
        (coils.with(Vec::len) > 1).then(|| {
            view! {
                <label class="field">
                    <span>{words::WHICH_COIL}</span>
                    <select on:change=chosen>{options}</select>
                </label>
            }
            .into_any()
        })
    }
}

/// A coil, driver or cylinder tapped on the map is the one whose numbers show.
fn follow_taps(seen: Seen) {
    Effect::new(move |_| {
        let Some(pick) = seen.store.session.picked.get() else {
            return;
        };
        let harness = seen.store.harness.get_untracked();
        let coil = seen
            .shown
            .with_untracked(|cycle| coil_at(&harness, cycle, pick));
        if coil.is_some() {
            seen.store.cycle.coil.set(coil);
        }
    });
}

fn coil_at(harness: &Harness, cycle: &Cycle, pick: Pick) -> Option<PartId> {
    let of_part = |part: PartId| {
        let ends = cycle.coils.iter().find(|row| {
            row.coil == part
                || row
                    .firings
                    .iter()
                    .flat_map(|firing| &firing.ends)
                    .any(|end| end.plug == part || end.way.lead == Some(part))
        });
        ends.map(|row| row.coil)
    };
    match pick {
        Pick::Part(part) => of_part(part),
        Pick::Terminal(terminal) => of_part(terminal.part),
        Pick::Element(element) => of_part(harness.part_of(element)?),
        Pick::Cylinder(cylinder) => cycle.coils_of(cylinder).next().map(|row| row.coil),
        Pick::Driver(driver) => {
            let mut rows = cycle.coils.iter();
            rows.find(|row| row.runs.iter().any(|run| run.driver() == driver))
                .map(|row| row.coil)
        }
        Pick::Wire(_) => None,
    }
}

/// Lights the way of the spark that the crank has just passed.
fn light(seen: Seen) {
    let lit = Memo::new(move |_| seen.lit());
    Effect::new(move |_| {
        let way = lit.get().and_then(|(coil, place)| {
            let harness = seen.store.harness.get_untracked();
            seen.shown.with(|cycle| {
                let row = cycle.coil(coil)?;
                let firing = row.firings.get(place)?;
                Some(cycle.path(row, firing)?.picks(&harness, firing))
            })
        });
        seen.store.cycle.way.set(way);
    });
}

/// An angle that was reckoned, as the core takes it.
fn degrees(angle: f64) -> Degrees {
    Degrees::new(angle).unwrap_or_default()
}
