//! Where things lie in the repository, whatever directory a test is started from.

use std::path::{Path, PathBuf};

/// The root of the repository.
#[must_use]
pub fn root() -> PathBuf {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    tests.parent().unwrap_or(tests).to_path_buf()
}

/// Cargo's target directory: `CARGO_TARGET_DIR` where set, else `target` in the root.
#[must_use]
pub fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR")
        .map_or_else(|| root().join("target"), |dir| root().join(dir))
}

/// The sample harness of that name, `sample-harnesses/NAME.json`.
#[must_use]
pub fn sample(name: &str) -> PathBuf {
    root().join("sample-harnesses").join(format!("{name}.json"))
}

/// Every sample harness (`sample-harnesses/*.json` without the schema), sorted by name.
///
/// # Errors
/// When the directory cannot be read.
pub fn samples() -> std::io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(root().join("sample-harnesses"))? {
        let path = entry?.path();
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        if name.ends_with(".json") && !name.ends_with("schema.json") {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn root_holds_the_workspace() {
        assert!(root().join("rust-toolchain.toml").is_file());
    }
}
