//! The decoder's own pixels of films of many makers, reached in three ways.
//!
//! Beside each film stand `.frames.csv` (absolute time stamps from ffprobe
//! 5.1.9) and `.framemd5` (`ffmpeg -f framemd5` of the same release, the first
//! hundred frames at most). Pixels are compared only where the same release
//! decodes here: another one may rightly conceal damage in another way.

use std::cell::Cell;
use std::path::{Path, PathBuf};

use reinback_film::proof::{NativeFrame, Proof, ffmpeg_release};
use reinback_film::{FilmError, FilmTime};

use crate::disputed;
use crate::support::{Dice, media, within};

/// A film with more frames is walked at both ends only.
const LONG: usize = 150;
/// Frames walked at the start, among them all whose pixels are listed.
const START: usize = 105;
/// Frames walked at the end.
const END: usize = 20;
/// Room for several groups of frames at 32 pixels a side.
const CACHE: usize = 4 << 20;

struct Truth {
    path: PathBuf,
    name: String,
    /// Absolute seconds of every presented frame.
    seconds: Vec<f64>,
    /// MD5 of the first frames.
    md5s: Vec<String>,
}

fn truths() -> Vec<Truth> {
    let Some(folder) = media() else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for part in ["decode", "damaged", "horse"] {
        let Ok(entries) = std::fs::read_dir(folder.join(part)) else {
            continue;
        };
        for entry in entries {
            let list = entry.unwrap().path();
            if let Some(film) = list
                .to_str()
                .and_then(|text| text.strip_suffix(".framemd5"))
            {
                found.push(truth(Path::new(film)));
            }
        }
    }
    found.retain(|truth| !truth.seconds.is_empty());
    found.sort_by(|a, b| a.path.cmp(&b.path));
    found
}

fn truth(film: &Path) -> Truth {
    let beside = |ending: &str| std::fs::read_to_string(format!("{}{ending}", film.display()));
    let column = |text: &str, at: usize| -> Vec<String> {
        text.lines()
            .filter(|line| !line.starts_with('#'))
            .filter_map(|line| Some(line.split(',').nth(at)?.trim().to_owned()))
            .collect()
    };
    let listed = column(&beside(".frames.csv").unwrap_or_default(), 2);
    Truth {
        path: film.to_path_buf(),
        name: film.file_name().unwrap().to_string_lossy().into_owned(),
        seconds: listed.iter().filter_map(|text| text.parse().ok()).collect(),
        md5s: column(&beside(".framemd5").unwrap(), 5),
    }
}

impl Truth {
    fn times(&self) -> Vec<FilmTime> {
        crate::support::since_first(&self.seconds)
    }

    fn stops(&self) -> Vec<usize> {
        let count = self.seconds.len();
        if count <= LONG {
            (0..count).collect()
        } else {
            (0..START).chain(count - END..count).collect()
        }
    }

    /// A film that is whole is not called damaged, however it is gone through.
    fn check_flaws(&self, way: &str, proof: &Proof) {
        let damaged = self.path.parent().is_some_and(|at| at.ends_with("damaged"));
        if !damaged && disputed::reason(&self.path).is_none() {
            let flaws = proof.flaws();
            assert!(flaws.is_empty(), "{}: {way}: {flaws:?}", self.name);
        }
    }

    /// How this frame differs from the listed one.
    fn difference(&self, at: usize, found: &NativeFrame, base: (i32, i32)) -> Option<String> {
        let seconds = found.tick as f64 * f64::from(base.0) / f64::from(base.1);
        // Printed with six decimals.
        if (seconds - self.seconds[at]).abs() > 1.5e-6 {
            return Some(format!("at {seconds} s instead of {}", self.seconds[at]));
        }
        let md5 = hex(found.md5);
        let listed = self.md5s.get(at)?;
        (*listed != md5).then(|| format!("md5 {md5} instead of {listed}"))
    }
}

fn hex(md5: [u8; 16]) -> String {
    format!("{:032x}", u128::from_be_bytes(md5))
}

/// Whether the release that made the lists decodes here.
fn same_release() -> bool {
    ffmpeg_release().starts_with("5.1")
}

/// Calls `visit` with each film and compares what it reports.
fn compare(way: &str, visit: impl Fn(&Truth, &mut Proof) -> Vec<(usize, Option<NativeFrame>)>) {
    compare_opened(way, |path| Proof::open(path, CACHE), visit);
}

fn compare_opened(
    way: &str,
    open: impl Fn(&Path) -> Result<Proof, FilmError>,
    visit: impl Fn(&Truth, &mut Proof) -> Vec<(usize, Option<NativeFrame>)>,
) {
    let (mut films, mut frames) = (0, 0);
    for truth in truths() {
        let mut proof = open(&truth.path).unwrap();
        let found = visit(&truth, &mut proof);
        let base = proof.time_base();
        let wrong: Vec<String> = found
            .iter()
            .filter_map(|(at, frame)| {
                let words = match frame {
                    Some(frame) => truth.difference(*at, frame, base)?,
                    None => "missing".to_owned(),
                };
                Some(format!("{}: {way}: frame {at}: {words}", truth.name))
            })
            .collect();
        report(&truth, &wrong);
        truth.check_flaws(way, &proof);
        films += 1;
        frames += found.len();
    }
    println!("{way}: {frames} frames of {films} films compared");
}

/// Differences are failures, but for the listed films, and for pixels of other releases.
fn report(truth: &Truth, wrong: &[String]) {
    let name = &truth.name;
    let disputed = disputed::reason(&truth.path);
    let other = format!("decoded by FFmpeg {}, listed by 5.1", ffmpeg_release());
    let excuse = |line: &str| match disputed {
        Some(reason) => Some(reason),
        None if !same_release() && line.contains(": md5 ") => Some(other.as_str()),
        None => None,
    };
    for line in wrong {
        println!("{line} ({})", excuse(line).unwrap_or("not excused"));
    }
    let failures: Vec<_> = wrong.iter().filter(|line| excuse(line).is_none()).collect();
    assert!(
        failures.is_empty(),
        "{name}: {} frames differ, first: {}",
        failures.len(),
        failures[0]
    );
}

#[test]
fn forward_every_frame_is_the_decoders() {
    compare("forward", |truth, proof| {
        let times = truth.times();
        let mut last: Option<(usize, FilmTime)> = None;
        let mut found = Vec::new();
        for at in truth.stops() {
            let frame = match last {
                Some((before, time)) if before + 1 == at => proof.after(time).unwrap(),
                _ => proof.at(within(&times, at)).unwrap(),
            };
            last = frame.map(|frame| (at, frame.time));
            found.push((at, frame));
        }
        let end = last.and_then(|(_, time)| proof.after(time).unwrap());
        assert_eq!(end, None, "{}: a frame after the last", truth.name);
        found
    });
}

#[test]
fn backward_every_frame_is_the_decoders() {
    compare("backward", |truth, proof| {
        let times = truth.times();
        let mut last: Option<(usize, FilmTime)> = None;
        let mut found = Vec::new();
        for at in truth.stops().into_iter().rev() {
            let frame = match last {
                Some((after, time)) if at + 1 == after => proof.before(time).unwrap(),
                _ => proof.at(within(&times, at)).unwrap(),
            };
            last = frame.map(|frame| (at, frame.time));
            found.push((at, frame));
        }
        let start = last.and_then(|(_, time)| proof.before(time).unwrap());
        assert_eq!(start, None, "{}: a frame before the first", truth.name);
        found
    });
}

#[test]
fn at_random_every_frame_is_the_decoders() {
    compare("random", |truth, proof| {
        let times = truth.times();
        let mut dice = Dice(11);
        // Pixels are listed for the first frames only: jump there too.
        let listed = truth.md5s.len().min(times.len());
        let places = (0..3).map(|_| dice.below(listed)).collect::<Vec<_>>();
        let more = (0..2).map(|_| dice.below(times.len())).collect::<Vec<_>>();
        places
            .into_iter()
            .chain(more)
            .map(|at| (at, proof.at(within(&times, at)).unwrap()))
            .collect()
    });
}

/// Rested on after steps back, with frames as filmed held beside the small ones: what is then
/// handed out, off that shelf or not, and what of it went into the cache.
#[test]
fn rested_on_every_frame_is_the_decoders() {
    let shelved = Cell::new(0);
    let open = |path: &Path| Proof::open_shelved(path, 256 << 20);
    compare_opened("rested", open, |truth, proof| {
        let times = truth.times();
        let mut dice = Dice(13);
        let listed = truth.md5s.len().min(times.len());
        let mut found = Vec::new();
        for _ in 0..2 {
            let mut at = dice.below(listed);
            let mut shown = proof.at(within(&times, at)).unwrap();
            for _ in 0..8 {
                found.push((at, shown));
                let Some(frame) = shown else { break };
                let rested = proof.rested(frame.time).unwrap();
                shelved.set(shelved.get() + usize::from(rested.is_some_and(|r| r.shelved)));
                found.push((at, rested.map(|rested| rested.frame)));
                if at == 0 {
                    break;
                }
                at -= 1;
                shown = proof.before(frame.time).unwrap();
            }
        }
        found
    });
    println!("{} of them off the shelf", shelved.get());
    assert!(shelved.get() > 0 || truths().is_empty());
}

/// MD5 of RFC 1321's kind and the `ffmpeg` program's packing, by a clip made
/// and summed by that program here and now, whatever its release.
#[test]
fn the_sum_is_the_one_ffmpeg_prints() {
    let folder = tempfile::tempdir().unwrap();
    let source =
        "-f lavfi -i testsrc2=size=161x121:rate=25:duration=1 -c:v libx264 -g 9 -bf 2 -pix_fmt";
    for format in ["yuv420p", "yuv420p10le", "yuv444p"] {
        let name = format!("{format}.mp4");
        let source = format!("{source} {format}");
        let Some(path) = crate::support::clip(folder.path(), &name, &source) else {
            continue;
        };
        let list = format!("-i {} -f framemd5", path.display());
        let list = crate::support::clip(folder.path(), "list.txt", &list).unwrap();
        let text = std::fs::read_to_string(list).unwrap();
        let expected: Vec<&str> = text
            .lines()
            .filter(|line| !line.starts_with('#'))
            .filter_map(|line| line.rsplit(',').next())
            .map(str::trim)
            .collect();
        assert_eq!(expected.len(), 25);
        let mut proof = Proof::open(&path, CACHE).unwrap();
        let mut frame = proof.at(FilmTime::ZERO).unwrap();
        for sum in expected {
            let shown = frame.unwrap();
            assert_eq!(hex(shown.md5), sum, "{format} at {:?}", shown.time);
            frame = proof.after(shown.time).unwrap();
        }
    }
}
