//! A report written as Markdown.

use super::{Block, Report};

pub(super) fn of(report: &Report) -> String {
    let mut out = String::new();
    out.push_str("# ");
    push_text(&mut out, &report.title);
    out.push('\n');
    for block in &report.blocks {
        out.push('\n');
        match block {
            Block::Heading(words) => {
                out.push_str("## ");
                push_text(&mut out, words);
                out.push('\n');
            }
            Block::Text(words) => {
                push_text(&mut out, words);
                out.push('\n');
            }
            Block::List(lines) => {
                for line in lines {
                    out.push_str("- ");
                    push_text(&mut out, line);
                    out.push('\n');
                }
            }
            Block::Table { head, rows } => {
                push_row(&mut out, head, head.len());
                out.push('|');
                for _ in head {
                    out.push_str(" --- |");
                }
                out.push('\n');
                for row in rows {
                    push_row(&mut out, row, head.len());
                }
            }
        }
    }
    out
}

fn push_row(out: &mut String, cells: &[String], columns: usize) {
    out.push('|');
    for column in 0..columns {
        out.push(' ');
        push_text(out, cells.get(column).map_or("", String::as_str));
        out.push_str(" |");
    }
    out.push('\n');
}

/// Text on one line, with everything escaped that could be taken for markup.
fn push_text(out: &mut String, text: &str) {
    let mut begun = false;
    for word in text.split_whitespace() {
        if begun {
            out.push(' ');
        }
        let mut before = None;
        for (place, letter) in word.chars().enumerate() {
            let opens_line = !begun && place == 0;
            if is_markup(letter, opens_line) || ends_a_number(letter, before, begun) {
                out.push('\\');
            }
            out.push(letter);
            // A number at the head of a line, then a dot, would be an ordered list.
            before = match (letter.is_ascii_digit(), place, before) {
                (true, 0, _) | (true, _, Some(Digits)) => Some(Digits),
                (true | false, _, _) => None,
            };
        }
        begun = true;
    }
}

/// So far there were only digits.
#[derive(Clone, Copy)]
struct Digits;

fn ends_a_number(letter: char, before: Option<Digits>, begun: bool) -> bool {
    !begun && before.is_some() && matches!(letter, '.' | ')')
}

/// Whether a letter may begin, end or separate markup; some do so only at the head of a line.
const fn is_markup(letter: char, opens_line: bool) -> bool {
    match letter {
        // A colon and an at sign are escaped because addresses turn into links.
        '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '<' | '>' | '|' | '~' | '&' | '$'
        | '@' | ':' | '#' | '!' => true,
        '-' | '+' | '=' => opens_line,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use proptest::prelude::*;
    use pulldown_cmark::{Event, Options, Parser, Tag};

    use super::super::{Block, Report};

    /// What a Markdown reader makes of it: the words of each block in order, and nothing but
    /// headings, paragraphs, lists and tables.
    fn read(markdown: &str) -> Vec<String> {
        let mut found = Vec::new();
        for event in Parser::new_ext(
            markdown,
            Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH,
        ) {
            if let Event::Start(Tag::Heading { .. } | Tag::Paragraph | Tag::Item | Tag::TableCell) =
                event
            {
                found.push(String::new());
            } else if let Event::Text(words) = event {
                found.last_mut().unwrap().push_str(&words);
            } else {
                let frame = matches!(
                    event,
                    Event::Start(Tag::List(None) | Tag::Table(_) | Tag::TableHead | Tag::TableRow)
                        | Event::End(_)
                );
                assert!(frame, "unexpected {event:?} in {markdown}");
            }
        }
        found
    }

    fn one_line(words: &str) -> String {
        words.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_whole_report() {
        let mut report = Report::titled("Blue estate");
        report.section("Nothing", Vec::new());
        report.section(
            "Findings",
            vec![
                Block::Text("What was seen.".into()),
                Block::Table {
                    head: vec!["What".into(), "Expected".into()],
                    rows: vec![vec!["A|B".into()], vec!["1".into(), "2".into(), "3".into()]],
                },
                Block::List(vec!["1. first".into(), "- second".into()]),
            ],
        );
        assert_eq!(
            report.markdown(),
            "# Blue estate\n\n## Findings\n\nWhat was seen.\n\n| What | Expected |\n| --- | --- |\n\
             | A\\|B |  |\n| 1 | 2 |\n\n- 1\\. first\n- \\- second\n"
        );
    }

    proptest! {
        /// Source: `pulldown-cmark`, a reader of CommonMark and of GitHub's tables, as the oracle.
        #[test]
        fn a_reader_finds_the_words_and_nothing_else(words in "\\PC{1,60}", other in "[ -~]{1,60}") {
            prop_assume!(!one_line(&words).is_empty() && !one_line(&other).is_empty());
            let report = Report {
                title: words.clone(),
                blocks: vec![
                    Block::Text(other.clone()),
                    Block::List(vec![words.clone(), other.clone()]),
                    Block::Table {
                        head: vec![other.clone()],
                        rows: vec![vec![words.clone()]],
                    },
                ],
            };
            let expected: Vec<String> = [&words, &other, &words, &other, &other, &words]
                .map(|words| one_line(words))
                .to_vec();
            prop_assert_eq!(read(&report.markdown()), expected);
        }
    }
}
