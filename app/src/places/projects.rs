//! The maps kept on this device: open, rename, copy, save as a file, back up, delete and bring back.

use leptos::html;
use leptos::prelude::*;

use super::map_file::{choose_file, file_name};
use super::trouble::Trouble;
use super::words::{start as words, trouble as wrong};
use crate::edge::{clock, files};
use crate::store::Store;
use crate::store::projects::{Entry, ProjectError, ProjectId};
use crate::ui::{Icon, IconButton, Sheet, SheetActs, ToastAct};

/// Takes a backup's projects in; says what came of it.
///
/// # Errors
/// [`Trouble`] where it is no backup, or some of it could not be taken in.
pub(crate) fn restore(store: Store, text: &str) -> Result<(), Trouble> {
    let restored = store.restore(text).map_err(|error| {
        let (heading, lines) = wrong::no_backup(&error);
        Trouble { heading, lines }
    })?;
    store.session.say(words::restored(&restored), None);
    match wrong::restored_in_part(&restored) {
        Some((heading, lines)) => Err(Trouble { heading, lines }),
        None => Ok(()),
    }
}

/// The list; nothing shows while there is none.
#[component]
pub(crate) fn ProjectList(
    store: Store,
    trouble: RwSignal<Option<Trouble>>,
    /// The first screen's file field, which takes backups in.
    field: NodeRef<html::Input>,
) -> impl IntoView {
    let chosen = RwSignal::new(None::<Entry>);
    let rows = move || match store.list() {
        // The first screen tells why.
        Err(_) => ().into_any(),
        Ok(list) if list.projects.is_empty() => ().into_any(),
        Ok(list) => {
            let rows: Vec<AnyView> = list
                .projects
                .into_iter()
                .map(|entry| view! { <ProjectRow store entry trouble chosen /> }.into_any())
                .collect();
            view! {
                <section class="card">
                    <h2>{words::YOURS}</h2>
                    <ul class="rows projects">{rows}</ul>
                    <div class="project-acts">
                        <button type="button" class="button" on:click=move |_| back_up(store, trouble)>
                            {words::BACK_UP}
                        </button>
                        <button type="button" class="button" on:click=move |_| choose_file(field)>
                            {words::RESTORE}
                        </button>
                    </div>
                </section>
            }
            .into_any()
        }
    };
    view! {
        {rows}
        <Bin store trouble />
        <ProjectSheet store trouble chosen />
    }
    .into_any()
}

/// All maps into one file.
fn back_up(store: Store, trouble: RwSignal<Option<Trouble>>) {
    let saved = store
        .pack()
        .map_err(|error| Trouble::plain(wrong::storage_at_start(error)))
        .and_then(|packed| {
            let name = format!("{}.json", words::BACKUP_NAME);
            files::save(&name, &packed.text).map_err(|error| Trouble::plain(wrong::file(error)))?;
            store.session.say(words::backed_up(packed.maps), None);
            if packed.damaged.is_empty() {
                Ok(())
            } else {
                Err(Trouble::plain(wrong::not_packed(&packed.damaged)))
            }
        });
    trouble.set(saved.err());
}

#[component]
fn ProjectRow(
    store: Store,
    entry: Entry,
    trouble: RwSignal<Option<Trouble>>,
    chosen: RwSignal<Option<Entry>>,
) -> impl IntoView {
    let id = entry.id.clone();
    let open = move |_| {
        trouble.set(None);
        if let Err(error) = store.open(&id) {
            trouble.set(Some(error.into()));
        }
    };
    let ago = words::ago(clock::now_ms(), entry.changed);
    let more = words::more(&entry.title);
    let title = words::titled(&entry.title).to_owned();
    view! {
        <li class="project">
            <button type="button" class="row" on:click=open>
                <span class="grow">
                    <strong>{title}</strong>
                    <span class="sub num">{ago}</span>
                </span>
            </button>
            <IconButton
                icon=Icon::More
                name=more
                act=Callback::new(move |()| chosen.set(Some(entry.clone())))
            />
        </li>
    }
    .into_any()
}

/// What can be done with one map.
#[component]
fn ProjectSheet(
    store: Store,
    trouble: RwSignal<Option<Trouble>>,
    chosen: RwSignal<Option<Entry>>,
) -> impl IntoView {
    let close = Callback::new(move |()| chosen.set(None));
    let title = Signal::derive(move || {
        chosen.with(|entry| {
            entry
                .as_ref()
                .map(|entry| words::titled(&entry.title).to_owned())
                .unwrap_or_default()
        })
    });
    let body = move || {
        chosen
            .get_untracked()
            .map(|entry| view! { <ProjectActs store trouble chosen entry /> })
    };
    view! {
        <Sheet open=Signal::derive(move || chosen.with(Option::is_some)) close title>
            {body()}
        </Sheet>
    }
    .into_any()
}

#[component]
fn ProjectActs(
    store: Store,
    trouble: RwSignal<Option<Trouble>>,
    chosen: RwSignal<Option<Entry>>,
    entry: Entry,
) -> impl IntoView {
    let name = RwSignal::new(entry.title.clone());
    let entry = StoredValue::new(entry);
    let done = move |outcome: Result<(), Trouble>| {
        chosen.set(None);
        trouble.set(outcome.err());
    };
    let rename = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        done(
            entry
                .with_value(|entry| store.rename(&entry.id, name.get_untracked().trim()))
                .map_err(Trouble::from),
        );
    };
    let duplicate = move |_| {
        done(
            entry
                .with_value(|entry| store.duplicate(&entry.id, &words::copy_of(&entry.title)))
                .map_err(Trouble::from),
        );
    };
    let save = move |_| {
        done(entry.with_value(|entry| {
            let text = store.text_of(&entry.id).map_err(|error| plain(&error))?;
            files::save(&file_name(&entry.title), &text)
                .map_err(|error| Trouble::plain(wrong::file(error)))
        }));
    };
    let delete = move |_| {
        done(entry.with_value(|entry| delete_with_undo(store, entry)));
    };
    view! {
        <form class="rename" on:submit=rename>
            <label class="field">
                <span>{words::NAME}</span>
                <input type="text" maxlength="120" prop:value=move || name.get() on:input:target=move |event| name.set(event.target().value()) />
            </label>
            <button type="submit" class="button">{words::RENAME}</button>
        </form>
        <div class="sheet-list">
            <button type="button" class="button" on:click=duplicate>{words::DUPLICATE}</button>
            <button type="button" class="button" on:click=save>{words::SAVE_FILE}</button>
            <button type="button" class="button" on:click=delete>{words::DELETE}</button>
        </div>
        <SheetActs>
            <button type="button" class="button" data-weight="quiet" on:click=move |_| chosen.set(None)>
                {words::CLOSE}
            </button>
        </SheetActs>
    }
    .into_any()
}

fn plain(error: &ProjectError) -> Trouble {
    Trouble::plain(wrong::project(error))
}

fn delete_with_undo(store: Store, entry: &Entry) -> Result<(), Trouble> {
    store.delete(&entry.id).map_err(|error| plain(&error))?;
    let id = entry.id.clone();
    store.session.say(
        words::deleted(&entry.title),
        Some(ToastAct::new(words::UNDO, move || {
            // The first screen and its own place for messages may be gone by then.
            if let Err(error) = store.bring_back(&id) {
                store.session.say(wrong::project(&error), None);
            }
        })),
    );
    Ok(())
}

fn bring_back(store: Store, trouble: RwSignal<Option<Trouble>>, id: &ProjectId) {
    trouble.set(store.bring_back(id).map_err(|error| plain(&error)).err());
}

/// Maps deleted lately, folded away.
#[component]
fn Bin(store: Store, trouble: RwSignal<Option<Trouble>>) -> impl IntoView {
    move || {
        let bin = store.list().map(|list| list.bin).unwrap_or_default();
        if bin.is_empty() {
            return ().into_any();
        }
        let rows: Vec<AnyView> = bin
            .into_iter()
            .map(|entry| {
                let id = entry.id;
                view! {
                    <li class="project">
                        <span class="grow">{words::titled(&entry.title).to_owned()}</span>
                        <button
                            type="button"
                            class="button"
                            on:click=move |_| bring_back(store, trouble, &id)
                        >
                            {words::PUT_BACK}
                        </button>
                    </li>
                }
                .into_any()
            })
            .collect();
        view! {
            <details class="bin">
                <summary>{words::BIN}</summary>
                <ul>{rows}</ul>
            </details>
        }
        .into_any()
    }
}
