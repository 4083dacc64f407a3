//! Any text as what is kept beside a project: a walk, a trace.

#![no_main]

use libfuzzer_sys::fuzz_target;
use sparktrail_tests::inputs;

fuzz_target!(|bytes: &[u8]| inputs::beside(bytes));
