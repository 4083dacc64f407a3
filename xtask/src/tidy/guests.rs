//! Rules about libraries and the browser: each has one room in which it is known.

use proc_macro2::Delimiter;

use super::tokens::{Kind, Token};
use super::{Finding, Source};

/// petgraph reuses the indices of what was removed, so they never leave the topology.
pub(super) fn petgraph_stays_in_topology(source: &Source) -> Vec<Finding> {
    if source.path.starts_with("core/src/topology") || source.path.starts_with("xtask/") {
        return Vec::new();
    }
    named(source, |word| word == "petgraph")
        .map(|(line, _)| source.fault(line, "petgraph is known to core/src/topology alone"))
        .collect()
}

/// One room reads and writes files, one makes links; the rest of the core is plain data.
pub(super) fn serde_stays_in_files(source: &Source) -> Vec<Finding> {
    if !source.path.starts_with("core/src/")
        || source.path.starts_with("core/src/model/file")
        || source.path.starts_with("core/src/share")
    {
        return Vec::new();
    }
    named(source, |word| {
        ["serde", "serde_json", "schemars"].contains(&word)
    })
    .map(|(line, word)| {
        let words = format!("{word} is known to core/src/model/file and core/src/share alone");
        source.fault(line, words)
    })
    .collect()
}

/// The browser is touched in one folder.
pub(super) fn browser_stays_in_edge(source: &Source) -> Vec<Finding> {
    let app = source.path.starts_with("app/src/") && !source.path.starts_with("app/src/edge");
    if !app && !source.path.starts_with("core/src/") {
        return Vec::new();
    }
    let crates = named(source, |word| {
        word != "wasm_bindgen_test"
            && ["web_sys", "js_sys", "gloo", "wasm_bindgen"]
                .iter()
                .any(|name| word.starts_with(name))
    });
    let calls = source
        .tokens
        .windows(4)
        .filter(|four| is_bare_browser_call(four))
        .filter_map(|four| Some((four[1].line, four[1].word()?)));
    crates
        .chain(calls)
        .map(|(line, word)| {
            let words = format!("`{word}` is a browser call: it stands in app/src/edge");
            source.fault(line, words)
        })
        .collect()
}

/// `window()` and `document()`, which Leptos brings along, as functions of their own; methods
/// and functions of ours with these names are something else.
fn is_bare_browser_call(four: &[Token]) -> bool {
    let own = four[0].is('.') || four[0].word() == Some("fn");
    !own && matches!(four[1].word(), Some("window" | "document"))
        && four[2].kind == Kind::Open(Delimiter::Parenthesis)
        && four[3].kind == Kind::Close(Delimiter::Parenthesis)
}

fn named<'a>(
    source: &'a Source,
    wanted: impl Fn(&str) -> bool + 'a,
) -> impl Iterator<Item = (usize, &'a str)> {
    source.tokens.iter().filter_map(move |token| {
        let word = token.word().filter(|word| wanted(word))?;
        Some((token.line, word))
    })
}

#[cfg(test)]
mod tests {
    use super::super::{shows, words_of};
    use super::*;

    #[test]
    fn petgraph() {
        let rule = petgraph_stays_in_topology;
        shows(
            rule,
            "core/src/faults/mod.rs",
            "// petgraph",
            "use petgraph::Graph;",
        );
        let inside = words_of(rule, "core/src/topology/graph.rs", "use petgraph::Graph;");
        assert!(inside.is_empty());
    }

    #[test]
    fn serde() {
        let rule = serde_stays_in_files;
        let derived = "#[derive(serde::Serialize)] struct A;";
        shows(rule, "core/src/model/part.rs", "struct A;", derived);
        assert!(words_of(rule, "core/src/model/file/write.rs", derived).is_empty());
    }

    #[test]
    fn browser() {
        let rule = browser_stays_in_edge;
        let click = "fn f(ev: leptos::ev::MouseEvent) { ev.client_x(); store.document(); }";
        for bad in [
            "fn f(e: web_sys::Element) {}",
            "use leptos::wasm_bindgen::JsCast;",
            "use gloo_storage::Storage;",
            "fn f() { let w = window(); }",
            "fn f() { leptos::prelude::document().title(); }",
        ] {
            shows(rule, "app/src/places/map.rs", click, bad);
            assert!(words_of(rule, "app/src/edge/page.rs", bad).is_empty());
        }
        shows(
            rule,
            "core/src/units.rs",
            "use wasm_bindgen_test::x;",
            "use js_sys::Date;",
        );
    }
}
