//! The graph of a harness: what conducts where, trails, shared paths, what a cut separates.

mod code;
mod crew;
mod derive;
mod need;
mod network;
mod separation;
mod sharing;
mod trail;
mod way;
mod wiring;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{Element, Harness, PartId};

pub use need::{Chain, CylinderNeeds, Missing, Need, NeedKind, NeedState, Through};
pub use network::{Branch, BranchKind, Network, Node};
pub use separation::{Loss, Separation};
pub use sharing::{Group, SharedBy};
pub use trail::{Lit, Pick, Trail};
pub use way::{Passed, Stretch, thing_of};

use crew::Crew;
use derive::derive;
use wiring::{BranchSet, Route, Way, Wiring};

/// The graph of one harness: built once from it, and built anew after an edit.
#[derive(Debug, Clone)]
pub struct Topology {
    network: Network,
    needs: Vec<Need>,
    cylinders: BTreeMap<CylinderId, CylinderNeeds>,
    wiring: Wiring,
    paths: Vec<Paths>,
    relays: BTreeMap<PartId, Vec<usize>>,
    units: BTreeMap<PartId, Vec<usize>>,
    branches_of: BTreeMap<Element, Vec<usize>>,
    elements: Vec<Element>,
    /// The cylinders that each element alone, open, leaves without a spark; found when first asked for.
    dependents: OnceLock<BTreeMap<Element, Crew>>,
    /// The cylinders whose trails each element is part of.
    users: BTreeMap<Element, Users>,
    /// The needs on whose paths each element lies.
    through: BTreeMap<Element, Vec<usize>>,
    /// The needs on whose paths each branch lies.
    over: Vec<Vec<usize>>,
    plus: Vec<usize>,
    groups: Vec<Group>,
}

/// The paths of one need through the healthy network.
#[derive(Debug, Clone, Default)]
struct Paths {
    from: Vec<usize>,
    to: Vec<usize>,
    /// Branches that all paths share, in order from the start.
    needed: Vec<usize>,
    /// Branches on any path.
    on: BranchSet,
    /// The elements that stand in them.
    elements: Vec<Element>,
}

/// The cylinders whose trails an element is part of.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Users {
    spark: Crew,
    fuel: Crew,
}

impl Topology {
    /// The graph of a harness. An unfinished map gives needs whose state is [`NeedState::Unknown`].
    #[must_use]
    pub fn of(harness: &Harness) -> Self {
        let network = Network::of(harness);
        let wiring = Wiring::of(&network);
        let derived = derive(harness, &network, &wiring);
        let paths: Vec<Paths> = derived
            .needs
            .iter()
            .map(|need| Paths::of(need, &wiring))
            .collect();
        let mut branches_of: BTreeMap<Element, Vec<usize>> = BTreeMap::new();
        for (index, branch) in network.branches.iter().enumerate() {
            if let Some(element) = branch.element {
                branches_of.entry(element).or_default().push(index);
            }
        }
        let mut through: BTreeMap<Element, Vec<usize>> = BTreeMap::new();
        let mut over = vec![Vec::new(); network.branches.len()];
        for (need, paths) in paths.iter().enumerate() {
            for branch in paths.on.iter() {
                if let Some(needs) = over.get_mut(branch) {
                    needs.push(need);
                }
            }
            for &element in &paths.elements {
                let needs = through.entry(element).or_default();
                if needs.last() != Some(&need) {
                    needs.push(need);
                }
            }
        }
        let plus = wiring.indices(&derived.plus);
        let mut topology = Self {
            through,
            over,
            plus,
            network,
            needs: derived.needs,
            cylinders: derived.cylinders,
            wiring,
            paths,
            relays: derived.relays,
            units: derived.units,
            branches_of,
            elements: harness.elements(),
            dependents: OnceLock::new(),
            users: BTreeMap::new(),
            groups: Vec::new(),
        };
        topology.users = topology.find_users();
        topology.groups = topology.find_groups(harness);
        topology
    }

    /// The nodes and branches.
    #[must_use]
    pub const fn network(&self) -> &Network {
        &self.network
    }

    /// Every element of the harness, rising.
    #[must_use]
    pub fn elements(&self) -> &[Element] {
        &self.elements
    }

    /// All connections that anything needs, each once.
    #[must_use]
    pub fn needs(&self) -> &[Need] {
        &self.needs
    }

    /// What each cylinder of the engine needs.
    #[must_use]
    pub const fn cylinders(&self) -> &BTreeMap<CylinderId, CylinderNeeds> {
        &self.cylinders
    }

    /// The needs of a relay's winding: feed, winding, return; a relay drops when one is lost.
    pub fn winding_needs(&self) -> impl Iterator<Item = (PartId, &[usize])> {
        self.relays
            .iter()
            .map(|(&relay, needs)| (relay, needs.as_slice()))
    }

    /// The needs of each unit's own supply and ground.
    pub fn unit_needs(&self) -> impl Iterator<Item = (PartId, &[usize])> {
        self.units
            .iter()
            .map(|(&unit, needs)| (unit, needs.as_slice()))
    }

    /// The elements that every path of a need goes through, from its start on: its cut edges. Of a
    /// need that the map does not show whole, those next to its known ends.
    pub fn needed_by(&self, need: usize) -> impl Iterator<Item = Element> + '_ {
        self.branches_needed_by(need)
            .iter()
            .filter_map(|&branch| self.wiring.branch(branch)?.element)
    }

    /// The branches of the network, by index, in which these elements stand, and those between them
    /// that cannot fail.
    #[must_use]
    pub fn branches_needed_by(&self, need: usize) -> &[usize] {
        self.paths.get(need).map_or(&[], |paths| &paths.needed)
    }

    /// The elements on any path of a need.
    #[must_use]
    pub fn on_path_of(&self, need: usize) -> BTreeSet<Element> {
        self.paths
            .get(need)
            .into_iter()
            .flat_map(|paths| paths.elements.iter().copied())
            .gather()
    }

    /// The needs on any of whose paths an element lies, by their index.
    #[must_use]
    pub fn needs_through(&self, element: Element) -> &[usize] {
        self.through.get(&element).map_or(&[], Vec::as_slice)
    }

    /// The cylinders on whose trails an element lies, for their spark and for their fuel.
    #[must_use]
    pub fn users(&self, element: Element) -> (BTreeSet<CylinderId>, BTreeSet<CylinderId>) {
        let users = self.users.get(&element).copied().unwrap_or_default();
        (users.spark.into(), users.fuel.into())
    }

    /// The elements between battery plus and an element: those that every path goes through, from the
    /// battery on, and those on any path. Empty where no path through conductors and contacts leads there.
    #[must_use]
    pub fn supply_to(&self, element: Element) -> (Vec<Element>, BTreeSet<Element>) {
        let to: Vec<usize> = self
            .branches_of(element)
            .iter()
            .filter_map(|&branch| self.wiring.branch(branch))
            .filter_map(|branch| self.wiring.index(branch.a))
            .collect();
        let stands_at = |branch: usize| self.wiring.branch(branch)?.element;
        self.wiring
            .paths(Route {
                from: &self.plus,
                to: &to,
                through: Through::Power(None),
            })
            .map(|(needed, on)| {
                (
                    needed.into_iter().filter_map(stands_at).collect(),
                    on.iter().filter_map(stands_at).gather(),
                )
            })
            .unwrap_or_default()
    }

    /// The cylinders that lose their spark when this element alone is open.
    #[must_use]
    pub fn dependents(&self, element: Element) -> BTreeSet<CylinderId> {
        self.all_dependents()
            .get(&element)
            .copied()
            .unwrap_or_default()
            .into()
    }

    fn all_dependents(&self) -> &BTreeMap<Element, Crew> {
        self.dependents.get_or_init(|| {
            self.elements
                .iter()
                .map(|&element| (element, self.separates(&[element]).dead_crew()))
                .gather()
        })
    }

    /// The elements that each alone, open, take this cylinder's spark.
    pub fn cuts(&self, cylinder: CylinderId) -> impl Iterator<Item = Element> + '_ {
        let only: Crew = [cylinder].into_iter().collect();
        self.all_dependents()
            .iter()
            .filter(move |(_, cylinders)| only.within(**cylinders))
            .map(|(&element, _)| element)
    }

    /// Cylinders that share a driver, a coil, a feed, a ground, a connector and so on.
    #[must_use]
    pub fn sharing(&self) -> &[Group] {
        &self.groups
    }

    /// The branches that conduct no more when an element is open. What lies beside a conductor, such
    /// as insulation, has none.
    #[must_use]
    pub fn branches_of(&self, element: Element) -> &[usize] {
        self.branches_of.get(&element).map_or(&[], Vec::as_slice)
    }
}

impl Paths {
    fn of(need: &Need, wiring: &Wiring) -> Self {
        let (from, to) = (wiring.indices(&need.from), wiring.indices(&need.to));
        let route = Route {
            from: &from,
            to: &to,
            through: need.through,
        };
        let (needed, on) = match need.state {
            NeedState::Shown => wiring.paths(route).unwrap_or_default(),
            NeedState::Unknown(_) => {
                let mut stub = Vec::new();
                if let [only] = from.as_slice() {
                    stub.extend(wiring.only_way(*only, need.through, Way::On));
                }
                if let [only] = to.as_slice() {
                    let mut back = wiring.only_way(*only, need.through, Way::Back);
                    back.reverse();
                    stub.extend(back);
                }
                (stub.clone(), BranchSet::of(stub))
            }
        };
        let elements = on
            .iter()
            .filter_map(|branch| wiring.branch(branch)?.element)
            .collect();
        Self {
            from,
            to,
            needed,
            on,
            elements,
        }
    }
}
