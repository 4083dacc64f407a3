//! The sheet that sends a map on.

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use sparktrail_core::table::{Names, Scope, Separator, rows, write};

use super::code::code;
use super::picture::picture;
use crate::edge::{files, page, raster, share};
use crate::places::map_file::{file_name, save_as_file, save_rows};
use crate::places::words::{share as words, trouble as wrong};
use crate::store::Store;
use crate::ui::{Icon, Sheet, picture as icon};

/// The sheet.
#[component]
pub(crate) fn ShareSheet(
    /// The store.
    store: Store,
    /// Whether it shows.
    open: RwSignal<bool>,
) -> impl IntoView {
    let close = Callback::new(move |()| open.set(false));
    view! {
        <Sheet open close title=words::SHARE.said()>
            {ways(store)}
        </Sheet>
    }
    .into_any()
}

fn ways(store: Store) -> AnyView {
    // The sheet shows at once; a large map takes a moment to be squeezed.
    let made = RwSignal::new(None);
    page::after_painting(move || {
        made.try_set(Some(store.link()));
    });
    let link = move || match made.get() {
        None => view! { <p class="faint" role="status">{words::MAKING}</p> }.into_any(),
        Some(Ok(link)) => with_link(store, link),
        Some(Err(_)) => view! { <p class="alarm" role="alert">{words::TOO_LARGE}</p> }.into_any(),
    };
    view! {
        <p class="faint">{words::LEAD}</p>
        {link}
        {files_of(store)}
    }
    .into_any()
}

fn with_link(store: Store, link: String) -> AnyView {
    let field = NodeRef::<html::Textarea>::new();
    let length = words::length(link.len());
    let coded = link.clone();
    let link = StoredValue::new(link);
    let said = RwSignal::new("");
    let copy = move |_| {
        spawn_local(async move {
            if share::copy(&link.get_value()).await {
                said.try_set(words::COPIED.said());
            } else {
                if let Some(field) = field.get_untracked() {
                    share::select_all(&field);
                }
                said.try_set(words::NOT_COPIED.said());
            }
        });
    };
    let send = share::can_send().then(|| {
        let send = move |_| {
            let title = store
                .harness
                .with_untracked(|harness| harness.title.clone());
            link.with_value(|link| share::send(&title, link));
        };
        view! { <button type="button" class="button" on:click=send>{words::SEND}</button> }
            .into_any()
    });
    view! {
        <label class="field">
            <span>{words::LINK} " · " <span class="num">{length}</span></span>
            <textarea
                node_ref=field
                class="link-field"
                rows="3"
                readonly
                spellcheck="false"
                prop:value=link.get_value()
                on:focus:target=move |event| share::select_all(&event.target())
            />
        </label>
        <div class="share-acts">
            <button type="button" class="button" data-weight="strong" on:click=copy>
                {words::COPY}
            </button>
            {send}
        </div>
        <p class="small" role="status">{move || said.get()}</p>
        <details>
            <summary>{words::CODE}</summary>
            {code(&coded)}
        </details>
    }
    .into_any()
}

/// The files that can be made of the map.
fn files_of(store: Store) -> AnyView {
    let stem = move || {
        let name = store
            .harness
            .with_untracked(|harness| file_name(&harness.title));
        name.trim_end_matches(".json").to_owned()
    };
    let tell = move |saved: Result<(), files::FileTrouble>| {
        if let Err(error) = saved {
            store.session.say(wrong::file(error), None);
        }
    };
    let map = move |_| save_as_file(*store);
    let lines = move |_| {
        let (svg, ..) = picture(store);
        tell(files::save_text(
            &format!("{}.svg", stem()),
            "image/svg+xml",
            &svg,
        ));
    };
    let dots = move |_| {
        let name = format!("{}.png", stem());
        spawn_local(async move {
            let (svg, width, height) = picture(store);
            match raster::png(&svg, width, height).await {
                Some(blob) => tell(files::save_blob(&name, &blob)),
                None => store.session.say(words::NO_PICTURE, None),
            }
        });
    };
    let table = move |_| {
        let text = store.harness.with_untracked(|harness| {
            let rows = rows(harness, &Names::of(harness), Scope::All);
            write(rows.iter().map(|placed| &placed.row), Separator::Tab)
        });
        spawn_local(async move {
            let said = if share::copy(&text).await {
                words::TABLE_COPIED
            } else {
                words::TABLE_NOT_COPIED
            };
            store.session.say(said, None);
        });
    };
    let table_file = move |_| {
        let rows = store
            .harness
            .with_untracked(|harness| rows(harness, &Names::of(harness), Scope::All));
        save_rows(*store, rows.iter().map(|placed| &placed.row));
    };
    view! {
        <h3>{words::FILES}</h3>
        <p class="faint small">{words::FILES_HINT}</p>
        <div class="share-acts">
            <button type="button" class="button" on:click=map>
                {icon(Icon::OpenFile)} {words::FILE_MAP}
            </button>
            <button type="button" class="button" on:click=dots>{words::FILE_PNG}</button>
            <button type="button" class="button" on:click=lines>{words::FILE_SVG}</button>
            <button type="button" class="button" on:click=table_file>{words::FILE_TABLE}</button>
            <button type="button" class="button" on:click=table>{words::TABLE}</button>
        </div>
    }
    .into_any()
}
