//! The tempo before, in and after an exercise, of the rides in which it was tapped.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use reinback_analysis::describe::median;
use reinback_analysis::tempo_around::{About, around};
use reinback_analysis::{Pace, Span};
use reinback_yard::lower::tempo::{going, strides};
use reinback_yard::{Bout, Keys, Moment, Ride, RideId, WordId, Yard};

use super::{Lead, Leading, axes};
use crate::figure::{Axis, AxisMark, Column, Dot, Figure, Ink, Layer, Scale, Shape, Sign, Table};
use crate::report::moments::film_at;
use crate::report::numbers::{Question, Whose};
use crate::said::Say;

/// So long before an exercise the film starts where its tempo is to be tapped: three strides of the
/// slowest pace take about 4 s. Our own choice.
const BEFORE: i64 = 5_000_000_000;
/// How many attempts are drawn, the newest; more would be a tangle.
const DRAWN: usize = 40;

/// What may be put together: one horse in one pace and variant. The reins are, unless one is asked.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Kind {
    /// The horse, where all of them are asked about.
    pub horse: Option<String>,
    /// The pace in the middle of the attempt, where it is known.
    pub pace: Option<Pace>,
    /// The variant of the exercise, where it is noted.
    pub variant: Option<String>,
}

/// The tempo about one attempt.
#[derive(Clone, Debug, PartialEq)]
pub struct Attempt {
    /// Its ride.
    pub ride: RideId,
    /// The day of that.
    pub day: NaiveDate,
    /// What it may be put together with.
    pub kind: Kind,
    /// Strides a minute before, in and after it.
    pub about: About,
}

/// Where the tempo about an exercise can be tapped along.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ToTap {
    /// Nowhere: there is no attempt at it.
    #[default]
    NoAttempt,
    /// Nowhere: no film shows an attempt at it.
    NoFilm,
    /// In the newest ride with a film of an attempt at it, shortly before the first of those.
    At(RideId, Moment),
}

/// The tempo about the attempts at an exercise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TempoAbout {
    /// Attempt by attempt, oldest ride first.
    pub events: Vec<Attempt>,
    /// Attempts without three strides in a row on either side, in rides with taps.
    pub left_out: u32,
    /// Where more could be tapped.
    pub to_tap: ToTap,
}

/// The attempts of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct KindAbout<'a> {
    /// The kind.
    pub kind: &'a Kind,
    /// Its attempts, oldest ride first.
    pub events: Vec<&'a About>,
}

/// The middle of some tempos and how far they reach, in strides a minute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Middle {
    /// Their median.
    pub median: f64,
    /// The slowest.
    pub low: f64,
    /// The quickest.
    pub high: f64,
    /// How many there are.
    pub known: u32,
}

impl Middle {
    fn of(values: &[f64]) -> Option<Self> {
        Some(Self {
            median: median(values)?,
            low: values.iter().copied().reduce(f64::min)?,
            high: values.iter().copied().reduce(f64::max)?,
            known: u32::try_from(values.len()).unwrap_or(u32::MAX),
        })
    }
}

impl KindAbout<'_> {
    /// The middle of the tempo before, in and after.
    #[must_use]
    pub fn middles(&self) -> [Option<Middle>; 3] {
        [0, 1, 2].map(|part| {
            let all = self.events.iter();
            let all = all.filter_map(|about| parts(about)[part]);
            Middle::of(&all.collect::<Vec<f64>>())
        })
    }
}

/// Looks at every ride of a question with this exercise.
#[must_use]
pub fn tempo_about(yard: &Yard, question: &Question, exercise: &WordId) -> TempoAbout {
    let rides = yard.rides_by_date().into_iter();
    let asked = rides.filter(|ride| question.holds(ride));
    tempo_about_of(yard, asked, question, exercise)
}

/// The same of rides of the question that were looked out already, oldest first.
#[must_use]
pub fn tempo_about_of<'a>(
    yard: &Yard,
    rides: impl Iterator<Item = &'a Ride>,
    question: &Question,
    exercise: &WordId,
) -> TempoAbout {
    let mut found = TempoAbout::default();
    for ride in rides {
        found.add(yard, ride, exercise, question);
    }
    found
}

impl TempoAbout {
    fn add(&mut self, yard: &Yard, ride: &Ride, exercise: &WordId, question: &Question) {
        let counting = ride.head.counting;
        let own = ride.bouts.iter().filter(|bout| {
            bout.review == counting
                && bout.exercise == *exercise
                && bout.reviewed
                && question.reins.hold(bout.rein)
        });
        let own: Vec<(&Bout, Span)> = own
            .filter_map(|bout| Some((bout, Span::new(bout.from, bout.to?))))
            .collect();
        if own.is_empty() {
            return;
        }
        match place_to_tap(ride, own.iter().map(|(_, span)| span.from)) {
            Some(at) => self.to_tap = ToTap::At(ride.id, at),
            None if self.to_tap == ToTap::NoAttempt => self.to_tap = ToTap::NoFilm,
            None => {}
        }
        let strides = strides(ride, counting);
        if strides.is_empty() {
            return;
        }
        let going = going(ride, &yard.words, counting, None, &mut Keys::default());
        let horse = match question.whose {
            Whose::All => yard.horse(ride.head.horse).map(|horse| horse.name.clone()),
            Whose::One(_) => None,
        };
        let kind = |bout: &Bout, span: Span| {
            let middle = Moment(i64::midpoint(span.from.0, span.to.0));
            let mut going = going.iter();
            let here = going.find(|own| own.span.from <= middle && middle < own.span.to);
            let variant = bout.variant.as_ref();
            Kind {
                horse: horse.clone(),
                pace: here.map(|own| own.pace),
                variant: variant.map(|variant| yard.words.variant_name(exercise, variant)),
            }
        };
        for (bout, span) in own {
            let found = around(&strides, &[span]);
            self.left_out += found.left_out;
            self.events
                .extend(found.events.into_iter().map(|about| Attempt {
                    ride: ride.id,
                    day: ride.head.date,
                    kind: kind(bout, span),
                    about,
                }));
        }
    }

    /// The attempts kind by kind.
    #[must_use]
    pub fn kinds(&self) -> Vec<KindAbout<'_>> {
        let mut kinds: BTreeMap<&Kind, Vec<&About>> = BTreeMap::new();
        for event in &self.events {
            kinds.entry(&event.kind).or_default().push(&event.about);
        }
        let kinds = kinds.into_iter();
        kinds
            .map(|(kind, events)| KindAbout { kind, events })
            .collect()
    }
}

fn parts(about: &About) -> [Option<f64>; 3] {
    [Some(about.before), about.within, Some(about.after)]
}

/// A line for each of the newest attempts, and their middle; `None` where no tempo is known.
#[must_use]
pub fn about(found: &TempoAbout, exercise: &str, say: &Say) -> Option<Leading> {
    let from = found.events.len().saturating_sub(DRAWN);
    let drawn = found.events.get(from..)?;
    let values = drawn.iter().flat_map(|event| parts(&event.about));
    let values: Vec<f64> = values.flatten().filter(|value| value.is_finite()).collect();
    let least = values.iter().copied().reduce(f64::min)?;
    let most = values.iter().copied().reduce(f64::max)?;
    let names = [
        say.plain("tempo-before"),
        say.plain("tempo-in"),
        say.plain("tempo-after"),
    ];
    let single = |value: f64| say.decimal(value, 0);
    let mut layers: Vec<Layer> = Vec::new();
    let mut dots = Vec::new();
    let mut goals = Vec::new();
    for event in drawn {
        let about = &event.about;
        let known = parts(about);
        let points = (1..).zip(known);
        let points = points.filter_map(|(at, value)| Some([f64::from(at), value?]));
        let points: Vec<[f64; 2]> = points.collect();
        let said = say.text(
            "tempo-about-said",
            &[
                ("day", say.day(event.day).into()),
                ("before", single(about.before).into()),
                (
                    "within",
                    about.within.map_or_else(|| "–".to_owned(), single).into(),
                ),
                ("after", single(about.after).into()),
            ],
        );
        for point in &points {
            dots.push(Dot {
                at: *point,
                radius: 3.5,
                sign: Sign::Circle,
                filled: true,
                said: said.clone(),
            });
            goals.push(Some(lead(event)));
        }
        // The first has the name of all, the others go with it.
        let name = if layers.is_empty() {
            say.plain("layer-attempts")
        } else {
            String::new()
        };
        layers.push(Layer {
            name,
            ink: Ink::Hairline,
            shape: Shape::Line {
                points,
                width: 1.0,
                dashed: false,
            },
        });
    }
    let mut leads = vec![Vec::new(); layers.len()];
    leads.push(goals);
    layers.push(Layer {
        name: String::new(),
        ink: Ink::Soft,
        shape: Shape::Dots(dots),
    });
    middles(&mut layers, found, say);
    let (table, rows) = table(found, &names, say);
    let places = (1..).zip(&names).map(|(at, text)| AxisMark {
        at: f64::from(at),
        text: text.clone(),
    });
    let title = say.text("tempo-about-title", &[("exercise", exercise.into())]);
    Some(Leading {
        figure: Figure {
            spoken: format!("{title}. {}", say.tempo_about(found)),
            title,
            x: Axis {
                title: String::new(),
                from: 0.6,
                to: 3.4,
                scale: Scale::Names(places.collect()),
                grid: true,
            },
            y: axes::amounts(say.plain("tempo-axis"), least - 1.0, most + 1.0, say),
            to_scale: false,
            layers,
            table,
        },
        leads,
        rows,
    })
}

/// A line a kind; with more than one each is named.
fn middles(layers: &mut Vec<Layer>, found: &TempoAbout, say: &Say) {
    let kinds = found.kinds();
    for (at, own) in kinds.iter().enumerate() {
        let points = (1..).zip(own.middles());
        let points = points.filter_map(|(at, middle)| Some([f64::from(at), middle?.median]));
        let (name, ink) = if kinds.len() == 1 {
            (say.plain("layer-middle"), Ink::Leather)
        } else {
            let kind = say.kind_about(own.kind);
            let name = say.text("layer-middle-of", &[("kind", kind.into())]);
            (name, Ink::Kind(at))
        };
        layers.push(Layer {
            name,
            ink,
            shape: Shape::Line {
                points: points.collect(),
                width: 2.4,
                dashed: false,
            },
        });
    }
}

fn lead(event: &Attempt) -> Lead {
    (event.ride, Some(shortly_before(event.about.event.from)))
}

/// Shortly before the first of these moments that a film shows, but not before that film begins.
pub(crate) fn place_to_tap(ride: &Ride, attempts: impl Iterator<Item = Moment>) -> Option<Moment> {
    let filmed = attempts.filter_map(|from| Some((from, film_at(ride, from)?.0.offset)));
    let (from, begins) = filmed.min()?;
    Some(shortly_before(from).max(begins))
}

fn shortly_before(at: Moment) -> Moment {
    Moment(at.0.saturating_sub(BEFORE).max(0))
}

/// The middle of each kind, then the attempts, newest first; with more than one kind each says which.
fn table(found: &TempoAbout, names: &[String; 3], say: &Say) -> (Table, Vec<Option<Lead>>) {
    let kinds = found.kinds();
    let many = kinds.len() > 1;
    let tempo = |value: Option<f64>| value.map_or_else(String::new, |own| say.decimal(own, 1));
    let row = |first: String, kind: &Kind, values: [String; 3]| {
        let which = many.then(|| say.kind_about(kind));
        let fields = [first].into_iter().chain(which).chain(values);
        fields.collect::<Vec<String>>()
    };
    let middles = kinds.iter().map(|own| {
        let attempts = u32::try_from(own.events.len()).unwrap_or(u32::MAX);
        let first = say.text("tempo-about-median", &[("attempts", attempts.into())]);
        let medians = own.middles().map(|middle| match middle {
            // Not of all attempts it is known.
            Some(own) if own.known != attempts => {
                format!("{} ({})", say.decimal(own.median, 1), say.count(own.known))
            }
            middle => tempo(middle.map(|own| own.median)),
        });
        (row(first, own.kind, medians), None)
    });
    let events = found.events.iter().rev().map(|event| {
        let values = parts(&event.about).map(tempo);
        let row = row(say.day(event.day), &event.kind, values);
        (row, Some(lead(event)))
    });
    let (rows, leads) = middles.chain(events).unzip();
    let mut columns = vec![Column::words(say.plain("table-day"))];
    columns.extend(many.then(|| Column::words(say.plain("table-which"))));
    columns.extend(names.iter().map(Column::numbers));
    (Table { columns, rows }, leads)
}
