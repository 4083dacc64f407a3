//! What the program says, in the language of the person: the English stands in the source, a table holds another
//! language's words for it.

use std::cell::Cell;
use std::fmt::{self, Display, Write};

use crate::gather::Arrange;

pub use sparktrail_say::{digits, say};

/// The words of one language other than English, looked up by the English.
#[derive(Debug)]
pub struct Table {
    /// English and the other language, by the English in rising order.
    words: Vec<(String, String)>,
    /// Whether numbers have a decimal comma.
    comma: bool,
}

/// What a table says of numbers: how the first key is written tells the decimal mark.
const NUMBER: &str = "[number] 0.5";

thread_local! {
    static TABLE: Cell<Option<&'static Table>> = const { Cell::new(None) };
}

impl Table {
    /// A table of pairs: the English template and the other language's, with the same gaps in any order. A key with a
    /// context reads `[context] template`. A pair without a translation counts as none.
    #[must_use]
    pub fn of(mut words: Vec<(String, String)>) -> Self {
        words.retain(|(_, said)| !said.is_empty());
        words.arrange_by(|a, b| a.0.cmp(&b.0));
        let mut table = Self {
            words,
            comma: false,
        };
        table.comma = table.find(NUMBER).is_some_and(|said| said.contains(','));
        table
    }

    fn find(&self, english: &str) -> Option<&str> {
        let place = self
            .words
            .binary_search_by(|(known, _)| known.as_str().cmp(english));
        place
            .ok()
            .and_then(|place| self.words.get(place))
            .map(|(_, said)| said.as_str())
    }
}

/// Everything that this thread says from now on comes from `table`; what it lacks stays English. `None` is English.
pub fn speak(table: Option<&'static Table>) {
    TABLE.set(table);
}

/// What `act` makes where nothing but English is said.
pub fn in_english<T>(act: impl FnOnce() -> T) -> T {
    let kept = TABLE.replace(None);
    let made = act();
    TABLE.set(kept);
    made
}

/// A number, shown with the decimal mark of the language.
#[must_use]
pub fn decimal(number: &dyn Display) -> String {
    Number(format_args!("{number}")).to_string()
}

fn table() -> Option<&'static Table> {
    TABLE.get()
}

/// English words that are handed on, and go through [`said`] where they are shown: it stands here so that a
/// translation has them too.
#[must_use]
pub const fn to_say(english: &'static str) -> &'static str {
    english
}

/// The words of the person's language for `english`, which is its own answer where the table lacks it.
#[must_use]
pub fn said(english: &'static str) -> &'static str {
    look(english).unwrap_or(english)
}

/// The same for a word that means two things: `context` says which of them.
#[must_use]
pub fn said_in(context: &str, english: &'static str) -> &'static str {
    look_in(context, english).unwrap_or(english)
}

fn look(english: &str) -> Option<&'static str> {
    table()?.find(english)
}

fn look_in(context: &str, english: &str) -> Option<&'static str> {
    let table = table()?;
    let key = ["[", context, "] ", english].concat();
    table.find(&key)
}

/// A template of [`say!`], filled.
#[doc(hidden)]
#[must_use]
pub fn fill(english: &str, values: &[&dyn Display]) -> String {
    filled(english, look(english), values)
}

/// A template with a context, filled.
#[doc(hidden)]
#[must_use]
pub fn fill_in(context: &str, english: &str, values: &[&dyn Display]) -> String {
    filled(english, look_in(context, english), values)
}

/// A template of [`digits!`], filled.
#[doc(hidden)]
#[must_use]
pub fn fill_as_is(english: &str, values: &[&dyn Display]) -> String {
    filled(english, None, values)
}

/// The values belong to the gaps of the English, each name once, in their order.
fn filled(english: &str, said: Option<&str>, values: &[&dyn Display]) -> String {
    let mut names: Vec<&str> = Vec::new();
    walk(english, &mut |piece| {
        if let Piece::Gap(name) = piece
            && (name.is_empty() || !names.contains(&name))
        {
            names.push(name);
        }
    });
    let mut unnamed = 0;
    let mut out = String::new();
    walk(said.unwrap_or(english), &mut |piece| {
        let name = match piece {
            Piece::Words(words) => return out.push_str(words),
            Piece::Gap(name) => name,
        };
        let place = if name.is_empty() {
            unnamed += 1;
            nth_unnamed(&names, unnamed - 1)
        } else {
            // `{0}` is the first of those without a name.
            let known = names.iter().position(|known| *known == name);
            known.or_else(|| nth_unnamed(&names, name.parse().ok()?))
        };
        if let Some(value) = place.and_then(|place| values.get(place)) {
            // Writing to a string does not fail.
            let _ = write!(out, "{value}");
        }
    });
    out
}

fn nth_unnamed(names: &[&str], nth: usize) -> Option<usize> {
    let mut unnamed = (0..names.len()).filter(|place| names[*place].is_empty());
    unnamed.nth(nth)
}

/// A piece of a template.
enum Piece<'t> {
    Words(&'t str),
    /// The name of a gap, which is empty where it has none.
    Gap(&'t str),
}

/// Takes a template apart.
fn walk<'t>(template: &'t str, act: &mut dyn FnMut(Piece<'t>)) {
    let mut rest = template;
    while let Some((words, after)) = rest.split_once('{') {
        act(Piece::Words(words));
        let (gap, left) = after.split_once('}').unwrap_or((after, ""));
        act(Piece::Gap(gap.split(':').next().unwrap_or(gap)));
        rest = left;
    }
    act(Piece::Words(rest));
}

/// A number as it was written with a point, shown with the decimal mark of the language.
#[doc(hidden)]
pub struct Number<'a>(pub fmt::Arguments<'a>);

impl Display for Number<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if table().is_some_and(|table| table.comma) {
            f.write_str(&self.0.to_string().replace('.', ","))
        } else {
            f.write_fmt(self.0)
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::literal_string_with_formatting_args,
        reason = "templates are no format strings here"
    )]

    use super::*;

    fn speak_test() {
        let words = [
            ("{done} of {all} done", "{all} insgesamt, {done} erledigt"),
            ("{} at {}", "bei {1}: {0}"),
            ("open", "offen"),
            ("[verb] open", "öffnen"),
            ("untranslated", ""),
            (NUMBER, "0,5"),
        ];
        let words = words.map(|(english, said)| (english.to_owned(), said.to_owned()));
        speak(Some(Box::leak(Box::new(Table::of(words.to_vec())))));
    }

    #[test]
    fn english_needs_no_table() {
        let (done, all) = (1, 2);
        assert_eq!(say!("{done} of {all} done"), "1 of 2 done");
        assert_eq!(
            say!("{} at {}, {n:.2} V", "a", "b", n = 1.5),
            "a at b, 1.50 V"
        );
        assert_eq!(say!("no gap \u{2026}"), "no gap …");
        assert_eq!(said_in("verb", "open"), "open");
    }

    #[test]
    fn a_table_may_turn_gaps_round() {
        speak_test();
        let (done, all) = (1, 2);
        assert_eq!(say!("{done} of {all} done"), "2 insgesamt, 1 erledigt");
        assert_eq!(say!("{} at {}", "a", "b"), "bei b: a");
        assert_eq!(said("open"), "offen");
        assert_eq!(said_in("verb", "open"), "öffnen");
        assert_eq!(say!(in "verb", "open"), "öffnen");
        assert_eq!(said("untranslated"), "untranslated");
        assert_eq!(said("not in the table"), "not in the table");
    }

    #[test]
    fn numbers_have_the_mark_of_the_language() {
        let volts = 12.345;
        assert_eq!(digits!("{volts:.2} V"), "12.35 V");
        speak_test();
        assert_eq!(digits!("{volts:.2} V"), "12,35 V");
        assert_eq!(say!("{volts:.1} V are 1.5 more"), "12,3 V are 1.5 more");
    }
}
