//! Names as the table writes them: each part, pin and terminal has one that no other has, and is found again by it.

use std::collections::BTreeMap;

use super::cells::says_nothing;
use crate::gather::Gather;
use crate::model::{Harness, PartId, Port, Side, Terminal, WireId};
use crate::said::{in_english, said, say, to_say};

/// Stands between a part and its terminal.
const BETWEEN: &str = " · ";
const LOOSE: &str = to_say("Loose wire");
/// What a pin is called while nobody knows its number.
const UNKNOWN: &str = "?";
/// Names less alike than this are not offered as what may have been meant.
const ALIKE: f64 = 0.82;

/// What a wire that hangs in the air at both ends is called in place of a unit.
pub(super) fn loose() -> &'static str {
    said(LOOSE)
}

/// Whether a unit is called as loose wires are, here or in English.
fn is_loose(unit: &str) -> bool {
    [LOOSE, loose()].iter().any(|name| key(name) == key(unit))
}

/// Every name of one harness.
#[derive(Debug, Clone)]
pub struct Names {
    parts: BTreeMap<PartId, String>,
    by_key: BTreeMap<String, Option<PartId>>,
    ports: BTreeMap<Terminal, String>,
    /// Terminals that are called otherwise in English.
    english: BTreeMap<Terminal, String>,
    exact: BTreeMap<String, Terminal>,
    loose: BTreeMap<String, Option<Terminal>>,
    wires: Vec<WireId>,
}

impl Names {
    /// The names of a harness.
    #[must_use]
    pub fn of(harness: &Harness) -> Self {
        let mut names = Self {
            parts: part_names(harness),
            by_key: BTreeMap::new(),
            ports: BTreeMap::new(),
            english: BTreeMap::new(),
            exact: BTreeMap::new(),
            loose: BTreeMap::new(),
            wires: harness.wires.keys().copied().collect(),
        };
        for (&id, name) in &names.parts {
            once(&mut names.by_key, key(name), id);
        }
        for (&id, part) in &harness.parts {
            // What the owner wrote finds the part too, where only one is called so.
            let plain = key(&part.name);
            if !plain.is_empty() && names.parts.get(&id).is_some_and(|name| key(name) != plain) {
                once(&mut names.by_key, plain, id);
            }
            names.name_ports(harness, id);
        }
        names
    }

    fn name_ports(&mut self, harness: &Harness, part: PartId) {
        let terminals = harness.terminals_of(part);
        let mut seen: BTreeMap<String, usize> = BTreeMap::new();
        for terminal in &terminals {
            *seen.entry(plain_port(harness, *terminal)).or_default() += 1;
        }
        for terminal in terminals {
            let plain = plain_port(harness, terminal);
            let is_plain = seen.get(&plain) == Some(&1) && !is_tricky(&plain);
            let name = |plain: &str| match id_of(terminal.port) {
                Some(id) if !is_plain => format!("{plain} #{id}"),
                Some(_) | None => plain.to_owned(),
            };
            self.ports.insert(terminal, name(&plain));
            let whole = self.terminal(terminal);
            let english = in_english(|| plain_port(harness, terminal));
            if english != plain {
                self.english.insert(terminal, name(&english));
            }
            for spelling in spellings(&plain, &english) {
                let plain_part = &harness.parts.get(&part).map_or("", |p| p.name.as_str());
                for owner in [self.part(part).to_owned(), (*plain_part).to_owned()] {
                    once(
                        &mut self.loose,
                        key(&format!("{owner} {spelling}")),
                        terminal,
                    );
                }
            }
            once(&mut self.loose, key(&whole), terminal);
            self.exact.insert(whole, terminal);
        }
    }

    /// The name of a part; empty where there is no such part.
    #[must_use]
    pub fn part(&self, id: PartId) -> &str {
        self.parts.get(&id).map_or("", String::as_str)
    }

    /// The name of a terminal on its part: a pin's number, "3 side A", "15"; empty where there is none.
    #[must_use]
    pub fn port(&self, terminal: Terminal) -> &str {
        self.ports.get(&terminal).map_or("", String::as_str)
    }

    /// Whether the harness has that terminal.
    #[must_use]
    pub fn has(&self, terminal: Terminal) -> bool {
        self.ports.contains_key(&terminal)
    }

    /// Part and terminal, "Coil A · 15"; a part with a single terminal stands for it.
    #[must_use]
    pub fn terminal(&self, terminal: Terminal) -> String {
        let part = self.part(terminal.part);
        if terminal.port == Port::Joint {
            part.to_owned()
        } else {
            format!("{part}{BETWEEN}{}", self.port(terminal))
        }
    }

    /// The part that is called so.
    #[must_use]
    pub fn find_part(&self, text: &str) -> Option<PartId> {
        self.by_key.get(&key(text)).copied().flatten()
    }

    /// The terminal of `part` that is called so: by its name, else by a looser spelling such as "pin 4" or "04".
    #[must_use]
    pub fn find_port(&self, part: PartId, text: &str) -> Option<Terminal> {
        let wanted = text.trim();
        let first = Terminal {
            part,
            port: Port::Plus,
        };
        let own = || {
            let from = self.ports.range(first..);
            from.take_while(|(terminal, _)| terminal.part == part)
        };
        let exact = own().find(|(_, name)| name.as_str() == wanted);
        if let Some((terminal, _)) = exact {
            return Some(*terminal);
        }
        let loosely = loose_pin(wanted);
        let in_english = |terminal: &Terminal| {
            let name = self.english.get(terminal);
            name.is_some_and(|name| loose_pin(name) == loosely)
        };
        let mut alike = own().filter(|(at, name)| loose_pin(name) == loosely || in_english(at));
        let found = alike.next().map(|(terminal, _)| *terminal);
        found.filter(|_| alike.next().is_none())
    }

    /// The terminal that is called so: "Coil A · 15", "coil a 15", "Coil A: pin 15".
    #[must_use]
    pub fn find_terminal(&self, text: &str) -> Option<Terminal> {
        let text = squeezed(text);
        self.exact
            .get(&text)
            .copied()
            .or_else(|| self.loose.get(&key(&text)).copied().flatten())
    }

    /// The wire that hangs in the air and is called so.
    pub(super) fn find_loose_wire(&self, unit: &str, pin: &str) -> Option<WireId> {
        if !is_loose(unit) {
            return None;
        }
        let number = pin.trim().trim_start_matches('#').parse().ok()?;
        let id = WireId::from_number(number);
        self.wires.contains(&id).then_some(id)
    }

    /// The name of a part that looks like `text`.
    #[must_use]
    pub fn close_part(&self, text: &str) -> Option<&str> {
        closest(text, self.parts.values().map(String::as_str))
    }

    /// The name of a terminal that looks like `text`.
    #[must_use]
    pub fn close_terminal(&self, text: &str) -> Option<&str> {
        closest(text, self.exact.keys().map(String::as_str))
    }

    /// Every terminal's name, in the order of the names.
    pub fn terminals(&self) -> impl Iterator<Item = (&str, Terminal)> {
        self.exact
            .iter()
            .map(|(name, &terminal)| (name.as_str(), terminal))
    }
}

fn part_names(harness: &Harness) -> BTreeMap<PartId, String> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    seen.insert(key(LOOSE), 2);
    seen.insert(key(loose()), 2);
    for part in harness.parts.values() {
        *seen.entry(key(&part.name)).or_default() += 1;
    }
    let name = |(&id, part): (&PartId, &crate::model::Part)| {
        let plain = squeezed(&part.name);
        let is_plain = !plain.is_empty() && seen.get(&key(&plain)) == Some(&1);
        let name = if is_plain && !is_tricky(&plain) {
            plain
        } else if plain.is_empty() {
            format!("#{id}")
        } else {
            format!("{plain} #{id}")
        };
        (id, name)
    };
    harness.parts.iter().map(name).gather()
}

/// Whether a name could be taken for another's name with its terminal or id.
fn is_tricky(name: &str) -> bool {
    says_nothing(name) || name.contains(['#', '·', '\'']) || is_loose(name)
}

fn id_of(port: Port) -> Option<u32> {
    if let Port::Pin(id) = port {
        Some(id.number())
    } else if let Port::Cavity(id, _) = port {
        Some(id.number())
    } else {
        None
    }
}

/// A terminal's name on its part, whether or not another has the same.
fn plain_port(harness: &Harness, terminal: Terminal) -> String {
    let label = |label: Option<&str>| match label.map(squeezed) {
        Some(label) if !label.is_empty() => label,
        Some(_) | None => UNKNOWN.to_owned(),
    };
    if let Port::Pin(id) = terminal.port {
        let pin = harness.pin(terminal.part, id);
        label(pin.and_then(|pin| pin.label.as_ref().map(|fact| fact.value.as_str())))
    } else if let Port::Cavity(id, side) = terminal.port {
        let cavity = harness.cavity(terminal.part, id);
        let label =
            label(cavity.and_then(|cavity| cavity.label.as_ref().map(|fact| fact.value.as_str())));
        with_side(&label, side)
    } else {
        harness.port_name(terminal)
    }
}

/// A cavity's label with its side: "3 side A".
pub(super) fn with_side(label: &str, side: Side) -> String {
    let side = match side {
        Side::A => "A",
        Side::B => "B",
    };
    say!("{label} side {side}")
}

/// A cavity's label and the side that stands behind it, as it is written here or in English.
pub(super) fn behind_side(pin: &str) -> Option<(&str, Side)> {
    [Side::A, Side::B].into_iter().find_map(|side| {
        let here = with_side("", side);
        let english = in_english(|| with_side("", side));
        let label = pin.strip_suffix(&here);
        let label = label.or_else(|| pin.strip_suffix(&english))?;
        Some((label.trim(), side))
    })
}

/// Words that people put before a terminal's name.
const BEFORE: [&str; 5] = [
    to_say("pin"),
    to_say("cavity"),
    to_say("terminal"),
    to_say("no."),
    "no",
];

/// How else a terminal may be written.
fn spellings(port: &str, english: &str) -> Vec<String> {
    let mut all = vec![port.to_owned(), english.to_owned()];
    all.extend(["pin", "terminal"].map(|before| format!("{before} {english}")));
    all.push(format!("{} {port}", said("terminal")));
    all
}

/// Notes what `key` leads to; where it leads to two things, to none.
fn once<T: PartialEq>(map: &mut BTreeMap<String, Option<T>>, key: String, to: T) {
    map.entry(key)
        .and_modify(|found| {
            if found.as_ref() != Some(&to) {
                *found = None;
            }
        })
        .or_insert(Some(to));
}

/// One blank for any run of blanks, none at the ends.
pub(super) fn squeezed(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text.split(|c: char| c.is_whitespace() || c.is_control()) {
        if !word.is_empty() {
            if !out.is_empty() {
                out.push(' ');
            }
            out.push_str(word);
        }
    }
    out
}

/// A name without case, blanks and the strokes that people put between part and terminal.
pub(super) fn key(text: &str) -> String {
    let words = text.split(|c: char| {
        c.is_whitespace()
            || c.is_control()
            || matches!(c, '·' | ':' | ',' | ';' | '/' | '-' | '_' | '→' | '(' | ')')
    });
    let words: Vec<String> = words
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join(" ")
}

/// A pin without the words before it, leading zeros and case.
fn loose_pin(text: &str) -> String {
    let key = key(text);
    let mut rest = key.as_str();
    for before in BEFORE {
        for before in [before.to_owned(), said(before).to_lowercase()] {
            let behind = rest.strip_prefix(&before);
            let behind = behind.and_then(|behind| behind.strip_prefix(' '));
            rest = behind.unwrap_or(rest);
        }
    }
    let plain = rest.trim_start_matches('0');
    if plain.is_empty() || !plain.starts_with(|c: char| c.is_ascii_digit()) {
        rest.to_owned()
    } else {
        plain.to_owned()
    }
}

fn closest<'n>(text: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    let wanted: String = key(text).chars().take(80).collect();
    let mut best: Option<(f64, &str)> = None;
    for name in names {
        let alike = strsim::jaro_winkler(&wanted, &key(name));
        if alike >= ALIKE && best.is_none_or(|(most, _)| alike > most) {
            best = Some((alike, name));
        }
    }
    best.map(|(_, name)| name)
}
