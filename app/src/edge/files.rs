//! Files that a person opens or saves.

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
pub use web_sys::File;
use web_sys::{Blob, BlobPropertyBag, Event, HtmlAnchorElement, HtmlInputElement, Url};

/// Why a file could not be opened or saved.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FileTrouble {
    /// The browser could not read it.
    #[error("the browser could not read the file")]
    Unreadable,
    /// It is larger than such a file can be; it was not read.
    #[error("the file has {bytes} bytes, {most} at most can be read")]
    TooLarge {
        /// Its bytes.
        bytes: f64,
        /// The most that it may have.
        most: f64,
    },
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

/// The first few hundred characters of `file`, to tell what it is before it is read whole.
///
/// # Errors
/// [`FileTrouble::Unreadable`] when reading fails.
pub async fn beginning(file: &File) -> Result<String, FileTrouble> {
    let few = file
        .slice_with_i32_and_i32(0, 400)
        .map_err(|_| FileTrouble::Unreadable)?;
    text(&few).await
}

/// The text of `file`.
///
/// # Errors
/// [`FileTrouble::TooLarge`] before reading where it has more than `most` bytes,
/// [`FileTrouble::Unreadable`] when reading fails.
pub async fn read(file: &File, most: usize) -> Result<String, FileTrouble> {
    let bytes = file.size();
    let most = u32::try_from(most).map_or(f64::MAX, f64::from);
    if bytes > most {
        return Err(FileTrouble::TooLarge { bytes, most });
    }
    text(file).await
}

async fn text(blob: &Blob) -> Result<String, FileTrouble> {
    JsFuture::from(blob.text())
        .await
        .ok()
        .and_then(|text| text.as_string())
        .ok_or(FileTrouble::Unreadable)
}

/// Hands `text` to the person as a JSON file called `name`.
///
/// # Errors
/// [`FileTrouble::NotSaved`] where the browser offers no way to do so.
pub fn save(name: &str, text: &str) -> Result<(), FileTrouble> {
    save_text(name, "application/json", text)
}

/// Hands `text` to the person as a file of that media type called `name`.
///
/// # Errors
/// [`FileTrouble::NotSaved`] where the browser offers no way to do so.
pub fn save_text(name: &str, kind: &str, text: &str) -> Result<(), FileTrouble> {
    text_blob(kind, text)
        .and_then(|blob| hand_over(name, &blob))
        .ok_or(FileTrouble::NotSaved)
}

/// Hands `blob` to the person as a file called `name`.
///
/// # Errors
/// [`FileTrouble::NotSaved`] where the browser offers no way to do so.
pub fn save_blob(name: &str, blob: &Blob) -> Result<(), FileTrouble> {
    hand_over(name, blob).ok_or(FileTrouble::NotSaved)
}

pub(super) fn text_blob(kind: &str, text: &str) -> Option<Blob> {
    let bag = BlobPropertyBag::new();
    bag.set_type(kind);
    let parts = js_sys::Array::of1(&text.into());
    Blob::new_with_str_sequence_and_options(&parts, &bag).ok()
}

fn hand_over(name: &str, blob: &Blob) -> Option<()> {
    let url = Url::create_object_url_with_blob(blob).ok()?;
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
