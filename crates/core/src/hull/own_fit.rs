//! Residuary resistance by a fit of our own to the open measurements of the Delft series.
//!
//! A polynomial of second degree in the form parameters, held back by a penalty and chosen by leaving out one
//! hull at a time; it knows how unsure it is. Not for: choosing or fitting (`scripts/peers/own_fit.py`),
//! interpolation over speed (see `nodes`).

use super::complete::CanoeBody;
use super::form::{HullForm, HullKind};
use super::own_tables::{FOUR, SCALE, SIX, TWO};

/// Columns of the fit: Froude numbers 0.15, 0.20 .. 0.60.
pub const COLUMNS: usize = 10;
/// Most measures that a table asks for.
const MOST: usize = 6;
/// Terms of a polynomial of second degree in [`MOST`] measures.
const MOST_TERMS: usize = 1 + MOST + MOST * (MOST + 1) / 2;

/// Froude number of a column.
#[must_use]
pub fn column_froude(column: usize) -> f64 {
    0.15 + 0.05 * column as f64
}

/// How much of the form is known, and so which of the three tables answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FormKnown {
    /// Length, beam and displacement: tape and scales.
    #[default]
    Tape,
    /// Canoe-body draught and prismatic coefficient as well.
    Section,
    /// Centres of buoyancy and of the waterplane as well.
    Lines,
}

impl FormKnown {
    /// What a form gives. A motor boat counts as known in section: the usual coefficients of her kind stand for her,
    /// since the hulls of the table of two measures are sailing boats all.
    #[must_use]
    pub fn of(form: &HullForm) -> Self {
        let has_section = form.canoe_body_draught_m.is_some()
            && (form.prismatic_coefficient.is_some() || form.midship_coefficient.is_some());
        let has_centres = form.lcb_fraction.is_some() && form.lcf_fraction.is_some();
        match (has_section, has_centres) {
            (true, true) => Self::Lines,
            (true, false) => Self::Section,
            _ if form.kind == HullKind::RoundBilgeMotor => Self::Section,
            _ => Self::Tape,
        }
    }

    /// Number of measures that the table asks for.
    #[must_use]
    pub fn measures(self) -> usize {
        self.table().low.len()
    }

    fn table(self) -> &'static Table<'static> {
        match self {
            Self::Tape => &TWO,
            Self::Section => &FOUR,
            Self::Lines => &SIX,
        }
    }
}

/// Numbers of one fit.
pub(super) struct Table<'a> {
    /// Least of each measure among the hulls, scaled.
    pub low: &'a [f64],
    /// Greatest.
    pub high: &'a [f64],
    /// Column by column: constant, slopes, products of each pair in order.
    pub coefficients: &'a [f64],
    /// Standard deviation of one hull about the fit, by column.
    pub deviation: &'a [f64],
    /// Lower triangle of the inverse that gives the leverage.
    pub inverse: &'a [f64],
}

/// Residuary resistance / weight of the canoe body at the [`COLUMNS`] and its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnEstimate {
    /// Mean; may be a little below zero at the lowest speeds.
    pub ratio: [f64; COLUMNS],
    /// Standard deviation for one hull that was not in the fit, measurement included.
    pub deviation: [f64; COLUMNS],
}

/// What the fit makes of a canoe body.
///
/// In `x` = scaled (V^(1/3)/L, B/L, ln(B/Tc), Cp, xb, xf), of which as many as are known:
/// `Rr/W = c0 + sum ci xi + sum cij xi xj`. Beyond the range of a measure the mean goes on straight along it,
/// while the deviation is that of the whole polynomial and widens.
/// # Source
/// Own fit to \[dsyhs2022\], 44 bare hulls, by `scripts/peers/own_fit.py`; tables of left-out hulls stand in
/// `reference/hull/ownfit_leave_one_out.csv` and `ownfit_held_out.csv`.
/// # Valid for
/// Hulls like those of the Delft series, L/V^(1/3) 4.34 to 8.50.
/// # Accuracy
/// Total resistance of a model that the fit has not seen: rms 3.5 % with all six measures (terms of 2008 fitted
/// again without the hull: 4.1 %; of 1998: 4.2 %), 3.9 % with four, 4.6 % with two; 80 % bands hold 82 %, 83 % and
/// 82 % of the measured points. Four hulls at an edge left out together: 4.9 % (heaviest), 3.1 % (lightest),
/// 4.4 % (widest), 3.6 % (narrowest).
#[must_use]
pub fn own_estimate(body: &CanoeBody, known: FormKnown) -> OwnEstimate {
    let table = known.table();
    let count = table.low.len();
    let length = body.length_waterline_m;
    let measures = [
        body.volume_m3.cbrt() / length,
        body.beam_waterline_m / length,
        (body.beam_waterline_m / body.draught_m).ln(),
        body.prismatic_coefficient,
        body.lcb_fraction,
        body.lcf_fraction,
    ];
    let mut at = [0.0; MOST];
    let mut beyond = [0.0; MOST];
    for i in 0..count {
        at[i] = (measures[i] - SCALE[i][0]) / SCALE[i][1];
        beyond[i] = at[i] - at[i].clamp(table.low[i], table.high[i]);
    }
    let mut terms = [0.0; MOST_TERMS];
    let mut straight = [0.0; MOST_TERMS];
    terms[0] = 1.0;
    straight[0] = 1.0;
    let mut place = 1 + count;
    for i in 0..count {
        terms[1 + i] = at[i];
        straight[1 + i] = at[i];
        for j in i..count {
            terms[place] = at[i] * at[j];
            straight[place] = at[i] * at[j] - beyond[i] * beyond[j];
            place += 1;
        }
    }
    let spread = (1.0 + leverage(&terms[..place], table.inverse)).sqrt();
    let mut ratio = [0.0; COLUMNS];
    for (value, row) in ratio.iter_mut().zip(table.coefficients.chunks_exact(place)) {
        *value = row.iter().zip(&straight).map(|(c, term)| c * term).sum();
    }
    OwnEstimate { ratio, deviation: std::array::from_fn(|column| table.deviation[column] * spread) }
}

/// `terms' A terms` from the lower triangle of A.
fn leverage(terms: &[f64], triangle: &[f64]) -> f64 {
    let mut sum = 0.0;
    let mut entries = triangle.iter();
    for (i, a) in terms.iter().enumerate() {
        for (j, b) in terms[..=i].iter().enumerate() {
            let twice = if i == j { 1.0 } else { 2.0 };
            sum += twice * a * b * entries.next().copied().unwrap_or(0.0);
        }
    }
    sum
}
