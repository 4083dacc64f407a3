//! The button that turns the palette.

use leptos::prelude::*;

use super::words::start as words;
use crate::edge::theme::Theme;
use crate::store::Base;
use crate::ui::{Icon, IconButton};

/// The button that turns the palette.
#[component]
pub(super) fn ThemeButton(
    /// The base.
    base: Base,
) -> impl IntoView {
    let theme = base.session.theme;
    let act = Callback::new(move |()| base.session.turn_theme());
    move || {
        let (icon, name) = match theme.get() {
            Theme::System => (Icon::HalfMoon, words::THEME_SYSTEM.said()),
            Theme::Light => (Icon::Sun, words::THEME_LIGHT.said()),
            Theme::Dark => (Icon::Moon, words::THEME_DARK.said()),
        };
        view! { <IconButton icon name=name act /> }
    }
}
