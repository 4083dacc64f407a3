//! The macros `say!` and `digits!`: a template with gaps, as in `format!`, that a table can replace by another
//! language's when the program runs.
//!
//! `format!` puts its template together while compiling; here the template stays whole, and the values are handed
//! over beside it, by the names of the gaps.

use proc_macro::{Delimiter, Group, Ident, Literal, Punct, Spacing, Span, TokenStream, TokenTree};

/// A sentence in the language of the person: `say!("{done} of {all} done")`, `say!("{} at {}", a, b)`,
/// `say!(in "verb", "open {what}")`.
///
/// Gaps are filled as in `format!`; a gap with a precision, such as `{volts:.2}`, is written with the decimal comma
/// where the language has one. The words after `in` tell a translator which of two meanings is meant.
#[proc_macro]
pub fn say(input: TokenStream) -> TokenStream {
    written(input, "fill").unwrap_or_else(Fault::told)
}

/// A number with its unit, or the like: filled as `say!` is, but with nothing in it to translate.
#[proc_macro]
pub fn digits(input: TokenStream) -> TokenStream {
    written(input, "fill_as_is").unwrap_or_else(Fault::told)
}

/// What is wrong with a call, and where.
struct Fault(Span, &'static str);

impl Fault {
    fn told(self) -> TokenStream {
        let mut text = Literal::string(self.1);
        text.set_span(self.0);
        let mut call = TokenStream::from_iter([
            TokenTree::Ident(Ident::new("compile_error", self.0)),
            TokenTree::Punct(Punct::new('!', Spacing::Alone)),
        ]);
        call.extend([group(
            Delimiter::Brace,
            TokenTree::Literal(text).into(),
            self.0,
        )]);
        call
    }
}

/// One gap of a template: its name, or its place where it has none, and how it is written.
#[derive(PartialEq)]
struct Gap {
    name: String,
    how: String,
}

fn written(input: TokenStream, filled: &str) -> Result<TokenStream, Fault> {
    let mut parts = split(input);
    if parts.is_empty() {
        return Err(Fault(Span::call_site(), "a template in quotes is missing"));
    }
    let mut context = None;
    if let [TokenTree::Ident(word), TokenTree::Literal(said)] = parts[0].as_slice()
        && word.to_string() == "in"
    {
        context = Some(said.clone());
        parts.remove(0);
    }
    let Some([TokenTree::Literal(template)]) = parts.first().map(Vec::as_slice) else {
        return Err(Fault(Span::call_site(), "a template in quotes is missing"));
    };
    let template = template.clone();
    let span = template.span();
    let gaps = gaps(&template.to_string()).map_err(|what| Fault(span, what))?;
    let given: Vec<(Option<String>, TokenStream)> = parts.drain(1..).map(named).collect();

    let mut values = TokenStream::new();
    for gap in &gaps {
        values.extend(value(gap, &given, span)?);
    }
    for (place, (name, _)) in given.iter().enumerate() {
        let name = name.clone().unwrap_or_else(|| place.to_string());
        if !gaps
            .iter()
            .any(|gap| gap.name == name || gap.how == format!(".{name}$"))
        {
            return Err(Fault(span, "a value has no gap in the template"));
        }
    }

    let mut handed = TokenStream::new();
    let called = match context {
        Some(context) => {
            handed.extend([TokenTree::Literal(context), comma()]);
            "fill_in"
        }
        None => filled,
    };
    handed.extend([TokenTree::Literal(template), comma()]);
    handed.extend([TokenTree::Punct(Punct::new('&', Spacing::Alone))]);
    handed.extend([group(Delimiter::Bracket, values, span)]);
    let mut call = path(&["sparktrail_core", "said", called], Span::call_site());
    call.extend([group(Delimiter::Parenthesis, handed, span)]);
    Ok(call)
}

/// `&(value) as &dyn Display,`
fn value(
    gap: &Gap,
    given: &[(Option<String>, TokenStream)],
    span: Span,
) -> Result<TokenStream, Fault> {
    let by_name = given
        .iter()
        .find(|(name, _)| name.as_deref() == Some(gap.name.as_str()));
    let by_place = || {
        gap.name
            .parse::<usize>()
            .ok()
            .and_then(|place| given.get(place))
    };
    let expression = match by_name.or_else(by_place) {
        Some((_, expression)) => expression.clone(),
        None if gap.name.starts_with(|first: char| first.is_ascii_digit()) => {
            return Err(Fault(span, "a gap of the template has no value"));
        }
        None => TokenTree::Ident(Ident::new(&gap.name, span)).into(),
    };
    let mut shown = TokenStream::new();
    shown.extend([TokenTree::Punct(Punct::new('&', Spacing::Alone))]);
    if gap.how.is_empty() {
        shown.extend([group(Delimiter::Parenthesis, expression, span)]);
    } else {
        // `Number(format_args!("{:.2}", value))`
        let mut template = Literal::string(&format!("{{:{}}}", gap.how));
        template.set_span(span);
        let mut formatted = path(&["core", "format_args"], Span::call_site());
        formatted.extend([TokenTree::Punct(Punct::new('!', Spacing::Alone))]);
        let mut handed = TokenStream::from_iter([TokenTree::Literal(template), comma()]);
        handed.extend([group(Delimiter::Parenthesis, expression, span)]);
        formatted.extend([group(Delimiter::Parenthesis, handed, span)]);
        if gap.how.starts_with('.') {
            shown.extend(path(
                &["sparktrail_core", "said", "Number"],
                Span::call_site(),
            ));
            shown.extend([group(Delimiter::Parenthesis, formatted, span)]);
        } else {
            shown.extend(formatted);
        }
    }
    shown.extend([
        TokenTree::Ident(Ident::new("as", span)),
        TokenTree::Punct(Punct::new('&', Spacing::Alone)),
        TokenTree::Ident(Ident::new("dyn", span)),
    ]);
    shown.extend(path(&["core", "fmt", "Display"], Span::call_site()));
    shown.extend([comma()]);
    Ok(shown)
}

/// The gaps of a template, each name once, from the literal as it stands in the source.
fn gaps(source: &str) -> Result<Vec<Gap>, &'static str> {
    let mut found: Vec<Gap> = Vec::new();
    let mut unnamed = 0;
    let mut rest = source;
    while let Some(at) = rest.find(['{', '}', '\\']) {
        let (mark, after) = (rest.as_bytes()[at], &rest[at + 1..]);
        if mark == b'\\' {
            // `\u{2026}` is a letter, not a gap; of any other escape the next letter alone belongs to it.
            let skipped = match after.strip_prefix("u{") {
                Some(code) => code.find('}').map_or(after.len(), |end| end + 3),
                None => after.chars().next().map_or(0, char::len_utf8),
            };
            rest = &after[skipped..];
            continue;
        }
        if mark == b'}' || after.starts_with('{') {
            return Err("a template holds no braces but those of its gaps");
        }
        let end = after.find('}').ok_or("a gap is not closed")?;
        let (name, how) = after[..end].split_once(':').unwrap_or((&after[..end], ""));
        let name = if name.is_empty() {
            unnamed += 1;
            (unnamed - 1).to_string()
        } else {
            name.to_owned()
        };
        let gap = Gap {
            name,
            how: how.to_owned(),
        };
        match found.iter().find(|known| known.name == gap.name) {
            None => found.push(gap),
            Some(known) if *known == gap => {}
            Some(_) => return Err("one gap is written in two ways"),
        }
        rest = &after[end + 1..];
    }
    Ok(found)
}

/// The tokens between the commas of a call.
fn split(input: TokenStream) -> Vec<Vec<TokenTree>> {
    let mut parts = vec![Vec::new()];
    for token in input {
        if let TokenTree::Punct(punct) = &token
            && punct.as_char() == ','
        {
            parts.push(Vec::new());
        } else if let Some(part) = parts.last_mut() {
            part.push(token);
        }
    }
    parts.retain(|part| !part.is_empty());
    parts
}

/// `name = value`, or a value alone.
fn named(part: Vec<TokenTree>) -> (Option<String>, TokenStream) {
    if let [TokenTree::Ident(name), TokenTree::Punct(is), ..] = part.as_slice()
        && is.as_char() == '='
        && is.spacing() == Spacing::Alone
    {
        let name = name.to_string();
        return (Some(name), part.into_iter().skip(2).collect());
    }
    (None, part.into_iter().collect())
}

fn comma() -> TokenTree {
    TokenTree::Punct(Punct::new(',', Spacing::Alone))
}

fn group(delimiter: Delimiter, inside: TokenStream, span: Span) -> TokenTree {
    let mut group = Group::new(delimiter, inside);
    group.set_span(span);
    TokenTree::Group(group)
}

/// `::one::two::three`
fn path(names: &[&str], span: Span) -> TokenStream {
    let mut path = TokenStream::new();
    for name in names {
        path.extend([
            TokenTree::Punct(Punct::new(':', Spacing::Joint)),
            TokenTree::Punct(Punct::new(':', Spacing::Alone)),
            TokenTree::Ident(Ident::new(name, span)),
        ]);
    }
    path
}
