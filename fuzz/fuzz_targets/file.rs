//! Any text as a map's file. Half of the changes are made to the JSON, so that many files stay files.

#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};
use sparktrail_tests::inputs;

fuzz_target!(|bytes: &[u8]| inputs::file(bytes));

fuzz_mutator!(|data: &mut [u8], size: usize, most: usize, seed: u32| {
    if seed.is_multiple_of(2)
        && let Some(spoilt) = inputs::spoilt(&data[..size], u64::from(seed))
        && spoilt.len() <= most.min(data.len())
    {
        data[..spoilt.len()].copy_from_slice(spoilt.as_bytes());
        return spoilt.len();
    }
    fuzzer_mutate(data, size, most)
});
