//! The lines of `journal.ron`: a checksum and a change each.

use std::collections::{BTreeMap, BTreeSet};

use crate::edit::Edit;
use crate::file::{self, Entry};
use crate::id::RideId;
use crate::model::Yard;
use crate::{EditError, FileKey};

/// The name of the journal in a yard's folder.
pub(super) const NAME: &str = "journal.ron";

/// The first line of a journal of this format.
pub(super) fn header(format: u32) -> String {
    format!("(format: {format})\n")
}

/// The same journal with the first line of another format.
pub(super) fn with_header(bytes: &[u8], format: u32) -> Vec<u8> {
    let behind = bytes.iter().position(|byte| *byte == b'\n');
    let rest = behind.and_then(|end| bytes.get(end + 1..));
    [header(format).as_bytes(), rest.unwrap_or_default()].concat()
}

/// A line with its end.
pub(super) fn line(entry: &str) -> String {
    format!("{:016x} {entry}\n", checksum(entry.as_bytes()))
}

/// FNV-1a, 64 bits, as its authors Fowler, Noll and Vo define it (IETF draft-eastlake-fnv).
fn checksum(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// What a journal holds.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Journal {
    /// In the order they were written, each with its line.
    pub(super) entries: Vec<(u32, Entry)>,
    /// Lines that do not hold what was once written there.
    pub(super) damaged: Vec<u32>,
    /// The last line was never finished.
    pub(super) torn: bool,
    /// The format its first line says, if this version knows it.
    pub(super) format: Option<u32>,
    /// The format, if it is one this version does not know.
    pub(super) newer: Option<u32>,
}

impl Journal {
    /// The rides it has changes for.
    pub(super) fn rides(&self) -> BTreeSet<RideId> {
        let files = self.entries.iter().flat_map(|(_, entry)| match entry {
            Entry::Changed(edit) => edit.files(),
            Entry::Saved(_) => BTreeSet::new(),
        });
        let ride = |file| match file {
            FileKey::Ride(ride) => Some(ride),
            FileKey::Yard => None,
        };
        files.filter_map(ride).collect()
    }
}

/// Reads a journal; never fails, whatever the bytes are.
pub(super) fn read(bytes: &[u8]) -> Journal {
    let mut journal = Journal::default();
    let mut lines = bytes.split_inclusive(|byte| *byte == b'\n').zip(1_u32..);
    let Some((first, _)) = lines.next() else {
        return journal;
    };
    match std::str::from_utf8(first).ok().and_then(file::format_of) {
        Some(format @ 1..=file::FORMAT) => journal.format = Some(format),
        Some(format) if format > file::FORMAT => {
            journal.newer = Some(format);
            return journal;
        }
        _ if !first.ends_with(b"\n") => journal.torn = true,
        _ => journal.damaged.push(1),
    }
    // Under a first line that is damaged stands what this version would have written.
    let format = journal.format.unwrap_or(file::FORMAT);
    for (line, number) in lines {
        match read_line(line, format) {
            Some(entry) => journal.entries.push((number, entry)),
            None if line.ends_with(b"\n") => journal.damaged.push(number),
            None => journal.torn = true,
        }
    }
    journal
}

fn read_line(line: &[u8], format: u32) -> Option<Entry> {
    let line = std::str::from_utf8(line.strip_suffix(b"\n").unwrap_or(line)).ok()?;
    let (sum, entry) = line.split_once(' ')?;
    (sum == format!("{:016x}", checksum(entry.as_bytes()))).then_some(())?;
    file::read_entry(entry, format).ok()
}

/// What replaying a journal came to.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Replayed {
    /// Files that differ from the yard now.
    pub(super) files: BTreeSet<FileKey>,
    /// Lines that could not be applied, and why.
    pub(super) refused: Vec<(u32, EditError)>,
}

/// Makes the changes that are in no file yet. A change that is in a file already does no harm.
pub(super) fn replay(journal: Journal, yard: &mut Yard) -> Replayed {
    let mut saved_at = BTreeMap::new();
    for (line, entry) in &journal.entries {
        if let Entry::Saved(files) = entry {
            saved_at.extend(files.iter().map(|file| (*file, *line)));
        }
    }
    let mut replayed = Replayed::default();
    for (line, entry) in journal.entries {
        let Entry::Changed(edit) = entry else {
            continue;
        };
        for edit in leaves(edit) {
            let files = edit.files();
            if files
                .iter()
                .any(|file| saved_at.get(file).is_some_and(|saved| *saved > line))
            {
                continue;
            }
            match edit.replay(yard) {
                Ok(_) => replayed.files.extend(files),
                Err(error) => replayed.refused.push((line, error)),
            }
        }
    }
    replayed
}

/// Each of the result changes one file.
fn leaves(edit: Edit) -> Vec<Edit> {
    match edit {
        Edit::Batch(edits) => edits.into_iter().flat_map(leaves).collect(),
        other => vec![other],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors of the authors' reference code (draft-eastlake-fnv), recalled from memory.
    #[test]
    fn checksum_matches_reference() {
        for (text, expected) in [
            ("", 0xcbf2_9ce4_8422_2325_u64),
            ("a", 0xaf63_dc4c_8601_ec8c),
            ("foobar", 0x8594_4171_f739_67e8),
        ] {
            assert_eq!(checksum(text.as_bytes()), expected, "FNV-1a of {text:?}");
        }
    }

    fn name(text: &str) -> String {
        line(
            &file::write_change(&Edit::YardName(text.into()))
                .unwrap()
                .text,
        )
    }

    #[test]
    fn bad_lines_are_named_and_the_others_kept() {
        let good = name("one\ntwo \u{2028}\0");
        let bad = good.replacen("one", "won", 1);
        let text = [
            header(1).as_str(),
            &good,
            &bad,
            "\n",
            &good,
            &good[..good.len() - 3],
        ]
        .concat();
        let journal = read(text.as_bytes());
        let lines: Vec<u32> = journal.entries.iter().map(|(line, _)| *line).collect();
        assert_eq!(lines, [2, 5], "the lines between damaged ones must be read");
        assert_eq!(journal.damaged, [3, 4]);
        assert!(
            journal.torn,
            "a last line without its end was never finished"
        );
    }

    #[test]
    fn a_newer_journal_is_not_guessed_at() {
        assert_eq!(read(b"(format: 9)\nwhatever\n").newer, Some(9));
    }

    #[test]
    fn what_a_file_holds_is_not_made_again() {
        let saved = line(&file::write_saved([FileKey::Yard]).unwrap().text);
        let text = [header(1), name("old"), saved].concat();
        let mut yard = Yard {
            name: "newer than the journal".into(),
            ..Yard::default()
        };
        assert_eq!(
            replay(read(text.as_bytes()), &mut yard),
            Replayed::default()
        );
        assert_eq!(yard.name, "newer than the journal");
    }
}
