//! A series of flying changes: did it hold its count?
//!
//! The strides between two changes are the time between them over the stride
//! time. The stride time comes from the tempo track, from taps in this ride or
//! from an earlier canter of this horse; never from the number asked, because a
//! steady series of the wrong number would then look right. Without a stride
//! time, or with marks not set to the frame, evenness is all that is reported.

use crate::clean_change::{Cleanness, Feet, FeetReason, clean_change};
use crate::describe::{coefficient_of_variation, mean};
use crate::estimate::{Estimate, InputError, LEVEL};
use crate::observation::Rein;
use crate::rate::Tally;
use crate::series_count::{Count, count};
use crate::special::{count as length, real};
use crate::time::{Moment, seconds};

/// Where a stride time was taken from, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StrideSource {
    /// The tempo read from the film around the series.
    TempoTrack,
    /// Taps on the canter of this ride.
    Taps,
    /// An earlier canter of this horse.
    EarlierCanter,
}

impl StrideSource {
    /// How far off a stride time of this source may be, as a share of it.
    ///
    /// Our own choice, on the ground that the stride time of a sound horse
    /// scatters by about 2 % within a bout (Drevemo and others 1980, Equine Vet
    /// J 12:60-65, trot) and differs somewhat more from day to day.
    #[must_use]
    pub fn uncertainty(self) -> f64 {
        match self {
            Self::TempoTrack => 0.02,
            Self::Taps => 0.03,
            Self::EarlierCanter => 0.05,
        }
    }
}

/// The time of one canter stride and how well it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrideTime {
    /// Nanoseconds.
    pub nanos: i64,
    /// Where it was taken from.
    pub source: StrideSource,
    /// How far off it may be, as a share of it.
    pub uncertainty: f64,
}

impl StrideTime {
    /// A stride time with the usual uncertainty of its source.
    #[must_use]
    pub fn new(nanos: i64, source: StrideSource) -> Self {
        Self {
            nanos,
            source,
            uncertainty: source.uncertainty(),
        }
    }

    /// The best of those at hand, in nanoseconds: tempo track, taps, earlier
    /// canter.
    ///
    /// ```
    /// use reinback_analysis::series::{StrideSource, StrideTime};
    /// let found = StrideTime::best(None, Some(610_000_000), Some(640_000_000)).unwrap();
    /// assert_eq!((found.nanos, found.source), (610_000_000, StrideSource::Taps));
    /// ```
    #[must_use]
    pub fn best(track: Option<i64>, taps: Option<i64>, earlier: Option<i64>) -> Option<Self> {
        let of = |nanos: Option<i64>, source| nanos.map(|nanos| Self::new(nanos, source));
        of(track, StrideSource::TempoTrack)
            .or_else(|| of(taps, StrideSource::Taps))
            .or_else(|| of(earlier, StrideSource::EarlierCanter))
    }

    /// Whether a horse can canter like this: 0.4 to 1.2 s a stride, known to a
    /// quarter. Published means run from 0.58 s (extended) to 0.88 s
    /// (pirouette); the limits are our own choice.
    #[must_use]
    pub fn is_possible(&self) -> bool {
        (400_000_000..=1_200_000_000).contains(&self.nanos)
            && (0.0..=0.25).contains(&self.uncertainty)
    }
}

/// What was asked for: `count` changes, one every `every` strides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// Strides from change to change; 1 to 20.
    pub every: u32,
    /// Changes; 2 to 200.
    pub count: u32,
}

/// One change as marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// When.
    pub at: Moment,
    /// Onto which lead, if marked.
    pub onto: Option<Rein>,
    /// Set to the frame. A mark pressed while the film runs is not.
    pub refined: bool,
    /// The landings around it, if marked.
    pub feet: Option<Feet>,
}

/// Everything known of a series.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesInput {
    /// The changes, in any order.
    pub changes: Vec<Change>,
    /// What was asked.
    pub asked: Asked,
    /// The stride time, if there is one; see [`StrideTime::best`].
    pub stride: Option<StrideTime>,
    /// Length of a film frame in nanoseconds, up to 0.2 s.
    pub frame_nanos: i64,
}

/// Input that cannot be right. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum SeriesProblem {
    /// A number asked outside [`Asked`]'s limits.
    #[error(
        "These numbers cannot be ridden: ask for 2 to 200 changes, one every 1 to 20 strides. Check the bout."
    )]
    ImpossibleAsked,
    /// See [`StrideTime::is_possible`].
    #[error("No horse canters with this stride time. Tap the canter again.")]
    ImpossibleStride,
    /// No frame length, or a frame above 0.2 s.
    #[error(
        "The film's frame length is not known, so a moment in it is not exact. Open the film again."
    )]
    ImpossibleFrame,
    /// Two marks less than a quarter of a second apart: one change, marked
    /// twice.
    #[error("Two changes are marked at almost the same moment. Remove one of the two.")]
    MarkedTwice {
        /// The second of the two.
        at: Moment,
    },
}

/// Why the count is not verified. Its text is a sentence for the rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum Unverified {
    /// Fewer than two changes.
    #[error("Count not verified: fewer than two changes are marked.")]
    TooFewChanges,
    /// Marks that are not set to the frame.
    #[error("Count not verified: some marks are not set to the exact frame. Refine them.")]
    MarksNotRefined,
    /// No stride time from anywhere.
    #[error("Count not verified: there is no stride time. Tap the canter strides of this ride.")]
    NoStrideTime,
}

/// Why evenness is not given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum EvennessReason {
    /// Fewer than three intervals.
    #[error("Too few changes for evenness: it takes at least four.")]
    TooFewChanges,
    /// So uneven that its range has no end.
    #[error("The changes are too uneven for a figure. Look at the intervals one by one.")]
    NoRange(InputError),
}

/// How evenly the changes followed each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evenness {
    /// Coefficient of variation of the times between changes, 0.05 for 5 %.
    pub spread: Estimate,
    /// The intervals it was found from.
    pub intervals: u32,
    /// What the frames alone would show of a perfectly even series:
    /// `frame / √6` over the mean interval. A spread near this says nothing.
    pub of_frames: f64,
    /// Whether all marks were set to the frame. If not, the spread holds the
    /// reviewer's own unevenness.
    pub refined: bool,
}

/// The changes onto one lead.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lead {
    /// Changes marked onto it.
    pub changes: u32,
    /// Of the intervals that end in such a change and whose strides are sure,
    /// how many were wrong.
    pub miscounted: Tally,
    /// Of such changes whose feet could be judged, how many were not clean.
    pub unclean: Tally,
    /// Mean strides before such a change, over intervals counted.
    pub mean_strides: Option<f64>,
}

/// What a series shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What was asked.
    pub asked: Asked,
    /// Changes marked.
    pub shown: u32,
    /// The moments of the changes, in order.
    pub moments: Vec<Moment>,
    /// How evenly they followed, or why that is not given.
    pub evenness: Result<Evenness, EvennessReason>,
    /// The strides between them against what was asked, or why not.
    pub count: Result<Count, Unverified>,
    /// Change by change: clean or late, where feet were marked.
    pub feet: Vec<Option<Result<Cleanness, FeetReason>>>,
    /// Changes to the left lead.
    pub onto_left: Lead,
    /// Changes to the right lead.
    pub onto_right: Lead,
    /// Changes that repeat the lead of the one before: one in between is not
    /// marked, or a lead is marked wrongly.
    pub same_lead_twice: Vec<Moment>,
}

/// Fewer intervals than this have no evenness.
const MIN_INTERVALS: usize = 3;

/// Two marks closer than this are one change marked twice: less than half the
/// shortest stride.
const MARKED_TWICE: i64 = 250_000_000;

const LONGEST_FRAME: i64 = 200_000_000;

/// Looks at a series of changes.
///
/// Strides between two changes: time over stride time. The count of an interval
/// is sure where the frame at either end and the uncertainty of the stride time
/// leave one whole number only. Evenness: coefficient of variation of the times
/// (`n - 1`), range after `McKay` (1932). Marks may come in any order.
///
/// # Errors
///
/// A [`SeriesProblem`] where the input cannot be right.
///
/// ```
/// use reinback_analysis::series::{
///     Asked, Change, SeriesInput, StrideSource, StrideTime, Unverified, series,
/// };
/// use reinback_analysis::Moment;
/// // a steady change every third stride of 0.617 s, where every fourth was asked
/// let mut input = SeriesInput {
///     changes: (0..5)
///         .map(|n| Change { at: Moment(n * 3 * 617_000_000), onto: None, refined: true, feet: None })
///         .collect(),
///     asked: Asked { every: 4, count: 5 },
///     stride: Some(StrideTime::new(617_000_000, StrideSource::TempoTrack)),
///     frame_nanos: 20_000_000,
/// };
/// let found = series(&input)?;
/// let count = found.count.unwrap();
/// assert_eq!(count.wrong.to_string(), "4 of 4");
/// assert_eq!(count.steady_every, Some(3));
/// input.stride = None;
/// assert_eq!(series(&input)?.count, Err(Unverified::NoStrideTime));
/// # Ok::<(), reinback_analysis::series::SeriesProblem>(())
/// ```
pub fn series(input: &SeriesInput) -> Result<Series, SeriesProblem> {
    let mut changes = input.changes.clone();
    changes.sort_by_key(|change| change.at);
    check(input, &changes)?;
    let moments: Vec<Moment> = changes.iter().map(|change| change.at).collect();
    let count = verified_count(input, &changes, &moments);
    let feet: Vec<_> = changes
        .iter()
        .map(|change| {
            change
                .feet
                .map(|feet| clean_change(&feet, input.stride, input.frame_nanos))
        })
        .collect();
    let lead = |rein| onto(rein, &changes, count.as_ref().ok(), &feet);
    Ok(Series {
        asked: input.asked,
        shown: length(changes.len()),
        evenness: evenness(input, &changes),
        onto_left: lead(Rein::Left),
        onto_right: lead(Rein::Right),
        same_lead_twice: changes
            .windows(2)
            .filter(|pair| pair[0].onto.is_some() && pair[0].onto == pair[1].onto)
            .map(|pair| pair[1].at)
            .collect(),
        moments,
        count,
        feet,
    })
}

fn check(input: &SeriesInput, sorted: &[Change]) -> Result<(), SeriesProblem> {
    let Asked { every, count } = input.asked;
    if !(1..=20).contains(&every) || !(2..=200).contains(&count) {
        return Err(SeriesProblem::ImpossibleAsked);
    }
    if input.stride.is_some_and(|stride| !stride.is_possible()) {
        return Err(SeriesProblem::ImpossibleStride);
    }
    if input.frame_nanos <= 0 || input.frame_nanos > LONGEST_FRAME {
        return Err(SeriesProblem::ImpossibleFrame);
    }
    let twice = sorted
        .windows(2)
        .find(|pair| pair[1].at.0.saturating_sub(pair[0].at.0) < MARKED_TWICE);
    match twice {
        Some(pair) => Err(SeriesProblem::MarkedTwice { at: pair[1].at }),
        None => Ok(()),
    }
}

fn verified_count(
    input: &SeriesInput,
    changes: &[Change],
    moments: &[Moment],
) -> Result<Count, Unverified> {
    if changes.len() < 2 {
        Err(Unverified::TooFewChanges)
    } else if changes.iter().any(|change| !change.refined) {
        Err(Unverified::MarksNotRefined)
    } else {
        let stride = input.stride.ok_or(Unverified::NoStrideTime)?;
        Ok(count(moments, input.asked, stride, input.frame_nanos))
    }
}

fn evenness(input: &SeriesInput, changes: &[Change]) -> Result<Evenness, EvennessReason> {
    let times: Vec<f64> = changes
        .windows(2)
        .map(|pair| seconds(pair[1].at.0.saturating_sub(pair[0].at.0)))
        .collect();
    if times.len() < MIN_INTERVALS {
        return Err(EvennessReason::TooFewChanges);
    }
    let spread = coefficient_of_variation(&times, LEVEL).map_err(EvennessReason::NoRange)?;
    // Two moments, each anywhere within its frame: variance frame²/12 twice.
    let of_frames = seconds(input.frame_nanos) / 6.0_f64.sqrt() / mean(&times).unwrap_or(f64::MAX);
    Ok(Evenness {
        spread,
        intervals: length(times.len()),
        of_frames,
        refined: changes.iter().all(|change| change.refined),
    })
}

fn onto(
    rein: Rein,
    changes: &[Change],
    count: Option<&Count>,
    feet: &[Option<Result<Cleanness, FeetReason>>],
) -> Lead {
    let mut lead = Lead::default();
    let mut strides = Vec::new();
    for (place, change) in changes.iter().enumerate() {
        if change.onto != Some(rein) {
            continue;
        }
        lead.changes += 1;
        if let Some(Some(Ok(cleanness))) = feet.get(place) {
            lead.unclean = lead.unclean + Tally::of(*cleanness != Cleanness::Clean);
        }
        let before = place.checked_sub(1);
        let interval = before.and_then(|before| count?.intervals.get(before));
        if let Some(interval) = interval {
            strides.push(interval.strides);
            if let Some(wrong) = interval.verdict.is_wrong() {
                lead.miscounted = lead.miscounted + Tally::of(wrong);
            }
        }
    }
    lead.mean_strides =
        (!strides.is_empty()).then(|| strides.iter().sum::<f64>() / real(strides.len()));
    lead
}
