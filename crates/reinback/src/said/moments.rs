//! A moment of a film, in few words.

use reinback_yard::Rein;

use super::Say;
use crate::clock;
use crate::report::moments::{FilmMoment, Seen};
use crate::report::numbers::Question;

impl Say {
    /// When a moment was; one of the days compared with says that it was before.
    #[must_use]
    pub fn moment_when(&self, moment: &FilmMoment, question: &Question) -> String {
        let when = self.moment_time(moment);
        if question.is_before(moment.date) {
            self.text("moment-before", &[("when", when.into())])
        } else {
            when
        }
    }

    /// What is to be seen, of which attempt, with the note: "quarters trailing, in trot, left".
    #[must_use]
    pub fn moment(&self, moment: &FilmMoment) -> String {
        let (seen, note) = match &moment.seen {
            Seen::Fault { name, note } => (self.fault(name).into_owned(), note.as_str()),
            Seen::Clean { praised: true } => (self.plain("moment-praised"), ""),
            Seen::Clean { praised: false } => (self.plain("moment-clean"), ""),
        };
        let variant = moment.variant.as_deref();
        let variant = variant.map(|name| self.variant(name).into_owned());
        let rein = moment.rein.map(|rein| match rein {
            Rein::Left => self.plain("left"),
            Rein::Right => self.plain("right"),
        });
        let parts = [Some(seen), variant, rein];
        let what = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
        if note.is_empty() {
            what
        } else {
            format!("{what}: {note}")
        }
    }

    /// When it was: "4 Nov 2026 12:03".
    #[must_use]
    pub fn moment_time(&self, moment: &FilmMoment) -> String {
        format!("{} {}", self.day(moment.date), clock::short(moment.at))
    }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;
    use reinback_yard::{MarkId, Moment, RideId};

    use super::*;
    use crate::report::moments::MomentId;
    use crate::said::Language;

    fn check(seen: Seen, (rein, variant): (Option<Rein>, Option<&str>), expect: [&str; 2]) {
        let moment = FilmMoment {
            id: MomentId::Fault(RideId::from(1), MarkId::from(2)),
            date: NaiveDate::from_ymd_opt(2026, 11, 4).expect("a day"),
            time: None,
            at: Moment(723_000_000_000),
            seen,
            rein,
            variant: variant.map(str::to_owned),
            filmed: true,
        };
        for (language, expect) in [Language::English, Language::German]
            .into_iter()
            .zip(expect)
        {
            let say = Say::new(language);
            let said = format!("{} {}", say.moment_time(&moment), say.moment(&moment));
            assert_eq!(said, expect);
        }
    }

    #[test]
    fn moments_are_said_in_both_languages() {
        let fault = |note: &str| Seen::Fault {
            name: "quarters trailing".into(),
            note: note.into(),
        };
        check(
            fault(""),
            (Some(Rein::Left), Some("in trot")),
            [
                "4 Nov 2026 12:03 quarters trailing, in trot, left",
                "4. Nov. 2026 12:03 Hinterhand schleppt nach, im Trab, links",
            ],
        );
        check(
            fault("ran out of room"),
            (None, None),
            [
                "4 Nov 2026 12:03 quarters trailing: ran out of room",
                "4. Nov. 2026 12:03 Hinterhand schleppt nach: ran out of room",
            ],
        );
        for (praised, english, german) in [
            (false, "clean, right", "fehlerfrei, rechts"),
            (true, "clean, praised, right", "fehlerfrei, gelobt, rechts"),
        ] {
            let expect = [
                format!("4 Nov 2026 12:03 {english}"),
                format!("4. Nov. 2026 12:03 {german}"),
            ];
            let seen = Seen::Clean { praised };
            check(
                seen,
                (Some(Rein::Right), None),
                expect.each_ref().map(String::as_str),
            );
        }
    }
}
