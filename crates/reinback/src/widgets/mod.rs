//! Small things that several rooms draw.

pub mod icon;

pub use icon::{Icon, icon_button};
