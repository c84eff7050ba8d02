//! Test sheets to begin with. Nothing here is a rule: every edition is to be checked against the
//! sheet in force, and every line can be changed.
//!
//! Read: the numbers of movements, how many of them count twice, the mark for the general
//! impression and the most points (470 on a printed sheet, 460 in the press only); for the Grand
//! Prix Special also which movements count twice. Recalled: the order of the movements, and which ones of the Grand Prix
//! count twice. The words are ours.

use crate::id::{IdMaker, SheetId};
use crate::model::{ErrorRules, LineKind, SheetLine, Step, TestSheet};
use crate::words::WordId;

/// The sheets that are offered, each with an id of its own, as copies to be changed at will.
#[must_use]
pub fn offered(ids: &mut IdMaker) -> Vec<TestSheet> {
    vec![
        ready(ids.next(), "Grand Prix", 460, GRAND_PRIX),
        ready(ids.next(), "Grand Prix Special", 470, SPECIAL),
    ]
}

/// A sheet with one line, to be filled by hand.
#[must_use]
pub fn empty(id: SheetId, name: &str) -> TestSheet {
    TestSheet {
        id,
        name: name.to_owned(),
        as_of: String::new(),
        lines: vec![line(Some(1), "", 1, LineKind::Movement, "")],
        printed_most: None,
        rules: rules(),
        decimals: 3,
    }
}

/// What stands beside the sheets that are offered.
const AS_OF: &str = "as of about 2021; the order of the movements, and which count twice, partly recalled. Check the current sheet";

fn ready(id: SheetId, name: &str, most: u32, movements: &[(&str, u8, &str)]) -> TestSheet {
    let movements = movements.iter().zip(1..);
    let mut lines: Vec<SheetLine> = movements
        .map(|((text, coefficient, exercise), number)| {
            line(
                Some(number),
                text,
                *coefficient,
                LineKind::Movement,
                exercise,
            )
        })
        .collect();
    lines.push(line(None, "general impression", 2, LineKind::General, ""));
    TestSheet {
        id,
        name: name.to_owned(),
        as_of: AS_OF.to_owned(),
        lines,
        printed_most: Some(most),
        rules: rules(),
        decimals: 3,
    }
}

fn line(
    number: Option<u16>,
    text: &str,
    coefficient: u8,
    kind: LineKind,
    exercise: &str,
) -> SheetLine {
    SheetLine {
        number,
        text: text.to_owned(),
        coefficient,
        step: Step::Half,
        kind,
        exercise: WordId::new(exercise).ok(),
    }
}

/// The newest of the sets of errors that are known.
fn rules() -> ErrorRules {
    let mut known = ErrorRules::proposals();
    known.truncate(1);
    known.pop().unwrap_or_else(|| ErrorRules {
        name: String::new(),
        as_of: String::new(),
        costs: Vec::new(),
        eliminates: true,
        known: reinback_analysis::sheet::Known::Own,
    })
}

/// Words, coefficient, the yard's word for the exercise.
type Movement = (&'static str, u8, &'static str);

const GRAND_PRIX: &[Movement] = &[
    ("entry, halt", 1, "halt"),
    ("extended trot", 1, "extended-trot"),
    ("half-pass left", 2, "half-pass"),
    ("half-pass right", 2, "half-pass"),
    ("rein-back", 1, "rein-back"),
    ("extended trot after the rein-back", 1, "extended-trot"),
    ("transitions of the trot", 1, "transition-within-trot"),
    ("passage, first", 1, "passage"),
    ("piaffe, first", 2, "piaffe"),
    (
        "transitions passage to piaffe, first",
        1,
        "piaffe-passage-transition",
    ),
    ("passage, second", 1, "passage"),
    ("extended walk", 2, "extended-walk"),
    ("collected walk", 2, "walk"),
    ("transition walk to passage", 1, ""),
    ("passage, third", 1, "passage"),
    ("piaffe, second", 2, "piaffe"),
    (
        "transitions passage to piaffe, second",
        1,
        "piaffe-passage-transition",
    ),
    ("passage, fourth", 1, "passage"),
    ("transition passage to canter", 1, ""),
    (
        "nine changes every second stride",
        1,
        "changes-every-2nd-stride",
    ),
    ("extended canter", 1, "extended-canter"),
    ("collected canter and change", 1, "flying-change"),
    ("canter zigzag", 2, "counter-change-of-hand"),
    ("fifteen changes every stride", 2, "changes-every-stride"),
    ("pirouette left", 2, "full-pirouette-in-canter"),
    ("change between the pirouettes", 1, "flying-change"),
    ("pirouette right", 2, "full-pirouette-in-canter"),
    ("transition to collected trot", 1, ""),
    ("extended trot, last", 1, "extended-trot"),
    ("passage, fifth", 1, "passage"),
    ("piaffe, third", 2, "piaffe"),
    (
        "transitions passage to piaffe, third",
        1,
        "piaffe-passage-transition",
    ),
    ("centre line, halt", 1, "halt"),
];

const SPECIAL: &[Movement] = &[
    ("entry, halt", 1, "halt"),
    ("extended trot", 1, "extended-trot"),
    ("half-pass right", 2, "half-pass"),
    ("passage, first", 1, "passage"),
    ("extended trot, second", 1, "extended-trot"),
    ("half-pass left", 2, "half-pass"),
    ("passage, second", 1, "passage"),
    ("extended trot, third", 1, "extended-trot"),
    ("transitions of the trot", 1, "transition-within-trot"),
    ("extended walk", 2, "extended-walk"),
    ("transition walk to passage", 1, ""),
    ("passage, third", 1, "passage"),
    ("piaffe, first", 2, "piaffe"),
    (
        "transitions passage to piaffe, first",
        1,
        "piaffe-passage-transition",
    ),
    ("passage, fourth", 1, "passage"),
    ("piaffe, second", 2, "piaffe"),
    (
        "transitions passage to piaffe, second",
        1,
        "piaffe-passage-transition",
    ),
    ("collected walk", 2, "walk"),
    ("transition walk to canter", 1, ""),
    ("half-pass left in canter", 1, "half-pass"),
    (
        "nine changes every second stride",
        1,
        "changes-every-2nd-stride",
    ),
    ("half-pass right in canter", 1, "half-pass"),
    ("extended canter", 1, "extended-canter"),
    ("collected canter and change", 1, "flying-change"),
    ("fifteen changes every stride", 1, "changes-every-stride"),
    ("pirouette left", 2, "full-pirouette-in-canter"),
    (
        "nine changes every stride on the centre line",
        1,
        "changes-every-stride",
    ),
    ("pirouette right", 2, "full-pirouette-in-canter"),
    ("transition to collected trot", 1, ""),
    ("extended trot, last", 1, "extended-trot"),
    ("transition trot to passage", 1, ""),
    ("passage, fifth", 1, "passage"),
    ("piaffe, third", 2, "piaffe"),
    (
        "transitions passage to piaffe, third",
        1,
        "piaffe-passage-transition",
    ),
    ("passage, last", 1, "passage"),
    ("centre line, halt", 1, "halt"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Words;

    /// Movements and how many count twice: read ("33 movements, 11 of them twice"; "36, 9 twice"),
    /// and the most points as printed.
    #[test]
    fn the_sheets_come_to_what_is_printed() {
        let sheets = offered(&mut IdMaker::seeded(1));
        for (sheet, (movements, double, most)) in sheets.iter().zip([(33, 11, 460), (36, 9, 470)]) {
            let of = |kind| sheet.lines.iter().filter(move |line| line.kind == kind);
            assert_eq!(of(LineKind::Movement).count(), movements, "{}", sheet.name);
            let twice = of(LineKind::Movement).filter(|line| line.coefficient == 2);
            assert_eq!(twice.count(), double, "{}", sheet.name);
            assert_eq!(of(LineKind::General).count(), 1);
            assert_eq!((sheet.most(), sheet.printed_most), (most, Some(most)));
            assert!(sheet.as_of.contains("Check the current sheet"));
            let numbers: Vec<_> = sheet.lines.iter().map_while(|line| line.number).collect();
            assert!(
                numbers
                    .iter()
                    .copied()
                    .eq(1..=u16::try_from(movements).expect("few"))
            );
        }
    }

    /// The Special's nine, as read on the sheet: two half-passes in trot, both walks, three piaffes
    /// and both pirouettes.
    #[test]
    fn what_counts_twice_in_the_special() {
        let sheet = offered(&mut IdMaker::seeded(1)).swap_remove(1);
        let twice: Vec<&str> = sheet
            .lines
            .iter()
            .filter(|line| line.coefficient == 2 && line.kind == LineKind::Movement)
            .filter_map(|line| line.exercise.as_ref().map(WordId::as_str))
            .collect();
        let mut wanted = vec!["extended-walk", "walk"];
        wanted.extend(["half-pass"; 2]);
        wanted.extend(["piaffe"; 3]);
        wanted.extend(["full-pirouette-in-canter"; 2]);
        let mut twice = twice;
        twice.sort_unstable();
        wanted.sort_unstable();
        assert_eq!(twice, wanted);
    }

    #[test]
    fn lines_name_words_the_yard_begins_with() {
        let words = Words::default();
        for sheet in offered(&mut IdMaker::seeded(1)) {
            let named = sheet.lines.iter().filter_map(|line| line.exercise.as_ref());
            assert!(named.clone().count() > 28, "{}", sheet.name);
            for word in named {
                assert!(words.exercise(word).is_some(), "{word}");
            }
        }
    }
}
