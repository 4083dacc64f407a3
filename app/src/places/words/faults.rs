//! Words for what can fail, how, and what that does.

use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::{Besides, CylinderEffect, Fares, Mode, ModeKind, Reason};
use sparktrail_core::model::{DriverId, Harness, PartId};
use sparktrail_core::topology::{Missing, NeedKind};

use super::facts::ohms;

/// Heading with nothing chosen.
pub const HEADING: &str = "What if something fails?";
/// What to do with nothing chosen.
pub const LEAD: &str = "Choose a part or wire, on the map or here, and the way it fails. The map shows which cylinders go dead.";
/// Heading over the ways.
pub const WAYS: &str = "Break it";
/// There is nothing to break.
pub const NO_WAYS: &str = "Nothing here fails by itself. Choose the wires and parts around it.";
/// Over what is broken now.
pub const BROKEN: &str = "Broken for trying";
/// Mending it.
pub const MEND: &str = "Put it right again";
/// Cylinders without a spark or without work.
pub const DEAD: &str = "Dead";
/// Cylinders of which it cannot be said.
pub const DOUBTFUL: &str = "Doubtful";
/// Cylinders that work on.
pub const LIVE: &str = "Still working";
/// No cylinder at all.
pub const NONE_DEAD: &str = "No cylinder goes dead.";

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
            .map_or_else(|| "the driver".into(), |driver| driver.name.clone())
    }

    /// The way something fails: "open", "shorted to ground".
    #[must_use]
    pub fn mode(self, mode: Mode) -> String {
        match mode {
            Mode::Open => "open".into(),
            Mode::HighResistance(added) => format!("high resistance, +{}", ohms(added)),
            Mode::ToGround(_) => "shorted to ground".into(),
            Mode::ToSupply(_) => "shorted to supply".into(),
            Mode::ToNeighbour(other, _) => {
                format!("shorted to {}", self.0.element_name(other))
            }
            Mode::NeverOn => "never switches on".into(),
            Mode::AlwaysOn => "never switches off".into(),
            Mode::AlwaysOnLimited(amps) => {
                format!("never switches off, holds its current at {amps:.0}")
            }
            Mode::PartlyOn(_) => "hangs partly on".into(),
            Mode::Leaky(_) => "leaks".into(),
            Mode::TurnsShorted(share) => format!("{share:.0} of the turns shorted"),
            Mode::Breakdown => "spark breaks through inside".into(),
            Mode::Tracking => "spark creeps along the outside".into(),
            Mode::TrackingBetween(a, b) => format!("spark creeps from tower {a} to {b}"),
            Mode::BurntTower(tower) => format!("tower {tower} burnt away"),
            Mode::Fouled(_) => "fouled".into(),
            Mode::Worn => "worn wide".into(),
            Mode::Cracked => "cracked".into(),
            Mode::CrossedWith(other) => format!("swapped with {}", self.part(other)),
            Mode::Silent => "commands no spark at all".into(),
            Mode::SilentFor(driver) => format!("commands no spark of {}", self.driver(driver)),
            Mode::Missing => "no signal".into(),
            Mode::Erratic => "signal comes and goes".into(),
            Mode::NoFuel => "no fuel".into(),
            Mode::WrongAir => "too much air, or none".into(),
            Mode::NoCompression => "no compression".into(),
        }
    }

    /// What a connection is for, after "loses": "the feed of Coil A".
    pub(in crate::places) fn need(self, need: NeedKind) -> String {
        match need {
            NeedKind::Battery(part) => format!("its source, {}", self.part(part)),
            NeedKind::Feed(coil) => format!("the feed of {}", self.part(coil)),
            NeedKind::Primary(coil) => format!("the primary winding of {}", self.part(coil)),
            NeedKind::Control(coil, driver) => format!(
                "the way from {} to {}",
                self.part(coil),
                self.driver(driver)
            ),
            NeedKind::ControlToUnknown(coil) => {
                format!("the way from {} to its driver", self.part(coil))
            }
            NeedKind::Switch(driver) => format!("the transistor of {}", self.driver(driver)),
            NeedKind::DriverGround(driver) => format!("the ground of {}", self.driver(driver)),
            NeedKind::Drive(driver) => {
                format!("the signal that switches {}", self.driver(driver))
            }
            NeedKind::UnitSupply(unit) => format!("the supply of {}", self.part(unit)),
            NeedKind::UnitGround(unit) => format!("the ground of {}", self.part(unit)),
            NeedKind::WindingFeed(relay) => format!("the feed of {}’s winding", self.part(relay)),
            NeedKind::Winding(relay) => format!("the winding of {}", self.part(relay)),
            NeedKind::WindingReturn(relay) => {
                format!("the return of {}’s winding", self.part(relay))
            }
            NeedKind::Secondary(coil) => format!("the secondary winding of {}", self.part(coil)),
            NeedKind::Side(tower, plug) => format!(
                "the way from {} to {}",
                self.0.terminal_name(tower),
                self.part(plug)
            ),
            NeedKind::SideToUnknown(tower) => {
                format!("the way on from {}", self.0.terminal_name(tower))
            }
            NeedKind::Return(coil) => format!("the return of {}’s secondary", self.part(coil)),
            NeedKind::EngineGround => "the engine’s way to battery minus".into(),
            NeedKind::InjectorFeed(injector) => format!("the feed of {}", self.part(injector)),
            NeedKind::InjectorWinding(injector) => {
                format!("the winding of {}", self.part(injector))
            }
            NeedKind::InjectorControl(injector) => {
                format!("the way from {} to its pin", self.part(injector))
            }
        }
    }

    /// What the map does not show.
    fn missing(self, missing: Missing) -> String {
        match missing {
            Missing::Battery => "it has no battery".into(),
            Missing::Plug(cylinder) => format!("cylinder {cylinder} has no plug"),
            Missing::Coil(plug) => format!("nothing joins {} to a coil", self.part(plug)),
            Missing::Driver(coil) => format!("nothing is known to switch {}", self.part(coil)),
            Missing::PlugAtTower(tower) => {
                format!("nothing is known at {}", self.0.terminal_name(tower))
            }
            Missing::Command(driver) => {
                format!("nothing is known to tell {} to switch", self.driver(driver))
            }
            Missing::SupplyPin(unit) => format!("{} has no supply pin", self.part(unit)),
            Missing::GroundPin(unit) => format!("{} has no ground pin", self.part(unit)),
            Missing::InjectorPin(injector) => {
                format!("no pin is known to open {}", self.part(injector))
            }
            Missing::Path(need) => format!("it does not show {} whole", self.need(need)),
        }
    }

    /// Why some cylinders are dead, doubtful or alive.
    #[must_use]
    pub fn reason(self, reason: Reason) -> String {
        match reason {
            Reason::Apart => "needs nothing that is touched".into(),
            Reason::OtherWay => "on the way, but there is another way round".into(),
            Reason::OtherPlugSuffers(coil) => format!(
                "only the other plug of {} suffers; the loop through both is still closed",
                self.part(coil)
            ),
            Reason::OnAnyway => "this is on anyway while the engine runs".into(),
            Reason::JoinedAnyway => "this joins what is joined anyway".into(),
            Reason::PolarityOnly => {
                "both leads belong to one coil: only the polarity of the sparks changes".into()
            }
            Reason::SameTime(other) => {
                format!("gets the sparks of cylinder {other} instead, at its own time too")
            }
            Reason::Lost(need) => format!("loses {}", self.need(need)),
            Reason::RelayDrops(relay) => format!("{} drops out", self.part(relay)),
            Reason::FuseBlows(fuse) => format!("{} blows", self.part(fuse)),
            Reason::SupplyShorted => {
                "the supply is shorted to ground, with no fuse before the place".into()
            }
            Reason::NeverCut(coil) => format!(
                "the current through {} is never cut, and only cutting it makes a spark",
                self.part(coil)
            ),
            Reason::NotSwitched(driver) => format!(
                "{} hangs between on and off: no clean cut, no spark",
                self.driver(driver)
            ),
            Reason::DriverShorted(driver) => format!(
                "{} switches a short circuit, and the coil gets nothing",
                self.driver(driver)
            ),
            Reason::BothEndsFed(coil) => format!(
                "both ends of {}’s primary stand at battery voltage, so no current flows",
                self.part(coil)
            ),
            Reason::SignalHeld(driver) => {
                format!("{} gets no signal to switch", self.driver(driver))
            }
            Reason::TurnsShorted(coil) => {
                format!("shorted turns eat the field of {}", self.part(coil))
            }
            Reason::GapShunted(plug) => format!(
                "deposits on {} drain the voltage before it can jump",
                self.part(plug)
            ),
            Reason::SparksOf(other) => format!("gets the sparks meant for cylinder {other}"),
            Reason::Starved(need) => format!("sparks but gets no fuel: loses {}", self.need(need)),
            Reason::NotElectrical(kind) => format!("sparks, but {}", not_electrical(kind)),
            Reason::OneOfTwoPlugs(need) => {
                format!("one of its two plugs loses {}", self.need(need))
            }
            Reason::LoopOpen(need) => format!(
                "the loop through both plugs is broken at the other one, which loses {}; the spark may still find a way",
                self.need(need)
            ),
            Reason::EngineGroundLost => {
                "the engine has lost its way to battery minus; a spark may still find one".into()
            }
            Reason::Weakened(need) => format!("weaker spark: resistance in {}", self.need(need)),
            Reason::SparkElsewhere(element) => {
                format!(
                    "the spark may jump at {} instead",
                    self.0.element_name(element)
                )
            }
            Reason::GapWide(plug) => {
                format!("the wide gap of {} asks for more voltage", self.part(plug))
            }
            Reason::DriverLeaks(driver) => {
                format!(
                    "{} leaks, so its coil has less to gain",
                    self.driver(driver)
                )
            }
            Reason::FiredTogether => "two coils are switched together, at both times".into(),
            Reason::ErraticSignal(unit) => {
                format!("the crank signal of {} comes and goes", self.part(unit))
            }
            Reason::Disturbed => "something foreign is joined to what it needs".into(),
            Reason::Flooded(injector) => {
                format!("{} stays open and floods it", self.part(injector))
            }
            Reason::Unfinished(missing) => format!("the map cannot say: {}", self.missing(missing)),
        }
    }

    /// What a fault does besides.
    #[must_use]
    pub fn besides(self, besides: Besides) -> String {
        match besides {
            Besides::FuseBlows(fuse) => format!("{} blows.", self.part(fuse)),
            Besides::RelayDrops(relay) => format!("{} drops out.", self.part(relay)),
            Besides::CoilOverheats(coil) => format!(
                "{} gets hot: current flows through it all the time. Do not leave the key on.",
                self.part(coil)
            ),
            Besides::DriverOverheats(driver) => format!(
                "{} gets hot or burns out. Do not leave the key on.",
                self.driver(driver)
            ),
            Besides::WireCanBurn => {
                "No fuse protects this wire: it can burn. Take the battery off first.".into()
            }
            Besides::InsulationStressed(coil) => format!(
                "The full voltage of {} stands across its insulation. Never run it with a lead off.",
                self.part(coil)
            ),
            Besides::StaysOnWithKeyOff => {
                "The ignition stays on with the key off. Take the battery off before you reach in."
                    .into()
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
        return Some("no current is cut off in its coil".into());
    };
    let only = match one.fares {
        Fares::Dead | Fares::Doubtful => "only",
        Fares::Live => "still",
    };
    let kilovolts = |kilovolts: f64| {
        let decimals = usize::from(kilovolts < 10.0);
        format!("{kilovolts:.decimals$} kV")
    };
    Some(format!(
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
        Some(rest) if rest.starts_with(|c: char| c.is_ascii_digit()) => format!("terminal {rest}"),
        Some(rest) => rest.to_owned(),
    }
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
    if kind == ModeKind::NoFuel {
        "gets no fuel"
    } else if kind == ModeKind::WrongAir {
        "gets the wrong amount of air"
    } else if kind == ModeKind::NoCompression {
        "does not hold compression"
    } else {
        "something that is not electrical is wrong"
    }
}

/// The cylinders of a list, for readers of the page: "1, 4".
#[must_use]
pub fn numbers(cylinders: &[CylinderId]) -> String {
    let numbers: Vec<String> = cylinders.iter().map(ToString::to_string).collect();
    numbers.join(", ")
}

#[cfg(test)]
mod tests {
    use super::within;

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
