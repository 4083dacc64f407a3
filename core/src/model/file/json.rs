//! JSON to be written: fields in the order given, what fits on a line kept on one line.

/// A value to be written.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Json {
    #[cfg_attr(
        not(any(test, feature = "schema")),
        expect(dead_code, reason = "only the schema needs it")
    )]
    Flag(bool),
    Number(String),
    Text(String),
    List(Vec<Json>),
    Object(Vec<(&'static str, Json)>),
}

/// Lines are not made longer than this.
const WIDTH: usize = 100;

impl Json {
    pub(super) fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// The shortest digits that read back as the same number.
    pub(super) fn number(value: f64) -> Self {
        let value = if value.is_nan() {
            0.0
        } else {
            value.clamp(f64::MIN, f64::MAX)
        };
        Self::Number(value.to_string())
    }

    pub(super) fn whole(value: impl Into<i64>) -> Self {
        Self::Number(value.into().to_string())
    }

    #[cfg(any(test, feature = "schema"))]
    pub(super) fn object<const N: usize>(fields: [(&'static str, Self); N]) -> Self {
        Self::Object(fields.into())
    }

    /// The document, with a line feed at its end. Its outermost fields stand on lines of their own.
    pub(super) fn document(&self) -> String {
        let mut out = String::new();
        self.spread(0, &mut out);
        out.push('\n');
        out
    }

    fn put(&self, indent: usize, taken: usize, out: &mut String) {
        let begun = out.len();
        if !self.line(&mut WIDTH.saturating_sub(taken), out) {
            out.truncate(begun);
            self.spread(indent, out);
        }
    }

    fn spread(&self, indent: usize, out: &mut String) {
        let inner = indent + 2;
        let begin = |out: &mut String, place: usize| {
            out.push_str(if place == 0 { "\n" } else { ",\n" });
            out.extend(std::iter::repeat_n(' ', inner));
        };
        let end = |out: &mut String, bracket: char| {
            out.push('\n');
            out.extend(std::iter::repeat_n(' ', indent));
            out.push(bracket);
        };
        match self {
            Self::List(items) if !items.is_empty() => {
                out.push('[');
                if items.iter().all(Self::is_plain) {
                    begin(out, 0);
                    let lines: Vec<String> = items.iter().map(Self::whole_line).collect();
                    fill(&lines, inner, out);
                    end(out, ']');
                    return;
                }
                for (place, item) in items.iter().enumerate() {
                    begin(out, place);
                    item.put(inner, inner + 1, out);
                }
                end(out, ']');
            }
            Self::Object(fields) if !fields.is_empty() => {
                out.push('{');
                for (place, (key, value)) in fields.iter().enumerate() {
                    begin(out, place);
                    let key = quoted(key);
                    out.push_str(&key);
                    out.push_str(": ");
                    value.put(inner, inner + key.chars().count() + 3, out);
                }
                end(out, '}');
            }
            Self::Flag(_) | Self::Number(_) | Self::Text(_) | Self::List(_) | Self::Object(_) => {
                out.push_str(&self.whole_line());
            }
        }
    }

    const fn is_plain(&self) -> bool {
        match self {
            Self::Flag(_) | Self::Number(_) | Self::Text(_) => true,
            Self::List(_) | Self::Object(_) => false,
        }
    }

    /// The value on one line.
    fn whole_line(&self) -> String {
        let mut line = String::new();
        let mut room = usize::MAX;
        self.line(&mut room, &mut line);
        line
    }

    /// Writes the value on one line and takes its letters from `room`. Where that has too few it stops within the
    /// value and says no, so that nothing is written out that has no room on a line.
    fn line(&self, room: &mut usize, out: &mut String) -> bool {
        match self {
            Self::Flag(flag) => fits(if *flag { "true" } else { "false" }, room, out),
            Self::Number(number) => fits(number, room, out),
            Self::Text(text) => fits(&quoted(text), room, out),
            Self::List(items) => {
                let all = items.iter().enumerate().all(|(place, item)| {
                    fits(if place == 0 { "[" } else { ", " }, room, out) && item.line(room, out)
                });
                all && fits(if items.is_empty() { "[]" } else { "]" }, room, out)
            }
            Self::Object(fields) => {
                let all = fields.iter().enumerate().all(|(place, (key, value))| {
                    fits(if place == 0 { "{ " } else { ", " }, room, out)
                        && fits(&quoted(key), room, out)
                        && fits(": ", room, out)
                        && value.line(room, out)
                });
                all && fits(if fields.is_empty() { "{}" } else { " }" }, room, out)
            }
        }
    }
}

/// Writes a piece of a line and takes its letters from `room`; `false` where that has too few.
fn fits(piece: &str, room: &mut usize, out: &mut String) -> bool {
    let left = room.checked_sub(piece.chars().count());
    out.push_str(piece);
    *room = left.unwrap_or(0);
    left.is_some()
}

/// As many words on each line as fit.
fn fill(words: &[String], indent: usize, out: &mut String) {
    let mut taken = indent;
    for (place, word) in words.iter().enumerate() {
        let long = word.chars().count() + 2;
        if place > 0 {
            out.push(',');
            if taken + long > WIDTH {
                out.push('\n');
                out.extend(std::iter::repeat_n(' ', indent));
                taken = indent;
            } else {
                out.push(' ');
            }
        }
        out.push_str(word);
        taken += long;
    }
}

fn quoted(text: &str) -> String {
    // Writing a string into memory cannot fail.
    serde_json::to_string(text).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A value as the first line of a document holds it, and how long it is there with its field's name.
    fn written(value: Json) -> (String, usize) {
        let line = value.whole_line();
        let document = Json::object([("a", value)]).document();
        let begun = r#"  "a": "#.len();
        let first = document.lines().nth(1).unwrap_or_default();
        (first[begun..].to_owned(), begun + line.chars().count())
    }

    /// Around the width of a line, in letters of one byte and of more, plain and with values within values.
    #[test]
    fn what_fits_on_a_line_stands_on_one() {
        let mut met = [0, 0];
        for letter in ["a", "ü", "\"", "点"] {
            for count in 1..120 {
                let text = || Json::text(letter.repeat(count));
                let object = Json::object([("b", text()), ("c", Json::List(vec![]))]);
                for value in [
                    Json::List(vec![Json::List(vec![text(), Json::Flag(true)])]),
                    Json::List(vec![object.clone(), Json::whole(7)]),
                    object,
                ] {
                    let line = value.whole_line();
                    let (first, long) = written(value);
                    let is_whole = first == line;
                    assert_eq!(is_whole, long < WIDTH, "{long} {first}");
                    met[usize::from(is_whole)] += 1;
                }
            }
        }
        assert!(met.iter().all(|count| *count > 100), "{met:?}");
    }
}
