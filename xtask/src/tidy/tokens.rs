//! A Rust file as the compiler reads it: words, signs and literals, without comments.

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// One token and the line that it stands on.
pub(super) struct Token {
    pub(super) line: usize,
    pub(super) kind: Kind,
}

#[derive(Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Word(String),
    Sign(char),
    Literal(String),
    Open(Delimiter),
    Close(Delimiter),
}

impl Token {
    pub(super) fn word(&self) -> Option<&str> {
        if let Kind::Word(word) = &self.kind {
            Some(word)
        } else {
            None
        }
    }

    pub(super) fn is(&self, sign: char) -> bool {
        self.kind == Kind::Sign(sign)
    }
}

/// The tokens of a file; none when it is no Rust, which the compiler will say better.
pub(super) fn read(text: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    if let Ok(stream) = text.parse::<TokenStream>() {
        flatten(stream, &mut tokens);
    }
    tokens
}

fn flatten(stream: TokenStream, tokens: &mut Vec<Token>) {
    for tree in stream {
        let line = tree.span().start().line;
        match tree {
            TokenTree::Group(group) => {
                let delimiter = group.delimiter();
                tokens.push(Token {
                    line,
                    kind: Kind::Open(delimiter),
                });
                flatten(group.stream(), tokens);
                let line = group.span_close().start().line;
                tokens.push(Token {
                    line,
                    kind: Kind::Close(delimiter),
                });
            }
            TokenTree::Ident(word) => tokens.push(Token {
                line,
                kind: Kind::Word(word.to_string()),
            }),
            TokenTree::Punct(sign) => tokens.push(Token {
                line,
                kind: Kind::Sign(sign.as_char()),
            }),
            TokenTree::Literal(literal) => {
                tokens.push(Token {
                    line,
                    kind: Kind::Literal(literal.to_string()),
                });
            }
        }
    }
}

/// A path that a file names, from the root of its crate, and the line.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Named {
    pub(super) line: usize,
    /// Whether it stands in a module called `tests`.
    pub(super) in_tests: bool,
    pub(super) path: Vec<String>,
}

/// Every path into its own crate that a file names by `crate::`, `super::` or `self::`, in
/// `use` groups too. `module` is the module that the file is, from the root of its crate.
pub(super) fn own_paths(tokens: &[Token], module: &[String]) -> Vec<Named> {
    let mut found = Vec::new();
    // The module we are in: that of the file, and the ones opened inside it with the depth of
    // their braces.
    let mut inner: Vec<(String, usize)> = Vec::new();
    let mut depth = 0;
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        match &token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => {
                depth -= 1;
                inner.retain(|(_, opened)| *opened <= depth);
            }
            Kind::Word(word) if word == "mod" => {
                if let (Some(name), Some(Kind::Open(Delimiter::Brace))) = (
                    tokens.get(at + 1).and_then(Token::word),
                    tokens.get(at + 2).map(|token| &token.kind),
                ) {
                    inner.push((name.to_owned(), depth + 1));
                }
            }
            Kind::Word(_) => {
                let here = module.iter().chain(inner.iter().map(|(name, _)| name));
                let here: Vec<String> = here.cloned().collect();
                let in_tests = here.iter().any(|module| module == "tests");
                if let Some((path, next)) = start(tokens, at, here) {
                    let known = found.len();
                    // The braces of a `use` group are balanced, so the depth stays as it is.
                    at = expand(tokens, next, path, &mut found);
                    for named in &mut found[known..] {
                        named.in_tests = in_tests;
                    }
                    continue;
                }
            }
            Kind::Sign(_) | Kind::Literal(_) => {}
        }
        at += 1;
    }
    found
}

/// Reads `crate::`, `self::`, `super::` or several of the last: the module that they mean, and
/// where the path goes on.
fn start(tokens: &[Token], at: usize, mut here: Vec<String>) -> Option<(Vec<String>, usize)> {
    match tokens.get(at)?.word()? {
        "crate" => here.clear(),
        "self" => {}
        "super" => drop(here.pop()),
        _ => return None,
    }
    let mut next = after_colons(tokens, at + 1)?;
    while tokens.get(next).and_then(Token::word) == Some("super") {
        here.pop();
        next = after_colons(tokens, next + 1)?;
    }
    Some((here, next))
}

/// Notes every path that goes on from `path` at `at`; returns where they end.
fn expand(tokens: &[Token], at: usize, mut path: Vec<String>, found: &mut Vec<Named>) -> usize {
    let Some(token) = tokens.get(at) else {
        return at;
    };
    let line = token.line;
    match &token.kind {
        Kind::Word(name) => {
            if name != "self" {
                path.push(name.clone());
            }
            let goes_on = after_colons(tokens, at + 1).filter(|next| {
                let kind = tokens.get(*next).map(|token| &token.kind);
                matches!(kind, Some(Kind::Word(_) | Kind::Open(_) | Kind::Sign('*')))
            });
            if let Some(next) = goes_on {
                return expand(tokens, next, path, found);
            }
        }
        Kind::Open(Delimiter::Brace) => return group(tokens, at + 1, &path, found),
        Kind::Sign(_) | Kind::Literal(_) | Kind::Open(_) | Kind::Close(_) => {}
    }
    found.push(Named {
        line,
        in_tests: false,
        path,
    });
    at + 1
}

/// Notes every path of a `use` group whose brace opened before `at`; returns where it ends.
fn group(tokens: &[Token], mut at: usize, path: &[String], found: &mut Vec<Named>) -> usize {
    while let Some(token) = tokens.get(at) {
        match &token.kind {
            Kind::Close(_) => return at + 1,
            Kind::Word(word) if word == "as" => at += 2,
            Kind::Word(_) | Kind::Open(_) | Kind::Sign('*') => {
                at = expand(tokens, at, path.to_vec(), found);
            }
            Kind::Sign(_) | Kind::Literal(_) => at += 1,
        }
    }
    at
}

/// Where the tokens go on after `::`, if that stands at `at`.
fn after_colons(tokens: &[Token], at: usize) -> Option<usize> {
    (tokens.get(at)?.is(':') && tokens.get(at + 1)?.is(':')).then_some(at + 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: &[&str]) {
        let module = ["model".to_owned(), "part".to_owned()];
        let paths: Vec<String> = own_paths(&read(text), &module)
            .into_iter()
            .map(|named| named.path.join("::"))
            .collect();
        assert_eq!(paths, expected, "{text}");
    }

    #[test]
    fn reads_paths_groups_and_modules() {
        check("use crate::units::Volts;", &["units::Volts"]);
        check(
            "use crate::{units::{self, Ohms as R, *}, engine};",
            &["units", "units::Ohms", "units", "engine"],
        );
        check("use super::ids::PartId;", &["model::ids::PartId"]);
        check("fn f() -> super::super::faults::Mode {}", &["faults::Mode"]);
        check(
            "mod tests { use super::*; use super::super::super::x::Y; }",
            &["model::part", "x::Y"],
        );
        check("mod a {} use self::b::C;", &["model::part::b::C"]);
        check(
            "fn f(&self) { self.x; matches!(y, crate::z::A { .. }) }",
            &["z::A"],
        );
        check(
            "pub(crate) fn f() { crate::z::g::<u8>(); } // crate::no::no",
            &["z::g"],
        );
    }
}
