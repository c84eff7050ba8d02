//! What the films promise, checked against published figures.

mod footfalls;
mod picture;
mod pose;
mod rides;

use super::gait::{Gait, ride};
use super::paces::Limb;
use super::script::Script;

/// A script of these segments, without wander.
fn script(segments: &str) -> Script {
    let text = format!("(title: \"test\", size: (160, 90), fps: 25, segments: [{segments}])");
    let script = Script::parse(&text).unwrap();
    script.check().unwrap();
    script
}

fn gait(segments: &str) -> Gait {
    ride(&script(segments)).unwrap()
}

/// Landings of a limb within the ride, seconds.
fn landings(gait: &Gait, limb: Limb) -> Vec<f64> {
    gait.of(limb)
        .iter()
        .filter(|c| c.on >= 0 && c.on < gait.end)
        .map(|c| c.on as f64 / 1e9)
        .collect()
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64, what: &str) {
    assert!(
        (found - wanted).abs() <= within,
        "{what}: found {found}, wanted {wanted} within {within}"
    );
}
