//! Rules about what the program says: words stand where a translation finds them, and every translation has them all.
//!
//! On the way that is a warning, for who writes a sentence need not speak every language; a test holds it.

use std::collections::{BTreeMap, BTreeSet};

use anyhow::{Context, Result};
use proc_macro2::Delimiter;
use serde_json::{Map, Value};

use super::tokens::{Kind, Token};
use super::{Finding, Source};

/// Where translations stand: one file a language.
const TRANSLATIONS: &str = "static/words/";
/// How a number is written tells the decimal mark of a language.
const NUMBER: &str = "[number] 0.5";
/// The functions whose text a translation has.
const SAID: [&str; 2] = ["said", "to_say"];
const TEXT: [&str; 2] = ["text", "text_in"];
const IN_CONTEXT: [&str; 2] = ["said_in", "text_in"];

/// One template in the source.
struct Template {
    line: usize,
    /// As a translation names it.
    key: String,
}

/// What a file says, and where it says something that no translation would find.
#[derive(Default)]
struct Spoken {
    templates: Vec<Template>,
    lost: Vec<usize>,
}

/// In the modules that hold words, every word is said through what translates it.
pub(super) fn words_can_be_translated(source: &Source) -> Vec<Finding> {
    if !is_words(&source.path) {
        return Vec::new();
    }
    let lost = spoken(source).lost.into_iter();
    lost.map(|line| {
        let words =
            "no translation finds this: say it with `say!`, `said`, `text`; what is no word goes into a function called `…_code`";
        source.warning(line, words)
    })
    .collect()
}

fn is_words(path: &str) -> bool {
    path.starts_with("app/src/places/words/")
        || [
            "core/src/model/fact/words.rs",
            "core/src/model/check/words.rs",
        ]
        .contains(&path)
}

/// Every translation has all that is said, with the same gaps, and nothing else.
pub(super) fn translations_are_whole(sources: &[Source]) -> Vec<Finding> {
    let said = all_said(sources);
    let translations = sources.iter().filter(|source| is_translation(source));
    translations
        .flat_map(|source| match read(&source.text) {
            Ok(table) => compare(source, &table, &said),
            Err(error) => vec![source.warning(1, format!("{error:#}"))],
        })
        .collect()
}

pub(super) fn is_translation(source: &Source) -> bool {
    source.path.starts_with(TRANSLATIONS)
}

/// A translation in the order of the source, with an empty text for each template that it lacks; what the source does
/// not say any more is left out.
///
/// # Errors
/// Where the translation is no table of texts.
pub(super) fn in_order(sources: &[Source], translation: &str) -> Result<String> {
    let table = read(translation)?;
    let mut text = String::from("{\n");
    let said = said_in_order(sources);
    for (nth, (key, _)) in said.iter().enumerate() {
        let known = table.get(key).map_or("", String::as_str);
        let (key, known) = (serde_json::to_string(key)?, serde_json::to_string(known)?);
        let comma = if nth + 1 < said.len() { "," } else { "" };
        text.push_str(&format!("  {key}: {known}{comma}\n"));
    }
    text.push_str("}\n");
    Ok(text)
}

fn read(text: &str) -> Result<BTreeMap<String, String>> {
    let table: Map<String, Value> =
        serde_json::from_str(text).context("this is no table of texts")?;
    let pairs = table.into_iter().map(|(key, value)| {
        let value = value
            .as_str()
            .context("a translation is a text")?
            .to_owned();
        Ok((key, value))
    });
    pairs.collect()
}

fn compare(
    source: &Source,
    table: &BTreeMap<String, String>,
    said: &BTreeMap<String, String>,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for (key, place) in said {
        match table.get(key).map(String::as_str) {
            None | Some("") => {
                found.push(source.warning(1, format!("“{key}” is not translated ({place})")));
            }
            Some(other) if gaps(key) != gaps(other) => {
                found.push(
                    source.warning(1, format!("“{key}” and its translation have other gaps")),
                );
            }
            Some(_) => {}
        }
    }
    let left = table.keys().filter(|key| !said.contains_key(*key));
    found.extend(left.map(|key| source.warning(1, format!("“{key}” is said nowhere"))));
    found
}

/// Every template with the first place where it stands.
fn all_said(sources: &[Source]) -> BTreeMap<String, String> {
    let mut said = BTreeMap::new();
    for (key, place) in said_in_order(sources) {
        said.entry(key).or_insert(place);
    }
    said
}

/// Every template once, in the order of the source, with its place.
fn said_in_order(sources: &[Source]) -> Vec<(String, String)> {
    let mut all = vec![(NUMBER.to_owned(), "core/src/said.rs".to_owned())];
    let mut known = BTreeSet::new();
    for source in sources {
        let mut templates = spoken(source).templates;
        templates.extend(of_page(source));
        for template in templates {
            if known.insert(template.key.clone()) {
                let place = format!("{}:{}", source.path, template.line);
                all.push((template.key, place));
            }
        }
    }
    all
}

/// What the page says before the program runs: `say('…', …)` in its loader.
fn of_page(source: &Source) -> Vec<Template> {
    if source.path != "static/boot.js" {
        return Vec::new();
    }
    let calls = source.text.split("say(").skip(1);
    let texts = calls.filter_map(|call| call.trim_start().strip_prefix('\'')?.split('\'').next());
    let template = |text: &str| Template {
        line: 1,
        key: text.to_owned(),
    };
    texts.map(template).collect()
}

/// The names of the gaps in rising order; those without a name are counted.
fn gaps(template: &str) -> Vec<String> {
    let mut names = Vec::new();
    let mut unnamed = 0;
    for piece in template.split('{').skip(1) {
        let inside = piece.split('}').next().unwrap_or_default();
        let name = inside.split(':').next().unwrap_or_default();
        if name.is_empty() {
            names.push(unnamed.to_string());
            unnamed += 1;
        } else {
            names.push(name.to_owned());
        }
    }
    names.sort();
    names.dedup();
    names
}

fn spoken(source: &Source) -> Spoken {
    let mut found = Spoken::default();
    let ours = ["core/src/", "app/src/"];
    if !ours.iter().any(|ours| source.path.starts_with(ours))
        || ["core/src/said.rs", "app/src/text.rs"].contains(&source.path.as_str())
    {
        return found;
    }
    let reader = Reader {
        tokens: &source.tokens,
        in_app: source.path.starts_with("app/"),
        calls_said: names(&source.tokens, "said"),
        calls_text: names(&source.tokens, "text"),
    };
    reader.read(&mut found);
    found
}

/// Whether a file takes names out of the module called so.
fn names(tokens: &[Token], module: &str) -> bool {
    let mut pairs = tokens.windows(3);
    pairs.any(|three| three[0].word() == Some(module) && three[1].is(':') && three[2].is(':'))
}

struct Reader<'s> {
    tokens: &'s [Token],
    in_app: bool,
    calls_said: bool,
    calls_text: bool,
}

impl Reader<'_> {
    fn read(&self, found: &mut Spoken) {
        let mut at = 0;
        let mut function = "";
        // Where calls of `said` and the like end: every literal before that is theirs.
        let mut until = 0;
        while let Some(token) = self.tokens.get(at) {
            let next = self.tokens.get(at + 1);
            match &token.kind {
                // An attribute.
                Kind::Sign('#') => {
                    let open = at + 1 + usize::from(next.is_some_and(|next| next.is('!')));
                    if self.opens(open, Delimiter::Bracket) {
                        let end = self.end(open);
                        self.said_of_errors(open, end, found);
                        at = end;
                        continue;
                    }
                }
                Kind::Word(word) if word == "mod" && self.opens(at + 2, Delimiter::Brace) => {
                    if next
                        .and_then(Token::word)
                        .is_some_and(|name| name.contains("tests"))
                    {
                        at = self.end(at + 2);
                        continue;
                    }
                }
                Kind::Word(word) if word == "fn" => {
                    function = next.and_then(Token::word).unwrap_or_default();
                    at += 1;
                }
                Kind::Word(word) if next.is_some_and(|next| next.is('!')) => {
                    if let Some(end) = self.of_macro(word, at + 2, found) {
                        at = end;
                        continue;
                    }
                }
                Kind::Word(word) if self.is_call(word, at) => {
                    if IN_CONTEXT.contains(&word.as_str()) {
                        at = self.in_context(at + 1, found);
                        continue;
                    }
                    until = until.max(self.end(at + 1));
                }
                Kind::Literal(literal) => {
                    if let Some(text) = text_of(literal) {
                        if at < until {
                            found
                                .templates
                                .extend((!text.is_empty()).then_some(Template {
                                    line: token.line,
                                    key: text,
                                }));
                        } else if is_word(&text) && !is_code(function) {
                            found.lost.push(token.line);
                        }
                    }
                }
                Kind::Word(_) | Kind::Sign(_) | Kind::Open(_) | Kind::Close(_) => {}
            }
            at += 1;
        }
    }

    /// `say!(…)` from its bracket on: its template. Returns where what follows the template begins.
    fn of_macro(&self, name: &str, open: usize, found: &mut Spoken) -> Option<usize> {
        if !["say", "digits"].contains(&name) || !self.opens(open, Delimiter::Parenthesis) {
            return None;
        }
        let mut at = open + 1;
        let mut context = None;
        if self.tokens.get(at).and_then(Token::word) == Some("in") {
            context = self.literal(at + 1);
            at += 3;
        }
        let key = self.literal(at)?;
        if name == "say" {
            let line = self.tokens[at].line;
            let key = context.map_or_else(|| key.clone(), |context| format!("[{context}] {key}"));
            found.templates.push(Template { line, key });
        }
        Some(at + 1)
    }

    /// `said_in("context", "text")` from its bracket on. Returns its end.
    fn in_context(&self, open: usize, found: &mut Spoken) -> usize {
        if let (Some(context), Some(text)) = (self.literal(open + 1), self.literal(open + 3)) {
            found.templates.push(Template {
                line: self.tokens[open].line,
                key: format!("[{context}] {text}"),
            });
        }
        self.end(open)
    }

    /// `#[error("{}", say!(…))]`: messages that people see.
    fn said_of_errors(&self, from: usize, to: usize, found: &mut Spoken) {
        for at in from..to {
            if let Some(word) = self.tokens[at].word() {
                let _ = self.of_macro(word, at + 2, found);
            }
        }
    }

    fn is_call(&self, word: &str, at: usize) -> bool {
        let before = at.checked_sub(1).map(|before| &self.tokens[before]);
        let stands_alone =
            before.is_none_or(|before| !before.is('.') && before.word() != Some("fn"));
        let ours = (self.calls_said && (SAID.contains(&word) || word == "said_in"))
            || (self.in_app && self.calls_text && TEXT.contains(&word));
        ours && stands_alone && self.opens(at + 1, Delimiter::Parenthesis)
    }

    fn opens(&self, at: usize, delimiter: Delimiter) -> bool {
        self.tokens
            .get(at)
            .is_some_and(|token| token.kind == Kind::Open(delimiter))
    }

    /// Behind the bracket that closes the one at `open`.
    fn end(&self, open: usize) -> usize {
        let mut depth = 0;
        for (at, token) in self.tokens.iter().enumerate().skip(open) {
            match token.kind {
                Kind::Open(_) => depth += 1,
                Kind::Close(_) => depth -= 1,
                Kind::Word(_) | Kind::Sign(_) | Kind::Literal(_) => {}
            }
            if depth == 0 {
                return at + 1;
            }
        }
        self.tokens.len()
    }

    fn literal(&self, at: usize) -> Option<String> {
        if let Kind::Literal(literal) = &self.tokens.get(at)?.kind {
            text_of(literal)
        } else {
            None
        }
    }
}

/// Whether a function gives words for attributes and the like.
fn is_code(function: &str) -> bool {
    function.ends_with("_code") || function == "state"
}

/// Whether people read a text as a word: not signs, a unit, or a name with strokes.
fn is_word(text: &str) -> bool {
    const UNITS: [&str; 12] = [
        "mV", "kV", "kΩ", "MΩ", "mΩ", "mm", "mm²", "mH", "ms", "pF", "mJ", "rpm",
    ];
    let kebab =
        |word: &str| word.contains('-') && !word.contains(' ') && word == word.to_lowercase();
    let mut plain = String::new();
    for (nth, piece) in text.split('{').enumerate() {
        let outside = if nth == 0 {
            Some(piece)
        } else {
            piece.split_once('}').map(|(_, rest)| rest)
        };
        plain.push_str(outside.unwrap_or_default());
        plain.push(' ');
    }
    !kebab(text)
        && plain.split_whitespace().any(|word| {
            let letters = word.chars().filter(|letter| letter.is_alphabetic()).count();
            letters > 1 && !UNITS.contains(&word)
        })
}

/// The text of a literal in double quotes.
fn text_of(literal: &str) -> Option<String> {
    let inside = literal.strip_prefix('"')?.strip_suffix('"')?;
    let mut text = String::new();
    let mut rest = inside.chars().peekable();
    while let Some(letter) = rest.next() {
        if letter != '\\' {
            text.push(letter);
            continue;
        }
        match rest.next()? {
            'n' => text.push('\n'),
            't' => text.push('\t'),
            'u' => {
                let code: String = rest
                    .by_ref()
                    .skip(1)
                    .take_while(|letter| *letter != '}')
                    .collect();
                text.push(char::from_u32(u32::from_str_radix(&code, 16).ok()?)?);
            }
            '\n' => while rest.next_if(|letter| letter.is_whitespace()).is_some() {},
            other => text.push(other),
        }
    }
    Some(text)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::super::shows;
    use super::*;

    #[test]
    fn this_repository_is_translated() {
        let sources = super::super::sources().unwrap();
        let mut found: Vec<Finding> = sources.iter().flat_map(words_can_be_translated).collect();
        found.extend(translations_are_whole(&sources));
        let told: Vec<String> = found.iter().map(ToString::to_string).collect();
        assert!(told.is_empty(), "{}", told.join("\n"));
    }

    fn keys(text: &str) -> Vec<String> {
        let source = Source::new("app/src/places/words/start.rs", text);
        let templates = spoken(&source).templates.into_iter();
        templates.map(|template| template.key).collect()
    }

    #[test]
    fn templates_are_found_wherever_they_stand() {
        let text = r#"
            use sparktrail_core::said::{said, say};
            use crate::text::{Text, text, text_in};
            /// Not "this".
            pub const A: Text = text("one");
            pub const B: [Text; 1] = [text_in("verb", "open")];
            #[error("{}", say!("in an attribute {0}", .0))]
            fn f(n: u8) -> String { say!(in "place", "{n} here", n = say!("inner")) }
            fn g(n: u8) -> &'static str { said(match n { 0 => "none", _ => "many \u{2026}" }) }
            mod tests { const C: &str = text("never"); }
        "#;
        let expected = [
            "one",
            "[verb] open",
            "in an attribute {0}",
            "[place] {n} here",
            "inner",
            "none",
            "many …",
        ];
        assert_eq!(keys(text), expected);
    }

    #[test]
    fn words_outside_are_told() {
        let path = "app/src/places/words/start.rs";
        let rule = words_can_be_translated;
        shows(
            rule,
            path,
            "use crate::text::text; const A: Text = text(\"Close\");",
            "const A: &str = \"Close\";",
        );
        shows(
            rule,
            path,
            "fn f() -> String { digits!(\"{:.1} mV\", 0.1) }",
            "fn f() -> String { format!(\"{} volts\", 1) }",
        );
        shows(
            rule,
            path,
            "fn kind_code() -> &'static str { \"waste\" }",
            "fn kind() -> &'static str { \"waste\" }",
        );
    }

    #[test]
    fn a_translation_that_is_not_whole_is_told() {
        let source = |table: &str| {
            let words = "use crate::text::text; const A: Text = text(\"{a} of {}\");";
            vec![
                Source::new("app/src/places/words/start.rs", words),
                Source::new("static/words/xx.json", table),
            ]
        };
        // The decimal mark is missing in all of them.
        let found = |table: &str| {
            translations_are_whole(&source(table))
                .len()
                .saturating_sub(1)
        };
        assert_eq!(found(r#"{ "{a} of {}": "{0}: {a}" }"#), 0);
        assert_eq!(found(r#"{ "{a} of {}": "{a}" }"#), 1);
        assert_eq!(found(r#"{ "{a} of {}": "" }"#), 1);
        assert_eq!(found(r#"{ "{a} of {}": "{a} {0}", "gone": "weg" }"#), 1);
        assert_eq!(translations_are_whole(&source("[]")).len(), 1);
    }
}
