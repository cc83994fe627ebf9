//! A table that somebody wrote by hand, a row for each run, as rows of the notebook. Not for: logs, in which a row is
//! an instant.

use wakewright_units::Dimension;

use super::meaning::{Meaning, Part, meaning_of};
use super::unit_said::unit_named;
use super::words::{Idea, ideas, words};
use crate::letters::decoded;
use crate::measured::Measured as M;
use crate::notebook::with_unit;
use crate::{NotebookCell, NotebookRow};

/// Rows of one table; more are those of a log.
const MOST_RUNS: usize = 500;

/// Why a table gives no runs.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RunRowsError {
    /// No heading is known.
    #[error(
        "no line of it names what stands below; write a heading over each column: direction, shaft rpm, volts, amps, speed (kn)"
    )]
    NoHeads,
    /// Whose revolutions are meant is not said.
    #[error(
        "column {column}, {head:?}: whose turns are they? Head it \"shaft rpm\" or \"motor rpm\"; a run may have both"
    )]
    WhoseTurning {
        /// Which, from 1.
        column: usize,
        /// Its heading.
        head: String,
    },
    /// A speed in nobody's unit.
    #[error(
        "column {column}, {head:?}: in which unit? Head it \"{head} (kn)\", or write the unit into each cell: 5.9 km/h"
    )]
    NoUnit {
        /// Which, from 1.
        column: usize,
        /// Its heading.
        head: String,
    },
    /// A heading says a factor, and not whether the cells are multiplied by it already.
    #[error(
        "column {column}, {head:?}: its name says a factor; write the figures as they are, and head it without"
    )]
    Factor {
        /// Which, from 1.
        column: usize,
        /// Its heading.
        head: String,
    },
    /// Two columns say the same.
    #[error("columns {first} and {second} are both taken for {what}; leave one out")]
    Twice {
        /// One, from 1.
        first: usize,
        /// The other.
        second: usize,
        /// For what.
        what: &'static str,
    },
    /// A row that does not go with the headings: a decimal comma in a table of commas shifts all that follows.
    #[error(
        "line {line} has {found} cells under {heads} headings: {text:?}. Part the columns by semicolons or tabs where numbers have decimal \
         commas"
    )]
    Shifted {
        /// Of the file, from 1.
        line: usize,
        /// Its cells.
        found: usize,
        /// Headings.
        heads: usize,
        /// What stands there.
        text: String,
    },
    /// Nothing stands below the headings.
    #[error("nothing stands below its headings")]
    NoRows,
    /// More rows than anybody writes by hand.
    #[error("{0} rows are those of a log, {MOST_RUNS} at most are written by hand; bring it in as a log")]
    TooMany(usize),
}

/// What a table gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunRows {
    /// A row for each run, as typed.
    pub rows: Vec<NotebookRow>,
    /// Headings of which nothing is used.
    pub unused: Vec<String>,
    /// Current out of the bank was written as negative, and is taken as positive.
    pub is_turned: bool,
}

/// Words of headings that only a notebook has.
const OWN: [(NotebookCell, &[&str]); 5] = [
    (NotebookCell::Throttle, &["throttle", "lever", "gas", "gaz", "gashebel", "manette", "gashendel"]),
    (NotebookCell::Pull, &["pull", "bollard", "quay", "zug", "pfahlzug", "traction", "trekkracht", "tiro"]),
    (
        NotebookCell::Direction,
        &["direction", "dir", "way", "leg", "richtung", "sens", "richting", "direccion", "direzione"],
    ),
    (
        NotebookCell::Note,
        &["note", "notes", "remark", "remarks", "bemerkung", "remarque", "opmerking", "nota"],
    ),
    (
        NotebookCell::Time,
        &["time", "zeit", "uhrzeit", "heure", "tijd", "hora", "ora", "tid", "aika", "klokkeslett", "clock"],
    ),
];

fn cell_of(head: &str, column: usize) -> Result<Option<NotebookCell>, RunRowsError> {
    let said = words(head);
    let own = OWN.iter().find(|(_, names)| said.iter().any(|word| names.contains(&word.as_str())));
    if let Some((cell, _)) = own {
        return Ok(Some(*cell));
    }
    let Some(Meaning { measured, part, .. }) = meaning_of(head) else {
        // `U/min` and no word beside it.
        return match unit_named(head).map(|unit| unit.dimension) {
            Some(Dimension::RotationalSpeed) => {
                Err(RunRowsError::WhoseTurning { column: column + 1, head: head.trim().to_owned() })
            }
            _ => Ok(None),
        };
    };
    Ok(match measured {
        M::ShaftSpeed => Some(NotebookCell::Rpm),
        M::MotorSpeed if said.iter().flat_map(|word| ideas(word)).any(|idea| idea == Idea::Motor) => {
            Some(NotebookCell::MotorRpm)
        }
        M::MotorSpeed => {
            return Err(RunRowsError::WhoseTurning { column: column + 1, head: head.trim().to_owned() });
        }
        M::Voltage if part == Part::Bank => Some(NotebookCell::Volts),
        M::Current if part == Part::Bank => Some(NotebookCell::Amps),
        M::Power if part == Part::Bank => Some(NotebookCell::Power),
        M::SpeedOverGround => Some(NotebookCell::OverGround),
        M::SpeedThroughWater => Some(NotebookCell::ThroughWater),
        M::CourseOverGround | M::HeadingTrue | M::CourseOverGroundMagnetic | M::HeadingMagnetic => {
            Some(NotebookCell::Direction)
        }
        _ => None,
    })
}

/// The runs of `text`: a heading line, then a row for each run, parted by tabs, semicolons, commas or bars; units in
/// the headings or in the cells.
/// # Errors
/// [`RunRowsError`], with what to do. What stands in a cell is not read here: it is taken as it was written, and said
/// where it cannot be understood.
pub fn run_rows(bytes: &[u8]) -> Result<RunRows, RunRowsError> {
    let text = decoded(bytes);
    let mut lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    let (separator, heads, cells) = loop {
        let (_, line) = lines.next().ok_or(RunRowsError::NoHeads)?;
        let separator =
            ['\t', ';', '|', ','].into_iter().max_by_key(|c| (line.matches(*c).count(), *c == '\t'));
        let separator = separator.unwrap_or(',');
        let heads: Vec<String> = parted(line, separator);
        let cells: Vec<Option<NotebookCell>> =
            heads.iter().enumerate().map(|(i, head)| cell_of(head, i)).collect::<Result<_, _>>()?;
        if cells.iter().flatten().count() >= 2 {
            break (separator, heads, cells);
        }
    };
    for (second, cell) in cells.iter().enumerate() {
        if let Some(what) = cell
            && let Some(first) = cells[..second].iter().position(|other| other == cell)
        {
            return Err(RunRowsError::Twice { first: first + 1, second: second + 1, what: what.label() });
        }
    }
    let unit_of = |(head, cell): (&String, &Option<NotebookCell>)| match cell {
        Some(NotebookCell::Direction | NotebookCell::Time) | None => None,
        Some(NotebookCell::Pull) => in_brackets(head),
        // A heading that is nothing but the unit: `kW`.
        Some(_) => Some(meaning_of(head)?.unit.or_else(|| unit_named(head))?.symbol().to_owned()),
    };
    let units: Vec<Option<String>> = heads.iter().zip(&cells).map(unit_of).collect();
    if let Some(at) =
        (0..heads.len()).find(|at| cells[*at].is_some() && super::unit_said::says_factor(&heads[*at]))
    {
        return Err(RunRowsError::Factor { column: at + 1, head: heads[at].clone() });
    }
    let is_speed =
        |at: usize| matches!(cells[at], Some(NotebookCell::OverGround | NotebookCell::ThroughWater));
    let mut rows: Vec<NotebookRow> = lines
        .map(|(at, line)| {
            let mut row = NotebookRow::default();
            let found = parted(line, separator);
            // A separator at the end of a line makes an empty cell.
            let filled = found.iter().rposition(|text| !text.is_empty()).map_or(0, |last| last + 1);
            if filled > heads.len() {
                let (found, heads) = (filled, heads.len());
                return Err(RunRowsError::Shifted {
                    line: at + 1,
                    found,
                    heads,
                    text: line.trim().to_owned(),
                });
            }
            for (place, text) in found.into_iter().enumerate() {
                let Some(cell) = cells.get(place).copied().flatten() else { continue };
                let is_bare = !text.is_empty() && with_unit(&text, "kn") != text;
                if units[place].is_none() && is_bare && is_speed(place) {
                    return Err(RunRowsError::NoUnit { column: place + 1, head: heads[place].clone() });
                }
                // A day before the time of day tells nothing of a run.
                let text = match cell {
                    NotebookCell::Time => {
                        text.rsplit([' ', 'T']).find(|part| part.contains(':')).unwrap_or(&text).to_owned()
                    }
                    _ => text,
                };
                *row.cell_mut(cell) = match &units[place] {
                    Some(unit) if !text.is_empty() => with_unit(&text, unit),
                    _ => text,
                };
            }
            Ok(row)
        })
        .filter(|row| row.as_ref().map_or(true, |row| !row.is_empty()))
        .collect::<Result<_, _>>()?;
    let is_turned = turned_amps(&mut rows);
    match rows.len() {
        0 => Err(RunRowsError::NoRows),
        many if many > MOST_RUNS => Err(RunRowsError::TooMany(many)),
        _ => {
            let unused = heads.iter().zip(&cells).filter(|(head, cell)| cell.is_none() && !head.is_empty());
            Ok(RunRows { rows, unused: unused.map(|(head, _)| head.clone()).collect(), is_turned })
        }
    }
}

/// Takes the sign off amps that are negative in every row that has some; true where it did. A row among others may
/// well be one in which she charged.
fn turned_amps(rows: &mut [NotebookRow]) -> bool {
    const SIGNS: [char; 2] = ['-', '−'];
    let said = rows.iter().map(|row| row.cell(NotebookCell::Amps).trim()).filter(|text| !text.is_empty());
    let (mut count, mut negative) = (0, 0);
    for text in said {
        count += 1;
        negative += usize::from(text.starts_with(SIGNS));
    }
    let is_turned = count > 0 && negative == count;
    if is_turned {
        for row in rows {
            let cell = row.cell_mut(NotebookCell::Amps);
            *cell = cell.trim().trim_start_matches(SIGNS).to_owned();
        }
    }
    is_turned
}

/// What stands in brackets of a heading: the unit of a pull, of which logs have none.
fn in_brackets(head: &str) -> Option<String> {
    let (_, bracketed) = head.split_once(['(', '['])?;
    Some(bracketed.trim_end_matches([')', ']', ' ']).trim().to_owned())
}

fn parted(line: &str, separator: char) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator as u8)
        .from_reader(line.as_bytes());
    let first = reader.records().next().and_then(Result::ok).unwrap_or_default();
    first.iter().map(|cell| cell.trim().to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook_runs;

    const KNOT_M_S: f64 = 1852.0 / 3600.0;

    #[test]
    fn rows_of_a_spreadsheet_are_runs() {
        let text = "Trials in the roads, invented\n\nDirection\tShaft rpm\tVolts\tAmps\tSpeed over ground (km/h)\tCrew\n\
                    out\t700\t49,2\t60\t7,8\t2\nback\t700\t49,1\t61\t6.6 kn\t2\n\t\t\t\t\t\n";
        let found = run_rows(text.as_bytes()).unwrap();
        assert_eq!(found.unused, ["Crew"]);
        let runs = notebook_runs(&found.rows).unwrap();
        assert_eq!(runs.len(), 2);
        assert!((runs[0].speed_over_ground_m_s.unwrap() - 7.8 / 3.6).abs() < 1e-12);
        assert!((runs[1].speed_over_ground_m_s.unwrap() - 6.6 * KNOT_M_S).abs() < 1e-12);
        assert!((runs[0].power_w.unwrap() - 49.2 * 60.0).abs() < 1e-9);
    }

    #[test]
    fn a_pull_has_a_unit_and_whose_turns_they_are_is_asked() {
        let text = "throttle;Drehzahl Welle (1/min);Zug (kN)\nfull;640;2,1\n";
        let runs = notebook_runs(&run_rows(text.as_bytes()).unwrap().rows).unwrap();
        assert!((runs[0].pull_n.unwrap() - 2100.0).abs() < 1e-9 && runs[0].speed_over_ground_m_s.is_none());
        let shifted =
            run_rows(b"shaft rpm,volts,speed over ground (kn)\n900,51,7,6.2\n").unwrap_err().to_string();
        assert!(shifted.contains("line 2") && shifted.contains("semicolons"), "{shifted}");
        let turned = run_rows(b"shaft rpm,volts,amps\n900,51.7,-221\n800,52,\xe2\x88\x92162\n").unwrap();
        assert!(
            turned.is_turned && turned.rows.iter().all(|row| !row.cell(NotebookCell::Amps).contains('-'))
        );
        let bare = run_rows(b"throttle,shaft rpm,pull\nfull,640,210\n").unwrap();
        let faults = notebook_runs(&bare.rows).unwrap_err();
        assert_eq!(faults[0].cell, NotebookCell::Pull, "kilograms or newtons: {faults:?}");
        let asked = run_rows(b"direction,rpm,speed (kn)\nout,1900,4.1\n").unwrap_err();
        assert!(asked.to_string().contains("whose turns"), "{asked}");
        let alone = run_rows(b"Richtung;U/min;Volt\nnach Norden;520;53\n").unwrap_err();
        assert!(alone.to_string().contains("whose turns"), "{alone}");
        let german = "Richtung;Gas;U/min Welle;Fahrt (kn);Uhrzeit\nnach Norden;halb;520;3,3;2026-06-09 10:05\nnach S\u{fc}den;voll;1041;6,3;10:12\n";
        let rows = run_rows(german.as_bytes()).unwrap().rows;
        let runs = notebook_runs(&rows).unwrap();
        assert!(rows[1].is_full_throttle() && (runs[1].time_s - runs[0].time_s - 420.0).abs() < 1e-9);
        assert!((runs[1].course_rad.unwrap() - std::f64::consts::PI).abs() < 1e-9);
        let slips = run_rows(
            b"way,kn,shaft rpm,motor rpm\nout,3,520,936\nback,3,520,936\nout,5,1040,1872\nback,5,1040,1560\n",
        )
        .unwrap();
        let (runs, faults) = crate::notebook::notebook_runs_lenient(&slips.rows);
        assert!(runs.len() == 4 && faults.len() == 1 && faults[0].problem.contains("1.50"), "{faults:?}");
        let both = run_rows(b"direction,shaft rpm,motor rpm,SOG (kn)\nout,900,1980,4.1\n").unwrap();
        let runs = notebook_runs(&both.rows).unwrap();
        assert_eq!((runs[0].shaft_speed_rev_s, runs[0].motor_speed_rev_s), (Some(15.0), Some(33.0)));
        assert!(matches!(run_rows(b"a,b\n1,2\n"), Err(RunRowsError::NoHeads)));
        assert!(matches!(run_rows(b"volts,voltage (V)\n1,2\n"), Err(RunRowsError::Twice { .. })));
    }

    #[test]
    fn odd_bytes_are_no_panic() {
        for bytes in
            [&b""[..], b"\xff\xfe\x00", b"direction,rpm\n\"", b";;;;\n\n", b"speed,volts,amps\n\x00\x01,2"]
        {
            let _ = run_rows(bytes);
        }
    }
}
