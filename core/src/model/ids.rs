//! Opaque ids: given out once by a harness, never reused, the same across undo, files and links.

use std::fmt;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub(crate) u32);

        impl $name {
            /// The number as files write it.
            #[must_use]
            pub const fn number(self) -> u32 {
                self.0
            }

            /// An id as read from a file or link. Give out new ones with `Harness::fresh` instead.
            #[must_use]
            pub const fn from_number(number: u32) -> Self {
                Self(number)
            }
        }

        impl From<u32> for $name {
            fn from(number: u32) -> Self {
                Self(number)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}", self.0)
            }
        }
    };
}

id!(
    /// A part of the car.
    PartId
);
id!(
    /// A wire.
    WireId
);
id!(
    /// A pin of a control unit.
    PinId
);
id!(
    /// A cavity of an in-line connector.
    CavityId
);
id!(
    /// A driver: the transistor that switches one coil, with its surroundings.
    DriverId
);
id!(
    /// Something seen or measured.
    FindingId
);
id!(
    /// An entry of the work log.
    WorkId
);
