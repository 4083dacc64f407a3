//! Prints the circuit of a harness in a setup as a plain ngspice netlist, so that anyone can check us.
//!
//! ```sh
//! cargo run --release -p sparktrail-core --example netlist -- FILE [--setup NAME] [--fault NUMBER] [--pull up:OHMS|down:OHMS]
//! ```

use std::process::ExitCode;

mod case;

fn main() -> ExitCode {
    case::with_case("netlist", |case| {
        let title = format!("{} ({})", case.harness.title, case.setup_name);
        case.solution().netlist(&title)
    })
}
