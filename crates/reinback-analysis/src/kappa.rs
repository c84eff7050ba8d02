//! Agreement on classes beyond chance, from a table of two reviewers.

use crate::estimate::{Estimate, InputError, Method};
use crate::special::{normal_two_sided, real};

/// Shares of a square table.
struct Shares {
    cells: Vec<Vec<f64>>,
    rows: Vec<f64>,
    columns: Vec<f64>,
    total: f64,
}

impl Shares {
    fn new(table: &[Vec<u32>]) -> Result<Self, InputError> {
        let total: f64 = table.iter().flatten().map(|count| f64::from(*count)).sum();
        if total <= 0.0 || table.iter().any(|row| row.len() != table.len()) {
            return Err(InputError::NothingToDivideBy);
        }
        let cells: Vec<Vec<f64>> = table
            .iter()
            .map(|row| row.iter().map(|count| f64::from(*count) / total).collect())
            .collect();
        Ok(Self {
            rows: cells.iter().map(|row| row.iter().sum()).collect(),
            columns: (0..cells.len())
                .map(|column| cells.iter().map(|row| row[column]).sum())
                .collect(),
            cells,
            total,
        })
    }

    fn observed(&self) -> f64 {
        (0..self.cells.len())
            .map(|class| self.cells[class][class])
            .sum()
    }

    /// Sums a function of row and column over the table, weighted by its shares.
    fn weigh(&self, function: impl Fn(usize, usize) -> f64) -> f64 {
        let mut sum = 0.0;
        for (row, cells) in self.cells.iter().enumerate() {
            for (column, share) in cells.iter().enumerate() {
                sum += share * function(row, column);
            }
        }
        sum
    }
}

fn estimate(value: f64, variance: f64, level: f64, method: Method) -> Result<Estimate, InputError> {
    if !(level > 0.0 && level < 1.0) {
        return Err(InputError::Level);
    }
    let reach = normal_two_sided(level) * variance.max(0.0).sqrt();
    Estimate::new(
        value,
        (value - reach).max(-1.0),
        (value + reach).min(1.0),
        level,
        method,
    )
}

/// Cohen's kappa of a square table of counts, from -1 to 1.
///
/// `(p_o - p_e) / (1 - p_e)` with `p_e = Σ r_i c_i` (Cohen 1960, Educ Psychol
/// Meas 20:37-46); standard error of Fleiss, Cohen & Everitt 1969 (Psychol Bull
/// 72:323-327). Where one class is much more frequent than the others kappa is
/// low however well the two agree; read it beside the plain share and
/// [`ac1`].
///
/// # Errors
///
/// [`InputError::NothingToDivideBy`] for an empty or not square table;
/// [`InputError::NotFinite`] where both use a single class.
///
/// ```
/// use reinback_analysis::kappa::kappa;
/// // Cohen 1960 (recalled): 0.492
/// let table = [vec![88, 10, 2], vec![14, 40, 6], vec![18, 10, 12]];
/// assert!((kappa(&table, 0.95)?.value - 0.492).abs() < 6e-4);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn kappa(table: &[Vec<u32>], level: f64) -> Result<Estimate, InputError> {
    let shares = Shares::new(table)?;
    let (rows, columns) = (&shares.rows, &shares.columns);
    let chance: f64 = rows.iter().zip(columns).map(|(r, c)| r * c).sum();
    let observed = shares.observed();
    let value = (observed - chance) / (1.0 - chance);
    let sum = shares.weigh(|row, column| {
        let both = columns[row] + rows[column];
        if row == column {
            (1.0 - both * (1.0 - value)).powi(2)
        } else {
            (both * (1.0 - value)).powi(2)
        }
    });
    let centre = value - chance * (1.0 - value);
    let variance = (sum - centre * centre) / (shares.total * (1.0 - chance).powi(2));
    estimate(value, variance, level, Method::Kappa)
}

/// Gwet's AC1 of a square table of counts, from -1 to 1: as kappa, but chance
/// agreement does not rise where one class is frequent.
///
/// `p_e = Σ π_i (1 - π_i) / (q - 1)` with `π_i` the mean of the two reviewers'
/// shares of class `i` of `q`. Value and variance: Gwet 2008, Br J Math Stat
/// Psychol 61:29-48 (formula recalled; the variance agrees with a numerical
/// delta method, see `tests/reference`).
///
/// # Errors
///
/// [`InputError::NothingToDivideBy`] for a table that is empty, not square, or
/// of a single class.
///
/// ```
/// use reinback_analysis::kappa::{ac1, kappa};
/// // Gwet 2002 (recalled): 118 of 125 alike, yet kappa is negative
/// let table = [vec![118, 5], vec![2, 0]];
/// assert!(kappa(&table, 0.95)?.value < 0.0);
/// assert!((ac1(&table, 0.95)?.value - 0.9408).abs() < 6e-5);
/// # Ok::<(), reinback_analysis::InputError>(())
/// ```
pub fn ac1(table: &[Vec<u32>], level: f64) -> Result<Estimate, InputError> {
    let shares = Shares::new(table)?;
    if table.len() < 2 {
        return Err(InputError::NothingToDivideBy);
    }
    let others = real(table.len()) - 1.0;
    let usual: Vec<f64> = shares
        .rows
        .iter()
        .zip(&shares.columns)
        .map(|(r, c)| 0.5 * (r + c))
        .collect();
    let chance: f64 = usual.iter().map(|share| share * (1.0 - share)).sum::<f64>() / others;
    let observed = shares.observed();
    let value = (observed - chance) / (1.0 - chance);
    // Delta method: each cell's pull on the value, its variance over the table.
    let pull = |row: usize, column: usize| {
        let on_chance = (1.0 - usual[row] - usual[column]) / others;
        f64::from(u8::from(row == column)) - (1.0 - value) * on_chance
    };
    let mean = shares.weigh(pull);
    let spread = shares.weigh(|row, column| (pull(row, column) - mean).powi(2));
    let variance = spread / (shares.total * (1.0 - chance).powi(2));
    estimate(value, variance, level, Method::Ac1)
}
