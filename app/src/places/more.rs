//! The map's name and story, and saving it as a file.

use leptos::prelude::*;
use sparktrail_core::edit::Command;

use super::language::other_languages;
use super::map_file::save_as_file;
use super::words::{compare as compare_words, job as words, report as report_words, start};
use crate::store::Store;
use crate::ui::{Sheet, SheetActs};

/// The sheet.
#[component]
pub(crate) fn MoreSheet(store: Store, open: RwSignal<bool>) -> impl IntoView {
    let close = Callback::new(move |()| open.set(false));
    view! {
        <Sheet open close title=words::ABOUT.said()>
            <Form store open />
        </Sheet>
    }
    .into_any()
}

#[component]
fn Form(store: Store, open: RwSignal<bool>) -> impl IntoView {
    let (title, about) = store
        .harness
        .with_untracked(|harness| (harness.title.clone(), harness.about.clone()));
    let (title, about) = (RwSignal::new(title), RwSignal::new(about));
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        store.change(Command::Rename(title.get_untracked().trim().to_owned()));
        store.change(Command::SetAbout(about.get_untracked().trim().to_owned()));
        open.set(false);
    };
    let compare = move |_| {
        open.set(false);
        store.session.choosing.set(true);
    };
    let save = move |_| {
        save_as_file(*store);
        open.set(false);
    };
    view! {
        <form class="sheet-body" on:submit=keep>
            <label class="field">
                <span>{start::NAME}</span>
                <input
                    type="text"
                    maxlength="120"
                    prop:value=move || title.get()
                    on:input:target=move |event| title.set(event.target().value())
                />
            </label>
            <label class="field">
                <span>{words::STORY}</span>
                <textarea
                    rows="4"
                    maxlength="2000"
                    prop:value=move || about.get()
                    on:input:target=move |event| about.set(event.target().value())
                />
            </label>
            <SheetActs>
                <button type="button" class="button" on:click=compare>{compare_words::COMPARE}</button>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| {
                        open.set(false);
                        store.session.reporting.set(true);
                    }
                >
                    {report_words::OPEN}
                </button>
                <button type="button" class="button" on:click=save>{start::SAVE_FILE}</button>
                {other_languages(*store)}
                <button type="submit" class="button" data-weight="strong">{start::KEEP}</button>
            </SheetActs>
        </form>
    }
    .into_any()
}
