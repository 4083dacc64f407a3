//! Published facts about engines, terminals and wire colours, each beside its source.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use sparktrail_core::edit::layouts::{propose_engine, propose_order};
use sparktrail_core::engine::{
    Bank, CylinderId, Engine, Firing, Layout, SharedSpark, Stroke, Strokes, top_from_crank,
};
use sparktrail_core::model::{
    Battery, Coil, Colour, Distributor, Fuse, Harness, PartKind, Port, Relay, Secondary, Terminal,
    WireColour,
};
use sparktrail_core::provenance::Fact;
use sparktrail_core::units::Degrees;

fn cylinders(numbers: &[u8]) -> Vec<CylinderId> {
    numbers.iter().copied().map(CylinderId).collect()
}

fn engine(strokes: Strokes, order: &[u8], firing: Firing) -> Engine {
    let mut row = cylinders(order);
    row.sort_unstable();
    Engine {
        strokes,
        layout: Layout::Custom,
        banks: vec![Bank {
            name: "Row".into(),
            cylinders: row,
        }],
        order: Fact::assumed(cylinders(order)),
        firing: Fact::assumed(firing),
    }
}

fn even(order: &[u8]) -> Engine {
    engine(Strokes::Four, order, Firing::Even)
}

fn uneven(order: &[u8], degrees: &[f64]) -> Engine {
    let angles = degrees.iter().map(|d| Degrees::lit(*d)).collect();
    engine(Strokes::Four, order, Firing::At(angles))
}

fn pairs(engine: &Engine) -> Vec<(u8, u8)> {
    engine
        .companions()
        .pairs
        .iter()
        .map(|(a, b, _)| (a.0, b.0))
        .collect()
}

/// Source: two cylinders on one coil are 360° apart (encyclopedia text "Wasted spark system"), so that
/// on an even engine the companion is the entry N/2 places on. The orders 1-3-4-2, 1-5-3-6-2-4,
/// 1-6-5-4-3-2 and 1-8-4-3-6-5-7-2 are published (Goodheart-Willcox, *Auto Engine Repair*, fig. 6-2);
/// those of flat, ten- and twelve-cylinder engines and the other eights: value from memory.
#[test]
fn companions_of_even_engines() {
    type Row = (&'static [u8], &'static [(u8, u8)]);
    let table: &[Row] = &[
        (&[1, 3, 4, 2], &[(1, 4), (2, 3)]),
        (&[1, 2, 4, 3], &[(1, 4), (2, 3)]),
        (&[1, 3, 2, 4], &[(1, 2), (3, 4)]),
        (&[1, 4, 3, 2], &[(1, 3), (2, 4)]),
        (&[1, 5, 3, 6, 2, 4], &[(1, 6), (2, 5), (3, 4)]),
        (&[1, 2, 3, 4, 5, 6], &[(1, 4), (2, 5), (3, 6)]),
        (&[1, 6, 5, 4, 3, 2], &[(1, 4), (2, 5), (3, 6)]),
        (&[1, 4, 2, 5, 3, 6], &[(1, 5), (2, 6), (3, 4)]),
        (&[1, 6, 2, 4, 3, 5], &[(1, 4), (2, 5), (3, 6)]),
        (&[1, 8, 4, 3, 6, 5, 7, 2], &[(1, 6), (2, 3), (4, 7), (5, 8)]),
        (&[1, 3, 7, 2, 6, 5, 4, 8], &[(1, 6), (2, 8), (3, 5), (4, 7)]),
        (&[1, 5, 4, 8, 6, 3, 7, 2], &[(1, 6), (2, 8), (3, 5), (4, 7)]),
        (&[1, 5, 4, 2, 6, 3, 7, 8], &[(1, 6), (2, 8), (3, 5), (4, 7)]),
        (
            &[1, 6, 5, 10, 2, 7, 3, 8, 4, 9],
            &[(1, 7), (2, 9), (3, 6), (4, 10), (5, 8)],
        ),
        (
            &[1, 7, 5, 11, 3, 9, 6, 12, 2, 8, 4, 10],
            &[(1, 6), (2, 5), (3, 4), (7, 12), (8, 11), (9, 10)],
        ),
    ];
    for (order, wanted) in table {
        let engine = even(order);
        assert_eq!(&pairs(&engine), wanted, "{order:?}");
        let found = engine.companions();
        assert_eq!(found.alone, []);
        // One plug at compression top, its partner at exhaust top (Goodheart-Willcox,
        // *Auto Fundamentals*, 2020, p. 209): a waste spark in every pair.
        for (a, b, shared) in found.pairs {
            assert_eq!(shared, SharedSpark::Waste);
            let before = |c| engine.compression_top(c).unwrap() - Degrees::lit(1.0);
            assert_eq!(engine.stroke_at(b, before(a)), Some(Stroke::Exhaust));
            assert_eq!(engine.stroke_at(a, before(b)), Some(Stroke::Exhaust));
        }
    }
}

/// Source: four cylinders need two coils, six need three, a V8 four (Goodheart-Willcox,
/// *Auto Fundamentals*, 2020, p. 209).
#[test]
fn one_coil_for_two_cylinders() {
    let vee = Layout::Vee {
        bank_angle: Degrees::lit(90.0),
    };
    for (count, layout, coils) in [(4, Layout::Inline, 2), (6, Layout::Inline, 3), (8, vee, 4)] {
        let engine = propose_engine(count, layout, Strokes::Four);
        assert_eq!(engine.companions().pairs.len(), coils);
    }
}

/// Source: waste spark does not suit odd counts (encyclopedia text "Wasted spark system"); orders
/// 1-2-4-5-3 and 1-3-5-7-2-4-6 from the same kind of text, 1-3-2 from memory.
#[test]
fn odd_counts_have_no_companions() {
    for order in [&[1, 3, 2][..], &[1, 2, 4, 5, 3], &[1, 3, 5, 7, 2, 4, 6]] {
        let engine = even(order);
        assert_eq!(pairs(&engine), []);
        assert_eq!(engine.companions().alone, engine.cylinders());
    }
}

/// Tops, in whole degrees below 360, of two rows on the same crankpins.
fn tops(throws: &[f64], bank: f64) -> Vec<i64> {
    throws
        .iter()
        .map(|throw| top_from_crank(Degrees::lit(*throw), Degrees::lit(bank)).get())
        .map(|angle| format!("{angle:.0}").parse::<i64>().unwrap() % 360)
        .collect()
}

/// Crank angles of an engine's compression tops below 360, by cylinder.
fn turned(engine: &Engine) -> Vec<i64> {
    let top = |c| engine.compression_top(c).unwrap().get() % 360.0;
    engine
        .cylinders()
        .into_iter()
        .map(|c| format!("{:.0}", top(c)).parse::<i64>().unwrap() % 360)
        .collect()
}

/// Source: crank geometry, worked out here from throws and bank angles, apart from any firing order.
#[test]
fn odd_fire_six_has_no_companions() {
    let pins = [0.0, 240.0, 120.0];
    let (left, right) = (tops(&pins, 0.0), tops(&pins, 90.0));
    assert_eq!(left, [0, 120, 240]);
    assert_eq!(right, [90, 210, 330]);
    assert!(left.iter().all(|top| !right.contains(top)));
    // The same engine by its firing angles: 90 and 150 in turn.
    let engine = uneven(
        &[1, 2, 5, 6, 3, 4],
        &[0.0, 90.0, 240.0, 330.0, 480.0, 570.0],
    );
    assert_eq!(turned(&engine), [0, 90, 120, 210, 240, 330]);
    assert_eq!(pairs(&engine), []);
    // With crankpins split by 30° the 90° six fires evenly and has three pairs.
    let split = pins.map(|pin| pin - 30.0);
    let mut both = [tops(&pins, 0.0), tops(&split, 90.0)];
    both.iter_mut().for_each(|row| row.sort_unstable());
    assert_eq!(both[0], both[1]);
}

/// Source: crank geometry.
#[test]
fn a_four_on_a_ninety_degree_crank_has_no_companions() {
    assert_eq!(tops(&[0.0, 270.0, 90.0, 180.0], 0.0), [0, 90, 270, 180]);
    let engine = uneven(&[1, 3, 2, 4], &[0.0, 270.0, 450.0, 540.0]);
    assert_eq!(turned(&engine), [0, 90, 270, 180]);
    assert_eq!(pairs(&engine), []);
}

/// Source: crank geometry on one side, published firing orders on the other: both give the same tops.
#[test]
fn cranks_agree_with_firing_orders() {
    // Flat crank of an inline four.
    assert_eq!(
        turned(&even(&[1, 3, 4, 2])),
        tops(&[0.0, 180.0, 180.0, 0.0], 0.0)
    );
    // Mirrored crank of an inline six.
    let six = [0.0, 240.0, 120.0, 120.0, 240.0, 0.0];
    assert_eq!(turned(&even(&[1, 5, 3, 6, 2, 4])), tops(&six, 0.0));
    // Two such rows at 60° on one crank: the twelve.
    let twelve = [tops(&six, 0.0), tops(&six, 60.0)].concat();
    assert_eq!(
        turned(&even(&[1, 7, 5, 11, 3, 9, 6, 12, 2, 8, 4, 10])),
        twelve
    );
    // Cross crank of a 90° eight, odd numbers left, even numbers right.
    let cross = [0.0, 90.0, 270.0, 180.0];
    let (left, right) = (tops(&cross, 0.0), tops(&cross, -90.0));
    let eight: Vec<i64> = left
        .iter()
        .zip(&right)
        .flat_map(|(l, r)| [*l, *r])
        .collect();
    assert_eq!(turned(&even(&[1, 8, 4, 3, 6, 5, 7, 2])), eight);
}

/// Source: an even four-stroke engine has a power stroke every 720/N degrees (*IME* §6.3.4).
#[test]
fn power_strokes_come_every_720_over_n() {
    for count in 1..=16_u8 {
        let engine = propose_engine(count, Layout::Inline, Strokes::Four);
        let events = engine.firing_events();
        assert_eq!(events.len(), usize::from(count));
        let named: Vec<CylinderId> = events.iter().map(|event| event.cylinder).collect();
        assert_eq!(named, propose_order(count, Layout::Inline));
        for (nth, event) in (0_u32..).zip(&events) {
            let wanted = f64::from(nth) * 720.0 / f64::from(count);
            assert!((event.at.get() - wanted).abs() < 1e-9);
            let just_after = event.at + Degrees::lit(1.0);
            assert_eq!(
                engine.stroke_at(event.cylinder, just_after),
                Some(Stroke::Power)
            );
        }
    }
}

/// Source: the four strokes follow each other every half turn; common knowledge, no source.
#[test]
fn four_strokes_in_turn() {
    let engine = even(&[1, 3, 4, 2]);
    let one = CylinderId(1);
    let at = |degrees| engine.stroke_at(one, Degrees::lit(degrees)).unwrap();
    assert_eq!(at(90.0), Stroke::Power);
    assert_eq!(at(270.0), Stroke::Exhaust);
    assert_eq!(at(450.0), Stroke::Intake);
    assert_eq!(at(630.0), Stroke::Compression);
    assert_eq!(at(-90.0), Stroke::Compression);
    assert_eq!(at(810.0), Stroke::Power);
}

/// Source: crank geometry: a two-stroke cylinder fires at every top, so both sparks of a shared coil work.
#[test]
fn two_strokes() {
    let two = |order: &[u8], degrees: &[f64]| {
        let angles = degrees.iter().map(|d| Degrees::lit(*d)).collect();
        engine(Strokes::Two, order, Firing::At(angles))
    };
    let (one, other) = (CylinderId(1), CylinderId(2));
    let together = two(&[1, 2], &[0.0, 0.0]);
    assert_eq!(
        together.shared_spark(one, other),
        Some(SharedSpark::Together)
    );
    let apart = engine(Strokes::Two, &[1, 2], Firing::Even);
    assert_eq!(apart.shared_spark(one, other), None);
    assert!((apart.compression_top(other).unwrap().get() - 180.0).abs() < 1e-9);
    let four = two(&[1, 4, 2, 3], &[0.0, 0.0, 180.0, 180.0]);
    assert_eq!(pairs(&four), [(1, 4), (2, 3)]);
    let half_past = Degrees::lit(270.0);
    assert_eq!(four.stroke_at(one, half_past), Some(Stroke::Compression));
    // A four-stroke twin with its pins in line fires once a turn; with pins opposed it has no pair.
    assert_eq!(
        even(&[1, 2]).shared_spark(one, other),
        Some(SharedSpark::Waste)
    );
    assert_eq!(
        uneven(&[1, 2], &[0.0, 180.0]).shared_spark(one, other),
        None
    );
}

/// Source: DIN 72552 (terminals 1, 4, 4a, 4b, 15, 30, 31); 85, 86 and 87 value from memory.
#[test]
fn terminal_numbers() {
    let mut harness = Harness::new("", even(&[1, 3, 4, 2]));
    let mut names = |kind: PartKind| -> Vec<String> {
        let part = harness.add_part("", kind);
        let terminals = harness.terminals_of(part);
        terminals
            .into_iter()
            .map(|t| harness.port_name(t))
            .collect()
    };
    assert_eq!(names(PartKind::Battery(Battery::default())), ["30", "31"]);
    assert_eq!(
        names(PartKind::Relay(Relay::default())),
        ["85", "86", "30", "87"]
    );
    assert_eq!(
        names(PartKind::Coil(Coil::new(Secondary::TwoEnded))),
        ["15", "1", "4a", "4b"]
    );
    assert_eq!(
        names(PartKind::Coil(Coil::new(Secondary::ReturnsToFeed))),
        ["15", "1", "4"]
    );
    assert_eq!(
        names(PartKind::Coil(Coil::new(Secondary::ReturnsToGround))),
        ["15", "1", "31", "4"]
    );
    let cap = PartKind::Distributor(Distributor {
        towers: cylinders(&[1]),
    });
    assert_eq!(names(cap), ["4", "tower 1"]);
    // Not in the standard: fuses and switches have sides, not numbers.
    assert_eq!(names(PartKind::Fuse(Fuse::default())), ["in", "out"]);
    let nowhere = Terminal {
        part: harness.fresh(),
        port: Port::Feed,
    };
    assert!(!harness.has_terminal(nowhere));
}

/// Source: letter codes of IEC 60757:2021, value from memory; its rule that joined codes follow the
/// order of the table (clause 5.1: red and blue give RDBU) loses which is the stripe, so both are kept apart.
#[test]
fn colour_codes() {
    let codes: Vec<&str> = Colour::ALL.iter().map(|colour| colour.code()).collect();
    assert_eq!(
        codes,
        [
            "BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"
        ]
    );
    for colour in Colour::ALL {
        assert_eq!(Colour::from_code(colour.code()), Some(*colour));
    }
    assert_eq!(Colour::from_code("XX"), None);
    let wire = |base, tracer| WireColour { base, tracer };
    let red_blue = wire(Colour::Red, Some(Colour::Blue));
    let blue_red = wire(Colour::Blue, Some(Colour::Red));
    assert_ne!(red_blue, blue_red);
    assert_eq!(
        (red_blue.code(), blue_red.code()),
        ("RD/BU".into(), "BU/RD".into())
    );
    assert_eq!(wire(Colour::Green, None).code(), "GN");
}

proptest! {
    /// Sharing a spark is mutual, and every cylinder either has a companion or is alone.
    #[test]
    fn sharing_is_mutual(
        angles in proptest::collection::vec(0.0..720.0_f64, 1..16),
        strokes in prop_oneof![Just(Strokes::Two), Just(Strokes::Four)],
    ) {
        let order: Vec<u8> = (1..).take(angles.len()).collect();
        let firing = Firing::At(angles.iter().map(|a| Degrees::lit(a.round())).collect());
        let engine = engine(strokes, &order, firing);
        let found = engine.companions();
        for a in engine.cylinders() {
            for b in engine.cylinders() {
                prop_assert_eq!(engine.shared_spark(a, b), engine.shared_spark(b, a));
            }
            prop_assert_eq!(found.of(a).next().is_none(), found.alone.contains(&a));
        }
    }

    /// Numbers are names: renumbering the cylinders renumbers the companions and changes nothing else.
    #[test]
    fn renumbering_changes_nothing(order in Just((1..=12_u8).collect::<Vec<_>>()).prop_shuffle()) {
        let plain: Vec<u8> = (1..=12).collect();
        let renamed = |c: u8| order[usize::from(c) - 1];
        let mut wanted: Vec<(u8, u8)> = pairs(&even(&plain))
            .into_iter()
            .map(|(a, b)| (renamed(a).min(renamed(b)), renamed(a).max(renamed(b))))
            .collect();
        wanted.sort_unstable();
        prop_assert_eq!(pairs(&even(&order)), wanted);
    }
}
