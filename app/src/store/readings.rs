//! The meter: where its leads are, how the car stands, and what it should then read.

use std::collections::BTreeMap;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::electrics::{
    Alteration, Assumptions, Circuit, Potential, Reading, ReadingError, Solution, Step,
};
use sparktrail_core::faults::{Fault, alteration, usual_black};
use sparktrail_core::model::{
    BatteryLink, Element, EngineState, Harness, Key, PartId, Port, Setup, Terminal, WireEnd,
};
use sparktrail_core::said::said_in;
use sparktrail_core::topology::{Node, Pick};

use super::Session;

/// One of the meter's two leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LeadColour {
    /// The red lead, at the meter's volt socket.
    Red,
    /// The black lead, at its common socket.
    Black,
}

impl LeadColour {
    /// Both, in the order in which they are put down.
    pub const BOTH: [Self; 2] = [Self::Red, Self::Black];

    /// A word for attributes.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Red => "red",
            Self::Black => "black",
        }
    }

    /// The letter that stands on it wherever it is drawn.
    #[must_use]
    pub fn letter(self) -> &'static str {
        match self {
            Self::Red => said_in("lead", "R"),
            Self::Black => said_in("lead", "B"),
        }
    }
}

/// Whether the map is coloured by voltage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Picture {
    /// Wires have their own colours.
    #[default]
    Hidden,
    /// Wires have the colour of their voltage, with the number on them.
    Shown,
}

/// The meter's signals and what follows from them.
#[derive(Debug, Clone, Copy)]
pub struct Meter {
    red: RwSignal<Option<Terminal>>,
    black: RwSignal<Option<Terminal>>,
    /// The lead that the next tap on the map puts down.
    pub in_hand: RwSignal<Option<LeadColour>>,
    /// The terminals of the part that was tapped, where it has several.
    pub offered: RwSignal<Vec<Terminal>>,
    /// How the car stands.
    pub setup: RwSignal<Setup>,
    /// Whether the map is coloured by voltage.
    pub picture: RwSignal<Picture>,
    /// Where the red lead is.
    pub at_red: Memo<Option<Terminal>>,
    /// Where the black lead is; the engine's metal while it was never moved.
    pub at_black: Memo<Option<Terminal>>,
    /// The circuit of the harness; it is always there.
    pub circuit: Memo<Option<Arc<Circuit>>>,
    /// The healthy circuit in the setup, solved.
    pub healthy: Memo<Option<Arc<Solution>>>,
    /// The same with what is broken for the sake of trying.
    pub faulty: Memo<Option<Arc<Solution>>>,
    /// What the meter should read; `None` while a lead has no place.
    pub reading: Memo<Option<Result<Reading, ReadingError>>>,
    /// What it would read with what is broken for the sake of trying.
    pub faulty_reading: Memo<Option<Result<Reading, ReadingError>>>,
    /// Where every terminal stands, with what is broken for the sake of trying if anything is.
    pub potentials: Memo<Option<Arc<BTreeMap<Terminal, Potential>>>>,
    /// The highest of them, V.
    pub most_volts: Memo<f64>,
}

impl Meter {
    pub(super) fn new(harness: Memo<Arc<Harness>>, session: Session) -> Self {
        let (red, black) = (RwSignal::new(None), RwSignal::new(None));
        let setup = RwSignal::new(Setup::key_on());
        let at = move |lead: RwSignal<Option<Terminal>>| {
            let terminal = lead.get()?;
            harness.with(|harness| harness.has_terminal(terminal).then_some(terminal))
        };
        let at_red = Memo::new(move |_| at(red));
        let at_black =
            Memo::new(move |_| at(black).or_else(|| harness.with(|harness| usual_black(harness))));
        let circuit = Memo::new_with_compare(
            move |_| {
                let circuit =
                    |harness: &Arc<Harness>| Circuit::of(harness, &Assumptions::default());
                Some(Arc::new(harness.with(circuit)))
            },
            |_, _| true,
        );
        let solved = move |fault| {
            let circuit = circuit.get()?;
            let solution = |harness: &Arc<Harness>| {
                setup.with(|setup| solution(harness, &circuit, setup, fault))
            };
            Some(Arc::new(harness.with(solution)))
        };
        let healthy = Memo::new_with_compare(move |_| solved(None), |_, _| true);
        let faulty =
            Memo::new_with_compare(move |_| solved(Some(session.broken.get()?)), |_, _| true);
        let potentials = Memo::new_with_compare(
            move |_| {
                let solution = faulty.get().or_else(|| healthy.get())?;
                Some(Arc::new(solution.picture()))
            },
            |_, _| true,
        );
        let leads = move || at_red.get().zip(at_black.get());
        Self {
            red,
            black,
            in_hand: RwSignal::new(None),
            offered: RwSignal::new(Vec::new()),
            setup,
            picture: RwSignal::new(Picture::Hidden),
            at_red,
            at_black,
            circuit,
            healthy,
            faulty,
            reading: Memo::new(move |_| {
                let (red, black) = leads()?;
                healthy.with(|solution| Some(solution.as_ref()?.reading(red, black)))
            }),
            faulty_reading: Memo::new(move |_| {
                let (red, black) = leads()?;
                faulty.with(|solution| Some(solution.as_ref()?.reading(red, black)))
            }),
            potentials,
            most_volts: Memo::new(move |_| {
                potentials.with(|all| {
                    all.iter()
                        .flat_map(|all| all.values())
                        .fold(1.0, |most: f64, potential| match potential {
                            Potential::At(volts) => most.max(volts.get()),
                            Potential::Floats => most,
                        })
                })
            }),
        }
    }

    /// Forgets all that belongs to one document.
    pub(super) fn clear(self) {
        self.red.set(None);
        self.black.set(None);
        self.in_hand.set(None);
        self.offered.set(Vec::new());
        self.setup.set(Setup::key_on());
        self.picture.set(Picture::Hidden);
    }

    /// Where a lead is. Tracked.
    #[must_use]
    pub fn at(self, lead: LeadColour) -> Option<Terminal> {
        match lead {
            LeadColour::Red => self.at_red.get(),
            LeadColour::Black => self.at_black.get(),
        }
    }

    /// Puts a lead down.
    pub fn put(self, lead: LeadColour, at: Terminal) {
        match lead {
            LeadColour::Red => self.red.set(Some(at)),
            LeadColour::Black => self.black.set(Some(at)),
        }
        self.offered.set(Vec::new());
        self.in_hand.set(None);
    }

    /// Takes a lead in hand, or lays it back.
    pub fn take(self, lead: LeadColour) {
        self.offered.set(Vec::new());
        self.in_hand
            .update(|held| *held = (*held != Some(lead)).then_some(lead));
    }

    /// Touches something on the map with the lead in hand: puts it down where there is one terminal,
    /// offers them where there are several. Says how many there are.
    pub fn touch(self, harness: &Harness, pick: Pick) -> usize {
        let found = terminals_at(harness, pick);
        match (found.as_slice(), self.in_hand.get_untracked()) {
            ([only], Some(lead)) => self.put(lead, *only),
            ([], _) | (_, None) => {}
            (several, Some(_)) => self.offered.set(several.to_vec()),
        }
        found.len()
    }

    /// Lets the car stand otherwise; what cannot be together gives way to what was asked for last.
    pub fn stand(self, change: impl FnOnce(&mut Setup)) {
        self.setup.update(|setup| {
            let before = setup.clone();
            change(setup);
            if setup.engine != before.engine && setup.engine != EngineState::Stopped {
                setup.key = Key::On;
                setup.battery = BatteryLink::Connected;
            } else if setup.key == Key::Off || setup.battery == BatteryLink::Disconnected {
                setup.engine = EngineState::Stopped;
            }
        });
    }

    /// What lies between the leads, as places on the map. Tracked.
    #[must_use]
    pub fn way(self, harness: &Harness) -> Option<Vec<Pick>> {
        let (red, black) = self.at_red.get().zip(self.at_black.get())?;
        self.reading.with(|reading| {
            let mut picks = vec![Pick::Terminal(red), Pick::Terminal(black)];
            picks.extend([red, black].map(|terminal| Pick::Part(terminal.part)));
            for step in &reading.as_ref()?.as_ref().ok()?.path {
                picks.extend(places_of(harness, step));
            }
            Some(picks)
        })
    }
}

/// The circuit in a setup, with a fault or none.
fn solution(
    harness: &Harness,
    circuit: &Arc<Circuit>,
    setup: &Setup,
    fault: Option<Fault>,
) -> Solution {
    let change = fault.map_or_else(Alteration::default, |fault| {
        alteration(harness, circuit, fault)
    });
    Solution::of(circuit, setup, &change)
}

/// The terminals that a tap on `pick` may mean.
fn terminals_at(harness: &Harness, pick: Pick) -> Vec<Terminal> {
    let part = |part: Option<PartId>| part.map_or_else(Vec::new, |part| harness.terminals_of(part));
    match pick {
        Pick::Terminal(terminal) => vec![terminal],
        Pick::Part(id) => part(Some(id)),
        Pick::Wire(id) => WireEnd::BOTH
            .into_iter()
            .filter_map(|end| Some(harness.wires.get(&id)?.end(end)?.value))
            .collect(),
        Pick::Element(Element::Mated(terminal)) => vec![terminal],
        Pick::Element(element) => part(harness.part_of(element)),
        Pick::Driver(id) => {
            let host = harness.host_of(id);
            let output = harness.driver(id).and_then(|driver| driver.output);
            match (host, output) {
                (Some(part), Some(pin)) => vec![Terminal {
                    part,
                    port: Port::Pin(pin.value),
                }],
                (host, _) => part(host),
            }
        }
        Pick::Cylinder(cylinder) => harness
            .parts
            .keys()
            .filter(|&&id| {
                let plug = harness.plug(id);
                plug.and_then(|plug| plug.cylinder)
                    .is_some_and(|of| of.value == cylinder)
            })
            .flat_map(|&id| harness.terminals_of(id))
            .collect(),
    }
}

/// Where one step of a path is on the map.
fn places_of(harness: &Harness, step: &Step) -> Vec<Pick> {
    let mut picks = Vec::new();
    if let Some(element) = step.element {
        picks.push(Pick::Element(element));
        picks.extend(harness.part_of(element).map(Pick::Part));
        if let Element::Wire(wire) | Element::Joint(wire, _) = element {
            picks.push(Pick::Wire(wire));
        } else if let Element::Driver(driver, _) = element {
            picks.push(Pick::Driver(driver));
        }
    }
    for node in [step.from, step.to] {
        if let Node::At(terminal) | Node::Behind(terminal) = node {
            picks.push(Pick::Terminal(terminal));
            if matches!(terminal.port, Port::Joint) {
                picks.push(Pick::Part(terminal.part));
            }
        }
    }
    picks
}
