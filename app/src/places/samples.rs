//! The examples that come with the program; each is a file of this site, fetched when it is opened.

/// What the first screen tells of one example.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    /// Its file name.
    pub(super) file: &'static str,
    /// Its title.
    pub(super) title: &'static str,
    /// Its story.
    pub(super) story: &'static str,
    /// Its rows of cylinders, front first.
    pub(super) rows: &'static [&'static [u8]],
}

/// Every example, in the order of the file names.
pub(super) const SAMPLES: &[Sample] = include!(concat!(env!("OUT_DIR"), "/samples.rs"));

impl Sample {
    /// Its file name without the ending.
    pub(super) fn name(self) -> &'static str {
        self.file.strip_suffix(".json").unwrap_or(self.file)
    }

    /// Where its file is, relative to the page.
    pub(super) fn path(self) -> String {
        format!("samples/{}", self.file)
    }
}
