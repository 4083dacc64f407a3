//! What must hold for whatever comes in from outside: the questions that the fuzzer asks, and the test that replays
//! what it found.
//!
//! Each takes any bytes and panics where the core breaks a promise; a clear refusal is no breach.

use std::sync::{Arc, OnceLock};

use base64ct::{Base64UrlUnpadded, Encoding};
use crc::{CRC_32_ISO_HDLC, Crc};
use serde_json::Value;
use sparktrail_core::edit::History;
use sparktrail_core::model::random::Dice;
use sparktrail_core::model::{Harness, check, file};
use sparktrail_core::share;
use sparktrail_core::table::{Given, Names, Pasted, Plan, Scope, Separator, rows, write};
use sparktrail_core::topology::Topology;
use sparktrail_core::trace::Trace;
use sparktrail_core::walkthrough::Walk;

use crate::spoil::spoil;

/// The most bytes of a map that is sent on as a link each time: squeezing takes longer than all else.
const SENT_ON: usize = 1_500;
/// The most bytes that a link made here claims to hold.
const CLAIMED: usize = 400;

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A map that was taken in is written and read back equal, and everything may look at it.
///
/// # Panics
/// When it does not come back.
fn taken_in(harness: &Harness) {
    let written = file::write(harness);
    assert_eq!(file::read(&written).as_ref(), Ok(harness), "{written}");
    let _ = check(harness);
    let _ = Topology::of(harness);
    let names = Names::of(harness);
    let rows = rows(harness, &names, Scope::All);
    let _ = write(rows.iter().map(|placed| &placed.row), Separator::Tab);
}

/// Any text as a map's file.
///
/// # Panics
/// When an error tells nothing, or a map that was taken in does not come back from its file or its link.
pub fn file(bytes: &[u8]) {
    match file::read(&text(bytes)) {
        Ok(harness) => {
            taken_in(&harness);
            if bytes.len() <= SENT_ON
                && let Ok(letters) = share::link(&harness)
            {
                assert_eq!(share::opened(&letters).as_ref(), Ok(&harness));
            }
        }
        Err(errors) => {
            assert!(!errors.errors.is_empty(), "it is refused without a reason");
            assert!(!errors.to_string().is_empty());
        }
    }
}

/// A text that is JSON with one value changed, as short as can be; `None` where it is not JSON.
#[must_use]
pub fn spoilt(bytes: &[u8], seed: u64) -> Option<String> {
    let mut json: Value = serde_json::from_slice(bytes).ok()?;
    spoil(&mut json, &mut Dice::new(seed));
    Some(json.to_string())
}

/// Any text as a link.
///
/// # Panics
/// When a map that was taken in does not come back.
pub fn link(bytes: &[u8]) {
    if let Ok(harness) = share::opened(&text(bytes)) {
        taken_in(&harness);
    }
}

/// Any bytes as the inside of a link, under a version and a checksum that fit, so that they get as far as the reader.
/// The first two bytes are how much it claims to hold.
///
/// # Panics
/// As [`link`].
pub fn sealed(bytes: &[u8]) {
    let [low, high, packed @ ..] = bytes else {
        return;
    };
    let claimed = usize::from(u16::from_le_bytes([*low, *high])) % CLAIMED;
    let mut body = Vec::new();
    put_number(claimed, &mut body);
    body.extend(packed);
    let mut rest = Vec::new();
    put_number(body.len(), &mut rest);
    rest.extend(body);
    let mut summed = vec![1];
    summed.extend(&rest);
    let sum = Crc::<u32>::new(&CRC_32_ISO_HDLC).checksum(&summed);
    let mut all = vec![1];
    all.extend(sum.to_be_bytes());
    all.extend(rest);
    link(Base64UrlUnpadded::encode_string(&all).as_bytes());
}

/// Seven bits a byte, the lowest first; the eighth says that more follow.
fn put_number(mut number: usize, out: &mut Vec<u8>) {
    while number >= 0x80 {
        out.push(u8::try_from(number & 0x7f).unwrap_or_default() | 0x80);
        number >>= 7;
    }
    out.push(u8::try_from(number).unwrap_or_default());
}

/// The smallest sample, and its names.
fn desk() -> &'static (Arc<Harness>, Names) {
    static DESK: OnceLock<(Arc<Harness>, Names)> = OnceLock::new();
    DESK.get_or_init(|| {
        let sample = include_str!("../../sample-harnesses/red-twin.json");
        let harness = file::read(sample).unwrap_or_else(|errors| panic!("{errors}"));
        let names = Names::of(&harness);
        (Arc::new(harness), names)
    })
}

/// Any text as a pin table that somebody pastes over a small map: onto no part where its first byte is even, else
/// onto one.
///
/// # Panics
/// When the plan's one command is refused for its ids, cannot be undone, or makes a map that is no file.
pub fn table(bytes: &[u8]) {
    let (harness, names) = desk();
    let Some((first, rest)) = bytes.split_first() else {
        return;
    };
    let parts: Vec<_> = harness.parts.keys().copied().collect();
    let unit = (first % 2 == 1)
        .then(|| {
            parts
                .get(usize::from(first / 2) % parts.len().max(1))
                .copied()
        })
        .flatten();
    let given = Given {
        unit,
        ..Given::default()
    };
    let Ok(pasted) = Pasted::guessed(&text(rest), names) else {
        return;
    };
    let Ok(plan) = Plan::of(harness, names, &pasted, given) else {
        return;
    };
    let _ = plan.tally();
    for error in plan.errors() {
        assert!(!error.wrong.to_string().is_empty() && !error.wrong.mend().is_empty());
    }
    let mut history = History::new(Arc::clone(harness));
    let Some(command) = plan.command(history.next_id()) else {
        assert!(plan.is_empty());
        return;
    };
    if history.apply(command).is_ok() {
        let after = history.now();
        assert_eq!(file::read(&file::write(after)).as_ref(), Ok(&**after));
        history.undo();
        assert_eq!(history.now(), harness, "one step back undoes it all");
    }
}

/// Any text as what is kept beside a project.
///
/// # Panics
/// When a walk or trace that was read does not come back from its text.
pub fn beside(bytes: &[u8]) {
    let text = text(bytes);
    let (harness, _) = desk();
    if let Ok(walk) = Walk::of_text(&text) {
        let _ = walk.stage(harness);
        let _ = walk.live(harness).stage(harness);
        assert_eq!(Walk::of_text(&walk.text(harness)).as_ref(), Ok(&walk));
    }
    if let Some(trace) = Trace::read(&text) {
        assert_eq!(Trace::read(&trace.written()).as_ref(), Some(&trace));
        if trace.fits(harness).is_ok() && trace.taken.len() <= 4 {
            let _ = trace.belief(harness);
        }
    }
}
