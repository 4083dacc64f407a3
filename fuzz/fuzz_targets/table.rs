//! Any text as a pasted table.

#![no_main]

use libfuzzer_sys::fuzz_target;
use sparktrail_tests::inputs;

fuzz_target!(|bytes: &[u8]| inputs::table(bytes));
