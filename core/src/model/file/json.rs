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
        let line = self.line();
        if taken + line.chars().count() <= WIDTH {
            out.push_str(&line);
        } else {
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
                    let lines: Vec<String> = items.iter().map(Self::line).collect();
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
                out.push_str(&self.line());
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
    fn line(&self) -> String {
        match self {
            Self::Flag(flag) => flag.to_string(),
            Self::Number(number) => number.clone(),
            Self::Text(text) => quoted(text),
            Self::List(items) => {
                let items: Vec<String> = items.iter().map(Self::line).collect();
                format!("[{}]", items.join(", "))
            }
            Self::Object(fields) if fields.is_empty() => "{}".into(),
            Self::Object(fields) => {
                let fields: Vec<String> = fields
                    .iter()
                    .map(|(key, value)| format!("{}: {}", quoted(key), value.line()))
                    .collect();
                format!("{{ {} }}", fields.join(", "))
            }
        }
    }
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
