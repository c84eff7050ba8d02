//! How long a rider waits: forward decoding, a jump, a step back.
//!
//! The clip is made by the `ffmpeg` program: 1080p H.264 with B-frames and a
//! key frame each second, as phones film. Without the program nothing is
//! measured.

use std::path::Path;
use std::process::Command;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Mutex, PoisonError};

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use reinback_film::{Film, FilmTime, Frame, Reply, Settings, Want};

const SECONDS: i64 = 8;
const RATE: i64 = 30;

struct Watched {
    film: Film,
    bell: Receiver<()>,
}

impl Watched {
    fn open(path: &Path, cache_bytes: usize) -> Self {
        let (ring, bell) = channel();
        let ring = Mutex::new(ring);
        let settings = Settings {
            cache_bytes,
            ..Settings::default()
        };
        let on_ready = Arc::new(move || {
            let _ = ring.lock().unwrap_or_else(PoisonError::into_inner).send(());
        });
        Self {
            film: Film::open(path, settings, on_ready),
            bell,
        }
    }

    /// The exact answer; `None` when the film failed.
    fn ask(&self, wanted: Want) -> Option<Arc<Frame>> {
        self.film.want(wanted);
        loop {
            match self.film.poll() {
                Some(Reply::Shown {
                    want,
                    frame,
                    exact: true,
                }) if want == wanted => return Some(frame),
                Some(Reply::Failed(_)) => return None,
                Some(_) => {}
                None => self.bell.recv().ok()?,
            }
        }
    }
}

fn make_clip(folder: &Path) -> Option<std::path::PathBuf> {
    let path = folder.join("bench.mp4");
    let source = format!("testsrc2=size=1920x1080:rate={RATE}:duration={SECONDS}");
    let made = Command::new("ffmpeg")
        .args(["-v", "error", "-f", "lavfi", "-i", &source])
        .args(["-c:v", "libx264", "-preset", "fast", "-g", "30", "-bf", "2"])
        .args(["-pix_fmt", "yuv420p"])
        .arg(&path)
        .status()
        .ok()?;
    made.success().then_some(path)
}

fn decode(criterion: &mut Criterion) {
    let Some((_folder, path)) = tempfile::tempdir()
        .ok()
        .and_then(|folder| make_clip(folder.path()).map(|path| (folder, path)))
    else {
        return;
    };
    let mut group = criterion.benchmark_group("1080p H.264");
    group.sample_size(10);
    group.throughput(Throughput::Elements(60));
    group.bench_function("60 frames forward", |bench| {
        bench.iter_batched(
            || Watched::open(&path, 64 << 20),
            |film| {
                let mut time = FilmTime::ZERO;
                for _ in 0..60 {
                    let step = Want::Step {
                        from: time,
                        frames: 1,
                    };
                    time = film.ask(step).map_or(time, |frame| frame.time);
                }
                time
            },
            criterion::BatchSize::PerIteration,
        );
    });
    group.throughput(Throughput::Elements(1));
    // Opened outside: a bench function runs anew for each sample.
    let film = Watched::open(&path, 16 << 20);
    let mut place = 0;
    group.bench_function("jump", |bench| {
        bench.iter(|| {
            // A stride that never comes near the last places again.
            place = (place + 97) % (SECONDS * RATE);
            let time = FilmTime(place * 1_000_000_000 / RATE + 1);
            film.ask(Want::Exact(time)).map(|frame| frame.time)
        });
    });
    let film = Watched::open(&path, 256 << 20);
    let end = FilmTime(SECONDS * 1_000_000_000);
    let mut time = end;
    group.bench_function("step back", |bench| {
        bench.iter(|| {
            let step = Want::Step {
                from: time,
                frames: -1,
            };
            let found = film.ask(step).map_or(FilmTime::ZERO, |frame| frame.time);
            time = if found == FilmTime::ZERO { end } else { found };
            time
        });
    });
    group.finish();
}

criterion_group!(benches, decode);
criterion_main!(benches);
