//! Every step at which a disk can fail or the power go.

use proptest::prelude::*;

use super::super::faulty::{Fault, FaultyDisk};
use super::*;
use crate::arbitrary;

/// A ride that begins during the evening.
const NEW: RideId = RideId::from_bits(0xa3);

/// A rider's evening: each line is journaled, and at times files are written.
enum Act {
    Edit(Edit),
    Save,
}

fn evening() -> Vec<Act> {
    let long_note = "the left one drifts ".repeat(20);
    [
        Act::Edit(mark(RIDE, 1, "first")),
        Act::Edit(Edit::YardName("Summer yard".into())),
        Act::Save,
        Act::Edit(Edit::Batch(vec![
            bout(RIDE, 2, 20),
            mark(OTHER, 2, &long_note),
        ])),
        Act::Edit(Edit::RideHead(RIDE, Box::new(head("2026-02-28")))),
        Act::Edit(ride(NEW, "2026-03-03")),
        Act::Save,
        Act::Edit(Edit::Ride(OTHER, None)),
        Act::Save,
        Act::Edit(mark(RIDE, 1, "changed")),
    ]
    .into()
}

/// What came of an evening.
struct Outcome {
    /// The yard in the window.
    yard: Yard,
    /// The yard after the last change that was said to be safe.
    safe: Yard,
    unsaved: BTreeSet<FileKey>,
    store: Store,
}

/// Plays an evening on a disk that fails after some steps. A rider whose power is gone stops;
/// one whose disk is full goes on.
fn play(dir: &Path, disk: &FaultyDisk, steps: usize) -> Outcome {
    let go_on = &mut |_| ControlFlow::Continue(());
    let opened = Store::open_on(Box::new(disk.clone()), dir, None, go_on).unwrap();
    let (mut store, mut document) = (opened.store, Document::new(opened.yard));
    let mut safe = document.yard().clone();
    disk.break_after(steps);
    for act in evening() {
        let done = match act {
            Act::Edit(edit) => {
                document.apply("step", edit.clone()).unwrap();
                store.journal(&edit)
            }
            Act::Save => {
                let files = document.take_unsaved();
                let saved = store.save(document.yard(), &files);
                if saved.is_err() {
                    document.mark_unsaved(files);
                }
                saved
            }
        };
        match done {
            Ok(()) => safe = document.yard().clone(),
            Err(_) if disk.killed() => break,
            Err(error) => assert!(matches!(error, StoreError::DiskFull { .. }), "{error:?}"),
        }
    }
    let unsaved = document.take_unsaved();
    Outcome {
        yard: document.yard().clone(),
        safe,
        unsaved,
        store,
    }
}

#[test]
fn a_power_cut_loses_nothing_at_any_step() {
    for steps in 0.. {
        let (dir, _) = stable();
        let disk = FaultyDisk::new(Fault::Killed);
        let outcome = play(dir.path(), &disk, steps);
        drop(outcome.store);
        let opened = open(dir.path());
        // The change during which it happened may be there or not.
        assert!(
            opened.yard == outcome.safe || opened.yard == outcome.yard,
            "after {steps} steps: {:?}",
            opened.problems
        );
        let bad = opened.problems.iter().find(|p| p.severity > Severity::Note);
        assert_eq!(bad, None, "after {steps} steps every file is whole");
        if !disk.is_broken() {
            assert!(steps > 30, "an evening has more than {steps} steps");
            break;
        }
    }
}

#[test]
fn a_full_disk_loses_nothing_at_any_step() {
    for steps in 0.. {
        let (dir, _) = stable();
        let disk = FaultyDisk::new(Fault::FullOnce);
        let mut outcome = play(dir.path(), &disk, steps);
        let broken = disk.is_broken();
        disk.mend();
        // There is room again, and the window tries once more.
        let files = if outcome.unsaved.is_empty() {
            [FileKey::Yard].into()
        } else {
            outcome.unsaved
        };
        outcome.store.save(&outcome.yard, &files).unwrap();
        drop(outcome.store);
        let opened = open(dir.path());
        assert_eq!(opened.yard, outcome.yard, "after {steps} steps");
        let copies = opened
            .problems
            .iter()
            .find(|p| p.message.contains("second copy"));
        assert_eq!(copies, None, "after {steps} steps each ride has one file");
        if !broken {
            break;
        }
    }
}

/// The disk fills up and stays full until the window is closed: what was safe before is there,
/// and whatever differs from it is what the rider did since.
#[test]
fn what_was_safe_before_a_full_disk_stays() {
    for steps in 0.. {
        let (dir, _) = stable();
        let disk = FaultyDisk::new(Fault::Full);
        let outcome = play(dir.path(), &disk, steps);
        drop(outcome.store);
        let opened = open(dir.path());
        let bad = opened
            .problems
            .iter()
            .find(|p| p.severity == Severity::Error);
        assert_eq!(bad, None, "after {steps} steps every file is whole");
        let (safe, now) = (&outcome.safe, &outcome.yard);
        for id in [RIDE, OTHER, NEW] {
            let found = opened.yard.ride(id);
            let known = found == safe.ride(id) || found == now.ride(id);
            assert!(known, "after {steps} steps: {found:?}");
        }
        let name = &opened.yard.name;
        assert!(
            *name == safe.name || *name == now.name,
            "after {steps} steps: {name}"
        );
        if !disk.is_broken() {
            break;
        }
    }
}

/// A change the journal could not take, saved with its file, is not undone by an older change
/// of the same thing that the journal still holds for the sake of another file.
#[test]
fn an_old_line_does_not_undo_a_saved_change() {
    let (dir, mut yard) = stable();
    let mut opened = open(dir.path());
    let old = mark(RIDE, 1, "old");
    for edit in [old.clone(), Edit::YardName("not saved yet".into())] {
        edit.clone().apply(&mut yard).unwrap();
        opened.store.journal(&edit).unwrap();
    }
    mark(RIDE, 1, "never journaled").apply(&mut yard).unwrap();
    opened
        .store
        .save(&yard, &[FileKey::Ride(RIDE)].into())
        .unwrap();
    drop(opened);
    let opened = open(dir.path());
    assert_eq!(opened.yard, yard);
    assert_eq!(opened.unsaved, [FileKey::Yard].into());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whenever each file was last written, the journal leads from there to the end.
    #[test]
    fn replay_leads_to_the_end(
        edits in arbitrary::edits(),
        written in proptest::collection::vec(any::<prop::sample::Index>(), 4),
    ) {
        let (edits, yards) = arbitrary::history(edits);
        let end = &yards[edits.len()];
        let mut text = journal::header(file::FORMAT);
        for edit in &edits {
            text += &journal::line(&file::write_change(edit).expect("a line").text);
        }
        // Each file as it was at a time of its own.
        let at = |file: usize| &yards[written[file].index(yards.len())];
        let mut yard = Yard { rides: BTreeMap::new(), ..at(0).clone() };
        for (file, bits) in (1..4).zip(1_u64..) {
            let id = RideId::from_bits(bits);
            if let Some(ride) = at(file).rides.get(&id) {
                yard.rides.insert(id, ride.clone());
            }
        }
        journal::replay(journal::read(text.as_bytes()), &mut yard);
        prop_assert_eq!(&yard, end);
    }

    /// A yard saved and opened is the same yard, whatever is in it.
    #[test]
    fn any_yard_is_kept(yard in arbitrary::yard()) {
        let dir = TempDir::new().unwrap();
        fs::write(dir.path().join("yard.ron"), "(format: 1, words: ())").unwrap();
        let mut store = open(dir.path()).store;
        let files = yard.rides.keys().map(|id| FileKey::Ride(*id)).chain([FileKey::Yard]);
        store.save(&yard, &files.collect()).unwrap();
        drop(store);
        let opened = open(dir.path());
        prop_assert_eq!(opened.yard, yard);
        prop_assert_eq!(opened.problems, Vec::new());
    }

    /// A journal cut off or spoilt anywhere never panics and never stops the yard from opening.
    #[test]
    fn a_spoilt_journal_never_panics(
        edits in arbitrary::edits(),
        cut in any::<prop::sample::Index>(),
        spoil in any::<(prop::sample::Index, u8)>(),
    ) {
        let mut bytes = journal::header(file::FORMAT).into_bytes();
        for edit in &edits {
            bytes.extend(journal::line(&file::write_change(edit).expect("a line").text).into_bytes());
        }
        let at = spoil.0.index(bytes.len());
        bytes[at] = spoil.1;
        bytes.truncate(cut.index(bytes.len()));
        let mut yard = arbitrary::empty();
        journal::replay(journal::read(&bytes), &mut yard);
    }
}
