//! Every method against reference libraries, on the seeded grid that
//! `tests/reference/reference.py` computes with `SciPy`, statsmodels and plain
//! enumeration; versions in `tests/reference/data/versions.txt`.
//!
//! Closed forms and exact distributions agree to 1e-9 relative, iterated fits to
//! 1e-6, sampled p values within 4 Monte-Carlo standard errors.

use std::path::Path;

use reinback_analysis::agreement::{Event, agreement};
use reinback_analysis::describe::{
    coefficient_of_variation, limits_of_agreement, quantile, theil_sen,
};
use reinback_analysis::dispersion::{design_effect, likeness};
use reinback_analysis::interval::{
    binomial_mid_p, clopper_pearson, garwood, newcombe, newcombe_effective, poisson_mid_p,
    rate_ratio_mid_p, wilson, wilson_effective,
};
use reinback_analysis::kappa::{ac1, kappa};
use reinback_analysis::multiple::adjust;
use reinback_analysis::rank::Prior;
use reinback_analysis::shuffle::{
    SHUFFLES, order_p, order_p_within, sign_p, split_p, split_p_within,
};
use reinback_analysis::stratified::{Stratum, newcombe_stratified, rate_ratio_stratified};
use reinback_analysis::{
    Day, Estimate, InputError, Key, Moment, RidePoint, Tally, runs_test, trend,
};

const CLOSED: f64 = 1e-9;
const ITERATED: f64 = 1e-6;

/// The rows of a method's file, cell by cell.
#[expect(clippy::expect_used, reason = "shared by the tests")]
fn rows(method: &str) -> Vec<Vec<String>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/data");
    let text =
        std::fs::read_to_string(folder.join(method).with_extension("csv")).expect("committed");
    text.lines()
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn real(cell: &str) -> f64 {
    cell.parse().expect("a number")
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn whole(cell: &str) -> u32 {
    cell.parse().expect("a whole number")
}

/// Relative, and absolute below a millionth.
#[track_caller]
fn near(got: f64, wanted: &str, tolerance: f64, row: &[String]) {
    let wanted = real(wanted);
    let scale = got.abs().max(wanted.abs()).max(1e-6);
    assert!(
        (got - wanted).abs() <= tolerance * scale,
        "{got} v {wanted} in {row:?}"
    );
}

/// Checks the ends of a range against the last two cells of every row.
#[track_caller]
#[expect(clippy::expect_used, reason = "shared by the tests")]
fn ranges(method: &str, range: impl Fn(&[String]) -> Result<Estimate, InputError>) {
    for row in &grid(method) {
        let got = range(row).expect("possible input");
        near(got.low, &row[row.len() - 2], CLOSED, row);
        near(got.high, &row[row.len() - 1], CLOSED, row);
    }
}

/// The rows of a method that must have a full grid.
fn grid(method: &str) -> Vec<Vec<String>> {
    let rows = rows(method);
    assert!(rows.len() >= 2_000, "{method}: {} cases", rows.len());
    rows
}

fn reals(cell: &str) -> Vec<f64> {
    cell.split(' ').map(real).collect()
}

#[test]
fn one_proportion() {
    let of = |range: fn(u32, u32, f64) -> Result<Estimate, InputError>| {
        move |row: &[String]| range(whole(&row[0]), whole(&row[1]), real(&row[2]))
    };
    ranges("wilson", of(wilson));
    ranges("clopper_pearson", of(clopper_pearson));
    ranges("binomial_mid_p", of(binomial_mid_p));
    ranges("wilson_effective", |row| {
        wilson_effective(whole(&row[0]), whole(&row[1]), real(&row[2]), real(&row[3]))
    });
}

#[test]
fn one_rate() {
    let of = |range: fn(u32, f64, f64) -> Result<Estimate, InputError>| {
        move |row: &[String]| range(whole(&row[0]), real(&row[1]), real(&row[2]))
    };
    ranges("garwood", of(garwood));
    ranges("poisson_mid_p", of(poisson_mid_p));
}

#[test]
fn a_difference_and_a_ratio() {
    ranges("newcombe", |row| {
        newcombe(
            (whole(&row[0]), whole(&row[1])),
            (whole(&row[2]), whole(&row[3])),
            real(&row[4]),
        )
    });
    ranges("rate_ratio_mid_p", |row| {
        rate_ratio_mid_p(
            (whole(&row[0]), real(&row[1])),
            (whole(&row[2]), real(&row[3])),
            real(&row[4]),
        )
    });
}

fn table(cells: &str) -> Vec<Vec<u32>> {
    let cells: Vec<u32> = cells.split(' ').map(whole).collect();
    let side = (2..20).find(|side| side * side >= cells.len()).unwrap_or(2);
    cells.chunks(side).map(<[u32]>::to_vec).collect()
}

#[test]
fn two_reviewers() {
    for row in &grid("kappas") {
        let (table, level) = (table(&row[0]), real(&row[1]));
        for (figure, first) in [(kappa(&table, level), 2), (ac1(&table, level), 5)] {
            let got = figure.expect("a figure");
            near(got.value, &row[first], CLOSED, row);
            near(got.low, &row[first + 1], CLOSED, row);
            near(got.high, &row[first + 2], CLOSED, row);
        }
    }
}

#[test]
fn several_questions() {
    for row in grid("benjamini_hochberg") {
        let raw: Vec<f64> = row[0].split(' ').map(real).collect();
        for (got, wanted) in adjust(&raw).into_iter().zip(row[1].split(' ')) {
            near(got, wanted, CLOSED, &row);
        }
    }
}

#[test]
fn runs() {
    for row in grid("runs") {
        let sequence: Vec<bool> = row[0][1..].bytes().map(|mark| mark == b'1').collect();
        let found = runs_test(&sequence).expect("both kinds");
        near(found.z, &row[1], CLOSED, &row);
        near(found.p, &row[2], CLOSED, &row);
    }
}

#[test]
fn pulled_rates() {
    for row in grid("beta_posterior") {
        let prior = Prior {
            alpha: real(&row[0]),
            beta: real(&row[1]),
        };
        let got = prior.shrink(real(&row[2]), real(&row[3]));
        near(got.value, &row[4], CLOSED, &row);
        near(got.low, &row[5], CLOSED, &row);
        near(got.high, &row[6], CLOSED, &row);
    }
}

#[test]
fn the_prior_of_pulled_rates() {
    for row in grid("beta_binomial") {
        let counts: Vec<(f64, f64)> = rides(&row[0])
            .iter()
            .map(|(_, ride)| (f64::from(ride.faulty), f64::from(ride.attempts)))
            .collect();
        let prior = Prior::learn(&counts);
        near(prior.mean(), &row[1], ITERATED, &row);
        near(prior.alpha + prior.beta, &row[2], ITERATED, &row);
    }
}

/// "day:faulty/attempts" or "faulty/attempts", parted by blanks.
fn rides(cell: &str) -> Vec<(i32, Tally)> {
    let ride = |text: &str| {
        let (day, counts) = text.split_once(':').unwrap_or(("0", text));
        let (faulty, attempts) = counts.split_once('/').unwrap_or((counts, "0"));
        let tally = Tally {
            faulty: whole(faulty),
            attempts: whole(attempts),
        };
        (day.parse().unwrap_or(0), tally)
    };
    cell.split(' ').map(ride).collect()
}

#[test]
fn the_slope_of_a_trend() {
    for row in grid("logit") {
        let points: Vec<RidePoint> = rides(&row[0])
            .into_iter()
            .zip(0..)
            .map(|((day, tally), ride)| RidePoint {
                ride,
                day: Day(day),
                tally,
            })
            .collect();
        let found = trend(&points, 1).state.expect("eight rides or more");
        let month = found.odds_per_month();
        near(month.value, &row[1], ITERATED, &row);
        near(month.low, &row[2], ITERATED, &row);
        near(month.high, &row[3], ITERATED, &row);
        near(found.dispersion, &row[4], ITERATED, &row);
    }
}

fn scores(rides: &[(i32, Tally)]) -> Vec<f64> {
    let total: Tally = rides.iter().map(|(_, tally)| *tally).sum();
    let pooled = total.share().unwrap_or(0.0);
    rides
        .iter()
        .map(|(_, ride)| f64::from(ride.faulty) - f64::from(ride.attempts) * pooled)
        .collect()
}

fn ordered(row: &[String], seed: u64) -> f64 {
    let rides = rides(&row[0]);
    let days: Vec<f64> = rides.iter().map(|(day, _)| f64::from(*day)).collect();
    order_p(&scores(&rides), &days, seed)
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn dealt(row: &[String], seed: u64) -> f64 {
    let first = row[1].parse().expect("how many");
    split_p(&scores(&rides(&row[0])), first, seed)
}

#[test]
fn every_arrangement_of_up_to_eight_rides() {
    for row in grid("split") {
        near(dealt(&row, 1), &row[2], CLOSED, &row);
    }
    for row in grid("order") {
        near(ordered(&row, 1), &row[1], CLOSED, &row);
    }
    for row in grid("signs") {
        let scores: Vec<f64> = row[0].split(' ').map(real).collect();
        near(sign_p(&scores, 1), &row[1], CLOSED, &row);
    }
}

fn close(got: &Estimate, row: &[String]) {
    let figures = &row[row.len() - 3..];
    near(got.value, &figures[0], CLOSED, row);
    near(got.low, &figures[1], CLOSED, row);
    near(got.high, &figures[2], CLOSED, row);
}

#[test]
fn how_even_and_how_far_apart() {
    for row in grid("evenness") {
        let found = coefficient_of_variation(&reals(&row[0]), real(&row[1]));
        close(&found.expect("a range"), &row);
    }
    for row in grid("limits") {
        let found = limits_of_agreement(&reals(&row[0]), real(&row[1]));
        close(&found.expect("limits"), &row);
    }
}

#[test]
fn slopes_and_quantiles() {
    for row in grid("slope") {
        let point = |text: &str| text.split_once(':').map(|(x, y)| (real(x), real(y)));
        let points: Vec<(f64, f64)> = row[0].split(' ').filter_map(point).collect();
        close(&theil_sen(&points, real(&row[1])).expect("a slope"), &row);
    }
    for row in grid("quantile") {
        let found = quantile(&reals(&row[0]), real(&row[1]));
        near(found.expect("values"), &row[2], CLOSED, &row);
    }
}

#[test]
fn likeness_inside_rides() {
    for row in grid("likeness") {
        let tallies: Vec<Tally> = rides(&row[0]).into_iter().map(|(_, ride)| ride).collect();
        let found = likeness(&[&tallies]);
        near(found.rho, &row[1], ITERATED, &row);
        near(design_effect(&tallies, found.rho), &row[2], ITERATED, &row);
    }
}

#[test]
fn the_most_pairs() {
    for row in grid("pairs") {
        let marks = |cell: &str| -> Vec<Event> {
            let times = cell.split(' ').skip(1).filter(|text| !text.is_empty());
            times
                .map(|ms| Event {
                    at: Moment(i64::from(whole(ms)) * 1_000_000),
                    class: Key(1),
                })
                .collect()
        };
        let tolerance = i64::from(whole(&row[2])) * 1_000_000;
        let found = agreement(&marks(&row[0]), &marks(&row[1]), tolerance).expect("a tolerance");
        assert_eq!(found.pairs.len(), whole(&row[3]) as usize, "{row:?}");
    }
}

/// Two hundred cases of nine to seventeen rides, whose exact p is known.
#[test]
fn sampled_arrangements_are_within_four_standard_errors() {
    let mut cases = 0;
    for (method, p) in [
        ("sampled_split", dealt as fn(&[String], u64) -> f64),
        ("sampled_order", ordered),
    ] {
        for (row, seed) in rows(method).iter().zip(11..) {
            let exact = real(row.last().map_or("", String::as_str));
            let shuffles = f64::from(SHUFFLES);
            // The one seen counts as one more, which lifts p by up to 1 in 10 001.
            let error = (exact * (1.0 - exact) / shuffles).sqrt() + 0.25 / shuffles;
            let got = p(row, seed);
            assert!(
                (got - exact).abs() <= 4.0 * error,
                "{got} v {exact} in {row:?}"
            );
            cases += 1;
        }
    }
    assert_eq!(cases, 200);
}

/// Several horses, each compared with itself.
#[test]
fn differences_and_ratios_over_horses() {
    ranges("newcombe_effective", |row| {
        let pair = |at: usize| (whole(&row[at]), whole(&row[at + 1]));
        newcombe_effective(
            pair(0),
            pair(2),
            (real(&row[4]), real(&row[5])),
            real(&row[6]),
        )
    });
    let horses = |cell: &str| -> Vec<Vec<String>> {
        cell.split(' ')
            .map(|horse| horse.split('/').map(str::to_owned).collect())
            .collect()
    };
    ranges("newcombe_stratified", |row| {
        let strata: Vec<Stratum> = horses(&row[0])
            .iter()
            .map(|own| Stratum {
                one: (whole(&own[0]), whole(&own[1])),
                other: (whole(&own[3]), whole(&own[4])),
                dispersions: (real(&own[2]), real(&own[5])),
            })
            .collect();
        newcombe_stratified(&strata, real(&row[1]))
    });
    ranges("rate_ratio_stratified", |row| {
        let strata: Vec<_> = horses(&row[0])
            .iter()
            .map(|own| {
                (
                    (whole(&own[0]), real(&own[1])),
                    (whole(&own[2]), real(&own[3])),
                )
            })
            .collect();
        rate_ratio_stratified(&strata, real(&row[1]))
    });
}

#[test]
fn every_arrangement_inside_each_horse() {
    for row in grid("split_within") {
        let horses: Vec<(Vec<f64>, usize)> = row[0]
            .split(';')
            .map(|cell| {
                let (cells, first) = cell.rsplit_once(' ').expect("how many");
                (scores(&rides(cells)), first.parse().expect("a number"))
            })
            .collect();
        let groups: Vec<(&[f64], usize)> = horses
            .iter()
            .map(|(scores, first)| (scores.as_slice(), *first))
            .collect();
        near(split_p_within(&groups, 1), &row[1], CLOSED, &row);
    }
    for row in grid("order_within") {
        let horses: Vec<(Vec<f64>, Vec<f64>)> = row[0]
            .split(';')
            .map(|cell| {
                let rides = rides(cell);
                let days = rides.iter().map(|(day, _)| f64::from(*day)).collect();
                (scores(&rides), days)
            })
            .collect();
        let groups: Vec<(&[f64], &[f64])> = horses
            .iter()
            .map(|(scores, days)| (scores.as_slice(), days.as_slice()))
            .collect();
        near(order_p_within(&groups, 1), &row[1], CLOSED, &row);
    }
}
