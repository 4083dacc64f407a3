//! Text from this site's own files.

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::Response;

/// Why a file of this site could not be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum FetchError {
    /// No answer: no network, or the page was left.
    #[error("there was no answer")]
    NoAnswer,
    /// The site answered, but with an error.
    #[error("the site answered with status {0}")]
    Status(u16),
    /// The answer was not text.
    #[error("the answer was not text")]
    NotText,
}

/// The text of the file at `path`, relative to the page.
///
/// # Errors
/// [`FetchError`] says whether there was no answer, a wrong one, or one that is not text.
pub async fn text(path: &str) -> Result<String, FetchError> {
    let window = web_sys::window().ok_or(FetchError::NoAnswer)?;
    let response: Response = JsFuture::from(window.fetch_with_str(path))
        .await
        .ok()
        .and_then(|found| found.dyn_into().ok())
        .ok_or(FetchError::NoAnswer)?;
    if !response.ok() {
        return Err(FetchError::Status(response.status()));
    }
    let text = response.text().map_err(|_| FetchError::NotText)?;
    JsFuture::from(text)
        .await
        .ok()
        .and_then(|text| text.as_string())
        .ok_or(FetchError::NotText)
}
