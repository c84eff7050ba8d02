//! The report of a yard whose counts are known.

use std::path::Path;

use reinback_yard::{Document as Yards, Edit, Store};
use serde_json::Value;

use super::*;

/// The sample yard in a folder of its own.
fn folder() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    let sample = sample::yard();
    let opened = Store::create(dir.path(), &sample.name).expect("a new yard");
    let mut store = opened.store;
    let mut yards = Yards::new(opened.yard);
    for horse in &sample.horses {
        yards
            .apply("horse", Edit::Horse(horse.id, Some(horse.clone())))
            .expect("a horse");
    }
    for ride in sample.rides.values() {
        let edit = Edit::Ride(ride.id, Some(Box::new(ride.as_ref().clone())));
        yards.apply("ride", edit).expect("a ride");
    }
    let files = yards.take_unsaved();
    store.save(yards.yard(), &files).expect("saved");
    dir
}

struct Answer {
    outcome: Result<Outcome, String>,
    out: String,
    err: String,
}

fn ask(verb: &Verb) -> Answer {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let outcome = answer(verb, sample::day(9), &mut out, &mut err);
    Answer {
        outcome,
        out: String::from_utf8(out).expect("text"),
        err: String::from_utf8(err).expect("text"),
    }
}

fn wish(folder: &Path, horse: Option<&str>, days: [Option<&str>; 2], format: Format) -> Verb {
    Verb::Report {
        yard: folder.to_owned(),
        horse: horse.map(str::to_owned),
        from: days[0].map(str::to_owned),
        to: days[1].map(str::to_owned),
        format,
        into: None,
        without_names: false,
        page: html::Asked::default(),
        period: None,
        against_from: None,
        against_to: None,
    }
}

fn json(folder: &Path, horse: Option<&str>) -> Value {
    let answer = ask(&wish(folder, horse, [None, None], Format::Json));
    assert_eq!(answer.outcome, Ok(Outcome::Fine), "{}", answer.err);
    serde_json::from_str(&answer.out).expect("JSON")
}

#[test]
fn json_holds_the_counts_of_the_sample() {
    let dir = folder();
    let report = json(dir.path(), Some("JUNIPER"));
    assert_eq!(report["yard"], "Sample yard");
    assert_eq!(report["as_of"], "2026-05-31");
    assert_eq!(report["generator"]["version"], env!("CARGO_PKG_VERSION"));
    let horse = &report["horses"][0];
    assert_eq!(horse["unreviewed_bouts"], sample::UNREVIEWED);
    let half_pass = &horse["exercises"][0];
    assert_eq!(half_pass["exercise"], "half-pass");
    assert_eq!(half_pass["all"]["attempts"], 40);
    assert_eq!(half_pass["all"]["faulty_attempts"], 15);
    assert_eq!(half_pass["left"]["faulty_attempts"], 10);
    assert_eq!(half_pass["right"]["faulty_attempts"], 5);
    assert_eq!(half_pass["all"]["ridden_minutes"], 10.0, "40 bouts of 15 s");
    assert_eq!(half_pass["all"]["faults_per_minute"]["value"], 1.5);
    assert_eq!(half_pass["rides"].as_array().map(Vec::len), Some(10));
    assert_eq!(half_pass["trend"]["reason"], Value::Null);
    assert_eq!(half_pass["unsided"]["rate"], Value::Null);
    assert!(half_pass["unsided"]["rate_reason"].is_string());
}

/// Every range has its source beside it and in the list of methods.
#[test]
fn every_method_is_named_with_its_source() {
    let dir = folder();
    let report = json(dir.path(), None);
    let methods = report["methods"].as_array().expect("methods");
    let rate = &report["horses"][0]["exercises"][0]["all"]["rate"];
    assert!(
        methods
            .iter()
            .any(|method| method["name"] == rate["method"] && method["source"] == rate["source"]),
        "{rate} is not among {methods:?}"
    );
}

#[test]
fn csv_says_the_same_as_json() {
    let dir = folder();
    let report = json(dir.path(), None);
    let answer = ask(&wish(dir.path(), None, [None, None], Format::Csv));
    assert!(
        answer.out.contains("\r\n"),
        "RFC 4180 ends its lines with CRLF"
    );
    let mut reader = csv::Reader::from_reader(answer.out.as_bytes());
    let names = reader.headers().expect("names").clone();
    assert_eq!(names.iter().collect::<Vec<_>>(), table::COLUMNS);
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(rows.len(), 8, "two exercises, four rows each");
    let column = |row: &csv::StringRecord, name: &str| {
        let at = names
            .iter()
            .position(|have| have == name)
            .expect("a column");
        row.get(at).unwrap_or_default().to_owned()
    };
    for row in &rows {
        let exercises = report["horses"][0]["exercises"]
            .as_array()
            .expect("exercises");
        let same = exercises
            .iter()
            .find(|exercise| exercise["exercise"] == column(row, "exercise").as_str())
            .expect("the exercise");
        let cell = &same[column(row, "rein").as_str()];
        assert_eq!(column(row, "attempts"), cell["attempts"].to_string());
        let rate = column(row, "rate").parse::<f64>().ok();
        assert_eq!(rate, cell["rate"]["value"].as_f64());
        let high = column(row, "faults_per_minute_high").parse::<f64>().ok();
        assert_eq!(high, cell["faults_per_minute"]["high"].as_f64());
    }
}

#[test]
fn no_cell_of_csv_is_a_formula() {
    let mut yard = sample::yard();
    yard.name = "+1".into();
    yard.horses[0].name = "=HYPERLINK(\"x\")".into();
    let exercises = yard.words.exercises.iter_mut();
    for exercise in exercises.filter(|own| own.id.as_str() == "half-pass") {
        exercise.name = "@half-pass".into();
        for fault in &mut exercise.faults {
            fault.name.insert(0, '-');
        }
    }
    let document = Document::new(
        &yard,
        &[sample::horse()],
        (Days::default(), None),
        sample::day(9),
        &[],
    );
    let rows = table::rows(&document).expect("rows");
    let mut reader = csv::Reader::from_reader(rows.as_slice());
    let mut guarded = 0;
    for row in reader.records() {
        for cell in &row.expect("a row") {
            let number = cell.parse::<f64>().is_ok();
            let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
            assert!(number || !formula, "{cell}");
            guarded += usize::from(cell.starts_with('\''));
        }
    }
    // Yard and horse in each of eight rows, the name in four, the list of faults in one.
    assert_eq!(guarded, 2 * 8 + 4 + 1);
}

/// What is asked of the wrong format is said before anything is read.
#[test]
fn the_switches_of_parquet_go_with_parquet() {
    let dir = folder();
    let verb = |format, into: Option<&str>, without_names| Verb::Report {
        yard: dir.path().to_owned(),
        horse: None,
        from: None,
        to: None,
        format,
        into: into.map(PathBuf::from),
        without_names,
        page: html::Asked::default(),
        period: None,
        against_from: None,
        against_to: None,
    };
    for (verb, expect) in [
        (verb(Format::Parquet, None, false), "--into FOLDER"),
        (verb(Format::Json, Some("/nowhere"), false), "--into is for"),
        (verb(Format::Csv, None, true), "--without-names is for"),
    ] {
        let why = ask(&verb).outcome.expect_err(expect);
        assert!(why.contains(expect), "{why}");
    }
    let out = tempfile::tempdir().expect("a folder");
    let into = out.path().join("new");
    let answer = ask(&verb(Format::Parquet, into.to_str(), false));
    assert_eq!(answer.outcome, Ok(Outcome::Fine), "{}", answer.err);
    let rides = format!("{}: 10 rows", into.join("rides.parquet").display());
    assert!(answer.out.contains(&rides), "{}", answer.out);
}

#[test]
fn a_period_is_kept() {
    let dir = folder();
    let answer = ask(&wish(
        dir.path(),
        None,
        [Some("2026-05-07"), Some("2026-05-10")],
        Format::Json,
    ));
    let report: Value = serde_json::from_str(&answer.out).expect("JSON");
    assert_eq!(report["horses"][0]["rides"], 2);
    assert_eq!(report["period"]["from"], "2026-05-07");
}

/// Of the sample's half-passes two are faulty in each of the first five rides, one in the others.
#[test]
fn two_periods_are_compared_in_every_format() {
    let dir = folder();
    let mut verb = wish(dir.path(), None, [Some("2026-05-19"), None], Format::Json);
    let Verb::Report { against_to, .. } = &mut verb else {
        unreachable!("a report was wished for")
    };
    *against_to = Some("2026-05-18".into());
    let answer = ask(&verb);
    let report: Value = serde_json::from_str(&answer.out).expect("JSON");
    assert_eq!(report["period"]["from"], "2026-05-19");
    assert_eq!(report["compared_with"]["to"], "2026-05-18");
    let horse = &report["horses"][0];
    assert_eq!(
        (&horse["rides"], &horse["rides_compared_with"]),
        (&5.into(), &5.into())
    );
    let found = &horse["exercises"][0]["against_before"];
    assert_eq!(found["before"]["faulty_attempts"], 10);
    assert_eq!(found["before"]["attempts"], 20);
    assert_eq!(found["difference"]["value"], -0.25);
    let ratio = found["faults_per_minute_ratio"]["value"].as_f64();
    assert!(
        ratio.is_some_and(|ratio| (ratio - 0.5).abs() < 1e-9),
        "{ratio:?}"
    );

    if let Verb::Report { format, .. } = &mut verb {
        *format = Format::Csv;
    }
    let mut reader = csv::Reader::from_reader(io::Cursor::new(ask(&verb).out));
    let names = reader.headers().expect("names").clone();
    let first = reader.records().next().expect("a row").expect("a row");
    for (name, expect) in [
        ("against_from", ""),
        ("against_to", "2026-05-18"),
        ("before_attempts", "20"),
        ("before_faulty_attempts", "10"),
        ("difference", "-0.25"),
    ] {
        let at = names
            .iter()
            .position(|have| have == name)
            .expect("a column");
        assert_eq!(&first[at], expect, "{name}");
    }
}

/// The sample's last day is 31 May 2026.
#[test]
fn running_days_end_today() {
    let dir = folder();
    for (running, from, before) in [
        (Running::Month, "2026-05-01", ["2026-04-01", "2026-04-30"]),
        (
            Running::FourWeeks,
            "2026-05-04",
            ["2026-04-06", "2026-05-03"],
        ),
    ] {
        let mut verb = wish(dir.path(), None, [None, None], Format::Json);
        if let Verb::Report { period, .. } = &mut verb {
            *period = Some(running);
        }
        let report: Value = serde_json::from_str(&ask(&verb).out).expect("JSON");
        assert_eq!(report["period"]["from"], from);
        assert_eq!(report["period"]["to"], "2026-05-31");
        assert_eq!(report["compared_with"]["from"], before[0]);
        assert_eq!(report["compared_with"]["to"], before[1]);
        assert_eq!(report["horses"][0]["rides_compared_with"], 0);
    }
}

#[test]
fn days_are_not_compared_with_themselves() {
    let dir = folder();
    let mut verb = wish(dir.path(), None, [None, None], Format::Json);
    if let Verb::Report { against_from, .. } = &mut verb {
        *against_from = Some("2026-05-18".into());
    }
    let answer = ask(&verb);
    let why = answer.outcome.expect_err("every ride is in the period");
    assert!(why.contains("share days"), "{why}");
}

#[test]
fn what_cannot_be_asked_is_said_clearly() {
    let dir = folder();
    let gone = dir.path().join("nowhere");
    let here = dir.path();
    for (verb, expect) in [
        (
            wish(here, Some("Nobody"), [None, None], Format::Json),
            "its only horse is Juniper",
        ),
        (
            wish(here, None, [Some("1/5/26"), None], Format::Json),
            "is not a day",
        ),
        (
            wish(
                here,
                None,
                [Some("2026-05-02"), Some("2026-05-01")],
                Format::Json,
            ),
            "before it begins",
        ),
        (
            wish(&gone, None, [None, None], Format::Json),
            "There is no folder",
        ),
        (Verb::Check { yard: gone.clone() }, "There is no folder"),
    ] {
        let answer = ask(&verb);
        let why = answer.outcome.expect_err(expect);
        assert!(why.contains(expect), "{why:?} should say {expect:?}");
        assert_eq!(
            answer.out, "",
            "nothing is printed where nothing can be done"
        );
    }
}

#[test]
fn an_unreadable_ride_is_told_and_the_rest_is_printed() {
    let dir = folder();
    let path = dir.path().join("rides/2026/damaged.ron");
    std::fs::write(&path, "this is no ride").expect("written");
    let answer = ask(&wish(dir.path(), None, [None, None], Format::Json));
    assert_eq!(answer.outcome, Ok(Outcome::ProblemsFound));
    assert!(answer.err.contains("damaged.ron"), "{}", answer.err);
    let report: Value = serde_json::from_str(&answer.out).expect("JSON");
    assert_eq!(report["unreadable_files"], 1);
    assert_eq!(report["horses"][0]["rides"], 10);
}

#[test]
fn check_prints_one_line_a_problem_and_a_summary() {
    let dir = folder();
    let fine = ask(&Verb::Check {
        yard: dir.path().to_owned(),
    });
    assert_eq!(fine.outcome, Ok(Outcome::Fine), "{}", fine.out);
    assert_eq!(fine.out, "Nothing is wrong with this yard's files.\n");
    std::fs::write(dir.path().join("rides/2026/damaged.ron"), "(").expect("written");
    let found = ask(&Verb::Check {
        yard: dir.path().to_owned(),
    });
    assert_eq!(found.outcome, Ok(Outcome::ProblemsFound));
    let lines: Vec<&str> = found.out.lines().collect();
    assert_eq!(lines.len(), 2, "{}", found.out);
    assert!(
        lines[0].contains("damaged.ron:") && lines[0].contains(": error: "),
        "{}",
        lines[0]
    );
    assert_eq!(lines[1], "1 error, 0 warnings, 0 notes.");
}

/// A reader that has read enough is no trouble; a full disk is.
#[test]
fn only_a_real_failure_to_write_is_told() {
    struct Broken(io::ErrorKind);
    impl Write for Broken {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }
    assert_eq!(put(&mut Broken(io::ErrorKind::BrokenPipe), b"text"), Ok(()));
    let full = put(&mut Broken(io::ErrorKind::StorageFull), b"text");
    assert!(full.is_err_and(|why| why.contains("could not be written")));
}

/// Every field and column has its row in the description.
#[test]
fn the_description_names_every_field() {
    fn keys(value: &Value, found: &mut std::collections::BTreeSet<String>) {
        match value {
            Value::Object(fields) => {
                for (key, value) in fields {
                    found.insert(key.clone());
                    keys(value, found);
                }
            }
            Value::Array(values) => values.iter().for_each(|value| keys(value, found)),
            _ => {}
        }
    }
    let described = include_str!("../../../../docs/report.md");
    let dir = folder();
    let mut wanted: std::collections::BTreeSet<String> =
        table::COLUMNS.iter().map(ToString::to_string).collect();
    keys(&json(dir.path(), None), &mut wanted);
    for key in wanted {
        assert!(
            described.contains(&format!("`{key}`")),
            "docs/report.md does not describe `{key}`"
        );
    }
}
