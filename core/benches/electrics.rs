//! The electrics of a twelve-cylinder map: one base, one fault by a low-rank change, one anew.

use std::hint::black_box;
use std::sync::Arc;

use criterion::{Criterion, criterion_group, criterion_main};
use sparktrail_core::electrics::{Assumptions, Circuit, Desk, OperatingPoint, Solution};
use sparktrail_core::faults::{all_faults, alteration};
use sparktrail_core::model::{Setup, file};

/// A V12 with a coil on each cylinder and in-line connectors: the largest sample.
const V12: &str = include_str!("../../sample-harnesses/silver-limousine.json");

fn electrics(criterion: &mut Criterion) {
    let Ok(harness) = file::read(V12) else { return };
    let circuit = Arc::new(Circuit::of(&harness, &Assumptions::default()));
    let all: Vec<_> = all_faults(&harness)
        .into_iter()
        .map(|fault| alteration(&harness, &circuit, fault))
        .collect();
    criterion.bench_function("circuit of a map", |bench| {
        bench.iter(|| Circuit::of(black_box(&harness), &Assumptions::default()));
    });
    for (name, setup) in [
        ("key on", Setup::key_on()),
        ("idling", Setup::idling()),
        ("battery off", Setup::battery_off()),
    ] {
        let mut group = criterion.benchmark_group(name);
        group.bench_function("base", |bench| {
            bench.iter(|| OperatingPoint::of(&circuit, black_box(&setup)));
        });
        let point = Arc::new(OperatingPoint::of(&circuit, &setup));
        let mut desk = Desk::new(&point);
        let mut next = all.iter().cycle();
        group.bench_function("one fault, all terminals", |bench| {
            bench.iter(|| next.next().map(|change| desk.answer(change).readings[0]));
        });
        let mut next = all.iter().cycle();
        group.bench_function("one fault, factorised anew", |bench| {
            bench.iter(|| {
                next.next()
                    .map(|change| Solution::of(&circuit, &setup, change))
            });
        });
        group.finish();
    }
}

criterion_group!(benches, electrics);
criterion_main!(benches);
