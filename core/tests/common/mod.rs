//! The samples, for tests that go through them.

use sparktrail_core::model::{Harness, file};

/// Every sample's name, in order.
pub(crate) fn names() -> Vec<String> {
    let folder = std::fs::read_dir("../sample-harnesses").unwrap();
    let mut names: Vec<String> = folder
        .filter_map(|entry| {
            let name = entry.ok()?.file_name().to_string_lossy().into_owned();
            let name = name.strip_suffix(".json")?;
            (!name.ends_with(".schema")).then(|| name.to_owned())
        })
        .collect();
    names.sort();
    names
}

/// A sample by its name.
pub(crate) fn sample(name: &str) -> Harness {
    let text = std::fs::read_to_string(format!("../sample-harnesses/{name}.json")).unwrap();
    file::read(&text).unwrap()
}
