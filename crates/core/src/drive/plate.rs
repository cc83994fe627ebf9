//! A motor from what its name plate gives; what is missing is estimated and said.
//! Not for: evaluating the motor (`motor`), fitting it to a measured map (`loss_fit`).

use std::f64::consts::TAU;

use super::heat::{Cooling, HeatPath, Losses, Temperatures};
use super::motor::{COPPER_COEFFICIENT_1_K, FieldWeakening, Motor, NDFEB_FLUX_COEFFICIENT_1_K, REFERENCE_K};
use super::{DriveError, Impossible, positive, within};
use crate::notice::{Noted, Notice, push_once};

/// Efficiency of a motor alone at its continuous rating when the plate is silent. The best points of
/// the measured maps of motor with controller are 0.89 to 0.90 \[mauracher1996\], \[vdi1999\]; the
/// controller takes about 0.03 of that.
pub const DEFAULT_RATED_EFFICIENCY: f64 = 0.91;

/// Share of the rated loss that arises in iron and bearings when nothing tells them apart.
/// Judgement: copper prevails at the continuous rating of an air-cooled machine.
pub const DEFAULT_IRON_SHARE: f64 = 0.35;

/// Torque at which a machine is most efficient, over its continuous torque, when nothing tells.
/// Judgement.
pub const PEAK_EFFICIENCY_TORQUE_SHARE: f64 = 0.65;

/// Share of the drag torque at the no-load test that does not change with speed (hysteresis,
/// bearings); the rest grows with it (eddy currents). Judgement: the two are of one size near
/// rated speed.
pub const CONSTANT_DRAG_SHARE: f64 = 0.5;

/// Winding limit when the plate is silent: 155 °C, insulation class F \[iec60085-2007\].
pub const DEFAULT_WINDING_LIMIT_K: f64 = 428.15;

/// Ambient of the rating when the plate is silent: 40 °C, the usual rating condition
/// \[iec60034-1\].
pub const DEFAULT_RATING_AMBIENT_K: f64 = 313.15;

/// Continuous torque per mass when the mass is unknown \[N·m/kg\]. The three drives of the measured
/// maps have 1.1 to 1.8, controller partly included.
pub const TORQUE_PER_MASS_N_M_KG: f64 = 1.5;

/// Winding temperature to which a stated peak efficiency refers: 60 °C. Judgement.
const PEAK_EFFICIENCY_WINDING_K: f64 = 333.15;

/// How far the magnets follow the winding above 20 °C. Judgement: the rotor sits near the case
/// temperature.
const MAGNETS_FOLLOW_WINDING: f64 = 0.6;

/// What a name plate or a data sheet gives. `None` is estimated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotorPlate {
    /// No-load speed per volt, direct-current scale \[rev/(s V)\].
    pub no_load_speed_rev_s_v: f64,
    /// Continuous shaft power \[W\].
    pub rated_power_w: f64,
    /// Speed at the continuous rating \[rev/s\].
    pub rated_speed_rev_s: f64,
    /// Short-time shaft power \[W\].
    pub peak_power_w: Option<f64>,
    /// How long it gives that from cold \[s\].
    pub peak_time_s: Option<f64>,
    /// Terminal resistance at 20 °C, direct-current scale \[ohm\]: for a three-phase machine the
    /// value between two terminals.
    pub resistance_ohm: Option<f64>,
    /// Leads between controller and motor, warm, two of three \[ohm\]; 0 where none are told.
    pub leads_ohm: f64,
    /// No-load current near rated speed \[A\].
    pub no_load_current_a: Option<f64>,
    /// Efficiency of the motor alone at the continuous rating.
    pub rated_efficiency: Option<f64>,
    /// Best efficiency of the motor alone.
    pub peak_efficiency: Option<f64>,
    /// Mass \[kg\].
    pub mass_kg: Option<f64>,
    /// Hottest winding allowed \[K\].
    pub winding_limit_k: Option<f64>,
    /// Ambient for which the continuous rating holds \[K\].
    pub rating_ambient_k: Option<f64>,
    /// Relative change of the magnets' flux per kelvin of magnet temperature, negative.
    pub flux_coefficient_1_k: Option<f64>,
    /// Share of the rated loss that arises in iron and bearings where neither no-load current nor efficiency tells.
    pub iron_share: f64,
    /// How it is cooled.
    pub cooling: Cooling,
    /// Ability to run above base speed.
    pub field_weakening: Option<FieldWeakening>,
}

impl MotorPlate {
    /// Torque at the rated power and speed \[N·m\].
    #[must_use]
    pub fn rated_torque_n_m(&self) -> f64 {
        self.rated_power_w / (std::f64::consts::TAU * self.rated_speed_rev_s)
    }

    /// A plate with the three figures that every data sheet has.
    #[must_use]
    pub fn minimal(no_load_speed_rev_s_v: f64, rated_power_w: f64, rated_speed_rev_s: f64) -> Self {
        Self {
            no_load_speed_rev_s_v,
            rated_power_w,
            rated_speed_rev_s,
            peak_power_w: None,
            peak_time_s: None,
            resistance_ohm: None,
            leads_ohm: 0.0,
            no_load_current_a: None,
            rated_efficiency: None,
            peak_efficiency: None,
            mass_kg: None,
            winding_limit_k: None,
            rating_ambient_k: None,
            flux_coefficient_1_k: None,
            iron_share: DEFAULT_IRON_SHARE,
            cooling: Cooling::AirNatural,
            field_weakening: None,
        }
    }

    /// The motor behind the plate.
    ///
    /// Resistance and no-load current are taken where given. What is missing follows from the
    /// loss at the rated point, with the winding at its limit, or from the condition of best
    /// efficiency (copper loss equals iron loss) where only that efficiency is stated.
    /// # Source
    /// Equivalent circuit of [`Motor::at`] solved for its parameters; defaults as documented at
    /// each constant.
    /// # Accuracy
    /// With resistance and no-load current given, that of the circuit. With neither, the split of
    /// the loss is a guess: efficiency at part load within about 3 points.
    /// # Errors
    /// [`DriveError::Impossible`] for a figure that can't be;
    /// [`DriveError::PlateContradictsItself`] when one loss exceeds the total.
    /// # Example
    /// By hand: one turn a second for each volt is 1 / 2 pi = 0.159 N m/A; 10 kW at 30 turns a second are 53.05 N m.
    /// ```
    /// # use wakewright_core::drive::MotorPlate;
    /// let motor = MotorPlate::minimal(1.0, 10_000.0, 30.0).motor().unwrap().value;
    /// assert!((motor.torque_constant_n_m_a - 0.1592).abs() < 5e-5);
    /// assert!((motor.rated_torque_n_m() - 53.05).abs() < 0.005);
    /// ```
    pub fn motor(&self) -> Result<Noted<Motor>, DriveError> {
        let speed_per_volt = positive("no-load speed per volt", self.no_load_speed_rev_s_v)?;
        let rated_power_w = positive("rated power", self.rated_power_w)?;
        let rated_speed_rad_s = TAU * positive("rated speed", self.rated_speed_rev_s)?;
        for (quantity, value) in [
            ("motor resistance", self.resistance_ohm),
            ("no-load current", self.no_load_current_a),
            ("motor mass", self.mass_kg),
            ("peak power", self.peak_power_w),
            ("time at peak power", self.peak_time_s),
        ] {
            value.map_or(Ok(0.0), |value| positive(quantity, value))?;
        }
        let mut notices = Vec::new();
        let winding_limit_k = self.winding_limit_k.unwrap_or(DEFAULT_WINDING_LIMIT_K);
        let rating_ambient_k = self.rating_ambient_k.unwrap_or(DEFAULT_RATING_AMBIENT_K);
        let rise_k = positive("winding limit above rating ambient", winding_limit_k - rating_ambient_k)?;

        let torque_constant_n_m_a = 1.0 / (TAU * speed_per_volt);
        let flux_coefficient_1_k =
            self.flux_coefficient_1_k.unwrap_or(NDFEB_FLUX_COEFFICIENT_1_K) * MAGNETS_FOLLOW_WINDING;
        let rated = RatedPoint {
            power_w: rated_power_w,
            omega_rad_s: rated_speed_rad_s,
            torque_constant_n_m_a,
            flux_coefficient_1_k,
            winding_limit_k,
        };
        let (resistance_ohm, iron_w) = self.resistance_and_iron(&rated, &mut notices)?;

        let drag_n_m = iron_w / rated_speed_rad_s;
        let current_a = rated.current_a(iron_w, winding_limit_k);
        let losses = Losses {
            winding_w: current_a * current_a * hot(resistance_ohm, winding_limit_k),
            case_w: iron_w,
        };
        let mass_kg = self.mass_kg.unwrap_or_else(|| {
            let mass = rated_power_w / rated_speed_rad_s / TORQUE_PER_MASS_N_M_KG;
            note(&mut notices, "motor mass", mass, "kg", "1.5 N·m of continuous torque per kg");
            mass
        });
        let mut motor = Motor {
            torque_constant_n_m_a,
            resistance_ohm,
            leads_ohm: self.leads_ohm,
            drag_constant_n_m: CONSTANT_DRAG_SHARE * drag_n_m,
            drag_per_rad_s: (1.0 - CONSTANT_DRAG_SHARE) * drag_n_m / rated_speed_rad_s,
            flux_coefficient_1_k,
            heat: HeatPath::from_rating(losses, rise_k, mass_kg, self.cooling),
            winding_limit_k,
            rated_power_w,
            rated_speed_rad_s,
            peak_power_w: self.peak_power_w,
            mass_kg,
            field_weakening: self.field_weakening,
        };
        if let (Some(peak_w), Some(peak_s)) = (self.peak_power_w, self.peak_time_s) {
            let torque_n_m = peak_w / rated_speed_rad_s;
            let cold = Temperatures::cold(rating_ambient_k);
            // The times of a path go with its capacities. A peak at which the winding never gets too hot tells nothing.
            if let Some(found_s) =
                motor.time_to_limit_s(rated_speed_rad_s, torque_n_m, cold, rating_ambient_k)
            {
                motor.heat.winding_j_k *= peak_s / found_s;
                motor.heat.case_j_k *= peak_s / found_s;
            }
        }
        Ok(Noted { value: motor, notices })
    }

    /// Resistance at 20 °C \[ohm\] and iron loss at rated speed \[W\], given or estimated.
    fn resistance_and_iron(
        &self,
        rated: &RatedPoint,
        notices: &mut Vec<Notice>,
    ) -> Result<(f64, f64), DriveError> {
        let iron_given_w =
            self.no_load_current_a.map(|current| current * rated.torque_constant_n_m_a * rated.omega_rad_s);
        if let (Some(resistance), Some(iron_w)) = (self.resistance_ohm, iron_given_w) {
            return Ok((resistance, iron_w));
        }
        if let (Some(peak), None, None) = (self.peak_efficiency, self.rated_efficiency, self.resistance_ohm) {
            let (resistance, iron_w) = rated.at_peak_efficiency(fraction(peak)?, iron_given_w)?;
            note(notices, "motor resistance at 20 °C", resistance, "ohm", "the stated best efficiency");
            return Ok((resistance, iron_w));
        }
        let efficiency = match self.rated_efficiency {
            Some(stated) => fraction(stated)?,
            None => {
                let basis = "the best points of measured maps of such drives, less the controller";
                note(notices, "efficiency at the rated point", DEFAULT_RATED_EFFICIENCY, "", basis);
                DEFAULT_RATED_EFFICIENCY
            }
        };
        let total_w = rated.power_w * (1.0 / efficiency - 1.0);
        match (self.resistance_ohm, iron_given_w) {
            (Some(resistance), _) => {
                let iron_w = if self.rated_efficiency.is_some() {
                    rated.iron_from_total_w(resistance, total_w)?
                } else {
                    let current = rated.current_a(0.0, rated.winding_limit_k);
                    let copper_w = current * current * hot(resistance, rated.winding_limit_k);
                    copper_w * self.iron_share / (1.0 - self.iron_share)
                };
                note(
                    notices,
                    "iron and friction loss at rated speed",
                    iron_w,
                    "W",
                    "the loss at the rated point",
                );
                Ok((resistance, iron_w))
            }
            (None, iron_given_w) => {
                let iron_w = iron_given_w.unwrap_or(self.iron_share * total_w);
                if iron_w >= total_w {
                    let part = "the no-load loss";
                    return Err(contradiction(total_w, part, iron_w));
                }
                let current = rated.current_a(iron_w, rated.winding_limit_k);
                let resistance = (total_w - iron_w) / (current * current) / hot(1.0, rated.winding_limit_k);
                note(notices, "motor resistance at 20 °C", resistance, "ohm", "the loss at the rated point");
                Ok((resistance, iron_w))
            }
        }
    }
}

/// The continuous rating and what is known of the machine.
struct RatedPoint {
    power_w: f64,
    omega_rad_s: f64,
    torque_constant_n_m_a: f64,
    flux_coefficient_1_k: f64,
    winding_limit_k: f64,
}

impl RatedPoint {
    /// Back-EMF at rated speed \[V\].
    fn emf_v(&self, winding_k: f64) -> f64 {
        let flux = 1.0 + self.flux_coefficient_1_k * (winding_k - REFERENCE_K);
        self.torque_constant_n_m_a * self.omega_rad_s * flux
    }

    /// Current at rated power \[A\].
    fn current_a(&self, iron_w: f64, winding_k: f64) -> f64 {
        (self.power_w + iron_w) / self.emf_v(winding_k)
    }

    /// Iron loss left of a total: `R ((P + P_fe)/E)² + P_fe = P_total`.
    fn iron_from_total_w(&self, resistance_ohm: f64, total_w: f64) -> Result<f64, DriveError> {
        let emf = self.emf_v(self.winding_limit_k);
        let a = hot(resistance_ohm, self.winding_limit_k) / (emf * emf);
        let converted_w =
            2.0 * (self.power_w + total_w) / (1.0 + (1.0 + 4.0 * a * (self.power_w + total_w)).sqrt());
        let iron_w = converted_w - self.power_w;
        if iron_w <= 0.0 {
            return Err(contradiction(total_w, "the winding", a * self.power_w * self.power_w));
        }
        Ok(iron_w)
    }

    /// Resistance and iron loss from the best efficiency at rated speed, where copper loss equals
    /// iron loss.
    fn at_peak_efficiency(&self, peak: f64, iron_w: Option<f64>) -> Result<(f64, f64), DriveError> {
        let loss_over_power = 1.0 / peak - 1.0;
        let power_w = match iron_w {
            Some(iron_w) => 2.0 * iron_w / loss_over_power,
            None => PEAK_EFFICIENCY_TORQUE_SHARE * self.power_w,
        };
        let half_loss_w = 0.5 * power_w * loss_over_power;
        let current = (power_w + half_loss_w) / self.emf_v(PEAK_EFFICIENCY_WINDING_K);
        let resistance = half_loss_w / (current * current) / hot(1.0, PEAK_EFFICIENCY_WINDING_K);
        Ok((positive("motor resistance from best efficiency", resistance)?, half_loss_w))
    }
}

/// A resistance given at 20 °C, at `winding_k`.
fn hot(resistance_ohm: f64, winding_k: f64) -> f64 {
    resistance_ohm * (1.0 + COPPER_COEFFICIENT_1_K * (winding_k - REFERENCE_K))
}

fn contradiction(total_loss_w: f64, part: &'static str, part_loss_w: f64) -> DriveError {
    DriveError::PlateContradictsItself { total_loss_w, part, part_loss_w }
}

/// An efficiency, checked.
fn fraction(value: f64) -> Result<f64, Impossible> {
    within("motor efficiency", value, (0.3, 0.995), "")
}

fn note(
    notices: &mut Vec<Notice>,
    quantity: &'static str,
    value: f64,
    unit: &'static str,
    basis: &'static str,
) {
    let source = "common practice, no source";
    push_once(notices, Notice::Estimated { quantity, value, unit, basis, source });
}
