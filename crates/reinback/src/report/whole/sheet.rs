//! The whole horse in the report, as `docs/report.md` describes it.

use reinback_analysis::estimate::Estimate;
use reinback_analysis::outline::{Ended, Notice, OutlineReport, TimerRun};
use reinback_analysis::series::{Series, StrideSource};
use reinback_analysis::series_count::Verdict;
use reinback_yard::lower::trouble::Trouble;
use reinback_yard::{Moment, Yard};
use serde::Serialize;

use super::look::{Look, What};
use super::{AroundWhat, PaceOver, Places, RideFigures, SeriesShown, StepsKind, Whole};
use crate::clock;

const MINUTE: f64 = 60e9;

/// Everything but the exercises.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WholeSheet {
    /// Ride by ride, oldest first; only rides with outlines marked.
    pub outlines: Vec<OutlineSheet>,
    /// Of all rides with a pace noted.
    pub transitions: StepsSheet,
    /// Pace by pace.
    pub tempo: Vec<TempoSheet>,
    /// About changes, corners and transitions within a pace.
    pub tempo_around: Vec<AroundSheet>,
    /// Reviewed series of changes, newest first.
    pub series_of_changes: Vec<SeriesSheet>,
    /// Faults by place, one entry for each arena.
    pub places: Vec<PlacesSheet>,
    /// Time ridden in the period, and the load as of today.
    pub load: LoadSheet,
    /// What stands in the way of right numbers.
    pub to_look_at: Vec<LookSheet>,
}

/// The outlines of a ride.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OutlineSheet {
    /// The ride.
    pub ride: String,
    /// Its day.
    pub day: String,
    /// Why there are no figures.
    pub reason: Option<String>,
    /// Longest first.
    pub shares: Vec<ShareSheet>,
    /// Without an outline, or with two at once.
    pub unknown_minutes: f64,
    /// Changes from one outline to another.
    pub changes: u32,
    /// The same in ten minutes known.
    pub changes_per_ten_minutes: Option<f64>,
    /// The timer.
    pub runs: Vec<RunSheet>,
}

/// The share of an outline.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShareSheet {
    /// Its word.
    pub outline: String,
    /// Its name.
    pub name: String,
    /// Minutes in it.
    pub minutes: f64,
    /// Of the time known, 0 to 1.
    pub share: f64,
    /// Its longest unbroken stretch.
    pub longest_minutes: f64,
}

/// A run of the timer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RunSheet {
    /// Ride clock at its beginning.
    pub from: String,
    /// Ride clock at its end.
    pub to: String,
    /// Minutes on the timer.
    pub held_minutes: f64,
    /// Minutes in it that are not known.
    pub paused_minutes: f64,
    /// Releases too brief to end it.
    pub brief_releases: u32,
    /// `quiet`, `early` or `full`.
    pub notice: &'static str,
    /// `by_release` or `with_the_ride`.
    pub ended: &'static str,
}

/// Transitions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepsSheet {
    /// Rides with a pace noted.
    pub rides: usize,
    /// Minutes in a known pace.
    pub known_minutes: f64,
    /// From pace to pace.
    pub between: u32,
    /// The same per minute.
    pub between_per_minute: Option<RangeSheet>,
    /// From variant to variant.
    pub within: u32,
    /// The same per minute.
    pub within_per_minute: Option<RangeSheet>,
    /// By kind, most frequent first.
    pub by_kind: Vec<KindSheet>,
    /// In no count: an unnamed variant, or an unknown stretch between.
    pub not_counted: u32,
    /// Aids answered within 5 s.
    pub aids_answered: u32,
    /// Aids not answered.
    pub aids_unanswered: u32,
    /// The middle time from aid to answer.
    pub answer_seconds: Option<f64>,
}

/// A value with its range.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RangeSheet {
    /// The value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// How the range was found.
    pub method: &'static str,
}

/// How often a kind of transition was ridden.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KindSheet {
    /// The pace left, or the pace both variants are of.
    pub from: String,
    /// The pace taken up.
    pub to: String,
    /// How often.
    pub times: u32,
}

/// The tempo of a pace.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TempoSheet {
    /// The pace.
    pub pace: &'static str,
    /// Its variant.
    pub variant: Option<String>,
    /// The middle one of the rides' medians, in strides per minute.
    pub strides_per_minute: f64,
    /// Lapses on straight lines; none where no line is known to be straight.
    pub lapses: Option<u32>,
    /// Ride by ride.
    pub rides: Vec<TempoRideSheet>,
}

/// A ride's tempo in a pace.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TempoRideSheet {
    /// The ride.
    pub ride: String,
    /// Its day.
    pub day: String,
    /// The middle stride, in strides per minute.
    pub strides_per_minute: f64,
    /// Strides behind it.
    pub strides: f64,
    /// Whether they lay on lines known to be straight.
    pub straight_lines: bool,
}

/// The tempo about events.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AroundSheet {
    /// `changes`, `corners` or `within_a_pace`.
    pub about: &'static str,
    /// Events looked at.
    pub events: usize,
    /// More than 4 % quicker after.
    pub quicker: u32,
    /// More than 4 % slower after.
    pub slower: u32,
    /// The middle change, 0.02 for 2 % quicker after.
    pub median_by: Option<f64>,
    /// Events without three strides in a row on both sides.
    pub left_out: u32,
}

/// A series of changes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeriesSheet {
    /// The ride.
    pub ride: String,
    /// Its day.
    pub day: String,
    /// The exercise.
    pub exercise: String,
    /// Ride clock at its beginning.
    pub from: String,
    /// Changes asked.
    pub asked: Option<u16>,
    /// Every how many strides.
    pub every: Option<u16>,
    /// Changes marked.
    pub shown: u32,
    /// Why the series, or its count, cannot be told.
    pub reason: Option<String>,
    /// The stride time the count rests on, in seconds.
    pub stride_seconds: Option<f64>,
    /// `taps`, `earlier_canter` or `film`.
    pub stride_from: Option<&'static str>,
    /// Wrong intervals of those that are sure.
    pub wrong: Option<u32>,
    /// Intervals that are sure.
    pub sure: Option<u32>,
    /// Where another number was ridden throughout, that number.
    pub steady_every: Option<u32>,
    /// From change to change.
    pub intervals: Vec<IntervalSheet>,
    /// How the times between changes scatter.
    pub spread: Option<RangeSheet>,
}

/// From one change to the next.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IntervalSheet {
    /// Strides: time over stride time.
    pub strides: f64,
    /// `as_asked`, `early`, `late`, `missed`, `extra` or `unsure`.
    pub verdict: &'static str,
}

/// Faults by place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlacesSheet {
    /// `20x60` or `20x40`; null where nobody said which.
    pub arena: Option<&'static str>,
    /// Rides in it.
    pub rides: usize,
    /// Most frequent first.
    pub by_letter: Vec<LetterSheet>,
    /// Without a place.
    pub unplaced: u32,
    /// Outside the arena.
    pub outside: u32,
}

/// Faults at a letter.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LetterSheet {
    /// The letter.
    pub letter: String,
    /// How often.
    pub times: u32,
}

/// Time ridden.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoadSheet {
    /// In the period.
    pub minutes: f64,
    /// By pace.
    pub paces: Vec<MinutesSheet>,
    /// Without a pace, or with two at once.
    pub pace_unknown_minutes: f64,
    /// By exercise, longest first.
    pub exercises: Vec<MinutesSheet>,
    /// In exercises on the left rein.
    pub left_minutes: f64,
    /// In exercises on the right rein.
    pub right_minutes: f64,
    /// Of the last seven days, whatever the period.
    pub last_seven_days_minutes: f64,
    /// A quarter of the four weeks before.
    pub usual_week_minutes: Option<f64>,
    /// Why there is none.
    pub usual_week_reason: Option<String>,
    /// Days with a ride in a row.
    pub days_in_a_row: u32,
    /// Things to think about.
    pub cautions: Vec<String>,
}

/// Minutes of something.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MinutesSheet {
    /// Of what.
    pub of: String,
    /// How many.
    pub minutes: f64,
}

/// Something to look at.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LookSheet {
    /// What: one of the words of `docs/report.md`.
    pub what: &'static str,
    /// The ride it leads to.
    pub ride: Option<String>,
    /// The day of that.
    pub day: Option<String>,
    /// Ride clock at the moment to look at.
    pub at: Option<String>,
    /// The exercise it is about.
    pub exercise: Option<String>,
    /// How many it is about, where they are counted.
    pub count: Option<u32>,
}

impl WholeSheet {
    /// What a horse's rides show as a whole.
    #[must_use]
    pub fn new(whole: &Whole, yard: &Yard) -> Self {
        let rides = whole.rides.iter();
        Self {
            outlines: rides.filter_map(|ride| outline_sheet(ride, yard)).collect(),
            transitions: steps_sheet(whole),
            tempo: whole.tempos.iter().map(tempo_sheet).collect(),
            tempo_around: whole
                .around
                .iter()
                .map(|(what, found)| AroundSheet {
                    about: match what {
                        AroundWhat::Changes => "changes",
                        AroundWhat::Corners => "corners",
                        AroundWhat::Within => "within_a_pace",
                    },
                    events: found.events.len(),
                    quicker: found.quicker.tally.faulty,
                    slower: found.slower.tally.faulty,
                    median_by: found.median_by,
                    left_out: found.left_out,
                })
                .collect(),
            series_of_changes: whole.series.iter().map(series_sheet).collect(),
            places: whole.places.iter().map(places_sheet).collect(),
            load: load_sheet(whole),
            to_look_at: whole.look.iter().map(look_sheet).collect(),
        }
    }
}

fn minutes(nanos: i64) -> f64 {
    nanos as f64 / MINUTE
}

fn moment(at: Moment) -> String {
    clock::exact(at)
}

fn range(found: &Estimate) -> RangeSheet {
    RangeSheet {
        value: found.value,
        low: found.low,
        high: found.high,
        method: found.method.name(),
    }
}

fn outline_sheet(ride: &RideFigures, yard: &Yard) -> Option<OutlineSheet> {
    let empty = OutlineReport {
        shares: Vec::new(),
        unknown_nanos: 0,
        contradicted_nanos: 0,
        changes: reinback_analysis::outline::Changes {
            changes: 0,
            across_unknown: 0,
            short_stays: 0,
            per_ten_minutes: None,
        },
        runs: Vec::new(),
    };
    let (report, reason) = match ride.outline.as_ref()? {
        Ok(report) => (report, None),
        Err(problem) => (&empty, Some(problem.to_string())),
    };
    let shares = report.shares.iter().filter_map(|share| {
        let word = ride.word(share.outline)?;
        Some(ShareSheet {
            outline: word.to_string(),
            name: yard.words.outline_name(word),
            minutes: minutes(share.nanos),
            share: share.share,
            longest_minutes: minutes(share.longest.duration_nanos()),
        })
    });
    Some(OutlineSheet {
        ride: ride.ride.to_string(),
        day: ride.date.to_string(),
        reason,
        shares: shares.collect(),
        unknown_minutes: minutes(
            report
                .unknown_nanos
                .saturating_add(report.contradicted_nanos),
        ),
        changes: report.changes.changes,
        changes_per_ten_minutes: report.changes.per_ten_minutes,
        runs: report.runs.iter().map(run_sheet).collect(),
    })
}

fn run_sheet(run: &TimerRun) -> RunSheet {
    RunSheet {
        from: moment(run.span.from),
        to: moment(run.span.to),
        held_minutes: minutes(run.timed_nanos),
        paused_minutes: minutes(run.paused_nanos),
        brief_releases: run.brief_releases,
        notice: match run.notice() {
            Notice::Quiet => "quiet",
            Notice::Early => "early",
            Notice::Full => "full",
        },
        ended: match run.ended {
            Ended::ByRelease => "by_release",
            Ended::WithTheRide => "with_the_ride",
        },
    }
}

fn steps_sheet(whole: &Whole) -> StepsSheet {
    let steps = &whole.steps;
    let kinds = steps.by_kind.iter().map(|(kind, times)| {
        let (from, to) = match kind {
            StepsKind::Between(from, to) => (from.name().to_owned(), to.name().to_owned()),
            StepsKind::Within(pace, from, to) => (
                format!("{}, {}", pace.name(), from.spelled()),
                format!("{}, {}", pace.name(), to.spelled()),
            ),
        };
        KindSheet {
            from,
            to,
            times: *times,
        }
    });
    let all = &steps.all;
    StepsSheet {
        rides: steps.rides,
        known_minutes: minutes(all.known_nanos),
        between: all.between.count,
        between_per_minute: all.between.per_minute.as_ref().ok().map(range),
        within: all.within.count,
        within_per_minute: all.within.per_minute.as_ref().ok().map(range),
        by_kind: kinds.collect(),
        not_counted: steps.not_counted,
        aids_answered: all.answers.answered,
        aids_unanswered: all.answers.unanswered,
        answer_seconds: all.answers.times.map(|times| times.median),
    }
}

fn tempo_sheet(over: &PaceOver) -> TempoSheet {
    let any_straight = over.points.iter().any(|point| point.straight);
    TempoSheet {
        pace: over.pace.name(),
        variant: over.variant.as_ref().map(ToString::to_string),
        strides_per_minute: over.median,
        lapses: any_straight.then_some(over.lapses),
        rides: over
            .points
            .iter()
            .map(|point| TempoRideSheet {
                ride: point.ride.to_string(),
                day: point.date.to_string(),
                strides_per_minute: point.median,
                strides: point.strides,
                straight_lines: point.straight,
            })
            .collect(),
    }
}

fn series_sheet(one: &SeriesShown) -> SeriesSheet {
    let found: Option<&Series> = one.found.as_ref().ok();
    let count = found.and_then(|found| found.count.as_ref().ok());
    let reason = match &one.found {
        Err(problem) => Some(problem.to_string()),
        Ok(_) if one.ridden.every.is_none() => {
            Some("Count not verified: every how many strides was asked is not noted.".to_owned())
        }
        Ok(found) => found.count.as_ref().err().map(ToString::to_string),
    };
    SeriesSheet {
        ride: one.ride.to_string(),
        day: one.date.to_string(),
        exercise: one.ridden.exercise.to_string(),
        from: moment(one.ridden.span.from),
        asked: one.ridden.asked_count,
        every: one.ridden.every,
        shown: u32::try_from(one.ridden.changes.len()).unwrap_or(u32::MAX),
        reason,
        stride_seconds: count.map(|count| count.stride.nanos as f64 / 1e9),
        stride_from: count.map(|count| match count.stride.source {
            StrideSource::TempoTrack => "film",
            StrideSource::Taps => "taps",
            StrideSource::EarlierCanter => "earlier_canter",
        }),
        wrong: count.map(|count| count.wrong.faulty),
        sure: count.map(|count| count.wrong.attempts),
        steady_every: count.and_then(|count| count.steady_every),
        intervals: count
            .map_or(&[][..], |count| &count.intervals)
            .iter()
            .map(|interval| IntervalSheet {
                strides: interval.strides,
                verdict: match interval.verdict {
                    Verdict::AsAsked => "as_asked",
                    Verdict::Early { .. } => "early",
                    Verdict::Late { .. } => "late",
                    Verdict::Missed { .. } => "missed",
                    Verdict::Extra => "extra",
                    Verdict::Unsure { .. } => "unsure",
                },
            })
            .collect(),
        spread: found
            .and_then(|found| found.evenness.as_ref().ok())
            .map(|even| range(&even.spread)),
    }
}

fn places_sheet(places: &Places) -> PlacesSheet {
    use reinback_analysis::place::Arena;
    let letters = places.found.by_letter.iter();
    PlacesSheet {
        arena: places.given.map(|arena| match arena {
            Arena::Standard => "20x60",
            Arena::Small => "20x40",
        }),
        rides: places.rides,
        by_letter: letters
            .map(|(letter, times)| LetterSheet {
                letter: letter.to_string(),
                times: *times,
            })
            .collect(),
        unplaced: places.found.unplaced,
        outside: places.found.outside,
    }
}

fn load_sheet(whole: &Whole) -> LoadSheet {
    let (ridden, load) = (&whole.ridden.all, &whole.load);
    let sheet = |of: String, nanos: i64| MinutesSheet {
        of,
        minutes: minutes(nanos),
    };
    let paces = ridden.paces.iter();
    let exercises = whole.ridden.exercises.iter();
    LoadSheet {
        minutes: minutes(ridden.all),
        paces: paces
            .map(|(pace, nanos)| sheet(pace.name().to_owned(), *nanos))
            .collect(),
        pace_unknown_minutes: minutes(ridden.pace_unknown),
        exercises: exercises
            .map(|(word, nanos)| sheet(word.to_string(), *nanos))
            .collect(),
        left_minutes: minutes(ridden.left),
        right_minutes: minutes(ridden.right),
        last_seven_days_minutes: minutes(load.last_seven.all),
        usual_week_minutes: load.usual_week.ok().map(minutes),
        usual_week_reason: load.usual_week.err().map(|why| why.to_string()),
        days_in_a_row: load.days_in_a_row,
        cautions: load.cautions.iter().map(ToString::to_string).collect(),
    }
}

fn look_sheet(look: &Look) -> LookSheet {
    let (what, exercise, count) = match &look.what {
        What::InRide(trouble) => match *trouble {
            Trouble::Ahead => ("dated_ahead", None, None),
            Trouble::BeforeBirth => ("dated_before_birth", None, None),
            Trouble::FarApart => ("far_apart", None, None),
            Trouble::ImpossibleTaps => ("impossible_taps", None, None),
            Trouble::NoLength(_) => ("no_length", None, None),
            Trouble::Overlap(_) => ("overlap", None, None),
            Trouble::LooseFaults(count) => ("loose_faults", None, Some(count)),
            Trouble::LooseChanges(count) => ("loose_changes", None, Some(count)),
            Trouble::TwoPaces(_) => ("two_paces", None, None),
            Trouble::TwoOutlines(_) => ("two_outlines", None, None),
            Trouble::Series(..) => ("series", None, None),
        },
        What::SameFilm => ("same_film", None, None),
        What::OneRide => ("one_ride", None, None),
        What::NoTime(word) => ("no_time", Some(word), None),
        What::AllFaulty(word, count) => ("all_faulty", Some(word), Some(*count)),
        What::NoneFaulty(word, count) => ("none_faulty", Some(word), Some(*count)),
    };
    LookSheet {
        what,
        ride: look.at.map(|(ride, ..)| ride.to_string()),
        day: look.at.map(|(_, day, _)| day.to_string()),
        at: look.at.and_then(|(_, _, at)| at).map(moment),
        exercise: exercise.map(ToString::to_string),
        count,
    }
}
