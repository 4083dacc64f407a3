//! `cargo xtask serve | build | test | screens | measure | tidy | setup`.

//! `cargo xtask serve | build | test | screens | measure | tidy | setup`.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};

use build::Profile;

mod build;
mod command;
mod early;
mod measure;
mod place;
mod screens;
mod serve;
mod setup;
mod test;
mod tidy;
mod wasm_tests;

/// Build, serve, test and measure Sparktrail.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    task: Task,
}

#[derive(Subcommand)]
enum Task {
    /// Build the app and serve it on this machine
    Serve {
        #[command(flatten)]
        how: How,
        /// The port to serve on
        #[arg(long, default_value_t = 8080)]
        port: u16,
    },
    /// Build the app into target/dist
    Build {
        #[command(flatten)]
        how: How,
        /// Also build the smallest page, which the app is measured beside, into target/dist-smallest
        #[arg(long)]
        smallest: bool,
    },
    /// Bring every translation into the order of the source, with an empty text for what it lacks
    Words,
    /// Run every check: set-up, formatting, lints, house rules, native, outside, browser and wasm tests
    Test {
        /// Only these steps, instead of all
        #[arg(long, value_enum, num_args = 1..)]
        only: Vec<test::Step>,
    },
    /// Build the app quickly and take pictures of it into target/screens (`screens -- --help`)
    Screens {
        /// Build as published rather than quickly
        #[arg(long)]
        release: bool,
        /// What to do before the pictures are taken
        #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
        steps: Vec<String>,
    },
    /// Install what the tests need: wasm target, Chromium, ngspice, a Python environment
    Setup,
    /// Build as published, measure natively and in Chromium, write target/measure.json
    Measure {
        /// Only the core, natively and in Chromium, into target/measure-core.json: no app is built
        #[arg(long)]
        core: bool,
    },
    /// Look for what breaks the house rules that a compiler cannot see
    Tidy,
    /// Run one compiled wasm test file; cargo calls this
    #[command(hide = true)]
    WasmTestRunner {
        #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
        args: Vec<OsString>,
    },
}

#[derive(Args)]
struct How {
    /// Build small and fast, as published (the default)
    #[arg(long, conflicts_with = "dev")]
    release: bool,
    /// Build without optimising: quicker to build again after an edit
    #[arg(long)]
    dev: bool,
}

impl How {
    fn profile(&self) -> Profile {
        if self.dev {
            Profile::Dev
        } else {
            Profile::Release
        }
    }
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
        Task::Serve { how, port } => serve::serve(how.profile(), port),
        Task::Build { how, smallest } => {
            let smallest = smallest.then_some(&build::SMALLEST);
            for page in std::iter::once(&build::APP).chain(smallest) {
                let dist = build::build(page, how.profile())?;
                println!("built into {}", dist.display());
            }
            Ok(())
        }
        Task::Test { only } => test::run(&only),
        Task::Screens { release, steps } => {
            let profile = if release {
                Profile::Release
            } else {
                Profile::Dev
            };
            screens::take(profile, &steps)
        }
        Task::Setup => setup::for_tests(),
        Task::Measure { core } => measure::measure(if core {
            measure::What::Core
        } else {
            measure::What::All
        }),
        Task::Tidy => tidy::check(),
        Task::Words => tidy::write_translations(),
        Task::WasmTestRunner { args } => wasm_tests::run(args),
    }
}
