//! The ways in which a harness may be changed.

use std::sync::Arc;

use super::{FactAt, Meets, Noted};
use crate::engine::CylinderId;
use crate::model::{
    CaseStep, CavityId, Condition, DrawnAt, DriverId, Element, Face, FactValue, FaultThen,
    FindingId, GroundSite, Harness, LeadKind, PartId, PartKind, PinId, PinRole, Place, Secondary,
    Seen, Setup, Standing, Terminal, Timestamp, UnitRole, Wire, WireColour, WireId, WireSize,
    Works,
};
use crate::provenance::{Fact, Provenance};
use crate::units::Metres;

/// One change to a harness. Each is undone as a whole.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Another name for the whole map.
    Rename(String),
    /// Another text about the map.
    SetAbout(String),
    /// Another name for a part.
    RenamePart {
        /// The part.
        part: PartId,
        /// Its new name.
        name: String,
    },
    /// How a fact is known.
    SetProvenance {
        /// The fact.
        at: FactAt,
        /// How it is known from now on.
        how: Provenance,
    },
    /// Another number for a part or wire, or none: nobody knows it any more.
    SetNominal {
        /// The fact.
        at: FactAt,
        /// The number, in the unit of its quantity's range, and how it is known.
        value: Option<Fact<f64>>,
    },
    /// Whether a cylinder works; what was said before of the same cylinder is taken back.
    Mark {
        /// The cylinder.
        cylinder: CylinderId,
        /// Whether it works.
        works: Works,
        /// When this was seen.
        at: Option<Timestamp>,
    },
    /// Whether each of several cylinders works, as [`Command::Mark`] says it of one.
    MarkAll {
        /// The cylinders with what is said of each.
        marks: Vec<(CylinderId, Works)>,
        /// When this was seen.
        at: Option<Timestamp>,
    },
    /// Nothing is known any more of whether a cylinder works.
    Unmark(CylinderId),
    /// Something was seen or measured.
    AddFinding {
        /// What.
        seen: Seen,
        /// How the car stood.
        setup: Option<Setup>,
        /// Whether the fault showed.
        fault_then: FaultThen,
        /// When.
        at: Option<Timestamp>,
        /// Anything else.
        note: String,
    },
    /// An entry of the work log: what was done, and what it means for the case.
    Log {
        /// What it means for the case.
        step: CaseStep,
        /// What was done, in the owner's words; for a case that is closed, what it was.
        text: String,
        /// The element that it is about.
        element: Option<Element>,
        /// When.
        at: Option<Timestamp>,
    },
    /// A finding counts, or no longer counts.
    SetStanding {
        /// The finding.
        finding: FindingId,
        /// Whether it counts.
        standing: Standing,
    },
    /// A finding says something else: it was mistyped, or entered for the wrong place. It keeps its id, its time
    /// and whether it counts.
    CorrectFinding {
        /// The finding.
        finding: FindingId,
        /// What was seen in truth.
        seen: Seen,
        /// How the car stood.
        setup: Option<Setup>,
        /// Whether the fault showed.
        fault_then: FaultThen,
    },
    /// Whether the fault showed when a finding was made.
    SetFaultThen {
        /// The finding.
        finding: FindingId,
        /// Whether it showed.
        fault_then: FaultThen,
    },
    /// What a fact says, or that nobody knows it any more. Where two facts clash both are kept: see
    /// [`Rival`](crate::model::Rival). This corrects a pin's number, re-routes or disconnects the end of a wire,
    /// gives it another colour, area or length, moves a driver to another pin.
    SetFact {
        /// The fact.
        at: FactAt,
        /// What it says and how that is known.
        fact: Option<Fact<FactValue>>,
    },
    /// A clash is settled: this value stands, whatever else was said of the fact is dropped.
    Settle {
        /// The fact.
        at: FactAt,
        /// One of the values that are said of it.
        keep: FactValue,
    },
    /// Another note; for a part's place and for the map the text about it.
    SetNote {
        /// On what.
        of: Noted,
        /// The text; an empty one takes the note away.
        text: String,
    },
    /// How long it takes to get at a part, and in the owner's words where it sits.
    SetPlace {
        /// The part.
        part: PartId,
        /// Where it sits.
        place: Place,
    },
    /// A part's age and surroundings.
    SetCondition {
        /// The part.
        part: PartId,
        /// What is known of them.
        condition: Condition,
    },
    /// How the cavities of a part's connector stand; `None`: nobody has said so. A count of rows or columns that
    /// no connector has is taken as the nearest that one can have.
    SetFace {
        /// The part.
        part: PartId,
        /// Rows, columns, and how the numbers run.
        face: Option<Face>,
    },
    /// What makes a part of its kind: how a coil is brought out, what a ground point stands on.
    SetForm {
        /// The part.
        part: PartId,
        /// The new form.
        form: Form,
    },
    /// Another name for a driver.
    RenameDriver {
        /// The driver.
        driver: DriverId,
        /// Its new name.
        name: String,
    },
    /// A new part. Its pins, cavities and drivers get ids of their own.
    AddPart {
        /// Its name.
        name: String,
        /// What it is.
        kind: Box<PartKind>,
        /// Where the owner put it; `None` lets the map place it.
        at: Option<DrawnAt>,
    },
    /// A part is taken off the map, and the drivers in it. What was found on it stays in the findings.
    RemovePart {
        /// The part.
        part: PartId,
        /// What becomes of the wires and leads on it.
        hanging: Hanging,
    },
    /// Two terminals are joined: by a wire, or by a lead where one is a tower and the other a plug.
    Connect {
        /// One terminal, the one nearer the battery or control unit where that is known.
        from: Terminal,
        /// The other.
        to: Terminal,
        /// How that is known.
        how: Provenance,
        /// What is known of the wire; nothing of it is used for a lead.
        look: WireLook,
    },
    /// A new wire, which may have an end that nobody has followed yet.
    AddWire(Wire),
    /// A wire is taken off the map.
    RemoveWire(WireId),
    /// A splice is put into a wire, which becomes two of the same looks, each assumed to be half as long. The first
    /// half stays the wire that it was; the far end goes to the new one with all that is said of it.
    Splice {
        /// The wire.
        wire: WireId,
        /// The splice's name.
        name: String,
        /// Where the owner put it; `None` lets the map place it.
        at: Option<DrawnAt>,
        /// What else is joined there.
        meets: Meets,
        /// How that is known.
        how: Provenance,
    },
    /// A new driver in a box, or the driver of a coil that holds its own.
    AddDriver {
        /// The box or coil.
        host: PartId,
        /// The driver's name.
        name: String,
    },
    /// A driver is taken off the map.
    RemoveDriver(DriverId),
    /// A new pin of a control unit, after the others.
    AddPin {
        /// The box.
        unit: PartId,
        /// Its number or letter.
        label: Option<Fact<String>>,
        /// What it is for.
        role: Option<Fact<PinRole>>,
    },
    /// A pin is taken away; the drivers that use it no longer do.
    RemovePin {
        /// The box.
        unit: PartId,
        /// The pin.
        pin: PinId,
        /// What becomes of the wires on it.
        hanging: Hanging,
    },
    /// A new cavity of a connector, after the others.
    AddCavity {
        /// The connector.
        connector: PartId,
        /// The number or letter beside it.
        label: Option<Fact<String>>,
    },
    /// A cavity is taken away.
    RemoveCavity {
        /// The connector.
        connector: PartId,
        /// The cavity.
        cavity: CavityId,
        /// What becomes of the wires on it.
        hanging: Hanging,
    },
    /// The first pins of a box, or cavities of a connector, get these labels in turn.
    Renumber {
        /// The box or connector.
        part: PartId,
        /// The labels.
        labels: Vec<String>,
        /// How they are known.
        how: Provenance,
    },
    /// The cylinders that a coil feeds: a lead from each of its towers goes to a plug of each.
    AssignCoil {
        /// The coil.
        coil: PartId,
        /// The cylinders, tower 4a first; at most as many as the coil has towers.
        cylinders: Vec<CylinderId>,
        /// How that is known.
        how: Provenance,
    },
    /// Parts are put at a place on the map by hand, or left to the map to place.
    Put(Vec<(PartId, Option<DrawnAt>)>),
    /// Parts are copied with the wires among them. A copy is assumed all through: nobody has looked at it.
    Duplicate(Vec<PartId>),
    /// Several commands as one step; where one does not fit, none is carried out.
    Batch(Vec<Self>),
    /// Another harness altogether in place of this one.
    Replace(Arc<Harness>),
}

/// What becomes of the wires and leads on something that is taken away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Hanging {
    /// They go with it.
    Removed,
    /// They stay, that end loose.
    Loose,
}

/// What is known of a wire beside its ends.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WireLook {
    /// Its colours.
    pub colour: Option<WireColour>,
    /// Its size.
    pub size: Option<WireSize>,
    /// Its length.
    pub length: Option<Metres>,
}

/// What makes a part of its kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Form {
    /// How a coil's secondary is brought out.
    Secondary(Secondary),
    /// The housing that a coil shares with others.
    Pack(Option<PartId>),
    /// Which metal a ground point stands on.
    Site(GroundSite),
    /// What kind of box a control unit is.
    Unit(UnitRole),
    /// The cylinder that each tower of a distributor is meant for, in the order of the cap.
    Towers(Vec<CylinderId>),
    /// Lead or boot.
    Lead(LeadKind),
}
