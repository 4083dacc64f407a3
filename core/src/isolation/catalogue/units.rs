//! Control units and modules: their pins, traces, boards and drivers.

use super::super::choose::AccessSet;
use super::super::defaults::minutes;
use super::super::question::Question;
use super::super::unit::Unit;
use super::{Maker, at, running};
use crate::model::{
    DriverId, DriverPiece, Element, PartId, PinId, PinRole, Port, Setup, Substitute, SwapPair,
    UnitRole,
};

/// What may go wrong with an iron on a board, as minutes.
const BOARD_RISK: f64 = 3.0;

impl Maker<'_> {
    pub(super) fn units(&mut self) {
        let units: Vec<PartId> = self
            .harness
            .parts
            .keys()
            .copied()
            .filter(|id| self.harness.unit(*id).is_some())
            .collect();
        for part in units {
            let Some(unit) = self.harness.unit(part) else {
                continue;
            };
            let reach = self.reach(part);
            let open = self.opened(part);
            for pin in &unit.pins {
                let terminal = at(part, Port::Pin(pin.id));
                let Some(role) = pin.role.map(|r| r.value) else {
                    continue;
                };
                let contact = Some(Unit::Contacts(part));
                match role {
                    PinRole::Supply => {
                        self.volts(terminal, Setup::key_on(), reach, contact);
                        self.volts(terminal, running(), reach, contact);
                    }
                    PinRole::Ground => self.drop_to_minus(terminal, reach, contact),
                    PinRole::CoilSwitch | PinRole::DriveOut | PinRole::DriveIn => {
                        self.volts(terminal, Setup::key_on(), reach, None);
                        self.volts(terminal, running(), reach, None);
                        // With the unit unplugged the wire is alone with what leaks on it.
                        let mut apart = Setup::key_on();
                        apart.unplugged.insert(part);
                        self.volts(terminal, apart, reach, None);
                        // With the coil unplugged too, what is left on it leaks from elsewhere.
                        if let Some(coil) = super::super::cause::coil_of_pin(self.harness, terminal)
                        {
                            let mut alone = Setup::key_on();
                            alone.unplugged.extend([part, coil]);
                            let both = reach.with(self.reach(coil));
                            self.volts(terminal, alone, both, None);
                        }
                        self.trace(part, pin.id, open);
                    }
                    PinRole::InjectorSwitch
                    | PinRole::RelaySwitch
                    | PinRole::SensorIn
                    | PinRole::Other => {
                        self.volts(terminal, Setup::key_on(), reach, None);
                        self.trace(part, pin.id, open);
                    }
                }
                self.contact(Element::Mated(terminal));
            }
            let look = [
                (Element::BoardSupply(part), Unit::BoardSupply(part)),
                (Element::BoardGround(part), Unit::BoardGround(part)),
            ];
            let solder = self.soldering(part);
            for (element, unit) in look {
                self.add(Question::Look(element), minutes::JOINT, open, Some(unit));
                let anew = Question::Remake(element);
                self.risky(anew, minutes::SOLDER, BOARD_RISK, solder, Some(unit));
            }
            if unit.role == UnitRole::EngineControl {
                self.add(
                    Question::Look(Element::Logic(part)),
                    minutes::SCOPE,
                    open,
                    Some(Unit::Logic(part)),
                );
            }
            let elements = self.harness.elements();
            if elements.contains(&Element::CrankSignal(part)) {
                self.add(
                    Question::Look(Element::CrankSignal(part)),
                    10.0,
                    AccessSet::NONE,
                    Some(Unit::CrankSignal(part)),
                );
                self.add(
                    Question::Remake(Element::CrankSignal(part)),
                    minutes::NEW_COIL,
                    AccessSet::NONE,
                    Some(Unit::CrankSignal(part)),
                );
            }
            self.add(
                Question::Substitute(part, Substitute::KnownGood),
                minutes::NEW_UNIT,
                reach,
                Some(Unit::Logic(part)),
            );
        }
    }

    fn trace(&mut self, part: PartId, pin: PinId, open: AccessSet) {
        let element = Element::Trace(part, pin);
        let aim = Some(Unit::Trace(part, pin));
        self.add(Question::Look(element), minutes::JOINT, open, aim);
        let solder = self.soldering(part);
        let anew = Question::Remake(element);
        self.risky(anew, minutes::NEW_WIRE, BOARD_RISK, solder, aim);
    }

    pub(super) fn drivers(&mut self) {
        let drivers: Vec<(PartId, DriverId)> = self
            .harness
            .drivers()
            .map(|(part, driver)| (part, driver.id))
            .collect();
        for (place, (part, driver)) in drivers.iter().copied().enumerate() {
            if self.harness.coil(part).is_some() {
                // A driver cast into a coil goes with the coil.
                continue;
            }
            let open = self.opened(part);
            let solder = self.soldering(part);
            let joints = Some(Unit::DriverJoints(driver));
            for piece in DriverPiece::ALL {
                let element = Element::Driver(driver, piece);
                let aim = match piece {
                    DriverPiece::Switch => Some(Unit::Transistor(driver)),
                    DriverPiece::DriveResistor => Some(Unit::DriveResistor(driver)),
                    DriverPiece::OutputJoint
                    | DriverPiece::GroundJoint
                    | DriverPiece::DriveJoint
                    | DriverPiece::GateJoint => joints,
                };
                self.add(Question::Look(element), minutes::JOINT, open, aim);
            }
            // All joints of one driver are soldered in one sitting.
            self.risky(
                Question::Remake(Element::Driver(driver, DriverPiece::OutputJoint)),
                minutes::SOLDER,
                BOARD_RISK,
                solder,
                joints,
            );
            for (piece, unit) in [
                (DriverPiece::Switch, Unit::Transistor(driver)),
                (DriverPiece::DriveResistor, Unit::DriveResistor(driver)),
            ] {
                self.risky(
                    Question::Remake(Element::Driver(driver, piece)),
                    minutes::NEW_TRANSISTOR,
                    BOARD_RISK,
                    solder,
                    Some(unit),
                );
            }
            let partner = drivers
                .iter()
                .cycle()
                .skip(place + 1)
                .take(drivers.len().saturating_sub(1))
                .find(|(host, _)| *host == part);
            if let Some((_, partner)) = partner {
                let pair = SwapPair::Transistors(driver.min(*partner), driver.max(*partner));
                self.risky(
                    Question::Swap(pair),
                    minutes::SWAP_TRANSISTORS,
                    5.0,
                    solder,
                    Some(Unit::Transistor(driver)),
                );
            }
        }
    }
}
