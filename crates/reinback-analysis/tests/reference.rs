//! Results against published values and reference libraries.
//!
//! "Seen" says how the published text was seen: *read* in the original or a
//! stored copy, *second-hand* through a package's tests that quote it, or
//! *memory* (recalled, then reproduced by a reference library). Tolerances of
//! published values are half a unit in the last printed place and a little;
//! library values were computed with `SciPy` 1.12.0, statsmodels 0.15.0 and
//! R 4.2.2.

use reinback_analysis::after_mistake::Transitions;
use reinback_analysis::dispersion::likeness;
use reinback_analysis::interval::{
    binomial_mid_p, clopper_pearson, garwood, newcombe, poisson_mid_p, rate_ratio_mid_p, wilson,
};
use reinback_analysis::rank::Prior;
use reinback_analysis::shuffle::{order_p, split_p};
use reinback_analysis::special::{
    beta_quantile, normal_two_sided, normal_upper, student_two_sided, student_two_sided_p,
};
use reinback_analysis::{Estimate, InputError, Tally, runs_test};

#[track_caller]
fn close(got: f64, wanted: f64, tolerance: f64) {
    assert!(
        (got - wanted).abs() <= tolerance,
        "got {got}, wanted {wanted} within {tolerance}"
    );
}

#[track_caller]
fn range(got: Result<Estimate, InputError>, wanted: (f64, f64), tolerance: f64) {
    assert!(got.is_ok(), "no range: {got:?}");
    if let Ok(got) = got {
        close(got.low, wanted.0, tolerance);
        close(got.high, wanted.1, tolerance);
        assert!(got.covers(got.value));
    }
}

/// Newcombe RG 1998, Stat Med 17:857-872, Table I. Seen second-hand, except
/// the exact and mid-p rows of 81/263: memory.
#[test]
fn one_proportion_after_newcombe_1998() {
    // (k, n), Wilson (method 3), Clopper-Pearson (5), mid-p (6)
    type Row = ((u32, u32), (f64, f64), (f64, f64), (f64, f64));
    let table: [Row; 4] = [
        (
            (81, 263),
            (0.2553, 0.3662),
            (0.2527, 0.3676),
            (0.2544, 0.3658),
        ),
        (
            (15, 148),
            (0.0624, 0.1605),
            (0.0578, 0.1617),
            (0.0601, 0.1581),
        ),
        ((0, 20), (0.0, 0.1611), (0.0, 0.1684), (0.0, 0.1391)),
        (
            (1, 29),
            (0.0061, 0.1718),
            (0.0009, 0.1776),
            (0.0017, 0.1585),
        ),
    ];
    for ((k, n), score, exact, mid_p) in table {
        range(wilson(k, n, 0.95), score, 6e-5);
        range(clopper_pearson(k, n, 0.95), exact, 6e-5);
        range(binomial_mid_p(k, n, 0.95), mid_p, 6e-5);
    }
}

/// Fagerland, Lydersen & Laake 2017, Statistical Analysis of Contingency
/// Tables, chapter 2 (13 of 16; 0 of 9; 0 of 1). Seen second-hand, in the
/// tests of the authors' R package.
#[test]
fn one_proportion_after_fagerland_2017() {
    range(clopper_pearson(13, 16, 0.95), (0.5435, 0.9595), 6e-5);
    range(binomial_mid_p(13, 16, 0.95), (0.5699, 0.9500), 6e-5);
    range(binomial_mid_p(0, 9, 0.95), (0.0, 0.2831), 6e-5);
    range(clopper_pearson(0, 1, 0.95), (0.0, 0.9750), 6e-5);
}

/// statsmodels 0.15.0 (Wilson) and `SciPy` 1.12.0 (beta quantiles, mid-p roots).
#[test]
fn one_proportion_against_libraries() {
    type Row = ((u32, u32), (f64, f64), (f64, f64), (f64, f64));
    let table: [Row; 6] = [
        (
            (1, 3),
            (0.061_491_944_720_396_26, 0.792_340_399_197_952_3),
            (0.008_403_758_659_612_636, 0.905_700_675_949_753_9),
            (0.016_668_210_305_371_46, 0.867_962_196_538_899_4),
        ),
        (
            (2, 5),
            (0.117_620_774_232_647_88, 0.769_275_718_723_987_1),
            (0.052_744_950_526_316_906, 0.853_367_200_365_326_8),
            (0.073_457_078_677_816_6, 0.817_624_873_738_763_9),
        ),
        (
            (10, 10),
            (0.722_467_200_137_110_6, 1.0),
            (0.691_502_892_181_239_2, 1.0),
            (0.741_134_449_106_947_7, 1.0),
        ),
        (
            (4, 20),
            (0.080_657_662_579_798, 0.416_017_432_251_893_6),
            (0.057_333_997_050_032_77, 0.436_614_002_996_668_3),
            (0.066_972_344_437_912_28, 0.414_857_918_967_538_1),
        ),
        (
            (1, 60),
            (0.002_948_159_794_786_249_5, 0.088_551_297_275_900_64),
            (0.000_421_874_452_342_008_83, 0.089_399_050_057_487_02),
            (0.000_833_656_028_831_736_3, 0.079_445_927_224_189_32),
        ),
        (
            (20, 60),
            (0.227_292_615_235_226_79, 0.459_431_335_478_803_1),
            (0.216_869_445_431_170_3, 0.466_872_674_742_830_6),
            (0.223_065_388_457_320_5, 0.459_345_820_525_189_6),
        ),
    ];
    for ((k, n), score, exact, mid_p) in table {
        range(wilson(k, n, 0.95), score, 1e-12);
        range(clopper_pearson(k, n, 0.95), exact, 1e-12);
        range(binomial_mid_p(k, n, 0.95), mid_p, 1e-9);
    }
    // Mendel's peas, R binom.test example (Conover 1971, p 97).
    range(
        clopper_pearson(682, 925, 0.95),
        (0.707_668_264_079, 0.765_406_558_242),
        1e-9,
    );
    for (level, ends) in [
        (0.80, (0.126_869_898_163_206, 0.433_323_964_179_626_5)),
        (0.90, (0.104_652_565_570_489_16, 0.487_338_031_803_249_3)),
        (0.99, (0.065_731_872_023_243_6, 0.612_291_562_801_117_4)),
    ] {
        range(wilson(3, 12, level), ends, 1e-12);
    }
}

/// Closed form `1 - (α/2)^(1/n)` at no faults.
#[test]
fn exact_upper_end_without_faults() {
    for n in [3_u32, 5, 10, 20, 60, 1_000, 100_000] {
        let wanted = 1.0 - 0.025_f64.powf(1.0 / f64::from(n));
        let got = clopper_pearson(0, n, 0.95).expect("a range").high;
        assert!((got / wanted - 1.0).abs() < 1e-9, "{n}: {got} {wanted}");
    }
}

/// Newcombe RG 1998, Stat Med 17:873-890, Table II, method 10; seen
/// second-hand. HIV trial: WUSS 2016 paper 127, second-hand. Perondi 2004:
/// Fagerland et al 2017, chapter 4, second-hand.
#[test]
fn difference_of_two_proportions_after_newcombe_1998() {
    type Row = ((u32, u32), (u32, u32), (f64, f64));
    let table: [Row; 10] = [
        ((56, 70), (48, 80), (0.0524, 0.3339)),
        ((9, 10), (3, 10), (0.1705, 0.8090)),
        ((6, 7), (2, 7), (0.0582, 0.8062)),
        ((5, 56), (0, 29), (-0.0381, 0.1926)),
        ((0, 10), (0, 20), (-0.1611, 0.2775)),
        ((0, 10), (0, 10), (-0.2775, 0.2775)),
        ((10, 10), (0, 20), (0.6791, 1.0)),
        ((10, 10), (0, 10), (0.6075, 1.0)),
        ((84, 101), (89, 105), (-0.1177, 0.0851)),
        ((7, 34), (1, 34), (0.0189, 0.3404)),
    ];
    for (one, other, ends) in table {
        range(newcombe(one, other, 0.95), ends, 6e-5);
        range(newcombe(other, one, 0.95), (-ends.1, -ends.0), 6e-5);
    }
}

/// `GraphPad` FAQ "How `QuickCalcs` computes the CI of a count": read. Upper end at
/// 0: help of `pois.exact`, R package epitools: read. 1 and 10: standard table
/// after Garwood 1936: memory. 15 in 400: R `DescTools`, quoted in the tests of
/// statsmodels: second-hand.
#[test]
fn a_count_after_garwood_1936() {
    range(garwood(25, 1.0, 0.90), (17.38, 34.92), 6e-3);
    range(garwood(25, 1.0, 0.95), (16.18, 36.90), 6e-3);
    range(garwood(25, 1.0, 0.99), (14.00, 41.00), 6e-3);
    range(garwood(0, 1.0, 0.95), (0.0, 3.689), 6e-4);
    range(garwood(1, 1.0, 0.95), (0.0253, 5.5716), 6e-5);
    range(garwood(10, 1.0, 0.95), (4.7954, 18.3904), 6e-5);
    range(garwood(15, 400.0, 0.95), (0.020_988_5, 0.061_850_5), 6e-8);
    // R 4.2.2 poisson.test, Welsh nickel workers.
    range(
        garwood(137, 24.198_93, 0.95),
        (4.753_124_804_85, 6.692_709_334_18),
        1e-9,
    );
}

/// `SciPy` 1.12.0. The upper end for 15 in 400 agrees with R `ratesci` to the
/// 4e-7 to which that package solves; its lower end is known to be wrong and
/// is not used.
#[test]
fn a_count_with_mid_p() {
    let table = [
        (0, (0.0, 2.995_732_273_553_991)),
        (1, (0.050_020_344_835_336_53, 4.931_860_524_706_773_5)),
        (2, (0.335_329_055_509_298_8, 6.607_959_747_453_601)),
        (5, (1.831_994_808_528_416_8, 11.082_415_664_992_016)),
        (10, (5.079_521_847_217_340_5, 17.824_853_696_569_686)),
        (20, (12.559_738_475_435_706, 30.339_601_130_459_133)),
    ];
    for (count, ends) in table {
        range(poisson_mid_p(count, 1.0, 0.95), ends, 1e-9);
    }
    close(
        poisson_mid_p(15, 400.0, 0.95).expect("a range").high,
        0.060_462_8,
        5e-7,
    );
}

/// `SciPy` 1.12.0 (inversion of the conditional mid-p test).
#[test]
fn the_ratio_of_two_rates() {
    type Row = ((u32, f64), (u32, f64), (f64, f64));
    let table: [Row; 5] = [
        (
            (3, 20.0),
            (9, 22.0),
            (0.080_073_169_099_007_18, 1.297_741_521_556_819),
        ),
        ((0, 15.0), (4, 18.0), (0.0, 1.337_691_032_257_354_3)),
        (
            (1, 40.0),
            (6, 35.0),
            (0.006_296_559_683_353_612, 0.987_537_143_358_087_4),
        ),
        (
            (5, 30.0),
            (5, 60.0),
            (0.538_098_465_789_839_7, 7.433_583_729_194_733),
        ),
        (
            (12, 45.0),
            (4, 50.0),
            (1.115_875_440_422_598, 11.973_342_108_280_068),
        ),
    ];
    for (one, other, ends) in table {
        range(rate_ratio_mid_p(one, other, 0.95), ends, 1e-7);
    }
    assert!(
        rate_ratio_mid_p((0, 10.0), (0, 12.0), 0.95).is_err(),
        "undefined without events"
    );
}

/// Normal and t quantiles, standard tables (memory); beta quantiles from the
/// closed forms at `b = 1` and for the arcsine distribution.
#[test]
fn quantiles() {
    close(normal_two_sided(0.95), 1.959_963_984_540_054, 1e-13);
    close(normal_two_sided(0.99), 2.575_829_303_548_901, 1e-12);
    close(student_two_sided(0.95, 10.0), 2.228_138_852, 1e-8);
    close(student_two_sided(0.95, 1.0), 12.706_204_736, 1e-8);
    close(student_two_sided_p(2.228_138_852, 10.0), 0.05, 1e-9);
    close(beta_quantile(4.0, 1.0, 0.3), 0.3_f64.powf(0.25), 1e-14);
    let arcsine = (0.5 * std::f64::consts::PI * 0.2).sin().powi(2);
    close(beta_quantile(0.5, 0.5, 0.2), arcsine, 1e-14);
}

/// Seventy-one groups of rats with tumours (Tarone 1982; Gelman et al, Bayesian
/// Data Analysis, 3rd ed., section 5.1; data read). Maximum likelihood from
/// `SciPy` 1.12.0.
#[test]
fn beta_binomial_shrinkage() {
    let faulty = [
        0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2,
        2, 1, 5, 2, 5, 3, 2, 7, 7, 3, 3, 2, 9, 10, 4, 4, 4, 4, 4, 4, 4, 10, 4, 4, 4, 5, 11, 12, 5,
        5, 6, 5, 6, 6, 6, 6, 16, 15, 15, 9, 4,
    ];
    let attempts = [
        20, 20, 20, 20, 20, 20, 20, 19, 19, 19, 19, 18, 18, 17, 20, 20, 20, 20, 19, 19, 18, 18, 25,
        24, 23, 20, 20, 20, 20, 20, 20, 10, 49, 19, 46, 27, 17, 49, 47, 20, 20, 13, 48, 50, 20, 20,
        20, 20, 20, 20, 20, 48, 19, 19, 19, 22, 46, 49, 20, 20, 23, 19, 22, 20, 20, 20, 52, 46, 47,
        24, 14,
    ];
    let counts: Vec<(f64, f64)> = faulty
        .into_iter()
        .map(f64::from)
        .zip(attempts.into_iter().map(f64::from))
        .collect();
    let prior = Prior::learn(&counts);
    close(prior.alpha, 2.341_614_800_049_424, 1e-4);
    close(prior.beta, 14.114_806_788_200_52, 1e-3);
    close(
        prior.shrink(4.0, 14.0).value,
        0.208_219_300_539_759_15,
        1e-5,
    );
    close(
        prior.shrink(0.0, 20.0).value,
        0.064_230_516_820_776_95,
        1e-5,
    );
}

/// Posterior of the 71st group under the moment prior: mean .223, as printed in
/// Bayesian Data Analysis, 3rd ed., section 5.1 (memory).
#[test]
fn beta_posterior() {
    let prior = Prior {
        alpha: 1.356_149_391_031_933,
        beta: 8.615_057_891_320_788,
    };
    close(prior.shrink(4.0, 14.0).value, 0.223, 6e-4);
}

/// Deflections of a beam, `LEW.DAT` of the NIST/SEMATECH e-Handbook (1.3.5.13),
/// above or below the median. z without continuity correction 2.6938: memory.
/// Exact p 0.008562: GNU Octave statistics `runstest` tests, second-hand.
#[test]
fn runs_of_the_nist_beam() {
    #[rustfmt::skip]
    let beam = [
        -213, -564, -35, -15, 141, 115, -420, -360, 203, -338, -431, 194, -220, -513, 154, -125, -559, 92, -21, -579,
        -52, 99, -543, -175, 162, -457, -346, 204, -300, -474, 164, -107, -572, -8, 83, -541, -224, 180, -420, -374,
        201, -236, -531, 83, 27, -564, -112, 131, -507, -254, 199, -311, -495, 143, -46, -579, -90, 136, -472, -338,
        202, -287, -477, 169, -124, -568, 17, 48, -568, -135, 162, -430, -422, 172, -74, -577, -13, 92, -534, -243,
        194, -355, -465, 156, -81, -578, -64, 139, -449, -384, 193, -198, -538, 110, -44, -577, -6, 66, -552, -164,
        161, -460, -344, 205, -281, -504, 134, -28, -576, -118, 156, -437, -381, 200, -220, -540, 83, 11, -568, -160,
        172, -414, -408, 188, -125, -572, -32, 139, -492, -321, 205, -262, -504, 142, -83, -574, 0, 48, -571, -106,
        137, -501, -266, 190, -391, -406, 194, -186, -553, 83, -13, -577, -49, 103, -515, -280, 201, 300, -506, 131,
        -45, -578, -80, 138, -462, -361, 201, -211, -554, 32, 74, -533, -235, 187, -372, -442, 182, -147, -566, 25,
        68, -535, -244, 194, -351, -463, 174, -125, -570, 15, 72, -550, -190, 172, -424, -385, 198, -218, -536, 96,
    ];
    let mut sorted = beam;
    sorted.sort_unstable();
    let twice_median = sorted[99] + sorted[100];
    let above: Vec<bool> = beam.iter().map(|value| 2 * value > twice_median).collect();
    let found = runs_test(&above).expect("both kinds");
    close(found.z, 2.6938, 6e-5);
    close(found.p, 0.008_562, 6e-7);
}

/// statsmodels 0.15.0 and `SciPy` 1.12.0.
#[test]
fn runs_and_steps_of_twenty_attempts() {
    let attempts: Vec<bool> = [0, 0, 1, 1, 0, 1, 0, 0, 0, 1, 1, 1, 0, 0, 1, 0, 0, 0, 0, 1]
        .map(|bit| bit == 1)
        .to_vec();
    let found = runs_test(&attempts).expect("both kinds");
    assert_eq!(found.runs, 10);
    close(found.z, -0.287_834_739_406_664_04, 1e-12);
    close(found.p, 0.959_990_473_922_362_6, 1e-10);
    let steps = Transitions::count(&[attempts]);
    assert_eq!(steps.after_clean.to_string(), "5 of 12");
    assert_eq!(steps.after_faulty.to_string(), "3 of 7");
}

/// Two free throws of Larry Bird, 1980-82 (Tversky & Gilovich 1989, Chance
/// 2(1):16-21; memory): 88 % after a hit, 91 % after a miss.
#[test]
fn conditional_rates_of_pairs() {
    let pairs = [
        ((true, true), 251),
        ((true, false), 34),
        ((false, true), 48),
        ((false, false), 5),
    ];
    let sequences: Vec<Vec<bool>> = pairs
        .iter()
        .flat_map(|((first, second), times)| vec![vec![*first, *second]; *times])
        .collect();
    let steps = Transitions::count(&sequences);
    close(steps.after_faulty.share().expect("hits"), 0.88, 6e-3);
    close(steps.after_clean.share().expect("misses"), 0.91, 6e-3);
}

/// Averaging each sequence's own share of heads after heads gives 5/12 for
/// three flips of a fair coin (Miller & Sanjurjo 2018, Econometrica
/// 86:2019-2047, Table I; memory); pooling the steps gives 1/2.
#[test]
fn pooling_is_not_biased_where_averaging_is() {
    let flips: Vec<Vec<bool>> = (0..8_u8)
        .map(|bits| (0..3).map(|bit| bits >> bit & 1 == 1).collect())
        .collect();
    let own: Vec<f64> = flips
        .iter()
        .filter_map(|one| {
            Transitions::count(std::slice::from_ref(one))
                .after_faulty
                .share()
        })
        .collect();
    let average = own.iter().sum::<f64>() / 6.0;
    assert_eq!(own.len(), 6);
    close(average, 5.0 / 12.0, 1e-12);
    close(
        Transitions::count(&flips)
            .after_faulty
            .share()
            .expect("heads"),
        0.5,
        1e-12,
    );
}

/// Tea tasting: 3 of 4 cups against 1 of 4 gives p = 0.2429 one-sided (Agresti
/// 1990, p 61, as in the help of R `fisher.test`; read); both sides are alike,
/// so the two-sided p is twice that. Each cup is a ride of its own.
#[test]
fn dealing_single_cups_is_fishers_test() {
    let cups = [1.0, 1.0, 1.0, 0.0, 1.0, 0.0, 0.0, 0.0];
    close(split_p(&cups, 4, 1), 34.0 / 70.0, 1e-12);
    close(split_p(&cups, 4, 1), 2.0 * 0.2429, 1e-4);
}

/// Smokers among lung patients, `prop.trend.test` of R 4.2.2 (Fleiss 1981):
/// chi-square 8.22492. The permutation variance divides by n - 1, not n.
#[test]
fn the_closed_form_is_the_cochran_armitage_test() {
    let mut smokers = Vec::new();
    let mut studies = Vec::new();
    for (study, (events, patients)) in (1..).zip([(83, 86), (90, 93), (129, 136), (70, 82)]) {
        smokers.extend((0..patients).map(|patient| if patient < events { 1.0 } else { 0.0 }));
        studies.extend((0..patients).map(|_| f64::from(study)));
    }
    let z = (8.224_922_285_197_71_f64 * 396.0 / 397.0).sqrt();
    close(order_p(&smokers, &studies, 1), 2.0 * normal_upper(z), 1e-10);
}

/// Overdispersion test of thirty samples of 50: variance ratio
/// 0.7644566 (Wetherill & Brown 1991, pp 212-218, printed by the R package
/// `qcc`; read).
#[test]
fn scatter_of_rides_after_wetherill_and_brown() {
    let faulty = [
        12, 11, 18, 11, 10, 16, 9, 11, 14, 15, 11, 9, 10, 13, 12, 8, 12, 13, 10, 12, 13, 16, 12,
        18, 16, 10, 16, 10, 12, 14,
    ];
    let rides = faulty.map(|faulty| Tally {
        faulty,
        attempts: 50,
    });
    let found = likeness(&[&rides]);
    close(1.0 + 49.0 * found.rho, 0.764_456_6, 6e-8);
}
