//! `cargo xtask large-yard`: ten years of a large yard, for measuring what opening it and asking
//! it things takes.
//!
//! Everything in it is invented and comes from a seed: the same seed makes the same files. Rates
//! differ by horse, exercise and rein, drift over the years, and vary from ride to ride.

mod dice;
mod exercises;
mod horses;
mod ride;

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Instant;

use chrono::NaiveDate;
use clap::Args;
use rayon::prelude::*;

use crate::run::{Outcome, root, say, target};
use dice::Dice;
use horses::Horse;

/// How large, and where.
#[derive(Args)]
pub(crate) struct LargeYardArgs {
    /// How many rides; each has some 60 bouts and 200 marks.
    #[arg(long, default_value_t = 30_000)]
    rides: u32,
    /// A new folder [default: `large-yard` in the build folder].
    #[arg(long)]
    into: Option<PathBuf>,
    /// Another seed makes another yard.
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

/// 2016 to 2025.
const DAYS: u32 = 3_653;

/// Rides for each horse, in a yard too small for all of them.
const RIDES_OF_A_HORSE: u32 = 50;

/// Makes a yard of so many rides in a new folder.
pub(crate) fn make(rides: u32, into: &Path) -> Outcome {
    run(&LargeYardArgs {
        rides,
        into: Some(into.to_owned()),
        seed: 1,
    })
}

/// Makes the yard and says what is in it.
pub(crate) fn run(args: &LargeYardArgs) -> Outcome {
    let began = Instant::now();
    let folder = args
        .into
        .as_ref()
        .map_or_else(|| target().join("large-yard"), |into| root().join(into));
    if folder.exists() {
        return Err(format!(
            "{} is there already; remove it or choose another folder with --into",
            folder.display()
        ));
    }
    let first = NaiveDate::from_ymd_opt(2016, 1, 1).ok_or("there is no first day")?;
    let count = (args.rides / RIDES_OF_A_HORSE).clamp(2, 40) as usize;
    let horses = Horse::all(args.seed, count, DAYS);
    // Made beside and renamed: a yard cut short is never taken for a whole one.
    let half = folder.with_extension("part");
    if half.exists() {
        fs::remove_dir_all(&half).map_err(in_words(&half))?;
    }
    for year in 0..=DAYS / 365 {
        let year = half.join("rides").join((2016 + year).to_string());
        fs::create_dir_all(&year).map_err(in_words(&year))?;
    }
    let wishes = plan(args, &horses, first);
    let made: Result<Vec<_>, String> = wishes.par_iter().map(|wish| write(&half, wish)).collect();
    let (bouts, marks, bytes) = made?.into_iter().fold((0, 0, 0), |sum, ride| {
        (sum.0 + ride.0, sum.1 + ride.1, sum.2 + ride.2)
    });
    let yard = half.join("yard.ron");
    fs::write(&yard, yard_text(&horses)).map_err(in_words(&yard))?;
    fs::rename(&half, &folder).map_err(in_words(&folder))?;
    say(&format!(
        "{}: {} horses, {} rides, {bouts} bouts, {marks} marks, {} MB; {:.1} s",
        folder.display(),
        horses.len(),
        wishes.len(),
        bytes / 1_000_000,
        began.elapsed().as_secs_f64()
    ));
    Ok(())
}

/// Who rides when: as many rides a day as it takes, of the horses that are there.
fn plan<'a>(args: &LargeYardArgs, horses: &'a [Horse], first: NaiveDate) -> Vec<ride::Wish<'a>> {
    let until = |day: u32| u64::from(args.rides) * u64::from(day) / u64::from(DAYS);
    let mut wishes = Vec::new();
    for (day, date) in (0..DAYS).zip(first.iter_days()) {
        let mut dice = Dice::of(args.seed, u64::from(day) ^ (1 << 41));
        let mut there: Vec<&Horse> = horses.iter().filter(|horse| horse.is_there(day)).collect();
        // Horses go in another order every day.
        there.sort_by_cached_key(|_| dice.bits());
        let ridden = there.iter().cycle();
        for (number, horse) in (until(day)..until(day + 1)).zip(ridden) {
            wishes.push(ride::Wish {
                seed: args.seed,
                number,
                horse,
                day,
                date,
                hour: dice.between(7, 19),
            });
        }
    }
    wishes
}

/// Writes a ride; its bouts, marks and bytes.
fn write(yard: &Path, wish: &ride::Wish<'_>) -> Result<(usize, usize, usize), String> {
    let made = ride::make(wish);
    let year = wish.date.format("%Y").to_string();
    let horse = wish.horse.name.to_lowercase();
    let name = format!("{}-{horse}-{:016x}.ron", wish.date, made.id);
    let path = yard.join("rides").join(year).join(name);
    fs::write(&path, &made.text).map_err(in_words(&path))?;
    Ok((made.bouts, made.marks, made.text.len()))
}

fn yard_text(horses: &[Horse]) -> String {
    let mut text = "(\n  format: 1,\n  name: \"A large yard\",\n  as_of_last_ride: true,\n  \
                    horses: [\n"
        .to_owned();
    for horse in horses {
        let _infallible = writeln!(
            text,
            "    (id: \"{:016x}\", name: \"{}\", foaled: {}, stage: \"{}\"),",
            horse.id,
            horse.name,
            horse.foaled,
            horse.stage()
        );
    }
    text.push_str("  ],\n)\n");
    text
}

/// What the system says, behind the path it is about.
fn in_words(path: &Path) -> impl FnOnce(std::io::Error) -> String + use<> {
    let path = path.display().to_string();
    move |error| format!("{path}: {error}")
}
