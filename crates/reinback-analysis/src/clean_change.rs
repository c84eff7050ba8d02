//! One flying change: did the fore and the hind pair change in the same stride?
//!
//! With the feet of a canter landing at 0, a quarter (two feet) and a half of
//! the stride, a change swaps the two feet of each pair. The foot that becomes
//! the trailing one therefore lands again after 0.75 of the stride time, the
//! one that becomes the leading one after 1.25, and the fore pair follows the
//! hind pair by a quarter (derived from the canter's order of footfalls, FEI
//! Dressage Rules, Art. 405). In a clean change both pairs do so in the same
//! stride; late behind, the hind pair does so one or more strides after.

use std::fmt;

use crate::series::StrideTime;
use crate::time::{Moment, seconds};

/// Two landings of one foot in a row: the last of the old lead, the first of
/// the new.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FootCycle {
    /// The last landing before.
    pub before: Moment,
    /// The next landing.
    pub after: Moment,
}

/// A pair of feet over its change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PairCycles {
    /// The foot that becomes the trailing one.
    pub trailing: FootCycle,
    /// The foot that becomes the leading one.
    pub leading: FootCycle,
}

/// Both pairs over one change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Feet {
    /// The hind feet.
    pub hind: PairCycles,
    /// The fore feet.
    pub fore: PairCycles,
}

/// How far one pair came after the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delay {
    /// In strides; positive.
    pub strides: f64,
    /// What the frame rate and the stride time leave open, in strides.
    pub error: f64,
}

/// How a change came through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cleanness {
    /// Both pairs in the same stride.
    Clean,
    /// The hind pair later.
    LateBehind(Delay),
    /// The fore pair later.
    LateInFront(Delay),
    /// The fore pair changed, the hind pair went on as it was in the strides
    /// marked.
    NotBehind,
    /// The hind pair changed, the fore pair went on as it was in the strides
    /// marked.
    NotInFront,
}

/// Why a change cannot be called clean or late. Its text is a sentence for the
/// rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, thiserror::Error)]
#[non_exhaustive]
pub enum FeetReason {
    /// No stride time.
    #[error("Clean or late cannot be told without a stride time. Tap the canter.")]
    NoStrideTime,
    /// The frames are too long, or the stride time is known too roughly.
    #[error(
        "Cannot tell at this frame rate: a frame is too long for this stride. Film with more frames per second."
    )]
    TooCoarse,
    /// A foot lands again before it landed.
    #[error("The feet are marked in an impossible order. Look at the landings again.")]
    Disorder,
    /// Neither pair shows a change.
    #[error("The landings marked show no change of lead. Mark the strides around the change.")]
    NoPattern,
    /// More than the frames explain, as measured less than half a stride.
    #[error(
        "The two pairs are less than half a stride apart: neither clean nor a stride late. Look at the frames yourself."
    )]
    BetweenCleanAndLate,
}

/// Natural scatter of footfalls, in strides: differences below it are not
/// called a fault however many frames a second there are. Our own choice; the
/// stride time of a sound horse scatters by about 2 % (Drevemo and others 1980,
/// Equine Vet J 12:60-65).
pub const FOOTFALL_SCATTER: f64 = 0.08;

/// Half the distance between a plain cycle and a changed one. A wider band
/// could not tell them apart.
const WIDEST_BAND: f64 = 0.125;

/// From this delay on, as measured, a pair is called late. Our own choice: a
/// whole stride is the usual form.
pub const LATE_FROM: f64 = 0.5;

/// Whether a change was clean.
///
/// A foot's cycle counts as short at 0.75 and long at 1.25 of the stride time,
/// each within a frame, the uncertainty of the stride time and a natural
/// scatter of 0.08. Delay: hind less fore, both as the mean of their two feet,
/// plus the quarter stride by which the fore pair normally follows.
///
/// # Errors
///
/// A [`FeetReason`]: [`FeetReason::TooCoarse`] where frame and stride time
/// leave more than an eighth of a stride open.
///
/// ```
/// use reinback_analysis::clean_change::{Cleanness, Feet, FootCycle, PairCycles, clean_change};
/// use reinback_analysis::series::{StrideSource, StrideTime};
/// use reinback_analysis::Moment;
/// // stride time 0.6 s, from the right to the left lead, filmed at 60 frames a second
/// let foot = |before: i64, after: i64| FootCycle {
///     before: Moment(before * 1_000_000), after: Moment(after * 1_000_000),
/// };
/// let feet = Feet {
///     hind: PairCycles { trailing: foot(150, 600), leading: foot(0, 750) },
///     fore: PairCycles { trailing: foot(300, 750), leading: foot(150, 900) },
/// };
/// let stride = StrideTime::new(600_000_000, StrideSource::TempoTrack);
/// assert_eq!(clean_change(&feet, Some(stride), 16_666_667), Ok(Cleanness::Clean));
/// ```
pub fn clean_change(
    feet: &Feet,
    stride: Option<StrideTime>,
    frame_nanos: i64,
) -> Result<Cleanness, FeetReason> {
    let stride = stride
        .filter(StrideTime::is_possible)
        .ok_or(FeetReason::NoStrideTime)?;
    let grid = Grid {
        stride: seconds(stride.nanos),
        uncertainty: stride.uncertainty.max(0.0),
        frame: seconds(frame_nanos.max(0)),
    };
    if grid.cycle_error() > WIDEST_BAND {
        return Err(FeetReason::TooCoarse);
    }
    match (grid.pattern(feet.hind)?, grid.pattern(feet.fore)?) {
        (Pattern::Changed, Pattern::Changed) => grid.verdict(feet),
        (Pattern::Plain, Pattern::Changed) => Ok(Cleanness::NotBehind),
        (Pattern::Changed, Pattern::Plain) => Ok(Cleanness::NotInFront),
        (Pattern::Plain, Pattern::Plain) => Err(FeetReason::NoPattern),
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Pattern {
    Changed,
    Plain,
}

/// Stride time and frame in seconds.
struct Grid {
    stride: f64,
    uncertainty: f64,
    frame: f64,
}

impl Grid {
    /// What one cycle may be off, in strides: a frame, and the stride time.
    fn cycle_error(&self) -> f64 {
        self.frame / self.stride + 1.25 * self.uncertainty
    }

    fn band(&self) -> f64 {
        self.cycle_error().max(FOOTFALL_SCATTER)
    }

    fn strides(&self, from: Moment, to: Moment) -> f64 {
        seconds(to.0.saturating_sub(from.0)) / self.stride
    }

    fn pattern(&self, pair: PairCycles) -> Result<Pattern, FeetReason> {
        let long = |foot: FootCycle| self.strides(foot.before, foot.after);
        let (trailing, leading) = (long(pair.trailing), long(pair.leading));
        if trailing <= 0.0 || leading <= 0.0 {
            return Err(FeetReason::Disorder);
        }
        let near = |got: f64, wanted: f64| (got - wanted).abs() <= self.band();
        if near(trailing, 0.75) && near(leading, 1.25) {
            Ok(Pattern::Changed)
        } else if near(trailing, 1.0) && near(leading, 1.0) {
            Ok(Pattern::Plain)
        } else {
            Err(FeetReason::NoPattern)
        }
    }

    fn verdict(&self, feet: &Feet) -> Result<Cleanness, FeetReason> {
        let trailing = self.strides(feet.fore.trailing.after, feet.hind.trailing.after);
        let leading = self.strides(feet.fore.leading.after, feet.hind.leading.after);
        let behind = 0.5 * (trailing + leading) + 0.25;
        let error = self.frame / self.stride + self.uncertainty * behind.abs();
        let delay = Delay {
            strides: behind.abs(),
            error,
        };
        if behind.abs() <= error.max(FOOTFALL_SCATTER) {
            Ok(Cleanness::Clean)
        } else if behind.abs() < LATE_FROM {
            Err(FeetReason::BetweenCleanAndLate)
        } else if behind > 0.0 {
            Ok(Cleanness::LateBehind(delay))
        } else {
            Ok(Cleanness::LateInFront(delay))
        }
    }
}

impl fmt::Display for Cleanness {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let late = |out: &mut fmt::Formatter<'_>, where_: &str, delay: &Delay| {
            write!(
                out,
                "late {where_} by {:.1} strides, give or take {:.1}",
                delay.strides,
                delay.error.max(0.05)
            )
        };
        match self {
            Self::Clean => out.write_str("clean"),
            Self::LateBehind(delay) => late(out, "behind", delay),
            Self::LateInFront(delay) => late(out, "in front", delay),
            Self::NotBehind => out.write_str("changed in front only"),
            Self::NotInFront => out.write_str("changed behind only"),
        }
    }
}
