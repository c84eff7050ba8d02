//! The report against a calculation of its own: counts and minutes by walking the rides, ranges
//! by the formula as it is printed in textbooks, or by what defines their ends.
#![expect(clippy::expect_used, reason = "helpers of tests")]

use std::collections::BTreeMap;

use reinback::report::document::Document;
use reinback::report::numbers::Days;
use reinback_tests::demo::{demo_dir, write_yard};
use reinback_yard::{HorseId, MarkKind, Rein, RideId, Store, Yard};
use serde_json::Value;
use tempfile::TempDir;

/// What a cell of the report should hold.
#[derive(Debug, Default, PartialEq)]
struct Counts {
    attempts: u64,
    faulty: u64,
    faults: u64,
    /// Ride and stretch of every attempt, nanoseconds.
    stretches: Vec<(RideId, i64, i64)>,
    /// Most attempts in one ride.
    most: u64,
}

impl Counts {
    /// Minutes ridden; what two bouts share counts once.
    fn minutes(&self) -> f64 {
        let mut stretches = self.stretches.clone();
        stretches.sort_unstable();
        let (mut sum, mut reached) = (0_i64, None);
        for (ride, from, to) in stretches {
            let start = match reached {
                Some((last, end)) if last == ride => from.max(end),
                _ => from,
            };
            sum += (to - start).max(0);
            reached = Some((ride, start.max(to)));
        }
        sum as f64 / 60e9
    }
}

/// Horse, exercise and cell of the report.
type Place = (HorseId, String, &'static str);

/// The demo yard, which another test holds against its committed files.
fn yard() -> Yard {
    let dir = TempDir::new().expect("a folder");
    write_yard(&dir.path().join("yard"), &demo_dir().join("films")).expect("written");
    Store::open(&dir.path().join("yard"))
        .expect("it opens")
        .yard
}

/// A bout counts when it is reviewed and belongs to the counting review; every mark of the demo
/// names its bout.
fn counted(yard: &Yard) -> BTreeMap<Place, Counts> {
    let mut all: BTreeMap<Place, Counts> = BTreeMap::new();
    for ride in yard.rides.values() {
        for bout in &ride.bouts {
            if !bout.reviewed || bout.review != ride.head.counting {
                continue;
            }
            let mut faults = 0;
            for mark in &ride.marks {
                if mark.bout == Some(bout.id) && matches!(mark.kind, MarkKind::Fault(_)) {
                    faults += 1;
                }
            }
            let side = match bout.rein {
                Some(Rein::Left) => "left",
                Some(Rein::Right) => "right",
                None => "unsided",
            };
            let to = bout.to.expect("a reviewed bout has an end");
            for cell in ["all", side] {
                let place = (ride.head.horse, bout.exercise.to_string(), cell);
                let counts = all.entry(place).or_default();
                counts.attempts += 1;
                counts.faulty += u64::from(faults > 0);
                counts.faults += faults;
                let own = (ride.id, bout.from.0, to.0);
                counts.stretches.push(own);
                let today = counts.stretches.iter().filter(|one| one.0 == own.0);
                counts.most = counts.most.max(today.count() as u64);
            }
        }
    }
    all
}

/// The score interval of Wilson (1927, J Am Stat Assoc 22:209-212) for `faulty` of `attempts`,
/// in the form of Newcombe (1998, Stat Med 17:857-872, method 3):
/// `(2np + z² ± z sqrt(z² + 4np(1-p))) / (2(n + z²))`, with `n = attempts / dispersion`, the
/// effective count of Rao and Scott (1992, Biometrics 48:577-585); z for 95 %.
fn wilson(faulty: f64, attempts: f64, dispersion: f64) -> (f64, f64) {
    let z = 1.959_963_984_540_054_f64;
    let (n, p) = (attempts / dispersion, faulty / attempts);
    let half = z * (z * z + 4.0 * n * p * (1.0 - p)).sqrt();
    let (middle, below) = (2.0 * n * p + z * z, 2.0 * (n + z * z));
    ((middle - half) / below, (middle + half) / below)
}

/// `P(X < k) + P(X = k)/2` for a Poisson count of this mean, term by term. At the ends of the
/// mid-p range (Lancaster 1961, J Am Stat Assoc 56:223-234) it is 0.025 and 0.975.
fn mid_p(k: u64, mean: f64) -> f64 {
    let mut term = (-mean).exp();
    let mut below = 0.0;
    for n in 1..=k {
        below += term;
        term *= mean / n as f64;
    }
    below + term / 2.0
}

/// 15 of 148 is 0.0624 to 0.1605 in the first table of Newcombe
/// (1998, Stat Med 17:857-872), method 3.
#[test]
fn the_formula_is_the_printed_one() {
    let (low, high) = wilson(15.0, 148.0, 1.0);
    assert!(
        (low - 0.0624).abs() < 5e-5 && (high - 0.1605).abs() < 5e-5,
        "{low} {high}"
    );
}

#[test]
fn the_report_counts_what_the_rides_hold() {
    let yard = yard();
    let horses: Vec<HorseId> = yard.horses.iter().map(|horse| horse.id).collect();
    let today = yard.last_day().expect("rides");
    let document = Document::new(&yard, &horses, (Days::default(), None), today, &[]);
    let text = serde_json::to_string(&document).expect("a text");
    let report: Value = serde_json::from_str(&text).expect("JSON");

    let mut counted = counted(&yard);
    let mut ranges = 0;
    for sheet in report["horses"].as_array().expect("horses") {
        let id: HorseId = sheet["id"].as_str().expect("an id").parse().expect("an id");
        for line in sheet["exercises"].as_array().expect("exercises") {
            let exercise = line["exercise"].as_str().expect("a word");
            for cell in ["all", "left", "right", "unsided"] {
                let place = (id, exercise.to_owned(), cell);
                let own = counted.remove(&place).unwrap_or_default();
                ranges += usize::from(agree(&line[cell], &own, exercise));
            }
        }
    }
    assert_eq!(
        counted,
        BTreeMap::new(),
        "all that was ridden is in the report"
    );
    assert!(ranges > 40, "only {ranges} cells had a range to compare");
}

/// Whether the cell had a range that could be compared.
fn agree(cell: &Value, own: &Counts, what: &str) -> bool {
    assert_eq!(cell["attempts"], own.attempts, "{what}");
    assert_eq!(cell["faulty_attempts"], own.faulty, "{what}");
    assert_eq!(cell["faults"], own.faults, "{what}");
    agree_per_minute(cell, own, what);
    let rate = &cell["rate"];
    // Below 6 attempts the count says more than a percentage.
    assert_eq!(
        rate.is_object(),
        own.attempts >= 6,
        "{what}: {} attempts, {rate}",
        own.attempts
    );
    if !rate.is_object() {
        assert!(cell["rate_reason"].is_string(), "{what}");
        return false;
    }
    let dispersion = number(&cell["dispersion"]);
    // A ride's attempts are at best copies of each other (Kish 1965, Survey Sampling).
    assert!(
        (1.0..=own.most as f64).contains(&dispersion),
        "{what}: dispersion {dispersion}, at most {} attempts a ride",
        own.most
    );
    let (wrong, ridden) = (own.faulty as f64, own.attempts as f64);
    let (low, high) = wilson(wrong, ridden, dispersion);
    near(&rate["value"], wrong / ridden, what);
    near(&rate["low"], low, what);
    near(&rate["high"], high, what);
    true
}

fn agree_per_minute(cell: &Value, own: &Counts, what: &str) {
    let minutes = own.minutes();
    near(&cell["ridden_minutes"], minutes, what);
    let rate = &cell["faults_per_minute"];
    assert_eq!(rate.is_object(), minutes > 0.0, "{what}: {minutes} minutes");
    if !rate.is_object() {
        assert!(cell["faults_per_minute_reason"].is_string(), "{what}");
        return;
    }
    near(&rate["value"], own.faults as f64 / minutes, what);
    let (low, high) = (number(&rate["low"]), number(&rate["high"]));
    if own.faults == 0 {
        assert!(
            low.abs() < 1e-12,
            "{what}: no fault, and the range begins at {low}"
        );
    } else {
        let tail = 1.0 - mid_p(own.faults, low * minutes);
        assert!((tail - 0.025).abs() < 1e-8, "{what}: {tail} above {low}");
    }
    let tail = mid_p(own.faults, high * minutes);
    assert!((tail - 0.025).abs() < 1e-8, "{what}: {tail} below {high}");
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[track_caller]
fn near(found: &Value, own: f64, what: &str) {
    let found = number(found);
    assert!(
        (found - own).abs() < 1e-9 * own.abs().max(1.0),
        "{what}: {found} in the report, {own} here"
    );
}
