//! Numbers of the bench: prices of parts, how wrong a meter is, how often a probe touches badly. Judgement.

use crate::isolation::Question;
use crate::model::{Harness, PartKind, Substitute};

/// How far a volt reading is off, as a share and beside it, V.
pub(super) const VOLTS_ERROR: (f64, f64) = (0.004, 0.02);
/// How far the whole car's voltage may stand from what the map takes for granted, as a share: one width.
pub(super) const LEVEL: f64 = 0.006;
/// How far a resistance reading is off, as a share and beside it, Ω.
pub(super) const OHMS_ERROR: (f64, f64) = (0.02, 0.05);
/// Resistance of the meter's own leads, Ω.
pub(super) const LEADS: f64 = 0.1;
/// Chance that a probe touches badly: through varnish, on the wrong pin, not at all.
pub(super) const BAD_CONTACT: f64 = 0.03;
/// A fault that comes and goes is there so often when somebody measures.
pub(super) const SHOWS: f64 = 0.65;
/// How far a severity lies from the grid that the suspects stand on, as a power of e: one width.
pub(super) const SEVERITY: f64 = 0.25;

/// What an act costs in parts, in whole units of any money; nothing where no part is bought. Invented,
/// only their order is meant: a fuse is cheap, a control unit is dear.
#[must_use]
pub fn money(harness: &Harness, question: &Question) -> f64 {
    let Question::Substitute(part, with) = question else {
        return 0.0;
    };
    if *with == Substitute::KnownGood {
        return 0.0;
    }
    match harness.parts.get(part).map(|part| &part.kind) {
        Some(PartKind::Fuse(_)) => 1.0,
        Some(PartKind::Plug(_)) => 9.0,
        Some(PartKind::Relay(_)) => 14.0,
        Some(PartKind::Lead(_)) => 18.0,
        Some(PartKind::Injector(_)) => 70.0,
        Some(PartKind::Coil(_)) => 85.0,
        Some(PartKind::Distributor(_) | PartKind::KeySwitch | PartKind::Battery(_)) => 90.0,
        Some(PartKind::ControlUnit(_)) => 600.0,
        Some(PartKind::Splice | PartKind::Ground(_) | PartKind::Connector(_) | PartKind::Pack)
        | None => 5.0,
    }
}
