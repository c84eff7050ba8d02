//! Starts the window, or answers on the command line.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use clap::Parser;
use reinback::app::App;
use reinback::services::System;

/// Reviews filmed dressage rides.
#[derive(Parser)]
#[command(
    name = "reinback",
    version,
    about,
    args_conflicts_with_subcommands = true
)]
struct Arguments {
    /// A yard's folder (without one, the yard that was open last), and films of a new ride.
    paths: Vec<PathBuf>,
    #[command(subcommand)]
    verb: Option<reinback::report::Verb>,
}

fn main() -> ExitCode {
    // What has no place in the window goes to the terminal; RUST_LOG=debug says more.
    env_logger::init_from_env(env_logger::Env::default().default_filter_or("error"));
    let arguments = Arguments::parse();
    match arguments.verb {
        Some(verb) => reinback::report::run(&verb),
        None => window(arguments.paths),
    }
}

fn window(paths: Vec<PathBuf>) -> ExitCode {
    let viewport = egui::ViewportBuilder::default()
        .with_title("Reinback")
        .with_app_id("reinback")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([960.0, 600.0]);
    let options = eframe::NativeOptions {
        viewport,
        ..eframe::NativeOptions::default()
    };
    let services = Arc::new(System);
    let run = eframe::run_native(
        "reinback",
        options,
        Box::new(move |cc| Ok(Box::new(App::new(cc, services, paths)))),
    );
    match run {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            reinback::report::could_not_run(&format!("the window could not be opened: {error}"))
        }
    }
}
