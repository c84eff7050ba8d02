//! The books: a yard counted once, and what was found of it kept until it changes.
//!
//! Counting has three steps, and each is done again only where something changed: a ride is
//! lowered (`Ledger`), an exercise is worked out by itself (a page of the books: sums, shuffles,
//! the fitted trend), and the exercises shown are put together. The last is done for every answer.
//!
//! **Invariant:** the answer is that of books begun anew, on any number of threads.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::{Datelike as _, NaiveDate};
use rayon::prelude::*;
use reinback_analysis::columns::{
    Asked, ComparedDraft, ComparedLine, Draft, Sheet, finish, finish_compared,
};
use reinback_analysis::{
    Cell, Clear, Comparison, Day, Key, Priority, RidePoint, Shortage, Verdict, clear_first,
    what_first,
};
use reinback_yard::{HorseId, Keys, Ledger, Rein, RideId, WordId, Yard, day_of};

use super::numbers::{
    Compared, CoursePoint, Days, Line, Numbers, OnlyBefore, Question, Reins, RideLine, Times,
    VariantLine, Whose,
};

/// How many questions are kept beside one for each horse. A rider goes to and fro between a few.
const MOST_PAGES: usize = 8;

/// From so many rides on, a course is drawn month by month.
const MOST_DRAWN: usize = 366;

/// A yard counted, with what was asked of it lately.
#[derive(Debug, Default)]
pub struct Books {
    ledger: Ledger,
    /// How many questions are kept.
    most: usize,
    /// The last asked comes last.
    pages: Vec<Page<Asked, Worked>>,
    compared: Vec<Page<(Asked, Asked), ComparedDraft>>,
    /// Those of the attempts on one rein, once they were asked for.
    reins: BTreeMap<Rein, Books>,
}

/// What was worked out for one question, exercise by exercise.
#[derive(Debug)]
struct Page<A, D> {
    asked: A,
    /// With the version of what was counted.
    drafts: BTreeMap<Key, (u64, Arc<D>)>,
}

/// An exercise worked out by itself.
#[derive(Debug)]
struct Worked {
    draft: Draft,
    rides: Arc<[RideLine]>,
    course: Arc<[CoursePoint]>,
}

impl Books {
    /// Counts what has changed in a yard since the last time.
    pub fn follow(&mut self, yard: &Yard) {
        self.ledger.follow(yard);
    }

    /// Answers a question about a yard, counting only what has changed since the last answer.
    pub fn answer(&mut self, yard: &Yard, question: &Question) -> Numbers {
        match question.reins {
            Reins::Both => self.answer_of_all(yard, question),
            Reins::Only(rein) => {
                let own = self.reins.entry(rein).or_insert_with(|| Self {
                    ledger: Ledger::of_rein(Some(rein)),
                    ..Self::default()
                });
                own.answer_of_all(yard, question)
            }
        }
    }

    /// Answers of all attempts that these books hold.
    fn answer_of_all(&mut self, yard: &Yard, question: &Question) -> Numbers {
        self.follow(yard);
        self.most = MOST_PAGES + yard.horses.len();
        let asked = asked(question.whose, question.days);
        let against = question
            .against
            .map(|days| self::asked(question.whose, days));
        let worked = self.worked(&asked);
        let earlier = against.map(|before| self.earlier((before, asked)));
        let columns = self.ledger.columns();
        let outside = columns.outside(&asked);
        let names = Names {
            yard,
            keys: self.ledger.keys(),
        };
        Numbers {
            question: *question,
            rides: outside.rides,
            rides_against: against.map_or(0, |asked| columns.outside(&asked).rides),
            horses: outside.horses,
            newest: outside.newest.and_then(|(day, id)| {
                Some((NaiveDate::from_epoch_days(day.0)?, RideId::from_bits(id)))
            }),
            unreviewed: outside.unreviewed,
            waiting_faults: outside.waiting,
            loose_faults: names.times(None, &outside.loose_faults),
            only_before: earlier
                .as_deref()
                .map(|earlier| names.only_before(earlier))
                .unwrap_or_default(),
            reviewed: outside.reviewed,
            lines: names.lines(question, &worked, earlier.as_deref(), outside.reviewed),
        }
    }

    /// The exercises of these rides by their words, worked out where they were not.
    fn worked(&mut self, asked: &Asked) -> Vec<(Key, Arc<Worked>)> {
        let ledger = &self.ledger;
        page(&mut self.pages, self.most, *asked).fill(
            &ledger.exercises(),
            |key| ledger.columns().version(asked, key),
            |key| {
                let seed = ledger.keys().seed(key);
                let draft = ledger.columns().draft(asked, key, seed)?;
                Some(Worked::new(draft))
            },
        )
    }

    /// The exercises of two periods by their words.
    fn earlier(&mut self, (before, after): (Asked, Asked)) -> Vec<(Key, Arc<ComparedDraft>)> {
        let ledger = &self.ledger;
        page(&mut self.compared, self.most, (before, after)).fill(
            &ledger.exercises(),
            |key| ledger.columns().version(&after, key),
            |key| {
                let seed = ledger.keys().seed(key);
                ledger.columns().compared((&before, &after), key, seed)
            },
        )
    }
}

/// The page of a question, begun if it is new.
fn page<A: PartialEq, D>(pages: &mut Vec<Page<A, D>>, most: usize, asked: A) -> &mut Page<A, D> {
    let known = pages.iter().position(|page| page.asked == asked);
    let page = known.map(|place| pages.remove(place)).unwrap_or(Page {
        asked,
        drafts: BTreeMap::new(),
    });
    while pages.len() >= most.max(1) {
        pages.remove(0);
    }
    pages.push(page);
    let last = pages.len() - 1;
    &mut pages[last]
}

impl<A, D: Send + Sync> Page<A, D> {
    /// What is known of these exercises, in their order, worked out anew where the version has
    /// changed; on all cores.
    fn fill(
        &mut self,
        exercises: &[Key],
        version: impl Fn(Key) -> u64,
        work: impl Fn(Key) -> Option<D> + Sync,
    ) -> Vec<(Key, Arc<D>)> {
        let stale: Vec<(Key, u64)> = exercises
            .iter()
            .map(|key| (*key, version(*key)))
            .filter(|(key, version)| {
                self.drafts.get(key).map(|(known, _)| *known) != Some(*version)
            })
            .collect();
        let found: Vec<(Key, u64, Option<D>)> = stale
            .into_par_iter()
            .map(|(key, version)| (key, version, work(key)))
            .collect();
        for (key, version, draft) in found {
            match draft {
                Some(draft) => self.drafts.insert(key, (version, Arc::new(draft))),
                None => self.drafts.remove(&key),
            };
        }
        exercises
            .iter()
            .filter_map(|key| Some((*key, Arc::clone(&self.drafts.get(key)?.1))))
            .collect()
    }
}

fn asked(whose: Whose, days: Days) -> Asked {
    Asked {
        horse: whose.horse().map(HorseId::bits),
        days: (
            days.from.map_or(Day(i32::MIN), day_of),
            days.to.map_or(Day(i32::MAX), day_of),
        ),
    }
}

impl Worked {
    fn new(draft: Draft) -> Self {
        let rides: Vec<RideLine> = draft
            .points()
            .filter_map(|(point, faults)| ride_line(point, faults))
            .collect();
        Self {
            course: course(&rides).into(),
            rides: rides.into(),
            draft,
        }
    }
}

fn ride_line(point: &RidePoint, faults: u32) -> Option<RideLine> {
    Some(RideLine {
        ride: RideId::from_bits(point.ride),
        date: NaiveDate::from_epoch_days(point.day.0)?,
        tally: point.tally,
        faults,
    })
}

/// Rides of one day in the order ridden. Only where a horse went twice is there anything to do;
/// of many rides of many horses the days are enough.
fn in_order(yard: &Yard, rides: &Arc<[RideLine]>) -> Arc<[RideLine]> {
    let twice = rides.windows(2).any(|pair| pair[0].date == pair[1].date);
    if !twice || rides.len() > MOST_DRAWN {
        return Arc::clone(rides);
    }
    let mut rides = rides.to_vec();
    let time = |ride: &RideLine| yard.ride(ride.ride).and_then(|ride| ride.head.time);
    rides.sort_by_cached_key(|ride| (ride.date, time(ride), ride.ride));
    rides.into()
}

/// The rides of the days compared with.
fn course_before(draft: &ComparedDraft) -> Arc<[CoursePoint]> {
    let rides = draft.points_before();
    let rides: Vec<RideLine> = rides
        .filter_map(|(point, faults)| ride_line(point, faults))
        .collect();
    course(&rides).into()
}

/// Ride by ride, or month by month where they are many; the rides are sorted by day.
fn course(rides: &[RideLine]) -> Vec<CoursePoint> {
    let by_ride = rides.len() <= MOST_DRAWN;
    let together = |one: &RideLine, next: &RideLine| {
        let month = |ride: &RideLine| (ride.date.year(), ride.date.month());
        !by_ride && month(one) == month(next)
    };
    rides
        .chunk_by(together)
        .map(|rides| CoursePoint {
            ride: by_ride.then(|| rides[0].ride),
            from: rides[0].date,
            to: rides[rides.len() - 1].date,
            rides: u32::try_from(rides.len()).unwrap_or(u32::MAX),
            tally: rides.iter().map(|ride| ride.tally).sum(),
            faults: rides.iter().map(|ride| ride.faults).sum(),
        })
        .collect()
}

/// Gives words to keys and names to words.
struct Names<'a> {
    yard: &'a Yard,
    keys: &'a Keys,
}

impl Names<'_> {
    fn lines(
        &self,
        question: &Question,
        worked: &[(Key, Arc<Worked>)],
        earlier: Option<&[(Key, Arc<ComparedDraft>)]>,
        reviewed: usize,
    ) -> Vec<Line> {
        let drafts: Vec<(Key, &Draft)> = worked
            .iter()
            .map(|(key, worked)| (*key, &worked.draft))
            .collect();
        let sheets = finish(&drafts);
        let order = what_first(sheets.iter().map(|sheet| &sheet.figures), reviewed);
        let against = question.against;
        let overlap = against.is_some_and(|before| before.share_a_day(question.days));
        let lead = against.is_some_and(|before| before.lead_to(question.days));
        let mut before: BTreeMap<Key, Arc<[CoursePoint]>> = earlier
            .filter(|_| lead)
            .unwrap_or_default()
            .iter()
            .map(|(key, draft)| (*key, course_before(draft)))
            .collect();
        let mut compared = earlier.map(|earlier| compared(worked, earlier, overlap));
        let mut sheets: BTreeMap<Key, (Sheet, &Worked)> = worked
            .iter()
            .zip(sheets)
            .map(|((key, worked), sheet)| (*key, (sheet, worked.as_ref())))
            .collect();
        let order = clear_first(order, |key| {
            let compared = compared.as_ref().and_then(|all| all.get(&key));
            let reins = sheets.get(&key).and_then(|(sheet, _)| sheet.reins.as_ref());
            Clear::of(compared.map(|compared| &compared.rate), reins)
        });
        let line = |(place, (priority, clear)): (usize, (Priority, Clear))| {
            let (sheet, worked) = sheets.remove(&priority.exercise)?;
            let compared = compared.as_mut();
            let compared = compared.and_then(|compared| compared.remove(&priority.exercise));
            let before = before.remove(&priority.exercise).unwrap_or_default();
            let place = (place + 1, priority, clear);
            self.line(place, sheet, worked, (compared.as_ref(), before))
        };
        order.into_iter().enumerate().filter_map(line).collect()
    }

    fn line(
        &self,
        (place, priority, clear): (usize, Priority, Clear),
        sheet: Sheet,
        worked: &Worked,
        (compared, course_before): (Option<&Compared>, Arc<[CoursePoint]>),
    ) -> Option<Line> {
        let exercise = self.keys.word(priority.exercise)?.clone();
        Some(Line {
            name: self.yard.words.exercise_name(&exercise),
            place,
            priority,
            clear,
            faults: self.times(Some(&exercise), &sheet.figures.faults),
            variants: self.variants(&exercise, &sheet.figures.variants),
            reins: sheet.reins,
            after: Some(sheet.after),
            compared: compared.copied(),
            rides: in_order(self.yard, &worked.rides),
            course: Arc::clone(&worked.course),
            course_before,
            exercise,
            figures: sheet.figures,
        })
    }

    /// Most frequent first, ties by word.
    fn times(&self, exercise: Option<&WordId>, counts: &[(Key, u32)]) -> Vec<Times> {
        let mut times: Vec<Times> = counts
            .iter()
            .filter_map(|(key, times)| {
                let word = self.keys.word(*key)?.clone();
                Some(Times {
                    name: self.yard.words.fault_name(exercise, &word),
                    word,
                    times: *times,
                })
            })
            .collect();
        times.sort_by(|one, other| (other.times, &one.word).cmp(&(one.times, &other.word)));
        times
    }

    /// By name; attempts without a variant come last.
    fn variants(&self, exercise: &WordId, cells: &[(Option<Key>, Cell)]) -> Vec<VariantLine> {
        let mut lines: Vec<VariantLine> = cells
            .iter()
            .map(|(key, cell)| {
                let word = key.and_then(|key| self.keys.word(key)).cloned();
                let name = word.as_ref();
                let name = name.map(|word| self.yard.words.variant_name(exercise, word));
                VariantLine {
                    word,
                    name,
                    cell: *cell,
                }
            })
            .collect();
        lines.sort_by(|one, other| {
            let order = |line: &VariantLine| (line.name.is_none(), line.name.clone());
            (order(one), &one.word).cmp(&(order(other), &other.word))
        });
        lines
    }

    fn only_before(&self, earlier: &[(Key, Arc<ComparedDraft>)]) -> Vec<OnlyBefore> {
        let gone = earlier
            .iter()
            .filter(|(_, draft)| draft.after().attempts == 0 && draft.before().attempts > 0);
        let mut named: Vec<OnlyBefore> = gone
            .filter_map(|(key, draft)| {
                let exercise = self.keys.word(*key)?.clone();
                Some(OnlyBefore {
                    name: self.yard.words.exercise_name(&exercise),
                    tally: draft.before(),
                    exercise,
                })
            })
            .collect();
        named.sort_by(|one, other| (&one.name, &one.exercise).cmp(&(&other.name, &other.exercise)));
        named
    }
}

/// The comparisons of the lines shown. Days that are in both periods would be compared with
/// themselves.
fn compared(
    worked: &[(Key, Arc<Worked>)],
    earlier: &[(Key, Arc<ComparedDraft>)],
    overlap: bool,
) -> BTreeMap<Key, Compared> {
    let shown: BTreeSet<Key> = worked.iter().map(|(key, _)| *key).collect();
    let (keys, drafts): (Vec<Key>, Vec<&ComparedDraft>) = earlier
        .iter()
        .filter(|(key, _)| shown.contains(key))
        .map(|(key, draft)| (*key, draft.as_ref()))
        .unzip();
    let lines = finish_compared(&drafts);
    keys.into_iter()
        .zip(lines)
        .map(|(key, line)| (key, compared_line(&line, overlap)))
        .collect()
}

fn compared_line(line: &ComparedLine, overlap: bool) -> Compared {
    let mut rate = line.rate;
    let mut per_minute = line.per_minute;
    if overlap {
        let why = Shortage::PeriodsOverlap;
        rate = Comparison {
            difference: Err(why),
            permutation_p: None,
            adjusted_p: None,
            verdict: Verdict::TooFew(why),
            reservation: None,
            ..rate
        };
        per_minute = Err(why);
    }
    Compared {
        earlier: line.before,
        rate,
        per_minute,
        timed: line.timed,
    }
}

#[cfg(test)]
mod tests;
