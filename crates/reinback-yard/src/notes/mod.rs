//! Notes that somebody took at the rail, put onto the ride clock.
//!
//! 1. [`decode`]: from bytes to text, whatever program wrote it.
//! 2. [`guess_layout`], [`read_notes`]: lines, a table or captions; each note with its line, its
//!    time as it is written and its words. What is wrong with one note stands beside it.
//! 3. [`guess_kind`], [`own_clock`]: times of day or of a stop watch as one running clock, over
//!    midnight and changes of the clocks.
//! 4. [`Recogniser`]: what the words say in the vocabulary of the yard. Whatever is not certain is a
//!    [`Question`] for the rider.
//! 5. [`Import`]: with the notes' clock placed on the ride clock, the marks they make, as one
//!    [`crate::Edit`]. Each keeps where it came from.
//!
//! All of it is pure: no file, no clock, no thread. Every guess is a value that can be replaced.

mod clock;
mod cues;
mod decode;
mod place;
mod read;
mod recognise;
mod stamp;
mod table;
mod vocabulary;

pub use clock::{KindGuess, OwnTime, Scene, TimeKind, TimeRemark, guess_kind, ride_zero};
pub use decode::{Decoded, MAX_NOTES_BYTES, decode};
pub use place::{Import, NotPlaced, PlacedNote, own_clock, plain_placement};
pub use read::{
    Layout, MAX_NOTE_SIGNS, MAX_NOTES, NoteFlaw, RawNote, RawNotes, ReadError, guess_layout,
    read_notes,
};
pub use recognise::{Decisions, Found, Piece, Question, Recogniser, meanings, questions};
pub use stamp::{Stamp, read_day, read_stamp};
pub use table::{Column, DELIMITERS, Table, table_with};
pub use vocabulary::{Meaning, Vocabulary};

#[cfg(test)]
mod tests;
