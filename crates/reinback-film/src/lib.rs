//! Opens a film and answers "the picture at this time".

mod cache;
mod error;
mod film;
mod fingerprint;
mod frame;
mod info;
mod libav;
mod open;
mod orient;
mod picture;
mod projector;
mod reader;
mod settings;
mod thumbnail;
mod time;
mod tone;
mod worker;

pub use error::{FilmError, FilmErrorKind};
pub use film::{Film, Reply, Want};
pub use fingerprint::{Fingerprint, FingerprintTextError, fingerprint};
pub use frame::Frame;
pub use info::FilmInfo;
pub use settings::Settings;
pub use thumbnail::{probe, thumbnail};
pub use time::FilmTime;
