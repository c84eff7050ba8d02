//! Small pictures of a film at many times, kept from one time to the next.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageFormat};

use crate::error::{FilmError, FilmErrorKind};
use crate::file_cache::{self, FileCache};
use crate::film::Shared;
use crate::fingerprint::{Fingerprint, fingerprint};
use crate::frame::Frame;
use crate::picture::Painter;
use crate::projector::Projector;
use crate::reader::Reader;
use crate::settings::Settings;
use crate::time::FilmTime;
use crate::worker::guarded;

/// Many films may have pictures made at once.
const THREADS: usize = 1;
/// JPEG quality from 1 to 100: at this size more is not seen. Our own choice.
const QUALITY: u8 = 80;
/// Some 20,000 small pictures.
const FILES: FileCache = FileCache {
    ending: "jpg",
    room: 128 << 20,
    largest: 1 << 20,
};

/// Which pictures of a film are wanted, and how.
#[derive(Clone, Debug)]
pub struct Pictures {
    /// Longer side in pixels.
    pub max_side: u32,
    /// How much earlier than wanted a frame may be: one that can be had at once is then taken.
    pub slack: FilmTime,
    /// Where pictures are kept, such as [`picture_folder`]; nowhere if `None`.
    pub folder: Option<PathBuf>,
}

impl Pictures {
    /// Makes the pictures of the film at `path`, in the order wanted, each as soon as it is
    /// there: opaque RGBA, the frame on screen at that time or up to `slack` earlier.
    ///
    /// Kept pictures are named by the film's content and read again; all films together keep
    /// 128 MiB, the oldest go first. `on_picture` gets the time wanted with each picture and
    /// ends the work by breaking.
    ///
    /// Blocks while it reads and decodes; for a task thread.
    ///
    /// # Errors
    /// Any [`FilmErrorKind`]; pictures already handed out stay good.
    pub fn make(
        &self,
        path: &Path,
        wanted: &[FilmTime],
        on_picture: &mut dyn FnMut(FilmTime, Frame) -> ControlFlow<()>,
    ) -> Result<(), FilmError> {
        guarded(path, || self.made(path, wanted, on_picture))
    }

    fn made(
        &self,
        path: &Path,
        wanted: &[FilmTime],
        on_picture: &mut dyn FnMut(FilmTime, Frame) -> ControlFlow<()>,
    ) -> Result<(), FilmError> {
        let place = match &self.folder {
            Some(folder) => Some((folder.as_path(), fingerprint(path)?)),
            None => None,
        };
        let mut projector = None;
        let mut newest = None;
        for &time in wanted {
            let file = place
                .as_ref()
                .map(|(folder, print)| self.file(folder, print, time));
            let kept = file.as_deref().and_then(|file| read(file, time));
            let frame = if let Some(frame) = kept {
                frame
            } else {
                let open = match &mut projector {
                    Some(open) => open,
                    none => none.insert(self.open(path)?),
                };
                let frame = self.decode(open, time, path)?;
                if let Some(file) = file
                    && write(&file, &frame)
                {
                    newest = Some(file);
                }
                frame
            };
            if on_picture(time, frame).is_break() {
                break;
            }
        }
        if let Some(newest) = newest {
            // Too much kept is pruned the next time.
            let _pruned = FILES.prune(&newest);
        }
        Ok(())
    }

    fn open(&self, path: &Path) -> Result<Projector, FilmError> {
        let (reader, first) = Reader::open(path, THREADS)?;
        let settings = Settings {
            max_side: self.max_side,
            full_side: self.max_side,
            hardware: false,
            cache_bytes: 0,
        };
        let shared = Arc::new(Shared::new(settings.cache_bytes));
        Ok(Projector::new(reader, first, settings, shared))
    }

    fn decode(
        &self,
        projector: &mut Projector,
        time: FilmTime,
        path: &Path,
    ) -> Result<Frame, FilmError> {
        if self.slack > FilmTime::ZERO
            && let Some(near) = projector.near(time)?
            && near.time <= time
            && time - near.time <= self.slack
        {
            return near
                .frame(&mut Painter::default())
                .map_err(|error| projector.unsupported(error));
        }
        let frame = projector.sharp(time.max(FilmTime::ZERO), &|| true)?;
        frame
            .map(|frame| (*frame).clone())
            .ok_or_else(|| FilmError::new(FilmErrorKind::Damaged, path, "no frame"))
    }

    fn file(&self, folder: &Path, print: &Fingerprint, time: FilmTime) -> PathBuf {
        let (side, slack, time) = (self.max_side, self.slack.0, time.0);
        folder.join(format!("{print}-{side}-{slack}-{time}.{}", FILES.ending))
    }
}

/// The folder for pictures in the user's own cache folder; `None` where the system names none.
#[must_use]
pub fn picture_folder() -> Option<PathBuf> {
    file_cache::folder("pictures")
}

/// A kept picture; its time is the one it was wanted for.
fn read(file: &Path, time: FilmTime) -> Option<Frame> {
    let bytes = FILES.read(file)?;
    let image = image::load_from_memory_with_format(&bytes, ImageFormat::Jpeg).ok()?;
    let rgba = image.into_rgba8();
    Some(Frame {
        time,
        end: None,
        width: rgba.width(),
        height: rgba.height(),
        rgba: rgba.into_raw().into(),
    })
}

fn write(file: &Path, frame: &Frame) -> bool {
    let pixels = frame.rgba.chunks_exact(4);
    let rgb: Vec<u8> = pixels.flat_map(|pixel| &pixel[..3]).copied().collect();
    let mut bytes = Vec::new();
    let kind = ExtendedColorType::Rgb8;
    JpegEncoder::new_with_quality(&mut bytes, QUALITY)
        .encode(&rgb, frame.width, frame.height, kind)
        .is_ok()
        && FileCache::put(file, &bytes).is_ok()
}
