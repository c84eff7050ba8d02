//! Compares the engine with the `ffprobe` and `ffmpeg` programs, run then and
//! there, on any films.
//!
//! `film_check [--random N] FILE...` prints a line a film: frames, whether
//! their order rises, and the mismatches of time stamps and of the MD5 of the
//! decoder's own pixels, forward, backward and at random. Ends with 1 where
//! one film mismatches.

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};

use reinback_film::proof::{NativeFrame, Proof};
use reinback_film::{FilmError, FilmErrorKind, FilmTime};

/// Room for the frames of most groups, at 32 pixels a side.
const CACHE: usize = 32 << 20;
/// Random places where the caller names no number.
const RANDOM: usize = 25;

/// A frame as the programs tell it.
struct Told {
    /// `None` where `ffprobe` has no time stamp for it.
    tick: Option<i64>,
    md5: String,
}

/// One way through a film.
struct Way {
    name: &'static str,
    frames: Vec<(usize, Option<NativeFrame>)>,
}

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
    let mut proof = match Proof::open(path, CACHE) {
        Ok(proof) => proof,
        Err(error) => return is_refused_by_both(path, &error),
    };
    let told = match told(path, &proof) {
        Ok(told) => told,
        Err(words) => {
            say(&format!("{}: not compared: {words}", path.display()));
            return false;
        }
    };
    let ways = match ways(path, &mut proof, told.len(), random) {
        Ok(ways) => ways,
        Err(error) => {
            say(&format!("{}: {error} ({})", path.display(), error.detail()));
            return false;
        }
    };
    let mut line = format!("{}: {} frames", path.display(), told.len());
    // In the order in which the engine steps forward.
    let forward = ways[0].frames.iter();
    let rising = forward
        .filter_map(|(_, frame)| frame.as_ref())
        .is_sorted_by(|a, b| a.tick < b.tick);
    let _ = write!(
        line,
        ", order {}",
        if rising { "rising" } else { "not rising" }
    );
    let mut bad = usize::from(!rising);
    for way in &ways {
        let wrong: Vec<String> = mismatches(way, &told);
        let _ = write!(
            line,
            ", {} {}/{}",
            way.name,
            way.frames.len() - wrong.len(),
            way.frames.len()
        );
        if let Some(first) = wrong.first() {
            let _ = write!(line, " (first: {first})");
        }
        bad += wrong.len();
    }
    let _ = write!(line, ", {bad} mismatches");
    if proof.skipped() > 0 {
        let _ = write!(line, ", {} damaged", proof.skipped());
    }
    say(&line);
    bad == 0
}

/// A film the engine refuses is clean where `ffprobe` finds no frame in it; one that is not
/// there, or may not be read, was not checked.
fn is_refused_by_both(path: &Path, error: &FilmError) -> bool {
    if matches!(
        error.kind(),
        FilmErrorKind::NotFound | FilmErrorKind::Unreadable
    ) {
        say(&format!("{}: not compared: {error}", path.display()));
        return false;
    }
    let none = listed_ticks(path, "v:0").is_ok_and(|ticks| ticks.is_empty());
    let words = if none {
        "ffprobe finds no frame either"
    } else {
        "ffprobe lists frames"
    };
    say(&format!("{}: refused ({error}), {words}", path.display()));
    none
}

/// The frames forward and backward as far as there are any, and some at random.
fn ways(
    path: &Path,
    proof: &mut Proof,
    count: usize,
    random: usize,
) -> Result<Vec<Way>, FilmError> {
    let mut forward = Vec::new();
    let mut next = proof.at(FilmTime::ZERO)?;
    while let Some(frame) = next {
        forward.push(frame);
        next = proof.after(frame.time)?;
    }
    // From here on nothing may come from what forward stepping left behind.
    *proof = Proof::open(path, CACHE)?;
    let mut backward = Vec::new();
    let mut before = proof.at(FilmTime::MAX)?;
    while let Some(frame) = before {
        backward.push(frame);
        before = proof.before(frame.time)?;
    }
    backward.reverse();
    let mut jumps = Vec::new();
    let mut dice = Dice(17);
    for _ in 0..random.min(forward.len()) {
        *proof = Proof::open(path, 0)?;
        let at = dice.below(forward.len());
        // Half way to the next frame, where there is one.
        let start = forward[at].time;
        let end = forward.get(at + 1).map_or(start, |next| next.time);
        jumps.push((at, proof.at(FilmTime(start.0 + (end.0 - start.0) / 2))?));
    }
    Ok(vec![
        Way {
            name: "forward",
            frames: against(forward, count),
        },
        Way {
            name: "backward",
            frames: against(backward, count),
        },
        Way {
            name: "random",
            frames: jumps,
        },
    ])
}

/// Numbers what was found; what is told and was not found is missing.
fn against(found: Vec<NativeFrame>, count: usize) -> Vec<(usize, Option<NativeFrame>)> {
    let missing = found.len()..count;
    let mut frames: Vec<_> = found.into_iter().map(Some).enumerate().collect();
    frames.extend(missing.map(|at| (at, None)));
    frames
}

fn mismatches(way: &Way, told: &[Told]) -> Vec<String> {
    let wrong = |(at, found): &(usize, Option<NativeFrame>)| {
        let words = match (found, told.get(*at)) {
            (None, _) => "missing".to_owned(),
            (Some(frame), None) => format!("at tick {}, not told", frame.tick),
            (
                Some(frame),
                Some(Told {
                    tick: Some(tick), ..
                }),
            ) if frame.tick != *tick => {
                format!("at tick {} instead of {tick}", frame.tick)
            }
            (Some(frame), Some(told)) => {
                let md5 = hex(frame.md5);
                if md5 == told.md5 {
                    return None;
                }
                format!("pixels {md5} instead of {}", told.md5)
            }
        };
        Some(format!("frame {at} {words}"))
    };
    way.frames.iter().filter_map(wrong).collect()
}

/// Ticks by `ffprobe`, pixels by `ffmpeg`.
fn told(path: &Path, proof: &Proof) -> Result<Vec<Told>, String> {
    let ticks = listed_ticks(path, &proof.stream().to_string())?;
    let md5s = listed_md5s(path, proof.stream())?;
    if ticks.len() != md5s.len() {
        return Err(format!(
            "ffprobe lists {} frames, ffmpeg {}",
            ticks.len(),
            md5s.len()
        ));
    }
    let pairs = ticks.into_iter().zip(md5s);
    Ok(pairs.map(|(tick, md5)| Told { tick, md5 }).collect())
}

fn listed_ticks(path: &Path, stream: &str) -> Result<Vec<Option<i64>>, String> {
    let text = output(
        Command::new("ffprobe")
            .args(["-v", "quiet", "-select_streams", stream, "-of", "csv=p=0"])
            .args(["-show_entries", "frame=best_effort_timestamp"])
            .arg(path),
    )?;
    let numbers = text
        .lines()
        .map(|line| line.split(',').next().unwrap_or_default().trim());
    let numbers = numbers.filter(|number| !number.is_empty());
    Ok(numbers.map(|number| number.parse().ok()).collect())
}

fn listed_md5s(path: &Path, stream: usize) -> Result<Vec<String>, String> {
    let text = output(
        Command::new("ffmpeg")
            .args(["-v", "quiet", "-nostdin", "-noautorotate", "-i"])
            .arg(path)
            .args(["-map", &format!("0:{stream}"), "-fps_mode", "passthrough"])
            .args(["-enc_time_base", "-1", "-f", "framemd5", "-"]),
    )?;
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    let sums = lines.filter_map(|line| line.rsplit(',').next());
    Ok(sums.map(|sum| sum.trim().to_owned()).collect())
}

fn output(command: &mut Command) -> Result<String, String> {
    let name = command.get_program().to_string_lossy().into_owned();
    let output = command
        .stdin(Stdio::null())
        .output()
        .map_err(|error| format!("{name} cannot be run: {error}"))?;
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

fn hex(md5: [u8; 16]) -> String {
    format!("{:032x}", u128::from_be_bytes(md5))
}

/// Numbers that look random and are the same in each run (Knuth's MMIX
/// constants).
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit.max(1)
    }
}

fn say(text: &str) {
    // A closed terminal is no reason to stop.
    let _ = writeln!(std::io::stdout(), "{text}");
}
