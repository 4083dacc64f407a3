//! Serves a directory of static files on this machine only, as a static host would.
//!
//! Used by `cargo xtask serve`, by the browser tests and by the measuring runs, so that all
//! three see the same headers.

use std::collections::HashMap;
use std::fs;
use std::io;
use std::net::SocketAddr;
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

use tiny_http::{Header, Method, Request, Response, Server};

/// What the page may load and run: itself and nothing else. `static/index.html` carries the
/// same policy for hosts that send no header.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; \
    script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; \
    font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; \
    base-uri 'none'; form-action 'none'";

/// Whether files are sent compressed to those that accept it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Encoding {
    /// As they are: the least work for the server.
    Plain,
    /// Brotli at its highest quality, made once a file and kept.
    Brotli,
}

/// A running server; it ends when this is dropped.
pub struct Site {
    server: Arc<Server>,
    thread: Option<JoinHandle<()>>,
    address: SocketAddr,
}

impl Site {
    /// Serves `directory` on 127.0.0.1; port 0 takes any free one.
    ///
    /// # Errors
    /// When the directory holds no `index.html` or the port is taken.
    pub fn start(directory: &Path, port: u16, encoding: Encoding) -> io::Result<Self> {
        if !directory.join("index.html").is_file() {
            return Err(io::Error::new(
                io::ErrorKind::NotFound,
                format!("{} holds no index.html", directory.display()),
            ));
        }
        let server = Server::http(("127.0.0.1", port)).map_err(io::Error::other)?;
        let address = server
            .server_addr()
            .to_ip()
            .ok_or_else(|| io::Error::other("the server has no address"))?;
        let server = Arc::new(server);
        let files = Arc::new(Files {
            directory: directory.to_path_buf(),
            encoding,
            compressed: Mutex::default(),
        });
        let listener = Arc::clone(&server);
        let thread = std::thread::spawn(move || {
            for request in listener.incoming_requests() {
                files.answer(request);
            }
        });
        Ok(Self {
            server,
            thread: Some(thread),
            address,
        })
    }

    /// The address of the first page, `http://127.0.0.1:PORT/`.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Serves until the process is ended.
    pub fn serve_on(mut self) {
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        self.server.unblock();
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// The directory that is served.
struct Files {
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
    fn answer(&self, request: Request) {
        // A client that has gone away is no concern of ours.
        let _ = match self.response(&request) {
            Some(response) => request.respond(response),
            None => request.respond(Response::from_string("not found").with_status_code(404)),
        };
    }

    fn response(&self, request: &Request) -> Option<Response<io::Cursor<Vec<u8>>>> {
        if !matches!(request.method(), Method::Get | Method::Head) {
            return None;
        }
        let file = self.directory.join(relative(request.url())?);
        let file = if file.is_dir() {
            file.join("index.html")
        } else {
            file
        };
        let plain = fs::read(&file).ok()?;
        let kind = content_type(&file);
        let takes_brotli = request.headers().iter().any(|header| {
            header.field.equiv("Accept-Encoding") && header.value.as_str().contains("br")
        });
        let mut headers = vec![
            ("Content-Type", kind),
            ("Content-Security-Policy", CONTENT_SECURITY_POLICY),
            ("X-Content-Type-Options", "nosniff"),
            ("Referrer-Policy", "no-referrer"),
            ("Cache-Control", "no-cache"),
        ];
        let squeeze =
            self.encoding == Encoding::Brotli && takes_brotli && is_worth_compressing(kind);
        let body = if squeeze {
            headers.push(("Content-Encoding", "br"));
            self.compressed(file, plain)
        } else {
            plain
        };
        let mut response = Response::from_data(body);
        for (name, value) in headers {
            response.add_header(Header::from_bytes(name, value).ok()?);
        }
        Some(response)
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

/// The path that a URL names below the directory, or `None` when it points outside.
fn relative(url: &str) -> Option<PathBuf> {
    let path = url.split(['?', '#']).next()?.trim_start_matches('/');
    let path = PathBuf::from(path.replace("%20", " "));
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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use std::io::{Read, Write};
    use std::net::TcpStream;

    fn ask(site: &Site, path: &str, accept: &str) -> Vec<u8> {
        let mut stream = TcpStream::connect(site.address).unwrap();
        write!(
            stream,
            "GET {path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\nAccept-Encoding: {accept}\r\n\r\n"
        )
        .unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        answer
    }

    #[test]
    fn serves_with_type_policy_and_compression() {
        let directory = tempfile::tempdir().unwrap();
        let text = "<!doctype html>".repeat(50);
        fs::write(directory.path().join("index.html"), &text).unwrap();
        fs::write(directory.path().join("a.wasm"), [0, 97, 115, 109]).unwrap();
        let site = Site::start(directory.path(), 0, Encoding::Brotli).unwrap();

        let plain = String::from_utf8(ask(&site, "/?x#y", "gzip")).unwrap();
        assert!(plain.starts_with("HTTP/1.1 200"), "{plain}");
        assert!(plain.contains("Content-Type: text/html; charset=utf-8"));
        assert!(plain.contains("script-src 'self' 'wasm-unsafe-eval';"));
        assert!(plain.ends_with(&text));

        let squeezed = ask(&site, "/index.html", "gzip, deflate, br");
        let head = String::from_utf8_lossy(&squeezed);
        assert!(head.contains("Content-Encoding: br"), "{head}");
        let body = squeezed
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap()
            + 4;
        let mut back = Vec::new();
        brotli::BrotliDecompress(&mut &squeezed[body..], &mut back).unwrap();
        assert_eq!(back, text.as_bytes());

        let wasm = ask(&site, "/a.wasm", "");
        assert!(String::from_utf8_lossy(&wasm).contains("Content-Type: application/wasm"));
        let none = ask(&site, "/../Cargo.toml", "");
        assert!(none.starts_with(b"HTTP/1.1 404"));
    }

    #[test]
    fn refuses_a_directory_without_a_page() {
        let directory = tempfile::tempdir().unwrap();
        assert!(Site::start(directory.path(), 0, Encoding::Plain).is_err());
    }
}
