//! The choice of the map to compare with: a link, a file, or one of one's own.

use leptos::prelude::*;
use leptos::task::spawn_local;
use sparktrail_core::model::file::limits::MOST_BYTES;

use crate::edge::files;
use crate::places::map_file::file_field;
use crate::places::share::link_form;
use crate::places::trouble::{Trouble, TroubleNote};
use crate::places::words::{compare as words, start, trouble as wrong};
use crate::store::projects::Entry;
use crate::store::{NoOther, Store, Tab};
use crate::ui::Sheet;

/// The sheet.
#[component]
pub(crate) fn ChooseSheet(
    /// The store.
    store: Store,
) -> impl IntoView {
    let open = store.session.choosing;
    let close = Callback::new(move |()| open.set(false));
    view! {
        <Sheet open close title=words::COMPARE.said()>
            {ways(store)}
        </Sheet>
    }
    .into_any()
}

impl From<NoOther> for Trouble {
    fn from(error: NoOther) -> Self {
        match error {
            NoOther::Link(error) => {
                let (heading, lines) = words::link(&error);
                Self { heading, lines }
            }
            NoOther::Open(error) => Self {
                heading: words::NOT_READ.into(),
                ..Self::from(error)
            },
        }
    }
}

fn ways(store: Store) -> AnyView {
    let trouble = RwSignal::new(None::<Trouble>);
    let done = move |outcome: Result<(), NoOther>| match outcome {
        Ok(()) => {
            store.session.choosing.set(false);
            store.session.tab.set(Tab::Map);
        }
        Err(error) => trouble.set(Some(error.into())),
    };
    let link = Callback::new(move |link: String| done(store.compare_with_link(&link)));
    let file = Callback::new(move |file: files::File| {
        spawn_local(async move {
            match files::read(&file, MOST_BYTES).await {
                Ok(text) => done(store.compare_with_text(&text)),
                Err(error) => trouble.set(Some(Trouble::plain(wrong::file(error)))),
            }
        });
    });
    let here = store.open_project();
    let mut own: Vec<Entry> = store.list().map(|list| list.projects).unwrap_or_default();
    own.retain(|entry| Some(&entry.id) != here.as_ref());
    let rows: Vec<AnyView> = own
        .into_iter()
        .map(|entry| {
            let title = start::titled(&entry.title).to_owned();
            let pick = move |_| done(store.compare_with_project(&entry.id));
            view! {
                <li>
                    <button type="button" class="row" on:click=pick>
                        <span class="grow">{title}</span>
                    </button>
                </li>
            }
            .into_any()
        })
        .collect();
    let rows = (!rows.is_empty()).then(|| {
        view! {
            <h3>{words::YOURS}</h3>
            <ul class="rows compare-own">{rows}</ul>
        }
        .into_any()
    });
    view! {
        <p class="faint">{words::LEAD}</p>
        <TroubleNote trouble />
        {link_form(words::LINK.said(), words::GO.said(), NodeRef::new(), link)}
        {file_field(NodeRef::new(), words::FILE.said(), words::FILE.said(), file)}
        {rows}
    }
    .into_any()
}
