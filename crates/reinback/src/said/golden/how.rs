//! What is in no number, why there is none, and how one was found.

use super::*;

/// Where the analysis has its own sentence for a reason, the room says the same in English.
#[test]
fn reasons_are_those_of_the_analysis() {
    let [english, german] = both();
    for why in [
        Shortage::NoAttempts,
        Shortage::FewerThanSixAttempts,
        Shortage::NoTime,
        Shortage::FewerThanFourRides,
        Shortage::FewerThanEightRides,
        Shortage::OneDayOnly,
        Shortage::NoFaultsToCompare,
        Shortage::AllAlike,
        Shortage::PeriodsOverlap,
        Shortage::NoMistakes,
    ] {
        assert_eq!(english.why(why), why.to_string());
        assert_ne!(german.why(why), why.to_string(), "not said in German");
    }
    for why in [
        Reservation::RangeAlone,
        Reservation::ManyLines,
        Reservation::ShufflesAlone,
    ] {
        assert_eq!(english.reservation(why), why.to_string());
    }
}

/// Wilson 4 of 23: see [`rates`].
#[test]
fn how_it_was_found() {
    let per_minute = PerMinute::new(0, 0);
    check(
        |say| say.how(&rate(4, 23), &per_minute)[0].clone(),
        "Faulty attempts: 17.4 %, range 7.0 to 37.1 % at 95 %: Wilson score interval (Wilson EB 1927, J Am Stat Assoc 22:209-212).",
        "Versuche mit Fehler: 17,4 %, Spanne 7,0 bis 37,1 % bei 95 %: Wilson-Intervall (Wilson EB 1927, J Am Stat Assoc 22:209-212).",
    );
    // Alike by less than the two decimals would show: nothing to say. 23 / 1.3 is 17.7.
    for (dispersion, sentences) in [(1.0, 2), (1.004, 2), (1.3, 3)] {
        let alike = FaultRate {
            dispersion,
            ..rate(4, 23)
        };
        for say in both() {
            assert_eq!(say.how(&alike, &per_minute).len(), sentences);
        }
    }
    let alike = FaultRate {
        dispersion: 1.3,
        ..rate(4, 23)
    };
    check(
        |say| say.how(&alike, &per_minute)[1].clone(),
        "Attempts of one ride resemble each other: these 23 are worth 17.7 independent ones.",
        "Versuche eines Ritts ähneln einander: Diese 23 sind so viel wert wie 17,7 voneinander unabhängige.",
    );
    let found = compared((9, 21), (4, 23), Verdict::Fewer);
    check(
        |say| {
            let said = say.how_reins(&found).join(" ");
            said.replace(Method::NewcombeEffective.source(), "SOURCE")
        },
        "Difference of the reins, right less left: −25.0 of 100 attempts, range −49.0 to −2.0 at 95 %: Newcombe hybrid score interval on effective counts (SOURCE).",
        "Unterschied der Hände, rechts weniger links: −25,0 von 100 Versuchen, Spanne −49,0 bis −2,0 bei 95 %: Newcombe-Intervall eines Unterschieds auf wirksame Anzahlen (SOURCE).",
    );
    check(
        |say| say.how_compared(&found)[1].clone(),
        "When whole rides are shuffled between the two, a difference like this comes up in 1.3 of 100 cases; allowing for all lines shown, in 2.6.",
        "Werden ganze Ritte zwischen beiden gemischt, kommt ein solcher Unterschied in 1,3 von 100 Fällen heraus; alle gezeigten Lektionen mitbedacht in 2,6.",
    );
}

/// The methods a trend, a ratio and an order are found by, under "How this was found".
#[test]
fn how_trends_and_orders_were_found() {
    let steady = points(10, [5, 4, 5, 5, 4, 5, 5, 4, 5, 4]);
    let falling = points(10, [9, 8, 8, 7, 6, 5, 4, 3, 2, 1]);
    let trend = reinback_analysis::trend(&falling, 7);
    for (say, begins, ends) in both()
        .into_iter()
        .zip([
            "Trend in 30 days: the odds of a faulty attempt are multiplied by 0.0",
            "Tendenz in 30 Tagen: Die Chance eines Versuchs mit Fehler wird mal 0,0",
        ])
        .map(|(say, begins)| {
            let ends = say.method(Method::Logit);
            (say, begins, ends)
        })
    {
        let said = say.how_trend(&trend);
        assert_eq!(said.len(), 2, "{said:?}");
        assert!(
            said[0].starts_with(begins) && said[0].contains(&ends),
            "{}",
            said[0]
        );
        assert!(
            say.how_trend(&reinback_analysis::trend(&steady[..5], 7))
                .is_empty()
        );
        let ratio = Estimate::new(0.5, 0.25, 1.0, 0.95, Method::RateRatioMidP).expect("finite");
        let said = say.how_ratio(&Ok(ratio)).unwrap_or_default();
        assert!(said.contains(&say.method(Method::RateRatioMidP)), "{said}");
        assert_eq!(say.how_ratio(&Err(Shortage::NoTime)), None);
        let usual = Estimate::new(0.2, 0.1, 0.4, 0.95, Method::BetaBinomial).expect("finite");
        let said = say.how_usual(&usual);
        assert!(said.contains(&say.method(Method::BetaBinomial)), "{said}");
    }
}

/// The names of a type's variants, as they stand in the source.
fn variants(source: &str, of: &str) -> Vec<String> {
    let body = source
        .split(&format!("pub enum {of} {{"))
        .nth(1)
        .expect("the type");
    let body = body.split("\n}").next().unwrap_or_default();
    let names = body.lines().map(str::trim);
    let names = names.filter(|line| line.starts_with(|sign: char| sign.is_ascii_uppercase()));
    let name = |line: &str| {
        line.chars()
            .take_while(char::is_ascii_alphanumeric)
            .collect()
    };
    names.map(name).collect()
}

/// Of every reason and method there is, so that a new one is not told in English in a German room.
#[test]
fn every_reason_and_method_has_its_words() {
    let there = include_str!("../../../../reinback-analysis/src/estimate.rs");
    for (of, said, least) in [
        ("Shortage", include_str!("../reasons.rs"), 10),
        ("Method", include_str!("../method.rs"), 18),
    ] {
        let variants = variants(there, of);
        assert!(variants.len() >= least, "{variants:?}");
        for name in variants {
            let spoken = [" =>", "(_) =>"].map(|arm| format!("{of}::{name}{arm}"));
            assert!(
                spoken.iter().any(|arm| said.contains(arm)),
                "{of}::{name} has no words"
            );
        }
    }
}

#[test]
fn what_is_left_out() {
    let yard = sample::yard();
    let question = Question {
        whose: Whose::One(sample::horse()),
        days: Days::default(),
        against: None,
        reins: Reins::Both,
    };
    let with = |unreviewed, waiting_faults, loose: u32| Numbers {
        unreviewed,
        waiting_faults,
        loose_faults: vec![Times {
            word: WordId::new("tense").expect("a word"),
            name: "tense".into(),
            times: loose,
        }],
        ..numbers(&yard, &question)
    };
    for (found, english, german) in [
        (with(0, 0, 0), "", ""),
        (
            with(1, 0, 1),
            "1 exercise is not in the count; 1 fault outside any exercise",
            "1 Lektion ist nicht mitgezählt; 1 Fehler außerhalb jeder Lektion",
        ),
        (
            with(2, 1, 3),
            "2 exercises are not in the count, with 1 fault; 3 faults outside any exercise",
            "2 Lektionen sind nicht mitgezählt, mit 1 Fehler; 3 Fehler außerhalb jeder Lektion",
        ),
        (
            with(2, 2, 0),
            "2 exercises are not in the count, with 2 faults",
            "2 Lektionen sind nicht mitgezählt, mit 2 Fehlern",
        ),
    ] {
        check(|say| say.left_out(&found).join("; "), english, german);
    }
}
