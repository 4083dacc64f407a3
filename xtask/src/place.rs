//! Where things lie in the repository.

use std::path::{Path, PathBuf};

/// The root of the repository.
pub(crate) fn root() -> &'static Path {
    let xtask = Path::new(env!("CARGO_MANIFEST_DIR"));
    xtask.parent().unwrap_or(xtask)
}

/// Cargo's target directory: `CARGO_TARGET_DIR` where set, else `target` in the root.
pub(crate) fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR")
        .map_or_else(|| root().join("target"), |dir| root().join(dir))
}
