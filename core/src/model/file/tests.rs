//! What is written reads back; what is wrong is told by its place.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use super::*;

#[test]
fn the_smallest_file_reads() {
    let text = r#"{ "format": "sparktrail-harness", "version": 1, "title": "T",
      "engine": { "strokes": 4, "layout": { "kind": "inline" }, "banks": [{ "cylinders": [1, 2] }],
        "firing_order": { "value": [1, 2], "how": "assumed" },
        "firing_degrees": { "value": "even", "how": "assumed" } },
      "parts": [], "wires": [] }"#;
    let harness = read(text).unwrap();
    assert_eq!(harness.next_id, 1);
    assert_eq!(read(&write(&harness)).unwrap(), harness);
}
