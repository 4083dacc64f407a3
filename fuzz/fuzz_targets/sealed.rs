//! Any bytes as the inside of a link, under a checksum that fits.

#![no_main]

use libfuzzer_sys::fuzz_target;
use sparktrail_tests::inputs;

fuzz_target!(|bytes: &[u8]| inputs::sealed(bytes));
