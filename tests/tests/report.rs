//! The report against a calculation of its own: counts by walking the rides, ranges by the
//! formula as it is printed in textbooks.
#![expect(clippy::expect_used, reason = "helpers of tests")]

use std::collections::BTreeMap;

use reinback::report::document::Document;
use reinback_tests::demo::{demo_dir, write_yard};
use reinback_yard::{HorseId, MarkKind, Rein, Store, Yard};
use serde_json::Value;
use tempfile::TempDir;

/// Attempts, faulty attempts, faults.
type Counts = (u64, u64, u64);

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
            for cell in ["all", side] {
                let place = (ride.head.horse, bout.exercise.to_string(), cell);
                let counts = all.entry(place).or_default();
                counts.0 += 1;
                counts.1 += u64::from(faults > 0);
                counts.2 += faults;
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
    let document = Document::new(&yard, &horses, (None, None), today, &[]);
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
                ranges += usize::from(agree(&line[cell], own, exercise));
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
fn agree(cell: &Value, (attempts, faulty, marked): Counts, what: &str) -> bool {
    assert_eq!(cell["attempts"], attempts, "{what}");
    assert_eq!(cell["faulty_attempts"], faulty, "{what}");
    assert_eq!(cell["faults"], marked, "{what}");
    let rate = &cell["rate"];
    // Below 6 attempts the count says more than a percentage.
    assert_eq!(
        rate.is_object(),
        attempts >= 6,
        "{what}: {attempts} attempts, {rate}"
    );
    if !rate.is_object() {
        assert!(cell["rate_reason"].is_string(), "{what}");
        return false;
    }
    let number = |value: &Value| value.as_f64().expect("a number");
    let dispersion = number(&cell["dispersion"]);
    assert!(dispersion >= 1.0, "{what}");
    let (wrong, ridden) = (faulty as f64, attempts as f64);
    let (low, high) = wilson(wrong, ridden, dispersion);
    for (found, own) in [
        (number(&rate["value"]), wrong / ridden),
        (number(&rate["low"]), low),
        (number(&rate["high"]), high),
    ] {
        assert!(
            (found - own).abs() < 1e-9,
            "{what}: {found} in the report, {own} here"
        );
    }
    true
}
