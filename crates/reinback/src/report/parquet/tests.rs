//! The files, read back.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::sync::Arc;

use arrow_array::{Array as _, BooleanArray, Int32Array, Int64Array, RecordBatch, StringArray};
use parquet::arrow::arrow_reader::ParquetRecordBatchReaderBuilder;
use parquet::basic::Encoding;
use reinback_analysis::Tally;
use reinback_yard::{
    Arena, ArenaPlace, BoutId, IdMaker, MarkId, Moment, Rein, Review, ReviewId, Score,
};
use tempfile::TempDir;

use super::column::Columns;
use super::*;
use crate::report::sample;

/// Files in a folder of their own.
struct Files {
    folder: TempDir,
}

impl Files {
    fn new() -> Self {
        let folder = TempDir::new().expect("a folder");
        Self { folder }
    }

    fn of(yard: &Yard, naming: Naming) -> Self {
        let files = Self::new();
        files.write(yard, &export(naming)).expect("written");
        files
    }

    fn write(&self, yard: &Yard, export: &Export<'_>) -> Result<Vec<Written>, String> {
        let home = self.folder.path().join("yard");
        write(yard, &home, &self.target(), export)
    }

    fn target(&self) -> PathBuf {
        self.folder.path().join("into")
    }

    fn open(&self, table: &str) -> ParquetRecordBatchReaderBuilder<File> {
        let path = self.target().join(format!("{table}.parquet"));
        let file = File::open(path).expect("the file");
        ParquetRecordBatchReaderBuilder::try_new(file).expect("a Parquet file")
    }

    /// All rows of a table.
    fn read(&self, table: &str) -> Rows {
        let reader = self.open(table).build().expect("readable");
        Rows(reader.map(|batch| batch.expect("rows")).collect())
    }

    fn about(&self, table: &str) -> BTreeMap<String, String> {
        let open = self.open(table);
        let metadata = open.metadata().file_metadata().key_value_metadata();
        let entries = metadata.into_iter().flatten();
        let entry = |entry: &KeyValue| Some((entry.key.clone(), entry.value.clone()?));
        entries.filter_map(entry).collect()
    }
}

fn export<'a>(naming: Naming) -> Export<'a> {
    Export {
        horses: None,
        days: Days::default(),
        against: None,
        today: sample::day(9),
        naming,
        unreadable_files: 0,
    }
}

struct Rows(Vec<RecordBatch>);

impl Rows {
    fn len(&self) -> usize {
        self.0.iter().map(RecordBatch::num_rows).sum()
    }

    fn cells<A: 'static, T>(
        &self,
        name: &str,
        of: impl Fn(&A, usize) -> Option<T>,
    ) -> Vec<Option<T>> {
        let column = |batch: &RecordBatch| {
            let column = batch.column_by_name(name).expect(name).clone();
            let cells = column.as_any().downcast_ref::<A>().expect(name);
            let cell = |row| (!column.is_null(row)).then(|| of(cells, row)).flatten();
            (0..batch.num_rows()).map(cell).collect::<Vec<_>>()
        };
        self.0.iter().flat_map(column).collect()
    }

    fn text(&self, name: &str) -> Vec<Option<String>> {
        self.cells(name, |cells: &StringArray, row| {
            Some(cells.value(row).to_owned())
        })
    }

    fn flag(&self, name: &str) -> Vec<Option<bool>> {
        self.cells(name, |cells: &BooleanArray, row| Some(cells.value(row)))
    }

    fn whole(&self, name: &str) -> Vec<Option<i32>> {
        self.cells(name, |cells: &Int32Array, row| Some(cells.value(row)))
    }

    fn long(&self, name: &str) -> Vec<Option<i64>> {
        self.cells(name, |cells: &Int64Array, row| Some(cells.value(row)))
    }

    /// Every text of every column.
    fn texts(&self) -> Vec<String> {
        let Some(first) = self.0.first() else {
            return Vec::new();
        };
        let schema = first.schema();
        let columns = schema.fields().iter();
        let texts = columns.filter(|field| *field.data_type() == arrow_schema::DataType::Utf8);
        texts
            .flat_map(|field| self.text(field.name()))
            .flatten()
            .collect()
    }
}

/// The attempts of an exercise as a query would count them.
fn counted(bouts: &Rows, exercise: &str) -> Tally {
    let (names, attempts) = (bouts.text("exercise"), bouts.flag("attempt"));
    let faults = bouts.whole("faults");
    (0..bouts.len())
        .filter(|row| names[*row].as_deref() == Some(exercise) && attempts[*row] == Some(true))
        .map(|row| Tally::of(faults[row] > Some(0)))
        .sum()
}

#[test]
fn bouts_and_estimates_count_as_the_report_does() {
    let yard = sample::yard();
    let files = Files::of(&yard, Naming::Named);
    let bouts = files.read("bouts");
    assert_eq!(counted(&bouts, "half-pass"), sample::HALF_PASS);
    let waiting = bouts
        .flag("reviewed")
        .iter()
        .filter(|own| **own == Some(false))
        .count();
    assert_eq!(waiting, sample::UNREVIEWED as usize);
    assert_eq!(files.read("rides").len(), sample::RIDES);

    let estimates = files.read("estimates");
    let row = |exercise: &str, cell: &str, measure: &str| {
        let is = |column: &str, value: &str| {
            let (cells, value) = (estimates.text(column), Some(value.to_owned()));
            move |row: usize| cells[row] == value
        };
        let (one, two, three) = (
            is("exercise", exercise),
            is("cell", cell),
            is("measure", measure),
        );
        (0..estimates.len())
            .find(|row| one(*row) && two(*row) && three(*row))
            .expect("a row")
    };
    let all = row("half-pass", "all", "fault_rate");
    assert_eq!(
        estimates.long("n")[all],
        Some(i64::from(sample::HALF_PASS.attempts))
    );
    assert_eq!(
        estimates.long("faulty")[all],
        Some(i64::from(sample::HALF_PASS.faulty))
    );
    assert_eq!(estimates.text("reason")[all], None);
    let unsided = row("half-pass", "unsided", "fault_rate");
    assert_eq!(
        estimates.text("reason")[unsided].as_deref(),
        Some("No attempts without a rein.")
    );
    let minutes = row("half-pass", "all", "faults_per_minute");
    assert_eq!(
        estimates.long("ridden_ns")[minutes],
        Some(40 * 15 * 1_000_000_000)
    );
}

/// Everything a row can hold, and nothing of it lost or made up.
#[test]
fn what_a_ride_holds_comes_back() {
    let mut yard = sample::yard();
    let ride = full(&mut yard);
    let files = Files::of(&yard, Naming::Named);
    let (rides, bouts, marks) = (
        files.read("rides"),
        files.read("bouts"),
        files.read("marks"),
    );
    let at = |rows: &Rows, column: &str, id: String| {
        let ids = rows.text(column);
        ids.iter()
            .position(|own| own.as_ref() == Some(&id))
            .expect("its row")
    };
    let row = at(&rides, "ride", ride.id.to_string());
    assert_eq!(rides.text("arena")[row].as_deref(), Some("20x60"));
    assert_eq!(
        rides.long("starts_ns")[row],
        Some((17 * 3_600 + 30 * 60) * 1_000_000_000)
    );
    assert_eq!(rides.whole("reviews")[row], Some(2));
    let bout = |n: usize| at(&bouts, "bout", ride.bouts[n].id.to_string());
    assert_eq!(bouts.text("letter_from")[bout(0)].as_deref(), Some("K"));
    assert_eq!(bouts.whole("asked_every")[bout(0)], Some(3));
    assert_eq!(bouts.text("variant")[bout(0)].as_deref(), Some("in-canter"));
    assert_eq!(
        bouts.whole("faults")[bout(0)],
        Some(2),
        "one named, one by its moment"
    );
    assert_eq!(bouts.flag("repeated")[bout(0)], Some(true));
    // The other reviewer's, and the one that runs.
    assert_eq!(bouts.flag("counting")[bout(1)], Some(false));
    assert_eq!(bouts.flag("attempt")[bout(1)], Some(false));
    assert_eq!(bouts.whole("faults")[bout(1)], Some(1));
    assert_eq!(
        bouts.text("reviewer")[bout(1)].as_deref(),
        Some("Second Eyes")
    );
    assert_eq!(bouts.long("to_ns")[bout(2)], None);
    assert_eq!(bouts.flag("attempt")[bout(2)], Some(false));

    let mark = |n: usize| at(&marks, "mark", ride.marks[n].id.to_string());
    let own = Some(ride.bouts[0].id.to_string());
    for (n, bout, kind) in [
        (0, &own, "fault"),
        (1, &own, "fault"),
        (2, &own, "repeated"),
        (4, &None, "fault"),
    ] {
        assert_eq!(marks.text("bout")[mark(n)], *bout, "mark {n}");
        assert_eq!(
            marks.text("kind")[mark(n)].as_deref(),
            Some(kind),
            "mark {n}"
        );
    }
    assert_eq!(marks.text("letter")[mark(0)].as_deref(), Some("X"));
    assert_eq!(marks.whole("across_cm")[mark(0)], Some(1_000));
    assert_eq!(
        marks.flag("attempt")[mark(3)],
        Some(false),
        "the other review's"
    );
    assert_eq!(marks.text("lead")[mark(5)].as_deref(), Some("left"));
    assert_eq!(marks.long("at_ns")[mark(4)], Some(-1));
}

/// A ride with two reviews, a series, a running bout, and marks of all sorts.
fn full(yard: &mut Yard) -> Ride {
    let mut ids = IdMaker::seeded(77);
    let mut ride = sample::blank(&mut ids, sample::day(0));
    let other = Review {
        id: ReviewId::from_bits(900),
        reviewer: "Second Eyes".into(),
        blind: false,
    };
    ride.head.reviews[0].reviewer = "Ida Quill".into();
    ride.head.arena = Some(Arena::Standard);
    ride.head.time = chrono::NaiveTime::from_hms_opt(17, 30, 0);
    ride.head.title = "evening".into();
    for _ in 0..3 {
        sample::bout(&mut ids, &mut ride, "tempi-changes", Some(Rein::Left), None);
    }
    let (from, counting) = (ride.bouts[0].from.0, ride.head.counting);
    let first = &mut ride.bouts[0];
    first.variant = Some(sample::word("in-canter"));
    first.asked.every = Some(3);
    first.score = Score::from_halves(13);
    first.letters = (Some('K'), None);
    first.note = "she was tired".into();
    ride.bouts[1].review = other.id;
    (ride.bouts[2].to, ride.bouts[2].reviewed) = (None, false);
    let (own, theirs) = (ride.bouts[0].id, ride.bouts[1].id);
    let fault = || MarkKind::Fault(sample::word("late-behind"));
    let second = 1_000_000_000;
    for (at, kind, review, bout) in [
        (from + 99 * second, fault(), counting, Some(own)),
        (from + second, fault(), counting, None),
        (from, MarkKind::Repeated, counting, Some(own)),
        (from + 60 * second, fault(), other.id, Some(theirs)),
        (-1, fault(), counting, Some(BoutId::from_bits(5))),
        (
            from,
            MarkKind::Change(Some(Rein::Left)),
            counting,
            Some(own),
        ),
    ] {
        ride.marks.push(Mark {
            id: ids.next::<MarkId>(),
            review,
            at: Moment(at),
            kind,
            bout,
            note: "a note on Bramble".into(),
            origin: None,
            press: None,
            place: None,
        });
    }
    ride.marks[0].place = Some(ArenaPlace {
        across_cm: 1_000,
        along_cm: 2_950,
    });
    ride.head.reviews.push(other);
    yard.rides.insert(ride.id, Arc::new(ride.clone()));
    ride
}

#[test]
fn an_empty_yard_has_tables_without_rows() {
    let yard = Yard::default();
    let files = Files::of(&yard, Naming::Named);
    for table in TABLES {
        assert_eq!(files.read(table).len(), 0, "{table}");
        assert!(files.open(table).schema().fields().len() > 10, "{table}");
        let about = files.about(table);
        assert_eq!(about[TABLE], table);
        assert_eq!(about["reinback.format"], FORMAT.to_string());
        assert!(about["reinback.cautions"].contains("see a vet"));
    }
}

#[test]
fn only_what_was_asked_for_is_written() {
    let mut yard = sample::yard();
    let files = Files::new();
    let days = Days {
        from: Some(sample::day(2)),
        to: Some(sample::day(2)),
    };
    let asked = Export {
        days,
        ..export(Naming::Named)
    };
    let written = files.write(&yard, &asked).expect("written");
    let rows: Vec<usize> = written.iter().map(|file| file.rows).collect();
    let ride = yard.rides_by_date()[2].clone();
    assert_eq!(rows[..3], [1, ride.bouts.len(), ride.marks.len()]);
    let none = Export {
        horses: Some(&[]),
        ..export(Naming::Named)
    };
    let written = files.write(&yard, &none).expect("its own files give way");
    assert!(written.iter().all(|file| file.rows == 0), "{written:?}");
    // A ride whose horse is not in yard.ron is there, and says so.
    yard.horses.clear();
    let files = Files::of(&yard, Naming::Named);
    assert_eq!(
        files.read("rides").text("horse_name"),
        vec![None; sample::RIDES]
    );
    assert_eq!(files.read("estimates").len(), 0);
}

const HOSTILE: [&str; 5] = [
    "=cmd|' /C calc'!A1",
    "Robert'); DROP TABLE rides;--",
    "a\"b,c\r\nd\te\u{0}f",
    "\u{202e}esroh \u{1f40e}",
    "../../etc/passwd",
];

#[test]
fn names_come_back_sign_for_sign() {
    for name in HOSTILE {
        let mut yard = sample::yard();
        name.clone_into(&mut yard.horses[0].name);
        name.clone_into(&mut yard.name);
        let mut ride = full(&mut yard);
        name.clone_into(&mut ride.bouts[0].note);
        name.clone_into(&mut ride.head.reviews[0].reviewer);
        yard.rides.insert(ride.id, Arc::new(ride));
        let files = Files::of(&yard, Naming::Named);
        assert!(
            files
                .read("rides")
                .text("horse_name")
                .contains(&Some(name.to_owned()))
        );
        assert!(
            files
                .read("bouts")
                .text("note")
                .contains(&Some(name.to_owned()))
        );
        assert!(
            files
                .read("marks")
                .text("reviewer")
                .contains(&Some(name.to_owned()))
        );
        assert_eq!(files.about("rides")[YARD], name);
    }
}

#[test]
fn without_names_nobody_is_named() {
    let mut yard = sample::yard();
    let ride = full(&mut yard);
    let private = [
        "Juniper",
        "Ida Quill",
        "Second Eyes",
        "Sample yard",
        "evening",
        "tired",
        "Bramble",
        "Prix St Georges",
    ];
    let named = Files::of(&yard, Naming::Named);
    let files = Files::of(&yard, Naming::WithoutNames);
    let mut met = String::new();
    for table in TABLES {
        let about = named.about(table).into_values();
        met.extend(named.read(table).texts().into_iter().chain(about));
        let about = files.about(table).into_values();
        for text in files.read(table).texts().into_iter().chain(about) {
            let told = private.iter().find(|own| text.contains(*own));
            assert_eq!(told, None, "{table}: {text}");
        }
        assert_eq!(files.read(table).len(), named.read(table).len(), "{table}");
    }
    for own in private {
        assert!(met.contains(own), "{own} is in the files with names");
    }
    // One person's reviews stay together.
    let bouts = files.read("bouts");
    let (ids, reviewers) = (bouts.text("bout"), bouts.text("reviewer"));
    let row = ids
        .iter()
        .position(|id| *id == Some(ride.bouts[0].id.to_string()));
    assert_eq!(
        reviewers[row.expect("its row")],
        Some(ride.head.counting.to_string())
    );
}

#[test]
fn only_our_own_files_of_the_same_yard_give_way() {
    let yard = sample::yard();
    let files = Files::of(&yard, Naming::Named);
    files
        .write(&yard, &export(Naming::Named))
        .expect("ours give way");
    let other = Yard {
        name: "Other yard".into(),
        ..Yard::default()
    };
    let refused = files
        .write(&other, &export(Naming::Named))
        .expect_err("not theirs");
    assert!(
        refused.contains("holds the yard “Sample yard”"),
        "{refused}"
    );
    let marks = files.target().join("marks.parquet");
    // A table under another one's name is not ours either.
    for stranger in [
        fs::read(files.target().join("rides.parquet")).unwrap(),
        b"mine".to_vec(),
        Vec::new(),
    ] {
        fs::write(&marks, &stranger).unwrap();
        let refused = files
            .write(&yard, &export(Naming::Named))
            .expect_err("a stranger");
        assert!(refused.contains("was not written by Reinback"), "{refused}");
        assert_eq!(fs::read(&marks).unwrap(), stranger);
    }
    let mut left: Vec<_> = fs::read_dir(files.target())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    left.sort();
    assert_eq!(
        left,
        [
            "bouts.parquet",
            "estimates.parquet",
            "marks.parquet",
            "rides.parquet"
        ]
    );
}

/// Named or not, before or after: another yard's files stay, one's own give way.
#[test]
fn another_yards_files_stay_in_every_pairing_of_names() {
    let yard = sample::yard();
    let mut grown = yard.clone();
    let mut stranger = yard.clone();
    let mut newcomer = yard.horses[0].clone();
    newcomer.id = HorseId::from_bits(1);
    grown.horses.insert(0, newcomer);
    // Of the same name, as yards that were never given one are.
    for horse in &mut stranger.horses {
        horse.id = HorseId::from_bits(horse.id.bits() ^ 1);
    }
    for before in [Naming::Named, Naming::WithoutNames] {
        for after in [Naming::Named, Naming::WithoutNames] {
            let files = Files::of(&yard, before);
            let rides = files.target().join("rides.parquet");
            let written = fs::read(&rides).unwrap();
            let refused = files.write(&stranger, &export(after));
            assert!(
                refused.is_err_and(|why| why.contains("choose a folder for each yard")),
                "{before:?} then {after:?}"
            );
            assert_eq!(fs::read(&rides).unwrap(), written);
            files
                .write(&grown, &export(after))
                .expect("a horse more is no other yard");
        }
    }
}

#[test]
fn nothing_is_written_into_a_yard_or_a_file() {
    let folder = TempDir::new().unwrap();
    let home = folder.path().join("yard");
    fs::create_dir_all(&home).unwrap();
    let yard = sample::yard();
    let inside = home.join("not").join("there");
    let refused = write(&yard, &home, &inside, &export(Naming::Named)).expect_err("inside");
    assert!(refused.contains("lies in the yard itself"), "{refused}");
    assert_eq!(fs::read_dir(&home).unwrap().count(), 0);
    let file = folder.path().join("file");
    fs::write(&file, "text").unwrap();
    let refused = write(&yard, &home, &file, &export(Naming::Named)).expect_err("a file");
    assert!(refused.contains("could not be written"), "{refused}");
    assert_eq!(fs::read_to_string(&file).unwrap(), "text");
}

/// More marks than a row group holds; words and repeated ids through a dictionary.
#[test]
fn row_groups_are_bounded() {
    let mut yard = Yard::default();
    let mut ids = IdMaker::seeded(3);
    let mut ride = sample::blank(&mut ids, sample::day(0));
    sample::bout(&mut ids, &mut ride, "half-pass", None, Some("lost-bend"));
    let mark = ride.marks[0].clone();
    let count = sheet::ROW_GROUP + 5;
    ride.marks = (0..count as u64)
        .map(|n| Mark {
            id: MarkId::from_bits(n),
            ..mark.clone()
        })
        .collect();
    yard.rides.insert(ride.id, Arc::new(ride));
    let files = Files::of(&yard, Naming::Named);
    let open = files.open("marks");
    let groups = open.metadata().row_groups();
    let rows: Vec<i64> = groups
        .iter()
        .map(parquet::file::metadata::RowGroupMetaData::num_rows)
        .collect();
    assert_eq!(rows, [i64::try_from(sheet::ROW_GROUP).unwrap(), 5]);
    for (column, dictionary) in [("fault", true), ("ride", true), ("mark", false)] {
        let chunk = groups[0]
            .columns()
            .iter()
            .find(|own| own.column_path().string() == column);
        let met = chunk
            .expect(column)
            .encodings()
            .any(|own| own == Encoding::RLE_DICTIONARY);
        assert_eq!(met, dictionary, "{column}");
    }
}

/// `docs/report.md` lists the columns; `UPDATE_DOCS=1` writes them there anew.
#[test]
fn the_description_lists_the_columns() {
    fn table<R>(name: &str, columns: &Columns<R>) -> (String, String) {
        let rows: Vec<String> = columns
            .iter()
            .map(|column| column.described() + "\n")
            .collect();
        let head = "| column | type | null | meaning |\n| --- | --- | --- | --- |\n";
        (
            format!("<!-- columns of {name} -->\n"),
            format!("{head}{}", rows.concat()),
        )
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/report.md");
    let mut page = fs::read_to_string(&path).unwrap();
    for (mark, table) in [
        table("rides", &rides::columns()),
        table("bouts", &bouts::columns()),
        table("marks", &marks::columns()),
        table("estimates", &estimates::columns()),
    ] {
        let (before, rest) = page.split_once(&mark).expect(&mark);
        let (written, after) = rest.split_once("\n\n").expect("an end");
        if std::env::var_os("UPDATE_DOCS").is_some() {
            page = format!("{before}{mark}{table}\n{after}");
        } else {
            assert_eq!(
                format!("{written}\n"),
                table,
                "renew docs/report.md with UPDATE_DOCS=1"
            );
        }
    }
    if std::env::var_os("UPDATE_DOCS").is_some() {
        fs::write(&path, page).unwrap();
    }
}
