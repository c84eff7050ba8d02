//! One picture of a film.

use std::fmt;
use std::sync::Arc;

use crate::time::FilmTime;

/// One presented frame, upright and ready for the screen.
#[derive(Clone)]
pub struct Frame {
    /// This frame's own time stamp.
    pub time: FilmTime,
    /// Time stamp of the frame after it, where that is known; otherwise
    /// `time` plus the stated length; `None` where neither is known.
    pub end: Option<FilmTime>,
    /// Pixels in a row of `rgba`.
    pub width: u32,
    /// Rows in `rgba`.
    pub height: u32,
    /// Opaque RGBA, 8 bits each, rows from top to bottom without padding:
    /// `width * height * 4` bytes.
    pub rgba: Arc<[u8]>,
}

impl Frame {
    /// Bytes the picture takes.
    #[must_use]
    pub fn byte_count(&self) -> usize {
        self.rgba.len()
    }
}

impl fmt::Debug for Frame {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Frame")
            .field("time", &self.time)
            .field("end", &self.end)
            .field("width", &self.width)
            .field("height", &self.height)
            .finish_non_exhaustive()
    }
}
