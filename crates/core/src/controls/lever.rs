//! What the lever asks for and what was decided about it. Not for: reading a document (`records`).

/// What the drive does when a signal is lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnLoss {
    /// Torque goes to nought.
    Stops,
    /// It goes on as it was.
    Holds,
    /// It runs up.
    RunsUp,
}

/// How a second station takes over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TakesOver {
    /// Only with both levers in neutral.
    InNeutral,
    /// By a switch, whatever the levers say.
    BySwitch,
    /// Whichever lever moved last.
    AtAnyTime,
}

/// In which order the stop opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopOrder {
    /// Torque to nought first, then the contactor.
    TorqueFirst,
    /// The contactor at once.
    AtOnce,
}

/// The lever as it is told; what is not told is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Controls {
    /// Travel on either side of neutral without any demand, as a share of the travel to full.
    pub dead_band: Option<f64>,
    /// Least demand once the lever leaves it, as a share of full.
    pub first_demand: Option<f64>,
    /// From nought to full \[s\].
    pub ramp_up_s: Option<f64>,
    /// From full to nought \[s\].
    pub ramp_down_s: Option<f64>,
    /// Wait at nought on reversing \[s\].
    pub reversing_wait_s: Option<f64>,
    /// Greatest torque astern while she still makes way ahead, as a share of full.
    pub reversing_torque: Option<f64>,
    /// It starts only from neutral.
    pub starts_in_neutral: Option<bool>,
    /// State of charge above which it does not brake.
    pub braking_full_at: Option<f64>,
    /// Temperature of the cells below which it does not brake \[K\].
    pub braking_cold_at_k: Option<f64>,
    /// When a wire of the lever breaks.
    pub wire_broken: Option<OnLoss>,
    /// How long that takes \[s\].
    pub wire_noticed_s: Option<f64>,
    /// When the motor's position sensor is lost.
    pub sensor_lost: Option<OnLoss>,
    /// Stations from which she is driven.
    pub stations: u32,
    /// How the second takes over.
    pub takes_over: Option<TakesOver>,
    /// What the stop at the helm opens first.
    pub stop: Option<StopOrder>,
    /// Speed at which she sails \[m/s\].
    pub sailing_m_s: Option<f64>,
    /// Whether the field is weakened at speed; `None` when that is not told.
    pub weakens_field: Option<bool>,
    /// Current of one drive back into the bank as it is set \[A\].
    pub braking_a: Option<f64>,
    /// Limit of the motor current as it is told, not guessed \[A\].
    pub phase_a: Option<f64>,
    /// The packs' limits of discharge are told, not guessed.
    pub tells_discharge: bool,
    /// Those of charge are.
    pub tells_charge: bool,
}

impl Controls {
    /// Demand of a lever at `lever`, both from -1 (full astern) to 1: nothing within the dead band, from its edge the
    /// least demand, straight from there to full. What is not told counts as nothing.
    ///
    /// # Source
    /// By definition of dead band and least demand; the straight line is common practice, no source.
    /// # Valid for
    /// A lever whose controller makes no curve of its own.
    /// # Accuracy
    /// As the controller is set.
    /// # Example
    /// By hand: 10 % dead band, 20 % least demand: at 55 % of the travel 20 % + 80 % x 45/90 = 60 %.
    /// ```
    /// # use wakewright_core::controls::Controls;
    /// let lever = Controls { dead_band: Some(0.1), first_demand: Some(0.2), ..Controls::default() };
    /// assert!((lever.demand(-0.55) + 0.6).abs() < 1e-12);
    /// assert_eq!(lever.demand(0.09), 0.0);
    /// ```
    #[must_use]
    pub fn demand(&self, lever: f64) -> f64 {
        let (band, first) = (self.dead_band.unwrap_or(0.0), self.first_demand.unwrap_or(0.0));
        let beyond = lever.abs().min(1.0) - band;
        if beyond <= 0.0 {
            return 0.0;
        }
        (first + (1.0 - first) * beyond / (1.0 - band).max(1e-9)).copysign(lever)
    }

    /// Demand so long after the lever went from full ahead to full astern: the ramp down, the wait, the ramp up.
    #[must_use]
    pub fn reversed(&self, time_s: f64) -> f64 {
        let down_s = self.ramp_down_s.unwrap_or(0.0);
        let from_s = down_s + self.reversing_wait_s.unwrap_or(0.0);
        if time_s < down_s {
            1.0 - time_s / down_s
        } else if time_s < from_s {
            0.0
        } else {
            let up_s = self.ramp_up_s.unwrap_or(0.0);
            if up_s <= 0.0 { -1.0 } else { -((time_s - from_s) / up_s).min(1.0) }
        }
    }

    /// The same lever without ramps, wait and limit: thrown over at once.
    #[must_use]
    pub fn at_once(&self) -> Self {
        Self { ramp_up_s: None, ramp_down_s: None, reversing_wait_s: None, reversing_torque: None, ..*self }
    }

    /// Whether any of ramps, wait and limit is told.
    #[must_use]
    pub fn has_ramps(&self) -> bool {
        let told = [self.ramp_up_s, self.ramp_down_s, self.reversing_wait_s, self.reversing_torque];
        told.iter().any(Option::is_some)
    }
}
