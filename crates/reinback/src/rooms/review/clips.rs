//! Placing the clips of one ride: what they leave open or show twice, and where one of them
//! belongs by what both microphones heard or by moments seen on two of them. Pure; `panel`
//! paints.

pub(super) mod panel;
mod recorded;

use std::ops::ControlFlow;
use std::sync::Arc;

use reinback_analysis::anchor::{Anchor, AnchorError, Placement};
use reinback_analysis::sound_match::{NoMatch, STEP_NANOS, SoundMatch, match_sound};
use reinback_film::FilmTime;
use reinback_film::sound::Waveform;
use reinback_yard::{Film, FilmId, Moment, Span};

use crate::services::OnReady;
use crate::task::{Task, Tasks};
use recorded::Recorded;

/// What the panel of clips remembers.
pub struct Clips {
    /// The clip that is to be placed.
    clip: Option<FilmId>,
    /// A moment of that clip, in nanoseconds of its own, that waits for its like on another.
    seen: Option<i64>,
    /// Moments that were seen on the clip and on another film.
    anchors: Vec<Anchor>,
    /// What the rider drags the start to, in seconds of the ride.
    start: Option<f64>,
    tasks: Tasks<Heard>,
    listening: Option<Task>,
    /// Counts the comparisons.
    comparisons: u64,
    heard: Option<Heard>,
    recorded: Recorded,
    /// The chosen clip as it lay when it was last looked at.
    lay: Option<Film>,
}

/// What comparing two sounds came to.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Heard {
    /// Of which comparison.
    number: u64,
    clip: FilmId,
    other: FilmId,
    result: Result<SoundMatch, NoMatch>,
}

impl Clips {
    /// Nothing chosen; `on_ready` is called when two sounds have been compared.
    #[must_use]
    pub fn new(on_ready: OnReady) -> Self {
        Self {
            clip: None,
            seen: None,
            anchors: Vec::new(),
            start: None,
            tasks: Tasks::new(on_ready.clone()),
            listening: None,
            comparisons: 0,
            heard: None,
            recorded: Recorded::new(on_ready),
            lay: None,
        }
    }

    fn choose(&mut self, clip: FilmId) {
        if self.clip != Some(clip) {
            self.clip = Some(clip);
            self.forget();
        }
    }

    /// Forgets what belongs to the clip as it lay.
    fn forget(&mut self) {
        self.seen = None;
        self.anchors.clear();
        self.start = None;
        self.listening = None;
        self.heard = None;
    }

    /// Follows the chosen clip: where it was moved on the strip, or back by undo, what belongs to
    /// the place where it lay is forgotten.
    fn follow(&mut self, films: &[Film]) {
        let film = films.iter().find(|film| Some(film.id) == self.clip);
        let place = |film: &Film| (film.id, film.offset, film.drift_ppb);
        let moved = |(film, lay): (&Film, &Film)| film.id == lay.id && place(film) != place(lay);
        if film.zip(self.lay.as_ref()).is_some_and(moved) {
            self.forget();
        }
        self.lay = film.cloned();
    }

    fn listen(&mut self, clip: (FilmId, Arc<Waveform>), other: (FilmId, Arc<Waveform>)) {
        self.heard = None;
        self.comparisons += 1;
        let number = self.comparisons;
        self.listening = Some(self.tasks.start("compare sounds", move |control| {
            let first = steps(&other.1, &mut || control.flow());
            let second = steps(&clip.1, &mut || control.flow());
            let (Some(first), Some(second)) = (first, second) else {
                return;
            };
            let result = match_sound(&first, &second, STEP_NANOS);
            control.send(Heard {
                number,
                clip: clip.0,
                other: other.0,
                result,
            });
        }));
    }

    /// Takes in what was heard.
    fn take_news(&mut self) {
        while let Some(heard) = self.tasks.poll() {
            self.take(heard);
        }
    }

    /// Takes one result, unless it is of a comparison that is not waited for any more.
    fn take(&mut self, heard: Heard) {
        if self.listening.is_some() && heard.number == self.comparisons {
            self.heard = (self.clip == Some(heard.clip)).then_some(heard);
            self.listening = None;
        }
    }
}

/// How loud a film was, step by step; `None` when told to stop.
fn steps(wave: &Waveform, flow: &mut dyn FnMut() -> ControlFlow<()>) -> Option<Vec<f32>> {
    let count = wave.length().0 / STEP_NANOS;
    let mut steps = Vec::new();
    for step in 0..count {
        if step % 10_000 == 0 && flow().is_break() {
            return None;
        }
        let from = step * STEP_NANOS;
        let loud = wave.over(FilmTime(from), FilmTime(from + STEP_NANOS));
        steps.push(loud.map_or(0.0, |loud| loud.rms));
    }
    Some(steps)
}

/// A film put where two sounds or moments say.
fn placed_at(film: &Film, placement: &Placement) -> Film {
    Film {
        offset: placement.ride(0),
        drift_ppb: placement.drift_ppb,
        ..film.clone()
    }
}

/// Where a film belongs whose start was heard on another.
fn by_sound(film: &Film, other: &Film, heard: &SoundMatch) -> Film {
    Film {
        offset: other.ride_from_film(heard.offset_nanos),
        ..film.clone()
    }
}

/// Where a film belongs by one or two moments; the last two count. One tells nothing of its rate,
/// which stays as it was.
fn by_moments(film: &Film, anchors: &[Anchor]) -> Option<Result<Film, AnchorError>> {
    let placement = match anchors {
        [] => return None,
        [one] => {
            let lies = film.ride_from_film(one.own);
            let by = one.ride.0.saturating_sub(lies.0);
            let offset = Moment(film.offset.0.saturating_add(by));
            return Some(Ok(Film {
                offset,
                ..film.clone()
            }));
        }
        [.., one, other] => Placement::between(*one, *other),
    };
    Some(placement.map(|placement| placed_at(film, &placement)))
}

/// What lies between a clip and those before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Between {
    /// The first clip.
    First,
    /// No film shows this long.
    Gap(i64),
    /// Two films show this long.
    Overlap(i64),
    /// The one begins where the other ends.
    None,
    /// The length of a film before it is not known.
    Unknown,
}

/// A tenth of a second is as good as nothing. Our own choice.
const NOTHING: i64 = 100_000_000;

/// For each of these films, in the order of their starts, what lies before it.
fn between(films: &[Film]) -> Vec<Between> {
    let mut end: Option<Option<Moment>> = None;
    films
        .iter()
        .map(|film| {
            let own = film.span().map(|span: Span| span.to);
            let before = match end {
                None => Between::First,
                Some(None) => Between::Unknown,
                Some(Some(end)) => match film.offset.0.saturating_sub(end.0) {
                    gap if gap > NOTHING => Between::Gap(gap),
                    gap if gap < -NOTHING => {
                        let shared = own.map_or(gap.saturating_neg(), |to| {
                            let whole = to.0.saturating_sub(film.offset.0);
                            whole.min(gap.saturating_neg())
                        });
                        Between::Overlap(shared)
                    }
                    _ => Between::None,
                },
            };
            end = Some(match (end, own) {
                (None, own) => own,
                (Some(before), own) => before.zip(own).map(|(one, other)| one.max(other)),
            });
            before
        })
        .collect()
}

/// What goes with a clip, in words: so many exercises, marks, paces, outlines and tapped stretches.
fn along(counts: [usize; 6]) -> Option<String> {
    const NAMES: [(&str, &str); 6] = [
        ("exercise", "exercises"),
        ("mark", "marks"),
        ("pace", "paces"),
        ("outline", "outlines"),
        ("tapped stretch", "tapped stretches"),
        ("line of the test", "lines of the test"),
    ];
    let counted = counts.iter().zip(NAMES).filter(|(count, _)| **count > 0);
    let name = |(count, (one, many)): (&usize, (&str, &str))| {
        let name = if *count == 1 { one } else { many };
        format!("{count} {name}")
    };
    let mut parts: Vec<String> = counted.map(name).collect();
    let last = parts.pop()?;
    let goes = if counts.iter().sum::<usize>() == 1 {
        "goes"
    } else {
        "go"
    };
    let all = match parts.as_slice() {
        [] => last,
        parts => format!("{} and {last}", parts.join(", ")),
    };
    Some(format!("{all} {goes} with it"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SECOND: i64 = 1_000_000_000;

    fn film(id: u64, offset: i64, length: Option<i64>) -> Film {
        Film {
            id: FilmId::from_bits(id),
            path: format!("films/{id}.mp4"),
            fingerprint: None,
            offset: Moment(offset * SECOND),
            drift_ppb: 0,
            duration_nanos: length.map(|length| length * SECOND),
            tilt: None,
        }
    }

    #[test]
    fn gaps_and_overlaps() {
        let films = [
            film(1, 0, Some(60)),
            film(2, 60, Some(60)),
            film(3, 130, Some(60)),
            film(4, 170, Some(100)),
            film(5, 180, Some(10)),
            film(6, 275, None),
            film(7, 400, Some(10)),
        ];
        let expect = [
            Between::First,
            Between::None,
            Between::Gap(10 * SECOND),
            Between::Overlap(20 * SECOND),
            Between::Overlap(10 * SECOND),
            Between::Gap(5 * SECOND),
            Between::Unknown,
        ];
        assert_eq!(between(&films), expect);
    }

    #[test]
    fn what_goes_with_a_clip_is_told() {
        let check = |counts, expect: Option<&str>| {
            assert_eq!(along(counts).as_deref(), expect);
        };
        check([0; 6], None);
        check([0, 12, 0, 0, 0, 0], Some("12 marks go with it"));
        check([1, 0, 0, 0, 0, 0], Some("1 exercise goes with it"));
        check(
            [1, 0, 0, 1, 0, 0],
            Some("1 exercise and 1 outline go with it"),
        );
        check(
            [2, 1, 3, 0, 1, 0],
            Some("2 exercises, 1 mark, 3 paces and 1 tapped stretch go with it"),
        );
        check(
            [0, 1, 0, 0, 0, 2],
            Some("1 mark and 2 lines of the test go with it"),
        );
    }

    #[test]
    fn a_clip_is_placed_by_moments() {
        let clip = film(2, 60, Some(600));
        let anchor = |own: i64, ride: i64| Anchor {
            own: own * SECOND,
            ride: Moment(ride * SECOND),
        };
        assert_eq!(by_moments(&clip, &[]), None);
        let one = by_moments(&clip, &[anchor(10, 100)]).unwrap().unwrap();
        assert_eq!((one.offset, one.drift_ppb), (Moment(90 * SECOND), 0));
        let driven = Film {
            drift_ppb: -1_000_000,
            ..clip.clone()
        };
        let one = by_moments(&driven, &[anchor(500, 700)]).unwrap().unwrap();
        assert_eq!(one.drift_ppb, driven.drift_ppb, "its rate was known");
        assert_eq!(one.ride_from_film(500 * SECOND), Moment(700 * SECOND));
        // It loses half a second in five hundred: 1000 parts per million.
        let half = Anchor {
            own: 510 * SECOND - SECOND / 2,
            ride: Moment(600 * SECOND),
        };
        let two = by_moments(&clip, &[anchor(10, 100), half])
            .unwrap()
            .unwrap();
        assert_eq!(two.drift_ppb, -1_000_000);
        assert_eq!(two.ride_from_film(10 * SECOND), Moment(100 * SECOND));
        assert_eq!(two.ride_from_film(half.own), half.ride);
        let wrong = by_moments(&clip, &[anchor(10, 100), anchor(20, 90)]);
        assert_eq!(wrong, Some(Err(AnchorError::Reversed)));
    }

    #[test]
    fn a_comparison_that_was_stopped_says_nothing_for_the_next() {
        let mut clips = Clips::new(Arc::new(|| {}));
        let (clip, other) = (FilmId::from_bits(2), FilmId::from_bits(1));
        clips.clip = Some(clip);
        clips.comparisons = 2;
        clips.listening = Some(clips.tasks.start("nothing", |_| {}));
        let heard = |number| Heard {
            number,
            clip,
            other,
            result: Err(NoMatch::TooShort),
        };
        clips.take(heard(1));
        assert!(clips.heard.is_none() && clips.listening.is_some());
        clips.take(heard(2));
        assert_eq!(clips.heard, Some(heard(2)));
        assert!(clips.listening.is_none());
    }

    #[test]
    fn a_clip_is_placed_where_it_was_heard() {
        let heard = SoundMatch {
            offset_nanos: 12 * SECOND,
            correlation: 0.8,
            score: 30.0,
            rival: 0.2,
            overlap_nanos: 40 * SECOND,
        };
        let placed = by_sound(&film(2, 0, None), &film(1, 100, None), &heard);
        assert_eq!(placed.offset, Moment(112 * SECOND));
    }
}
