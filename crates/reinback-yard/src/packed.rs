//! A ride as bytes that are read again quickly: what the index of a yard holds of each file.
//!
//! Columns, one for each entry of a thing: ids beside ids, moments as the steps between them,
//! words as numbers of a list at the beginning. The bytes are of this version only, and nothing is
//! kept in them that is not in the yard's files as well.
//!
//! **Invariant:** `unpack(&pack(ride)) == Some(ride)`; whatever other bytes it is given, `unpack`
//! does not panic and takes memory in proportion to them (at most some twenty times as much).
//!
//! Packing takes every thing apart by naming all its entries, without `..`: a new entry of the
//! model does not compile until it has its place here. Then [`VERSION`] is raised as well.

mod bytes;
mod codes;
mod mark;
mod test;
mod things;

use chrono::{Datelike as _, NaiveDate, NaiveTime, Timelike as _};

use crate::model::{Review, Ride, RideHead};
use bytes::{Input, Output};
use codes::Coded as _;
use things::{WordsIn, WordsOut};

pub(crate) use bytes::{Input as Bytes, Output as BytesOut};

/// Raised with every change to what the bytes mean.
pub(crate) const VERSION: u64 = 1;

/// A ride as bytes.
pub(crate) fn pack(ride: &Ride) -> Vec<u8> {
    let Ride {
        id,
        head,
        films,
        bouts,
        marks,
        paces,
        outlines,
        tempos,
        test,
    } = ride;
    let mut words = WordsOut::default();
    let mut body = Output::default();
    body.fixed(id.bits());
    pack_head(&mut body, head);
    let reviews = things::places(head.reviews.iter().map(|review| review.id.bits()));
    things::pack_films(&mut body, films);
    things::pack_bouts(&mut body, bouts, &reviews, &mut words);
    let of_bouts = things::places(bouts.iter().map(|bout| bout.id.bits()));
    mark::pack(&mut body, marks, &reviews, &of_bouts, &mut words);
    things::pack_paces(&mut body, paces, &mut words);
    things::pack_outlines(&mut body, outlines, &mut words);
    things::pack_tempos(&mut body, tempos, &reviews);
    body.maybe(test.as_deref(), |out, test| {
        test::pack(out, test, &mut words);
    });
    let mut whole = Output::default();
    words.pack(&mut whole);
    whole.raw(&body.into_bytes());
    whole.into_bytes()
}

/// The ride that [`pack`] made these bytes of; `None` if it made no such bytes.
pub(crate) fn unpack(bytes: &[u8]) -> Option<Ride> {
    let mut input = Input::new(bytes);
    let words = WordsIn::unpack(&mut input)?;
    let id = input.fixed()?.into();
    let head = unpack_head(&mut input)?;
    let reviews: Vec<u64> = head.reviews.iter().map(|review| review.id.bits()).collect();
    let films = things::unpack_films(&mut input)?;
    let bouts = things::unpack_bouts(&mut input, &reviews, &words)?;
    let of_bouts: Vec<u64> = bouts.iter().map(|bout| bout.id.bits()).collect();
    let marks = mark::unpack(&mut input, &reviews, &of_bouts, &words)?;
    let paces = things::unpack_paces(&mut input, &words)?;
    let outlines = things::unpack_outlines(&mut input, &words)?;
    let tempos = things::unpack_tempos(&mut input, &reviews)?;
    let test = input.maybe(|input| test::unpack(input, &words).map(Box::new))?;
    input.ended().then_some(Ride {
        id,
        head,
        films,
        bouts,
        marks,
        paces,
        outlines,
        tempos,
        test,
    })
}

fn pack_head(out: &mut Output, head: &RideHead) {
    let RideHead {
        horse,
        date,
        time,
        title,
        notes,
        reviews,
        counting,
        arena,
    } = head;
    out.fixed(horse.bits());
    out.signed(date.num_days_from_ce().into());
    out.maybe(time.as_ref(), |out, time| {
        out.number(time.num_seconds_from_midnight().into());
        out.number(time.nanosecond().into());
    });
    out.text(title);
    out.text(notes);
    out.number(reviews.len() as u64);
    for Review {
        id,
        reviewer,
        blind,
    } in reviews
    {
        out.fixed(id.bits());
        out.text(reviewer);
        out.flag(*blind);
    }
    out.fixed(counting.bits());
    out.maybe(arena.as_ref(), |out, arena| out.byte(arena.code()));
}

fn unpack_head(input: &mut Input<'_>) -> Option<RideHead> {
    let horse = input.fixed()?.into();
    let date = i32::try_from(input.signed()?).ok()?;
    let date = NaiveDate::from_num_days_from_ce_opt(date)?;
    let time = input.maybe(|input| {
        let (seconds, nanos) = (input.small()?, input.small()?);
        NaiveTime::from_num_seconds_from_midnight_opt(seconds, nanos)
    })?;
    let (title, notes) = (input.text()?, input.text()?);
    let mut reviews = Vec::new();
    for _ in 0..input.number()? {
        reviews.push(Review {
            id: input.fixed()?.into(),
            reviewer: input.text()?,
            blind: input.flag()?,
        });
    }
    Some(RideHead {
        horse,
        date,
        time,
        title,
        notes,
        reviews,
        counting: input.fixed()?.into(),
        arena: input.maybe(Input::coded)?,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::arbitrary;

    proptest! {
        #[test]
        fn a_ride_comes_back_as_it_was(yard in arbitrary::yard()) {
            for ride in yard.rides.values() {
                let back = unpack(&pack(ride));
                prop_assert_eq!(back.as_ref(), Some(&**ride));
            }
        }

        #[test]
        fn bytes_that_are_no_ride_are_told(
            yard in arbitrary::yard(),
            places in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..4),
            end in any::<prop::sample::Index>(),
        ) {
            for ride in yard.rides.values() {
                let mut bytes = pack(ride);
                prop_assert_eq!(unpack(&bytes[..end.index(bytes.len())]), None);
                for (place, byte) in &places {
                    let place = place.index(bytes.len());
                    bytes[place] = *byte;
                }
                // Another ride, or none; the checksum of the index keeps them apart.
                let _no_panic = unpack(&bytes);
            }
        }

        #[test]
        fn any_bytes_do_no_harm(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
            let _no_panic = unpack(&bytes);
        }
    }
}
