//! Where records are kept: the browser's storage, or memory in tests.

use crate::edge::storage::{self, StorageError};

/// A place that keeps text by key.
pub trait Shelf {
    /// The text under `key`, if any.
    ///
    /// # Errors
    /// [`StorageError`] where the shelf cannot be read.
    fn read(&self, key: &str) -> Result<Option<String>, StorageError>;
    /// Keeps `text` under `key`; on failure what was there stays.
    ///
    /// # Errors
    /// [`StorageError`] where the shelf is closed or full.
    fn write(&self, key: &str, text: &str) -> Result<(), StorageError>;
    /// Forgets `key`.
    ///
    /// # Errors
    /// [`StorageError`] where the shelf is closed.
    fn remove(&self, key: &str) -> Result<(), StorageError>;
    /// Every key that starts with `prefix`.
    ///
    /// # Errors
    /// [`StorageError`] where the shelf cannot be read.
    fn keys(&self, prefix: &str) -> Result<Vec<String>, StorageError>;
}

/// The browser's own storage.
#[derive(Debug, Clone, Copy, Default)]
pub struct BrowserShelf;

impl Shelf for BrowserShelf {
    fn read(&self, key: &str) -> Result<Option<String>, StorageError> {
        storage::read(key)
    }

    fn write(&self, key: &str, text: &str) -> Result<(), StorageError> {
        storage::write(key, text)
    }

    fn remove(&self, key: &str) -> Result<(), StorageError> {
        storage::remove(key)
    }

    fn keys(&self, prefix: &str) -> Result<Vec<String>, StorageError> {
        storage::keys(prefix)
    }
}
