//! Rules about how a file reads.

use super::tokens::Kind;
use super::{Finding, Source, Weight};

/// Where colours may be written down: the palette, and the colours of wires.
const PALETTE: &str = "static/tokens.css";
const WIRE_COLOURS: &str = "core/src/drawing/wire_paint.rs";

/// How long a file may be, without its tests, before a room is missing.
const LONG: usize = 600;

/// A colour has a name, in the palette or as that of a wire; nothing else says it in numbers.
pub(super) fn colours_have_names(source: &Source) -> Vec<Finding> {
    let whole = ["css", "js", "html"]
        .iter()
        .any(|ending| source.path.ends_with(&format!(".{ending}")));
    if source.path == PALETTE || source.path == WIRE_COLOURS {
        return Vec::new();
    }
    let mut found = Vec::new();
    let mut look = |line: usize, text: &str| {
        if let Some(colour) = colour(text) {
            let words = format!("the colour `{colour}` belongs into {PALETTE}, under a name");
            found.push(source.fault(line, words));
        }
    };
    if whole {
        for (number, line) in source.text.lines().enumerate() {
            // The browser's own bar is coloured before any style sheet is read.
            if !line.contains("theme-color") {
                look(number + 1, line);
            }
        }
    } else if source.path.starts_with("app/src/") || source.path.starts_with("core/src/") {
        for (at, token) in source.tokens.iter().enumerate() {
            let is_comment = at >= 2 && source.tokens[at - 2].word() == Some("doc");
            if let Kind::Literal(literal) = &token.kind
                && !is_comment
            {
                look(token.line, literal);
            }
        }
    }
    found
}

/// The first colour that a text says in numbers.
fn colour(text: &str) -> Option<&str> {
    let functions = [
        "rgb", "rgba", "hsl", "hsla", "hwb", "lab", "lch", "oklab", "oklch",
    ];
    let called = text.match_indices('(').find_map(|(at, _)| {
        let name = text[..at]
            .rsplit(|c: char| !c.is_ascii_alphanumeric())
            .next()?;
        let preceded = text[..at - name.len()].ends_with(['-', '_', '.']);
        (functions.contains(&name) && !preceded).then(|| &text[at - name.len()..at])
    });
    called.or_else(|| {
        text.match_indices('#').find_map(|(at, _)| {
            let rest = &text[at + 1..];
            let end = rest
                .find(|c: char| !c.is_ascii_alphanumeric() && c != '-' && c != '_')
                .unwrap_or(rest.len());
            let digits = &rest[..end];
            // `#add` may well be the name of an element; `#fff` and `#0af` are colours.
            let is_word = digits.len() < 6
                && !digits.contains(|c: char| c.is_ascii_digit())
                && !digits.bytes().all(|c| digits.bytes().next() == Some(c));
            (matches!(digits.len(), 3 | 4 | 6 | 8)
                && digits.chars().all(|c| c.is_ascii_hexdigit())
                && !is_word)
                .then(|| &text[at..=at + end])
        })
    })
}

/// Every Rust file says in its first line what it is for.
pub(super) fn opens_with_a_sentence(source: &Source) -> Vec<Finding> {
    let first = source.text.lines().next().unwrap_or_default();
    let sentence = first.strip_prefix("//! ").unwrap_or_default().trim();
    if !source.is_rust() || !sentence.is_empty() {
        return Vec::new();
    }
    vec![source.fault(
        1,
        "opens without a `//!` sentence that says what the file is for",
    )]
}

/// A long file is a sign that a room is missing.
pub(super) fn stays_short(source: &Source) -> Vec<Finding> {
    let is_test = source.path.ends_with("tests.rs") || source.path.contains("/tests/");
    if !source.is_rust() || is_test {
        return Vec::new();
    }
    let lines: Vec<&str> = source.text.lines().collect();
    let tests = lines
        .windows(2)
        .position(|two| two[0].trim() == "#[cfg(test)]" && two[1].trim().starts_with("mod "));
    let length = tests.unwrap_or(lines.len());
    if length <= LONG {
        return Vec::new();
    }
    let words = format!("{length} lines without tests: is a room missing?");
    let mut finding = source.fault(1, words);
    finding.weight = Weight::Warning;
    vec![finding]
}

/// Names that say nothing; a type that seems to need one is missing a better cut.
pub(super) fn says_what_it_is(source: &Source) -> Vec<Finding> {
    const EMPTY: &[&str] = &["Manager", "Helper", "Util", "Utils"];
    let mut found = Vec::new();
    if let Some(file) = source.path.rsplit('/').next()
        && source.is_rust()
        && EMPTY.iter().any(|name| {
            let stem = file.trim_end_matches(".rs");
            stem.eq_ignore_ascii_case(name) || stem.eq_ignore_ascii_case(&format!("{name}s"))
        })
    {
        found.push(source.fault(1, format!("`{file}` does not say what is in it")));
    }
    for two in source.tokens.windows(2) {
        if let (Some("struct" | "enum" | "trait" | "type"), Some(name)) =
            (two[0].word(), two[1].word())
            && EMPTY.iter().any(|empty| name.ends_with(empty))
        {
            found.push(source.fault(two[1].line, format!("`{name}` does not say what it is")));
        }
    }
    found
}

/// What is left to do stands in the list of work, not in the code.
pub(super) fn is_finished(source: &Source) -> Vec<Finding> {
    // Put together here, so that this file does not find itself.
    let words = [["TO", "DO"], ["FIX", "ME"], ["X", "XX"], ["HA", "CK"]].map(|two| two.concat());
    let lorem = ["lorem", " ipsum"].concat();
    lines_with(source, |line| {
        words
            .iter()
            .find(|word| {
                line.split(|c: char| !c.is_alphanumeric())
                    .any(|part| part == *word)
            })
            .or_else(|| line.to_lowercase().contains(&lorem).then_some(&lorem))
            .map(|word| format!("`{word}`: finish it, or write it into the list of work"))
    })
}

/// No path of anybody's machine.
pub(super) fn names_no_machine(source: &Source) -> Vec<Finding> {
    let homes = ["home", "Users", "root", "work", "tmp"].map(|folder| format!("/{folder}/"));
    lines_with(source, |line| {
        homes.iter().find_map(|home| {
            let at = line.find(home.as_str())?;
            // `static/tmp/x` and `https://host/home/` are other things.
            let before = line[..at].chars().next_back();
            let starts = before.is_none_or(|c| !(c.is_alphanumeric() || "./_-*".contains(c)));
            starts.then(|| format!("`{home}` is a place on one machine"))
        })
    })
}

fn lines_with(source: &Source, rule: impl Fn(&str) -> Option<String>) -> Vec<Finding> {
    source
        .text
        .lines()
        .enumerate()
        .filter_map(|(number, line)| Some(source.fault(number + 1, rule(line)?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::{shows, words_of};
    use super::*;

    #[test]
    fn colours() {
        let rule = colours_have_names;
        for bad in [
            "a { color: #fff; }",
            "a { color: #0A1b2c }",
            "a { fill: rgb(1 2 3) }",
            "a { fill: oklch(0.5 0.1 20) }",
        ] {
            let good = "#add, #boot { color: var(--ink); clip-path: url(#cut-8) }";
            shows(rule, "static/map.css", good, bad);
            assert!(words_of(rule, "static/tokens.css", bad).is_empty());
        }
        shows(
            rule,
            "app/src/ui/disc.rs",
            "/// Not #fff.\nfn f() -> &'static str { \"url(#shadow)\" }",
            "fn f() -> &'static str { \"#ffcc00\" }",
        );
        shows(
            rule,
            "static/index.html",
            "<meta name=\"theme-color\" content=\"#ffffff\">",
            "<p style=\"color:#123\">",
        );
    }

    #[test]
    fn sentence() {
        let rule = opens_with_a_sentence;
        shows(rule, "core/src/a.rs", "//! Says it.\n", "use std::fmt;");
        shows(rule, "core/src/a.rs", "//! Says it.\n", "//!\n//! Late.");
    }

    #[test]
    fn length() {
        let long = "// one\n".repeat(LONG + 1);
        let tested = format!(
            "{}#[cfg(test)]\nmod tests {{\n{long}}}",
            "// one\n".repeat(10)
        );
        shows(stays_short, "core/src/a.rs", &tested, &long);
        let said = words_of(stays_short, "core/src/a.rs", &long);
        assert!(said.iter().all(|words| words.starts_with("warning")));
    }

    #[test]
    fn names() {
        let rule = says_what_it_is;
        shows(
            rule,
            "core/src/a.rs",
            "struct Trail;",
            "pub struct TrailManager;",
        );
        assert!(!words_of(rule, "core/src/utils.rs", "").is_empty());
    }

    #[test]
    fn unfinished() {
        let bad = ["// TO", "DO: later"].concat();
        shows(is_finished, "static/ui.css", "/* todos os santos */", &bad);
    }

    #[test]
    fn machines() {
        let bad = ["open /ho", "me/somebody/map.json"].concat();
        let good = "target/tmp/x, https://example.org/home/";
        shows(names_no_machine, "README.md", good, &bad);
    }
}
