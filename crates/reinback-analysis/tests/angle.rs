//! Measuring on the frame, against geometry worked out by hand.
//!
//! The derivations stand beside the figures. There is no outside reference for
//! these numbers; they follow from the definitions in `angle`.

use proptest::prelude::*;
use reinback_analysis::angle::{
    Against, AngleProblem, Dot, FEW_READINGS, Plumb, Reading, Together, angle_at, lateral_angle,
    neck_line, nose_line, ratio,
};

fn at(x: f64, y: f64) -> Dot {
    Dot { x, y }
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn upright() -> Plumb {
    Plumb::from_tilt(0.0).expect("a number")
}

#[expect(clippy::expect_used, reason = "shared by the tests")]
fn check(reading: Result<Reading, AngleProblem>, expect: f64) {
    let reading = reading.expect("a reading");
    assert!(
        (reading.value - expect).abs() < 5e-4,
        "{} instead of {expect}",
        reading.value
    );
    assert!(reading.low <= reading.value && reading.value <= reading.high);
}

#[test]
fn the_nose_against_plumb() {
    // A triangle of 3, 4, 5: atan(3/4) = 36.8699 degrees.
    for (upper, lower, neck, expect) in [
        // Faces right, the nose ahead of the plumb line.
        (
            at(400.0, 100.0),
            at(430.0, 140.0),
            at(200.0, 120.0),
            36.8699,
        ),
        // Faces left, the nose to the right: behind it.
        (
            at(400.0, 100.0),
            at(430.0, 140.0),
            at(700.0, 120.0),
            -36.8699,
        ),
        // Faces left, the nose ahead.
        (
            at(400.0, 100.0),
            at(370.0, 140.0),
            at(700.0, 120.0),
            36.8699,
        ),
        // On the vertical.
        (at(400.0, 100.0), at(400.0, 140.0), at(700.0, 120.0), 0.0),
        // 5.43 degrees behind, the mean of a test in the abstract of Kienapfel et al. 2021:
        // 100 tan 5.43 degrees = 9.5055 pixels back on 100 down.
        (
            at(400.0, 100.0),
            at(390.4945, 200.0),
            at(200.0, 90.0),
            -5.43,
        ),
        // Level: as far in front as there is.
        (at(400.0, 100.0), at(440.0, 100.0), at(200.0, 90.0), 90.0),
    ] {
        check(nose_line(upper, lower, neck, upright()), expect);
    }
}

#[test]
fn plumb_is_taken_off() {
    // The picture is turned clockwise by 5.7106 degrees = atan(1/10), as the post's foot at the
    // left says. The nose hangs straight down the picture: a horse that faces right has it
    // 5.7106 degrees in front, one that faces left as much behind.
    let post = Plumb::from_edge(at(60.0, 0.0), at(50.0, 100.0)).expect("upright");
    assert!((post.tilt() - 5.710_593).abs() < 1e-6);
    let (upper, lower) = (at(400.0, 100.0), at(400.0, 300.0));
    check(nose_line(upper, lower, at(200.0, 100.0), post), 5.7106);
    check(nose_line(upper, lower, at(600.0, 100.0), post), -5.7106);
    // The nose along the post: on the vertical, whoever faces where.
    let along = at(380.0, 300.0);
    check(nose_line(upper, along, at(200.0, 100.0), post), 0.0);
    check(nose_line(upper, along, at(600.0, 100.0), post), 0.0);
    // The other end first is the same post; so is the tilt as a number.
    let turned = Plumb::from_edge(at(50.0, 100.0), at(60.0, 0.0)).expect("upright");
    assert_eq!(turned, post);
    let told = Plumb::from_tilt(post.tilt()).expect("a number");
    check(nose_line(upper, lower, at(200.0, 100.0), told), 5.7106);
    // Horizontal is square to plumb: a neck level on the picture rises on one that is turned
    // clockwise if it reaches to the right.
    check(neck_line(at(200.0, 100.0), at(400.0, 100.0), told), 5.7106);
    check(neck_line(at(400.0, 100.0), at(200.0, 100.0), told), -5.7106);
}

#[test]
fn the_neck_against_the_horizontal() {
    check(
        neck_line(at(0.0, 400.0), at(400.0, 100.0), upright()),
        36.8699,
    );
    check(
        neck_line(at(400.0, 400.0), at(0.0, 100.0), upright()),
        36.8699,
    );
    check(
        neck_line(at(0.0, 100.0), at(400.0, 400.0), upright()),
        -36.8699,
    );
    check(neck_line(at(0.0, 100.0), at(0.0, 0.0), upright()), 90.0);
}

#[test]
fn the_horse_against_its_track() {
    let track = [at(0.0, 0.0), at(100.0, 0.0)];
    // 30 degrees: 100 on 57.7350, the tangent of a shoulder-in of the rules' usual angle.
    let horse = [at(20.0, 20.0), at(120.0, 77.735)];
    check(lateral_angle(track, horse), 30.0);
    check(lateral_angle(track, [horse[1], horse[0]]), 30.0);
    check(lateral_angle([track[1], track[0]], horse), 30.0);
    // Mirrored, on the other side of the track.
    check(
        lateral_angle(track, [at(20.0, 20.0), at(120.0, -37.735)]),
        30.0,
    );
    check(lateral_angle(track, [at(5.0, 5.0), at(5.0, 60.0)]), 90.0);
}

#[test]
fn a_free_angle_and_a_ratio() {
    let vertex = at(10.0, 10.0);
    check(angle_at(at(110.0, 10.0), vertex, at(10.0, 110.0)), 90.0);
    check(angle_at(at(110.0, 10.0), vertex, at(110.0, 110.0)), 45.0);
    check(angle_at(at(110.0, 10.0), vertex, at(-90.0, 10.0)), 180.0);
    check(angle_at(at(110.0, 10.0), vertex, at(310.0, 10.0)), 0.0);
    // Isosceles with sides 130 and base 100: cos = 1 - 100²/(2 · 130²) = 0.704142, 45.2397 degrees.
    check(
        angle_at(at(-50.0, 120.0), at(0.0, 0.0), at(50.0, 120.0)),
        45.2397,
    );
    check(
        ratio(
            [at(0.0, 0.0), at(30.0, 40.0)],
            [at(0.0, 0.0), at(0.0, 20.0)],
        ),
        2.5,
    );
}

#[test]
fn the_range_is_the_worst_that_the_points_allow() {
    // Each end one pixel off, to opposite sides, on 100 pixels: asin(2/100) = 1.1460 degrees.
    let (upper, neck) = (at(400.0, 100.0), at(200.0, 100.0));
    let nose = nose_line(upper, at(400.0, 200.0), neck, upright()).expect("a reading");
    assert!((nose.low + 1.146).abs() < 1e-4 && (nose.high - 1.146).abs() < 1e-4);
    assert_eq!(nose.against_vertical(), Against::On);
    // An edge of 200 pixels adds asin(2/200) = 0.5730.
    let edge = Plumb::from_edge(at(900.0, 0.0), at(900.0, 200.0)).expect("upright");
    assert!((edge.within() - 0.573).abs() < 1e-4);
    let nose = nose_line(upper, at(403.0, 200.0), neck, edge).expect("a reading");
    // atan(3/100) = 1.7184; the line is 100.045 long: 1.7184 ± (1.1455 + 0.5730).
    assert!((nose.value - 1.7184).abs() < 1e-4);
    assert!((nose.high - nose.value - 1.7185).abs() < 1e-4);
    assert_eq!(nose.against_vertical(), Against::On);
    // 100 to 50, each two pixels longer or shorter: 98/52 to 102/48.
    let half = ratio(
        [at(0.0, 0.0), at(100.0, 0.0)],
        [at(0.0, 9.0), at(50.0, 9.0)],
    );
    let half = half.expect("a reading");
    assert!((half.low - 98.0 / 52.0).abs() < 1e-12 && (half.high - 102.0 / 48.0).abs() < 1e-12);
}

#[test]
fn what_tells_nothing_says_why() {
    let (upper, lower, neck) = (at(400.0, 100.0), at(400.0, 200.0), at(200.0, 100.0));
    let problem = |reading: Result<Reading, AngleProblem>| reading.expect_err("no reading");
    let near = at(401.0, 101.0);
    assert_eq!(
        problem(nose_line(upper, near, neck, upright())),
        AngleProblem::TooShort
    );
    let above = at(400.0, 300.0);
    assert_eq!(
        problem(nose_line(upper, lower, above, upright())),
        AngleProblem::NoFacing
    );
    // Two pixels aside is no more than the points may be off.
    let hardly = at(398.5, 300.0);
    assert_eq!(
        problem(nose_line(upper, lower, hardly, upright())),
        AngleProblem::NoFacing
    );
    assert_eq!(
        problem(nose_line(lower, upper, neck, upright())),
        AngleProblem::UpsideDown
    );
    let level = Plumb::from_edge(at(0.0, 0.0), at(100.0, 99.0));
    assert_eq!(level, Err(AngleProblem::NotUpright));
    assert!(Plumb::from_edge(at(0.0, 0.0), at(99.0, 100.0)).is_ok());
    assert_eq!(Plumb::from_tilt(f64::NAN), Err(AngleProblem::NotFinite));
    assert_eq!(
        problem(neck_line(at(f64::INFINITY, 0.0), upper, upright())),
        AngleProblem::NotFinite
    );
    let same = [upper, upper];
    assert_eq!(problem(ratio([upper, lower], same)), AngleProblem::TooShort);
    assert_eq!(
        problem(lateral_angle(same, [upper, lower])),
        AngleProblem::TooShort
    );
}

#[test]
fn several_are_taken_together() {
    assert_eq!(Together::of(&[]), None);
    let one = Together::of(&[-4.0]).expect("one");
    assert_eq!((one.count, one.mean, one.spread), (1, -4.0, None));
    // -8, -4, -3: mean -5, squares 9 + 1 + 4 over 2 = 7.
    let three = Together::of(&[-8.0, -4.0, -3.0]).expect("three");
    assert!((three.mean + 5.0).abs() < 1e-12);
    assert!(
        three
            .spread
            .is_some_and(|spread| (spread - 7.0_f64.sqrt()).abs() < 1e-12)
    );
    assert!(three.is_few());
    assert!(!Together::of(&[1.0; FEW_READINGS]).expect("ten").is_few());
}

/// A frame that may be turned, mirrored, moved and scaled.
#[derive(Clone, Copy, Debug)]
struct Shown {
    turn: f64,
    mirrored: bool,
    scale: f64,
    by: (f64, f64),
}

impl Shown {
    fn dot(self, dot: Dot) -> Dot {
        let x = if self.mirrored { -dot.x } else { dot.x };
        let (sine, cosine) = self.turn.to_radians().sin_cos();
        at(
            self.scale * (x * cosine - dot.y * sine) + self.by.0,
            self.scale * (x * sine + dot.y * cosine) + self.by.1,
        )
    }
}

fn shown() -> impl Strategy<Value = Shown> {
    let by = (-2_000.0..2_000.0, -2_000.0..2_000.0);
    (-40.0..40.0, any::<bool>(), 0.5..4.0, by).prop_map(|(turn, mirrored, scale, by)| Shown {
        turn,
        mirrored,
        scale,
        by,
    })
}

fn dot() -> impl Strategy<Value = Dot> {
    (0.0..1_920.0, 0.0..1_080.0).prop_map(|(x, y)| at(x, y))
}

fn alike(one: Result<Reading, AngleProblem>, other: Result<Reading, AngleProblem>) -> bool {
    match (one, other) {
        (Ok(one), Ok(other)) => (one.value - other.value).abs() < 1e-6,
        // A frame shown smaller may leave too little to measure.
        _ => true,
    }
}

fn sound(reading: Result<Reading, AngleProblem>) -> bool {
    reading.is_ok_and(|r| {
        [r.value, r.low, r.high].iter().all(|n| n.is_finite())
            && r.low <= r.value
            && r.value <= r.high
    }) || reading.is_err()
}

proptest! {
    /// Turned with its plumb line, mirrored, moved or scaled, a horse has the same angles.
    #[test]
    fn angles_are_the_horses_not_the_pictures(
        dots in proptest::array::uniform4(dot()),
        shown in shown(),
    ) {
        let [a, b, c, d] = dots;
        let [p, q, r, s] = dots.map(|dot| shown.dot(dot));
        let turned = Plumb::from_tilt(shown.turn).expect("a number");
        let post = (at(700.0, 0.0), at(700.0, 900.0));
        let edge = Plumb::from_edge(shown.dot(post.0), shown.dot(post.1)).expect("upright");
        prop_assert!((edge.tilt() - shown.turn).abs() < 1e-6);
        for plumb in [turned, edge] {
            prop_assert!(alike(nose_line(a, b, c, upright()), nose_line(p, q, r, plumb)));
            prop_assert!(alike(neck_line(a, b, upright()), neck_line(p, q, plumb)));
        }
        prop_assert!(alike(lateral_angle([a, b], [c, d]), lateral_angle([p, q], [r, s])));
        prop_assert!(alike(angle_at(a, b, c), angle_at(p, q, r)));
        prop_assert!(alike(ratio([a, b], [c, d]), ratio([p, q], [r, s])));
    }

    /// The other side of the horse's neck turns the sign.
    #[test]
    fn facing_the_other_way_turns_the_sign(a in dot(), b in dot(), neck in dot()) {
        let other = at(2.0 * a.x - neck.x, neck.y);
        if let (Ok(one), Ok(two)) = (nose_line(a, b, neck, upright()), nose_line(a, b, other, upright())) {
            prop_assert!((one.value + two.value).abs() < 1e-9);
        }
    }

    /// No points within a pixel of those drawn give an angle out of the range.
    #[test]
    fn moved_points_stay_in_the_range(
        dots in proptest::array::uniform4(dot()),
        off in proptest::array::uniform4((0.0..1.0_f64, 0.0..std::f64::consts::TAU)),
    ) {
        let moved = |at_: usize| {
            let (far, turn) = off[at_];
            at(dots[at_].x + far * turn.cos(), dots[at_].y + far * turn.sin())
        };
        let [a, b, c, d] = dots;
        let [p, q, r, s] = [moved(0), moved(1), moved(2), moved(3)];
        for (drawn, moved) in [
            (nose_line(a, b, c, upright()), nose_line(p, q, r, upright())),
            (neck_line(a, b, upright()), neck_line(p, q, upright())),
            (lateral_angle([a, b], [c, d]), lateral_angle([p, q], [r, s])),
            (angle_at(a, b, c), angle_at(p, q, r)),
            (ratio([a, b], [c, d]), ratio([p, q], [r, s])),
        ] {
            prop_assert!(sound(drawn) && sound(moved));
            if let (Ok(drawn), Ok(moved)) = (drawn, moved) {
                prop_assert!(drawn.low - 1e-9 <= moved.value && moved.value <= drawn.high + 1e-9,
                    "{moved:?} out of {drawn:?}");
            }
        }
    }
}
