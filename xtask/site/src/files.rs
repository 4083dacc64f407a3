//! The files of a directory, as answers with the headers that a static host would send.

use std::collections::HashMap;
use std::fs;
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use http_body_util::Full;
use hyper::body::Bytes;
use hyper::{Method, Request, Response, StatusCode, header};

use crate::{CONTENT_SECURITY_POLICY, Encoding};

/// The directory that is served.
pub(crate) struct Files {
    directory: PathBuf,
    encoding: Encoding,
    compressed: Mutex<HashMap<PathBuf, Compressed>>,
}

/// A compressed file, with the bytes that it was made of: a new build makes it stale.
struct Compressed {
    plain: Vec<u8>,
    body: Vec<u8>,
}

impl Files {
    pub(crate) fn new(directory: &Path, encoding: Encoding) -> Self {
        Self {
            directory: directory.to_path_buf(),
            encoding,
            compressed: Mutex::default(),
        }
    }

    /// The file that a request asks for, or that there is none.
    pub(crate) fn answer<B>(&self, request: &Request<B>) -> Response<Full<Bytes>> {
        self.file(request).unwrap_or_else(|| {
            let mut none = Response::new(Full::from("not found"));
            *none.status_mut() = StatusCode::NOT_FOUND;
            none
        })
    }

    fn file<B>(&self, request: &Request<B>) -> Option<Response<Full<Bytes>>> {
        if request.method() != Method::GET && request.method() != Method::HEAD {
            return None;
        }
        let file = self.directory.join(relative(request.uri().path())?);
        let file = if file.is_dir() {
            file.join("index.html")
        } else {
            file
        };
        let plain = fs::read(&file).ok()?;
        let kind = content_type(&file);
        let takes_brotli = request
            .headers()
            .get(header::ACCEPT_ENCODING)
            .and_then(|accepted| accepted.to_str().ok())
            .is_some_and(|accepted| accepted.split(',').any(|name| name.trim() == "br"));
        let mut answer = Response::builder()
            .header(header::CONTENT_TYPE, kind)
            .header(header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY)
            .header(header::X_CONTENT_TYPE_OPTIONS, "nosniff")
            .header(header::REFERRER_POLICY, "no-referrer")
            .header(header::CACHE_CONTROL, "no-cache");
        let squeeze =
            self.encoding == Encoding::Brotli && takes_brotli && is_worth_compressing(kind);
        let body = if squeeze {
            answer = answer.header(header::CONTENT_ENCODING, "br");
            self.compressed(file, plain)
        } else {
            plain
        };
        answer.body(Full::from(body)).ok()
    }

    fn compressed(&self, file: PathBuf, plain: Vec<u8>) -> Vec<u8> {
        let mut kept = self
            .compressed
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = kept.get(&file)
            && known.plain == plain
        {
            return known.body.clone();
        }
        let body = brotli(&plain);
        let fresh = Compressed {
            plain,
            body: body.clone(),
        };
        kept.insert(file, fresh);
        body
    }
}

/// The bytes as brotli at its highest quality, as a static host would keep them.
#[must_use]
pub fn brotli(plain: &[u8]) -> Vec<u8> {
    let parameters = brotli::enc::BrotliEncoderParams {
        quality: 11,
        lgwin: 22,
        size_hint: plain.len(),
        ..Default::default()
    };
    let mut squeezed = Vec::new();
    let mut input = plain;
    // Writing to a `Vec` cannot fail; should it ever, the plain bytes are what is left.
    match brotli::BrotliCompress(&mut input, &mut squeezed, &parameters) {
        Ok(_) => squeezed,
        Err(_) => plain.to_vec(),
    }
}

/// Whether compressing such a file makes it smaller; fonts and pictures are compressed already.
#[must_use]
pub fn is_worth_compressing(content_type: &str) -> bool {
    !(content_type.starts_with("font/")
        || content_type == "image/png"
        || content_type == "image/jpeg"
        || content_type == "image/webp")
}

/// The file that the path of a URL names below the directory, or `None` when it points outside.
fn relative(path: &str) -> Option<PathBuf> {
    let path = PathBuf::from(path.trim_start_matches('/').replace("%20", " "));
    path.components()
        .all(|part| matches!(part, Component::Normal(_)))
        .then_some(path)
}

/// The media type of a file, by its ending.
///
/// # Source
/// IANA media types registry; `application/wasm` is what streaming compilation asks for.
#[must_use]
pub fn content_type(file: &Path) -> &'static str {
    match file.extension().and_then(|ending| ending.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("wasm") => "application/wasm",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("jpg" | "jpeg") => "image/jpeg",
        Some("webp") => "image/webp",
        Some("ico") => "image/x-icon",
        Some("woff2") => "font/woff2",
        Some("txt" | "md") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}
