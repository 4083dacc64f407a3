//! Small pieces that every place is made of; none of them knows the store.

mod card;
mod disc;
mod field;
mod icon;
mod lines;
mod sheet;
mod tabs;
mod toast;

pub use card::{caution, choice, fact, instead, living_fact, named_fact};
pub use disc::{DiscState, Discs};
pub use field::{drop_down, drop_down_in_line};
pub use icon::{Icon, IconButton, Mark, picture};
pub use lines::by_place;
pub use sheet::{Sheet, SheetActs};
pub use tabs::{TabBar, TabItem};
pub use toast::{Toast, ToastAct, Toasts};
