//! The test that was ridden, judged line by line: what is typed, and what it comes to. Pure;
//! `panel` and `lines` draw, `editor` changes the sheet itself.

mod editor;
mod lines;
pub(super) mod panel;
#[cfg(test)]
mod tests;

use reinback_analysis::sheet::{lines_so_far, so_far};
use reinback_yard::lower::sheet::{lowered, missing, result};
use reinback_yard::{
    Edit, IdMaker, Judge, MAX_JUDGES, RiddenTest, Ride, Seen, SheetLine, Step, TestMark, TestSheet,
    Yard, sheets,
};

use crate::counted::counted;

/// What the panel remembers.
#[derive(Debug)]
pub struct SheetPanel {
    /// Where the next mark goes.
    cell: Cell,
    /// The mark being typed there.
    typed: Option<String>,
    /// Set when the cell must take the keyboard.
    reach: bool,
    /// Why what was typed is no mark.
    refused: Option<&'static str>,
    /// Whether the sheet itself is changed.
    editing: bool,
    /// A text of the sheet being written: which, and as it is so far.
    draft: Option<(editor::Field, String)>,
    /// Sheets that are offered, with ids of their own; the last one is empty.
    offered: Vec<TestSheet>,
}

/// One mark: a line, and a judge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Cell {
    line: usize,
    judge: usize,
}

impl SheetPanel {
    /// Opened on a ride, at the first mark that is missing.
    #[must_use]
    pub fn new(ride: &Ride, ids: &mut IdMaker) -> Self {
        let mut offered = sheets::offered(ids);
        offered.push(sheets::empty(ids.next(), "My sheet"));
        Self {
            cell: ride.test.as_deref().map(first_gap).unwrap_or_default(),
            typed: None,
            reach: true,
            refused: None,
            editing: false,
            draft: None,
            offered,
        }
    }

    /// Keeps the cell inside the test, which may have been changed by an undo.
    fn follow(&mut self, test: &RiddenTest) {
        let last = |count: usize| count.saturating_sub(1);
        let held = Cell {
            line: self.cell.line.min(last(test.lines.len())),
            judge: self.cell.judge.min(last(test.judges.len())),
        };
        if held != self.cell {
            self.go(held);
        }
    }

    /// Goes to a cell; what was half typed elsewhere is forgotten.
    fn go(&mut self, cell: Cell) {
        self.cell = cell;
        self.typed = None;
        self.refused = None;
        self.reach = true;
    }

    /// Ends typing: the change it makes, or why it is no mark, which then stays to be mended.
    fn take(&mut self, ride: &Ride, ridden: &RiddenTest) -> Result<Option<Change>, &'static str> {
        let Some(text) = &self.typed else {
            return Ok(None);
        };
        let line = ridden.sheet.lines.get(self.cell.line);
        let mark = typed_mark(text, line.map_or(Step::Half, |line| line.step))?;
        self.typed = None;
        self.refused = None;
        Ok(set_mark(ride, self.cell, mark))
    }

    /// Sheets that can still be taken: those the yard does not have yet.
    fn offered<'a>(&'a self, yard: &'a Yard) -> impl Iterator<Item = &'a TestSheet> {
        let taken = |sheet: &&TestSheet| yard.sheets.iter().any(|own| own.id == sheet.id);
        self.offered.iter().filter(move |sheet| !taken(sheet))
    }
}

/// The first mark that is missing, judge by judge; else the first of all.
fn first_gap(test: &RiddenTest) -> Cell {
    let cells = (0..test.judges.len())
        .flat_map(|judge| (0..test.lines.len()).map(move |line| Cell { line, judge }));
    let gap = |cell: &Cell| mark_at(test, *cell).is_none();
    cells.into_iter().find(gap).unwrap_or_default()
}

fn mark_at(test: &RiddenTest, cell: Cell) -> Option<TestMark> {
    let line = test.lines.get(cell.line)?;
    line.marks.get(cell.judge).copied().flatten()
}

/// The cell below, or the first of the next judge; the last one stays.
fn after(test: &RiddenTest, cell: Cell) -> Cell {
    if cell.line + 1 < test.lines.len() {
        Cell {
            line: cell.line + 1,
            ..cell
        }
    } else if cell.judge + 1 < test.judges.len() {
        Cell {
            line: 0,
            judge: cell.judge + 1,
        }
    } else {
        cell
    }
}

/// A mark as people type it, "6.5" or "6,5"; `None` for none at all. The error is a sentence.
fn typed_mark(text: &str, step: Step) -> Result<Option<TestMark>, &'static str> {
    let text = text.trim().replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    let (whole, tenth) = text.split_once('.').unwrap_or((text.as_str(), "0"));
    let digit = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let mark = Some((whole, tenth))
        .filter(|(whole, tenth)| digit(whole) && digit(tenth) && tenth.len() <= 1)
        .and_then(|(whole, tenth)| {
            let tenth = if tenth.is_empty() { "0" } else { tenth };
            let tenths: u8 = whole.parse::<u8>().ok()?.checked_mul(10)?;
            TestMark::from_tenths(tenths.checked_add(tenth.parse().ok()?)?)
        })
        .ok_or("A mark is a number from 0 to 10, as 6.5")?;
    if step == Step::Half && !mark.tenths().is_multiple_of(5) {
        return Err("This line is marked in halves, as 6.5");
    }
    Ok(Some(mark))
}

/// A mark as it is shown.
fn mark_text(mark: Option<TestMark>) -> String {
    match mark.map(|mark| (mark.tenths() / 10, mark.tenths() % 10)) {
        None => String::new(),
        Some((whole, 0)) => whole.to_string(),
        Some((whole, tenth)) => format!("{whole}.{tenth}"),
    }
}

/// A change of the ridden test, with what it is called.
type Change = (&'static str, Edit);

/// The test as it becomes by a change of it.
fn changed(
    ride: &Ride,
    label: &'static str,
    change: impl FnOnce(&mut RiddenTest),
) -> Option<Change> {
    let before = ride.test.as_deref()?;
    let mut test = before.clone();
    change(&mut test);
    (test != *before).then(|| (label, Edit::Test(ride.id, Some(Box::new(test)))))
}

fn set_mark(ride: &Ride, cell: Cell, mark: Option<TestMark>) -> Option<Change> {
    changed(ride, "judge's mark", |test| {
        let line = test.lines.get_mut(cell.line);
        if let Some(own) = line.and_then(|line| line.marks.get_mut(cell.judge)) {
            *own = mark;
        }
    })
}

fn set_seen(ride: &Ride, line: usize, seen: Option<Seen>) -> Option<Change> {
    changed(ride, "film of a line", |test| {
        if let Some(line) = test.lines.get_mut(line) {
            line.seen = seen;
        }
    })
}

/// Letters at which judges sit, in the order in which they are called in.
const POSITIONS: [char; 7] = ['C', 'H', 'M', 'E', 'B', 'K', 'F'];

fn add_judge(ride: &Ride) -> Option<Change> {
    changed(ride, "another judge", |test| {
        if test.judges.len() >= MAX_JUDGES {
            return;
        }
        let taken = |at: &char| test.judges.iter().any(|judge| judge.position == *at);
        let position = POSITIONS.into_iter().find(|at| !taken(at)).unwrap_or('C');
        test.judges.push(Judge {
            position,
            name: String::new(),
        });
        for line in &mut test.lines {
            line.marks.push(None);
        }
    })
}

fn remove_judge(ride: &Ride, judge: usize) -> Option<Change> {
    changed(ride, "remove a judge", |test| {
        if judge < test.judges.len() && test.judges.len() > 1 {
            test.judges.remove(judge);
            for line in &mut test.lines {
                line.marks.remove(judge);
            }
        }
    })
}

/// Takes a sheet for the ride, and into the yard where that does not have it yet.
fn take_sheet(yard: &Yard, ride: &Ride, sheet: &TestSheet) -> Change {
    let test = Edit::Test(ride.id, Some(Box::new(RiddenTest::new(sheet.clone()))));
    let edit = if yard.sheets.iter().any(|own| own.id == sheet.id) {
        test
    } else {
        let kept = Edit::Sheet(sheet.id, Some(Box::new(sheet.clone())));
        Edit::Batch(vec![kept, test])
    };
    ("choose a test sheet", edit)
}

/// What a judge's marks come to, in words: the percentage once all are there, and none for who is
/// eliminated.
fn judge_texts(test: &RiddenTest) -> Vec<String> {
    let sheet = lowered(test);
    // Who is eliminated has points and no percentage.
    let whole = result(test).ok().filter(|whole| whole.percentage.is_some());
    let given = so_far(&sheet.lines, &sheet.marks);
    test.judges
        .iter()
        .zip(given)
        .enumerate()
        .map(|(place, (judge, given))| {
            let points = tenths(given.tenths);
            let percent = whole.as_ref().and_then(|whole| whole.judges.get(place));
            match percent {
                Some(percent) => {
                    format!(
                        "{}: {points} of {}, {}",
                        judge.position, given.most, percent.percentage
                    )
                }
                None if given.missing > 0 => format!(
                    "{}: {points} of {} so far, {} missing",
                    judge.position,
                    given.most,
                    counted(f64::from(given.missing), "mark", "marks")
                ),
                None => format!("{}: {points} of {}", judge.position, given.most),
            }
        })
        .collect()
}

/// What the whole comes to, or why it does not yet.
fn overall(test: &RiddenTest) -> Result<String, String> {
    match result(test) {
        Ok(result) => Ok(result.percentage.map_or_else(
            || "Eliminated by errors of course".to_owned(),
            |percent| match test.judges.len() {
                1 => format!("{percent}"),
                _ => format!("{percent}, the mean of the judges"),
            },
        )),
        Err(_) if missing(test) > 0 && !test.judges.is_empty() => Err(format!(
            "Not whole: no percentage yet, {} missing",
            counted(f64::from(missing(test)), "mark", "marks")
        )),
        Err(problem) => Err(problem.to_string()),
    }
}

/// "64.5" from tenths of a point.
fn tenths(tenths: u32) -> String {
    match (tenths / 10, tenths % 10) {
        (whole, 0) => whole.to_string(),
        (whole, tenth) => format!("{whole}.{tenth}"),
    }
}

/// "6.75" from hundredths of a point.
fn hundredths(hundredths: u32) -> String {
    match hundredths % 10 {
        0 => tenths(hundredths / 10),
        _ => format!("{}.{:02}", hundredths / 100, hundredths % 100),
    }
}

/// The name of a line: its number and its words.
fn line_name(line: &SheetLine) -> String {
    let text = if line.text.is_empty() {
        "a line without words"
    } else {
        &line.text
    };
    line.number
        .map_or_else(|| text.to_owned(), |number| format!("{number} {text}"))
}

/// Where most was lost, dearest first: line, and points lost a judge on average in hundredths.
fn most_lost(test: &RiddenTest, how_many: usize) -> Vec<(usize, u32)> {
    let sheet = lowered(test);
    let lines = lines_so_far(&sheet.lines, &sheet.marks);
    let count = |line: usize| {
        let marks = test.lines.get(line).map_or(&[][..], |line| &line.marks);
        u32::try_from(marks.iter().flatten().count())
            .unwrap_or(1)
            .max(1)
    };
    let mut lost: Vec<(usize, u32)> = lines
        .into_iter()
        .enumerate()
        .filter_map(|(line, found)| {
            let judges = count(line);
            Some((line, (found?.lost * 10 + judges / 2) / judges))
        })
        .filter(|(_, lost)| *lost > 0)
        .collect();
    lost.sort_by_key(|(line, lost)| (std::cmp::Reverse(*lost), *line));
    lost.truncate(how_many);
    lost
}

/// How far the judges lie apart: the line where that is most, and by how much in tenths.
fn most_apart(test: &RiddenTest) -> Option<(usize, u32)> {
    let sheet = lowered(test);
    let lines = lines_so_far(&sheet.lines, &sheet.marks)
        .into_iter()
        .enumerate();
    lines
        .filter_map(|(line, found)| Some((line, found?.apart)))
        .filter(|(_, apart)| *apart > 0)
        .max_by_key(|(line, apart)| (*apart, std::cmp::Reverse(*line)))
}
