//! Where moon, sun, perigee, node and perihelion stand on the mean, which is what tides are reckoned from.
//! Not for: true positions (`solar`).

/// Mean longitudes \[rad\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Longitudes {
    /// Mean lunar time, from the moon's lower transit at Greenwich.
    pub lunar_time_rad: f64,
    /// Moon.
    pub moon_rad: f64,
    /// Sun.
    pub sun_rad: f64,
    /// Lunar perigee.
    pub perigee_rad: f64,
    /// Ascending lunar node.
    pub node_rad: f64,
    /// Solar perigee.
    pub perihelion_rad: f64,
}

/// Seconds from 1970 to noon of 1 January 2000.
const J2000_UNIX_S: f64 = 946_728_000.0;
const CENTURY_S: f64 = 36_525.0 * 86_400.0;

/// Mean longitudes of moon, sun, perigee, node and perihelion, and mean lunar time \[rad\].
///
/// `s = 218.3164477 + 481267.88123421 T - 0.0015786 T^2 + T^3/538841 - T^4/65194000` degrees, likewise h, p, N,
/// p'; `tau = 15 t + h - s` with T = Julian centuries since noon of 1 January 2000, t = hours since midnight UT.
/// # Source
/// \[meeus1998\] ch. 22, 25 and 47, from memory; checked against the arguments of 16 constituents at 6 dates
/// (`reference/tide/schureman1958_nodal.csv`, within 0.001 deg).
/// # Valid for
/// Source states centuries around 2000; the tide asks for 1900 to 2100 only. Universal time stands in for dynamical
/// time, as in the analyses from which constants come (one minute, 0.01 deg of the moon).
/// # Accuracy
/// 0.001 deg. Angles are not reduced to one turn.
/// # Example
/// At noon of 1 January 2000 each is the first coefficient of its polynomial:
/// ```
/// let at = wakewright_core::tide::astronomy::mean_longitudes_meeus1998(946_728_000.0);
/// assert!((at.moon_rad.to_degrees() - 218.3164477).abs() < 1e-9);
/// assert!((at.lunar_time_rad.to_degrees() - (180.0 + 280.46646 - 218.3164477)).abs() < 1e-9);
/// ```
#[must_use]
pub fn mean_longitudes_meeus1998(unix_s: f64) -> Longitudes {
    let t = (unix_s - J2000_UNIX_S) / CENTURY_S;
    let polynomial = |c: [f64; 5]| c.iter().rev().fold(0.0, |sum, k| sum * t + k).to_radians();
    let moon_rad =
        polynomial([218.316_447_7, 481_267.881_234_21, -0.001_578_6, 1.0 / 538_841.0, -1.0 / 65_194_000.0]);
    let sun_rad = polynomial([280.466_46, 36_000.769_83, 0.000_303_2, 0.0, 0.0]);
    let hours_rad = (unix_s.rem_euclid(86_400.0) / 240.0).to_radians();
    Longitudes {
        lunar_time_rad: hours_rad + sun_rad - moon_rad,
        moon_rad,
        sun_rad,
        perigee_rad: polynomial([
            83.353_246_5,
            4_069.013_728_7,
            -0.010_32,
            -1.0 / 80_053.0,
            1.0 / 18_999_000.0,
        ]),
        node_rad: polynomial([125.044_52, -1_934.136_261, 0.002_070_8, 1.0 / 450_000.0, 0.0]),
        perihelion_rad: polynomial([282.937_35, 1.719_54, 0.000_456_9, 0.0, 0.0]),
    }
}

impl Longitudes {
    /// The multiples `doodson` of lunar time, moon, sun, perigee, node taken backwards, perihelion, added up.
    #[must_use]
    pub fn combined_rad(&self, doodson: [i8; 6]) -> f64 {
        let parts = [
            self.lunar_time_rad,
            self.moon_rad,
            self.sun_rad,
            self.perigee_rad,
            -self.node_rad,
            self.perihelion_rad,
        ];
        parts.iter().zip(doodson).map(|(part, times)| part * f64::from(times)).sum()
    }
}
