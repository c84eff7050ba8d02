//! Placing a clip by when it was recorded, where the cameras wrote that down: found on a thread,
//! compared purely.

use std::collections::BTreeMap;
use std::path::PathBuf;

use reinback_yard::{Film, FilmId, Moment};

use crate::services::OnReady;
use crate::task::{Task, Tasks};

/// Cameras write the second at which they began.
const SECOND: i64 = 1_000_000_000;
/// Two films further apart than this are not of one ride, or one of the clocks is wrong.
const HALF_A_DAY: i64 = 43_200 * SECOND;

/// When the ride's films were recorded, as far as that has been read.
pub(super) struct Recorded {
    tasks: Tasks<(FilmId, Option<i64>)>,
    reading: Option<Task>,
    /// Seconds since 1970 began; `None` where the file does not say.
    known: BTreeMap<FilmId, Option<i64>>,
    asked: Vec<(FilmId, PathBuf)>,
}

impl Recorded {
    pub(super) fn new(on_ready: OnReady) -> Self {
        Self {
            tasks: Tasks::new(on_ready),
            reading: None,
            known: BTreeMap::new(),
            asked: Vec::new(),
        }
    }

    /// Has these films read, where that has not been asked for, and takes in what was read.
    pub(super) fn read(&mut self, films: Vec<(FilmId, PathBuf)>) {
        if self.asked != films {
            self.asked.clone_from(&films);
            self.reading = Some(self.tasks.start("recording times", move |control| {
                for (id, path) in films {
                    if control.flow().is_break() {
                        return;
                    }
                    let info = reinback_film::probe(&path).ok();
                    control.send((id, info.and_then(|info| info.recorded_at)));
                }
            }));
        }
        while let Some((id, at)) = self.tasks.poll() {
            self.known.insert(id, at);
        }
    }

    /// Whether films are still being read.
    pub(super) fn is_reading(&self) -> bool {
        self.reading.as_ref().is_some_and(Task::is_running)
    }

    fn of(&self, film: FilmId) -> Option<i64> {
        self.known.get(&film).copied().flatten()
    }

    /// Where a clip belongs by its recording time and that of the first other film that has one.
    pub(super) fn place(&self, film: &Film, films: &[Film]) -> Result<Film, NoTime> {
        let own = self.of(film.id).ok_or(NoTime::Own)?;
        let others = films.iter().filter(|other| other.id != film.id);
        let mut known = others.filter_map(|other| Some((other, self.of(other.id)?)));
        let (other, at) = known.next().ok_or(NoTime::Others)?;
        by_clocks(film, own, other, at)
    }
}

/// Why a clip has no place by its recording time. Its text is a sentence for the rider.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum NoTime {
    /// The clip does not say.
    #[error("The camera did not write down when it recorded this clip.")]
    Own,
    /// No other film says.
    #[error("No other film of this ride says when it was recorded.")]
    Others,
    /// They are more than half a day apart.
    #[error("The clocks of the cameras are more than half a day apart: one of them is wrong.")]
    Apart,
}

fn by_clocks(film: &Film, own: i64, other: &Film, at: i64) -> Result<Film, NoTime> {
    let apart = own.saturating_sub(at).saturating_mul(SECOND);
    if apart.saturating_abs() > HALF_A_DAY {
        return Err(NoTime::Apart);
    }
    Ok(Film {
        offset: Moment(other.offset.0.saturating_add(apart)),
        ..film.clone()
    })
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;

    fn film(id: u64, offset: i64) -> Film {
        Film {
            id: FilmId::from_bits(id),
            path: format!("{id}.mp4"),
            fingerprint: None,
            offset: Moment(offset * SECOND),
            drift_ppb: 0,
            duration_nanos: None,
            tilt: None,
        }
    }

    #[test]
    fn clips_lie_as_far_apart_as_they_were_recorded() {
        let films = [film(1, 0), film(2, 100), film(3, 900)];
        let day = 86_400;
        for (known, expect) in [
            // The first film that says when it was recorded counts, wherever it lies.
            ([Some(5_000), Some(9_000), Some(5_640)], Ok(640)),
            ([None, Some(5_000), Some(5_640)], Ok(740)),
            // A second camera was running already.
            ([Some(5_000), None, Some(4_990)], Ok(-10)),
            ([Some(5_000), None, None], Err(NoTime::Own)),
            ([None, None, Some(5_000)], Err(NoTime::Others)),
            ([Some(5_000), None, Some(5_000 + day)], Err(NoTime::Apart)),
            ([Some(i64::MIN), None, Some(i64::MAX)], Err(NoTime::Apart)),
        ] {
            let mut recorded = Recorded::new(Arc::new(|| {}));
            for (film, at) in films.iter().zip(known) {
                recorded.known.insert(film.id, at);
            }
            let placed = recorded.place(&films[2], &films);
            let start = placed.map(|film| film.offset.0 / SECOND);
            assert_eq!(start, expect, "{known:?}");
        }
    }
}
