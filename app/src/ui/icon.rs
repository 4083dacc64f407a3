//! Line pictures drawn on a 24 × 24 grid, and the buttons that carry nothing else.

use leptos::prelude::*;

/// A picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Icon {
    /// Take back.
    Undo,
    /// Do again.
    Redo,
    /// More to do with this.
    More,
    /// A file from this device.
    OpenFile,
    /// Paper theme.
    Sun,
    /// Night theme.
    Moon,
    /// Theme of the system.
    HalfMoon,
    /// Put away.
    Close,
    /// Change by hand.
    Edit,
    /// One thing more.
    Add,
    /// Several together.
    Several,
    /// Another of the same.
    Copy,
    /// Take away.
    Remove,
    /// Send on to somebody.
    Share,
}

impl Icon {
    const fn path(self) -> &'static str {
        match self {
            Self::Undo => "M4 9h10a6 6 0 0 1 0 12h-3M4 9l5-5M4 9l5 5",
            Self::Redo => "M20 9H10a6 6 0 0 0 0 12h3M20 9l-5-5M20 9l-5 5",
            Self::More => "M5 12h.01M12 12h.01M19 12h.01",
            Self::OpenFile => "M4 20V5h6l2 3h8v12zM12 17v-6M9 14l3-3 3 3",
            Self::Sun => {
                "M12 8a4 4 0 1 0 0 8 4 4 0 0 0 0-8zM12 2v2M12 20v2M2 12h2M20 12h2M5 5l1.5 1.5M17.5 17.5L19 19M19 5l-1.5 1.5M6.5 17.5L5 19"
            }
            Self::Moon => "M20 14.5A8.5 8.5 0 0 1 9.5 4a8.5 8.5 0 1 0 10.5 10.5z",
            Self::HalfMoon => "M12 3a9 9 0 1 0 0 18zM12 3a9 9 0 0 1 0 18M15 7v10M18 10v4",
            Self::Close => "M6 6l12 12M18 6L6 18",
            Self::Edit => "M4 20l1-4L16 5l3 3L8 19zM14 7l3 3",
            Self::Add => "M12 5v14M5 12h14",
            Self::Several => "M4 4h7v7H4zM13 13h7v7h-7zM14 7h6M17 4v6",
            Self::Copy => "M8 8h12v12H8zM16 8V4H4v12h4",
            Self::Remove => "M5 7h14M9 7V4h6v3M7 7l1 13h8l1-13M10 11v5M14 11v5",
            Self::Share => "M12 15V3M7.5 7.5L12 3l4.5 4.5M5 12v8h14v-8",
        }
    }
}

/// A picture by itself; whoever shows it names it.
#[must_use]
pub fn picture(icon: Icon) -> AnyView {
    view! {
        <svg viewBox="0 0 24 24" aria-hidden="true">
            <path d=icon.path() />
        </svg>
    }
    .into_any()
}

/// A square button that shows a picture and is called `name`.
#[component]
pub fn IconButton(
    /// What it shows.
    icon: Icon,
    /// What it does, for readers and as a hint.
    #[prop(into)]
    name: Signal<String>,
    /// What happens.
    act: Callback<()>,
    /// Whether it cannot be used now.
    #[prop(into, optional)]
    disabled: Signal<bool>,
) -> impl IntoView {
    view! {
        <button
            type="button"
            class="icon"
            title=move || name.get()
            aria-label=move || name.get()
            disabled=move || disabled.get()
            on:click=move |_| act.run(())
        >
            {picture(icon)}
        </button>
    }
    .into_any()
}

/// The program's own mark: a trail from a pin to a cylinder.
#[component]
pub fn Mark() -> impl IntoView {
    view! {
        <svg class="brand-mark" viewBox="0 0 32 32" aria-hidden="true">
            <path class="mark-trail" d="M5 23h5c5 0 3-13 9-13h2" />
            <circle class="mark-pin" cx="5" cy="23" r="3" />
            <circle class="mark-disc" cx="25" cy="10" r="4.5" />
            <path class="mark-spark" d="M26 18l-4 5.5h3.5L23 29l6.5-7H26l2-4z" />
        </svg>
    }
    .into_any()
}
