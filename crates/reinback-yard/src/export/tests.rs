//! What is written for others, read back by others.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::process::{Command, Stdio};

use reinback_analysis::{Moment, Rein};

use super::*;
use crate::id::{HorseId, IdMaker};
use crate::model::{
    ArenaPlace, Asked, Film, MarkKind, MeasureKind, Measured, Origin, Plumb, Point, Press, Review,
    Score, Yard,
};
use crate::notes::{Layout, Stamp, guess_layout, read_notes};
use crate::words::WordId;

const SECOND: i64 = 1_000_000_000;

fn word(text: &str) -> WordId {
    WordId::new(text).unwrap()
}

/// A half-pass with a fault, something before the ride's zero, and signs that mean something to
/// the formats.
fn ride() -> Ride {
    let mut ids = IdMaker::seeded(5);
    let review = Review {
        id: ids.next(),
        reviewer: "Mother, \"Mo\"".into(),
        blind: false,
    };
    let counting = review.id;
    let date = "2026-03-01".parse().unwrap();
    let mut ride = Ride::new(ids.next(), HorseId::from_bits(1), date, review);
    ride.films.push(Film {
        id: ids.next(),
        path: "films/evening, 1.mp4".into(),
        fingerprint: None,
        offset: Moment(30 * SECOND),
        drift_ppb: 0,
        duration_nanos: Some(600 * SECOND),
        tilt: None,
    });
    let bout = Bout {
        id: ids.next(),
        review: counting,
        exercise: word("half-pass"),
        from: Moment(60 * SECOND),
        to: Some(Moment(70 * SECOND + SECOND / 2)),
        rein: Some(Rein::Left),
        variant: Some(word("in-trot")),
        asked: Asked {
            count: Some(5),
            every: Some(3),
        },
        score: Score::from_halves(13),
        letters: (Some('K'), None),
        reviewed: true,
        note: "better".into(),
    };
    let mut mark = |at: i64, kind, note: &str, origin: Option<Origin>| Mark {
        id: ids.next(),
        review: counting,
        at: Moment(at),
        kind,
        bout: Some(bout.id).filter(|_| at > 0),
        note: note.into(),
        origin: origin.map(Box::new),
        press: (at == 66 * SECOND).then_some(Press {
            shown: Moment(66 * SECOND + 400_000_000),
            correction: 400_000_000,
            refined: false,
        }),
        place: None,
    };
    let origin = Origin {
        source: "rail.csv".into(),
        line: 3,
        time: "10:42".into(),
        text: "late; <again>".into(),
    };
    ride.marks = vec![
        mark(
            -2 * SECOND - 1_500_000,
            MarkKind::Note,
            "before, the \"zero\"",
            None,
        ),
        mark(
            65 * SECOND + 250_000_000,
            MarkKind::Fault(word("quarters-trailing")),
            "late --> & <again>\n\nat X",
            Some(origin),
        ),
        mark(66 * SECOND, MarkKind::Praise, "müde", None),
    ];
    ride.bouts = vec![bout];
    ride
}

fn cells(bytes: &[u8]) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(bytes);
    reader.deserialize().map(|row| row.unwrap()).collect()
}

fn expected() -> Vec<BTreeMap<&'static str, &'static str>> {
    vec![
        BTreeMap::from([
            ("kind", "note"),
            ("time", "-0:00:02.002"),
            ("seconds", "-2.002"),
            ("note", "before, the \"zero\""),
            ("what", "note"),
            ("reviewer", "Mother, \"Mo\""),
        ]),
        BTreeMap::from([
            ("kind", "exercise"),
            ("time", "0:01:00.000"),
            ("seconds", "60.000"),
            ("end_seconds", "70.500"),
            ("film", "films/evening, 1.mp4"),
            ("film_seconds", "30.000"),
            ("exercise", "half-pass"),
            ("variant", "in trot"),
            ("rein", "left"),
            ("score", "6.5"),
            ("asked_count", "5"),
            ("asked_every", "3"),
            ("letters", "K-"),
            ("reviewed", "yes"),
            ("note", "better"),
            ("reviewer", "Mother, \"Mo\""),
        ]),
        BTreeMap::from([
            ("kind", "fault"),
            ("time", "0:01:05.250"),
            ("seconds", "65.250"),
            ("film", "films/evening, 1.mp4"),
            ("film_seconds", "35.250"),
            ("exercise", "half-pass"),
            ("variant", "in trot"),
            ("rein", "left"),
            ("what", "quarters trailing"),
            ("note", "late --> & <again>\n\nat X"),
            ("origin", "rail.csv"),
            ("origin_line", "3"),
            ("origin_time", "10:42"),
            ("origin_text", "late; <again>"),
            ("reviewer", "Mother, \"Mo\""),
        ]),
        BTreeMap::from([
            ("kind", "praise"),
            ("time", "0:01:06.000"),
            ("seconds", "66.000"),
            ("film", "films/evening, 1.mp4"),
            ("film_seconds", "36.000"),
            ("exercise", "half-pass"),
            ("variant", "in trot"),
            ("rein", "left"),
            ("what", "well ridden"),
            ("pressed_seconds", "66.400"),
            ("on_its_frame", "no"),
            ("note", "müde"),
            ("reviewer", "Mother, \"Mo\""),
        ]),
    ]
}

fn compare(read: &[BTreeMap<String, String>]) {
    assert_eq!(read.len(), expected().len());
    for (row, expect) in read.iter().zip(expected()) {
        for (column, cell) in row {
            let expect = expect.get(column.as_str()).copied().unwrap_or_default();
            assert_eq!(cell, expect, "{column} of {row:?}");
        }
        assert!(expect.keys().all(|column| row.contains_key(*column)));
    }
}

#[test]
fn a_table_is_read_back() {
    let bytes = marks_as_csv(&Yard::default(), &ride()).unwrap();
    compare(&cells(&bytes));
    let text = String::from_utf8(bytes).unwrap();
    assert!(text.starts_with("kind,time,seconds,"));
    assert!(text.contains("\r\n") && text.ends_with("\r\n"));
}

/// A nose 30 behind on 40 down, by hand: -36.8699 degrees, and asin(2/50) = 2.2924 either way. On a
/// film that is turned clockwise by two degrees a horse that faces right has it two further ahead.
#[test]
fn what_is_measured_and_where_it_was_have_their_columns() {
    let mut ride = ride();
    let film = ride.films[0].id;
    ride.films[0].tilt = Some(2_000);
    let point = |x, y| Point::from_pixels(f64::from(x), f64::from(y));
    ride.marks[2].kind = MarkKind::Measured(Box::new(Measured {
        kind: MeasureKind::NoseLine,
        film,
        points: vec![point(400, 100), point(370, 140), point(200, 100)],
        plumb: Plumb::Film,
    }));
    ride.marks[2].place = Some(ArenaPlace {
        across_cm: -50,
        along_cm: 3_005,
    });
    let rows = cells(&marks_as_csv(&Yard::default(), &ride).unwrap());
    let row = rows.iter().find(|row| row["kind"] == "measured").unwrap();
    for (column, expect) in [
        ("what", "nose line"),
        ("measured", "-34.870"),
        ("measured_low", "-37.162"),
        ("measured_high", "-32.577"),
        ("across_m", "-0.50"),
        ("along_m", "30.05"),
    ] {
        assert_eq!(row[column], expect, "{column}");
    }
}

/// What a spreadsheet would work out is a text; numbers below zero stay numbers.
#[test]
fn no_cell_is_a_formula() {
    let mut ride = ride();
    ride.bouts[0].letters = (None, Some('K'));
    ride.bouts[0].note = "=1+1".into();
    ride.head.reviews[0].reviewer = "@mo".into();
    ride.films[0].path = "-films/a.mp4".into();
    ride.bouts[0].exercise = word("half-pass");
    for (mark, note) in ride.marks.iter_mut().zip(["+1", "-late", "\tlate"]) {
        mark.note = note.into();
        mark.origin = Some(Box::new(Origin {
            source: "=rail.csv".into(),
            line: 1,
            time: "-0:05".into(),
            text: "\rlate".into(),
        }));
    }
    let mut yard = Yard::default();
    for exercise in &mut yard.words.exercises {
        exercise.name = "=half".into();
        for variant in &mut exercise.variants {
            variant.name = "+trot".into();
        }
        for fault in &mut exercise.faults {
            fault.name = "@fault".into();
        }
    }
    let rows = cells(&marks_as_csv(&yard, &ride).unwrap());
    let mut apostrophes = std::collections::BTreeSet::new();
    for (column, cell) in rows.iter().flatten() {
        let number = ["time", "seconds", "film_seconds"].contains(&column.as_str());
        let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
        assert!(!formula || number, "{column}: {cell:?}");
        if cell.starts_with('\'') {
            apostrophes.insert(column.as_str());
        }
    }
    let expect = [
        "exercise",
        "film",
        "note",
        "origin",
        "origin_text",
        "origin_time",
        "reviewer",
        "variant",
        "what",
    ];
    assert_eq!(apostrophes, expect.into());
    assert_eq!(rows[0]["seconds"], "-2.002");
    assert_eq!(rows[0]["note"], "'+1");
    assert_eq!(rows[1]["letters"], "to K");
}

/// Python's own `csv` reads the same cells.
#[test]
fn python_reads_the_table() {
    let script = "import csv,json,sys,io\n\
                  rows=csv.DictReader(io.TextIOWrapper(sys.stdin.buffer,encoding='utf-8',newline=''),strict=True)\n\
                  w=csv.writer(sys.stdout,lineterminator='\\n',quoting=csv.QUOTE_ALL)\n\
                  [w.writerow([n,k,v.encode('unicode_escape').decode()]) for n,r in enumerate(rows) for k,v in r.items()]";
    let bytes = marks_as_csv(&Yard::default(), &ride()).unwrap();
    let Some(answer) = run("python3", &["-c", script], &bytes) else {
        return;
    };
    let mut rows: Vec<BTreeMap<String, String>> = vec![BTreeMap::new(); expected().len()];
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(answer.as_slice());
    for cell in reader.deserialize::<(usize, String, String)>() {
        let (row, column, value) = cell.unwrap();
        rows[row].insert(column, value.replace("\\n", "\n").replace("\\xfc", "ü"));
    }
    compare(&rows);
}

#[test]
fn captions_are_read_back() {
    let (words, ride) = (Words::default(), ride());
    let captions = marks_as_vtt(&words, &ride, CaptionClock::Ride).unwrap();
    assert_eq!(
        (captions.written, captions.left_out),
        (3, 1),
        "one is before the ride's zero"
    );
    let layout = guess_layout(&captions.text);
    assert_eq!(layout, Layout::Cues);
    let notes = read_notes(&captions.text, &layout, &mut |_| {
        std::ops::ControlFlow::Continue(())
    })
    .unwrap();
    let read: Vec<(Option<Stamp>, &str)> = notes
        .notes
        .iter()
        .map(|note| (note.stamp, note.text.as_str()))
        .collect();
    assert_eq!(
        read,
        [
            (
                Some(Stamp::Elapsed(60 * SECOND)),
                "half-pass, in trot, left: better"
            ),
            (
                Some(Stamp::Elapsed(65 * SECOND + 250_000_000)),
                "quarters trailing: late --> & <again> at X"
            ),
            (Some(Stamp::Elapsed(66 * SECOND)), "well ridden: müde"),
        ]
    );
    let film = marks_as_vtt(&words, &ride, CaptionClock::Film(ride.films[0].id)).unwrap();
    assert!(
        film.text
            .contains("00:00:30.000 --> 00:00:40.500\nhalf-pass, in trot, left: better"),
        "{}",
        film.text
    );
    let none = CaptionClock::Film(crate::FilmId::from_bits(99));
    assert_eq!(marks_as_vtt(&words, &ride, none), None);
}

/// A camera that runs a tenth fast: captions follow the film, not the ride.
#[test]
fn captions_follow_a_film_of_another_rate() {
    let mut ride = ride();
    ride.films[0].drift_ppb = 100_000_000;
    let clock = CaptionClock::Film(ride.films[0].id);
    let captions = marks_as_vtt(&Words::default(), &ride, clock).unwrap();
    // 30 s after the film's start on the ride are 33 s of the film.
    let expect = "00:00:33.000 --> 00:00:44.550\nhalf-pass";
    assert!(captions.text.contains(expect), "{}", captions.text);
}

/// A carriage return ends a line of a cue, and an empty line would end the cue; times are rounded
/// as in the table.
#[test]
fn captions_of_odd_notes_and_times() {
    let mut ride = ride();
    ride.marks[1].note = "late\r\rtense\r\n\r\nagain".into();
    ride.marks[1].at = Moment(65 * SECOND + 250_500_000);
    let captions = marks_as_vtt(&Words::default(), &ride, CaptionClock::Ride).unwrap();
    let expect = "00:01:05.251 --> 00:01:07.251\nquarters trailing: late\ntense\nagain\n";
    assert!(captions.text.contains(expect), "{}", captions.text);
}

/// FFmpeg's own reader of `WebVTT` finds the same cues at the same times.
#[test]
fn ffprobe_reads_the_captions() {
    let captions = marks_as_vtt(&Words::default(), &ride(), CaptionClock::Ride).unwrap();
    let arguments = [
        "-v",
        "error",
        "-f",
        "webvtt",
        "-show_entries",
        "packet=pts_time,duration_time",
        "-of",
        "csv=p=0",
        "-i",
        "pipe:0",
    ];
    let Some(answer) = run("ffprobe", &arguments, captions.text.as_bytes()) else {
        return;
    };
    let answer = String::from_utf8(answer).unwrap();
    // Some versions end the line with a comma.
    let packets: Vec<&str> = answer
        .split_whitespace()
        .map(|line| line.trim_end_matches(','))
        .collect();
    assert_eq!(
        packets,
        [
            "60.000000,10.500000",
            "65.250000,2.000000",
            "66.000000,2.000000"
        ]
    );
}

/// What a program answers; `None`, with a line, where it is not installed.
fn run(program: &str, arguments: &[&str], input: &[u8]) -> Option<Vec<u8>> {
    let child = Command::new(program)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
    let Ok(mut child) = child else {
        eprintln!("{program} is not installed: not compared with it");
        return None;
    };
    child.stdin.take().unwrap().write_all(input).unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    Some(output.stdout)
}
