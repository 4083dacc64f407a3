//! Reads the harness, the setup and the fault that the command line names, for the examples.

use std::io::Write;
use std::process::ExitCode;
use std::sync::Arc;

use sparktrail_core::electrics::{Alteration, Assumptions, Circuit, Solution};
use sparktrail_core::faults::{Fault, all_faults, alteration};
use sparktrail_core::model::{EngineState, Harness, Key, PartKind, Setup, file};
use sparktrail_core::provenance::Fact;
use sparktrail_core::units::{Ohms, Rpm};

/// What the command line asked for, solved.
pub(crate) struct Case {
    pub(crate) harness: Harness,
    pub(crate) setup_name: String,
    fault: Option<Fault>,
    solution: Solution,
}

impl Case {
    pub(crate) const fn solution(&self) -> &Solution {
        &self.solution
    }

    /// The fault in words; `None` for a healthy harness.
    #[allow(
        dead_code,
        reason = "one of the two examples that share this file does not print it"
    )]
    pub(crate) fn fault_name(&self) -> Option<String> {
        let fault = self.fault?;
        let severity = fault
            .mode
            .ohms()
            .map_or_else(String::new, |ohms| format!(" {ohms}"));
        let element = self.harness.element_name(fault.element);
        Some(format!("{element}: {}{severity}", fault.mode.kind().code()))
    }
}

const USE: &str = "FILE [--setup key-on|key-off|idle|idle@RPM|crank|battery-off] [--fault NUMBER] [--pull up:OHMS|down:OHMS]
--fault takes the number of a fault in the order of the example `effects`, from 0
--pull hangs a control unit's own test resistor on each of its coil outputs";

/// Runs `answer` on what the command line names, and prints the text it gives.
pub(crate) fn with_case(example: &str, answer: impl FnOnce(&Case) -> String) -> ExitCode {
    match case(std::env::args().skip(1)) {
        Ok(case) => {
            // A reader that stops early, such as `head`, is no fault of ours.
            let _ = write!(std::io::stdout(), "{}", answer(&case));
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!(
                "{message}\nuse: cargo run --release -p sparktrail-core --example {example} -- {USE}"
            );
            ExitCode::from(2)
        }
    }
}

fn case(mut words: impl Iterator<Item = String>) -> Result<Case, String> {
    let (mut path, mut setup_name, mut number) = (None, "key-on".to_owned(), None);
    let mut pull = None;
    while let Some(word) = words.next() {
        let mut value = || words.next().ok_or_else(|| format!("{word} needs a value"));
        match word.as_str() {
            "--setup" => setup_name = value()?,
            "--pull" => pull = Some(self::pull(&value()?)?),
            "--fault" => {
                let text = value()?;
                number = Some(
                    text.parse::<usize>()
                        .map_err(|_| format!("{text} is no number of a fault"))?,
                );
            }
            _ if path.is_none() && !word.starts_with("--") => path = Some(word),
            _ => return Err(format!("what is {word}?")),
        }
    }
    let path = path.ok_or("name a harness file")?;
    let text = std::fs::read_to_string(&path)
        .map_err(|error| format!("{path}: cannot be read: {error}"))?;
    let mut harness = file::read(&text).map_err(|errors| format!("{path}: {errors}"))?;
    let setup = setup(&setup_name)?;
    if let Some(pull) = pull {
        hang(&mut harness, pull);
    }
    let circuit = Arc::new(Circuit::of(&harness, &Assumptions::default()));
    let fault = match number {
        None => None,
        Some(number) => {
            let faults = all_faults(&harness);
            let most = faults.len();
            Some(
                *faults
                    .get(number)
                    .ok_or_else(|| format!("this harness has {most} faults, from 0"))?,
            )
        }
    };
    let change = fault.map_or_else(Alteration::default, |fault| {
        alteration(&harness, &circuit, fault)
    });
    let solution = Solution::of(&circuit, &setup, &change);
    Ok(Case {
        harness,
        setup_name,
        fault,
        solution,
    })
}

/// A test resistor at each coil output of a unit.
#[derive(Clone, Copy)]
enum Pull {
    Up(Ohms),
    Down(Ohms),
}

/// Gives every unit the resistor, whatever the map says of it.
fn hang(harness: &mut Harness, pull: Pull) {
    for part in harness.parts.values_mut() {
        if let PartKind::ControlUnit(unit) = &mut part.kind {
            match pull {
                Pull::Up(ohms) => unit.pull_up = Some(Fact::assumed(ohms)),
                Pull::Down(ohms) => unit.pull_down = Some(Fact::assumed(ohms)),
            }
        }
    }
}

/// A test resistor by its words on the command line: "up:4700".
fn pull(words: &str) -> Result<Pull, String> {
    let wrong = || format!("{words} is no test resistor: say up:OHMS or down:OHMS");
    let (way, ohms) = words.split_once(':').ok_or_else(wrong)?;
    let ohms = ohms.parse().ok().and_then(|ohms: f64| Ohms::new(ohms).ok());
    let ohms = ohms.filter(|ohms| ohms.get() > 0.0).ok_or_else(wrong)?;
    match way {
        "up" => Ok(Pull::Up(ohms)),
        "down" => Ok(Pull::Down(ohms)),
        _ => Err(wrong()),
    }
}

/// A setup by its name on the command line.
fn setup(name: &str) -> Result<Setup, String> {
    if let Some(speed) = name.strip_prefix("idle@") {
        let rpm = speed.parse().ok().and_then(|rpm: f64| Rpm::new(rpm).ok());
        let rpm = rpm
            .filter(|rpm| rpm.get() > 0.0)
            .ok_or_else(|| format!("{speed} is no speed"))?;
        return Ok(Setup {
            engine: EngineState::Running(rpm),
            ..Setup::key_on()
        });
    }
    match name {
        "key-on" => Ok(Setup::key_on()),
        "key-off" => Ok(Setup {
            key: Key::Off,
            ..Setup::key_on()
        }),
        "idle" => Ok(Setup::idling()),
        "crank" => Ok(Setup {
            engine: EngineState::Cranking(Rpm::lit(200.0)),
            ..Setup::key_on()
        }),
        "battery-off" => Ok(Setup::battery_off()),
        _ => Err(format!("there is no setup {name}")),
    }
}
