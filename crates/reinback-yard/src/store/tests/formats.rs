//! A yard passing to a newer format, and back.

use super::super::faulty::{Fault, FaultyDisk};
use super::*;
use crate::model::Origin;

/// A mark that only format 2 can hold.
fn imported(ride: RideId, id: u64) -> Edit {
    let Edit::Mark(ride, id, Some(plain)) = mark(ride, id, "late") else {
        panic!("a mark");
    };
    let origin = Some(Box::new(Origin {
        source: "rail.csv".into(),
        line: 3,
        time: "10:42:15".into(),
        text: "late".into(),
    }));
    Edit::Mark(ride, id, Some(Mark { origin, ..plain }))
}

fn first_line(dir: &Path, name: &str) -> String {
    let text = fs::read_to_string(dir.join(name)).unwrap();
    let format = file::format_of(&text).unwrap();
    format!("format {format}")
}

#[test]
fn a_file_passes_to_the_newer_format_only_when_it_must() {
    let (dir, _) = stable();
    let before = snapshot(dir.path());
    let old = fs::read(ride_path(dir.path())).unwrap();
    let mut opened = open(dir.path());
    let mut document = Document::new(opened.yard.clone());
    document.apply("place 1 note", imported(RIDE, 8)).unwrap();
    document.apply("step", bout(OTHER, 2, 50)).unwrap();
    save(&mut opened.store, &mut document);
    let ride = ride_path(dir.path());
    let name = ride.file_name().unwrap().to_str().unwrap();
    assert!(
        fs::read_to_string(&ride)
            .unwrap()
            .starts_with("(\n  format: 2,")
    );
    let kept = ride.with_file_name(format!("{name}.format-1.bak"));
    assert_eq!(
        fs::read(&kept).unwrap(),
        old,
        "the older text lies beside it"
    );
    let formats = |wanted: &str| {
        snapshot(dir.path())
            .iter()
            .filter(|(path, _)| path.extension() == Some("ron".as_ref()))
            .filter(|(_, bytes)| String::from_utf8_lossy(bytes).contains(wanted))
            .count()
    };
    assert_eq!(
        [1, 2, 3].map(|format| formats(&format!("format: {format}"))),
        [1, 1, 1],
        "the other ride, this one, and the yard with its default words"
    );
    drop(opened);

    let mut opened = open(dir.path());
    assert_eq!(&opened.yard, document.yard());
    assert_eq!(opened.problems, []);
    // Taken back, the ride is what an older version can read again.
    document.undo();
    document.undo();
    save(&mut opened.store, &mut document);
    drop(opened);
    let after = snapshot(dir.path());
    let without_kept: BTreeMap<_, _> = after
        .into_iter()
        .filter(|(path, _)| path.extension() != Some("bak".as_ref()))
        .collect();
    assert_eq!(without_kept, before);
}

/// From format 2 to 3: the text of format 2 is kept as well, under its own number.
#[test]
fn each_older_text_is_kept_under_its_number() {
    let (dir, _) = stable();
    let first = fs::read(ride_path(dir.path())).unwrap();
    let mut opened = open(dir.path());
    let mut document = Document::new(opened.yard.clone());
    document.apply("place 1 note", imported(RIDE, 8)).unwrap();
    save(&mut opened.store, &mut document);
    let second = fs::read(ride_path(dir.path())).unwrap();
    let Edit::Mark(ride, id, Some(plain)) = mark(RIDE, 9, "") else {
        panic!("a mark");
    };
    let change = Mark {
        kind: MarkKind::Change(None),
        ..plain
    };
    let edit = Edit::Mark(ride, id, Some(change));
    document.apply("mark flying change", edit).unwrap();
    save(&mut opened.store, &mut document);
    let ride = ride_path(dir.path());
    let name = ride.file_name().unwrap().to_str().unwrap();
    let kept = |format: u32| fs::read(ride.with_file_name(format!("{name}.format-{format}.bak")));
    assert_eq!(
        file::format_of(&fs::read_to_string(&ride).unwrap()),
        Some(3)
    );
    assert_eq!((kept(1).unwrap(), kept(2).unwrap()), (first, second));
    drop(opened);
    let opened = open(dir.path());
    assert_eq!(&opened.yard, document.yard());
    assert_eq!(opened.problems, []);
}

#[test]
fn a_journal_passes_to_the_newer_format_and_keeps_its_lines() {
    let (dir, _) = stable();
    let mut opened = open(dir.path());
    let mut document = Document::new(opened.yard.clone());
    for (step, format) in [
        (mark(RIDE, 7, "plain"), "format 1"),
        (imported(RIDE, 8), "format 2"),
        (mark(RIDE, 9, "plain again"), "format 2"),
    ] {
        document.apply("step", step.clone()).unwrap();
        opened.store.journal(&step).unwrap();
        assert_eq!(first_line(dir.path(), "journal.ron"), format);
    }
    drop(opened);
    let mut opened = open(dir.path());
    assert_eq!(&opened.yard, document.yard());
    // A journal that was found is raised as well.
    fs::remove_file(dir.path().join("journal.ron")).unwrap();
    drop(opened);
    opened = open(dir.path());
    opened.store.journal(&mark(RIDE, 7, "plain")).unwrap();
    drop(opened);
    opened = open(dir.path());
    opened.store.journal(&imported(RIDE, 8)).unwrap();
    drop(opened);
    assert_eq!(first_line(dir.path(), "journal.ron"), "format 2");
    let opened = open(dir.path());
    let marks = &opened.yard.ride(RIDE).unwrap().marks;
    assert_eq!(marks.len(), 2);
    assert!(marks.iter().any(|mark| mark.origin.is_some()));
}

/// What could not be read again is not written, and nothing is replaced by it.
#[test]
fn what_is_too_large_to_be_read_is_not_written() {
    let (dir, _) = stable();
    let before = snapshot(dir.path());
    let mut opened = open(dir.path());
    opened.store.most = 4_096;
    let mut document = Document::new(opened.yard.clone());
    let long = mark(RIDE, 8, &"late ".repeat(1_000));
    document.apply("place 1 note", long.clone()).unwrap();
    document.apply("step", bout(OTHER, 2, 50)).unwrap();
    let error = opened.store.journal(&long).unwrap_err();
    assert!(matches!(error, StoreError::TooLarge { .. }), "{error:?}");
    let files = document.take_unsaved();
    let error = opened.store.save(document.yard(), &files).unwrap_err();
    let path = ride_path(dir.path());
    assert_eq!(error, StoreError::TooLarge { path });
    assert_eq!(snapshot(dir.path()), before);
    // Lines that fit are kept, until the file is full of them.
    let short = mark(RIDE, 9, &"late ".repeat(100));
    let kept = (0..100)
        .take_while(|_| opened.store.journal(&short).is_ok())
        .count();
    assert!((1..100).contains(&kept), "{kept}");
    let length = fs::metadata(dir.path().join("journal.ron")).unwrap().len();
    assert!(length <= 4_096, "{length}");
    opened.store.most = MAX_FILE_BYTES;
    opened.store.save(document.yard(), &files).unwrap();
    drop(opened);
    assert_eq!(&open(dir.path()).yard, document.yard());
}

/// A journal's first line that could not be cut off again still says what may stand below it.
#[test]
fn a_first_line_that_stays_is_raised() {
    let (dir, _) = stable();
    let disk = FaultyDisk::new(Fault::Refused);
    let go_on = &mut |_: News| ControlFlow::Continue(());
    let mut opened = Store::open_on(Box::new(disk.clone()), dir.path(), None, go_on).unwrap();
    // The line gets there; the folder is not made to last, and the line cannot be cut off.
    disk.break_after(1);
    let plain = mark(RIDE, 7, "plain");
    assert!(opened.store.journal(&plain).is_err());
    assert!(dir.path().join("journal.ron").exists());
    disk.mend();
    opened.store.journal(&imported(RIDE, 8)).unwrap();
    drop(opened);
    assert_eq!(first_line(dir.path(), "journal.ron"), "format 2");
    let opened = open(dir.path());
    let marks = &opened.yard.ride(RIDE).unwrap().marks;
    assert!(marks.iter().any(|mark| mark.origin.is_some()));
}
