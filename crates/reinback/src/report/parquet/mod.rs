//! Rides, bouts, marks and estimates as Parquet files, for engines that read thousands of yards.
//!
//! `docs/report.md` describes the tables, `docs/at-scale.md` what can be asked of them. Rows go
//! into their files a batch at a time: beside the yard no more is in memory than a row group.
//!
//! - `column`: a column's name, meaning and cells, in one place
//! - `rides`, `bouts`, `marks`, `estimates`: what the tables hold
//! - `names`: who is named, and by what
//! - `sheet`, `folder`: how a table becomes a file

mod bouts;
mod column;
mod estimates;
mod folder;
mod marks;
mod names;
mod rides;
mod sheet;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use reinback_yard::{Bout, BoutId, HorseId, Mark, MarkKind, Owners, ReviewId, Ride, Yard};
use tempfile::NamedTempFile;

use super::books::Books;
use super::document::cautions;
use super::numbers::{Days, Question, Reins, Whose};
use bouts::BoutRow;
use estimates::EstimateRow;
use folder::{Folder, Identity};
use marks::MarkRow;
use names::Names;
pub use names::Naming;
use rides::RideRow;
use sheet::Sheet;

/// The version of the tables' shape.
pub const FORMAT: u32 = 1;

/// The tables; each is a file with this name before `.parquet`.
pub const TABLES: [&str; 4] = ["rides", "bouts", "marks", "estimates"];

/// Says which table a file is.
const TABLE: &str = "reinback.table";
/// Says of which yard it is.
const YARD: &str = "reinback.yard";
/// The ids of all horses of that yard, asked for or not: by them it is known again.
const HORSES: &str = "reinback.horses";

/// What to write, and where.
#[derive(Clone, Copy, Debug)]
pub struct Export<'a> {
    /// The horses asked for; `None` for every ride there is.
    pub horses: Option<&'a [HorseId]>,
    /// The days asked about.
    pub days: Days,
    /// The days they are compared with. Only estimates are of them.
    pub against: Option<Days>,
    /// The day that counts as today.
    pub today: NaiveDate,
    /// Whether people and horses are named.
    pub naming: Naming,
    /// Files of the yard that could not be read.
    pub unreadable_files: usize,
}

impl Export<'_> {
    fn takes(&self, ride: &Ride) -> bool {
        self.horses
            .is_none_or(|horses| horses.contains(&ride.head.horse))
            && self.days.hold(ride.head.date)
    }
}

/// A file that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Where.
    pub path: PathBuf,
    /// How many rows it has.
    pub rows: usize,
}

/// Writes the four files into a folder, each whole or not at all.
///
/// `home` is the yard's own folder. A file that stands in the way is replaced only if it is an
/// earlier one of ours of the same yard.
///
/// # Errors
/// A clause for the rider; no file has been replaced then, or only by one that is whole.
pub fn write(
    yard: &Yard,
    home: &Path,
    into: &Path,
    export: &Export<'_>,
) -> Result<Vec<Written>, String> {
    let folder = Folder::look(into, &TABLES, home, &Identity::of(yard, export.naming))?;
    let failed = |error: ParquetError| {
        format!(
            "the tables could not be written into “{}”: {error}; make room there, or choose \
             another folder",
            into.display()
        )
    };
    let [rides, bouts, marks, estimates] = [
        folder.begin()?,
        folder.begin()?,
        folder.begin()?,
        folder.begin()?,
    ];
    let asked: Vec<&Ride> = yard.rides_by_date();
    let names = Names::new(yard, &asked, export.naming);
    let ridden = asked.into_iter().filter(|ride| export.takes(ride));
    let about = |table| about(table, yard, export);
    let (of_rides, of_estimates) = rayon::join(
        || {
            let mut tables = Tables {
                rides: Sheet::new(rides, rides::columns(), about("rides"))?,
                bouts: Sheet::new(bouts, bouts::columns(), about("bouts"))?,
                marks: Sheet::new(marks, marks::columns(), about("marks"))?,
            };
            for ride in ridden {
                tables.add(ride, &names)?;
            }
            tables.finish()
        },
        || {
            let mut sheet = Sheet::new(estimates, estimates::columns(), about("estimates"))?;
            estimate(yard, export, &names, &mut sheet)?;
            sheet.finish()
        },
    );
    let [rides, bouts, marks] = of_rides.map_err(failed)?;
    let made = [rides, bouts, marks, of_estimates.map_err(failed)?];
    let mut written = Vec::new();
    let mut files = Vec::new();
    for (table, (rows, file)) in TABLES.into_iter().zip(made) {
        let path = folder.path(table);
        written.push(Written { path, rows });
        files.push((table, file));
    }
    folder.put(files)?;
    Ok(written)
}

/// What each file says about itself.
fn about(table: &str, yard: &Yard, export: &Export<'_>) -> Vec<KeyValue> {
    let generator = format!("{} {}", env!("CARGO_PKG_NAME"), env!("CARGO_PKG_VERSION"));
    let last_day = yard.as_of_last_ride.then(|| yard.last_day()).flatten();
    let as_of = last_day.unwrap_or(export.today);
    let names = match export.naming {
        Naming::Named => "kept",
        Naming::WithoutNames => "left out",
    };
    let day = |day: Option<NaiveDate>| day.map(|day| day.to_string());
    let mut entries = vec![
        ("reinback.generator", Some(generator)),
        ("reinback.format", Some(FORMAT.to_string())),
        (TABLE, Some(table.to_owned())),
        ("reinback.as_of", Some(as_of.to_string())),
        ("reinback.from", day(export.days.from)),
        ("reinback.to", day(export.days.to)),
        ("reinback.names", Some(names.to_owned())),
        (
            "reinback.unreadable_files",
            Some(export.unreadable_files.to_string()),
        ),
        ("reinback.cautions", Some(cautions().join("\n"))),
    ];
    let identity = Identity::of(yard, export.naming);
    entries.push((YARD, identity.name.map(str::to_owned)));
    entries.push((HORSES, Some(identity.written())));
    entries
        .into_iter()
        .filter_map(|(key, value)| Some(KeyValue::new(key.to_owned(), Some(value?))))
        .collect()
}

/// The tables with a row for what is in the rides.
struct Tables<'a> {
    rides: Sheet<RideRow<'a>, NamedTempFile>,
    bouts: Sheet<BoutRow<'a>, NamedTempFile>,
    marks: Sheet<MarkRow<'a>, NamedTempFile>,
}

impl<'a> Tables<'a> {
    fn add(&mut self, ride: &'a Ride, names: &'a Names<'a>) -> Result<(), ParquetError> {
        self.rides.push(RideRow { ride, names })?;
        let belonging = Belonging::of(ride);
        for bout in &ride.bouts {
            let (faults, repeated) = belonging.to(bout);
            self.bouts.push(BoutRow {
                ride,
                bout,
                faults,
                repeated,
                names,
            })?;
        }
        for (mark, bout) in ride.marks.iter().zip(belonging.bouts) {
            self.marks.push(MarkRow::new(ride, mark, bout, names))?;
        }
        Ok(())
    }

    fn finish(self) -> Result<[(usize, NamedTempFile); 3], ParquetError> {
        Ok([
            self.rides.finish()?,
            self.bouts.finish()?,
            self.marks.finish()?,
        ])
    }
}

/// Which marks of a ride belong to which of its bouts, each within its own review.
struct Belonging<'a> {
    /// Mark by mark.
    bouts: Vec<Option<&'a Bout>>,
    /// By review and bout.
    sums: BTreeMap<(ReviewId, BoutId), Sum<'a>>,
}

/// A bout, how many faults belong to it, and whether it was ridden again.
struct Sum<'a>(&'a Bout, i32, bool);

impl<'a> Belonging<'a> {
    fn of(ride: &'a Ride) -> Self {
        let mut reviews: BTreeMap<ReviewId, Vec<&Bout>> = BTreeMap::new();
        let mut sums = BTreeMap::new();
        for bout in &ride.bouts {
            reviews.entry(bout.review).or_default().push(bout);
            sums.insert((bout.review, bout.id), Sum(bout, 0, false));
        }
        let owners: BTreeMap<ReviewId, Owners<'_>> = reviews
            .iter()
            .map(|(review, bouts)| (*review, Owners::of(bouts)))
            .collect();
        let owner = |mark: &Mark| {
            let own = owners.get(&mark.review)?.owner(mark)?;
            let sum = sums.get_mut(&(mark.review, own.id))?;
            match mark.kind {
                MarkKind::Fault(_) => sum.1 = sum.1.saturating_add(1),
                MarkKind::Repeated => sum.2 = true,
                _ => {}
            }
            Some(sum.0)
        };
        let bouts = ride.marks.iter().map(owner).collect();
        Self { bouts, sums }
    }

    fn to(&self, bout: &Bout) -> (i32, bool) {
        let sum = self.sums.get(&(bout.review, bout.id));
        sum.map_or((0, false), |Sum(_, faults, repeated)| (*faults, *repeated))
    }
}

fn estimate<W: Write + Send>(
    yard: &Yard,
    export: &Export<'_>,
    names: &Names<'_>,
    sheet: &mut Sheet<EstimateRow, W>,
) -> Result<(), ParquetError> {
    let asked = yard.horses.iter().map(|horse| horse.id);
    let asked = asked.filter(|horse| export.horses.is_none_or(|horses| horses.contains(horse)));
    let mut books = Books::default();
    for horse in asked {
        let question = Question {
            whose: Whose::One(horse),
            days: export.days,
            against: export.against,
            reins: Reins::Both,
        };
        let found = books.answer(yard, &question);
        for row in estimates::rows(horse, &found, names) {
            sheet.push(row)?;
        }
    }
    Ok(())
}
