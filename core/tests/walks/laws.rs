//! Laws of any walk with any answers: it ends, it can be taken back and kept, and no step asks for what hurts.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use proptest::prelude::*;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::is_high_voltage;
use sparktrail_core::isolation::{Answer, Question};
use sparktrail_core::model::*;
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::*;

use crate::{samples, volts};

/// Walks that a map offers all over: at each seventh place and for each third act.
fn some_kinds(harness: &Harness) -> Vec<Kind> {
    let mut picks: Vec<Pick> = harness
        .wires
        .keys()
        .step_by(7)
        .map(|w| Pick::Wire(*w))
        .collect();
    picks.extend(harness.elements().into_iter().step_by(7).map(Pick::Element));
    picks.extend(harness.engine.cylinders().into_iter().map(Pick::Cylinder));
    let mut kinds = vec![Kind::Dead, Kind::Mended(None)];
    for kind in picks.into_iter().flat_map(|pick| offered(harness, pick)) {
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    let catalogue = sparktrail_core::isolation::Catalogue::of(harness);
    for act in catalogue.acts.iter().step_by(3) {
        let kind = Kind::of(&act.question);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds
}

fn kinds_of(sample: usize) -> &'static [Kind] {
    static KINDS: OnceLock<Vec<OnceLock<Vec<Kind>>>> = OnceLock::new();
    let all = KINDS.get_or_init(|| samples().iter().map(|_| OnceLock::new()).collect());
    all[sample].get_or_init(|| some_kinds(&samples()[sample]))
}

/// What no step may ask for.
fn forbidden(harness: &Harness, step: &Step) -> Option<&'static str> {
    let setup = &step.setup;
    let turning = setup.engine != EngineState::Stopped;
    let live = setup.battery == BatteryLink::Connected;
    let is_unit = |part: &PartId| harness.unit(*part).is_some();
    let is_injector = |part: &PartId| {
        harness
            .parts
            .get(part)
            .is_some_and(|p| matches!(p.kind, PartKind::Injector(_)))
    };
    if turning && !(live && setup.key == Key::On) {
        return Some("an engine that turns without battery or key");
    }
    if live && setup.unplugged.iter().any(is_unit) && !measures_volts(step) {
        return Some("a control unit unplugged with the battery on");
    }
    if turning && setup.unplugged.iter().any(|part| !is_injector(part)) {
        return Some("something but an injector unplugged while the engine turns");
    }
    if step.instrument() == Some(Instrument::Ohms) && live {
        return Some("an ohmmeter on a live circuit");
    }
    if live
        && let Some(probes) = step.probes()
        && [Some(probes.red), probes.black]
            .into_iter()
            .flatten()
            .any(|t| is_high_voltage(t.port))
    {
        return Some("a meter on the high voltage");
    }
    if turning
        && matches!(
            step.task,
            Task::Exchange(_) | Task::Carry(_) | Task::Restore
        )
    {
        return Some("hands in the engine while it turns");
    }
    if let (true, Task::Ask(Question::Stress(element, _))) = (turning, &step.task)
        && matches!(
            element,
            Element::LeadConductor(_)
                | Element::LeadInsulation(_)
                | Element::Secondary(_)
                | Element::CoilInsulation(_)
                | Element::Gap(_)
                | Element::Insulator(_)
                | Element::PlugResistor(_)
                | Element::Cap(_)
                | Element::Rotor(_)
        )
    {
        return Some("hands on the high voltage");
    }
    let soldering = matches!(step.task, Task::Exchange(SwapPair::Transistors(..)));
    if soldering && live {
        return Some("soldering with the battery on");
    }
    None
}

/// Walks in which something can hurt, and few of each sort.
fn telling(kind: &Kind) -> bool {
    matches!(
        kind,
        Kind::Siblings { .. }
            | Kind::Spark(CylinderId(1))
            | Kind::Swap(SwapPair::Transistors(..))
            | Kind::Single(
                Question::Compression(CylinderId(1))
                    | Question::Lamp(_)
                    | Question::Remake(_)
                    | Question::Look(Element::Cylinder(_))
            )
    )
}

/// Source: trade precautions that quote VDE 0104 (dangerous voltage on the primary side and in what is joined to
/// it); a coil whose secondary is open can break down (two articles on ignition).
#[test]
fn what_can_hurt_stands_at_the_step() {
    let mut seen = BTreeSet::new();
    let mut listened = false;
    for sample in 0..samples().len() {
        let harness = &samples()[sample];
        for kind in kinds_of(sample).iter().filter(|kind| telling(kind)) {
            for step in Walk::begin(harness, kind.clone()).sheet(harness) {
                let cautions = step.cautions(harness);
                let minded = |caution| cautions.contains(&caution);
                let turning = step.setup.engine != EngineState::Stopped;
                if turning && let Some(probes) = step.probes() {
                    let ends = [Some(probes.red), probes.black].into_iter().flatten();
                    let ports: Vec<Port> = ends.map(|end| end.port).collect();
                    let posts = ports.iter().all(|p| matches!(p, Port::Plus | Port::Minus));
                    assert!(
                        !ports.contains(&Port::Switched) || minded(Caution::Kick),
                        "{step:?}"
                    );
                    assert!(!(posts && minded(Caution::Kick)), "{step:?}");
                }
                if let Task::Ask(Question::Compression(_)) = step.task {
                    for caution in [
                        Caution::OpenSpark,
                        Caution::Fuel,
                        Caution::TakingOff,
                        Caution::Cranking,
                    ] {
                        assert!(minded(caution), "{caution:?}: {step:?}");
                    }
                }
                // Common practice, no source: an injector is listened to while the engine runs.
                if let Task::Ask(Question::Look(Element::Cylinder(_))) = step.task {
                    for caution in [Caution::Running, Caution::HighVoltage, Caution::Fuel] {
                        assert!(minded(caution), "{caution:?}: {step:?}");
                    }
                    listened = true;
                }
                seen.extend(cautions);
            }
        }
    }
    assert!(listened);
    for caution in [
        Caution::Kick,
        Caution::OpenSpark,
        Caution::HighVoltage,
        Caution::Fuel,
        Caution::Soldering,
    ] {
        assert!(seen.contains(&caution), "{caution:?} was never said");
    }
}

/// A unit that is unplugged for a measurement of volts was unplugged with the battery off, as its
/// caution says.
fn measures_volts(step: &Step) -> bool {
    matches!(
        step.task,
        Task::Ask(Question::Volts(_) | Question::Lamp(_))
            | Task::Reference(_)
            | Task::LampReference(_)
    )
}

/// Any reply that a step takes, by two numbers.
fn any_reply(step: &Step, pick: u8, size: f64) -> Reply {
    match &step.replies {
        Replies::Choice(offered) => offered[usize::from(pick) % offered.len()],
        Replies::Volts => volts(if pick.is_multiple_of(2) {
            12.6 * size
        } else {
            size - 0.2
        }),
        Replies::Ohms if pick.is_multiple_of(4) => Reply::Found(Answer::Overload),
        Replies::Ohms => Reply::Found(Answer::Ohms(size * f64::from(pick), size * f64::from(pick))),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn laws_of_any_walk(
        sample in 0..10_usize,
        kind in any::<proptest::sample::Index>(),
        answers in proptest::collection::vec((any::<u8>(), 0.0..1.2_f64), 64),
    ) {
        let samples = samples();
        let place = sample % samples.len();
        let harness = &samples[place];
        let kinds = kinds_of(place);
        let mut walk = Walk::begin(harness, kind.get(kinds).clone());
        let mut ended = false;
        for (pick, size) in answers {
            let standing = walk.stage(harness);
            prop_assert_eq!(standing.past.len(), walk.given().len());
            let Stage::Ask(step) = standing.now else {
                ended = true;
                break;
            };
            prop_assert_eq!(forbidden(harness, &step), None, "{:?}", step);
            if let Some(probes) = step.probes() {
                prop_assert!(harness.has_terminal(probes.red));
            }
            if step.setup != Setup::key_on() && step.setup.unplugged.iter().any(|p| harness.unit(*p).is_some()) {
                prop_assert!(step.cautions(harness).contains(&Caution::Unit));
            }
            let next = walk.answer(harness, any_reply(&step, pick, size)).unwrap();
            // Taken back is never having answered.
            let (before, _) = next.walk.take_back().unwrap();
            prop_assert_eq!(&before, &walk);
            prop_assert_eq!(Walk::of_text(&next.walk.text(harness)), Ok(next.walk.clone()));
            walk = next.walk;
        }
        prop_assert!(ended || matches!(walk.stage(harness).now, Stage::Over(_)), "no end: {:?}", walk);
    }
}
