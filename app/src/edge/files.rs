//! Files that a person opens or saves.

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, Event, File, HtmlAnchorElement, HtmlInputElement, Url};

/// Larger files are not read: no harness comes near it.
pub const LARGEST_BYTES: f64 = 8.0 * 1024.0 * 1024.0;

/// Why a file could not be opened or saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum FileTrouble {
    /// The browser could not read it.
    #[error("the browser could not read the file")]
    Unreadable,
    /// It is larger than [`LARGEST_BYTES`].
    #[error("the file is too large")]
    TooLarge,
    /// The browser would not save it.
    #[error("the browser would not save the file")]
    NotSaved,
}

/// The file chosen in the file field that raised `event`; the field is emptied,
/// so that choosing the same file again raises a new event.
#[must_use]
pub fn picked(event: &Event) -> Option<File> {
    let field: HtmlInputElement = event.target()?.dyn_into().ok()?;
    let file = field.files()?.get(0);
    field.set_value("");
    file
}

/// Opens the browser's file chooser of `field`.
pub fn choose(field: &HtmlInputElement) {
    field.click();
}

/// The text of `file`.
///
/// # Errors
/// [`FileTrouble::TooLarge`] before reading, [`FileTrouble::Unreadable`] when reading fails.
pub async fn read(file: &File) -> Result<String, FileTrouble> {
    if file.size() > LARGEST_BYTES {
        return Err(FileTrouble::TooLarge);
    }
    JsFuture::from(file.text())
        .await
        .ok()
        .and_then(|text| text.as_string())
        .ok_or(FileTrouble::Unreadable)
}

/// Hands `text` to the person as a file called `name`.
///
/// # Errors
/// [`FileTrouble::NotSaved`] where the browser offers no way to do so.
pub fn save(name: &str, text: &str) -> Result<(), FileTrouble> {
    try_save(name, text).ok_or(FileTrouble::NotSaved)
}

fn try_save(name: &str, text: &str) -> Option<()> {
    let kind = BlobPropertyBag::new();
    kind.set_type("application/json");
    let parts = js_sys::Array::of1(&text.into());
    let blob = Blob::new_with_str_sequence_and_options(&parts, &kind).ok()?;
    let url = Url::create_object_url_with_blob(&blob).ok()?;
    let document = web_sys::window()?.document()?;
    let link: HtmlAnchorElement = document.create_element("a").ok()?.dyn_into().ok()?;
    link.set_href(&url);
    link.set_download(name);
    link.click();
    // The browser needs the address a little longer than the click lasts.
    let _ = super::timer::after(10_000, move || {
        let _ = Url::revoke_object_url(&url);
    });
    Some(())
}
