//! What the findings say as plain data, for the panels: the suspects with their reasons, and the acts to choose from.

use std::collections::{BTreeMap, BTreeSet};

use sparktrail_core::faults::Fault;
use sparktrail_core::gather::Gather;
use sparktrail_core::isolation::{
    Access, Act, Assessment, Case, Cleared, Explained, Explanation, Loose, Plan, Proposal, Stop,
    Trouble, Unit,
};
use sparktrail_core::model::{DriverPiece, Element, FindingId, Harness, PartKind};
use sparktrail_core::topology::Pick;

/// Suspects below this share are not listed.
const LEAST_SHARE: f64 = 0.004;
/// Suspects that are explained.
const MOST_SUSPECTS: usize = 20;
/// Acts that are proposed.
const MOST_ACTS: usize = 6;
/// An element is hot from this share on.
const LEAST_HEAT: f64 = 0.01;

/// What the findings say.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The suspects with their reasons, the likeliest first.
    pub suspects: Vec<Suspect>,
    /// What was cleared, by what.
    pub cleared: Vec<Cleared>,
    /// Whether one fault explains it.
    pub explained: Explained,
    /// Findings that the others contradict, the most doubtful first.
    pub retake: Vec<FindingId>,
    /// Findings that do not count.
    pub troubles: Vec<Trouble>,
    /// How many pieces of evidence count.
    pub evidence: usize,
    /// Share of all that is not electrical.
    pub not_electrical: f64,
    /// The share of each hot element.
    pub heat: BTreeMap<Element, f64>,
    /// One element of each thing that is cleared altogether.
    pub good: BTreeSet<Element>,
}

/// A suspect with its reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// Why it stands where it stands.
    pub why: Explanation,
    /// The likeliest ways in which it fails, with their shares.
    pub ways: Vec<(Fault, f64)>,
}

/// What to do next.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Whether to go on testing.
    pub stop: Stop,
    /// The best acts, the best first.
    pub acts: Vec<Advised>,
    /// What is left to mend, in order.
    pub repairs: Vec<(Unit, f64)>,
    /// The share of each leading suspect now.
    pub leaders: Vec<(Unit, f64)>,
    /// What the map does not join yet and should be traced first.
    pub loose: Option<Loose>,
}

/// An act with what it is expected to tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Advised {
    /// The act.
    pub act: Act,
    /// What it is expected to tell.
    pub proposal: Proposal,
    /// What must be opened or taken out first, with its minutes.
    pub opens: Vec<(Access, f64)>,
}

/// Where on the map each cause of a case shows: the same whatever is found.
pub(super) struct Shown {
    /// The elements that a cause can sit in, each once.
    elements: Vec<Element>,
    /// The element that stands for each thing that is ticked as a whole.
    things: Vec<Element>,
    /// By cause: its element and its thing, as places in the lists.
    places: Vec<(usize, Option<usize>)>,
}

impl Shown {
    /// `harness`: the map that the case was made of.
    pub(super) fn of(harness: &Harness, case: &Case<'static>) -> Self {
        let (mut elements, mut things) = (Vec::new(), Vec::new());
        let mut known: BTreeMap<Element, usize> = BTreeMap::new();
        let mut picked: BTreeMap<Pick, usize> = BTreeMap::new();
        let places = case.causes().iter().map(|cause| {
            let element = cause.fault.element;
            let at = *known.entry(element).or_insert_with(|| {
                elements.push(element);
                elements.len() - 1
            });
            let thing = thing_of(harness, element).map(|(thing, own)| {
                let at = *picked.entry(thing).or_insert_with(|| {
                    things.push(own);
                    things.len() - 1
                });
                things[at] = things[at].min(own);
                at
            });
            (at, thing)
        });
        let places = places.collect();
        Self {
            elements,
            things,
            places,
        }
    }

    /// The share of each hot element, and one element of each thing all of whose causes are cleared.
    fn told(
        &self,
        case: &Case<'static>,
        assessment: &Assessment,
        cleared: &[Cleared],
    ) -> (BTreeMap<Element, f64>, BTreeSet<Element>) {
        let cleared: BTreeSet<Unit> = cleared.iter().map(|cleared| cleared.unit).gather();
        let mut shares = vec![0.0; self.elements.len()];
        let mut good = vec![true; self.things.len()];
        for (number, (element, thing)) in self.places.iter().enumerate() {
            shares[*element] += assessment.belief.suspect(number);
            if let Some(thing) = thing {
                good[*thing] &= cleared.contains(&case.causes()[number].unit);
            }
        }
        let hot = self.elements.iter().copied().zip(shares);
        let things = self.things.iter().zip(good);
        (
            hot.filter(|(_, share)| *share >= LEAST_HEAT).gather(),
            things
                .filter(|(_, all)| *all)
                .map(|(element, _)| *element)
                .gather(),
        )
    }
}

/// What an assessment says of the suspects.
pub(super) fn verdict(shown: &Shown, case: &Case<'static>, assessment: &Assessment) -> Verdict {
    let ranked = case.ranked(assessment, LEAST_SHARE);
    let units: Vec<Unit> = ranked
        .iter()
        .take(MOST_SUSPECTS)
        .map(|(unit, _)| *unit)
        .collect();
    let (suspects, cleared) = case.explain_and_clear(assessment, &units);
    let suspects = suspects
        .into_iter()
        .map(|why| Suspect {
            ways: ways(case, &why),
            why,
        })
        .collect();
    // Before anything was found nothing is hot.
    let (heat, good) = if assessment.evidence.is_empty() {
        Default::default()
    } else {
        shown.told(case, assessment, &cleared)
    };
    let not_electrical = case.units().iter().enumerate();
    let not_electrical = not_electrical.filter(|(_, unit)| matches!(unit, Unit::Cylinder(_)));
    Verdict {
        suspects,
        cleared,
        explained: case.explained(assessment),
        retake: case.retake(assessment),
        troubles: assessment.troubles.clone(),
        evidence: assessment.evidence.len(),
        not_electrical: not_electrical
            .map(|(number, _)| assessment.belief.unit(number))
            .sum(),
        heat,
        good,
    }
}

/// The likeliest ways in which a suspect fails, with their shares.
fn ways(case: &Case<'static>, why: &Explanation) -> Vec<(Fault, f64)> {
    let mut ways: Vec<(Fault, f64)> = Vec::new();
    for (cause, share) in &why.causes {
        let fault = case.causes()[*cause].fault;
        match ways.iter_mut().find(|(known, _)| *known == fault) {
            Some((_, sum)) => *sum += share,
            None => ways.push((fault, *share)),
        }
    }
    ways.retain(|(_, share)| *share > 0.1 * why.share);
    ways.truncate(3);
    ways
}

/// What a person would tick off as one thing, with the element that stands for it: a wire with its
/// joints, a driver, a part with its contacts; of a unit or connector each pin by itself. Cylinders
/// carry no tick: what is not electrical is no part of the wiring.
fn thing_of(harness: &Harness, element: Element) -> Option<(Pick, Element)> {
    if let Element::Cylinder(_) = element {
        return None;
    }
    if let Element::Wire(wire) | Element::Joint(wire, _) = element {
        return Some((Pick::Wire(wire), Element::Wire(wire)));
    }
    if let Element::Driver(driver, _) = element {
        let switch = Element::Driver(driver, DriverPiece::Switch);
        return Some((Pick::Driver(driver), switch));
    }
    let part = harness.part_of(element)?;
    let many = harness
        .parts
        .get(&part)
        .is_some_and(|part| matches!(part.kind, PartKind::ControlUnit(_) | PartKind::Connector(_)));
    match (many, element) {
        (true, Element::Mated(_)) => None,
        (true, element) => Some((Pick::Element(element), element)),
        (false, element) => Some((Pick::Part(part), element)),
    }
}

/// What a plan advises after an assessment.
pub(super) fn advice(case: &Case<'static>, plan: &Plan, assessment: &Assessment) -> Advice {
    let (_, paid) = plan.done(assessment);
    let (stop, proposals) = plan.advise(case, assessment, MOST_ACTS);
    let acts = proposals
        .into_iter()
        .map(|proposal| Advised {
            act: plan.catalogue().acts[proposal.act].clone(),
            opens: plan.catalogue().named(proposal.opens).collect(),
            proposal,
        })
        .collect();
    let (repairs, list) = plan.repairs(case, assessment, paid);
    Advice {
        stop,
        acts,
        repairs: list
            .order
            .iter()
            .filter_map(|place| {
                let repair = repairs.get(*place)?;
                Some((case.units()[repair.unit], repair.chance))
            })
            .collect(),
        leaders: case.ranked(assessment, 0.01).into_iter().take(5).collect(),
        loose: case.trace_first(assessment, stop),
    }
}
