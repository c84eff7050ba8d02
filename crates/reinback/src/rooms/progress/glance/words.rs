//! What a row says, put into words once for each row that comes.

use crate::report::horses::HorseRow;
use crate::said::Say;

/// The words of a row.
pub(super) struct Words {
    pub(super) name: String,
    pub(super) age: String,
    pub(super) ridden: String,
    /// Of which days, where they are not those chosen.
    pub(super) days: Option<String>,
    /// The exercise to work on first and its sentence, or why there is none.
    pub(super) first: Result<[String; 2], String>,
    pub(super) better: Option<String>,
    pub(super) worse: Option<String>,
    /// That nothing changed, or cannot be told.
    pub(super) unchanged: Option<String>,
    pub(super) one_sided: Option<String>,
    /// Cautions in short, in one line; empty without any.
    pub(super) cautions: String,
    /// All of it for those who hear it.
    pub(super) spoken: String,
    /// All of it, line by line, with the whole sentences of the cautions.
    pub(super) tip: Vec<String>,
}

impl Words {
    /// Puts a row into words.
    pub(super) fn new(name: &str, row: &HorseRow, say: &Say) -> Self {
        let first = say.horse_first(row);
        let first_in_full = match &first {
            Ok([exercise, sentence]) => say.text(
                "horses-first",
                &[
                    ("exercise", exercise.as_str().into()),
                    ("sentence", sentence.as_str().into()),
                ],
            ),
            Err(why) => why.clone(),
        };
        let (age, ridden) = (say.horse_age(row), say.horse_ridden(row));
        let days = row.instead.as_ref().map(|why| say.span_instead(why));
        let better = say.horse_better(row);
        let worse = say.horse_worse(row);
        let unchanged = say.horse_unchanged(row);
        let one_sided = say.horse_one_sided(row);
        let cautions = say.horse_cautions(row);
        let [week_before, week] = {
            let nanos = |back: usize| {
                let weeks = row.weeks.iter().rev();
                weeks.map(|week| week.nanos).nth(back).unwrap_or_default()
            };
            [1, 0].map(|back| match nanos(back) {
                0 => say.plain("horses-week-nothing"),
                some => say.length(some),
            })
        };
        let weeks = say.text(
            "horses-weeks-spoken",
            &[("now", week.into()), ("before", week_before.into())],
        );
        let told: Vec<String> = [
            Some(age.clone()),
            Some(ridden.clone()),
            days.clone(),
            (row.rides > 0).then_some(first_in_full),
            better.clone(),
            worse.clone(),
            unchanged.clone(),
            one_sided.clone(),
            (!cautions.is_empty()).then(|| say.horse_cautions_in_full(row).join("; ")),
            (!row.weeks.is_empty()).then_some(weeks),
        ]
        .into_iter()
        .flatten()
        .collect();
        let spoken = say.text(
            "horses-row",
            &[("horse", name.into()), ("row", told.join(". ").into())],
        );
        let mut tip = vec![name.to_owned()];
        tip.extend(told);
        tip.extend(say.load_cautions(&row.cautions));
        tip.push(say.plain("horses-opens"));
        Self {
            name: name.to_owned(),
            age,
            ridden,
            days,
            first,
            better,
            worse,
            unchanged,
            one_sided,
            cautions: cautions.join("; "),
            spoken,
            tip,
        }
    }
}
