//! `cargo xtask demo`: the demo yard in the window.

use std::fs;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::path::{Path, PathBuf};
use std::process::Command;

use clap::Args;

use crate::film;
use crate::run::{Outcome, cargo, root, say, shown, target};
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
    ensure(&[For::Build, For::Sound, For::Window, For::Films])?;
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

/// The rider's own copy of the demo yard, so that marking in it changes nothing in the checkout.
fn prepare(fresh: bool) -> Result<PathBuf, String> {
    let yard = target().join("demo-yard");
    if fresh && yard.exists() {
        fs::remove_dir_all(&yard).map_err(in_words(&yard))?;
    }
    let source = root().join("demo-sessions");
    let now = fingerprint(&source)?;
    if !yard.exists() {
        // Made beside and renamed: a copy cut short is never taken for the demo.
        let half = target().join("demo-yard.part");
        if half.exists() {
            fs::remove_dir_all(&half).map_err(in_words(&half))?;
        }
        copy_folder(&source.join("yard"), &half)?;
        fs::write(half.join(MADE_FROM), &now).map_err(in_words(&half))?;
        fs::rename(&half, &yard).map_err(in_words(&yard))?;
    } else if fs::read_to_string(yard.join(MADE_FROM)).ok().as_ref() != Some(&now) {
        say(
            "The demo has changed since it was copied; --fresh opens the new one, without the marks made in the old.",
        );
        return Ok(yard);
    }
    let films = yard.join("films");
    fs::create_dir_all(&films).map_err(in_words(&films))?;
    draw_films(&films)?;
    Ok(yard)
}

/// Names what a copy was made from.
const MADE_FROM: &str = ".made-from";

/// Changes whenever a file of the demo does.
fn fingerprint(folder: &Path) -> Result<String, String> {
    let mut files = Vec::new();
    list(folder, &mut files)?;
    files.sort();
    let mut hasher = DefaultHasher::new();
    for file in files {
        file.strip_prefix(folder).unwrap_or(&file).hash(&mut hasher);
        fs::read(&file).map_err(in_words(&file))?.hash(&mut hasher);
    }
    Ok(format!("{:016x}", hasher.finish()))
}

fn list(folder: &Path, files: &mut Vec<PathBuf>) -> Outcome {
    for entry in fs::read_dir(folder).map_err(in_words(folder))? {
        let path = entry.map_err(in_words(folder))?.path();
        let hidden = path
            .file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with('.'));
        if path.is_dir() {
            list(&path, files)?;
        } else if !hidden && path.extension().is_some_and(|ending| ending == "ron") {
            files.push(path);
        }
    }
    Ok(())
}

/// What the system says, behind the path it is about.
fn in_words(path: &Path) -> impl FnOnce(std::io::Error) -> String + use<> {
    let path = path.display().to_string();
    move |error| format!("{path}: {error}")
}

/// Puts every film of the demo beside the yard: committed ones are copied, the others drawn.
fn draw_films(films: &Path) -> Outcome {
    let source = root().join("demo-sessions/films");
    let mut scripts: Vec<PathBuf> = fs::read_dir(&source)
        .map_err(in_words(&source))?
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
            fs::copy(&committed, &half).map_err(in_words(&half))?;
        } else {
            say(&format!("Drawing film {} of {total}: {name}", done + 1));
            film::draw_film(script, &half, &mut |_| ()).map_err(|error| error.to_string())?;
            // The yard needs the film only; its truth stays with the scripts.
            let _absent = fs::remove_file(half.with_extension("truth.ron"));
        }
        fs::rename(&half, &film).map_err(in_words(&film))?;
    }
    Ok(())
}

fn copy_folder(from: &Path, to: &Path) -> Outcome {
    fs::create_dir_all(to).map_err(in_words(to))?;
    for entry in fs::read_dir(from).map_err(in_words(from))? {
        let entry = entry.map_err(in_words(from))?;
        let (source, copy) = (entry.path(), to.join(entry.file_name()));
        if source.is_dir() {
            copy_folder(&source, &copy)?;
        } else {
            fs::copy(&source, &copy).map_err(in_words(&source))?;
        }
    }
    Ok(())
}
