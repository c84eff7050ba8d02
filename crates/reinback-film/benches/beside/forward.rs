//! Playing.

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use reinback_film::{FilmTime, Reply, Settings, Want};

use crate::tools::{Fault, LIMIT, ROUNDS, Table, Watched, median, resident, timed};

/// As often as the window says that it still plays.
const RENEW: Duration = Duration::from_millis(200);

/// What is measured while playing.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    /// Decoded and scaled into the cache.
    Kept,
    /// And every frame handed out as RGBA.
    HandedOut,
}

impl Way {
    fn format(self) -> &'static str {
        match self {
            Self::Kept => "yuv420p",
            Self::HandedOut => "rgba",
        }
    }
}

/// Frames a second, decoded and scaled to the reviewing size, and handed out.
pub(crate) fn playing(table: &mut Table, path: &Path, frames: f64) -> Result<f64, Fault> {
    let mut last = 1.0;
    for way in [Way::Kept, Way::HandedOut] {
        let (mut ours, mut beside) = (Vec::new(), Vec::new());
        for round in 0..ROUNDS {
            let memory = (way == Way::Kept && round == 0).then_some(&mut *table);
            ours.push(frames / play(path, way, memory)?.as_secs_f64());
            beside.push(frames / play_by_ffmpeg(path, way)?.as_secs_f64());
        }
        let (ours, beside) = (median(ours), median(beside));
        let (what, format) = match way {
            Way::Kept => ("playing into the cache, more is better", "4:2:0"),
            Way::HandedOut => ("playing, each frame handed out as RGBA", "RGBA"),
        };
        table.row(
            what,
            &format!("{ours:.0} frames/s"),
            &format!("ffmpeg -f null, scaled to {format}: {beside:.0} frames/s"),
            Some(ours / beside),
        );
        last = ours;
    }
    Ok(last)
}

fn play(path: &Path, way: Way, memory: Option<&mut Table>) -> Result<Duration, Fault> {
    let settings = Settings::reviewing();
    let before = resident();
    let film = Watched::open(path, settings);
    let mut from = film.ask(Want::Exact(FilmTime::ZERO))?.time;
    let started = Instant::now();
    let mut shown = from;
    loop {
        film.film.want(Want::Play { from, speed: 1.0 });
        let renewed = Instant::now();
        let mut over = false;
        while renewed.elapsed() < RENEW && !over {
            std::thread::sleep(Duration::from_millis(5));
            if way == Way::HandedOut {
                shown = hand_out(&film, shown);
            }
            over = std::iter::from_fn(|| film.film.poll())
                .any(|reply| matches!(reply, Reply::AtEnd { .. }));
        }
        if over {
            break;
        }
        from = film.film.latest_cached_time(FilmTime::MAX).unwrap_or(from);
        if way == Way::HandedOut {
            // As a window whose clock follows the picture.
            from = shown;
        }
        if started.elapsed() > LIMIT {
            return Err("playing never came to the end".to_owned());
        }
    }
    if way == Way::HandedOut {
        hand_out(&film, shown);
    }
    let took = started.elapsed();
    let held = film.film.cache_bytes_used();
    let grown = resident().saturating_sub(before);
    if let Some(table) = memory {
        table.row(
            "memory after playing: our frames",
            &format!("{} MiB", held >> 20),
            &format!(
                "limit {} MiB; other growth (decoder and its pool, whole only for a run's first \
                 film) {} MiB",
                settings.cache_bytes >> 20,
                grown.saturating_sub(held) >> 20
            ),
            Some(held as f64 / settings.cache_bytes as f64),
        );
    }
    Ok(took)
}

/// Takes every frame that is there after `shown`; the last one's time.
fn hand_out(film: &Watched, mut shown: FilmTime) -> FilmTime {
    while let Some(frame) = film.film.cached(shown)
        && let Some(end) = frame.end
        && film.film.latest_cached_time(end) == Some(end)
    {
        shown = end;
    }
    shown
}

fn play_by_ffmpeg(path: &Path, way: Way) -> Result<Duration, Fault> {
    let scale = format!(
        "scale='if(gte(iw,ih),min(iw,{0}),-2)':'if(gte(iw,ih),-2,min(ih,{0}))':flags=bilinear,format={1}",
        Settings::reviewing().max_side,
        way.format()
    );
    let mut program = Command::new("ffmpeg");
    program
        .args(["-v", "error", "-nostdin", "-i"])
        .arg(path)
        .args(["-map", "0:v:0", "-vf", &scale, "-f", "null", "-"]);
    timed(&mut program)
}
