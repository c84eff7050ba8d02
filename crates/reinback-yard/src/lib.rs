//! The document: what a yard is, every legal change to it, and how it is kept on disk.
//!
//! A [`Yard`] is plain data: horses, [`Words`], and rides with their films, bouts, marks and
//! spans. An [`Edit`] changes it and gives back the edit that takes it back; a [`Document`] is
//! a yard with that history. A [`Store`] keeps it in a folder of files that people can read,
//! described in `docs/file-format.md`. [`observe`] lowers it to what the analysis works on, and
//! [`check`] says what is wrong with a folder.
//!
//! Map: `model` and `id` (what there is), `words` (the vocabulary, and the default one), `edit`
//! and `document` (changes and their history), `file` (the texts of the files), `packed` (a ride
//! as bytes), `store` (the folder: reading, writing, lock, journal, index), `measured` (what points
//! of a frame come to), `observe`, [`lower`] (single rides, measure by measure), [`sheets`] (test
//! sheets to begin with), `carry` (what moves with a film), `check`, `problem`, [`notes`] (what was
//! written at the rail, put onto the ride clock), [`export`] (bouts and marks for other programs),
//! [`reviews`] (two people review one ride).
//!
//! **Invariant:** nothing but an [`Edit`] changes a yard that is open, and one that would break
//! a rule of the model is refused and changes nothing.
//!
//! **Invariant:** `file` alone knows how anything is written; no other module knows serde, and
//! no type outside it can be serialized.
//!
//! **Invariant:** nothing is lost. A file is replaced whole or not at all, one that cannot be
//! read is never written to, and one that is removed is moved.
//!
//! **Invariant:** nothing here panics, whatever the files hold.
//!
//! **Deliberately absent:** films' contents and any window; threads but those on which files are
//! read and packed, and the time of day but to tell a file that was written a moment ago.

#[cfg(test)]
mod arbitrary;
mod carry;
mod check;
mod document;
mod edit;
pub mod export;
mod file;
mod id;
pub mod lower;
mod measured;
mod model;
pub mod notes;
mod observe;
mod packed;
mod problem;
pub mod reviews;
pub mod sheets;
mod store;
mod words;

pub use carry::{OnFilm, on_film, place_film};
pub use check::check;
pub use document::{Document, FileKey, HISTORY_LIMIT, Turned};
pub use edit::{Edit, EditError};
pub use file::{FORMAT, MAX_FILE_BYTES, TooMuch, fits};
pub use id::{
    BoutId, FilmId, HorseId, IdError, IdMaker, MarkId, ReviewId, RideId, SheetId, SpanId,
};
pub use model::{
    Arena, ArenaPlace, Asked, Bout, Cost, ErrorRules, Film, Horse, Judge, JudgedLine, Known, Leg,
    LineKind, MAX_DRIFT_PPB, MAX_JUDGES, MAX_TILT, Mark, MarkKind, MeasureKind, Measured, Origin,
    OutlineSpan, Pace, PaceSpan, Plumb, Point, Press, Review, RiddenTest, Ride, RideHead, Score,
    Seen, SheetLine, Step, TempoTrack, TestMark, TestSheet, Yard,
};
pub use observe::{Filter, Keys, Ledger, Observed, Owners, day_of, observe};
pub use problem::{Problem, Severity};
pub use reinback_analysis::{Moment, Rein, Span};
pub use store::{
    Access, IndexDraft, Listed, News, Opened, Progress, RideName, Store, StoreError, Why,
    film_path_in, film_text_in, index_file, look, look_with, replace_file,
};
pub use words::{Exercise, Fault, Word, WordId, WordIdError, WordProblem, Words};
