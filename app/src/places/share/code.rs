//! A link as a code for a phone's camera, drawn as one path: nothing in it is markup.

use std::fmt::Write as _;

use leptos::prelude::*;
use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};

use crate::places::words::share as words;

/// Larger codes have dots too fine for a camera in front of a screen. Common practice, no source.
const LARGEST: u8 = 32;
/// Empty modules around the code.
///
/// # Source
/// ISO/IEC 18004:2015, clause 9.1: four modules on all sides, value from memory.
const QUIET: i32 = 4;

/// The code, or why there is none.
pub(super) fn code(link: &str) -> AnyView {
    let Some((path, size)) = drawn(link) else {
        return view! { <p class="faint">{words::CODE_TOO_LONG}</p> }.into_any();
    };
    view! {
        <figure class="code">
            <svg viewBox=format!("0 0 {size} {size}") role="img" aria-label=words::CODE_NAME shape-rendering="crispEdges">
                <rect class="code-ground" width=size.to_string() height=size.to_string() />
                <path class="code-dots" d=path />
            </svg>
            <figcaption class="faint small">{words::CODE_HINT}</figcaption>
        </figure>
    }
    .into_any()
}

/// The dark modules as path data, and the length of a side with its quiet zone.
fn drawn(link: &str) -> Option<(String, i32)> {
    let segments = [QrSegment::make_bytes(link.as_bytes())];
    let code = QrCode::encode_segments_advanced(
        &segments,
        QrCodeEcc::Low,
        Version::MIN,
        Version::new(LARGEST),
        None,
        true,
    )
    .ok()?;
    let size = code.size();
    let mut path = String::new();
    for y in 0..size {
        let mut x = 0;
        while x < size {
            let from = x;
            while x < size && code.get_module(x, y) {
                x += 1;
            }
            if x > from {
                let (left, top, wide) = (from + QUIET, y + QUIET, x - from);
                // Writing into a string cannot fail.
                let _ = write!(path, "M{left} {top}h{wide}v1h-{wide}z");
            } else {
                x += 1;
            }
        }
    }
    Some((path, size + 2 * QUIET))
}
