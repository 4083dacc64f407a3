//! Words for what can fail, how, and what that does.

use crate::text::{Text, text};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::{Besides, CylinderEffect, Fares, Mode, ModeKind, Reason};
use sparktrail_core::model::{DriverId, Harness, PartId};
use sparktrail_core::said::{digits, said, say};
use sparktrail_core::topology::{Missing, NeedKind};

use super::facts::ohms;

/// Heading with nothing chosen.
pub const HEADING: Text = text("What if something fails?");
/// What to do with nothing chosen.
pub const LEAD: Text = text(
    "Choose a part or wire, on the map or here, and the way it fails. The map shows which cylinders go dead.",
);
/// Heading over the ways.
pub const WAYS: Text = text("Break it");
/// There is nothing to break.
pub const NO_WAYS: Text =
    text("Nothing here fails by itself. Choose the wires and parts around it.");
/// Over what is broken now.
pub const BROKEN: Text = text("Broken for trying");
/// Mending it.
pub const MEND: Text = text("Put it right again");
/// Cylinders without a spark or without work.
pub const DEAD: Text = text("Dead");
/// Cylinders of which it cannot be said.
pub const DOUBTFUL: Text = text("Doubtful");
/// Cylinders that work on.
pub const LIVE: Text = text("Still working");
/// No cylinder at all.
pub const NONE_DEAD: Text = text("No cylinder goes dead.");

/// Says things with the owner's names.
#[derive(Debug, Clone, Copy)]
pub struct Say<'a>(pub &'a Harness);

impl Say<'_> {
    fn part(self, part: PartId) -> String {
        self.0.part_name(part).to_owned()
    }

    fn driver(self, driver: DriverId) -> String {
        self.0
            .driver(driver)
            .map_or_else(|| say!("the driver"), |driver| driver.name.clone())
    }

    /// The way something fails: "open", "shorted to ground".
    #[must_use]
    pub fn mode(self, mode: Mode) -> String {
        match mode {
            Mode::Open => say!("open"),
            Mode::HighResistance(added) => say!("high resistance, +{}", ohms(added)),
            Mode::ToGround(_) => say!("shorted to ground"),
            Mode::ToSupply(_) => say!("shorted to supply"),
            Mode::ToNeighbour(other, _) => {
                say!("shorted to {}", self.0.element_name(other))
            }
            Mode::NeverOn => say!("never switches on"),
            Mode::AlwaysOn => say!("never switches off"),
            Mode::AlwaysOnLimited(amps) => {
                say!("never switches off, holds its current at {amps:.0}")
            }
            Mode::PartlyOn(_) => say!("hangs partly on"),
            Mode::Leaky(_) => say!("leaks"),
            Mode::TurnsShorted(share) => say!("{share:.0} of the turns shorted"),
            Mode::Breakdown => say!("spark breaks through inside"),
            Mode::Tracking => say!("spark creeps along the outside"),
            Mode::TrackingBetween(a, b) => say!("spark creeps from tower {a} to {b}"),
            Mode::BurntTower(tower) => say!("tower {tower} burnt away"),
            Mode::Fouled(_) => say!("fouled"),
            Mode::Worn => say!("worn wide"),
            Mode::Cracked => say!("cracked"),
            Mode::CrossedWith(other) => say!("swapped with {}", self.part(other)),
            Mode::Silent => say!("commands no spark at all"),
            Mode::SilentFor(driver) => say!("commands no spark of {}", self.driver(driver)),
            Mode::Missing => say!("no signal"),
            Mode::Erratic => say!("signal comes and goes"),
            Mode::NoFuel => say!("no fuel"),
            Mode::WrongAir => say!("too much air, or none"),
            Mode::NoCompression => say!("no compression"),
        }
    }

    /// What a connection is for, after "loses": "the feed of Coil A".
    pub(in crate::places) fn need(self, need: NeedKind) -> String {
        match need {
            NeedKind::Battery(part) => say!("its source, {}", self.part(part)),
            NeedKind::Feed(coil) => say!("the feed of {}", self.part(coil)),
            NeedKind::Primary(coil) => say!("the primary winding of {}", self.part(coil)),
            NeedKind::Control(coil, driver) => say!(
                "the way from {} to {}",
                self.part(coil),
                self.driver(driver)
            ),
            NeedKind::ControlToUnknown(coil) => {
                say!("the way from {} to its driver", self.part(coil))
            }
            NeedKind::Switch(driver) => say!("the transistor of {}", self.driver(driver)),
            NeedKind::DriverGround(driver) => say!("the ground of {}", self.driver(driver)),
            NeedKind::Drive(driver) => {
                say!("the signal that switches {}", self.driver(driver))
            }
            NeedKind::UnitSupply(unit) => say!("the supply of {}", self.part(unit)),
            NeedKind::UnitGround(unit) => say!("the ground of {}", self.part(unit)),
            NeedKind::WindingFeed(relay) => say!("the feed of {}’s winding", self.part(relay)),
            NeedKind::Winding(relay) => say!("the winding of {}", self.part(relay)),
            NeedKind::WindingReturn(relay) => {
                say!("the return of {}’s winding", self.part(relay))
            }
            NeedKind::Secondary(coil) => say!("the secondary winding of {}", self.part(coil)),
            NeedKind::Side(tower, plug) => say!(
                "the way from {} to {}",
                self.0.terminal_name(tower),
                self.part(plug)
            ),
            NeedKind::SideToUnknown(tower) => {
                say!("the way on from {}", self.0.terminal_name(tower))
            }
            NeedKind::Return(coil) => say!("the return of {}’s secondary", self.part(coil)),
            NeedKind::EngineGround => say!("the engine’s way to battery minus"),
            NeedKind::InjectorFeed(injector) => say!("the feed of {}", self.part(injector)),
            NeedKind::InjectorWinding(injector) => {
                say!("the winding of {}", self.part(injector))
            }
            NeedKind::InjectorControl(injector) => {
                say!("the way from {} to its pin", self.part(injector))
            }
        }
    }

    /// What the map does not show.
    fn missing(self, missing: Missing) -> String {
        match missing {
            Missing::Battery => say!("it has no battery"),
            Missing::Plug(cylinder) => say!("cylinder {cylinder} has no plug"),
            Missing::Coil(plug) => say!("nothing joins {} to a coil", self.part(plug)),
            Missing::Driver(coil) => say!("nothing is known to switch {}", self.part(coil)),
            Missing::PlugAtTower(tower) => {
                say!("nothing is known at {}", self.0.terminal_name(tower))
            }
            Missing::Command(driver) => {
                say!("nothing is known to tell {} to switch", self.driver(driver))
            }
            Missing::SupplyPin(unit) => say!("{} has no supply pin", self.part(unit)),
            Missing::GroundPin(unit) => say!("{} has no ground pin", self.part(unit)),
            Missing::InjectorPin(injector) => {
                say!("no pin is known to open {}", self.part(injector))
            }
            Missing::Path(need) => say!("it does not show {} whole", self.need(need)),
        }
    }

    /// Why some cylinders are dead, doubtful or alive.
    #[must_use]
    pub fn reason(self, reason: Reason) -> String {
        match reason {
            Reason::Apart => say!("needs nothing that is touched"),
            Reason::OtherWay => say!("on the way, but there is another way round"),
            Reason::OtherPlugSuffers(coil) => say!(
                "only the other plug of {} suffers; the loop through both is still closed",
                self.part(coil)
            ),
            Reason::OnAnyway => say!("this is on anyway while the engine runs"),
            Reason::JoinedAnyway => say!("this joins what is joined anyway"),
            Reason::PolarityOnly => {
                say!("both leads belong to one coil: only the polarity of the sparks changes")
            }
            Reason::SameTime(other) => {
                say!("gets the sparks of cylinder {other} instead, at its own time too")
            }
            Reason::Lost(need) => say!("loses {}", self.need(need)),
            Reason::RelayDrops(relay) => say!("{} drops out", self.part(relay)),
            Reason::FuseBlows(fuse) => say!("{} blows", self.part(fuse)),
            Reason::SupplyShorted => {
                say!("the supply is shorted to ground, with no fuse before the place")
            }
            Reason::NeverCut(coil) => say!(
                "the current through {} is never cut, and only cutting it makes a spark",
                self.part(coil)
            ),
            Reason::NotSwitched(driver) => say!(
                "{} hangs between on and off: no clean cut, no spark",
                self.driver(driver)
            ),
            Reason::DriverShorted(driver) => say!(
                "{} switches a short circuit, and the coil gets nothing",
                self.driver(driver)
            ),
            Reason::BothEndsFed(coil) => say!(
                "both ends of {}’s primary stand at battery voltage, so no current flows",
                self.part(coil)
            ),
            Reason::SignalHeld(driver) => {
                say!("{} gets no signal to switch", self.driver(driver))
            }
            Reason::TurnsShorted(coil) => {
                say!("shorted turns eat the field of {}", self.part(coil))
            }
            Reason::GapShunted(plug) => say!(
                "deposits on {} drain the voltage before it can jump",
                self.part(plug)
            ),
            Reason::SparksOf(other) => say!("gets the sparks meant for cylinder {other}"),
            Reason::Starved(need) => say!("sparks but gets no fuel: loses {}", self.need(need)),
            Reason::NotElectrical(kind) => say!("sparks, but {}", not_electrical(kind)),
            Reason::OneOfTwoPlugs(need) => {
                say!("one of its two plugs loses {}", self.need(need))
            }
            Reason::LoopOpen(need) => say!(
                "the loop through both plugs is broken at the other one, which loses {}; the spark may still find a way",
                self.need(need)
            ),
            Reason::EngineGroundLost => {
                say!("the engine has lost its way to battery minus; a spark may still find one")
            }
            Reason::Weakened(need) => say!("weaker spark: resistance in {}", self.need(need)),
            Reason::SparkElsewhere(element) => {
                say!(
                    "the spark may jump at {} instead",
                    self.0.element_name(element)
                )
            }
            Reason::GapWide(plug) => {
                say!("the wide gap of {} asks for more voltage", self.part(plug))
            }
            Reason::DriverLeaks(driver) => {
                say!(
                    "{} leaks, so its coil has less to gain",
                    self.driver(driver)
                )
            }
            Reason::FiredTogether => say!("two coils are switched together, at both times"),
            Reason::ErraticSignal(unit) => {
                say!("the crank signal of {} comes and goes", self.part(unit))
            }
            Reason::Disturbed => say!("something foreign is joined to what it needs"),
            Reason::Flooded(injector) => {
                say!("{} stays open and floods it", self.part(injector))
            }
            Reason::Unfinished(missing) => say!("the map cannot say: {}", self.missing(missing)),
        }
    }

    /// What a fault does besides.
    #[must_use]
    pub fn besides(self, besides: Besides) -> String {
        match besides {
            Besides::FuseBlows(fuse) => say!("{} blows.", self.part(fuse)),
            Besides::RelayDrops(relay) => say!("{} drops out.", self.part(relay)),
            Besides::CoilOverheats(coil) => say!(
                "{} gets hot: current flows through it all the time. Do not leave the key on.",
                self.part(coil)
            ),
            Besides::DriverOverheats(driver) => say!(
                "{} gets hot or burns out. Do not leave the key on.",
                self.driver(driver)
            ),
            Besides::WireCanBurn => {
                say!("No fuse protects this wire: it can burn. Take the battery off first.")
            }
            Besides::InsulationStressed(coil) => say!(
                "The full voltage of {} stands across its insulation. Never run it with a lead off.",
                self.part(coil)
            ),
            Besides::StaysOnWithKeyOff => {
                say!(
                    "The ignition stays on with the key off. Take the battery off before you reach in."
                )
            }
        }
    }
}

/// What the spark at idle adds where it changes the verdict: "at idle its coil still reaches
/// about 24 kV, the gap needs 7.8 kV".
#[must_use]
pub fn reached(one: &CylinderEffect) -> Option<String> {
    if !one.differs() {
        return None;
    }
    let Some((reaches, needs)) = one.kilovolts else {
        return Some(say!("no current is cut off in its coil"));
    };
    let only = match one.fares {
        Fares::Dead | Fares::Doubtful => said("only"),
        Fares::Live => said("still"),
    };
    let kilovolts = |kilovolts: f64| {
        let decimals = usize::from(kilovolts < 10.0);
        digits!("{kilovolts:.decimals$} kV")
    };
    Some(say!(
        "at idle its coil {only} reaches about {}, the gap needs {}",
        kilovolts(reaches),
        kilovolts(needs)
    ))
}

/// An element's name under a heading that already names its owner.
#[must_use]
pub fn within(element: &str, owner: &str) -> String {
    let rest = element
        .strip_prefix(owner)
        .and_then(|rest| rest.strip_prefix(", ").or_else(|| rest.strip_prefix(" · ")));
    match rest {
        None => element.to_owned(),
        Some(rest) if rest.starts_with(|c: char| c.is_ascii_digit()) => say!("terminal {rest}"),
        Some(rest) => rest.to_owned(),
    }
}

/// A way in which an element fails, under a heading that names what is repaired: its name only where that is another.
#[must_use]
pub fn way(element: &str, mode: &str, owner: &str) -> String {
    if element == owner {
        return mode.to_owned();
    }
    within(&format!("{element} {mode}"), owner)
}

/// Whether what a fault does besides can hurt someone.
#[must_use]
pub const fn is_caution(besides: Besides) -> bool {
    match besides {
        Besides::FuseBlows(_) | Besides::RelayDrops(_) => false,
        Besides::CoilOverheats(_)
        | Besides::DriverOverheats(_)
        | Besides::WireCanBurn
        | Besides::InsulationStressed(_)
        | Besides::StaysOnWithKeyOff => true,
    }
}

fn not_electrical(kind: ModeKind) -> &'static str {
    said(if kind == ModeKind::NoFuel {
        "gets no fuel"
    } else if kind == ModeKind::WrongAir {
        "gets the wrong amount of air"
    } else if kind == ModeKind::NoCompression {
        "does not hold compression"
    } else {
        "something that is not electrical is wrong"
    })
}

/// The cylinders of a list, for readers of the page: "1, 4".
#[must_use]
pub fn numbers(cylinders: &[CylinderId]) -> String {
    let numbers: Vec<String> = cylinders.iter().map(ToString::to_string).collect();
    numbers.join(", ")
}

#[cfg(test)]
mod tests {
    use super::{way, within};

    #[test]
    fn a_way_names_its_element_only_where_the_heading_does_not() {
        assert_eq!(way("Plug 6", "gap too wide", "Plug 6"), "gap too wide");
        let winding = way("Coil A, primary winding", "open", "Coil A");
        assert_eq!(winding, "primary winding open");
    }

    #[test]
    fn an_element_is_named_once() {
        for (element, owner, expected) in [
            ("Coil A, primary winding", "Coil A", "primary winding"),
            (
                "Coil A · 15, plug contact",
                "Coil A",
                "terminal 15, plug contact",
            ),
            (
                "Control unit · pin 11, plug contact",
                "Control unit",
                "pin 11, plug contact",
            ),
            ("Coil A", "Coil A", "Coil A"),
            (
                "Coil AB, primary winding",
                "Coil A",
                "Coil AB, primary winding",
            ),
        ] {
            assert_eq!(within(element, owner), expected);
        }
    }
}
