//! Terminals as "12.15": the part's id, a point, and the terminal's number or word on that part.

use super::error::{Wrong, brief};
use super::json::Json;
use super::piece::{Blank, Piece};
use super::reader::{Outline, Reader};
#[cfg(any(test, feature = "schema"))]
use super::schema::Book;
use super::tree::Node;
use super::writer::Writer;
use crate::engine::{CylinderId, MOST_CYLINDERS};
use crate::model::{CavityId, PartId, PinId, Port, Side, Terminal};

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
fn token(terminal: Terminal, writer: &Writer) -> String {
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
        Port::TowerA if writer.is_two_ended(terminal.part) => "4a",
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

/// The port that `token` names on the part, if it is one.
fn port(token: &str, part: &Outline<'_>, named: &[(&str, Port)]) -> Option<Port> {
    if let Some((_, port)) = named.iter().find(|(name, _)| *name == token) {
        return Some(*port);
    }
    match part.kind {
        "control_unit" => {
            let id = number(token.strip_prefix('p')?)?;
            let found = part.pins.contains(&id);
            found.then_some(Port::Pin(PinId::from_number(id)))
        }
        "connector" => {
            let rest = token.strip_prefix('c')?;
            let (id, side) = match rest.strip_suffix('a') {
                Some(id) => (id, Side::A),
                None => (rest.strip_suffix('b')?, Side::B),
            };
            let id = number(id)?;
            let found = part.cavities.contains(&id);
            found.then_some(Port::Cavity(CavityId::from_number(id), side))
        }
        "distributor" => {
            let cylinder = u8::try_from(number(token.strip_prefix('t')?)?).ok()?;
            (cylinder <= MOST_CYLINDERS).then_some(Port::Tower(CylinderId(cylinder)))
        }
        _ => None,
    }
}

/// A number from 1 without sign or leading zero.
fn number(text: &str) -> Option<u32> {
    let plain = text.bytes().all(|b| b.is_ascii_digit()) && !text.starts_with('0');
    plain.then(|| text.parse().ok()).flatten()
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
            let (found, wanted) = (node.is(), "a terminal in double quotes, such as \"12.15\"");
            reader.wrong(node.at, Wrong::OtherKind { found, wanted });
            return;
        };
        let split = text.split_once('.');
        let split = split.and_then(|(id, token)| Some((number(id)?, token)));
        let Some((id, token)) = split else {
            let found = text.to_owned();
            reader.wrong(node.at, Wrong::NotATerminal { found });
            return;
        };
        let Some(part) = reader.part(id) else {
            reader.wrong(node.at, Wrong::NoSuchId { what: "part", id });
            return;
        };
        // A part of unknown kind is told of where it stands, not at each of its terminals.
        let Some(named) = named(part.kind) else {
            return;
        };
        if let Some(port) = port(token, part, named) {
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

    fn write(&mut self, writer: &Writer) -> Json {
        Json::Text(format!("{}.{}", self.part, token(*self, writer)))
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        let pattern = "^[1-9][0-9]*\\.(30|31|in|out|85|86|87|joint|1|15|4|4a|4b|drive|coil_end|plug_end\
                       |top|shell|feed|control|p[1-9][0-9]*|c[1-9][0-9]*[ab]|t([1-9]|1[0-6]))$";
        let says = "A part's id, a point, and the terminal's number or word on that part; p and a pin's id, \
                    c and a cavity's id with a for the side toward the control unit or b for the other, \
                    t and a cylinder.";
        let schema = Json::object([
            ("description", Json::text(says)),
            ("type", Json::text("string")),
            ("pattern", Json::text(pattern)),
        ]);
        book.shared("terminal", schema)
    }
}
