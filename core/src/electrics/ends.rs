//! The ends of a coil's secondary at one moment: the way from each to its plug, and what is wrong on it.

use super::alteration::{Alteration, HighFault, HighPlace};
use super::circuit::CoilAt;
use super::nominal;
use super::reach::Way;
use crate::engine::CylinderId;
use crate::model::{Harness, PartId, Port, Terminal};
use crate::units::Degrees;

/// One end of a coil at one moment: the way to a plug and what is wrong on it.
pub(super) struct End<'w> {
    pub(super) way: Option<&'w Way>,
    pub(super) plug: Option<(PartId, Option<CylinderId>)>,
    pub(super) broken: bool,
    pub(super) bridged: bool,
    pub(super) series: f64,
    pub(super) shunt: Option<f64>,
    pub(super) flashes: f64,
    pub(super) wide: f64,
}

/// The ends of a coil's secondary that lead to plugs at this crank angle: two, or one.
pub(super) fn ends<'w>(
    harness: &Harness,
    coil: &'w CoilAt,
    alteration: &Alteration,
    angle: Degrees,
) -> Vec<End<'w>> {
    let reach = &coil.reach;
    reach
        .ways_at(&harness.engine, angle)
        .map(|(port, way)| {
            let part = coil.part;
            End::of(harness, part, Terminal { part, port }, way, alteration)
        })
        .collect()
}

impl<'w> End<'w> {
    fn of(
        harness: &Harness,
        coil: PartId,
        tower: Terminal,
        way: Option<&'w Way>,
        alteration: &Alteration,
    ) -> Self {
        let mut end = Self {
            way,
            plug: way.and_then(|way| way.plug.map(|plug| (plug, way.cylinder))),
            broken: way.is_none_or(|way| way.plug.is_none()),
            bridged: false,
            series: way.map_or(0.0, |way| way.series(harness)),
            shunt: None,
            flashes: f64::MAX,
            wide: 1.0,
        };
        for fault in &alteration.high {
            if let HighFault::Crossed(a, b) = *fault
                && let Some(lead) = way.and_then(|way| way.lead)
                && (lead == a || lead == b)
            {
                let other = if lead == a { b } else { a };
                end.plug = harness.lead(other).and_then(|l| l.to).and_then(|to| {
                    let plug = harness.plug(to.value.part)?;
                    Some((to.value.part, plug.cylinder.map(|fact| fact.value)))
                });
            }
        }
        let on_way = |place: HighPlace| end.passes(coil, tower, place);
        let mine: Vec<HighFault> = alteration
            .high
            .iter()
            .copied()
            .filter(|fault| match *fault {
                HighFault::Broken(place)
                | HighFault::Series(place, _)
                | HighFault::Shunt(place, _)
                | HighFault::Flashes(place, _) => on_way(place),
                HighFault::Wide(plug, _) => end.plug.is_some_and(|(own, _)| own == plug),
                HighFault::Crossed(..) => false,
            })
            .collect();
        for fault in mine {
            match fault {
                HighFault::Broken(_) => end.broken = true,
                HighFault::Series(_, ohms) => end.series += ohms,
                HighFault::Shunt(_, ohms) => {
                    if ohms < 100.0 {
                        end.bridged = true;
                    }
                    end.shunt = Some(ohms);
                }
                HighFault::Flashes(_, kilovolts) => end.flashes = end.flashes.min(kilovolts),
                HighFault::Wide(_, times) => end.wide = times,
                HighFault::Crossed(..) => {}
            }
        }
        end
    }

    fn passes(&self, coil: PartId, tower: Terminal, place: HighPlace) -> bool {
        match place {
            HighPlace::Secondary(part) => part == coil,
            HighPlace::Tower(terminal) => {
                terminal == tower
                    || self.way.is_some_and(|way| {
                        way.through.is_some_and(|(_, d)| d == terminal.part)
                            && way
                                .cap_tower
                                .is_some_and(|c| terminal.port == Port::Tower(c))
                    })
            }
            HighPlace::Rotor(part) => self
                .way
                .is_some_and(|way| way.through.is_some_and(|(_, d)| d == part)),
            HighPlace::CapTower(part, cylinder) => self.way.is_some_and(|way| {
                way.through.is_some_and(|(_, d)| d == part) && way.cap_tower == Some(cylinder)
            }),
            HighPlace::Lead(part) => self.way.is_some_and(|way| {
                way.lead == Some(part) || way.through.is_some_and(|(lead, _)| lead == Some(part))
            }),
            HighPlace::Plug(part) => self.plug.is_some_and(|(plug, _)| plug == part),
        }
    }
}

impl Way {
    /// Resistance from tower to gap, Ω.
    fn series(&self, harness: &Harness) -> f64 {
        let lead = |part: Option<PartId>| {
            part.and_then(|part| harness.lead(part)).map_or(0.0, |l| {
                l.resistance
                    .map_or(nominal::LEAD.value, |fact| fact.value.get())
            })
        };
        let through = self
            .through
            .map_or(0.0, |(first, _)| lead(first) + nominal::ROTOR.value);
        let plug = self
            .plug
            .and_then(|plug| harness.plug(plug))
            .map_or(0.0, |plug| {
                plug.resistor
                    .map_or(nominal::PLUG_RESISTOR.value, |fact| fact.value.get())
            });
        through + lead(self.lead) + plug
    }
}
