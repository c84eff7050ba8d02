//! Texts as people hand them over, from the first byte to the notes.

use std::fmt::Write as _;
use std::ops::ControlFlow;

use proptest::prelude::*;

use super::*;

mod placing;

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

/// A quote that nobody closed costs its own line.
#[test]
fn a_stray_quote_swallows_no_table() {
    let mut text = String::from("time,note\n");
    for minute in 0..60 {
        let note = match minute {
            5 => "\"late",
            58 => "\"tense, again\"",
            59 => "\"late again",
            _ => "late",
        };
        writeln!(text, "10:{minute:02},{note}").unwrap();
    }
    let table = Table {
        delimiter: b',',
        header: true,
        columns: vec![Column::Time, Column::Text],
        names: Vec::new(),
    };
    assert!(matches!(guess_layout(&text), Layout::Table(_)));
    let notes = read_notes(&text, &Layout::Table(table), &mut |_| {
        ControlFlow::Continue(())
    })
    .unwrap()
    .notes;
    assert_eq!(notes.len(), 60);
    for (note, line) in notes.iter().zip(2..) {
        assert_eq!(note.line, line);
        let bad = [7, 61].contains(&line);
        assert_eq!(note.flaw, bad.then_some(NoteFlaw::BadRow), "{note:?}");
    }
    assert_eq!(notes[58].text, "tense, again");
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
            (20, "00:10.000", "ends before"),
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
        [None, None, None, None, bad, Some(NoteFlaw::NoTime)]
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
