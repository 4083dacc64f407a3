//! What the map needs of the browser: its size on the page, the pointer held, the keyboard put on one of its items.

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
pub use web_sys::Element;
use web_sys::{Event, HtmlElement, PointerEvent, ResizeObserver, SvgElement};

/// A box on the page in CSS pixels: left, top, width, height.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PageBox {
    /// From the window's left edge.
    pub left: f64,
    /// From the window's top edge.
    pub top: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// Where `element` stands in the window.
#[must_use]
pub fn page_box(element: &Element) -> PageBox {
    let found = element.get_bounding_client_rect();
    PageBox {
        left: found.left(),
        top: found.top(),
        width: found.width(),
        height: found.height(),
    }
}

/// Watches the size of an element until dropped.
pub struct SizeWatch {
    observer: ResizeObserver,
    _act: Closure<dyn FnMut()>,
}

impl SizeWatch {
    /// Calls `act` now and whenever `element` changes its size. `None` where the browser cannot watch.
    pub fn start(element: &Element, act: impl FnMut() + 'static) -> Option<Self> {
        let act = Closure::<dyn FnMut()>::new(act);
        let observer = ResizeObserver::new(act.as_ref().unchecked_ref()).ok()?;
        observer.observe(element);
        Some(Self {
            observer,
            _act: act,
        })
    }
}

impl Drop for SizeWatch {
    fn drop(&mut self) {
        self.observer.disconnect();
    }
}

/// Shows `sheet` so many CSS pixels to the right and down of where the page has it; `None` puts it back there.
pub fn move_by(sheet: &SvgElement, by: Option<(f64, f64)>) {
    let transform = by.map_or_else(String::new, |(x, y)| format!("translate({x}px, {y}px)"));
    // It throws only where the browser knows no such property.
    let _ = sheet.style().set_property("transform", &transform);
}

/// Gives `element` this value for an attribute; `None` takes the attribute away.
pub fn put_attribute(element: &Element, name: &str, value: Option<&str>) {
    // They throw only for a name that no attribute can have.
    let _ = match value {
        Some(value) => element.set_attribute(name, value),
        None => element.remove_attribute(name),
    };
}

/// Gives `element` a class, or takes it away.
pub fn put_class(element: &Element, class: &str, has: bool) {
    // It throws only for a name that no class can have.
    let _ = element.class_list().toggle_with_force(class, has);
}

/// The id of the element that an event befell.
#[must_use]
pub fn id_met(event: &Event) -> Option<String> {
    let target = event.target()?;
    target.dyn_ref::<Element>().map(Element::id)
}

/// Sends all further moves of this pointer to `element` until it is lifted.
pub fn hold_pointer(element: &Element, event: &PointerEvent) {
    // It throws only when the pointer was lifted meanwhile.
    let _ = element.set_pointer_capture(event.pointer_id());
}

/// Puts the keyboard on the element with this id, without scrolling the page.
pub fn focus_id(id: &str) {
    let found = web_sys::window()
        .and_then(|w| w.document())
        .and_then(|d| d.get_element_by_id(id));
    if let Some(element) = found {
        if let Some(html) = element.dyn_ref::<HtmlElement>() {
            let _ = html.focus();
        } else if let Some(svg) = element.dyn_ref::<SvgElement>() {
            let _ = svg.focus();
        }
    }
}

/// Puts the keyboard into the field with this id and selects what stands in it.
pub fn select_id(id: &str) {
    focus_id(id);
    let found = web_sys::window()
        .and_then(|w| w.document())
        .and_then(|d| d.get_element_by_id(id));
    if let Some(field) = found
        && let Some(field) = field.dyn_ref::<web_sys::HtmlInputElement>()
    {
        field.select();
    }
}

/// Whether the element with this id has the keyboard.
#[must_use]
pub fn has_focus(id: &str) -> bool {
    let active = web_sys::window()
        .and_then(|w| w.document())
        .and_then(|d| d.active_element());
    active.is_some_and(|element| element.id() == id)
}
