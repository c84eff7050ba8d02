//! What is known about a film once it is open.

use crate::time::FilmTime;

/// A film's size, length and rate, as the person watching sees them.
///
/// Fields may be added: build one as `FilmInfo { .., ..FilmInfo::default() }`.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "independent facts, each named at its use"
)]
pub struct FilmInfo {
    /// Width in pixels as displayed: after rotation and pixel aspect, before
    /// any scaling down to [`Settings::max_side`](crate::Settings::max_side).
    pub width: u32,
    /// Height in pixels as displayed.
    pub height: u32,
    /// From the first presented frame to the end of the last one, as the
    /// container states it; for containers without an index an estimate.
    pub duration: FilmTime,
    /// Frames per second on average; above zero.
    pub average_rate: f64,
    /// Whether the spacing of the frames varies by more than rounding and a
    /// few holes.
    pub variable_rate: bool,
    /// Short name of the picture coding, e.g. `h264`.
    pub codec: String,
    /// Whether there is sound.
    pub has_sound: bool,
    /// When it was filmed, seconds since 1970 UTC, from the file's own data.
    pub recorded_at: Option<i64>,
    /// Clockwise turn that brings the stored picture upright: 0, 90, 180 or
    /// 270 degrees, after mirroring.
    pub rotation_degrees: i32,
    /// Whether the stored picture is mirrored left to right before the turn.
    pub mirrored: bool,
    /// Whether the frames are made of two interleaved fields.
    pub interlaced: bool,
    /// Whether brightness is coded for high dynamic range (PQ or HLG) and is
    /// mapped down for the screen.
    pub high_dynamic_range: bool,
    /// Number of frames that the container lists for presenting, those that
    /// turn out damaged included; `None` where it keeps no list (MPEG-TS,
    /// Matroska).
    pub frames: Option<u64>,
}

impl Default for FilmInfo {
    /// A silent upright film without length: no pixels, 25 frames a second.
    fn default() -> Self {
        Self {
            width: 0,
            height: 0,
            duration: FilmTime::ZERO,
            average_rate: 25.0,
            variable_rate: false,
            codec: String::new(),
            has_sound: false,
            recorded_at: None,
            rotation_degrees: 0,
            mirrored: false,
            interlaced: false,
            high_dynamic_range: false,
            frames: None,
        }
    }
}

impl FilmInfo {
    /// The average time from one frame to the next.
    #[must_use]
    pub fn frame_length(&self) -> FilmTime {
        FilmTime::from_secs_f64(1.0 / self.average_rate.max(0.1))
    }
}
