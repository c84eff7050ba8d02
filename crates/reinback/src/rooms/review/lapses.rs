//! Where the tempo of a ride lapsed, for jumping there. Pure.

use reinback_analysis::strides::{Convention, Stride, from_taps};
use reinback_analysis::tempo::{Course, Section, tempo};
use reinback_yard::{Moment, ReviewId, Ride, Span, Words};

use super::marking::shown_until;

/// The stretches in which the tempo left its band, by their starts. A stride belongs to the pace
/// noted at its middle; where none is noted at all, to that of the exercise. The lines ridden are
/// not known, so that corners, which slow the strides down, may be among them.
///
/// # Errors
/// A sentence for the rider: there is nothing to tell a lapse by.
pub fn lapses(ride: &Ride, words: &Words, review: ReviewId) -> Result<Vec<Span>, String> {
    let tracks = ride.tempos.iter().filter(|track| track.review == review);
    let strides: Vec<Stride> = tracks
        .flat_map(|track| from_taps(&track.taps, Convention::Strides).strides)
        .collect();
    if strides.is_empty() {
        return Err("No tempo is known in this ride: tap it along first".into());
    }
    let end = strides.iter().map(|stride| stride.span.to).max();
    let sections = sections(ride, words, review, end.unwrap_or_default());
    if sections.is_empty() {
        return Err("A lapse is told beside the tempo of its pace: note the paces first".into());
    }
    let report = tempo(&strides, &sections);
    let mut found = Vec::new();
    let mut why = None;
    for pace in &report.paces {
        match &pace.straight {
            Ok(own) => found.extend(own.lapses.iter().map(|lapse| lapse.span)),
            Err(reason) => why = Some(reason.to_string()),
        }
    }
    found.sort_unstable();
    match why {
        Some(why) if found.is_empty() => Err(why),
        None if found.is_empty() && report.unplaced > 0.0 => Err(
            "Some of the strides lie in no pace that is noted: note the paces there first".into(),
        ),
        _ => Ok(found),
    }
}

/// What still runs reaches to the last stride.
fn sections(ride: &Ride, words: &Words, review: ReviewId, end: Moment) -> Vec<Section> {
    let section = |pace, span| Section {
        span,
        pace,
        variant: None,
        course: Course::Straight,
    };
    if !ride.paces.is_empty() {
        let last = ride.paces.last().map(|own| own.id);
        let noted = ride.paces.iter().map(|own| {
            let shown = shown_until(own.span, last == Some(own.id), end);
            section(own.pace, shown)
        });
        return noted.collect();
    }
    let own = ride.bouts.iter().filter(|bout| bout.review == review);
    own.filter_map(|bout| {
        let pace = words.exercise(&bout.exercise)?.pace?;
        Some(section(pace, bout.span_until(end)))
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;
    use reinback_yard::{IdMaker, Leg, Pace, PaceSpan, SpanId, TempoTrack};

    const MS: i64 = 1_000_000;

    /// A ride with taps every so many milliseconds.
    fn ride(steps: &[i64]) -> Ride {
        let mut ride = sample::blank(&mut IdMaker::seeded(1), sample::day(0));
        let mut taps = vec![Moment(0)];
        for step in steps {
            taps.push(Moment(taps[taps.len() - 1].0 + step * MS));
        }
        ride.tempos = vec![TempoTrack {
            id: SpanId::from_bits(5),
            review: ride.head.counting,
            leg: Leg::LeftHind,
            taps,
        }];
        ride
    }

    fn found(ride: &Ride) -> Result<Vec<Span>, String> {
        lapses(ride, &Words::default(), ride.head.counting)
    }

    fn in_canter(mut ride: Ride) -> Ride {
        ride.paces = vec![PaceSpan {
            id: SpanId::from_bits(6),
            span: Span::new(Moment(0), Moment(600_000 * MS)),
            pace: Pace::Canter,
            variant: None,
        }];
        ride
    }

    #[test]
    fn five_quick_strides_among_forty_are_a_lapse() {
        let mut steps = vec![620; 20];
        steps.extend([560; 5]);
        steps.extend([620; 20]);
        let from = Moment(20 * 620 * MS);
        let to = Moment(from.0 + 5 * 560 * MS);
        assert_eq!(found(&in_canter(ride(&steps))), Ok(vec![Span { from, to }]));
        assert_eq!(found(&in_canter(ride(&[620; 45]))), Ok(Vec::new()));
    }

    /// A pace that was said and has no end yet reaches as far as it was tapped.
    #[test]
    fn a_pace_that_still_runs_is_looked_through() {
        let mut steps = vec![620; 20];
        steps.extend([560; 5]);
        steps.extend([620; 20]);
        let closed = in_canter(ride(&steps));
        let mut running = closed.clone();
        running.paces[0].span.to = running.paces[0].span.from;
        assert_eq!(found(&running), found(&closed));
        // Where the pace begins behind the strides, nothing was looked through.
        running.paces[0].span = Span {
            from: Moment(3_600_000 * MS),
            to: Moment(3_600_000 * MS),
        };
        let why = found(&running).unwrap_err();
        assert!(why.contains("no pace that is noted"), "{why}");
    }

    #[test]
    fn where_nothing_is_known_it_is_said() {
        let mut bare = in_canter(ride(&[620; 45]));
        bare.tempos.clear();
        let mut foreign = in_canter(ride(&[620; 45]));
        foreign.tempos[0].review = ReviewId::from_bits(99);
        let few = in_canter(ride(&[620; 4]));
        for (ride, part) in [
            (bare, "No tempo"),
            (foreign, "No tempo"),
            (ride(&[620; 45]), "note the paces"),
            (few, "Fewer than ten strides"),
        ] {
            let why = found(&ride).unwrap_err();
            assert!(why.contains(part), "{why}");
        }
    }
}
