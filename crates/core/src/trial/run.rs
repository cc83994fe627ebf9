//! One steady run as it was made. Not for: how it was found or typed in.

/// Means over one steady run. What was not measured is `None`; nothing is filled in.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Run {
    /// Middle of the run \[s\], on any clock that all runs of the trial share.
    pub time_s: f64,
    /// Length of the run \[s\].
    pub duration_s: f64,
    /// Course over ground, else heading, from true north \[rad\].
    pub course_rad: Option<f64>,
    /// Course over ground alone, from the north of the heading \[rad\]; `None` where none was measured.
    pub track_rad: Option<f64>,
    /// Heading, true or magnetic \[rad\]: what two runs have against each other counts.
    pub heading_rad: Option<f64>,
    /// Speed over ground \[m/s\].
    pub speed_over_ground_m_s: Option<f64>,
    /// Speed through the water, as the log shows it \[m/s\].
    pub speed_through_water_m_s: Option<f64>,
    /// Speed of the propeller shaft \[rev/s\].
    pub shaft_speed_rev_s: Option<f64>,
    /// Speed of the motor \[rev/s\].
    pub motor_speed_rev_s: Option<f64>,
    /// Voltage of the bank under load \[V\].
    pub voltage_v: Option<f64>,
    /// Current out of the bank \[A\].
    pub current_a: Option<f64>,
    /// Power out of the bank for the drive \[W\]. Only where both volts and amps, or watts, were
    /// measured: amps without volts are not watts.
    pub power_w: Option<f64>,
    /// Pull on the line, with her tied to a quay \[N\]: such a run makes no way.
    pub pull_n: Option<f64>,
    /// Depth of water \[m\].
    pub depth_m: Option<f64>,
    /// Apparent wind speed \[m/s\].
    pub wind_speed_m_s: Option<f64>,
    /// Apparent wind angle from the bow, starboard positive \[rad\].
    pub wind_angle_rad: Option<f64>,
    /// Standard deviation of the speed that was held steady, within the run \[m/s\].
    pub speed_scatter_m_s: Option<f64>,
    /// What the steps in which the speed over ground was written leave of its mean, as a standard deviation \[m/s\].
    pub speed_step_error_m_s: Option<f64>,
    /// Sails drove her, alone or beside the motor: no run of the drive.
    pub is_sailed: bool,
}

impl Run {
    /// True when something tells that the motor drove her: its speed, its shaft's, or power from the
    /// bank. Without any reading she may have sailed or drifted: such a run is none of the drive.
    #[must_use]
    pub fn is_of_drive(&self) -> bool {
        !self.is_sailed && self.setting().is_some_and(|setting| setting > 0.0)
    }

    /// What was held: shaft speed, else motor speed, else power. `None` when none is known.
    #[must_use]
    pub fn setting(&self) -> Option<f64> {
        self.shaft_speed_rev_s.or(self.motor_speed_rev_s).or(self.power_w)
    }

    /// True when the runs were made at settings within `share` of each other. Runs of which no
    /// common setting is known are not at one setting.
    #[must_use]
    pub fn is_at_setting_of(&self, other: &Self, share: f64) -> bool {
        let pairs = [
            (self.shaft_speed_rev_s, other.shaft_speed_rev_s, share),
            (self.motor_speed_rev_s, other.motor_speed_rev_s, share),
            // Power goes with the cube of shaft speed.
            (self.power_w, other.power_w, 3.0 * share),
        ];
        pairs
            .iter()
            .find_map(|(a, b, share)| {
                let (a, b) = ((*a)?, (*b)?);
                Some((a - b).abs() <= share * a.abs().max(b.abs()))
            })
            .unwrap_or(false)
    }
}
