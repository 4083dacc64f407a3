//! Rules about what may know what: the floors of the core, the rooms of the app.

use super::tokens;
use super::{Finding, Source};

/// The main line of the core: each floor may import those before it.
const FLOORS: &[&str] = &[
    "gather",
    "said",
    "units",
    "provenance",
    "engine",
    "model",
    "copper",
    "topology",
    "electrics",
    "faults",
    "isolation",
    "walkthrough",
];

/// What stands beside the main line: the last floor that it may import, and its neighbours.
const BESIDE: &[(&str, &str, &[&str])] = &[
    ("edit", "topology", &[]),
    ("cycle", "faults", &[]),
    ("drawing", "topology", &[]),
    ("table", "topology", &["edit"]),
    ("share", "topology", &["edit", "table"]),
    ("compare", "topology", &["edit"]),
    ("report", "walkthrough", &["drawing"]),
    ("practice", "walkthrough", &[]),
    ("trace", "isolation", &["edit"]),
];

/// What the tests of every floor may import beside: the layouts that make their harnesses.
const FOR_TESTS: &str = "edit";

/// The rooms of the app and what each may import beside itself.
const ROOMS: &[(&str, &[&str])] = &[
    ("edge", &[]),
    ("ui", &["edge"]),
    ("store", &["ui", "edge"]),
    ("canvas", &["ui", "store", "edge"]),
    ("places", &["canvas", "ui", "store", "edge"]),
];

/// The modules of `places` that are no place: the frame in which the places stand, and the report
/// that gathers what they tell, may name them all, and every place may use the pieces.
const FRAMES: &[&str] = &["job", "panel", "report"];
const PIECES: &[&str] = &[
    "words",
    "facts",
    "nominals",
    "trails",
    "trouble",
    "projects",
    "samples",
    "lights",
    "selection",
    "entry",
    "closing",
    "map_file",
    "palette",
    "language",
    "fetch_again",
    "walk_offers",
    "seen_here",
    // Its fields and clashes stand wherever facts do.
    "editor",
    "share",
];

/// A floor of the core imports only those below it.
pub(super) fn core_imports_downward(source: &Source) -> Vec<Finding> {
    let Some(module) = module(source, "core/src/") else {
        return Vec::new();
    };
    let Some(floor) = module.first() else {
        return Vec::new(); // lib.rs names them all
    };
    let Some(allowed) = below(floor) else {
        return vec![source.fault(
            1,
            format!(
                "`{floor}` is no floor that tidy knows: give it a place in xtask/src/tidy/floors.rs"
            ),
        )];
    };
    let mut found = Vec::new();
    for named in tokens::own_paths(&source.tokens, &module) {
        let Some(to) = named.path.first() else {
            continue;
        };
        let for_tests = named.in_tests && to == FOR_TESTS;
        if to == floor || allowed.contains(&to.as_str()) || for_tests {
            continue;
        }
        let words = if below(to).is_some() {
            format!("`{floor}` must not know `{to}`, which does not stand below it")
        } else {
            format!("`crate::{to}` hides which floor it comes from: name the floor")
        };
        found.push(source.fault(named.line, words));
    }
    found
}

/// The rooms of the app keep apart: a place knows no other place, `ui` and `edge` no store.
pub(super) fn app_rooms_keep_apart(source: &Source) -> Vec<Finding> {
    let Some(module) = module(source, "app/src/") else {
        return Vec::new();
    };
    let Some((room, allowed)) = module
        .first()
        .and_then(|first| ROOMS.iter().find(|(room, _)| room == first))
    else {
        return Vec::new(); // app.rs and the like put the rooms together
    };
    let mut found = Vec::new();
    for named in tokens::own_paths(&source.tokens, &module) {
        let mut path = named.path.iter();
        let (Some(to), inside) = (path.next(), path.next()) else {
            continue;
        };
        if to != room
            && ROOMS.iter().any(|(known, _)| known == to)
            && !allowed.contains(&to.as_str())
        {
            let words = format!("`{room}` must not know `{to}`");
            found.push(source.fault(named.line, words));
        }
        // A place is a module of `places`; what begins with a capital is an item of the room.
        if *room == "places"
            && to == room
            && let (Some(place), Some(own)) = (inside, module.get(1))
            && !FRAMES.contains(&own.as_str())
            && place != own
            && !PIECES.contains(&place.as_str())
            && place.chars().next().is_some_and(char::is_lowercase)
        {
            let words = format!("the place `{own}` must not know the place `{place}`");
            found.push(source.fault(named.line, words));
        }
    }
    found
}

/// The floors that a floor of the core may import; `None` when there is no such floor.
fn below(floor: &str) -> Option<Vec<&'static str>> {
    let up_to = |top: &str, including: usize| {
        let height = FLOORS.iter().position(|known| *known == top)?;
        FLOORS.get(..height + including).map(<[_]>::to_vec)
    };
    up_to(floor, 0).or_else(|| {
        let (_, top, beside) = BESIDE.iter().find(|(name, ..)| *name == floor)?;
        let mut allowed = up_to(top, 1)?;
        allowed.extend_from_slice(beside);
        Some(allowed)
    })
}

/// The module that a file below `root` is: `model/part.rs` and `model/part/mod.rs` are
/// `model::part`; `lib.rs` and `main.rs` are the crate itself.
fn module(source: &Source, root: &str) -> Option<Vec<String>> {
    let path = source.path.strip_prefix(root)?.strip_suffix(".rs")?;
    let mut module: Vec<String> = path.split('/').map(str::to_owned).collect();
    if module.last().is_some_and(|last| last == "mod")
        || (module.len() == 1 && ["lib", "main"].contains(&path))
    {
        module.pop();
    }
    Some(module)
}

#[cfg(test)]
mod tests {
    use super::super::{shows, words_of};
    use super::*;

    #[test]
    fn floors() {
        let rule = core_imports_downward;
        shows(
            rule,
            "core/src/topology/graph.rs",
            "use crate::model::{Harness, PartId}; use super::Network;",
            "fn f(_: crate::faults::Mode) {}",
        );
        shows(
            rule,
            "core/src/units.rs",
            "use std::fmt;",
            "use crate::model::Harness;",
        );
        shows(
            rule,
            "core/src/edit/mod.rs",
            "use crate::topology::X;",
            "use super::electrics::X;",
        );
        shows(
            rule,
            "core/src/isolation/belief.rs",
            "mod tests { use super::super::evidence; }",
            "mod tests { use super::super::super::walkthrough::X; }",
        );
        shows(
            rule,
            "core/src/faults/mod.rs",
            "use crate::units::Ohms;",
            "use crate::edit::apply;",
        );
        shows(rule, "core/src/faults/mod.rs", "", "use crate::Harness;");
        shows(
            rule,
            "core/src/faults/mod.rs",
            "mod tests { use crate::edit::layouts; }",
            "mod tests { use crate::isolation::belief; }",
        );
        assert!(!words_of(rule, "core/src/attic/mod.rs", "").is_empty());
    }

    #[test]
    fn rooms() {
        let rule = app_rooms_keep_apart;
        shows(
            rule,
            "app/src/places/suspects.rs",
            "use crate::canvas::Map; use crate::store::Store; use super::Place;",
            "use crate::places::findings::List;",
        );
        let pieces = "use super::super::trouble::Trouble; use super::words;";
        shows(
            rule,
            "app/src/places/next/card.rs",
            pieces,
            "use super::super::findings::X;",
        );
        shows(
            rule,
            "app/src/ui/sheet.rs",
            "use crate::edge::dialog;",
            "use crate::store::Store;",
        );
        shows(
            rule,
            "app/src/edge/files.rs",
            "use super::page;",
            "use crate::store::Store;",
        );
        shows(
            rule,
            "app/src/canvas/map.rs",
            "use crate::store::Store;",
            "use crate::places::X;",
        );
    }
}
