//! The outlines of a ride, and which of them let the horse stretch.

use reinback_analysis::outline::{Hold, OutlineSpan};

use crate::model::Ride;
use crate::observe::Keys;
use crate::words::{WordId, Words};

/// Parts of a word that say the horse was let stretch: of the words of a new yard "stretched" and
/// "long and low"; the others are what riders call the same in English and in German.
const RELEASED: [&str; 11] = [
    "stretch",
    "long and low",
    "release",
    "long rein",
    "given rein",
    "dehn",
    "gestreckt",
    "hingegeben",
    "freigabe",
    "vorwärts-abwärts",
    "vorwaerts abwaerts",
];

/// What an outline is to the timer: a stretch ends it, everything else is held.
///
/// Long and low is a stretch: to go there lengthens the neck, which is the change the guidance of
/// 2010 asks for. That it pictures long and low too among the positions not to be kept for long is
/// said where the timer is shown.
///
/// ```
/// use reinback_analysis::outline::Hold;
/// use reinback_yard::lower::outline::hold;
/// use reinback_yard::{WordId, Words};
/// let words = Words::default();
/// let of = |id: &str| WordId::new(id).map(|word| hold(&words, &word));
/// assert_eq!(of("stretched"), Ok(Hold::Released));
/// assert_eq!(of("long-and-low"), Ok(Hold::Released));
/// assert_eq!(of("competition"), Ok(Hold::Held));
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
pub fn outlines(ride: &Ride, words: &Words, keys: &mut Keys) -> Vec<OutlineSpan> {
    let closed = ride
        .outlines
        .iter()
        .filter(|one| one.span.from < one.span.to);
    closed
        .map(|one| OutlineSpan {
            outline: keys.learned(&one.outline),
            hold: hold(words, &one.outline),
            span: one.span,
        })
        .collect()
}
