//! The case as a report: gathered from the map, the findings and what follows from them; shown, copied, saved, printed.

mod case;

use leptos::prelude::*;
use leptos::task::spawn_local;
use sparktrail_core::edit::count_facts;
use sparktrail_core::model::{FaultThen, Finding, Harness, Standing};
use sparktrail_core::report::{Block, Report};

use super::closing::is_open;
use super::findings::expected;
use super::map_file::file_name;
use super::overview::engine_lines;
use super::share::picture;
use super::shared;
use super::suspects::{reasons_in_words, said_all};
use super::words::closing::ON_MENDED;
use super::words::{
    findings as finding_words, next as next_words, report as words, shared as shared_words,
    suspects as suspect_words, trouble as wrong,
};
use crate::edge::{files, page, raster, share};
use crate::store::{Planned, Reckoned, Store, Verdict};
use crate::text::Text;
use crate::ui::{Sheet, SheetActs};

/// Suspects that are told.
const MOST_SUSPECTS: usize = 6;
/// Reasons given for one suspect.
const MOST_REASONS: usize = 3;
/// Lines of what is unfinished in the map.
const MOST_UNFINISHED: usize = 12;

/// The sheet with the report and what can be done with it.
#[component]
pub(crate) fn ReportSheet(store: Store) -> impl IntoView {
    let open = store.session.reporting;
    let close = Callback::new(move |()| open.set(false));
    view! {
        <Sheet open close title=words::HEADING.said()>
            <Body store />
        </Sheet>
        {move || open.get().then(|| paper(store))}
    }
    .into_any()
}

/// The report as it goes on paper. What stands over the page, as the sheet does, is cut to one page there, so this
/// stands in the page itself, and shows on paper alone.
fn paper(store: Store) -> AnyView {
    let report = written(store);
    view! {
        <div class="paper" aria-hidden="true">
            <article class="report">{shown(store, &report)}</article>
        </div>
    }
    .into_any()
}

#[component]
fn Body(store: Store) -> impl IntoView {
    let report = StoredValue::new(written(store));
    let markdown = move || report.with_value(Report::markdown);
    let copy = move |_| {
        let text = markdown();
        spawn_local(async move {
            let done = share::copy(&text).await;
            let said = if done {
                words::COPIED
            } else {
                words::NOT_COPIED
            };
            store.session.say(said.to_owned(), None);
        });
    };
    let save = move |_| {
        let name = store
            .harness
            .with_untracked(|harness| file_name(&harness.title));
        let name = name.replace(".json", ".md");
        if let Err(error) = files::save_text(&name, "text/markdown", &markdown()) {
            store.session.say(wrong::file(error), None);
        }
    };
    view! {
        <p class="faint">{words::LEAD}</p>
        <SheetActs>
            <button type="button" class="button" on:click=|_| page::print()>{words::PRINT}</button>
            <button type="button" class="button" on:click=save>{words::SAVE}</button>
            <button type="button" class="button" data-weight="strong" on:click=copy>{words::COPY}</button>
        </SheetActs>
        <article class="report">{report.with_value(|report| shown(store, report))}</article>
    }
    .into_any()
}

/// The report on the page, with the map as a picture.
fn shown(store: Store, report: &Report) -> AnyView {
    let blocks: Vec<AnyView> = report.blocks.iter().map(block).collect();
    let (map, width, height) = picture(store);
    view! {
        <h3>{report.title.clone()}</h3>
        <img
            class="report-map"
            alt=words::PICTURE
            src=raster::address(&map)
            width=format!("{width:.0}")
            height=format!("{height:.0}")
        />
        {blocks}
    }
    .into_any()
}

fn block(block: &Block) -> AnyView {
    match block {
        Block::Heading(words) => view! { <h4>{words.clone()}</h4> }.into_any(),
        Block::Text(words) => view! { <p>{words.clone()}</p> }.into_any(),
        Block::List(lines) => {
            let lines: Vec<AnyView> = lines
                .iter()
                .map(|line| view! { <li>{line.clone()}</li> }.into_any())
                .collect();
            view! { <ul>{lines}</ul> }.into_any()
        }
        Block::Table { head, rows } => {
            // A wide table scrolls by itself: with the keyboard too.
            let name = head.join(" ");
            let head: Vec<AnyView> = head
                .iter()
                .map(|cell| {
                    if cell.is_empty() {
                        return view! { <td></td> }.into_any();
                    }
                    view! { <th scope="col">{cell.clone()}</th> }.into_any()
                })
                .collect();
            let rows: Vec<AnyView> = rows
                .iter()
                .map(|row| {
                    let cells: Vec<AnyView> = row
                        .iter()
                        .map(|cell| view! { <td>{cell.clone()}</td> }.into_any())
                        .collect();
                    view! { <tr>{cells}</tr> }.into_any()
                })
                .collect();
            view! {
                <div class="report-table" tabindex="0" role="group" aria-label=name>
                    <table>
                        <thead>
                            <tr>{head}</tr>
                        </thead>
                        <tbody>{rows}</tbody>
                    </table>
                </div>
            }
            .into_any()
        }
    }
}

/// All that is known now.
fn written(store: Store) -> Report {
    let harness = store.harness.get_untracked();
    let title = super::words::start::titled(&harness.title);
    let mut report = Report::titled(title);
    if !harness.about.trim().is_empty() {
        report.blocks.push(Block::Text(harness.about.clone()));
    }
    report.section(words::CLOSED, case::cause(&harness));
    let engine = engine_lines(&harness).into_iter();
    let engine = engine
        .map(|(term, value)| format!("{term}: {value}"))
        .collect();
    report.section(words::CAR, vec![Block::List(engine)]);
    report.section(words::FOUND, found(store, &harness));
    report.section(words::WORK, case::work(&harness));
    let open = untrack(|| is_open(store));
    if let Reckoned::Known(verdict) = store.isolation.reckoned.get_untracked() {
        let heading = if open {
            words::SUSPECTS
        } else {
            words::SUSPECTED
        };
        report.section(heading, suspects(&harness, &verdict));
        report.section(words::CLEARED, cleared(&harness, &verdict));
    }
    if open {
        report.section(words::NEXT, next(store, &harness));
    }
    report.section(words::PINS, case::pins(&harness));
    report.section(words::FED, fed(store, &harness));
    report.section(words::MAP, sureness(store, &harness));
    let cautions = words::CAUTIONS.map(Text::to_owned).to_vec();
    report.section(words::MIND, vec![Block::List(cautions)]);
    report.blocks.push(Block::Text(words::WITH_MAP.to_owned()));
    report.blocks.push(Block::Text(words::SIGNED.to_owned()));
    report
}

fn head<const N: usize>(columns: [Text; N]) -> Vec<String> {
    columns.map(Text::to_owned).to_vec()
}

/// The findings in the order in which they were made, each beside what a healthy car would show.
fn found(store: Store, harness: &Harness) -> Vec<Block> {
    if harness.findings.is_empty() {
        return vec![Block::Text(words::NOTHING_FOUND.to_owned())];
    }
    let row = |(place, finding): (usize, &Finding)| {
        let mut said = finding_words::sentence(harness, finding);
        if finding.standing == Standing::TakenBack {
            said = format!("{said} ({})", words::TAKEN_BACK);
        } else if finding.fault_then == FaultThen::Away {
            said = format!("{said} ({})", words::AWAY);
        } else if harness.is_after_mending(finding.id) {
            said = format!("{said} ({ON_MENDED})");
        }
        let healthy = expected(store, finding).unwrap_or_default();
        vec![(place + 1).to_string(), said, healthy]
    };
    vec![Block::Table {
        head: head(words::FOUND_HEAD),
        rows: harness.findings.iter().enumerate().map(row).collect(),
    }]
}

fn suspects(harness: &Harness, verdict: &Verdict) -> Vec<Block> {
    if verdict.evidence == 0 {
        return Vec::new();
    }
    let leading = verdict.suspects.iter().take(MOST_SUSPECTS);
    let rows = leading
        .map(|suspect| {
            let why = &suspect.why;
            vec![
                suspect_words::titled(&why.unit.name(harness)),
                suspect_words::share(why.share),
                reasons_in_words(harness, &why.factors, MOST_REASONS).join(" "),
            ]
        })
        .collect();
    vec![
        Block::Table {
            head: head(words::SUSPECTS_HEAD),
            rows,
        },
        Block::Text(words::SHARES.to_owned()),
    ]
}

fn cleared(harness: &Harness, verdict: &Verdict) -> Vec<Block> {
    let lines: Vec<String> = verdict
        .cleared
        .iter()
        .map(|cleared| {
            let name = suspect_words::titled(&cleared.unit.name(harness));
            let by = cleared
                .by
                .first()
                .map(|factor| said_all(harness, &factor.findings));
            match by.filter(|by| !by.is_empty()) {
                Some(by) => format!("{name}: {by}"),
                None => name,
            }
        })
        .collect();
    if lines.is_empty() {
        return Vec::new();
    }
    vec![Block::List(lines)]
}

fn next(store: Store, harness: &Harness) -> Vec<Block> {
    let Planned::Known(advice) = store.isolation.planned.get_untracked() else {
        return Vec::new();
    };
    let stop = next_words::stop(harness, advice.stop);
    let act = advice
        .acts
        .first()
        .map(|best| next_words::act(harness, &best.act));
    stop.or(act).map(Block::Text).into_iter().collect()
}

/// The groups of cylinders that share something.
fn fed(store: Store, harness: &Harness) -> Vec<Block> {
    let rows: Vec<Vec<String>> = store.derived.topology.with_untracked(|topology| {
        let groups = topology.iter().flat_map(|topology| topology.sharing());
        groups
            .filter(|group| group.cylinders.len() > 1)
            .map(|group| {
                let cylinders: Vec<String> =
                    group.cylinders.iter().map(ToString::to_string).collect();
                vec![
                    shared_words::heading(&group.by).to_owned(),
                    shared::name(harness, &group.by),
                    cylinders.join(", "),
                ]
            })
            .collect()
    });
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table {
        head: head(words::FED_HEAD),
        rows,
    }]
}

/// How many facts are known how, and what the map lacks.
fn sureness(store: Store, harness: &Harness) -> Vec<Block> {
    let count = count_facts(harness);
    let sure = words::sure(count.measured, count.diagram, count.assumed);
    let mut blocks = vec![Block::Text(sure)];
    let open: Vec<String> = store.derived.findings.with_untracked(|found| {
        let open = found.iter().take(MOST_UNFINISHED);
        open.map(|finding| finding.named(harness).to_string())
            .collect()
    });
    if !open.is_empty() {
        blocks.push(Block::List(open));
    }
    blocks
}
