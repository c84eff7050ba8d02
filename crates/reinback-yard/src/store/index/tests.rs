//! A yard read through its index is the yard in its files, whatever befell either.

use std::collections::BTreeSet;
use std::time::{Duration, SystemTime};

use proptest::prelude::*;
use proptest::sample;
use proptest::strategy::ValueTree as _;
use tempfile::TempDir;

use super::super::reading::{Reading, Rules};
use super::super::scan::Scanned;
use super::*;
use crate::problem::Problem;
use crate::{Document, Edit, Store, Yard, arbitrary};

/// All files have long been left alone, and every one is worth an index.
#[expect(clippy::disallowed_methods, reason = "an hour from now")]
const LATER: Rules = Rules {
    now: || SystemTime::now() + Duration::from_hours(1),
    worth_writing: 1,
};

/// A yard's folder with an index beside it.
struct Place {
    _keep: TempDir,
    yard: PathBuf,
    index: PathBuf,
}

impl Place {
    fn new() -> Self {
        let keep = TempDir::new().unwrap();
        let yard = keep.path().join("yard");
        let index = index_file(keep.path(), &yard);
        Self {
            yard,
            index,
            _keep: keep,
        }
    }

    fn read(&self, index: bool, rules: Rules) -> (Scanned, Vec<Problem>) {
        let mut problems = Vec::new();
        let mut reading = Reading {
            dir: &self.yard,
            index: index.then_some(self.index.as_path()),
            journaled: BTreeSet::new(),
            rules,
            tell: &mut |_| ControlFlow::Continue(()),
        };
        let scanned = reading.rides(&Yard::default(), &mut problems).unwrap();
        (scanned, problems)
    }

    /// What is read through the index must be what is read without; how many files were read.
    fn check(&self) -> usize {
        let (plain, its_problems) = self.read(false, LATER);
        let (through, problems) = self.read(true, LATER);
        assert_eq!(through.rides, plain.rides);
        assert_eq!(through.files, plain.files);
        assert_eq!(through.newer, plain.newer);
        assert_eq!(problems, its_problems);
        through.draft.map_or(0, |draft| draft.read_again())
    }

    /// Reads the yard and writes its index, if there is anything new for it.
    fn write_index(&self) {
        if let Some(draft) = self.read(true, LATER).0.draft {
            draft.write(&mut |_| ControlFlow::Continue(())).unwrap();
        }
    }

    fn ride_files(&self) -> Vec<PathBuf> {
        self.read(false, LATER).0.files.into_values().collect()
    }
}

/// A folder with these edits made and saved.
fn filled(edits: Vec<Edit>) -> (Place, Store, Document) {
    let place = Place::new();
    let opened = Store::create(&place.yard, "Home").unwrap();
    let (mut store, mut document) = (opened.store, Document::new(opened.yard));
    change(&mut store, &mut document, edits);
    (place, store, document)
}

fn change(store: &mut Store, document: &mut Document, edits: Vec<Edit>) {
    for edit in edits {
        // Those the model forbids change nothing.
        let _refused = document.apply("", edit);
    }
    let files = document.take_unsaved();
    store.save(document.yard(), &files).unwrap();
}

/// Two rides of a horse.
fn two_rides() -> Place {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let edits = arbitrary::edits().prop_map(|mut edits| {
        edits.truncate(4);
        edits
    });
    let edits = edits.new_tree(&mut runner).unwrap().current();
    let place = filled(edits).0;
    assert_eq!(place.ride_files().len(), 2);
    place
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn through_the_index_comes_what_is_in_the_files(
        first in arbitrary::edits(),
        then in proptest::collection::vec(arbitrary::edit(), 0..12),
        copied in any::<bool>(),
        spoilt in any::<bool>(),
    ) {
        let (place, mut store, mut document) = filled(first);
        place.write_index();
        prop_assert_eq!(place.check(), 0, "nothing has changed since");
        change(&mut store, &mut document, then);
        place.check();
        let file = place.ride_files().pop();
        if let Some(file) = file.filter(|_| copied) {
            fs::copy(&file, file.with_extension("copy.ron")).unwrap();
            if spoilt {
                fs::write(&file, "(format: 1, torn").unwrap();
            }
        }
        place.check();
        place.write_index();
        place.check();
    }

    #[test]
    fn damage_is_never_believed(
        edits in arbitrary::edits(),
        flips in proptest::collection::vec((any::<sample::Index>(), 1_u8..), 0..3),
        end in proptest::option::of(any::<sample::Index>()),
    ) {
        let (place, _, _) = filled(edits);
        place.write_index();
        if place.index.exists() {
            let mut bytes = fs::read(&place.index).unwrap();
            for (at, flip) in flips {
                let at = at.index(bytes.len());
                bytes[at] ^= flip;
            }
            if let Some(end) = end {
                bytes.truncate(end.index(bytes.len()));
            }
            fs::write(&place.index, bytes).unwrap();
        }
        place.check();
        place.write_index();
        prop_assert_eq!(place.check(), 0, "it is made anew");
    }
}

#[test]
fn what_was_written_a_moment_ago_is_read_again() {
    let place = two_rides();
    let rules = Rules {
        worth_writing: 0,
        ..Rules::default()
    };
    let draft = place.read(true, rules).0.draft.unwrap();
    assert_eq!(
        draft.rides.len(),
        0,
        "another change in the same tick of the clock could not be seen"
    );
}

#[test]
fn a_file_changed_in_its_place_is_read_again() {
    let place = two_rides();
    place.write_index();
    let file = place.ride_files().remove(0);
    let text = fs::read_to_string(&file).unwrap();
    let other = text.replacen("horse: \"0", "horse: \"f", 1);
    assert_ne!(text, other);
    // The clock must tick between the two.
    let before = fs::metadata(&file).unwrap().modified().unwrap();
    while fs::metadata(&file).unwrap().modified().unwrap() == before {
        fs::write(&file, &other).unwrap();
    }
    File::options()
        .write(true)
        .open(&file)
        .unwrap()
        .set_modified(before)
        .unwrap();
    // Same size, same date: on Unix the system still tells.
    assert_eq!(place.check(), usize::from(cfg!(unix)));
}

#[test]
fn the_index_of_another_yard_is_not_read() {
    let (place, other) = (two_rides(), two_rides());
    other.write_index();
    fs::copy(&other.index, &place.index).unwrap();
    assert_eq!(place.check(), 2);
}

#[test]
fn few_files_make_no_index() {
    let place = two_rides();
    let rules = Rules {
        worth_writing: 3,
        ..LATER
    };
    assert!(place.read(true, rules).0.draft.is_none());
}

#[test]
fn writing_can_be_stopped_and_the_old_one_stays() {
    let place = two_rides();
    place.write_index();
    let before = fs::read(&place.index).unwrap();
    let rules = Rules {
        worth_writing: 0,
        ..LATER
    };
    let draft = place.read(true, rules).0.draft.unwrap();
    draft.write(&mut |_| ControlFlow::Break(())).unwrap();
    assert_eq!(fs::read(&place.index).unwrap(), before);
    let beside = fs::read_dir(place.index.parent().unwrap()).unwrap();
    assert_eq!(beside.count(), 2, "the yard and its index, and no rest");
}

#[test]
fn a_file_of_a_newer_format_is_never_in_the_index() {
    let place = two_rides();
    let file = place.ride_files().remove(0);
    let text = fs::read_to_string(&file).unwrap();
    let (_, rest) = text.split_once(',').unwrap();
    fs::write(&file, format!("(format: {},{rest}", FORMAT + 5)).unwrap();
    place.write_index();
    let (through, problems) = place.read(true, LATER);
    assert!(through.newer, "so that the yard is not written to");
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(through.rides.len(), 2);
    place.check();
    let all = Rules {
        worth_writing: 0,
        ..LATER
    };
    let draft = place.read(true, all).0.draft.unwrap();
    assert_eq!(draft.rides.len(), 1, "the other ride alone");
}

#[test]
fn another_version_of_anything_is_not_believed() {
    let place = two_rides();
    let file = place.ride_files().remove(0);
    let name = name_in(&place.yard, &file).unwrap();
    let stamp = Stamp::of(&fs::metadata(&file).unwrap()).unwrap();
    let (scanned, _) = place.read(false, LATER);
    let id = *scanned
        .files
        .iter()
        .find(|(_, path)| **path == file)
        .unwrap()
        .0;
    let ride = packed::pack(&scanned.rides[&id]);
    let row = |out: &mut BytesOut| {
        out.text(name);
        stamp.pack(out);
        out.number(ride.len() as u64);
        out.raw(&checksum(&ride));
    };
    forged(&place, &ride, row);
    assert_eq!(place.check(), 1, "one of the two is believed as it is");
    for other in 0..5 {
        forged_by(&place, &ride, row, other);
        assert_eq!(
            place.check(),
            2,
            "entry {other} of the table's head is another"
        );
    }
}

/// An index whose checksums are right, whatever it holds.
fn forged(place: &Place, ride: &[u8], rows: impl Fn(&mut BytesOut)) {
    forged_by(place, ride, rows, usize::MAX);
}

/// The same; one entry of the table's head is not as it should be.
fn forged_by(place: &Place, ride: &[u8], rows: impl Fn(&mut BytesOut), other: usize) {
    let mut table = BytesOut::default();
    let number = |at: usize, number: u64| number + u64::from(at == other);
    let text = |at: usize, text: &str| {
        if at == other {
            "other".to_owned()
        } else {
            text.to_owned()
        }
    };
    table.number(number(0, VERSION));
    table.number(number(1, packed::VERSION));
    table.number(number(2, FORMAT.into()));
    table.text(&text(3, PROGRAM));
    table.text(&text(4, &super::place(&place.yard)));
    rows(&mut table);
    let table = table.into_bytes();
    let sum = blake3::hash(&table);
    let length = (table.len() as u64).to_le_bytes();
    let bytes = [MAGIC, ride, &table, sum.as_bytes(), &length].concat();
    fs::write(&place.index, bytes).unwrap();
}

#[test]
fn what_was_forged_is_not_believed_beyond_the_rules_of_the_model() {
    let place = two_rides();
    let file = place.ride_files().remove(0);
    let name = name_in(&place.yard, &file).unwrap();
    let stamp = Stamp::of(&fs::metadata(&file).unwrap()).unwrap();
    let row = |out: &mut BytesOut, length: u64, bytes: &[u8]| {
        out.text(name);
        stamp.pack(out);
        out.number(length);
        out.raw(&checksum(bytes));
    };
    let mut ride = Ride::clone(place.read(false, LATER).0.rides.values().next().unwrap());
    ride.head.counting = 77.into();
    let flawed = packed::pack(&ride);
    forged(&place, &flawed, |out| {
        row(out, flawed.len() as u64, &flawed);
    });
    assert_eq!(
        place.check(),
        2,
        "its counting review is none of its reviews"
    );
    for length in [u64::MAX, u64::MAX / 2, 1 << 40, 3] {
        forged(&place, b"abc", |out| row(out, length, b"abc"));
        assert_eq!(place.check(), 2, "{length} bytes that are no ride");
    }
    forged(&place, b"", |out| {
        row(out, 0, b"");
        row(out, 0, b"");
    });
    assert_eq!(place.check(), 2, "the same file twice");
    fs::write(&place.index, vec![0; 4_000_000]).unwrap();
    assert_eq!(place.check(), 2, "larger than any index of these files");
}
