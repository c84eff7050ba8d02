//! Single functions on the window's way to a frame that is there already, again and again until
//! their spread is known. What a rider waits for is measured in `beside`.
//!
//! The clip is made by the `ffmpeg` program; without it nothing is measured.

use std::path::{Path, PathBuf};
use std::process::Command;

use criterion::{Criterion, criterion_group, criterion_main};
use reinback_film::{FilmTime, Settings, Want, fingerprint};
use tools::{Fault, Watched, run, say};

#[expect(dead_code, reason = "most of it is for tables")]
#[path = "beside/tools.rs"]
mod tools;

/// Nanoseconds of a frame.
const FRAME: i64 = 1_000_000_000 / 30;

fn clip(folder: &Path) -> Result<PathBuf, Fault> {
    let path = folder.join("film.mp4");
    let source = "testsrc2=size=1920x1080:rate=30:duration=4";
    let mut made = Command::new("ffmpeg");
    made.args(["-v", "error", "-nostdin", "-f", "lavfi", "-i", source])
        .args(["-c:v", "libx264", "-preset", "veryfast", "-g", "30"])
        .args(["-pix_fmt", "yuv420p"]);
    run(made.arg(&path))?;
    Ok(path)
}

fn parts(criterion: &mut Criterion) {
    if let Err(fault) = measure(criterion) {
        say(&format!("not measured: {fault}"));
    }
}

fn measure(criterion: &mut Criterion) -> Result<(), Fault> {
    let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
    let path = clip(folder.path())?;
    let film = Watched::open(&path, Settings::reviewing());
    let early = film.ask(Want::Exact(FilmTime(45 * FRAME)))?.time;
    let step = |from, frames| film.ask(Want::Step { from, frames });
    let late = step(early, 1)?.time;
    // By turns, because the same frame is not painted twice in a row.
    let mut turn = false;
    criterion.bench_function("a frame of 1280 by 720 from memory, as RGBA", |bench| {
        bench.iter(|| {
            turn = !turn;
            film.film.cached(if turn { early } else { late })
        });
    });
    criterion.bench_function("a step that memory answers, there and back", |bench| {
        bench.iter(|| (step(early, 1), step(late, -1)));
    });
    criterion.bench_function("the fingerprint of a film", |bench| {
        bench.iter(|| fingerprint(&path));
    });
    Ok(())
}

criterion_group!(benches, parts);
criterion_main!(benches);
