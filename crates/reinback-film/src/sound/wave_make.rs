//! Finds or makes the loudness of a film.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use super::track::Track;
use super::wave::{Maker, Waveform};
use super::wave_file;
use crate::error::FilmError;
use crate::file_cache;
use crate::fingerprint::fingerprint;
use crate::time::FilmTime;
use crate::worker::guarded;

/// Blocks of samples between two looks at whether anybody still waits.
const PAUSE: u32 = 32;
/// Sound may go on so long after the picture; what comes later is a time
/// stamp gone wrong. Our own bound.
const AFTER: FilmTime = FilmTime(10_000_000_000);
/// Where the length of the picture is not known: half a day.
const LONGEST: FilmTime = FilmTime(12 * 3600 * 1_000_000_000);

/// The loudness of the film at `path`: from the copy kept in `folder`, or by
/// decoding its sound once and keeping one there; [`waveform_folder`] names a
/// fit folder. `None` where the film has no sound, and where `progress`, told
/// the part done from 0 to 1, breaks.
///
/// Blocks, for a minute or more with a long film: fit for a task thread.
///
/// # Errors
/// As for opening the film; [`FilmErrorKind::Unsupported`] where its sound
/// cannot be decoded here.
///
/// [`FilmErrorKind::Unsupported`]: crate::FilmErrorKind::Unsupported
pub fn waveform(
    path: &Path,
    folder: Option<&Path>,
    progress: &mut dyn FnMut(f32) -> ControlFlow<()>,
) -> Result<Option<Waveform>, FilmError> {
    guarded(path, || provide(path, folder, progress))
}

fn provide(
    path: &Path,
    folder: Option<&Path>,
    progress: &mut dyn FnMut(f32) -> ControlFlow<()>,
) -> Result<Option<Waveform>, FilmError> {
    let print = fingerprint(path)?;
    let kept = folder.map(|folder| wave_file::path(folder, &print));
    if let Some(wave) = kept.as_deref().and_then(wave_file::read) {
        return Ok(Some(wave));
    }
    let Some(wave) = make(path, progress)? else {
        return Ok(None);
    };
    // A film that was replaced meanwhile keeps nothing under its old name.
    if let Some(kept) = kept
        && fingerprint(path)? == print
        && let Err(error) = wave_file::write(&kept, &wave)
    {
        log::info!("the film's loudness is not kept: {error}");
    }
    Ok(Some(wave))
}

fn make(
    path: &Path,
    progress: &mut dyn FnMut(f32) -> ControlFlow<()>,
) -> Result<Option<Waveform>, FilmError> {
    let Some(mut track) = Track::open(path, None)? else {
        return Ok(None);
    };
    let length = track.length();
    let last = if length > FilmTime::ZERO {
        length + AFTER
    } else {
        LONGEST
    };
    let mut maker = Maker::new(track.rate());
    let (mut block, mut blocks) = (Vec::new(), 0_u32);
    while maker.reached() < last {
        maker.push_silence(track.take_silence(maker.samples_until(last)));
        if !track.next(&mut block) {
            break;
        }
        maker.push(&block);
        blocks += 1;
        if blocks.is_multiple_of(PAUSE) {
            let part = maker.reached().as_secs_f64() / length.as_secs_f64().max(0.001);
            if progress((part as f32).clamp(0.0, 1.0)).is_break() {
                return Ok(None);
            }
        }
    }
    Ok(maker.finish())
}

/// The folder for films' loudness in the user's own cache folder; `None` where
/// the system names none.
#[must_use]
pub fn waveform_folder() -> Option<PathBuf> {
    file_cache::folder("loudness")
}
