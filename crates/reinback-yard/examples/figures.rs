//! The figures of a yard as a table, and how long they take, to be set beside other programs.
//!
//! `figures FOLDER` prints one row (RFC 4180) for every horse and exercise: attempts, faulty ones,
//! Wilson's range, the dispersion of the rides, both halves of the time and Newcombe's range of
//! their difference. On the other output stand the seconds: `load` for reading the yard, `lower`
//! for counting it into columns, `compute` for the figures from there, the last two by the number
//! of threads. `tests/reference/beside.py` reads both.
#![expect(clippy::print_stderr, reason = "times stand apart from the table")]

use std::error::Error;
use std::io::Write as _;
use std::path::Path;
use std::time::Instant;

use rayon::ThreadPoolBuilder;
use rayon::prelude::*;
use reinback_analysis::dispersion::{Likeness, design_effect, likeness, pooled_rho, shrunken_rho};
use reinback_analysis::interval::{newcombe, wilson};
use reinback_analysis::{Day, Estimate, FaultRate, InputError, Key, LEVEL, Tally};
use reinback_yard::{HorseId, Ledger, Yard, day_of};

/// How often the figures are computed; the middle time counts.
const RUNS: usize = 9;

/// One horse's attempts at one exercise.
struct Row {
    horse: HorseId,
    exercise: Key,
    all: Tally,
    range: Result<Estimate, InputError>,
    dispersion: f64,
    before: Tally,
    after: Tally,
    difference: Result<Estimate, InputError>,
}

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args()
        .nth(1)
        .ok_or("say which yard: figures FOLDER")?;
    let begun = Instant::now();
    let (yard, _) = reinback_yard::look(Path::new(&folder))?;
    eprintln!("load {}", begun.elapsed().as_secs_f64());
    let middle = middle_day(&yard).ok_or("this yard has no rides with bouts")?;
    let mut rows = Vec::new();
    for threads in [1, 0] {
        let pool = ThreadPoolBuilder::new().num_threads(threads).build()?;
        let threads = pool.current_num_threads();
        pool.install(|| {
            let mut ledger = Ledger::default();
            let begun = Instant::now();
            ledger.follow(&yard);
            eprintln!("lower {} {threads}", begun.elapsed().as_secs_f64());
            let mut seconds: Vec<f64> = (0..RUNS)
                .map(|_| {
                    let begun = Instant::now();
                    rows = figures(&ledger, middle);
                    begun.elapsed().as_secs_f64()
                })
                .collect();
            seconds.sort_by(f64::total_cmp);
            eprintln!("compute {} {threads}", seconds[RUNS / 2]);
            print_once(&ledger, &rows, threads == 1)
        })?;
    }
    Ok(())
}

/// The day that ends the first half of the time ridden.
fn middle_day(yard: &Yard) -> Option<Day> {
    let ridden = || {
        let rides = yard.rides.values().filter(|ride| !ride.bouts.is_empty());
        rides.map(|ride| day_of(ride.head.date).0)
    };
    let (first, last) = (ridden().min()?, ridden().max()?);
    Some(Day(first + (last - first) / 2))
}

/// Horse by horse, because likeness inside rides is pulled towards the horse's other exercises.
fn figures(ledger: &Ledger, middle: Day) -> Vec<Row> {
    let exercises = ledger.exercises();
    let mut horses: Vec<u64> = exercises
        .iter()
        .flat_map(|key| ledger.columns().horses(*key))
        .collect();
    horses.sort_unstable();
    horses.dedup();
    horses
        .into_par_iter()
        .flat_map_iter(|horse| of_horse(ledger, horse, &exercises, middle))
        .collect()
}

fn of_horse(ledger: &Ledger, horse: u64, exercises: &[Key], middle: Day) -> Vec<Row> {
    let ever = (Day(i32::MIN), Day(i32::MAX));
    let columns = ledger.columns();
    let ridden: Vec<(Key, &[Tally])> = exercises
        .iter()
        .map(|key| (*key, columns.tallies(horse, ever, *key)))
        .filter(|(_, rides)| !rides.is_empty())
        .collect();
    let measured: Vec<Likeness> = ridden.iter().map(|(_, rides)| likeness(&[rides])).collect();
    let pooled = pooled_rho(&measured);
    let row = |((exercise, rides), measured): ((Key, &[Tally]), Likeness)| {
        let earlier = columns.tallies(horse, (Day(i32::MIN), middle), exercise);
        let (first, second) = rides.split_at(earlier.len());
        let sum = |rides: &[Tally]| rides.iter().copied().sum::<Tally>();
        let (all, before, after) = (sum(rides), sum(first), sum(second));
        let pair = |tally: Tally| (tally.faulty, tally.attempts);
        let phi = design_effect(rides, shrunken_rho(measured, pooled));
        Row {
            horse: HorseId::from_bits(horse),
            exercise,
            all,
            range: wilson(all.faulty, all.attempts, LEVEL),
            dispersion: FaultRate::with_dispersion(all, phi).dispersion,
            before,
            after,
            difference: newcombe(pair(after), pair(before), LEVEL),
        }
    };
    ridden.into_iter().zip(measured).map(row).collect()
}

fn print_once(ledger: &Ledger, rows: &[Row], now: bool) -> std::io::Result<()> {
    if !now {
        return Ok(());
    }
    let mut out = std::io::stdout().lock();
    writeln!(
        out,
        "horse,exercise,attempts,faulty,rate,low,high,dispersion,before_attempts,before_faulty,\
         after_attempts,after_faulty,difference,difference_low,difference_high"
    )?;
    for row in rows {
        let Some(exercise) = ledger.keys().word(row.exercise) else {
            continue;
        };
        let range = |found: &Result<Estimate, InputError>| match found {
            Ok(found) => format!("{:?},{:?},{:?}", found.value, found.low, found.high),
            Err(_) => ",,".to_owned(),
        };
        writeln!(
            out,
            "{},{exercise},{},{},{},{:?},{},{},{},{},{}",
            row.horse,
            row.all.attempts,
            row.all.faulty,
            range(&row.range),
            row.dispersion,
            row.before.attempts,
            row.before.faulty,
            row.after.attempts,
            row.after.faulty,
            range(&row.difference),
        )?;
    }
    out.flush()
}
