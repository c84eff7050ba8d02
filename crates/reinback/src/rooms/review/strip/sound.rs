//! From the films' loudness to the columns of the sound band: pure, no painting.

use egui::{Rect, pos2};
use reinback_film::FilmTime;
use reinback_film::sound::{Loudness, Waveform};
use reinback_yard::{Film, Moment, Span};

use super::axis::Axis;
use super::layout::{StripData, stretch_on};
use crate::rooms::review::waves::Wave;

/// Points from one column to the next.
const STEP: f32 = 1.0;
/// A film whose loudest sample is below this is drawn as if it were this loud, so that noise does
/// not look like sound: 1 in 50. Our own choice.
const QUIETEST: f32 = 0.02;

/// The loudness over one column, from top to bottom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Its left edge.
    pub x: f32,
    /// From the highest sample to the lowest.
    pub peak: (f32, f32),
    /// As far as the sound is most of the time: its root mean square both ways.
    pub body: (f32, f32),
}

/// The sound band.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SoundBand {
    /// Columns of all films, each a point wide.
    pub columns: Vec<Column>,
    /// Films whose loudness is still being found, and the part done.
    pub making: Vec<(Rect, f32)>,
}

/// Lays the band out.
#[must_use]
pub(super) fn band(data: &StripData<'_>, axis: &Axis, bed: Rect) -> SoundBand {
    let mut band = SoundBand::default();
    for (placed, wave) in data.films.iter().zip(data.waves) {
        match wave {
            Wave::Unknown => {}
            Wave::Making(part) => {
                let span = placed.film.span();
                let rect = span.and_then(|span| stretch_on(axis, span, bed));
                band.making.extend(rect.map(|rect| (rect, *part)));
            }
            Wave::Ready(wave) => columns(&mut band.columns, &placed.film, wave, axis, bed),
        }
    }
    band
}

fn columns(columns: &mut Vec<Column>, film: &Film, wave: &Waveform, axis: &Axis, bed: Rect) {
    let end = film.ride_from_film(wave.length().0);
    let span = Span {
        from: film.offset,
        to: end,
    };
    let Some(rect) = stretch_on(axis, span, bed) else {
        return;
    };
    let whole = wave.whole();
    let full = whole.max.max(-whole.min).max(QUIETEST);
    let time = |x: f32| {
        let moment: Moment = axis.moment_from_x(x);
        FilmTime(film.film_from_ride(moment))
    };
    // On whole columns of the band, so that they stand still while it is scrolled.
    let first = ((rect.left() - bed.left()) / STEP).floor() as usize;
    let last = ((rect.right() - bed.left()) / STEP).ceil() as usize;
    columns.extend((first..last).filter_map(|number| {
        let x = bed.left() + number as f32 * STEP;
        let loudness = wave.over(time(x), time(x + STEP))?;
        Some(column(x, loudness, full, bed))
    }));
}

fn column(x: f32, loudness: Loudness, full: f32, bed: Rect) -> Column {
    let (middle, half) = (bed.center().y, bed.height() / 2.0 - 1.0);
    // The square root, so that a voice shows beside a bang. Our own choice.
    let reach = |value: f32| (value.abs() / full).min(1.0).sqrt().copysign(value);
    let y = |value: f32| middle - reach(value) * half;
    Column {
        x,
        peak: (y(loudness.max.max(0.0)), y(loudness.min.min(0.0))),
        body: (y(loudness.rms), y(-loudness.rms)),
    }
}

/// Where a film's progress is drawn: a hairline along the band's middle.
#[must_use]
pub(super) fn hairline(rect: Rect, part: f32) -> Rect {
    let right = rect.left() + rect.width() * part.clamp(0.0, 1.0);
    let middle = rect.center().y;
    Rect::from_min_max(pos2(rect.left(), middle - 0.5), pos2(right, middle + 0.5))
}

#[cfg(test)]
mod tests {
    use super::*;

    const BED: Rect = Rect::from_min_max(pos2(100.0, 10.0), pos2(300.0, 32.0));

    #[test]
    fn loud_is_high_and_silence_a_line() {
        let loudness = |min, max, rms| Loudness { min, max, rms };
        for (given, full, peak, body) in [
            (loudness(-0.5, 0.5, 0.125), 0.5, (11.0, 31.0), (16.0, 26.0)),
            (loudness(-0.125, 0.5, 0.02), 0.5, (11.0, 26.0), (19.0, 23.0)),
            (loudness(0.0, 0.0, 0.0), 0.5, (21.0, 21.0), (21.0, 21.0)),
            // A stretch on one side of the middle reaches to the middle.
            (loudness(0.1, 0.4, 0.225), 0.4, (11.0, 21.0), (13.5, 28.5)),
        ] {
            let column = column(7.0, given, full, BED);
            let near = |a: (f32, f32), b: (f32, f32)| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 1e-3;
            assert!(
                near(column.peak, peak) && near(column.body, body),
                "{column:?}"
            );
        }
    }

    #[test]
    fn progress_grows_along_the_middle() {
        for (part, right) in [(0.0, 100.0), (0.5, 200.0), (1.0, 300.0), (7.0, 300.0)] {
            let line = hairline(BED, part);
            assert!((line.right() - right).abs() < 1e-3, "{part}: {line:?}");
            assert!((line.center().y - 21.0).abs() < 1e-3);
        }
    }
}
