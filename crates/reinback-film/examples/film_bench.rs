//! How long a rider waits, beside what the `ffmpeg` program needs for the same
//! film on the same machine in the same minute.
//!
//! `film_bench [FILE...]` prints a table a film; without films it makes the
//! usual ones with `ffmpeg` first. Ratios are told with what they compare.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use reinback_film::proof::Proof;
use reinback_film::{Film, FilmTime, Frame, Reply, Settings, Want};

/// Random places jumped to.
const JUMPS: usize = 15;
/// Frames stepped back over.
const BACK: usize = 120;
/// Longest wait for a reply; only a fault reaches it.
const LIMIT: Duration = Duration::from_mins(2);

/// What went wrong, in words.
type Fault = String;

/// Name and `ffmpeg` arguments of the usual films.
const USUAL: [(&str, &str); 4] = [
    (
        "1080p30 H.264, key each 2 s",
        "-f lavfi -i testsrc2=size=1920x1080:rate=30:duration=20 -c:v libx264 -preset veryfast -g 60 -bf 2",
    ),
    (
        "1080p30 H.264, key each 10 s",
        "-f lavfi -i testsrc2=size=1920x1080:rate=30:duration=20 -c:v libx264 -preset veryfast -g 300 \
         -keyint_min 300 -sc_threshold 0 -bf 2",
    ),
    (
        "4K30 H.264, key each 2 s",
        "-f lavfi -i testsrc2=size=3840x2160:rate=30:duration=10 -c:v libx264 -preset ultrafast -g 60 -bf 2",
    ),
    (
        "1080p30 HEVC, key each 2 s",
        "-f lavfi -i testsrc2=size=1920x1080:rate=30:duration=10 -c:v libx265 -preset ultrafast \
         -x265-params keyint=60:log-level=none",
    ),
];

fn main() {
    let named: Vec<PathBuf> = std::env::args_os().skip(1).map(PathBuf::from).collect();
    let outcome = if named.is_empty() {
        usual()
    } else {
        named
            .iter()
            .try_for_each(|path| bench(&path.display().to_string(), path))
    };
    if let Err(fault) = outcome {
        say(&format!("stopped: {fault}"));
        std::process::exit(1);
    }
}

fn usual() -> Result<(), Fault> {
    let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
    for (number, (name, arguments)) in USUAL.iter().enumerate() {
        let path = folder.path().join(format!("{number}.mp4"));
        let mut made = Command::new("ffmpeg");
        made.args(["-v", "error", "-nostdin", "-y"])
            .args(arguments.split_whitespace())
            .args(["-pix_fmt", "yuv420p"])
            .arg(&path);
        run(&mut made)?;
        bench(name, &path)?;
    }
    Ok(())
}

/// A film whose replies are waited for.
struct Watched {
    film: Film,
    bell: Receiver<()>,
}

impl Watched {
    fn open(path: &Path, settings: Settings) -> Self {
        let (ring, bell) = channel();
        let ring = Mutex::new(ring);
        let on_ready = Arc::new(move || {
            let _ = ring.lock().unwrap_or_else(PoisonError::into_inner).send(());
        });
        Self {
            film: Film::open(path, settings, on_ready),
            bell,
        }
    }

    fn reply(&self) -> Result<Reply, Fault> {
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

    fn ask(&self, wanted: Want) -> Result<Arc<Frame>, Fault> {
        self.film.want(wanted);
        loop {
            if let Reply::Shown {
                want,
                frame,
                exact: true,
            } = self.reply()?
                && want == wanted
            {
                return Ok(frame);
            }
        }
    }

    fn sharp(&self) -> Result<Arc<Frame>, Fault> {
        loop {
            if let Reply::Sharp(frame) = self.reply()? {
                return Ok(frame);
            }
        }
    }
}

fn bench(name: &str, path: &Path) -> Result<(), Fault> {
    say(&format!(
        "\n## {name}\n\n| what | ours | beside | ratio |\n| --- | --- | --- | --- |"
    ));
    let info = reinback_film::probe(path).map_err(|error| error.to_string())?;
    let length = info.duration.as_secs_f64();
    let frames = (length * info.average_rate).round().max(1.0);
    let rate = playing(path, frames)?;
    opening(path)?;
    jumps(path, length)?;
    near_keys(path, info.average_rate)?;
    stepping_back(path, length, rate)?;
    resting(path, length)?;
    Ok(())
}

fn row(what: &str, ours: &str, beside: &str, ratio: Option<f64>) {
    let ratio = ratio.map_or_else(|| "-".to_owned(), |ratio| format!("{ratio:.2}"));
    say(&format!("| {what} | {ours} | {beside} | {ratio} |"));
}

fn ms(time: Duration) -> String {
    format!("{:.1} ms", time.as_secs_f64() * 1e3)
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

fn ratio(ours: Duration, beside: Duration) -> f64 {
    ours.as_secs_f64() / beside.as_secs_f64()
}

fn opening(path: &Path) -> Result<(), Fault> {
    let started = Instant::now();
    Watched::open(path, Settings::reviewing()).ask(Want::Exact(FilmTime::ZERO))?;
    let ours = started.elapsed();
    let started = Instant::now();
    run(Command::new("ffmpeg")
        .args(["-v", "error", "-nostdin", "-i"])
        .arg(path)
        .args(["-frames:v", "1", "-f", "null", "-"]))?;
    let beside = started.elapsed();
    row(
        "opening to the first picture",
        &ms(ours),
        &format!("ffmpeg, one frame: {}", ms(beside)),
        Some(ratio(ours, beside)),
    );
    Ok(())
}

/// Frames a second, decoded and painted at the reviewing size.
fn playing(path: &Path, frames: f64) -> Result<f64, Fault> {
    let settings = Settings::reviewing();
    let before = resident();
    let film = Watched::open(path, settings);
    let mut from = film.ask(Want::Exact(FilmTime::ZERO))?.time;
    let started = Instant::now();
    loop {
        film.film.want(Want::Play { from, speed: 1.0 });
        std::thread::sleep(Duration::from_millis(20));
        from = film
            .film
            .latest_cached(FilmTime::MAX)
            .map_or(from, |frame| frame.time);
        let over = std::iter::from_fn(|| film.film.poll())
            .any(|reply| matches!(reply, Reply::AtEnd { .. }));
        if over {
            break;
        }
        if started.elapsed() > LIMIT {
            return Err("playing never came to the end".to_owned());
        }
    }
    let ours = frames / started.elapsed().as_secs_f64();
    let held = film.film.cache_bytes_used();
    let grown = resident().saturating_sub(before);
    drop(film);
    let scale = format!(
        "scale='if(gte(iw,ih),min(iw,{0}),-2)':'if(gte(iw,ih),-2,min(ih,{0}))':flags=bilinear,format=rgba",
        settings.max_side
    );
    let started = Instant::now();
    run(Command::new("ffmpeg")
        .args(["-v", "error", "-nostdin", "-i"])
        .arg(path)
        .args(["-map", "0:v:0", "-vf", &scale, "-f", "null", "-"]))?;
    let beside = frames / started.elapsed().as_secs_f64();
    row(
        "playing at the reviewing size (more is better)",
        &format!("{ours:.0} frames/s"),
        &format!("ffmpeg -f null, same scaling: {beside:.0} frames/s"),
        Some(ours / beside),
    );
    row(
        "memory: our frames; other growth is the decoder's (whole only for the first film of a run)",
        &format!("{} MiB", held >> 20),
        &format!(
            "limit {} MiB; other growth {} MiB",
            settings.cache_bytes >> 20,
            grown.saturating_sub(held) >> 20
        ),
        Some(held as f64 / settings.cache_bytes as f64),
    );
    Ok(ours)
}

fn jumps(path: &Path, length: f64) -> Result<(), Fault> {
    let settings = Settings {
        cache_bytes: 0,
        ..Settings::reviewing()
    };
    let film = Watched::open(path, settings);
    film.ask(Want::Exact(FilmTime::ZERO))?;
    let mut proof = Proof::open(path, 0).map_err(|error| error.to_string())?;
    let (mut ours, mut plain, mut program) = (Vec::new(), Vec::new(), Vec::new());
    for number in 0..JUMPS {
        // The golden ratio's multiples lie evenly and never near the last.
        let place = (0.618_034 * (number + 1) as f64).fract() * length * 0.98;
        let time = FilmTime::from_secs_f64(place);
        let started = Instant::now();
        film.ask(Want::Exact(time))?;
        ours.push(started.elapsed());
        // What is made ready after an answer must not weigh on the others.
        std::thread::sleep(Duration::from_millis(400));
        let started = Instant::now();
        proof.decode_to(time).map_err(|error| error.to_string())?;
        plain.push(started.elapsed());
        if number < 5 {
            program.push(seek_by_ffmpeg(path, place)?);
        }
    }
    let (ours, plain, program) = (median(ours), median(plain), median(program));
    row(
        "jump to a random place, median",
        &ms(ours),
        &format!("decoding from the key frame, no more: {}", ms(plain)),
        Some(ratio(ours, plain)),
    );
    row(
        "the same",
        &ms(ours),
        &format!("ffmpeg -ss: {}", ms(program)),
        Some(ratio(ours, program)),
    );
    let frame = film.ask(Want::Exact(FilmTime::ZERO))?;
    let started = Instant::now();
    film.ask(Want::Exact(FilmTime(frame.time.0 + 1)))?;
    row(
        "a frame in the cache",
        &ms(started.elapsed()),
        "bound: 5 ms",
        None,
    );
    Ok(())
}

fn seek_by_ffmpeg(path: &Path, place: f64) -> Result<Duration, Fault> {
    let started = Instant::now();
    run(Command::new("ffmpeg")
        .args(["-v", "error", "-nostdin", "-ss", &place.to_string(), "-i"])
        .arg(path)
        .args([
            "-frames:v",
            "1",
            "-vf",
            "scale=1280:-2:flags=bilinear,format=rgba",
            "-f",
            "null",
            "-",
        ]))?;
    Ok(started.elapsed())
}

/// Jumps to the third frame after each of some key frames.
fn near_keys(path: &Path, rate: f64) -> Result<(), Fault> {
    let output = Command::new("ffprobe")
        .args([
            "-v",
            "error",
            "-select_streams",
            "v:0",
            "-skip_frame",
            "nokey",
        ])
        .args([
            "-show_entries",
            "frame=best_effort_timestamp_time",
            "-of",
            "csv=p=0",
        ])
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
    let settings = Settings {
        cache_bytes: 0,
        ..Settings::reviewing()
    };
    let film = Watched::open(path, settings);
    film.ask(Want::Exact(FilmTime::ZERO))?;
    let (mut ours, mut program) = (Vec::new(), Vec::new());
    for key in keys.iter().skip(1).take(5) {
        let place = key - first + 3.2 / rate;
        // From elsewhere, and rested.
        std::thread::sleep(Duration::from_millis(400));
        let started = Instant::now();
        film.ask(Want::Exact(FilmTime::from_secs_f64(place)))?;
        ours.push(started.elapsed());
        program.push(seek_by_ffmpeg(path, place)?);
    }
    if ours.is_empty() {
        return Ok(());
    }
    let (ours, program) = (median(ours), median(program));
    row(
        "jump to the third frame after a key frame, median",
        &ms(ours),
        &format!("ffmpeg -ss: {}", ms(program)),
        Some(ratio(ours, program)),
    );
    Ok(())
}

fn stepping_back(path: &Path, length: f64, rate: f64) -> Result<(), Fault> {
    let film = Watched::open(path, Settings::reviewing());
    let mut time = film
        .ask(Want::Exact(FilmTime::from_secs_f64(length * 0.9)))?
        .time;
    let (started, mut longest, mut count) = (Instant::now(), Duration::ZERO, 0_u32);
    while count < BACK as u32 && time > FilmTime::ZERO {
        let step = Instant::now();
        time = film
            .ask(Want::Step {
                from: time,
                frames: -1,
            })?
            .time;
        longest = longest.max(step.elapsed());
        count += 1;
    }
    let each = started.elapsed() / count.max(1);
    let played = Duration::from_secs_f64(1.0 / rate);
    row(
        &format!(
            "a step back, mean of {count} without pause (longest {})",
            ms(longest)
        ),
        &ms(each),
        &format!("a frame while playing: {}", ms(played)),
        Some(ratio(each, played)),
    );
    Ok(())
}

/// From the small picture to the sharp one, after a jump and after steps back.
fn resting(path: &Path, length: f64) -> Result<(), Fault> {
    let info = reinback_film::probe(path).map_err(|error| error.to_string())?;
    let film = Watched::open(path, Settings::reviewing());
    let small = film.ask(Want::Exact(FilmTime::from_secs_f64(length * 0.7)))?;
    let started = Instant::now();
    if info.width.max(info.height) <= small.width.max(small.height) {
        row(
            "the frame rested on",
            "as large as filmed at once",
            "-",
            None,
        );
        return Ok(());
    }
    film.sharp()?;
    row(
        "sharp after a jump",
        &ms(started.elapsed()),
        "bound: 150 ms",
        None,
    );
    let mut time = small.time;
    let mut waits = Vec::new();
    for _ in 0..7 {
        for _ in 0..3 {
            time = film
                .ask(Want::Step {
                    from: time,
                    frames: -1,
                })?
                .time;
        }
        let started = Instant::now();
        while film.sharp()?.time != time {}
        waits.push(started.elapsed());
    }
    let longest = waits.iter().max().copied().unwrap_or_default();
    row(
        &format!("sharp after steps back, median (longest {})", ms(longest)),
        &ms(median(waits)),
        "bound: 150 ms",
        None,
    );
    Ok(())
}

/// Bytes of memory this process holds (Linux: `proc_pid_status(5)`); 0 elsewhere.
fn resident() -> usize {
    let text = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let kib = line.and_then(|line| line.trim().strip_suffix("kB")?.trim().parse::<usize>().ok());
    kib.unwrap_or(0) << 10
}

fn run(command: &mut Command) -> Result<(), Fault> {
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

fn say(text: &str) {
    // A closed terminal is no reason to stop.
    let _ = writeln!(std::io::stdout(), "{text}");
}
