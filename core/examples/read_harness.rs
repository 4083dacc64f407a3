//! Reads a harness file and tells what is wrong with it: `cargo run -p sparktrail-core --example read_harness -- FILE`.

use std::process::ExitCode;

use sparktrail_core::model::file;

fn main() -> ExitCode {
    let Some(path) = std::env::args().nth(1) else {
        eprintln!("name a harness file");
        return ExitCode::FAILURE;
    };
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) => {
            eprintln!("{path}: {error}");
            return ExitCode::FAILURE;
        }
    };
    match file::read(&text) {
        Ok(harness) => {
            println!(
                "{}: {} parts, {} wires, {} findings",
                harness.title,
                harness.parts.len(),
                harness.wires.len(),
                harness.findings.len()
            );
            ExitCode::SUCCESS
        }
        Err(errors) => {
            eprintln!("{errors}");
            ExitCode::FAILURE
        }
    }
}
