//! A film with a watch on it, the table, and other programs.

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use reinback_film::{Film, FilmTime, Frame, Reply, Settings, Want};
use sysinfo::{ProcessRefreshKind, ProcessesToUpdate, RefreshKind, System};

/// Longest wait for a reply; only a fault reaches it.
pub(crate) const LIMIT: Duration = Duration::from_mins(2);

/// Rounds of ours and the other program's in turn, so that both see the same machine.
pub(crate) const ROUNDS: usize = 3;

/// What went wrong, in words.
pub(crate) type Fault = String;

/// The lines of the tables, told as they come.
#[derive(Default)]
pub(crate) struct Table {
    pub(crate) text: String,
}

impl Table {
    fn line(&mut self, text: &str) {
        say(text);
        // Writing to a text cannot fail.
        let _ = writeln!(self.text, "{text}");
    }

    /// Begins the table of a film.
    pub(crate) fn head(&mut self, name: &str) {
        self.line(&format!(
            "\n### {name}\n\n| what | ours | beside | ratio |\n| --- | --- | --- | --- |"
        ));
    }

    /// One measurement.
    pub(crate) fn row(&mut self, what: &str, ours: &str, beside: &str, ratio: Option<f64>) {
        let ratio = ratio.map_or_else(|| "-".to_owned(), |ratio| format!("{ratio:.2}"));
        self.line(&format!("| {what} | {ours} | {beside} | {ratio} |"));
    }

    /// Two times and their ratio.
    pub(crate) fn times(&mut self, what: &str, ours: Duration, beside: &str, other: Duration) {
        let ratio = ours.as_secs_f64() / other.as_secs_f64();
        let beside = format!("{beside}: {}", ms(other));
        self.row(what, &ms(ours), &beside, Some(ratio));
    }
}

/// Prints a line.
pub(crate) fn say(text: &str) {
    // A closed terminal is no reason to stop.
    let _ = writeln!(std::io::stdout(), "{text}");
}

pub(crate) fn ms(time: Duration) -> String {
    format!("{:.1} ms", time.as_secs_f64() * 1e3)
}

/// The middle one.
pub(crate) fn median<T: PartialOrd + Copy + Default>(mut values: Vec<T>) -> T {
    values.sort_by(|a, b| a.partial_cmp(b).unwrap_or(std::cmp::Ordering::Equal));
    values.get(values.len() / 2).copied().unwrap_or_default()
}

/// A film whose replies are waited for.
pub(crate) struct Watched {
    pub(crate) film: Film,
    bell: Receiver<()>,
}

impl Watched {
    pub(crate) fn open(path: &Path, settings: Settings) -> Self {
        Self::watch(|on_ready| Film::open(path, settings, on_ready))
    }

    /// As [`Watched::open`], with the index made into a folder.
    pub(crate) fn open_indexed(path: &Path, settings: Settings, folder: &Path) -> Self {
        Self::watch(|on_ready| Film::open_indexed(path, settings, folder, on_ready))
    }

    fn watch(open: impl FnOnce(Arc<dyn Fn() + Send + Sync>) -> Film) -> Self {
        let (ring, bell) = channel();
        let ring = Mutex::new(ring);
        let on_ready = Arc::new(move || {
            let _ = ring.lock().unwrap_or_else(PoisonError::into_inner).send(());
        });
        Self {
            film: open(on_ready),
            bell,
        }
    }

    /// The next reply.
    pub(crate) fn reply(&self) -> Result<Reply, Fault> {
        loop {
            match self.film.poll() {
                Some(Reply::Failed(error)) => return Err(error.to_string()),
                Some(reply) => return Ok(reply),
                None => self
                    .bell
                    .recv_timeout(LIMIT)
                    .map_err(|error| error.to_string())?,
            }
        }
    }

    /// The exact answer to a want.
    pub(crate) fn ask(&self, wanted: Want) -> Result<Arc<Frame>, Fault> {
        self.film.want(wanted);
        loop {
            let reply = self.reply()?;
            if let Reply::Shown { want, frame, exact } = reply
                && exact
                && want == wanted
            {
                return Ok(frame);
            }
        }
    }

    /// One frame back; its time.
    pub(crate) fn back(&self, from: FilmTime) -> Result<FilmTime, Fault> {
        Ok(self.ask(Want::Step { from, frames: -1 })?.time)
    }

    /// The time until the sharp frame of a moment comes.
    pub(crate) fn sharp(&self, time: FilmTime) -> Result<Duration, Fault> {
        let started = Instant::now();
        loop {
            if let Reply::Sharp(frame) = self.reply()?
                && frame.time == time
            {
                return Ok(started.elapsed());
            }
        }
    }
}

/// Seconds, from the first frame, of the frames that decoding can begin with.
pub(crate) fn keys(path: &Path) -> Result<Vec<f64>, Fault> {
    let output = Command::new("ffprobe")
        .args(["-v", "error", "-select_streams", "v:0"])
        .args(["-skip_frame", "nokey", "-of", "csv=p=0"])
        .args(["-show_entries", "frame=best_effort_timestamp_time"])
        .arg(path)
        .stdin(Stdio::null())
        .output()
        .map_err(|error| format!("ffprobe: {error}"))?;
    let text = String::from_utf8_lossy(&output.stdout);
    let keys: Vec<f64> = text
        .lines()
        .filter_map(|line| line.trim_matches(',').parse().ok())
        .collect();
    let first = keys.first().copied().unwrap_or(0.0);
    Ok(keys.into_iter().map(|key| key - first).collect())
}

/// The time a program takes from its start to its end.
pub(crate) fn timed(command: &mut Command) -> Result<Duration, Fault> {
    let started = Instant::now();
    run(command)?;
    Ok(started.elapsed())
}

/// Runs a program to its end.
pub(crate) fn run(command: &mut Command) -> Result<(), Fault> {
    let name = command.get_program().to_string_lossy().into_owned();
    let status = command
        .stdin(Stdio::null())
        .status()
        .map_err(|error| format!("{name}: {error}"))?;
    if status.success() {
        Ok(())
    } else {
        Err(format!("{name}: {status}"))
    }
}

/// Bytes of memory this process holds; 0 where the system does not tell them.
pub(crate) fn resident() -> usize {
    let Ok(own) = sysinfo::get_current_pid() else {
        return 0;
    };
    let Ok(mut system) = System::new_with_specifics(RefreshKind::nothing()) else {
        return 0;
    };
    let memory = ProcessRefreshKind::nothing().with_memory();
    system.refresh_processes_specifics(ProcessesToUpdate::Some(&[own]), false, memory);
    let bytes = system.process(own).map_or(0, sysinfo::Process::memory);
    usize::try_from(bytes).unwrap_or(usize::MAX)
}
