//! Runs typed in by hand from a page of a notebook. Not for: logs.

use wakewright_core::trial::Run;
use wakewright_units::factors::DEGREE_RAD;
use wakewright_units::{Quantity, parse_quantity};

use super::clock::parse_time_of_day;

/// Between runs whose times were not written down \[s\]: only the order is known then.
const SUPPOSED_STEP_S: f64 = 600.0;

/// One row as typed; empty where nothing was measured. Units may be left out where one is usual.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct NotebookRow {
    /// Time of day, `14:05`.
    pub time: String,
    /// `out` or `back`, a point of the compass, or degrees true.
    pub direction: String,
    /// Speed of the shaft, rpm.
    pub rpm: String,
    /// Voltage under load.
    pub volts: String,
    /// Current.
    pub amps: String,
    /// Power, where a meter shows it.
    pub power: String,
    /// Speed over ground, kn.
    pub speed_over_ground: String,
    /// Speed through the water, kn.
    pub speed_through_water: String,
    /// Anything.
    pub note: String,
}

/// What is wrong with a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotebookFault {
    /// Row, from 0.
    pub row: usize,
    /// Which cell.
    pub field: &'static str,
    /// What is wrong and what to do.
    pub problem: String,
}

/// Runs of the rows, or every fault in them. Rows in which nothing stands are passed over.
/// # Errors
/// All faults of all rows.
pub fn notebook_runs(rows: &[NotebookRow]) -> Result<Vec<Run>, Vec<NotebookFault>> {
    let mut runs = Vec::new();
    let mut faults = Vec::new();
    for (index, row) in rows.iter().enumerate().filter(|(_, row)| **row != NotebookRow::default()) {
        let before = faults.len();
        let mut fault = |field: &'static str, problem: String| {
            faults.push(NotebookFault { row: index, field, problem });
        };
        let mut number = |field: &'static str, text: &str, quantity: Quantity, usual: &str| {
            read(text, quantity, usual).unwrap_or_else(|problem| {
                fault(field, problem);
                None
            })
        };
        let shaft_speed_rev_s = number("rpm", &row.rpm, Quantity::RotationalSpeed, "rpm");
        let voltage_v = number("volts", &row.volts, Quantity::Voltage, "V");
        let current_a = number("amps", &row.amps, Quantity::Current, "A");
        let power_w = number("power", &row.power, Quantity::Power, "W");
        let over_ground = number("speed_over_ground", &row.speed_over_ground, Quantity::Speed, "kn");
        let through_water = number("speed_through_water", &row.speed_through_water, Quantity::Speed, "kn");
        if over_ground.is_none() && through_water.is_none() {
            fault("speed_over_ground", "a run needs a speed, over ground or through the water".to_owned());
        }
        if current_a.is_some() && voltage_v.is_none() && power_w.is_none() {
            fault("volts", "amps without volts are not watts: at what voltage, under load?".to_owned());
        }
        let course_rad = direction(&row.direction).unwrap_or_else(|problem| {
            fault("direction", problem);
            None
        });
        let time_s = if row.time.trim().is_empty() {
            Some(index as f64 * SUPPOSED_STEP_S)
        } else {
            parse_time_of_day(&row.time)
        };
        if time_s.is_none() {
            fault("time", format!("{:?} is no time of day; write 14:05", row.time));
        }
        if faults.len() == before {
            runs.push(Run {
                time_s: time_s.unwrap_or_default(),
                course_rad,
                speed_over_ground_m_s: over_ground,
                speed_through_water_m_s: through_water,
                shaft_speed_rev_s,
                voltage_v,
                current_a,
                power_w: power_w.or_else(|| Some(voltage_v? * current_a?)),
                ..Run::default()
            });
        }
    }
    if faults.is_empty() { Ok(runs) } else { Err(faults) }
}

/// A quantity, its usual unit added where only a number stands.
fn read(text: &str, quantity: Quantity, usual: &str) -> Result<Option<f64>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let is_bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | ' '));
    let written = if is_bare { format!("{text} {usual}") } else { text.to_owned() };
    parse_quantity(&written, quantity)
        .map(Some)
        .map_err(|error| format!("{}; {}", error.problem(), error.advice()))
}

/// Out and back are a course and its opposite; which course does not matter to a double run.
fn direction(text: &str) -> Result<Option<f64>, String> {
    const POINTS: [&str; 16] =
        ["n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"];
    let lower = text.trim().to_lowercase();
    match lower.as_str() {
        "" => return Ok(None),
        "out" | "there" | "with" => return Ok(Some(0.0)),
        "back" | "against" => return Ok(Some(std::f64::consts::PI)),
        _ => {}
    }
    if let Some(point) = POINTS.iter().position(|point| *point == lower) {
        return Ok(Some(point as f64 * 22.5 * DEGREE_RAD));
    }
    let degrees: Option<f64> = lower.trim_end_matches(['°', 't', ' ']).parse().ok();
    degrees
        .filter(|degrees| (0.0..=360.0).contains(degrees))
        .map(|degrees| Some(degrees * DEGREE_RAD))
        .ok_or_else(|| format!("{text:?} is no direction; write out or back, NW, or degrees 0 to 360"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(direction: &str, rpm: &str, volts: &str, amps: &str, speed: &str) -> NotebookRow {
        let text = str::to_owned;
        NotebookRow {
            direction: text(direction),
            rpm: text(rpm),
            volts: text(volts),
            amps: text(amps),
            speed_over_ground: text(speed),
            ..NotebookRow::default()
        }
    }

    #[test]
    fn rows_become_runs() {
        let rows =
            [row("out", "700", "49.2", "60", "4.2"), row("back", "700 rpm", "49,2 V", "61 A", "3.6 kn")];
        let runs = notebook_runs(&rows).unwrap();
        assert!((runs[0].power_w.unwrap() - 2952.0).abs() < 1e-9);
        assert!((runs[1].voltage_v.unwrap() - 49.2).abs() < 1e-9);
        assert!((runs[0].speed_over_ground_m_s.unwrap() - 4.2 * 1852.0 / 3600.0).abs() < 1e-12);
        let pairs = wakewright_core::trial::match_opposite_runs(&runs, &Default::default());
        assert_eq!(pairs.len(), 1);
    }

    #[test]
    fn amps_without_volts_are_asked_about() {
        let faults = notebook_runs(&[row("NW", "700", "", "60", "4.2"), row("nowhere", "", "", "", "")]);
        let fields: Vec<&str> = faults.unwrap_err().iter().map(|fault| fault.field).collect();
        assert_eq!(fields, ["volts", "speed_over_ground", "direction"]);
    }
}
