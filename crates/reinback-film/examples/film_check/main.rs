//! Compares the engine with the `ffprobe` and `ffmpeg` programs, run then and
//! there, on any films.
//!
//! `film_check [--random N] FILE...` prints a line a film: frames, whether
//! their order rises, and the mismatches of time stamps and of the MD5 of the
//! decoder's own pixels: forward, backward, at random, and of the full-size
//! frame that is handed out when a step back is rested on. Ends with 1 where
//! one film mismatches.
//!
//! Where FFmpeg disputes a film with itself (a listed film, or one of which the
//! two programs count different frames), every difference is printed with that
//! reason, and order decides; of a film that is not listed, the number of
//! frames too, which must not lie outside the two programs' own.

#[path = "../../tests/film/disputed.rs"]
mod disputed;
mod told;
mod ways;

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use reinback_film::proof::Proof;
use reinback_film::{FilmError, FilmErrorKind};
use told::Told;
use ways::Way;

/// Random places where the caller names no number.
const RANDOM: usize = 25;

fn main() -> ExitCode {
    let (random, films) = arguments(std::env::args().skip(1));
    if films.is_empty() {
        say("Name one or more films: film_check [--random N] FILE...");
        return ExitCode::FAILURE;
    }
    let bad = films.iter().filter(|film| !is_clean(film, random)).count();
    say(&format!("{} films, {bad} with mismatches", films.len()));
    if bad == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn arguments(mut given: impl Iterator<Item = String>) -> (usize, Vec<PathBuf>) {
    let (mut random, mut films) = (RANDOM, Vec::new());
    while let Some(argument) = given.next() {
        if argument == "--random" {
            random = given.next().and_then(|n| n.parse().ok()).unwrap_or(RANDOM);
        } else {
            films.push(PathBuf::from(argument));
        }
    }
    (random, films)
}

/// Checks one film and prints its line.
fn is_clean(path: &Path, random: usize) -> bool {
    let mut proof = match Proof::open(path, ways::CACHE) {
        Ok(proof) => proof,
        Err(error) => return is_refused_by_both(path, &error),
    };
    let told = match Told::of(path, proof.stream()) {
        Ok(told) => told,
        Err(words) => {
            say(&format!("{}: not compared: {words}", path.display()));
            return false;
        }
    };
    // Where the programs count differently, what is missing cannot be told by a number.
    let dispute = told.dispute();
    let count = dispute.as_ref().map_or(told.ticks.len(), |_| 0);
    let ways = match ways::all(path, &mut proof, count, random) {
        Ok(ways) => ways,
        Err(error) => {
            say(&format!("{}: {error} ({})", path.display(), error.detail()));
            return false;
        }
    };
    let reason = disputed::reason(path).map(str::to_owned).or(dispute);
    let listed = disputed::reason(path).is_some();
    let counted = listed || told.counts().contains(&ways[0].found());
    verdict(path, &ways, &told, counted, reason.as_deref())
}

/// Prints what was found; whether it holds. Under dispute, that is the order, and whether the
/// frames are `counted` right.
fn verdict(path: &Path, ways: &[Way], told: &Told, counted: bool, reason: Option<&str>) -> bool {
    let mut line = format!("{}: {} frames", path.display(), ways[0].found());
    // In the order in which the engine steps forward, and in that in which it steps back.
    let rising = ways[..2].iter().all(Way::rises) && ways[0].found() > 0;
    let _ = write!(
        line,
        ", order {}",
        if rising { "rising" } else { "not rising" }
    );
    let mut bad = usize::from(!rising) + usize::from(!counted);
    let mut excused = Vec::new();
    for way in ways {
        let differences = way.differences(told);
        let (all, differing) = (way.frames.len(), differences.len());
        let _ = write!(line, ", {} {}/{all}", way.name, all - differing);
        if let Some(shelved) = way.shelved {
            let _ = write!(line, " ({shelved} held as filmed)");
        }
        if reason.is_some() {
            let named = differences.iter().map(|words| (way.name, words.clone()));
            excused.extend(named);
            continue;
        }
        if let Some(first) = differences.first() {
            let _ = write!(line, " (first: {first})");
        }
        bad += differing;
    }
    let _ = write!(line, ", {bad} mismatches");
    if !counted {
        let _ = write!(line, ", not as many frames as the programs tell");
    }
    let damaged = ways.iter().map(|way| way.damaged).max().unwrap_or(0);
    if damaged > 0 {
        let _ = write!(line, ", {damaged} damaged");
    }
    if let Some(reason) = reason {
        let _ = write!(line, "; disputed, order decides: {reason}");
    }
    say(&line);
    for (way, words) in excused {
        let reason = reason.unwrap_or_default();
        say(&format!("  {way}: {words} ({reason})"));
    }
    bad == 0
}

/// A film the engine refuses is clean where `ffprobe` finds no frame in it; one that is not
/// there, may not be read, or ended the engine was not checked.
fn is_refused_by_both(path: &Path, error: &FilmError) -> bool {
    if matches!(
        error.kind(),
        FilmErrorKind::NotFound | FilmErrorKind::Unreadable | FilmErrorKind::WorkerStopped
    ) {
        say(&format!("{}: not compared: {error}", path.display()));
        return false;
    }
    let none = told::ticks(path, "v:0").is_ok_and(|ticks| ticks.is_empty());
    let words = if none {
        "ffprobe finds no frame either"
    } else {
        "ffprobe lists frames"
    };
    say(&format!("{}: refused ({error}), {words}", path.display()));
    none
}

fn say(text: &str) {
    // A closed terminal is no reason to stop.
    let _ = writeln!(std::io::stdout(), "{text}");
}
