//! Every published worked example that is at hand, whatever it is of.
//!
//! The examples lie beside the project in a file that is not part of it; `REINBACK_REFERENCE` names
//! it, and without it the test says so and passes. Each example of the families below is either
//! worked through here or stands in [`NOT_USED`] with the reason, so that a new one cannot be
//! overlooked. The same figures stand in `reference.rs` with their sources, for every machine.

#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "what a test reads may fail as the test does; its counts are small"
)]

use std::collections::BTreeMap;
use std::fmt::Write as _;

use reinback_analysis::after_mistake::Transitions;
use reinback_analysis::describe::{coefficient_of_variation, limits_of_agreement, theil_sen};
use reinback_analysis::dispersion::likeness;
use reinback_analysis::exact::{self, ExactTest, fisher};
use reinback_analysis::gamma_prior::GammaPrior;
use reinback_analysis::interval::{
    binomial_mid_p, clopper_pearson, garwood, newcombe, poisson_mid_p, rate_ratio_mid_p, wilson,
};
use reinback_analysis::kappa::{ac1, kappa};
use reinback_analysis::multiple::{FALSE_DISCOVERY_RATE, adjust, holm};
use reinback_analysis::rank::Prior;
use reinback_analysis::shuffle::split_p;
use reinback_analysis::{Estimate, Tally, runs_test};
use serde_json::Value;

/// The families of examples; everything else in the file is about times, charts or signals.
const FAMILIES: [&str; 24] = [
    "binom-",
    "diff-",
    "ratio-",
    "fisher-",
    "boschloo-",
    "barnard-",
    "poisson-",
    "etest-",
    "overdisp-",
    "trend-",
    "mk-",
    "smk-",
    "theilsen-",
    "kappa-",
    "ac1-",
    "kripp-",
    "bland-",
    "icc-",
    "bh1995-",
    "holm1995-",
    "js-",
    "bb-",
    "gp-",
    "runs-",
];

/// More of them, whose names say less.
const MORE: [&str; 2] = ["hothand-", "cv-"];

/// Examples of methods that no measure uses, with the reason.
const NOT_USED: &[(&str, &str)] = &[
    (
        "binom-wilsoncc-",
        "the score range is used without continuity correction",
    ),
    (
        "binom-jeffreys-",
        "no Bayesian range of a single rate is used",
    ),
    (
        "binom-exact-test-",
        "no single rate is tested against a fixed one",
    ),
    (
        "diff-newcombe11-",
        "the hybrid range is used without continuity correction",
    ),
    ("diff-mn-", "the hybrid score range is used for differences"),
    (
        "diff-mee-",
        "the hybrid score range is used for differences",
    ),
    (
        "diff-agresticaffo-",
        "the hybrid score range is used for differences",
    ),
    (
        "ratio-katz-",
        "rates of attempts are compared by their difference",
    ),
    (
        "ratio-moverR-",
        "rates of attempts are compared by their difference",
    ),
    ("boschloo-", "whole rides are shuffled instead"),
    ("barnard-", "whole rides are shuffled instead"),
    ("poisson-score-", "counts get exact and mid-p limits"),
    ("poisson-byar-", "counts get exact and mid-p limits"),
    ("poisson-jeffreys-", "counts get exact and mid-p limits"),
    ("poisson-horsekick-mean", "a mean, no method"),
    (
        "ratio-poisson-gu-wald",
        "large-sample tests of rates are not used",
    ),
    (
        "ratio-poisson-gu-score",
        "large-sample tests of rates are not used",
    ),
    (
        "ratio-poisson-gu-sqrt",
        "large-sample tests of rates are not used",
    ),
    ("ratio-poisson-mover-", "the ratio has conditional limits"),
    ("etest-", "the conditional test is used"),
    (
        "overdisp-poisson-",
        "dispersion is of attempts, not of counts",
    ),
    ("smk-", "no test by season"),
    ("kappa-weighted-", "classes have no order"),
    ("kappa-sas-3x3-linear", "classes have no order"),
    ("kripp-", "two reviewers are compared by kappa and AC1"),
    ("icc-", "reviewers give classes, no measurements"),
    ("js-", "rates are pulled by the beta-binomial model"),
    (
        "bb-rats-moments",
        "the prior is found by maximum likelihood",
    ),
    ("bb-rats-hyper-", "the prior is found by maximum likelihood"),
    (
        "hothand-gvt-",
        "rounded shares, from which no counts can be had",
    ),
    ("cv-kelley-", "evenness has McKay's range"),
];

fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("no {key} in {value}"))
}

fn whole(value: &Value, key: &str) -> u32 {
    u32::try_from(
        value[key]
            .as_u64()
            .unwrap_or_else(|| panic!("no {key} in {value}")),
    )
    .expect("a small number")
}

fn list(value: &Value) -> Vec<f64> {
    let all = value
        .as_array()
        .unwrap_or_else(|| panic!("no list: {value}"));
    all.iter()
        .map(|one| one.as_f64().expect("a number"))
        .collect()
}

fn table(value: &Value) -> Vec<Vec<u32>> {
    let rows = value.as_array().expect("rows");
    let cell = |cell: f64| u32::try_from(cell as i64).expect("a count");
    rows.iter()
        .map(|row| list(row).into_iter().map(cell).collect())
        .collect()
}

/// What the crate says, what was published, and what the latter is called where it has a name.
type Found = Vec<(f64, f64, &'static str)>;

fn ends(range: Estimate, expected: &Value) -> Found {
    let wanted = list(expected);
    vec![(range.low, wanted[0], ""), (range.high, wanted[1], "")]
}

/// Rates, differences and ratios.
fn rates(id: &str, inputs: &Value, expected: &Value) -> Option<Found> {
    let level = || number(inputs, "level");
    let one = || (whole(inputs, "k"), whole(inputs, "n"));
    let two = || {
        (
            (whole(inputs, "k1"), whole(inputs, "n1")),
            (whole(inputs, "k2"), whole(inputs, "n2")),
        )
    };
    let starts = |prefix: &str| id.starts_with(prefix);
    let said = || expected.as_f64().expect("a number");
    let range = |range: Result<Estimate, _>| Some(ends(range.expect("a range"), expected));
    if starts("binom-wilson-") {
        range(wilson(one().0, one().1, level()))
    } else if starts("binom-cp-") {
        range(clopper_pearson(one().0, one().1, level()))
    } else if starts("binom-midp-") {
        range(binomial_mid_p(one().0, one().1, level()))
    } else if starts("diff-newcombe10-") {
        range(newcombe(two().0, two().1, level()))
    } else if id == "fisher-tea-greater" {
        // every cup a ride of its own; both sides are alike
        let cups = [1.0, 1.0, 1.0, 0.0, 1.0, 0.0, 0.0, 0.0];
        Some(vec![(split_p(&cups, 4, 1) / 2.0, said(), "")])
    } else if id == "fisher-ritland" || id == "fisher-midp-ritland" {
        let rows = table(&inputs["table"]);
        let row = |row: &[u32]| (row[0], row[0] + row[1]);
        let found = fisher(row(&rows[0]), row(&rows[1])).expect("a table");
        let mid_p = id == "fisher-midp-ritland";
        let p = if mid_p {
            found.mid_p()
        } else {
            found.two_sided
        };
        Some(vec![(p, said(), "")])
    } else if id == "ratio-poisson-gu-exact-cond" {
        Some(vec![(two_rates(inputs).greater, said(), "")])
    } else if id == "ratio-poisson-fay-2-10" {
        // R's range beside it is the exact one of the share, turned back into the ratio
        let (one, other) = (whole(inputs, "x1"), whole(inputs, "x2"));
        let share = clopper_pearson(one, one + other, level()).expect("a range");
        let times = number(inputs, "t2") / number(inputs, "t1");
        let ratio = |share: f64| share / (1.0 - share) * times;
        let wanted = list(&expected["ci"]);
        Some(vec![
            (ratio(share.value), number(expected, "rr"), "rr"),
            (ratio(share.low), wanted[0], "ci"),
            (ratio(share.high), wanted[1], "ci"),
            (
                two_rates(inputs).two_sided,
                number(expected, "p_minlike"),
                "p_minlike",
            ),
        ])
    } else if starts("poisson-garwood-") || starts("poisson-exact-") {
        range(garwood(
            whole(inputs, "x"),
            number(inputs, "exposure"),
            level(),
        ))
    } else if id == "poisson-midp-upper-15-400" {
        let found = poisson_mid_p(whole(inputs, "x"), number(inputs, "exposure"), level());
        Some(vec![(found.expect("a range").high, said(), "")])
    } else if id == "ratio-poisson-gu-cond-midp" {
        Some(vec![
            (ratio_p(inputs), said(), ""),
            (two_rates(inputs).greater_mid_p(), said(), ""),
        ])
    } else if id == "overdisp-binomial-wb" {
        let faulty = list(&inputs["x"]);
        let size = inputs["size"]
            .as_f64()
            .or_else(|| inputs["n"].as_f64())
            .unwrap_or(50.0);
        let rides: Vec<Tally> = faulty
            .iter()
            .map(|faulty| Tally {
                faulty: *faulty as u32,
                attempts: size as u32,
            })
            .collect();
        let ratio = 1.0 + (size - 1.0) * likeness(&[&rides]).rho;
        Some(vec![(ratio, number(expected, "ratio"), "ratio")])
    } else {
        None
    }
}

/// Slopes and two reviewers.
fn slopes_and_reviewers(id: &str, inputs: &Value, expected: &Value) -> Option<Found> {
    let said = || expected.as_f64().expect("a number");
    let level = || number(inputs, "level");
    if id.starts_with("mk-epa-") {
        let points: Vec<(f64, f64)> = list(&inputs["x"])
            .into_iter()
            .zip(list(&inputs["y"]))
            .collect();
        let found = theil_sen(&points, 0.95).expect("a slope");
        let ci = list(&expected["ci"]);
        let slope = number(expected, "slope");
        Some(vec![
            (found.value, slope, "slope"),
            (found.low, ci[0], "ci"),
            (found.high, ci[1], "ci"),
        ])
    } else if id == "theilsen-sen1968" {
        let points: Vec<(f64, f64)> = list(&inputs["x"])
            .into_iter()
            .zip(list(&inputs["y"]))
            .collect();
        Some(vec![(
            theil_sen(&points, level()).expect("a slope").value,
            number(expected, "slope"),
            "slope",
        )])
    } else if id == "kappa-sas-3x3" {
        let found = kappa(&table(&inputs["table"]), level()).expect("kappa");
        let wanted = list(expected);
        Some(vec![
            (found.value, wanted[0], ""),
            (found.low, wanted[2], ""),
            (found.high, wanted[3], ""),
        ])
    } else if id == "kappa-cohen1960" || id == "kappa-gwet-abstractors" {
        Some(vec![(
            kappa(&table(&inputs["table"]), 0.95).expect("kappa").value,
            said(),
            "",
        )])
    } else if id == "ac1-gwet-abstractors" {
        Some(vec![(
            ac1(&table(&inputs["table"]), 0.95).expect("AC1").value,
            said(),
            "",
        )])
    } else if id == "ac1-gwet2002" {
        let table = table(&inputs["table"]);
        let (one, other) = (
            kappa(&table, 0.95).expect("kappa"),
            ac1(&table, 0.95).expect("AC1"),
        );
        Some(vec![
            (one.value, number(expected, "kappa"), "kappa"),
            (other.value, number(expected, "ac1"), "ac1"),
        ])
    } else if id == "bland-altman-pefr" {
        let differences: Vec<f64> = list(&inputs["a"])
            .iter()
            .zip(list(&inputs["b"]))
            .map(|(a, b)| a - b)
            .collect();
        let found = limits_of_agreement(&differences, 0.95).expect("limits");
        // the paper takes 2 where a range of 95 % takes 1.96
        let reach = (found.high - found.value) / 1.959_963_984_540_054;
        let wanted = list(&expected["loa"]);
        Some(vec![
            (found.value, number(expected, "mean"), "mean"),
            (reach, number(expected, "sd"), "sd"),
            (found.value - 2.0 * reach, wanted[0], "loa"),
            (found.value + 2.0 * reach, wanted[1], "loa"),
        ])
    } else {
        None
    }
}

/// Many questions at once, pulled rates, and what follows on what.
fn many_and_in_order(id: &str, inputs: &Value, expected: &Value, lew: &[f64]) -> Option<Found> {
    let said = || expected.as_f64().expect("a number");
    if id == "bh1995-reject" {
        let found = adjust(&list(&inputs["p"]));
        let rejected = found.iter().filter(|p| **p <= FALSE_DISCOVERY_RATE).count();
        Some(vec![(rejected as f64, number(expected, "bh"), "")])
    } else if id == "holm1995-reject" {
        let found = holm(&list(&inputs["p"]));
        let alpha = number(inputs, "alpha");
        let rejected = found.iter().filter(|p| **p <= alpha).count();
        Some(vec![(rejected as f64, said(), "")])
    } else if id == "gp-kidney" {
        let prior = GammaPrior {
            shape: number(inputs, "prior_shape"),
            exposure: number(inputs, "prior_rate"),
        };
        let pulled = |k: f64| prior.shrink(k, number(inputs, "exposure")).value;
        let posts = list(&inputs["y"]).into_iter().map(pulled);
        let mut found = vec![(prior.mean(), number(expected, "prior_mean"), "")];
        found.extend(posts.zip(list(&expected["post"])).map(|(a, b)| (a, b, "")));
        Some(found)
    } else if id == "bb-rats-posterior" {
        let prior = Prior {
            alpha: number(inputs, "alpha"),
            beta: number(inputs, "beta"),
        };
        let found = prior.shrink(number(inputs, "y"), number(inputs, "n"));
        Some(vec![(found.value, number(expected, "mean"), "mean")])
    } else if id.starts_with("runs-") {
        let mut sorted = lew.to_vec();
        sorted.sort_by(f64::total_cmp);
        let median = 0.5 * (sorted[sorted.len() / 2 - 1] + sorted[sorted.len() / 2]);
        let above: Vec<bool> = lew.iter().map(|value| *value > median).collect();
        let found = runs_test(&above).expect("both kinds");
        // the corrected z is not used, the exact p is
        Some(match expected["p_exact"].as_f64() {
            Some(p) => vec![(found.p, p, "p_exact")],
            None => vec![(found.z, number(expected, "z"), "z")],
        })
    } else if id == "hothand-bird-freethrows" {
        let counts = table(&inputs["table"]);
        let mut pairs = Vec::new();
        for (first, row) in [true, false].into_iter().zip(&counts) {
            for (second, times) in [true, false].into_iter().zip(row) {
                pairs.extend(vec![vec![first, second]; *times as usize]);
            }
        }
        let steps = Transitions::count(&pairs);
        Some(vec![
            (
                steps.after_faulty.share().expect("made"),
                number(expected, "p_made_after_made"),
                "",
            ),
            (
                steps.after_clean.share().expect("missed"),
                number(expected, "p_made_after_missed"),
                "",
            ),
        ])
    } else if id == "hothand-ms-bias-3" {
        let flips = (0..8_u8).map(|bits| {
            (0..3)
                .map(|bit| bits >> bit & 1 == 1)
                .collect::<Vec<bool>>()
        });
        let own: Vec<f64> = flips
            .filter_map(|one| Transitions::count(&[one]).after_faulty.share())
            .collect();
        Some(vec![(
            own.iter().sum::<f64>() / own.len() as f64,
            said(),
            "",
        )])
    } else if id == "cv-mckay-cvcqv" {
        let found = coefficient_of_variation(&list(&inputs["x"]), 0.95).expect("a range");
        let wanted = list(&expected["mckay"]);
        Some(vec![
            (100.0 * found.value, number(expected, "cv"), "cv"),
            (100.0 * found.low, wanted[0], "mckay"),
            (100.0 * found.high, wanted[1], "mckay"),
        ])
    } else {
        None
    }
}

fn two_rates(inputs: &Value) -> ExactTest {
    let one = (whole(inputs, "x1"), number(inputs, "t1"));
    exact::rates(one, (whole(inputs, "x2"), number(inputs, "t2"))).expect("two rates")
}

/// The one-sided mid-p of two rates: half of what is left beside the widest range that leaves out 1.
fn ratio_p(inputs: &Value) -> f64 {
    let one = (whole(inputs, "x1"), number(inputs, "t1"));
    let other = (whole(inputs, "x2"), number(inputs, "t2"));
    let (mut low, mut high) = (0.5, 1.0 - 1e-9);
    for _ in 0..60 {
        let level = 0.5 * (low + high);
        if rate_ratio_mid_p(one, other, level).expect("a range").low > 1.0 {
            low = level;
        } else {
            high = level;
        }
    }
    0.5 * (1.0 - low)
}

/// Half a unit in the last printed place, or what the file says where it is wider.
fn tolerance(case: &Value, name: &str) -> f64 {
    let given = &case["tolerance"];
    given.as_f64().unwrap_or_else(|| number(given, name))
}

/// The example worked through.
fn worked(id: &str, case: &Value, lew: &[f64]) -> Option<Found> {
    let (inputs, expected) = (&case["inputs"], &case["expected"]);
    rates(id, inputs, expected)
        .or_else(|| slopes_and_reviewers(id, inputs, expected))
        .or_else(|| many_and_in_order(id, inputs, expected, lew))
}

#[test]
fn every_published_example_is_worked_through_or_has_its_reason() {
    let Some(path) = std::env::var_os("REINBACK_REFERENCE") else {
        println!("skipped: REINBACK_REFERENCE does not name the file of published examples");
        return;
    };
    let text = std::fs::read_to_string(&path).expect("REINBACK_REFERENCE names a file");
    let all: Value = serde_json::from_str(&text).expect("JSON");
    let cases = all["cases"].as_array().expect("cases");
    let acf = cases
        .iter()
        .find(|case| case["id"] == "acf-nist-lew")
        .expect("LEW.DAT");
    let lew = list(&acf["inputs"]["data"]);
    let mut sums: BTreeMap<&str, u32> = BTreeMap::new();
    let mut wrong = String::new();
    for case in cases {
        let id = case["id"].as_str().expect("an id");
        let ours = FAMILIES
            .iter()
            .chain(&MORE)
            .any(|family| id.starts_with(family));
        if !ours || case["origin"] != "published" || case["reproduced"] != true {
            continue;
        }
        let reason = NOT_USED.iter().find(|(prefix, _)| id.starts_with(prefix));
        match (worked(id, case, &lew), reason) {
            (Some(found), None) => {
                *sums.entry("worked through").or_default() += 1;
                for (got, wanted, name) in found {
                    if (got - wanted).abs() > tolerance(case, name) {
                        let _ok = writeln!(wrong, "{id}: {got}, published {wanted}");
                    }
                }
            }
            (None, Some(_)) => *sums.entry("of methods not used").or_default() += 1,
            (None, None) => {
                let _ok = writeln!(wrong, "{id}: neither worked through nor given a reason");
            }
            (Some(_), Some((prefix, _))) => {
                let _ok = writeln!(
                    wrong,
                    "{id}: worked through, yet {prefix} is called not used"
                );
            }
        }
    }
    println!("{sums:?}");
    assert!(wrong.is_empty(), "{wrong}");
    assert!(
        sums.get("worked through").is_some_and(|sum| *sum >= 50),
        "{sums:?}"
    );
}
