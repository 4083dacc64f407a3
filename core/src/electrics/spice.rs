//! The same circuit as text for ngspice, so that anyone can check the reckoning.

use std::fmt::Write;

use super::nominal;
use super::solution::Solution;

/// Turns of the longest period that a transient run goes through before it is averaged.
const SETTLE_PERIODS: f64 = 2.0;

impl Solution {
    /// A plain netlist for ngspice, after `title`.
    ///
    /// While the engine stands it asks for the operating point and prints every node; while it turns it
    /// asks for a transient run and measures the average of every node through one whole cycle. Relays,
    /// units and fuses stand as they were found. Coils are given without their secondary, the flyback
    /// is held by each driver's clamp. Nodes are `n0`, `n1` … in the order of [`Solution::volts`].
    #[must_use]
    pub fn netlist(&self, title: &str) -> String {
        let mut text = String::new();
        let title: String = title
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        // Writing to a string cannot fail.
        let _ = writeln!(text, "* {title}");
        self.write_strands(&mut text);
        let turning = self.point().setup().turns_a_minute() > 0.0;
        if turning {
            self.write_drivers(&mut text);
        }
        self.write_orders(&mut text, turning);
        text
    }

    fn name(&self, place: usize) -> String {
        if place == self.circuit().reference() {
            "0".into()
        } else {
            format!("n{place}")
        }
    }

    fn write_strands(&self, text: &mut String) {
        let (point, circuit) = (self.point(), self.circuit());
        let turning = point.setup().turns_a_minute() > 0.0;
        for held in &point.held {
            let driver = &circuit.drivers[held.driver];
            if let Some(amps) = held.drawn() {
                let (c, e) = (self.name(driver.collector), self.name(driver.emitter));
                let _ = writeln!(text, "I{} {c} {e} {amps:e}", driver.strand);
            }
        }
        for (at, strand) in circuit.strands.iter().enumerate() {
            let weight = point.weights[at];
            if weight <= 0.0 || strand.a == strand.b {
                continue;
            }
            let (mut a, b, ohms) = (self.name(strand.a), self.name(strand.b), 1.0 / weight);
            let emf = point.emfs[at];
            if emf != 0.0 {
                let _ = writeln!(text, "V{at} {a} x{at} {emf:.17e}");
                a = format!("x{at}");
            }
            let coil = circuit.coils.iter().find(|coil| coil.strand == at);
            if let Some(coil) = coil.filter(|_| turning) {
                let _ = writeln!(text, "L{at} {a} l{at} {:.17e}", coil.henries);
                a = format!("l{at}");
            }
            let _ = writeln!(text, "R{at} {a} {b} {ohms:.17e}");
        }
        for (at, &(a, b, ohms)) in self.alteration().bridges.iter().enumerate() {
            if a != b {
                let ohms = 1.0 / super::circuit::siemens(ohms);
                let _ = writeln!(text, "RB{at} {} {} {ohms:.17e}", self.name(a), self.name(b));
            }
        }
        for place in 0..circuit.len() {
            let _ = writeln!(text, "RL{place} n{place} 0 {:e}", 1.0 / nominal::LEAK.value);
        }
    }

    /// Drivers as one-way conductors that a pulse switches, at the crank angles of their sparks.
    fn write_drivers(&self, text: &mut String) {
        let circuit = self.circuit();
        for (k, driver) in circuit.drivers.iter().enumerate() {
            if !self.switching().contains(&k) {
                continue;
            }
            let own = &self.point().drivers[k];
            let (c, e) = (self.name(driver.collector), self.name(driver.emitter));
            let first = driver
                .coils
                .iter()
                .flat_map(|&j| {
                    circuit.coils[j]
                        .reach
                        .angles
                        .iter()
                        .map(|angle| angle.get())
                })
                .fold(f64::INFINITY, f64::min);
            let first = if first.is_finite() { first } else { 0.0 };
            // Degrees of the crank to seconds; the pulse ends at the spark.
            let spark = first / (6.0 * self.point().setup().turns_a_minute());
            let start = (spark - own.dwell).rem_euclid(own.period);
            let _ = writeln!(
                text,
                "VC{k} c{k} 0 PULSE(0 1 {start:e} 1e-7 1e-7 {:e} {:e})",
                own.dwell, own.period
            );
            let across = format!("V({c},{e})");
            let clamp = self.clamp(k);
            let _ = writeln!(
                text,
                "BD{k} {c} {e} I=V(c{k})*max(0,{across}-{:e})/{:e}+max(0,{across}-{clamp:e})/0.1",
                driver.volts, driver.ohms
            );
        }
    }

    fn write_orders(&self, text: &mut String, turning: bool) {
        let n = self.circuit().len();
        let _ = writeln!(
            text,
            ".options reltol=1e-6 abstol=1e-12 vntol=1e-9 gmin=1e-15"
        );
        let _ = writeln!(text, ".control\nset numdgt=14");
        if turning {
            let longest = self
                .point()
                .drivers
                .iter()
                .map(|d| d.period)
                .fold(0.0, f64::max);
            let cycle = self.circuit().turns * 60.0 / self.point().setup().turns_a_minute();
            let from = longest.max(cycle) * SETTLE_PERIODS;
            let to = from + cycle;
            let _ = writeln!(text, "tran 2e-5 {to:e} 0 2e-5 uic");
            for place in 0..n {
                let _ = writeln!(
                    text,
                    "meas tran a{place} AVG v(n{place}) from={from:e} to={to:e}"
                );
            }
        } else {
            let _ = writeln!(text, "op");
            for place in 0..n {
                let _ = writeln!(text, "print v(n{place})");
            }
        }
        let _ = writeln!(text, "quit\n.endc\n.end");
    }
}
