//! Terminals as "12.15": the part's id, a point, and the terminal's number or word on that part.

use super::error::{Wrong, brief};
use super::json::Json;
use super::piece::{Blank, Choice, Piece};
use super::plain::{GONE, plain_number};
use super::reader::{Outline, Reader};
#[cfg(any(test, feature = "schema"))]
use super::schema::Book;
use super::tree::Node;
use super::writer::Writer;
use crate::engine::{CylinderId, MOST_CYLINDERS};
use crate::model::{CavityId, Harness, PartId, PartKind, PinId, Port, Secondary, Side, Terminal};
use crate::said::to_say;

/// The terminals with a name of their own, by the word for the part's kind.
fn named(kind: &str) -> Option<&'static [(&'static str, Port)]> {
    Some(match kind {
        "battery" => &[("30", Port::Plus), ("31", Port::Minus)],
        "fuse" | "key_switch" => &[("in", Port::In), ("out", Port::Out)],
        "relay" => &[
            ("85", Port::WindingEnd),
            ("86", Port::WindingStart),
            ("30", Port::ContactIn),
            ("87", Port::ContactOut),
        ],
        "splice" | "ground" => &[("joint", Port::Joint)],
        "coil" => &[
            ("1", Port::Switched),
            ("15", Port::Feed),
            ("4", Port::TowerA),
            ("4a", Port::TowerA),
            ("4b", Port::TowerB),
            ("31", Port::CoilGround),
            ("drive", Port::DriveIn),
        ],
        "distributor" => &[("4", Port::Centre)],
        "lead" => &[("coil_end", Port::LeadFrom), ("plug_end", Port::LeadTo)],
        "plug" => &[("top", Port::PlugTop), ("shell", Port::Shell)],
        "injector" => &[
            ("feed", Port::InjectorFeed),
            ("control", Port::InjectorControl),
        ],
        "connector" | "control_unit" | "pack" => &[],
        _ => return None,
    })
}

/// The terminal's number or word on its part.
fn token(terminal: Terminal, writer: &Writer<'_>) -> String {
    let fixed = match terminal.port {
        Port::Plus | Port::ContactIn => "30",
        Port::Minus | Port::CoilGround => "31",
        Port::In => "in",
        Port::Out => "out",
        Port::WindingEnd => "85",
        Port::WindingStart => "86",
        Port::ContactOut => "87",
        Port::Joint => "joint",
        Port::Cavity(id, Side::A) => return format!("c{id}a"),
        Port::Cavity(id, Side::B) => return format!("c{id}b"),
        Port::Pin(id) => return format!("p{id}"),
        Port::Switched => "1",
        Port::Feed => "15",
        Port::TowerA if is_two_ended(terminal.part, writer.harness) => "4a",
        Port::TowerA | Port::Centre => "4",
        Port::TowerB => "4b",
        Port::DriveIn => "drive",
        Port::Tower(cylinder) => return format!("t{cylinder}"),
        Port::LeadFrom => "coil_end",
        Port::LeadTo => "plug_end",
        Port::PlugTop => "top",
        Port::Shell => "shell",
        Port::InjectorFeed => "feed",
        Port::InjectorControl => "control",
    };
    fixed.into()
}

fn is_two_ended(part: PartId, harness: &Harness) -> bool {
    let coil = harness.coil(part);
    coil.is_some_and(|coil| coil.secondary == Secondary::TwoEnded)
}

/// The word for the kind of part that has such terminals.
const fn kind_with(port: Port) -> &'static str {
    match port {
        Port::Plus | Port::Minus => "battery",
        Port::In | Port::Out => "fuse",
        Port::WindingEnd | Port::WindingStart | Port::ContactIn | Port::ContactOut => "relay",
        Port::Joint => "splice",
        Port::Cavity(..) => "connector",
        Port::Pin(_) => "control_unit",
        Port::Switched
        | Port::Feed
        | Port::TowerA
        | Port::TowerB
        | Port::CoilGround
        | Port::DriveIn => "coil",
        Port::Centre | Port::Tower(_) => "distributor",
        Port::LeadFrom | Port::LeadTo => "lead",
        Port::PlugTop | Port::Shell => "plug",
        Port::InjectorFeed | Port::InjectorControl => "injector",
    }
}

/// Whether the harness has the part, of a kind with such a terminal, and the pin or cavity.
/// A tower that a coil or cap could have, but has not, is for `check` to tell.
fn exists(terminal: Terminal, harness: &Harness) -> bool {
    let Some(part) = harness.parts.get(&terminal.part) else {
        return false;
    };
    if let Port::Pin(pin) = terminal.port {
        harness.pin(terminal.part, pin).is_some()
    } else if let Port::Cavity(cavity, _) = terminal.port {
        harness.cavity(terminal.part, cavity).is_some()
    } else if let Port::Tower(_) = terminal.port {
        matches!(part.kind, PartKind::Distributor(_))
    } else {
        let named = named(part.kind.word()).unwrap_or_default();
        named.iter().any(|(_, port)| *port == terminal.port)
    }
}

/// The port that `token` names on a part of that kind.
fn port(token: &str, kind: &str) -> Option<Port> {
    let named = named(kind)?;
    if let Some((_, port)) = named.iter().find(|(name, _)| *name == token) {
        return Some(*port);
    }
    match kind {
        "control_unit" => {
            let id = plain_number(token.strip_prefix('p')?)?;
            Some(Port::Pin(PinId::from_number(id)))
        }
        "connector" => {
            let rest = token.strip_prefix('c')?;
            let (id, side) = match rest.strip_suffix('a') {
                Some(id) => (id, Side::A),
                None => (rest.strip_suffix('b')?, Side::B),
            };
            let id = CavityId::from_number(plain_number(id)?);
            Some(Port::Cavity(id, side))
        }
        "distributor" => {
            let cylinder = u8::try_from(plain_number(token.strip_prefix('t')?)?).ok()?;
            (cylinder <= MOST_CYLINDERS).then_some(Port::Tower(CylinderId(cylinder)))
        }
        _ => None,
    }
}

/// The port that `token` names on the part, with its pin or cavity there.
fn port_of(token: &str, part: &Outline<'_>) -> Option<Port> {
    let port = port(token, part.kind)?;
    let there = if let Port::Pin(pin) = port {
        part.pins.contains(&pin.number())
    } else if let Port::Cavity(cavity, _) = port {
        part.cavities.contains(&cavity.number())
    } else {
        true
    };
    there.then_some(port)
}

/// A terminal that the harness no longer has: "90.coil.15" after the word for it.
fn gone(text: &str) -> Option<Terminal> {
    let (id, rest) = text.split_once('.')?;
    let (kind, token) = rest.split_once('.')?;
    let part = PartId::from_number(plain_number(id)?);
    let port = port(token, kind)?;
    Some(Terminal { part, port })
}

/// The terminals of a part, as far as they fit in a message.
fn all(part: &Outline<'_>, named: &[(&str, Port)]) -> Vec<String> {
    const MOST: usize = 12;
    let mut all: Vec<String> = named.iter().map(|(name, _)| (*name).to_owned()).collect();
    all.extend(part.pins.iter().take(MOST + 1).map(|pin| format!("p{pin}")));
    let cavities = part.cavities.iter().take(MOST);
    all.extend(cavities.flat_map(|cavity| [format!("c{cavity}a"), format!("c{cavity}b")]));
    if part.kind == "distributor" {
        all.push("t and a cylinder".into());
    }
    if all.len() > MOST {
        all.truncate(MOST);
        all.push("…".into());
    }
    if all.is_empty() {
        all.push("none".into());
    }
    all
}

impl Blank for Terminal {
    fn blank() -> Self {
        Self {
            part: PartId::from_number(0),
            port: Port::Joint,
        }
    }
}

impl Piece for Terminal {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        let Some(text) = node.text() else {
            let (found, wanted) = (
                node.is(),
                to_say("a terminal in double quotes, such as \"12.15\""),
            );
            reader.wrong(node.at, Wrong::OtherKind { found, wanted });
            return;
        };
        if let Some(terminal) = text.strip_prefix(GONE).and_then(gone) {
            *self = terminal;
            return;
        }
        let split = text.split_once('.');
        let split = split.and_then(|(id, token)| Some((plain_number(id)?, token)));
        let Some((id, token)) = split else {
            let found = text.to_owned();
            reader.wrong(node.at, Wrong::NotATerminal { found });
            return;
        };
        let Some(part) = reader.part(id) else {
            reader.wrong(
                node.at,
                Wrong::NoSuchId {
                    what: to_say("part"),
                    id,
                },
            );
            return;
        };
        // A part of unknown kind is told of where it stands, not at each of its terminals.
        let Some(named) = named(part.kind) else {
            return;
        };
        if let Some(port) = port_of(token, part) {
            let part = PartId::from_number(id);
            *self = Self { part, port };
            return;
        }
        let wrong = Wrong::NoSuchTerminal {
            part: id,
            name: brief(part.name),
            token: token.to_owned(),
            has: all(part, named),
        };
        reader.wrong(node.at, wrong);
    }

    fn write(&mut self, writer: &Writer<'_>) -> Json {
        let (part, token) = (self.part, token(*self, writer));
        Json::Text(if exists(*self, writer.harness) {
            format!("{part}.{token}")
        } else {
            format!("{GONE}{part}.{}.{token}", kind_with(self.port))
        })
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        let token = "(30|31|in|out|85|86|87|joint|1|15|4|4a|4b|drive|coil_end|plug_end|top|shell\
                     |feed|control|p[1-9][0-9]*|c[1-9][0-9]*[ab]|t([1-9]|1[0-6]))";
        let pattern = format!("^({GONE}[1-9][0-9]*\\.[a-z_]+|[1-9][0-9]*)\\.{token}$");
        let says = "A part's id, a point, and the terminal's number or word on that part; p and a pin's id, \
                    c and a cavity's id with a for the side toward the control unit or b for the other, \
                    t and a cylinder. A terminal that is no longer there: \"gone\", the id that the part had, \
                    its kind, and the terminal.";
        let schema = Json::object([
            ("description", Json::text(says)),
            ("type", Json::text("string")),
            ("pattern", Json::Text(pattern)),
        ]);
        book.shared("terminal", schema)
    }
}
