//! The document: what a yard is, every legal change to it, and how it is kept on disk.

mod check;
mod document;
mod edit;
mod file;
mod id;
mod model;
mod observe;
mod problem;
mod store;
mod words;

pub use check::check;
pub use document::{Document, FileKey, HISTORY_LIMIT, Turned};
pub use edit::{Edit, EditError};
pub use file::{FORMAT, MAX_FILE_BYTES};
pub use id::{BoutId, FilmId, HorseId, IdError, IdMaker, MarkId, ReviewId, RideId, SpanId};
pub use model::{
    Asked, Bout, Film, Horse, MAX_DRIFT_PPB, Mark, MarkKind, OutlineSpan, Pace, PaceSpan, Review,
    Ride, RideHead, Score, Yard,
};
pub use observe::{Filter, Keys, Observed, observe};
pub use problem::{Problem, Severity};
pub use reinback_analysis::{Moment, Rein, Span};
pub use store::{Access, Opened, Progress, Store, StoreError, Why, film_path_in, film_text_in};
pub use words::{Exercise, Fault, Word, WordId, WordIdError, WordProblem, Words};
