//! Runs typed in by hand from a page of a notebook: one list of its cells. Not for: logs.

use serde::{Deserialize, Serialize};
use wakewright_core::trial::Run;
use wakewright_units::factors::DEGREE_RAD;
use wakewright_units::{Quantity, UnitError, parse_certain, parse_quantity, parse_typed};

use super::clock::parse_time_of_day;

/// Between runs whose times were not written down \[s\]: only the order is known then.
const SUPPOSED_STEP_S: f64 = 600.0;

/// What stands in the cell of the throttle where it was fully open.
pub const FULL_THROTTLE: &str = "full";

/// How a cell is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CellKind {
    /// Words, or a time.
    Text,
    /// [`FULL_THROTTLE`] or nothing.
    Throttle,
    /// A quantity; the unit may be left out where this one is usual.
    Number(Quantity, &'static str),
}

macro_rules! notebook {
    ($($(#[$meaning:meta])* $cell:ident $field:ident = $word:literal, $label:literal, $hint:literal, $kind:expr;)+) => {
        /// One row as typed; empty where nothing was measured. Units may be left out where one is usual.
        #[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
        #[serde(default)]
        pub struct NotebookRow { $(
            $(#[$meaning])*
            #[serde(rename = $word, skip_serializing_if = "String::is_empty")]
            pub $field: String,
        )+ }

        /// A cell of a row.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum NotebookCell { $($(#[$meaning])* $cell),+ }

        impl NotebookCell {
            /// All of them, in the order in which a form asks for them.
            pub const ALL: [Self; [$($word),+].len()] = [$(Self::$cell),+];

            /// Its word in documents and forms.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$cell => $word),+ }
            }

            /// What it is called.
            #[must_use]
            pub const fn label(self) -> &'static str {
                match self { $(Self::$cell => $label),+ }
            }

            /// What to write.
            #[must_use]
            pub const fn hint(self) -> &'static str {
                match self { $(Self::$cell => $hint),+ }
            }

            /// How it is written.
            #[must_use]
            pub const fn kind(self) -> CellKind {
                match self { $(Self::$cell => $kind),+ }
            }

            /// The cell of this word; none for any other.
            #[must_use]
            pub fn of_word(word: &str) -> Option<Self> {
                Self::ALL.into_iter().find(|cell| cell.word() == word)
            }
        }

        impl NotebookRow {
            /// What is typed in a cell.
            #[must_use]
            pub fn cell(&self, cell: NotebookCell) -> &str {
                match cell { $(NotebookCell::$cell => &self.$field),+ }
            }

            pub(crate) fn cell_mut(&mut self, cell: NotebookCell) -> &mut String {
                match cell { $(NotebookCell::$cell => &mut self.$field),+ }
            }
        }
    };
}

notebook! {
    /// `out` or `back`, a point of the compass, or degrees true.
    Direction direction = "direction", "Direction", "out, back, NW or 315", CellKind::Text;
    /// [`FULL_THROTTLE`] where it was fully open.
    Throttle throttle = "lever", "Throttle", "full, or 60 %", CellKind::Throttle;
    /// Speed of the shaft, rpm.
    Rpm rpm = "rpm", "Shaft, rpm", "900", CellKind::Number(Quantity::RotationalSpeed, "rpm");
    /// Speed of the motor, rpm: beside the shaft's it shows a belt that slips.
    MotorRpm motor_rpm = "motor_rpm", "Motor, rpm", "if read too", CellKind::Number(Quantity::RotationalSpeed, "rpm");
    /// Voltage under load.
    Volts volts = "volts", "Volts", "under load", CellKind::Number(Quantity::Voltage, "V");
    /// Current.
    Amps amps = "amps", "Amps", "out of the bank", CellKind::Number(Quantity::Current, "A");
    /// Power, where a meter shows it.
    Power power = "power", "Watts", "if a meter shows them", CellKind::Number(Quantity::Power, "W");
    /// Pull on a line, with her tied up; a unit is asked for, since scales show kilograms.
    Pull pull = "pull", "Pull, tied up", "310 kgf or 3 kN", CellKind::Number(Quantity::Force, "");
    /// Speed over ground, kn.
    OverGround speed_over_ground = "speed_over_ground", "Over ground, kn", "4.6", CellKind::Number(Quantity::Speed, "kn");
    /// Speed through the water, kn.
    ThroughWater speed_through_water = "speed_through_water", "Through water, kn", "the log", CellKind::Number(Quantity::Speed, "kn");
    /// Time of day, `14:05`.
    Time time = "time", "Time", "14:05", CellKind::Text;
    /// Anything.
    Note note = "note", "Note", "", CellKind::Text;
}

/// What is wrong with a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotebookFault {
    /// Row, from 0.
    pub row: usize,
    /// Which cell.
    pub cell: NotebookCell,
    /// What is wrong and what to do.
    pub problem: String,
}

impl NotebookRow {
    /// True when nothing stands in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// True when the throttle was fully open.
    #[must_use]
    pub fn is_full_throttle(&self) -> bool {
        matches!(
            self.throttle.trim().to_lowercase().as_str(),
            FULL_THROTTLE
                | "max"
                | "yes"
                | "100"
                | "100 %"
                | "100%"
                | "voll"
                | "vollgas"
                | "plein"
                | "pleins gaz"
                | "vol"
                | "pieno"
        )
    }

    /// True when the throttle stood somewhere else and says where, in hundredths of its way. That is kept as it is
    /// written; only the fully open throttle is compared with what she should do.
    fn is_part_throttle(&self) -> bool {
        if matches!(
            self.throttle.trim().to_lowercase().as_str(),
            "half" | "halb" | "demi" | "mi-gaz" | "halve" | "mezzo"
        ) {
            return true;
        }
        let number = self.throttle.trim().trim_end_matches('%').trim_end().replace(',', ".");
        number.parse::<f64>().is_ok_and(|hundredths| (0.0..100.0).contains(&hundredths))
    }
}

/// Runs of the rows, or every fault in them. Rows in which nothing stands are passed over.
/// # Errors
/// All faults of all rows.
pub fn notebook_runs(rows: &[NotebookRow]) -> Result<Vec<Run>, Vec<NotebookFault>> {
    let (runs, faults) = notebook_runs_lenient(rows);
    if faults.is_empty() { Ok(runs.into_iter().map(|(_, run)| run).collect()) } else { Err(faults) }
}

/// Runs of those rows that can be read, each with the number of its row, and every fault of the rest.
#[must_use]
pub fn notebook_runs_lenient(rows: &[NotebookRow]) -> (Vec<(usize, Run)>, Vec<NotebookFault>) {
    let mut runs = Vec::new();
    let mut faults = Vec::new();
    for (index, row) in rows.iter().enumerate().filter(|(_, row)| !row.is_empty()) {
        let before = faults.len();
        let run = read_row(index, row, &mut faults);
        if faults.len() == before {
            runs.push((index, run));
            faults.extend(doubts_of(index, row));
        }
    }
    faults.extend(odd_beside_others(&runs));
    (runs, faults)
}

/// Rows that turn alike and yet take or make so different figures that one of them is mistyped: they are used as they stand.
fn odd_beside_others(runs: &[(usize, Run)]) -> Vec<NotebookFault> {
    const ALIKE: f64 = 0.03;
    /// Wind and waves against her may well double what she takes; a point in the wrong place makes it ten.
    const TIMES: f64 = 3.0;
    let turns = |run: &Run| run.shaft_speed_rev_s.or(run.motor_speed_rev_s);
    let mut found = Vec::new();
    // One gear or belt: the motor turns as often for each turn of the shaft in all rows.
    const SLIPS: f64 = 0.05;
    let ratio = |run: &Run| Some(run.motor_speed_rev_s? / run.shaft_speed_rev_s.filter(|n| *n > 0.0)?);
    let usual = super::checks::median(&runs.iter().filter_map(|(_, run)| ratio(run)).collect::<Vec<f64>>());
    for (row, run) in runs {
        if let (Some(own), Some(usual)) = (ratio(run), usual)
            && (own / usual - 1.0).abs() > SLIPS
        {
            let problem = format!(
                "the motor turns {own:.2} times for each turn of the shaft here and {usual:.2} times in the others: is one of the two \
                 mistyped? Both are used as they stand"
            );
            found.push(NotebookFault { row: *row, cell: NotebookCell::MotorRpm, problem });
        }
    }
    for (at, (row, run)) in runs.iter().enumerate() {
        for (earlier, other) in &runs[..at] {
            let is_alike =
                turns(run).zip(turns(other)).is_some_and(|(a, b)| (a - b).abs() <= ALIKE * a.abs());
            let is_far = |a: Option<f64>, b: Option<f64>| {
                a.zip(b).is_some_and(|(a, b)| a > 0.0 && b > 0.0 && a.max(b) > TIMES * a.min(b))
            };
            let mut odd = |cell: NotebookCell, what: &str| {
                let problem = format!(
                    "turning as in row {}, {what}: is one mistyped? Both are used as they stand",
                    earlier + 1
                );
                found.push(NotebookFault { row: *row, cell, problem });
            };
            if is_alike && is_far(run.power_w, other.power_w) {
                let cell = if run.current_a.is_some() { NotebookCell::Amps } else { NotebookCell::Power };
                odd(cell, "what she takes lies more than three times apart");
            }
            if is_alike && is_far(run.speed_through_water_m_s, other.speed_through_water_m_s) {
                odd(NotebookCell::ThroughWater, "the speeds lie more than three times apart");
            }
            // A stream may stop her dead: what both make together tells.
            let both = run.speed_over_ground_m_s.zip(other.speed_over_ground_m_s);
            if is_alike && both.is_some_and(|(a, b)| (a + b) / 2.0 > FASTEST_M_S) {
                odd(NotebookCell::OverGround, "the speeds come to more than 15 kn through the water");
            }
        }
    }
    found
}

/// No displacement boat with such a drive goes faster: judgement.
const FASTEST_M_S: f64 = 15.0 * 0.514_444;

/// What is used of a row and could be read in another way as well.
fn doubts_of(index: usize, row: &NotebookRow) -> Vec<NotebookFault> {
    let doubt = |cell: NotebookCell| {
        let CellKind::Number(quantity, usual) = cell.kind() else { return None };
        let problem = doubt_of(row.cell(cell).trim(), quantity, usual, None)?;
        Some(NotebookFault { row: index, cell, problem })
    };
    let mut doubts: Vec<NotebookFault> = NotebookCell::ALL.into_iter().filter_map(doubt).collect();
    let more = thousands_of(index, row).into_iter().filter(|odd| doubts.iter().all(|d| d.cell != odd.cell));
    let more: Vec<NotebookFault> = more.collect();
    doubts.extend(more);
    doubts
}

/// What no boat has, and a thousandth or a thousand times it would be: a heading that says one unit above cells of another.
/// Bounds: judgement, no source.
fn thousands_of(index: usize, row: &NotebookRow) -> Vec<NotebookFault> {
    let value = |cell: NotebookCell| match cell.kind() {
        CellKind::Number(quantity, usual) => read(row.cell(cell), quantity, usual).ok().flatten(),
        _ => None,
    };
    let found = [
        (
            NotebookCell::Volts,
            1000.0..f64::INFINITY,
            "no boat's bank has so many volts: are they millivolts?",
        ),
        (
            NotebookCell::Amps,
            2000.0..f64::INFINITY,
            "no boat's drive takes so many amps: are they milliamps?",
        ),
        (NotebookCell::Power, 0.001..20.0, "next to nothing drives no boat: are they kilowatts?"),
    ];
    let odd = found.into_iter().filter(|(cell, bounds, _)| value(*cell).is_some_and(|v| bounds.contains(&v)));
    odd.map(|(cell, _, why)| NotebookFault {
        row: index,
        cell,
        problem: format!(
            "{}: {why} Write the unit into the cell; it is used as it stands",
            row.cell(cell).trim()
        ),
    })
    .collect()
}

fn read_row(index: usize, row: &NotebookRow, faults: &mut Vec<NotebookFault>) -> Run {
    let mut fault = |cell: NotebookCell, problem: String| {
        faults.push(NotebookFault { row: index, cell, problem });
    };
    let mut number = |cell: NotebookCell| {
        let CellKind::Number(quantity, usual) = cell.kind() else { return None };
        read(row.cell(cell), quantity, usual).unwrap_or_else(|problem| {
            fault(cell, problem);
            None
        })
    };
    let shaft_speed_rev_s = number(NotebookCell::Rpm);
    let motor_speed_rev_s = number(NotebookCell::MotorRpm);
    let voltage_v = number(NotebookCell::Volts);
    let current_a = number(NotebookCell::Amps);
    let power_w = number(NotebookCell::Power);
    let pull_n = number(NotebookCell::Pull);
    let over_ground = number(NotebookCell::OverGround);
    let through_water = number(NotebookCell::ThroughWater);
    let is_tied_up = !row.pull.trim().is_empty();
    if is_tied_up && (over_ground.is_some_and(|v| v != 0.0) || through_water.is_some_and(|v| v != 0.0)) {
        fault(NotebookCell::Pull, "tied up she makes no way: a pull or a speed, not both".to_owned());
    }
    if is_tied_up && shaft_speed_rev_s.is_none() && row.rpm.trim().is_empty() && !row.is_full_throttle() {
        fault(NotebookCell::Rpm, "a pull says something with its rpm, or at full throttle".to_owned());
    }
    if !is_tied_up
        && over_ground.is_none()
        && through_water.is_none()
        && row.speed_over_ground.trim().is_empty()
        && row.speed_through_water.trim().is_empty()
    {
        fault(
            NotebookCell::OverGround,
            "a run needs a speed, over ground or through the water; tied up, a pull".to_owned(),
        );
    }
    if current_a.is_some() && voltage_v.is_none() && power_w.is_none() && row.volts.trim().is_empty() {
        fault(
            NotebookCell::Volts,
            "amps without volts are not watts: at what voltage, under load?".to_owned(),
        );
    }
    if !row.throttle.trim().is_empty() && !row.is_full_throttle() && !row.is_part_throttle() {
        let problem = format!(
            "{:?}: write {FULL_THROTTLE} where the throttle was fully open, else its share, as 60 %, or nothing",
            row.throttle
        );
        fault(NotebookCell::Throttle, problem);
    }
    let course_rad = direction(&row.direction).unwrap_or_else(|problem| {
        fault(NotebookCell::Direction, problem);
        None
    });
    let time_s = if row.time.trim().is_empty() {
        Some(index as f64 * SUPPOSED_STEP_S)
    } else {
        parse_time_of_day(&row.time)
    };
    if time_s.is_none() {
        fault(NotebookCell::Time, format!("{:?} is no time of day; write 14:05", row.time));
    }
    Run {
        time_s: time_s.unwrap_or_default(),
        course_rad,
        speed_over_ground_m_s: over_ground.filter(|_| !is_tied_up),
        speed_through_water_m_s: through_water.filter(|_| !is_tied_up),
        pull_n,
        shaft_speed_rev_s,
        motor_speed_rev_s,
        voltage_v,
        current_a,
        power_w: power_w.or_else(|| Some(voltage_v? * current_a?)),
        ..Run::default()
    }
}

/// `text` with the usual unit where only a number stands.
pub(crate) fn with_unit(text: &str, usual: &str) -> String {
    let is_bare = text.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | ' '));
    if is_bare { format!("{text} {usual}") } else { text.to_owned() }
}

/// Why a number that keeps the value it has could mean another as well: both readings lie within `limits` (SI), or
/// within what is met in boats. None where it is certain, or no number at all.
pub(crate) fn doubt_of(
    text: &str,
    quantity: Quantity,
    usual: &str,
    limits: Option<(f64, f64)>,
) -> Option<String> {
    let written = with_unit(text, usual);
    let read = match limits {
        Some(limits) => parse_certain(&written, quantity, limits),
        None => parse_typed(&written, quantity),
    };
    match read {
        Err(error @ UnitError::TwoReadings { .. }) => {
            Some(format!("{}; {}", error.problem(), error.advice()))
        }
        _ => None,
    }
}

/// A quantity, its usual unit added where only a number stands.
fn read(text: &str, quantity: Quantity, usual: &str) -> Result<Option<f64>, String> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    parse_quantity(&with_unit(text, usual), quantity)
        .map(Some)
        .map_err(|error| format!("{}; {}", error.problem(), error.advice()))
}

/// A point of the compass, `NW` \[rad\].
pub(crate) fn compass_point(text: &str) -> Option<f64> {
    const POINTS: [&str; 16] =
        ["n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"];
    let lower = text.trim().to_lowercase();
    POINTS.iter().position(|point| *point == lower).map(|point| point as f64 * 22.5 * DEGREE_RAD)
}

/// Out and back are a course and its opposite; which course does not matter to a double run.
fn direction(text: &str) -> Result<Option<f64>, String> {
    let lower = text.trim().to_lowercase();
    match lower.as_str() {
        "" => return Ok(None),
        "out" | "there" | "with" | "hin" | "aller" | "heen" | "ida" | "andata" | "downstream"
        | "talwärts" | "aval" => return Ok(Some(0.0)),
        "back" | "against" | "zurück" | "zurueck" | "retour" | "terug" | "vuelta" | "ritorno"
        | "upstream" | "bergwärts" | "amont" => {
            return Ok(Some(std::f64::consts::PI));
        }
        _ => {}
    }
    // `nach Norden`, `vers le nord`: the last word, in the letters of the compass.
    let last = lower.rsplit(' ').next().unwrap_or_default();
    const POINTS: [(&str, &[&str]); 4] = [
        ("n", &["north", "nord", "norden", "noord", "norte", "norr", "pohjoinen"]),
        ("e", &["east", "ost", "osten", "est", "oost", "este", "öst", "øst", "leste"]),
        ("s", &["south", "süd", "sued", "süden", "sueden", "sud", "zuid", "sur", "söder", "syd", "sul"]),
        ("w", &["west", "westen", "ouest", "oeste", "ovest", "väst", "vest"]),
    ];
    let point =
        POINTS.iter().find(|(_, words)| words.contains(&last)).map_or(lower.as_str(), |(point, _)| point);
    if let Some(point) = compass_point(point) {
        return Ok(Some(point));
    }
    let degrees: Option<f64> = lower.trim_end_matches(['°', 't', ' ']).parse().ok();
    degrees
        .filter(|degrees| (0.0..=360.0).contains(degrees))
        .map(|degrees| Some(degrees * DEGREE_RAD))
        .ok_or_else(|| format!("{text:?} is no direction; write out or back, NW, or degrees 0 to 360"))
}

#[cfg(test)]
mod tests;
