//! Text put on the clipboard.

use wasm_bindgen_futures::JsFuture;

/// The browser would not take the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the browser would not copy")]
pub struct NotCopied;

/// Puts `text` on the clipboard.
///
/// # Errors
/// [`NotCopied`] when the browser refuses or has no clipboard.
pub async fn copy(text: &str) -> Result<(), NotCopied> {
    let window = web_sys::window().ok_or(NotCopied)?;
    JsFuture::from(window.navigator().clipboard().write_text(text))
        .await
        .map(|_| ())
        .map_err(|_| NotCopied)
}
