//! A picture of lines made into one of dots.

use js_sys::{Function, Promise};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement, Url};

use super::files;

/// Phones give up on larger canvases.
const MOST_DOTS: f64 = 12_000_000.0;

/// An SVG picture of that size in CSS pixels as a PNG file, twice as fine where the device has room for it.
/// `None` where the browser cannot.
pub async fn png(svg: &str, width: f64, height: f64) -> Option<Blob> {
    let blob = files::text_blob("image/svg+xml", svg)?;
    let url = Url::create_object_url_with_blob(&blob).ok()?;
    let picture = drawn(&url, width, height).await;
    let _ = Url::revoke_object_url(&url);
    picture
}

/// An SVG picture as an address that an image of the page can show.
#[must_use]
pub fn address(svg: &str) -> String {
    let text = js_sys::encode_uri_component(svg);
    format!("data:image/svg+xml;charset=utf-8,{text}")
}

async fn drawn(url: &str, width: f64, height: f64) -> Option<Blob> {
    let image = HtmlImageElement::new().ok()?;
    image.set_src(url);
    JsFuture::from(image.decode()).await.ok()?;
    let fine = (MOST_DOTS / (width * height).max(1.0)).sqrt().min(2.0);
    let canvas: HtmlCanvasElement = web_sys::window()?
        .document()?
        .create_element("canvas")
        .ok()?
        .dyn_into()
        .ok()?;
    let (across, down) = (dots(width * fine), dots(height * fine));
    canvas.set_width(across);
    canvas.set_height(down);
    let context: CanvasRenderingContext2d = canvas.get_context("2d").ok()??.dyn_into().ok()?;
    context
        .draw_image_with_html_image_element_and_dw_and_dh(
            &image,
            0.0,
            0.0,
            f64::from(across),
            f64::from(down),
        )
        .ok()?;
    let done = Promise::new(&mut |settle: Function, _: Function| {
        let take = Closure::once_into_js(move |blob: JsValue| {
            let _ = settle.call1(&JsValue::NULL, &blob);
        });
        let _ = canvas.to_blob(take.unchecked_ref());
    });
    JsFuture::from(done).await.ok()?.dyn_into().ok()
}

fn dots(length: f64) -> u32 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held between 1 and a few thousand"
    )]
    let dots = length.clamp(1.0, 16_000.0).round() as u32;
    dots
}
