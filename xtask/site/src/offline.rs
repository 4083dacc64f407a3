//! What the page needs to open without a network: the list of its files in its service worker.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::Path;

use sha2::{Digest, Sha256};

/// The service worker, beside the page.
const WORKER: &str = "worker.js";
/// Where the page reads which build it is.
const BUILD: &str = "build.json";
/// The page itself, by the address under which it is kept.
const PAGE: (&str, &str) = ("index.html", "./");

/// Writes into the service worker of a laid-out page which files it keeps, each with its SHA-256, and the mark
/// of the build; `build.json` tells the page the same mark. Returns the mark: twelve hexadecimal digits that
/// change with any file. Where the page has no service worker nothing is written, and there is no mark.
///
/// # Errors
/// When a file cannot be read or written, or the worker lacks the lines that are filled in.
pub fn keep_offline(page: &Path) -> io::Result<Option<String>> {
    let worker = page.join(WORKER);
    if !worker.is_file() {
        return Ok(None);
    }
    let mut files = BTreeMap::new();
    digests(page, "", &mut files)?;
    let list = serde_json::to_string(&files)?;
    let build: String = hex(&Sha256::digest(&list)).chars().take(12).collect();
    let told = serde_json::json!({ "build": build }).to_string();
    files.insert(BUILD.to_owned(), hex(&Sha256::digest(&told)));
    let list = serde_json::to_string(&files)?;
    let text = fs::read_to_string(&worker)?;
    let text = filled(&text, "BUILD", &format!("'{build}'"))?;
    let text = filled(&text, "FILES", &list)?;
    fs::write(page.join(BUILD), told)?;
    fs::write(worker, text)?;
    Ok(Some(build))
}

/// The line that defines a constant, with another value.
fn filled(text: &str, name: &str, value: &str) -> io::Result<String> {
    let head = format!("const {name} = ");
    let line = text
        .lines()
        .find(|line| line.starts_with(&head))
        .ok_or_else(|| io::Error::other(format!("{WORKER} has no line “{head}…”")))?;
    Ok(text.replacen(line, &format!("{head}{value};"), 1))
}

/// The SHA-256 of every file that the page may ask for.
fn digests(folder: &Path, path: &str, found: &mut BTreeMap<String, String>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let path = format!("{path}{name}");
        if entry.file_type()?.is_dir() {
            digests(&entry.path(), &format!("{path}/"), found)?;
        } else if is_asked_for(&path) {
            let key = if path == PAGE.0 { PAGE.1.into() } else { path };
            found.insert(key, hex(&Sha256::digest(fs::read(entry.path())?)));
        }
    }
    Ok(())
}

/// Whether a page that is kept ever asks for such a file: licences and notes only lie beside the others, and where the
/// page is kept its program is as near as a picture of a map.
fn is_asked_for(path: &str) -> bool {
    let ending = Path::new(path)
        .extension()
        .and_then(|ending| ending.to_str());
    let is_picture = path.starts_with("early/") && ending == Some("svg");
    path != WORKER && path != BUILD && !is_picture && !matches!(ending, Some("md" | "txt"))
}

fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a `String` cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    const EMPTY: &str = "const BUILD = '';\nconst FILES = {};\nrest();\n";

    fn page() -> tempfile::TempDir {
        let page = tempfile::tempdir().unwrap();
        for folder in ["fonts", "early"] {
            fs::create_dir(page.path().join(folder)).unwrap();
        }
        for (path, text) in [
            ("index.html", "abc"),
            ("fonts/a.woff2", ""),
            ("fonts/OFL.txt", "licence"),
            ("early-map.svg", "<svg/>"),
            ("early/map.svg", "<svg/>"),
            (WORKER, EMPTY),
        ] {
            fs::write(page.path().join(path), text).unwrap();
        }
        page
    }

    /// The digests of "abc" and of nothing are those of FIPS 180-4's examples.
    #[test]
    fn the_worker_lists_every_file_with_its_digest() {
        let page = page();
        let build = keep_offline(page.path()).unwrap().unwrap();
        let worker = fs::read_to_string(page.path().join(WORKER)).unwrap();
        assert!(worker.starts_with(&format!("const BUILD = '{build}';\nconst FILES = {{")));
        assert!(worker.ends_with("};\nrest();\n"), "{worker}");
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert!(worker.contains(&format!("\"./\":\"{abc}\"")), "{worker}");
        let nothing = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
        assert!(worker.contains(&format!("\"fonts/a.woff2\":\"{nothing}\"")));
        assert!(worker.contains("\"build.json\":"));
        assert!(!worker.contains("OFL") && !worker.contains(WORKER));
        assert!(worker.contains("early-map.svg") && !worker.contains("early/map.svg"));
    }

    #[test]
    fn the_mark_changes_with_any_file_and_only_then() {
        let page = page();
        let first = keep_offline(page.path()).unwrap();
        assert_eq!(keep_offline(page.path()).unwrap(), first);
        fs::write(page.path().join("fonts/a.woff2"), "x").unwrap();
        assert_ne!(keep_offline(page.path()).unwrap(), first);
    }

    #[test]
    fn a_page_without_a_worker_is_left_alone_and_a_strange_worker_is_refused() {
        let page = page();
        fs::write(page.path().join(WORKER), "rest();").unwrap();
        assert!(keep_offline(page.path()).is_err());
        fs::remove_file(page.path().join(WORKER)).unwrap();
        assert_eq!(keep_offline(page.path()).unwrap(), None);
        assert!(!page.path().join(BUILD).exists());
    }
}
