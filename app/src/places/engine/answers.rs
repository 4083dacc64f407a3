//! The answers about an own engine, each with its proposal, and the map that they make.

use std::collections::{BTreeMap, BTreeSet};

use sparktrail_core::edit::Command;
use sparktrail_core::edit::layouts::{
    Arrangement, DriversIn, Housing, Injectors, Inline, Numbering, OrderError, Plan, PlanError,
    PlugsEach, SupplyBy, build, propose_bank_angle, propose_numbering, propose_order,
    propose_uneven, read_order, rows,
};
use sparktrail_core::engine::{CylinderId, Engine, Firing, Layout, Strokes};
use sparktrail_core::model::{Harness, Timestamp, Works};
use sparktrail_core::provenance::Fact;
use sparktrail_core::units::Degrees;

use crate::places::words::engine::{Refusal, Stand};

/// How so many cylinders most often stand.
const fn proposed_stand(cylinders: u8) -> Stand {
    match cylinders {
        0..=5 | 7 | 9 => Stand::Inline,
        _ => Stand::Vee,
    }
}

/// Whether an engine fires at even steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Steps {
    /// It does.
    Even,
    /// It does not: odd-fire.
    Uneven,
}

/// Whether the cylinders that were not marked dead are said to work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Others {
    /// They work.
    Work,
    /// Nothing is said of them.
    Unsaid,
}

/// The answers; what is `None` stands at its proposal.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Answers {
    pub(super) cylinders: u8,
    pub(super) stand: Option<Stand>,
    pub(super) strokes: Strokes,
    pub(super) numbering: Option<Numbering>,
    /// The firing order as typed.
    pub(super) order: Option<String>,
    /// The angle between the rows as typed.
    pub(super) bank_angle: Option<String>,
    pub(super) steps: Steps,
    /// Crank angles as typed, by their place in the firing order.
    pub(super) angles: BTreeMap<usize, String>,
    pub(super) coils: Option<Arrangement>,
    pub(super) drivers: DriversIn,
    pub(super) housing: Housing,
    pub(super) plugs: PlugsEach,
    pub(super) supply: SupplyBy,
    pub(super) inline: Inline,
    pub(super) injectors: Injectors,
}

impl Default for Answers {
    fn default() -> Self {
        Self {
            cylinders: 4,
            stand: None,
            strokes: Strokes::Four,
            numbering: None,
            order: None,
            bank_angle: None,
            steps: Steps::Even,
            angles: BTreeMap::new(),
            coils: None,
            drivers: DriversIn::Unit,
            housing: Housing::Single,
            plugs: PlugsEach::One,
            supply: SupplyBy::Relay,
            inline: Inline::None,
            injectors: Injectors::Left,
        }
    }
}

impl Answers {
    /// Another number of cylinders: what was said of the old ones goes back to its proposal.
    pub(super) fn count(&mut self, cylinders: u8) {
        self.cylinders = cylinders;
        self.forget_order();
        self.numbering = None;
    }

    /// Another shape of the engine.
    pub(super) fn stand_as(&mut self, stand: Stand) {
        self.stand = Some(stand);
        self.forget_order();
        self.numbering = None;
        self.bank_angle = None;
    }

    fn forget_order(&mut self) {
        self.order = None;
        self.angles.clear();
    }

    /// How the cylinders stand, said or proposed.
    pub(super) fn stands(&self) -> Stand {
        self.stand.unwrap_or_else(|| proposed_stand(self.cylinders))
    }

    /// The layout with its angle, said or proposed; the proposal stands in for a wrong angle.
    fn layout(&self) -> Layout {
        match self.stands() {
            Stand::Inline => Layout::Inline,
            Stand::Flat => Layout::Flat,
            Stand::Vee => Layout::Vee {
                bank_angle: self
                    .typed_bank_angle()
                    .ok()
                    .flatten()
                    .unwrap_or_else(|| propose_bank_angle(self.cylinders)),
            },
        }
    }

    fn typed_bank_angle(&self) -> Result<Option<Degrees>, Refusal> {
        let Some(typed) = &self.bank_angle else {
            return Ok(None);
        };
        degrees(typed)
            .filter(|angle| angle.get() > 0.0 && angle.get() <= 180.0)
            .map(Some)
            .ok_or(Refusal::BankAngle)
    }

    /// How two rows are numbered, said or proposed.
    pub(super) fn numbered(&self) -> Numbering {
        self.numbering
            .unwrap_or_else(|| propose_numbering(self.cylinders, self.layout()))
    }

    /// The cylinders row by row, front first.
    pub(super) fn rows(&self) -> Vec<(String, Vec<CylinderId>)> {
        rows(self.cylinders, self.layout(), self.numbered())
            .into_iter()
            .map(|bank| (bank.name, bank.cylinders))
            .collect()
    }

    /// The firing order, said or proposed.
    pub(super) fn fires(&self) -> Result<Vec<CylinderId>, OrderError> {
        match &self.order {
            None => Ok(propose_order(self.cylinders, self.layout())),
            Some(typed) => {
                let cylinders: Vec<CylinderId> = (1..=self.cylinders).map(CylinderId).collect();
                read_order(typed, &cylinders)
            }
        }
    }

    /// The engine, firing at even steps.
    fn evenly(&self) -> Result<Engine, Refusal> {
        self.typed_bank_angle()?;
        let layout = self.layout();
        Ok(Engine {
            strokes: self.strokes,
            layout,
            banks: rows(self.cylinders, layout, self.numbered()),
            order: Fact::assumed(self.fires().map_err(Refusal::Order)?),
            firing: Fact::assumed(Firing::Even),
        })
    }

    /// What stands in the field of the angle between the rows.
    pub(super) fn bank_angle_text(&self) -> String {
        self.bank_angle
            .clone()
            .unwrap_or_else(|| propose_bank_angle(self.cylinders).get().to_string())
    }

    /// What stands in the field of a crank angle.
    pub(super) fn angle_text(&self, place: usize) -> String {
        let proposed = || {
            let engine = self.evenly().ok()?;
            let angle = propose_uneven(&engine).get(place)?.get();
            Some(((angle * 10.0).round() / 10.0).to_string())
        };
        let typed = self.angles.get(&place).cloned();
        typed.or_else(proposed).unwrap_or_default()
    }

    /// The engine that the answers tell of.
    ///
    /// # Errors
    /// [`Refusal`] names the answer that is wrong.
    pub(super) fn engine(&self) -> Result<Engine, Refusal> {
        let mut engine = self.evenly()?;
        if self.steps == Steps::Uneven {
            let mut angles = propose_uneven(&engine);
            for (place, angle) in angles.iter_mut().enumerate() {
                if let Some(typed) = self.angles.get(&place) {
                    *angle = degrees(typed).ok_or(Refusal::Angle(place))?;
                }
            }
            let cycle = engine.cycle().get();
            let mut before = -1.0;
            for (place, angle) in angles.iter().enumerate() {
                let first_is_not_nought = place == 0 && angle.get() != 0.0;
                if angle.get() <= before || angle.get() >= cycle || first_is_not_nought {
                    return Err(Refusal::Angle(place));
                }
                before = angle.get();
            }
            engine.firing = Fact::assumed(Firing::At(angles));
        }
        Ok(engine)
    }

    /// The plan with the coils as said or proposed.
    ///
    /// # Errors
    /// Those of [`Answers::engine`].
    pub(super) fn plan(&self) -> Result<Plan, Refusal> {
        let proposed = Plan::new("", self.engine()?);
        Ok(Plan {
            arrangement: self.coils.unwrap_or(proposed.arrangement),
            drivers: self.drivers,
            housing: self.housing,
            plugs: self.plugs,
            supply: self.supply,
            inline: self.inline,
            injectors: self.injectors,
            ..proposed
        })
    }

    /// The map.
    ///
    /// # Errors
    /// [`Refusal`] names the answer that is wrong or does not fit.
    pub(super) fn map(&self) -> Result<Harness, Refusal> {
        build(&self.plan()?).map_err(Refusal::Plan)
    }

    /// Why this arrangement of the coils would not do; `None` where it would, or where the engine
    /// itself is not told yet.
    pub(super) fn against(&self, arrangement: Arrangement) -> Option<PlanError> {
        // Housing and plugs are asked further down: they must not speak against an arrangement here.
        let plan = Plan {
            arrangement,
            ..Plan::new("", self.engine().ok()?)
        };
        build(&plan).err()
    }
}

/// What is said of the cylinders, as one change; `None` where nothing is.
pub(super) fn marks(
    cylinders: u8,
    dead: &BTreeSet<CylinderId>,
    others: Others,
    at: Timestamp,
) -> Option<Command> {
    let all = (1..=cylinders).map(CylinderId);
    let some_dead = all.clone().any(|cylinder| dead.contains(&cylinder));
    let marks = all
        .filter_map(|cylinder| match (dead.contains(&cylinder), others) {
            (true, _) => Some((cylinder, Works::Dead)),
            (false, Others::Work) => Some((cylinder, Works::Alive)),
            (false, Others::Unsaid) => None,
        })
        .collect();
    some_dead.then_some(Command::MarkAll {
        marks,
        at: Some(at),
    })
}

fn degrees(typed: &str) -> Option<Degrees> {
    let number = typed.trim().trim_end_matches('°').trim().replace(',', ".");
    Degrees::new(number.parse().ok()?).ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    fn answers(cylinders: u8) -> Answers {
        let mut answers = Answers::default();
        answers.count(cylinders);
        answers
    }

    #[test]
    fn proposals_alone_make_a_map_of_every_engine() {
        for cylinders in 1..=16 {
            for stand in [
                None,
                Some(Stand::Inline),
                Some(Stand::Vee),
                Some(Stand::Flat),
            ] {
                let mut answers = answers(cylinders);
                answers.stand = stand;
                for steps in [Steps::Even, Steps::Uneven] {
                    answers.steps = steps;
                    let map = answers.map().unwrap();
                    assert_eq!(map.engine.cylinders().len(), usize::from(cylinders));
                }
            }
        }
    }

    #[test]
    fn eight_cylinders_are_a_vee_of_pairs() {
        let plan = answers(8).plan().unwrap();
        assert!(matches!(plan.engine.layout, Layout::Vee { .. }));
        assert_eq!(plan.arrangement, Arrangement::Pairs);
        assert_eq!(plan.engine.order.value.len(), 8);
    }

    #[test]
    fn another_count_takes_back_what_was_typed_of_the_old_one() {
        let mut answers = answers(4);
        answers.order = Some("1-2-4-3".into());
        answers.steps = Steps::Uneven;
        answers.angles.insert(1, "100".into());
        answers.map().unwrap();
        answers.count(8);
        assert_eq!((answers.order.as_ref(), answers.angles.len()), (None, 0));
        answers.map().unwrap();
    }

    #[test]
    fn what_is_typed_wrong_is_named() {
        let mut wrong = answers(4);
        wrong.order = Some("1-3-4".into());
        let missing = OrderError::Missing(vec![CylinderId(2)]);
        assert_eq!(wrong.map(), Err(Refusal::Order(missing)));

        let mut wrong = answers(8);
        for typed in ["", "x", "0", "181", "NaN", "inf"] {
            wrong.bank_angle = Some(typed.into());
            assert_eq!(wrong.map(), Err(Refusal::BankAngle), "{typed}");
        }
        wrong.bank_angle = Some("72,5°".into());
        wrong.map().unwrap();

        wrong.steps = Steps::Uneven;
        for (place, typed) in [(0, "5"), (2, "x"), (3, "1"), (7, "720"), (7, "1e999")] {
            wrong.angles = BTreeMap::from([(place, typed.to_owned())]);
            assert_eq!(wrong.map(), Err(Refusal::Angle(place)), "{typed}");
        }
    }

    #[test]
    fn an_uneven_six_speaks_against_pairs() {
        let mut six = answers(6);
        six.stand = Some(Stand::Vee);
        assert_eq!(six.against(Arrangement::Pairs), None);
        six.steps = Steps::Uneven;
        assert!(matches!(
            six.against(Arrangement::Pairs),
            Some(PlanError::NoCompanion { .. })
        ));
        // The proposal has turned with it.
        assert_eq!(six.plan().unwrap().arrangement, Arrangement::OneEach);
        six.coils = Some(Arrangement::Pairs);
        assert!(matches!(
            six.map(),
            Err(Refusal::Plan(PlanError::NoCompanion { .. }))
        ));
    }

    #[test]
    fn dead_cylinders_are_one_change_and_the_others_work_only_if_said() {
        let dead = BTreeSet::from([CylinderId(1), CylinderId(4), CylinderId(9)]);
        let said = |others| match marks(4, &dead, others, Timestamp(0)) {
            Some(Command::MarkAll { marks, .. }) => marks.len(),
            _ => 0,
        };
        assert_eq!(said(Others::Work), 4);
        assert_eq!(said(Others::Unsaid), 2);
        assert_eq!(marks(4, &BTreeSet::new(), Others::Work, Timestamp(0)), None);
        let beyond = BTreeSet::from([CylinderId(9)]);
        assert_eq!(marks(4, &beyond, Others::Work, Timestamp(0)), None);
    }
}
