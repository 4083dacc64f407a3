//! What a pick is called.

use crate::model::Harness;
use crate::said::{said, say};
use crate::topology::Pick;

impl Pick {
    /// What the pick is called, as people say it: "Coil B", "Control unit, driver A", "Cylinder 4".
    #[must_use]
    pub fn name(self, harness: &Harness) -> String {
        match self {
            Self::Part(part) => harness.part_name(part).to_owned(),
            Self::Wire(wire) => harness.wire_name(wire),
            Self::Element(element) => harness.element_name(element),
            Self::Cylinder(cylinder) => say!("Cylinder {cylinder}"),
            Self::Terminal(terminal) => harness.terminal_name(terminal),
            Self::Driver(driver) => {
                let host = harness
                    .host_of(driver)
                    .map_or("?", |p| harness.part_name(p));
                let name = harness
                    .driver(driver)
                    .map_or_else(|| said("driver ?"), |d| d.name.as_str());
                format!("{host}, {name}")
            }
        }
    }
}
