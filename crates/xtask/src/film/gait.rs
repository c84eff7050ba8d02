//! From a plan of strides to the times at which each foot lands and leaves.
//!
//! Pure: the same script gives the same nanoseconds everywhere.
//!
//! A stride starts with the landing of the left hind, in canter of the
//! trailing hind. Strides follow one another without a gap, so that a flying
//! change needs no rule of its own: a stride on one lead after a stride on the
//! other gives the cycles of 0.75 T for the new trailing pair and 1.25 T for
//! the new leading pair. Between paces the new stride is set against the old
//! by the quarter of a stride that disturbs the four limbs least.
//!
//! **Invariant** the contacts of a limb are in order and never overlap.

use super::error::FilmError;
use super::paces::{Footing, Lead, Limb};
use super::plan::{Planned, plan};
use super::script::{Event, Pace, Script, Side, Variant};

/// Nanoseconds in a second.
pub(crate) const SECOND: f64 = 1e9;

/// A stride as ridden.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stride {
    /// Start on the film's clock, nanoseconds.
    pub(crate) start: i64,
    /// Start of what follows, nanoseconds.
    pub(crate) end: i64,
    /// Segment of the script, from 0.
    pub(crate) segment: usize,
    /// Pace ridden.
    pub(crate) pace: Pace,
    /// Variant ridden.
    pub(crate) variant: Variant,
    /// Lead, in canter.
    pub(crate) lead: Option<Lead>,
    /// Metres travelled; negative backwards.
    pub(crate) length: f64,
    /// Part of a stride between two paces, or into or out of a halt.
    pub(crate) joining: bool,
    /// The quarters trail in this stride.
    pub(crate) trailing: bool,
}

/// One foot on the ground, from landing to leaving, in nanoseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Contact {
    /// Landing.
    pub(crate) on: i64,
    /// Leaving.
    pub(crate) off: i64,
}

/// A flying change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Change {
    /// Start of the first stride in which the fore pair shows the new lead.
    pub(crate) fore: i64,
    /// Start of the first stride in which the hind pair does.
    pub(crate) hind: Option<i64>,
    /// The new lead.
    pub(crate) to: Side,
    /// Strides by which the hind pair was late.
    pub(crate) late_behind: u32,
}

/// A stretch that an event of the script covers.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stretch {
    /// Start, nanoseconds.
    pub(crate) from: i64,
    /// End, nanoseconds.
    pub(crate) to: i64,
    /// The event.
    pub(crate) event: Event,
}

/// The whole ride on the film's clock.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Gait {
    /// Strides, in order and without gaps from 0 to the end.
    pub(crate) strides: Vec<Stride>,
    /// Contacts of each limb, also just before the film and just after it.
    pub(crate) contacts: [Vec<Contact>; 4],
    /// Flying changes.
    pub(crate) changes: Vec<Change>,
    /// Lapses, breaks and faults.
    pub(crate) stretches: Vec<Stretch>,
    /// End of the ride, nanoseconds.
    pub(crate) end: i64,
}

/// Lays out the ride of a script.
///
/// # Errors
/// The script asks for what cannot be ridden; the message names the segment.
pub(crate) fn ride(script: &Script) -> Result<Gait, FilmError> {
    let planned = plan(script)?;
    let mut clock = Clock::default();
    clock.lead_in(&planned[0]);
    for (index, stride) in planned.iter().enumerate() {
        clock.ride(stride, index.checked_sub(1).map(|before| &planned[before]));
        if let Some(next) = planned.get(index + 1) {
            clock.join(stride, next);
        }
    }
    let end = ns(clock.now);
    if let Some(last) = planned.last().filter(|last| last.pace != Pace::Halt) {
        for _ in 0..2 {
            clock.land(&last.footing, 0.0..1.0);
            clock.now += last.footing.time;
        }
    }
    let contacts = clock.landings.map(|landings| contacts(&fit(landings)));
    let stretches = stretches(script, &clock.ridden, &clock.strides);
    for trailing in stretches
        .iter()
        .filter(|stretch| matches!(stretch.event, Event::QuartersTrailing { .. }))
    {
        for stride in &mut clock.strides {
            stride.trailing |= (trailing.from..trailing.to).contains(&stride.start);
        }
    }
    Ok(Gait {
        changes: changes(&clock.ridden, &clock.strides),
        stretches,
        strides: clock.strides,
        contacts,
        end,
    })
}

/// Seconds as whole nanoseconds.
#[must_use]
pub(crate) fn ns(seconds: f64) -> i64 {
    (seconds * SECOND).round() as i64
}

/// A landing before it is known when the foot leaves again. Seconds.
#[derive(Debug, Clone, Copy)]
struct Landing {
    on: f64,
    time: f64,
    duty: f64,
    run: u32,
    from_rest: bool,
}

#[derive(Default)]
struct Clock {
    now: f64,
    run: u32,
    from_rest: bool,
    landings: [Vec<Landing>; 4],
    strides: Vec<Stride>,
    /// The plan and the index into `strides` of every planned stride.
    ridden: Vec<(Planned, usize)>,
}

impl Clock {
    /// Puts feet on the ground before the film begins.
    fn lead_in(&mut self, first: &Planned) {
        if first.pace == Pace::Halt {
            self.stand(-1.0);
        } else {
            self.now = -2.0 * first.footing.time;
            for _ in 0..2 {
                self.land(&first.footing, 0.0..1.0);
                self.now += first.footing.time;
            }
        }
        self.now = 0.0;
    }

    fn stand(&mut self, on: f64) {
        for landings in &mut self.landings {
            landings.push(Landing {
                on,
                time: 1.0,
                duty: 1.0,
                run: self.run,
                from_rest: false,
            });
        }
    }

    /// Lands every limb whose phase is in `phases`, from the present moment.
    fn land(&mut self, footing: &Footing, phases: std::ops::Range<f64>) {
        for limb in Limb::ALL {
            let phase = footing.phase[limb as usize];
            if phases.contains(&phase) {
                self.land_one(limb, footing, phase);
            }
        }
    }

    fn land_one(&mut self, limb: Limb, footing: &Footing, phase: f64) {
        self.landings[limb as usize].push(Landing {
            on: self.now + phase * footing.time,
            time: footing.time,
            duty: footing.duty[limb as usize],
            run: self.run,
            from_rest: self.from_rest,
        });
    }

    fn ride(&mut self, stride: &Planned, before: Option<&Planned>) {
        let rested = before.is_some_and(|before| before.pace == Pace::Halt);
        if stride.pace == Pace::Halt {
            self.record(stride, stride.footing.time, 0.0, false);
            return;
        }
        let lifts = |phase: f64, duty: f64| phase - (1.0 - duty);
        let offset = if rested {
            move_off(&stride.footing)
        } else {
            0.0
        };
        if offset > 0.0 {
            let seconds = offset * stride.footing.time;
            self.push(stride, seconds, 0.3 * offset * stride.footing.length, true);
        }
        let first_lift = if rested { -offset } else { f64::NEG_INFINITY };
        for limb in Limb::ALL {
            let (phase, duty) = (
                stride.footing.phase[limb as usize],
                stride.footing.duty[limb as usize],
            );
            if lifts(phase, duty) >= first_lift - 1e-9 {
                self.land_one(limb, &stride.footing, phase);
            }
        }
        self.record(stride, stride.footing.time, stride.footing.length, false);
    }

    fn record(&mut self, stride: &Planned, seconds: f64, length: f64, joining: bool) {
        self.ridden.push((stride.clone(), self.strides.len()));
        self.push(stride, seconds, length, joining);
    }

    fn push(&mut self, stride: &Planned, seconds: f64, length: f64, joining: bool) {
        let start = ns(self.now);
        self.now += seconds;
        self.strides.push(Stride {
            start,
            end: ns(self.now),
            segment: stride.segment,
            pace: stride.pace,
            variant: stride.variant,
            lead: stride.lead,
            length,
            joining,
            trailing: false,
        });
    }

    /// What happens between two planned strides of different paces.
    fn join(&mut self, old: &Planned, new: &Planned) {
        if old.pace == new.pace {
            return;
        }
        if old.pace == Pace::Halt {
            self.run += 1;
            self.from_rest = true;
            return;
        }
        if new.pace == Pace::Halt {
            self.come_to_halt(old);
        } else {
            let shift = best_shift(&old.footing, &new.footing);
            if shift > 0.0 {
                self.land(&old.footing, 0.0..shift);
                self.push(
                    old,
                    shift * old.footing.time,
                    shift * old.footing.length,
                    true,
                );
            }
        }
        self.run += 1;
        self.from_rest = false;
    }

    /// A last, short stride; the limbs that landed first step up once more.
    fn come_to_halt(&mut self, old: &Planned) {
        const STEP_UP: f64 = 0.2;
        self.land(&old.footing, 0.0..1.0);
        for limb in Limb::ALL {
            let phase = old.footing.phase[limb as usize];
            if phase < STEP_UP {
                self.land_one(limb, &old.footing, 1.0 + phase);
            }
        }
        self.push(old, 1.1 * old.footing.time, 0.35 * old.footing.length, true);
    }
}

/// Strides between the first lift and the first stride's start when moving off
/// from a halt: a fore leaves first (Tans, Nauwelaerts & Clayton 2009), or its
/// diagonal hind with it.
fn move_off(footing: &Footing) -> f64 {
    const TOGETHER: f64 = 0.06;
    let lift = |limb: Limb| 1.0 - footing.duty[limb as usize] - footing.phase[limb as usize];
    let fore = lift(Limb::LF).max(lift(Limb::RF));
    let hind = lift(Limb::LH).max(lift(Limb::RH));
    let offset = if (hind - fore).abs() < TOGETHER {
        hind.max(fore)
    } else {
        fore
    };
    offset.max(0.0)
}

/// The part of a stride by which the old pace goes on, so that the limb cycles
/// across the join stay as near to a whole stride as can be.
fn best_shift(old: &Footing, new: &Footing) -> f64 {
    let mean = f64::midpoint(old.time, new.time);
    let cost = |shift: f64| -> f64 {
        (0..4)
            .map(|limb| {
                let last = if old.phase[limb] < shift {
                    old.phase[limb]
                } else {
                    old.phase[limb] - 1.0
                };
                let gap = (new.phase[limb] * new.time - (last - shift) * old.time) / mean;
                let off_beat = gap - gap.round();
                off_beat * off_beat
            })
            .sum()
    };
    let mut best = 0.0;
    for shift in [0.25, 0.5, 0.75] {
        if cost(shift) + 1e-9 < cost(best) {
            best = shift;
        }
    }
    best
}

/// Takes out a landing that would come too soon after the one before, in a
/// change of pace, and puts one in where the pause would be too long.
fn fit(landings: Vec<Landing>) -> Vec<Landing> {
    let mut fitted: Vec<Landing> = Vec::with_capacity(landings.len());
    for landing in landings {
        if let Some(before) = fitted
            .last()
            .copied()
            .filter(|before| before.run != landing.run && !landing.from_rest)
        {
            let mean = f64::midpoint(before.time, landing.time);
            let gap = (landing.on - before.on) / mean;
            if gap <= 0.5 {
                continue;
            }
            if gap > 1.5 {
                let on = f64::midpoint(before.on, landing.on);
                fitted.push(Landing {
                    on,
                    time: mean,
                    ..landing
                });
            }
        }
        fitted.push(landing);
    }
    fitted
}

/// Gives every landing its end.
fn contacts(landings: &[Landing]) -> Vec<Contact> {
    /// The shortest time in the air, in strides.
    const SHORTEST_SWING: f64 = 0.18;
    let off = |landing: &Landing, next: Option<&Landing>| {
        let own = landing.on + landing.duty * landing.time;
        let Some(next) = next else {
            return if landing.duty >= 1.0 {
                f64::INFINITY
            } else {
                own
            };
        };
        if landing.run == next.run {
            return own.min(next.on - SHORTEST_SWING * next.time);
        }
        if next.from_rest {
            return next.on - (1.0 - next.duty) * next.time;
        }
        // Across a change of pace the foot keeps its share of the odd cycle.
        let gap = next.on - landing.on;
        landing.on + gap * f64::midpoint(landing.duty, next.duty)
    };
    let forever = 1e6;
    landings
        .iter()
        .enumerate()
        .map(|(index, landing)| Contact {
            on: ns(landing.on),
            off: ns(off(landing, landings.get(index + 1)).min(forever)),
        })
        .collect()
}

fn changes(ridden: &[(Planned, usize)], strides: &[Stride]) -> Vec<Change> {
    let start = |at: usize| ridden.get(at).map(|(_, index)| strides[*index].start);
    ridden
        .iter()
        .enumerate()
        .filter_map(|(at, (planned, index))| {
            let (to, late_behind) = planned.change?;
            let fore = strides[*index].start;
            let hind_at = at + late_behind as usize;
            let hind = ridden
                .get(hind_at)
                .filter(|(later, _)| later.lead.is_some_and(|lead| lead.hind == to));
            Some(Change {
                fore,
                hind: hind.and_then(|_| start(hind_at)),
                to,
                late_behind,
            })
        })
        .collect()
}

fn stretches(script: &Script, ridden: &[(Planned, usize)], strides: &[Stride]) -> Vec<Stretch> {
    let mut found: Vec<(usize, usize, Stretch)> = Vec::new();
    for (planned, index) in ridden {
        let stride = &strides[*index];
        for &at in &planned.within {
            match found
                .iter_mut()
                .find(|(segment, event, _)| *segment == planned.segment && *event == at)
            {
                Some((_, _, stretch)) => stretch.to = stride.end,
                None => found.push((
                    planned.segment,
                    at,
                    Stretch {
                        from: stride.start,
                        to: stride.end,
                        event: script.segments[planned.segment].events[at].clone(),
                    },
                )),
            }
        }
    }
    found.into_iter().map(|(_, _, stretch)| stretch).collect()
}

impl Gait {
    /// Contacts of a limb.
    #[must_use]
    pub(crate) fn of(&self, limb: Limb) -> &[Contact] {
        &self.contacts[limb as usize]
    }

    /// From and to of every segment, nanoseconds.
    #[must_use]
    pub(crate) fn segments(&self) -> Vec<(i64, i64)> {
        let mut spans: Vec<(i64, i64)> = Vec::new();
        for stride in &self.strides {
            if stride.segment == spans.len() {
                spans.push((stride.start, stride.end));
            } else if let Some(last) = spans.last_mut() {
                last.1 = stride.end;
            }
        }
        spans
    }

    /// Runs of strides in one pace: from, to, and the strides' range.
    #[must_use]
    pub(crate) fn runs(&self) -> Vec<std::ops::Range<usize>> {
        let mut runs: Vec<std::ops::Range<usize>> = Vec::new();
        for (index, stride) in self.strides.iter().enumerate() {
            match runs.last_mut() {
                Some(run) if self.strides[run.start].pace == stride.pace => run.end = index + 1,
                _ => runs.push(index..index + 1),
            }
        }
        runs
    }
}
