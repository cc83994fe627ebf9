//! The height of the ground from landings of hers: where the water stood as she touched.

/// The ground as her landings found it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Landed {
    /// Height above the datum of the same predictions \[m\].
    pub ground_m: f64,
    /// Standard deviation \[m\].
    pub sd_m: f64,
}

/// The ground from heights of the tide as she touched and her draught then, one landing a day.
///
/// `g = mean(h - d)`, `s = sqrt(w^2/n + e^2)` with w the weather's and e the draught's standard deviation: weather of
/// different days is taken as independent, the draught's error as the same in all.
/// # Source
/// Mean of independent errors.
/// # Valid for
/// The same predictions as those that it is used with: an error of their mean is in both and cancels. Landings of one
/// day count as one.
/// # Accuracy
/// That of the stated errors.
/// # Errors
/// None without a landing.
/// # Example
/// Two landings, 3.40 m and 3.50 m with 1.60 m: 1.85 m, and 0.15 m of weather leaves 0.106 m:
/// ```
/// use wakewright_core::drying_out::landing::ground_found;
/// let found = ground_found(&[(3.40, 1.60), (3.50, 1.60)], 0.15, 0.0).unwrap();
/// assert!((found.ground_m - 1.85).abs() < 1e-9 && (found.sd_m - 0.1061).abs() < 1e-4);
/// ```
#[must_use]
pub fn ground_found(landings: &[(f64, f64)], weather_sd_m: f64, draught_sd_m: f64) -> Option<Landed> {
    let count = landings.len() as f64;
    let whole: f64 = landings.iter().map(|(height_m, draught_m)| height_m - draught_m).sum();
    (count > 0.0)
        .then(|| Landed { ground_m: whole / count, sd_m: (weather_sd_m / count.sqrt()).hypot(draught_sd_m) })
}
