//! The page itself: where to mount, the title, the marks that timing reads.

use wasm_bindgen::JsCast;
use web_sys::{Document, HtmlElement};

const MOUNT: &str = "app";

fn document() -> Option<Document> {
    web_sys::window()?.document()
}

/// The element the program fills, emptied of the loading note; the body when the page lacks it.
#[must_use]
pub fn mount_point() -> Option<HtmlElement> {
    let document = document()?;
    let Some(place) = document
        .get_element_by_id(MOUNT)
        .and_then(|found| found.dyn_into::<HtmlElement>().ok())
    else {
        return document.body();
    };
    place.set_text_content(None);
    Some(place)
}

/// Sets the title shown on the browser's tab.
pub fn set_title(title: &str) {
    if let Some(document) = document() {
        document.set_title(title);
    }
}

/// Adds style sheets of ours to the page, unless they are there.
pub fn add_styles(files: &[&str]) {
    let Some((document, head)) = document().and_then(|page| Some((page.clone(), page.head()?)))
    else {
        return;
    };
    for file in files {
        let known = document.query_selector(&format!("link[href='{file}']"));
        if !matches!(known, Ok(None)) {
            continue;
        }
        if let Ok(link) = document.create_element("link") {
            // Without its style a place looks plain and works all the same.
            let _ = link.set_attribute("rel", "stylesheet");
            let _ = link.set_attribute("href", file);
            let _ = head.append_child(&link);
        }
    }
}

/// Leaves a named point on the browser's timeline.
pub fn mark(name: &str) {
    if let Some(performance) = web_sys::window().and_then(|window| window.performance()) {
        // A browser without the timeline loses the mark and nothing else.
        let _ = performance.mark(name);
    }
}

/// Does `work` after the next picture was painted.
pub fn after_painting(work: impl FnOnce() + 'static) {
    leptos::prelude::request_animation_frame(move || super::timer::soon(work));
}

/// Works out style and layout at once, rather than when the screen asks for its next picture.
pub fn lay_out() {
    // Whoever asks how high the page is waits for just that.
    let _ = document().and_then(|document| Some(document.body()?.offset_height()));
}

/// Whether the person asked for as little motion as can be.
#[must_use]
pub fn wants_stillness() -> bool {
    let asked = web_sys::window().and_then(|window| {
        window
            .match_media("(prefers-reduced-motion: reduce)")
            .ok()?
    });
    asked.is_some_and(|asked| asked.matches())
}

/// Whether the page has room for two things side by side; as the style sheets count it.
#[must_use]
pub fn is_wide() -> bool {
    width().is_some_and(|width| width > 60.0 * 16.0)
}

/// How wide the window is, in CSS pixels.
#[must_use]
pub fn width() -> Option<f64> {
    web_sys::window()?.inner_width().ok()?.as_f64()
}

/// Scrolls the page itself back to its start.
pub fn scroll_to_top() {
    if let Some(window) = web_sys::window() {
        window.scroll_to_with_x_and_y(0.0, 0.0);
    }
}

/// Loads the page again.
pub fn reload() {
    if let Some(window) = web_sys::window() {
        // A person who is asked whether to leave may say no: then the page stays.
        let _ = window.location().reload();
    }
}

/// Opens the browser's own way of printing the page.
pub fn print() {
    if let Some(window) = web_sys::window() {
        // Where there is no printing nothing happens, as the browser tells the person itself.
        let _ = window.print();
    }
}

/// Scrolls the first element that a CSS selector names back to its start, if there is one.
pub fn scroll_to_start(selector: &str) {
    if let Some(found) =
        document().and_then(|document| document.query_selector(selector).ok().flatten())
    {
        found.set_scroll_top(0);
    }
}

/// Does `act` when the page is about to be drawn again.
pub fn next_frame(act: impl FnOnce() + 'static) {
    leptos::prelude::request_animation_frame(act);
}

/// Scrolls as little as brings the element with this id into view.
pub fn bring_into_view(id: &str) {
    let found = document().and_then(|document| document.get_element_by_id(id));
    if let Some(element) = found {
        let how = web_sys::ScrollIntoViewOptions::new();
        how.set_block(web_sys::ScrollLogicalPosition::Nearest);
        how.set_inline(web_sys::ScrollLogicalPosition::Nearest);
        element.scroll_into_view_with_scroll_into_view_options(&how);
    }
}

/// Calls `act` whenever the page is hidden or left; a phone may end it at any moment after.
pub fn on_leaving(act: impl Fn() + Clone + 'static) {
    use leptos::ev;
    use leptos::prelude::window_event_listener;

    let once = act.clone();
    // Both listeners live as long as the page.
    let _ = window_event_listener(ev::Custom::<web_sys::Event>::new("pagehide"), move |_| {
        once()
    });
    let _ = window_event_listener(
        ev::Custom::<web_sys::Event>::new("visibilitychange"),
        move |_| act(),
    );
}

/// Asks the person before the page is closed or loaded again while `is_unsafe`.
pub fn hold_while(is_unsafe: impl Fn() -> bool + 'static) {
    let leaving = leptos::ev::Custom::<web_sys::Event>::new("beforeunload");
    // The listener lives as long as the page.
    let _ = leptos::prelude::window_event_listener(leaving, move |event| {
        if is_unsafe() {
            event.prevent_default();
        }
    });
}

/// Gives the element with this id the keyboard, if there is one.
pub fn focus(id: &str) {
    let found = document().and_then(|document| document.get_element_by_id(id));
    if let Some(element) = found.and_then(|found| found.dyn_into::<HtmlElement>().ok()) {
        // An element that cannot have the keyboard leaves it where it is.
        let _ = element.focus();
    }
}
