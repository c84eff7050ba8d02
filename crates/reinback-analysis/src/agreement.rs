//! Two people mark the same ride: what both saw, what only one saw, and how far
//! apart they pressed.
//!
//! There is no count of moments at which both rightly marked nothing, so a
//! chance-corrected figure of the marks themselves does not exist. Kappa and AC1
//! are given of the class of the marks both made.

use std::collections::BTreeSet;

use crate::describe::{limits_of_agreement, median};
use crate::estimate::{Estimate, InputError, LEVEL};
use crate::interval::wilson;
use crate::kappa::{ac1, kappa};
use crate::matching::best_pairs;
use crate::observation::Key;
use crate::special::count;
use crate::time::{Moment, seconds};

/// A mark of one reviewer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Event {
    /// When.
    pub at: Moment,
    /// What: a fault, for instance.
    pub class: Key,
}

/// Why there is no figure. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum AgreementReason {
    /// A tolerance of less than nothing or more than a minute.
    #[error("Two marks can be the same within 0 to 60 seconds. Choose a tolerance in between.")]
    Tolerance,
    /// More than [`MOST_TOGETHER`] marks of one reviewer run into each other.
    #[error("With this tolerance too many marks run into each other. Choose a smaller one.")]
    ToleranceTooWide,
    /// Neither reviewer marked anything.
    #[error("Neither reviewer marked anything, so there is nothing to agree on.")]
    NothingMarked,
    /// Fewer than 6 different marks, or fewer than 6 in common.
    #[error("Fewer than 6 marks: look at them one by one.")]
    FewerThanSix,
    /// Fewer than 10 marks in common.
    #[error("Fewer than 10 marks in common: too few for agreement on what they were.")]
    FewerThanTen,
    /// Both used one class for all their common marks.
    #[error("All common marks are of one kind, so chance alone would agree.")]
    OneClass,
    /// The numbers contradict each other.
    #[error("These numbers cannot be right: {0}. Check the marks.")]
    Contradictory(InputError),
}

/// Marks of one reviewer that may lie so close that their pairs depend on each
/// other.
pub const MOST_TOGETHER: usize = 300;

const LONGEST_TOLERANCE: i64 = 60_000_000_000;

/// What two reviews of a ride have in common.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// Pairs of marks taken as the same: place in the first list, in the second.
    pub pairs: Vec<(usize, usize)>,
    /// Marks only the first made.
    pub only_first: u32,
    /// Marks only the second made.
    pub only_second: u32,
    /// Common marks over all different ones, with Wilson's range.
    pub shared: Result<Estimate, AgreementReason>,
    /// `2 × common / (marks of both)`, 0 to 1; `None` without any mark.
    pub f: Option<f64>,
    /// Common marks that are of the same class.
    pub same_class: u32,
    /// The classes of the table, sorted.
    pub classes: Vec<Key>,
    /// Common marks by class: rows the first reviewer's, columns the second's.
    pub table: Vec<Vec<u32>>,
    /// Cohen's kappa of the class.
    pub kappa: Result<Estimate, AgreementReason>,
    /// Gwet's AC1 of the class.
    pub ac1: Result<Estimate, AgreementReason>,
    /// Seconds by which the second pressed after the first: mean and limits
    /// between which 95 % of single differences lie.
    pub delay: Result<Estimate, AgreementReason>,
    /// The middle of these differences, in seconds.
    pub median_delay: Option<f64>,
}

/// Compares two reviews of one ride.
///
/// Two marks can be the same if they are at most `tolerance_nanos` apart. Of
/// all ways to pair them, each mark once, the one with the most pairs is taken;
/// among these the one with the most pairs of the same class; among these the
/// one with the least total delay (assignment by Kuhn 1955, Nav Res Logist Q
/// 2:83-97). Pairing each mark with the nearest one instead loses pairs.
///
/// # Errors
///
/// [`AgreementReason::Tolerance`] and [`AgreementReason::ToleranceTooWide`].
///
/// ```
/// use reinback_analysis::agreement::{Event, agreement};
/// use reinback_analysis::{Key, Moment};
/// let marks = |tenths: &[i64]| -> Vec<Event> {
///     tenths.iter().map(|at| Event { at: Moment(at * 100_000_000), class: Key(1) }).collect()
/// };
/// // 0.9 is nearest to 1.0, but taking that pair would leave two marks alone
/// let found = agreement(&marks(&[5, 10]), &marks(&[9, 14]), 500_000_000)?;
/// assert_eq!(found.pairs, vec![(0, 0), (1, 1)]);
/// # Ok::<(), reinback_analysis::agreement::AgreementReason>(())
/// ```
pub fn agreement(
    first: &[Event],
    second: &[Event],
    tolerance_nanos: i64,
) -> Result<Agreement, AgreementReason> {
    if !(0..=LONGEST_TOLERANCE).contains(&tolerance_nanos) {
        return Err(AgreementReason::Tolerance);
    }
    let pairs =
        best_pairs(first, second, tolerance_nanos).ok_or(AgreementReason::ToleranceTooWide)?;
    let common = count(pairs.len());
    let only_first = count(first.len()) - common;
    let only_second = count(second.len()) - common;
    let delays: Vec<f64> = pairs
        .iter()
        .map(|(one, other)| seconds(second[*other].at.0.saturating_sub(first[*one].at.0)))
        .collect();
    let (classes, table) = class_table(first, second, &pairs);
    let marks = first.len() + second.len();
    Ok(Agreement {
        shared: shared(common, common + only_first + only_second),
        f: (marks > 0).then(|| 2.0 * f64::from(common) / f64::from(count(marks))),
        same_class: (0..table.len()).map(|class| table[class][class]).sum(),
        kappa: of_class(common, &table, kappa),
        ac1: of_class(common, &table, ac1),
        delay: if common < 6 {
            Err(AgreementReason::FewerThanSix)
        } else {
            limits_of_agreement(&delays, LEVEL).map_err(AgreementReason::Contradictory)
        },
        median_delay: median(&delays),
        pairs,
        only_first,
        only_second,
        classes,
        table,
    })
}

fn shared(common: u32, different: u32) -> Result<Estimate, AgreementReason> {
    match different {
        0 => Err(AgreementReason::NothingMarked),
        1..=5 => Err(AgreementReason::FewerThanSix),
        _ => wilson(common, different, LEVEL).map_err(AgreementReason::Contradictory),
    }
}

fn of_class(
    common: u32,
    table: &[Vec<u32>],
    figure: fn(&[Vec<u32>], f64) -> Result<Estimate, InputError>,
) -> Result<Estimate, AgreementReason> {
    if common < 10 {
        Err(AgreementReason::FewerThanTen)
    } else if table.len() < 2 {
        Err(AgreementReason::OneClass)
    } else {
        figure(table, LEVEL).map_err(AgreementReason::Contradictory)
    }
}

fn class_table(
    first: &[Event],
    second: &[Event],
    pairs: &[(usize, usize)],
) -> (Vec<Key>, Vec<Vec<u32>>) {
    let classes: Vec<Key> = pairs
        .iter()
        .flat_map(|(one, other)| [first[*one].class, second[*other].class])
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    let mut table = vec![vec![0_u32; classes.len()]; classes.len()];
    for (one, other) in pairs {
        let row = classes.partition_point(|class| *class < first[*one].class);
        let column = classes.partition_point(|class| *class < second[*other].class);
        table[row][column] += 1;
    }
    (classes, table)
}
