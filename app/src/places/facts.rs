//! What is known of one thing on the map, line by line, each with how it is known.

use sparktrail_core::edit::FactAt;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::{
    Driver, DriverId, Harness, PartId, PartKind, Pin, Port, Terminal, WireEnd, WireId,
};
use sparktrail_core::provenance::{Fact, Provenance};
use sparktrail_core::topology::Pick;

use super::words::facts as words;

/// One line: a term, its value, and how it is known.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct FactLine {
    /// What the line is about.
    pub(super) term: String,
    /// The value in words; `None` while unknown.
    pub(super) value: Option<String>,
    /// The fact that the line is about, known or not; `None` where it is about none.
    pub(super) at: Option<FactAt>,
    /// The fact behind it and how it is known; `None` where the line is no fact of the harness.
    pub(super) known: Option<(FactAt, Provenance)>,
    /// What the value names, if that is on the map.
    pub(super) leads_to: Option<Pick>,
}

impl FactLine {
    fn plain(term: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            term: term.into(),
            value: Some(value.into()),
            at: None,
            known: None,
            leads_to: None,
        }
    }

    fn fact<T: Clone>(
        term: impl Into<String>,
        at: FactAt,
        fact: Option<&Fact<T>>,
        say: impl FnOnce(T) -> String,
    ) -> Self {
        Self {
            term: term.into(),
            value: fact.map(|fact| say(fact.value.clone())),
            at: Some(at),
            known: fact.map(|fact| (at, fact.how)),
            leads_to: None,
        }
    }

    fn to(mut self, pick: Option<Pick>) -> Self {
        self.leads_to = pick;
        self
    }
}

/// Everything known of `pick`, in reading order.
pub(super) fn lines(harness: &Harness, pick: Pick) -> Vec<FactLine> {
    match pick {
        Pick::Part(part) => part_lines(harness, part),
        Pick::Wire(wire) => wire_lines(harness, wire),
        Pick::Cylinder(cylinder) => cylinder_lines(harness, cylinder),
        Pick::Driver(driver) => driver_lines(harness, driver),
        Pick::Terminal(terminal) => terminal_lines(harness, terminal),
        Pick::Element(element) => harness
            .part_of(element)
            .map(|part| on_part(harness, part))
            .into_iter()
            .collect(),
    }
}

fn on_part(harness: &Harness, part: PartId) -> FactLine {
    FactLine::plain(words::PART, harness.part_name(part)).to(Some(Pick::Part(part)))
}

fn part_lines(harness: &Harness, id: PartId) -> Vec<FactLine> {
    let Some(part) = harness.parts.get(&id) else {
        return Vec::new();
    };
    let mut lines = kind_lines(harness, id, &part.kind);
    let mut told = |term: &str, value: Option<&str>| {
        if let Some(value) = value.filter(|value| !value.trim().is_empty()) {
            lines.push(FactLine::plain(term, value));
        }
    };
    told(words::PLACE.said(), Some(&part.place.text));
    told(words::AGE.said(), words::age(part.condition.age));
    told(
        words::EXPOSURE.said(),
        words::exposure(part.condition.exposure),
    );
    told(words::NOTE.said(), Some(&part.note));
    lines
}

fn kind_lines(harness: &Harness, id: PartId, kind: &PartKind) -> Vec<FactLine> {
    match kind {
        PartKind::Battery(battery) => vec![
            FactLine::fact(
                words::VOLTAGE,
                FactAt::BatteryVoltage(id),
                battery.voltage.as_ref(),
                words::volts,
            ),
            FactLine::fact(
                words::INNER,
                FactAt::BatteryResistance(id),
                battery.resistance.as_ref(),
                words::ohms,
            ),
        ],
        PartKind::Fuse(fuse) => vec![FactLine::fact(
            words::RATING,
            FactAt::FuseRating(id),
            fuse.rating.as_ref(),
            words::amps,
        )],
        PartKind::Relay(relay) => vec![FactLine::fact(
            words::WINDING,
            FactAt::RelayWinding(id),
            relay.winding.as_ref(),
            words::ohms,
        )],
        PartKind::KeySwitch | PartKind::Splice | PartKind::Ground(_) | PartKind::Pack => Vec::new(),
        PartKind::Connector(connector) => vec![FactLine::plain(
            words::CAVITIES,
            words::count(connector.cavities.len()),
        )],
        PartKind::ControlUnit(unit) => {
            let mut lines: Vec<FactLine> = unit
                .drivers
                .iter()
                .map(|driver| {
                    FactLine::plain(words::DRIVER, driver.name.as_str())
                        .to(Some(Pick::Driver(driver.id)))
                })
                .collect();
            lines.extend(unit.pins.iter().map(|pin| pin_line(harness, id, pin)));
            lines.extend([
                FactLine::fact(
                    words::PULL_UP,
                    FactAt::PullUp(id),
                    unit.pull_up.as_ref(),
                    words::ohms,
                ),
                FactLine::fact(
                    words::PULL_DOWN,
                    FactAt::PullDown(id),
                    unit.pull_down.as_ref(),
                    words::ohms,
                ),
            ]);
            lines
        }
        PartKind::Coil(coil) => {
            let mut lines = vec![
                FactLine::plain(words::SHAPE, words::secondary(coil.secondary)),
                FactLine::fact(
                    words::PRIMARY,
                    FactAt::PrimaryResistance(id),
                    coil.primary_resistance.as_ref(),
                    words::ohms,
                ),
                FactLine::fact(
                    words::INDUCTANCE,
                    FactAt::PrimaryInductance(id),
                    coil.primary_inductance.as_ref(),
                    words::henries,
                ),
                FactLine::fact(
                    words::SECONDARY,
                    FactAt::SecondaryResistance(id),
                    coil.secondary_resistance.as_ref(),
                    words::ohms,
                ),
                FactLine::fact(
                    words::TURNS,
                    FactAt::TurnsRatio(id),
                    coil.turns_ratio.as_ref(),
                    words::ratio,
                ),
            ];
            if let Some(pack) = coil.pack {
                lines.push(
                    FactLine::plain(words::PACK, harness.part_name(pack))
                        .to(Some(Pick::Part(pack))),
                );
            }
            if let Some(driver) = &coil.driver {
                lines.push(
                    FactLine::plain(words::DRIVER, driver.name.as_str())
                        .to(Some(Pick::Driver(driver.id))),
                );
            }
            lines
        }
        PartKind::Distributor(distributor) => {
            let towers: Vec<String> = distributor.towers.iter().map(ToString::to_string).collect();
            vec![FactLine::plain(words::TOWERS, towers.join(" · "))]
        }
        PartKind::Lead(lead) => vec![
            end_line(harness, words::FROM.said(), FactAt::LeadFrom(id), lead.from),
            end_line(harness, words::TO.said(), FactAt::LeadTo(id), lead.to),
            FactLine::fact(
                words::RESISTANCE,
                FactAt::LeadResistance(id),
                lead.resistance.as_ref(),
                words::ohms,
            ),
        ],
        PartKind::Plug(plug) => vec![
            cylinder_line(FactAt::PlugCylinder(id), plug.cylinder),
            FactLine::fact(
                words::GAP,
                FactAt::PlugGap(id),
                plug.gap.as_ref(),
                words::millimetres,
            ),
            FactLine::fact(
                words::RESISTOR,
                FactAt::PlugResistor(id),
                plug.resistor.as_ref(),
                words::ohms,
            ),
        ],
        PartKind::Injector(injector) => vec![
            cylinder_line(FactAt::InjectorCylinder(id), injector.cylinder),
            FactLine::fact(
                words::WINDING,
                FactAt::InjectorWinding(id),
                injector.winding.as_ref(),
                words::ohms,
            ),
        ],
    }
}

fn cylinder_line(at: FactAt, fact: Option<Fact<CylinderId>>) -> FactLine {
    FactLine::fact(words::CYLINDER, at, fact.as_ref(), |c| c.to_string())
        .to(fact.map(|fact| Pick::Cylinder(fact.value)))
}

fn end_line(
    harness: &Harness,
    term: &'static str,
    at: FactAt,
    end: Option<Fact<Terminal>>,
) -> FactLine {
    FactLine::fact(term, at, end.as_ref(), |terminal| {
        harness.terminal_name(terminal)
    })
    .to(end.map(|end| Pick::Part(end.value.part)))
}

fn pin_line(harness: &Harness, part: PartId, pin: &Pin) -> FactLine {
    let terminal = Terminal {
        part,
        port: Port::Pin(pin.id),
    };
    FactLine::fact(
        harness.port_name(terminal),
        FactAt::PinRole(part, pin.id),
        pin.role.as_ref(),
        |role| words::role(role).into(),
    )
    .to(Some(Pick::Terminal(terminal)))
}

fn wire_lines(harness: &Harness, id: WireId) -> Vec<FactLine> {
    let Some(wire) = harness.wires.get(&id) else {
        return Vec::new();
    };
    let mut lines = vec![
        end_line(
            harness,
            words::FROM.said(),
            FactAt::WireEnd(id, WireEnd::From),
            wire.from,
        ),
        end_line(
            harness,
            words::TO.said(),
            FactAt::WireEnd(id, WireEnd::To),
            wire.to,
        ),
        FactLine::fact(
            words::COLOUR,
            FactAt::WireColour(id),
            wire.colour.as_ref(),
            words::colour,
        ),
        FactLine::fact(
            words::SIZE,
            FactAt::WireSize(id),
            wire.size.as_ref(),
            words::size,
        ),
        FactLine::fact(
            words::LENGTH,
            FactAt::WireLength(id),
            wire.length.as_ref(),
            words::metres,
        ),
    ];
    if !wire.note.trim().is_empty() {
        lines.push(FactLine::plain(words::NOTE, wire.note.as_str()));
    }
    lines
}

/// The pairs that could share a double-ended coil.
pub(super) fn companions(harness: &Harness) -> String {
    let pairs = harness.engine.companions().pairs.into_iter();
    let pairs: Vec<(String, String)> = pairs
        .map(|(a, b, _)| (a.to_string(), b.to_string()))
        .collect();
    super::words::job::pairs(&pairs)
}

fn cylinder_lines(harness: &Harness, cylinder: CylinderId) -> Vec<FactLine> {
    let engine = &harness.engine;
    let mut lines = Vec::new();
    if let Some((row, _)) = engine.place(cylinder)
        && engine.banks.len() > 1
    {
        lines.push(FactLine::plain(
            words::BANK,
            engine.banks[row].name.as_str(),
        ));
    }
    lines.push(FactLine {
        value: engine
            .compression_top(cylinder)
            .map(|angle| words::degrees(angle.get())),
        known: Some((FactAt::FiringAngles, engine.firing.how)),
        ..FactLine::plain(words::FIRES, "")
    });
    let companions: Vec<String> = engine
        .companions()
        .of(cylinder)
        .map(|other| other.to_string())
        .collect();
    lines.push(FactLine::plain(
        words::COMPANIONS,
        if companions.is_empty() {
            words::NONE.to_owned()
        } else {
            companions.join(" · ")
        },
    ));
    lines
}

fn driver_lines(harness: &Harness, id: DriverId) -> Vec<FactLine> {
    let (Some(host), Some(driver)) = (harness.host_of(id), harness.driver(id)) else {
        return Vec::new();
    };
    let mut lines = vec![on_part(harness, host)];
    // Inside a coil the driver has no pins of its own.
    if harness.unit(host).is_some() {
        lines.extend(driver_pins(harness, host, driver));
    }
    lines.push(FactLine::fact(
        words::ON_VOLTAGE,
        FactAt::DriverOnVoltage(id),
        driver.on_voltage.as_ref(),
        words::volts,
    ));
    lines.push(FactLine::fact(
        words::ON_RESISTANCE,
        FactAt::DriverOnResistance(id),
        driver.on_resistance.as_ref(),
        words::ohms,
    ));
    lines
}

fn driver_pins(harness: &Harness, host: PartId, driver: &Driver) -> [FactLine; 3] {
    let pin = |term, at, fact: Option<Fact<_>>, otherwise: Option<&str>| {
        let place = fact.map(|fact| Terminal {
            part: host,
            port: Port::Pin(fact.value),
        });
        let mut line = FactLine::fact(term, at, fact.as_ref(), |id| {
            harness.port_name(Terminal {
                part: host,
                port: Port::Pin(id),
            })
        })
        .to(place.map(Pick::Terminal));
        if line.value.is_none() {
            line.value = otherwise.map(Into::into);
        }
        line
    };
    let id = driver.id;
    [
        pin(words::OUTPUT, FactAt::DriverOutput(id), driver.output, None),
        pin(
            words::GROUND,
            FactAt::DriverGround(id),
            driver.ground,
            Some(words::BOARD_GROUND.said()),
        ),
        pin(
            words::DRIVE,
            FactAt::DriverDrive(id),
            driver.drive,
            Some(words::OWN_LOGIC.said()),
        ),
    ]
}

fn terminal_lines(harness: &Harness, terminal: Terminal) -> Vec<FactLine> {
    let part = terminal.part;
    let mut lines = vec![on_part(harness, part)];
    if let Port::Pin(id) = terminal.port
        && let Some(pin) = harness.pin(part, id)
    {
        lines.push(FactLine::fact(
            words::LABEL,
            FactAt::PinLabel(part, id),
            pin.label.as_ref(),
            |label| label,
        ));
        lines.push(FactLine::fact(
            words::ROLE,
            FactAt::PinRole(part, id),
            pin.role.as_ref(),
            |role| words::role(role).into(),
        ));
    }
    if let Port::Cavity(id, _) = terminal.port
        && let Some(cavity) = harness.cavity(part, id)
    {
        lines.push(FactLine::fact(
            words::LABEL,
            FactAt::CavityLabel(part, id),
            cavity.label.as_ref(),
            |label| label,
        ));
    }
    let wires = harness.wires.iter().filter(|(_, wire)| {
        WireEnd::BOTH
            .into_iter()
            .any(|end| wire.end(end).is_some_and(|fact| fact.value == terminal))
    });
    lines.extend(wires.map(|(&id, wire)| {
        FactLine::plain(words::WIRE_KIND, words::wire_colour(wire)).to(Some(Pick::Wire(id)))
    }));
    lines
}

/// What `pick` is called.
pub(super) fn name(harness: &Harness, pick: Pick) -> String {
    match pick {
        Pick::Part(part) => harness.part_name(part).to_owned(),
        Pick::Wire(wire) => harness.wire_name(wire),
        Pick::Element(element) => harness.element_name(element),
        Pick::Cylinder(cylinder) => words::cylinder(cylinder),
        Pick::Terminal(terminal) => harness.terminal_name(terminal),
        Pick::Driver(driver) => {
            let host = harness.host_of(driver).map(|part| harness.part_name(part));
            let name = harness.driver(driver).map(|driver| driver.name.as_str());
            words::of(host.unwrap_or("?"), name.unwrap_or("?"))
        }
    }
}

/// What kind of thing `pick` is, in words.
pub(super) fn kind(harness: &Harness, pick: Pick) -> &'static str {
    match pick {
        Pick::Part(part) => harness
            .parts
            .get(&part)
            .map_or(words::UNKNOWN.said(), |part| words::kind(&part.kind)),
        Pick::Wire(_) => words::WIRE_KIND.said(),
        Pick::Element(_) => words::ELEMENT_KIND.said(),
        Pick::Cylinder(_) => words::CYLINDER_KIND.said(),
        Pick::Terminal(_) => words::TERMINAL_KIND.said(),
        Pick::Driver(_) => words::DRIVER_KIND.said(),
    }
}
