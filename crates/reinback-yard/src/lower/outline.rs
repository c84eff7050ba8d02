//! The outlines of a ride, and which of them let the horse stretch.

use reinback_analysis::outline::{Hold, OutlineSpan};

use super::Table;
use crate::model::Ride;
use crate::words::{WordId, Words};

/// Parts of a word that say the horse was let go: in the words of a new yard only "stretched";
/// the others are what riders call the same in English and in German.
const RELEASED: [&str; 8] = [
    "stretch",
    "release",
    "long rein",
    "given rein",
    "dehn",
    "gestreckt",
    "hingegeben",
    "freigabe",
];

/// What an outline is to the timer: a stretch ends it, everything else is held.
///
/// Long and low is held too: the guidance of 2010 pictures it among the positions that are not to
/// be kept for long without a change.
///
/// ```
/// use reinback_analysis::outline::Hold;
/// use reinback_yard::lower::outline::hold;
/// use reinback_yard::{WordId, Words};
/// let words = Words::default();
/// let of = |id: &str| WordId::new(id).map(|word| hold(&words, &word));
/// assert_eq!(of("stretched"), Ok(Hold::Released));
/// assert_eq!(of("long-and-low"), Ok(Hold::Held));
/// ```
#[must_use]
pub fn hold(words: &Words, outline: &WordId) -> Hold {
    let name = words.outline_name(outline).to_lowercase();
    let spelled = outline.spelled();
    let says = |part: &&str| name.contains(*part) || spelled.contains(*part);
    if RELEASED.iter().any(says) {
        Hold::Released
    } else {
        Hold::Held
    }
}

/// The outlines of a ride that have an end.
#[must_use]
pub fn outlines(ride: &Ride, words: &Words, table: &mut Table) -> Vec<OutlineSpan> {
    let closed = ride
        .outlines
        .iter()
        .filter(|one| one.span.from < one.span.to);
    closed
        .map(|one| OutlineSpan {
            outline: table.key(&one.outline),
            hold: hold(words, &one.outline),
            span: one.span,
        })
        .collect()
}
