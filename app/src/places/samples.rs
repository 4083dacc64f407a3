//! The examples that come with the program; each is a file of this site, fetched when it is opened.

use super::words::start::{LESSONS, lesson};

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
const SAMPLES: &[Sample] = include!(concat!(env!("OUT_DIR"), "/samples.rs"));

/// Every example, in the order in which one learns from them; those without a lesson come last.
pub(super) fn samples() -> Vec<Sample> {
    let named = LESSONS
        .iter()
        .filter_map(|(name, _)| SAMPLES.iter().find(|sample| sample.name() == *name));
    let others = SAMPLES
        .iter()
        .filter(|sample| lesson(sample.name()).is_none());
    named.chain(others).copied().collect()
}

impl Sample {
    /// What it is about: its lesson, else its story.
    pub(super) fn line(self) -> &'static str {
        lesson(self.name()).unwrap_or(self.story)
    }

    /// Its file name without the ending.
    pub(super) fn name(self) -> &'static str {
        self.file.strip_suffix(".json").unwrap_or(self.file)
    }

    /// Where its file is, relative to the page.
    pub(super) fn path(self) -> String {
        format!("samples/{}", self.file)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_has_its_place_in_the_lessons() {
        let names: Vec<&str> = samples().into_iter().map(Sample::name).collect();
        let lessons: Vec<&str> = LESSONS.iter().map(|(name, _)| *name).collect();
        assert_eq!(names, lessons);
    }
}
