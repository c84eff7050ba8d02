//! One ride lowered to what the analysis works on, by the rules of the module above.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use reinback_analysis::observation::{self, Attempt, Key};
use reinback_analysis::{Day, Moment};

use super::keys::Keys;
use crate::id::BoutId;
use crate::model::{Bout, Mark, MarkKind, Ride};

/// The number of days from 1970-01-01.
///
/// ```
/// use chrono::NaiveDate;
/// use reinback_yard::day_of;
/// assert_eq!(NaiveDate::from_ymd_opt(1970, 1, 2).map(|date| day_of(date).0), Some(1));
/// ```
#[must_use]
pub fn day_of(date: NaiveDate) -> Day {
    Day(date.to_epoch_days())
}

/// The ride, and its faults that wait with a bout that is not reviewed. `None` where it has a word
/// without a key.
pub(super) fn lower(ride: &Ride, keys: &Keys) -> Option<(observation::Ride, u32)> {
    let counting = ride.head.counting;
    let bouts: Vec<&Bout> = ride
        .bouts
        .iter()
        .filter(|bout| bout.review == counting)
        .collect();
    let owners = Owners::of(&bouts);
    let mut marked: Vec<Marked> = vec![Marked::default(); bouts.len()];
    let mut loose: BTreeMap<Key, u32> = BTreeMap::new();
    for mark in ride.marks.iter().filter(|mark| mark.review == counting) {
        match &mark.kind {
            MarkKind::Fault(fault) => {
                let key = keys.key(fault)?;
                match owners.index(mark) {
                    Some(bout) => marked[bout].faults.push(key),
                    None => *loose.entry(key).or_default() += 1,
                }
            }
            MarkKind::Repeated => {
                if let Some(bout) = owners.index(mark) {
                    marked[bout].repeated = true;
                }
            }
            MarkKind::Praise
            | MarkKind::Note
            | MarkKind::Change(_)
            | MarkKind::Aid
            | MarkKind::Measured(_) => {}
        }
    }
    let mut lowered = observation::Ride {
        id: ride.id.bits(),
        day: day_of(ride.head.date),
        loose_faults: loose.into_iter().collect(),
        ..observation::Ride::default()
    };
    let mut waiting = 0_usize;
    for (bout, marked) in bouts.iter().zip(marked) {
        let Some(span) = bout.span().filter(|_| bout.reviewed) else {
            lowered.unreviewed += 1;
            waiting += marked.faults.len();
            continue;
        };
        lowered.attempts.push(Attempt {
            exercise: keys.key(&bout.exercise)?,
            variant: match &bout.variant {
                Some(variant) => Some(keys.key(variant)?),
                None => None,
            },
            rein: bout.rein,
            span,
            faults: marked.faults,
            repeated: marked.repeated,
        });
    }
    Some((lowered, u32::try_from(waiting).unwrap_or(u32::MAX)))
}

/// What was marked on one bout.
#[derive(Clone, Default)]
struct Marked {
    faults: Vec<Key>,
    repeated: bool,
}

/// Which bout of one review a mark belongs to: the one it names, if that is among them; else the
/// only one that spans its moment.
pub struct Owners<'a> {
    bouts: &'a [&'a Bout],
    /// Sorted.
    ids: Vec<(BoutId, usize)>,
    /// Sorted by start.
    starts: Vec<(Moment, usize)>,
    /// The latest end of each bout in that order and of those before it; `None` for one that runs.
    reach: Vec<Option<Moment>>,
}

impl<'a> Owners<'a> {
    /// The bouts of one review, in any order.
    #[must_use]
    pub fn of(bouts: &'a [&'a Bout]) -> Self {
        let mut ids: Vec<(BoutId, usize)> = bouts.iter().map(|bout| bout.id).zip(0..).collect();
        ids.sort_unstable();
        let mut starts: Vec<(Moment, usize)> =
            bouts.iter().map(|bout| bout.from).zip(0..).collect();
        starts.sort_unstable();
        let mut latest = Some(Moment(i64::MIN));
        let reach = starts
            .iter()
            .map(|(_, bout)| {
                latest = latest
                    .zip(bouts[*bout].to)
                    .map(|(one, other)| one.max(other));
                latest
            })
            .collect();
        Self {
            bouts,
            ids,
            starts,
            reach,
        }
    }

    /// The bout a mark belongs to, if any.
    #[must_use]
    pub fn owner(&self, mark: &Mark) -> Option<&'a Bout> {
        self.index(mark).map(|bout| self.bouts[bout])
    }

    fn index(&self, mark: &Mark) -> Option<usize> {
        let named = mark.bout.and_then(|named| {
            let place = self.ids.binary_search_by_key(&named, |(id, _)| *id).ok()?;
            Some(self.ids[place].1)
        });
        named.or_else(|| self.only_one_spanning(mark.at))
    }

    fn only_one_spanning(&self, moment: Moment) -> Option<usize> {
        let begun = self.starts.partition_point(|(from, _)| *from <= moment);
        let mut spanning = (0..begun)
            .rev()
            // Before this, everything has ended.
            .take_while(|place| self.reach[*place].is_none_or(|end| moment < end))
            .map(|place| self.starts[place].1)
            .filter(|bout| self.bouts[*bout].to.is_none_or(|to| moment < to));
        let first = spanning.next()?;
        spanning.next().is_none().then_some(first)
    }
}
