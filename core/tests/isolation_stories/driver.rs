//! One control pin is low: its driver, and what a swap of transistors says.

use super::*;

/// One control pin at 10.2 V idling, its siblings at 12.6 V.
fn pin_low(text: &str, dead: &[u8]) -> Story {
    pin_low_at(12.6, text, dead)
}

/// The same at another level of the whole car: siblings at `level` volts.
fn pin_low_at(level: f64, text: &str, dead: &[u8]) -> Story {
    let mut story = Story::of(text);
    story.dead(dead);
    let drivers = story.harness.drivers().count();
    for nth in 0..drivers {
        let share = if nth == 0 { 10.2 / 12.6 } else { 1.0 };
        story.volts_at(story.pin(nth), level * share, Setup::idling());
    }
    story
}

/// The cylinders of the first driver's coil, by what its loss kills.
fn first_pair(text: &str) -> Vec<u8> {
    let story = Story::of(text);
    let driver = Element::Driver(story.driver(0), DriverPiece::Switch);
    let case = story.case();
    let cause = case
        .causes()
        .iter()
        .position(|c| {
            c.fault.element == driver && c.fault.mode == sparktrail_core::faults::Mode::NeverOn
        })
        .unwrap();
    case.showing(cause).ill().map(|c| c.0).collect()
}

#[test]
fn d_one_pin_low() {
    for text in [V8, V6, FOUR] {
        let story = pin_low(text, &first_pair(text));
        story.print("d");
        let driver = story.share(|u| story.is_driver(u, 0));
        assert!(driver >= 0.9, "{}: {driver}", story.harness.title);
    }
}

#[test]
fn e_transistors_swapped_and_the_pair_stays() {
    for text in [V8, V6, FOUR] {
        let mut story = pin_low(text, &first_pair(text));
        let transistor = Unit::Transistor(story.driver(0));
        let swap = SwapPair::Transistors(story.driver(0), story.driver(1));
        // What the card says before: "it stays" clears the transistor and nothing else of the driver.
        {
            let case = story.case();
            let assessment = story.assess(&case);
            let plan = Plan::of(&case);
            let told = plan
                .foretell(&case, &assessment, &Question::Swap(swap))
                .unwrap();
            let stayed = told
                .outcomes
                .iter()
                .find(|o| o.answer == Answer::Swap(SwapOutcome::Stayed))
                .unwrap();
            assert_eq!(stayed.clears, [transistor], "{}", story.harness.title);
        }
        story.see(Seen::Swapped {
            what: swap,
            outcome: SwapOutcome::Stayed,
        });
        story.print("e");
        let t = story.share(|u| u == transistor);
        assert!(t <= 0.05, "{}: {t}", story.harness.title);
        let joints = story.share(|u| story.is_driver(u, 0) && u != transistor);
        let case = story.case();
        let assessment = story.assess(&case);
        let (leader, _) = case.ranked(&assessment, 0.0)[0];
        assert!(
            matches!(leader, Unit::DriverJoints(_) | Unit::DriveResistor(_)),
            "{leader:?}"
        );
        assert!(joints >= 0.7, "{joints}");
        // Next: the pin, the drive resistor, re-soldering; nothing dearer before them.
        let plan = Plan::of(&case);
        let (_, paid) = plan.done(&assessment);
        let next = plan.next(&case, &assessment, paid, 6);
        let questions: Vec<&Question> = next
            .iter()
            .map(|p| &plan.catalogue().acts[p.act].question)
            .collect();
        for (p, q) in next.iter().zip(&questions) {
            println!("    {:.2} bits {:.1} min {q:?}", p.bits, p.price);
        }
        let place = |test: &dyn Fn(&Question) -> bool| {
            questions
                .iter()
                .position(|q| test(q))
                .unwrap_or_else(|| panic!("{questions:?}"))
        };
        let pin = place(&|q| matches!(q, Question::Volts(p) if p.red == story.pin(0)));
        let resistor = place(&|q| {
            *q == Question::Look(Element::Driver(story.driver(0), DriverPiece::DriveResistor))
        });
        let solder = place(
            &|q| matches!(q, Question::Remake(Element::Driver(d, _)) if *d == story.driver(0)),
        );
        assert!(pin < resistor && resistor < solder, "{questions:?}");
    }
}

/// Source: with the engine running an alternator holds a car at 13.5 to 14.8 V; common practice, no source.
#[test]
fn d_one_pin_low_while_the_alternator_charges() {
    for level in [11.9, 13.5, 14.4, 14.8] {
        for text in [V8, V6, FOUR] {
            let story = pin_low_at(level, text, &first_pair(text));
            story.print("d, charging");
            let driver = story.share(|u| story.is_driver(u, 0));
            assert!(
                driver >= 0.9,
                "{} at {level} V: {driver}",
                story.harness.title
            );
        }
    }
}

/// A pin that reads as the battery does tells the same whether the alternator charges or not.
#[test]
fn one_pin_at_the_voltage_of_a_charging_car_tells_what_it_tells_without() {
    let told = |volts: f64| {
        let mut story = Story::of(V8);
        story.dead(&[1, 6]);
        story.volts_at(story.pin(0), volts, Setup::idling());
        let case = story.case();
        let belief = story.assess(&case).belief;
        let names = case.units().iter().map(|unit| unit.name(&story.harness));
        let shares = (0..case.units().len()).map(|unit| belief.unit(unit));
        names.zip(shares).collect::<Vec<_>>()
    };
    let still = told(12.69);
    for volts in [13.9, 14.4] {
        for ((unit, wanted), (_, share)) in still.iter().zip(told(volts)) {
            let apart = (share - wanted).abs();
            assert!(apart < 0.1, "{volts} V, {unit}: {share} beside {wanted}");
        }
    }
}
