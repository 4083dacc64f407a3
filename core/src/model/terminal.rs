//! Terminals: the places on parts where wires end and probes can go.

use super::{CavityId, Harness, PartId, PartKind, PinId, Secondary, apart};
use crate::engine::CylinderId;
use crate::said::say;

/// One terminal of one part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Terminal {
    /// The part.
    pub part: PartId,
    /// Which of its terminals.
    pub port: Port,
}

/// Which terminal of a part. Numbers in the text are those of DIN 72552 where it has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Port {
    /// Battery positive, 30.
    Plus,
    /// Battery negative, 31.
    Minus,
    /// Fuse or key switch, the side toward the battery.
    In,
    /// Fuse or key switch, the switched side.
    Out,
    /// Relay winding, end: 85.
    WindingEnd,
    /// Relay winding, start: 86.
    WindingStart,
    /// Relay contact, common: 30.
    ContactIn,
    /// Relay contact, make: 87.
    ContactOut,
    /// The one terminal of a splice or ground point.
    Joint,
    /// One side of a connector's cavity.
    Cavity(CavityId, Side),
    /// A control unit's pin.
    Pin(PinId),
    /// Coil primary, switched side: 1.
    Switched,
    /// Coil primary, supply side: 15.
    Feed,
    /// Coil tower: 4, or 4a of two.
    TowerA,
    /// Second coil tower: 4b.
    TowerB,
    /// Coil ground, where it is brought out: 31.
    CoilGround,
    /// Drive signal into a coil that holds its own driver.
    DriveIn,
    /// Distributor centre tower: 4.
    Centre,
    /// Distributor tower of a cylinder.
    Tower(CylinderId),
    /// Lead, the end at the coil or distributor.
    LeadFrom,
    /// Lead, the end at the plug.
    LeadTo,
    /// Plug, where the lead pushes on.
    PlugTop,
    /// Plug, the thread.
    Shell,
    /// Injector, supply side.
    InjectorFeed,
    /// Injector, switched side.
    InjectorControl,
}

/// The two sides of an in-line connector: A toward the control unit, B toward the engine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Toward the control unit and battery.
    A,
    /// Toward the engine.
    B,
}

/// How a wire is held at a terminal, and so what can fail there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Hold {
    /// Screwed, crimped or soldered: each wire end has a joint of its own.
    Joint,
    /// Pushed together: the terminal has one contact that opens when the plug is pulled.
    Contact,
    /// Nothing to fail here: the element behind it says it all (fuse, key switch, connector cavity).
    Plain,
    /// High voltage, pushed on: no wire ends here, only a lead.
    Push,
    /// Part of the metal: the thread of a plug.
    Thread,
}

impl Port {
    /// The first of all: from it on come the terminals of a part in anything that is sorted by them.
    pub(crate) const FIRST: Self = Self::Plus;

    /// How a wire or lead is held at this terminal.
    #[must_use]
    pub const fn hold(self) -> Hold {
        match self {
            Self::Plus | Self::Minus | Self::Joint => Hold::Joint,
            Self::In | Self::Out | Self::Cavity(..) => Hold::Plain,
            Self::WindingEnd
            | Self::WindingStart
            | Self::ContactIn
            | Self::ContactOut
            | Self::Pin(_)
            | Self::Switched
            | Self::Feed
            | Self::CoilGround
            | Self::DriveIn
            | Self::InjectorFeed
            | Self::InjectorControl => Hold::Contact,
            Self::TowerA
            | Self::TowerB
            | Self::Centre
            | Self::Tower(_)
            | Self::LeadFrom
            | Self::LeadTo
            | Self::PlugTop => Hold::Push,
            Self::Shell => Hold::Thread,
        }
    }
}

impl Harness {
    /// The terminals of a part, in the order in which people name them. Empty for an unknown part.
    #[must_use]
    pub fn terminals_of(&self, id: PartId) -> Vec<Terminal> {
        let Some(part) = self.parts.get(&id) else {
            return Vec::new();
        };
        let ports = match &part.kind {
            PartKind::Battery(_) => vec![Port::Plus, Port::Minus],
            PartKind::Fuse(_) | PartKind::KeySwitch => vec![Port::In, Port::Out],
            PartKind::Relay(_) => {
                vec![
                    Port::WindingEnd,
                    Port::WindingStart,
                    Port::ContactIn,
                    Port::ContactOut,
                ]
            }
            PartKind::Splice | PartKind::Ground(_) => vec![Port::Joint],
            PartKind::Connector(connector) => connector
                .cavities
                .iter()
                .flat_map(|c| [Port::Cavity(c.id, Side::A), Port::Cavity(c.id, Side::B)])
                .collect(),
            PartKind::ControlUnit(unit) => unit.pins.iter().map(|pin| Port::Pin(pin.id)).collect(),
            PartKind::Coil(coil) => {
                let mut ports = vec![Port::Feed];
                if coil.driver.is_some() {
                    ports.extend([Port::DriveIn, Port::CoilGround]);
                } else {
                    ports.push(Port::Switched);
                    if coil.secondary == Secondary::ReturnsToGround {
                        ports.push(Port::CoilGround);
                    }
                }
                ports.push(Port::TowerA);
                if coil.secondary == Secondary::TwoEnded {
                    ports.push(Port::TowerB);
                }
                ports
            }
            PartKind::Pack => Vec::new(),
            PartKind::Distributor(distributor) => std::iter::once(Port::Centre)
                .chain(distributor.towers.iter().map(|c| Port::Tower(*c)))
                .collect(),
            PartKind::Lead(_) => vec![Port::LeadFrom, Port::LeadTo],
            PartKind::Plug(_) => vec![Port::PlugTop, Port::Shell],
            PartKind::Injector(_) => vec![Port::InjectorFeed, Port::InjectorControl],
        };
        ports
            .into_iter()
            .map(|port| Terminal { part: id, port })
            .collect()
    }

    /// Whether the terminal exists.
    #[must_use]
    pub fn has_terminal(&self, terminal: Terminal) -> bool {
        self.terminals_of(terminal.part).contains(&terminal)
    }

    /// The number or short name of a terminal on its part: "15", "4a", "pin 12", "cavity 3 side B".
    #[must_use]
    pub fn port_name(&self, terminal: Terminal) -> String {
        let kind = self.parts.get(&terminal.part).map(|part| &part.kind);
        let two_ended =
            matches!(kind, Some(PartKind::Coil(coil)) if coil.secondary == Secondary::TwoEnded);
        match terminal.port {
            Port::Plus | Port::ContactIn => "30".into(),
            Port::Minus | Port::CoilGround => "31".into(),
            Port::In => say!("in"),
            Port::Out => say!("out"),
            Port::WindingEnd => "85".into(),
            Port::WindingStart => "86".into(),
            Port::ContactOut => "87".into(),
            Port::Joint => say!("joint"),
            Port::Cavity(id, side) => {
                let label = self
                    .cavity(terminal.part, id)
                    .and_then(|cavity| cavity.label.as_ref())
                    .map_or("?", |label| label.value.as_str());
                let side = match side {
                    Side::A => "A",
                    Side::B => "B",
                };
                say!("cavity {label} side {side}")
            }
            Port::Pin(id) => {
                let label = self
                    .pin(terminal.part, id)
                    .and_then(|pin| pin.label.as_ref())
                    .map_or("?", |label| label.value.as_str());
                say!("pin {label}")
            }
            Port::Switched => "1".into(),
            Port::Feed => "15".into(),
            Port::TowerA if two_ended => "4a".into(),
            Port::TowerA | Port::Centre => "4".into(),
            Port::TowerB => "4b".into(),
            Port::DriveIn => say!("drive"),
            Port::Tower(cylinder) => say!("tower {cylinder}"),
            Port::LeadFrom => say!("coil end"),
            Port::LeadTo => say!("plug end"),
            Port::PlugTop => say!("top"),
            Port::Shell => say!("shell"),
            Port::InjectorFeed => say!("feed"),
            Port::InjectorControl => say!("control"),
        }
    }

    /// Part and terminal as people say it: "Coil B · 15".
    #[must_use]
    pub fn terminal_name(&self, terminal: Terminal) -> String {
        format!(
            "{} · {}",
            apart(self.part_name(terminal.part)),
            apart(&self.port_name(terminal))
        )
    }
}
