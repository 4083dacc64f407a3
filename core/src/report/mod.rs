//! A case as a document: headings, paragraphs, lists and tables, in the order in which they are read.
//!
//! Whoever writes the words fills a [`Report`]; [`Report::markdown`] writes it down fit for a forum.
//! Text stays text there: what a person typed as a label is never taken for markup.

mod markdown;

/// One piece of a report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// The heading of what follows.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// Lines, each a point of its own.
    List(Vec<String>),
    /// A table. A row with fewer cells than the head ends in empty ones; a longer one is cut.
    Table {
        /// What the columns hold.
        head: Vec<String>,
        /// The rows.
        rows: Vec<Vec<String>>,
    },
}

/// A document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// Its title.
    pub title: String,
    /// What it says.
    pub blocks: Vec<Block>,
}

impl Report {
    /// A document that says nothing yet.
    #[must_use]
    pub fn titled(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            blocks: Vec::new(),
        }
    }

    /// Adds a heading with its pieces, unless there are none.
    pub fn section(&mut self, heading: impl Into<String>, pieces: Vec<Block>) {
        if !pieces.is_empty() {
            self.blocks.push(Block::Heading(heading.into()));
            self.blocks.extend(pieces);
        }
    }

    /// The document as Markdown, ending in a line break.
    ///
    /// # Source
    /// `CommonMark` 0.31.2 for headings, paragraphs, lists and backslash escapes (section 2.4);
    /// GitHub Flavored Markdown 0.29 section 4.10 for tables.
    #[must_use]
    pub fn markdown(&self) -> String {
        markdown::of(self)
    }
}
