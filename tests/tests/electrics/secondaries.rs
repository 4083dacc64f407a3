//! What the secondary of the base coil can reach, against transient runs of ngspice with both windings and both plugs.

use sparktrail_core::electrics::{BaseCoil, Demand, Solution};
use sparktrail_core::faults::{Fault, Mode, alteration};
use sparktrail_core::model::{Element, Setup};
use sparktrail_core::units::Ohms;
use sparktrail_tests::outside;

use super::cases::circuit;

/// What the exhaust plug needs, kV; the other plug is left without a gap, to see how high it could go.
const EXHAUST: f64 = 2.0;

/// The base coil as a circuit of two coupled windings: `tower` is the capacitance (pF) at each tower, the rest
/// of 65 pF stands across the winding, where 2.08 MΩ eat 35 % of the energy.
fn netlist(feed: f64, leak: Option<f64>, tower: f64) -> String {
    let secondary = 85.0 * 85.0 * 0.0035;
    let leak = leak.map_or_else(String::new, |ohms| format!("RK c 0 {ohms}\n"));
    format!(
        "* base coil with its secondary
V1 b 0 12.8
R1 b f {}
Rp f p 0.5
Lp p c 3.5m
Ls ta s {secondary}
Rs s tb 10k
K1 Lp Ls 0.97
Cw ta tb {}p
Rl ta tb 2.08e6
RLa ta a 10k
RLb tb x 10k
Ca a 0 {tower}p
Cb x 0 {tower}p
RGa a 0 1e9
RGb x 0 1e9
{leak}VC g 0 PULSE(0 1 1m 1e-7 1e-7 3m 75m)
BD c 0 I=V(g)*max(0,V(c)-0.75)/0.1+max(0,V(c)-400)/0.1
SX x xx x 0 gap
SY x xx 0 x gap
RX xx 0 1
.model gap SW(VT={} VH={} RON=2k ROFF=1e12)
.options reltol=1e-4 abstol=1e-9 vntol=1e-3
.control
tran 2e-8 4.35m 3.99m 2e-7 uic
meas tran up MAX v(a)
meas tran down MIN v(a)
quit
.endc
.end
",
        0.12 + feed,
        65.0 - tower,
        500.0 * EXHAUST + 25.0,
        500.0 * EXHAUST - 25.0,
    )
}

/// Highest voltage at the compression plug, kV.
fn theirs(feed: f64, leak: Option<f64>, tower: f64) -> Option<f64> {
    let answer = outside::ngspice_says(&netlist(feed, leak, tower))?;
    let value = |name: &str| -> f64 {
        let mut lines = answer.lines();
        let found = lines.find_map(|line| {
            let (own, rest) = line.split_once('=')?;
            (own.trim() == name).then(|| rest.split_whitespace().next()?.parse::<f64>().ok())?
        });
        found.unwrap_or_else(|| panic!("no {name}:\n{answer}"))
    };
    Some(value("up").abs().max(value("down").abs()) / 1e3)
}

/// The same as we reckon it.
fn ours(feed: f64, leak: Option<f64>) -> f64 {
    let base = BaseCoil::new();
    let circuit = circuit(&base.harness);
    let ohms = |ohms| Ohms::new(ohms).unwrap();
    let fault = match leak {
        Some(leak) => Fault::new(Element::Wire(base.control), Mode::ToGround(ohms(leak))),
        None => Fault::new(Element::Wire(base.feed), Mode::HighResistance(ohms(feed))),
    };
    let change = alteration(&base.harness, &circuit, fault);
    let demand = Demand::Fixed {
        compression: 12.0,
        exhaust: EXHAUST,
    };
    let sparks = Solution::of(&circuit, &Setup::idling(), &change).sparks(&base.harness, demand);
    let found = sparks.iter().find(|spark| spark.plug == base.plugs[0]);
    found.unwrap().compression.unwrap().available_kv
}

/// Source: ngspice 39 (Debian). Our formulas are approximate: above 10 kV within 20 %, below within 40 %, where
/// the exhaust plug's own spark takes its share and how the towers share the capacitance counts.
/// At +20 Ω all hangs on whether the exhaust plug sparks at all: 1.8 kV where it does not, 2.4 kV where it does.
#[test]
fn what_the_secondary_reaches() {
    let cases = [
        (0.0, None, 20.0),
        (0.5, None, 20.0),
        (2.0, None, 60.0),
        (5.0, None, 20.0),
        (10.0, None, 60.0),
        (20.0, None, 20.0),
        (20.0, None, 60.0),
        (0.0, Some(2.0), 20.0),
        (0.0, Some(5.0), 60.0),
        (0.0, Some(20.0), 20.0),
    ];
    for (feed, leak, tower) in cases {
        let Some(theirs) = theirs(feed, leak, tower) else {
            return;
        };
        let ours = ours(feed, leak);
        let within = if theirs > 10.0 { 0.2 } else { 0.4 };
        println!("feed +{feed} Ω, leak {leak:?}, {tower} pF: {ours:.2} kV, ngspice {theirs:.2} kV");
        assert!(
            (ours / theirs - 1.0).abs() < within,
            "feed +{feed} Ω, leak {leak:?}, {tower} pF: {ours} kV, ngspice {theirs} kV"
        );
    }
}
