//! The same map in other forms: as a pin table, and as the face of a connector.

mod cell;
mod desk;
mod face;
mod grid;
mod paste;
mod swatch;

use leptos::prelude::*;

use self::desk::{Desk, Mode};
use super::words::table as words;
use crate::store::{MapForm, Store};

/// The switch between the forms of the map, and what lies over the drawing while another is chosen.
pub(crate) fn forms(store: Store) -> AnyView {
    (switch(store), over(store)).into_any()
}

/// The switch between drawing, table and connector.
fn switch(store: Store) -> AnyView {
    let form = store.session.form;
    let button = |to: MapForm| {
        let pressed = move || if form.get() == to { "true" } else { "false" };
        view! {
            <button type="button" aria-pressed=pressed on:click=move |_| form.set(to)>
                {words::form(to)}
            </button>
        }
        .into_any()
    };
    let buttons: Vec<AnyView> = MapForm::ALL.into_iter().map(button).collect();
    view! {
        <div class="forms" role="group" aria-label=words::FORMS>
            {buttons}
        </div>
    }
    .into_any()
}

/// What lies over the drawing while another form is chosen.
fn over(store: Store) -> AnyView {
    let form = store.session.form;
    (move || match form.get() {
        MapForm::Drawing => ().into_any(),
        MapForm::Table => table(store),
        MapForm::Face => face::place(store),
    })
    .into_any()
}

fn table(store: Store) -> AnyView {
    let desk = Desk::new(store);
    let body = move || match desk.mode.get() {
        Mode::Grid => grid::place(desk),
        Mode::Paste => paste::place(desk),
    };
    view! { <div class="pins">{body}</div> }.into_any()
}
