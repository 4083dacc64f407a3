//! Words that are known while compiling and said in the language of the person when the program runs.

use std::fmt::{self, Display};
use std::ops::Deref;

use leptos::tachys::html::attribute::IntoAttributeValue;
use leptos::tachys::view::IntoRender;
use sparktrail_core::said::{said, said_in};

/// Words of the page: the English, and where it means two things which of them is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Text {
    english: &'static str,
    context: Option<&'static str>,
}

/// English words of the page, to be said in the language of the person.
#[must_use]
pub const fn text(english: &'static str) -> Text {
    Text {
        english,
        context: None,
    }
}

/// What is the same in every language: a number, a key.
#[must_use]
pub const fn plain(words: &'static str) -> Text {
    text(words)
}

/// The same for words that mean two things: `context` tells a translator which of them.
#[must_use]
pub const fn text_in(context: &'static str, english: &'static str) -> Text {
    Text {
        english,
        context: Some(context),
    }
}

impl Text {
    /// The words in the language of the person.
    #[must_use]
    pub fn said(self) -> &'static str {
        self.context.map_or_else(
            || said(self.english),
            |context| said_in(context, self.english),
        )
    }

    /// The same as a text of its own.
    #[must_use]
    pub fn to_owned(self) -> String {
        self.said().to_owned()
    }
}

impl Deref for Text {
    type Target = str;

    fn deref(&self) -> &str {
        self.said()
    }
}

impl Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.said())
    }
}

impl From<Text> for String {
    fn from(text: Text) -> Self {
        text.said().to_owned()
    }
}

impl From<Text> for &'static str {
    fn from(text: Text) -> Self {
        text.said()
    }
}

impl IntoRender for Text {
    type Output = &'static str;

    fn into_render(self) -> &'static str {
        self.said()
    }
}

impl IntoAttributeValue for Text {
    type Output = &'static str;

    fn into_attribute_value(self) -> &'static str {
        self.said()
    }
}
