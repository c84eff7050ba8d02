//! Texts as people hand them over, from the first byte to the notes.

use std::fmt::Write as _;
use std::ops::ControlFlow;

use proptest::prelude::*;

use super::*;

fn read(text: &str) -> (Layout, RawNotes) {
    let layout = guess_layout(text);
    let notes = read_notes(text, &layout, &mut |_| ControlFlow::Continue(())).unwrap();
    (layout, notes)
}

/// Line, time and words of every note.
fn check(text: &str, expect: &[(u32, &str, &str)]) -> RawNotes {
    let (layout, notes) = read(text);
    let found: Vec<(u32, &str, &str)> = notes
        .notes
        .iter()
        .map(|note| (note.line, note.time.as_str(), note.text.as_str()))
        .collect();
    assert_eq!(found, expect, "{layout:?}");
    notes
}

fn flaws(notes: &RawNotes) -> Vec<Option<NoteFlaw>> {
    notes.notes.iter().map(|note| note.flaw).collect()
}

#[test]
fn pasted_lines() {
    let notes = check(
        "10:42:15 half pass left, quarters trailing\r\n\r\n- 10:43 - late, again\n[10:44] tense\n\
         no time here\n10:45\nflying change late behind 10:46\n-0:05 before the film\n",
        &[
            (1, "10:42:15", "half pass left, quarters trailing"),
            (3, "10:43", "late, again"),
            (4, "[10:44]", "tense"),
            (5, "", "no time here"),
            (6, "10:45", ""),
            (7, "10:46", "flying change late behind"),
            (8, "-0:05", "before the film"),
        ],
    );
    assert_eq!(
        flaws(&notes),
        [
            None,
            None,
            None,
            Some(NoteFlaw::NoTime),
            Some(NoteFlaw::NoText),
            None,
            None
        ]
    );
    // An old file with carriage returns alone.
    check(
        "10:42 one\r10:43 two",
        &[(1, "10:42", "one"), (2, "10:43", "two")],
    );
    check("", &[]);
    check(" \n\n", &[]);
}

#[test]
fn tables_with_and_without_names() {
    let (layout, _) = read("time,note\n10:42,late\n10:43,\"tense, again\"\n");
    let Layout::Table(table) = layout else {
        panic!("a table")
    };
    assert_eq!((table.delimiter, table.header), (b',', true));
    assert_eq!(table.columns, [Column::Time, Column::Text]);
    check(
        "time,note\n10:42,late\n10:43,\"tense, again\"\n",
        &[(2, "10:42", "late"), (3, "10:43", "tense, again")],
    );
    // Quotes over two lines, and a comma that nobody quoted.
    check(
        "10:42,\"half pass\nleft\"\n10:43,tense, again\n10:44,late\n10:45,late\n10:46,late\n\
         10:47,a\n10:48,a\n10:49,a\n10:50,a\n10:51,a\n",
        &[
            (1, "10:42", "half pass\nleft"),
            (3, "10:43", "tense, again"),
            (4, "10:44", "late"),
            (5, "10:45", "late"),
            (6, "10:46", "late"),
            (7, "10:47", "a"),
            (8, "10:48", "a"),
            (9, "10:49", "a"),
            (10, "10:50", "a"),
            (11, "10:51", "a"),
        ],
    );
    check(
        "sep=;\nNr;Datum;Uhrzeit;Übung;Hand;Fehler\n1;1.3.2026;10:42:15;half-pass;left;quarters trailing\n\
         2;1.3.2026;10:43:00;travers;right;\n",
        &[
            (3, "1.3.2026 10:42:15", "half-pass, left, quarters trailing"),
            (4, "1.3.2026 10:43:00", "travers, right"),
        ],
    );
    check(
        "12.5\tlate\n83.25\ttense\n-3\tearly\n",
        &[
            (1, "12.5", "late"),
            (2, "83.25", "tense"),
            (3, "-3", "early"),
        ],
    );
    let notes = check(
        "time;note\n10:42;late\nten;tense\n;late\n",
        &[(2, "10:42", "late"), (3, "ten", "tense"), (4, "", "late")],
    );
    assert_eq!(
        flaws(&notes),
        [None, Some(NoteFlaw::BadTime), Some(NoteFlaw::NoTime)]
    );
}

#[test]
fn columns_can_be_corrected() {
    let text = "10:42|late|1\n10:43|tense|2\n";
    let mut table = table_with(text, b'|');
    assert_eq!(table.columns, [Column::Time, Column::Text, Column::Unused]);
    table.columns = vec![Column::Unused, Column::Text, Column::Time];
    let notes = read_notes(text, &Layout::Table(table), &mut |_| {
        ControlFlow::Continue(())
    })
    .unwrap();
    assert_eq!(notes.notes[1].stamp, Some(Stamp::Elapsed(2_000_000_000)));
    // With another sign there is one column, and nothing in it is a time.
    assert_eq!(table_with(text, b';').columns, [Column::Text]);
}

/// Cues as the specification's own examples have them (identifiers, settings, tags, escapes, notes,
/// styles), written from memory.
#[test]
fn captions() {
    let notes = check(
        "\u{feff}WEBVTT - lesson\nKind: metadata\n\nSTYLE\n::cue { color: lime }\n\nNOTE a comment\nover two \
         lines\n\n1\n00:00:12.500 --> 00:00:14.000 align:start position:10%\n<v Trainer>half pass <b>left</b>\n\
         quarters trailing\n\n01:02:03.004 --> 01:02:04.000\nlate &amp; tense &lt;3\n\
         123:00:00.000 --> 123:00:01.000\nno empty line before\n\n00:10.000 --> 00:09.000\nends before\n\n\
         00:61.000 --> 00:62.000\nno such second\n\nwords alone\n",
        &[
            (11, "00:00:12.500", "half pass left quarters trailing"),
            (15, "01:02:03.004", "late & tense <3"),
            (17, "123:00:00.000", "no empty line before"),
            (20, "00:10.000 --> 00:09.000", "ends before"),
            (23, "00:61.000 --> 00:62.000", "no such second"),
            (26, "", "words alone"),
        ],
    );
    assert_eq!(notes.notes[0].stamp, Some(Stamp::Elapsed(12_500_000_000)));
    assert_eq!(
        notes.notes[1].stamp,
        Some(Stamp::Elapsed(3_723_004_000_000))
    );
    let bad = Some(NoteFlaw::BadTime);
    assert_eq!(
        flaws(&notes),
        [None, None, None, bad, bad, Some(NoteFlaw::NoTime)]
    );
    let go_on = &mut |_| ControlFlow::Continue(());
    assert_eq!(
        read_notes("WEBVTTX\n", &Layout::Cues, go_on),
        Err(ReadError::NotWebVtt)
    );
    check("WEBVTT", &[]);
    check(
        "WEBVTT\n00:01.000 --> 00:02.000\nright behind the header\n",
        &[(2, "00:01.000", "right behind the header")],
    );
}

#[test]
fn a_hundred_thousand_lines_and_more() {
    let mut text = String::new();
    for at in 0..MAX_NOTES + 10 {
        let (hours, minutes, seconds) = (at / 3600 % 24, at / 60 % 60, at % 60);
        writeln!(
            text,
            "{hours}:{minutes:02}:{seconds:02} half pass left, quarters trailing"
        )
        .unwrap();
    }
    let mut asked = 0;
    let layout = guess_layout(&text);
    assert_eq!(layout, Layout::Lines);
    let notes = read_notes(&text, &layout, &mut |_| {
        asked += 1;
        ControlFlow::Continue(())
    })
    .unwrap();
    assert_eq!(
        (notes.notes.len(), notes.cut, asked),
        (MAX_NOTES, true, 100)
    );
    let stopped = read_notes(&text, &layout, &mut |done| {
        if done < 5_000 {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    });
    assert_eq!(stopped, Err(ReadError::Cancelled));
    let long = format!("10:42 {}", "ä".repeat(MAX_NOTE_SIGNS + 5));
    let notes = read(&long).1;
    assert_eq!(notes.notes[0].flaw, Some(NoteFlaw::Cut));
    assert_eq!(notes.notes[0].text.chars().count(), MAX_NOTE_SIGNS);
}

proptest! {
    #[test]
    fn any_text(text in "(WEBVTT\n\n)?(\\PC{0,12}|[-0-9:,;\t\"\r\n> ]{0,12}){0,12}") {
        let (layout, notes) = read(&text);
        for other in [Layout::Lines, Layout::Table(table_with(&text, b';')), layout] {
            let _any = read_notes(&text, &other, &mut |_| ControlFlow::Continue(()));
        }
        let lines = u32::try_from(text.lines().count() + text.matches('\r').count()).unwrap();
        for note in &notes.notes {
            prop_assert!(note.line >= 1 && note.line <= lines.max(1), "{:?}", note);
            prop_assert!(note.stamp.is_some() || note.flaw.is_some());
        }
    }

    /// What is written as a table comes back, whatever the words are.
    #[test]
    fn tables_round_trip(notes in proptest::collection::vec((0_i64..86_400, "[a-zäß ,;\"'\n-]{1,30}"), 2..20)) {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(["time", "note"]).unwrap();
        for (second, words) in &notes {
            let time = format!("{}:{:02}:{:02}", second / 3600, second / 60 % 60, second % 60);
            writer.write_record([&time, words]).unwrap();
        }
        let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        let table = Table { delimiter: b',', header: true, columns: vec![Column::Time, Column::Text], names: Vec::new() };
        let read = read_notes(&text, &Layout::Table(table), &mut |_| ControlFlow::Continue(())).unwrap();
        prop_assert_eq!(read.notes.len(), notes.len());
        for (note, (second, words)) in read.notes.iter().zip(&notes) {
            prop_assert_eq!(&note.text, words.trim());
            let seen = matches!(note.stamp, Some(Stamp::Either { of_day, .. }) if of_day == second * 1_000_000_000);
            prop_assert!(seen, "{:?}", note);
        }
    }
}

mod placing {
    use reinback_analysis::Moment;
    use reinback_analysis::anchor::{Anchor, Placement};

    use super::super::*;
    use super::read;
    use crate::id::{BoutId, FilmId, HorseId, IdMaker};
    use crate::model::{Asked, Bout, Film, MarkKind, Review, Ride, Yard};
    use crate::words::{WordId, Words};
    use crate::{Document, Edit, Horse};

    const SECOND: i64 = 1_000_000_000;

    fn word(text: &str) -> WordId {
        WordId::new(text).unwrap()
    }

    /// Ten minutes of film from 10:40:00 on, with a half-pass in the third minute.
    fn ride() -> Ride {
        let review = Review {
            id: crate::ReviewId::from_bits(9),
            reviewer: String::new(),
        };
        let date = "2026-03-01".parse().unwrap();
        let mut ride = Ride::new(
            crate::RideId::from_bits(1),
            HorseId::from_bits(1),
            date,
            review,
        );
        ride.head.time = Some("10:40:00".parse().unwrap());
        ride.films.push(Film {
            id: FilmId::from_bits(1),
            path: "films/a.mp4".into(),
            fingerprint: None,
            offset: Moment(0),
            drift_ppb: 0,
            duration_nanos: Some(600 * SECOND),
        });
        ride.bouts.push(Bout {
            id: BoutId::from_bits(7),
            review: ride.head.counting,
            exercise: word("half-pass"),
            from: Moment(130 * SECOND),
            to: Some(Moment(140 * SECOND)),
            rein: Some(crate::Rein::Left),
            variant: None,
            asked: Asked::default(),
            score: None,
            letters: (None, None),
            reviewed: true,
            note: String::new(),
        });
        ride
    }

    struct Setup {
        ride: Ride,
        notes: RawNotes,
        own: Vec<Option<OwnTime>>,
        pieces: Vec<Vec<Piece>>,
        placement: Option<Placement>,
    }

    fn setup(text: &str) -> Setup {
        let ride = ride();
        let notes = read(text).1;
        let stamps: Vec<Stamp> = notes.notes.iter().filter_map(|note| note.stamp).collect();
        let kind = guess_kind(&stamps, ride.head.time).kind;
        let scene = Scene {
            day: ride.head.date,
            time: ride.head.time,
            zone: &chrono_tz::Europe::Berlin,
        };
        let own = own_clock(&notes.notes, kind, scene);
        let placement = plain_placement(&ride, kind, scene);
        let vocabulary = Vocabulary::new(&Words::default());
        let mut recogniser = Recogniser::new(&vocabulary);
        let pieces = notes
            .notes
            .iter()
            .map(|note| recogniser.pieces(&note.text))
            .collect();
        Setup {
            ride,
            notes,
            own,
            pieces,
            placement,
        }
    }

    fn import<'a>(setup: &'a Setup, placement: Placement, decisions: &'a Decisions) -> Import<'a> {
        Import {
            ride: &setup.ride,
            review: setup.ride.head.counting,
            source: "rail.txt",
            placement,
            notes: &setup.notes.notes,
            own: &setup.own,
            pieces: &setup.pieces,
            decisions,
        }
    }

    #[test]
    fn a_watch_is_placed_by_the_time_of_the_ride() {
        let setup = setup(
            "10:39:50 warming up\n10:42:15 half pass left, quarters trailing, tense\n10:42:20 half pass right, late\n\
             10:42:18 travers, tilted\n10:45 lovely\nno time\n10:51 done\n10:46\n",
        );
        let placement = setup.placement.unwrap();
        let decisions = Decisions::new();
        let placed = import(&setup, placement, &decisions).placed();
        let fault = |text: &str| MarkKind::Fault(word(text));
        let seen: Vec<(i64, Vec<MarkKind>, Option<u64>, bool)> = placed
            .iter()
            .map(|own| {
                (
                    own.at.0 / SECOND,
                    own.kinds.clone(),
                    own.bout.map(BoutId::bits),
                    own.off_film,
                )
            })
            .collect();
        assert_eq!(
            seen,
            [
                (-10, vec![MarkKind::Note], None, true),
                (
                    135,
                    vec![fault("quarters-trailing"), fault("tense")],
                    Some(7),
                    false
                ),
                // The other rein: not that attempt.
                (140, vec![MarkKind::Note], None, false),
                (138, vec![fault("tilted")], None, false),
                (300, vec![MarkKind::Praise], None, false),
                (660, vec![MarkKind::Note], None, true),
            ]
        );
        assert_eq!(placed[3].within_other, Some(word("half-pass")));
    }

    #[test]
    fn anchors_give_offset_and_rate() {
        let setup = setup("0:10 late\n5:10 tense\n10:10 stuck\n");
        let decisions = Decisions::new();
        let anchor = |own: i64, ride: i64| Anchor {
            own: own * SECOND,
            ride: Moment(ride * SECOND),
        };
        let at = |placement: Placement| -> Vec<i64> {
            let import = import(&setup, placement, &decisions);
            import
                .placed()
                .iter()
                .map(|own| own.at.0 / 1_000_000)
                .collect()
        };
        assert_eq!(
            at(setup.placement.unwrap()),
            [10_000, 310_000, 610_000],
            "from the first film's start"
        );
        assert_eq!(
            at(Placement::at(anchor(10, 30))),
            [30_000, 330_000, 630_000]
        );
        let drifting = Placement::between(anchor(0, 20), anchor(500, 519)).unwrap();
        assert_eq!(at(drifting), [29_980, 329_380, 628_780]);
    }

    /// One step, which can be taken back, and every mark tells where it came from.
    #[test]
    fn an_import_is_one_step_with_its_origin() {
        let setup = setup("10:42:15 half pass left, quarters trailing, tense\n\n10:45 lovely\n");
        let decisions = Decisions::new();
        let import = import(&setup, setup.placement.unwrap(), &decisions);
        let mut ids = IdMaker::seeded(3);
        let edit = import.edit(&import.placed(), &mut ids);
        let horse = Horse {
            id: HorseId::from_bits(1),
            name: "Astra".into(),
            foaled: None,
            stage: String::new(),
            notes: String::new(),
        };
        let mut yard = Yard {
            horses: vec![horse],
            ..Yard::default()
        };
        Edit::Ride(setup.ride.id, Some(Box::new(setup.ride.clone())))
            .apply(&mut yard)
            .unwrap();
        let mut document = Document::new(yard.clone());
        document.apply("place 2 notes", edit).unwrap();
        let marks = &document.yard().ride(setup.ride.id).unwrap().marks;
        let origins: Vec<(u32, &str, &str)> = marks
            .iter()
            .filter_map(|mark| mark.origin.as_deref())
            .map(|origin| (origin.line, origin.time.as_str(), origin.source.as_str()))
            .collect();
        assert_eq!(
            origins,
            [
                (1, "10:42:15", "rail.txt"),
                (1, "10:42:15", "rail.txt"),
                (3, "10:45", "rail.txt")
            ]
        );
        assert_eq!(marks[2].note, "lovely");
        document.undo().unwrap();
        assert_eq!(document.yard(), &yard);
    }
}
