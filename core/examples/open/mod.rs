//! Opens the harness file named on the command line, for the examples.

use std::io::Write;
use std::process::ExitCode;

use sparktrail_core::model::{Harness, file};

/// Runs `answer` on the harness of the one file named, and prints the JSON it gives.
pub(crate) fn with_harness(
    example: &str,
    answer: impl FnOnce(&Harness) -> serde_json::Value,
) -> ExitCode {
    let mut named = std::env::args().skip(1);
    let (Some(path), None) = (named.next(), named.next()) else {
        eprintln!(
            "name one harness file: cargo run --release -p sparktrail-core --example {example} -- FILE"
        );
        return ExitCode::from(2);
    };
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) => {
            eprintln!("{path}: cannot be read: {error}");
            return ExitCode::FAILURE;
        }
    };
    match file::read(&text) {
        Ok(harness) => {
            // A reader that stops early, such as `head`, is no fault of ours.
            let _ = writeln!(std::io::stdout(), "{:#}", answer(&harness));
            ExitCode::SUCCESS
        }
        Err(errors) => {
            for line in errors.to_string().lines() {
                eprintln!("{path}: {line}");
            }
            ExitCode::FAILURE
        }
    }
}
