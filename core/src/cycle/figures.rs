//! The numbers of one coil, each with its formula, what stands in it, and its source.

use super::{CoilRow, Cycle};
use crate::electrics::{CoilRun, Moment, nominal};
use crate::said::{said, to_say};
use crate::units::Millimetres;

/// A number that is told of a coil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FigureKind {
    /// Current when the driver lets go, A.
    Peak,
    /// What the coil stores then, mJ.
    Energy,
    /// What its secondary can reach at the plug that works, kV.
    Available,
    /// What that plug needs, kV.
    Needed,
    /// What the plug of a waste spark needs, kV.
    NeededWaste,
    /// Up to this speed the whole dwell fits, turns a minute.
    FullDwell,
    /// Up to this speed the coil charges enough, turns a minute.
    EnoughSpeed,
    /// The shortest dwell that charges enough at this speed, ms.
    ShortestDwell,
    /// Dwell as an angle of the crank, degrees.
    DwellAngle,
    /// Current averaged over time, A.
    Average,
    /// Voltage that drives the current, V.
    Voltage,
    /// Resistance of the whole loop, Ω.
    Loop,
    /// Time constant of the loop, ms.
    Constant,
    /// Current that would be reached in the end, A.
    End,
}

/// One quantity that stands in a formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Given {
    /// Its letter in the formula.
    pub letter: &'static str,
    /// Its value, in `unit`.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
}

/// A number with all that makes it.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is.
    pub kind: FigureKind,
    /// The number, in the kind's unit; `None` where nothing reaches it.
    pub value: Option<f64>,
    /// What stands in its formula.
    pub given: Vec<Given>,
}

const FIRST_ORDER: &str = to_say(
    "closed form of a first-order circuit; the running average and peak agree with ngspice (a general circuit simulator)",
);
const PEAK_VOLTAGE: &str = to_say(
    "energy and clamp limits of the secondary; approximate, within 20 % of ngspice above 10 kV, 40 % below",
);
const BREAKDOWN: &str = to_say(
    "empirical formula for a uniform field in air, attributed to Kuffel et al., value from memory; an upper estimate, sharp hot electrodes need less. Pressure and temperature: common practice, no source",
);

impl FigureKind {
    /// Its unit.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Peak | Self::Average | Self::End => "A",
            Self::Energy => "mJ",
            Self::Available | Self::Needed | Self::NeededWaste => "kV",
            Self::FullDwell | Self::EnoughSpeed => said("rpm"),
            Self::ShortestDwell | Self::Constant => "ms",
            Self::DwellAngle => "°",
            Self::Voltage => "V",
            Self::Loop => "Ω",
        }
    }

    /// Its formula.
    #[must_use]
    pub fn formula(self) -> &'static str {
        said(match self {
            Self::Peak => "I = V/R · (1 − e^(−t·R/L))",
            Self::Energy => "E = ½ · L · I²",
            Self::Available => "the lower of √(2·η·E/C) and N · (Vc − V) · k",
            Self::Needed | Self::NeededWaste => {
                "kV = 24.22·x + 6.08·√x with x = gap in cm · p/1.01325 bar · 293 K/T"
            }
            Self::FullDwell => "n = 60 · turns · share / (sparks · t)",
            Self::EnoughSpeed => "the speed at which kV available falls to 1.15 · kV needed",
            Self::ShortestDwell => "the dwell at which kV available falls to 1.15 · kV needed",
            Self::DwellAngle => "angle = 6 · n · t",
            Self::Average => "V/(R·T) · (t − L/R · (1 − e^(−t·R/L)))",
            Self::Voltage => "V = supply at the coil − fixed voltage of the driver",
            Self::Loop => "R = primary + wires + contacts + driver",
            Self::Constant => "L/R",
            Self::End => "V/R",
        })
    }

    /// Where the formula comes from.
    #[must_use]
    pub fn source(self) -> &'static str {
        said(match self {
            Self::Peak | Self::Average | Self::Constant | Self::End => FIRST_ORDER,
            Self::Energy => "energy of an inductance",
            Self::Available => PEAK_VOLTAGE,
            Self::Needed | Self::NeededWaste => BREAKDOWN,
            Self::FullDwell => {
                "arithmetic; that dwell takes at most this share of the time: common practice, no source"
            }
            Self::EnoughSpeed | Self::ShortestDwell => {
                "found by halving with the formulas of this list; the margin of 1.15 is judgement"
            }
            Self::DwellAngle => "arithmetic: 6° a second for each turn a minute",
            Self::Voltage | Self::Loop => {
                "the map's own circuit, solved; copper after IEC 60028, contacts and driver: default values of this program"
            }
        })
    }
}

const fn given(letter: &'static str, value: f64, unit: &'static str) -> Given {
    Given {
        letter,
        value,
        unit,
    }
}

impl Cycle {
    /// The numbers of a coil, the ones that matter most first; empty where no driver energises it.
    #[must_use]
    pub fn figures(&self, row: &CoilRow) -> Vec<Figure> {
        let Some(run) = row.runs.first() else {
            return Vec::new();
        };
        let mut found = self.spark_figures(row, run);
        found.extend(self.times(row, run));
        found.extend(loop_figures(run));
        found
    }

    fn spark_figures(&self, row: &CoilRow, run: &CoilRun) -> Vec<Figure> {
        let ratio = self.ratio(row);
        let figure = |kind, value, given| Figure { kind, value, given };
        let mut found = vec![
            figure(FigureKind::Peak, Some(run.peak().get()), ramp(run)),
            figure(
                FigureKind::Energy,
                Some(run.energy().get() * 1e3),
                vec![inductance(run), given("I", run.peak().get(), "A")],
            ),
            figure(
                FigureKind::Available,
                row.available(Moment::Compression),
                vec![
                    given("η", nominal::SECONDARY_YIELD.value, ""),
                    given("E", run.energy().get() * 1e3, "mJ"),
                    given("C", nominal::SECONDARY_CAPACITANCE.value * 1e12, "pF"),
                    given("N", ratio, ""),
                    given("Vc", nominal::DRIVER_CLAMP.value, "V"),
                    given("k", nominal::CLAMP_OVERSHOOT.value, ""),
                ],
            ),
        ];
        for (kind, moment) in [
            (FigureKind::Needed, Moment::Compression),
            (FigureKind::NeededWaste, Moment::Exhaust),
        ] {
            if let Some(needed) = row.needed(moment) {
                found.push(figure(kind, Some(needed), self.gap(row, moment)));
            }
        }
        found
    }

    fn times(&self, row: &CoilRow, run: &CoilRun) -> Vec<Figure> {
        let figure = |kind, value, given| Figure { kind, value, given };
        let speed = self.speed.get();
        let mut found = Vec::new();
        if let Some(limits) = self.limits(row) {
            let margin = vec![
                given(
                    said("kV needed"),
                    row.needed(Moment::Compression).unwrap_or_default(),
                    "kV",
                ),
                given("t", self.dials().dwell.get() * 1e3, "ms"),
            ];
            found.push(figure(
                FigureKind::FullDwell,
                Some(limits.full_dwell.get()),
                vec![
                    given(said("turns"), run.turns(), ""),
                    given(said("share"), nominal::DWELL_SHARE.value, ""),
                    given(said("sparks"), run.sparks(), ""),
                    given("t", self.dials().dwell.get() * 1e3, "ms"),
                ],
            ));
            let enough = limits.enough.map(crate::units::Rpm::get);
            found.push(figure(FigureKind::EnoughSpeed, enough, margin.clone()));
            let shortest = limits.shortest_dwell.map(|dwell| dwell.get() * 1e3);
            found.push(figure(FigureKind::ShortestDwell, shortest, margin));
        }
        found.push(figure(
            FigureKind::DwellAngle,
            Some(6.0 * speed * run.dwell().get()),
            vec![
                given("n", speed, said("rpm")),
                given("t", run.dwell().get() * 1e3, "ms"),
            ],
        ));
        found
    }

    fn ratio(&self, row: &CoilRow) -> f64 {
        self.harness()
            .coil(row.coil)
            .and_then(|coil| coil.turns_ratio)
            .map_or(nominal::TURNS_RATIO.value, |fact| fact.value)
    }

    /// Gap, pressure and temperature of the plug that needs most at such a moment.
    fn gap(&self, row: &CoilRow, moment: Moment) -> Vec<Given> {
        let wide = |plug| {
            let gap = self.harness().plug(plug).and_then(|plug| plug.gap);
            gap.map_or(nominal::PLUG_GAP.value, |fact| Millimetres::get(fact.value))
        };
        let ends = row.firings.iter().flat_map(|firing| &firing.ends);
        let gap = ends
            .filter(|end| end.moment == moment)
            .map(|end| wide(end.plug))
            .fold(0.0, f64::max);
        let charge = match moment {
            Moment::Compression => self.dials().load,
            Moment::Exhaust | Moment::Other => crate::electrics::Charge::Exhaust,
        };
        let (bar, kelvin) = charge.state();
        vec![
            given(said("gap"), gap, "mm"),
            given("p", bar, "bar"),
            given("T", kelvin, "K"),
        ]
    }
}

fn inductance(run: &CoilRun) -> Given {
    given("L", run.inductance().get() * 1e3, "mH")
}

/// What stands in the rise of the current.
fn ramp(run: &CoilRun) -> Vec<Given> {
    vec![
        given("V", run.voltage().get(), "V"),
        given("R", run.loop_resistance().get(), "Ω"),
        inductance(run),
        given("t", run.dwell().get() * 1e3, "ms"),
    ]
}

fn loop_figures(run: &CoilRun) -> Vec<Figure> {
    let figure = |kind, value, given| Figure {
        kind,
        value: Some(value),
        given,
    };
    let (volts, ohms) = (run.voltage().get(), run.loop_resistance().get());
    let both = || vec![given("V", volts, "V"), given("R", ohms, "Ω")];
    let mut average = ramp(run);
    average.push(given("T", run.period().get() * 1e3, "ms"));
    vec![
        figure(FigureKind::Average, run.average().get(), average),
        figure(FigureKind::Voltage, volts, Vec::new()),
        figure(FigureKind::Loop, ohms, Vec::new()),
        figure(
            FigureKind::Constant,
            run.inductance().get() / ohms.max(1e-9) * 1e3,
            vec![inductance(run), given("R", ohms, "Ω")],
        ),
        figure(FigureKind::End, run.end_current().get(), both()),
    ]
}
