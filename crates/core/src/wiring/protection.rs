//! Fuses and breakers: what each class stands and breaks, which ratings a conductor allows, which of two opens first.
//! Not for: the fault currents that they face (`network`).

use wakewright_units::factors::INCH_M;

/// Kind of fuse or breaker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FuseClass {
    /// Blade.
    Blade,
    /// Small bolt-down, 30 to 200 A.
    Midi,
    /// Large bolt-down, 100 to 500 A.
    Mega,
    /// Open or windowed strip, 35 to 750 A.
    Anl,
    /// On the battery's own stud.
    Terminal,
    /// Class T.
    T,
    /// Knife blade, gG.
    KnifeBlade,
    /// For semiconductors: short circuits alone.
    Semiconductor,
    /// Bolt-down of road vehicles, 450 V and more.
    Vehicle,
    /// Breaker.
    Breaker,
}

impl FuseClass {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::Blade,
        Self::Midi,
        Self::Mega,
        Self::Anl,
        Self::Terminal,
        Self::T,
        Self::KnifeBlade,
        Self::Semiconductor,
        Self::Vehicle,
        Self::Breaker,
    ];

    /// Highest direct volts and greatest current that it breaks \[A\], the least that makers' sheets of the class give;
    /// `None` where they differ too much. Source: \[fuses2024\], several of them at second hand or from memory: the sheet
    /// of the fuse itself goes first.
    #[must_use]
    pub fn usual(self) -> Option<(f64, f64)> {
        match self {
            Self::Blade => Some((32.0, 1000.0)),
            Self::Midi => Some((32.0, 1000.0)),
            Self::Mega => Some((32.0, 2000.0)),
            Self::Anl => Some((32.0, 6000.0)),
            Self::Terminal => Some((58.0, 2000.0)),
            Self::T => Some((125.0, 20_000.0)),
            Self::KnifeBlade => Some((250.0, 25_000.0)),
            Self::Semiconductor | Self::Vehicle | Self::Breaker => None,
        }
    }

    /// The greatest current that any class breaks at so many direct volts \[A\], as [`Self::usual`] has them; `None` where none is
    /// known to stand them.
    #[must_use]
    pub fn most_broken_a(volts: f64) -> Option<f64> {
        let stands = Self::ALL.into_iter().filter_map(Self::usual).filter(|(most_v, _)| *most_v >= volts);
        stands.map(|(_, breaks_a)| breaks_a).reduce(f64::max)
    }

    /// Ratio of rated currents from which the one nearer the fault opens alone, where both are of this class; with
    /// whether it was read. `None`: it cannot be told without both sheets.
    ///
    /// # Source
    /// \[fuseguide2015\]: gG 1.6. Class T 2.0 from memory.
    /// # Valid for
    /// Two fuses of one class; across classes, for breakers and battery protections nothing can be told.
    /// # Accuracy
    /// As printed.
    /// # Example
    /// ```
    /// # use wakewright_core::wiring::FuseClass;
    /// assert_eq!(FuseClass::KnifeBlade.selective_ratio(), Some((1.6, true)));
    /// assert_eq!(FuseClass::Mega.selective_ratio(), None);
    /// ```
    #[must_use]
    pub fn selective_ratio(self) -> Option<(f64, bool)> {
        match self {
            Self::KnifeBlade => Some((1.6, true)),
            Self::T => Some((2.0, false)),
            _ => None,
        }
    }
}

/// Stock ratings of fuses \[A\]; from memory.
pub const FUSE_RATINGS_A: [f64; 30] = [
    5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0,
    150.0, 175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 450.0, 500.0, 600.0, 700.0, 800.0,
];

/// Volts from which the stricter rules hold \[V\], by the nominal on the plate. Source: \[cfr183-455\].
pub const FIFTY_V: f64 = 50.0;

/// Greatest rating that a conductor of so many amperes may have before it \[A\]: below 50 V 1.5 times them, at 50 V and
/// more those or the next stock rating within 1.5 times.
///
/// # Source
/// \[cfr183-455\] (c); US law written for boats with petrol engines, a yardstick here.
/// # Valid for
/// Stranded copper; which side of 50 V by the nominal on the plate.
/// # Accuracy
/// As printed; the stock ratings from memory.
/// # Example
/// By hand, 231 A: 346.5 A at 24 V, 250 A as the next rating at 51.2 V.
/// ```
/// # use wakewright_core::wiring::largest_rating_a;
/// assert_eq!(largest_rating_a(231.0, 24.0), 346.5);
/// assert_eq!(largest_rating_a(231.0, 51.2), 250.0);
/// ```
#[must_use]
pub fn largest_rating_a(conductor_a: f64, nominal_v: f64) -> f64 {
    let half_more = 1.5 * conductor_a;
    if nominal_v < FIFTY_V {
        return half_more;
    }
    let next = FUSE_RATINGS_A.into_iter().find(|rating| *rating >= conductor_a - 1e-9);
    next.filter(|rating| *rating <= half_more + 1e-9).unwrap_or(conductor_a)
}

/// Way along the conductor from the source to its protection that is allowed \[m\]: 7 in, or 40 in where it lies in a
/// sheath or enclosure all the way.
///
/// # Source
/// \[cfr183-455\] (b). The 72 in of a battery's feeder (183.460) are from memory and not used.
/// # Valid for
/// Protection that cannot stand at the source itself.
/// # Accuracy
/// As printed.
/// # Example
/// ```
/// # use wakewright_core::wiring::longest_unprotected_m;
/// assert!((longest_unprotected_m(false) - 0.1778).abs() < 1e-9 && (longest_unprotected_m(true) - 1.016).abs() < 1e-9);
/// ```
#[must_use]
pub fn longest_unprotected_m(is_sheathed: bool) -> f64 {
    if is_sheathed { 40.0 * INCH_M } else { 7.0 * INCH_M }
}
