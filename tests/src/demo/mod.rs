//! The maker of the demo yard: a season of our own invention, written through the yard's store.
//!
//! Map: `scenario` (horses, days, how often what goes wrong), `moves` (what can be asked in a
//! ride), `session` (what is asked, in which order), `timeline` (how it went, laid on the ride
//! clock), `films` and `scene` (the scripts of the short films), `truth` (what those films show), `notes`
//! (the rider's words), `write` (the model and its files), `dice` (repeatable chance).
//!
//! **Invariant:** the same files, byte for byte, in every run on every machine: no clock, no
//! system randomness, whole numbers only.
//!
//! **Invariant:** within a film nothing is marked but what its truth says is drawn there.

pub mod dice;
mod films;
mod moves;
mod notes;
mod scenario;
mod scene;
mod session;
mod timeline;
mod truth;
mod write;

use std::path::{Path, PathBuf};

pub use films::write_scripts;
pub use write::write_yard;

/// Why the demo could not be made: a sentence.
pub type Failure = Box<dyn std::error::Error + Send + Sync>;

/// The folder of the demo in the checkout.
#[must_use]
pub fn demo_dir() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-sessions")
}
