//! Yards and edits at random, for property tests.
//!
//! Ids come from small pools, so that edits meet the same things again; some edits are illegal
//! on purpose.

use chrono::{Days, NaiveDate, NaiveTime};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use reinback_analysis::{Moment, Rein, Span};

use crate::model::{
    Arena, ArenaPlace, Asked, Bout, Cost, ErrorRules, Film, Horse, Judge, JudgedLine, Known, Leg,
    LineKind, Mark, MarkKind, MeasureKind, Measured, Origin, OutlineSpan, Pace, PaceSpan, Plumb,
    Point, Press, Review, RiddenTest, Ride, RideHead, Score, Seen, SheetLine, Step, TempoTrack,
    TestMark, TestSheet, Yard,
};
use crate::words::{Exercise, Fault, Word, WordId, Words};
use crate::{Edit, HorseId, ReviewId, RideId};

/// Texts that files must survive: empty, plain, full of signs with a meaning, anything.
pub(crate) fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[a-z ]{1,12}",
        Just("\"quoted\" \\ \n\r\t \u{0} \u{2028} \u{feff} //*/ )]}, 🐎".to_owned()),
        Just("r#\"raw\"#".to_owned()),
        any::<String>(),
    ]
}

fn id<T: From<u64> + std::fmt::Debug>(pool: u64) -> impl Strategy<Value = T> {
    (1..=pool).prop_map(T::from)
}

fn word() -> impl Strategy<Value = WordId> {
    "[a-z0-9]{1,6}(-[a-z0-9]{1,6}){0,2}".prop_map(|text| WordId::new(text).expect("a word"))
}

fn moment() -> impl Strategy<Value = Moment> {
    prop_oneof![3 => (-10_i64..10).prop_map(Moment), 1 => any::<i64>().prop_map(Moment)]
}

fn span() -> impl Strategy<Value = Span> {
    (moment(), moment()).prop_map(|(one, other)| Span::new(one, other))
}

fn date() -> impl Strategy<Value = NaiveDate> {
    let first = NaiveDate::from_ymd_opt(1, 1, 1).expect("a day");
    (0_u64..3_652_059).prop_map(move |days| first + Days::new(days))
}

fn time() -> impl Strategy<Value = NaiveTime> {
    (0_u32..86_400, 0_u32..1_000_000_000).prop_map(|(seconds, nanos)| {
        NaiveTime::from_num_seconds_from_midnight_opt(seconds, nanos).expect("a time")
    })
}

fn pace() -> impl Strategy<Value = Pace> {
    prop::sample::select(&Pace::ALL[..])
}

fn a_word() -> impl Strategy<Value = Word> {
    (word(), text()).prop_map(|(id, name)| Word { id, name })
}

fn fault() -> impl Strategy<Value = Fault> {
    (word(), text()).prop_map(|(id, name)| Fault { id, name })
}

fn exercise() -> impl Strategy<Value = Exercise> {
    let words = (vec(a_word(), 0..3), vec(fault(), 0..3));
    (
        word(),
        text(),
        text(),
        text(),
        option::of(pace()),
        any::<(bool, bool)>(),
        (option::of(1_u16..9), words),
    )
        .prop_map(
            |(id, name, short, family, pace, (sided, series), (every, (variants, faults)))| {
                Exercise {
                    id,
                    name,
                    short,
                    family,
                    pace,
                    sided,
                    series,
                    every,
                    variants,
                    faults,
                }
            },
        )
}

pub(crate) fn words() -> impl Strategy<Value = Words> {
    (
        vec(exercise(), 0..3),
        vec(fault(), 0..3),
        vec(a_word(), 0..3),
    )
        .prop_map(|(exercises, general_faults, outlines)| Words {
            exercises,
            general_faults,
            outlines,
        })
}

fn horse() -> impl Strategy<Value = Horse> {
    (id(3), text(), option::of(any::<i32>()), text(), text()).prop_map(
        |(id, name, foaled, stage, notes)| Horse {
            id,
            name,
            foaled,
            stage,
            notes,
        },
    )
}

fn review() -> impl Strategy<Value = ReviewId> {
    id(3)
}

fn head() -> impl Strategy<Value = RideHead> {
    let reviews = (
        prop::collection::btree_set(1_u64..=3, 1..=3),
        text(),
        any::<bool>(),
    );
    let arena = option::of(prop::sample::select(&[Arena::Standard, Arena::Small][..]));
    (
        id(3),
        date(),
        option::of(time()),
        text(),
        text(),
        reviews,
        (review(), arena),
    )
        .prop_map(
            |(horse, date, time, title, notes, (ids, reviewer, blind), (counting, arena))| {
                RideHead {
                    horse,
                    date,
                    time,
                    title,
                    notes,
                    reviews: ids
                        .into_iter()
                        .map(|id| Review {
                            id: id.into(),
                            reviewer: reviewer.clone(),
                            blind,
                        })
                        .collect(),
                    counting,
                    arena,
                }
            },
        )
}

fn film() -> impl Strategy<Value = Film> {
    let drift = prop_oneof![
        4 => -crate::MAX_DRIFT_PPB..=crate::MAX_DRIFT_PPB,
        1 => any::<i32>(),
    ];
    (
        id(3),
        text(),
        option::of(text()),
        moment(),
        drift,
        option::of(any::<i64>()),
        option::weighted(0.3, -100_000..=100_000),
    )
        .prop_map(
            |(id, path, fingerprint, offset, drift_ppb, duration_nanos, tilt)| Film {
                id,
                path,
                fingerprint,
                offset,
                drift_ppb,
                duration_nanos,
                tilt,
            },
        )
}

fn bout() -> impl Strategy<Value = Bout> {
    let what = (id(4), review(), word(), option::of(word()));
    let rein = option::of(prop::sample::select(&[Rein::Left, Rein::Right][..]));
    let numbers = (
        option::of(0_u16..20),
        option::of(0_u16..5),
        option::of(0_u8..=20),
    );
    let letters = (
        option::of(any::<char>()),
        option::of(prop::char::range('A', 'Z')),
    );
    let rest = (rein, numbers, letters, any::<bool>(), text());
    (what, moment(), option::of(moment()), rest).prop_map(
        |((id, review, exercise, variant), from, to, rest)| {
            let (rein, (count, every, halves), letters, reviewed, note) = rest;
            Bout {
                id,
                review,
                exercise,
                from,
                to,
                rein,
                variant,
                asked: Asked { count, every },
                score: halves.and_then(Score::from_halves),
                letters,
                reviewed,
                note,
            }
        },
    )
}

fn mark() -> impl Strategy<Value = Mark> {
    let kind = prop_oneof![
        word().prop_map(MarkKind::Fault),
        Just(MarkKind::Praise),
        Just(MarkKind::Repeated),
        Just(MarkKind::Note),
        option::of(rein()).prop_map(MarkKind::Change),
        Just(MarkKind::Aid),
        measured().prop_map(|measured| MarkKind::Measured(Box::new(measured))),
    ];
    let origin = option::weighted(0.2, (text(), any::<u32>(), text(), text()));
    let origin = origin.prop_map(|origin| {
        origin.map(|(source, line, time, text)| {
            Box::new(Origin {
                source,
                line,
                time,
                text,
            })
        })
    });
    let parts = (
        id(4),
        review(),
        moment(),
        kind,
        option::of(id(5)),
        text(),
        origin,
        (press(), option::weighted(0.2, place())),
    );
    parts.prop_map(
        |(id, review, at, kind, bout, note, origin, (press, place))| Mark {
            id,
            review,
            at,
            kind,
            bout,
            note,
            origin,
            press,
            place,
        },
    )
}

fn rein() -> impl Strategy<Value = Rein> {
    prop::sample::select(&[Rein::Left, Rein::Right][..])
}

fn place() -> impl Strategy<Value = ArenaPlace> {
    any::<(i32, i32)>().prop_map(|(across_cm, along_cm)| ArenaPlace {
        across_cm,
        along_cm,
    })
}

fn measured() -> impl Strategy<Value = Measured> {
    let point = || any::<(i32, i32)>().prop_map(|(x, y)| Point { x, y });
    let plumb = prop_oneof![
        Just(Plumb::Film),
        (point(), point()).prop_map(|(one, other)| Plumb::Edge(one, other)),
    ];
    let kind = prop::sample::select(&MeasureKind::ALL[..]);
    (kind, id(3), vec(point(), 2..5), plumb).prop_map(|(kind, film, points, plumb)| Measured {
        kind,
        film,
        points,
        plumb,
    })
}

fn press() -> impl Strategy<Value = Option<Press>> {
    let made = (moment(), 0..2_000_000_000_i64, any::<bool>());
    let made = made.prop_map(|(shown, correction, refined)| Press {
        shown,
        correction,
        refined,
    });
    option::weighted(0.3, made)
}

fn pace_span() -> impl Strategy<Value = PaceSpan> {
    (id(3), span(), pace(), option::of(word())).prop_map(|(id, span, pace, variant)| PaceSpan {
        id,
        span,
        pace,
        variant,
    })
}

fn outline_span() -> impl Strategy<Value = OutlineSpan> {
    (id(3), (moment(), moment()), word()).prop_map(|(id, (from, to), outline)| OutlineSpan {
        id,
        span: Span { from, to },
        outline,
    })
}

/// Half of these break an invariant.
fn tempo() -> impl Strategy<Value = TempoTrack> {
    let leg = prop::sample::select(&Leg::ALL[..]);
    (id(3), review(), leg, vec(moment(), 1..5), any::<bool>()).prop_map(
        |(id, review, leg, mut taps, in_order)| {
            if in_order {
                taps.sort_unstable();
                taps.dedup();
            }
            TempoTrack {
                id,
                review,
                leg,
                taps,
            }
        },
    )
}

fn sheet_line() -> impl Strategy<Value = SheetLine> {
    let kind = prop::sample::select(&LineKind::ALL[..]);
    let step = prop::sample::select(&[Step::Half, Step::Tenth][..]);
    let parts = (
        option::of(any::<u16>()),
        text(),
        any::<u8>(),
        step,
        kind,
        option::of(word()),
    );
    parts.prop_map(
        |(number, text, coefficient, step, kind, exercise)| SheetLine {
            number,
            text,
            coefficient,
            step,
            kind,
            exercise,
        },
    )
}

fn sheet() -> impl Strategy<Value = TestSheet> {
    let cost = prop_oneof![
        any::<u32>().prop_map(Cost::Points),
        any::<u32>().prop_map(Cost::Percent),
    ];
    let known = [Known::Read, Known::SecondHand, Known::Recalled, Known::Own];
    let known = prop::sample::select(known.to_vec());
    let rules = (text(), text(), vec(cost, 0..3), any::<bool>(), known);
    let rules = rules.prop_map(|(name, as_of, costs, eliminates, known)| ErrorRules {
        name,
        as_of,
        costs,
        eliminates,
        known,
    });
    (
        id(3),
        text(),
        text(),
        vec(sheet_line(), 0..4),
        option::of(any::<u32>()),
        rules,
        any::<u8>(),
    )
        .prop_map(
            |(id, name, as_of, lines, printed_most, rules, decimals)| TestSheet {
                id,
                name,
                as_of,
                lines,
                printed_most,
                rules,
                decimals,
            },
        )
}

/// Some of these break an invariant.
fn test() -> impl Strategy<Value = RiddenTest> {
    let mark = || option::of((0_u8..=100).prop_map(|n| TestMark::from_tenths(n).expect("a mark")));
    let seen = prop_oneof![id(5).prop_map(Seen::Bout), moment().prop_map(Seen::At),];
    let judge = (any::<char>(), text()).prop_map(|(position, name)| Judge { position, name });
    let line = (vec(mark(), 4), option::of(seen));
    let line = line.prop_map(|(marks, seen)| JudgedLine { marks, seen });
    let off = (any::<u16>(), any::<u32>(), any::<u32>());
    (sheet(), vec(judge, 0..4), vec(line, 4), off, 0_u8..8).prop_map(
        |(sheet, judges, mut lines, (errors, points_off, percent_off), odd)| {
            if odd > 0 {
                lines.truncate(sheet.lines.len());
                for line in &mut lines {
                    line.marks.truncate(judges.len());
                }
            }
            RiddenTest {
                sheet,
                judges,
                lines,
                errors,
                points_off,
                percent_off,
            }
        },
    )
}

/// Half of these break an invariant.
fn ride() -> impl Strategy<Value = Ride> {
    let things = (
        vec(film(), 0..2),
        vec(bout(), 0..3),
        vec(mark(), 0..3),
        vec(pace_span(), 0..2),
        vec(outline_span(), 0..2),
        vec(tempo(), 0..2),
        option::weighted(0.3, test()),
    );
    (id(3), head(), things).prop_map(
        |(id, head, (films, bouts, marks, paces, outlines, tempos, test))| Ride {
            id,
            head,
            films,
            bouts,
            marks,
            paces,
            outlines,
            tempos,
            test: test.map(Box::new),
        },
    )
}

fn plain_edit() -> impl Strategy<Value = Edit> {
    let rides = || id::<RideId>(3);
    let maybe_ride = (rides(), option::weighted(0.8, ride()));
    prop_oneof![
        1 => text().prop_map(Edit::YardName),
        1 => words().prop_map(|words| Edit::Words(Box::new(words))),
        2 => (id::<HorseId>(3), any::<bool>()).prop_map(|(id, _)| Edit::Horse(id, None)),
        4 => horse().prop_map(|horse| Edit::Horse(horse.id, Some(horse))),
        2 => (sheet(), any::<bool>()).prop_map(|(sheet, gone)| {
            Edit::Sheet(sheet.id, (!gone).then_some(Box::new(sheet)))
        }),
        3 => (rides(), option::weighted(0.7, test()))
            .prop_map(|(ride, test)| Edit::Test(ride, test.map(Box::new))),
        6 => maybe_ride.prop_map(|(id, ride)| match ride {
            Some(ride) => Edit::Ride(ride.id, Some(Box::new(ride))),
            None => Edit::Ride(id, None),
        }),
        3 => (rides(), head()).prop_map(|(id, head)| Edit::RideHead(id, Box::new(head))),
        2 => (rides(), film(), any::<bool>())
            .prop_map(|(ride, film, gone)| Edit::Film(ride, film.id, (!gone).then_some(film))),
        5 => (rides(), bout(), any::<bool>())
            .prop_map(|(ride, bout, gone)| Edit::Bout(ride, bout.id, (!gone).then_some(bout))),
        5 => (rides(), mark(), any::<bool>())
            .prop_map(|(ride, mark, gone)| Edit::Mark(ride, mark.id, (!gone).then_some(mark))),
        2 => (rides(), pace_span(), any::<bool>())
            .prop_map(|(ride, span, gone)| Edit::Pace(ride, span.id, (!gone).then_some(span))),
        2 => (rides(), outline_span(), any::<bool>())
            .prop_map(|(ride, span, gone)| Edit::Outline(ride, span.id, (!gone).then_some(span))),
        2 => (rides(), tempo(), any::<bool>())
            .prop_map(|(ride, track, gone)| Edit::Tempo(ride, track.id, (!gone).then_some(track))),
    ]
}

/// Any edit, legal or not.
pub(crate) fn edit() -> impl Strategy<Value = Edit> {
    plain_edit().prop_recursive(2, 8, 3, |inner| vec(inner, 0..4).prop_map(Edit::Batch))
}

/// Enough edits that some are legal: two horses and two rides come first.
pub(crate) fn edits() -> impl Strategy<Value = Vec<Edit>> {
    let horse = |id: u64| {
        let name = format!("Horse {id}");
        let id = HorseId::from_bits(id);
        let (stage, notes) = (String::new(), String::new());
        Edit::Horse(
            id,
            Some(Horse {
                id,
                name,
                foaled: None,
                stage,
                notes,
            }),
        )
    };
    let legal = (head(), date()).prop_map(|(head, _)| {
        let counting = head.reviews[0].id;
        RideHead {
            horse: HorseId::from_bits(1),
            counting,
            ..head
        }
    });
    let ride = |id: u64, head| {
        let id = RideId::from_bits(id);
        let ride = Ride {
            id,
            head,
            films: Vec::new(),
            bouts: Vec::new(),
            marks: Vec::new(),
            paces: Vec::new(),
            outlines: Vec::new(),
            tempos: Vec::new(),
            test: None,
        };
        Edit::Ride(id, Some(Box::new(ride)))
    };
    (legal, vec(edit(), 0..30)).prop_map(move |(head, rest)| {
        let first = [horse(1), horse(2), ride(1, head.clone()), ride(2, head)];
        first.into_iter().chain(rest).collect()
    })
}

/// A yard with nothing in it, not even words: copying the default words takes most of a test.
pub(crate) fn empty() -> Yard {
    let (exercises, general_faults, outlines) = (Vec::new(), Vec::new(), Vec::new());
    Yard {
        words: Words {
            exercises,
            general_faults,
            outlines,
        },
        ..Yard::default()
    }
}

/// The legal ones of these edits, and the yard after each of them, beginning with none.
pub(crate) fn history(edits: Vec<Edit>) -> (Vec<Edit>, Vec<Yard>) {
    let mut yards = vec![empty()];
    let mut legal = Vec::new();
    for edit in edits {
        let mut yard = yards[yards.len() - 1].clone();
        if edit.clone().apply(&mut yard).is_ok() {
            legal.push(edit);
            yards.push(yard);
        }
    }
    (legal, yards)
}

/// Any yard that edits can lead to.
pub(crate) fn yard() -> impl Strategy<Value = Yard> {
    edits().prop_map(|edits| {
        let (_, mut yards) = history(edits);
        yards.pop().expect("the empty yard at least")
    })
}
