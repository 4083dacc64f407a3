//! Reads a harness with its findings and prints what could be wrong, what is cleared, and what to do next.
//!
//! `cargo run --release -p sparktrail-core --example isolate -- FILE`

use std::process::ExitCode;
use std::time::Instant;

use sparktrail_core::isolation::{Case, Explained, PairSearch, Plan, Stop};
use sparktrail_core::model::{Harness, file};

fn main() -> ExitCode {
    let Some(path) = std::env::args().nth(1) else {
        eprintln!("name a harness file: isolate FILE");
        return ExitCode::FAILURE;
    };
    match run(&path) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{path}: {why}");
            ExitCode::FAILURE
        }
    }
}

/// Whether to go on, in words.
fn said(stop: Stop, harness: &Harness) -> String {
    match stop {
        Stop::GoOn => "go on testing".into(),
        Stop::Isolated(unit) => format!("found: {}", unit.name(harness)),
        Stop::Mend(unit) => format!("mend now, cheaper than testing on: {}", unit.name(harness)),
        Stop::HandOver(unit) => format!(
            "testing on costs more than it tells; by far the likeliest: {}",
            unit.name(harness)
        ),
        Stop::NothingTells => "no test tells more".into(),
        Stop::TooMany => "too many tests: work down the list of repairs".into(),
    }
}

fn run(path: &str) -> Result<(), String> {
    let text = std::fs::read_to_string(path).map_err(|e| e.to_string())?;
    let harness = file::read(&text).map_err(|e| e.to_string())?;
    let start = Instant::now();
    let case = Case::of(&harness).map_err(|e| e.to_string())?;
    let ready = start.elapsed();
    let assessment = case.assess().map_err(|e| e.to_string())?;
    println!(
        "{}: {} causes in {} units of repair, {} findings count",
        harness.title,
        case.causes().len(),
        case.units().len(),
        assessment.evidence.len()
    );
    for trouble in &assessment.troubles {
        println!("  not counted: {trouble}");
    }
    match case.explained(&assessment) {
        Explained::ByOne => {}
        Explained::CheckAgain(again) => {
            println!("no single fault explains all of it: check again finding {again:?}")
        }
        Explained::NotByOne => println!("no single fault explains all of it"),
    }
    let ranked = case.ranked(&assessment, 0.01);
    println!("suspects:");
    let units: Vec<_> = ranked.iter().map(|(unit, _)| *unit).collect();
    for explanation in case.explain(&assessment, &units) {
        println!(
            "  {:.3} {}",
            explanation.share,
            explanation.unit.name(&harness)
        );
        for (cause, share) in explanation
            .causes
            .iter()
            .take(3)
            .filter(|(_, s)| *s > 0.003)
        {
            let cause = case.causes()[*cause];
            println!(
                "        {share:.3} {} {:?} {:?}",
                harness.element_name(cause.fault.element),
                cause.fault.mode,
                cause.doubt
            );
        }
        for factor in explanation
            .factors
            .iter()
            .filter(|f| f.factor.ln().abs() > 0.1)
            .take(6)
        {
            println!(
                "        finding {:?} × {:.3}",
                factor
                    .findings
                    .iter()
                    .map(|f| f.number())
                    .collect::<Vec<_>>(),
                factor.factor
            );
        }
    }
    let cleared = case.cleared(&assessment);
    println!("cleared: {}", cleared.len());
    if case.explained(&assessment) != Explained::ByOne {
        let mut search = PairSearch::new(&case, &assessment);
        while search.step(&case, &assessment, 10_000).done < search.step(&case, &assessment, 0).of {
        }
        println!(
            "pairs: {}; two faults rather than one: {:.3}",
            search.found(),
            search.against_one(&case, &assessment)
        );
        for pair in search.pairs(&case).iter().take(5) {
            println!(
                "  {:.3} {} + {}",
                pair.share,
                pair.units.0.name(&harness),
                pair.units.1.name(&harness)
            );
        }
    }
    let start = Instant::now();
    let plan = Plan::of(&case);
    let built = start.elapsed();
    let start = Instant::now();
    let (stop, next) = plan.advise(&case, &assessment, 8);
    let chosen = start.elapsed();
    println!("{}", said(stop, &harness));
    println!(
        "next ({} tests, {} rows):",
        plan.table().tests(),
        plan.table().rows()
    );
    for proposal in next {
        let act = &plan.catalogue().acts[proposal.act];
        println!(
            "  {:.2} bits {:.1} min  {:?}",
            proposal.bits, proposal.price, act.question
        );
        for outcome in &proposal.outcomes {
            let leads = outcome
                .after
                .first()
                .map(|(u, s)| format!("{:.2} {}", s, u.name(&harness)))
                .unwrap_or_default();
            println!(
                "        {:.2} {:?} → {leads}",
                outcome.chance, outcome.answer
            );
        }
    }
    println!("case {ready:.1?}, table {built:.1?}, next {chosen:.1?}");
    Ok(())
}
