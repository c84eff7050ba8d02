//! Pictures and the film file.

use std::process::Command;

use super::super::encode::Care;
use super::super::script::Script;
use super::super::truth::Truth;
use super::super::{check_all, draw_script, prepare, scripts};
use super::script;

#[test]
fn every_committed_truth_follows_from_its_script() {
    check_all().unwrap();
}

#[test]
fn every_script_in_the_folder_can_be_ridden() {
    let scripts = scripts().unwrap();
    assert!(!scripts.is_empty());
    for path in scripts {
        Truth::of(&Script::read(&path).unwrap()).unwrap();
    }
}

#[test]
fn the_same_moment_is_the_same_picture_and_the_horse_is_in_it() {
    let script = script("(pace: Canter, lasts: Strides(8), caption: \"Canter\")");
    let (studio, _) = prepare(&script).unwrap();
    let (mut first, mut again) = (studio.blank().unwrap(), studio.blank().unwrap());
    studio.draw(&mut first, 2.0);
    again.fill(tiny_skia::Color::WHITE);
    studio.draw(&mut again, 2.0);
    assert_eq!(first.data(), again.data());
    // Chestnut: much more red than blue, in the middle where the trunk is.
    let chestnut = |x: u32, y: u32| {
        first.pixel(x, y).is_some_and(|p| {
            i16::from(p.red()) > i16::from(p.blue()) + 60 && p.red() > 90 && p.green() < 135
        })
    };
    let found = (50..110)
        .flat_map(|x| (40..70).map(move |y| (x, y)))
        .filter(|&(x, y)| chestnut(x, y))
        .count();
    assert!(found > 150, "only {found} chestnut pixels");
    studio.draw(&mut again, 2.3);
    assert_ne!(first.data(), again.data());
}

#[test]
fn the_film_has_the_pictures_its_truth_counts() {
    let probe = |path: &std::path::Path| {
        Command::new("ffprobe")
            .args([
                "-v",
                "error",
                "-count_frames",
                "-select_streams",
                "v:0",
                "-show_entries",
            ])
            .args([
                "stream=nb_read_frames,width,height,r_frame_rate,pix_fmt,color_space",
                "-of",
                "default=nw=1",
            ])
            .arg(path)
            .output()
    };
    if probe(std::path::Path::new("none")).is_err() {
        println!("skipped: ffmpeg and ffprobe are not installed");
        return;
    }
    let out = std::env::temp_dir().join(format!("xtask-film-{}.mp4", std::process::id()));
    let mut told = 0.0;
    let truth = draw_script(
        &script("(pace: Trot, lasts: Strides(4))"),
        &out,
        Care::Quick,
        &mut |share| told = share,
    )
    .unwrap();
    let answer = String::from_utf8(probe(&out).unwrap().stdout).unwrap();
    for line in [
        format!("nb_read_frames={}", truth.frames),
        "width=160".to_owned(),
        "height=90".to_owned(),
        "r_frame_rate=25/1".to_owned(),
        "pix_fmt=yuv420p".to_owned(),
        "color_space=bt709".to_owned(),
    ] {
        assert!(
            answer.lines().any(|found| found == line),
            "{line} is not in\n{answer}"
        );
    }
    assert!((told - 1.0_f32).abs() < 1e-6);
    std::fs::remove_file(out.with_extension("truth.ron")).unwrap();
    std::fs::remove_file(out).unwrap();
}
