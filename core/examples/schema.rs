//! Prints the JSON Schema of harness files: `cargo run -p sparktrail-core --features schema --example schema > sample-harnesses/sparktrail-harness.schema.json`.

fn main() {
    print!("{}", sparktrail_core::model::file::schema());
}
