//! The script laid out stride by stride, before any clock is put on it.

use super::error::FilmError;
use super::paces::{Footing, Lead, footing};
use super::script::{Event, Lasts, Pace, Script, Segment, Side, Variant};

/// One stride to be ridden (a halt is one "stride" of its whole length).
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Planned {
    /// Segment it belongs to, from 0.
    pub(crate) segment: usize,
    /// Number of the stride within the segment, from 1.
    pub(crate) number: u32,
    /// The pace ridden, which in a break is not the segment's own.
    pub(crate) pace: Pace,
    /// The variant ridden.
    pub(crate) variant: Variant,
    /// Footing, with the stride time as it will be ridden.
    pub(crate) footing: Footing,
    /// Lead, in canter.
    pub(crate) lead: Option<Lead>,
    /// A flying change that begins here: new lead and strides late behind.
    pub(crate) change: Option<(Side, u32)>,
    /// Index of the event that makes this stride a lapse, break or fault.
    pub(crate) within: Vec<usize>,
}

/// Lays the segments out as strides.
///
/// # Errors
/// An event lies beyond its segment, or a lead changes without a change.
pub(crate) fn plan(script: &Script) -> Result<Vec<Planned>, FilmError> {
    let mut rider = Rider {
        rein: Side::Right,
        lead: None,
        pending: Vec::new(),
        count: 0,
    };
    let mut strides = Vec::new();
    for (index, segment) in script.segments.iter().enumerate() {
        rider.rein = segment.rein.unwrap_or(rider.rein);
        rider
            .ride(script, index, segment, &mut strides)
            .map_err(|reason| FilmError::segment(index, reason))?;
    }
    Ok(strides)
}

/// What carries over from stride to stride.
struct Rider {
    rein: Side,
    lead: Option<Lead>,
    /// Hind changes still owed: strides to go and the new side.
    pending: Vec<(u32, Side)>,
    count: u64,
}

impl Rider {
    fn ride(
        &mut self,
        script: &Script,
        index: usize,
        segment: &Segment,
        strides: &mut Vec<Planned>,
    ) -> Result<(), String> {
        self.strike_off(segment)?;
        let mut ridden = 0.0;
        let mut number = 1;
        while !is_over(segment, number, ridden) {
            let stride = self.stride(script, index, segment, number)?;
            ridden += stride.footing.time;
            strides.push(stride);
            number += 1;
        }
        let last = number - 1;
        for event in &segment.events {
            let (first, count) = event.strides();
            let end = if matches!(event, Event::Change { .. }) {
                first
            } else {
                first + count - 1
            };
            if end > last {
                return Err(format!(
                    "an event reaches stride {end}, but the segment has {last}"
                ));
            }
        }
        Ok(())
    }

    fn strike_off(&mut self, segment: &Segment) -> Result<(), String> {
        if segment.pace != Pace::Canter {
            self.lead = None;
            self.pending.clear();
            return Ok(());
        }
        match (self.lead, segment.lead) {
            (Some(now), Some(asked)) if now.fore != asked => {
                Err("the lead differs from the canter before; add a Change event there".to_owned())
            }
            (Some(_), _) => Ok(()),
            (None, asked) => {
                self.lead = Some(Lead::both(asked.unwrap_or(self.rein)));
                Ok(())
            }
        }
    }

    fn stride(
        &mut self,
        script: &Script,
        index: usize,
        segment: &Segment,
        number: u32,
    ) -> Result<Planned, String> {
        let mut change = None;
        let mut factor = segment.time_factor * self.wander(script);
        let (mut pace, mut variant) = (segment.pace, segment.variant);
        let mut within = Vec::new();
        for (at, event) in segment.events.iter().enumerate() {
            let (first, count) = event.strides();
            let inside = (first..first + count).contains(&number);
            match event {
                Event::Change { late_behind, .. } if number == first => {
                    change = self.begin_change(*late_behind);
                }
                Event::Lapse { time_factor, .. } if inside => {
                    factor *= time_factor;
                    within.push(at);
                }
                Event::Break { to, .. } if inside => {
                    (pace, variant) = (*to, Variant::Collected);
                    within.push(at);
                }
                Event::QuartersTrailing { .. } if inside => within.push(at),
                _ => {}
            }
        }
        self.settle_pending();
        let lead = self.lead.filter(|_| pace == Pace::Canter).or_else(|| {
            // Broken into canter: on the lead of the rein.
            (pace == Pace::Canter).then_some(Lead::both(self.rein))
        });
        let mut footing =
            footing(pace, variant, lead.unwrap_or(Lead::both(self.rein))).map_err(str::to_owned)?;
        footing.time *= factor;
        if let (Pace::Halt, Lasts::Seconds(seconds)) = (pace, segment.lasts) {
            footing.time = seconds;
        }
        self.count += 1;
        Ok(Planned {
            segment: index,
            number,
            pace,
            variant,
            footing,
            lead,
            change,
            within,
        })
    }

    fn begin_change(&mut self, late_behind: u32) -> Option<(Side, u32)> {
        let lead = self.lead.as_mut()?;
        lead.fore = lead.fore.other();
        self.pending.push((late_behind, lead.fore));
        Some((lead.fore, late_behind))
    }

    /// Changes the hind pair where its time has come.
    fn settle_pending(&mut self) {
        let Some(lead) = self.lead.as_mut() else {
            return;
        };
        self.pending.retain_mut(|(to_go, side)| {
            if *to_go == 0 {
                lead.hind = *side;
                return false;
            }
            *to_go -= 1;
            true
        });
    }

    /// The natural wander of the stride time, the same in every run.
    fn wander(&self, script: &Script) -> f64 {
        let unit = |salt| hash(script.seed, self.count * 2 + salt);
        1.0 + script.wander * (unit(0) + unit(1) - 1.0)
    }
}

fn is_over(segment: &Segment, number: u32, ridden: f64) -> bool {
    match segment.lasts {
        Lasts::Strides(count) => number > count,
        Lasts::Seconds(_) if segment.pace == Pace::Halt => number > 1,
        // Whole strides, the nearest number to the asked time, at least one.
        Lasts::Seconds(seconds) => {
            let mean = if number == 1 {
                0.0
            } else {
                ridden / f64::from(number - 1)
            };
            number > 1 && ridden + mean / 2.0 > seconds
        }
    }
}

/// A repeatable number from 0 up to 1 (the finaliser of `SplitMix64`; Steele,
/// Lea & Flood 2014, "Fast splittable pseudorandom number generators").
#[must_use]
pub(crate) fn hash(seed: u64, index: u64) -> f64 {
    let mut z = seed
        .wrapping_mul(0x9E37_79B9_7F4A_7C15)
        .wrapping_add(index.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^= z >> 31;
    (z >> 11) as f64 / (1_u64 << 53) as f64
}
