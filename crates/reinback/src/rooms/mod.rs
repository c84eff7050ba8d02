//! The screens. A room draws from borrowed data and asks for changes by [`crate::action::Action`].

pub mod progress;
pub mod review;
pub mod words;
pub mod yard;
