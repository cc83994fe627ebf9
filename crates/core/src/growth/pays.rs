//! After how many months a scrub has paid for itself. Not for: what growth costs.

/// Longest time between scrubs that is looked at \[months\].
pub(super) const MOST_MONTHS: f64 = 60.0;
const STEP_MONTHS: f64 = 0.1;

/// Months from scrub to scrub at which scrubs and what growth takes cost least together; `None` where that is beyond five
/// years.
///
/// The least of `(S + integral of p) / T`, which lies where `T p(T) - integral of p = S`; `S` energy that costs as much as
/// a scrub \[J\], `p` what growth takes in a month \[J\], so many months after the last.
/// # Source
/// Economic life of what wears out and is renewed; textbook.
/// # Valid for
/// Growth that begins anew with each scrub and never falls meanwhile.
/// # Example
/// By hand: where it rises by 2 MJ a month each month, `T² 2 / 2 = S`, so that a scrub for 36 MJ is worth it every 6 months.
/// ```
/// # use wakewright_core::growth::scrub_interval;
/// assert!((scrub_interval(36.0e6, |months| 2.0e6 * months).unwrap() - 6.0).abs() < 0.11);
/// assert!(scrub_interval(1.0e12, |months| 2.0e6 * months).is_none());
/// ```
#[must_use]
pub fn scrub_interval(scrub_j: f64, taken_j: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut sum_j, mut before_j) = (0.0, taken_j(0.0));
    (1..=(MOST_MONTHS / STEP_MONTHS) as u32).map(|step| STEP_MONTHS * f64::from(step)).find(|months| {
        let now_j = taken_j(*months);
        sum_j += 0.5 * (before_j + now_j) * STEP_MONTHS;
        before_j = now_j;
        months * now_j - sum_j >= scrub_j
    })
}
