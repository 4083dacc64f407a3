//! What a page shows before its program is there: the first screen within `index.html`, a picture of each example.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use sparktrail_core::drawing::{Cold, Drawing, Proportions};
use sparktrail_core::model::{Harness, file};
use sparktrail_core::said::{Table, speak};

/// Where it stands in a page that is laid out.
const FOLDER: &str = "early";
/// The first screen, as the source keeps it; other languages lie beside it and are fetched.
const ENGLISH: &str = "en.html";
/// The style sheets that the first screen and the first map need, in one.
const STYLES: &str = "first.css";
/// The scripts that go before the first picture, in one.
const SCRIPTS: &str = "first.js";
/// Where the first screen belongs in the page.
const PLACE: &str = "<div id=\"early\"></div>";

/// Puts the first screen into a page that is laid out, with its style sheets in one file and its scripts in another,
/// and a picture of each map in `maps` beside it, for each language and for screens of either proportions:
/// `early/LANGUAGE/MAP-wide.svg`, `early/LANGUAGE/MAP-tall.svg`.
/// A page without a folder `early` is left as it is.
pub(crate) fn lay_out(page: &Path, maps: &[PathBuf]) -> Result<()> {
    let folder = page.join(FOLDER);
    if !folder.is_dir() {
        return Ok(());
    }
    put_first_screen(page, &folder)?;
    put_together(page, "<link rel=\"stylesheet\" href=\"", "\">", STYLES)?;
    put_together(page, "<script src=\"", "\"></script>", SCRIPTS)?;
    let harnesses = maps
        .iter()
        .map(|folder| read_all(folder))
        .collect::<Result<Vec<_>>>()?;
    for (language, words) in languages(page)? {
        let folder = folder.join(language);
        fs::create_dir_all(&folder)?;
        // This thread builds the page and says nothing of the maps but this.
        speak(words);
        let drawn = harnesses
            .iter()
            .flatten()
            .try_for_each(|(name, harness)| draw(&folder, name, harness));
        speak(None);
        drawn?;
    }
    Ok(())
}

fn put_first_screen(page: &Path, folder: &Path) -> Result<()> {
    let first = folder.join(ENGLISH);
    let markup = fs::read_to_string(&first)
        .with_context(|| format!("{} cannot be read", first.display()))?;
    let index = page.join("index.html");
    let text = fs::read_to_string(&index)?;
    if text.matches(PLACE).count() != 1 {
        bail!("{} has no place {PLACE}", index.display());
    }
    let filled = PLACE.replace("></", &format!(">\n{}</", markup.trim_start()));
    fs::write(&index, text.replace(PLACE, &filled))?;
    fs::remove_file(first)?;
    Ok(())
}

/// Makes one file of all files that the lines of the page name which begin and end so, in their order: a phone's line
/// is waited for once, not for each of them.
fn put_together(page: &Path, begins: &str, ends: &str, into: &str) -> Result<()> {
    let index = page.join("index.html");
    let text = fs::read_to_string(&index)?;
    let (mut lines, mut whole) = (Vec::new(), String::new());
    for line in text.lines() {
        let named = line.trim().strip_prefix(begins);
        let Some(file) = named.and_then(|named| named.strip_suffix(ends)) else {
            lines.push(line.to_owned());
            continue;
        };
        if whole.is_empty() {
            lines.push(line.replace(file, into));
        }
        let file = page.join(file);
        whole += &fs::read_to_string(&file)
            .with_context(|| format!("{} cannot be read", file.display()))?;
        fs::remove_file(file)?;
    }
    fs::write(page.join(into), whole)?;
    fs::write(&index, lines.join("\n") + "\n")?;
    Ok(())
}

/// Every map in a folder with its name; other files in it are no maps.
fn read_all(folder: &Path) -> Result<Vec<(String, Harness)>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let name = path.file_stem().and_then(|name| name.to_str());
        let is_json = path.extension().is_some_and(|ending| ending == "json");
        let (Some(name), true) = (name, is_json) else {
            continue;
        };
        let text = fs::read_to_string(&path)?;
        let told: serde_json::Value = serde_json::from_str(&text)
            .with_context(|| format!("{} is no JSON", path.display()))?;
        if told["format"] != "sparktrail-harness" {
            continue;
        }
        match file::read(&text) {
            Ok(harness) => found.push((name.to_owned(), harness)),
            Err(errors) => bail!("{}: {errors}", path.display()),
        }
    }
    Ok(found)
}

/// English, and every language that a page has words for.
fn languages(page: &Path) -> Result<Vec<(String, Option<&'static Table>)>> {
    let mut all = vec![("en".to_owned(), None)];
    for entry in fs::read_dir(page.join("words"))? {
        let path = entry?.path();
        let Some(code) = path.file_stem().and_then(|name| name.to_str()) else {
            continue;
        };
        let words: std::collections::BTreeMap<String, String> =
            serde_json::from_str(&fs::read_to_string(&path)?)
                .with_context(|| format!("{} holds no words", path.display()))?;
        // As long as this program runs, as in the page.
        let table: &'static Table = Box::leak(Box::new(Table::of(words.into_iter().collect())));
        all.push((code.to_owned(), Some(table)));
    }
    Ok(all)
}

fn draw(folder: &Path, name: &str, harness: &Harness) -> Result<()> {
    let cold = Cold::found(harness);
    for (word, shape) in [("wide", Proportions::Wide), ("tall", Proportions::Tall)] {
        let inside = Drawing::proportioned(harness, shape).markup(&cold);
        let picture = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"map-canvas\" aria-hidden=\"true\">{inside}</svg>\n"
        );
        fs::write(folder.join(format!("{name}-{word}.svg")), picture)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    #[test]
    fn a_page_gets_its_first_screen_and_a_picture_of_each_map_in_each_language() {
        let page = tempfile::tempdir().unwrap();
        let page = page.path();
        for folder in ["early", "words"] {
            fs::create_dir(page.join(folder)).unwrap();
        }
        let head = r#"  <script src="a.js"></script>
  <script src="b.js"></script>
  <link rel="stylesheet" href="c.css">
  <script defer src="d.js"></script>
"#;
        fs::write(
            page.join("index.html"),
            format!("{head}<body>{PLACE}</body>"),
        )
        .unwrap();
        for file in ["a.js", "b.js", "c.css", "d.js"] {
            fs::write(page.join(file), format!("{file};\n")).unwrap();
        }
        fs::write(page.join("early/en.html"), "<main>first</main>\n").unwrap();
        fs::write(page.join("early/de.html"), "<main>zuerst</main>\n").unwrap();
        fs::write(page.join("words/de.json"), r#"{"front ▲": "vorn ▲"}"#).unwrap();
        let maps = crate::place::root().join("sample-harnesses");
        lay_out(page, &[maps]).unwrap();
        let index = fs::read_to_string(page.join("index.html")).unwrap();
        assert!(
            index.contains("<div id=\"early\">\n<main>first</main>\n</div>"),
            "{index}"
        );
        let head = r#"  <script src="first.js"></script>
  <link rel="stylesheet" href="first.css">
  <script defer src="d.js"></script>
"#;
        assert!(index.starts_with(head), "{index}");
        let scripts = fs::read_to_string(page.join(SCRIPTS)).unwrap();
        assert_eq!(scripts, "a.js;\nb.js;\n");
        assert!(!page.join("a.js").exists() && page.join("d.js").exists());
        assert!(!page.join("early/en.html").exists() && page.join("early/de.html").exists());
        let picture = |path: &str| fs::read_to_string(page.join("early").join(path)).unwrap();
        assert!(picture("en/red-twin-wide.svg").contains("front ▲"));
        assert!(picture("de/red-twin-tall.svg").contains("vorn ▲"));
        assert_eq!(fs::read_dir(page.join("early/en")).unwrap().count(), 20);
    }

    #[test]
    fn a_page_without_such_a_folder_is_left_alone() {
        let page = tempfile::tempdir().unwrap();
        fs::write(page.path().join("index.html"), "<body></body>").unwrap();
        lay_out(page.path(), &[]).unwrap();
        assert_eq!(fs::read_dir(page.path()).unwrap().count(), 1);
    }
}
