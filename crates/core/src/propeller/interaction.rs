//! Hull and propeller together: wake fraction, thrust deduction, relative rotative efficiency.
//! Not for: resistance, or the propeller alone. The full method for ships is in `holtrop1982`.

use crate::spread::Spread;

/// Where the propeller sits behind the hull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SternArrangement {
    /// Fin keel, exposed shaft held by a P-bracket.
    PBracket,
    /// Shaft in a skeg or in the deadwood, propeller in the open behind it.
    Skeg,
    /// Propeller in an aperture of a long keel or in front of a skeg-hung rudder.
    Aperture,
    /// Vertical leg through the hull bottom.
    Saildrive,
    /// Pod with the motor under water, below the canoe body.
    Pod,
    /// Leg hung on the transom, the propeller abaft the hull.
    OutboardLeg,
    /// Round-bilged launch with a long shallow keel, propeller behind the deadwood.
    LaunchDeadwood,
}

/// Factors between hull and propeller with their 80 % bands. A trial narrows them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interaction {
    /// Taylor wake fraction w: speed of advance = (1 - w) boat speed.
    pub wake_fraction: Spread,
    /// Thrust deduction t: resistance = (1 - t) thrust.
    pub thrust_deduction: Spread,
    /// Relative rotative efficiency: open-water torque over torque behind the hull, at equal thrust.
    pub relative_rotative_efficiency: Spread,
}

impl SternArrangement {
    /// All arrangements, in the order of a form.
    pub const ALL: [Self; 7] = [
        Self::PBracket,
        Self::Skeg,
        Self::Aperture,
        Self::Saildrive,
        Self::Pod,
        Self::OutboardLeg,
        Self::LaunchDeadwood,
    ];

    /// Factors for this arrangement, the same at every speed.
    ///
    /// The ranges are read as 80 % bands with the median in the middle.
    /// # Source
    /// From memory: ranges of handbook and engineering practice, not one source. [`Self::Pod`],
    /// [`Self::OutboardLeg`] and [`Self::LaunchDeadwood`] are common practice, no source. Relative rotative efficiency: 0.98 for a
    /// slender open stern \[holtrop1982\] (from memory), 1.00 in an aperture, ±0.02.
    /// # Valid for
    /// Displacement boats of 6 to 15 m, one propeller on the centreline.
    /// # Example
    /// By hand: the middle of 0.20 to 0.30 in an aperture.
    /// ```
    /// # use wakewright_core::propeller::SternArrangement;
    /// assert!((SternArrangement::Aperture.interaction().wake_fraction.median - 0.25).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn interaction(self) -> Interaction {
        let (wake, deduction, rotative) = match self {
            Self::PBracket | Self::Saildrive => ((0.00, 0.10), (0.05, 0.10), 0.98),
            Self::Skeg => ((0.10, 0.20), (0.10, 0.20), 0.99),
            Self::Aperture => ((0.20, 0.30), (0.15, 0.25), 1.00),
            Self::Pod => ((0.00, 0.10), (0.03, 0.08), 0.98),
            Self::OutboardLeg => ((0.00, 0.12), (0.02, 0.08), 0.98),
            Self::LaunchDeadwood => ((0.10, 0.25), (0.10, 0.20), 0.99),
        };
        Interaction {
            wake_fraction: middle_of(wake),
            thrust_deduction: middle_of(deduction),
            relative_rotative_efficiency: Spread::absolute(rotative, 0.02),
        }
    }
}

impl SternArrangement {
    /// Drag area of what holds the propeller in the water outside hull and keel \[m²\]: leg, bracket and exposed shaft.
    ///
    /// A leg of 0.45 x 0.12 m takes 3 to 9 N at 3 kn, bracket, 1 m of shaft and fittings 1.5 to 7 N; an outboard leg twice
    /// a sail drive's.
    /// # Source
    /// `reference/drive/small_load_terms.csv`, from memory.
    /// # Example
    /// By hand: at 3 kn (1.543 m/s) salt water presses with 1,221 Pa, so a leg takes 2.8, 5.6 and 8.4 N.
    /// ```
    /// # use wakewright_core::propeller::SternArrangement;
    /// let force_n = 0.5 * 1026.0 * 1.543_f64.powi(2) * SternArrangement::Saildrive.gear_drag_area_m2().median;
    /// assert!((force_n - 5.6).abs() < 0.05);
    /// ```
    #[must_use]
    pub fn gear_drag_area_m2(self) -> Spread {
        match self {
            Self::PBracket => Spread::factor(0.0012, 0.0029, 0.0058),
            Self::Saildrive => Spread::factor(0.0023, 0.0046, 0.0069),
            Self::Pod => Spread::factor(0.0023, 0.0046, 0.0090),
            Self::OutboardLeg => Spread::factor(0.0030, 0.0060, 0.0120),
            Self::Skeg | Self::Aperture | Self::LaunchDeadwood => Spread::exact(0.0),
        }
    }

    /// The shaft leaves the hull through a bearing that the water wets.
    #[must_use]
    pub fn has_water_bearing(self) -> bool {
        !matches!(self, Self::Saildrive | Self::Pod | Self::OutboardLeg)
    }
}

fn middle_of((low, high): (f64, f64)) -> Spread {
    Spread::absolute(0.5 * (low + high), 0.5 * (high - low))
}

/// Hull efficiency `(1 - t) / (1 - w)`.
#[must_use]
pub fn hull_efficiency(wake_fraction: f64, thrust_deduction: f64) -> f64 {
    (1.0 - thrust_deduction) / (1.0 - wake_fraction)
}

/// Wake fraction of a single screw, second opinion: `w = 0.5 CB - 0.05`.
/// # Source
/// Taylor, in \[molland2011\] sec. 8.8.2.1.
/// # Valid for
/// Ships of CB 0.5 to 0.8 (from memory). Sailing boats (CB 0.35 to 0.42) lie below: indicative.
/// # Accuracy
/// Not published.
/// # Example
/// By hand: CB 0.7 gives 0.30.
/// ```
/// # use wakewright_core::propeller::interaction::wake_fraction_taylor;
/// assert!((wake_fraction_taylor(0.7) - 0.30).abs() < 1e-12);
/// ```
#[must_use]
pub fn wake_fraction_taylor(block_coefficient: f64) -> f64 {
    0.5 * block_coefficient - 0.05
}

/// Wake fraction, thrust deduction and relative rotative efficiency of a slender hull with one propeller
/// in the open, second opinion: `w = 0.3 CB + 10 CV CB - 0.1`, `t = 0.10`, `etaR = 0.98`.
/// # Source
/// \[holtrop1982\], coefficients from memory; the case rests on few models.
/// # Arguments
/// `viscous_coefficient` CV = (1 + k) CF + CA.
/// # Example
/// By hand: CB 0.4 and CV 0.004, 0.12 + 0.016 - 0.1 = 0.036.
/// ```
/// # use wakewright_core::propeller::interaction::open_stern_factors;
/// assert!((open_stern_factors(0.4, 0.004).0 - 0.036).abs() < 1e-12);
/// ```
#[must_use]
pub fn open_stern_factors(block_coefficient: f64, viscous_coefficient: f64) -> (f64, f64, f64) {
    let wake = 0.3 * block_coefficient + 10.0 * viscous_coefficient * block_coefficient - 0.1;
    (wake, 0.10, 0.98)
}
