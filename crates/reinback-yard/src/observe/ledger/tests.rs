//! What the ledger counts does not depend on how it came there.

use proptest::prelude::*;
use reinback_analysis::Day;
use reinback_analysis::columns::{Asked, Draft, Outside};

use super::*;
use crate::arbitrary::{edits, history};
use crate::words::WordId;

/// A ledger that has met these words, so that keys can be compared.
fn ledger(words: &[WordId]) -> Ledger {
    let mut ledger = Ledger::default();
    ledger.keys.learn(words);
    ledger
}

/// Everything of all horses, exercise by exercise.
fn counted(ledger: &Ledger) -> (Vec<(WordId, Option<Draft>)>, Outside) {
    let asked = Asked {
        horse: None,
        days: (Day(i32::MIN), Day(i32::MAX)),
    };
    let draft = |key| {
        let seed = ledger.keys().seed(key);
        let word = ledger.keys().word(key).cloned()?;
        Some((word, ledger.columns().draft(&asked, key, seed)))
    };
    let drafts = ledger.exercises().into_iter().filter_map(draft).collect();
    (drafts, ledger.columns().outside(&asked))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// After every edit, and after all of them taken back one by one.
    #[test]
    fn followed_edits_count_as_the_yard_counted_anew(edits in edits()) {
        let (_, yards) = history(edits);
        let words: Vec<WordId> = yards
            .iter()
            .flat_map(|yard| yard.rides.values().flat_map(|ride| of_ride(ride)))
            .cloned()
            .collect();
        let mut followed = ledger(&words);
        for yard in yards.iter().chain(yards.iter().rev()) {
            followed.follow(yard);
            let mut anew = ledger(&words);
            anew.follow(yard);
            prop_assert_eq!(counted(&followed), counted(&anew));
        }
    }
}

#[test]
fn a_word_has_one_number_whatever_came_before_it() {
    let words = ["half-pass", "halt", "pirouette"].map(|text| WordId::new(text).unwrap());
    let (one, mut other) = (ledger(&words), Ledger::default());
    other.keys.learn(words.iter().rev());
    for word in &words {
        let (key, turned) = (one.keys.key(word).unwrap(), other.keys.key(word).unwrap());
        assert_eq!(one.keys.seed(key), other.keys.seed(turned));
        assert_eq!(other.keys.word(turned), Some(word));
    }
    // FNV-1a of "a", 64 bits: af63dc4c8601ec8c (test vectors of RFC 9923's draft; recalled).
    let mut letter = Ledger::default();
    letter.keys.learn(&[WordId::new("a").unwrap()]);
    assert_eq!(letter.keys.seed(Key(0)), 0xAF63_DC4C_8601_EC8C);
}
