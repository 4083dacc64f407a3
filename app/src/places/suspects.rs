//! What could be wrong, ranked, with the findings that moved each suspect, and what was cleared by what.

use leptos::prelude::*;
use sparktrail_core::isolation::{CaseError, Cleared, Explained, Factor, Unit};
use sparktrail_core::model::{FindingId, Harness};
use sparktrail_core::topology::Pick;

use super::closing::{Stands, case_card};
use super::entry::{nothing_yet, others_work};
use super::words::faults::Say;
use super::words::findings::sentence;
use super::words::suspects as words;
use crate::store::{Pairing, Pairs, Reckoned, Store, Suspect, Verdict};
use crate::ui::by_place;

/// Reasons shown for one suspect.
const MOST_REASONS: usize = 6;
/// Findings named for one cleared thing.
const MOST_CLEARERS: usize = 2;

/// What the panel is about.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Shows {
    Soon,
    NoCase(CaseError),
    NothingFits(FindingId),
    Verdict,
}

/// The panel.
#[component]
pub(super) fn SuspectsPanel(store: Store) -> impl IntoView {
    let shows = Memo::new(move |_| {
        store.isolation.reckoned.with(|reckoned| match reckoned {
            Reckoned::Soon => Shows::Soon,
            Reckoned::NoCase(error) => Shows::NoCase(*error),
            Reckoned::NothingFits(doubtful) => Shows::NothingFits(*doubtful),
            Reckoned::Known(_) => Shows::Verdict,
        })
    });
    let body = move || match shows.get() {
        Shows::Soon => note(words::SOON.said()),
        Shows::NoCase(error) => view! { <p class="alarm">{words::no_case(error)}</p> }.into_any(),
        Shows::NothingFits(doubtful) => {
            let harness = store.harness.get_untracked();
            let words = words::nothing_fits(&said(&harness, doubtful).unwrap_or_default());
            view! { <p class="alarm" role="alert">{words}</p> }.into_any()
        }
        Shows::Verdict => told(store),
    };
    on_cleanup(move || store.session.lit.set(None));
    view! {
        <div class="panel suspects">
            {case_card(store, Stands::Beside)}
            {body}
        </div>
    }
    .into_any()
}

fn note(words: &'static str) -> AnyView {
    view! { <p class="faint" role="status">{words}</p> }.into_any()
}

/// The verdict. It stays on the page while the next one comes, and writes anew what differs.
fn told(store: Store) -> AnyView {
    let notes = notes(store);
    let many = Memo::new(move |_| store.read_verdict(|_, verdict| verdict.suspects.len()));
    let opened = Opened::none();
    let rows = by_place(many.into(), move |place| row(store, opened, place));
    view! {
        {notes}
        <section class="card">
            <h2>{words::HEADING}</h2>
            <ol class="suspect-list">{rows}</ol>
            <p class="faint small">{words::REST} " " {words::PRIORS}</p>
        </section>
        {cleared(store)}
    }
    .into_any()
}

/// What is to be said of the verdict as a whole.
fn notes(store: Store) -> AnyView {
    let is = move |what: fn(&Verdict) -> bool| {
        Memo::new(move |_| store.read_verdict(|_, verdict| what(verdict)))
    };
    let nothing_yet = nothing_yet(store, words::NOTHING_YET);
    let doubt = Memo::new(move |_| store.read_verdict(doubted));
    let doubt = move || {
        let words = doubt.get()?;
        Some(view! { <p class="alarm" role="status">{words}</p> }.into_any())
    };
    let not_by_one = is(|verdict| verdict.explained != Explained::ByOne);
    let two = move || not_by_one.get().then(|| pairs(store));
    let other = is(|verdict| verdict.not_electrical > 0.5 && verdict.evidence > 0);
    let fuel = move || {
        other.get().then(|| {
            view! { <p class="alarm" role="status">{words::NOT_ELECTRICAL}</p> }.into_any()
        })
    };
    let left_out = Memo::new(move |_| store.read_verdict(left_out));
    let troubles = move || {
        let lines: Vec<AnyView> = left_out.get().into_iter().map(list_item).collect();
        let list = || {
            view! {
                <div class="alarm">
                    <p>{words::TROUBLES}</p>
                    <ul>{lines}</ul>
                </div>
            }
            .into_any()
        };
        (!left_out.with(Vec::is_empty)).then(list)
    };
    let untold = others_work(store, "card untold");
    view! { {nothing_yet} {untold} {doubt} {two} {fuel} {troubles} }.into_any()
}

fn list_item(words: String) -> AnyView {
    view! { <li>{words}</li> }.into_any()
}

/// What speaks against one fault that explains it all.
fn doubted(harness: &Harness, verdict: &Verdict) -> Option<String> {
    let named = |ids: &[FindingId]| ids.first().and_then(|id| said(harness, *id));
    match &verdict.explained {
        Explained::ByOne => named(&verdict.retake).map(|words| words::contradicts(&words)),
        Explained::NotByOne => Some(words::NOT_BY_ONE.to_owned()),
        Explained::CheckAgain(ids) => named(ids).map(|words| words::check_again(&words)),
    }
}

/// The findings that do not count, each with the reason.
fn left_out(harness: &Harness, verdict: &Verdict) -> Vec<String> {
    let told = verdict.troubles.iter().map(|trouble| {
        let what = said(harness, trouble.finding).unwrap_or_default();
        format!("{what} {}.", trouble.why)
    });
    told.collect()
}

/// What was cleared, by what; written once somebody opens it.
fn cleared(store: Store) -> AnyView {
    let opened = RwSignal::new(false);
    let many = Memo::new(move |_| store.read_verdict(|_, verdict| verdict.cleared.len()));
    let nothing = Memo::new(move |_| many.get() == 0);
    let shown = move || if opened.get() { many.get() } else { 0 };
    let rows = by_place(Signal::derive(shown), move |place| {
        cleared_row(store, place)
    });
    view! {
        <details class="card">
            <summary on:click=move |_| opened.set(true)>
                <h3>
                    {words::CLEARED} " " <span class="faint num">{move || many.get().to_string()}</span>
                </h3>
            </summary>
            {move || nothing.get().then(|| note(words::NOTHING_CLEARED.said()))}
            <ul class="cleared-list">{rows}</ul>
        </details>
    }
    .into_any()
}

/// Two faults at once: looked for when asked to, with its progress, and stopped when asked to.
fn pairs(store: Store) -> AnyView {
    let isolation = store.isolation;
    let body = move || {
        match isolation.pairing.get() {
        Pairing::Idle => view! {
            <p>{words::PAIRS_WHEN}</p>
            <button type="button" class="button pairs-go" on:click=move |_| isolation.search_pairs()>
                {words::PAIRS_GO}
            </button>
        }
        .into_any(),
        Pairing::Searching(done, of) => view! {
            <p role="status">{words::PAIRS_SEARCHING}</p>
            <progress max=of.to_string() value=done.to_string()>
                {words::progress(done, of)}
            </progress>
            <button type="button" class="button" on:click=move |_| isolation.stop_pairs()>
                {words::PAIRS_STOP}
            </button>
        }
        .into_any(),
        Pairing::Known(pairs) => pairs_found(&store.harness.get_untracked(), &pairs),
    }
    };
    view! {
        <section class="card pairs">
            <h2>{words::PAIRS}</h2>
            {body}
        </section>
    }
    .into_any()
}

fn pairs_found(harness: &Harness, pairs: &Pairs) -> AnyView {
    if pairs.likeliest.is_empty() {
        return note(words::PAIRS_NONE.said());
    }
    let rows: Vec<AnyView> = pairs
        .likeliest
        .iter()
        .map(|(a, b, share)| {
            let both = words::both(&a.name(harness), &b.name(harness));
            view! {
                <li class="step">
                    <span>{both}</span>
                    <span class="num">{words::share(*share)}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    view! {
        <p role="status">{words::two_rather_than_one(pairs.two)}</p>
        <ol class="path">{rows}</ol>
        <p class="faint small">{words::PAIRS_SHARES}</p>
    }
    .into_any()
}

/// A finding as it was said.
fn said(harness: &Harness, id: FindingId) -> Option<String> {
    let finding = harness.findings.iter().find(|finding| finding.id == id)?;
    Some(sentence(harness, finding))
}

/// A suspect as it shows.
#[derive(Debug, Clone, PartialEq, Default)]
struct Line {
    name: String,
    share: String,
    /// The share to its last digit that counts.
    exact: String,
    /// Of its bar, of 100.
    width: String,
}

impl Line {
    fn of(harness: &Harness, suspect: &Suspect) -> Self {
        let why = &suspect.why;
        Self {
            name: words::titled(&why.unit.name(harness)),
            share: words::share(why.share),
            exact: format!("{:.6}", why.share),
            width: format!("{:.1}", (why.share * 100.0).clamp(0.5, 100.0)),
        }
    }
}

/// What is read off the suspect at a place; of none where there is none. Tracked.
fn read_of<T: Default>(store: Store, place: usize, of: impl FnOnce(&Harness, &Suspect) -> T) -> T {
    store.read_verdict(|harness, verdict| {
        let suspect = verdict.suspects.get(place);
        suspect.map_or_else(T::default, |suspect| of(harness, suspect))
    })
}

/// What a person opened or closed, by suspect: the rows are made for their place, and a suspect changes places.
#[derive(Clone, Copy)]
struct Opened(RwSignal<Vec<(Unit, bool)>>);

impl Opened {
    fn none() -> Self {
        Self(RwSignal::new(Vec::new()))
    }

    /// Whether the suspect at a place is open: as a person left it, else where it leads. Tracked.
    fn is(self, unit: Option<Unit>, place: usize) -> bool {
        let left = self.0.with(|all| {
            let own = all.iter().find(|(known, _)| Some(*known) == unit);
            own.map(|(_, open)| *open)
        });
        left.unwrap_or(place == 0)
    }

    fn leave(self, unit: Option<Unit>, open: bool) {
        let Some(unit) = unit else { return };
        self.0.update(|all| {
            all.retain(|(known, _)| *known != unit);
            all.push((unit, open));
        });
    }
}

/// A suspect: why it stands where it stands is written while it is open.
fn row(store: Store, opened: Opened, place: usize) -> AnyView {
    let line = Memo::new(move |_| read_of(store, place, Line::of));
    let part = move |part: fn(&Line) -> &String| move || line.with(|line| part(line).clone());
    let lit = store.session.lit;
    let light = move |_| lit.set(Some(untrack(|| read_of(store, place, picks))));
    let unit = Memo::new(move |_| read_of(store, place, |_, suspect| Some(suspect.why.unit)));
    let open = Memo::new(move |_| opened.is(unit.get(), place));
    let turn = move |event: leptos::ev::MouseEvent| {
        // What is open follows the suspect and is not the browser's to turn.
        event.prevent_default();
        opened.leave(unit.get_untracked(), !open.get_untracked());
    };
    let why = move || open.get().then(|| reasoned(store, place));
    view! {
        <li
            class="suspect"
            data-share=part(|line| &line.exact)
            on:pointerenter=light
            on:pointerleave=move |_| lit.set(None)
        >
            <details prop:open=move || open.get()>
                <summary on:click=turn>
                    <span class="suspect-name">{part(|line| &line.name)}</span>
                    <strong class="num">{part(|line| &line.share)}</strong>
                    <svg
                        class="bar-of"
                        viewBox="0 0 100 6"
                        preserveAspectRatio="none"
                        aria-hidden="true"
                    >
                        <rect class="bar-in" width=part(|line| &line.width) height="6" />
                    </svg>
                </summary>
                {why}
            </details>
        </li>
    }
    .into_any()
}

/// What moved a suspect, as it shows.
#[derive(Debug, Clone, PartialEq)]
struct Reason {
    way: &'static str,
    arrow: &'static str,
    said: String,
    moved: String,
}

/// The ways in which a suspect fails, and what moved it.
fn reasoned(store: Store, place: usize) -> AnyView {
    let ways = Memo::new(move |_| read_of(store, place, ways));
    let ways = move || {
        let words = ways.get();
        (!words.is_empty()).then(|| {
            view! { <p class="small"><span class="faint">{words::WAYS} ": "</span> {words}</p> }
                .into_any()
        })
    };
    let all = Memo::new(move |_| {
        read_of(store, place, |harness, suspect| {
            reasons(harness, &suspect.why.factors)
        })
    });
    let many = Memo::new(move |_| all.with(Vec::len));
    let unmoved = move || (many.get() == 0).then(|| note(words::UNMOVED.said()));
    view! {
        {ways}
        <h3 class="small faint">{words::WHY}</h3>
        <ul class="reasons">{by_place(many.into(), move |place| reason(all, place))}</ul>
        {unmoved}
    }
    .into_any()
}

fn reason(all: Memo<Vec<Reason>>, place: usize) -> AnyView {
    let part = move |part: fn(&Reason) -> &str| {
        move || {
            all.with(|all| {
                let part = all.get(place).map(part);
                part.unwrap_or_default().to_owned()
            })
        }
    };
    view! {
        <li class="reason" data-way=part(|reason| reason.way)>
            <span aria-hidden="true">{part(|reason| reason.arrow)}</span>
            <span>
                {part(|reason| &reason.said)} " " <span class="faint">{part(|reason| &reason.moved)}</span>
            </span>
        </li>
    }
    .into_any()
}

/// The ways in which a suspect fails, in one line; empty where there is no likeliest one.
fn ways(harness: &Harness, suspect: &Suspect) -> String {
    let name = suspect.why.unit.name(harness);
    let ways = suspect.ways.iter().map(|(fault, _)| {
        let element = harness.element_name(fault.element);
        let mode = Say(harness).mode(fault.mode);
        super::words::faults::way(&element, &mode, &name)
    });
    ways.collect::<Vec<String>>().join("; ")
}

fn reasons(harness: &Harness, factors: &[Factor]) -> Vec<Reason> {
    factors
        .iter()
        .filter_map(|factor| {
            let moved = words::factor(factor)?;
            let up = factor.factor > 1.0;
            Some(Reason {
                way: if up { "up" } else { "down" },
                arrow: if up { "▲" } else { "▼" },
                said: before_what_it_did(harness, factor),
                moved,
            })
        })
        .take(MOST_REASONS)
        .collect()
}

/// The findings that moved a suspect most, each with what it did.
pub(super) fn reasons_in_words(harness: &Harness, factors: &[Factor], most: usize) -> Vec<String> {
    let moved = factors.iter().filter_map(|factor| {
        let moved = words::factor(factor)?;
        Some(format!("{} {moved}", before_what_it_did(harness, factor)))
    });
    moved
        .take(most)
        .map(|reason| format!("{reason}."))
        .collect()
}

/// The findings of a factor, as they stand before what they did.
fn before_what_it_did(harness: &Harness, factor: &Factor) -> String {
    let said = said_all(harness, &factor.findings);
    format!("{}:", said.trim_end_matches('.'))
}

pub(super) fn said_all(harness: &Harness, ids: &[FindingId]) -> String {
    let said: Vec<String> = ids.iter().filter_map(|id| said(harness, *id)).collect();
    said.join(" ")
}

fn cleared_row(store: Store, place: usize) -> AnyView {
    let row = Memo::new(move |_| {
        store.read_verdict(|harness, verdict| {
            let cleared = verdict.cleared.get(place);
            cleared.map_or_else(Default::default, |cleared| said_cleared(harness, cleared))
        })
    });
    view! {
        <li class="reason">
            <span class="tick" aria-hidden="true">"✓"</span>
            <span>
                {move || row.with(|(name, _)| name.clone())} " "
                <span class="faint small">{move || row.with(|(_, by)| by.clone())}</span>
            </span>
        </li>
    }
    .into_any()
}

/// What was cleared, and the findings that did it.
fn said_cleared(harness: &Harness, cleared: &Cleared) -> (String, String) {
    let by = cleared.by.iter().take(MOST_CLEARERS);
    let by: Vec<String> = by
        .map(|factor| said_all(harness, &factor.findings))
        .collect();
    (words::titled(&cleared.unit.name(harness)), by.join(" "))
}

/// What a suspect is on the map.
fn picks(_: &Harness, suspect: &Suspect) -> Vec<Pick> {
    let own = match suspect.why.unit {
        Unit::Part(part) | Unit::Joints(part) => vec![Pick::Part(part)],
        Unit::Wire(wire) => vec![Pick::Wire(wire)],
        Unit::Crossed(a, b) => vec![Pick::Part(a), Pick::Part(b)],
        Unit::Cylinder(cylinder) => vec![Pick::Cylinder(cylinder)],
        Unit::Transistor(driver) | Unit::DriverJoints(driver) | Unit::DriveResistor(driver) => {
            vec![Pick::Driver(driver)]
        }
        Unit::Contacts(_)
        | Unit::Trace(..)
        | Unit::BoardSupply(_)
        | Unit::BoardGround(_)
        | Unit::Logic(_)
        | Unit::CrankSignal(_) => Vec::new(),
    };
    if own.is_empty() {
        let ways = suspect.ways.iter();
        ways.map(|(fault, _)| Pick::Element(fault.element))
            .collect()
    } else {
        own
    }
}
