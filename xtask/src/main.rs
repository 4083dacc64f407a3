//! `cargo xtask serve | build | test | screens | measure | tidy | setup`.

use std::process::ExitCode;

use clap::{Parser, Subcommand};

mod command;
mod place;
mod setup;

/// Build, serve, test and measure Sparktrail.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    task: Task,
}

#[derive(Subcommand)]
enum Task {
    /// Install what the tests need: wasm target, Chromium, ngspice, a Python environment
    Setup,
}

// `main` returns an exit code rather than a `Result`: with RUST_BACKTRACE=1 the latter would
// bury the message under a backtrace.
fn main() -> ExitCode {
    match run(Arguments::parse().task) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("\nerror: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(task: Task) -> anyhow::Result<()> {
    match task {
        Task::Setup => setup::for_tests().map(drop),
    }
}
