//! Sheets that hold the keyboard until closed.

use web_sys::HtmlDialogElement;

/// Shows `sheet` over the page; the rest of the page is out of reach until it closes.
pub fn show(sheet: &HtmlDialogElement) {
    if !sheet.open() {
        // It throws only when the sheet left the page meanwhile.
        let _ = sheet.show_modal();
    }
}

/// Closes `sheet`; the browser gives the keyboard back to where it was.
pub fn close(sheet: &HtmlDialogElement) {
    if sheet.open() {
        sheet.close();
    }
}
