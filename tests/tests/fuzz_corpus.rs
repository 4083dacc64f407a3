//! What the fuzzer found worth keeping, asked again: `fuzz/kept/TARGET`, each a packed list of inputs.

use std::fs;
use std::path::{Path, PathBuf};

use sparktrail_tests::inputs;
use sparktrail_tests::place::root;

/// The most bytes that all of it may take.
const MOST: usize = 300_000;

type Question = fn(&[u8]);

const TARGETS: [(&str, Question); 5] = [
    ("sealed", inputs::sealed),
    ("link", inputs::link),
    ("beside", inputs::beside),
    ("table", inputs::table),
    ("file", inputs::file),
];

fn packed(target: &str) -> PathBuf {
    root().join("fuzz/kept").join(target)
}

/// Where the fuzzer works: one file an input.
fn corpus(target: &str) -> PathBuf {
    root().join("fuzz/corpus").join(target)
}

/// The inputs in a pack: before each, its bytes as a number of four bytes, the lowest first.
fn unpacked(mut pack: &[u8]) -> Vec<&[u8]> {
    let mut inputs = Vec::new();
    while let Some((length, rest)) = pack.split_first_chunk::<4>() {
        let length = usize::try_from(u32::from_le_bytes(*length)).expect("a length");
        let (input, rest) = rest.split_at(length);
        inputs.push(input);
        pack = rest;
    }
    assert!(pack.is_empty(), "the pack ends within a length");
    inputs
}

fn read(path: &Path) -> Vec<u8> {
    fs::read(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

#[test]
fn everything_kept_is_answered() {
    let mut bytes = 0;
    for (target, ask) in TARGETS {
        let pack = read(&packed(target));
        bytes += pack.len();
        let inputs = unpacked(&pack);
        assert!(inputs.len() >= 100, "{target}: next to nothing is kept");
        for (place, input) in inputs.into_iter().enumerate() {
            println!("{target} {place}: {}", input.escape_ascii());
            ask(input);
        }
    }
    assert!(bytes <= MOST, "{bytes} bytes are kept, {MOST} at most");
}

/// A question that cannot be answered wrongly asks nothing: these must be taken in, by one target each.
#[test]
fn some_of_what_is_kept_is_taken_in() {
    let maps = read(&packed("file"));
    let read_in = |input: &&[u8]| {
        let text = String::from_utf8_lossy(input);
        sparktrail_core::model::file::read(&text).is_ok()
    };
    let found = unpacked(&maps).into_iter().filter(read_in).count();
    assert!(found >= 20, "{found} maps");
}

#[test]
#[ignore = "by hand, before the fuzzer runs: makes fuzz/corpus of what is kept"]
fn unpack() {
    for (target, _) in TARGETS {
        fs::create_dir_all(corpus(target)).expect("a folder can be made");
        for (place, input) in unpacked(&read(&packed(target))).into_iter().enumerate() {
            let file = corpus(target).join(format!("kept-{place}"));
            fs::write(file, input).expect("it can be written");
        }
    }
}

#[test]
#[ignore = "by hand, after the fuzzer's merge: keeps what is in fuzz/corpus, the shortest first"]
fn pack() {
    let mut left = MOST;
    for (place, (target, _)) in TARGETS.into_iter().enumerate() {
        // What one target leaves, the next ones have.
        let share = left / (TARGETS.len() - place);
        let entries = fs::read_dir(corpus(target)).expect("fuzz/corpus is there");
        let mut inputs: Vec<Vec<u8>> = entries
            .map(|entry| read(&entry.expect("it can be read").path()))
            .collect();
        inputs.sort_by_key(|input| (input.len(), input.clone()));
        let mut pack = Vec::new();
        for input in inputs {
            let length = u32::try_from(input.len()).expect("a short input");
            if pack.len() + 4 + input.len() <= share {
                pack.extend(length.to_le_bytes());
                pack.extend(input);
            }
        }
        fs::create_dir_all(root().join("fuzz/kept")).expect("a folder can be made");
        left -= pack.len();
        fs::write(packed(target), pack).expect("it can be written");
    }
}
