//! The Progress room as one page of HTML: to print, to send, to read aloud.
//!
//! - `asked`: what the command line asks of it
//! - `content`: what the page is about, counted; no markup; `behind`: what stands behind its lines
//! - `stills`: the pictures of films on it
//! - `frame`: what is around: head, cautions, contents, methods, the yard's files
//! - `digest`: the exercises of a horse in one breath
//! - `horse`, `line`, `moments`, `whole`: one horse, one exercise, its moments, everything else
//! - `parts`: headings, tables and figures
//! - `style`: how it looks, on a screen and on paper
//! - `write`: where it goes
//!
//! **Invariant:** the page stands alone: no script, and nothing that is fetched from anywhere.
//!
//! **Invariant:** its numbers and sentences are those of the Progress room for the same question,
//! looked at in the same way: both come from the same code.

mod asked;
mod behind;
mod content;
mod digest;
mod frame;
mod horse;
mod line;
mod moments;
mod parts;
mod stills;
mod style;
#[cfg(test)]
mod tests;
mod whole;
mod write;

use std::path::Path;

use chrono::NaiveDate;
use reinback_yard::{HorseId, Problem, WordId, Yard};

use super::moments::MomentId;
use super::numbers::Reins;
use super::parquet::Naming;
use super::period;
use super::shown::Shown;
use crate::said::Say;
use crate::services::Progress;
pub use asked::Asked;
pub(super) use asked::{answer, days};
use content::Content;
pub use write::{Place, Refused};

/// How many stills a page has where nobody says.
pub const STILLS: usize = 6;

/// How many stills a page has at most.
pub const MOST_STILLS: usize = 60;

/// What a page is to show.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// The horses, each for itself.
    pub horses: Vec<HorseId>,
    /// All horses as one instead, each compared with itself only.
    pub together: bool,
    /// The days asked about, and those they are compared with. A month that nobody chose gives way
    /// for each horse by itself, as in the room.
    pub asked: period::Asked,
    /// Which attempts.
    pub reins: Reins,
    /// What of them is counted, in which order, and whether the reins are held against each other.
    pub shown: Shown,
    /// The day that counts as today.
    pub today: NaiveDate,
    /// Whether people and horses are named. Without names there is no free text and no still
    /// either: who rides can be seen on one.
    pub naming: Naming,
    /// How many stills there are at most, up to [`MOST_STILLS`].
    pub stills: usize,
    /// Moments of exercises whose stills come first, of the days asked about or compared with.
    pub chosen: Vec<(WordId, MomentId)>,
}

/// Makes the page; nothing where it was told to stop.
///
/// `folder` is the yard's own, from which its films are found. Blocks while it counts and decodes.
#[must_use]
pub fn page(
    yard: &Yard,
    folder: &Path,
    wish: &Wish,
    problems: &[Problem],
    say: &Say,
    progress: Progress<'_>,
) -> Option<String> {
    let content = Content::count(yard, wish, problems, say, progress)?;
    let stills = stills::make(folder, &content, progress)?;
    Some(frame::page(&content, folder, &stills).into_string())
}
