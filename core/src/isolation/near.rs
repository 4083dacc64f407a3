//! Which causes an act at one place can do anything to: all others answer alike, wherever they are.

use super::cause::Cause;
use super::touch::Aim;
use crate::faults::Mode;
use crate::gather::Arrange;
use crate::model::{DriverId, Element, PartId, SwapPair};

/// The causes of a case by what an act that touches one of them touches too.
#[derive(Debug, Clone, Default)]
pub(super) struct Near {
    /// Every cause once, rising.
    groups: Vec<(Group, usize)>,
    /// Every cause once for each part that another can take the place of, rising.
    parts: Vec<(PartId, usize)>,
}

/// What one look, wiggle, cleaning or soldering reaches together; see `touch`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Group {
    /// The contacts of a part's plug.
    Contacts(PartId),
    /// What is one thing in the hand: a plug, a lead, a coil, a distributor.
    Whole(PartId),
    /// A driver with its joints.
    Driver(DriverId),
    /// The joints at one place.
    Joints(Option<PartId>),
    /// What stands for itself.
    Alone(Element),
}

/// The group of an element. `joined`: where it sits if it is a joint.
const fn group_of(element: Element, joined: Option<PartId>) -> Group {
    match element {
        Element::Mated(terminal) => Group::Contacts(terminal.part),
        Element::Cavity(part, _) => Group::Contacts(part),
        Element::Gap(part)
        | Element::Insulator(part)
        | Element::PlugResistor(part)
        | Element::LeadConductor(part)
        | Element::LeadInsulation(part)
        | Element::Primary(part)
        | Element::Secondary(part)
        | Element::CoilInsulation(part)
        | Element::Rotor(part)
        | Element::Cap(part) => Group::Whole(part),
        Element::Driver(driver, _) => Group::Driver(driver),
        Element::Joint(..) => Group::Joints(joined),
        Element::Battery(_)
        | Element::Contact(_)
        | Element::RelayWinding(_)
        | Element::Wire(_)
        | Element::Trace(..)
        | Element::BoardSupply(_)
        | Element::BoardGround(_)
        | Element::Logic(_)
        | Element::CrankSignal(_)
        | Element::InjectorWinding(_)
        | Element::Cylinder(_) => Group::Alone(element),
    }
}

impl Near {
    pub(super) fn of(causes: &[Cause]) -> Self {
        let mut found = Self::default();
        for (number, cause) in causes.iter().enumerate() {
            let group = group_of(cause.fault.element, cause.joined);
            found.groups.push((group, number));
            let crossed = if let Mode::CrossedWith(other) = cause.fault.mode {
                Some(other)
            } else {
                None
            };
            let parts = cause.part.into_iter().chain(crossed);
            found.parts.extend(parts.map(|part| (part, number)));
        }
        found.groups.arrange();
        found.parts.arrange();
        found
    }

    /// Causes that an act on an element can touch, rising.
    pub(super) fn element(&self, aim: &Aim) -> Vec<usize> {
        among(&self.groups, group_of(aim.element, aim.joined)).collect()
    }

    /// Causes that another part in place of one can touch, rising.
    pub(super) fn part(&self, part: PartId) -> Vec<usize> {
        among(&self.parts, part).collect()
    }

    /// Causes that a swap can touch, rising.
    pub(super) fn swap(&self, pair: SwapPair) -> Vec<usize> {
        let mut both: Vec<usize> = match pair {
            SwapPair::Parts(a, b) => {
                let one = among(&self.parts, a);
                one.chain(among(&self.parts, b)).collect()
            }
            SwapPair::Transistors(a, b) => {
                let one = among(&self.groups, Group::Driver(a));
                one.chain(among(&self.groups, Group::Driver(b))).collect()
            }
        };
        both.arrange();
        both.dedup();
        both
    }
}

/// The causes under one key of a sorted list, rising.
fn among<K: Ord + Copy>(list: &[(K, usize)], key: K) -> impl Iterator<Item = usize> {
    let from = list.partition_point(|(other, _)| *other < key);
    let rest = &list[from..];
    rest.iter()
        .take_while(move |(other, _)| *other == key)
        .map(|(_, cause)| *cause)
}

#[cfg(test)]
mod tests {
    use super::super::question::Question;
    use super::super::touch::{self, Touch};
    use super::super::{Act, Case};
    use super::*;
    use crate::model::{Harness, Substitute, file};

    /// Maps with a control unit's board, drivers cast into coils, a distributor, two plugs a cylinder.
    const SAMPLES: [&str; 4] = [
        include_str!("../../../sample-harnesses/white-cruiser.json"),
        include_str!("../../../sample-harnesses/silver-limousine.json"),
        include_str!("../../../sample-harnesses/old-pickup.json"),
        include_str!("../../../sample-harnesses/red-twin.json"),
    ];

    /// The causes near an act, what it does to a cause, asked of the rules themselves, and what elsewhere.
    type Asked = (Vec<usize>, Box<dyn Fn(&Cause) -> Touch>, Touch);

    fn touched(harness: &Harness, near: &Near, question: &Question) -> Option<Asked> {
        let aimed = |element: &Element| {
            let aim = Aim::at(harness, *element);
            (near.element(&aim), aim)
        };
        Some(match question {
            Question::Look(element) => {
                let (causes, aim) = aimed(element);
                // A look cures nothing: what it shows stands in for it.
                let seen = |cured| Touch {
                    cured,
                    ..Touch::NOTHING
                };
                let stray = seen(touch::stray(&aim));
                (causes, Box::new(move |c| seen(touch::look(&aim, c))), stray)
            }
            Question::Stress(element, _) => {
                let (causes, aim) = aimed(element);
                let stress = move |cause: &Cause| touch::stress(&aim, cause);
                (causes, Box::new(stress), Touch::STRESS_ELSEWHERE)
            }
            Question::Clean(element) => {
                let (causes, aim) = aimed(element);
                let clean = move |cause: &Cause| touch::clean(&aim, cause);
                (causes, Box::new(clean), Touch::NOTHING)
            }
            Question::Remake(element) => {
                let (causes, aim) = aimed(element);
                let remake = move |cause: &Cause| touch::remake(&aim, cause);
                (causes, Box::new(remake), Touch::NOTHING)
            }
            Question::Substitute(part, with) => {
                let (part, with) = (*part, *with);
                let substitute = move |cause: &Cause| touch::substitute(part, with, cause);
                (near.part(part), Box::new(substitute), Touch::NOTHING)
            }
            Question::Swap(pair) => {
                let pair = *pair;
                let swap = move |cause: &Cause| touch::swap(pair, cause);
                (near.swap(pair), Box::new(swap), Touch::NOTHING)
            }
            Question::Contribution(_)
            | Question::Spark(_)
            | Question::Volts(_)
            | Question::Resistance(_)
            | Question::Drop(_)
            | Question::Lamp(_)
            | Question::Code(_)
            | Question::AnyCode
            | Question::Compression(_) => return None,
        })
    }

    /// Oracle: every act asked of every cause.
    #[test]
    fn no_act_reaches_beyond_what_is_near_it() {
        for sample in SAMPLES {
            let harness = file::read(sample).unwrap_or_else(|why| panic!("{why}"));
            let case = Case::of(&harness).unwrap_or_else(|why| panic!("{why}"));
            // Every act of the catalogue, and those that only a finding asks for.
            let looks = harness.elements().into_iter().flat_map(|element| {
                [
                    Question::Look(element),
                    Question::Clean(element),
                    Question::Remake(element),
                    Question::Stress(element, crate::model::StressKind::Heated),
                ]
            });
            let parts = harness.parts.keys();
            let new = parts.map(|part| Question::Substitute(*part, Substitute::New));
            let acts = case.catalogue().acts.iter();
            let acts = acts.map(|act: &Act| act.question.clone());
            let mut reached = 0;
            for question in acts.chain(looks).chain(new) {
                let Some((near, touch, elsewhere)) = touched(&harness, &case.near, &question)
                else {
                    continue;
                };
                assert!(near.is_sorted_by(|a, b| a < b), "{question:?}");
                for (number, cause) in case.causes().iter().enumerate() {
                    let there = touch(cause);
                    if there != elsewhere {
                        reached += 1;
                        assert!(
                            near.binary_search(&number).is_ok(),
                            "{question:?} {cause:?}"
                        );
                    }
                }
            }
            assert!(reached > 100, "{}: {reached}", harness.title);
        }
    }
}
