//! A film with a watch on it, and where films come from.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use reinback_film::{Film, FilmError, FilmInfo, FilmTime, Flaw, Frame, Reply, Settings, Want};

/// Long enough for the slowest machine; only a hang reaches it.
pub(crate) const LIMIT: Duration = Duration::from_mins(1);

/// A film whose replies are waited for.
pub(crate) struct Watched {
    pub(crate) film: Film,
    pub(crate) info: FilmInfo,
    pub(crate) skipped: u64,
    pub(crate) flaws: Vec<Flaw>,
    bell: Receiver<()>,
}

/// Small pictures: these tests are about which frame it is.
pub(crate) const SMALL: Settings = Settings {
    max_side: 96,
    full_side: 0,
    cache_bytes: 8 << 20,
    hardware: false,
};

impl Watched {
    pub(crate) fn open(path: &Path, settings: Settings) -> Result<Self, FilmError> {
        let (ring, bell) = channel();
        let ring = Mutex::new(ring);
        let on_ready = Arc::new(move || {
            let _ = ring.lock().unwrap().send(());
        });
        Self::watch(Film::open(path, settings, on_ready), bell)
    }

    fn watch(film: Film, bell: Receiver<()>) -> Result<Self, FilmError> {
        let started = Instant::now();
        loop {
            match film.poll() {
                Some(Reply::Opened(info)) => {
                    return Ok(Self {
                        film,
                        info,
                        skipped: 0,
                        flaws: Vec::new(),
                        bell,
                    });
                }
                Some(Reply::Failed(error)) => return Err(error),
                Some(other) => panic!("{other:?} before the film was open"),
                None => wait(&bell, started),
            }
        }
    }

    /// The next reply.
    pub(crate) fn reply(&mut self) -> Reply {
        let started = Instant::now();
        loop {
            match self.film.poll() {
                Some(Reply::Damaged { skipped, flaws }) => {
                    assert!(skipped >= self.skipped, "the count of damage only grows");
                    (self.skipped, self.flaws) = (skipped, flaws);
                }
                Some(Reply::Indexed { .. }) => {}
                Some(reply) => return reply,
                None => wait(&self.bell, started),
            }
        }
    }

    /// The exact answer to a want; what is asked must not be asked twice in a
    /// row with another want between.
    pub(crate) fn ask(&mut self, wanted: Want) -> Arc<Frame> {
        self.try_ask(wanted)
            .unwrap_or_else(|error| panic!("{error} ({})", error.detail()))
    }

    fn try_ask(&mut self, wanted: Want) -> Result<Arc<Frame>, FilmError> {
        self.film.want(wanted);
        loop {
            match self.reply() {
                Reply::Shown {
                    want,
                    frame,
                    exact: true,
                } if want == wanted => return Ok(frame),
                Reply::Failed(error) => return Err(error),
                _ => {}
            }
        }
    }

    pub(crate) fn exact(&mut self, time: FilmTime) -> Arc<Frame> {
        self.ask(Want::Exact(time))
    }

    /// As [`Watched::exact`], or why the film can be shown no longer.
    pub(crate) fn try_exact(&mut self, time: FilmTime) -> Result<Arc<Frame>, FilmError> {
        self.try_ask(Want::Exact(time))
    }

    pub(crate) fn step(&mut self, from: FilmTime, frames: i32) -> Arc<Frame> {
        self.ask(Want::Step { from, frames })
    }

    /// The frame at exactly `time`, rested on, as filmed.
    pub(crate) fn sharp(&mut self, time: FilmTime) -> Arc<Frame> {
        loop {
            match self.reply() {
                Reply::Sharp(frame) if frame.time == time => return frame,
                Reply::Failed(error) => panic!("{error} ({})", error.detail()),
                _ => {}
            }
        }
    }

    /// Lets the worker come to rest, so that its last word on damage is heard.
    pub(crate) fn settle(&mut self) {
        std::thread::sleep(Duration::from_millis(50));
        while let Some(reply) = self.film.poll() {
            if let Reply::Damaged { skipped, flaws } = reply {
                (self.skipped, self.flaws) = (skipped, flaws);
            }
        }
    }
}

fn wait(bell: &Receiver<()>, started: Instant) {
    assert!(started.elapsed() < LIMIT, "no reply within {LIMIT:?}");
    match bell.recv_timeout(Duration::from_millis(200)) {
        Ok(()) | Err(RecvTimeoutError::Timeout) => {}
        Err(RecvTimeoutError::Disconnected) => std::thread::sleep(Duration::from_millis(1)),
    }
}

/// The frame on screen at `time`, once it is in the cache.
pub(crate) fn appears(film: &Watched, time: FilmTime) -> Arc<Frame> {
    let started = Instant::now();
    loop {
        if let Some(frame) = film.film.cached(time) {
            return frame;
        }
        assert!(started.elapsed() < LIMIT, "{time:?} never came");
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// The folder of films to test against, or `None` with a printed line.
pub(crate) fn media() -> Option<PathBuf> {
    let folder = std::env::var_os("REINBACK_MEDIA").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../../../shared/media"),
        PathBuf::from,
    );
    if folder.is_dir() {
        Some(folder)
    } else {
        println!("skipped: no films at {}", folder.display());
        None
    }
}

/// A clip made by the `ffmpeg` program, or `None` with a printed line.
pub(crate) fn clip(folder: &Path, name: &str, arguments: &str) -> Option<PathBuf> {
    let path = folder.join(name);
    let outcome = Command::new("ffmpeg")
        .args(["-v", "error", "-y"])
        .args(arguments.split_whitespace())
        .arg(&path)
        .stdin(Stdio::null())
        .output();
    match outcome {
        Ok(output) if output.status.success() => Some(path),
        Ok(output) => {
            let words = String::from_utf8_lossy(&output.stderr);
            println!("skipped {name}: ffmpeg cannot make it: {words}");
            None
        }
        Err(error) => {
            println!("skipped {name}: no ffmpeg program: {error}");
            None
        }
    }
}

/// The frames of a film as the `ffprobe` program lists them, in nanoseconds
/// from the first.
pub(crate) fn listed(path: &Path) -> Vec<FilmTime> {
    let output = Command::new("ffprobe")
        .args(["-v", "error", "-select_streams", "v:0", "-of", "csv=p=0"])
        .args(["-show_entries", "frame=best_effort_timestamp_time"])
        .arg(path)
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let seconds: Vec<f64> = text
        .lines()
        .filter_map(|line| line.trim().trim_matches(',').parse().ok())
        .collect();
    since_first(&seconds)
}

/// The first line that the `ffprobe` program has for something of a stream.
pub(crate) fn probe(path: &Path, stream: &str, entry: &str) -> String {
    let output = Command::new("ffprobe")
        .args(["-v", "error", "-read_intervals", "%+2", "-of", "csv=p=0"])
        .args(["-select_streams", stream, "-show_entries", entry])
        .arg(path)
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let line = text.lines().next().unwrap_or_default();
    line.split(',').next().unwrap_or_default().to_owned()
}

/// Seconds of a stream's first frame.
pub(crate) fn first_time(path: &Path, stream: &str) -> f64 {
    probe(path, stream, "frame=pts_time").parse().unwrap()
}

/// Times from the first one.
pub(crate) fn since_first(seconds: &[f64]) -> Vec<FilmTime> {
    let first = seconds.first().copied().unwrap_or(0.0);
    seconds
        .iter()
        .map(|second| FilmTime::from_secs_f64(second - first))
        .collect()
}

/// Lists of times are printed with six decimals.
pub(crate) fn same_time(a: FilmTime, b: FilmTime) -> bool {
    (a.0 - b.0).abs() <= 2000
}

/// Well within a frame: half way to the next one, or to nowhere.
pub(crate) fn within(times: &[FilmTime], at: usize) -> FilmTime {
    match times.get(at + 1) {
        Some(next) => FilmTime(times[at].0 + (next.0 - times[at].0) / 2),
        None => times[at] + FilmTime(5_000_000),
    }
}

/// Numbers that look random and are the same in each run (Knuth's MMIX
/// constants).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit.max(1)
    }
}

/// Eight by eight grey means of a frame, row by row.
pub(crate) fn thumb(frame: &Frame) -> Vec<f64> {
    let (width, height) = (frame.width as usize, frame.height as usize);
    assert_eq!(frame.rgba.len(), width * height * 4, "tightly packed");
    let mut sums = vec![(0.0, 0.0); 64];
    for (at, pixel) in frame.rgba.chunks_exact(4).enumerate() {
        assert_eq!(pixel[3], 255, "opaque");
        let (x, y) = (at % width, at / width);
        let cell = &mut sums[y * 8 / height * 8 + x * 8 / width];
        let grey = |part: usize, weight: f64| f64::from(pixel[part]) * weight;
        cell.0 += grey(0, 0.299) + grey(1, 0.587) + grey(2, 0.114);
        cell.1 += 1.0;
    }
    sums.into_iter()
        .map(|(sum, count)| sum / f64::max(count, 1.0))
        .collect()
}

/// Pearson's correlation of two pictures; `None` where one is flat.
pub(crate) fn likeness(a: &[f64], b: &[f64]) -> Option<f64> {
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let (ma, mb) = (mean(a), mean(b));
    let sum = |f: &dyn Fn(f64, f64) -> f64| a.iter().zip(b).map(|(x, y)| f(x - ma, y - mb)).sum();
    let (ab, aa, bb): (f64, f64, f64) =
        (sum(&|x, y| x * y), sum(&|x, _| x * x), sum(&|_, y| y * y));
    // Below five grey steps of spread the rounding of a thumb counts more
    // than its picture.
    (aa > 1600.0 && bb > 1600.0).then(|| ab / (aa * bb).sqrt())
}
