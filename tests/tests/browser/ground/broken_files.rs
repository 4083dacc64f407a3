//! A broken file is refused with its place and the mend, and whatever was there stays as it was.

use std::fs;

use sparktrail_core::model::file;
use sparktrail_tests::browser::{Scheme, Screen, visit};
use sparktrail_tests::place;

use super::{
    button, click, drawn, find, go_home, kept, open_example, open_file, open_project, own_maps,
    rename_open,
};

/// Broken files, the line that has to be named, and words of the mend.
///
/// Source: counted by hand in each file; each spoils one line of the same small harness.
const BROKEN: [(&str, usize, &str); 10] = [
    ("not-json", 1, "add \"format\": \"sparktrail-harness\""),
    ("newer-version", 3, "open it with a newer Sparktrail"),
    ("cut-short", 56, "take a complete copy"),
    ("missing-comma", 4, "look for a missing or extra comma"),
    ("misspelt-field", 77, "did you mean \""),
    ("unknown-colour", 83, "write one of them"),
    ("same-id-twice", 57, "give one of them a number of its own"),
    (
        "wire-to-missing-part",
        74,
        "correct the number, or add the part",
    ),
    ("seventeen-cylinders", 9, "make it shorter"),
    ("text-for-a-number", 38, "write it without quotes"),
];

#[test]
fn broken_files_leave_everything_as_it_was() {
    for (screen, scheme) in [
        (Screen::Desktop, Scheme::Dark),
        (Screen::Phone, Scheme::Light),
    ] {
        visit(screen, scheme, async |page| {
            page.open("").await;
            open_example(page, "Blue estate").await;
            rename_open(page, "My own estate").await;
            page.until(
                "the map to be kept",
                "return document.querySelector('.saved').innerText === 'saved'",
            )
            .await;
            let map = drawn(page).await;
            go_home(page).await;
            let storage = kept(page).await;

            for (name, line, mend) in BROKEN {
                let path = place::root().join(format!("tests/broken-harnesses/{name}.json"));
                open_file(page, &path).await;
                let alert = find(page, "//*[@role='alert']").await;
                let said = alert.text().await.expect("it has a text");
                let place = format!("line {line}, column ");
                assert!(said.contains(&place), "{name} names no {place}:\n{said}");
                assert!(said.contains(mend), "{name} does not say {mend}:\n{said}");
                assert!(said.contains("your own maps are as they were"), "{said}");

                // Each line is the core's own, word by word.
                let text = fs::read_to_string(&path).expect("the file can be read");
                let errors = file::read(&text).expect_err("the file is broken").errors;
                let expected: Vec<String> = errors.iter().map(ToString::to_string).collect();
                assert_eq!(page.texts("[role=alert] li").await, expected, "{name}");

                assert_eq!(kept(page).await, storage, "{name} changed what is kept");
                assert_eq!(own_maps(page).await, ["My own estate"], "{name}");
                click(page, &button("Close")).await;
                page.until(
                    "the message to go",
                    "return !document.querySelector('[role=alert]')",
                )
                .await;
            }

            open_project(page, "My own estate").await;
            assert!(
                drawn(page).await == map,
                "the open map looks other than before"
            );
        });
    }
}
