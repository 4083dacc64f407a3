//! What can go wrong with each element, and which cylinders die, live or are in doubt when it does.

mod catalogue;
mod effect;
mod electric;
mod explain;
mod leads;
mod mode;
mod refined;
mod role;
mod shorts;
mod structural;
mod subject;
mod tell_apart;
mod verdicts;

pub use catalogue::{
    USUAL_FOULING, USUAL_INSULATION, USUAL_LEAD, USUAL_LEAK, USUAL_LIMIT, USUAL_PARTLY_ON,
    USUAL_SERIES, USUAL_SHORT, USUAL_TURNS, all_faults, modes_of,
};
pub use effect::{Besides, Effect, Reason, Verdict};
pub(crate) use electric::high_place;
pub use electric::{alteration, expected, graded_faults, severities, solve};
pub use explain::{Fit, effects, explains};
pub use mode::{Fault, Mode, ModeKind};
pub use refined::{CylinderEffect, Fares, RefinedEffect, Refiner, refined};
pub use structural::{Separated, effect, effect_after};
pub use tell_apart::{
    Alike, Apart, Shift, Shown, alike, best, is_high_voltage, kicks, shifts, tell_apart,
    tell_apart_in, usual_black, usual_setups, widths_apart,
};
