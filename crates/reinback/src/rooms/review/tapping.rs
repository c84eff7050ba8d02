//! Tempo by taps: one tap on each landing of one foot, while the film runs at any speed.
//!
//! No reviewer's delay is taken off: who taps along with a beat taps on it, and does not wait to
//! see it (common knowledge, no source). A shift that is the same for all taps changes no tempo.

use egui::{Frame, Rect, RichText, Ui, UiBuilder, vec2};
use reinback_analysis::taps::{MIN_STRIDES, Tapped, TapsReason, tapped};
use reinback_yard::{Edit, IdMaker, Leg, Moment, Pace, ReviewId, Ride, TempoTrack};

use super::marking::Step;
use crate::theme;

/// Taps being made.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tapping {
    /// The leg whose footfall is tapped.
    pub leg: Leg,
    taps: Vec<Moment>,
    /// Worked out at each tap, and not at each frame that is drawn.
    found: Option<Result<Tapped, TapsReason>>,
}

impl Tapping {
    /// The taps of a tempo that is known, to go on with or to tap anew from a moment on.
    #[must_use]
    pub fn of(track: &TempoTrack) -> Self {
        Self {
            leg: track.leg,
            taps: track.taps.clone(),
            found: Some(tapped(&track.taps)),
        }
    }

    /// A tap on the frame on screen. Where the film was taken back, the taps from there on go.
    pub fn tap(&mut self, at: Moment) {
        self.taps.retain(|tap| *tap < at);
        self.taps.push(at);
        self.found = Some(tapped(&self.taps));
    }

    /// Takes the last tap back; `false` if there is none.
    pub fn take_back(&mut self) -> bool {
        let taken = self.taps.pop().is_some();
        self.found = Some(tapped(&self.taps));
        taken
    }

    /// Chooses the leg by its number, from 1.
    pub fn choose_leg(&mut self, number: usize) {
        if let Some(leg) = Leg::ALL.get(number.wrapping_sub(1)) {
            self.leg = *leg;
        }
    }

    /// The tempo so far.
    ///
    /// # Errors
    /// [`TapsReason`] while there are too few.
    pub fn found(&self) -> Result<Tapped, TapsReason> {
        let none = TapsReason::TooFew { strides: 0 };
        self.found.unwrap_or(Err(none))
    }

    /// The step that keeps the taps. Taps on the same leg that were made in this stretch before are
    /// replaced.
    ///
    /// # Errors
    /// [`TapsReason`] while they give no tempo.
    pub fn keep(
        &self,
        ride: &Ride,
        review: ReviewId,
        ids: &mut IdMaker,
    ) -> Result<Step, TapsReason> {
        let found = self.found()?;
        let track = TempoTrack {
            id: ids.next(),
            review,
            leg: self.leg,
            taps: self.taps.clone(),
        };
        let replaced = ride.tempos.iter().filter(|own| {
            let meets = match (own.span(), track.span()) {
                (Some(own), Some(new)) => own.from <= new.to && new.from <= own.to,
                _ => false,
            };
            own.review == review && own.leg == track.leg && meets
        });
        let mut edits: Vec<Edit> = replaced
            .map(|own| Edit::Tempo(ride.id, own.id, None))
            .collect();
        edits.push(Edit::Tempo(ride.id, track.id, Some(track)));
        Ok(Step {
            label: format!("tempo {:.0}", found.rate.value),
            edit: Edit::Batch(edits),
            choose: None,
        })
    }
}

/// What is known so far, as two lines: the tempo with its range, and what it is a count of.
fn lines(tapping: &Tapping, pace: Option<Pace>) -> (String, String) {
    let two_steps = matches!(
        pace,
        Some(Pace::Walk | Pace::Trot | Pace::Passage | Pace::Piaffe)
    );
    match tapping.found() {
        Ok(found) => {
            let rate = found.rate;
            let first = format!(
                "{:.0} strides a minute ({:.0} to {:.0})",
                rate.value, rate.low, rate.high
            );
            let mut second = format!("{:.0} strides tapped", found.strides);
            if found.missing > 0 {
                second = format!("{second}, {} missed", found.missing);
            }
            if found.apart > 0 {
                second = format!("{second}, {} taps apart", found.apart);
            }
            if two_steps {
                second = format!("{second}; counted by steps {:.0}", 2.0 * rate.value);
            }
            (first, second)
        }
        Err(reason) => (
            reason.to_string(),
            format!("One tap a stride, at least {MIN_STRIDES} strides"),
        ),
    }
}

/// Lays over the film what is tapped and with which keys.
pub(super) fn overlay_ui(
    ui: &mut Ui,
    tapping: &Tapping,
    pace: Option<Pace>,
    keep: &str,
    film: Rect,
) {
    let tokens = theme::tokens(ui);
    let (first, second) = lines(tapping, pace);
    let legs: Vec<String> = (1..)
        .zip(Leg::ALL)
        .map(|(number, leg)| format!("{number} {}", leg.name()))
        .collect();
    let title = format!("Tempo: tap each time the {} lands", tapping.leg.name());
    let keys = format!("Any letter taps, {keep} keeps, Escape puts away");
    card_ui(ui, film, |ui| {
        ui.label(
            RichText::new(title)
                .font(theme::bold(15.0))
                .color(tokens.leather),
        );
        ui.label(RichText::new(first).font(theme::bold(15.0)));
        ui.label(RichText::new(second).color(tokens.ink_soft));
        ui.label(RichText::new(keys).small().color(tokens.ink_soft));
        ui.label(
            RichText::new(legs.join("   "))
                .small()
                .color(tokens.ink_soft),
        );
    });
}

/// A card in the upper left corner of the film.
pub(super) fn card_ui(ui: &mut Ui, film: Rect, contents: impl FnOnce(&mut Ui)) {
    let tokens = theme::tokens(ui);
    let area = Rect::from_min_size(film.min + vec2(18.0, 18.0), vec2(380.0, film.height()));
    ui.scope_builder(UiBuilder::new().max_rect(area), |ui| {
        Frame::new()
            .fill(tokens.raised)
            .stroke(egui::Stroke::new(1.0, tokens.line))
            .corner_radius(8.0)
            .inner_margin(12.0)
            .show(ui, contents);
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn taps_from_where_the_film_was_taken_back_to_go() {
        let mut tapping = Tapping::default();
        for at in [10, 20, 30, 40, 25, 35] {
            tapping.tap(Moment(at));
        }
        assert_eq!(tapping.taps, [10, 20, 25, 35].map(Moment));
        assert!(tapping.take_back());
        assert_eq!(tapping.taps.len(), 3);
    }

    /// What was tapped before is tapped anew from where the film is, and takes its own place.
    #[test]
    fn a_tempo_that_is_known_is_gone_on_with() {
        let (mut ids, mut ride) = (IdMaker::seeded(3), blank());
        let mut first = Tapping::default();
        for n in 0..10 {
            first.tap(Moment(n * 600_000_000));
        }
        let keep = |tapping: &Tapping, ride: &mut Ride, ids: &mut IdMaker| {
            let step = tapping.keep(ride, ride.head.counting, ids).unwrap();
            let mut yard = reinback_yard::Yard::default();
            yard.rides
                .insert(ride.id, std::sync::Arc::new(ride.clone()));
            step.edit.apply(&mut yard).unwrap();
            *ride = yard.ride(ride.id).unwrap().clone();
        };
        keep(&first, &mut ride, &mut ids);
        let mut again = Tapping::of(&ride.tempos[0]);
        again.tap(Moment(4_100_000_000));
        keep(&again, &mut ride, &mut ids);
        assert_eq!(ride.tempos.len(), 1);
        let last = ride.tempos[0].taps.last();
        assert_eq!(
            (ride.tempos[0].taps.len(), last),
            (8, Some(&Moment(4_100_000_000)))
        );
    }

    fn blank() -> Ride {
        use crate::report::sample;
        sample::blank(&mut IdMaker::seeded(1), sample::day(0))
    }

    #[test]
    fn what_is_shown_names_what_is_counted() {
        let mut tapping = Tapping::default();
        assert!(lines(&tapping, None).0.contains("too few"));
        for n in 0..13 {
            tapping.tap(Moment(n * 800_000_000));
        }
        let (first, second) = lines(&tapping, Some(Pace::Trot));
        assert_eq!(first, "75 strides a minute (75 to 75)");
        assert_eq!(second, "12 strides tapped; counted by steps 150");
        assert_eq!(lines(&tapping, Some(Pace::Canter)).1, "12 strides tapped");
        tapping.choose_leg(2);
        assert_eq!(tapping.leg, Leg::RightHind);
        tapping.choose_leg(9);
        assert_eq!(tapping.leg, Leg::RightHind, "there is no ninth leg");
    }
}
