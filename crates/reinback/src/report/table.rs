//! The report as rows of CSV: one for each horse, exercise and rein.

use reinback_yard::export::plain_cell;

use super::document::{CellSheet, Document, EstimateSheet, ExerciseSheet, HorseSheet};

/// The columns, in order. `docs/report.md` describes each; change both together.
pub const COLUMNS: [&str; 45] = [
    "yard",
    "generator_version",
    "as_of",
    "from",
    "to",
    "horse",
    "rides",
    "unreviewed_bouts",
    "exercise",
    "exercise_name",
    "work_on_first",
    "rein",
    "attempts",
    "faulty_attempts",
    "faults",
    "rate",
    "rate_low",
    "rate_high",
    "rate_level",
    "rate_method",
    "rate_source",
    "rate_reason",
    "dispersion",
    "ridden_minutes",
    "faults_per_minute",
    "faults_per_minute_low",
    "faults_per_minute_high",
    "faults_per_minute_level",
    "faults_per_minute_method",
    "faults_per_minute_source",
    "faults_per_minute_reason",
    "trend",
    "trend_reason",
    "faults_by_kind",
    "against_from",
    "against_to",
    "before_attempts",
    "before_faulty_attempts",
    "now_against_before",
    "difference",
    "difference_low",
    "difference_high",
    "difference_method",
    "difference_source",
    "difference_reason",
];

/// A report's rows after a row of column names, as RFC 4180 has it.
///
/// # Errors
/// What the CSV writer says.
pub fn rows(document: &Document) -> csv::Result<Vec<u8>> {
    let mut rows = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    rows.write_record(COLUMNS)?;
    for horse in &document.horses {
        for exercise in &horse.exercises {
            for (rein, cell) in [
                ("all", &exercise.all),
                ("left", &exercise.left),
                ("right", &exercise.right),
                ("unsided", &exercise.unsided),
            ] {
                rows.write_record(row(document, horse, exercise, rein, cell))?;
            }
        }
    }
    rows.into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))
}

fn row(
    document: &Document,
    horse: &HorseSheet,
    exercise: &ExerciseSheet,
    rein: &str,
    cell: &CellSheet,
) -> Vec<String> {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let mut row = vec![
        plain_cell(document.yard.clone()),
        document.generator.version.to_owned(),
        document.as_of.clone(),
        text(&document.period.from),
        text(&document.period.to),
        plain_cell(horse.name.clone()),
        horse.rides.to_string(),
        horse.unreviewed_bouts.to_string(),
        exercise.exercise.clone(),
        plain_cell(exercise.name.clone()),
        exercise.work_on_first.to_string(),
        rein.to_owned(),
        cell.attempts.to_string(),
        cell.faulty_attempts.to_string(),
        cell.faults.to_string(),
    ];
    row.extend(estimate(cell.rate.as_ref(), cell.rate_reason.as_deref()));
    row.push(cell.dispersion.to_string());
    row.push(cell.ridden_minutes.to_string());
    row.extend(estimate(
        cell.faults_per_minute.as_ref(),
        cell.faults_per_minute_reason.as_deref(),
    ));
    // These are known for all attempts together only.
    if rein == "all" {
        row.push(exercise.trend.state.unwrap_or_default().to_owned());
        row.push(text(&exercise.trend.reason));
        row.push(kinds(exercise));
        row.extend(against_before(document, exercise));
    } else {
        row.extend([const { String::new() }; 14]);
    }
    row
}

fn estimate(found: Option<&EstimateSheet>, reason: Option<&str>) -> [String; 7] {
    let number = |of: fn(&EstimateSheet) -> f64| {
        found.map_or_else(String::new, |estimate| of(estimate).to_string())
    };
    let text =
        |of: fn(&EstimateSheet) -> &'static str| found.map(of).unwrap_or_default().to_owned();
    [
        number(|estimate| estimate.value),
        number(|estimate| estimate.low),
        number(|estimate| estimate.high),
        number(|estimate| estimate.level),
        text(|estimate| estimate.method),
        text(|estimate| estimate.source),
        reason.unwrap_or_default().to_owned(),
    ]
}

/// The period against the days compared with, empty without any.
fn against_before(document: &Document, exercise: &ExerciseSheet) -> [String; 11] {
    let text = |text: Option<&String>| text.cloned().unwrap_or_default();
    let (Some(days), Some(found)) = (&document.compared_with, &exercise.against_before) else {
        return [const { String::new() }; 11];
    };
    let range = found.difference.as_ref();
    let number = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    [
        text(days.from.as_ref()),
        text(days.to.as_ref()),
        found.before.attempts.to_string(),
        found.before.faulty_attempts.to_string(),
        found.now_against_before.to_owned(),
        number(range.map(|range| range.value)),
        number(range.map(|range| range.low)),
        number(range.map(|range| range.high)),
        range
            .map(|range| range.method.to_owned())
            .unwrap_or_default(),
        range
            .map(|range| range.source.to_owned())
            .unwrap_or_default(),
        text(found.reason.as_ref()),
    ]
}

/// "quarters trailing: 5; lost bend: 2".
fn kinds(exercise: &ExerciseSheet) -> String {
    let kinds: Vec<String> = exercise
        .faults_by_kind
        .iter()
        .map(|kind| format!("{}: {}", kind.name, kind.times))
        .collect();
    plain_cell(kinds.join("; "))
}
