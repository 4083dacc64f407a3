//! The only calls into the browser; knows nothing of harnesses, stores or places.

pub mod address;
pub mod canvas;
pub mod clock;
pub mod dialog;
pub mod early;
pub mod events;
pub mod fetch;
pub mod files;
pub mod keys;
pub mod language;
pub mod offline;
pub mod page;
pub mod raster;
pub mod rescue;
pub mod share;
pub mod storage;
pub mod theme;
pub mod timer;
