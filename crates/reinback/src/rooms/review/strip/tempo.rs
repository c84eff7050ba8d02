//! The tempo band: strides a minute from tap to tap, on a small scale of its own. Pure.

use egui::{Pos2, Rect, pos2};
use reinback_analysis::strides::{Convention, Stride, from_taps};
use reinback_yard::{Edit, Moment, Ride, Span, SpanId, TempoTrack};

use super::axis::Axis;
use super::layout::{StripData, stretch_on};
use crate::action::Chosen;

/// Taps are shown one by one where they are at least this far apart on the average, in points.
const APART: f32 = 6.0;
/// The scale is at least this many strides a minute high, so that an even tempo looks even. Our own
/// choice.
const LEAST: f64 = 12.0;
/// The scale begins and ends at a multiple of this.
const STEP: f64 = 2.0;
/// A tap is added to a stretch that has one within this time, in nanoseconds: some ten strides. Our
/// own choice.
const NEAR: i64 = 10_000_000_000;

/// The band.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TempoBand {
    /// The stretches that were tapped.
    pub tracks: Vec<Track>,
    /// The taps, where there is room for them.
    pub taps: Vec<Tap>,
    /// The lowest and the highest number of strides a minute of the scale, where any are shown.
    pub scale: Option<(f64, f64)>,
}

/// A stretch that was tapped.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    /// Which one.
    pub id: SpanId,
    /// From its first tap to its last, over the height of the band.
    pub rect: Rect,
    /// The line of its strides; it is broken where a tap is missing.
    pub lines: Vec<Vec<Pos2>>,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// A tap.
#[derive(Clone, Debug, PartialEq)]
pub struct Tap {
    /// Of which stretch.
    pub track: SpanId,
    /// When.
    pub at: Moment,
    /// Where it stands.
    pub x: f32,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// The strides of a stretch in the order of time.
#[must_use]
pub fn strides(track: &TempoTrack) -> Vec<Stride> {
    from_taps(&track.taps, Convention::Strides).strides
}

/// The mean strides a minute of a stretch, where any can be counted.
#[must_use]
pub fn mean(track: &TempoTrack) -> Option<f64> {
    let strides = strides(track);
    let nanos: i64 = strides.iter().map(|one| one.span.duration_nanos()).sum();
    (nanos > 0).then(|| strides.len() as f64 * 60e9 / nanos as f64)
}

/// The strides a minute at a moment.
#[must_use]
pub fn rate_at(track: &TempoTrack, at: Moment) -> Option<f64> {
    let strides = strides(track);
    let stride = strides.iter().find(|one| one.span.contains(at));
    stride.map(Stride::rate)
}

/// Lays the band out.
pub(super) fn band(data: &StripData<'_>, axis: &Axis, bed: Rect) -> TempoBand {
    let own = data.ride.tempos.iter();
    let own = own.filter(|track| track.review == data.review);
    let mut band = TempoBand::default();
    let mut shown: Vec<(SpanId, Rect, Vec<Stride>)> = Vec::new();
    for track in own {
        let rect = track.span().and_then(|span| stretch_on(axis, span, bed));
        let Some(rect) = rect else { continue };
        let mut strides = strides(track);
        strides.retain(|one| one.span.to >= axis.view.from && one.span.from <= axis.view.to);
        shown.push((track.id, rect, merged(strides, axis)));
        band.taps.extend(taps(data, track, axis));
    }
    let rates = shown
        .iter()
        .flat_map(|(_, _, strides)| strides.iter().map(Stride::rate));
    band.scale = scale(rates);
    let place = |rate: f64| {
        let (low, high) = band.scale.unwrap_or((0.0, 1.0));
        let part = ((rate - low) / (high - low)) as f32;
        bed.bottom() - 3.0 - part * (bed.height() - 6.0)
    };
    let line = |run: &[Stride]| {
        let middle = |one: &Stride| pos2(axis.x_from_moment(one.middle()), place(one.rate()));
        let mut points = Vec::with_capacity(run.len() + 2);
        // The first and the last stride reach to their outer taps.
        let first = run.first();
        points.extend(first.map(|one| pos2(axis.x_from_moment(one.span.from), place(one.rate()))));
        points.extend(run.iter().map(middle));
        let last = run.last();
        points.extend(last.map(|one| pos2(axis.x_from_moment(one.span.to), place(one.rate()))));
        points
    };
    band.tracks = shown
        .iter()
        .map(|(id, rect, strides)| Track {
            id: *id,
            rect: *rect,
            lines: strides
                .chunk_by(|one, next| one.span.to == next.span.from)
                .map(line)
                .collect(),
            chosen: data.selected.contains(&Chosen::Tempo(*id)),
        })
        .collect();
    band
}

/// Strides narrower than a point of the screen are put together with the next ones; their rate is
/// that of all of them.
fn merged(strides: Vec<Stride>, axis: &Axis) -> Vec<Stride> {
    let point = axis.nanos_per_point();
    let mut wide: Vec<Stride> = Vec::with_capacity(strides.len());
    for stride in strides {
        match wide.last_mut() {
            Some(last)
                if last.span.to == stride.span.from
                    && (last.span.duration_nanos() as f64) < point =>
            {
                last.span.to = stride.span.to;
                last.strides += stride.strides;
            }
            _ => wide.push(stride),
        }
    }
    wide
}

/// Round ends around the rates.
fn scale(rates: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let (low, high) = rates.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), rate| {
        (low.min(rate), high.max(rate))
    });
    if low > high {
        return None;
    }
    let lack = (LEAST - (high - low)).max(0.0) / 2.0;
    let low = ((low - lack) / STEP).floor() * STEP;
    let high = ((high + lack) / STEP).ceil() * STEP;
    Some((low.max(0.0), high))
}

fn taps<'a>(
    data: &'a StripData<'_>,
    track: &'a TempoTrack,
    axis: &'a Axis,
) -> impl Iterator<Item = Tap> + 'a {
    let apart = track.span().map_or(0.0, |span| {
        let strides = track.taps.len().saturating_sub(1).max(1);
        span.duration_nanos() as f64 / strides as f64 / axis.nanos_per_point()
    });
    let near = apart >= f64::from(APART);
    let shown = track.taps.iter().filter(move |_| near);
    let shown = shown.filter(|at| axis.view.from <= **at && **at <= axis.view.to);
    shown.map(|at| Tap {
        track: track.id,
        at: *at,
        x: axis.x_from_moment(*at),
        chosen: data.selected.contains(&Chosen::Tap(track.id, *at)),
    })
}

/// Adds a tap at a moment to the stretch it lies in, or the nearest one.
///
/// # Errors
/// No stretch of this review is near, or there is a tap already.
pub fn add_tap(
    ride: &Ride,
    review: reinback_yard::ReviewId,
    at: Moment,
) -> Result<Edit, &'static str> {
    let far = |track: &&TempoTrack| {
        let span = track.span().unwrap_or(Span { from: at, to: at });
        let before = span.from.0.saturating_sub(at.0);
        before.max(at.0.saturating_sub(span.to.0)).max(0)
    };
    let own = ride.tempos.iter().filter(|track| track.review == review);
    let nearest = own.min_by_key(far).filter(|track| far(track) <= NEAR);
    let mut track = nearest
        .ok_or("No tempo was tapped near here; {Taps} begins one")?
        .clone();
    match track.taps.binary_search(&at) {
        Ok(_) => Err("There is a tap at this moment already"),
        Err(place) => {
            track.taps.insert(place, at);
            Ok(Edit::Tempo(ride.id, track.id, Some(track)))
        }
    }
}

#[cfg(test)]
mod tests {
    use reinback_yard::{Leg, ReviewId};

    use super::*;

    const MS: i64 = 1_000_000;

    fn track(taps: &[i64]) -> TempoTrack {
        TempoTrack {
            id: SpanId::from_bits(1),
            review: ReviewId::from_bits(1),
            leg: Leg::LeftHind,
            taps: taps.iter().map(|ms| Moment(ms * MS)).collect(),
        }
    }

    #[test]
    fn strides_a_minute_are_those_between_taps() {
        let even = track(&[0, 800, 1_600, 2_400]);
        assert!((mean(&even).unwrap() - 75.0).abs() < 1e-9);
        assert!((rate_at(&even, Moment(900 * MS)).unwrap() - 75.0).abs() < 1e-9);
        assert_eq!(
            rate_at(&even, Moment(2_400 * MS)),
            None,
            "behind the last tap"
        );
        // A missing tap is not half the tempo.
        let gap = track(&[0, 800, 1_600, 3_200, 4_000]);
        assert!((mean(&gap).unwrap() - 75.0).abs() < 1e-9);
        assert_eq!(rate_at(&gap, Moment(2_000 * MS)), None);
    }

    #[test]
    fn the_scale_is_round_and_never_flat() {
        for (rates, expect) in [
            (&[][..], None),
            (&[75.0], Some((68.0, 82.0))),
            (&[70.0, 80.0], Some((68.0, 82.0))),
            (&[51.2, 96.7], Some((50.0, 98.0))),
            (&[3.0], Some((0.0, 10.0))),
        ] {
            assert_eq!(scale(rates.iter().copied()), expect, "{rates:?}");
        }
    }

    #[test]
    fn narrow_strides_are_put_together_and_keep_their_rate() {
        let axis = Axis {
            view: Span {
                from: Moment(0),
                to: Moment(8_000 * MS),
            },
            left: 0.0,
            right: 4.0,
        };
        let even = track(&[0, 800, 1_600, 2_400, 3_200, 4_000]);
        let wide = merged(strides(&even), &axis);
        assert_eq!(wide.len(), 2, "{wide:?}");
        assert!(wide.iter().all(|one| (one.rate() - 75.0).abs() < 1e-9));
    }
}
