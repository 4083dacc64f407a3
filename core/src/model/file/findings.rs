//! Findings, setups, elements and the work log in the file.

use super::error::Wrong;
use super::json::Json;
use super::limits::MOST_NUMBER;
use super::piece::{Blank, Fields, Piece, Record, choice, words};
use super::plain::number;
use super::reader::Reader;
#[cfg(any(test, feature = "schema"))]
use super::schema::{self, Book};
use super::tree::{Node, Value};
use super::writer::Writer;
use crate::engine::CylinderId;
use crate::model::{
    BatteryLink, CaseStep, CavityId, CompressionResult, DriverId, DriverPiece, Effect, Element,
    EngineState, FaultThen, Finding, FindingId, Glow, Key, Look, OhmReading, PartId, PinId, Seen,
    Setup, Spark, Standing, Stored, StressKind, Substitute, SwapOutcome, SwapPair, Terminal,
    WireEnd, WireId, WorkEntry, WorkId, Works,
};
use crate::said::to_say;
use crate::units::{Ohms, Rpm, Volts};

impl Blank for Finding {
    fn blank() -> Self {
        Self {
            id: FindingId::from_number(0),
            seen: Seen::Code {
                code: None,
                stored: Stored::Absent,
            },
            setup: None,
            fault_then: FaultThen::Unknown,
            at: None,
            note: String::new(),
            standing: Standing::Counts,
        }
    }
}

impl Record for Finding {
    const SAYS: (&'static str, &'static str) = ("finding", "Something seen or measured.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.id(&mut self.id);
        fields.one_of(&mut self.seen, "What kind of thing was seen.");
        fields.maybe("setup", &mut self.setup, "How the car stood.");
        fields.maybe(
            "fault_then",
            &mut self.fault_then,
            "Whether the fault showed at that time.",
        );
        fields.maybe(
            "at_unix_ms",
            &mut self.at,
            "When: milliseconds since 1970-01-01 00:00 UTC.",
        );
        fields.text("note", &mut self.note, "Anything else worth keeping.");
        fields.maybe("standing", &mut self.standing, "Whether it still counts.");
    }
}

fn nowhere() -> Terminal {
    Terminal::blank()
}

fn nothing() -> Element {
    Element::blank()
}

choice!(Seen by "seen" {
    Self::Contribution { .. } = "contribution": Self::Contribution {
        cylinder: CylinderId(1),
        works: Works::Alive,
    },
    Self::Spark { .. } = "spark": Self::Spark { cylinder: CylinderId(1), spark: Spark::Yes },
    Self::Volts { .. } = "volts": Self::Volts { red: nowhere(), black: None, reading: Volts::ZERO },
    Self::Resistance { .. } = "resistance": Self::Resistance {
        red: nowhere(),
        black: nowhere(),
        reading: OhmReading::Overload,
    },
    Self::Drop { .. } = "drop": Self::Drop { red: nowhere(), black: nowhere(), reading: Volts::ZERO },
    Self::Lamp { .. } = "lamp": Self::Lamp { red: nowhere(), black: nowhere(), glow: Glow::Off },
    Self::Look { .. } = "look": Self::Look { element: nothing(), look: Look::Sound },
    Self::Stress { .. } = "stress": Self::Stress {
        element: nothing(),
        by: StressKind::Wiggled,
        effect: Effect::Same,
    },
    Self::Substituted { .. } = "substituted": Self::Substituted {
        part: PartId::from_number(0),
        with: Substitute::New,
        effect: Effect::Same,
    },
    Self::Swapped { .. } = "swapped": Self::Swapped {
        what: SwapPair::Parts(PartId::from_number(0), PartId::from_number(0)),
        outcome: SwapOutcome::Stayed,
    },
    Self::Cleaned { .. } = "cleaned": Self::Cleaned { element: nothing(), effect: Effect::Same },
    Self::Remade { .. } = "remade": Self::Remade { element: nothing(), effect: Effect::Same },
    Self::Code { .. } = "code": Self::Code { code: None, stored: Stored::Absent },
    Self::Compression { .. } = "compression": Self::Compression {
        cylinder: CylinderId(1),
        result: CompressionResult::Good,
    },
} visit(self, fields) {
    match self {
        Self::Contribution { cylinder, works } => {
            fields.must("cylinder", cylinder, "The cylinder.");
            fields.must("works", works, "Whether it works.");
        }
        Self::Spark { cylinder, spark } => {
            fields.must("cylinder", cylinder, "The cylinder.");
            fields.must("spark", spark, "What showed.");
        }
        Self::Volts { red, black, reading } => {
            fields.must("red", red, "Where the red lead was.");
            fields.maybe("black", black, "Where the black lead was; left out when it touched nothing.");
            fields.must("reading_volts", reading, "What it read.");
        }
        Self::Resistance { red, black, reading } => {
            fields.must("red", red, "Where the red lead was.");
            fields.must("black", black, "Where the black lead was.");
            fields.must("reading_ohms", reading, "What it read, or \"overload\".");
        }
        Self::Drop { red, black, reading } => {
            fields.must("red", red, "The end nearer the battery.");
            fields.must("black", black, "The other end.");
            fields.must("reading_volts", reading, "What it read.");
        }
        Self::Lamp { red, black, glow } => {
            fields.must("red", red, "One end.");
            fields.must("black", black, "The other end.");
            fields.must("glow", glow, "How it shone.");
        }
        Self::Look { element, look } => {
            fields.must("element", element, "What was looked at.");
            fields.must("look", look, "What it looked like.");
        }
        Self::Stress { element, by, effect } => {
            fields.must("element", element, "What was provoked.");
            fields.must("by", by, "How.");
            fields.must("effect", effect, "What the fault did.");
        }
        Self::Substituted { part, with, effect } => {
            fields.must("part", part, "The part.");
            fields.must("with", with, "What was put in.");
            fields.must("effect", effect, "What the fault did.");
        }
        Self::Swapped { what, outcome } => {
            fields.one_of(what, "What changed places.");
            fields.must("outcome", outcome, "What the fault did.");
        }
        Self::Cleaned { element, effect } => {
            fields.must("element", element, "The contact.");
            fields.must("effect", effect, "What the fault did.");
        }
        Self::Remade { element, effect } => {
            fields.must("element", element, "The joint.");
            fields.must("effect", effect, "What the fault did.");
        }
        Self::Code { code, stored } => {
            fields.maybe("code", code, "The trouble code; left out for \"no codes at all\".");
            fields.must("stored", stored, "Whether it was stored.");
        }
        Self::Compression { cylinder, result } => {
            fields.must("cylinder", cylinder, "The cylinder.");
            fields.must("result", result, "What it showed.");
        }
    }
});

choice!(SwapPair by "what" {
    Self::Parts(..) = "parts": Self::Parts(PartId::from_number(0), PartId::from_number(0)),
    Self::Transistors(..) = "transistors": Self::Transistors(
        DriverId::from_number(0),
        DriverId::from_number(0),
    ),
} visit(self, fields) {
    match self {
        Self::Parts(first, second) => {
            fields.must("first_part", first, "One of them.");
            fields.must("second_part", second, "The other.");
        }
        Self::Transistors(first, second) => {
            fields.must("first_driver", first, "One of them.");
            fields.must("second_driver", second, "The other.");
        }
    }
});

impl Blank for Element {
    fn blank() -> Self {
        Self::Cylinder(CylinderId(1))
    }
}

impl Record for Element {
    const SAYS: (&'static str, &'static str) = ("element", "One thing that can fail by itself.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.one_of(self, "What kind of element it is.");
    }
}

fn part() -> PartId {
    PartId::from_number(0)
}

choice!(Element by "kind" {
    Self::Battery(_) = "battery": Self::Battery(part()),
    Self::Contact(_) = "contact": Self::Contact(part()),
    Self::RelayWinding(_) = "relay_winding": Self::RelayWinding(part()),
    Self::Wire(_) = "wire": Self::Wire(WireId::from_number(0)),
    Self::Joint(..) = "joint": Self::Joint(WireId::from_number(0), WireEnd::From),
    Self::Mated(_) = "mated": Self::Mated(nowhere()),
    Self::Cavity(..) = "cavity": Self::Cavity(part(), CavityId::from_number(0)),
    Self::Trace(..) = "trace": Self::Trace(part(), PinId::from_number(0)),
    Self::BoardSupply(_) = "board_supply": Self::BoardSupply(part()),
    Self::BoardGround(_) = "board_ground": Self::BoardGround(part()),
    Self::Logic(_) = "logic": Self::Logic(part()),
    Self::CrankSignal(_) = "crank_signal": Self::CrankSignal(part()),
    Self::Driver(..) = "driver": Self::Driver(DriverId::from_number(0), DriverPiece::Switch),
    Self::Primary(_) = "primary": Self::Primary(part()),
    Self::Secondary(_) = "secondary": Self::Secondary(part()),
    Self::CoilInsulation(_) = "coil_insulation": Self::CoilInsulation(part()),
    Self::Rotor(_) = "rotor": Self::Rotor(part()),
    Self::Cap(_) = "cap": Self::Cap(part()),
    Self::LeadConductor(_) = "lead_conductor": Self::LeadConductor(part()),
    Self::LeadInsulation(_) = "lead_insulation": Self::LeadInsulation(part()),
    Self::Gap(_) = "gap": Self::Gap(part()),
    Self::Insulator(_) = "insulator": Self::Insulator(part()),
    Self::PlugResistor(_) = "plug_resistor": Self::PlugResistor(part()),
    Self::InjectorWinding(_) = "injector_winding": Self::InjectorWinding(part()),
    Self::Cylinder(_) = "cylinder": Self::Cylinder(CylinderId(1)),
} visit(self, fields) {
    match self {
        Self::Battery(part)
        | Self::Contact(part)
        | Self::RelayWinding(part)
        | Self::BoardSupply(part)
        | Self::BoardGround(part)
        | Self::Logic(part)
        | Self::CrankSignal(part)
        | Self::Primary(part)
        | Self::Secondary(part)
        | Self::CoilInsulation(part)
        | Self::Rotor(part)
        | Self::Cap(part)
        | Self::LeadConductor(part)
        | Self::LeadInsulation(part)
        | Self::Gap(part)
        | Self::Insulator(part)
        | Self::PlugResistor(part)
        | Self::InjectorWinding(part) => fields.must("part", part, "The part."),
        Self::Wire(wire) => fields.must("wire", wire, "The wire."),
        Self::Joint(wire, end) => {
            fields.must("wire", wire, "The wire.");
            fields.must("end", end, "Which of its ends.");
        }
        Self::Mated(terminal) => fields.must("terminal", terminal, "The terminal."),
        Self::Cavity(part, cavity) => {
            fields.must("part", part, "The connector.");
            fields.host(part.number());
            fields.must("cavity", cavity, "Its cavity.");
        }
        Self::Trace(part, pin) => {
            fields.must("part", part, "The control unit.");
            fields.host(part.number());
            fields.must("pin", pin, "Its pin.");
        }
        Self::Driver(driver, piece) => {
            fields.must("driver", driver, "The driver.");
            fields.must("piece", piece, "Which piece of it.");
        }
        Self::Cylinder(cylinder) => fields.must("cylinder", cylinder, "The cylinder."),
    }
});

impl Blank for Setup {
    fn blank() -> Self {
        Self::key_on()
    }
}

impl Record for Setup {
    const SAYS: (&'static str, &'static str) = ("setup", "How the car stood.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.must("battery", &mut self.battery, "Battery connected or not.");
        fields.must("key", &mut self.key, "Ignition key.");
        fields.must("engine", &mut self.engine, "What the engine did.");
        fields.maybe(
            "unplugged",
            &mut self.unplugged,
            "Parts whose plug was pulled.",
        );
        fields.maybe("pulled_fuses", &mut self.pulled_fuses, "Fuses taken out.");
    }
}

choice!(EngineState by "state" {
    Self::Stopped = "stopped": Self::Stopped,
    Self::Cranking(_) = "cranking": Self::Cranking(Rpm::ZERO),
    Self::Running(_) = "running": Self::Running(Rpm::ZERO),
} visit(self, fields) {
    match self {
        Self::Stopped => {}
        Self::Cranking(speed) | Self::Running(speed) => {
            fields.must("rpm", speed, "Turns of the crank a minute.");
        }
    }
});

impl Blank for EngineState {
    fn blank() -> Self {
        Self::Stopped
    }
}

impl Record for EngineState {
    const SAYS: (&'static str, &'static str) = ("", "What the engine did.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.one_of(
            self,
            "It stood, the starter turned it, or it ran by itself.",
        );
    }
}

impl Blank for OhmReading {
    fn blank() -> Self {
        Self::Overload
    }
}

impl Piece for OhmReading {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        *self = match &node.value {
            // A meter on a live circuit may well show a minus.
            Value::Number(_) => number(node, -MOST_NUMBER, MOST_NUMBER, reader)
                .and_then(|number| Ohms::new(number).ok())
                .map_or(Self::Overload, Self::Ohms),
            Value::Text(text) if text == "overload" => Self::Overload,
            Value::Null | Value::Flag | Value::Text(_) | Value::List(_) | Value::Object(_) => {
                let (found, wanted) = (node.is(), to_say("a number of ohms or \"overload\""));
                reader.wrong(node.at, Wrong::OtherKind { found, wanted });
                Self::Overload
            }
        };
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        match self {
            Self::Ohms(ohms) => Json::number(ohms.get()),
            Self::Overload => Json::text("overload"),
        }
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, _: &mut Book) -> Json {
        schema::any_of([
            schema::number(-MOST_NUMBER, MOST_NUMBER),
            schema::one_of_words(&["overload"]),
        ])
    }
}

impl Blank for WorkEntry {
    fn blank() -> Self {
        Self {
            id: WorkId::from_number(0),
            at: None,
            text: String::new(),
            step: CaseStep::Work,
            element: None,
        }
    }
}

impl Record for WorkEntry {
    const SAYS: (&'static str, &'static str) = (
        "work_entry",
        "An entry of the work log: what was done to the car.",
    );

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.id(&mut self.id);
        fields.maybe(
            "at_unix_ms",
            &mut self.at,
            "When: milliseconds since 1970-01-01 00:00 UTC.",
        );
        fields.text(
            "text",
            &mut self.text,
            "What was done, in the owner's words; of a closed case, what it was.",
        );
        fields.maybe("step", &mut self.step, "What it means for the case.");
        fields.maybe(
            "element",
            &mut self.element,
            "The element that it is about.",
        );
    }
}

words!(CaseStep, "case_step", usual CaseStep::Work, {
    CaseStep::Work = "work",
    CaseStep::Mended = "mended",
    CaseStep::Closed = "closed",
    CaseStep::Reopened = "reopened",
});

words!(DriverPiece, "driver_piece", {
    DriverPiece::OutputJoint = "output_joint",
    DriverPiece::Switch = "switch",
    DriverPiece::GroundJoint = "ground_joint",
    DriverPiece::DriveJoint = "drive_joint",
    DriverPiece::DriveResistor = "drive_resistor",
    DriverPiece::GateJoint = "gate_joint",
});

words!(WireEnd, "wire_end", { WireEnd::From = "from", WireEnd::To = "to" });

words!(FaultThen, "fault_then", usual FaultThen::Unknown, {
    FaultThen::Present = "present",
    FaultThen::Away = "away",
    FaultThen::Unknown = "unknown",
});

words!(Standing, "standing", usual Standing::Counts, {
    Standing::Counts = "counts",
    Standing::TakenBack = "taken_back",
});

words!(BatteryLink, "battery_link", {
    BatteryLink::Connected = "connected",
    BatteryLink::Disconnected = "disconnected",
});

words!(Key, "key", { Key::Off = "off", Key::On = "on" });

words!(Works, "works", {
    Works::Alive = "alive",
    Works::Dead = "dead",
    Works::Sometimes = "sometimes",
});

words!(Spark, "spark", {
    Spark::Yes = "yes",
    Spark::No = "no",
    Spark::Weak = "weak",
    Spark::WrongTime = "wrong_time",
});

words!(Glow, "glow", {
    Glow::Bright = "bright",
    Glow::Dim = "dim",
    Glow::Off = "off",
    Glow::Flickering = "flickering",
});

words!(Look, "look", { Look::Sound = "sound", Look::Damaged = "damaged" });

words!(StressKind, "stress_kind", {
    StressKind::Wiggled = "wiggled",
    StressKind::Heated = "heated",
    StressKind::Cooled = "cooled",
});

words!(Effect, "effect", {
    Effect::Same = "same",
    Effect::Cured = "cured",
    Effect::Changed = "changed",
});

words!(Substitute, "substitute", {
    Substitute::New = "new",
    Substitute::KnownGood = "known_good",
});

words!(SwapOutcome, "swap_outcome", {
    SwapOutcome::Moved = "moved",
    SwapOutcome::Stayed = "stayed",
    SwapOutcome::Gone = "gone",
    SwapOutcome::Changed = "changed",
});

words!(Stored, "stored", { Stored::Present = "present", Stored::Absent = "absent" });

words!(CompressionResult, "compression_result", {
    CompressionResult::Good = "good",
    CompressionResult::Low = "low",
});
