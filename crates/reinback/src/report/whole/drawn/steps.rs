//! Transitions a minute, ride by ride.

use reinback_analysis::transitions::{Frequency, Pooled, Transitions, pooled};

use super::{Layers, Lead, Leading, axes, number, together, when};
use crate::figure::{Column, Dot, Figure, Ink, Layer, Range, Shape, Sign, Table};
use crate::report::whole::{RideFigures, Whole};
use crate::said::Say;

struct Group<'a> {
    rides: Vec<(&'a RideFigures, &'a Transitions)>,
    found: Pooled,
}

/// Transitions of one kind: their name, how they are drawn, and which they are.
type Kind = (String, Ink, Sign, fn(&Pooled) -> &Frequency);

impl Group<'_> {
    /// In the middle of its days.
    fn x(&self) -> f64 {
        let ends = [self.rides.first(), self.rides.last()];
        let [first, last] = ends.map(|ride| ride.map_or(0.0, |(ride, _)| number(ride.date)));
        f64::midpoint(first, last)
    }

    fn lead(&self) -> Option<Lead> {
        let [(ride, steps)] = self.rides.as_slice() else {
            return None;
        };
        Some((ride.ride, steps.all.first().map(|step| step.at)))
    }

    fn when(&self, say: &Say) -> String {
        let date = self.rides.first().map(|(ride, _)| ride.date);
        when(self.rides.len(), date.unwrap_or_default(), say)
    }
}

pub(super) fn drawn(whole: &Whole, say: &Say) -> Option<Leading> {
    let known: Vec<(&RideFigures, &Transitions)> = whole
        .rides
        .iter()
        .filter_map(|ride| Some((ride.as_ref(), ride.steps.as_ref()?)))
        .collect();
    let groups: Vec<Group<'_>> = together(&known, |(ride, _)| ride.date)
        .into_iter()
        .map(|rides| Group {
            rides: rides.to_vec(),
            found: pooled(rides.iter().map(|(_, steps)| *steps)),
        })
        .collect();
    let dates = || known.iter().map(|(ride, _)| ride.date);
    let (first, last) = (dates().min()?, dates().max()?);
    let kinds: [Kind; 2] = [
        (
            say.plain("steps-kind-between"),
            Ink::Ink,
            Sign::Circle,
            |own| &own.between,
        ),
        (
            say.plain("steps-kind-within"),
            Ink::Leather,
            Sign::Diamond,
            |own| &own.within,
        ),
    ];
    let mut layers = Layers::default();
    let mut most = 0.0_f64;
    for (name, ink, sign, of) in &kinds {
        let rates = groups.iter().filter_map(|group| {
            let rate = of(&group.found).per_minute.as_ref().ok()?;
            Some((group, *rate))
        });
        let rates: Vec<_> = rates.filter(|(_, rate)| rate.value.is_finite()).collect();
        if rates.is_empty() {
            continue;
        }
        let dots = rates.iter().map(|(group, rate)| {
            most = most.max(rate.high);
            Dot {
                at: [group.x(), rate.value],
                radius: 4.0,
                sign: *sign,
                filled: true,
                said: said(group, name, of(&group.found), say),
            }
        });
        let layer = Layer {
            name: name.clone(),
            ink: *ink,
            shape: Shape::Dots(dots.collect()),
        };
        layers.add(layer, rates.iter().map(|(group, _)| group.lead()).collect());
        let ranges = rates.iter().map(|(group, rate)| Range {
            x: group.x(),
            low: rate.low,
            high: rate.high,
        });
        let ranges = Layer {
            name: String::new(),
            ink: *ink,
            shape: Shape::Ranges(ranges.collect()),
        };
        layers.add(ranges, Vec::new());
    }
    if layers.layers.is_empty() {
        return None;
    }
    let title = say.plain("steps-figure");
    Some(Leading {
        figure: Figure {
            spoken: say.text(
                "steps-figure-spoken",
                &[("rides", say.in_rides(known.len()).into())],
            ),
            x: axes::days(first, last, say),
            y: axes::amounts(say.plain("steps-axis"), 0.0, most, say),
            to_scale: false,
            layers: layers.layers,
            table: table(&groups, say),
            title,
        },
        leads: layers.leads,
        rows: groups.iter().rev().map(Group::lead).collect(),
    })
}

fn said(group: &Group<'_>, name: &str, found: &Frequency, say: &Say) -> String {
    say.text(
        "steps-dot",
        &[
            ("when", group.when(say).into()),
            ("name", name.into()),
            ("count", found.count.into()),
            ("length", say.length(group.found.known_nanos).into()),
            ("rate", say.often(found).into()),
        ],
    )
}

/// The newest ride at the top.
fn table(groups: &[Group<'_>], say: &Say) -> Table {
    let rated = say.plain("steps-axis");
    let row = |group: &Group<'_>| {
        let found = &group.found;
        vec![
            group.when(say),
            say.length(found.known_nanos),
            say.count(found.between.count),
            say.often(&found.between),
            say.count(found.within.count),
            say.often(&found.within),
        ]
    };
    Table {
        columns: vec![
            Column::words(say.plain("table-day")),
            Column::numbers(say.plain("steps-column-known")),
            Column::numbers(say.plain("steps-kind-between")),
            Column::numbers(rated.clone()),
            Column::numbers(say.plain("steps-kind-within")),
            Column::numbers(rated),
        ],
        rows: groups.iter().rev().map(row).collect(),
    }
}
