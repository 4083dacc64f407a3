//! A walk is kept, undone with its findings, and printed whole.

use sparktrail_core::edit::{Command, History};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::Answer;
use sparktrail_core::model::*;
use sparktrail_core::walkthrough::*;

use crate::common::sample;
use crate::{control_paths, go, v8};

/// As the app does it: each piece of evidence is a finding, undone with its step.
#[test]
fn findings_and_steps_go_together() {
    let harness = v8();
    let mut history = History::new(std::sync::Arc::new(harness));
    let mut walk = Walk::begin(history.now(), Kind::Dead);
    let replies = [
        Reply::Yes,
        Reply::Found(Answer::Works(Works::Dead)),
        Reply::Found(Answer::Works(Works::Alive)),
        Reply::TheRestWork,
    ];
    for reply in replies {
        let answered = go(history.now(), &walk, reply);
        let mut ids = Vec::new();
        for evidence in answered.evidence {
            history
                .apply(Command::AddFinding {
                    seen: evidence.seen,
                    setup: evidence.setup,
                    fault_then: evidence.fault_then,
                    at: None,
                    note: String::new(),
                })
                .unwrap();
            ids.push(history.now().findings.last().unwrap().id);
        }
        walk = answered.walk.noted(ids);
    }
    assert_eq!(walk.live(history.now()), walk);
    assert_eq!(Walk::of_text(&walk.text(history.now())), Ok(walk.clone()));
    // Undone: back to the step that made it; redone: on again.
    history.undo();
    assert_eq!(walk.live(history.now()).given().len(), 3);
    history.redo();
    assert_eq!(walk.live(history.now()), walk);
    // Taken back: the findings that go along.
    let (before, ids) = walk.take_back().unwrap();
    assert_eq!(ids.len(), 6);
    for finding in ids {
        let standing = Standing::TakenBack;
        history
            .apply(Command::SetStanding { finding, standing })
            .unwrap();
    }
    assert_eq!(walk.live(history.now()), before);
}

#[test]
fn what_is_no_kept_walk_is_told_so() {
    for (text, wanted) in [
        ("", NoWalk::NotOne),
        ("hello\n\n", NoWalk::NotOne),
        ("sparktrail-walk 2 dead steady\n\n", NoWalk::Newer),
        (
            "sparktrail-walk 1 dead steady\nyes\nmaybe\n\n",
            NoWalk::Reply(2),
        ),
        ("sparktrail-walk 1 dead steady\n-4Ω\n\n", NoWalk::Reply(1)),
        ("sparktrail-walk 1 continuity steady\n\n", NoWalk::Subject),
        ("sparktrail-walk 1 spark steady\n\n{}", NoWalk::Subject),
    ] {
        assert_eq!(Walk::of_text(text), Err(wanted), "{text:?}");
    }
}

#[test]
fn a_sheet_holds_the_whole_of_a_walk() {
    let harness = sample("silver-limousine");
    let kind = control_paths(&harness).remove(0);
    let steps = Walk::begin(&harness, kind).sheet(&harness);
    // Leads together, the whole path, and each shorter stretch of it.
    assert_eq!(steps[0].task, Task::LeadsTogether);
    let ends: Vec<_> = steps
        .iter()
        .filter_map(|step| step.probes()?.black)
        .collect();
    assert!(ends.len() > 2, "{ends:?}");
    for kind in [Kind::Dead, Kind::Mended(None), Kind::Spark(CylinderId(1))] {
        let steps = Walk::begin(&harness, kind.clone()).sheet(&harness);
        assert!((2..=40).contains(&steps.len()), "{kind:?}: {}", steps.len());
    }
}
