//! `cargo xtask demo`: the demo yard in the window.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use clap::Args;

use crate::film;
use crate::run::{Outcome, cargo, root, say, shown};
use crate::system::{For, ensure};

/// How the demo is opened.
#[derive(Args)]
pub(crate) struct DemoArgs {
    /// Start from the demo as it was delivered; marks made in it are lost.
    #[arg(long)]
    fresh: bool,
    /// Make everything ready, but open no window.
    #[arg(long)]
    no_window: bool,
}

/// Makes the demo ready and opens it.
pub(crate) fn run(args: &DemoArgs) -> Outcome {
    ensure(&[For::Build, For::Window, For::Films])?;
    shown(cargo().args(["build", "--release", "--locked", "--package", "reinback"]))?;
    let yard = prepare(args.fresh)?;
    if args.no_window {
        say(&format!("The demo yard is ready in {}", yard.display()));
        return Ok(());
    }
    let program = target()
        .join("release")
        .join(format!("reinback{}", std::env::consts::EXE_SUFFIX));
    shown(Command::new(program).arg(&yard))
}

fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR")
        .map_or_else(|| root().join("target"), |dir| root().join(dir))
}

/// The rider's own copy of the demo yard, so that marking in it changes nothing in the checkout.
fn prepare(fresh: bool) -> Result<PathBuf, String> {
    let yard = target().join("demo-yard");
    if fresh && yard.exists() {
        fs::remove_dir_all(&yard).map_err(|error| format!("{}: {error}", yard.display()))?;
    }
    if !yard.join("yard.ron").is_file() {
        copy_folder(&root().join("demo-sessions/yard"), &yard)?;
    }
    let films = yard.join("films");
    fs::create_dir_all(&films).map_err(|error| format!("{}: {error}", films.display()))?;
    draw_films(&films)?;
    Ok(yard)
}

/// Puts every film of the demo beside the yard: committed ones are copied, the others drawn.
fn draw_films(films: &Path) -> Outcome {
    let source = root().join("demo-sessions/films");
    let mut scripts: Vec<PathBuf> = fs::read_dir(&source)
        .map_err(|error| format!("{}: {error}", source.display()))?
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.to_string_lossy().ends_with(".script.ron"))
        .collect();
    scripts.sort();
    let total = scripts.len();
    for (done, script) in scripts.iter().enumerate() {
        let Some(name) = script.file_name().and_then(|n| {
            n.to_string_lossy()
                .strip_suffix(".script.ron")
                .map(str::to_owned)
        }) else {
            continue;
        };
        let film = films.join(format!("{name}.mp4"));
        if film.is_file() {
            continue;
        }
        // Written beside and renamed, so that a run cut short leaves no half film behind.
        let half = films.join(format!("{name}.part.mp4"));
        let committed = source.join(format!("{name}.mp4"));
        if committed.is_file() {
            fs::copy(&committed, &half).map_err(|error| format!("{}: {error}", half.display()))?;
        } else {
            say(&format!("Drawing film {} of {total}: {name}", done + 1));
            film::draw_film(script, &half, &mut |_| ()).map_err(|error| error.to_string())?;
            // The yard needs the film only; its truth stays with the scripts.
            let _absent = fs::remove_file(half.with_extension("truth.ron"));
        }
        fs::rename(&half, &film).map_err(|error| format!("{}: {error}", film.display()))?;
    }
    Ok(())
}

fn copy_folder(from: &Path, to: &Path) -> Outcome {
    let trouble = |path: &Path| {
        let path = path.display().to_string();
        move |error: std::io::Error| format!("{path}: {error}")
    };
    fs::create_dir_all(to).map_err(trouble(to))?;
    for entry in fs::read_dir(from).map_err(trouble(from))? {
        let entry = entry.map_err(trouble(from))?;
        let (source, copy) = (entry.path(), to.join(entry.file_name()));
        if source.is_dir() {
            copy_folder(&source, &copy)?;
        } else {
            fs::copy(&source, &copy).map_err(trouble(&source))?;
        }
    }
    Ok(())
}
