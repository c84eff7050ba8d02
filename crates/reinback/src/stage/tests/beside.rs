//! A second film beside the first, made up as that is.

use super::*;
use crate::pair::Second;

/// The first plays; the second shows what is aligned with the frame that is shown.
pub(super) struct MadeUpPair {
    films: [MadeUp; 2],
    alignment: RefCell<Alignment>,
    error: RefCell<Option<FilmError>>,
}

impl MadeUpPair {
    pub(super) fn new(films: [MadeUp; 2], alignment: Alignment) -> Self {
        // What opening it was answered with.
        let opened = films[1].replies.borrow_mut().pop_front();
        let error = match opened {
            Some(Reply::Failed(error)) => Some(error),
            _ => None,
        };
        Self {
            films,
            alignment: RefCell::new(alignment),
            error: RefCell::new(error),
        }
    }
}

impl FilmHandle for MadeUpPair {
    fn want(&self, want: Want) {
        self.films[0].want(want);
    }

    fn poll(&self) -> Option<Reply> {
        self.films[0].poll()
    }

    fn frame_of_second(&self, time: FilmTime) -> Option<u32> {
        self.films[0].frame_of_second(time)
    }

    fn latest_cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        self.films[0].latest_cached(time)
    }

    fn cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        self.films[0].cached(time)
    }

    fn second(&self) -> Option<&dyn Second> {
        Some(self)
    }
}

impl Second for MadeUpPair {
    fn frame(&self, first: FilmTime) -> Option<Arc<Frame>> {
        let there = self.alignment.borrow().second_at(first);
        Some(self.films[1].frame_at(there))
    }

    fn info(&self) -> Option<FilmInfo> {
        Some(info(self.films[1].nanos, false))
    }

    fn error(&self) -> Option<FilmError> {
        self.error.borrow().clone()
    }

    fn is_doubtful(&self, _at: FilmTime) -> bool {
        false
    }

    fn align(&self, alignment: Alignment) {
        *self.alignment.borrow_mut() = alignment;
    }
}

/// A film that begins so many seconds into its ride; the moments in milliseconds.
fn second(path: &str, offset: i64, here: i64, there: i64, rate: f64) -> Beside {
    Beside {
        film: Film {
            id: IdMaker::seeded(99).next(),
            path: path.to_owned(),
            fingerprint: None,
            offset: Moment(offset * 1_000_000_000),
            drift_ppb: 0,
            tilt: None,
            duration_nanos: None,
        },
        path: PathBuf::from(path),
        here: Moment(here * 1_000_000),
        there: Moment(there * 1_000_000),
        rate,
    }
}

fn shown(theatre: &Theatre) -> Option<i64> {
    let picture = theatre.stage.second()?;
    Some(picture.at.0 / 1_000_000)
}

#[test]
fn what_belongs_together_is_shown_together() {
    let mut theatre = Theatre::new(&[("10", 100)]);
    theatre.stage.seek(Moment(104_000_000_000), false);
    theatre.ticks(1).check(104_000);
    assert_eq!(shown(&theatre), None);
    theatre
        .stage
        .set_beside(Some(second("30", 500, 102_000, 510_000, 1.0)));
    theatre.ticks(2).check(104_000);
    assert_eq!(
        shown(&theatre),
        Some(512_000),
        "the clock stays, the second is beside it"
    );
    theatre.stage.step(3);
    theatre.ticks(1).check(104_120);
    assert_eq!(shown(&theatre), Some(512_120));
    // Stretched: half of the second for each of the first.
    theatre
        .stage
        .set_beside(Some(second("30", 500, 102_000, 510_000, 0.5)));
    theatre.ticks(1).check(104_120);
    assert_eq!(shown(&theatre), Some(511_040));
    theatre.stage.toggle(theatre.now);
    theatre.ticks(51);
    let moved = theatre.stage.position().0 / 1_000_000;
    assert!((105_080..=105_160).contains(&moved), "{moved}");
    let there = shown(&theatre).unwrap();
    assert!(
        (there - 510_000 - (moved - 102_000) / 2).abs() <= 40,
        "{there} at {moved}"
    );
}

#[test]
fn closing_gives_the_film_back_at_its_place() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    theatre.stage.set_beside(Some(second("30", 0, 0, 0, 1.0)));
    theatre.stage.seek(Moment(3_030_000_000), false);
    theatre.ticks(2).check(3_000);
    theatre.stage.set_beside(None);
    theatre.ticks(2).check(3_000);
    assert_eq!(shown(&theatre), None);
    theatre.stage.step(1);
    theatre.ticks(1).check(3_040);
}

#[test]
fn a_second_that_is_missing_is_told() {
    let mut theatre = Theatre::new(&[("10", 0)]);
    assert!(theatre.stage.second_error().is_none());
    theatre
        .stage
        .set_beside(Some(second("missing", 0, 0, 0, 1.0)));
    theatre.ticks(2);
    let error = theatre.stage.second_error().unwrap();
    assert_eq!(error.kind(), FilmErrorKind::NotFound);
    theatre.stage.set_beside(None);
    theatre.ticks(2);
    assert!(theatre.stage.second_error().is_none());
    assert!(matches!(theatre.stage.screen(), Screen::Picture));
}

/// Each film runs a thousandth off its ride's clock: what is aligned stays aligned there.
#[test]
fn drift_of_either_film_is_taken_into_account() {
    let mut first = second("10", 0, 0, 0, 1.0).film;
    first.drift_ppb = 1_000_000;
    let mut beside = second("30", 0, 1_000, 2_000, 1.0);
    beside.film.drift_ppb = -1_000_000;
    let alignment = beside.alignment(&first);
    for ride in [0, 1_000_000_000, 7_000_000_000] {
        let there = alignment.second_at(FilmTime(first.film_from_ride(Moment(ride))));
        let moment = beside.film.ride_from_film(there.0).0;
        assert!(
            (moment - ride - 1_000_000_000).abs() < 10,
            "{ride} {moment}"
        );
    }
}
