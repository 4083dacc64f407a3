//! A person whose browser speaks German reads German everywhere, and may turn to English and back.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use serde_json::{Value, json};
use sparktrail_tests::browser::tour::{tour_in, view};
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;

/// The browser's languages, as the page sees them.
pub(super) const GERMAN: &str =
    "Object.defineProperty(navigator, 'languages', { get: () => ['de-DE', 'de'] });
     Object.defineProperty(navigator, 'language', { get: () => 'de-DE' });";

/// English words that are no German ones; what holds one of them was not translated.
const ENGLISH: &[&str] = &[
    "the", "of", "and", "with", "is", "are", "not", "this", "that", "what", "from", "to", "which",
    "has", "its",
];

/// Every text that shows or is read out.
const TEXTS: &str = "
  const shows = e => e.checkVisibility({ checkVisibilityCSS: true });
  const found = new Set([document.title]);
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const parent = node.parentElement;
    if (!['SCRIPT', 'STYLE', 'TEXTAREA'].includes(parent.tagName) && !parent.closest('[lang=en]') && shows(parent))
      found.add(node.textContent.trim().replace(/\\s+/g, ' '));
  }
  for (const element of document.querySelectorAll('[aria-label], [title], [placeholder]')) {
    if (!shows(element)) continue;
    for (const name of ['aria-label', 'title', 'placeholder'])
      if (element.hasAttribute(name)) found.add(element.getAttribute(name).trim().replace(/\\s+/g, ' '));
  }
  return [...found].filter(Boolean);";

/// The German table.
fn table() -> BTreeMap<String, String> {
    let path = place::root().join("static/words/de.json");
    let text = fs::read_to_string(path).unwrap_or_else(|error| panic!("{error}"));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}"))
}

/// Every text in the samples: names, stories and notes are data and stay as they are.
fn data() -> Vec<String> {
    fn gather(value: &Value, into: &mut BTreeSet<String>) {
        match value {
            Value::String(text) => {
                into.insert(text.split_whitespace().collect::<Vec<_>>().join(" "));
            }
            Value::Array(all) => all.iter().for_each(|value| gather(value, into)),
            Value::Object(all) => all.values().for_each(|value| gather(value, into)),
            Value::Null | Value::Bool(_) | Value::Number(_) => {}
        }
    }
    let folder = place::root().join("sample-harnesses");
    let mut found = BTreeSet::new();
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let text = fs::read_to_string(entry.path()).unwrap_or_default();
        if let Ok(value) = serde_json::from_str::<Value>(&text)
            && value.get("$schema").is_none()
        {
            gather(&value, &mut found);
        }
    }
    let mut all: Vec<String> = found.into_iter().filter(|text| text.len() > 2).collect();
    // The longest first: a story is taken out before the names in it are.
    all.sort_by_key(|text| std::cmp::Reverse(text.len()));
    all
}

/// What of `text` is left once the texts of the samples are taken out.
fn without(text: &str, data: &[String]) -> String {
    let mut left = text.to_owned();
    for known in data {
        if left.contains(known.as_str()) {
            left = left.replace(known.as_str(), "§");
        }
    }
    left
}

/// Whether a text is a template of the English table that German has other words for, or holds an English word.
fn is_english(text: &str, table: &BTreeMap<String, String>, data: &[String]) -> bool {
    // The map breaks the longer ones into lines.
    if data.iter().any(|known| known.contains(text)) {
        return false;
    }
    let left = without(text, data);
    // Titles of sources are quoted as they are printed.
    if left.contains("Auto Fundamentals") || left.contains("Wasted spark system") {
        return false;
    }
    let whole = |text: &str| table.get(text).is_some_and(|german| german != text);
    let word = |word: &str| ENGLISH.contains(&word.trim_matches(|c: char| !c.is_alphanumeric()));
    whole(&left) || left.split_whitespace().any(word)
}

/// What the page says for the English of the tour.
fn said(table: &BTreeMap<String, String>, english: &str) -> String {
    let special = [
        ("Cylinder 1, dead", "Zylinder 1, tot"),
        ("[aria-label^='Connect ']", "[aria-label^='Verbinden ']"),
        ("[aria-label^='More for']", "[aria-label^='Mehr zu']"),
    ];
    let special = special.iter().find(|(known, _)| *known == english);
    special.map_or_else(
        // Names of the samples stay.
        || match english {
            "Coil A" => english.to_owned(),
            other => table.get(other).map_or(other, String::as_str).to_owned(),
        },
        |(_, german)| (*german).to_owned(),
    )
}

fn toured(screen: Screen) {
    let (table, data) = (table(), data());
    visit(screen, Scheme::Light, async |page| {
        page.beforehand(GERMAN).await;
        let mut found: BTreeMap<String, &str> = BTreeMap::new();
        let german = |english: &str| said(&table, english);
        tour_in(page, &german, async |place| {
            assert_eq!(
                page.evaluate("return document.documentElement.lang").await,
                "de"
            );
            let texts = page.evaluate(TEXTS).await;
            for text in texts
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(Value::as_str)
            {
                if is_english(text, &table, &data) {
                    found.entry(text.to_owned()).or_insert(place);
                }
            }
            let name = format!("german-{}", place.replace([' ', ','], "-"));
            page.picture(&name).await;
        })
        .await;
        // The tour provokes messages in the console.
        page.forgive_troubles().await;
        let told: Vec<String> = found
            .iter()
            .map(|(text, place)| format!("{place}: {text}"))
            .collect();
        assert!(told.is_empty(), "not German:\n{}", told.join("\n"));
    });
}

#[test]
fn every_place_is_german_on_a_phone() {
    toured(Screen::Phone);
}

#[test]
fn every_place_is_german_at_a_desk() {
    toured(Screen::Desktop);
}

#[test]
fn who_turns_to_english_and_back_keeps_the_maps() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.beforehand(GERMAN).await;
        page.open("").await;
        assert_eq!(
            heading(page).await,
            "Zwei Zylinder tot. Welcher eine Fehler erklärt das?"
        );
        page.click("[data-example=red-twin]").await;
        page.find(".map-canvas .item").await;
        view(page, "Befunde").await;
        page.find(".found").await;
        page.click("[aria-label='Name, Geschichte, Datei']").await;
        page.fill("dialog[open] input", "Meine zwei").await;
        page.click("dialog[open] [type=submit]").await;
        page.click("[aria-label='Name, Geschichte, Datei']").await;
        page.click("dialog[open] [data-language=en]").await;
        page.until("English", "return document.documentElement.lang === 'en'")
            .await;
        page.until(
            "the heading",
            "return document.querySelector('h1')?.textContent.startsWith('Two cylinders dead')",
        )
        .await;
        page.until("the map", &listed("Meine zwei")).await;
        page.click("[data-language=de]").await;
        page.until(
            "the heading",
            "return document.querySelector('h1')?.textContent.startsWith('Zwei Zylinder tot')",
        )
        .await;
        page.until("the map", &listed("Meine zwei")).await;
    });
}

/// Without its words the page speaks English and does everything.
#[test]
fn a_table_that_does_not_come_does_no_harm() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.beforehand(GERMAN).await;
        page.beforehand(
            "const fetched = globalThis.fetch;
             globalThis.fetch = (what, how) => String(what).includes('words/')
               ? Promise.reject(new TypeError('no network')) : fetched(what, how);",
        )
        .await;
        page.open("").await;
        assert_eq!(
            heading(page).await,
            "Two cylinders dead. Which one fault explains it?"
        );
        assert_eq!(
            page.evaluate("return document.documentElement.lang").await,
            "en"
        );
    });
}

async fn heading(page: &Page) -> String {
    page.text("h1").await
}

fn listed(title: &str) -> String {
    format!(
        "return [...document.querySelectorAll('.projects .row')].some(row => row.textContent.includes({}))",
        json!(title)
    )
}
