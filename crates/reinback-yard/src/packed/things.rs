//! Films, bouts, spans and tempo tracks as columns, and the words they name.

use std::collections::BTreeMap;

use reinback_analysis::{Moment, Span};

use super::bytes::{Input, Output};
use super::codes::Coded as _;
use crate::model::{Asked, Bout, Film, OutlineSpan, PaceSpan, Score, TempoTrack};
use crate::words::WordId;

/// The words of a ride by their number, while they are gathered.
#[derive(Debug, Default)]
pub(super) struct WordsOut<'a> {
    numbers: BTreeMap<&'a WordId, u64>,
    in_order: Vec<&'a WordId>,
}

impl<'a> WordsOut<'a> {
    pub(super) fn number(&mut self, word: &'a WordId) -> u64 {
        let next = self.in_order.len() as u64;
        *self.numbers.entry(word).or_insert_with(|| {
            self.in_order.push(word);
            next
        })
    }

    pub(super) fn pack(&self, out: &mut Output) {
        out.number(self.in_order.len() as u64);
        for word in &self.in_order {
            out.text(word.as_str());
        }
    }
}

/// The words of a ride, each once.
#[derive(Debug)]
pub(super) struct WordsIn(Vec<WordId>);

impl WordsIn {
    pub(super) fn unpack(input: &mut Input<'_>) -> Option<Self> {
        let mut words = Vec::new();
        for _ in 0..input.number()? {
            words.push(WordId::new(input.str()?).ok()?);
        }
        Some(Self(words))
    }

    pub(super) fn read(&self, input: &mut Input<'_>) -> Option<WordId> {
        self.0.get(input.small::<usize>()?).cloned()
    }
}

/// Where in a list each id stands, for [`refer`].
pub(super) fn places(ids: impl Iterator<Item = u64>) -> BTreeMap<u64, u64> {
    ids.zip(0..).collect()
}

/// An id by its place in a list; one that is not there in full.
pub(super) fn refer(out: &mut Output, places: &BTreeMap<u64, u64>, id: u64) {
    if let Some(place) = places.get(&id) {
        out.number(place + 1);
    } else {
        out.number(0);
        out.fixed(id);
    }
}

/// The id that [`refer`] wrote, from the same list.
pub(super) fn referred(input: &mut Input<'_>, ids: &[u64]) -> Option<u64> {
    match input.small::<usize>()? {
        0 => input.fixed(),
        place => ids.get(place - 1).copied(),
    }
}

const ID: usize = 8;

pub(super) fn pack_films(out: &mut Output, films: &[Film]) {
    let mut columns: [Output; 7] = Default::default();
    let [ids, paths, prints, offsets, drifts, durations, tilts] = &mut columns;
    for film in films {
        let Film {
            id,
            path,
            fingerprint,
            offset,
            drift_ppb,
            duration_nanos,
            tilt,
        } = film;
        ids.fixed(id.bits());
        paths.text(path);
        prints.maybe(fingerprint.as_ref(), |out, print| out.text(print));
        offsets.step(offset.0);
        drifts.signed((*drift_ppb).into());
        durations.maybe(*duration_nanos, Output::step);
        tilts.maybe(*tilt, |out, tilt| out.signed(tilt.into()));
    }
    out.columns(films.len(), columns);
}

pub(super) fn unpack_films(input: &mut Input<'_>) -> Option<Vec<Film>> {
    input.columns(
        ID,
        |[ids, paths, prints, offsets, drifts, durations, tilts]| {
            Some(Film {
                id: ids.fixed()?.into(),
                path: paths.text()?,
                fingerprint: prints.maybe(Input::text)?,
                offset: Moment(offsets.step()?),
                drift_ppb: drifts.signed_small()?,
                duration_nanos: durations.maybe(Input::step)?,
                tilt: tilts.maybe(Input::signed_small)?,
            })
        },
    )
}

pub(super) fn pack_bouts<'a>(
    out: &mut Output,
    bouts: &'a [Bout],
    reviews: &BTreeMap<u64, u64>,
    words: &mut WordsOut<'a>,
) {
    let mut columns: [Output; 12] = Default::default();
    let [
        ids,
        of_reviews,
        exercises,
        starts,
        ends,
        reins,
        variants,
        numbers,
        scores,
        of_letters,
        states,
        notes,
    ] = &mut columns;
    for bout in bouts {
        let Bout {
            id,
            review,
            exercise,
            from,
            to,
            rein,
            variant,
            asked: Asked { count, every },
            score,
            letters,
            reviewed,
            note,
        } = bout;
        ids.fixed(id.bits());
        refer(of_reviews, reviews, review.bits());
        exercises.number(words.number(exercise));
        starts.step(from.0);
        ends.maybe(*to, |out, to| out.step(to.0));
        reins.maybe(rein.as_ref(), |out, rein| out.byte(rein.code()));
        variants.maybe(variant.as_ref(), |out, word| out.number(words.number(word)));
        for number in [count, every] {
            numbers.maybe(*number, |out, number| out.number(number.into()));
        }
        scores.maybe(*score, |out, score| out.byte(score.halves()));
        for letter in [letters.0, letters.1] {
            of_letters.maybe(letter, |out, letter| out.number(u32::from(letter).into()));
        }
        states.flag(*reviewed);
        notes.text(note);
    }
    out.columns(bouts.len(), columns);
}

pub(super) fn unpack_bouts(
    input: &mut Input<'_>,
    reviews: &[u64],
    words: &WordsIn,
) -> Option<Vec<Bout>> {
    let letter = |input: &mut Input<'_>| char::from_u32(input.small()?);
    input.columns(
        ID,
        |[
            ids,
            of_reviews,
            exercises,
            starts,
            ends,
            reins,
            variants,
            numbers,
            scores,
            of_letters,
            states,
            notes,
        ]| {
            Some(Bout {
                id: ids.fixed()?.into(),
                review: referred(of_reviews, reviews)?.into(),
                exercise: words.read(exercises)?,
                from: Moment(starts.step()?),
                to: ends.maybe(|input| input.step().map(Moment))?,
                rein: reins.maybe(Input::coded)?,
                variant: variants.maybe(|input| words.read(input))?,
                asked: Asked {
                    count: numbers.maybe(Input::small)?,
                    every: numbers.maybe(Input::small)?,
                },
                score: scores.maybe(|input| Score::from_halves(input.byte()?))?,
                letters: (of_letters.maybe(letter)?, of_letters.maybe(letter)?),
                reviewed: states.flag()?,
                note: notes.text()?,
            })
        },
    )
}

pub(super) fn pack_paces<'a>(out: &mut Output, paces: &'a [PaceSpan], words: &mut WordsOut<'a>) {
    let mut columns: [Output; 4] = Default::default();
    let [ids, spans, kinds, variants] = &mut columns;
    for pace in paces {
        let PaceSpan {
            id,
            span,
            pace,
            variant,
        } = pace;
        ids.fixed(id.bits());
        pack_span(spans, span);
        kinds.byte(pace.code());
        variants.maybe(variant.as_ref(), |out, word| out.number(words.number(word)));
    }
    out.columns(paces.len(), columns);
}

pub(super) fn unpack_paces(input: &mut Input<'_>, words: &WordsIn) -> Option<Vec<PaceSpan>> {
    input.columns(ID, |[ids, spans, kinds, variants]| {
        Some(PaceSpan {
            id: ids.fixed()?.into(),
            span: unpack_span(spans)?,
            pace: kinds.coded()?,
            variant: variants.maybe(|input| words.read(input))?,
        })
    })
}

pub(super) fn pack_outlines<'a>(
    out: &mut Output,
    outlines: &'a [OutlineSpan],
    words: &mut WordsOut<'a>,
) {
    let mut columns: [Output; 3] = Default::default();
    let [ids, spans, kinds] = &mut columns;
    for outline in outlines {
        let OutlineSpan { id, span, outline } = outline;
        ids.fixed(id.bits());
        pack_span(spans, span);
        kinds.number(words.number(outline));
    }
    out.columns(outlines.len(), columns);
}

pub(super) fn unpack_outlines(input: &mut Input<'_>, words: &WordsIn) -> Option<Vec<OutlineSpan>> {
    input.columns(ID, |[ids, spans, kinds]| {
        Some(OutlineSpan {
            id: ids.fixed()?.into(),
            span: unpack_span(spans)?,
            outline: words.read(kinds)?,
        })
    })
}

fn pack_span(out: &mut Output, span: &Span) {
    let Span { from, to } = span;
    out.step(from.0);
    out.step(to.0);
}

fn unpack_span(input: &mut Input<'_>) -> Option<Span> {
    Some(Span {
        from: Moment(input.step()?),
        to: Moment(input.step()?),
    })
}

pub(super) fn pack_tempos(out: &mut Output, tempos: &[TempoTrack], reviews: &BTreeMap<u64, u64>) {
    let mut columns: [Output; 4] = Default::default();
    let [ids, of_reviews, legs, of_taps] = &mut columns;
    for track in tempos {
        let TempoTrack {
            id,
            review,
            leg,
            taps,
        } = track;
        ids.fixed(id.bits());
        refer(of_reviews, reviews, review.bits());
        legs.byte(leg.code());
        of_taps.number(taps.len() as u64);
        for tap in taps {
            of_taps.step(tap.0);
        }
    }
    out.columns(tempos.len(), columns);
}

pub(super) fn unpack_tempos(input: &mut Input<'_>, reviews: &[u64]) -> Option<Vec<TempoTrack>> {
    input.columns(ID, |[ids, of_reviews, legs, of_taps]| {
        let (id, review) = (ids.fixed()?.into(), referred(of_reviews, reviews)?.into());
        let leg = legs.coded()?;
        let mut taps = Vec::new();
        for _ in 0..of_taps.number()? {
            taps.push(Moment(of_taps.step()?));
        }
        Some(TempoTrack {
            id,
            review,
            leg,
            taps,
        })
    })
}
