//! Random commands for any harness: most of them fit it, some name what it does not have.

use crate::edit::{Command, FactAt, FactValue, Form, Hanging, Meets, Noted, WireLook, facts};
use crate::engine::{CylinderId, Firing};
use crate::model::random::Dice;
use crate::model::{
    Battery, Cavity, CavityId, Coil, Colour, Condition, Connector, ControlUnit, Distributor,
    DrawnAt, Driver, DriverId, Fuse, GroundSite, Harness, Injector, Lead, LeadKind, PartId,
    PartKind, Pin, PinId, PinRole, Place, Plug, Port, Relay, Secondary, Terminal, UnitRole, Wire,
    WireColour, WireEnd, WireId, WireSize,
};
use crate::provenance::{Fact, Provenance};
use crate::units::{Degrees, Metres, Minutes, SquareMillimetres};

/// A number as an index into a list of `length`; sometimes one past its end.
fn below(dice: &mut Dice, length: usize) -> usize {
    dice.below(length + 1)
}

fn part(harness: &Harness, dice: &mut Dice) -> PartId {
    let place = below(dice, harness.parts.len());
    let id = harness.parts.keys().nth(place).copied();
    id.unwrap_or(PartId::from_number(4_000_000))
}

fn wire(harness: &Harness, dice: &mut Dice) -> WireId {
    let place = below(dice, harness.wires.len());
    let id = harness.wires.keys().nth(place).copied();
    id.unwrap_or(WireId::from_number(4_000_000))
}

fn driver(harness: &Harness, dice: &mut Dice) -> DriverId {
    let all: Vec<DriverId> = harness.drivers().map(|(_, d)| d.id).collect();
    let id = all.get(below(dice, all.len())).copied();
    id.unwrap_or(DriverId::from_number(4_000_000))
}

fn terminal(harness: &Harness, dice: &mut Dice) -> Terminal {
    for _ in 0..4 {
        let all = harness.terminals_of(part(harness, dice));
        if let Some(terminal) = all.get(below(dice, all.len())) {
            return *terminal;
        }
    }
    Terminal {
        part: part(harness, dice),
        port: Port::Joint,
    }
}

fn cylinder(harness: &Harness, dice: &mut Dice) -> CylinderId {
    let all = harness.engine.cylinders();
    let found = all.get(below(dice, all.len())).copied();
    found.unwrap_or(CylinderId(16))
}

fn how(dice: &mut Dice) -> Provenance {
    dice.pick(&Provenance::ALL)
}

fn text(dice: &mut Dice) -> String {
    let texts = [
        "",
        "12",
        "C7",
        "Coil A",
        "<b>bold</b>",
        "\u{1F697} \"x\" \\",
    ];
    if dice.often(2) {
        "x".repeat(600)
    } else {
        dice.pick(&texts).into()
    }
}

fn hanging(dice: &mut Dice) -> Hanging {
    dice.pick(&[Hanging::Removed, Hanging::Loose])
}

fn secondary(dice: &mut Dice) -> Secondary {
    dice.pick(&[
        Secondary::TwoEnded,
        Secondary::ReturnsToFeed,
        Secondary::ReturnsToGround,
    ])
}

fn role(dice: &mut Dice) -> PinRole {
    dice.pick(&[PinRole::CoilSwitch, PinRole::Ground, PinRole::SensorIn])
}

fn colour(dice: &mut Dice) -> WireColour {
    WireColour {
        base: dice.pick(Colour::ALL),
        tracer: dice.often(50).then(|| dice.pick(Colour::ALL)),
    }
}

fn size(dice: &mut Dice) -> WireSize {
    if dice.often(50) {
        WireSize::Awg(dice.pick(&[-3, 14, 18, 60]))
    } else {
        WireSize::Area(SquareMillimetres::lit(dice.pick(&[0.5, 0.75, 1e9])))
    }
}

/// A place of a fact, mostly one that the harness has.
fn fact_at(harness: &Harness, dice: &mut Dice) -> FactAt {
    let all = facts(harness);
    if let Some((at, _)) = all.get(below(dice, all.len()))
        && dice.often(80)
    {
        return *at;
    }
    let wire = wire(harness, dice);
    let part = part(harness, dice);
    let driver = driver(harness, dice);
    dice.pick(&[
        FactAt::WireEnd(wire, WireEnd::From),
        FactAt::WireEnd(wire, WireEnd::To),
        FactAt::WireColour(wire),
        FactAt::WireSize(wire),
        FactAt::WireLength(wire),
        FactAt::DriverOutput(driver),
        FactAt::DriverDrive(driver),
        FactAt::LeadTo(part),
        FactAt::PlugCylinder(part),
        FactAt::FuseRating(part),
        FactAt::PinLabel(part, PinId::from_number(7)),
        FactAt::CavityLabel(part, CavityId::from_number(7)),
    ])
}

/// A value, mostly of the kind that stands at the fact.
fn value(harness: &Harness, at: FactAt, dice: &mut Dice) -> FactValue {
    let wanted = harness.fact(at).map(|fact| fact.value);
    let any = match dice.below(9) {
        0 => FactValue::Number(dice.between(0.0, 20.0)),
        1 => FactValue::Size(size(dice)),
        2 => FactValue::Colour(colour(dice)),
        3 => FactValue::Terminal(terminal(harness, dice)),
        4 => FactValue::Label(text(dice)),
        5 => FactValue::Role(role(dice)),
        6 => FactValue::Cylinder(cylinder(harness, dice)),
        7 => FactValue::Order(harness.engine.cylinders()),
        _ => FactValue::Firing(Firing::At(vec![Degrees::lit(0.0)])),
    };
    match wanted {
        Some(FactValue::Number(number)) => {
            FactValue::Number(number * dice.pick(&[0.5, 1.0, 1.1, 1e6]))
        }
        Some(FactValue::Size(_)) => FactValue::Size(size(dice)),
        Some(FactValue::Colour(_)) => FactValue::Colour(colour(dice)),
        Some(FactValue::Terminal(_)) => FactValue::Terminal(terminal(harness, dice)),
        Some(FactValue::Label(_)) => FactValue::Label(text(dice)),
        Some(FactValue::Role(_)) => FactValue::Role(role(dice)),
        Some(FactValue::Cylinder(_)) => FactValue::Cylinder(cylinder(harness, dice)),
        Some(FactValue::Order(mut order)) => {
            order.reverse();
            FactValue::Order(order)
        }
        Some(FactValue::Firing(_)) | None => any,
    }
}

fn kind(harness: &Harness, dice: &mut Dice) -> PartKind {
    match dice.below(14) {
        0 => PartKind::Battery(Battery::default()),
        1 => PartKind::Fuse(Fuse::default()),
        2 => PartKind::KeySwitch,
        3 => PartKind::Relay(Relay::default()),
        4 => PartKind::Splice,
        5 => PartKind::Ground(dice.pick(&[GroundSite::Engine, GroundSite::Body])),
        6 => PartKind::Connector(Connector {
            cavities: (1..4)
                .map(|n| Cavity {
                    id: CavityId::from_number(n),
                    label: Some(Fact::assumed(n.to_string())),
                })
                .collect(),
        }),
        7 => {
            let mut driver = Driver::new(DriverId::from_number(1), "driver A");
            driver.output = Some(Fact::diagram(PinId::from_number(2)));
            PartKind::ControlUnit(ControlUnit {
                pins: (1..4)
                    .map(|n| Pin {
                        id: PinId::from_number(n),
                        label: Some(Fact::assumed(n.to_string())),
                        role: None,
                        note: String::new(),
                    })
                    .collect(),
                drivers: vec![driver],
                ..ControlUnit::new(dice.pick(&[UnitRole::EngineControl, UnitRole::IgnitionModule]))
            })
        }
        8 => PartKind::Coil(Coil::new(secondary(dice))),
        9 => PartKind::Pack,
        10 => PartKind::Distributor(Distributor {
            towers: harness.engine.cylinders(),
        }),
        11 => PartKind::Lead(Lead {
            kind: dice.pick(&[LeadKind::Lead, LeadKind::Boot]),
            from: Some(Fact::assumed(terminal(harness, dice))),
            to: None,
            resistance: None,
        }),
        12 => PartKind::Plug(Plug {
            cylinder: Some(Fact::assumed(cylinder(harness, dice))),
            ..Plug::default()
        }),
        _ => PartKind::Injector(Injector::default()),
    }
}

fn spot(dice: &mut Dice) -> Option<DrawnAt> {
    dice.often(70).then(|| DrawnAt {
        x: dice.between(-500.0, 1500.0),
        y: dice.pick(&[0.0, 120.0, f64::NAN, 1e13]),
    })
}

/// One of every kind of command but `Replace`.
pub(crate) fn command(harness: &Harness, dice: &mut Dice) -> Command {
    let known = |dice: &mut Dice, at| {
        Some(Fact {
            value: at,
            how: how(dice),
        })
    };
    let pin_of = |harness: &Harness, dice: &mut Dice| {
        let unit = part(harness, dice);
        let pins = harness.unit(unit).map_or(&[][..], |unit| &unit.pins);
        let pin = pins.get(below(dice, pins.len())).map(|pin| pin.id);
        (unit, pin.unwrap_or(PinId::from_number(4_000_000)))
    };
    match dice.below(26) {
        0 => Command::Rename(text(dice)),
        1 => Command::RenamePart {
            part: part(harness, dice),
            name: text(dice),
        },
        2 => Command::SetProvenance {
            at: fact_at(harness, dice),
            how: how(dice),
        },
        3..=6 => {
            let at = fact_at(harness, dice);
            let value = value(harness, at, dice);
            let how = how(dice);
            let fact = dice.often(85).then_some(Fact { value, how });
            Command::SetFact { at, fact }
        }
        7 => {
            let rival = harness.rivals.get(below(dice, harness.rivals.len()));
            let at = rival.map_or(FactAt::FiringOrder, |rival| rival.at);
            let rival = rival.map(|rival| rival.value.clone());
            let held = harness.fact(at).map(|fact| fact.value);
            let keep = if dice.often(50) { held } else { rival };
            let keep = keep.unwrap_or(FactValue::Number(1.0));
            Command::Settle { at, keep }
        }
        8 => Command::SetNote {
            of: {
                let (unit, pin) = pin_of(harness, dice);
                dice.pick(&[
                    Noted::Map,
                    Noted::Part(unit),
                    Noted::Place(unit),
                    Noted::Wire(wire(harness, &mut Dice::new(3))),
                    Noted::Pin(unit, pin),
                ])
            },
            text: text(dice),
        },
        9 => Command::SetPlace {
            part: part(harness, dice),
            place: Place {
                text: text(dice),
                reach: Some(Minutes::lit(20.0)),
            },
        },
        10 => Command::SetCondition {
            part: part(harness, dice),
            condition: Condition::default(),
        },
        11 => {
            let form = match dice.below(6) {
                0 => Form::Secondary(secondary(dice)),
                1 => Form::Pack(dice.often(50).then(|| part(harness, dice))),
                2 => Form::Site(GroundSite::Body),
                3 => Form::Unit(UnitRole::IgnitionModule),
                4 => Form::Towers(vec![cylinder(harness, dice)]),
                _ => Form::Lead(LeadKind::Boot),
            };
            Command::SetForm {
                part: part(harness, dice),
                form,
            }
        }
        12 => Command::RenameDriver {
            driver: driver(harness, dice),
            name: text(dice),
        },
        13 => Command::AddPart {
            name: text(dice),
            kind: Box::new(kind(harness, dice)),
            at: spot(dice),
        },
        14 => Command::RemovePart {
            part: part(harness, dice),
            hanging: hanging(dice),
        },
        15 | 16 => Command::Connect {
            from: terminal(harness, dice),
            to: terminal(harness, dice),
            how: how(dice),
            look: WireLook {
                colour: Some(colour(dice)),
                size: dice.often(50).then(|| size(dice)),
                length: Some(Metres::lit(dice.between(0.1, 4.0))),
            },
        },
        17 => {
            let end = terminal(harness, dice);
            let wire = Wire {
                from: known(dice, end),
                note: text(dice),
                ..Wire::default()
            };
            Command::AddWire(wire)
        }
        18 if dice.often(50) => Command::RemoveWire(wire(harness, dice)),
        18 => Command::Splice {
            wire: wire(harness, dice),
            name: text(dice),
            at: spot(dice),
            meets: match dice.below(3) {
                0 => Meets::Nothing,
                1 => Meets::End(wire(harness, dice), dice.pick(&WireEnd::BOTH)),
                _ => Meets::Terminal(terminal(harness, dice)),
            },
            how: how(dice),
        },
        19 => Command::AddDriver {
            host: part(harness, dice),
            name: text(dice),
        },
        20 => Command::RemoveDriver(driver(harness, dice)),
        21 => {
            let (unit, pin) = pin_of(harness, dice);
            let hanging = hanging(dice);
            if dice.often(50) {
                Command::RemovePin { unit, pin, hanging }
            } else {
                let label = Some(Fact::measured(text(dice)));
                let role = None;
                Command::AddPin { unit, label, role }
            }
        }
        22 => {
            let connector = part(harness, dice);
            let kind = harness.parts.get(&connector).map(|part| &part.kind);
            let cavity = match kind {
                Some(PartKind::Connector(known)) => known.cavities.first().map(|c| c.id),
                Some(_) | None => None,
            };
            match cavity {
                Some(cavity) if dice.often(50) => Command::RemoveCavity {
                    connector,
                    cavity,
                    hanging: hanging(dice),
                },
                Some(_) | None => Command::AddCavity {
                    connector,
                    label: None,
                },
            }
        }
        23 => Command::Renumber {
            part: part(harness, dice),
            labels: vec![text(dice), text(dice)],
            how: how(dice),
        },
        24 => Command::AssignCoil {
            coil: part(harness, dice),
            cylinders: vec![cylinder(harness, dice), cylinder(harness, dice)],
            how: how(dice),
        },
        _ => {
            let first = part(harness, dice);
            let second = part(harness, dice);
            match dice.below(3) {
                0 => Command::Put(vec![(first, spot(dice)), (second, spot(dice))]),
                1 => Command::Duplicate(vec![first, second]),
                _ => Command::Batch(vec![command(harness, dice), command(harness, dice)]),
            }
        }
    }
}
