//! Files read and written, spoilt and whole.

use proptest::prelude::*;

use super::*;
use crate::arbitrary;
use crate::model::Mark;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn files_round_trip(yard in arbitrary::yard()) {
        let text = write_yard(&yard).expect("a yard can always be written");
        let read = read_yard(text.as_bytes()).expect("what was written can be read");
        let without_rides = Yard { rides: std::collections::BTreeMap::new(), ..yard.clone() };
        let format = format::of_yard(&without_rides);
        prop_assert_eq!(read, Read { value: without_rides, format });
        for ride in yard.rides.values() {
            let text = write_ride(ride).expect("a ride can always be written");
            let read = read_ride(text.as_bytes()).expect("what was written can be read");
            prop_assert_eq!(&read.value, ride.as_ref());
            prop_assert_eq!(read.format, format::of_ride(ride), "the oldest that can hold it");
            for older in 1..read.format {
                let claim = text.replacen(&format!("format: {}", read.format), &format!("format: {older}"), 1);
                let error = read_ride(claim.as_bytes()).expect_err("an entry of a later format");
                prop_assert!(error.message.contains("holds an entry of format"), "{}", error);
            }
            let again = write_ride(&read.value).expect("again");
            prop_assert_eq!(again, text, "saving unchanged must change nothing");
        }
    }

    #[test]
    fn journal_lines_round_trip(edit in arbitrary::edit()) {
        let line = write_change(&edit).expect("a change can always be written");
        prop_assert!(!line.text.contains(['\n', '\r']), "one line, whatever was typed");
        let entry = Ok(Entry::Changed(edit));
        prop_assert_eq!(&read_entry(&line.text, line.format), &entry);
        prop_assert_eq!(&read_entry(&line.text, FORMAT), &entry, "a newer journal holds older lines");
    }

    /// A file that was cut off or spoilt gives an error or a ride, never a panic.
    #[test]
    fn spoilt_files_never_panic(
        yard in arbitrary::yard(),
        cut in 0.0..1.0_f64,
        spoil in proptest::collection::vec((0.0..1.0_f64, any::<u8>()), 0..6),
    ) {
        let texts = yard.rides.values().filter_map(|ride| write_ride(ride).ok());
        for text in texts.chain(write_yard(&yard)) {
            let mut bytes = text.into_bytes();
            let place = |share: f64, len: usize| (share * len as f64) as usize;
            for (share, byte) in &spoil {
                let at = place(*share, bytes.len());
                bytes[at] = *byte;
            }
            let _either = (read_ride(&bytes), read_yard(&bytes));
            bytes.truncate(place(cut, bytes.len()));
            let _either = (read_ride(&bytes), read_yard(&bytes));
        }
    }

    #[test]
    fn any_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _either = (read_ride(&bytes), read_yard(&bytes));
        let text = String::from_utf8_lossy(&bytes);
        let _either = (read_entry(&text, 1), read_entry(&text, 2), format_of(&text));
    }
}

#[test]
fn every_cut_is_an_error() {
    for cut in 0..RIDE.trim_end().len() {
        let cut_off = RIDE.get(..cut).expect("plain letters only");
        assert!(
            read_ride(cut_off.as_bytes()).is_err(),
            "cut off after {cut} bytes"
        );
    }
}

/// Deep nesting is refused before it can use up the stack, and long lists take no more memory
/// than their text.
#[test]
fn hostile_texts_are_refused() {
    for opening in [
        "(",
        "[",
        "{",
        "Some(",
        "(format:1,id:",
        "(format:1,bouts:[",
        "/*",
    ] {
        let text = format!("(format: 1, id: {}", opening.repeat(200_000));
        assert!(read_ride(text.as_bytes()).is_err(), "{opening}");
        assert!(read_yard(text.as_bytes()).is_err(), "{opening}");
        assert!(read_entry(&text, FORMAT).is_err(), "{opening}");
    }
    let many = format!("(format: 1, horses: [{}", "(),".repeat(100_000));
    assert!(read_yard(many.as_bytes()).is_err());
}

const RIDE: &str = r#"// my ride
(
  format: 1,
  id: "00000000000000aa",
  horse: "0000000000000001",
  date: "2026-03-01",
  reviews: [
    (id: "00000000000000f1"),
  ],
  counting: "00000000000000f1",
  bouts: [
    (id: "00000000000000b2", review: "00000000000000f1", exercise: "half-pass", from: "0:02:00.000000000"),
    (id: "00000000000000b1", review: "00000000000000f1", exercise: "half-pass", from: "0:01:00.000000000", to: "0:01:10.000000000", rein: Left, reviewed: true),
  ],
  marks: [
    (id: "00000000000000c1", review: "00000000000000f1", at: "0:01:05.000000000", kind: Fault("quarters-trailing")),
  ],
)
"#;

/// A file written by hand: things in any order, what has a default left out.
#[test]
fn a_plain_ride_reads() {
    let ride = read_ride(RIDE.as_bytes()).unwrap().value;
    let ids: Vec<String> = ride.bouts.iter().map(|bout| bout.id.to_string()).collect();
    assert_eq!(
        ids,
        ["00000000000000b1", "00000000000000b2"],
        "sorted by their start"
    );
    assert!(ride.bouts[0].reviewed);
    assert_eq!(ride.bouts[1].to, None, "still running");
    assert_eq!(ride.marks[0].bout, None);
    let with_mark = format!("\u{feff}{RIDE}");
    assert_eq!(
        read_ride(with_mark.as_bytes()).unwrap().value,
        ride,
        "a byte order mark is no harm"
    );
    let windows = RIDE.replace('\n', "\r\n");
    assert_eq!(
        read_ride(windows.as_bytes()).unwrap().value,
        ride,
        "nor are other line ends"
    );
    let spelled = RIDE.replace("rein: Left", "rein: Some(Left)");
    assert_eq!(
        read_ride(spelled.as_bytes()).unwrap().value,
        ride,
        "optional entries may be spelled out"
    );
}

/// `old` becomes `new` in a good ride; the error must name that line and say this.
fn check_ride(old: &str, new: &str, line: u32, says: &str) {
    assert!(RIDE.contains(old), "{old:?} must be in the ride");
    let text = RIDE.replacen(old, new, 1);
    let error = read_ride(text.as_bytes()).expect_err(new);
    assert_eq!(error.line, Some(line), "{new:?}: {error}");
    assert!(
        error.message.contains(says),
        "{new:?}: {error} must say {says:?}"
    );
}

#[test]
fn errors_name_their_line() {
    check_ride(
        "  date: \"2026-03-01\",\n",
        "",
        17,
        "a ride has no entry “date”",
    );
    check_ride("2026-03-01", "1.3.2026", 6, "year-month-day is expected");
    check_ride(
        "rein: Left",
        "rein: Links",
        13,
        "“Links” is not one of Left, Right",
    );
    check_ride(
        "reviewed: true",
        "revewed: true",
        13,
        "“revewed” is not an entry of a bout",
    );
    check_ride("reviewed: true", "reviewed: yes", 13, "expected boolean");
    check_ride("0:01:10.000000000", "0:01:10", 13, "nine decimals");
    check_ride(
        "0:01:10.000000000",
        "0:00:59.000000000",
        13,
        "the end lies before the start",
    );
    check_ride("rein: Left", "score: \"7.3\"", 13, "steps of a half");
    check_ride("rein: Left", "asked_count: 0", 13, "must be at least 1");
    check_ride(
        "rein: Left",
        "asked_count: -5",
        13,
        "it is not written as it should be here",
    );
    check_ride(
        "00000000000000b2",
        "00000000000000b1",
        12,
        "two things here have the same id",
    );
    check_ride("00000000000000b2", "xyz", 12, "“xyz” is not an id");
    check_ride(
        "Fault(\"quarters-trailing\")",
        "Fault(\"Quarters trailing\")",
        16,
        "cannot name a word",
    );
    check_ride(
        "Fault(\"quarters-trailing\")",
        "Oops",
        16,
        "“Oops” is not one of Fault, Praise",
    );
    check_ride(
        "counting: \"00000000000000f1\"",
        "counting: \"00000000000000f2\"",
        4,
        "the review",
    );
    check_ride("format: 1", "format: 0", 1, "there is no format 0");
    check_ride("format: 1,", "", 1, "does not begin with");
    check_ride("  ],\n)", "  ],\n) more", 18, "behind its end");
    check_ride(
        "marks: [",
        "marks: [], marks: [",
        15,
        "has the entry “marks” twice",
    );
}

#[test]
fn a_newer_format_is_told_apart_from_damage() {
    let newer = RIDE.replace("format: 1", "format: 7");
    let read = read_ride(newer.as_bytes()).unwrap();
    assert_eq!(
        read.format, 7,
        "nothing in it is unknown, so it can be looked at"
    );
    let strange = newer.replace("  date:", "  weather: Sunny,\n  date:");
    let error = read_ride(strange.as_bytes()).unwrap_err();
    assert_eq!(error.newer, Some(7));
    assert!(
        error.message.contains("newer Reinback (format 7"),
        "{error}"
    );
}

#[test]
fn what_is_no_text_is_told() {
    let mut bytes = RIDE.as_bytes().to_vec();
    let at = RIDE.find("quarters").unwrap();
    bytes[at] = 0xff;
    let error = read_ride(&bytes).unwrap_err();
    assert_eq!(error.line, Some(16));
    assert_eq!(read_ride(b"").unwrap_err().message, "it is empty");
}

#[test]
fn a_yard_needs_little() {
    let yard = read_yard(b"(format: 1)").unwrap().value;
    assert_eq!(
        yard,
        Yard::default(),
        "the default words come where none are given"
    );
    let nameless = b"(format: 1, horses: [\n(id: \"0000000000000001\", name: \" \")])";
    let error = read_yard(nameless).unwrap_err();
    assert_eq!(
        (error.line, error.message.as_str()),
        (Some(2), "a horse needs a name")
    );
    let empty = read_yard(b"(format: 1, words: ())").unwrap().value;
    assert!(
        empty.words.exercises.is_empty(),
        "words that are given are all there are"
    );
}

/// What a person sees when opening a ride: one thing a line.
#[test]
fn rides_are_written_for_people() {
    let ride = read_ride(RIDE.as_bytes()).unwrap().value;
    let text = write_ride(&ride).unwrap();
    let bout = "    (id: \"00000000000000b1\", review: \"00000000000000f1\", exercise: \"half-pass\", \
                from: \"0:01:00.000000000\", to: \"0:01:10.000000000\", rein: Left, reviewed: true),\n";
    assert!(text.contains(bout), "{text}");
    assert!(
        text.starts_with("(\n  format: 1,\n  id: \"00000000000000aa\",\n"),
        "{text}"
    );
}

/// What format 2 brought is no entry of format 1.
#[test]
fn an_origin_is_read_in_format_2_only() {
    let origin =
        "note: \"\", origin: (source: \"rail.csv\", line: 3, time: \"10:42\", text: \"late\")";
    let first = RIDE.replacen("kind: ", &format!("{origin}, kind: "), 1);
    assert_ne!(first, RIDE, "the sample has a mark");
    let error = read_ride(first.as_bytes()).expect_err("format 1");
    assert!(
        error
            .message
            .contains("format 1, and holds an entry of format 2"),
        "{error}"
    );
    let second = first.replace("format: 1", "format: 2");
    let read = read_ride(second.as_bytes()).expect("format 2");
    let found = read.value.marks.iter().find_map(|mark| mark.origin.clone());
    let origin = found.expect("the origin");
    assert_eq!((origin.line, origin.source.as_str()), (3, "rail.csv"));
    assert_eq!(
        (origin.time.as_str(), origin.text.as_str()),
        ("10:42", "late")
    );
}

/// The words of a note stand once in the file, even when the mark's note is written anew later.
#[test]
fn an_origin_says_nothing_twice() {
    let origin = "origin: (source: \"rail.csv\", line: 3)";
    let first = RIDE.replacen("format: 1", "format: 2", 1).replacen(
        "kind: ",
        &format!("note: \"late\", {origin}, kind: "),
        1,
    );
    let mut ride = read_ride(first.as_bytes()).unwrap().value;
    let written = |ride: &Ride| write_ride(ride).unwrap();
    let at = ride
        .marks
        .iter()
        .position(|mark| mark.origin.is_some())
        .unwrap();
    assert_eq!(ride.marks[at].origin.as_ref().unwrap().text, "late");
    assert_eq!(written(&ride).matches("late\"").count(), 1);
    for (note, text) in [("new", "late"), ("new", ""), ("", "late"), ("", "")] {
        ride.marks[at].note = note.into();
        ride.marks[at].origin.as_mut().unwrap().text = text.into();
        assert_eq!(read_ride(written(&ride).as_bytes()).unwrap().value, ride);
    }
}

#[test]
fn a_correction_below_zero_is_an_error() {
    let press = "press: (shown: \"0:00:01.000000000\", correction: \"-0:00:00.100000000\")";
    let first = RIDE.replacen("format: 1", "format: 2", 1).replacen(
        "kind: ",
        &format!("{press}, kind: "),
        1,
    );
    let error = read_ride(first.as_bytes()).unwrap_err();
    assert!(error.message.contains("less than zero"), "{error:?}");
    assert!(error.line.is_some());
}

/// An import beyond what is read again is told before it is applied.
#[test]
fn a_change_that_is_too_large_is_told() {
    let ride = read_ride(RIDE.as_bytes()).unwrap().value;
    let mark = Mark {
        note: "late ".repeat(1_000),
        ..ride.marks[0].clone()
    };
    let edit = Edit::Mark(ride.id, mark.id, Some(mark));
    assert_eq!(fits(&ride, &edit), Ok(()));
    let line = write_change(&edit).unwrap().text.len() as u64;
    assert_eq!(fits_within(&ride, &edit, line), Err(TooMuch), "no room");
    assert_eq!(fits_within(&ride, &edit, 3 * line), Ok(()));
    let mut full = ride.clone();
    full.head.notes = "long ".repeat(5_000);
    assert_eq!(
        fits_within(&full, &edit, 3 * line),
        Err(TooMuch),
        "the file"
    );
}
