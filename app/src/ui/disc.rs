//! Cylinder numbers in the shape they have on the map.

use leptos::prelude::*;

/// What a disc says of its cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DiscState {
    /// Nothing.
    Plain,
    /// It has no spark.
    Dead,
    /// It may or may not spark.
    Doubtful,
}

impl DiscState {
    const fn word(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Dead => "dead",
            Self::Doubtful => "doubtful",
        }
    }
}

/// One cylinder's number.
#[component]
pub fn Disc(
    /// The number.
    number: u8,
    /// What the disc says.
    state: DiscState,
) -> impl IntoView {
    view! { <span class="disc" data-state=state.word()>{number.to_string()}</span> }.into_any()
}

/// Several cylinders' numbers in a row, all in one state.
#[component]
pub fn Discs(
    /// The numbers.
    numbers: Vec<u8>,
    /// What every disc says.
    state: DiscState,
) -> impl IntoView {
    let discs: Vec<AnyView> = numbers
        .into_iter()
        .map(|number| view! { <Disc number state /> }.into_any())
        .collect();
    view! { <span class="discs">{discs}</span> }.into_any()
}
