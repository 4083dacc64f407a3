//! The second module did not arrive: why, the button that sends for it again, and the way out.

use leptos::prelude::*;

use super::words::job as words;
use crate::edge::rescue;
use crate::store::Base;

/// The second module of the program did not arrive.
#[component]
pub fn FetchAgain(
    /// The base.
    base: Base,
) -> impl IntoView {
    view! {
        <div class="panel">
            <p class="alarm" role="alert">{words::NOT_ARRIVED}</p>
            <button type="button" class="button" on:click=move |_| base.fetch_later()>
                {words::FETCH_AGAIN}
            </button>
            " "
            <button type="button" class="button" data-weight="quiet" on:click=move |_| rescue::ask()>
                {words::SAVE_ALL}
            </button>
        </div>
    }
    .into_any()
}
