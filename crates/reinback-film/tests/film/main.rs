//! The crate as an app uses it: through its public face alone.

mod clips;
mod media;
mod support;
mod trouble;
