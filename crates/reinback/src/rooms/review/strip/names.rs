//! What stands on the strip in words, for those who hear it and for hints.

use reinback_yard::{Mark, Moment, Ride, TempoTrack, Words};

use crate::action::Chosen;
use crate::clock;
use crate::rooms::review::{bout_name, measure};

/// "fault: quarters trailing at 1:02.34", "half-pass, left from 1:02.34 to 1:10.02"; a thing that
/// still runs does so until `now`.
#[must_use]
pub fn name(words: &Words, ride: &Ride, chosen: Chosen, now: Moment) -> Option<String> {
    let (from, to) = super::grip::ends(ride, chosen)?;
    let what = match chosen {
        Chosen::Bout(id) => {
            let bout = ride.bouts.iter().find(|bout| bout.id == id)?;
            bout_name(words, bout)
        }
        Chosen::Mark(id) => {
            let mark = ride.marks.iter().find(|mark| mark.id == id)?;
            let about = if super::signs::is_about(mark) {
                "about "
            } else {
                ""
            };
            let at = clock::exact(mark.at);
            return Some(format!("{} at {about}{at}", mark_name(words, ride, mark)));
        }
        Chosen::Tap(_, at) => return Some(format!("tap at {}", clock::exact(at))),
        Chosen::Tempo(id) => {
            let track = ride.tempos.iter().find(|own| own.id == id)?;
            tempo_name(track)
        }
        Chosen::Pace(id) => {
            let own = ride.paces.iter().find(|own| own.id == id)?;
            own.pace.name().to_owned()
        }
        Chosen::Outline(id) => {
            let own = ride.outlines.iter().find(|own| own.id == id)?;
            words.outline_name(&own.outline)
        }
    };
    let to = to.unwrap_or(now).max(from);
    let (from, to) = (clock::exact(from), clock::exact(to));
    Some(format!("{what} from {from} to {to}"))
}

/// "tempo of the left hind: 54.2 strides a minute".
#[must_use]
pub fn tempo_name(track: &TempoTrack) -> String {
    let leg = track.leg.name();
    match super::tempo::mean(track) {
        Some(mean) => format!("tempo of the {leg}: {mean:.1} strides a minute"),
        None => format!("tempo of the {leg}"),
    }
}

/// "quarters trailing", "well ridden", "nose line −5.4°".
#[must_use]
pub fn mark_name(words: &Words, ride: &Ride, mark: &Mark) -> String {
    if let Some(text) = measure::mark_text(ride, &mark.kind) {
        return text;
    }
    let exercise = mark
        .bout
        .and_then(|id| ride.bouts.iter().find(|bout| bout.id == id));
    words.mark_name(exercise.map(|bout| &bout.exercise), &mark.kind)
}
