//! Text kept by the browser between visits; a browser may forbid it or run out of room.

use gloo_storage::{LocalStorage, Storage};

/// Why text could not be kept or read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum StorageError {
    /// The browser gives this page no storage.
    #[error("the browser gives this page no storage")]
    Closed,
    /// The browser refused to keep the text, most often because its room is used up.
    #[error("the browser refused to keep the text, most often for lack of room")]
    Refused,
}

/// Whether the browser gives this page storage. gloo's panics where it does not, which this must survive, so every
/// call asks first.
fn given() -> Result<(), StorageError> {
    web_sys::window()
        .and_then(|window| window.local_storage().ok().flatten())
        .map(|_| ())
        .ok_or(StorageError::Closed)
}

/// The text kept under `key`, if any.
///
/// # Errors
/// [`StorageError::Closed`] where the browser forbids storage.
pub fn read(key: &str) -> Result<Option<String>, StorageError> {
    given()?;
    LocalStorage::raw()
        .get_item(key)
        .map_err(|_| StorageError::Closed)
}

/// Keeps `text` under `key` as it is, replacing what was there.
///
/// # Errors
/// [`StorageError::Closed`] where storage is forbidden, [`StorageError::Refused`] where it is full;
/// what was there before then stays.
pub fn write(key: &str, text: &str) -> Result<(), StorageError> {
    given()?;
    LocalStorage::raw()
        .set_item(key, text)
        .map_err(|_| StorageError::Refused)
}

/// Forgets `key`.
///
/// # Errors
/// [`StorageError::Closed`] where the browser forbids storage.
pub fn remove(key: &str) -> Result<(), StorageError> {
    given()?;
    LocalStorage::delete(key);
    Ok(())
}

/// Every key that starts with `prefix`, in no promised order.
///
/// # Errors
/// [`StorageError::Closed`] where the browser forbids storage.
pub fn keys(prefix: &str) -> Result<Vec<String>, StorageError> {
    given()?;
    let kept = LocalStorage::raw();
    Ok((0..LocalStorage::length())
        .filter_map(|at| kept.key(at).ok().flatten())
        .filter(|key| key.starts_with(prefix))
        .collect())
}

/// Calls `act` whenever another window of this site changes what is kept under `key`, or forgets all.
/// The listener lives as long as the page.
pub fn on_change_elsewhere(key: &'static str, act: impl Fn() + 'static) {
    let _ = leptos::prelude::window_event_listener(
        leptos::ev::Custom::<web_sys::StorageEvent>::new("storage"),
        move |event| {
            if event.key().is_none_or(|changed| changed == key) {
                act();
            }
        },
    );
}
