//! The sound of a film: decoded on a thread of its own, laid on the film's
//! clock, and handed to the device that plays it.
//!
//! # Threads
//!
//! The window holds a [`Sound`] and, while it plays, a [`Playhead`]. The
//! sound's own thread decodes some tenths of a second ahead into a ring and
//! sleeps while that is full. The device's thread holds the other end of the
//! ring, a [`SoundStream`]: it takes samples without waiting for anybody and
//! says when they will be heard; the playhead reads that. A jump makes a new
//! ring, so nothing old is heard after it.
//!
//! # Times
//!
//! Sample 0 is heard with the first presented frame. Holes in the sound, a
//! late beginning and an early end are silence; a stream goes on in silence
//! until it is dropped, so that a picture may follow it to its end.

mod graph;
mod source;
mod stream;
mod track;
mod wave;
mod wave_file;
mod wave_make;
mod worker;

pub use stream::{Playhead, SoundStream};
pub use wave::{Loudness, Waveform};
pub use wave_make::{waveform, waveform_folder};
pub use worker::{Sound, SoundState};

/// One sample of the left and the right ear, -1 to 1 where nothing is too
/// loud.
pub type Stereo = [f32; 2];

/// A number of samples or steps for reckoning with times.
fn signed(count: usize) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}
