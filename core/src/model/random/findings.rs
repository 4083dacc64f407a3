//! Random findings of every kind, setups and a work log.

use std::collections::BTreeSet;

use super::Dice;
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{
    BatteryLink, CaseStep, Colour, CompressionResult, Corner, DrawnAt, DriverId, Effect, Element,
    EngineState, Face, FactAt, FactValue, FaultThen, Finding, Glow, Harness, Key, Look, OhmReading,
    PartId, PartKind, PinRole, Rival, Run, Seen, Setup, Spark, Standing, Stored, StressKind,
    Substitute, SwapOutcome, SwapPair, Terminal, Timestamp, WireColour, WireEnd, WorkEntry, Works,
};
use crate::provenance::Provenance;
use crate::units::{Ohms, Rpm, Volts};

/// One of these, if there are any.
fn one<T: Copy>(dice: &mut Dice, from: &[T]) -> Option<T> {
    (!from.is_empty()).then(|| dice.pick(from))
}

/// Adds up to eight findings, some entries of the work log, and places on the map.
pub(super) fn add(harness: &mut Harness, dice: &mut Dice) {
    let source = Source::of(harness);
    for _ in 0..dice.below(9) {
        let Some(seen) = source.seen(dice) else {
            continue;
        };
        let setup = dice.often(60).then(|| source.setup(dice));
        let finding = Finding {
            id: harness.fresh(),
            seen,
            setup,
            fault_then: dice.pick(&[FaultThen::Present, FaultThen::Away, FaultThen::Unknown]),
            at: moment(dice),
            note: dice
                .pick(&["", "at night", "a \"quoted\" word\n\ttab"])
                .into(),
            standing: dice.pick(&[Standing::Counts, Standing::Counts, Standing::TakenBack]),
        };
        harness.findings.push(finding);
    }
    for _ in 0..dice.below(3) {
        let entry = WorkEntry {
            id: harness.fresh(),
            at: moment(dice),
            text: dice
                .pick(&["", "New leads", "Cleaned the engine ground"])
                .into(),
            step: dice.pick(&[
                CaseStep::Work,
                CaseStep::Mended,
                CaseStep::Closed,
                CaseStep::Reopened,
            ]),
            element: one(dice, &source.elements).filter(|_| dice.often(50)),
        };
        harness.work.push(entry);
    }
    for part in harness.parts.values_mut() {
        if dice.often(15) {
            part.drawn_at = Some(DrawnAt {
                x: dice.between(-100.0, 900.0),
                y: dice.between(0.0, 500.0) / 3.0,
            });
        }
        if dice.often(5) {
            part.note = "bought used".into();
        }
    }
    faces(harness, dice);
    clashes(harness, dice);
}

/// Faces of connectors, as far as their owners have looked.
fn faces(harness: &mut Harness, dice: &mut Dice) {
    for part in harness.parts.values_mut() {
        let pins = match &part.kind {
            PartKind::ControlUnit(unit) => unit.pins.len(),
            PartKind::Connector(connector) => connector.cavities.len(),
            PartKind::Battery(_)
            | PartKind::Fuse(_)
            | PartKind::KeySwitch
            | PartKind::Relay(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Coil(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Lead(_)
            | PartKind::Plug(_)
            | PartKind::Injector(_) => 0,
        };
        if pins > 0 && dice.often(30) {
            part.face = Some(Face {
                rows: dice.pick(&[1, 2, 3]),
                columns: u8::try_from(pins).unwrap_or(Face::MOST).min(Face::MOST),
                run: dice.pick(&Run::ALL),
                first: dice.pick(&Corner::ALL),
            });
        }
    }
}

/// Notes at pins, and values that clash with those that the map goes by.
fn clashes(harness: &mut Harness, dice: &mut Dice) {
    let mut rivals = Vec::new();
    for (&id, wire) in &harness.wires {
        if let Some(colour) = wire.colour
            && dice.often(4)
        {
            rivals.push(Rival {
                at: FactAt::WireColour(id),
                value: FactValue::Colour(WireColour {
                    base: Colour::Gold,
                    tracer: Some(colour.value.base),
                }),
                how: Provenance::Diagram,
            });
        }
        if let Some(to) = wire.from
            && dice.often(4)
        {
            rivals.push(Rival {
                at: FactAt::WireEnd(id, WireEnd::To),
                value: FactValue::Terminal(to.value),
                how: Provenance::Measured,
            });
        }
    }
    for (&id, part) in &mut harness.parts {
        if let PartKind::ControlUnit(unit) = &mut part.kind {
            for pin in &mut unit.pins {
                if dice.often(5) {
                    pin.note = "green at the crimp".into();
                }
                if dice.often(5) {
                    let says = [
                        (FactAt::PinLabel(id, pin.id), FactValue::Label("C7".into())),
                        (
                            FactAt::PinRole(id, pin.id),
                            FactValue::Role(PinRole::SensorIn),
                        ),
                    ];
                    rivals.extend(says.map(|(at, value)| Rival {
                        at,
                        value,
                        how: Provenance::Diagram,
                    }));
                }
            }
        }
        if matches!(part.kind, PartKind::Plug(_)) && dice.often(5) {
            let says = [
                (FactAt::PlugCylinder(id), FactValue::Cylinder(CylinderId(2))),
                (FactAt::PlugGap(id), FactValue::Number(0.85)),
            ];
            rivals.extend(says.map(|(at, value)| Rival {
                at,
                value,
                how: Provenance::Assumed,
            }));
        }
    }
    harness.rivals = rivals;
}

fn moment(dice: &mut Dice) -> Option<Timestamp> {
    let days = i64::try_from(dice.below(30_000)).unwrap_or(0);
    dice.often(50)
        .then(|| Timestamp(days * 86_400_000 + 123 - 300_000_000_000))
}

/// What findings can be about.
struct Source {
    cylinders: Vec<CylinderId>,
    terminals: Vec<Terminal>,
    elements: Vec<Element>,
    parts: Vec<PartId>,
    fuses: Vec<PartId>,
    drivers: Vec<DriverId>,
}

impl Source {
    fn of(harness: &Harness) -> Self {
        let parts: Vec<PartId> = harness.parts.keys().copied().collect();
        let is_fuse = |id: &PartId| {
            let part = harness.parts.get(id);
            part.is_some_and(|part| matches!(part.kind, PartKind::Fuse(_)))
        };
        Self {
            cylinders: harness.engine.cylinders(),
            terminals: parts
                .iter()
                .flat_map(|id| harness.terminals_of(*id))
                .collect(),
            elements: harness.elements(),
            fuses: parts.iter().copied().filter(is_fuse).collect(),
            parts,
            drivers: harness.drivers().map(|(_, driver)| driver.id).collect(),
        }
    }

    /// Something seen; `None` where the harness has nothing of the kind.
    fn seen(&self, dice: &mut Dice) -> Option<Seen> {
        let effect = dice.pick(&[Effect::Same, Effect::Cured, Effect::Changed]);
        let volts = Volts::lit(dice.between(-0.5, 14.5));
        let red = one(dice, &self.terminals)?;
        let black = one(dice, &self.terminals)?;
        let element = one(dice, &self.elements)?;
        Some(match dice.below(14) {
            0 => Seen::Contribution {
                cylinder: one(dice, &self.cylinders)?,
                works: dice.pick(&[Works::Alive, Works::Dead, Works::Sometimes]),
            },
            1 => Seen::Spark {
                cylinder: one(dice, &self.cylinders)?,
                spark: dice.pick(&[Spark::Yes, Spark::No, Spark::Weak, Spark::WrongTime]),
            },
            2 => Seen::Volts {
                red,
                black: dice.often(80).then_some(black),
                reading: volts,
            },
            3 => Seen::Resistance {
                red,
                black,
                reading: dice.pick(&[
                    OhmReading::Overload,
                    OhmReading::Ohms(Ohms::lit(0.52)),
                    OhmReading::Ohms(Ohms::lit(12_345.6)),
                ]),
            },
            4 => Seen::Drop {
                red,
                black,
                reading: volts,
            },
            5 => Seen::Lamp {
                red,
                black,
                glow: dice.pick(&[Glow::Bright, Glow::Dim, Glow::Off, Glow::Flickering]),
            },
            6 => Seen::Look {
                element,
                look: dice.pick(&[Look::Sound, Look::Damaged]),
            },
            7 => Seen::Stress {
                element,
                by: dice.pick(&[StressKind::Wiggled, StressKind::Heated, StressKind::Cooled]),
                effect,
            },
            8 => Seen::Substituted {
                part: one(dice, &self.parts)?,
                with: dice.pick(&[Substitute::New, Substitute::KnownGood]),
                effect,
            },
            9 => Seen::Swapped {
                what: if dice.often(50) && !self.drivers.is_empty() {
                    SwapPair::Transistors(one(dice, &self.drivers)?, one(dice, &self.drivers)?)
                } else {
                    SwapPair::Parts(one(dice, &self.parts)?, one(dice, &self.parts)?)
                },
                outcome: dice.pick(&[
                    SwapOutcome::Moved,
                    SwapOutcome::Stayed,
                    SwapOutcome::Gone,
                    SwapOutcome::Changed,
                ]),
            },
            10 => Seen::Cleaned { element, effect },
            11 => Seen::Remade { element, effect },
            12 => Seen::Code {
                code: dice.often(70).then(|| "P0351".into()),
                stored: dice.pick(&[Stored::Present, Stored::Absent]),
            },
            _ => Seen::Compression {
                cylinder: one(dice, &self.cylinders)?,
                result: dice.pick(&[CompressionResult::Good, CompressionResult::Low]),
            },
        })
    }

    fn setup(&self, dice: &mut Dice) -> Setup {
        let speed = Rpm::lit(dice.between(150.0, 3000.0));
        let some = |dice: &mut Dice, from: &[PartId]| -> BTreeSet<PartId> {
            from.iter().copied().filter(|_| dice.often(4)).gather()
        };
        Setup {
            battery: dice.pick(&[BatteryLink::Connected, BatteryLink::Disconnected]),
            key: dice.pick(&[Key::On, Key::Off]),
            engine: dice.pick(&[
                EngineState::Stopped,
                EngineState::Cranking(speed),
                EngineState::Running(speed),
            ]),
            unplugged: some(dice, &self.parts),
            pulled_fuses: some(dice, &self.fuses),
        }
    }
}
