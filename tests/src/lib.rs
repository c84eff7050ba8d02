//! What the journeys share: a window without a screen, hands for it, yards to open in it,
//! and a rider at work by lot.

pub mod browser;
pub mod demo;
pub mod window;
pub mod work;
