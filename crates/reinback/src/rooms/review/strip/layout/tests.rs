//! What is laid out of a ride, and what is found under the pointer.

use chrono::NaiveDate;
use egui::vec2;
use proptest::prelude::*;
use reinback_yard::{
    Asked, Bout, BoutId, Film, FilmId, HorseId, Mark, MarkId, MarkKind, OutlineSpan, Press, Review,
    RideId, SpanId, WordId,
};

use super::*;
use crate::rooms::review::strip::grip::End;
use crate::rooms::review::strip::under::{Under, inside, under};

const SECOND: i64 = 1_000_000_000;
const OWN: ReviewId = ReviewId::from_bits(9);

fn seconds(count: i64) -> Moment {
    Moment(count * SECOND)
}

fn span(from: i64, to: i64) -> Span {
    Span {
        from: seconds(from),
        to: seconds(to),
    }
}

fn blank() -> Ride {
    let review = Review {
        id: OWN,
        reviewer: String::new(),
        blind: false,
    };
    let date = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
    Ride::new(RideId::from_bits(1), HorseId::from_bits(2), date, review)
}

fn bout(id: u64, from: i64, to: Option<i64>) -> Bout {
    Bout {
        id: BoutId::from_bits(id),
        review: OWN,
        exercise: WordId::new("half-pass").unwrap(),
        from: seconds(from),
        to: to.map(seconds),
        rein: None,
        variant: None,
        asked: Asked::default(),
        score: None,
        letters: (None, None),
        reviewed: to.is_some(),
        note: String::new(),
    }
}

fn mark(id: u64, at: Moment, kind: MarkKind, refined: bool) -> Mark {
    Mark {
        id: MarkId::from_bits(id),
        review: OWN,
        at,
        kind,
        bout: Some(BoutId::from_bits(1)),
        note: String::new(),
        origin: None,
        press: Some(Press {
            shown: at,
            correction: 0,
            refined,
        }),
        place: None,
    }
}

/// Lays a ride of ten minutes out, on a strip of 1,200 points.
fn laid<R>(
    ride: &Ride,
    selected: &[Chosen],
    view: Span,
    then: impl FnOnce(&Layout, &StripData<'_>) -> R,
) -> R {
    let words = Words::default();
    let selected = selected.iter().copied().collect();
    let data = StripData {
        words: &words,
        ride,
        review: OWN,
        films: &[],
        waves: &[],
        sound_band: false,
        extent: span(0, 600),
        now: seconds(300),
        playing: false,
        flaws: &[],
        repeated: None,
        notes: &[],
        selected: &selected,
        frames: None,
        may: May::Mark,
    };
    let size = vec2(1_200.0, height(&data, view == data.extent));
    let rect = Rect::from_min_size(pos2(10.0, 500.0), size);
    then(&layout(&data, view, rect), &data)
}

#[test]
fn what_two_films_show() {
    let film = |from: i64, length: i64| Placed {
        film: Film {
            id: FilmId::from_bits(from.unsigned_abs()),
            path: String::new(),
            fingerprint: None,
            offset: Moment(from),
            drift_ppb: 0,
            duration_nanos: Some(length),
            tilt: None,
        },
        path: std::path::PathBuf::new(),
        another: false,
    };
    let films = [film(90, 30), film(0, 100), film(10, 20), film(130, 5)];
    let shared: Vec<(i64, i64)> = overlaps(&films)
        .iter()
        .map(|span| (span.from.0, span.to.0))
        .collect();
    assert_eq!(shared, [(10, 30), (90, 100)]);
}

#[test]
fn the_strip_is_as_high_as_its_bands_and_the_exercises_keep_their_room() {
    let mut ride = blank();
    for view in [span(0, 600), span(0, 60)] {
        let high = laid(&ride, &[], view, |layout, _| layout.rect.height());
        // What the overview takes, the exercises leave.
        assert!((high - 158.0).abs() < 1e-3, "{high}");
    }
    ride.outlines.push(OutlineSpan {
        id: SpanId::from_bits(1),
        span: span(0, 10),
        outline: WordId::new("working").unwrap(),
    });
    for view in [span(0, 600), span(0, 60)] {
        laid(&ride, &[], view, |layout, _| {
            let beds = layout.beds;
            assert!(beds.bouts.height() >= LEAST_BOUTS);
            assert!((beds.marks.bottom() + GAP - layout.rect.bottom()).abs() < 1e-3);
            let order = [beds.ruler, beds.films, beds.paces, beds.bouts, beds.marks];
            assert!(order.is_sorted_by(|one, next| one.bottom() <= next.top() + 1e-3));
        });
    }
}

#[test]
fn an_edge_belongs_to_its_stretch_and_the_middle_of_a_narrow_one_is_free() {
    let mut ride = blank();
    ride.bouts = vec![
        bout(1, 0, Some(300)),
        bout(2, 300, Some(304)),
        bout(3, 400, None),
    ];
    ride.marks = vec![mark(1, seconds(200), MarkKind::Praise, true)];
    // Two points to a second: 0-600, 600-608, and from 800 on.
    let chosen = |id| Chosen::Bout(BoutId::from_bits(id));
    laid(&ride, &[], span(0, 600), |layout, data| {
        let bouts = layout.beds.bouts.center().y;
        let marks = layout.beds.marks.center().y;
        for (x, y, expect) in [
            (300.0, bouts, Under::Block(chosen(1))),
            (598.0, bouts, Under::Edge(chosen(1), End::End)),
            (601.0, bouts, Under::Edge(chosen(2), End::Start)),
            (604.0, bouts, Under::Block(chosen(2))),
            (607.0, bouts, Under::Edge(chosen(2), End::End)),
            (612.0, bouts, Under::Edge(chosen(2), End::End)),
            (620.0, bouts, Under::Nothing),
            (799.0, bouts, Under::Edge(chosen(3), End::Start)),
            (405.0, marks, Under::Sign(MarkId::from_bits(1), false)),
            (420.0, marks, Under::Nothing),
        ] {
            let place = pos2(layout.rect.left() + x, y);
            assert_eq!(under(layout, data, place), expect, "{x}");
        }
        let looking = StripData {
            may: May::Look,
            ..*data
        };
        let edge = pos2(layout.rect.left() + 598.0, bouts);
        let found = under(layout, &looking, edge);
        assert_eq!(found, Under::Block(chosen(1)), "nothing can be changed");
    });
}

#[test]
fn a_lasso_holds_ends_and_the_marks_themselves() {
    let mut ride = blank();
    ride.bouts = vec![bout(1, 0, Some(300)), bout(2, 310, Some(320))];
    // Ten marks within three points are one sign or two.
    ride.marks = (0..10_i64)
        .map(|n| {
            let at = Moment(200 * SECOND + n);
            mark(n.unsigned_abs(), at, MarkKind::Praise, true)
        })
        .collect();
    laid(&ride, &[], span(0, 600), |layout, data| {
        assert!(layout.signs.len() <= 2);
        let beds = layout.beds;
        let lasso = |from: i64, to: i64, top: Rect, bottom: Rect| {
            let x = |at: i64| layout.axis.x_from_moment(seconds(at));
            let lasso = Rect::from_min_max(
                pos2(x(from), top.center().y),
                pos2(x(to), bottom.center().y),
            );
            inside(layout, data, lasso)
        };
        assert_eq!(lasso(150, 250, beds.bouts, beds.marks).len(), 10, "no ends");
        assert_eq!(lasso(150, 330, beds.bouts, beds.marks).len(), 12);
        assert_eq!(lasso(305, 330, beds.bouts, beds.bouts).len(), 1);
        assert_eq!(lasso(150, 250, beds.films, beds.bouts), []);
    });
}

proptest! {
    /// However many marks there are: each in view is in one sign of its own kind, near it, and the
    /// signs are no more than there is room for.
    #[test]
    fn no_mark_is_lost_among_the_signs(
        places in prop::collection::vec((0_i64..600_000, 0_usize..3, any::<bool>()), 0..400),
        from in 0_i64..500,
        length in 1_i64..100,
        chosen in 0_usize..400,
    ) {
        let mut ride = blank();
        let kinds = [MarkKind::Praise, MarkKind::Note, MarkKind::Repeated];
        let marks = places.iter().zip(0..);
        ride.marks = marks
            .map(|((ms, kind, on_frame), id)| {
                mark(id, Moment(ms * 1_000_000), kinds[*kind].clone(), *on_frame)
            })
            .collect();
        ride.marks.sort_by_key(|mark| (mark.at, mark.id));
        let view = span(from, from + length);
        let one = ride.marks.get(chosen).map(|mark| Chosen::Mark(mark.id));
        let selected: Vec<Chosen> = one.into_iter().collect();
        laid(&ride, &selected, view, |layout, _| {
            let shown = |mark: &&Mark| view.from <= mark.at && mark.at <= view.to;
            let marks = ride.marks.iter().filter(shown).count();
            let told: u32 = layout.signs.iter().map(|sign| sign.count).sum();
            prop_assert_eq!(told as usize, marks);
            prop_assert!(layout.signs.len() <= 3 * 4 * 401);
            for sign in &layout.signs {
                let mark = ride.marks.iter().find(|mark| mark.id == sign.id).unwrap();
                prop_assert!(view.from <= mark.at && mark.at <= view.to);
                prop_assert_eq!(sign.about, !mark.is_on_its_frame());
                prop_assert_eq!(sign.chosen, selected.contains(&Chosen::Mark(mark.id)));
            }
            Ok(())
        })?;
    }
}
