//! Pull against a quay and the crash stop, from the same blades as the drag under sail. Not for: how the
//! motor is held to its limits (`steady`).

use crate::boat::{Boat, BoatSpec};
use crate::propeller::four_quadrant::BAND_FRACTION;
use crate::spread::Interval;
use crate::spread::{Sampler, Spread};
use crate::steady::{ASTERN, BoatError, PreparedBoat, bollard_astern_n, crash_stop};

/// One boat tied up, and stopped from full speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stop {
    ahead_n: Option<f64>,
    astern_n: Option<f64>,
    from_m_s: f64,
    distance_m: Option<f64>,
    duration_s: Option<f64>,
}

/// The same with bands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stopping {
    /// Pull ahead against a quay \[N\].
    pub ahead_n: Option<Interval>,
    /// Pull astern against a quay \[N\].
    pub astern_n: Option<Interval>,
    /// Full speed, from which she is stopped \[m/s\].
    pub from_m_s: Interval,
    /// Way through the water until she lies still \[m\].
    pub distance_m: Option<Interval>,
    /// Time \[s\].
    pub duration_s: Option<Interval>,
}

impl Stop {
    fn of(boat: &Boat, prepared: &PreparedBoat, astern_factor: f64) -> Result<Self, BoatError> {
        let from_m_s = prepared.full_throttle()?.held.state.speed_m_s;
        let stop = crash_stop(prepared, &boat.stern, boat.form.displacement_kg, from_m_s, astern_factor);
        Ok(Self {
            ahead_n: prepared.bollard().map(|bollard| bollard.thrust_n),
            astern_n: bollard_astern_n(prepared, astern_factor),
            from_m_s,
            distance_m: stop.map(|stop| stop.distance_m),
            duration_s: stop.map(|stop| stop.duration_s),
        })
    }

    /// A boat sampled already, the thrust astern sampled as well.
    pub(super) fn sampled(
        boat: &Boat,
        prepared: &PreparedBoat,
        sampler: Sampler,
        sample: u64,
    ) -> Option<Self> {
        let factor = Spread::relative(1.0, BAND_FRACTION).at_deviate(sampler.deviate(ASTERN, sample));
        Self::of(boat, prepared, factor).ok()
    }
}

/// Puts the samples together; `None` when the boat as expected makes no way.
pub(super) fn summarise(spec: &BoatSpec, sampled: &[Stop]) -> Option<Stopping> {
    let prepared = PreparedBoat::new(&spec.boat).ok()?.value;
    let central = Stop::of(&spec.boat, &prepared, 1.0).ok()?;
    let band = |of: fn(&Stop) -> Option<f64>| {
        Some(Interval::over_or(of(&central)?, &mut sampled.iter().filter_map(of).collect()))
    };
    Some(Stopping {
        ahead_n: band(|s| s.ahead_n),
        astern_n: band(|s| s.astern_n),
        from_m_s: band(|s| Some(s.from_m_s))?,
        distance_m: band(|s| s.distance_m),
        duration_s: band(|s| s.duration_s),
    })
}
