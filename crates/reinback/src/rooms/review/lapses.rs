//! Where the tempo of a ride lapsed, for jumping there. Pure.

use reinback_analysis::tempo::{Course, tempo};
use reinback_yard::lower::tempo as lower;
use reinback_yard::{Keys, ReviewId, Ride, Span, Words};

/// The stretches in which the tempo left its band, by their starts. A stride belongs to the pace
/// noted at its middle; where none is noted at all, to that of the exercise.
///
/// To jump somewhere claims nothing: lines that nobody marked count as straight here, so that
/// corners, which slow the strides down, may be among them. Known turns and what lies beside
/// transitions are not.
///
/// # Errors
/// A sentence for the rider: there is nothing to tell a lapse by.
pub fn lapses(ride: &Ride, words: &Words, review: ReviewId) -> Result<Vec<Span>, String> {
    let strides = lower::strides(ride, review);
    let Some(last) = strides.last() else {
        return Err("No tempo is known in this ride: tap it along first".into());
    };
    // What still runs reaches to the last stride.
    let until = Some(last.span.to);
    let going = lower::going(ride, words, review, until, &mut Keys::default());
    if going.is_empty() {
        return Err("A lapse is told beside the tempo of its pace: note the paces first".into());
    }
    let mut sections = lower::sections(ride, review, &going);
    for section in &mut sections {
        if section.course == Course::NotMarked {
            section.course = Course::Straight;
        }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;
    use reinback_yard::{IdMaker, Leg, Moment, Pace, PaceSpan, SpanId, TempoTrack};

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
