//! Which of the moments are shown: of which faults, on which rein, whether clean attempts stand
//! among them, and whether those of the days compared with do. Pure.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use reinback_yard::Rein;

use crate::report::moments::{FilmMoment, Moments, Seen};

/// How many moments the wall shows, at most.
pub(super) const MOST_SHOWN: usize = 500;

/// What the rider chose.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Choice {
    /// Only faults of these names; all if empty.
    pub(super) faults: BTreeSet<String>,
    /// Only on this rein.
    pub(super) rein: Option<Rein>,
    /// Clean attempts too; before the rider says, where there is no fault to see.
    pub(super) clean: Option<bool>,
    /// Those of the days compared with too.
    pub(super) before: bool,
    /// All of them, not only the first rows: of the days asked about, of those compared with.
    pub(super) all: [bool; 2],
}

impl Choice {
    /// Whether clean attempts of these moments are shown.
    pub(super) fn shows_clean(&self, moments: &Moments) -> bool {
        self.clean.unwrap_or(moments.faults.is_empty())
    }

    /// Chooses faults of this name too, or no longer.
    pub(super) fn turn_fault(&mut self, name: &str) {
        if !self.faults.remove(name) {
            self.faults.insert(name.to_owned());
        }
    }

    /// Which of these moments to show, where these lists are chosen from: those on film before
    /// those that no film shows, each newest ride first and in the order ridden.
    pub(super) fn shown<'a>(&self, moments: &'a Moments, from: &[&Moments]) -> Vec<&'a FilmMoment> {
        let names: BTreeSet<&str> = kinds(from).into_iter().map(|(name, _)| name).collect();
        // A kind that is no longer marked hides nothing.
        let chosen = self
            .faults
            .iter()
            .filter(|own| names.contains(own.as_str()));
        let chosen: BTreeSet<&str> = chosen.map(String::as_str).collect();
        let fault = |moment: &&FilmMoment| match &moment.seen {
            Seen::Fault { name, .. } => chosen.is_empty() || chosen.contains(name.as_str()),
            Seen::Clean { .. } => true,
        };
        let clean: &[FilmMoment] = if self.shows_clean(moments) {
            &moments.clean
        } else {
            &[]
        };
        let rein = self.rein.filter(|_| has_both_reins(from));
        let listed = moments.faults.iter().chain(clean);
        let mut shown: Vec<&FilmMoment> = listed
            .filter(fault)
            .filter(|moment| rein.is_none() || moment.rein == rein)
            .collect();
        shown.sort_by_key(|moment| {
            let ride = (moment.date, moment.time, moment.id.ride());
            (!moment.filmed, Reverse(ride), moment.at, moment.id)
        });
        shown.truncate(MOST_SHOWN);
        shown
    }
}

/// The kinds of faults among the moments with how often, the most frequent first.
pub(super) fn kinds<'a>(from: &[&'a Moments]) -> Vec<(&'a str, u32)> {
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    for moment in from.iter().flat_map(|own| &own.faults) {
        if let Seen::Fault { name, .. } = &moment.seen {
            *counts.entry(name).or_default() += 1;
        }
    }
    let mut kinds: Vec<(&str, u32)> = counts.into_iter().collect();
    kinds.sort_by_key(|(name, count)| (Reverse(*count), *name));
    kinds
}

/// Whether there are moments on both reins.
pub(super) fn has_both_reins(from: &[&Moments]) -> bool {
    let all = from.iter().map(|own| own.faults.iter().chain(&own.clean));
    let on = |rein| {
        let mut all = all.clone().flatten();
        all.any(|moment| moment.rein == Some(rein))
    };
    on(Rein::Left) && on(Rein::Right)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::moments::moments;
    use crate::report::numbers::{Days, Question, Reins, Whose};
    use crate::report::sample;

    /// Half-passes of the sample: 15 faults of one kind, 10 left and 5 right; 25 clean, 10 left.
    fn half_passes() -> Moments {
        let question = Question {
            whose: Whose::One(sample::horse()),
            days: Days::default(),
            against: None,
            reins: Reins::Both,
        };
        moments(&sample::yard(), &question, &sample::word("half-pass"))
    }

    #[test]
    fn clean_attempts_stand_among_the_faults_when_asked_for() {
        let moments = half_passes();
        let mut choice = Choice::default();
        assert_eq!(choice.shown(&moments, &[&moments]).len(), 15);
        choice.clean = Some(true);
        let shown = choice.shown(&moments, &[&moments]);
        assert_eq!(shown.len(), 40);
        let in_order = |pair: &[&FilmMoment]| {
            let [one, next] = [pair[0], pair[1]];
            one.date > next.date || (one.date == next.date && one.at < next.at)
        };
        assert!(shown.windows(2).all(in_order), "newest ride first");
        choice.rein = Some(Rein::Right);
        assert_eq!(choice.shown(&moments, &[&moments]).len(), 20);
        choice.clean = Some(false);
        assert_eq!(choice.shown(&moments, &[&moments]).len(), 5);
    }

    #[test]
    fn those_on_film_come_first() {
        let mut moments = half_passes();
        moments.faults[3].filmed = true;
        moments.faults[7].filmed = true;
        let shown = Choice::default().shown(&moments, &[&moments]);
        let filmed: Vec<bool> = shown.iter().map(|moment| moment.filmed).collect();
        assert_eq!(filmed[..3], [true, true, false]);
        assert_eq!(shown.len(), 15);
        assert!(shown[0].date > shown[1].date);
    }

    #[test]
    fn without_a_fault_the_clean_ones_are_shown() {
        let clean_only = Moments {
            faults: Vec::new(),
            ..half_passes()
        };
        assert_eq!(
            Choice::default().shown(&clean_only, &[&clean_only]).len(),
            25
        );
    }

    #[test]
    fn only_chosen_kinds_are_shown_while_there_are_any() {
        let mut moments = half_passes();
        for moment in moments.faults.iter_mut().take(4) {
            moment.seen = Seen::Fault {
                name: "tense".into(),
                note: String::new(),
            };
        }
        assert_eq!(
            kinds(&[&moments]),
            [("quarters trailing", 11), ("tense", 4)]
        );
        let mut choice = Choice::default();
        choice.turn_fault("tense");
        assert_eq!(choice.shown(&moments, &[&moments]).len(), 4);
        choice.turn_fault("quarters trailing");
        assert_eq!(choice.shown(&moments, &[&moments]).len(), 15);
        choice.turn_fault("quarters trailing");
        choice.turn_fault("tense");
        choice.turn_fault("gone since");
        assert_eq!(choice.shown(&moments, &[&moments]).len(), 15);
    }

    #[test]
    fn a_rein_hides_nothing_where_there_is_one_only() {
        let mut moments = half_passes();
        let choice = Choice {
            rein: Some(Rein::Right),
            ..Choice::default()
        };
        let all = moments.faults.iter_mut().chain(&mut moments.clean);
        all.for_each(|moment| moment.rein = Some(Rein::Left));
        assert_eq!(choice.shown(&moments, &[&moments]).len(), 15);
    }

    /// What is shown of one list goes by the choice made over both; each shows its clean attempts
    /// by itself where it has no fault to see.
    #[test]
    fn two_lists_are_chosen_from_together() {
        let faulty = half_passes();
        let clean = Moments {
            faults: Vec::new(),
            clean: faulty.clean[..3].to_vec(),
        };
        let both = [&faulty, &clean];
        let mut choice = Choice::default();
        assert_eq!(choice.shown(&faulty, &both).len(), 15);
        assert_eq!(choice.shown(&clean, &both).len(), 3);
        choice.turn_fault("quarters trailing");
        assert_eq!(choice.shown(&faulty, &both).len(), 15);
        assert_eq!(kinds(&both), [("quarters trailing", 15)]);
        choice.clean = Some(false);
        assert_eq!(choice.shown(&clean, &both).len(), 0);
        // A rein of one list is a choice where the other has the other rein.
        let mut left = Moments::default();
        left.faults.extend(
            faulty
                .faults
                .iter()
                .filter(|own| own.rein == Some(Rein::Left))
                .cloned(),
        );
        let mut right = Moments::default();
        right.faults.extend(
            faulty
                .faults
                .iter()
                .filter(|own| own.rein == Some(Rein::Right))
                .cloned(),
        );
        choice.rein = Some(Rein::Left);
        assert_eq!(choice.shown(&right, &[&right]).len(), 5);
        assert_eq!(choice.shown(&right, &[&left, &right]).len(), 0);
    }
}
