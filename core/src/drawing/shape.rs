//! What a drawing is made of: shapes of marks, runs of wire, labels, and a spot for every element.

use super::geometry::{Point, Rect};
use crate::engine::CylinderId;
use crate::model::{PartId, WireColour};
use crate::provenance::Provenance;
use crate::topology::Pick;

/// How near the map is looked at, from far to close.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Zoom {
    /// Only pins, coils and cylinders are named.
    Far,
    /// Parts and wire colours are named too.
    Near,
    /// Terminals, cavities, joints and values are named too.
    Close,
}

impl Zoom {
    /// Every level, from far to close.
    pub const ALL: [Self; 3] = [Self::Far, Self::Near, Self::Close];

    /// The level at which a map is read when one of its units takes `scale` CSS pixels.
    #[must_use]
    pub fn at_scale(scale: f64) -> Self {
        if scale < 0.72 {
            Self::Far
        } else if scale < 1.7 {
            Self::Near
        } else {
            Self::Close
        }
    }

    /// The word for it in class names.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Far => "far",
            Self::Near => "near",
            Self::Close => "close",
        }
    }
}

/// What a mark stands for, and so how it is painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// The body of a part: filled, outlined.
    Body,
    /// A housing around other parts: outlined faintly.
    Housing,
    /// The engine block seen from above.
    Block,
    /// One row of cylinders.
    Bank,
    /// A cylinder.
    Disc,
    /// A stroke of a circuit symbol.
    Symbol,
    /// A filled part of a circuit symbol.
    Solid,
    /// A faint stroke: a trace, a guide.
    Fine,
    /// What holds the cavities of a connector together.
    Spine,
    /// A splice or ground point.
    Bar,
    /// A pin of a control unit: filled, outlined circle.
    Pin,
    /// A terminal.
    Post,
    /// The open end of a wire that leads nowhere yet.
    Loose,
}

impl Role {
    /// The word for it in class names.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Body => "body",
            Self::Housing => "housing",
            Self::Block => "block",
            Self::Bank => "bank",
            Self::Disc => "disc",
            Self::Symbol => "symbol",
            Self::Solid => "solid",
            Self::Fine => "fine",
            Self::Spine => "spine",
            Self::Bar => "bar",
            Self::Pin => "pin",
            Self::Post => "post",
            Self::Loose => "loose",
        }
    }
}

/// One path of a shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// How it is painted.
    pub role: Role,
    /// The level from which it shows.
    pub from: Zoom,
    /// SVG path data.
    pub d: String,
}

/// Something on the map with a place and a look.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// What it is.
    pub pick: Pick,
    /// The box that holds it.
    pub bounds: Rect,
    /// Its paths, back to front.
    pub marks: Vec<Mark>,
}

impl Shape {
    pub(super) fn new(pick: Pick, bounds: Rect) -> Self {
        Self {
            pick,
            bounds,
            marks: Vec::new(),
        }
    }

    pub(super) fn mark(&mut self, role: Role, from: Zoom, d: String) {
        self.marks.push(Mark { role, from, d });
    }
}

/// What kind of conductor a run is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RunKind {
    /// A wire.
    Wire,
    /// A plug lead.
    Lead,
    /// The boot of a coil that sits on its plug.
    Boot,
}

/// A wire or lead on its way across the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The wire, or the part that is a lead.
    pub pick: Pick,
    /// Wire, lead or boot.
    pub kind: RunKind,
    /// SVG path data.
    pub d: String,
    /// The corners of a wire; points along the curve of a lead.
    pub points: Vec<Point>,
    /// Insulation colour of a wire, where it is known.
    pub colour: Option<WireColour>,
    /// How it is known where the run goes: the weaker of its two ends, or measured where it is a piece of a way that
    /// was measured from end to end.
    pub how: Provenance,
    /// Where it ends in the air.
    pub loose: Vec<Point>,
}

/// On which side of its anchor a label stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Align {
    /// The anchor is at the start of the words.
    Start,
    /// The anchor is in the middle.
    Middle,
    /// The anchor is at the end.
    End,
}

/// What a label says, and so how it is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Voice {
    /// The name of a part.
    Name,
    /// The number of a cylinder.
    Number,
    /// The number of a pin.
    Pin,
    /// A wire's colour and size.
    Wire,
    /// Anything else: terminal numbers, values, places.
    Note,
}

impl Voice {
    /// The word for it in class names.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Number => "number",
            Self::Pin => "pin",
            Self::Wire => "wire",
            Self::Note => "note",
        }
    }

    const fn is_bold(self) -> bool {
        match self {
            Self::Name | Self::Number | Self::Pin => true,
            Self::Wire | Self::Note => false,
        }
    }
}

/// Words on the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// What it says. Never markup.
    pub text: String,
    /// The anchor: on the baseline.
    pub at: Point,
    /// On which side of the anchor it stands.
    pub align: Align,
    /// Type size in map units.
    pub size: f64,
    /// How it is set.
    pub voice: Voice,
    /// The level from which it shows.
    pub from: Zoom,
    /// The last level at which it shows.
    pub until: Zoom,
    /// What it names.
    pub of: Pick,
    /// The part whose body it stands inside of, if it does.
    pub inside: Option<PartId>,
}

impl Label {
    /// The box that the words take up, by estimated letter widths.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let w = text_width(&self.text, self.size, self.voice.is_bold());
        let x = match self.align {
            Align::Start => self.at.x,
            Align::Middle => self.at.x - w / 2.0,
            Align::End => self.at.x - w,
        };
        Rect::new(x, self.at.y - self.size * 0.76, w, self.size)
    }

    /// Whether the label shows at a level.
    #[must_use]
    pub fn shows_at(&self, zoom: Zoom) -> bool {
        self.from <= zoom && zoom <= self.until
    }
}

/// Estimated width of `text` set at `size`, in the same unit.
pub(super) fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    let ems: f64 = text
        .chars()
        .map(|c| match c {
            'i' | 'l' | 'j' | '.' | ',' | ':' | ';' | '\'' | '|' | '·' | 'I' => 0.29,
            't' | 'f' | 'r' | ' ' | '(' | ')' | '/' | '-' => 0.36,
            'm' | 'w' | 'M' | 'W' | '→' | '▲' => 0.86,
            c if c.is_ascii_digit() => 0.58,
            c if c.is_uppercase() => 0.66,
            _ => 0.55,
        })
        .sum();
    ems * size * if bold { 1.06 } else { 1.0 }
}

/// The words in lines no wider than `room`, at most `most` of them; what is left over is cut with "…".
pub(super) fn wrapped(text: &str, size: f64, room: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let grown = lines.last().map(|line| format!("{line} {word}"));
        match grown {
            Some(grown) if lines.len() >= most || text_width(&grown, size, false) <= room => {
                lines.pop();
                lines.push(grown);
            }
            Some(_) | None => lines.push(word.to_owned()),
        }
    }
    for line in &mut lines {
        if text_width(line, size, false) > room {
            *line = shortened(line, size, room);
        }
    }
    lines
}

/// The words, cut at a letter with "…" where they are wider than `room`.
pub(super) fn shortened(text: &str, size: f64, room: f64) -> String {
    if text_width(text, size, true) <= room {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if text_width(&kept, size, true) + size > room {
            break;
        }
    }
    let mut kept = kept.trim_end().to_owned();
    kept.push('…');
    kept
}

/// Where an element is on the map.
#[derive(Debug, Clone, PartialEq)]
pub struct ElementSpot {
    /// SVG path data that a glow follows.
    pub d: String,
    /// Middle of it, for a percentage or a tick.
    pub at: Point,
}

/// A cylinder seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disc {
    /// The cylinder.
    pub cylinder: CylinderId,
    /// Its middle.
    pub at: Point,
    /// Its radius.
    pub r: f64,
}

/// The engine seen from above, front upward.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct EnginePlan {
    /// The block.
    pub block: Rect,
    /// The rows of cylinders, in the order of the engine's banks.
    pub banks: Vec<Rect>,
    /// The cylinders.
    pub discs: Vec<Disc>,
    /// Type size of a word under a cylinder when the whole map is seen at once: there is room for it down to
    /// the next cylinder.
    pub word_size: f64,
    /// Block, rows and the pulley at the front, back to front.
    pub marks: Vec<Mark>,
}
