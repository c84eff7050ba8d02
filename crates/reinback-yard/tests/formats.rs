//! Every format that was ever released must open for ever, and today's must stay as it is.
//!
//! `tests/data/formats` was written by [`write_sample`] and read through by eye. It is frozen:
//! where this test fails, the code is wrong, not the sample.

#![expect(
    clippy::unwrap_used,
    reason = "what a test calls may fail as the test does"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use reinback_yard::{
    Arena, ArenaPlace, Asked, Bout, Cost, Edit, ErrorRules, Exercise, FORMAT, Fault, FileKey, Film,
    Horse, IdMaker, Judge, JudgedLine, Known, Leg, LineKind, Mark, MarkKind, MeasureKind, Measured,
    Moment, Origin, OutlineSpan, Pace, PaceSpan, Plumb, Point, Press, Rein, Review, RiddenTest,
    Ride, RideHead, Score, Seen, Severity, SheetLine, Span, Step, Store, TempoTrack, TestMark,
    TestSheet, Word, WordId, Words, Yard, check,
};
use tempfile::TempDir;

const SECOND: i64 = 1_000_000_000;

const FORMATS: std::ops::RangeInclusive<u32> = 1..=FORMAT;

fn word(text: &str) -> WordId {
    WordId::new(text).unwrap()
}

fn named(id: &str, name: &str) -> Word {
    Word {
        id: word(id),
        name: name.into(),
    }
}

fn fault(id: &str, name: &str) -> Fault {
    Fault {
        id: word(id),
        name: name.into(),
    }
}

fn words(format: u32) -> Words {
    Words {
        exercises: vec![
            Exercise {
                id: word("half-pass"),
                name: "half-pass".into(),
                short: "hp".into(),
                family: "Lateral work".into(),
                pace: None,
                sided: true,
                series: false,
                variants: vec![named("in-trot", "in trot"), named("in-canter", "in canter")],
                faults: vec![fault("quarters-trailing", "quarters trailing")],
                every: None,
            },
            Exercise {
                id: word("changes-every-3rd-stride"),
                name: "changes every 3rd stride".into(),
                short: "ft".into(),
                family: "Changes".into(),
                pace: Some(Pace::Canter),
                sided: false,
                series: true,
                variants: Vec::new(),
                faults: vec![
                    fault("miscount", "miscount"),
                    fault("late-behind", "late behind"),
                ],
                every: (format >= 3).then_some(3),
            },
        ],
        general_faults: vec![fault("tense", "tense \"like a bow\"")],
        outlines: vec![named("long-and-low", "long and low")],
    }
}

/// Every entry of the format at least once with a value and once without.
fn sample(format: u32) -> Yard {
    let mut ids = IdMaker::seeded(1);
    let horse = |ids: &mut IdMaker, name: &str, foaled| Horse {
        id: ids.next(),
        name: name.into(),
        foaled,
        stage: foaled.map_or(String::new(), |_| "Prix St Georges".into()),
        notes: foaled.map_or(String::new(), |_| {
            "Likes his left rein.\nWarm up long.".into()
        }),
    };
    let horses = vec![
        horse(&mut ids, "Astra", Some(2016)),
        horse(&mut ids, "Ödipus", None),
    ];
    let rides = [
        full_ride(&mut ids, &horses[0], format),
        bare_ride(&mut ids, &horses[1]),
    ];
    let sheets = if format >= 4 {
        vec![sheet(&mut ids, Known::SecondHand), bare_sheet(&mut ids)]
    } else {
        Vec::new()
    };
    Yard {
        name: "Home yard".into(),
        as_of_last_ride: true,
        words: words(format),
        horses,
        sheets,
        rides: rides
            .into_iter()
            .map(|ride| (ride.id, Arc::new(ride)))
            .collect(),
    }
}

fn full_ride(ids: &mut IdMaker, horse: &Horse, format: u32) -> Ride {
    let reviews: Vec<Review> = ["", "Mother"]
        .iter()
        .map(|name| Review {
            id: ids.next(),
            reviewer: (*name).into(),
            blind: format >= 3 && *name == "Mother",
        })
        .collect();
    let bouts = bouts(ids, &reviews);
    let mark = |ids: &mut IdMaker, at: i64, kind, bout: Option<usize>| Mark {
        id: ids.next(),
        review: reviews[0].id,
        at: Moment(at),
        kind,
        bout: bout.map(|index| bouts[index].id),
        note: bout.map_or(String::new(), |_| "at X".into()),
        origin: None,
        press: None,
        place: None,
    };
    let with_origin = |mark: Mark| Mark {
        origin: (format >= 2).then(|| {
            Box::new(Origin {
                source: "rail, notes.csv".into(),
                line: 12,
                time: "10:42:15".into(),
                text: "half pass left,\nquarters trailing".into(),
            })
        }),
        ..mark
    };
    let with_press = |mark: Mark| Mark {
        press: (format >= 2).then_some(Press {
            shown: Moment(67 * SECOND + 350_000_000),
            correction: 350_000_000,
            refined: false,
        }),
        ..mark
    };
    let with_place = |mark: Mark| Mark {
        place: (format >= 3).then_some(ArenaPlace {
            across_cm: -25,
            along_cm: 1_800,
        }),
        ..mark
    };
    let trailing = MarkKind::Fault(word("quarters-trailing"));
    let mut ride = Ride {
        id: ids.next(),
        films: vec![
            film(ids, "films/evening 1.mp4", -SECOND, Some(600 * SECOND + 1)),
            film(ids, "/media/card/evening 2.mp4", 601 * SECOND, None),
        ],
        marks: vec![
            with_origin(mark(ids, 65 * SECOND, trailing, Some(0))),
            with_place(mark(ids, 66 * SECOND, MarkKind::Praise, None)),
            with_press(mark(ids, 67 * SECOND, MarkKind::Repeated, Some(0))),
            mark(ids, 68 * SECOND, MarkKind::Note, None),
        ],
        paces: vec![PaceSpan {
            id: ids.next(),
            span: Span {
                from: Moment(0),
                to: Moment(60 * SECOND),
            },
            pace: Pace::ReinBack,
            variant: Some(word("collected")),
        }],
        outlines: vec![OutlineSpan {
            id: ids.next(),
            span: Span {
                from: Moment(0),
                to: Moment(3_723 * SECOND + 4),
            },
            outline: word("long-and-low"),
        }],
        head: RideHead {
            horse: horse.id,
            date: "2026-03-01".parse().unwrap(),
            time: Some("18:05:00".parse().unwrap()),
            title: "lesson".into(),
            notes: "Windy.".into(),
            counting: reviews[0].id,
            reviews: reviews.clone(),
            arena: (format >= 3).then_some(Arena::Small),
        },
        bouts,
        tempos: Vec::new(),
        test: None,
    };
    if format >= 3 {
        add_format_3(ids, &mut ride);
    }
    if format >= 4 {
        ride.test = Some(Box::new(ridden_test(ids, ride.bouts[0].id)));
    }
    ride
}

fn sheet(ids: &mut IdMaker, known: Known) -> TestSheet {
    let line = |number, text: &str, coefficient, step, kind| SheetLine {
        number,
        text: text.into(),
        coefficient,
        step,
        kind,
        exercise: number.map(|_| word("half-pass")),
    };
    TestSheet {
        id: ids.next(),
        name: "Freestyle at home".into(),
        as_of: "2026".into(),
        lines: vec![
            line(Some(1), "half-pass left", 2, Step::Half, LineKind::Movement),
            line(None, "harmony", 1, Step::Tenth, LineKind::Artistic),
            line(None, "impression", 1, Step::Half, LineKind::General),
        ],
        printed_most: Some(40),
        rules: ErrorRules {
            name: "Ours".into(),
            as_of: "2026".into(),
            costs: vec![Cost::Points(20), Cost::Percent(500)],
            eliminates: true,
            known,
        },
        decimals: 2,
    }
}

fn bare_sheet(ids: &mut IdMaker) -> TestSheet {
    TestSheet {
        id: ids.next(),
        name: "Nothing yet".into(),
        as_of: String::new(),
        lines: Vec::new(),
        printed_most: None,
        rules: ErrorRules {
            name: String::new(),
            as_of: String::new(),
            costs: vec![Cost::Points(20)],
            eliminates: false,
            known: Known::Own,
        },
        decimals: 3,
    }
}

fn ridden_test(ids: &mut IdMaker, bout: reinback_yard::BoutId) -> RiddenTest {
    let judge = |position, name: &str| Judge {
        position,
        name: name.into(),
    };
    let line = |marks: [Option<u8>; 2], seen| JudgedLine {
        marks: marks
            .map(|mark| mark.and_then(TestMark::from_tenths))
            .into(),
        seen,
    };
    RiddenTest {
        sheet: sheet(ids, Known::Read),
        judges: vec![judge('C', ""), judge('M', "Mrs Brook")],
        lines: vec![
            line([Some(65), Some(70)], Some(Seen::Bout(bout))),
            line([Some(78), None], Some(Seen::At(Moment(90 * SECOND)))),
            line([None, Some(100)], None),
        ],
        errors: 1,
        points_off: 20,
        percent_off: 500,
    }
}

fn add_format_3(ids: &mut IdMaker, ride: &mut Ride) {
    ride.films[0].tilt = Some(-1_500);
    let review = ride.head.counting;
    let points = |n: i32| {
        (0..n)
            .map(|at| Point {
                x: 1_000 * at,
                y: -at,
            })
            .collect()
    };
    let measured = |kind: MeasureKind, plumb| {
        MarkKind::Measured(Box::new(Measured {
            kind,
            film: ride.films[0].id,
            points: points(i32::try_from(kind.points()).unwrap()),
            plumb,
        }))
    };
    let edge = Plumb::Edge(Point { x: 5, y: 7 }, Point { x: 5, y: 900_000 });
    let kinds = [
        MarkKind::Change(Some(Rein::Left)),
        MarkKind::Change(None),
        MarkKind::Aid,
        measured(MeasureKind::NoseLine, Plumb::Film),
        measured(MeasureKind::NeckLine, edge),
        measured(MeasureKind::Lateral, Plumb::Film),
        measured(MeasureKind::Angle, Plumb::Film),
        measured(MeasureKind::Ratio, Plumb::Film),
    ];
    for (kind, at) in kinds.into_iter().zip(81..) {
        let mark = Mark {
            id: ids.next(),
            at: Moment(at * SECOND),
            kind,
            note: String::new(),
            bout: None,
            origin: None,
            press: None,
            place: None,
            review,
        };
        ride.marks.push(mark);
    }
    ride.tempos = vec![
        TempoTrack {
            id: ids.next(),
            review,
            leg: Leg::LeftFore,
            taps: [82_000, 82_630, 83_265]
                .map(|ms| Moment(ms * 1_000_000))
                .into(),
        },
        TempoTrack {
            id: ids.next(),
            review,
            leg: Leg::RightHind,
            taps: [90, 91].map(|at| Moment(at * SECOND)).into(),
        },
    ];
}

fn bouts(ids: &mut IdMaker, reviews: &[Review]) -> Vec<Bout> {
    vec![
        Bout {
            id: ids.next(),
            review: reviews[0].id,
            exercise: word("half-pass"),
            from: Moment(60 * SECOND),
            to: Some(Moment(70 * SECOND + 500_000_000)),
            rein: Some(Rein::Left),
            variant: Some(word("in-trot")),
            asked: Asked::default(),
            score: Score::from_halves(13),
            letters: (Some('K'), Some('X')),
            reviewed: true,
            note: "better".into(),
        },
        Bout {
            id: ids.next(),
            review: reviews[1].id,
            exercise: word("changes-every-3rd-stride"),
            from: Moment(80 * SECOND),
            to: None,
            rein: None,
            variant: None,
            asked: Asked {
                count: Some(5),
                every: Some(3),
            },
            score: None,
            letters: (None, None),
            reviewed: false,
            note: String::new(),
        },
    ]
}

fn film(ids: &mut IdMaker, path: &str, offset: i64, duration_nanos: Option<i64>) -> Film {
    Film {
        id: ids.next(),
        path: path.into(),
        fingerprint: duration_nanos.map(|_| "0123abcd".into()),
        offset: Moment(offset),
        drift_ppb: if duration_nanos.is_some() { -1_500 } else { 0 },
        duration_nanos,
        tilt: None,
    }
}

fn bare_ride(ids: &mut IdMaker, horse: &Horse) -> Ride {
    let review = Review {
        id: ids.next(),
        reviewer: String::new(),
        blind: false,
    };
    Ride {
        id: ids.next(),
        head: RideHead {
            horse: horse.id,
            date: "2025-12-31".parse().unwrap(),
            time: None,
            title: String::new(),
            notes: String::new(),
            counting: review.id,
            reviews: vec![review],
            arena: None,
        },
        films: Vec::new(),
        bouts: Vec::new(),
        marks: Vec::new(),
        paces: Vec::new(),
        outlines: Vec::new(),
        tempos: Vec::new(),
        test: None,
    }
}

/// The sample's journal holds one change that is in no file.
fn late_change(yard: &Yard) -> Edit {
    let ride = yard.rides_by_date()[1];
    let mark = Mark {
        note: "late\nthought".into(),
        ..ride.marks[1].clone()
    };
    Edit::Mark(ride.id, mark.id, Some(mark))
}

fn write_sample(dir: &Path, format: u32) {
    let yard = sample(format);
    let mut store = Store::create(dir, "").unwrap().store;
    let rides = yard.rides.keys().map(|id| FileKey::Ride(*id));
    let files: BTreeSet<FileKey> = rides.chain([FileKey::Yard]).collect();
    store.save(&yard, &files).unwrap();
    store.journal(&late_change(&yard)).unwrap();
}

fn sample_dir(format: u32) -> PathBuf {
    let name = format!("tests/data/formats/v{format}");
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// Files below a folder by their relative path, without the lock.
fn files(dir: &Path) -> BTreeMap<PathBuf, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![dir.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.ends_with(".lock") {
                let name = path.strip_prefix(dir).unwrap().to_owned();
                found.insert(name, fs::read_to_string(&path).unwrap());
            }
        }
    }
    found
}

fn copy_of_sample(format: u32) -> TempDir {
    let dir = TempDir::new().unwrap();
    for (name, text) in files(&sample_dir(format)) {
        let path = dir.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    dir
}

#[test]
fn every_format_opens() {
    for format in FORMATS {
        let dir = copy_of_sample(format);
        let opened = Store::open(dir.path()).unwrap();
        let mut expected = sample(format);
        late_change(&expected).apply(&mut expected).unwrap();
        assert_eq!(opened.yard, expected);
        let worst = opened.problems.iter().map(|problem| problem.severity).max();
        assert_eq!(
            worst,
            Some(Severity::Note),
            "only that the journal was used"
        );
    }
}

/// Set `WRITE_SAMPLE` to the number of a format that is not released yet to write its sample.
#[test]
fn every_format_is_written_as_ever() {
    for format in FORMATS {
        let wanted = std::env::var("WRITE_SAMPLE").unwrap_or_default();
        if wanted == format.to_string() {
            write_sample(&sample_dir(format), format);
            fs::remove_file(sample_dir(format).join(".lock")).unwrap();
        }
        let dir = TempDir::new().unwrap();
        write_sample(dir.path(), format);
        let (now, ever) = (files(dir.path()), files(&sample_dir(format)));
        assert_eq!(
            now.keys().collect::<Vec<_>>(),
            ever.keys().collect::<Vec<_>>()
        );
        for (name, text) in &ever {
            assert_eq!(&now[name], text, "{}", name.display());
        }
    }
}

#[test]
fn the_sample_is_checked() {
    let dir = copy_of_sample(FORMAT);
    let problems = check(dir.path());
    let says = |text: &str| problems.iter().filter(|p| p.message.contains(text)).count();
    assert_eq!(says("is not there"), 2, "both films");
    assert_eq!(says("was never closed"), 1);
    assert_eq!(says("brought back"), 1, "the journal");
    assert_eq!(problems.len(), 4, "{problems:?}");
}
