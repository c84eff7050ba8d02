//! Reads a whole yard and says everything that is wrong with it.

use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::path::Path;

use crate::file;
use crate::id::BoutId;
use crate::model::{Bout, MarkKind, Ride, Yard};
use crate::problem::{Problem, Severity};
use crate::store::{self, Found, StoreError};
use crate::words::{Exercise, WordId};

/// Everything that is wrong with the yard in a folder, in the order of files and lines.
/// Changes nothing, and may be called while the yard is open.
#[must_use]
pub fn check(dir: &Path) -> Vec<Problem> {
    let mut problems = Vec::new();
    match store::read_folder(dir, None, &mut problems, &mut |_| ControlFlow::Continue(())) {
        Ok(found) => check_contents(dir, &found, &mut problems),
        Err(error) => problems.push(of_error(&error)),
    }
    problems.sort();
    problems
}

fn of_error(error: &StoreError) -> Problem {
    let line = match error {
        StoreError::Damaged { line, .. } => *line,
        _ => None,
    };
    Problem {
        file: error.path().to_owned(),
        line,
        severity: Severity::Error,
        message: format!("{error} {}", error.next_step()),
    }
}

fn check_contents(dir: &Path, found: &Found, problems: &mut Vec<Problem>) {
    let path = dir.join(store::YARD_FILE);
    let page = Page::read(&path);
    for problem in found.yard.words.validate() {
        let id = problem.id().map(ToString::to_string);
        problems.push(page.problem(id.as_deref(), Severity::Warning, problem.to_string()));
    }
    for ride in found.yard.rides.values() {
        let Some(path) = found.ride_file(ride.id) else {
            continue;
        };
        let page = Page::read(path);
        check_films(dir, ride, &page, problems);
        check_bouts(&found.yard, ride, &page, problems);
        check_marks(&found.yard, ride, &page, problems);
        check_spans(&found.yard, ride, &page, problems);
    }
}

/// A file's text, to find the lines of things by their ids.
struct Page<'a> {
    path: &'a Path,
    text: String,
}

impl<'a> Page<'a> {
    fn read(path: &'a Path) -> Self {
        let bytes = store::read_capped(path).unwrap_or_default();
        Self {
            path,
            text: String::from_utf8_lossy(&bytes).into_owned(),
        }
    }

    fn problem(&self, id: Option<&str>, severity: Severity, message: String) -> Problem {
        Problem {
            file: self.path.to_owned(),
            line: id.and_then(|id| file::line_of(&self.text, id)),
            severity,
            message,
        }
    }
}

fn check_films(dir: &Path, ride: &Ride, page: &Page<'_>, problems: &mut Vec<Problem>) {
    for film in &ride.films {
        if !store::film_path_in(dir, film).is_file() {
            let message = format!(
                "The film “{}” is not there. Connect its drive, or open the ride and say where it is now.",
                film.path
            );
            problems.push(page.problem(Some(&film.id.to_string()), Severity::Warning, message));
        }
    }
}

fn check_bouts(yard: &Yard, ride: &Ride, page: &Page<'_>, problems: &mut Vec<Problem>) {
    for bout in &ride.bouts {
        let id = bout.id.to_string();
        let mut say = |severity, message| problems.push(page.problem(Some(&id), severity, message));
        match yard.words.exercise(&bout.exercise) {
            None => say(Severity::Warning, unknown("exercise", &bout.exercise)),
            Some(exercise) => {
                if let Some(variant) = bout.variant.as_ref().filter(|v| !has_variant(exercise, v)) {
                    say(Severity::Warning, unknown("variant", variant));
                }
            }
        }
        if bout.to.is_none() {
            let message = format!("A bout of {} was never closed. Set its end.", bout.exercise);
            say(Severity::Warning, message);
        }
    }
    for (first, second) in overlaps(&ride.bouts) {
        let message = format!(
            "A bout of {} begins before one of {} has ended. Minutes ridden count the common time \
             for both.",
            second.exercise, first.exercise
        );
        problems.push(page.problem(Some(&second.id.to_string()), Severity::Note, message));
    }
}

/// Each closed bout with the next of its review that begins before it ends. Sorted by start.
fn overlaps(bouts: &[Bout]) -> Vec<(&Bout, &Bout)> {
    let next_of = |index: usize, bout: &Bout| {
        let review = bout.review;
        bouts
            .iter()
            .skip(index + 1)
            .find(move |other| other.review == review)
    };
    bouts
        .iter()
        .enumerate()
        .filter_map(|(index, bout)| Some((bout, next_of(index, bout)?)))
        .filter(|(bout, next)| bout.to.is_some_and(|to| next.from < to))
        .collect()
}

fn check_marks(yard: &Yard, ride: &Ride, page: &Page<'_>, problems: &mut Vec<Problem>) {
    let bouts: BTreeSet<BoutId> = ride.bouts.iter().map(|bout| bout.id).collect();
    for mark in &ride.marks {
        let id = mark.id.to_string();
        let mut say = |severity, message| problems.push(page.problem(Some(&id), severity, message));
        if let MarkKind::Fault(fault) = &mark.kind
            && !is_fault(yard, fault)
        {
            say(Severity::Warning, unknown("fault", fault));
        }
        if mark.bout.is_some_and(|bout| !bouts.contains(&bout)) {
            let message = "This mark belongs to a bout that is gone, and counts by its moment.";
            say(Severity::Note, message.into());
        }
    }
}

fn check_spans(yard: &Yard, ride: &Ride, page: &Page<'_>, problems: &mut Vec<Problem>) {
    for span in &ride.outlines {
        if !yard
            .words
            .outlines
            .iter()
            .any(|word| word.id == span.outline)
        {
            let message = unknown("outline", &span.outline);
            problems.push(page.problem(Some(&span.id.to_string()), Severity::Warning, message));
        }
    }
}

fn unknown(kind: &str, word: &WordId) -> String {
    format!(
        "The {kind} “{word}” is not among the yard's words; it is shown as “{}”. Add it to the \
         words, or choose another.",
        word.spelled()
    )
}

fn has_variant(exercise: &Exercise, variant: &WordId) -> bool {
    exercise.variants.iter().any(|word| word.id == *variant)
}

fn is_fault(yard: &Yard, fault: &WordId) -> bool {
    let own = yard
        .words
        .exercises
        .iter()
        .flat_map(|exercise| &exercise.faults);
    own.chain(&yard.words.general_faults)
        .any(|word| word.id == *fault)
}

#[cfg(test)]
mod tests;
