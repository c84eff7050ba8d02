//! Turns time-coded observations of a ride into rates, comparisons and trends,
//! each with its range, its count, or the reason why there is no number.
//!
//! A bout that its reviewer has set to reviewed becomes an [`Attempt`]; the
//! attempts of one day on one horse become a [`Ride`]; everything else here is
//! computed from slices of rides.
//!
//! # Map
//!
//! | module | answers |
//! | --- | --- |
//! | [`time`] | points and stretches on the ride clock, calendar days |
//! | [`observation`] | the plain data that comes in |
//! | [`estimate`] | a value with its range and method, or the reason for none |
//! | [`interval`] | intervals for one rate, a difference and a ratio |
//! | [`stratified`] | differences and ratios inside several horses |
//! | [`rate`] | faulty attempts of attempts, faults per minute |
//! | [`dispersion`] | how far attempts of one ride resemble each other |
//! | [`exercise`] | one line per exercise, rein by rein |
//! | [`columns`] | all rides counted, changed ride by ride |
//! | [`compare`] | fewer, more, no clear difference, too few to tell |
//! | [`mod@trend`] | does the rate move from ride to ride |
//! | [`rank`] | what to work on first |
//! | [`after_mistake`] | repeats, and whether mistakes follow mistakes |
//! | [`mod@series`], [`series_count`] | did a series of changes hold its count |
//! | [`mod@clean_change`] | did both pairs change in the same stride |
//! | [`mod@outline`] | how long one outline was held, and the timer |
//! | [`mod@transitions`] | transitions a minute, and how soon after the aid |
//! | [`sheet`] | marks times coefficients to percentages |
//! | [`place`] | where in the arena it happened |
//! | [`strides`], [`mod@tempo`], [`tempo_around`] | strides a minute, lapses, before and after |
//! | [`mod@load`] | how much was ridden, of what, against before |
//! | [`mod@agreement`], [`mod@kappa`] | two reviewers of one ride |
//! | [`angle`] | angles and lengths between points of one frame |
//! | [`anchor`] | one clock put onto another by moments seen on both |
//! | [`sound_match`] | where two clips overlap, by what both heard |
//! | [`multiple`] | several questions on one page |
//! | [`exact`] | exact tests of two counts, to check shuffles against |
//! | [`gamma_prior`] | rates over time pulled towards the usual one |
//! | [`shuffle`] | seeded shuffles and exact enumerations |
//! | [`describe`] | median, evenness, slope, limits of agreement |
//! | [`timeline`] | from stretches with gaps and overlaps to one line |
//! | [`special`] | the distribution functions everything rests on |
//!
//! # Invariants
//!
//! - **Pure.** No file, clock, thread, environment or hidden randomness: the
//!   same input and seed give the same output on every machine.
//! - **Order of rides does not matter.** Results are sorted by key and day.
//! - **Never a bare number.** A rate comes with its counts; an estimate is
//!   finite and satisfies `low <= value <= high`; where there is too little,
//!   a [`Shortage`] says so.
//! - **Only reviewed attempts count.** What is not reviewed is counted apart
//!   and is in no denominator.
//!
//! # Example
//!
//! ```
//! use reinback_analysis::{Attempt, Day, Key, Moment, Ride, Span, exercise_lines};
//!
//! let half_pass = Key(1);
//! let attempt = |second: i64, faults: Vec<Key>| Attempt {
//!     exercise: half_pass,
//!     variant: None,
//!     rein: None,
//!     span: Span::new(Moment(second * 1_000_000_000), Moment((second + 10) * 1_000_000_000)),
//!     faults,
//!     repeated: false,
//! };
//! let ride = Ride {
//!     id: 1,
//!     day: Day(20_000),
//!     attempts: vec![attempt(0, vec![]), attempt(20, vec![Key(9)])],
//!     unreviewed: 0,
//!     loose_faults: vec![],
//! };
//! let lines = exercise_lines(&[ride]);
//! assert_eq!(lines[0].all.rate.tally.to_string(), "1 of 2");
//! assert!(lines[0].all.rate.range.is_err(), "two attempts are too few for a rate");
//! ```
#![forbid(unsafe_code)]
#![warn(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss
)]

pub mod after_mistake;
pub mod agreement;
pub mod anchor;
pub mod angle;
pub mod clean_change;
pub mod columns;
pub mod compare;
pub mod describe;
pub mod dispersion;
pub mod estimate;
pub mod exact;
pub mod exercise;
pub mod gamma_prior;
pub mod interval;
pub mod kappa;
pub mod load;
mod logit;
mod matching;
pub mod multiple;
pub mod observation;
pub mod outline;
pub mod place;
pub mod rank;
pub mod rate;
pub mod series;
pub mod series_count;
pub mod sheet;
pub mod shuffle;
pub mod sound_match;
pub mod special;
pub mod stratified;
pub mod strides;
pub mod taps;
pub mod tempo;
pub mod tempo_around;
pub mod time;
pub mod timeline;
pub mod transitions;
pub mod trend;

pub use after_mistake::{AfterMistake, RunsTest, Sequence, after_mistakes, runs_test};
pub use compare::{
    Comparison, Reservation, Timed, Verdict, compare_lines, compare_periods, compare_reins,
    compare_reins_lines,
};
pub use estimate::{Estimate, InputError, LEVEL, Method, Shortage};
pub use exercise::{Cell, ExerciseLine, Remainder, RidePoint, exercise_lines, remainder};
pub use observation::{Attempt, Key, Pace, PaceSpan, Rein, Ride};
pub use rank::{Clear, Priority, clear_first, what_first};
pub use rate::{FaultRate, MIN_ATTEMPTS_FOR_RATE, PerMinute, Tally};
pub use time::{Day, Moment, Span};
pub use trend::{Direction, Trend, TrendEstimate, trend, trends};
