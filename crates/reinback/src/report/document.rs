//! The report in its own shape. `docs/report.md` describes every field; change both together.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use reinback_analysis::{
    AfterMistake, Cell, Clear, Comparison, Direction, Estimate, FaultRate, Method, Rein, Sequence,
    Shortage, Tally, TrendEstimate, Verdict,
};
use reinback_yard::{HorseId, Problem, Severity, Yard};
use serde::Serialize;

use super::books::Books;
use crate::said::{Language, Say};

use super::numbers::{
    Compared, Days, Line, Numbers, OnlyBefore, Question, Reins, RideLine, Times, Whose,
};
use super::whole::sheet::WholeSheet;
use super::whole::{Kept, whole};

/// The version of the report's shape.
pub const FORMAT: u32 = 1;

/// What every reader of these numbers should know. Files are in English whatever the rider speaks.
#[must_use]
pub fn cautions() -> [String; 4] {
    Say::new(Language::English).cautions()
}

/// The whole report.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Document {
    /// Which shape this is.
    pub format: u32,
    /// What made it.
    pub generator: Generator,
    /// The yard's name.
    pub yard: String,
    /// The day that counts as today.
    pub as_of: String,
    /// Which rides were looked at.
    pub period: Period,
    /// Which rides they are compared with, if with any.
    pub compared_with: Option<Period>,
    /// Files of the yard that could not be read: their rides are missing here.
    pub unreadable_files: usize,
    /// One entry for each horse asked for.
    pub horses: Vec<HorseSheet>,
    /// Every method a range in this report was found by.
    pub methods: Vec<MethodSheet>,
    /// What every reader of these numbers should know.
    pub cautions: [String; 4],
}

/// What made a report.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Generator {
    /// The program.
    pub name: &'static str,
    /// Its version.
    pub version: &'static str,
}

/// Two days, both included.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Period {
    /// The first day; none: from the first ride.
    pub from: Option<String>,
    /// The last day; none: to the last ride.
    pub to: Option<String>,
}

impl From<Days> for Period {
    fn from(days: Days) -> Self {
        let [from, to] = [days.from, days.to].map(|day| day.map(|day| day.to_string()));
        Self { from, to }
    }
}

/// A published method.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MethodSheet {
    /// Its usual name.
    pub name: &'static str,
    /// Where it was published.
    pub source: &'static str,
}

/// One horse.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HorseSheet {
    /// Its id in the yard.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Rides in the period.
    pub rides: usize,
    /// Rides in the days compared with; none where there are none.
    pub rides_compared_with: Option<usize>,
    /// Bouts in no rate because they are not reviewed.
    pub unreviewed_bouts: u32,
    /// Faults of those bouts.
    pub waiting_faults: u32,
    /// Faults noted without a bout.
    pub loose_faults: Vec<TimesSheet>,
    /// What to work on first at the top.
    pub exercises: Vec<ExerciseSheet>,
    /// Exercises with attempts in the days compared with and none in the period.
    pub only_before: Vec<OnlyBeforeSheet>,
    /// Everything but the exercises.
    pub whole_horse: WholeSheet,
}

/// How often something was marked.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TimesSheet {
    /// Its word in the yard.
    pub fault: String,
    /// Its name.
    pub name: String,
    /// How often.
    pub times: u32,
}

/// One exercise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExerciseSheet {
    /// Its word in the yard.
    pub exercise: String,
    /// Its name.
    pub name: String,
    /// Its place in what to work on first, from 1.
    pub work_on_first: usize,
    /// What is clear about it and brought it to the front: `more_than_before`, `left_worse`,
    /// `right_worse`.
    pub work_on_first_because: Vec<&'static str>,
    /// All attempts.
    pub all: CellSheet,
    /// Those on the left rein.
    pub left: CellSheet,
    /// Those on the right rein.
    pub right: CellSheet,
    /// Those without a rein.
    pub unsided: CellSheet,
    /// Faults by kind.
    pub faults_by_kind: Vec<TimesSheet>,
    /// Ride over ride.
    pub trend: TrendSheet,
    /// Right rein against left.
    pub reins: Option<ReinsSheet>,
    /// The period against the days compared with.
    pub against_before: Option<BeforeSheet>,
    /// What happens after a mistake.
    pub after_mistake: Option<AfterSheet>,
    /// The rides behind it, oldest first.
    pub rides: Vec<RideSheet>,
}

/// An exercise that was ridden before and not since.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OnlyBeforeSheet {
    /// Its word in the yard.
    pub exercise: String,
    /// Its name.
    pub name: String,
    /// Faulty attempts (`times`) of attempts (`of`) in the days compared with.
    pub before: TallySheet,
}

/// The period against the days compared with.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BeforeSheet {
    /// `fewer`, `more`, `no_clear_difference` or `too_few`: faulty attempts in the period.
    pub now_against_before: &'static str,
    /// Why there are too few.
    pub reason: Option<String>,
    /// Why one witness was not enough for a verdict.
    pub reservation: Option<String>,
    /// The attempts of the days compared with.
    pub before: CellSheet,
    /// Share now less share before.
    pub difference: Option<EstimateSheet>,
    /// p of whole rides shuffled between the two.
    pub permutation_p: Option<f64>,
    /// The same after Benjamini-Hochberg over the horse's exercises.
    pub adjusted_p: Option<f64>,
    /// How many times the faults a minute are now what they were.
    pub faults_per_minute_ratio: Option<EstimateSheet>,
    /// Why there is none.
    pub faults_per_minute_ratio_reason: Option<String>,
}

/// The attempts of one exercise that share a rein.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CellSheet {
    /// Reviewed attempts.
    pub attempts: u32,
    /// Those with at least one fault.
    pub faulty_attempts: u32,
    /// Faults marked.
    pub faults: u32,
    /// Faulty attempts over attempts.
    pub rate: Option<EstimateSheet>,
    /// Why there is no rate.
    pub rate_reason: Option<String>,
    /// How much more rides scatter than single attempts would.
    pub dispersion: f64,
    /// Reviewed time of this exercise, in minutes.
    pub ridden_minutes: f64,
    /// Faults per minute ridden.
    pub faults_per_minute: Option<EstimateSheet>,
    /// Why there is none.
    pub faults_per_minute_reason: Option<String>,
}

/// A value with its range.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EstimateSheet {
    /// The value.
    pub value: f64,
    /// Lower end of the range.
    pub low: f64,
    /// Upper end of the range.
    pub high: f64,
    /// Nominal coverage of the range.
    pub level: f64,
    /// How the range was found.
    pub method: &'static str,
    /// Where that was published.
    pub source: &'static str,
}

/// The trend of an exercise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrendSheet {
    /// `fewer`, `more` or `no_clear_trend`.
    pub state: Option<&'static str>,
    /// Why there is no trend.
    pub reason: Option<String>,
    /// p of the shuffled rides.
    pub permutation_p: Option<f64>,
    /// The same after Benjamini-Hochberg over the horse's exercises.
    pub adjusted_p: Option<f64>,
    /// By what factor the odds of a fault change in 30 days.
    pub odds_per_month: Option<EstimateSheet>,
}

/// Right rein against left, over the rides that had both.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReinsSheet {
    /// `fewer`, `more`, `no_clear_difference` or `too_few`: faults on the right rein.
    pub right_against_left: &'static str,
    /// Why there are too few.
    pub reason: Option<String>,
    /// Why one witness was not enough for a verdict.
    pub reservation: Option<String>,
    /// Left rein.
    pub left: TallySheet,
    /// Right rein.
    pub right: TallySheet,
    /// Right rate less left rate.
    pub difference: Option<EstimateSheet>,
    /// p of the reins exchanged ride by ride.
    pub permutation_p: Option<f64>,
    /// The same after Benjamini-Hochberg over the horse's exercises.
    pub adjusted_p: Option<f64>,
}

/// So many of so many.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct TallySheet {
    /// So many.
    pub times: u32,
    /// Of so many.
    pub of: u32,
}

/// What happens after a mistake.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AfterSheet {
    /// `in_a_row`, `settles_after`, `no_clear_pattern` or `too_few`.
    pub pattern: &'static str,
    /// Why there are too few.
    pub reason: Option<String>,
    /// Faulty attempts ridden again at once, of faulty attempts.
    pub ridden_again: TallySheet,
    /// Repeats that went wrong again, of repeats.
    pub repeat_faulty: TallySheet,
    /// Faulty next attempts after a faulty one.
    pub faulty_after_faulty: TallySheet,
    /// Faulty next attempts after a clean one.
    pub faulty_after_clean: TallySheet,
    /// p of the shuffled order.
    pub permutation_p: Option<f64>,
    /// The same after Benjamini-Hochberg over the horse's exercises.
    pub adjusted_p: Option<f64>,
}

/// One ride's part in an exercise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RideSheet {
    /// Its id in the yard.
    pub ride: String,
    /// Its day.
    pub day: String,
    /// Reviewed attempts.
    pub attempts: u32,
    /// Those with at least one fault.
    pub faulty_attempts: u32,
    /// Faults marked.
    pub faults: u32,
}

impl Document {
    /// The report of these horses of a yard. `real_today` gives way to the day of the last ride
    /// where the yard asks for it.
    #[must_use]
    pub fn new(
        yard: &Yard,
        horses: &[HorseId],
        (days, against): (Days, Option<Days>),
        real_today: NaiveDate,
        problems: &[Problem],
    ) -> Self {
        let last_day = yard.as_of_last_ride.then(|| yard.last_day()).flatten();
        let today = last_day.unwrap_or(real_today);
        let mut methods = BTreeSet::new();
        let mut books = Books::default();
        let sheets = horses.iter().map(|horse| {
            let question = Question {
                whose: Whose::One(*horse),
                days,
                against,
                reins: Reins::Both,
            };
            let figures = whole(yard, *horse, question.days, today, &mut Kept::default());
            let own = WholeSheet::new(&figures, yard);
            horse_sheet(
                yard,
                *horse,
                (&books.answer(yard, &question), own),
                &mut methods,
            )
        });
        Self {
            format: FORMAT,
            generator: Generator {
                name: env!("CARGO_PKG_NAME"),
                version: env!("CARGO_PKG_VERSION"),
            },
            yard: yard.name.clone(),
            as_of: today.to_string(),
            period: days.into(),
            compared_with: against.map(Period::from),
            unreadable_files: unreadable_files(problems),
            horses: sheets.collect(),
            methods: methods
                .into_iter()
                .map(|method: Method| MethodSheet {
                    name: method.name(),
                    source: method.source(),
                })
                .collect(),
            cautions: cautions(),
        }
    }
}

/// How many files could not be read.
pub(super) fn unreadable_files(problems: &[Problem]) -> usize {
    let errors = problems
        .iter()
        .filter(|problem| problem.severity == Severity::Error);
    let files: BTreeSet<_> = errors.map(|problem| &problem.file).collect();
    files.len()
}

/// The methods met so far.
type Methods = BTreeSet<Method>;

fn horse_sheet(
    yard: &Yard,
    horse: HorseId,
    (numbers, whole_horse): (&Numbers, WholeSheet),
    methods: &mut Methods,
) -> HorseSheet {
    HorseSheet {
        id: horse.to_string(),
        name: yard
            .horse(horse)
            .map_or_else(String::new, |horse| horse.name.clone()),
        rides: numbers.rides,
        rides_compared_with: numbers.question.against.map(|_| numbers.rides_against),
        unreviewed_bouts: numbers.unreviewed,
        waiting_faults: numbers.waiting_faults,
        loose_faults: numbers.loose_faults.iter().map(times_sheet).collect(),
        exercises: numbers
            .lines
            .iter()
            .map(|line| exercise_sheet(line, methods))
            .collect(),
        only_before: numbers.only_before.iter().map(only_before_sheet).collect(),
        whole_horse,
    }
}

fn only_before_sheet(gone: &OnlyBefore) -> OnlyBeforeSheet {
    OnlyBeforeSheet {
        exercise: gone.exercise.to_string(),
        name: gone.name.clone(),
        before: TallySheet {
            times: gone.tally.faulty,
            of: gone.tally.attempts,
        },
    }
}

fn times_sheet(times: &Times) -> TimesSheet {
    TimesSheet {
        fault: times.word.to_string(),
        name: times.name.clone(),
        times: times.times,
    }
}

fn exercise_sheet(line: &Line, methods: &mut Methods) -> ExerciseSheet {
    let figures = &line.figures;
    ExerciseSheet {
        exercise: line.exercise.to_string(),
        name: line.name.clone(),
        work_on_first: line.place,
        work_on_first_because: because(line.clear),
        all: part_sheet(&figures.all, Part::All, methods),
        left: part_sheet(&figures.left, Part::Left, methods),
        right: part_sheet(&figures.right, Part::Right, methods),
        unsided: part_sheet(&figures.unsided, Part::Unsided, methods),
        faults_by_kind: line.faults.iter().map(times_sheet).collect(),
        trend: trend_sheet(figures.trend.state, methods),
        reins: line.reins.map(|reins| reins_sheet(&reins, methods)),
        against_before: line
            .compared
            .map(|compared| before_sheet(&compared, methods)),
        after_mistake: line.after.map(|after| after_sheet(&after)),
        rides: line.rides.iter().map(ride_sheet).collect(),
    }
}

/// The numbers of a rein, or of all attempts.
fn part_sheet(cell: &Cell, part: Part, methods: &mut Methods) -> CellSheet {
    let mut sheet = cell_sheet(cell, methods);
    if cell.rate.tally.attempts == 0
        && let Some(why) = part.empty()
    {
        sheet.rate_reason = Some(why.to_owned());
        sheet.faults_per_minute_reason = Some(why.to_owned());
    }
    sheet
}

/// As a trend's direction is written.
pub(super) const fn direction_name(direction: Direction) -> &'static str {
    match direction {
        Direction::Fewer => "fewer",
        Direction::More => "more",
        Direction::NoClearTrend => "no_clear_trend",
    }
}

/// As the verdict of a comparison is written.
pub(super) const fn verdict_name(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fewer => "fewer",
        Verdict::More => "more",
        Verdict::NoClearDifference => "no_clear_difference",
        Verdict::TooFew(_) => "too_few",
    }
}

/// As what follows a mistake is written.
pub(super) const fn sequence_name(sequence: Sequence) -> &'static str {
    match sequence {
        Sequence::InARow => "in_a_row",
        Sequence::SettlesAfter => "settles_after",
        Sequence::NoClearPattern => "no_clear_pattern",
        Sequence::TooFew(_) => "too_few",
    }
}

/// Which attempts a cell holds.
#[derive(Clone, Copy)]
pub(super) enum Part {
    All,
    Left,
    Right,
    Unsided,
}

impl Part {
    /// Why a part of an exercise that was ridden can be empty.
    pub(super) const fn empty(self) -> Option<&'static str> {
        match self {
            Self::All => None,
            Self::Left => Some("No attempts on the left rein."),
            Self::Right => Some("No attempts on the right rein."),
            Self::Unsided => Some("No attempts without a rein."),
        }
    }
}

fn cell_sheet(cell: &Cell, methods: &mut Methods) -> CellSheet {
    let (rate, rate_reason) = estimate(cell.rate.range, methods);
    let (faults_per_minute, faults_per_minute_reason) = estimate(cell.per_minute.range, methods);
    CellSheet {
        attempts: cell.rate.tally.attempts,
        faulty_attempts: cell.rate.tally.faulty,
        faults: cell.faults,
        rate,
        rate_reason,
        dispersion: cell.rate.dispersion,
        ridden_minutes: cell.per_minute.minutes(),
        faults_per_minute,
        faults_per_minute_reason,
    }
}

/// A value with its range, or the reason why there is none.
fn estimate(
    found: Result<Estimate, Shortage>,
    methods: &mut Methods,
) -> (Option<EstimateSheet>, Option<String>) {
    match found {
        Ok(estimate) => {
            methods.insert(estimate.method);
            let sheet = EstimateSheet {
                value: estimate.value,
                low: estimate.low,
                high: estimate.high,
                level: estimate.level,
                method: estimate.method.name(),
                source: estimate.method.source(),
            };
            (Some(sheet), None)
        }
        Err(shortage) => (None, Some(shortage.to_string())),
    }
}

fn trend_sheet(state: Result<TrendEstimate, Shortage>, methods: &mut Methods) -> TrendSheet {
    let (odds_per_month, reason) = estimate(state.map(|trend| trend.odds_per_month()), methods);
    let found = state.ok();
    TrendSheet {
        state: found.map(|trend| direction_name(trend.direction)),
        reason,
        permutation_p: found.map(|trend| trend.permutation_p),
        adjusted_p: found.map(|trend| trend.adjusted_p),
        odds_per_month,
    }
}

fn reins_sheet(reins: &Comparison, methods: &mut Methods) -> ReinsSheet {
    let (difference, reason) = estimate(reins.difference, methods);
    ReinsSheet {
        right_against_left: verdict_name(reins.verdict),
        reason,
        reservation: reins.reservation.map(|why| why.to_string()),
        left: tally_sheet(&reins.before),
        right: tally_sheet(&reins.after),
        difference,
        permutation_p: reins.permutation_p,
        adjusted_p: reins.adjusted_p,
    }
}

/// What brought an exercise to the front.
fn because(clear: Clear) -> Vec<&'static str> {
    let more = clear.against_before == Some(Verdict::More);
    let sided = clear.weaker_rein.map(|rein| match rein {
        Rein::Left => "left_worse",
        Rein::Right => "right_worse",
    });
    more.then_some("more_than_before")
        .into_iter()
        .chain(sided)
        .collect()
}

fn before_sheet(found: &Compared, methods: &mut Methods) -> BeforeSheet {
    let rate = &found.rate;
    let (difference, reason) = estimate(rate.difference, methods);
    let (ratio, ratio_reason) = estimate(found.per_minute, methods);
    BeforeSheet {
        now_against_before: verdict_name(rate.verdict),
        reason,
        reservation: rate.reservation.map(|why| why.to_string()),
        before: cell_sheet(&found.earlier, methods),
        difference,
        permutation_p: rate.permutation_p,
        adjusted_p: rate.adjusted_p,
        faults_per_minute_ratio: ratio,
        faults_per_minute_ratio_reason: ratio_reason,
    }
}

fn tally_sheet(rate: &FaultRate) -> TallySheet {
    let Tally { faulty, attempts } = rate.tally;
    TallySheet {
        times: faulty,
        of: attempts,
    }
}

fn after_sheet(after: &AfterMistake) -> AfterSheet {
    AfterSheet {
        pattern: sequence_name(after.verdict),
        reason: match after.verdict {
            Sequence::TooFew(why) => Some(why.to_string()),
            _ => None,
        },
        ridden_again: tally_sheet(&after.repeated),
        repeat_faulty: tally_sheet(&after.repeat),
        faulty_after_faulty: tally_sheet(&after.after_faulty),
        faulty_after_clean: tally_sheet(&after.after_clean),
        permutation_p: after.permutation_p,
        adjusted_p: after.adjusted_p,
    }
}

fn ride_sheet(ride: &RideLine) -> RideSheet {
    RideSheet {
        ride: ride.ride.to_string(),
        day: ride.date.to_string(),
        attempts: ride.tally.attempts,
        faulty_attempts: ride.tally.faulty,
        faults: ride.faults,
    }
}
