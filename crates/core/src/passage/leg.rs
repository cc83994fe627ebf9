//! A leg of a passage, the water that moves along it over time, and how long a piece of it takes.
//! Not for: where a stream comes from (`tabled`), power.

use super::stream::Stage;

/// The water's speed as a leg has it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Flow {
    /// Along the leg, with her positive \[m/s\].
    pub along_m_s: f64,
    /// Across it, either way \[m/s\].
    pub across_m_s: f64,
}

/// What a stream may be off by.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Off {
    /// Share of each rate.
    pub share: f64,
    /// Along the leg beside it \[m/s\].
    pub beside_m_s: f64,
    /// So much later than stated \[s\].
    pub later_s: f64,
}

/// A stream over time, straight between its points, steady before the first and after the last of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Stream {
    first_s: f64,
    /// Points in a second.
    per_s: f64,
    flows: Vec<Flow>,
}

impl Stream {
    /// `flow` at every `step_s` between two instants.
    #[must_use]
    pub fn sampled((from_s, to_s): (f64, f64), step_s: f64, flow: impl Fn(f64) -> Flow) -> Self {
        let steps = ((to_s - from_s) / step_s).ceil().clamp(0.0, 1e6) as usize;
        Self {
            first_s: from_s,
            per_s: 1.0 / step_s,
            flows: (0..=steps).map(|i| flow(from_s + i as f64 * step_s)).collect(),
        }
    }

    /// One that changes in steps; a change takes a minute.
    #[must_use]
    pub fn stepped(stages: &[Stage]) -> Self {
        const STEP_S: f64 = 60.0;
        let last_s =
            stages.iter().map(|stage| stage.until_s).filter(|until| until.is_finite()).fold(0.0, f64::max);
        let at = |at_s: f64| stages.iter().find(|stage| at_s < stage.until_s).or(stages.last());
        let flow = |at_s: f64| {
            let of = |stage: &Stage| Flow { along_m_s: stage.along_m_s, across_m_s: stage.across_m_s };
            at(at_s).map_or_else(Flow::default, of)
        };
        Self::sampled((0.0, last_s), STEP_S, flow)
    }

    /// The flow at an instant.
    #[must_use]
    #[inline(always)]
    pub fn at(&self, at_s: f64) -> Flow {
        let along = ((at_s - self.first_s) * self.per_s).max(0.0);
        let last = self.flows.len().saturating_sub(1);
        // By way of 32 bits: the processor has an instruction for that.
        let place = (along as u32 as usize).min(last);
        let (one, other) = (self.flows[place], self.flows[(place + 1).min(last)]);
        let share = (along - place as f64).min(1.0);
        Flow {
            along_m_s: one.along_m_s + (other.along_m_s - one.along_m_s) * share,
            across_m_s: one.across_m_s + (other.across_m_s - one.across_m_s) * share,
        }
    }

    /// The same stream, off by so much.
    #[must_use]
    pub fn off(&self, off: Off) -> Self {
        let moved = |flow: &Flow| Flow {
            along_m_s: flow.along_m_s * (1.0 + off.share) + off.beside_m_s,
            across_m_s: flow.across_m_s * (1.0 + off.share),
        };
        Self {
            first_s: self.first_s + off.later_s,
            per_s: self.per_s,
            flows: self.flows.iter().map(moved).collect(),
        }
    }

    /// As the way back has it.
    #[must_use]
    pub fn turned(&self) -> Self {
        let turned = |flow: &Flow| Flow { along_m_s: -flow.along_m_s, ..*flow };
        Self { flows: self.flows.iter().map(turned).collect(), ..self.clone() }
    }
}

/// Slowest speed over the ground that counts as getting on \[m/s\].
pub(super) const GETS_ON_M_S: f64 = 0.1;

/// Speed over the ground along a leg at a speed through the water, heading so that she stays on it \[m/s\]; none where
/// she does not get on.
///
/// `V = c_along + sqrt(v^2 - c_across^2)`.
/// # Source
/// The triangle of velocities.
/// # Valid for
/// A stream that is the same all about her.
/// # Accuracy
/// Exact.
/// # Errors
/// None.
/// # Example
/// 5 kn through the water, 3 kn across and 1 kn against: 4 - 1 = 3 kn:
/// ```
/// use wakewright_core::passage::{Flow, over_ground_m_s};
/// assert_eq!(over_ground_m_s(5.0, Flow { along_m_s: -1.0, across_m_s: 3.0 }), Some(3.0));
/// ```
#[must_use]
#[inline(always)]
pub fn over_ground_m_s(speed_m_s: f64, flow: Flow) -> Option<f64> {
    let ahead = if flow.across_m_s == 0.0 {
        speed_m_s
    } else {
        (speed_m_s * speed_m_s - flow.across_m_s * flow.across_m_s).max(0.0).sqrt()
    };
    Some(ahead + flow.along_m_s).filter(|over_ground| *over_ground >= GETS_ON_M_S)
}

/// A share of a leg's way under sail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sail {
    /// Share of the distance, 0 to 1, spread evenly over the leg.
    pub share: f64,
    /// Speed through the water meanwhile \[m/s\].
    pub speed_m_s: f64,
}

/// A stop at the end of a leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// Into the bank's terminals while she lies there \[W\]; 0 where she only waits.
    pub charge_w: f64,
    /// The longest she may lie there \[s\].
    pub longest_s: f64,
}

/// A piece is gone over in stretches of this \[s\].
const STRETCH_S: f64 = 300.0;

/// A leg.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// Over the ground \[m\].
    pub distance_m: f64,
    /// The water.
    pub stream: Stream,
    /// Under sail.
    pub sail: Option<Sail>,
    /// Which of the power tables holds here.
    pub table: usize,
    /// A stop at its end.
    pub stop: Option<Stop>,
}

impl Leg {
    /// Speed over the ground along the leg at a speed under power, sail and motor taken together, and the share of the time in
    /// which the motor runs \[m/s\]; none where she does not get on.
    #[must_use]
    pub fn pace(&self, speed_m_s: f64, flow: Flow) -> Option<(f64, f64)> {
        self.pace_with(over_ground_m_s(speed_m_s, flow), flow)
    }

    /// The same by what she makes under power.
    fn pace_with(&self, by_motor_m_s: Option<f64>, flow: Flow) -> Option<(f64, f64)> {
        let Some(sail) = self.sail else { return Some((by_motor_m_s?, 1.0)) };
        let sailing =
            if sail.share > 0.0 { sail.share / over_ground_m_s(sail.speed_m_s, flow)? } else { 0.0 };
        let motoring = if sail.share < 1.0 { (1.0 - sail.share) / by_motor_m_s? } else { 0.0 };
        Some((1.0 / (sailing + motoring), motoring / (sailing + motoring)))
    }

    /// How long a piece takes from an instant at a speed under power, and how long of it the motor runs \[s\]; none where
    /// she does not get on. Each stretch of five minutes by the flow in the middle of it.
    #[must_use]
    pub fn takes_s(&self, length_m: f64, from_s: f64, speed_m_s: f64) -> Option<(f64, f64)> {
        let stopped = self.steadily(length_m, (from_s, self.stream.at(from_s)), speed_m_s);
        stopped.ok().map(|takes| (takes.0, takes.1))
    }

    /// The same where she has no sail and it is done in one stretch; none else.
    #[inline(always)]
    pub(super) fn takes_in_one_s(
        &self,
        length_m: f64,
        (from_s, flow): (f64, Flow),
        speed_m_s: f64,
    ) -> Option<f64> {
        let first_s = length_m / over_ground_m_s(speed_m_s, flow)?;
        if first_s > STRETCH_S {
            return None;
        }
        Some(length_m / over_ground_m_s(speed_m_s, self.stream.at(from_s + 0.5 * first_s))?)
    }

    /// The same from a flow that is known; else what is left of the piece as she no longer gets on, after how long, and how long the
    /// motor ran \[m\], \[s\].
    #[inline]
    fn steadily(
        &self,
        length_m: f64,
        (from_s, mut flow): (f64, Flow),
        speed_m_s: f64,
    ) -> Result<(f64, f64), (f64, f64, f64)> {
        let (mut left_m, mut at_s, mut motor_s) = (length_m, from_s, 0.0);
        loop {
            let stops = (left_m, at_s - from_s, motor_s);
            let first_s = left_m / self.pace(speed_m_s, flow).ok_or(stops)?.0;
            let midway = self.stream.at(at_s + 0.5 * first_s.min(STRETCH_S));
            let (over_ground, motor) = self.pace(speed_m_s, midway).ok_or(stops)?;
            if first_s <= STRETCH_S {
                let last_s = left_m / over_ground;
                return Ok((at_s + last_s - from_s, motor_s + motor * last_s));
            }
            left_m -= over_ground * STRETCH_S;
            at_s += STRETCH_S;
            motor_s += motor * STRETCH_S;
            if left_m <= 0.0 {
                let over_s = -left_m / over_ground;
                return Ok((at_s - over_s - from_s, motor_s - motor * over_s));
            }
            flow = self.stream.at(at_s);
        }
    }

    /// How long a piece takes from an instant and its flow, and what the drive takes for it, at a speed under power that is raised as
    /// long as the stream is too strong for it, so that she just gets on \[s\], \[J\]; with them whether it was raised all along, when
    /// every slower one comes to the same. None where not even `fastest_m_s` gets her on.
    #[inline]
    pub(super) fn goes(
        &self,
        length_m: f64,
        from: (f64, Flow),
        (speed_m_s, power_w): (f64, f64),
        fastest_m_s: f64,
        powers_w: impl Fn(f64) -> f64,
    ) -> Option<(f64, f64, bool)> {
        let drive_j = |motor_s: f64| if motor_s > 0.0 { power_w * motor_s } else { 0.0 };
        match self.steadily(length_m, from, speed_m_s) {
            Ok((takes_s, motor_s)) => Some((takes_s, drive_j(motor_s), false)),
            Err((left_m, after_s, motor_s)) => {
                let rest = (left_m, from.0 + after_s);
                let crept = self.creeps(rest, (speed_m_s, power_w), fastest_m_s, powers_w)?;
                Some((after_s + crept.0, drive_j(motor_s) + crept.1, crept.2 && after_s == 0.0))
            }
        }
    }

    /// The rest of a piece on which a speed has to be raised for a time, in short stretches.
    #[inline(never)]
    fn creeps(
        &self,
        (mut left_m, from_s): (f64, f64),
        (speed_m_s, power_w): (f64, f64),
        fastest_m_s: f64,
        powers_w: impl Fn(f64) -> f64,
    ) -> Option<(f64, f64, bool)> {
        const STRETCH_S: f64 = 120.0;
        let (mut at_s, mut drive_j, mut is_raised) = (from_s, 0.0, true);
        let mut flow = self.stream.at(at_s);
        loop {
            let free = over_ground_m_s(speed_m_s, flow).unwrap_or(GETS_ON_M_S);
            let stretch_s = (left_m / free).min(STRETCH_S);
            let midway = self.stream.at(at_s + 0.5 * stretch_s);
            let (over_ground, power_w) = match over_ground_m_s(speed_m_s, midway) {
                Some(over_ground) => {
                    is_raised = false;
                    (over_ground, power_w)
                }
                None => {
                    let raised = (GETS_ON_M_S - midway.along_m_s).hypot(midway.across_m_s);
                    if raised > fastest_m_s {
                        return None;
                    }
                    (GETS_ON_M_S, powers_w(raised))
                }
            };
            let (over_ground, motor) = self.pace_with(Some(over_ground), midway)?;
            let takes_s = (left_m / over_ground).min(STRETCH_S);
            drive_j += if motor > 0.0 { power_w * motor * takes_s } else { 0.0 };
            at_s += takes_s;
            left_m -= over_ground * takes_s;
            if takes_s < STRETCH_S {
                return Some((at_s - from_s, drive_j, is_raised));
            }
            flow = self.stream.at(at_s);
        }
    }

    /// The same leg the other way, under power all along it.
    #[must_use]
    pub fn back(&self) -> Self {
        Self { stream: self.stream.turned(), sail: None, stop: None, ..self.clone() }
    }
}
