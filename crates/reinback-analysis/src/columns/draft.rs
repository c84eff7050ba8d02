//! What one exercise comes to by itself, and what needs the other lines shown.

use std::sync::Arc;

use super::block::{Rows, Which};
use crate::after_mistake::{AfterMistake, after_draft, finish_after};
use crate::compare::{
    Comparison, SidesDraft, Timed, finish_comparisons, per_minute_of_horses, period_draft,
    rein_draft, timed_of_horses,
};
use crate::dispersion::{pooled_rho, shrunken_rho};
use crate::estimate::{Estimate, Shortage};
use crate::exercise::{
    Cell, CellDraft, ExerciseLine, LineDraft, RidePoint, course_of, finish_lines,
};
use crate::observation::Key;
use crate::rate::Tally;

/// What one exercise comes to by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    line: LineDraft,
    reins: SidesDraft,
    after: AfterMistake,
}

impl Draft {
    pub(super) fn of(exercise: Key, horses: &[Rows<'_>], seed: u64) -> Self {
        Self {
            line: LineDraft::of(horses, seed),
            reins: rein_draft(horses, seed),
            after: after_draft(exercise, horses, seed),
        }
    }

    /// The rides by day, with the faults marked on each.
    pub fn points(&self) -> impl Iterator<Item = (&RidePoint, u32)> {
        self.line.points()
    }
}

/// One exercise as it is shown among others.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Rates, reins, variants and the trend.
    pub figures: ExerciseLine,
    /// Right rein against left inside rides, where it was ridden on both.
    pub reins: Option<Comparison>,
    /// What happens after a mistake.
    pub after: AfterMistake,
}

/// Puts exercises shown together together, in the order given.
///
/// Likeness inside rides is pulled towards the other exercises, and trends,
/// reins and sequences are judged each among their own kind.
#[must_use]
pub fn finish(drafts: &[(Key, &Draft)]) -> Vec<Sheet> {
    let lines: Vec<(Key, &LineDraft)> = drafts
        .iter()
        .map(|(key, draft)| (*key, &draft.line))
        .collect();
    let sided: Vec<&SidesDraft> = drafts
        .iter()
        .map(|(_, draft)| &draft.reins)
        .filter(|reins| reins.is_sided())
        .collect();
    let after: Vec<&AfterMistake> = drafts.iter().map(|(_, draft)| &draft.after).collect();
    let mut reins = finish_comparisons(&sided).into_iter();
    drafts
        .iter()
        .zip(finish_lines(&lines))
        .zip(finish_after(&after))
        .map(|(((_, draft), figures), after)| Sheet {
            figures,
            reins: draft.reins.is_sided().then(|| reins.next()).flatten(),
            after,
        })
        .collect()
}

/// What two periods of one exercise come to by themselves.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedDraft {
    sides: SidesDraft,
    before: CellDraft,
    after: Tally,
    per_minute: Result<Estimate, Shortage>,
    timed: Timed,
    course: (Arc<[RidePoint]>, Arc<[u32]>),
}

impl ComparedDraft {
    pub(super) fn of(horses: &[(Rows<'_>, Rows<'_>)], seed: u64) -> Self {
        let before: Vec<Rows<'_>> = horses.iter().map(|(before, _)| before.clone()).collect();
        let after = horses
            .iter()
            .flat_map(|(_, after)| after.tallies(Which::All));
        Self {
            sides: period_draft(horses, seed),
            before: CellDraft::of(&before, Which::All),
            after: after.copied().sum(),
            per_minute: per_minute_of_horses(horses),
            timed: timed_of_horses(horses),
            course: course_of(&before),
        }
    }

    /// The rides of the first period by day, with the faults marked on each.
    pub fn points_before(&self) -> impl Iterator<Item = (&RidePoint, u32)> {
        let (points, faults) = &self.course;
        points.iter().zip(faults.iter().copied())
    }

    /// Faulty attempts of attempts of all horses in the first period.
    #[must_use]
    pub fn before(&self) -> Tally {
        self.before.total()
    }

    /// The same in the second period.
    #[must_use]
    pub fn after(&self) -> Tally {
        self.after
    }
}

/// Two periods of one exercise as they are shown among others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ComparedLine {
    /// The attempts of all horses in the first period.
    pub before: Cell,
    /// The second period against the first.
    pub rate: Comparison,
    /// How many times the faults per minute, second over first period; see
    /// [`compare_per_minute`](crate::compare::compare_per_minute).
    pub per_minute: Result<Estimate, Shortage>,
    /// The faults and the time behind it.
    pub timed: Timed,
}

/// Puts comparisons shown together together, in the order given.
#[must_use]
pub fn finish_compared(drafts: &[&ComparedDraft]) -> Vec<ComparedLine> {
    let sides: Vec<&SidesDraft> = drafts.iter().map(|draft| &draft.sides).collect();
    let measured: Vec<_> = sides.iter().map(|sides| sides.measured()).collect();
    let pooled = pooled_rho(&measured);
    drafts
        .iter()
        .zip(finish_comparisons(&sides))
        .zip(measured)
        .map(|((draft, rate), measured)| ComparedLine {
            before: draft.before.finish(shrunken_rho(measured, pooled)),
            rate,
            per_minute: draft.per_minute,
            timed: draft.timed,
        })
        .collect()
}
