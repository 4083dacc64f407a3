//! Harnesses, setups and seeded faults that the checks share.

use std::sync::Arc;

use sparktrail_core::electrics::{Alteration, Assumptions, Circuit, Switching};
use sparktrail_core::faults::{alteration, graded_faults};
use sparktrail_core::model::{Harness, Key, PartKind, Setup, file};
use sparktrail_tests::place;

/// Every sample with its file name.
pub(crate) fn samples() -> Vec<(String, Harness)> {
    place::samples()
        .unwrap()
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, file::read(&text).unwrap())
        })
        .collect()
}

pub(crate) fn sample(name: &str) -> Harness {
    file::read(&std::fs::read_to_string(place::sample(name)).unwrap()).unwrap()
}

pub(crate) fn circuit(harness: &Harness) -> Arc<Circuit> {
    Arc::new(Circuit::of(harness, &Assumptions::default()))
}

/// Setups in which nothing turns: key on and off, a unit unplugged, a fuse pulled, the battery off.
pub(crate) fn still(harness: &Harness) -> Vec<(&'static str, Setup)> {
    let first = |wanted: fn(&PartKind) -> bool| {
        let mut parts = harness.parts.iter();
        parts
            .find(|(_, part)| wanted(&part.kind))
            .map(|(&id, _)| id)
    };
    let unplugged = first(|kind| matches!(kind, PartKind::ControlUnit(_)));
    let pulled = first(|kind| matches!(kind, PartKind::Fuse(_)));
    vec![
        ("key on", Setup::key_on()),
        (
            "key off",
            Setup {
                key: Key::Off,
                ..Setup::key_on()
            },
        ),
        (
            "unit unplugged",
            Setup {
                unplugged: unplugged.into_iter().collect(),
                ..Setup::key_on()
            },
        ),
        (
            "fuse pulled",
            Setup {
                pulled_fuses: pulled.into_iter().collect(),
                ..Setup::key_on()
            },
        ),
        ("battery off", Setup::battery_off()),
    ]
}

/// A small generator of numbers, the same on every machine.
///
/// # Source
/// Linear congruential generator with the constants of Knuth's MMIX, value from memory.
pub(crate) struct Seeded(pub(crate) u64);

impl Seeded {
    pub(crate) fn below(&mut self, most: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % most.max(1)
    }
}

/// Healthy and `many` seeded faults, as what they do to the circuit.
pub(crate) fn seeded(
    harness: &Harness,
    circuit: &Circuit,
    many: usize,
    seed: u64,
) -> Vec<(String, Alteration)> {
    let all = graded_faults(harness);
    let mut random = Seeded(seed);
    let mut found = vec![("healthy".to_owned(), Alteration::default())];
    for _ in 0..many {
        let fault = all[random.below(all.len())];
        let name = format!("{} {:?}", harness.element_name(fault.element), fault.mode);
        found.push((name, alteration(harness, circuit, fault)));
    }
    found
}

/// The same with every driver's clamp where the netlist has it: no secondary takes the flyback there.
pub(crate) fn clamped(harness: &Harness, mut alteration: Alteration) -> Alteration {
    for (_, driver) in harness.drivers() {
        if !alteration.drivers.iter().any(|(id, _)| *id == driver.id) {
            alteration
                .drivers
                .push((driver.id, Switching::Clamp(400.0)));
        }
    }
    alteration
}
