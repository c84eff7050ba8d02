//! Films drawn from a script, with the truth about them.
//!
//! A schematic horse and rider go round a dressage arena. Every footfall comes
//! from the published figures in [`paces`]; what happens is known to the
//! nanosecond and written beside the film, so that whatever looks at the film
//! can be checked against it.
//!
//! | module | subject |
//! |---|---|
//! | [`script`] | what is to be ridden, read from RON |
//! | [`paces`] | published phases, duty, stride times and lengths |
//! | [`plan`] | the script laid out stride by stride |
//! | [`gait`] | the times at which feet land and leave |
//! | [`motion`] | the way over the ground, and where feet stand |
//! | [`truth`] | what is written beside the film |
//! | [`arena`] | the letters of the track |
//! | [`pose`] | the joints of the horse at one moment |
//! | [`draw`] | one picture |
//! | [`render`], [`encode`] | all pictures, into a file |
//!
//! **Invariant** films depend on their script alone: no clock, no chance.

pub(crate) mod arena;
pub(crate) mod draw;
pub(crate) mod encode;
pub(crate) mod error;
pub(crate) mod gait;
pub(crate) mod motion;
pub(crate) mod paces;
pub(crate) mod plan;
pub(crate) mod pose;
pub(crate) mod render;
pub(crate) mod script;
pub(crate) mod truth;

#[cfg(test)]
mod tests;

use std::io::Write as _;
use std::path::{Path, PathBuf};

use self::draw::Studio;
use self::encode::Care;
use self::error::FilmError;
use self::motion::Motion;
use self::script::Script;
use self::truth::Truth;

/// What `cargo xtask film` is asked to do.
#[derive(Debug, Clone, clap::Args)]
pub(crate) struct FilmArgs {
    /// Script to draw; without it, every committed film is drawn again.
    #[arg(long, requires = "out")]
    script: Option<PathBuf>,
    /// Film file to write.
    #[arg(long, requires = "script")]
    out: Option<PathBuf>,
    /// Picture size instead of the script's, such as `1280x720`.
    #[arg(long, value_parser = size)]
    size: Option<(u32, u32)>,
    /// Pictures per second instead of the script's.
    #[arg(long)]
    fps: Option<u32>,
    /// Draw nothing; check that every committed truth follows from its script.
    #[arg(long, conflicts_with_all = ["script", "size", "fps"])]
    check: bool,
    /// Draw nothing; write the truth of every script beside it anew.
    #[arg(long, conflicts_with_all = ["script", "size", "fps", "check"])]
    truths: bool,
    /// Draw one picture as PNG, at this second, instead of a film.
    #[arg(long, requires = "script")]
    still: Option<f64>,
}

fn size(text: &str) -> Result<(u32, u32), String> {
    let parts = text
        .split_once('x')
        .and_then(|(w, h)| Some((w.parse().ok()?, h.parse().ok()?)));
    parts.ok_or_else(|| "a size looks like 1280x720".to_owned())
}

/// Does what was asked on the command line.
///
/// # Errors
/// A sentence that says what went wrong and what to do.
pub(crate) fn run(args: &FilmArgs) -> Result<(), FilmError> {
    if args.check {
        return check_all();
    }
    if args.truths {
        return write_truths();
    }
    match (&args.script, &args.out) {
        (Some(script), Some(out)) => {
            let mut read = Script::read(script)?;
            read.size = args.size.unwrap_or(read.size);
            read.fps = args.fps.unwrap_or(read.fps);
            read.check()?;
            match args.still {
                Some(second) => still(&read, out, second),
                None => draw_script(&read, out, Care::Quick, &mut meter(out)).map(|_| ()),
            }
        }
        _ if args.size.is_some() || args.fps.is_some() => Err(FilmError::Usage(
            "--size and --fps go with --script and --out; committed films keep what their script says".to_owned(),
        )),
        _ => draw_all(),
    }
}

/// Draws the film of a script to `out`, with `<name>.truth.ron` beside it.
/// `progress` hears the share done, from 0 to 1.
///
/// # Errors
/// The script cannot be read or ridden, the encoder is missing, or a file
/// cannot be written.
pub(crate) fn draw_film(
    script: &Path,
    out: &Path,
    progress: &mut dyn FnMut(f32),
) -> Result<Truth, FilmError> {
    let script = Script::read(script)?;
    draw_script(&script, out, Care::Quick, progress)
}

/// Draws the film of a script already read; see [`draw_film`].
///
/// # Errors
/// As [`draw_film`].
pub(crate) fn draw_script(
    script: &Script,
    out: &Path,
    care: Care,
    progress: &mut dyn FnMut(f32),
) -> Result<Truth, FilmError> {
    let (studio, truth) = prepare(script)?;
    let text = truth.text()?;
    // Drawn beside and renamed: a run cut short, or a second one at the same
    // time, leaves the film that is there whole.
    let part = out.with_extension(format!("{}.part.mp4", std::process::id()));
    let count = (script.size, script.fps, truth.frames);
    let drawn = render::render(&studio, &part, count, care, progress);
    let placed = drawn.and_then(|()| {
        std::fs::rename(&part, out).map_err(FilmError::file("cannot put the film at", out))
    });
    if let Err(error) = placed {
        // The reason of the failure matters more than what it leaves behind.
        let _ = std::fs::remove_file(&part);
        return Err(error);
    }
    let beside = out.with_extension("truth.ron");
    std::fs::write(&beside, text).map_err(FilmError::file("cannot write", &beside))?;
    Ok(truth)
}

fn prepare(script: &Script) -> Result<(Studio, Truth), FilmError> {
    let gait = gait::ride(script)?;
    let motion = Motion::new(script, &gait);
    let truth = Truth::from_ride(script, &gait, &motion);
    Ok((Studio::new(script, &gait, motion)?, truth))
}

fn still(script: &Script, out: &Path, second: f64) -> Result<(), FilmError> {
    let (studio, _) = prepare(script)?;
    let mut picture = studio.blank()?;
    studio.draw(&mut picture, second);
    picture
        .save_png(out)
        .map_err(|error| FilmError::Form(error.to_string()))
}

/// The folder of the committed films.
#[must_use]
pub(crate) fn films_dir() -> PathBuf {
    crate::run::root().join("demo-sessions/films")
}

/// Scripts of the committed films, in order of name.
fn scripts() -> Result<Vec<PathBuf>, FilmError> {
    let folder = films_dir();
    let entries = std::fs::read_dir(&folder).map_err(FilmError::file("cannot list", &folder))?;
    let mut scripts: Vec<PathBuf> = entries
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.to_string_lossy().ends_with(".script.ron"))
        .collect();
    scripts.sort();
    Ok(scripts)
}

/// `evening-ride.script.ron` with another ending.
fn beside(script: &Path, ending: &str) -> PathBuf {
    let name = script.to_string_lossy();
    PathBuf::from(format!("{}.{ending}", name.trim_end_matches(".script.ron")))
}

/// Scripts whose truth is committed beside them, and so is checked here.
fn with_truth() -> Result<Vec<PathBuf>, FilmError> {
    Ok(scripts()?
        .into_iter()
        .filter(|script| beside(script, "truth.ron").exists())
        .collect())
}

/// Films that are committed as films too; the others are drawn where they are used.
const COMMITTED: [&str; 1] = ["evening-ride.script.ron"];

fn draw_all() -> Result<(), FilmError> {
    for script in COMMITTED.map(|name| films_dir().join(name)) {
        let film = beside(&script, "mp4");
        draw_script(
            &Script::read(&script)?,
            &film,
            Care::Kept,
            &mut meter(&film),
        )?;
    }
    Ok(())
}

/// Checks that the truth beside every committed film follows from its script.
///
/// # Errors
/// The first file that does not, or cannot be read.
pub(crate) fn check_all() -> Result<(), FilmError> {
    for script in with_truth()? {
        check_one(&script)?;
        say(&format!(
            "{}: truth follows from the script\n",
            script.display()
        ));
    }
    Ok(())
}

fn write_truths() -> Result<(), FilmError> {
    for script in scripts()? {
        let path = beside(&script, "truth.ron");
        let text = Truth::of(&Script::read(&script)?)?.text()?;
        std::fs::write(&path, text).map_err(FilmError::file("cannot write", &path))?;
    }
    Ok(())
}

/// Compares a committed truth with what its script says now.
fn check_one(script: &Path) -> Result<(), FilmError> {
    let now = Truth::of(&Script::read(script)?)?.text()?;
    let path = beside(script, "truth.ron");
    let committed =
        std::fs::read_to_string(&path).map_err(FilmError::file("cannot read", &path))?;
    let differs = now.lines().zip(committed.lines()).position(|(a, b)| a != b);
    let line = match differs {
        Some(line) => line,
        None if now.lines().count() == committed.lines().count() => return Ok(()),
        None => now.lines().count().min(committed.lines().count()),
    };
    Err(FilmError::Stale {
        path,
        reason: format!("line {} is not the same", line + 1),
    })
}

/// Tells the terminal how far a film is, in whole tenths.
fn meter(film: &Path) -> impl FnMut(f32) + use<> {
    let name = film
        .file_name()
        .map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let mut told = 0;
    move |share| {
        let tenth = (share * 10.0) as u32;
        if tenth > told {
            told = tenth;
            say(&format!("{name}: {} %\n", tenth * 10));
        }
    }
}

fn say(words: &str) {
    // A closed terminal is no reason to stop drawing.
    let _ = std::io::stdout().write_all(words.as_bytes());
}
