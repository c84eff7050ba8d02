//! What the journeys share: a window without a screen, hands for it, and yards to open in it.

pub mod demo;
pub mod window;
