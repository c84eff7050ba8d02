//! Rides made by hand, and what the measures get to see of them.

use reinback_analysis::outline::{self as timer, Notice, TimerRules};
use reinback_analysis::place::{Letter, Place, Spot};
use reinback_analysis::series::{SeriesProblem, StrideSource, StrideTime, Unverified, series};
use reinback_analysis::tempo::{Course, tempo as tempo_of};
use reinback_analysis::transitions as steps;
use reinback_analysis::{Pace, Rein};

mod named;

use super::series::series_of_ride;
use super::trouble::Trouble;
use super::*;
use crate::model::*;
use crate::observe::Keys;
use crate::words::{WordId, Words};
use crate::{BoutId, FilmId, HorseId, MarkId, ReviewId, RideId, SpanId};

const SECOND: i64 = 1_000_000_000;
const MS: i64 = 1_000_000;
const OWN: ReviewId = ReviewId::from_bits(1);
const OTHER: ReviewId = ReviewId::from_bits(2);

fn word(text: &str) -> WordId {
    WordId::new(text).unwrap()
}

fn ride() -> Ride {
    let review = |id| Review {
        id,
        reviewer: String::new(),
        blind: false,
    };
    let day = "2026-05-04".parse().unwrap();
    let mut ride = Ride::new(
        RideId::from_bits(1),
        HorseId::from_bits(1),
        day,
        review(OWN),
    );
    ride.head.reviews.push(review(OTHER));
    ride
}

fn span(from: i64, to: i64) -> Span {
    Span {
        from: Moment(from * SECOND),
        to: Moment(to * SECOND),
    }
}

fn bout(id: u64, exercise: &str, from: i64, to: i64) -> Bout {
    Bout {
        id: BoutId::from_bits(id),
        review: OWN,
        exercise: word(exercise),
        from: Moment(from * SECOND),
        to: Some(Moment(to * SECOND)),
        rein: None,
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: true,
        note: String::new(),
    }
}

fn mark(id: u64, at: i64, kind: MarkKind) -> Mark {
    Mark {
        id: MarkId::from_bits(id),
        review: OWN,
        at: Moment(at),
        kind,
        bout: None,
        note: String::new(),
        origin: None,
        press: Some(Press {
            shown: Moment(at),
            correction: 0,
            refined: true,
        }),
        place: None,
    }
}

fn taps(from: i64, step_ms: i64, count: i64) -> TempoTrack {
    TempoTrack {
        id: SpanId::from_bits(u64::try_from(from).unwrap() + 900),
        review: OWN,
        leg: Leg::LeftFore,
        taps: (0..count)
            .map(|n| Moment(from * SECOND + n * step_ms * MS))
            .collect(),
    }
}

fn pace(pace: Pace, variant: Option<&str>, from: i64, to: i64) -> PaceSpan {
    PaceSpan {
        id: SpanId::from_bits(u64::try_from(from).unwrap() + 1),
        span: span(from, to),
        pace,
        variant: variant.map(word),
    }
}

/// Five changes, one every so many strides of 0.617 s, in a bout that asks for every fourth.
fn changes(every: i64) -> Ride {
    let mut ride = ride();
    ride.bouts.push(bout(1, "changes-every-4th-stride", 0, 30));
    ride.marks = (0..5)
        .map(|n| {
            let onto = [Rein::Left, Rein::Right][usize::try_from(n % 2).unwrap()];
            let at = SECOND + n * every * 617 * MS;
            mark(
                u64::try_from(n).unwrap() + 1,
                at,
                MarkKind::Change(Some(onto)),
            )
        })
        .collect();
    ride
}

/// A stride time of taps, in milliseconds.
fn tapped(milliseconds: i64) -> StrideTime {
    StrideTime::new(milliseconds * MS, StrideSource::Taps)
}

fn only_series(ride: &Ride) -> series::RiddenSeries {
    let mut found = series_of_ride(ride, &Words::default()).series;
    assert_eq!(found.len(), 1);
    found.remove(0)
}

/// A rider who steadily changes every third stride where every fourth was asked must not be told
/// that all was well.
#[test]
fn thirds_where_fourths_were_asked_are_wrong_or_not_verified() {
    let mut bare = changes(3);
    let lowered = only_series(&bare);
    assert_eq!(lowered.every, Some(4), "the exercise's name asks");
    let found = series(&lowered.input(None)).unwrap();
    assert_eq!(found.count, Err(Unverified::NoStrideTime));
    assert!(found.evenness.is_ok());

    // An earlier canter of this horse helps; the number asked never does.
    let found = series(&lowered.input(Some(tapped(617)))).unwrap();
    let count = found.count.unwrap();
    assert_eq!(count.stride.source, StrideSource::EarlierCanter);
    assert_eq!(
        (count.wrong.to_string().as_str(), count.steady_every),
        ("4 of 4", Some(3))
    );

    // Taps in this ride's canter come first.
    bare.tempos.push(taps(0, 617, 20));
    let lowered = only_series(&bare);
    let count = series(&lowered.input(Some(tapped(900))))
        .unwrap()
        .count
        .unwrap();
    assert_eq!(
        (count.stride.source, count.stride.nanos),
        (StrideSource::Taps, 617 * MS)
    );
    assert_eq!(count.steady_every, Some(3));
}

#[test]
fn fourths_as_asked_hold_their_count() {
    let mut ride = changes(4);
    ride.tempos.push(taps(40, 617, 12));
    ride.paces.push(pace(Pace::Canter, None, 0, 60));
    let count = series(&only_series(&ride).input(None))
        .unwrap()
        .count
        .unwrap();
    assert_eq!(
        (count.wrong.to_string().as_str(), count.longest_run),
        ("0 of 4", 5)
    );
    assert_eq!(
        count.surplus, 0,
        "as many as shown, where nobody noted how many were asked"
    );
    ride.bouts[0].asked.count = Some(7);
    let count = series(&only_series(&ride).input(None))
        .unwrap()
        .count
        .unwrap();
    assert_eq!(count.surplus, -2);
}

#[test]
fn a_press_while_the_film_ran_counts_no_strides() {
    let mut ride = changes(4);
    ride.tempos.push(taps(0, 617, 20));
    ride.marks[2].press = None;
    let found = series(&only_series(&ride).input(None)).unwrap();
    assert_eq!(found.count, Err(Unverified::MarksNotRefined));
}

#[test]
fn only_canter_gives_a_stride_time_and_no_pirouette() {
    let with = |fill: fn(&mut Ride)| {
        let mut ride = changes(4);
        fill(&mut ride);
        series_of_ride(&ride, &Words::default())
    };
    let trot = with(|ride| {
        ride.paces.push(pace(Pace::Trot, None, 40, 60));
        ride.tempos.push(taps(40, 760, 12));
    });
    assert_eq!((trot.canter_stride, trot.series[0].stride), (None, None));
    let pirouette = with(|ride| {
        ride.paces.push(pace(Pace::Canter, None, 0, 60));
        ride.bouts.push(bout(2, "full-pirouette-in-canter", 40, 50));
        ride.tempos.push(taps(40, 880, 9));
    });
    assert_eq!(pirouette.canter_stride, None);
    let few = with(|ride| {
        ride.paces.push(pace(Pace::Canter, None, 0, 60));
        ride.tempos.push(taps(40, 617, 5));
    });
    assert_eq!(few.canter_stride, None, "four strides are too few");
    let foreign = with(|ride| {
        ride.paces.push(pace(Pace::Canter, None, 0, 60));
        let mut other = taps(40, 617, 12);
        other.review = OTHER;
        ride.tempos.push(other);
    });
    assert_eq!(
        foreign.canter_stride, None,
        "taps of a review that does not count"
    );
}

/// Taps on one leg through changes every stride: cycles of 0.75 and 1.25 strides in turn.
fn through_ones(from: i64, intervals: i64, short_first: bool) -> TempoTrack {
    let mut track = taps(from, 0, 1);
    for n in 0..intervals {
        let cycle = if (n % 2 == 0) == short_first {
            463
        } else {
            771
        };
        track
            .taps
            .push(Moment(track.taps[track.taps.len() - 1].0 + cycle * MS));
    }
    track
}

/// In changes every stride a foot's cycles are short and long in turn. However many are tapped,
/// and whichever comes first, none is taken for a gap: their sum tells within what is claimed.
#[test]
fn taps_through_one_tempis_give_the_mean_stride() {
    for (intervals, short_first) in (5..=15).flat_map(|n| [(n, true), (n, false)]) {
        let mut ride = changes(1);
        ride.bouts[0].exercise = word("changes-every-stride");
        ride.tempos.push(through_ones(0, intervals, short_first));
        let found = only_series(&ride);
        let time = found.stride.unwrap();
        let off = (time.nanos as f64 / (617.0 * MS as f64) - 1.0).abs();
        let said = format!("{intervals} intervals, short first {short_first}: {time:?}");
        assert!(off <= time.uncertainty, "{said}");
        assert!(time.uncertainty <= 0.05, "{said}");
        let count = series(&found.input(None)).unwrap().count.unwrap();
        assert_eq!(count.wrong.faulty, 0, "{said}");
    }
}

/// Thirds in the same ride as tapped ones, and thirds of a later ride, are never surely fourths.
#[test]
fn taps_through_one_tempis_do_not_turn_threes_into_fours() {
    for (intervals, short_first) in (9..=15).flat_map(|n| [(n, true), (n, false)]) {
        let mut ones = changes(3);
        ones.bouts[0].exercise = word("changes-every-3rd-stride");
        let mut bout = bout(2, "changes-every-stride", 60, 75);
        bout.asked.every = Some(1);
        ones.bouts.push(bout);
        ones.paces.push(pace(Pace::Canter, None, 0, 80));
        ones.tempos.push(through_ones(62, intervals, short_first));
        let lowered = series_of_ride(&ones, &Words::default());
        let of_now = lowered.series[0].input(None);
        let later = only_series(&changes(3)).input(lowered.canter_stride);
        for (input, every) in [(of_now, 3), (later, 4)] {
            let count = series(&input).unwrap().count.unwrap();
            assert!(count.stride.nanos > 590 * MS, "{count:?}");
            assert!(count.unsure == 4 || count.wrong.attempts == 4, "{count:?}");
            let wrong = if every == 3 { 0 } else { count.wrong.attempts };
            assert_eq!(
                count.wrong.faulty, wrong,
                "{intervals} {short_first}: {count:?}"
            );
        }
    }
}

#[test]
fn a_missing_tap_is_still_a_gap() {
    let mut ride = changes(4);
    let mut track = taps(0, 617, 20);
    track.taps.remove(7);
    ride.tempos.push(track);
    assert_eq!(
        only_series(&ride).stride.map(|one| one.nanos),
        Some(617 * MS)
    );
    let mut ones = changes(1);
    ones.bouts[0].exercise = word("changes-every-stride");
    let mut track = through_ones(0, 15, true);
    track.taps.remove(7);
    ones.tempos.push(track);
    let time = only_series(&ones).stride.unwrap();
    let off = (time.nanos as f64 / (617.0 * MS as f64) - 1.0).abs();
    assert!(off <= time.uncertainty && time.nanos < 700 * MS, "{time:?}");
}

/// Five strides that hold one change are off by a twentieth, and say so.
#[test]
fn few_strides_claim_no_more_than_they_know() {
    let mut ride = changes(4);
    let mut track = taps(0, 617, 6);
    let last = track.taps.len() - 1;
    track.taps[last].0 -= 154 * MS;
    ride.tempos.push(track);
    let time = only_series(&ride).stride.unwrap();
    assert!((time.uncertainty - 0.05).abs() < 1e-12, "{time:?}");
    assert!((time.nanos as f64 / (617.0 * MS as f64) - 1.0).abs() <= 0.05);
}

/// Two taps a stride, or one every other stride, come to no canter: the series keeps its evenness,
/// later rides get nothing of it, and it is told once.
#[test]
fn an_impossible_stride_time_is_used_nowhere() {
    for step in [308, 1250] {
        let mut ride = changes(4);
        ride.paces.push(pace(Pace::Canter, None, 0, 90));
        ride.tempos.push(taps(40, step, 20));
        let own = series_of_ride(&ride, &Words::default());
        assert_eq!((own.canter_stride, own.series[0].stride), (None, None));
        let found = series(&own.series[0].input(None)).unwrap();
        assert!(found.evenness.is_ok());
        let troubles = trouble::of_ride(&ride, &Words::default(), &own);
        let told: Vec<_> = troubles
            .iter()
            .filter(|one| one.trouble == Trouble::ImpossibleTaps)
            .map(|one| one.at)
            .collect();
        assert_eq!(told, [Some(Moment(40 * SECOND))]);
        let earlier = series(&own.series[0].input(Some(tapped(617)))).unwrap();
        assert_eq!(
            earlier.count.unwrap().stride.source,
            StrideSource::EarlierCanter
        );
    }
}

#[test]
fn a_series_without_a_number_of_strides_has_evenness_only() {
    let mut ride = changes(4);
    ride.bouts[0].exercise = word("flying-change");
    ride.bouts[0].asked.count = Some(5);
    ride.tempos.push(taps(0, 617, 20));
    let found = only_series(&ride);
    assert_eq!(found.every, None);
    let found = series(&found.input(None)).unwrap();
    assert!(found.count.is_err() && found.evenness.is_ok());
}

#[test]
fn a_line_is_known_only_where_a_bout_says_so() {
    let course = |exercise: &str, letters| {
        let mut bout = bout(1, exercise, 0, 9);
        bout.letters = letters;
        course::of_bout(&bout)
    };
    for (exercise, letters, expect) in [
        ("shoulder-in", (None, None), Course::NotMarked),
        ("shoulder-in", (Some('K'), Some('E')), Course::Straight),
        ("shoulder-in", (Some('K'), None), Course::NotMarked),
        ("half-pass", (None, None), Course::Straight),
        ("trot", (Some('A'), Some('A')), Course::Turn),
        ("serpentine", (Some('A'), Some('C')), Course::Turn),
    ] {
        assert_eq!(course(exercise, letters), expect, "{exercise} {letters:?}");
    }
}

/// Forty canter strides, five quick ones and twenty more.
fn ran() -> Ride {
    let mut ride = ride();
    let mut track = taps(0, 620, 41);
    for n in 0..25 {
        let step = if n < 5 { 560 } else { 620 };
        track
            .taps
            .push(Moment(track.taps[track.taps.len() - 1].0 + step * MS));
    }
    ride.tempos.push(track);
    ride.paces
        .push(pace(Pace::Canter, Some("collected"), 0, 60));
    ride
}

#[test]
fn a_lapse_is_claimed_on_a_straight_line_only() {
    let lapses = |ride: &Ride| {
        let going = tempo::going(ride, &Words::default(), OWN, None, &mut Keys::default());
        let report = tempo_of(
            &tempo::strides(ride, OWN),
            &tempo::sections(ride, OWN, &going),
        );
        let straight = report.paces[0].straight.clone();
        straight.map(|found| found.lapses.len()).ok()
    };
    let mut ride = ran();
    assert_eq!(lapses(&ride), None, "no line is marked");
    let mut straight = bout(1, "canter", 0, 60);
    straight.letters = (Some('K'), Some('H'));
    ride.bouts.push(straight);
    assert_eq!(lapses(&ride), Some(1));
    ride.bouts.push(bout(2, "circle", 20, 30));
    assert_eq!(
        lapses(&ride),
        Some(0),
        "straight and round at once is neither"
    );
}

#[test]
fn strides_beside_a_transition_are_apart() {
    let mut ride = ran();
    ride.paces = vec![
        pace(Pace::Canter, Some("collected"), 0, 20),
        pace(Pace::Canter, Some("medium"), 20, 60),
    ];
    let mut keys = Keys::default();
    let going = tempo::going(&ride, &Words::default(), OWN, None, &mut keys);
    let sections = tempo::sections(&ride, OWN, &going);
    let beside: Vec<Span> = sections
        .iter()
        .filter(|one| one.course == Course::Transition)
        .map(|one| one.span)
        .collect();
    assert_eq!(beside, [span(18, 20), span(20, 22)]);
    let events = tempo::events(&ride, &going);
    assert_eq!(events.within.len(), 1);
    assert_eq!(events.within[0].from, Moment(20 * SECOND - 300 * MS));
}

#[test]
fn the_first_of_two_tracks_over_each_other_holds() {
    let mut ride = ride();
    ride.tempos = vec![taps(0, 1000, 11), taps(5, 900, 11)];
    let strides = tempo::strides(&ride, OWN);
    assert!(
        strides
            .windows(2)
            .all(|pair| pair[0].span.to <= pair[1].span.from)
    );
    assert_eq!(
        strides
            .iter()
            .filter(|one| one.span.to <= Moment(10 * SECOND))
            .count(),
        10
    );
}

#[test]
fn a_running_pace_reaches_only_where_that_is_asked() {
    let mut ride = ran();
    ride.paces[0].span.to = ride.paces[0].span.from;
    let of = |until| tempo::going(&ride, &Words::default(), OWN, until, &mut Keys::default());
    assert_eq!(of(None)[0].span.duration_nanos(), 0);
    assert_eq!(of(Some(Moment(9 * SECOND)))[0].span, span(0, 9));
    assert!(transitions::paces(&ride, &mut Keys::default()).is_empty());
}

fn held(outline: &str, from: i64, to: i64) -> OutlineSpan {
    OutlineSpan {
        id: SpanId::from_bits(u64::try_from(from).unwrap() + 1),
        span: span(from * 60, to * 60),
        outline: word(outline),
    }
}

#[test]
fn a_stretch_ends_the_timer_and_what_is_unknown_pauses_it() {
    let words = Words::default();
    let found = |spans: Vec<OutlineSpan>| {
        let mut ride = ride();
        ride.outlines = spans;
        let lowered = outline::outlines(&ride, &words, &mut Keys::default());
        timer::outline(&lowered, extent(&ride).unwrap(), TimerRules::default()).unwrap()
    };
    let full = found(vec![held("working", 0, 6), held("deep-and-round", 6, 11)]);
    assert_eq!(
        full.runs.len(),
        1,
        "from one held outline to another ends nothing"
    );
    assert_eq!(full.runs[0].notice(), Notice::Full);
    let ended = found(vec![
        held("working", 0, 6),
        held("stretched", 6, 7),
        held("working", 7, 12),
    ]);
    assert_eq!(
        ended.runs.iter().map(timer::TimerRun::notice).max(),
        Some(Notice::Quiet)
    );
    let paused = found(vec![held("working", 0, 5), held("working", 9, 13)]);
    assert_eq!(paused.runs[0].paused_nanos, 4 * 60 * SECOND);
    assert_eq!(
        paused.runs[0].notice(),
        Notice::Early,
        "nine minutes on the timer"
    );
}

#[test]
fn a_stretch_is_known_by_its_name_whatever_its_word() {
    let mut words = Words::default();
    let own = words
        .outlines
        .iter_mut()
        .find(|own| own.id == word("working"))
        .unwrap();
    own.name = "Zügel hingegeben".into();
    assert_eq!(
        outline::hold(&words, &word("working")),
        timer::Hold::Released
    );
    assert_eq!(
        outline::hold(&words, &word("competition")),
        timer::Hold::Held
    );
}

#[test]
fn aids_of_the_counting_review_are_answered() {
    let mut ride = ride();
    ride.paces = vec![
        pace(Pace::Walk, None, 0, 60),
        pace(Pace::Trot, None, 60, 120),
    ];
    ride.marks = vec![
        mark(1, 59 * SECOND, MarkKind::Aid),
        mark(2, 30 * SECOND, MarkKind::Aid),
    ];
    ride.marks[1].review = OTHER;
    let mut keys = Keys::default();
    let paces = transitions::paces(&ride, &mut keys);
    let found = steps::transitions(&paces, &transitions::aids(&ride), extent(&ride).unwrap());
    assert_eq!((found.between.count, found.answers.answered), (1, 1));
    assert_eq!(
        found.answers.unanswered, 0,
        "the other reviewer's aid is not looked at"
    );
}

#[test]
fn a_fault_lies_where_it_was_clicked_or_where_the_horse_stood() {
    let words = Words::default();
    let spot = |exercise: &str, letters, place| {
        let mut ride = ride();
        let mut own = bout(1, exercise, 0, 9);
        own.letters = letters;
        ride.bouts.push(own);
        let mut fault = mark(1, 5 * SECOND, MarkKind::Fault(word("tense")));
        fault.place = place;
        ride.marks.push(fault);
        place::placed_faults(&ride, &words).remove(0).spot
    };
    let clicked = ArenaPlace {
        across_cm: 150,
        along_cm: 600,
    };
    assert_eq!(
        spot("half-pass", (Some('K'), Some('X')), None),
        Spot::Unplaced
    );
    assert_eq!(spot("half-pass", (Some('K'), None), None), Spot::Unplaced);
    assert_eq!(
        spot("halt", (Some('X'), None), None),
        Spot::Letter(Letter::X)
    );
    assert_eq!(
        spot("halt", (Some('X'), None), Some(clicked)),
        Spot::Clicked(Place { x: 1.5, y: 6.0 })
    );
}

#[test]
fn the_load_holds_all_that_was_ridden_and_ended() {
    let mut ride = ride();
    ride.films.push(Film {
        id: FilmId::from_bits(1),
        path: "a.mp4".into(),
        fingerprint: None,
        offset: Moment(0),
        drift_ppb: 0,
        duration_nanos: Some(600 * SECOND),
        tilt: None,
    });
    ride.paces.push(pace(Pace::Walk, None, 0, 120));
    let mut open = bout(1, "trot", 300, 400);
    open.to = None;
    let mut waiting = bout(2, "half-pass", 500, 700);
    waiting.reviewed = false;
    ride.bouts = vec![open, waiting];
    let mut keys = Keys::default();
    let found = load::load_ride(&ride, 7, &mut keys);
    assert_eq!(
        found.ridden,
        span(0, 700),
        "the last exercise lies behind the film"
    );
    assert_eq!(found.work.len(), 1);
    assert_eq!(keys.word(found.work[0].exercise), Some(&word("half-pass")));
    assert_eq!((found.id, found.paces.len()), (7, 1));
}

#[test]
fn a_clock_that_was_changed_leaves_no_length() {
    let mut ride = changes(4);
    ride.bouts.push(bout(2, "halt", 20 * 3600, 20 * 3600 + 9));
    assert_eq!(extent(&ride), None);
    assert_eq!(
        load::load_ride(&ride, 0, &mut Keys::default())
            .ridden
            .duration_nanos(),
        0
    );
    assert!(troubles(&ride).contains(&Trouble::FarApart));
}

fn troubles(ride: &Ride) -> Vec<Trouble> {
    let words = Words::default();
    let own = series_of_ride(ride, &words);
    let found = trouble::of_ride(ride, &words, &own);
    found.into_iter().map(|one| one.trouble).collect()
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(48))]

    /// Whatever was marked: nothing panics, strides never overlap, and sections lie in order.
    #[test]
    fn any_yard_can_be_lowered(yard in crate::arbitrary::yard()) {
        for ride in yard.rides.values() {
            let own = series_of_ride(ride, &yard.words);
            let _found = trouble::of_ride(ride, &yard.words, &own);
            let mut keys = Keys::default();
            let going = tempo::going(ride, &yard.words, ride.head.counting, None, &mut keys);
            let sections = tempo::sections(ride, ride.head.counting, &going);
            proptest::prop_assert!(sections.windows(2).all(|pair| pair[0].span.to <= pair[1].span.from));
            let strides = tempo::strides(ride, ride.head.counting);
            proptest::prop_assert!(strides.windows(2).all(|pair| pair[0].span.to <= pair[1].span.from));
            let _events = tempo::events(ride, &going);
            let _load = load::load_ride(ride, 0, &mut keys);
            let _places = place::placed_faults(ride, &yard.words);
            for one in &own.series {
                let _count = series(&one.input(Some(tapped(617))));
            }
        }
    }
}
