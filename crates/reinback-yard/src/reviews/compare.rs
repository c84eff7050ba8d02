//! What two reviews of a ride have in common, and where they differ.

use std::collections::BTreeMap;

use reinback_analysis::Moment;
use reinback_analysis::agreement::{Agreement, AgreementReason, Event, agreement};
use reinback_analysis::observation::Key;

use crate::id::{BoutId, MarkId, ReviewId, SpanId};
use crate::model::{Bout, Mark, MarkKind, Ride, TempoTrack};

/// How far apart two things may be and still be the same, in nanoseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tolerance {
    /// Two marks.
    pub marks: i64,
    /// The starts of two bouts.
    pub bouts: i64,
}

/// Two seconds for marks and five for bouts, whose start is a matter of opinion. Our own choice.
impl Default for Tolerance {
    fn default() -> Self {
        Self {
            marks: 2_000_000_000,
            bouts: 5_000_000_000,
        }
    }
}

/// Two presses for one thing lie about so close, in nanoseconds: no difference worth a look. Our
/// own choice.
pub const CLOSE_MARKS: i64 = 500_000_000;
/// The same for the start and the end of a bout, in nanoseconds. Our own choice.
pub const CLOSE_BOUTS: i64 = 1_500_000_000;

/// Something of a review.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Thing {
    /// A bout.
    Bout(BoutId),
    /// A mark.
    Mark(MarkId),
    /// A stretch whose tempo was tapped.
    Tempo(SpanId),
}

/// What differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Only the first review has it.
    OnlyFirst,
    /// Only the second review has it.
    OnlySecond,
    /// Both have it under another word.
    Word,
    /// Both have it at another time: how much later the second has it, in nanoseconds. Of a bout
    /// the start, or the end where the starts are close.
    Time(i64),
    /// Both have it, and something else about it differs: a rein, a variant, a note, taps.
    Else,
}

/// One difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Difference {
    /// What the first review has.
    pub first: Option<Thing>,
    /// What the second review has.
    pub second: Option<Thing>,
    /// Where on the ride clock: the earlier one of both.
    pub at: Moment,
    /// What differs.
    pub what: What,
}

/// Two reviews side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// The first review.
    pub first: ReviewId,
    /// The second.
    pub second: ReviewId,
    /// The bouts, their class being the exercise.
    pub bouts: Result<Agreement, AgreementReason>,
    /// The marks that judge, their class being the fault or what else they say. Notes and measures
    /// are told apart below only.
    pub marks: Result<Agreement, AgreementReason>,
    /// What both have alike.
    pub alike: Vec<(Thing, Thing)>,
    /// Where they differ, by time.
    pub differences: Vec<Difference>,
}

/// Compares two reviews of a ride. Bouts are the same if their starts are within the tolerance,
/// marks if their moments are; how they are paired is told at
/// [`reinback_analysis::agreement::agreement`]. A note is the same as one of the same text, taps
/// as those of the same leg in the same stretch.
#[must_use]
pub fn compare(ride: &Ride, first: ReviewId, second: ReviewId, tolerance: Tolerance) -> Comparison {
    let mut found = Found::default();
    let bouts = compare_bouts(ride, first, second, tolerance.bouts, &mut found);
    let marks = compare_marks(ride, first, second, tolerance.marks, &mut found);
    compare_tempos(ride, first, second, &mut found);
    let mut differences = found.differences;
    differences.sort_by_key(|it| (it.at, it.first.is_none(), it.first, it.second));
    Comparison {
        first,
        second,
        bouts,
        marks,
        alike: found.alike,
        differences,
    }
}

#[derive(Default)]
struct Found {
    alike: Vec<(Thing, Thing)>,
    differences: Vec<Difference>,
}

impl Found {
    fn only_first(&mut self, thing: Thing, at: Moment) {
        self.differences.push(Difference {
            first: Some(thing),
            second: None,
            at,
            what: What::OnlyFirst,
        });
    }

    fn only_second(&mut self, thing: Thing, at: Moment) {
        self.differences.push(Difference {
            first: None,
            second: Some(thing),
            at,
            what: What::OnlySecond,
        });
    }

    fn both(&mut self, things: (Thing, Thing), at: (Moment, Moment), what: Option<What>) {
        match what {
            None => self.alike.push(things),
            Some(what) => self.differences.push(Difference {
                first: Some(things.0),
                second: Some(things.1),
                at: at.0.min(at.1),
                what,
            }),
        }
    }
}

/// Numbers for words, the same word the same number.
#[derive(Default)]
struct Classes(BTreeMap<String, u32>);

impl Classes {
    fn key(&mut self, word: String) -> Key {
        let next = u32::try_from(self.0.len()).unwrap_or(u32::MAX);
        Key(*self.0.entry(word).or_insert(next))
    }
}

fn compare_bouts(
    ride: &Ride,
    first: ReviewId,
    second: ReviewId,
    tolerance: i64,
    found: &mut Found,
) -> Result<Agreement, AgreementReason> {
    let of = |review: ReviewId| -> Vec<&Bout> {
        let bouts = ride.bouts.iter();
        bouts.filter(|bout| bout.review == review).collect()
    };
    let (one, other) = (of(first), of(second));
    let mut classes = Classes::default();
    let mut events = |bouts: &[&Bout]| -> Vec<Event> {
        let event = |bout: &&Bout| Event {
            at: bout.from,
            class: classes.key(bout.exercise.as_str().to_owned()),
        };
        bouts.iter().map(event).collect()
    };
    let (one_events, other_events) = (events(&one), events(&other));
    let agreed = agreement(&one_events, &other_events, tolerance);
    let pairs = agreed.as_ref().map_or(&[][..], |agreed| &agreed.pairs);
    let pairs = settle_ties(pairs, &one_events, &other_events, |a, b| {
        same_bout(one[a], other[b])
    });
    for &(a, b) in &pairs {
        let (a, b) = (one[a], other[b]);
        let things = (Thing::Bout(a.id), Thing::Bout(b.id));
        found.both(things, (a.from, b.from), bout_difference(a, b));
    }
    for bout in alone(&one, pairs.iter().map(|pair| pair.0)) {
        found.only_first(Thing::Bout(bout.id), bout.from);
    }
    for bout in alone(&other, pairs.iter().map(|pair| pair.1)) {
        found.only_second(Thing::Bout(bout.id), bout.from);
    }
    agreed
}

fn compare_marks(
    ride: &Ride,
    first: ReviewId,
    second: ReviewId,
    tolerance: i64,
    found: &mut Found,
) -> Result<Agreement, AgreementReason> {
    let of = |review: ReviewId, judging: bool| -> Vec<&Mark> {
        let marks = ride.marks.iter().filter(|mark| mark.review == review);
        let wanted = marks.filter(|mark| judgement(&mark.kind).is_some() == judging);
        wanted.collect()
    };
    let (one, other) = (of(first, true), of(second, true));
    let mut classes = Classes::default();
    let mut events = |marks: &[&Mark]| -> Vec<Event> {
        let event = |mark: &&Mark| Event {
            at: mark.at,
            class: classes.key(judgement(&mark.kind).unwrap_or_default()),
        };
        marks.iter().map(event).collect()
    };
    let (one_events, other_events) = (events(&one), events(&other));
    let agreed = agreement(&one_events, &other_events, tolerance);
    let pairs = agreed.as_ref().map_or(&[][..], |agreed| &agreed.pairs);
    let pairs = settle_ties(pairs, &one_events, &other_events, |a, b| {
        same_mark(one[a], other[b])
    });
    take_marks(&one, &other, &pairs, found);
    let (one, other) = (of(first, false), of(second, false));
    let pairs = pair_notes(&one, &other, tolerance);
    take_marks(&one, &other, &pairs, found);
    agreed
}

fn take_marks(one: &[&Mark], other: &[&Mark], pairs: &[(usize, usize)], found: &mut Found) {
    for &(a, b) in pairs {
        let (a, b) = (one[a], other[b]);
        let things = (Thing::Mark(a.id), Thing::Mark(b.id));
        found.both(things, (a.at, b.at), mark_difference(a, b));
    }
    for mark in alone(one, pairs.iter().map(|pair| pair.0)) {
        found.only_first(Thing::Mark(mark.id), mark.at);
    }
    for mark in alone(other, pairs.iter().map(|pair| pair.1)) {
        found.only_second(Thing::Mark(mark.id), mark.at);
    }
}

/// Each note with the next one of the same text that is near enough and still alone.
fn pair_notes(one: &[&Mark], other: &[&Mark], tolerance: i64) -> Vec<(usize, usize)> {
    let mut taken = vec![false; other.len()];
    let mut pairs = Vec::new();
    for (a, first) in one.iter().enumerate() {
        let near = |second: &Mark| apart(first.at, second.at).abs() <= tolerance;
        let fits =
            |second: &Mark| first.kind == second.kind && first.note == second.note && near(second);
        let mut free = (0..other.len()).filter(|b| !taken[*b] && fits(other[*b]));
        let exact = free.clone().find(|b| same_mark(first, other[*b]));
        if let Some(b) = exact.or_else(|| free.next()) {
            taken[b] = true;
            pairs.push((a, b));
        }
    }
    pairs
}

fn compare_tempos(ride: &Ride, first: ReviewId, second: ReviewId, found: &mut Found) {
    let of = |review: ReviewId| -> Vec<&TempoTrack> {
        let tracks = ride.tempos.iter();
        tracks.filter(|track| track.review == review).collect()
    };
    let (one, other) = (of(first), of(second));
    let mut taken = vec![false; other.len()];
    let start = |track: &TempoTrack| track.taps.first().copied().unwrap_or(Moment(0));
    let mut pairs = Vec::new();
    for (a, first) in one.iter().enumerate() {
        let alike = |b: &usize| other[*b].leg == first.leg && overlap(first, other[*b]);
        let mut free = (0..other.len()).filter(|b| !taken[*b]).filter(alike);
        let exact = free.clone().find(|b| other[*b].taps == first.taps);
        if let Some(b) = exact.or_else(|| free.next()) {
            taken[b] = true;
            pairs.push((a, b));
        }
    }
    for &(a, b) in &pairs {
        let (a, b) = (one[a], other[b]);
        let things = (Thing::Tempo(a.id), Thing::Tempo(b.id));
        let what = (a.taps != b.taps).then_some(What::Else);
        found.both(things, (start(a), start(b)), what);
    }
    for track in alone(&one, pairs.iter().map(|pair| pair.0)) {
        found.only_first(Thing::Tempo(track.id), start(track));
    }
    for track in alone(&other, pairs.iter().map(|pair| pair.1)) {
        found.only_second(Thing::Tempo(track.id), start(track));
    }
}

fn overlap(one: &TempoTrack, other: &TempoTrack) -> bool {
    let spans = one.span().zip(other.span());
    spans.is_some_and(|(one, other)| one.from <= other.to && other.from <= one.to)
}

/// What a mark says of the riding; `None` where it only notes or measures.
fn judgement(kind: &MarkKind) -> Option<String> {
    match kind {
        MarkKind::Fault(word) => Some(format!("fault {}", word.as_str())),
        MarkKind::Praise => Some("praise".into()),
        MarkKind::Repeated => Some("ridden again".into()),
        MarkKind::Change(lead) => Some(format!("change {lead:?}")),
        MarkKind::Aid => Some("aid".into()),
        MarkKind::Note | MarkKind::Measured(_) => None,
    }
}

/// Where several pairs are of the same moments and classes, those that are the same in all else
/// go together; the pairing knows no more than moments and classes.
fn settle_ties(
    pairs: &[(usize, usize)],
    one: &[Event],
    other: &[Event],
    same: impl Fn(usize, usize) -> bool,
) -> Vec<(usize, usize)> {
    let mut groups: BTreeMap<(Event, Event), (Vec<usize>, Vec<usize>)> = BTreeMap::new();
    for &(a, b) in pairs {
        let group = groups.entry((one[a], other[b])).or_default();
        group.0.push(a);
        group.1.push(b);
    }
    let mut settled = Vec::with_capacity(pairs.len());
    for (firsts, mut seconds) in groups.into_values() {
        let mut left = Vec::new();
        for a in firsts {
            match seconds.iter().position(|b| same(a, *b)) {
                Some(at) => settled.push((a, seconds.remove(at))),
                None => left.push(a),
            }
        }
        settled.extend(left.into_iter().zip(seconds));
    }
    settled.sort_unstable();
    settled
}

/// Those that no pair holds.
fn alone<'a, T>(things: &[&'a T], paired: impl Iterator<Item = usize>) -> Vec<&'a T> {
    let mut free = vec![true; things.len()];
    for at in paired {
        free[at] = false;
    }
    let things = things.iter().zip(free);
    things.filter(|(_, free)| *free).map(|(t, _)| *t).collect()
}

/// How much later the second is, in nanoseconds.
fn apart(first: Moment, second: Moment) -> i64 {
    second.0.saturating_sub(first.0)
}

fn far(first: Moment, second: Moment, close: i64) -> Option<What> {
    let apart = apart(first, second);
    (apart.unsigned_abs() > close.unsigned_abs()).then_some(What::Time(apart))
}

fn bout_difference(a: &Bout, b: &Bout) -> Option<What> {
    if a.exercise != b.exercise {
        return Some(What::Word);
    }
    let start = far(a.from, b.from, CLOSE_BOUTS);
    let end = || a.to.zip(b.to).and_then(|(a, b)| far(a, b, CLOSE_BOUTS));
    let same_else = (a.rein, &a.variant, a.asked, a.score, a.letters, a.reviewed)
        == (b.rein, &b.variant, b.asked, b.score, b.letters, b.reviewed)
        && a.to.is_some() == b.to.is_some()
        && a.note == b.note;
    let rest = || (!same_else).then_some(What::Else);
    start.or_else(end).or_else(rest)
}

fn mark_difference(a: &Mark, b: &Mark) -> Option<What> {
    if a.kind != b.kind {
        return Some(What::Word);
    }
    let rest = || (a.note != b.note || a.place != b.place).then_some(What::Else);
    far(a.at, b.at, CLOSE_MARKS).or_else(rest)
}

fn same_bout(a: &Bout, b: &Bout) -> bool {
    a.from == b.from && a.to == b.to && bout_difference(a, b).is_none()
}

fn same_mark(a: &Mark, b: &Mark) -> bool {
    a.at == b.at && mark_difference(a, b).is_none()
}
