//! Small things that several rooms draw.

pub mod icon;
pub mod picture;

pub use icon::{Icon, icon_button};
