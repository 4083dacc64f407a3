//! Open to everybody: rules of accessibility, small screens, fingers, readers, other colours, other directions.

mod forced;
mod keys;
mod motion;
mod narrow;
mod rules;
mod scale;
mod sideways;
mod spoken;
mod touch;
