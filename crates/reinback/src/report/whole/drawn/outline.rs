//! Outlines: how the known time of each ride was shared, and which rides the timer noticed.

use std::collections::BTreeMap;

use reinback_analysis::outline::{Notice, OutlineReport, longest_run};
use reinback_yard::{WordId, Words};

use super::{Layers, Lead, Leading, together, when};
use crate::figure::scale::Speaker;
use crate::figure::{
    Axis, AxisMark, Column, Dot, Figure, Filled, Ink, Layer, Scale, Shape, Sign, Table,
};
use crate::report::horses::Held;
use crate::report::whole::{RideFigures, Whole};
use crate::said::Say;

/// Room for at least so many rides.
const LEAST: usize = 8;
/// Where the signs of the timer stand above the bars.
const ABOVE: f64 = 1.07;
/// The height of all.
const TOP: f64 = 1.14;

/// A ride or a month of rides with outlines.
struct Group<'a> {
    rides: Vec<(&'a RideFigures, &'a OutlineReport)>,
    /// Nanoseconds by outline.
    time: BTreeMap<&'a WordId, i64>,
    dark: i64,
}

impl<'a> Group<'a> {
    fn new(rides: &[(&'a RideFigures, &'a OutlineReport)]) -> Self {
        let mut time: BTreeMap<&WordId, i64> = BTreeMap::new();
        let mut dark = 0_i64;
        for (ride, report) in rides {
            dark = dark
                .saturating_add(report.unknown_nanos)
                .saturating_add(report.contradicted_nanos);
            for share in &report.shares {
                if let Some(word) = ride.word(share.outline) {
                    let place = time.entry(word).or_default();
                    *place = place.saturating_add(share.nanos);
                }
            }
        }
        Self {
            rides: rides.to_vec(),
            time,
            dark,
        }
    }

    /// Time in which the outline is known.
    fn known(&self) -> i64 {
        self.time
            .values()
            .fold(0, |sum, own| sum.saturating_add(*own))
    }

    /// How many rides the timer noticed this far.
    fn noticed(&self, wanted: Notice) -> usize {
        let rides = self.rides.iter();
        let runs = rides.filter_map(|(_, report)| longest_run(report));
        runs.filter(|run| run.notice() == wanted).count()
    }

    fn lead(&self) -> Option<Lead> {
        let [(ride, report)] = self.rides.as_slice() else {
            return None;
        };
        let run = longest_run(report);
        let noticed = run.and_then(|run| run.notice_at.or(run.early_at));
        Some((ride.ride, noticed))
    }

    fn when(&self, say: &Say) -> String {
        let date = self.rides.first().map(|(ride, _)| ride.date);
        when(self.rides.len(), date.unwrap_or_default(), say)
    }

    /// What the timer says of a ride; of a month how many rides it noticed.
    fn timer(&self, say: &Say) -> String {
        if let [(_, report)] = self.rides.as_slice() {
            return say.outline_timer(report);
        }
        let held = Held {
            timed: self.rides.len() as u32,
            early: self.noticed(Notice::Early) as u32,
            full: self.noticed(Notice::Full) as u32,
        };
        let said = say.held(&held);
        if said.is_empty() {
            return say.plain("outline-none-noticed");
        }
        said.join("; ")
    }
}

pub(super) fn drawn(whole: &Whole, words: &Words, say: &Say) -> Option<Leading> {
    let marked: Vec<(&RideFigures, &OutlineReport)> = whole
        .rides
        .iter()
        .filter_map(|ride| Some((ride.as_ref(), ride.outline.as_ref()?.as_ref().ok()?)))
        .collect();
    let groups: Vec<Group<'_>> = together(&marked, |(ride, _)| ride.date)
        .into_iter()
        .map(Group::new)
        .collect();
    if groups.is_empty() {
        return None;
    }
    let kinds = kinds(&groups, words);
    let mut layers = Layers::default();
    shares(&mut layers, &groups, &kinds, words, say);
    notices(&mut layers, &groups, say);
    let figure = Figure {
        title: say.plain("outline-figure"),
        spoken: say.text(
            "outline-figure-spoken",
            &[
                ("rides", say.in_rides(marked.len()).into()),
                (
                    "early",
                    (times_noticed(&groups, Notice::Early) as u32).into(),
                ),
                ("full", (times_noticed(&groups, Notice::Full) as u32).into()),
            ],
        ),
        x: Axis {
            from: -0.7,
            // One ride alone would be as wide as all.
            to: groups.len().max(LEAST) as f64 - 0.3,
            scale: Scale::Names(marks(&groups, say)),
            ..Axis::default()
        },
        y: Axis {
            to: TOP,
            scale: Scale::Percent(Speaker::new(say.clone())),
            grid: true,
            ..Axis::default()
        },
        to_scale: false,
        layers: layers.layers,
        table: table(&groups, &kinds, words, say),
    };
    Some(Leading {
        figure,
        leads: layers.leads,
        rows: groups.iter().rev().map(Group::lead).collect(),
    })
}

fn times_noticed(groups: &[Group<'_>], wanted: Notice) -> usize {
    groups.iter().map(|group| group.noticed(wanted)).sum()
}

/// Each ride that the timer noticed, with the moment it did.
pub(super) fn noticed(whole: &Whole, say: &Say) -> Vec<(String, Lead)> {
    let rides = whole.rides.iter().rev();
    rides
        .filter_map(|ride| {
            let report = ride.outline.as_ref()?.as_ref().ok()?;
            let run = longest_run(report).filter(|run| run.notice() != Notice::Quiet)?;
            let said = say.text(
                "outline-noticed",
                &[
                    ("when", say.day(ride.date).into()),
                    ("timer", say.outline_timer(report).into()),
                ],
            );
            Some((said, (ride.ride, run.notice_at.or(run.early_at))))
        })
        .collect()
}

/// The outlines there are, as the yard lists them; what it no longer lists comes last.
fn kinds<'a>(groups: &[Group<'a>], words: &Words) -> Vec<(usize, &'a WordId)> {
    let place = |word: &WordId| {
        let listed = words.outlines.iter().position(|own| own.id == *word);
        listed.unwrap_or(words.outlines.len())
    };
    let there = groups.iter().flat_map(|group| group.time.keys().copied());
    let mut kinds: Vec<(usize, &WordId)> = there.map(|word| (place(word), word)).collect();
    kinds.sort();
    kinds.dedup();
    kinds
}

/// When each was: days where all of them are of a few months.
fn marks(groups: &[Group<'_>], say: &Say) -> Vec<AxisMark> {
    let dates = || {
        groups
            .iter()
            .filter_map(|group| Some(group.rides.first()?.0.date))
    };
    let span = dates().max().zip(dates().min());
    let long = span.is_some_and(|(last, first)| (last - first).num_days() >= 120);
    let mark = |(at, date)| AxisMark {
        at: at as f64,
        text: if long {
            say.month_of_year(date)
        } else {
            say.day_of_month(date)
        },
    };
    dates().enumerate().map(mark).collect()
}

fn shares(
    layers: &mut Layers,
    groups: &[Group<'_>],
    kinds: &[(usize, &WordId)],
    words: &Words,
    say: &Say,
) {
    let mut bottoms = vec![0.0; groups.len()];
    for (place, word) in kinds {
        let name = say.outline(&words.outline_name(word)).into_owned();
        let mut boxes = Vec::new();
        let mut leads = Vec::new();
        for (at, group) in groups.iter().enumerate() {
            let Some(nanos) = group.time.get(word).filter(|nanos| **nanos > 0) else {
                continue;
            };
            let share = *nanos as f64 / group.known().max(1) as f64;
            let (x, bottom) = (at as f64, bottoms[at]);
            boxes.push(Filled {
                x: [x - 0.42, x + 0.42],
                y: [bottom, bottom + share],
                strength: 1.0,
                said: say.text(
                    "outline-box",
                    &[
                        ("when", group.when(say).into()),
                        ("name", name.as_str().into()),
                        ("percent", say.percent(share).into()),
                        ("length", say.length(*nanos).into()),
                    ],
                ),
            });
            leads.push(group.lead());
            bottoms[at] += share;
        }
        let layer = Layer {
            name,
            ink: Ink::Kind(*place),
            shape: Shape::Boxes(boxes),
        };
        layers.add(layer, leads);
    }
}

fn notices(layers: &mut Layers, groups: &[Group<'_>], say: &Say) {
    for (notice, name, sign) in [
        (Notice::Early, say.plain("outline-early-sign"), Sign::Up),
        (Notice::Full, say.plain("outline-full-sign"), Sign::Diamond),
    ] {
        let there = groups.iter().enumerate();
        let there = there.filter(|(_, group)| group.noticed(notice) > 0);
        let (dots, leads): (Vec<Dot>, Vec<Option<Lead>>) = there
            .map(|(at, group)| {
                // Both may stand over one month.
                let aside = match (group.rides.len() > 1, notice) {
                    (true, Notice::Early) => -0.2,
                    (true, _) => 0.2,
                    (false, _) => 0.0,
                };
                let dot = Dot {
                    at: [at as f64 + aside, ABOVE],
                    radius: 4.5,
                    sign,
                    filled: notice == Notice::Full,
                    said: say.text(
                        "outline-noticed",
                        &[
                            ("when", group.when(say).into()),
                            ("timer", group.timer(say).into()),
                        ],
                    ),
                };
                (dot, group.lead())
            })
            .unzip();
        if !dots.is_empty() {
            let layer = Layer {
                name,
                ink: Ink::Caution,
                shape: Shape::Dots(dots),
            };
            layers.add(layer, leads);
        }
    }
}

/// The newest ride at the top.
fn table(groups: &[Group<'_>], kinds: &[(usize, &WordId)], words: &Words, say: &Say) -> Table {
    let mut columns = vec![Column::words(say.plain("table-day"))];
    let names = kinds
        .iter()
        .map(|(_, word)| say.outline(&words.outline_name(word)).into_owned());
    columns.extend(names.map(Column::numbers));
    columns.push(Column::numbers(say.plain("outline-dark")));
    columns.push(Column::words(say.plain("outline-timer")));
    columns.push(Column::words(say.plain("outline-column-changes")));
    let row = |group: &Group<'_>| {
        let known = group.known().max(1) as f64;
        let mut row = vec![group.when(say)];
        row.extend(kinds.iter().map(|(_, word)| {
            let nanos = group.time.get(word).copied().unwrap_or_default();
            say.percent(nanos as f64 / known)
        }));
        row.push(say.length(group.dark));
        row.push(group.timer(say));
        row.push(match group.rides.as_slice() {
            [(_, report)] => say.outline_changes(report),
            _ => String::new(),
        });
        row
    };
    Table {
        columns,
        rows: groups.iter().rev().map(row).collect(),
    }
}
