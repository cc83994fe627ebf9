//! What a bank holds by a discharge at a steady current down to its cut-off, put right for temperature, rate, and where
//! it began and ended. Not for: discharges that follow a boat's day, impedance, pulses.

use thiserror::Error;

use crate::battery::Chemistry;
use crate::battery::peukert::current_that_takes;
use crate::constants::ZERO_CELSIUS_K;
use crate::spread::Interval;

/// How full a bank is, as somebody tells it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fullness {
    /// The charger said so.
    Full,
    /// Its cut-off opened.
    CutOff,
    /// A share that its management shows.
    Shown(f64),
    /// Volts after hours of rest \[V\].
    RestVolts(f64),
}

/// A discharge as it was made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CapacityTest {
    /// What the cells are.
    pub chemistry: Chemistry,
    /// Cells in series.
    pub cells: u32,
    /// What stands on the label \[C\].
    pub rated_coulomb: f64,
    /// Mean current out of the bank \[A\].
    pub current_a: f64,
    /// Half of the 80 % band of the current, as a share of it.
    pub current_error: f64,
    /// How long it flowed \[s\].
    pub flowed_s: f64,
    /// From the beginning to the end by the clock, where that is told \[s\].
    pub lasted_s: Option<f64>,
    /// Charge that a counter shows, where one does \[C\].
    pub counted_coulomb: Option<f64>,
    /// It was told that it broke off and went on.
    pub is_pause_told: bool,
    /// At the beginning.
    pub from: Fullness,
    /// At the end.
    pub to: Fullness,
    /// Of the cells \[K\].
    pub temperature_k: f64,
}

/// Why a test tells no capacity.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CapacityError {
    /// Below zero.
    #[error(
        "the current is {0:.1} A: out of the bank it counts above zero. If the meter sits the other way round write it without the sign; if it was a charge, a charge tells no capacity"
    )]
    WrongSign(f64),
    /// Nothing to reckon with.
    #[error("{0} must be above zero")]
    NotPositive(&'static str),
    /// By the clock or the counter.
    #[error(
        "by the clock it lasted {lasted_h:.2} h and current flowed for {flowed_h:.2} h: it broke off and went on. Cells recover meanwhile, lead above all; test again in one go, or tell the pause"
    )]
    BrokenOff {
        /// By the clock \[h\].
        lasted_h: f64,
        /// With current \[h\].
        flowed_h: f64,
    },
    /// Pause in lead.
    #[error(
        "lead recovers in a pause by as much as nobody knows: a test that broke off tells no capacity. Charge it full and test again in one go"
    )]
    LeadPaused,
    /// Counter and meter disagree.
    #[error(
        "{product_ah:.1} Ah by amps and hours, {counted_ah:.1} Ah by the counter: the current was not steady, or it broke off, or one of them is wrong. Say which is right by leaving the other out"
    )]
    CountDisagrees {
        /// By amps and hours \[Ah\].
        product_ah: f64,
        /// By the counter \[Ah\].
        counted_ah: f64,
    },
    /// Rest volts of a flat chemistry.
    #[error(
        "the rest volts of iron phosphate hardly change between 30 and 95 % and tell no charge: discharge to the cut-off, or give the share that its management shows"
    )]
    FlatVolts,
    /// Rest volts that no such bank has.
    #[error("{0:.2} V are no rest volts of this bank")]
    NoRestVolts(f64),
    /// Ends higher than it begins.
    #[error(
        "it ends no emptier than it began: a capacity needs at least a fifth of the bank, and better all of it"
    )]
    TooLittle,
    /// Nothing that such a bank can hold.
    #[error(
        "that makes {found_ah:.0} Ah where {rated_ah:.0} Ah stand on the label: a unit, the current or the capacity of the document is wrong"
    )]
    Impossible {
        /// What came out \[Ah\].
        found_ah: f64,
        /// Label \[Ah\].
        rated_ah: f64,
    },
    /// Too cold or too hot to correct.
    #[error("the cells were at {0:.0} °C; capacity is put right from -20 to 45 °C")]
    Temperature(f64),
}

/// What a test tells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacity {
    /// Charge that was taken out \[C\].
    pub taken_coulomb: f64,
    /// Charge from full to empty, at 25 °C and the rated rate \[C\].
    pub coulomb: Interval,
    /// The same over what stands on the label.
    pub share: Interval,
}

/// Volts of rest that tables of one lead battery and another differ by, for each cell \[V\]: half of the 0.3 V
/// for 12 V that collected tables differ by, four times in five.
const LEAD_REST_ERROR_V: f64 = 0.025;
/// The same of oxides.
const OXIDE_REST_ERROR_V: f64 = 0.015;
/// What a management system's share is wrong by, half of the 80 % band. Common practice, no source.
const SHOWN_ERROR: f64 = 0.04;
/// Kelvin by which the cells differ from where their temperature was read, half of the 80 % band. From memory.
const TEMPERATURE_ERROR_K: f64 = 2.0;
/// By how much batteries of a kind differ in what the cold takes, half of the 80 % band, as a share of that; two tests
/// of iron phosphate at -20 °C keep 0.44 and 0.55.
const COLD_ERROR: f64 = 0.25;
/// Current and counter may differ so much before one of them is wrong.
const COUNT_TOLERANCE: f64 = 0.05;
/// Clock and hours of current may differ so much before the current broke off.
const CLOCK_TOLERANCE: f64 = 0.02;
/// Less of the bank than this tells nothing of the rest.
const LEAST_SHARE: f64 = 0.2;

/// The capacity that a discharge tells.
///
/// Lithium: `C = I t / (f (s_0 - s_1))`; lead: `C = I H (t / (H f (s_0 - s_1)))^(1/k)` where that is faster than the
/// rated rate `H`; `f` what the temperature leaves. A full bank lacks 1.6 % (lead 2.4 %), a cut-off leaves 0.8 %, and
/// at a high rate what the sag hides. The band holds meter, both ends, temperature and what the cold takes, and the
/// exponent, each taken to the first order.
/// # Source
/// Charge balance; Peukert's law with the hour rating \[peukert2020\]; temperature \[lfpcold2024\] \[nrel2002\], lead
/// from memory; both ends common practice, no source.
/// # Valid for
/// One steady current, in one go, cells at 5 to 35 °C for the best of it.
/// # Errors
/// [`CapacityError`].
/// # Example
/// By hand: 20 A for 5 h out of iron phosphate at 25 °C are 100 Ah, over 0.984 - 0.008 of it 102.5 Ah.
/// ```
/// # use wakewright_core::battery::Chemistry;
/// # use wakewright_core::upkeep::{CapacityTest, Fullness, capacity};
/// let test = CapacityTest {
///     chemistry: Chemistry::Lfp, cells: 16, rated_coulomb: 378_000.0, current_a: 20.0, current_error: 0.01,
///     flowed_s: 18_000.0, lasted_s: None, counted_coulomb: None, is_pause_told: false, from: Fullness::Full,
///     to: Fullness::CutOff, temperature_k: 298.15,
/// };
/// assert!((capacity(&test).unwrap().coulomb.value / 3600.0 - 102.5).abs() < 0.3);
/// ```
pub fn capacity(test: &CapacityTest) -> Result<Capacity, CapacityError> {
    let taken_coulomb = checked(test)?;
    let (from, from_error) = fullness(test, test.from)?;
    let (to, to_error) = fullness(test, test.to)?;
    let share = from - to;
    if share < LEAST_SHARE {
        return Err(CapacityError::TooLittle);
    }
    let left = test.chemistry.capacity_factor(test.temperature_k);
    let slope_per_k = (test.chemistry.capacity_factor(test.temperature_k + 1.0)
        - test.chemistry.capacity_factor(test.temperature_k - 1.0))
        / 2.0;
    // What would be taken out at this rate by a whole discharge at 25 °C.
    let whole_coulomb = taken_coulomb / (left * share);
    let exponent = test.chemistry.peukert_exponent();
    let rating_s = test.chemistry.rating_s();
    let over_rated = test.current_a * rating_s / whole_coulomb;
    let (coulomb, power, exponent_error) = if over_rated > 1.0 && exponent.median > 1.0 {
        // C (I H / C)^(1 - k) = whole charge, so that C = (whole (I H)^(k - 1))^(1 / k).
        let k = exponent.median;
        let found = whole_coulomb * over_rated.powf((k - 1.0) / k);
        debug_assert!(current_that_takes(found, rating_s, test.current_a, k) <= test.current_a);
        let half = (exponent.p90 - exponent.p10) / 2.0;
        (found, 1.0 / k, over_rated.ln() / (k * k) * half)
    } else {
        (whole_coulomb, 1.0, 0.0)
    };
    let cold = (COLD_ERROR * (1.0 - left) / left).hypot(TEMPERATURE_ERROR_K * slope_per_k / left);
    let errors = [
        test.current_error,
        power * from_error / share,
        power * to_error / share,
        power * cold,
        exponent_error,
    ];
    let half = errors.iter().map(|error| error * error).sum::<f64>().sqrt();
    let found_ah = coulomb / 3600.0;
    let rated_ah = test.rated_coulomb / 3600.0;
    if !(0.1..=1.5).contains(&(found_ah / rated_ah)) {
        return Err(CapacityError::Impossible { found_ah, rated_ah });
    }
    let coulomb = Interval { value: coulomb, p10: coulomb * (-half).exp(), p90: coulomb * half.exp() };
    Ok(Capacity { taken_coulomb, coulomb, share: coulomb.scaled(1.0 / test.rated_coulomb) })
}

/// The charge that flowed, after everything that can be wrong with it.
fn checked(test: &CapacityTest) -> Result<f64, CapacityError> {
    if test.current_a < 0.0 {
        return Err(CapacityError::WrongSign(test.current_a));
    }
    for (value, what) in [
        (test.current_a, "the current"),
        (test.flowed_s, "the time"),
        (test.rated_coulomb, "the rated capacity"),
    ] {
        if !(value > 0.0 && value.is_finite()) {
            return Err(CapacityError::NotPositive(what));
        }
    }
    let celsius = test.temperature_k - ZERO_CELSIUS_K;
    if !(-20.0..=45.0).contains(&celsius) {
        return Err(CapacityError::Temperature(celsius));
    }
    if let Some(lasted_s) = test.lasted_s.filter(|lasted| *lasted > test.flowed_s * (1.0 + CLOCK_TOLERANCE))
        && !test.is_pause_told
    {
        let (lasted_h, flowed_h) = (lasted_s / 3600.0, test.flowed_s / 3600.0);
        return Err(CapacityError::BrokenOff { lasted_h, flowed_h });
    }
    if test.is_pause_told && test.chemistry.is_lead() {
        return Err(CapacityError::LeadPaused);
    }
    let product = test.current_a * test.flowed_s;
    match test.counted_coulomb {
        Some(counted) if (counted / product - 1.0).abs() > COUNT_TOLERANCE => {
            Err(CapacityError::CountDisagrees { product_ah: product / 3600.0, counted_ah: counted / 3600.0 })
        }
        Some(counted) => Ok(counted),
        None => Ok(product),
    }
}

/// How full, and half of its 80 % band.
fn fullness(test: &CapacityTest, told: Fullness) -> Result<(f64, f64), CapacityError> {
    let lead = test.chemistry.is_lead();
    match told {
        // The mean and spread of what lacks, as often as not less than it: half of a normal of 2 and 3 %.
        Fullness::Full if lead => Ok((0.976, 0.023)),
        Fullness::Full => Ok((0.984, 0.015)),
        Fullness::CutOff => {
            let cell_ohm = test.chemistry.one_hour_drop_v() * 3600.0 / test.rated_coulomb;
            let hidden = hidden_by_sag(test.chemistry, test.current_a * cell_ohm);
            Ok((0.0075 + hidden, 0.0055 + 0.5 * hidden))
        }
        Fullness::Shown(share) => Ok((share, SHOWN_ERROR)),
        Fullness::RestVolts(_) if test.chemistry == Chemistry::Lfp => Err(CapacityError::FlatVolts),
        Fullness::RestVolts(volts) => {
            let of_cell = volts / f64::from(test.cells);
            let error_v = if lead { LEAD_REST_ERROR_V } else { OXIDE_REST_ERROR_V };
            let ends = (test.chemistry.open_circuit_v(0.0), test.chemistry.open_circuit_v(1.0));
            if of_cell < ends.0 - error_v || of_cell > ends.1 + 2.0 * error_v {
                return Err(CapacityError::NoRestVolts(volts));
            }
            let share = share_at(test.chemistry, of_cell);
            let (low, high) =
                (share_at(test.chemistry, of_cell - error_v), share_at(test.chemistry, of_cell + error_v));
            Ok((share, 0.5 * (high - low)))
        }
    }
}

/// Share of charge at which a rested cell has these volts.
fn share_at(chemistry: Chemistry, volts: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if chemistry.open_circuit_v(middle) < volts { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Share that a lithium cell still holds when the sag of this load brings it to its lowest volts; Peukert's exponent
/// has it for lead.
fn hidden_by_sag(chemistry: Chemistry, drop_v: f64) -> f64 {
    if chemistry.is_lead() {
        return 0.0;
    }
    let lowest = chemistry.window().lowest_v;
    share_at(chemistry, lowest + drop_v * chemistry.resistance_factor_low(0.0)) - share_at(chemistry, lowest)
}
