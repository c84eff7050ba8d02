//! Which part of the picture is looked at, and where each of its points lies on the screen. Pure.
//!
//! Points of the picture are pixels of the film as displayed (upright, with square pixels, as
//! [`FilmInfo`](reinback_film::FilmInfo) tells its size), whatever the size of the frame that is
//! painted just now: a small one and the sharp one lie in the same place.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

/// The closest look, beside the whole picture. Our own choice.
pub const CLOSEST: f64 = 8.0;

/// A place in the picture, in pixels from its left upper corner; y grows downwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// From the left, 0 to the picture's width.
    pub x: f64,
    /// From the top, 0 to the picture's height.
    pub y: f64,
}

/// What the rider looks at: how close, and around which place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lens {
    /// 1 shows the whole picture, 8 an eighth of its width and height.
    zoom: f64,
    /// The place in the middle, in widths and heights of the picture from its left upper corner.
    middle: (f64, f64),
}

impl Default for Lens {
    fn default() -> Self {
        Self {
            zoom: 1.0,
            middle: (0.5, 0.5),
        }
    }
}

/// A lens over an area of the screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sight {
    /// The size of the picture in its own pixels; above zero.
    size: (f64, f64),
    /// Left upper corner of the whole picture on the screen, which may lie outside the area.
    corner: (f64, f64),
    /// Points of the screen for a pixel of the picture; above zero.
    scale: f64,
    /// Left and right changed.
    mirrored: bool,
    area: Rect,
}

impl Lens {
    /// How many times as large as the whole picture would be, 1 to 8.
    #[must_use]
    pub fn zoom(&self) -> f64 {
        self.zoom
    }

    /// Whether the whole picture is shown.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.zoom <= 1.0
    }

    /// Lays the lens over an area of the screen, for a picture of so many pixels.
    #[must_use]
    pub fn over(&self, area: Rect, size: (u32, u32), mirrored: bool) -> Sight {
        let size = (f64::from(size.0.max(1)), f64::from(size.1.max(1)));
        let wide = f64::from(area.width()).max(1.0);
        let high = f64::from(area.height()).max(1.0);
        let scale = (wide / size.0).min(high / size.1) * self.zoom;
        let across = if mirrored {
            1.0 - self.middle.0
        } else {
            self.middle.0
        };
        let corner = (
            edge(f64::from(area.left()), wide, size.0 * scale, across),
            edge(f64::from(area.top()), high, size.1 * scale, self.middle.1),
        );
        Sight {
            size,
            corner,
            scale,
            mirrored,
            area,
        }
    }

    /// Looks so many times as close; the place under the pointer stays under it, as far as the
    /// picture's edges allow.
    pub fn zoom_at(&mut self, sight: &Sight, pointer: Pos2, factor: f64) {
        if !(factor.is_finite() && factor > 0.0) {
            return;
        }
        let zoom = (self.zoom * factor).clamp(1.0, CLOSEST);
        let spot = sight.spot(pointer);
        let scale = sight.scale * zoom / self.zoom;
        self.zoom = zoom;
        let offset = pointer - sight.area.center();
        self.center(sight, spot, scale, offset);
    }

    /// Moves the picture with the pointer, by so many points of the screen.
    pub fn pan(&mut self, sight: &Sight, moved: Vec2) {
        let middle = sight.spot(sight.area.center());
        self.center(sight, middle, sight.scale, moved);
    }

    /// Has `spot` lie `offset` from the middle of the area, and no border beyond the edges.
    fn center(&mut self, sight: &Sight, spot: Spot, scale: f64, offset: Vec2) {
        let right = f64::from(offset.x) / scale;
        let x = spot.x - if sight.mirrored { -right } else { right };
        let y = spot.y - f64::from(offset.y) / scale;
        let seen = |screen: f32, size: f64| (f64::from(screen) / (size * scale)).min(1.0) / 2.0;
        let (wide, high) = (
            seen(sight.area.width(), sight.size.0),
            seen(sight.area.height(), sight.size.1),
        );
        self.middle = (
            (x / sight.size.0).clamp(wide, 1.0 - wide),
            (y / sight.size.1).clamp(high, 1.0 - high),
        );
    }
}

/// Where the picture begins on one axis: centred while it has room, else with `middle` in the
/// middle and neither edge inside the area.
fn edge(start: f64, room: f64, length: f64, middle: f64) -> f64 {
    if length <= room {
        return start + (room - length) / 2.0;
    }
    let free = start + room / 2.0 - middle * length;
    free.clamp(start + room - length, start)
}

impl Sight {
    /// Where a place of the picture is on the screen; it may lie outside the area.
    #[must_use]
    pub fn screen(&self, spot: Spot) -> Pos2 {
        let x = if self.mirrored {
            self.size.0 - spot.x
        } else {
            spot.x
        };
        let at = |corner: f64, along: f64| (corner + along * self.scale) as f32;
        pos2(at(self.corner.0, x), at(self.corner.1, spot.y))
    }

    /// Which place of the picture lies at a place of the screen; it may lie outside the picture.
    #[must_use]
    pub fn spot(&self, screen: Pos2) -> Spot {
        let along = |corner: f64, at: f32| (f64::from(at) - corner) / self.scale;
        let x = along(self.corner.0, screen.x);
        Spot {
            x: if self.mirrored { self.size.0 - x } else { x },
            y: along(self.corner.1, screen.y),
        }
    }

    /// As [`Sight::spot`], where the picture is shown there.
    #[must_use]
    pub fn spot_shown(&self, screen: Pos2) -> Option<Spot> {
        self.shown().contains(screen).then(|| {
            let spot = self.spot(screen);
            Spot {
                x: spot.x.clamp(0.0, self.size.0),
                y: spot.y.clamp(0.0, self.size.1),
            }
        })
    }

    /// Points of the screen for one pixel of the picture.
    #[must_use]
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// Where the whole picture lies, the hidden parts too.
    #[must_use]
    pub fn picture(&self) -> Rect {
        let size = vec2(
            (self.size.0 * self.scale) as f32,
            (self.size.1 * self.scale) as f32,
        );
        Rect::from_min_size(pos2(self.corner.0 as f32, self.corner.1 as f32), size)
    }

    /// Where the picture is shown.
    #[must_use]
    pub fn shown(&self) -> Rect {
        self.picture().intersect(self.area)
    }

    /// The part of the picture that [`Sight::shown`] shows, in its widths and heights; left and
    /// right change places where it is mirrored.
    #[must_use]
    pub fn part(&self) -> Rect {
        let shown = self.shown();
        let part = |at: Pos2| {
            let spot = self.spot(at);
            pos2(
                (spot.x / self.size.0).clamp(0.0, 1.0) as f32,
                (spot.y / self.size.1).clamp(0.0, 1.0) as f32,
            )
        };
        Rect {
            min: part(shown.min),
            max: part(shown.max),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A film upright, one on its side, one whose pixels are not square (800x640 at 1137:800), one
    /// of an odd size, and two that no camera makes.
    const SIZES: [(u32, u32); 6] = [
        (1920, 1080),
        (1080, 1920),
        (1137, 640),
        (161, 121),
        (3840, 2),
        (1, 1),
    ];

    fn area() -> impl Strategy<Value = Rect> {
        (
            0.0..400.0_f32,
            0.0..300.0_f32,
            1.0..2000.0_f32,
            1.0..1200.0_f32,
        )
            .prop_map(|(x, y, w, h)| Rect::from_min_size(pos2(x, y), vec2(w, h)))
    }

    /// What a hand does: looks closer or wider at a place, or moves the picture.
    fn gestures() -> impl Strategy<Value = Vec<(f32, f32, f64, f32, f32)>> {
        let one = (
            0.0..1.0_f32,
            0.0..1.0_f32,
            0.3..3.0_f64,
            -900.0..900.0_f32,
            -900.0..900.0_f32,
        );
        prop::collection::vec(one, 0..8)
    }

    fn looked(
        area: Rect,
        size: (u32, u32),
        mirrored: bool,
        gestures: &[(f32, f32, f64, f32, f32)],
    ) -> Lens {
        let mut lens = Lens::default();
        for &(x, y, factor, right, down) in gestures {
            let pointer = area.lerp_inside(vec2(x, y));
            lens.zoom_at(&lens.over(area, size, mirrored), pointer, factor);
            lens.pan(&lens.over(area, size, mirrored), vec2(right, down));
        }
        lens
    }

    proptest! {
        #[test]
        fn from_the_screen_to_the_picture_and_back(
            area in area(),
            size in prop::sample::select(SIZES.to_vec()),
            mirrored: bool,
            gestures in gestures(),
            place in (0.0..1.0_f32, 0.0..1.0_f32),
        ) {
            let sight = looked(area, size, mirrored, &gestures).over(area, size, mirrored);
            let screen = sight.shown().lerp_inside(vec2(place.0, place.1));
            let back = sight.screen(sight.spot(screen));
            prop_assert!((back - screen).length() < 0.01, "{screen:?} {back:?}");
            // What is painted there is the place that is told.
            let part = sight.part();
            let painted = (
                f64::from(part.left() + (part.right() - part.left()) * place.0),
                f64::from(part.top() + (part.bottom() - part.top()) * place.1),
            );
            let spot = sight.spot(screen);
            let told = (spot.x / f64::from(size.0), spot.y / f64::from(size.1));
            // A place on the screen is no finer than its number, which matters where the picture
            // is hardly there.
            let within = |at: f32, pixels: u32| {
                let step = f64::from((at.abs() + 1.0) * f32::EPSILON);
                1e-3 + 4.0 * step / (f64::from(pixels) * sight.scale)
            };
            let (across, down) = (within(screen.x, size.0), within(screen.y, size.1));
            prop_assert!((painted.0 - told.0).abs() < across, "{painted:?} {told:?}");
            prop_assert!((painted.1 - told.1).abs() < down, "{painted:?} {told:?}");
        }

        #[test]
        fn never_beyond_the_edge(
            area in area(),
            size in prop::sample::select(SIZES.to_vec()),
            mirrored: bool,
            gestures in gestures(),
        ) {
            let lens = looked(area, size, mirrored, &gestures);
            prop_assert!((1.0..=CLOSEST).contains(&lens.zoom()));
            let sight = lens.over(area, size, mirrored);
            let (picture, shown) = (sight.picture(), sight.shown());
            let full = |length: f32, room: f32, shown: f32| {
                (shown - length.min(room)).abs() < 0.01 + length.max(room) * 1e-5
            };
            prop_assert!(full(picture.width(), area.width(), shown.width()), "{picture:?} {area:?}");
            prop_assert!(full(picture.height(), area.height(), shown.height()), "{picture:?} {area:?}");
        }

        #[test]
        fn the_place_under_the_pointer_stays_where_there_is_picture_around_it(
            size in prop::sample::select(SIZES[..4].to_vec()),
            mirrored: bool,
            place in (0.3..0.7_f32, 0.3..0.7_f32),
            factor in 3.0..8.0_f64,
        ) {
            // As tall or wide as the picture, so that no bars lie beside it.
            let area = Rect::from_min_size(pos2(10.0, 20.0), vec2(size.0 as f32, size.1 as f32));
            let mut lens = Lens::default();
            let sight = lens.over(area, size, mirrored);
            let pointer = area.lerp_inside(vec2(place.0, place.1));
            let before = sight.spot(pointer);
            lens.zoom_at(&sight, pointer, factor);
            let after = lens.over(area, size, mirrored).spot(pointer);
            let moved = (before.x - after.x).hypot(before.y - after.y);
            prop_assert!(moved < 0.05, "{before:?} {after:?}");
        }
    }

    #[test]
    fn a_mirrored_picture_has_its_left_on_the_right() {
        let area = Rect::from_min_size(pos2(0.0, 0.0), vec2(200.0, 100.0));
        let lens = Lens::default();
        let left = Spot { x: 0.0, y: 25.0 };
        for (mirrored, expected) in [(false, pos2(0.0, 50.0)), (true, pos2(200.0, 50.0))] {
            assert_eq!(lens.over(area, (100, 50), mirrored).screen(left), expected);
        }
    }

    #[test]
    fn dragging_moves_the_picture_with_the_hand() {
        let area = Rect::from_min_size(pos2(0.0, 0.0), vec2(200.0, 100.0));
        for mirrored in [false, true] {
            let mut lens = Lens::default();
            lens.zoom_at(&lens.over(area, (100, 50), mirrored), area.center(), 4.0);
            let before = lens.over(area, (100, 50), mirrored);
            let held = before.spot(pos2(60.0, 40.0));
            lens.pan(&before, vec2(15.0, -10.0));
            let after = lens.over(area, (100, 50), mirrored);
            assert!((after.screen(held) - pos2(75.0, 30.0)).length() < 1e-3);
        }
    }

    #[test]
    fn what_is_not_a_factor_changes_nothing() {
        let area = Rect::from_min_size(pos2(0.0, 0.0), vec2(200.0, 100.0));
        let mut lens = Lens::default();
        let sight = lens.over(area, (100, 50), false);
        for factor in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            lens.zoom_at(&sight, area.center(), factor);
        }
        assert_eq!(lens, Lens::default());
        assert!(lens.is_whole());
    }
}
