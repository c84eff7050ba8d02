//! What the `ffprobe` and `ffmpeg` programs tell of a film.

use std::path::Path;
use std::process::{Command, Stdio};

/// Ticks by `ffprobe`, pixels by `ffmpeg`.
pub(crate) struct Told {
    /// Time stamps in presented order; `None` where `ffprobe` has none for a frame.
    pub(crate) ticks: Vec<Option<i64>>,
    /// MD5 of each frame's pixels as decoded.
    pub(crate) md5s: Vec<String>,
}

impl Told {
    pub(crate) fn of(path: &Path, stream: usize) -> Result<Self, String> {
        Ok(Self {
            ticks: ticks(path, &stream.to_string())?,
            md5s: md5s(path, stream)?,
        })
    }

    /// The fewest and the most frames that one of the two programs tells.
    pub(crate) fn counts(&self) -> std::ops::RangeInclusive<usize> {
        let (listed, decoded) = (self.ticks.len(), self.md5s.len());
        listed.min(decoded)..=listed.max(decoded)
    }

    /// How the two programs contradict each other, if they do.
    pub(crate) fn dispute(&self) -> Option<String> {
        let (listed, decoded) = (self.ticks.len(), self.md5s.len());
        let words = format!("ffprobe lists {listed} frames, ffmpeg gives {decoded}");
        (listed != decoded).then_some(words)
    }
}

/// The time stamps that `ffprobe` lists.
pub(crate) fn ticks(path: &Path, stream: &str) -> Result<Vec<Option<i64>>, String> {
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

fn md5s(path: &Path, stream: usize) -> Result<Vec<String>, String> {
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
    // A damaged film may end a program with an error after it told much.
    if !output.status.success() && output.stdout.is_empty() {
        return Err(format!("{name} told nothing: {}", output.status));
    }
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}
