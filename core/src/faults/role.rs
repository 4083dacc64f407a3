//! What potential an element stands at: what it is for decides what touching it does.

use std::collections::BTreeSet;

use crate::model::{DriverId, Element, PartId};
use crate::topology::{NeedKind, Topology};

/// What an element is for, by the connections that lead over it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Role {
    /// Coils whose switched side it is.
    pub(super) control: BTreeSet<PartId>,
    /// Drivers whose command it carries.
    pub(super) drive: BTreeSet<DriverId>,
    /// Injectors whose switched side it is.
    pub(super) injector: BTreeSet<PartId>,
    /// Relays whose winding returns over it.
    pub(super) relay_low: BTreeSet<PartId>,
    /// Whether it carries supply.
    pub(super) supply: bool,
    /// Whether it carries ground.
    pub(super) ground: bool,
}

impl Role {
    pub(super) fn of(topology: &Topology, element: Element) -> Self {
        let mut role = Self::default();
        for &need in topology.needs_through(element) {
            let Some(need) = topology.needs().get(need) else {
                continue;
            };
            match need.kind {
                NeedKind::Control(coil, _) | NeedKind::ControlToUnknown(coil) => {
                    role.control.insert(coil);
                }
                NeedKind::Drive(driver) => {
                    role.drive.insert(driver);
                }
                NeedKind::InjectorControl(injector) => {
                    role.injector.insert(injector);
                }
                NeedKind::WindingReturn(relay) => {
                    role.relay_low.insert(relay);
                }
                NeedKind::Feed(_)
                | NeedKind::UnitSupply(_)
                | NeedKind::WindingFeed(_)
                | NeedKind::InjectorFeed(_) => role.supply = true,
                NeedKind::DriverGround(_) | NeedKind::UnitGround(_) | NeedKind::EngineGround => {
                    role.ground = true
                }
                // A coil's return runs over supply or ground, which the other needs tell.
                NeedKind::Return(_)
                | NeedKind::Battery(_)
                | NeedKind::Primary(_)
                | NeedKind::Switch(_)
                | NeedKind::Winding(_)
                | NeedKind::Secondary(_)
                | NeedKind::Side(..)
                | NeedKind::SideToUnknown(_)
                | NeedKind::InjectorWinding(_) => {}
            }
        }
        role
    }

    /// What it is first of all.
    pub(super) fn main(&self) -> Main {
        if !self.control.is_empty() {
            Main::Control
        } else if !self.drive.is_empty() {
            Main::Drive
        } else if !self.injector.is_empty() {
            Main::Injector
        } else if self.supply {
            Main::Supply
        } else if self.ground {
            Main::Ground
        } else if !self.relay_low.is_empty() {
            Main::RelayLow
        } else {
            Main::Nothing
        }
    }
}

/// What an element is first of all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Main {
    /// The switched side of coils.
    Control,
    /// A command to drivers.
    Drive,
    /// The switched side of injectors.
    Injector,
    /// Supply.
    Supply,
    /// Ground, that of relay windings too.
    Ground,
    /// The switched side of a relay's winding.
    RelayLow,
    /// No connection that the map shows leads over it.
    Nothing,
}
