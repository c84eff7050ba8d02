//! Disks that fill up or stop, and yards that stay whole.

use std::fs;

use reinback_analysis::Moment;
use tempfile::TempDir;

use super::*;
use crate::model::{Bout, Film, Horse, Mark, MarkKind, Review, RideHead};
use crate::problem::Severity;
use crate::{Asked, BoutId, Document, FilmId, HorseId, MarkId, ReviewId, WordId};

mod crash;
mod formats;
mod opening;

const HORSE: HorseId = HorseId::from_bits(1);
const RIDE: RideId = RideId::from_bits(0xa1);
const OTHER: RideId = RideId::from_bits(0xa2);
const REVIEW: ReviewId = ReviewId::from_bits(0xf1);

fn open(dir: &Path) -> Opened {
    Store::open(dir).expect("the yard opens")
}

fn save(store: &mut Store, document: &mut Document) {
    let files = document.take_unsaved();
    store.save(document.yard(), &files).expect("saving works");
}

fn horse(name: &str) -> Edit {
    let (name, stage, notes) = (name.to_owned(), String::new(), String::new());
    Edit::Horse(
        HORSE,
        Some(Horse {
            id: HORSE,
            name,
            foaled: Some(2018),
            stage,
            notes,
        }),
    )
}

fn head(date: &str) -> RideHead {
    RideHead {
        horse: HORSE,
        date: date.parse().unwrap(),
        time: None,
        title: "lesson".into(),
        notes: String::new(),
        reviews: vec![Review {
            id: REVIEW,
            reviewer: String::new(),
            blind: false,
        }],
        counting: REVIEW,
        arena: None,
    }
}

fn ride(id: RideId, date: &str) -> Edit {
    let ride = Ride {
        id,
        head: head(date),
        films: Vec::new(),
        bouts: Vec::new(),
        marks: Vec::new(),
        paces: Vec::new(),
        outlines: Vec::new(),
        tempos: Vec::new(),
        test: None,
    };
    Edit::Ride(id, Some(Box::new(ride)))
}

fn bout(ride: RideId, id: u64, from: i64) -> Edit {
    let id = BoutId::from_bits(id);
    let bout = Bout {
        id,
        review: REVIEW,
        exercise: WordId::new("half-pass").unwrap(),
        from: Moment(from),
        to: Some(Moment(from + 5)),
        rein: None,
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (Some('K'), None),
        reviewed: true,
        note: String::new(),
    };
    Edit::Bout(ride, id, Some(bout))
}

fn mark(ride: RideId, id: u64, note: &str) -> Edit {
    let id = MarkId::from_bits(id);
    let kind = MarkKind::Fault(WordId::new("quarters-trailing").unwrap());
    let (at, note) = (Moment(3), note.to_owned());
    Edit::Mark(
        ride,
        id,
        Some(Mark {
            id,
            review: REVIEW,
            at,
            kind,
            bout: None,
            note,
            origin: None,
            press: None,
            place: None,
        }),
    )
}

/// A saved yard with a horse and two rides.
fn stable() -> (TempDir, Yard) {
    let dir = TempDir::new().unwrap();
    let mut opened = Store::create(dir.path(), "Home").unwrap();
    let mut document = Document::new(opened.yard.clone());
    for edit in [
        horse("Astra"),
        ride(RIDE, "2026-03-01"),
        ride(OTHER, "2026-03-02"),
        bout(RIDE, 1, 0),
    ] {
        document.apply("step", edit).unwrap();
    }
    save(&mut opened.store, &mut document);
    (dir, document.yard().clone())
}

fn ride_path(dir: &Path) -> PathBuf {
    dir.join("rides/2026/2026-03-01-astra-00000000000000a1.ron")
}

/// All files below a folder with what they hold, without the lock.
fn snapshot(dir: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut folders = vec![dir.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.ends_with(".lock") {
                files.insert(path.clone(), fs::read(&path).unwrap());
            }
        }
    }
    files
}

#[test]
fn a_new_yard_has_the_default_words() {
    let dir = TempDir::new().unwrap();
    let below = dir.path().join("a/b");
    let made = Store::create(&below, "Home").unwrap();
    assert_eq!(
        (made.yard.name.as_str(), made.access),
        ("Home", Access::Write)
    );
    drop(made);
    assert_eq!(
        open(&below).yard,
        Yard {
            name: "Home".into(),
            ..Yard::default()
        }
    );
}

#[test]
fn a_yard_is_kept() {
    let (dir, yard) = stable();
    let opened = open(dir.path());
    assert_eq!(opened.yard, yard);
    assert_eq!(
        (opened.problems, opened.unsaved),
        (Vec::new(), BTreeSet::new())
    );
    assert_eq!(opened.access, Access::Write);
    assert!(
        ride_path(dir.path()).is_file(),
        "the name tells day, horse and id"
    );
    assert_eq!(
        opened.store.ride_file(RIDE),
        Some(ride_path(dir.path()).as_path())
    );
}

#[cfg(unix)]
#[test]
fn files_can_be_read_by_those_the_folder_is_shared_with() {
    use std::os::unix::fs::PermissionsExt as _;
    let (dir, _) = stable();
    let plain = dir.path().join("plain");
    fs::write(&plain, "").unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(
        mode(&ride_path(dir.path())),
        mode(&plain),
        "as any program would make it"
    );
}

#[test]
fn the_journal_bridges_a_crash() {
    let (dir, mut yard) = stable();
    let before = snapshot(dir.path());
    let mut opened = open(dir.path());
    for edit in [
        mark(RIDE, 1, "late\nbehind"),
        Edit::YardName("Summer yard".into()),
    ] {
        edit.clone().apply(&mut yard).unwrap();
        opened.store.journal(&edit).unwrap();
    }
    drop(opened);
    let mut opened = open(dir.path());
    assert_eq!(opened.yard, yard, "what was marked is back");
    assert_eq!(opened.unsaved, [FileKey::Yard, FileKey::Ride(RIDE)].into());
    assert_eq!(
        opened.problems.len(),
        1,
        "and it is said: {:?}",
        opened.problems
    );

    let journal = dir.path().join("journal.ron");
    opened.store.save(&yard, &[FileKey::Yard].into()).unwrap();
    assert!(journal.exists(), "one file still lacks its mark");
    opened
        .store
        .save(&yard, &[FileKey::Ride(RIDE)].into())
        .unwrap();
    assert!(!journal.exists(), "all that it held is in the files");
    drop(opened);
    let opened = open(dir.path());
    assert_eq!((opened.yard, opened.problems), (yard, Vec::new()));
    let kept: Vec<_> = snapshot(dir.path()).into_keys().collect();
    assert_eq!(
        kept,
        before.into_keys().collect::<Vec<_>>(),
        "no stray files"
    );
}

#[test]
fn a_torn_last_line_is_passed_over() {
    let (dir, yard) = stable();
    let mut opened = open(dir.path());
    opened
        .store
        .journal(&Edit::YardName("whole".into()))
        .unwrap();
    opened
        .store
        .journal(&Edit::YardName("torn".into()))
        .unwrap();
    drop(opened);
    let journal = dir.path().join("journal.ron");
    let text = fs::read(&journal).unwrap();
    fs::write(&journal, &text[..text.len() - 6]).unwrap();
    let mut opened = open(dir.path());
    assert_eq!(opened.yard.name, "whole");
    let torn = opened
        .problems
        .iter()
        .filter(|p| p.message.contains("was being written"))
        .count();
    assert_eq!(torn, 1, "{:?}", opened.problems);
    opened
        .store
        .journal(&Edit::YardName("next".into()))
        .unwrap();
    drop(opened);
    let opened = open(dir.path());
    assert_eq!(
        opened.yard,
        Yard {
            name: "next".into(),
            ..yard
        },
        "the next line is not spoilt"
    );
}

#[test]
fn a_journal_with_damage_is_kept_aside() {
    let (dir, yard) = stable();
    let mut opened = open(dir.path());
    for name in ["one", "two", "three"] {
        opened.store.journal(&Edit::YardName(name.into())).unwrap();
    }
    drop(opened);
    let journal = dir.path().join("journal.ron");
    let text = fs::read_to_string(&journal).unwrap().replace("two", "owt");
    fs::write(&journal, &text).unwrap();
    let mut opened = open(dir.path());
    assert_eq!(opened.yard.name, "three");
    let error = opened
        .problems
        .iter()
        .find(|p| p.severity == Severity::Error)
        .unwrap();
    assert_eq!(error.line, Some(3), "the header is line 1");
    let unsaved = opened.unsaved.clone();
    opened
        .store
        .save(
            &Yard {
                name: "three".into(),
                ..yard
            },
            &unsaved,
        )
        .unwrap();
    assert!(!journal.exists());
    assert_eq!(
        fs::read_to_string(dir.path().join("removed/journal.ron")).unwrap(),
        text
    );
}

#[test]
fn a_removed_ride_is_moved_and_can_come_back() {
    let (dir, yard) = stable();
    let mut opened = open(dir.path());
    let mut document = Document::new(opened.yard.clone());
    document
        .apply("Remove ride", Edit::Ride(RIDE, None))
        .unwrap();
    let text = fs::read(ride_path(dir.path())).unwrap();
    save(&mut opened.store, &mut document);
    assert!(!ride_path(dir.path()).exists());
    let removed = dir
        .path()
        .join("removed/2026-03-01-astra-00000000000000a1.ron");
    assert_eq!(fs::read(&removed).unwrap(), text, "nothing is ever lost");
    document.undo().unwrap();
    save(&mut opened.store, &mut document);
    document.redo().unwrap();
    save(&mut opened.store, &mut document);
    assert!(
        removed
            .with_file_name("2026-03-01-astra-00000000000000a1-2.ron")
            .exists()
    );
    document.undo().unwrap();
    save(&mut opened.store, &mut document);
    drop(opened);
    assert_eq!(open(dir.path()).yard, yard);
}

#[test]
fn a_file_follows_its_day_but_not_its_horse() {
    let (dir, _) = stable();
    let mut opened = open(dir.path());
    let mut document = Document::new(opened.yard.clone());
    document.apply("Rename", horse("Bora")).unwrap();
    document
        .apply("Title", Edit::RideHead(RIDE, Box::new(head("2026-03-01"))))
        .unwrap();
    document.mark_unsaved([FileKey::Ride(RIDE)]);
    save(&mut opened.store, &mut document);
    assert!(
        ride_path(dir.path()).exists(),
        "the horse in a name is only for people"
    );
    document
        .apply("Date", Edit::RideHead(RIDE, Box::new(head("2025-12-31"))))
        .unwrap();
    save(&mut opened.store, &mut document);
    assert!(!ride_path(dir.path()).exists());
    let moved = dir
        .path()
        .join("rides/2025/2025-12-31-bora-00000000000000a1.ron");
    assert_eq!(opened.store.ride_file(RIDE), Some(moved.as_path()));
    drop(opened);
    let opened = open(dir.path());
    assert_eq!(
        (&opened.yard, opened.problems),
        (document.yard(), Vec::new())
    );
}

#[test]
fn film_paths_are_relative_below_the_yard() {
    let (dir, _) = stable();
    let store = open(dir.path()).store;
    let film = |path: &str| Film {
        id: FilmId::from_bits(1),
        path: path.into(),
        fingerprint: None,
        offset: Moment(0),
        drift_ppb: 0,
        duration_nanos: None,
        tilt: None,
    };
    let below = dir.path().join("films").join("a b.mp4");
    assert_eq!(store.film_path_text(&below), "films/a b.mp4");
    assert_eq!(store.film_path(&film("films/a b.mp4")), below);
    let elsewhere = std::env::temp_dir().join("reinback-elsewhere.mp4");
    let text = store.film_path_text(&elsewhere);
    assert_eq!(store.film_path(&film(&text)), elsewhere);
    let beside = dir.path().with_extension("more").join("a.mp4");
    assert_eq!(
        store.film_path(&film(&store.film_path_text(&beside))),
        beside,
        "no half names"
    );
    let crooked = dir.path().join("..").join("a.mp4");
    assert!(
        Path::new(&store.film_path_text(&crooked)).is_absolute(),
        "not below the yard"
    );
}

#[test]
fn a_name_becomes_a_file_name() {
    let (dir, _) = stable();
    let mut opened = open(dir.path());
    for (name, slug) in [
        ("Weltmeyer II", "weltmeyer-ii"),
        ("  ../..\\ C:evil?* ", "c-evil"),
        ("Ödipus", "dipus"),
        ("馬", "horse"),
    ] {
        let mut yard = opened.yard.clone();
        horse(name).apply(&mut yard).unwrap();
        Edit::Ride(RIDE, None).apply(&mut yard).unwrap();
        opened
            .store
            .save(&yard, &[FileKey::Yard, FileKey::Ride(RIDE)].into())
            .unwrap();
        ride(RIDE, "2026-03-01").apply(&mut yard).unwrap();
        opened
            .store
            .save(&yard, &[FileKey::Ride(RIDE)].into())
            .unwrap();
        let path = dir
            .path()
            .join(format!("rides/2026/2026-03-01-{slug}-{RIDE}.ron"));
        assert!(path.exists(), "{name:?} as {slug:?}");
    }
}
