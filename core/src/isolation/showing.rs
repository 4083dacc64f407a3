//! From a fault's effect to what it shows: fates of cylinders and flashes on leads, doubt resolved.

use std::collections::BTreeMap;

use super::cause::Doubt;
use super::defaults;
use super::forecast::{Fate, Flash, Pulse, Showing};
use crate::electrics::SparkState;
use crate::engine::CylinderId;
use crate::faults::{Effect, Fault, ModeKind, Reason, Verdict};
use crate::gather::Arrange;
use crate::model::{Element, Harness, PartId, Spark};

/// What the electrics say of the spark at each cylinder, at its own time, engine idling.
pub(super) type Sparks = BTreeMap<CylinderId, SparkState>;

/// Both answers to a fault's doubt, each with its share; one alone where nothing is in doubt.
pub(super) fn outcomes(fault: Fault, effect: &Effect, sparks: &Sparks) -> Vec<(Doubt, f64)> {
    if let Some((one, other)) = towers_in_doubt(fault, effect) {
        let (first, second, both) = defaults::TRACKS;
        return vec![
            (Doubt::Only(one), first),
            (Doubt::Only(other), second),
            (Doubt::Dies, both),
        ];
    }
    let open: Vec<&Verdict> = effect
        .doubtful
        .iter()
        .filter(|verdict| electric(verdict, sparks).is_none())
        .collect();
    if open.is_empty() {
        return vec![(Doubt::Lives, 1.0)];
    }
    let dies = if open
        .iter()
        .any(|verdict| matches!(verdict.reason, Reason::LoopOpen(_)))
    {
        defaults::OPEN_LEAD_TAKES_BOTH
    } else {
        defaults::DOUBTFUL_DIES
    };
    vec![(Doubt::Lives, 1.0 - dies), (Doubt::Dies, dies)]
}

/// The two cylinders of a double-ended coil one of whose towers tracks: which of them, nobody knows.
fn towers_in_doubt(fault: Fault, effect: &Effect) -> Option<(CylinderId, CylinderId)> {
    match (fault.mode.kind(), effect.doubtful.as_slice()) {
        (ModeKind::Tracking, [one, other]) => Some((one.cylinder, other.cylinder)),
        _ => None,
    }
}

/// The cylinders that the structure of the map leaves in doubt and of which the electrics can say more.
pub(super) fn asked_of_electrics(effect: &Effect) -> Vec<CylinderId> {
    let doubtful = effect.doubtful.iter();
    let asked = doubtful.filter(|verdict| is_electric(verdict.reason));
    asked.map(|verdict| verdict.cylinder).collect()
}

/// What the electrics say about a cylinder that the structure of the map leaves in doubt.
fn electric(verdict: &Verdict, sparks: &Sparks) -> Option<Fate> {
    if !is_electric(verdict.reason) {
        return None;
    }
    match sparks.get(&verdict.cylinder)? {
        SparkState::Yes => Some(Fate::Lives),
        SparkState::Weak => Some(Fate::Weak),
        SparkState::No => Some(Fate::Dies),
        SparkState::Doubtful => None,
    }
}

/// Whether a doubt is one of currents and voltages.
const fn is_electric(reason: Reason) -> bool {
    match reason {
        Reason::Weakened(_)
        | Reason::DriverLeaks(_)
        | Reason::TurnsShorted(_)
        | Reason::SparkElsewhere(_)
        | Reason::GapWide(_)
        | Reason::Disturbed
        | Reason::SupplyShorted => true,
        Reason::Apart
        | Reason::OtherWay
        | Reason::OtherPlugSuffers(_)
        | Reason::OnAnyway
        | Reason::JoinedAnyway
        | Reason::PolarityOnly
        | Reason::SameTime(_)
        | Reason::Lost(_)
        | Reason::RelayDrops(_)
        | Reason::FuseBlows(_)
        | Reason::NeverCut(_)
        | Reason::NotSwitched(_)
        | Reason::DriverShorted(_)
        | Reason::SignalHeld(_)
        | Reason::GapShunted(_)
        | Reason::SparksOf(_)
        | Reason::Starved(_)
        | Reason::NotElectrical(_)
        | Reason::OneOfTwoPlugs(_)
        | Reason::LoopOpen(_)
        | Reason::EngineGroundLost
        | Reason::FiredTogether
        | Reason::ErraticSignal(_)
        | Reason::Flooded(_)
        | Reason::BothEndsFed(_)
        | Reason::Unfinished(_) => false,
    }
}

/// What a fault shows, with its doubt resolved.
pub(super) fn showing(
    harness: &Harness,
    fault: Fault,
    doubt: Doubt,
    effect: &Effect,
    sparks: &Sparks,
    pulses: Vec<(PartId, Pulse)>,
) -> Showing {
    let mut fates = Vec::new();
    let mut flashes = Vec::new();
    let split = towers_in_doubt(fault, effect).is_some();
    let doubted = |verdict: &Verdict| {
        let answer = match doubt {
            Doubt::Lives => Fate::Lives,
            Doubt::Dies => Fate::Dies,
            Doubt::Only(cylinder) if cylinder == verdict.cylinder => Fate::Dies,
            Doubt::Only(_) => Fate::Lives,
        };
        if split {
            answer
        } else {
            electric(verdict, sparks).unwrap_or(answer)
        }
    };
    let dead = |verdict: &Verdict| match verdict.spark {
        Some(Spark::WrongTime) => Fate::WrongTime,
        Some(Spark::Yes | Spark::No | Spark::Weak) | None => Fate::Dies,
    };
    let all = effect
        .dead
        .iter()
        .map(|v| (v, dead(v)))
        .chain(effect.doubtful.iter().map(|v| (v, doubted(v))))
        .chain(effect.live.iter().map(|v| (v, Fate::Lives)));
    for (verdict, fate) in all {
        fates.push((verdict.cylinder, fate));
        flashes.push((verdict.cylinder, flash(harness, fault, verdict, fate)));
    }
    fates.arrange_by_key(|(cylinder, _)| *cylinder);
    flashes.arrange_by_key(|(cylinder, _)| *cylinder);
    Showing {
        fates,
        flashes,
        pulses,
    }
}

/// A harness with nothing wrong.
pub(super) fn healthy(harness: &Harness, pulses: Vec<(PartId, Pulse)>) -> Showing {
    let all = harness.engine.cylinders();
    Showing {
        fates: all.iter().map(|c| (*c, Fate::Lives)).collect(),
        flashes: all.iter().map(|c| (*c, Flash::Yes)).collect(),
        pulses,
    }
}

/// A timing light answers to current in the lead, which can flow though the cylinder is dead.
fn flash(harness: &Harness, fault: Fault, verdict: &Verdict, fate: Fate) -> Flash {
    match fate {
        Fate::Lives => Flash::Yes,
        Fate::Weak => Flash::Weak,
        Fate::WrongTime => Flash::WrongTime,
        Fate::Dies => {
            let at_this_plug = serves(harness, fault.element, verdict.cylinder);
            match (fault.element, fault.mode.kind()) {
                (Element::Cylinder(_) | Element::InjectorWinding(_), _) => Flash::Yes,
                (Element::Gap(_) | Element::Insulator(_), _) if at_this_plug => Flash::Yes,
                // It leaves the lead on its way, mostly at the far end.
                (Element::LeadInsulation(_), ModeKind::Leaky) if at_this_plug => Flash::Weak,
                _ if matches!(verdict.spark, Some(Spark::Yes)) => Flash::Yes,
                _ => Flash::No,
            }
        }
    }
}

/// Whether a plug or lead belongs to a cylinder.
fn serves(harness: &Harness, element: Element, cylinder: CylinderId) -> bool {
    harness.part_of(element).is_some_and(|part| {
        harness
            .plug(part)
            .and_then(|plug| plug.cylinder)
            .map(|fact| fact.value)
            .or_else(|| super::cause::cylinder_of_lead(harness, part))
            == Some(cylinder)
    })
}
