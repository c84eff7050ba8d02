//! Folders that are not as they should be.

use super::super::faulty::{Fault, FaultyDisk};
use super::*;

fn go_on(_: News) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

#[test]
fn what_is_no_yard_is_told() {
    let dir = TempDir::new().unwrap();
    let path = dir.path().to_owned();
    assert_eq!(
        Store::open(&path).unwrap_err(),
        StoreError::NotAYard { path: path.clone() }
    );
    let missing = path.join("missing");
    assert_eq!(
        Store::open(&missing).unwrap_err(),
        StoreError::NotFound { path: missing }
    );
    Store::create(&path, "Home").unwrap();
    assert_eq!(
        Store::create(&path, "Again").unwrap_err(),
        StoreError::AlreadyAYard { path }
    );
}

#[test]
fn the_second_window_only_looks() {
    let (dir, yard) = stable();
    let first = open(dir.path());
    let mut second = open(dir.path());
    assert_eq!(second.access, Access::ReadOnly(Why::Locked));
    assert_eq!(second.yard, yard);
    let locked = Err(StoreError::Locked {
        path: dir.path().to_owned(),
    });
    assert_eq!(second.store.save(&yard, &[FileKey::Yard].into()), locked);
    assert_eq!(second.store.journal(&horse("Bora")), locked);
    drop(first);
    assert_eq!(
        open(dir.path()).access,
        Access::Write,
        "the lock goes with its window"
    );
}

#[test]
fn a_folder_that_may_not_be_written_to_opens_for_looking() {
    let (dir, yard) = stable();
    let disk = FaultyDisk::new(Fault::Refused);
    disk.break_after(0);
    let mut opened = Store::open_on(Box::new(disk), dir.path(), None, &mut go_on).unwrap();
    assert_eq!(opened.access, Access::ReadOnly(Why::NoPermission));
    assert_eq!(opened.yard, yard);
    let error = opened.store.journal(&horse("Bora")).unwrap_err();
    assert!(
        matches!(
            error,
            StoreError::ReadOnly {
                why: Why::NoPermission,
                ..
            }
        ),
        "{error}"
    );
}

#[test]
fn opening_can_be_watched_and_stopped() {
    let (dir, _) = stable();
    let mut seen = Vec::new();
    Store::open_with(dir.path(), None, &mut |news| {
        match news {
            News::Listed(listed) => seen.push((listed.files.len(), 0)),
            News::Rides { rides, progress } => seen.push((progress.done, rides.len())),
        }
        ControlFlow::Continue(())
    })
    .unwrap();
    assert_eq!(seen, [(2, 0), (0, 0), (2, 2)]);
    let stopped = Store::open_with(dir.path(), None, &mut |_| ControlFlow::Break(()));
    assert_eq!(
        stopped.unwrap_err(),
        StoreError::Cancelled {
            path: dir.path().to_owned()
        }
    );
}

#[test]
fn a_ride_that_cannot_be_read_is_left_alone() {
    let (dir, yard) = stable();
    let path = ride_path(dir.path());
    fs::write(&path, "(format: 1,\n  id: \"xyz\",\n").unwrap();
    let spoilt = fs::read(&path).unwrap();
    let mut opened = open(dir.path());
    assert_eq!(
        opened.yard.rides.keys().copied().collect::<Vec<_>>(),
        [OTHER]
    );
    let [problem] = &opened.problems[..] else {
        panic!("{:?}", opened.problems)
    };
    assert_eq!(
        (problem.file.as_path(), problem.line),
        (path.as_path(), Some(2))
    );
    assert_eq!(problem.severity, Severity::Error);

    // Neither saving the ride nor removing it may touch what could not be read.
    opened
        .store
        .save(&yard, &[FileKey::Ride(RIDE)].into())
        .unwrap();
    assert_eq!(fs::read(&path).unwrap(), spoilt);
    drop(opened);
    let mut opened = open(dir.path());
    assert_eq!(
        opened.yard, yard,
        "the ride saved meanwhile has a file of its own"
    );
    Edit::Ride(RIDE, None).apply(&mut opened.yard).unwrap();
    opened
        .store
        .save(&opened.yard, &[FileKey::Ride(RIDE)].into())
        .unwrap();
    assert_eq!(fs::read(&path).unwrap(), spoilt);
}

#[test]
fn marks_on_a_ride_that_cannot_be_read_are_kept() {
    let (dir, _) = stable();
    let mut opened = open(dir.path());
    opened.store.journal(&mark(RIDE, 1, "precious")).unwrap();
    drop(opened);
    fs::write(ride_path(dir.path()), "spoilt").unwrap();
    let mut opened = open(dir.path());
    assert_eq!(
        opened
            .problems
            .iter()
            .filter(|p| p.message.contains("made again"))
            .count(),
        1
    );
    opened
        .store
        .save(&opened.yard, &[FileKey::Yard].into())
        .unwrap();
    let kept = fs::read_to_string(dir.path().join("removed/journal.ron")).unwrap();
    assert!(kept.contains("precious"), "{kept}");
}

#[test]
fn a_spoilt_yard_file_is_told_with_its_place() {
    let (dir, _) = stable();
    fs::write(
        dir.path().join("yard.ron"),
        "(\n  format: 1,\n  naem: \"Home\",\n)",
    )
    .unwrap();
    let error = Store::open(dir.path()).unwrap_err();
    let StoreError::Damaged { line, message, .. } = &error else {
        panic!("{error:?}")
    };
    assert_eq!(
        (*line, message.as_str()),
        (Some(3), "“naem” is not an entry of a yard")
    );
    assert!(
        error
            .to_string()
            .contains("yard.ron” cannot be read (line 3, column"),
        "{error}"
    );
    assert!(!error.next_step().is_empty());
}

#[test]
fn files_without_end_are_not_read() {
    let (dir, _) = stable();
    let file = fs::OpenOptions::new()
        .write(true)
        .open(ride_path(dir.path()))
        .unwrap();
    file.set_len(MAX_FILE_BYTES + 1).unwrap();
    let opened = open(dir.path());
    assert!(
        opened.problems[0].message.contains("larger than 64 MiB"),
        "{:?}",
        opened.problems
    );
}

/// A later version's file is never written over, whether or not it can be read.
#[test]
fn a_newer_format_makes_the_yard_read_only() {
    let newer = |text: String, now: &str| {
        let said = text.find("format: ").unwrap();
        format!(
            "{}{now}{}",
            &text[..said],
            &text[said + "format: 1".len()..]
        )
    };
    let strange = |text: String| newer(text, "format: 9,\n  weather: Sunny");
    let plain = |text: String| newer(text, "format: 9");
    let check = |name: &str, change: &dyn Fn(String) -> String, rides: usize| {
        let (dir, yard) = stable();
        let path = dir.path().join(name);
        fs::write(&path, change(fs::read_to_string(&path).unwrap())).unwrap();
        let before = snapshot(dir.path());
        let mut opened = open(dir.path());
        assert_eq!(opened.access, Access::ReadOnly(Why::NewerFormat), "{name}");
        assert_eq!(opened.yard.rides.len(), rides, "{name}");
        assert!(
            opened
                .problems
                .iter()
                .any(|p| p.message.contains("newer Reinback"))
        );
        let all = [FileKey::Yard, FileKey::Ride(RIDE)].into();
        assert!(opened.store.save(&yard, &all).is_err(), "{name}");
        assert!(opened.store.journal(&horse("Bora")).is_err(), "{name}");
        assert_eq!(snapshot(dir.path()), before, "{name}");
    };
    let ride = format!("rides/2026/2026-03-01-astra-{RIDE}.ron");
    check(&ride, &plain, 2);
    check(&ride, &strange, 1);
    check("yard.ron", &plain, 2);

    let (dir, _) = stable();
    let path = dir.path().join("yard.ron");
    fs::write(&path, strange(fs::read_to_string(&path).unwrap())).unwrap();
    assert_eq!(
        Store::open(dir.path()).unwrap_err(),
        StoreError::Newer { path, format: 9 }
    );
    let (dir, _) = stable();
    fs::write(dir.path().join("journal.ron"), "(format: 9)\nwhatever\n").unwrap();
    assert_eq!(open(dir.path()).access, Access::ReadOnly(Why::NewerFormat));
}

/// Names as sync tools give them to the copy that lost.
#[test]
fn a_conflict_copy_is_named_and_left() {
    for name in [
        "2026-03-01-astra-00000000000000a1 (conflicted copy).ron",
        "0-copy.ron",
    ] {
        let (dir, mut yard) = stable();
        let copy = ride_path(dir.path()).with_file_name(name);
        let text = fs::read_to_string(ride_path(dir.path())).unwrap();
        fs::write(&copy, text.replace("lesson", "another")).unwrap();
        let held = fs::read(&copy).unwrap();
        let mut opened = open(dir.path());
        assert_eq!(opened.yard, yard, "the ride's own name wins");
        let [problem] = &opened.problems[..] else {
            panic!("{:?}", opened.problems)
        };
        assert_eq!(
            (&problem.file, problem.severity),
            (&copy, Severity::Warning)
        );
        assert!(
            problem
                .message
                .contains(&*ride_path(dir.path()).to_string_lossy())
        );
        mark(RIDE, 1, "new").apply(&mut yard).unwrap();
        opened
            .store
            .save(&yard, &[FileKey::Ride(RIDE)].into())
            .unwrap();
        assert_eq!(fs::read(&copy).unwrap(), held, "the copy is not touched");
    }
}

#[test]
fn a_copy_stands_in_for_a_spoilt_ride() {
    let (dir, yard) = stable();
    let copy = ride_path(dir.path()).with_file_name("copy.ron");
    fs::rename(ride_path(dir.path()), copy).unwrap();
    fs::write(ride_path(dir.path()), "spoilt").unwrap();
    let opened = open(dir.path());
    assert_eq!(opened.yard, yard);
    assert_eq!(opened.problems.len(), 1);
}

#[test]
fn a_ride_of_an_unknown_horse_opens() {
    let (dir, yard) = stable();
    fs::write(dir.path().join("yard.ron"), "(format: 1)").unwrap();
    let opened = open(dir.path());
    assert_eq!(opened.yard.rides, yard.rides);
    assert_eq!(opened.problems.len(), 2, "{:?}", opened.problems);
    assert!(opened.problems[0].message.contains("not in yard.ron"));
}

#[test]
fn strange_things_in_the_folder_are_no_harm() {
    let (dir, yard) = stable();
    let year = dir.path().join("rides/2026");
    fs::write(year.join("notes.txt"), "(").unwrap();
    fs::write(year.join(".hidden.ron"), "(").unwrap();
    fs::create_dir(year.join("folder.ron")).unwrap();
    let leftovers = [
        year.join(".reinback-x.tmp"),
        dir.path().join(".reinback-y.tmp"),
    ];
    for leftover in &leftovers {
        fs::write(leftover, "half a fi").unwrap();
    }
    let opened = open(dir.path());
    assert_eq!((opened.yard, opened.problems), (yard, Vec::new()));
    assert!(
        leftovers.iter().all(|leftover| !leftover.exists()),
        "swept up"
    );
    assert!(year.join("notes.txt").exists());
}

/// `/dev/full` fails every write for want of room; see full(4) of the Linux manual.
#[cfg(target_os = "linux")]
#[test]
fn a_really_full_disk_is_told() {
    let (dir, _) = stable();
    let mut opened = open(dir.path());
    std::os::unix::fs::symlink("/dev/full", dir.path().join("journal.ron")).unwrap();
    let error = opened.store.journal(&horse("Bora")).unwrap_err();
    assert!(matches!(error, StoreError::DiskFull { .. }), "{error:?}");
    assert!(error.to_string().contains("The disk is full"), "{error}");
    assert!(error.next_step().contains("Make room"));
}
