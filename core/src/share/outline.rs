//! Where in a map's text the next letter stands: what each observer of the predictor watches.

use super::numbers::{Field, Numbers};

/// How many observers there are.
pub(super) const OBSERVERS: usize = 9;
/// Places of the tables, by hash.
const PLACES: usize = 1 << 12;
const REPEATS: usize = 1 << 15;
/// A repeat is looked for after so many letters that are the same.
const ALIKE: usize = 6;

/// What surrounds the inside of a list or object.
#[derive(Debug, Clone, Copy, Default)]
struct Around {
    object: bool,
    key: u32,
    kind: u32,
}

/// Where the next letter stands.
#[derive(Clone)]
pub(super) struct Outline {
    text: Vec<u8>,
    around: Vec<Around>,
    quoted: bool,
    wants_key: bool,
    /// The letters of the key so far.
    word: u32,
    /// The field that the letter belongs to, and that within the field around it.
    key: u32,
    path: u32,
    /// The value so far, and how many letters it has.
    value: u32,
    length: usize,
    /// What the field "kind" or "seen" of this object said.
    kind: u32,
    /// The last value in each field.
    before: Vec<u32>,
    numbers: Numbers,
    /// Where text was that may repeat, and how much of it did.
    repeats: Vec<u32>,
    repeat: Option<(usize, usize)>,
}

impl Outline {
    pub(super) fn new() -> Self {
        Self {
            text: Vec::new(),
            around: Vec::new(),
            quoted: false,
            wants_key: false,
            word: 0,
            key: 0,
            path: 0,
            value: 0,
            length: 0,
            kind: 0,
            before: vec![0; PLACES],
            numbers: Numbers::new(),
            repeats: vec![0; REPEATS],
            repeat: None,
        }
    }

    /// Another text begins.
    pub(super) fn begin(&mut self) {
        self.next(0);
        self.around.clear();
        self.quoted = false;
        self.wants_key = false;
        (self.key, self.path, self.kind) = (0, 0, 0);
    }

    /// 0 between the words, 1 in a value's text, 2 where a key is due.
    pub(super) const fn standing(&self) -> usize {
        if self.wants_key {
            2
        } else if self.quoted {
            1
        } else {
            0
        }
    }

    /// The field, as a number for tables.
    pub(super) fn key(&self) -> usize {
        usize::try_from(self.key).unwrap_or_default()
    }

    /// How many letters have repeated, and the letter that would go on with it.
    pub(super) fn repeat(&self) -> Option<(usize, u8)> {
        let (at, length) = self.repeat?;
        Some((length, *self.text.get(at)?))
    }

    /// The next letter was this one.
    pub(super) fn next(&mut self, letter: u8) {
        self.text.push(letter);
        self.follow_repeat(letter);
        if self.quoted {
            self.next_quoted(letter);
        } else {
            self.next_plain(letter);
        }
        let field = Field {
            path: self.path,
            is_id: self.key == ID,
        };
        if self.wants_key {
            self.numbers.pause();
        } else {
            self.numbers.next(letter, field);
        }
        if !self.quoted && matches!(letter, b':' | b'[' | b',' | b'{') {
            self.numbers.start(field);
        }
    }

    fn next_quoted(&mut self, letter: u8) {
        if letter == b'"' {
            self.quoted = false;
            if self.wants_key {
                self.key = self.word;
                self.path = mix(self.around.last().map_or(0, |around| around.key), self.key);
            }
        } else if self.wants_key {
            self.word = mix(self.word, letter.into());
        } else {
            self.add(letter);
        }
    }

    fn next_plain(&mut self, letter: u8) {
        match letter {
            b'"' => {
                self.quoted = true;
                self.word = START;
            }
            b'{' | b'[' => {
                let object = letter == b'{';
                self.around.push(Around {
                    object,
                    key: self.key,
                    kind: self.kind,
                });
                self.wants_key = object;
                if object {
                    (self.key, self.kind) = (0, 0);
                }
                self.start(letter);
            }
            b'}' | b']' => {
                self.end();
                if let Some(around) = self.around.pop() {
                    (self.key, self.kind) = (around.key, around.kind);
                    let outer = self.around.last().map_or(0, |around| around.key);
                    self.path = mix(outer, self.key);
                }
                self.wants_key = false;
                self.start(letter);
            }
            b',' => {
                self.end();
                self.wants_key = self.around.last().is_some_and(|around| around.object);
                self.start(0);
            }
            b':' => {
                self.wants_key = false;
                self.start(0);
            }
            _ => self.add(letter),
        }
    }

    fn start(&mut self, letter: u8) {
        self.value = u32::from(letter);
        self.length = 0;
    }

    fn add(&mut self, letter: u8) {
        self.value = mix(self.value, letter.into());
        self.length += 1;
    }

    /// A value has ended.
    fn end(&mut self) {
        if self.length == 0 {
            return;
        }
        self.before[place(self.path, PLACES)] = self.value;
        if self.key == KIND || self.key == SEEN {
            self.kind = self.value;
        }
    }

    fn follow_repeat(&mut self, letter: u8) {
        let many = self.text.len();
        self.repeat = self.repeat.and_then(|(at, length)| {
            (self.text.get(at) == Some(&letter)).then_some((at + 1, length + 1))
        });
        let Some(last) = self.text.last_chunk::<ALIKE>() else {
            return;
        };
        let hash = last
            .iter()
            .fold(0, |hash, letter| mix(hash, (*letter).into()));
        let earlier = &mut self.repeats[place(hash, REPEATS)];
        let at = usize::try_from(*earlier).unwrap_or_default();
        *earlier = u32::try_from(many).unwrap_or_default();
        if self.repeat.is_none() && at > 0 {
            let before = self.text[..at].iter().rev();
            let now = self.text[..many].iter().rev();
            let alike = before.zip(now).take(32).take_while(|(a, b)| a == b).count();
            self.repeat = (alike > 0).then_some((at, alike));
        }
    }

    /// What each observer watches.
    pub(super) fn watched(&self) -> [u32; OBSERVERS] {
        let standing = u32::from(self.quoted) | u32::from(self.wants_key) << 1;
        let mut back = self.text.iter().rev().map(|letter| u32::from(*letter) + 1);
        let mut last = |hash, many| back.by_ref().take(many).fold(hash, mix);
        let one = last(0, 1);
        let two = last(one, 1);
        let four = last(two, 2);
        let now = if self.quoted && self.wants_key {
            self.word
        } else {
            self.value
        };
        let here = mix(mix(self.path, now), standing);
        let [counted, stepped] = self.numbers.expects();
        [
            mix(standing, self.path),
            mix(one, standing),
            two,
            mix(four, 4),
            mix(here, 7),
            mix(here, self.before[place(self.path, PLACES)]),
            mix(here, self.kind),
            mix(counted, self.key),
            mix(stepped, mix(1, self.key)),
        ]
    }
}

/// How every word starts.
const START: u32 = 17;
const ID: u32 = word(b"id");
const KIND: u32 = word(b"kind");
const SEEN: u32 = word(b"seen");

const fn word(letters: &[u8]) -> u32 {
    let mut hash = START;
    let mut rest = letters;
    while let [first, more @ ..] = rest {
        hash = mix(hash, *first as u32);
        rest = more;
    }
    hash
}

/// Two numbers made into one that looks random.
pub(super) const fn mix(a: u32, b: u32) -> u32 {
    let mixed = (a ^ b.rotate_left(15)).wrapping_mul(0x9E37_79B1) ^ b.wrapping_mul(0x85EB_CA6B);
    mixed ^ (mixed >> 15)
}

pub(super) fn place(hash: u32, places: usize) -> usize {
    usize::try_from(hash).unwrap_or_default() & (places - 1)
}
