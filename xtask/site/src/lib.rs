//! Serves a directory of static files on this machine only, as a static host would.
//!
//! Used by `cargo xtask serve`, by the browser tests and by the measuring runs, so that all
//! three see the same headers.

mod files;
mod offline;

use std::convert::Infallible;
use std::io;
use std::net::{SocketAddr, TcpListener};
use std::path::Path;
use std::rc::Rc;
use std::thread::JoinHandle;

use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::TokioIo;
use tokio::sync::oneshot;
use tokio::task::LocalSet;

use files::Files;
pub use files::{brotli, content_type, is_worth_compressing};
pub use offline::keep_offline;

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
    stop: Option<oneshot::Sender<()>>,
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
        let listener = TcpListener::bind(("127.0.0.1", port))?;
        listener.set_nonblocking(true)?;
        let address = listener.local_addr()?;
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_io()
            .build()?;
        let files = Files::new(directory, encoding);
        let (stop, stopped) = oneshot::channel();
        let thread = std::thread::spawn(move || {
            LocalSet::new().block_on(&runtime, async {
                // Whichever ends first: dropping the set ends every connection with it.
                tokio::task::spawn_local(listen(listener, Rc::new(files)));
                let _ = stopped.await;
            });
        });
        Ok(Self {
            stop: Some(stop),
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
        if let Some(stop) = self.stop.take() {
            let _ = stop.send(());
        }
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// Answers every connection for as long as its client keeps it.
async fn listen(listener: TcpListener, files: Rc<Files>) {
    let Ok(listener) = tokio::net::TcpListener::from_std(listener) else {
        return;
    };
    loop {
        // A connection that fails while it is being made is its client's concern.
        let Ok((stream, _)) = listener.accept().await else {
            continue;
        };
        let files = Rc::clone(&files);
        tokio::task::spawn_local(async move {
            let service = service_fn(|request| {
                let answer = files.answer(&request);
                async { Ok::<_, Infallible>(answer) }
            });
            // A client that goes away in the middle is no concern of ours.
            let _ = http1::Builder::new()
                .serve_connection(TokioIo::new(stream), service)
                .await;
        });
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use std::fs;
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
        assert!(plain.contains("content-type: text/html; charset=utf-8"));
        assert!(plain.contains("script-src 'self' 'wasm-unsafe-eval';"));
        assert!(plain.ends_with(&text));

        let squeezed = ask(&site, "/index.html", "gzip, deflate, br");
        let head = String::from_utf8_lossy(&squeezed);
        assert!(head.contains("content-encoding: br"), "{head}");
        let body = squeezed
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap()
            + 4;
        let mut back = Vec::new();
        brotli::BrotliDecompress(&mut &squeezed[body..], &mut back).unwrap();
        assert_eq!(back, text.as_bytes());

        let wasm = ask(&site, "/a.wasm", "");
        assert!(String::from_utf8_lossy(&wasm).contains("content-type: application/wasm"));
        let none = ask(&site, "/../Cargo.toml", "");
        assert!(none.starts_with(b"HTTP/1.1 404"));
    }

    /// A browser keeps connections open beforehand, without a word on them.
    #[test]
    fn silent_connections_hold_nobody_up() {
        let directory = tempfile::tempdir().unwrap();
        fs::write(directory.path().join("index.html"), "page").unwrap();
        let site = Site::start(directory.path(), 0, Encoding::Plain).unwrap();
        let silent: Vec<TcpStream> = (0..50)
            .map(|_| TcpStream::connect(site.address).unwrap())
            .collect();
        for _ in 0..10 {
            assert!(ask(&site, "/", "").starts_with(b"HTTP/1.1 200"));
        }
        drop(site); // ends although they are still open
        drop(silent);
    }

    #[test]
    fn refuses_a_directory_without_a_page() {
        let directory = tempfile::tempdir().unwrap();
        assert!(Site::start(directory.path(), 0, Encoding::Plain).is_err());
    }
}
