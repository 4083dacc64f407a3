//! Maps as files: the name that a title makes, saving one, choosing one.

use leptos::html;
use leptos::prelude::*;
use sparktrail_core::table::{Row, csv};

use super::words::trouble as wrong;
use crate::edge::files;
use crate::store::Base;
use crate::ui::{Icon, picture};

/// Hands the open map to the person as a file.
pub(super) fn save_as_file(base: Base) {
    let name = base
        .harness
        .with_untracked(|harness| file_name(&harness.title));
    match files::save(&name, &base.text()) {
        Ok(()) => base.mark_in_file(),
        Err(error) => base.session.say(wrong::file(error), None),
    }
}

/// Hands rows of the open map to the person as a file for spreadsheets.
pub(super) fn save_rows<'r>(base: Base, rows: impl IntoIterator<Item = &'r Row>) {
    let name = base
        .harness
        .with_untracked(|harness| file_name(&harness.title));
    let name = format!("{}-pins.csv", name.trim_end_matches(".json"));
    // RFC 4180, section 3, names the type; the heading is the first line.
    let kind = "text/csv;charset=utf-8;header=present";
    if let Err(error) = files::save_text(&name, kind, &csv(rows)) {
        base.session.say(wrong::file(error), None);
    }
}

/// Lets the person choose a file through a place's file field.
pub(super) fn choose_file(field: NodeRef<html::Input>) {
    if let Some(field) = field.get_untracked() {
        files::choose(&field);
    }
}

/// The file field of a place, and the button in its stead.
pub(super) fn file_field(
    field: NodeRef<html::Input>,
    label: &'static str,
    button: &'static str,
    take: Callback<files::File>,
) -> AnyView {
    let chosen = move |event: leptos::ev::Event| {
        if let Some(file) = files::picked(&event) {
            take.run(file);
        }
    };
    view! {
        <input
            node_ref=field
            class="unseen"
            type="file"
            accept=".json,application/json"
            tabindex="-1"
            aria-label=label
            on:change=chosen
        />
        <button type="button" class="button" on:click=move |_| choose_file(field)>
            {picture(Icon::OpenFile)}
            {button}
        </button>
    }
    .into_any()
}

/// A file name made of a title: letters and digits, joined by hyphens.
pub(super) fn file_name(title: &str) -> String {
    let mut name = String::new();
    for c in title.to_lowercase().chars().take(80) {
        if c.is_alphanumeric() {
            name.push(c);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    let name = name.trim_end_matches('-');
    format!("{}.json", if name.is_empty() { "map" } else { name })
}

#[cfg(test)]
mod tests {
    use super::file_name;

    #[test]
    fn a_title_becomes_a_plain_file_name() {
        for (title, expected) in [
            ("Blue estate, V6", "blue-estate-v6.json"),
            ("../../etc/passwd", "etc-passwd.json"),
            ("  ", "map.json"),
            ("Größe 3", "größe-3.json"),
        ] {
            assert_eq!(file_name(title), expected);
        }
    }
}
