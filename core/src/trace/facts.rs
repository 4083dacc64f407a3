//! What was traced, as facts on the map: one command that undo takes back.

use crate::edit::{Command, EditError, FactAt, FactValue, WireLook, apply};
use crate::model::{
    DriverId, Harness, PartId, PinId, PinRole, Strand, Terminal, WireEnd, WireId, other,
};
use crate::provenance::{Fact, Provenance};
use crate::said::say;

use super::{Terminal1, Trace, Use, control_of, terminal_1};

impl Trace {
    /// The command that puts all that is known now on the map, each fact measured; `None` while nothing is.
    ///
    /// A pin gets its role, and one that serves a coil the wire to it: loose ends that turn out to be one wire
    /// become one, and an end that the map leads elsewhere is led to the pin. What clashes with a diagram stays
    /// beside it. A driver of the unit that is on no pin yet goes to the pin, assumed: a meter does not see inside.
    ///
    /// # Errors
    /// [`EditError`] where the map has lost what was traced.
    pub fn facts(&self, harness: &Harness) -> Result<Option<Command>, EditError> {
        let mut writer = Writer {
            now: harness.clone(),
            made: Vec::new(),
        };
        let belief = self.belief(harness);
        let known = belief
            .pins
            .iter()
            .filter_map(|pin| Some((pin.pin, pin.known()?)));
        let known: Vec<(PinId, Use)> = known.collect();
        let served: Vec<PartId> = known.iter().filter_map(|(_, u)| coil_of(*u)).collect();
        for (pin, what) in known {
            let coil = coil_of(what);
            let brought = coil.map_or(Terminal1::BroughtOut, |coil| terminal_1(harness, coil));
            let role = what.role(brought);
            let at = FactAt::PinRole(self.unit, pin);
            writer.measured(at, FactValue::Role(role))?;
            if let Some(coil) = coil {
                writer.joined(self.terminal(pin), coil, &served)?;
                if role == PinRole::CoilSwitch {
                    writer.driver(self.unit, pin, coil)?;
                }
            }
        }
        Ok((!writer.made.is_empty()).then_some(Command::Batch(writer.made)))
    }
}

const fn coil_of(what: Use) -> Option<PartId> {
    if let Use::Coil(coil) = what {
        Some(coil)
    } else {
        None
    }
}

/// Commands, and the map as it is after them.
struct Writer {
    now: Harness,
    made: Vec<Command>,
}

impl Writer {
    fn make(&mut self, command: Command) -> Result<(), EditError> {
        let next = apply(&self.now, &command)?;
        if next != self.now {
            self.now = next;
            self.made.push(command);
        }
        Ok(())
    }

    fn say(&mut self, at: FactAt, fact: Fact<FactValue>) -> Result<(), EditError> {
        let fact = Some(fact);
        self.make(Command::SetFact { at, fact })
    }

    fn measured(&mut self, at: FactAt, value: FactValue) -> Result<(), EditError> {
        self.say(at, Fact::measured(value))
    }

    fn ends(&mut self, (wire, end): (WireId, WireEnd), at: Terminal) -> Result<(), EditError> {
        self.measured(FactAt::WireEnd(wire, end), FactValue::Terminal(at))
    }

    /// A pin and a coil's control terminal are joined.
    fn joined(&mut self, pin: Terminal, coil: PartId, served: &[PartId]) -> Result<(), EditError> {
        let control = control_of(&self.now, coil);
        let at_pin = Strand::from(&self.now, pin);
        if at_pin.is_some_and(|lead| lead.to == Some(control)) {
            return self.confirmed(at_pin, pin, control);
        }
        let at_coil = Strand::from(&self.now, control);
        match (at_pin, at_coil) {
            (Some(stub), Some(wire)) if stub.to.is_none() => {
                self.one_wire(stub, pin, wire, control)?
            }
            (Some(stub), None) if stub.to.is_none() => {
                self.ends(stub.far, control)?;
                self.ends(stub.near, pin)?;
            }
            (_, Some(wire)) => {
                self.let_go(at_pin, served)?;
                self.ends(wire.far, pin)?;
                self.ends(wire.near, control)?;
            }
            (_, None) => {
                self.let_go(at_pin, served)?;
                self.make(Command::Connect {
                    from: pin,
                    to: control,
                    how: Provenance::Measured,
                    look: WireLook::default(),
                })?;
            }
        }
        Ok(())
    }

    /// The map had it right: the ends that a meter touched are measured. The cavities between are not; the map
    /// draws such a way as measured all the same ([`Harness::proved_wires`]).
    fn confirmed(
        &mut self,
        lead: Option<Strand>,
        pin: Terminal,
        control: Terminal,
    ) -> Result<(), EditError> {
        let Some(lead) = lead else {
            return Ok(());
        };
        self.ends(lead.near, pin)?;
        self.ends(lead.far, control)
    }

    /// A stub at the pin and the wire at the coil are two ends of one.
    fn one_wire(
        &mut self,
        stub: Strand,
        pin: Terminal,
        wire: Strand,
        control: Terminal,
    ) -> Result<(), EditError> {
        let told = self.now.wires.get(&stub.far.0).cloned().unwrap_or_default();
        // Where the stub has passed a connector, the wire goes on from there.
        let beyond = told.end(other(stub.far.1));
        let begins = match beyond {
            Some(cavity) if cavity.value != pin => {
                self.ends(stub.near, pin)?;
                cavity
            }
            Some(_) | None => Fact::measured(pin),
        };
        let id = wire.far.0;
        let Fact { value, how } = begins;
        let value = FactValue::Terminal(value);
        self.say(FactAt::WireEnd(id, wire.far.1), Fact { value, how })?;
        self.ends(wire.near, control)?;
        self.make(Command::RemoveWire(stub.far.0))?;
        if let Some(colour) = told.colour {
            let value = FactValue::Colour(colour.value);
            let how = colour.how;
            self.say(FactAt::WireColour(id), Fact { value, how })?;
        }
        if let Some(size) = told.size {
            let value = FactValue::Size(size.value);
            let how = size.how;
            self.say(FactAt::WireSize(id), Fact { value, how })?;
        }
        Ok(())
    }

    /// A wire that the map only assumed to lead from this pin to some other coil leads there no more, unless
    /// that coil's own pin was traced too, which leads its wire to the right pin.
    fn let_go(&mut self, lead: Option<Strand>, served: &[PartId]) -> Result<(), EditError> {
        let Some(lead) = lead else {
            return Ok(());
        };
        let there = lead.to.map(|terminal| terminal.part);
        if there.is_some_and(|part| served.contains(&part)) {
            return Ok(());
        }
        let (wire, end) = lead.near;
        let held = self.now.wires.get(&wire).and_then(|wire| wire.end(end));
        if held.is_some_and(|fact| fact.how == Provenance::Assumed) {
            let at = FactAt::WireEnd(wire, end);
            self.make(Command::SetFact { at, fact: None })?;
        }
        Ok(())
    }

    /// Some driver is behind a pin that switches a coil.
    fn driver(&mut self, unit: PartId, pin: PinId, coil: PartId) -> Result<(), EditError> {
        let free = |harness: &Harness| -> Vec<(DriverId, String)> {
            let drivers = harness.unit(unit).map_or(&[][..], |unit| &unit.drivers);
            let free = drivers.iter().filter(|driver| driver.output.is_none());
            free.map(|driver| (driver.id, driver.name.clone()))
                .collect()
        };
        let taken = self.now.unit(unit).is_some_and(|unit| {
            let mut drivers = unit.drivers.iter();
            drivers.any(|driver| driver.output.is_some_and(|fact| fact.value == pin))
        });
        if taken {
            return Ok(());
        }
        if free(&self.now).is_empty() {
            let name = say!("driver of {}", self.now.part_name(coil));
            let name: String = name.chars().take(60).collect();
            self.make(Command::AddDriver { host: unit, name })?;
        }
        let free = free(&self.now);
        // "Driver B" is taken to be that of "Coil B".
        let last = |name: &str| name.split_whitespace().next_back().map(str::to_lowercase);
        let named = last(self.now.part_name(coil));
        let alike = free.iter().find(|(_, name)| last(name) == named);
        let Some((driver, _)) = alike.or_else(|| free.first()) else {
            return Ok(());
        };
        let at = FactAt::DriverOutput(*driver);
        let value = FactValue::Terminal(Terminal {
            part: unit,
            port: crate::model::Port::Pin(pin),
        });
        self.say(at, Fact::assumed(value))
    }
}
