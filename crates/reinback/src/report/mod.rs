//! The numbers of the Progress room for other programs, and a check of a yard's files.
//!
//! - [`numbers`]: the numbers themselves, shared with the Progress room
//! - [`horses`]: a row for each horse, for a glance at all of them
//! - [`period`]: which days they are of, and which they are compared with
//! - [`moments`]: the film moments behind a line of them
//! - [`digest`]: the numbers in one breath
//! - [`shown`]: how they are looked at
//! - [`document`]: the report in its own shape, as `docs/report.md` describes it
//! - [`html`]: the same as a page to print or to send
//! - [`table`]: the same as rows of CSV
//! - [`figures`]: the numbers of an exercise as pictures with their tables
//! - [`parquet`]: rides, bouts, marks and estimates as files for engines that read many yards

pub mod books;
pub mod digest;
pub mod document;
pub mod figures;
pub mod horses;
pub mod html;
pub mod moments;
pub mod numbers;
pub mod parquet;
pub mod period;
#[cfg(test)]
pub(crate) mod sample;
pub mod shown;
pub mod table;
pub mod whole;

use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use chrono::NaiveDate;
use reinback_yard::{HorseId, Problem, Severity, StoreError, Yard, index_file, look_with};

use crate::counted::counted;
use crate::services::{Services as _, System};
use document::Document;
use html::Asked as PageAsked;
use numbers::{Days, Reins};
use parquet::{Export, Naming};
use period::{Choice, Span};

/// What the command line can be asked.
#[derive(Debug, clap::Subcommand)]
pub enum Verb {
    /// Prints the numbers of the Progress room, or writes them into files or a page.
    Report {
        /// The yard's folder.
        #[arg(long, value_name = "FOLDER")]
        yard: PathBuf,
        /// Only the horse of this name, in capital or small letters; all horses without it.
        #[arg(long, value_name = "NAME")]
        horse: Option<String>,
        /// Only rides from this day on, like 2026-03-01.
        #[arg(long, value_name = "DAY")]
        from: Option<String>,
        /// Only rides up to and with this day.
        #[arg(long, value_name = "DAY")]
        to: Option<String>,
        /// This month to date or the last 28 days, each against the days before, in the place of
        /// days of one's own.
        #[arg(long, value_enum, conflicts_with_all = ["from", "to", "against_from", "against_to"])]
        period: Option<Running>,
        /// Compare with rides from this day on.
        #[arg(long, value_name = "DAY")]
        against_from: Option<String>,
        /// Compare with rides up to and with this day.
        #[arg(long, value_name = "DAY")]
        against_to: Option<String>,
        /// How to print them; parquet writes files instead, html a page.
        #[arg(long, value_enum, default_value_t = Format::Json)]
        format: Format,
        /// The folder that the files of parquet go into, or the file of an html page.
        #[arg(long, value_name = "PLACE")]
        into: Option<PathBuf>,
        /// Ids instead of the names of horses and people in parquet and html, and no notes.
        #[arg(long)]
        without_names: bool,
        /// What an html page has of its own.
        #[command(flatten)]
        page: PageAsked,
    },
    /// Reads a yard and prints everything that is wrong with its files. Changes nothing.
    Check {
        /// The yard's folder.
        #[arg(long, value_name = "FOLDER")]
        yard: PathBuf,
    },
}

/// How a report is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// One JSON document (RFC 8259).
    Json,
    /// One row per horse, exercise and rein (RFC 4180).
    Csv,
    /// Four files of rides, bouts, marks and estimates (Apache Parquet).
    Parquet,
    /// One page to print or to send.
    Html,
}

/// Days up to today, compared with those before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Running {
    /// This month to date against all of the last.
    Month,
    /// The last 28 days against the 28 before.
    #[value(name = "28-days")]
    FourWeeks,
}

impl Running {
    fn asked(self, today: NaiveDate) -> period::Asked {
        let choice = Choice {
            span: match self {
                Self::Month => Span::Month(0),
                Self::FourWeeks => Span::FourWeeks,
            },
            by_hand: true,
            ..Choice::default()
        };
        // Only typed days can be unclear.
        let asked = choice.asked(today);
        asked.unwrap_or_else(|_| Days::default().into())
    }
}

/// How it went, as an exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// 0
    Fine,
    /// 1
    ProblemsFound,
}

/// Answers on the command line. 0: fine; 1: problems were found; 2: nothing could be done.
#[must_use]
pub fn run(verb: &Verb) -> ExitCode {
    let (mut out, mut err) = (io::stdout().lock(), io::stderr().lock());
    match answer(verb, System.today(), &mut out, &mut err) {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::ProblemsFound) => ExitCode::from(1),
        Err(why) => {
            drop(err);
            could_not_run(&why)
        }
    }
}

/// Says why nothing could be done; exit code 2.
#[must_use]
pub fn could_not_run(why: &str) -> ExitCode {
    // Where even this cannot be said, the exit code still tells.
    let _unsaid = writeln!(io::stderr(), "reinback: {why}");
    ExitCode::from(2)
}

fn answer(
    verb: &Verb,
    today: NaiveDate,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Outcome, String> {
    match verb {
        Verb::Report {
            yard,
            horse,
            from,
            to,
            period,
            against_from,
            against_to,
            format,
            into,
            without_names,
            page,
        } => {
            let wish = Wish {
                horse: horse.as_deref(),
                days: match period {
                    Some(running) => WishedDays::Running(*running),
                    None => WishedDays::named([from, to], [against_from, against_to])?,
                },
                form: Form::asked(*format, into.as_deref(), *without_names, page)?,
            };
            report(yard, &wish, today, out, err)
        }
        Verb::Check { yard } => check(yard, out),
    }
}

/// What was asked of a report.
struct Wish<'a> {
    horse: Option<&'a str>,
    days: WishedDays,
    form: Form<'a>,
}

/// Which days a report is of.
#[derive(Clone, Copy)]
enum WishedDays {
    /// Up to the day that counts as today.
    Running(Running),
    /// Days that were named, and those compared with.
    Named(Days, Option<Days>),
}

impl WishedDays {
    fn named(days: [&Option<String>; 2], against: [&Option<String>; 2]) -> Result<Self, String> {
        let read = |[from, to]: [&Option<String>; 2]| -> Result<Days, String> {
            let day = |text: &Option<String>| text.as_deref().map(parse_day).transpose();
            let days = Days {
                from: day(from)?,
                to: day(to)?,
            };
            match (days.from, days.to) {
                (Some(from), Some(to)) if to < from => Err(format!(
                    "the period ends ({to}) before it begins ({from}); exchange the two days"
                )),
                _ => Ok(days),
            }
        };
        let (days, against) = (read(days)?, read(against)?);
        let against = Some(against).filter(|against| *against != Days::default());
        if against.is_some_and(|against| against.share_a_day(days)) {
            return Err("the days compared with share days with those asked about; \
                 name days that end before the others begin, or begin after they end"
                .to_owned());
        }
        Ok(Self::Named(days, against))
    }

    /// The days asked about and those compared with.
    fn on(self, today: NaiveDate) -> (Days, Option<Days>) {
        match self {
            Self::Named(days, against) => (days, against),
            Self::Running(running) => {
                let asked = running.asked(today);
                (asked.days, asked.against.map(|(days, _)| days))
            }
        }
    }

    /// The same as the room asks it, which has days of its own where none are named.
    fn in_the_room(self, today: NaiveDate) -> period::Asked {
        match self {
            Self::Named(days, against) => html::days(days, against, today),
            Self::Running(running) => running.asked(today),
        }
    }
}

/// What a report becomes.
#[derive(Clone, Copy)]
enum Form<'a> {
    Json,
    Csv,
    /// Files in this folder.
    Parquet(&'a Path, Naming),
    /// A page, printed or into this file.
    Html(Option<&'a Path>, Naming, &'a PageAsked),
}

impl<'a> Form<'a> {
    fn asked(
        format: Format,
        into: Option<&'a Path>,
        without_names: bool,
        page: &'a PageAsked,
    ) -> Result<Self, &'static str> {
        let naming = if without_names {
            Naming::WithoutNames
        } else {
            Naming::Named
        };
        if format != Format::Html && page.is_asked() {
            return Err("--language, --stills and --without-stills are for --format html");
        }
        match (format, into) {
            (Format::Html, into) => Ok(Self::Html(into, naming, page)),
            (Format::Parquet, Some(into)) => Ok(Self::Parquet(into, naming)),
            (Format::Parquet, None) => {
                Err("parquet is written into files: say where with --into FOLDER")
            }
            (_, Some(_)) => {
                Err("--into is for --format parquet and html; the other formats are printed")
            }
            (_, None) if without_names => Err(
                "--without-names is for --format parquet and html; the other formats have names",
            ),
            (Format::Json, None) => Ok(Self::Json),
            (Format::Csv, None) => Ok(Self::Csv),
        }
    }
}

fn report(
    folder: &Path,
    wish: &Wish<'_>,
    today: NaiveDate,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<Outcome, String> {
    // What the window has kept of the yard makes reading faster; nothing is written.
    let index = System
        .yard_index_folder()
        .map(|indexes| index_file(&indexes, folder));
    let (yard, problems) = look_with(folder, index.as_deref()).map_err(|error| in_words(&error))?;
    let horses = horses_named(&yard, wish.horse)?;
    let last_day = yard.as_of_last_ride.then(|| yard.last_day()).flatten();
    let (days, against) = wish.days.on(last_day.unwrap_or(today));
    let document = || Document::new(&yard, &horses, (days, against), today, &problems);
    let text = match wish.form {
        Form::Json => as_json(&document())?,
        Form::Csv => table::rows(&document())
            .map_err(|error| format!("the report could not be written as CSV: {error}"))?,
        Form::Parquet(into, naming) => {
            let export = Export {
                horses: wish.horse.map(|_| horses.as_slice()),
                days,
                against,
                today,
                naming,
                unreadable_files: document::unreadable_files(&problems),
            };
            let written = parquet::write(&yard, folder, into, &export)?;
            let lines = written.iter().map(|file| {
                let rows = counted(file.rows, "row", "rows");
                format!("{}: {rows}\n", file.path.display())
            });
            lines.collect::<String>().into_bytes()
        }
        Form::Html(into, naming, asked) => {
            let wish = html::Wish {
                horses,
                together: false,
                shown: shown::Shown::default(),
                asked: wish.days.in_the_room(last_day.unwrap_or(today)),
                reins: Reins::Both,
                today: last_day.unwrap_or(today),
                naming,
                stills: asked.stills(),
                chosen: Vec::new(),
            };
            html::answer(&yard, folder, &wish, &problems, (asked, into))?
        }
    };
    put(out, &text)?;
    put(err, lines(serious(&problems)).as_bytes())?;
    Ok(outcome(&problems))
}

fn as_json(document: &Document) -> Result<Vec<u8>, String> {
    serde_json::to_string_pretty(document)
        .map(|text| (text + "\n").into_bytes())
        .map_err(|error| format!("the report could not be written as JSON: {error}"))
}

/// Writes what was asked for. A reader that has closed its end, like `head`, has what it wanted.
fn put(out: &mut dyn Write, text: &[u8]) -> Result<(), String> {
    match out.write_all(text).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(format!("the answer could not be written: {error}"))
        }
        _ => Ok(()),
    }
}

fn lines<'a>(problems: impl Iterator<Item = &'a Problem>) -> String {
    problems
        .flat_map(|problem| [problem.to_string(), "\n".to_owned()])
        .collect()
}

fn check(folder: &Path, out: &mut dyn Write) -> Result<Outcome, String> {
    let path = folder.to_owned();
    if !folder.is_dir() {
        return Err(in_words(&StoreError::NotFound { path }));
    }
    if !folder.join("yard.ron").is_file() {
        return Err(in_words(&StoreError::NotAYard { path }));
    }
    let problems = reinback_yard::check(folder);
    let text = format!("{}{}\n", lines(problems.iter()), summary(&problems));
    put(out, text.as_bytes())?;
    Ok(outcome(&problems))
}

fn summary(problems: &[Problem]) -> String {
    if problems.is_empty() {
        return "Nothing is wrong with this yard's files.".to_owned();
    }
    let count = |severity: Severity| {
        let times = problems
            .iter()
            .filter(|problem| problem.severity == severity)
            .count();
        let plural = if times == 1 { "" } else { "s" };
        format!("{times} {}{plural}", severity.name())
    };
    format!(
        "{}, {}, {}.",
        count(Severity::Error),
        count(Severity::Warning),
        count(Severity::Note)
    )
}

/// Notes ask for nothing, so they do not change the exit code.
fn serious(problems: &[Problem]) -> impl Iterator<Item = &Problem> {
    problems
        .iter()
        .filter(|problem| problem.severity > Severity::Note)
}

fn outcome(problems: &[Problem]) -> Outcome {
    if serious(problems).next().is_some() {
        Outcome::ProblemsFound
    } else {
        Outcome::Fine
    }
}

fn in_words(error: &StoreError) -> String {
    format!("{error} {}", error.next_step())
}

fn parse_day(text: &str) -> Result<NaiveDate, String> {
    NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d").map_err(|error| {
        format!("“{text}” is not a day ({error}); write year, month and day like 2026-03-01")
    })
}

/// The horses of a name, or all. Capitals and small letters are the same.
fn horses_named(yard: &Yard, name: Option<&str>) -> Result<Vec<HorseId>, String> {
    let wanted = name.map(|name| name.trim().to_lowercase());
    let fits = |have: &str| {
        wanted
            .as_ref()
            .is_none_or(|wanted| have.trim().to_lowercase() == *wanted)
    };
    let found: Vec<HorseId> = yard
        .horses
        .iter()
        .filter(|horse| fits(&horse.name))
        .map(|horse| horse.id)
        .collect();
    match name {
        Some(name) if found.is_empty() => Err(unknown_horse(yard, name)),
        _ => Ok(found),
    }
}

fn unknown_horse(yard: &Yard, name: &str) -> String {
    let names: Vec<&str> = yard
        .horses
        .iter()
        .map(|horse| horse.name.as_str())
        .collect();
    match names.as_slice() {
        [] => format!("there is no horse “{name}”: this yard has no horse yet"),
        [only] => format!("there is no horse “{name}” in this yard; its only horse is {only}"),
        many => format!(
            "there is no horse “{name}” in this yard; its horses are {}",
            many.join(", ")
        ),
    }
}

#[cfg(test)]
mod tests;
