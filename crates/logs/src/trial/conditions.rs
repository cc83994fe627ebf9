//! What it was like that day: one descriptor for each thing that can be noted, and its reading.
//! Not for: what it does to the boat.

use wakewright_core::fouling::FoulingCondition;
use wakewright_units::factors::DEGREE_RAD;
use wakewright_units::factors::YEAR_S;
use wakewright_units::{Quantity, parse_quantity};

use super::document::TrialDocument;
use super::reading::TrialFault;
use crate::compass_point;
use crate::notebook::{doubt_of, with_unit};

/// How a condition is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ConditionKind {
    /// A quantity; the unit may be left out where this one is usual.
    Number(Quantity, &'static str),
    /// One of the states of a surface.
    Growth,
    /// A point of the compass or degrees.
    Direction,
    /// Yes or no.
    YesNo,
    /// A share, `80 %`.
    Percent,
}

/// A condition that can be noted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConditionField {
    /// For machines.
    pub word: &'static str,
    /// For people.
    pub label: &'static str,
    /// What to write.
    pub hint: &'static str,
    /// How it is written.
    pub kind: ConditionKind,
    /// What is possible, SI.
    pub range: (f64, f64),
}

const fn number(
    word: &'static str,
    label: &'static str,
    hint: &'static str,
    quantity: Quantity,
    unit: &'static str,
    range: (f64, f64),
) -> ConditionField {
    ConditionField { word, label, hint, kind: ConditionKind::Number(quantity, unit), range }
}

const fn other(
    word: &'static str,
    label: &'static str,
    hint: &'static str,
    kind: ConditionKind,
    range: (f64, f64),
) -> ConditionField {
    ConditionField { word, label, hint, kind, range }
}

/// Everything that can be noted, in the order in which a form asks for it.
pub const CONDITION_FIELDS: [ConditionField; 13] = [
    other("bottom", "Bottom", "what was seen on it", ConditionKind::Growth, (0.0, 0.0)),
    other("blades", "Blades", "what was seen on them", ConditionKind::Growth, (0.0, 0.0)),
    number(
        "months_since_cleaning",
        "Since she was last cleaned",
        "7 months",
        Quantity::Duration,
        "months",
        (0.0, 20.0 * YEAR_S),
    ),
    number(
        "displacement",
        "Displacement on the day",
        "5.6 t, with stores and crew",
        Quantity::Mass,
        "t",
        (50.0, 1.0e5),
    ),
    number("water_temperature", "Water", "14 °C", Quantity::Temperature, "°C", (268.15, 313.15)),
    number("wind", "Wind", "8 kn, true", Quantity::Speed, "kn", (0.0, 40.0)),
    other("wind_from", "Wind from", "SW, or 225", ConditionKind::Direction, (0.0, 6.3)),
    number("wave_height", "Waves", "0.2 m, crest to trough", Quantity::Length, "m", (0.0, 5.0)),
    number("depth", "Depth", "6 m, the least along the run", Quantity::Length, "m", (0.2, 1.0e4)),
    other("confined", "Canal or narrow channel", "yes or no", ConditionKind::YesNo, (0.0, 1.0)),
    other("state_of_charge", "Charge of the bank", "80 %", ConditionKind::Percent, (0.0, 1.0)),
    number("rest_voltage", "Bank at rest, before", "52.8 V", Quantity::Voltage, "V", (1.0, 1000.0)),
    number("air_temperature", "Air around the motor", "25 °C", Quantity::Temperature, "°C", (243.15, 343.15)),
];

/// What it was like, SI; `None` where nothing was noted or it cannot be read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conditions {
    /// Growth seen on the bottom.
    pub bottom: Option<FoulingCondition>,
    /// Growth seen on the blades.
    pub blades: Option<FoulingCondition>,
    /// Months since she was cleaned.
    pub months_since_cleaning: Option<f64>,
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
    /// Air around the motor \[K\].
    pub air_temperature_k: Option<f64>,
}

/// A state of growth in one word, as the boat document has it.
#[must_use]
pub fn condition_word(condition: FoulingCondition) -> &'static str {
    match condition {
        FoulingCondition::CleanPolished => "clean",
        FoulingCondition::AsApplied => "as applied",
        FoulingCondition::LightSlime => "light slime",
        FoulingCondition::HeavySlime => "heavy slime",
        FoulingCondition::SmallShellOrWeed => "small shell or weed",
        FoulingCondition::MediumShell => "medium shell",
        FoulingCondition::HeavyShell => "heavy shell",
    }
}

/// Reads what was noted; faults go to `faults`, the rest is used.
pub(super) fn read_conditions(document: &TrialDocument, faults: &mut Vec<TrialFault>) -> Conditions {
    let mut conditions = Conditions::default();
    for (word, text) in &document.conditions {
        let Some(field) = CONDITION_FIELDS.iter().find(|field| field.word == word) else {
            faults.push(TrialFault::of(word, "nothing of this name is noted about a trial".to_owned()));
            continue;
        };
        if let Some(doubt) = document.unsettled_about(word) {
            faults.push(TrialFault::of(word, doubt));
            continue;
        }
        if let Err(problem) = read_one(field, text.trim(), &mut conditions) {
            faults.push(TrialFault::of(word, problem));
        }
    }
    if conditions.true_wind_m_s.is_some_and(|wind| wind > 0.0) && conditions.wind_from_rad.is_none() {
        let problem = "where did the wind blow from? Without it the wind cannot be taken out".to_owned();
        faults.push(TrialFault::of("wind_from", problem));
    }
    conditions
}

fn read_one(field: &ConditionField, text: &str, into: &mut Conditions) -> Result<(), String> {
    match field.kind {
        ConditionKind::Growth => {
            let seen = FoulingCondition::ALL.into_iter().find(|seen| condition_word(*seen) == text);
            let seen = seen.or_else(|| FoulingCondition::from_nstm_rating(text.parse().ok()?));
            let words = FoulingCondition::ALL.map(condition_word).join(", ");
            let seen =
                seen.ok_or_else(|| format!("{text:?} is no state; one of {words}, or a rating of 0 to 100"))?;
            *(if field.word == "bottom" { &mut into.bottom } else { &mut into.blades }) = Some(seen);
        }
        ConditionKind::Direction => {
            let degrees =
                text.trim_end_matches(['°', 't', ' ']).parse().ok().filter(|d| (0.0..=360.0).contains(d));
            let direction = compass_point(text).or(degrees.map(|d: f64| d * DEGREE_RAD));
            let problem = || format!("{text:?} is no direction; write SW, or degrees 0 to 360");
            into.wind_from_rad = Some(direction.ok_or_else(problem)?);
        }
        ConditionKind::YesNo => {
            into.is_confined = match text.to_lowercase().as_str() {
                "yes" | "y" | "true" => true,
                "no" | "n" | "false" => false,
                _ => return Err(format!("{text:?}: write yes or no")),
            };
        }
        ConditionKind::Percent => {
            let bare = text.trim_end_matches('%').trim().replace(',', ".");
            let share = bare
                .parse::<f64>()
                .ok()
                .map(|value| if text.ends_with('%') || value > 1.0 { value / 100.0 } else { value });
            let share = share.filter(|share| (0.0..=1.0).contains(share));
            into.state_of_charge = Some(share.ok_or_else(|| format!("{text:?} is no share; write 80 %"))?);
        }
        ConditionKind::Number(quantity, unit) => {
            let value = read_number(text, quantity, unit)?;
            let (low, high) = field.range;
            if !(low..=high).contains(&value) {
                return Err(format!("{text} cannot be; write it like {}", field.hint));
            }
            let slot = match field.word {
                "months_since_cleaning" => {
                    into.months_since_cleaning = Some(12.0 * value / YEAR_S);
                    return Ok(());
                }
                "displacement" => &mut into.displacement_kg,
                "water_temperature" => &mut into.water_temperature_k,
                "wind" => &mut into.true_wind_m_s,
                "wave_height" => &mut into.wave_height_m,
                "depth" => &mut into.depth_m,
                "rest_voltage" => &mut into.rest_voltage_v,
                _ => &mut into.air_temperature_k,
            };
            *slot = Some(value);
            // The value stays what it was; that it could mean another is said.
            return doubt_of(text, quantity, unit, Some(field.range)).map_or(Ok(()), Err);
        }
    }
    Ok(())
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
