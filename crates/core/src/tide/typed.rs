//! High and low waters as typed from an official table: checked against each other, and the height between them.
//! Not for: reading the text and the local time (the edges do), a port's own curve.

use super::Water;
use super::between::{height_between_m, passes_at_s};

/// Waters in order, high and low by turns.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed(Vec<Water>);

/// Why typed waters cannot be; lines count from 1 and are those of the table as typed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TypedError {
    /// One water says nothing.
    #[error("give two waters at least, a high and a low one")]
    TooFew,
    /// Not later than the one before.
    #[error(
        "line {line}: this water is not later than the one before; put them in order, and where clocks changed that \
         day give the time with its zone"
    )]
    OutOfOrder {
        /// The line.
        line: usize,
    },
    /// High after high, or low after low.
    #[error("line {line}: two {kind} waters follow each other; the one between them is missing")]
    Missing {
        /// The line.
        line: usize,
        /// "high" or "low".
        kind: &'static str,
    },
    /// Longer from one to the next than any tide takes.
    #[error("line {line}: {hours:.0} h since the water before; a day is missing, or its date is another")]
    Gap {
        /// The line.
        line: usize,
        /// Hours since the one before.
        hours: f64,
    },
    /// Shorter from one to the next than any tide takes.
    #[error(
        "line {line}: {minutes:.0} min since the water before; no tide turns that soon: look at the time"
    )]
    TooSoon {
        /// The line.
        line: usize,
        /// Minutes since the one before.
        minutes: f64,
    },
    /// Far above or below the others of its kind.
    #[error(
        "line {line}: {height_m:.2} m stands {off_m:.1} m from what {kind} waters have in this table: look at its digits \
         and its point"
    )]
    Outlier {
        /// The line.
        line: usize,
        /// Its height \[m\].
        height_m: f64,
        /// From the middle of its kind \[m\].
        off_m: f64,
        /// "high" or "low".
        kind: &'static str,
    },
    /// A low water that is not below its neighbour.
    #[error(
        "line {line}: the low water stands above the high one beside it; heights or words are changed over"
    )]
    LowAboveHigh {
        /// The line.
        line: usize,
    },
}

/// The longest from one water to the next: a tide a day takes 12 h 25 min, and at its weakest some hours more.
const LONGEST_S: f64 = 19.0 * 3600.0;
/// The shortest: the steepest rises of estuaries take some three hours; from memory.
const SHORTEST_S: f64 = 2.0 * 3600.0;
/// A height is looked at again when it stands farther from the middle of its kind than this many ranges: springs
/// and neaps together, and the two lows of a day, make less. Own estimate.
const OUTLIER_RANGES: f64 = 2.0;

impl Typed {
    /// Waters as typed, each with its line.
    /// # Errors
    /// [`TypedError`], the first fault.
    pub fn new(lines: &[(usize, Water)]) -> Result<Self, TypedError> {
        if lines.len() < 2 {
            return Err(TypedError::TooFew);
        }
        // Order first: a line in a wrong place looks like a missing one from the line before.
        if let Some(two) = lines.windows(2).find(|two| two[1].1.unix_s <= two[0].1.unix_s) {
            return Err(TypedError::OutOfOrder { line: two[1].0 });
        }
        for two in lines.windows(2) {
            let [(_, before), (line, water)] = two else { continue };
            let (line, since_s) = (*line, water.unix_s - before.unix_s);
            if since_s > LONGEST_S {
                return Err(TypedError::Gap { line, hours: since_s / 3600.0 });
            }
            if since_s < SHORTEST_S {
                return Err(TypedError::TooSoon { line, minutes: since_s / 60.0 });
            }
            if before.is_high == water.is_high {
                let kind = if water.is_high { "high" } else { "low" };
                return Err(TypedError::Missing { line, kind });
            }
            if (water.height_m > before.height_m) != water.is_high {
                return Err(TypedError::LowAboveHigh { line });
            }
        }
        if let Some(outlier) = outlier(lines) {
            return Err(outlier);
        }
        Ok(Self(lines.iter().map(|(_, water)| *water).collect()))
    }

    /// The waters.
    #[must_use]
    pub fn waters(&self) -> &[Water] {
        &self.0
    }

    /// Height by a cosine \[m\]; none before the first and after the last water.
    #[must_use]
    pub fn height_m(&self, unix_s: f64) -> Option<f64> {
        let next = self.0.partition_point(|water| water.unix_s < unix_s);
        match next {
            0 => self.0.first().filter(|water| water.unix_s <= unix_s).map(|water| water.height_m),
            next => Some(height_between_m(&self.0[next - 1], self.0.get(next)?, unix_s)),
        }
    }

    /// Every moment at which the cosine passes a height \[s\].
    #[must_use]
    pub fn passes_s(&self, height_m: f64) -> Vec<f64> {
        self.0.windows(2).filter_map(|two| passes_at_s(&two[0], &two[1], height_m)).collect()
    }
}

/// The first height that no tide of this table explains.
fn outlier(lines: &[(usize, Water)]) -> Option<TypedError> {
    let middle = |values: &mut Vec<f64>| {
        values.sort_by(f64::total_cmp);
        values.get(values.len().checked_sub(1)? / 2).copied()
    };
    let ranges = lines.windows(2).map(|two| (two[1].1.height_m - two[0].1.height_m).abs());
    let mut ranges: Vec<f64> = ranges.collect();
    ranges.sort_by(|a, b| b.total_cmp(a));
    // The greatest that a wrong height, which stands in two of them, leaves.
    let usual_m = *ranges.get(2)?;
    lines.iter().find_map(|&(line, water)| {
        let of_its_kind = lines.iter().filter(|(_, other)| other.is_high == water.is_high);
        let off_m =
            (water.height_m - middle(&mut of_its_kind.map(|(_, other)| other.height_m).collect())?).abs();
        let kind = if water.is_high { "high" } else { "low" };
        (off_m > OUTLIER_RANGES * usual_m).then_some(TypedError::Outlier {
            line,
            height_m: water.height_m,
            off_m,
            kind,
        })
    })
}
