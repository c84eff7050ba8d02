//! Where the pictures of the wall and those side by side lie. Pure.

use std::ops::Range;

use egui::{Pos2, Rect, Vec2, pos2, vec2};

/// A picture's width for its height: that of most films.
pub(super) const SHAPE: f32 = 16.0 / 9.0;
/// Points between two pictures.
const GAP: f32 = 10.0;
/// The narrowest and the widest picture, in points.
const NARROWEST: f32 = 150.0;
const WIDEST: f32 = 190.0;
/// Points for what stands beneath a picture.
const CAPTION: f32 = 52.0;

/// A wall of pictures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    /// How many in a row; at least 1.
    pub(super) columns: usize,
    /// A picture with its caption.
    tile: Vec2,
}

impl Grid {
    /// As many in a row as fit, with so many points more for each caption.
    pub(super) fn new(width: f32, more: f32) -> Self {
        let columns = ((width + GAP) / (NARROWEST + GAP)).floor().max(1.0);
        let own = ((width + GAP) / columns - GAP).clamp(1.0, WIDEST).floor();
        Self {
            columns: columns as usize,
            tile: vec2(own, (own / SHAPE).floor() + CAPTION + more),
        }
    }

    /// A picture's place with its caption, where the wall begins at `origin`.
    pub(super) fn tile(&self, origin: Pos2, at: usize) -> Rect {
        let (row, column) = (at / self.columns, at % self.columns);
        let step = self.tile + Vec2::splat(GAP);
        let corner = origin + vec2(column as f32 * step.x, row as f32 * step.y);
        Rect::from_min_size(corner, self.tile)
    }

    /// The picture's part of a tile.
    pub(super) fn picture(tile: Rect) -> Rect {
        tile.with_max_y(tile.top() + (tile.width() / SHAPE).floor())
    }

    /// Points from the first row to the end of the last.
    pub(super) fn height(&self, count: usize) -> f32 {
        let rows = count.div_ceil(self.columns) as f32;
        (rows * (self.tile.y + GAP) - GAP).max(0.0)
    }

    /// Which of `count` are at least partly between two heights.
    pub(super) fn between(&self, count: usize, top: f32, range: (f32, f32)) -> Range<usize> {
        let step = self.tile.y + GAP;
        let row = |height: f32| ((height - top) / step).floor().max(0.0) as usize;
        let from = row(range.0).saturating_mul(self.columns).min(count);
        let to = row(range.1).saturating_add(1).saturating_mul(self.columns);
        // Above the wall there is nothing.
        let to = if range.1 < top { 0 } else { to.min(count) };
        from..to.max(from)
    }
}

/// Places for two to four pictures side by side, each with so many points beneath it: in the rows
/// in which they are largest.
pub(super) fn side_by_side(area: Rect, count: usize, caption: f32) -> Vec<Rect> {
    let lay = |columns: usize| {
        let rows = count.div_ceil(columns);
        let own = vec2(
            (area.width() - GAP * (columns - 1) as f32) / columns as f32,
            (area.height() - GAP * (rows - 1) as f32) / rows as f32,
        );
        let picture = own.x.min((own.y - caption) * SHAPE);
        (picture, columns, own)
    };
    let ways = (1..=count.max(1)).map(lay);
    let best = ways.reduce(|best, way| if way.0 > best.0 { way } else { best });
    let Some((_, columns, own)) = best else {
        return Vec::new();
    };
    let place = |at: usize| {
        let (row, column) = (at / columns, at % columns);
        // A row that is not full stands in the middle.
        let here = (count - row * columns).min(columns);
        let lack = (columns - here) as f32 * (own.x + GAP) / 2.0;
        let left = area.left() + lack + column as f32 * (own.x + GAP);
        let top = area.top() + row as f32 * (own.y + GAP);
        Rect::from_min_size(pos2(left, top), own.max(Vec2::ZERO))
    };
    (0..count).map(place).collect()
}

/// A picture of a size, as large as it gets inside a place and in its middle.
pub(super) fn fit(place: Rect, size: Vec2) -> Rect {
    let scale = (place.width() / size.x.max(1.0)).min(place.height() / size.y.max(1.0));
    Rect::from_center_size(place.center(), size * scale.max(0.0))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn as_many_stand_in_a_row_as_fit() {
        for (width, columns, own) in [
            (120.0, 1, 120.0),
            (309.0, 1, 190.0),
            (310.0, 2, 150.0),
            (504.0, 3, 161.0),
            (730.0, 4, 175.0),
        ] {
            let grid = Grid::new(width, 0.0);
            assert_eq!((grid.columns, grid.tile.x), (columns, own), "{width}");
        }
    }

    #[test]
    fn two_stand_in_a_row_and_four_in_two() {
        let area = Rect::from_min_size(pos2(0.0, 0.0), vec2(1_280.0, 640.0));
        let tops = |count| {
            let places = side_by_side(area, count, 50.0);
            places.iter().map(Rect::top).collect::<Vec<_>>()
        };
        assert_eq!(tops(2), [0.0, 0.0]);
        assert_eq!(tops(4), [0.0, 0.0, 325.0, 325.0]);
        let three = side_by_side(area, 3, 50.0);
        let middle = three[2].center().x;
        assert!(
            (middle - 640.0).abs() < 1e-3,
            "the third stands in the middle"
        );
    }

    proptest! {
        #[test]
        fn tiles_lie_on_the_wall_and_apart(
            width in 60.0_f32..2_000.0, count in 1_usize..200, more in 0.0_f32..40.0,
        ) {
            let grid = Grid::new(width, more);
            let origin = pos2(20.0, 30.0);
            let tiles: Vec<Rect> = (0..count).map(|at| grid.tile(origin, at)).collect();
            let wall = Rect::from_min_size(origin, vec2(width, grid.height(count)));
            for (at, tile) in tiles.iter().enumerate() {
                prop_assert!(wall.expand(0.5).contains_rect(*tile), "{:?}", tile);
                prop_assert!(tile.contains_rect(Grid::picture(*tile)));
                for other in &tiles[at + 1..] {
                    prop_assert!(!tile.shrink(0.5).intersects(*other));
                }
            }
        }

        /// Those that are told to be between two heights are just those that touch them.
        #[test]
        fn all_that_are_in_sight_are_told(
            width in 160.0_f32..900.0, count in 0_usize..120,
            from in -2_000.0_f32..4_000.0, height in 0.0_f32..900.0,
        ) {
            let grid = Grid::new(width, 0.0);
            let origin = pos2(0.0, 100.0);
            let range = grid.between(count, origin.y, (from, from + height));
            for at in 0..count {
                let tile = grid.tile(origin, at);
                let touches = tile.bottom() >= from && tile.top() <= from + height;
                prop_assert!(!touches || range.contains(&at), "{} of {:?}", at, range);
            }
            let most = grid.columns * (2 + (height / grid.tile.y).ceil() as usize);
            prop_assert!(range.len() <= most && range.end <= count);
        }

        #[test]
        fn pictures_side_by_side_lie_apart_and_inside(
            width in 300.0_f32..2_500.0, height in 200.0_f32..1_400.0, count in 1_usize..=4,
        ) {
            let area = Rect::from_min_size(pos2(5.0, 7.0), vec2(width, height));
            let places = side_by_side(area, count, 50.0);
            prop_assert_eq!(places.len(), count);
            for (at, place) in places.iter().enumerate() {
                prop_assert!(area.expand(0.5).contains_rect(*place), "{:?}", place);
                for other in &places[at + 1..] {
                    prop_assert!(!place.shrink(0.5).intersects(*other));
                }
            }
        }

        #[test]
        fn a_picture_keeps_its_shape(
            x in 1.0_f32..4_000.0, y in 1.0_f32..4_000.0,
            width in 10.0_f32..900.0, height in 10.0_f32..900.0,
        ) {
            let place = Rect::from_min_size(pos2(3.0, 4.0), vec2(width, height));
            let found = fit(place, vec2(x, y));
            prop_assert!(place.expand(0.1).contains_rect(found));
            let (have, want) = (found.width() * y, found.height() * x);
            prop_assert!((have - want).abs() <= 1e-3 * have.max(want) + 0.5);
        }
    }
}
