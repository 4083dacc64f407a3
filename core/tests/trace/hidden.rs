//! Laws on hidden cars: the truth keeps its belief, slips are named, rounds stay within the bound.

use super::*;

/// Coils in easy reach and an ohmmeter far from them: rounds are the cheaper way, as long as nothing else is said.
fn only_rounds(mut car: Hidden) -> Hidden {
    car.trace.aside.insert(Way::Continuity);
    car
}

#[test]
fn never_more_rounds_than_the_bound() {
    for coils in [4_u8, 6, 8, 12] {
        for seed in 0..if coils < 12 { 8 } else { 2 } {
            let many = usize::from(coils);
            let sure = only_rounds(hidden(coils, &OTHERS, Coverage::All, seed));
            let (_, ended) = sure.follow(Reads::Typical, &no_slips(), seed);
            assert_eq!(ended.wrong, [], "{coils} coils, seed {seed}");
            let bound = rounds_at_most(many, Nothing::Excluded);
            assert!(ended.rounds <= bound, "{coils}: {} rounds", ended.rounds);

            let unsure = only_rounds(hidden(
                coils,
                &[Use::AnotherCoil, Use::Signal],
                Coverage::Some,
                seed,
            ));
            let (_, ended) = unsure.follow(Reads::Typical, &no_slips(), seed);
            assert_eq!(ended.wrong, [], "{coils} coils, seed {seed}");
            let bound = rounds_at_most(many, Nothing::Possible);
            assert!(ended.rounds <= bound, "{coils}: {} rounds", ended.rounds);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever such pins can show, the true assignment never falls out and no reading is ever doubted.
    #[test]
    fn the_truth_keeps_its_belief(
        coils in 1_u8..6,
        others in proptest::collection::vec(proptest::sample::select(&OTHERS[..]), 0..5),
        all in any::<bool>(),
        seed in any::<u64>(),
    ) {
        let coverage = if all { Coverage::All } else { Coverage::Some };
        let car = hidden(coils, &others, coverage, seed);
        let (mut trace, _) = car.follow(Reads::Any, &no_slips(), seed);
        loop {
            let belief = trace.belief(&car.harness);
            prop_assert!(belief.doubted.is_empty());
            for pin in &belief.pins {
                let truth = car.truth[&pin.pin];
                prop_assert!(pin.fits.contains(&truth), "{pin:?} is {truth:?}");
                let sum: f64 = pin.uses.iter().map(|(_, share)| share.get()).sum();
                prop_assert!((sum - 1.0).abs() < 1e-9);
                if let Some(known) = pin.known() && pin.fits.len() == 1 {
                    prop_assert_eq!(known, truth);
                }
            }
            if trace.take_back().is_none() {
                break;
            }
        }
    }

    /// With what such pins usually show, every pin ends known.
    #[test]
    fn without_slips_it_ends_exact(
        coils in 1_u8..7,
        others in proptest::collection::vec(proptest::sample::select(&OTHERS[..]), 0..6),
        all in any::<bool>(),
        seed in any::<u64>(),
    ) {
        let coverage = if all { Coverage::All } else { Coverage::Some };
        let car = hidden(coils, &others, coverage, seed);
        let (trace, ended) = car.follow(Reads::Typical, &no_slips(), seed);
        prop_assert_eq!(ended.wrong, []);
        prop_assert_eq!(trace.next(&car.harness), Next::Done);
    }

    /// One wrong answer is noticed or does no harm, and what is asked again leads to the truth.
    #[test]
    fn one_slip_is_named_and_mended(coils in 2_u8..9, at in 0_usize..64, seed in any::<u64>()) {
        // Each coil has its pin among them, and no other pin is asked for: whatever is taken wrongly clashes.
        let car = only_rounds(hidden(coils, &[], Coverage::All, seed));
        let (right, _) = car.follow(Reads::Typical, &no_slips(), seed);
        let readings: usize = right.taken.iter().map(|taken| taken.shown.len()).sum();
        let slip = BTreeSet::from([at % readings]);
        let (_, ended) = car.follow(Reads::Typical, &slip, seed);
        prop_assert_eq!(ended.wrong, []);
    }

    #[test]
    fn written_and_read(coils in 1_u8..6, seed in any::<u64>(), slip in 0_usize..9) {
        let car = hidden(coils, &OTHERS, Coverage::Some, seed);
        let (mut trace, _) = car.follow(Reads::Any, &BTreeSet::from([slip]), seed);
        trace.aside.insert(Way::Unplug);
        prop_assert_eq!(Trace::read(&trace.written()), Some(trace.clone()));
        // Cut short it is the trace up to a step, or nothing: never something else.
        let cut = trace.written();
        let cut = &cut[..cut.len() / 2];
        if let Some(read) = Trace::read(cut) {
            prop_assert!(read.pins.len() <= trace.pins.len());
        }
    }
}

#[test]
fn contradictory_answers_are_named() {
    let mut car = only_rounds(hidden(4, &[], Coverage::All, 3));
    let pins = car.trace.pins.clone();
    let coils = car.trace.coils.clone();
    let first = Measure::Unplug([coils[0], coils[1]].into());
    // Three pins cannot lose their voltage with two coils.
    car.trace.answer(
        first.clone(),
        vec![
            (pins[0], Shown::NotThere),
            (pins[1], Shown::NotThere),
            (pins[2], Shown::NotThere),
            (pins[3], Shown::There),
        ],
    );
    let Next::Again(doubted) = car.trace.next(&car.harness) else {
        panic!("not noticed");
    };
    assert_eq!(doubted.len(), 3, "{doubted:?}");
    assert!(
        doubted
            .iter()
            .all(|d| d.measure == first && d.shown == Shown::NotThere)
    );
    // Taken again with another outcome it is over; with the same one it is less doubted than the others.
    let named = doubted[0].pin;
    let mut same = car.trace.clone();
    same.answer(first.clone(), vec![(named, Shown::NotThere)]);
    let Next::Again(doubted) = same.next(&car.harness) else {
        panic!("forgotten");
    };
    assert_ne!(doubted[0].pin, named);
    car.trace.answer(first, vec![(named, Shown::There)]);
    assert!(matches!(car.trace.next(&car.harness), Next::Measure(_)));
}

#[test]
fn a_coil_without_a_pin_speaks_against_all_of_them_having_one() {
    let mut car = hidden(2, &[Use::Signal], Coverage::All, 1);
    let (pins, coils) = (car.trace.pins.clone(), car.trace.coils.clone());
    let none = |pins: &[PinId]| pins.iter().map(|pin| (*pin, Shown::NotThere)).collect();
    car.trace.answer(Measure::Continuity(coils[0]), none(&pins));
    let Next::Again(_) = car.trace.next(&car.harness) else {
        panic!("not noticed");
    };
    car.trace.coverage = Coverage::Some;
    assert!(matches!(car.trace.next(&car.harness), Next::Measure(_)));
}

/// Far coils are not unplugged in groups: each is reached once either way, but rounds go to them again and again
/// only in the sense of work; what decides is the count of things to do.
#[test]
fn the_cheaper_way_depends_on_access() {
    let way_of = |car: &Hidden| {
        let Next::Measure(steps) = car.trace.next(&car.harness) else {
            panic!("nothing to do");
        };
        steps[0].measure.way()
    };
    // Twelve coils in easy reach: four rounds are less work than eleven walks with the probe.
    let easy = hidden(12, &[], Coverage::All, 5);
    assert_eq!(way_of(&easy), Way::Unplug);
    // One coil in easy reach, the other far away: one touch at the near one tells both.
    let mut far = hidden(2, &[], Coverage::All, 5);
    let coil = far.trace.coils[1];
    far.harness.parts.get_mut(&coil).unwrap().place.reach = Some(Minutes::lit(45.0));
    let Next::Measure(steps) = far.trace.next(&far.harness) else {
        panic!("nothing to do");
    };
    assert!(!steps[0].measure.unplugged().contains(&coil), "{steps:?}");
    assert!(steps[0].minutes < Minutes::lit(10.0));
}
