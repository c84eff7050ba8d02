//! Pictures into a film file, by the `ffmpeg` program of the machine.

use std::io::{ErrorKind, Read as _, Write as _};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};

use super::error::FilmError;

/// How much time the encoder takes over a film.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Care {
    /// As fast as the pictures are drawn; for films drawn where they are used.
    Quick,
    /// A smaller file; for films that are committed.
    Kept,
}

/// A running encoder.
pub(crate) struct Encoder {
    child: Child,
    input: Option<ChildStdin>,
}

impl Encoder {
    /// Starts the encoder for pictures of `size` at `fps`.
    ///
    /// # Errors
    /// The program is missing or cannot be started.
    pub(crate) fn start(
        out: &Path,
        (width, height): (u32, u32),
        fps: u32,
        care: Care,
    ) -> Result<Self, FilmError> {
        let codec: &[&str] = match (has_x264()?, care) {
            (true, Care::Quick) => &[
                "-c:v",
                "libx264",
                "-preset",
                "superfast",
                "-crf",
                "24",
                "-profile:v",
                "high",
            ],
            (true, Care::Kept) => &[
                "-c:v",
                "libx264",
                "-preset",
                "slow",
                "-crf",
                "28",
                "-tune",
                "animation",
                "-profile:v",
                "high",
            ],
            (false, _) => &["-c:v", "mpeg4", "-q:v", "4"],
        };
        let mut child = Command::new("ffmpeg")
            .args(["-hide_banner", "-loglevel", "error", "-y"])
            .args(["-f", "rawvideo", "-pix_fmt", "rgba"])
            .args([
                "-s",
                &format!("{width}x{height}"),
                "-r",
                &fps.to_string(),
                "-i",
                "pipe:0",
            ])
            // The pictures are full-range sRGB; say and do what a television expects.
            .args([
                "-vf",
                "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p",
            ])
            .args([
                "-colorspace",
                "bt709",
                "-color_primaries",
                "bt709",
                "-color_trc",
                "bt709",
                "-color_range",
                "tv",
            ])
            .args(codec)
            .args([
                "-g",
                &(fps * 2).to_string(),
                "-an",
                "-map_metadata",
                "-1",
                "-fflags",
                "+bitexact",
            ])
            .args(["-movflags", "+faststart", "-f", "mp4"])
            .arg(out)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .map_err(|error| missing(&error))?;
        let input = child.stdin.take();
        Ok(Self { child, input })
    }

    /// Hands over the next picture, as rows of RGBA bytes.
    ///
    /// # Errors
    /// The encoder has stopped; the reason is its own.
    pub(crate) fn picture(&mut self, rgba: &[u8]) -> Result<(), FilmError> {
        let sent = self.input.as_mut().map(|input| input.write_all(rgba));
        match sent {
            Some(Ok(())) => Ok(()),
            _ => Err(FilmError::Encoder(self.complaint())),
        }
    }

    /// Waits until the film file is complete.
    ///
    /// # Errors
    /// The encoder failed; the reason is its own.
    pub(crate) fn finish(mut self) -> Result<(), FilmError> {
        drop(self.input.take());
        let complaint = self.complaint();
        match self.child.wait() {
            Ok(status) if status.success() => Ok(()),
            Ok(_) => Err(FilmError::Encoder(complaint)),
            Err(error) => Err(FilmError::Encoder(error.to_string())),
        }
    }

    fn complaint(&mut self) -> String {
        drop(self.input.take());
        let mut words = String::new();
        if let Some(errors) = self.child.stderr.as_mut() {
            // What cannot be read of the complaint is left out of it.
            let _ = errors.read_to_string(&mut words);
        }
        let words = words.trim();
        if words.is_empty() {
            "it stopped without a word".to_owned()
        } else {
            words.to_owned()
        }
    }
}

impl Drop for Encoder {
    fn drop(&mut self) {
        // An encoder left in the middle of a film must not outlive us.
        if self.input.take().is_some() {
            let _ = self.child.kill();
        }
        let _ = self.child.wait();
    }
}

fn missing(error: &std::io::Error) -> FilmError {
    match error.kind() {
        ErrorKind::NotFound => FilmError::NoEncoder,
        _ => FilmError::Encoder(error.to_string()),
    }
}

fn has_x264() -> Result<bool, FilmError> {
    let answer = Command::new("ffmpeg")
        .args(["-hide_banner", "-encoders"])
        .output()
        .map_err(|error| missing(&error))?;
    Ok(String::from_utf8_lossy(&answer.stdout).contains("libx264"))
}
