//! The best way to pair two lists of marks.

use crate::agreement::{Event, MOST_TOGETHER};
use crate::time::Moment;

/// Most pairs, then most of the same class, then least total delay; sorted.
/// `None` where more than [`MOST_TOGETHER`] marks of a list depend on each other.
pub(crate) fn best_pairs(
    first: &[Event],
    second: &[Event],
    tolerance: i64,
) -> Option<Vec<(usize, usize)>> {
    let mut all: Vec<Entry> = Vec::with_capacity(first.len() + second.len());
    for (marks, of_first) in [(first, true), (second, false)] {
        all.extend(marks.iter().enumerate().map(|(place, event)| Entry {
            at: event.at,
            of_first,
            place,
        }));
    }
    all.sort_unstable();
    let mut pairs = Vec::new();
    // Marks further apart than the tolerance cannot depend on each other.
    for group in all.chunk_by(|one, next| next.at.0.saturating_sub(one.at.0) <= tolerance) {
        let of = |of_first: bool| -> Vec<usize> {
            let chosen = group.iter().filter(|entry| entry.of_first == of_first);
            chosen.map(|entry| entry.place).collect()
        };
        let (rows, columns) = (of(true), of(false));
        if rows.len().max(columns.len()) > MOST_TOGETHER {
            return None;
        }
        let worth =
            |row: usize, column: usize| worth(first[rows[row]], second[columns[column]], tolerance);
        for (row, column) in assign(rows.len(), columns.len(), &worth) {
            pairs.push((rows[row], columns[column]));
        }
    }
    pairs.sort_unstable();
    Some(pairs)
}

#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Entry {
    at: Moment,
    of_first: bool,
    place: usize,
}

/// What a pair is worth; 0 where the two are too far apart. A pair outweighs
/// any number of equal classes, and those any delay.
fn worth(one: Event, other: Event, tolerance: i64) -> i128 {
    const A_CLASS: i128 = 1 << 50;
    const A_PAIR: i128 = 1 << 70;
    let apart = (i128::from(one.at.0) - i128::from(other.at.0)).abs();
    if apart > i128::from(tolerance) {
        return 0;
    }
    let same = i128::from(u8::from(one.class == other.class));
    A_PAIR + same * A_CLASS - apart
}

/// The assignment of rows to columns with the greatest total worth, without
/// pairs worth nothing: the Hungarian method with potentials, row by row.
fn assign(
    rows: usize,
    columns: usize,
    worth: &dyn Fn(usize, usize) -> i128,
) -> Vec<(usize, usize)> {
    if rows > columns {
        let turned = assign(columns, rows, &|row, column| worth(column, row));
        return turned
            .into_iter()
            .map(|(row, column)| (column, row))
            .collect();
    }
    let mut search = Search {
        of_row: vec![0; rows],
        of_column: vec![0; columns],
        holder: vec![None; columns],
    };
    for row in 0..rows {
        search.place(row, worth);
    }
    let held = search.holder.iter().enumerate();
    held.filter_map(|(column, row)| row.map(|row| (row, column)))
        .filter(|(row, column)| worth(*row, *column) > 0)
        .collect()
}

/// Potentials of rows and columns, and which row holds which column.
struct Search {
    of_row: Vec<i128>,
    of_column: Vec<i128>,
    holder: Vec<Option<usize>>,
}

impl Search {
    /// Finds a column for one more row along the cheapest alternating path.
    fn place(&mut self, row: usize, worth: &dyn Fn(usize, usize) -> i128) {
        let columns = self.of_column.len();
        let mut slack = vec![i128::MAX; columns];
        let mut came_from: Vec<Option<usize>> = vec![None; columns];
        let mut reached = vec![false; columns];
        let mut at: Option<usize> = None;
        let mut current = row;
        loop {
            for column in 0..columns {
                let cost = -worth(current, column) - self.of_row[current] - self.of_column[column];
                if !reached[column] && cost < slack[column] {
                    slack[column] = cost;
                    came_from[column] = at;
                }
            }
            // There are at least as many columns as rows, so one is left.
            let open = (0..columns).filter(|column| !reached[*column]);
            let Some(next) = open.min_by_key(|column| slack[*column]) else {
                return;
            };
            let step = slack[next];
            self.of_row[row] += step;
            for column in 0..columns {
                if reached[column] {
                    self.of_column[column] -= step;
                    if let Some(holder) = self.holder[column] {
                        self.of_row[holder] += step;
                    }
                } else {
                    slack[column] -= step;
                }
            }
            reached[next] = true;
            at = Some(next);
            match self.holder[next] {
                Some(holder) => current = holder,
                None => break,
            }
        }
        while let Some(column) = at {
            at = came_from[column];
            self.holder[column] = at.map_or(Some(row), |before| self.holder[before]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::observation::Key;
    use crate::special::count;
    use proptest::prelude::*;

    fn total(first: &[Event], second: &[Event], pairs: &[(usize, usize)], tolerance: i64) -> i128 {
        pairs
            .iter()
            .map(|(one, other)| worth(first[*one], second[*other], tolerance))
            .sum()
    }

    /// The greatest total over every way to pair, tried one by one.
    fn best(first: &[Event], second: &[Event], tolerance: i64, used: &mut Vec<bool>) -> i128 {
        let Some((one, rest)) = first.split_first() else {
            return 0;
        };
        let mut best_total = best(rest, second, tolerance, used);
        for other in 0..second.len() {
            let gain = worth(*one, second[other], tolerance);
            if gain > 0 && !used[other] {
                used[other] = true;
                best_total = best_total.max(gain + best(rest, second, tolerance, used));
                used[other] = false;
            }
        }
        best_total
    }

    /// Pairs possible at most, for the tests: augmenting paths alone.
    fn most_pairs(first: &[Event], second: &[Event], tolerance: i64) -> u32 {
        fn augment(
            row: usize,
            edges: &[Vec<usize>],
            seen: &mut [bool],
            holder: &mut [Option<usize>],
        ) -> bool {
            for &column in &edges[row] {
                if std::mem::replace(&mut seen[column], true) {
                    continue;
                }
                if holder[column].is_none_or(|other| augment(other, edges, seen, holder)) {
                    holder[column] = Some(row);
                    return true;
                }
            }
            false
        }
        let edges: Vec<Vec<usize>> = first
            .iter()
            .map(|one| {
                (0..second.len())
                    .filter(|other| worth(*one, second[*other], tolerance) > 0)
                    .collect()
            })
            .collect();
        let mut holder = vec![None; second.len()];
        let found = (0..first.len())
            .filter(|row| augment(*row, &edges, &mut vec![false; second.len()], &mut holder));
        count(found.count())
    }

    fn events() -> impl Strategy<Value = Vec<Event>> {
        proptest::collection::vec((0_i64..30, 0_u32..3), 0..6).prop_map(|marks| {
            marks
                .into_iter()
                .map(|(at, class)| Event {
                    at: Moment(at),
                    class: Key(class),
                })
                .collect()
        })
    }

    proptest! {
        #[test]
        fn no_other_pairing_is_better(first in events(), second in events(), tolerance in 0_i64..8) {
            let pairs = best_pairs(&first, &second, tolerance).expect("few");
            let wanted = best(&first, &second, tolerance, &mut vec![false; second.len()]);
            prop_assert_eq!(total(&first, &second, &pairs, tolerance), wanted);
            prop_assert_eq!(count(pairs.len()), most_pairs(&first, &second, tolerance));
        }
    }
}
