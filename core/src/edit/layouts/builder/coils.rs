//! Coils with their feeds, drivers, leads and plugs.

use super::{Builder, at, letter};
use crate::edit::layouts::looks::{self, value};
use crate::edit::layouts::sparks::{Job, PlugSet, Serves};
use crate::edit::layouts::{Arrangement, DriversIn, Housing, Inline};
use crate::engine::CylinderId;
use crate::model::{
    Coil, Distributor, Driver, Lead, LeadKind, PartId, PartKind, PinId, PinRole, Plug, Port,
    Secondary, Terminal,
};
use crate::provenance::Fact;
use crate::said::{said, say};

impl Builder<'_> {
    /// One coil with its feed, its switching, its leads and plugs.
    pub(in crate::edit::layouts) fn coil_for(&mut self, job: &Job) {
        let nth = self.coils;
        self.coils += 1;
        let name = say!("Coil {}", letter(nth));
        let (through, pack) = self.through(nth, job);
        let in_coil = self.plan.drivers == DriversIn::Coil;
        let mut coil = Coil {
            pack,
            primary_resistance: Some(Fact::assumed(match self.plan.arrangement {
                Arrangement::Pairs | Arrangement::OneEach => value::PRIMARY,
                Arrangement::Distributor | Arrangement::TwoDistributors => {
                    value::PRIMARY_DISTRIBUTOR
                }
            })),
            primary_inductance: Some(Fact::assumed(value::INDUCTANCE)),
            secondary_resistance: Some(Fact::assumed(value::SECONDARY)),
            turns_ratio: Some(Fact::assumed(value::TURNS)),
            ..Coil::new(match job.serves {
                Serves::Pair(..) | Serves::Both(_) => Secondary::TwoEnded,
                Serves::One(_) | Serves::InTurn(_) if in_coil => Secondary::ReturnsToGround,
                Serves::One(_) | Serves::InTurn(_) => Secondary::ReturnsToFeed,
            })
        };
        if in_coil {
            coil.driver = Some(self.driver(nth));
        }
        let coil = self.harness.add_part(name, PartKind::Coil(coil));
        let feed = self.feed(&through, pack);
        self.connect(feed, at(coil, Port::Feed), looks::COIL_FEED);
        self.switch(nth, coil, &through);
        self.leads(coil, nth, job);
    }

    /// The connectors between a coil and the rest, nearest the unit first, and its pack.
    fn through(&mut self, nth: usize, job: &Job) -> (Vec<PartId>, Option<PartId>) {
        let mut through: Vec<PartId> = match self.plan.inline {
            Inline::None => None,
            Inline::One => self.connectors.first(),
            Inline::PerBank => self.connectors.get(job.row),
        }
        .copied()
        .into_iter()
        .collect();
        let place = match self.plan.housing {
            Housing::Single => return (through, None),
            Housing::Packs(coils_each) => nth / usize::from(coils_each.max(1)),
            Housing::RowPacks(_) => job.row,
        };
        while self.packs.len() <= place {
            let name = self.pack_name(self.packs.len());
            let pack = self.harness.add_part(name.clone(), PartKind::Pack);
            let plug = self.connector(say!("{name} plug"));
            self.packs.push((pack, plug));
        }
        let pack = self.packs.get(place).map(|(pack, plug)| {
            through.push(*plug);
            *pack
        });
        (through, pack)
    }

    fn pack_name(&self, nth: usize) -> String {
        let row = match self.plan.housing {
            Housing::RowPacks(_) => self.plan.engine.banks.get(nth),
            Housing::Single | Housing::Packs(_) => None,
        };
        row.map_or_else(
            || say!("Pack {}", letter(nth)),
            |row| say!("{} pack", row.name),
        )
    }

    /// The splice that feeds the coils behind the same connectors; made for the first of them.
    fn feed(&mut self, through: &[PartId], pack: Option<PartId>) -> Terminal {
        if let Some(splice) = self.feeds.get(through) {
            return *splice;
        }
        let name = match (pack, through.last()) {
            (Some(pack), _) => say!("{} splice", self.harness.part_name(pack)),
            (None, Some(_)) if self.connectors.len() > 1 => {
                say!("Coil splice {}", letter(self.feeds.len()))
            }
            (None, _) => say!("Coil splice"),
        };
        let splice = at(self.harness.add_part(name, PartKind::Splice), Port::Joint);
        self.run(self.supply, splice, through, looks::SWITCHED);
        self.feeds.insert(through.to_vec(), splice);
        splice
    }

    /// What switches a coil: a driver, its pins and its wires.
    fn switch(&mut self, nth: usize, coil: PartId, through: &[PartId]) {
        match self.plan.drivers {
            DriversIn::Coil => {
                let signal = self.pin(self.unit, PinRole::DriveOut);
                self.run(
                    at(self.unit, Port::Pin(signal)),
                    at(coil, Port::DriveIn),
                    through,
                    looks::drive_signal(nth),
                );
                let ground = self.coil_ground();
                self.connect(
                    at(coil, Port::CoilGround),
                    ground,
                    looks::GROUND.of_length(0.4),
                );
            }
            DriversIn::Unit => self.driver_for(nth, coil, through, None),
            DriversIn::Module => {
                let signal = self.pin(self.unit, PinRole::DriveOut);
                let drive = self.pin(self.drivers, PinRole::DriveIn);
                self.connect(
                    at(self.unit, Port::Pin(signal)),
                    at(self.drivers, Port::Pin(drive)),
                    looks::drive_signal(nth),
                );
                self.driver_for(nth, coil, through, Some(drive));
            }
        }
    }

    /// A driver in a box, its output pin and the wire from there to terminal 1.
    fn driver_for(&mut self, nth: usize, coil: PartId, through: &[PartId], drive: Option<PinId>) {
        let output = self.pin(self.drivers, PinRole::CoilSwitch);
        let driver = Driver {
            output: Some(Fact::assumed(output)),
            ground: Some(Fact::assumed(self.power_ground)),
            drive: drive.map(Fact::assumed),
            ..self.driver(nth)
        };
        let host = self.drivers;
        if let Some(unit) = self.unit_mut(host) {
            unit.drivers.push(driver);
        }
        self.run(
            at(host, Port::Pin(output)),
            at(coil, Port::Switched),
            through,
            looks::coil_switch(nth),
        );
    }

    /// Leads and plugs of a coil, through a distributor where it has one.
    fn leads(&mut self, coil: PartId, nth: usize, job: &Job) {
        match &job.serves {
            Serves::One(cylinder) => {
                self.lead(LeadKind::Boot, at(coil, Port::TowerA), *cylinder, job.set);
            }
            Serves::Both(cylinder) => {
                let (a, b) = (at(coil, Port::TowerA), at(coil, Port::TowerB));
                self.lead(LeadKind::Lead, a, *cylinder, PlugSet::First);
                self.lead(LeadKind::Lead, b, *cylinder, PlugSet::Second);
            }
            Serves::Pair(a, b) => {
                self.lead(LeadKind::Lead, at(coil, Port::TowerA), *a, job.set);
                self.lead(LeadKind::Lead, at(coil, Port::TowerB), *b, job.set);
            }
            Serves::InTurn(cylinders) => {
                let name = say!("Distributor {}", letter(nth));
                let towers = cylinders.clone();
                let distributor = self
                    .harness
                    .add_part(name, PartKind::Distributor(Distributor { towers }));
                self.push_lead(
                    say!("Coil lead {}", letter(nth)),
                    LeadKind::Lead,
                    at(coil, Port::TowerA),
                    at(distributor, Port::Centre),
                );
                for cylinder in cylinders {
                    let tower = at(distributor, Port::Tower(*cylinder));
                    self.lead(LeadKind::Lead, tower, *cylinder, job.set);
                }
            }
        }
    }

    /// A lead and the plug at its end.
    fn lead(&mut self, kind: LeadKind, from: Terminal, cylinder: CylinderId, set: PlugSet) {
        let which = match set {
            PlugSet::Only => format!("{cylinder}"),
            PlugSet::First => format!("{cylinder}a"),
            PlugSet::Second => format!("{cylinder}b"),
        };
        let plug = self.harness.add_part(
            say!("Plug {which}"),
            PartKind::Plug(Plug {
                cylinder: Some(Fact::assumed(cylinder)),
                gap: Some(Fact::assumed(value::GAP)),
                resistor: Some(Fact::assumed(value::PLUG_RESISTOR)),
            }),
        );
        let name = match kind {
            LeadKind::Lead => say!("Lead {which}"),
            LeadKind::Boot => say!("Boot {which}"),
        };
        self.push_lead(name, kind, from, at(plug, Port::PlugTop));
    }

    fn push_lead(&mut self, name: String, kind: LeadKind, from: Terminal, to: Terminal) {
        let resistance = match kind {
            LeadKind::Lead => value::LEAD,
            LeadKind::Boot => value::BOOT,
        };
        self.harness.add_part(
            name,
            PartKind::Lead(Lead {
                kind,
                from: Some(Fact::assumed(from)),
                to: Some(Fact::assumed(to)),
                resistance: Some(Fact::assumed(resistance)),
            }),
        );
    }

    /// The splice that joins the grounds of coils with drivers inside; made once.
    fn coil_ground(&mut self) -> Terminal {
        if let Some(splice) = self.coil_ground {
            return splice;
        }
        let splice = self
            .harness
            .add_part(said("Coil ground splice"), PartKind::Splice);
        let splice = at(splice, Port::Joint);
        self.connect(splice, self.engine_ground, looks::GROUND);
        self.coil_ground = Some(splice);
        splice
    }

    fn driver(&mut self, nth: usize) -> Driver {
        Driver {
            on_voltage: Some(Fact::assumed(value::DRIVER_VOLTAGE)),
            on_resistance: Some(Fact::assumed(value::DRIVER_SLOPE)),
            ..Driver::new(self.harness.fresh(), say!("driver {}", letter(nth)))
        }
    }
}
