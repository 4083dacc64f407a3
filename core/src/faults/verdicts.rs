//! Gathers the verdicts of one fault: every cylinder once, the gravest word counts.

use super::effect::{Besides, Effect, Reason, Verdict};
use super::{Fault, Mode, ModeKind};
use crate::engine::CylinderId;
use crate::gather::Arrange;
use crate::model::{DriverPiece, Element, PartId, Spark};
use crate::topology::{Missing, NeedKind, NeedState, Separation, Topology};

/// How a cylinder fares, from best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Fares {
    Live,
    Doubtful,
    Dead,
}

/// How a cylinder fares, its spark, and why.
type Word = (Fares, Option<Spark>, Reason);

/// The verdicts so far.
pub(super) struct Verdicts<'a> {
    topology: &'a Topology,
    fault: Fault,
    /// By cylinder, rising.
    found: Vec<(CylinderId, Word)>,
    besides: Vec<Besides>,
}

impl<'a> Verdicts<'a> {
    pub(super) fn new(topology: &'a Topology, fault: Fault) -> Self {
        let apart = (Fares::Live, Some(Spark::Yes), Reason::Apart);
        Self {
            topology,
            fault,
            found: topology
                .cylinders()
                .keys()
                .map(|&cylinder| (cylinder, apart))
                .collect(),
            besides: Vec::new(),
        }
    }

    fn place(&self, cylinder: CylinderId) -> Option<usize> {
        self.found.binary_search_by_key(&cylinder, |(c, _)| *c).ok()
    }

    /// Says a word about a cylinder. A word that is not graver than an earlier one is not heard,
    /// except that any reason is better than none.
    pub(super) fn say(
        &mut self,
        cylinder: CylinderId,
        fares: Fares,
        spark: Option<Spark>,
        reason: Reason,
    ) {
        let place = self.place(cylinder);
        if let Some((_, verdict)) = place.and_then(|place| self.found.get_mut(place))
            && (fares > verdict.0 || verdict.2 == Reason::Apart)
        {
            *verdict = (fares, spark, reason);
        }
    }

    pub(super) fn dead(&mut self, cylinder: CylinderId, reason: Reason) {
        self.say(cylinder, Fares::Dead, Some(Spark::No), reason);
    }

    pub(super) fn doubtful(&mut self, cylinder: CylinderId, reason: Reason) {
        self.say(cylinder, Fares::Doubtful, None, reason);
    }

    pub(super) fn live(&mut self, cylinder: CylinderId, reason: Reason) {
        self.say(cylinder, Fares::Live, Some(Spark::Yes), reason);
    }

    pub(super) fn besides(&mut self, what: Besides) {
        if !self.besides.contains(&what) {
            self.besides.push(what);
        }
    }

    /// What a separation takes, with one reason for all dead cylinders or the connection each loses.
    pub(super) fn separated(&mut self, separation: &Separation, because: Option<Reason>) {
        for (&cylinder, loss) in &separation.losses {
            if let Some(&first) = loss.spark.first() {
                let reason = because.unwrap_or_else(|| self.loss(&loss.spark, first, separation));
                self.dead(cylinder, reason);
                continue;
            }
            if let Some(&first) = loss.fuel.first() {
                let reason = because.unwrap_or(Reason::Starved(first));
                self.say(cylinder, Fares::Dead, Some(Spark::Yes), reason);
            }
            if let Some(&first) = loss.doubt.first() {
                let reason = if first == NeedKind::EngineGround {
                    Reason::EngineGroundLost
                } else if let NeedKind::Return(_) = first {
                    Reason::LoopOpen(first)
                } else if let NeedKind::Side(tower, plug) = first
                    && self.is_other_side(cylinder, plug)
                {
                    self.besides(Besides::InsulationStressed(tower.part));
                    Reason::LoopOpen(first)
                } else {
                    because.unwrap_or(Reason::OneOfTwoPlugs(first))
                };
                self.doubtful(cylinder, reason);
            }
        }
        for &relay in &separation.relays {
            self.besides(Besides::RelayDrops(relay));
        }
    }

    /// Resistance in a connection: what would be dead without it is weakened.
    pub(super) fn weakened(&mut self, separation: &Separation) {
        for (&cylinder, loss) in &separation.losses {
            if let Some(&first) = loss.spark.first() {
                let reason = Reason::Weakened(self.weak_need(&loss.spark, first));
                self.doubtful(cylinder, reason);
            } else if let Some(&first) = loss.fuel.first() {
                let reason = Reason::Weakened(self.weak_need(&loss.fuel, first));
                self.say(cylinder, Fares::Doubtful, Some(Spark::Yes), reason);
            } else if let Some(&first) = loss.doubt.first() {
                if let NeedKind::Side(_, plug) = first
                    && self.is_other_side(cylinder, plug)
                {
                    self.live(cylinder, Reason::OtherPlugSuffers(plug));
                } else if matches!(first, NeedKind::EngineGround | NeedKind::Return(_)) {
                    self.live(cylinder, Reason::OtherWay);
                } else {
                    self.doubtful(cylinder, Reason::Weakened(first));
                }
            }
        }
    }

    /// Of the needs that would be lost, the one that leads over the fault's element; else the one of a
    /// relay's winding or a unit that does.
    fn weak_need(&self, lost: &[NeedKind], first: NeedKind) -> NeedKind {
        let direct = lost.iter().copied().find(|&kind| self.leads_over(kind));
        direct.unwrap_or_else(|| {
            self.topology
                .needs_through(self.fault.element)
                .iter()
                .find_map(|&need| self.topology.needs().get(need))
                .map_or(first, |need| need.kind)
        })
    }

    /// Whether a plug is not the cylinder's own.
    fn is_other_side(&self, cylinder: CylinderId, plug: PartId) -> bool {
        self.topology
            .cylinders()
            .get(&cylinder)
            .is_some_and(|needs| needs.chains.iter().all(|chain| chain.plug != plug))
    }

    /// Whether the fault's element lies on the way of a need of this kind.
    fn leads_over(&self, kind: NeedKind) -> bool {
        self.topology
            .needs_through(self.fault.element)
            .iter()
            .filter_map(|&need| self.topology.needs().get(need))
            .any(|need| need.kind == kind)
    }

    /// Of the connections lost, the one that leads over what failed; else the relay that dropped.
    fn loss(&self, lost: &[NeedKind], first: NeedKind, separation: &Separation) -> Reason {
        let direct = lost.iter().copied().find(|&kind| self.leads_over(kind));
        match (direct, separation.relays.first()) {
            (Some(kind), _) => Reason::Lost(kind),
            (None, Some(&relay)) => Reason::RelayDrops(relay),
            (None, None) => Reason::Lost(first),
        }
    }

    /// The elements that a fault concerns: its own and its partner.
    fn concerned(&self) -> impl Iterator<Item = Element> + use<> {
        let element = self.fault.element;
        let (first, second) = if let Mode::ToNeighbour(other, _) = self.fault.mode {
            (element, Some(other))
        } else if let Mode::CrossedWith(lead) = self.fault.mode {
            (element, Some(Element::LeadConductor(lead)))
        } else if let Mode::SilentFor(driver) = self.fault.mode {
            // Of the logic only what is behind one driver.
            (Element::Driver(driver, DriverPiece::Switch), None)
        } else {
            (element, None)
        };
        std::iter::once(first).chain(second)
    }

    /// Cylinders with an opened element on their way, of which nothing was said, have another way; and of
    /// cylinders whose map is unfinished it may be unknown.
    pub(super) fn finish(mut self) -> Effect {
        let element = self.fault.element;
        if matches!(self.fault.mode, Mode::Open | Mode::HighResistance(_)) {
            let (spark, fuel) = self.topology.users(element);
            for &cylinder in spark.union(&fuel) {
                self.live(cylinder, Reason::OtherWay);
            }
        }
        let unfinished: Vec<(CylinderId, Missing)> = self
            .topology
            .cylinders()
            .iter()
            .filter_map(|(&cylinder, needs)| Some((cylinder, *needs.missing.first()?)))
            .collect();
        for (cylinder, missing) in unfinished {
            if self
                .concerned()
                .any(|element| might_matter(self.topology, element, cylinder))
                && self
                    .place(cylinder)
                    .is_some_and(|place| self.found[place].1.2 == Reason::Apart)
            {
                self.doubtful(cylinder, Reason::Unfinished(missing));
            }
        }
        let mut effect = Effect {
            fault: self.fault,
            dead: Vec::new(),
            doubtful: Vec::new(),
            live: Vec::new(),
            besides: self.besides,
        };
        effect.besides.arrange();
        for (cylinder, (fares, spark, reason)) in self.found {
            let list = match fares {
                Fares::Dead => &mut effect.dead,
                Fares::Doubtful => &mut effect.doubtful,
                Fares::Live => &mut effect.live,
            };
            list.push(Verdict {
                cylinder,
                spark,
                reason,
            });
        }
        effect
    }
}

/// Whether a cylinder could depend on an element in a way that the unfinished map does not show: the
/// element is nobody's, or it carries what this cylinder is not shown to get.
fn might_matter(topology: &Topology, element: Element, cylinder: CylinderId) -> bool {
    if let Element::Cylinder(_) = element {
        return false;
    }
    let needs_of = topology.needs_through(element);
    if needs_of.is_empty() {
        // A driver or trace that leads nowhere yet conducts nothing, but may turn out to be the one.
        return !topology.branches_of(element).is_empty()
            || matches!(element, Element::Driver(..) | Element::Trace(..));
    }
    let Some(needs) = topology.cylinders().get(&cylinder) else {
        return false;
    };
    let lacks = |wanted: fn(NeedKind) -> bool| {
        needs.chains.is_empty()
            || needs.chains.iter().any(|chain| {
                let mut of_kind = chain
                    .needs
                    .iter()
                    .filter_map(|&need| topology.needs().get(need))
                    .filter(|need| wanted(need.kind))
                    .peekable();
                of_kind.peek().is_none() || of_kind.any(|need| need.state != NeedState::Shown)
            })
    };
    needs_of
        .iter()
        .filter_map(|&need| topology.needs().get(need))
        .any(|need| match need.kind {
            NeedKind::Battery(_)
            | NeedKind::Feed(_)
            | NeedKind::WindingFeed(_)
            | NeedKind::Winding(_)
            | NeedKind::WindingReturn(_) => lacks(|kind| matches!(kind, NeedKind::Feed(_))),
            NeedKind::UnitSupply(_) => lacks(|kind| matches!(kind, NeedKind::UnitSupply(_))),
            NeedKind::UnitGround(_) => lacks(|kind| matches!(kind, NeedKind::UnitGround(_))),
            NeedKind::DriverGround(_) => {
                !matches!(element, Element::Driver(..))
                    && lacks(|kind| matches!(kind, NeedKind::DriverGround(_)))
            }
            NeedKind::Drive(_) => {
                matches!(element, Element::Logic(_) | Element::CrankSignal(_))
                    && lacks(|kind| matches!(kind, NeedKind::Drive(_)))
            }
            NeedKind::Primary(_)
            | NeedKind::Control(..)
            | NeedKind::ControlToUnknown(_)
            | NeedKind::Switch(_)
            | NeedKind::Secondary(_)
            | NeedKind::Side(..)
            | NeedKind::SideToUnknown(_)
            | NeedKind::Return(_)
            | NeedKind::EngineGround
            | NeedKind::InjectorFeed(_)
            | NeedKind::InjectorWinding(_)
            | NeedKind::InjectorControl(_) => false,
        })
}

/// The kind of a fault's mode, for reasons that name it.
pub(super) const fn kind_of(fault: Fault) -> ModeKind {
    fault.mode.kind()
}
