//! What one fault costs when a process of ngspice is started for it, and how far our answers are from
//! those in 256 bits. Natively only: a page has neither processes nor the time.

use std::io::Write;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::Instant;

use sparktrail_core::electrics::{Alteration, Circuit, Desk, OperatingPoint, Solution};
use sparktrail_core::model::Setup;

use crate::precise::Precise;

/// Processes of ngspice that are timed.
const PROCESSES: usize = 20;

/// Milliseconds for one process of ngspice a fault, its netlist already written; `None` without ngspice.
pub(crate) fn ngspice_ms(circuit: &Arc<Circuit>, alterations: &[Alteration]) -> Option<f64> {
    let program = std::env::var("SPARKTRAIL_NGSPICE").unwrap_or_else(|_| "ngspice".into());
    let step = (alterations.len() / PROCESSES).max(1);
    let mut times = Vec::new();
    for alteration in alterations.iter().step_by(step) {
        let netlist = Solution::of(circuit, &Setup::key_on(), alteration).netlist("measured");
        let start = Instant::now();
        let mut child = Command::new(&program)
            .arg("-b")
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .ok()?;
        child.stdin.take()?.write_all(netlist.as_bytes()).ok()?;
        child.wait().ok()?;
        times.push(start.elapsed().as_secs_f64() * 1e3);
    }
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied()
}

/// Largest distance (V) of any potential, any fault, any of these setups, from the answer in 256 bits.
pub(crate) fn max_error(
    circuit: &Arc<Circuit>,
    alterations: &[Alteration],
    setups: &[Setup],
) -> f64 {
    let mut worst = 0.0_f64;
    for setup in setups {
        let point = Arc::new(OperatingPoint::of(circuit, setup));
        let mut desk = Desk::new(&point);
        for alteration in alterations {
            let ours = desk.answer(alteration).volts;
            let exact = Solution::by(Arc::new(Precise), circuit, setup, alteration);
            for (a, b) in ours.iter().zip(exact.volts()) {
                worst = worst.max((a - b).abs());
            }
        }
    }
    worst
}
