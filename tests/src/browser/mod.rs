//! A headless browser that visits the built page, one fresh profile a visit: Chromium, or the engine that
//! `SPARKTRAIL_BROWSER` names.
//!
//! ```no_run
//! use sparktrail_tests::browser::{Scheme, Screen, visit};
//!
//! visit(Screen::Phone, Scheme::Light, async |page| {
//!     page.open("").await;
//!     assert_eq!(page.title().await, "Sparktrail");
//!     page.picture("first-screen").await;
//! });
//! ```
//!
//! A visit fails when the page broke its content policy, wrote an error to the console or asked
//! another origin for anything, see [`Page::troubles`]. `cargo xtask test` builds the page first;
//! before a plain `cargo test --features browser` run `cargo xtask build`.

pub mod axe;
pub mod by_keyboard;
mod engine;
pub mod faults;
pub mod frames;
mod hands;
pub mod own_engine;
mod page;
pub mod power;
mod session;
pub mod starts;
pub mod tour;

use std::path::PathBuf;

use crate::place;
pub use engine::{BROWSER, Engine};
pub use page::{Page, Requests, Throttle};
pub use session::Served;
pub use sparktrail_site::Encoding;

/// The screens that the page is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// 390 × 844, a touch screen.
    Phone,
    /// 1440 × 900, a mouse.
    Desktop,
    /// 1180 × 820, a mouse: a small laptop, a tablet lying on its side.
    Laptop,
    /// 1024 × 768, a mouse.
    Small,
}

/// What the system asks for: a light page or a dark one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scheme {
    /// Light paper.
    Light,
    /// Night garage.
    Dark,
}

impl Screen {
    /// The two screens on which everything is looked at.
    pub const ALL: [Self; 2] = [Self::Phone, Self::Desktop];

    /// Width and height in CSS pixels.
    #[must_use]
    pub fn size(self) -> (u32, u32) {
        match self {
            Self::Phone => (390, 844),
            Self::Desktop => (1440, 900),
            Self::Laptop => (1180, 820),
            Self::Small => (1024, 768),
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Phone => "phone",
            Self::Desktop => "desktop",
            Self::Laptop => "laptop",
            Self::Small => "small",
        }
    }
}

impl Scheme {
    /// Both schemes.
    pub const ALL: [Self; 2] = [Self::Light, Self::Dark];

    fn name(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// The directory that holds the built page: `SPARKTRAIL_DIST`, else `dist` in the target
/// directory.
#[must_use]
pub fn dist() -> PathBuf {
    std::env::var_os("SPARKTRAIL_DIST").map_or_else(|| place::target().join("dist"), PathBuf::from)
}

/// Visits the built page with a fresh profile, does `act`, and leaves again.
///
/// Returns what `act` returns, or `None` where there is no such browser, see
/// [`outside::chromium`](crate::outside::chromium).
///
/// # Panics
/// When `act` does; a picture of the page then lies in `target/screens/failed-TEST.png`.
/// Also when the page got into trouble on the way, see [`Page::troubles`].
pub fn visit<T>(screen: Screen, scheme: Scheme, act: impl AsyncFnOnce(&Page) -> T) -> Option<T> {
    let served = Served::start(&dist(), Encoding::Plain)?;
    Some(served.visit(screen, scheme, act))
}
