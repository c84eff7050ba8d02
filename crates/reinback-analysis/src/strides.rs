//! Strides with their times, from taps or from a tempo track.

use crate::describe::median;
use crate::special::real;
use crate::time::{Moment, Span, seconds};

/// What one count means. Canter has one beat a stride that everybody counts;
/// walk and trot are counted by one foot or by each fore foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Convention {
    /// One count a stride.
    Strides,
    /// Two counts a stride, as trot steps are often counted.
    Steps,
}

impl Convention {
    /// Counts in one stride.
    #[must_use]
    pub fn counts(self) -> usize {
        match self {
            Self::Strides => 1,
            Self::Steps => 2,
        }
    }

    /// Strides per minute as counts per minute.
    ///
    /// ```
    /// use reinback_analysis::strides::Convention;
    /// assert_eq!(Convention::Steps.shown(75.0), 150.0);
    /// ```
    #[must_use]
    pub fn shown(self, strides_per_minute: f64) -> f64 {
        strides_per_minute * real(self.counts())
    }
}

/// A stretch with the strides in it: from taps one, from a track a part of one
/// or several.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stride {
    /// From where to where; never empty.
    pub span: Span,
    /// Strides in it; positive.
    pub strides: f64,
}

impl Stride {
    /// Strides per minute.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.strides / seconds(self.span.duration_nanos()) * 60.0
    }

    /// Its middle.
    #[must_use]
    pub fn middle(&self) -> Moment {
        Moment(self.span.from.0 + self.span.duration_nanos() / 2)
    }
}

/// Strides read from taps or a track, and what had to be left out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Read {
    /// In order, never overlapping.
    pub strides: Vec<Stride>,
    /// Places where a tap seems to be missing, or where the tapping paused:
    /// no stride is made up there. For a track: pauses between samples.
    pub breaks: u32,
    /// Taps or samples that cannot be: two taps almost at once, a rate no horse
    /// has.
    pub refused: u32,
}

/// Two taps closer than this are one, tapped twice.
const DOUBLE_TAP: i64 = 150_000_000;

/// An interval this much longer than the usual one lacks a tap. Our own
/// choice: half-way to two intervals, and a little. The usual one is the lower
/// quarter of the means of neighbours: in flying changes every stride a leg's
/// cycles are 0.75 and 1.25 of a stride in turn, and a short one may be the
/// middle of them, beside which every long one would seem to lack a tap; and a
/// missing tap is in two means, which in a few strides would be their middle.
const MISSING: f64 = 1.6;

/// Samples of a track further apart than this are not joined.
const LONGEST_STEP: i64 = 2_000_000_000;

/// Rates a track may have, in strides per minute. Published means run from
/// about 52 (walk) to 103 (extended canter); the limits are our own choice.
const RATES: std::ops::RangeInclusive<f64> = 20.0..=200.0;

/// Strides from taps on a foot, or on each fore foot.
///
/// Taps may come in any order. Two taps less than 0.15 s apart count as one.
/// Where an interval exceeds 1.6 times the usual one a tap is taken to be
/// missing and the strides begin anew. The usual one is the lower quarter of
/// the means of two neighbours, so that the short and long cycles of changes
/// every stride are no gaps.
///
/// ```
/// use reinback_analysis::strides::{Convention, from_taps};
/// use reinback_analysis::Moment;
/// let taps: Vec<Moment> = (0..21).map(|n| Moment(n * 400_000_000)).collect();
/// let read = from_taps(&taps, Convention::Steps);
/// assert_eq!(read.strides.len(), 10);
/// assert!((read.strides[0].rate() - 75.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn from_taps(taps: &[Moment], convention: Convention) -> Read {
    let mut sorted = taps.to_vec();
    sorted.sort_unstable();
    let mut kept: Vec<Moment> = Vec::with_capacity(sorted.len());
    let mut read = Read::default();
    for tap in sorted {
        match kept.last() {
            Some(last) if tap.0.saturating_sub(last.0) < DOUBLE_TAP => read.refused += 1,
            _ => kept.push(tap),
        }
    }
    let intervals: Vec<f64> = kept
        .windows(2)
        .map(|pair| seconds(pair[1].0.saturating_sub(pair[0].0)))
        .collect();
    let mut pairs: Vec<f64> = intervals
        .windows(2)
        .map(|pair| 0.5 * (pair[0] + pair[1]))
        .collect();
    pairs.sort_by(f64::total_cmp);
    let usual = pairs.get(pairs.len().saturating_sub(1) / 4).copied();
    let longest = MISSING * usual.or_else(|| median(&intervals)).unwrap_or(0.0);
    let joined = |one: &Moment, next: &Moment| seconds(next.0.saturating_sub(one.0)) <= longest;
    for run in kept.chunk_by(joined) {
        let step = convention.counts();
        for place in (step..run.len()).step_by(step) {
            read.strides.push(Stride {
                span: Span::new(run[place - step], run[place]),
                strides: 1.0,
            });
        }
        read.breaks += 1;
    }
    read.breaks = read.breaks.saturating_sub(1);
    read
}

/// Strides from samples of a tempo track: (moment, strides per minute).
///
/// Between two samples the rate is their mean. Samples more than 2 s apart are
/// not joined; a rate outside 20 to 200 is refused, and the stretches beside it
/// with it.
///
/// ```
/// use reinback_analysis::strides::from_track;
/// use reinback_analysis::Moment;
/// let track: Vec<(Moment, f64)> = (0..7).map(|n| (Moment(n * 1_000_000_000), 96.0)).collect();
/// let strides: f64 = from_track(&track).strides.iter().map(|one| one.strides).sum();
/// assert!((strides - 9.6).abs() < 1e-9);
/// ```
#[must_use]
pub fn from_track(samples: &[(Moment, f64)]) -> Read {
    let mut sorted = samples.to_vec();
    sorted.sort_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
    let mut read = Read::default();
    let usable = |sample: &(Moment, f64)| RATES.contains(&sample.1);
    for sample in &sorted {
        read.refused += u32::from(!usable(sample));
    }
    for pair in sorted.windows(2) {
        let nanos = pair[1].0.0.saturating_sub(pair[0].0.0);
        if nanos > LONGEST_STEP {
            read.breaks += 1;
        } else if nanos > 0 && usable(&pair[0]) && usable(&pair[1]) {
            read.strides.push(Stride {
                span: Span::new(pair[0].0, pair[1].0),
                strides: 0.5 * (pair[0].1 + pair[1].1) * seconds(nanos) / 60.0,
            });
        }
    }
    read
}

/// How far off a rate from timing so many strides can be at worst, in strides
/// per minute: a frame at either end.
///
/// `None` where the frames are as long as the strides.
///
/// ```
/// use reinback_analysis::strides::timing_error;
/// // ten trot strides at 30 frames a second: 0.65 strides a minute
/// let error = timing_error(10, 76.5, 33_333_333).unwrap();
/// assert!((error - 0.65).abs() < 0.02);
/// ```
#[must_use]
pub fn timing_error(strides: u32, rate: f64, frame_nanos: i64) -> Option<f64> {
    let time = f64::from(strides) / rate * 60.0;
    let shortest = time - 2.0 * seconds(frame_nanos);
    (rate > 0.0 && frame_nanos >= 0 && shortest > 0.0)
        .then(|| rate * (time / shortest - 1.0))
        .filter(|error| error.is_finite())
}
