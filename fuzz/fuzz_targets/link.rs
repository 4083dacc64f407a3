//! Any text as a link.

#![no_main]

use libfuzzer_sys::fuzz_target;
use sparktrail_tests::inputs;

fuzz_target!(|bytes: &[u8]| inputs::link(bytes));
