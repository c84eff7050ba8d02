//! Marks as columns.

use std::collections::BTreeMap;

use reinback_analysis::Moment;

use super::bytes::{Input, Output};
use super::codes::Coded as _;
use super::things::{WordsIn, WordsOut, refer, referred};
use crate::model::{ArenaPlace, Mark, MarkKind, Measured, Origin, Plumb, Point, Press};

pub(super) fn pack<'a>(
    out: &mut Output,
    marks: &'a [Mark],
    reviews: &BTreeMap<u64, u64>,
    bouts: &BTreeMap<u64, u64>,
    words: &mut WordsOut<'a>,
) {
    let mut columns: [Output; 9] = Default::default();
    let [
        ids,
        of_reviews,
        moments,
        kinds,
        of_bouts,
        notes,
        origins,
        presses,
        places,
    ] = &mut columns;
    for mark in marks {
        let Mark {
            id,
            review,
            at,
            kind,
            bout,
            note,
            origin,
            press,
            place,
        } = mark;
        ids.fixed(id.bits());
        refer(of_reviews, reviews, review.bits());
        moments.step(at.0);
        pack_kind(kinds, kind, words);
        of_bouts.maybe(*bout, |out, bout| refer(out, bouts, bout.bits()));
        notes.text(note);
        origins.maybe(origin.as_deref(), pack_origin);
        presses.maybe(press.as_ref(), pack_press);
        places.maybe(*place, pack_place);
    }
    out.columns(marks.len(), columns);
}

pub(super) fn unpack(
    input: &mut Input<'_>,
    reviews: &[u64],
    bouts: &[u64],
    words: &WordsIn,
) -> Option<Vec<Mark>> {
    input.columns(
        8,
        |[
            ids,
            of_reviews,
            moments,
            kinds,
            of_bouts,
            notes,
            origins,
            presses,
            places,
        ]| {
            Some(Mark {
                id: ids.fixed()?.into(),
                review: referred(of_reviews, reviews)?.into(),
                at: Moment(moments.step()?),
                kind: unpack_kind(kinds, words)?,
                bout: of_bouts.maybe(|input| referred(input, bouts).map(Into::into))?,
                note: notes.text()?,
                origin: origins.maybe(unpack_origin)?,
                press: presses.maybe(unpack_press)?,
                place: places.maybe(unpack_place)?,
            })
        },
    )
}

fn pack_kind<'a>(out: &mut Output, kind: &'a MarkKind, words: &mut WordsOut<'a>) {
    match kind {
        MarkKind::Fault(fault) => {
            out.byte(0);
            out.number(words.number(fault));
        }
        MarkKind::Praise => out.byte(1),
        MarkKind::Repeated => out.byte(2),
        MarkKind::Note => out.byte(3),
        MarkKind::Change(onto) => {
            out.byte(4);
            out.maybe(onto.as_ref(), |out, onto| out.byte(onto.code()));
        }
        MarkKind::Aid => out.byte(5),
        MarkKind::Measured(measured) => {
            out.byte(6);
            pack_measured(out, measured);
        }
    }
}

fn unpack_kind(input: &mut Input<'_>, words: &WordsIn) -> Option<MarkKind> {
    Some(match input.byte()? {
        0 => MarkKind::Fault(words.read(input)?),
        1 => MarkKind::Praise,
        2 => MarkKind::Repeated,
        3 => MarkKind::Note,
        4 => MarkKind::Change(input.maybe(Input::coded)?),
        5 => MarkKind::Aid,
        6 => MarkKind::Measured(Box::new(unpack_measured(input)?)),
        _ => return None,
    })
}

fn pack_measured(out: &mut Output, measured: &Measured) {
    let Measured {
        kind,
        film,
        points,
        plumb,
    } = measured;
    out.byte(kind.code());
    out.fixed(film.bits());
    out.number(points.len() as u64);
    for point in points {
        pack_point(out, *point);
    }
    match plumb {
        Plumb::Film => out.flag(false),
        Plumb::Edge(one, other) => {
            out.flag(true);
            pack_point(out, *one);
            pack_point(out, *other);
        }
    }
}

fn unpack_measured(input: &mut Input<'_>) -> Option<Measured> {
    let (kind, film) = (input.coded()?, input.fixed()?.into());
    let mut points = Vec::new();
    for _ in 0..input.number()? {
        points.push(unpack_point(input)?);
    }
    let edge = input.maybe(|input| Some((unpack_point(input)?, unpack_point(input)?)))?;
    Some(Measured {
        kind,
        film,
        points,
        plumb: edge.map_or(Plumb::Film, |(one, other)| Plumb::Edge(one, other)),
    })
}

fn pack_point(out: &mut Output, point: Point) {
    let Point { x, y } = point;
    out.signed(x.into());
    out.signed(y.into());
}

fn unpack_point(input: &mut Input<'_>) -> Option<Point> {
    Some(Point {
        x: input.signed_small()?,
        y: input.signed_small()?,
    })
}

fn pack_origin(out: &mut Output, origin: &Origin) {
    let Origin {
        source,
        line,
        time,
        text,
    } = origin;
    out.text(source);
    out.number((*line).into());
    out.text(time);
    out.text(text);
}

fn unpack_origin(input: &mut Input<'_>) -> Option<Box<Origin>> {
    Some(Box::new(Origin {
        source: input.text()?,
        line: input.small()?,
        time: input.text()?,
        text: input.text()?,
    }))
}

fn pack_press(out: &mut Output, press: &Press) {
    let Press {
        shown,
        correction,
        refined,
    } = press;
    out.step(shown.0);
    out.signed(*correction);
    out.flag(*refined);
}

fn unpack_press(input: &mut Input<'_>) -> Option<Press> {
    Some(Press {
        shown: Moment(input.step()?),
        correction: input.signed()?,
        refined: input.flag()?,
    })
}

fn pack_place(out: &mut Output, place: ArenaPlace) {
    let ArenaPlace {
        across_cm,
        along_cm,
    } = place;
    out.signed(across_cm.into());
    out.signed(along_cm.into());
}

fn unpack_place(input: &mut Input<'_>) -> Option<ArenaPlace> {
    Some(ArenaPlace {
        across_cm: input.signed_small()?,
        along_cm: input.signed_small()?,
    })
}
