//! Why a command could not be carried out, with the place and the mend.

use super::{FactAt, nominal};
use crate::engine::CylinderId;
use crate::model::file::limits::{MOST_ITEMS, MOST_NAME, MOST_NUMBER, MOST_PROSE};
use crate::model::{
    CavityId, DriverId, FindingId, Harness, Hold, PartId, PinId, Quantity, Terminal, WireId,
};
use crate::said::{said, say};

/// Why a command could not be carried out; the harness is then as it was.
///
/// [`EditError::told`] says it with the owner's names for things.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The command names a part that the harness does not have.
    #[error("the harness has no part {0}; choose one that is on the map")]
    NoPart(PartId),
    /// The command names a wire that the harness does not have.
    #[error("the harness has no wire {0}; choose one that is on the map")]
    NoWire(WireId),
    /// The command names a driver that the harness does not have.
    #[error("the harness has no driver {0}; choose one that is on the map")]
    NoDriver(DriverId),
    /// The command names a pin that the box does not have.
    #[error("part {0} has no pin {1}; add the pin first")]
    NoPin(PartId, PinId),
    /// The command names a cavity that the connector does not have.
    #[error("part {0} has no cavity {1}; add the cavity first")]
    NoCavity(PartId, CavityId),
    /// The command names a terminal that the harness does not have.
    #[error("there is no such terminal: {0:?}; choose one that is on the map")]
    NoTerminal(Terminal),
    /// The command names a fact that the harness does not have, or that has no value yet.
    #[error("the harness has no such fact: {0:?}")]
    NoFact(FactAt),
    /// Nobody said so of the fact.
    #[error("nothing else is said of {0:?}; the clash is settled already")]
    NoRival(FactAt),
    /// The command names a finding that the harness does not have.
    #[error("the harness has no finding {0}")]
    NoFinding(FindingId),
    /// The command names a cylinder that the engine does not have.
    #[error("the engine has no cylinder {0}; take one that it has, or change the engine first")]
    NoCylinder(CylinderId),
    /// The number is far outside what such a thing can have.
    #[error("it must lie {}", span(*.0))]
    OutOfRange(Quantity),
    /// Another kind of value than stands at the fact.
    #[error("such a value cannot stand at {0:?}")]
    WrongValue(FactAt),
    /// A wire cannot go to a tower, a plug or a lead.
    #[error("no wire ends at {0:?}; a lead joins a tower to a plug")]
    TakesNoWire(Terminal),
    /// Not where such a thing can end.
    #[error(
        "{at:?} cannot end at {terminal:?}: a lead goes from a tower to a plug or to a distributor's centre, a driver uses pins of its own box"
    )]
    DoesNotFit {
        /// What should end there.
        at: FactAt,
        /// Where.
        terminal: Terminal,
    },
    /// Both ends at one terminal.
    #[error("both ends are at {0:?}; choose another terminal for one of them")]
    ToItself(Terminal),
    /// A wire's end on the wire itself.
    #[error("the end of wire {0} cannot be joined to the same wire; choose another one")]
    OntoItself(WireId),
    /// The part is of a kind that cannot be changed in this way.
    #[error("part {0} is of a kind that cannot be changed in this way")]
    OtherKind(PartId),
    /// A coil of that shape does not feed so many cylinders.
    #[error(
        "coil {coil} has towers for {towers} cylinders, not for {cylinders}; choose as many cylinders as towers, or another kind of coil"
    )]
    Towers {
        /// The coil.
        coil: PartId,
        /// Its towers.
        towers: usize,
        /// Cylinders asked for.
        cylinders: usize,
    },
    /// A list of labels that is longer than the list of pins or cavities.
    #[error(
        "{labels} labels for the {places} pins or cavities of part {part}; give at most one each"
    )]
    MoreLabels {
        /// The part.
        part: PartId,
        /// Labels given.
        labels: usize,
        /// Pins or cavities.
        places: usize,
    },
    /// A name that is too long.
    #[error(
        "the name of {of:?} has {characters} characters, and {MOST_NAME} is the most; shorten it"
    )]
    NameTooLong {
        /// Whose name.
        of: Named,
        /// Characters that it has.
        characters: usize,
    },
    /// A label that is too long.
    #[error(
        "the label at {at:?} has {characters} characters, and {MOST_NAME} is the most; shorten it"
    )]
    LabelTooLong {
        /// Whose label.
        at: FactAt,
        /// Characters that it has.
        characters: usize,
    },
    /// A note that is too long.
    #[error(
        "the note on {of:?} has {characters} characters, and {MOST_PROSE} is the most; shorten it"
    )]
    NoteTooLong {
        /// Whose note.
        of: Named,
        /// Characters that it has.
        characters: usize,
    },
    /// More of something than a file holds.
    #[error("a map holds at most {MOST_ITEMS} {0}; take some away first")]
    TooMany(Plenty),
    /// A place on the map that is no number, or too far out.
    #[error("part {0} cannot be put there: a place must lie within {MOST_NUMBER} of the middle")]
    TooFar(PartId),
    /// Every id has been given out.
    #[error("this map has used up its numbers; save it to a file and start a new one from it")]
    NoIdsLeft,
}

/// Something that a note can stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Noted {
    /// The whole map: the text about it.
    Map,
    /// A part.
    Part(PartId),
    /// Where a part sits, in the owner's words.
    Place(PartId),
    /// A wire.
    Wire(WireId),
    /// A pin of a control unit.
    Pin(PartId, PinId),
}

/// Something with a name or a note, there already or about to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Named {
    /// On the map.
    There(Noted),
    /// A driver.
    Driver(DriverId),
    /// A part that is being added.
    NewPart,
    /// A wire that is being added.
    NewWire,
    /// A driver that is being added.
    NewDriver,
    /// A finding that is being added.
    NewFinding,
    /// An entry of the work log that is being added.
    NewWork,
}

/// What a map can have too much of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Plenty {
    /// Parts.
    Parts,
    /// Wires.
    Wires,
    /// Pins of one box.
    Pins,
    /// Cavities of one connector.
    Cavities,
    /// Drivers of one box.
    Drivers,
    /// Findings.
    Findings,
    /// Entries in the work log.
    Work,
    /// Towers of one distributor.
    Towers,
}

impl std::fmt::Display for Plenty {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Parts => said("parts"),
            Self::Wires => said("wires"),
            Self::Pins => said("pins in one box"),
            Self::Cavities => said("cavities in one connector"),
            Self::Drivers => said("drivers in one box"),
            Self::Findings => said("findings"),
            Self::Work => said("entries in the work log"),
            Self::Towers => said("towers on one distributor"),
        })
    }
}

/// The numbers that a quantity may have, in words.
fn span(quantity: Quantity) -> String {
    let (low, high) = nominal::allowed(quantity);
    say!("between {low} and {high} {}", quantity.range().unit)
}

impl EditError {
    /// The error as one sentence for people, with the owner's names for things and the mend.
    #[must_use]
    pub fn told(&self, harness: &Harness) -> String {
        match self {
            Self::NoPart(_) | Self::NoWire(_) | Self::NoDriver(_) => {
                say!("That is no longer on the map. Choose something that is.")
            }
            Self::NoPin(part, _) => say!(
                "{} no longer has that pin. Add it again first.",
                harness.part_name(*part)
            ),
            Self::NoCavity(part, _) => say!(
                "{} no longer has that cavity. Add it again first.",
                harness.part_name(*part)
            ),
            Self::NoTerminal(terminal) => say!(
                "{} does not exist. Choose a terminal that is on the map.",
                harness.terminal_name(*terminal)
            ),
            Self::NoFact(at) => say!("The map has no place for {}.", harness.fact_name(*at)),
            Self::NoRival(at) => say!(
                "Nothing else is said any more of {}.",
                harness.fact_name(*at)
            ),
            Self::NoFinding(_) => say!("That finding is no longer there."),
            Self::NoCylinder(cylinder) => say!(
                "The engine has no cylinder {cylinder}. Take one that it has, or change the engine first."
            ),
            Self::OutOfRange(quantity) => say!("It must lie {}.", span(*quantity)),
            Self::WrongValue(at) => say!("That cannot be {}.", harness.fact_name(*at)),
            Self::TakesNoWire(terminal) => {
                let name = harness.terminal_name(*terminal);
                match terminal.port.hold() {
                    Hold::Thread => say!(
                        "{name} is screwed into the engine: no wire ends there. Use a ground point."
                    ),
                    Hold::Push | Hold::Joint | Hold::Contact | Hold::Plain => say!(
                        "{name} carries high voltage: no wire ends there. Join a tower and a plug; that makes a lead."
                    ),
                }
            }
            Self::DoesNotFit { at, terminal } => {
                let name = harness.terminal_name(*terminal);
                if matches!(at, FactAt::LeadFrom(_) | FactAt::LeadTo(_)) {
                    say!(
                        "A lead cannot end at {name}. It goes from a coil's or distributor's tower to a plug, or to a distributor's centre."
                    )
                } else {
                    say!("{name} cannot be used here. A driver uses pins of its own box.")
                }
            }
            Self::ToItself(terminal) => say!(
                "Both ends are at {}. Choose another terminal for one of them.",
                harness.terminal_name(*terminal)
            ),
            Self::OntoItself(wire) => say!(
                "{} cannot end on itself. Lead its end to another wire or to a terminal.",
                harness.wire_name(*wire)
            ),
            Self::OtherKind(part) => say!(
                "{} is of a kind that cannot be changed in this way.",
                harness.part_name(*part)
            ),
            Self::Towers {
                coil,
                towers,
                cylinders,
            } => say!(
                "{} feeds {towers}, not {cylinders} cylinders. Choose as many cylinders as it has towers, or make it another kind of coil.",
                harness.part_name(*coil)
            ),
            Self::MoreLabels {
                part,
                labels,
                places,
            } => say!(
                "{labels} labels for the {places} pins of {}. Give at most one each.",
                harness.part_name(*part)
            ),
            Self::NameTooLong { characters, .. } | Self::LabelTooLong { characters, .. } => {
                say!("{characters} characters is too long for a name. Keep it to {MOST_NAME}.")
            }
            Self::NoteTooLong { characters, .. } => {
                say!("{characters} characters is too long for a note. Keep it to {MOST_PROSE}.")
            }
            Self::TooMany(what) => {
                say!("A map holds at most {MOST_ITEMS} {what}. Take some away first.")
            }
            Self::TooFar(part) => say!(
                "{} cannot be put so far out. Place it nearer to the others.",
                harness.part_name(*part)
            ),
            Self::NoIdsLeft => {
                say!("This map has used up its numbers. Save it to a file and start a new one.")
            }
        }
    }
}
