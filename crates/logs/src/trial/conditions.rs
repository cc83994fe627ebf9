//! What it was like that day: one descriptor for each thing that can be noted, and its reading.
//! Not for: what it does to the boat.

use wakewright_core::fouling::FoulingCondition;
use wakewright_units::factors::DEGREE_RAD;
use wakewright_units::factors::{HOUR_S, YEAR_S};
use wakewright_units::{Quantity, parse_quantity};

use super::address::TrialAddress;
use super::document::TrialDocument;
use super::reading::TrialFault;
use crate::compass_point;
use crate::notebook::{doubt_of, with_unit};

/// Where a value that was noted goes.
pub type Slot<T> = fn(&mut Conditions) -> &mut T;

/// How a condition is written, and where it goes.
#[derive(Debug, Clone, Copy)]
pub enum ConditionKind {
    /// A quantity.
    Number {
        /// Of what.
        quantity: Quantity,
        /// The unit that may be left out.
        unit: &'static str,
        /// What is possible, SI.
        range: (f64, f64),
        /// Where it goes, SI.
        slot: Slot<Option<f64>>,
    },
    /// One of the states of a surface.
    Growth(Slot<Option<FoulingCondition>>),
    /// A point of the compass or degrees.
    Direction(Slot<Option<f64>>),
    /// [`YES`] or [`NO`].
    YesNo(Slot<bool>),
    /// A share, `80 %`.
    Percent(Slot<Option<f64>>),
}

/// What is written where it was so.
pub const YES: &str = "yes";
/// What is written where it was not.
pub const NO: &str = "no";

/// What is known of a condition.
#[derive(Debug, Clone, Copy)]
pub struct ConditionField {
    /// For people.
    pub label: &'static str,
    /// What to write.
    pub hint: &'static str,
    /// How it is written.
    pub kind: ConditionKind,
}

worded! {
    /// A condition that can be noted.
    Condition {
        Bottom = "bottom", "Bottom.";
        Blades = "blades", "Blades.";
        MonthsSinceCleaning = "months_since_cleaning", "Since she was last cleaned.";
        Displacement = "displacement", "Displacement on the day.";
        WaterTemperature = "water_temperature", "Water.";
        Wind = "wind", "Wind.";
        WindFrom = "wind_from", "Wind from.";
        WaveHeight = "wave_height", "Waves.";
        Depth = "depth", "Depth.";
        Confined = "confined", "Canal or narrow channel.";
        StateOfCharge = "state_of_charge", "Charge of the bank.";
        UsedCharge = "used_charge", "Amp-hours out of it since it was full.";
        RestVoltage = "rest_voltage", "Bank at rest, before.";
        AirTemperature = "air_temperature", "Air around the motor.";
    }
}

impl Condition {
    /// How it is asked for and written.
    #[must_use]
    pub fn field(self) -> ConditionField {
        let (label, hint, kind) = match self {
            Self::Bottom => ("Bottom", "what was seen on it", ConditionKind::Growth(|c| &mut c.bottom)),
            Self::Blades => ("Blades", "what was seen on them", ConditionKind::Growth(|c| &mut c.blades)),
            Self::MonthsSinceCleaning => (
                "Since she was last cleaned",
                "7 months",
                ConditionKind::Number {
                    quantity: Quantity::Duration,
                    unit: "months",
                    range: (0.0, 20.0 * YEAR_S),
                    slot: |c| &mut c.since_cleaning_s,
                },
            ),
            Self::Displacement => (
                "Displacement on the day",
                "5.6 t, with stores and crew",
                ConditionKind::Number {
                    quantity: Quantity::Mass,
                    unit: "t",
                    range: (50.0, 1.0e5),
                    slot: |c| &mut c.displacement_kg,
                },
            ),
            Self::WaterTemperature => (
                "Water",
                "14 °C",
                ConditionKind::Number {
                    quantity: Quantity::Temperature,
                    unit: "°C",
                    range: (268.15, 313.15),
                    slot: |c| &mut c.water_temperature_k,
                },
            ),
            Self::Wind => (
                "Wind",
                "8 kn, true",
                ConditionKind::Number {
                    quantity: Quantity::Speed,
                    unit: "kn",
                    range: (0.0, 40.0),
                    slot: |c| &mut c.true_wind_m_s,
                },
            ),
            Self::WindFrom => ("Wind from", "SW, or 225", ConditionKind::Direction(|c| &mut c.wind_from_rad)),
            Self::WaveHeight => (
                "Waves",
                "0.2 m, crest to trough",
                ConditionKind::Number {
                    quantity: Quantity::Length,
                    unit: "m",
                    range: (0.0, 5.0),
                    slot: |c| &mut c.wave_height_m,
                },
            ),
            Self::Depth => (
                "Depth",
                "6 m, the least along the run",
                ConditionKind::Number {
                    quantity: Quantity::Length,
                    unit: "m",
                    range: (0.2, 1.0e4),
                    slot: |c| &mut c.depth_m,
                },
            ),
            Self::Confined => {
                ("Canal or narrow channel", "yes or no", ConditionKind::YesNo(|c| &mut c.is_confined))
            }
            Self::StateOfCharge => {
                ("Charge of the bank", "80 %", ConditionKind::Percent(|c| &mut c.state_of_charge))
            }
            Self::UsedCharge => (
                "Amp-hours used since full",
                "45 Ah, as the shunt counts them",
                ConditionKind::Number {
                    quantity: Quantity::Charge,
                    unit: "Ah",
                    range: (0.0, 5000.0 * HOUR_S),
                    slot: |c| &mut c.used_charge_c,
                },
            ),
            Self::RestVoltage => (
                "Bank at rest, before",
                "52.8 V",
                ConditionKind::Number {
                    quantity: Quantity::Voltage,
                    unit: "V",
                    range: (1.0, 1000.0),
                    slot: |c| &mut c.rest_voltage_v,
                },
            ),
            Self::AirTemperature => (
                "Air around the motor",
                "25 °C",
                ConditionKind::Number {
                    quantity: Quantity::Temperature,
                    unit: "°C",
                    range: (243.15, 343.15),
                    slot: |c| &mut c.air_temperature_k,
                },
            ),
        };
        ConditionField { label, hint, kind }
    }
}

/// What it was like, SI; `None` where nothing was noted or it cannot be read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conditions {
    /// Growth seen on the bottom.
    pub bottom: Option<FoulingCondition>,
    /// Growth seen on the blades.
    pub blades: Option<FoulingCondition>,
    /// Since she was cleaned \[s\].
    pub since_cleaning_s: Option<f64>,
    /// Displacement on the day \[kg\].
    pub displacement_kg: Option<f64>,
    /// Water \[K\].
    pub water_temperature_k: Option<f64>,
    /// True wind \[m/s\].
    pub true_wind_m_s: Option<f64>,
    /// Where it blows from \[rad\].
    pub wind_from_rad: Option<f64>,
    /// Waves, crest to trough \[m\].
    pub wave_height_m: Option<f64>,
    /// Least depth \[m\].
    pub depth_m: Option<f64>,
    /// Made in a canal or a narrow channel.
    pub is_confined: bool,
    /// Charge, 0 to 1.
    pub state_of_charge: Option<f64>,
    /// Voltage of the bank at rest \[V\].
    pub rest_voltage_v: Option<f64>,
    /// Charge out of the bank since it was full \[C\].
    pub used_charge_c: Option<f64>,
    /// Air around the motor \[K\].
    pub air_temperature_k: Option<f64>,
}

/// Reads what was noted; faults go to `faults`, the rest is used.
pub(super) fn read_conditions(document: &TrialDocument, faults: &mut Vec<TrialFault>) -> Conditions {
    let mut conditions = Conditions::default();
    for (word, text) in &document.conditions {
        let mut fault = |problem| faults.push(TrialFault { field: word.clone(), problem });
        let Some(condition) = Condition::of_word(word) else {
            fault("nothing of this name is noted about a trial".to_owned());
            continue;
        };
        if let Some(doubt) = document.unsettled_about(&TrialAddress::Condition(condition)) {
            fault(doubt);
            continue;
        }
        if let Err(problem) = read_one(condition.field(), text.trim(), &mut conditions) {
            fault(problem);
        }
    }
    if conditions.true_wind_m_s.is_some_and(|wind| wind > 0.0) && conditions.wind_from_rad.is_none() {
        let problem = "where did the wind blow from? Without it the wind cannot be taken out".to_owned();
        faults.push(TrialFault::of(&TrialAddress::Condition(Condition::WindFrom), problem));
    }
    conditions
}

fn read_one(field: ConditionField, text: &str, into: &mut Conditions) -> Result<(), String> {
    match field.kind {
        ConditionKind::Growth(slot) => {
            let seen = FoulingCondition::of_word(text);
            let seen = seen.or_else(|| FoulingCondition::from_nstm_rating(text.parse().ok()?));
            let words = FoulingCondition::ALL.map(FoulingCondition::word).join(", ");
            let seen =
                seen.ok_or_else(|| format!("{text:?} is no state; one of {words}, or a rating of 0 to 100"))?;
            *slot(into) = Some(seen);
        }
        ConditionKind::Direction(slot) => {
            let degrees =
                text.trim_end_matches(['°', 't', ' ']).parse().ok().filter(|d| (0.0..=360.0).contains(d));
            let direction = compass_point(text).or(degrees.map(|d: f64| d * DEGREE_RAD));
            let problem = || format!("{text:?} is no direction; write SW, or degrees 0 to 360");
            *slot(into) = Some(direction.ok_or_else(problem)?);
        }
        ConditionKind::YesNo(slot) => {
            *slot(into) = yes_or_no(text).ok_or_else(|| format!("{text:?}: write {YES} or {NO}"))?;
        }
        ConditionKind::Percent(slot) => {
            let bare = text.trim_end_matches('%').trim().replace(',', ".");
            let share = bare
                .parse::<f64>()
                .ok()
                .map(|value| if text.ends_with('%') || value > 1.0 { value / 100.0 } else { value });
            let share = share.filter(|share| (0.0..=1.0).contains(share));
            *slot(into) = Some(share.ok_or_else(|| format!("{text:?} is no share; write 80 %"))?);
        }
        ConditionKind::Number { quantity, unit, range: (low, high), slot } => {
            let value = read_number(text, quantity, unit)?;
            if !(low..=high).contains(&value) {
                return Err(format!("{text} cannot be; write it like {}", field.hint));
            }
            *slot(into) = Some(value);
            // The value stays what it was; that it could mean another is said.
            return doubt_of(text, quantity, unit, Some((low, high))).map_or(Ok(()), Err);
        }
    }
    Ok(())
}

/// Yes or no, as it is written; none where it is neither.
pub(super) fn yes_or_no(text: &str) -> Option<bool> {
    match text.trim().to_lowercase().as_str() {
        YES | "y" | "true" | "on" => Some(true),
        NO | "n" | "false" | "off" => Some(false),
        _ => None,
    }
}

/// A quantity, its usual unit added where only a number stands.
pub(super) fn read_number(text: &str, quantity: Quantity, usual: &str) -> Result<f64, String> {
    let is_bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | ' '));
    let months = text.strip_suffix("months").or_else(|| text.strip_suffix("month"));
    let months = months.or((is_bare && usual == "months").then_some(text));
    if let Some(count) = months.filter(|_| usual == "months") {
        let count: Option<f64> = count.trim().replace(',', ".").parse().ok();
        return count
            .map(|count| count * YEAR_S / 12.0)
            .ok_or_else(|| format!("{text:?} is no number of months"));
    }
    parse_quantity(&with_unit(text, usual), quantity)
        .map_err(|error| format!("{}; {}", error.problem(), error.advice()))
}
