//! The height of the tide at a port from its harmonic constants, and its high and low waters.
//! Not for: where the constants come from (`set`).

use std::f64::consts::{FRAC_PI_2, TAU};

use super::TideError;
use super::astronomy::mean_longitudes_meeus1998;
use super::constituent::Constituent;
use super::nodal::{NodalSet, Nodes};
use crate::numeric::solve_bracketed;

/// One harmonic constant.
#[derive(Debug, Clone, PartialEq)]
pub struct Constant {
    /// Which constituent.
    pub constituent: Constituent,
    /// Its amplitude \[m\].
    pub amplitude_m: f64,
    /// By how much it is behind its argument at Greenwich \[rad\].
    pub lag_rad: f64,
}

/// A port whose constants are known.
#[derive(Debug, Clone, PartialEq)]
pub struct Port {
    /// Its constants.
    pub constants: Vec<Constant>,
    /// Mean level above the datum \[m\].
    pub mean_above_datum_m: f64,
    /// By which nodal formulas.
    pub nodal: NodalSet,
}

/// A high or a low water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// When \[s\].
    pub unix_s: f64,
    /// Height above the datum \[m\].
    pub height_m: f64,
    /// High, else low.
    pub is_high: bool,
}

/// How long node and perigee are taken in a straight line: M1, the quickest, turns by a degree in it.
const STRETCH_S: f64 = 5.0 * 86_400.0;
/// How close the curve is looked at for turning points: shorter than half of the shortest constituent by far.
const STEP_S: f64 = 900.0;
/// The years for which factors are taken, as Unix seconds: 1900 to the end of 2100.
const FIRST_UNIX_S: f64 = -2_208_988_800.0;
const LAST_UNIX_S: f64 = 4_133_980_800.0;

/// Every constant over a stretch in which amplitudes and angles run straight.
struct Stretch {
    from_s: f64,
    mean_m: f64,
    terms: Vec<Term>,
}

struct Term {
    amplitude_m: f64,
    amplitude_m_s: f64,
    angle_rad: f64,
    angle_rad_s: f64,
}

impl Port {
    /// Height of the tide above the datum \[m\].
    ///
    /// `h = Z0 + sum f A cos(V + u - g)` with Z0 = mean level, A = amplitude, g = lag, V = argument, f and u = nodal.
    /// # Source
    /// \[schureman1958\] formula 42, from memory; checked against an independent program
    /// (`reference/tide/noaa_hourly.csv`, 1 mm) and through high and low waters against official ones.
    /// # Valid for
    /// 1900 to 2100; constants hold for the bed of their years. No weather is in it.
    /// # Accuracy
    /// 9 mm and 1.4 min at official US stations; worse where shallow water is strong.
    /// # Errors
    /// `TideError::YearOutside`.
    /// # Example
    /// A port with S2 alone, 1 m, no lag, is high at midnight and low at six:
    /// ```
    /// use wakewright_core::tide::{Constant, NodalSet, Port};
    /// use wakewright_core::tide::constituent::{Office, constituent};
    /// let s2 = constituent(Office::Us, "S2").unwrap();
    /// let port = Port {
    ///     constants: vec![Constant { constituent: s2, amplitude_m: 1.0, lag_rad: 0.0 }],
    ///     mean_above_datum_m: 2.0,
    ///     nodal: NodalSet::Schureman,
    /// };
    /// assert!((port.height_m(86_400.0).unwrap() - 3.0).abs() < 1e-6);
    /// assert!((port.height_m(86_400.0 + 21_600.0).unwrap() - 1.0).abs() < 1e-6);
    /// ```
    pub fn height_m(&self, unix_s: f64) -> Result<f64, TideError> {
        check_years(unix_s, unix_s)?;
        Ok(self.stretch(unix_s, unix_s + STEP_S).height_m(0.0))
    }

    /// Heights every `step_s` from `from_s` to `to_s`, both ends among them where the steps fit.
    /// # Errors
    /// `TideError::YearOutside`.
    pub fn heights(&self, from_s: f64, to_s: f64, step_s: f64) -> Result<Vec<(f64, f64)>, TideError> {
        check_years(from_s, to_s)?;
        let mut heights = Vec::new();
        let mut stretch = self.stretch(from_s, from_s + STRETCH_S);
        let mut at = from_s;
        while at <= to_s + 1e-3 {
            if at - stretch.from_s > STRETCH_S {
                stretch = self.stretch(at, at + STRETCH_S);
            }
            heights.push((at, stretch.height_m(at - stretch.from_s)));
            at = from_s + step_s * heights.len() as f64;
        }
        Ok(heights)
    }

    /// High and low waters from `from_s` to `to_s`: every turning point of the curve, by turns high and low.
    /// # Errors
    /// `TideError::YearOutside`, `TideError::NoConstants`.
    pub fn waters(&self, from_s: f64, to_s: f64) -> Result<Vec<Water>, TideError> {
        if self.constants.is_empty() {
            return Err(TideError::NoConstants);
        }
        check_years(from_s, to_s)?;
        let mut waters = Vec::new();
        let mut from = from_s;
        let mut rising_before = None;
        while from < to_s {
            let until = (from + STRETCH_S).min(to_s);
            self.stretch(from, from + STRETCH_S).turn(until - from, &mut rising_before, &mut waters);
            from = until;
        }
        Ok(waters)
    }

    fn stretch(&self, from_s: f64, to_s: f64) -> Stretch {
        let length_s = to_s - from_s;
        let [start, end] = [from_s, to_s].map(|at| {
            let longitudes = mean_longitudes_meeus1998(at);
            (longitudes, Nodes::at(self.nodal, &longitudes))
        });
        let of = |constant: &Constant| {
            let [(a0, v0), (a1, v1)] = [&start, &end].map(|(longitudes, nodes)| {
                let nodal = nodes.of(&constant.constituent.nodes);
                let argument = longitudes.combined_rad(constant.constituent.doodson)
                    + f64::from(constant.constituent.quarters) * FRAC_PI_2
                    + nodal.shift_rad
                    - constant.lag_rad;
                (constant.amplitude_m * nodal.factor, argument)
            });
            // Hours start anew at midnight and angles at a full turn: how many turns passed follows from the speed.
            let speed = constant.constituent.speed_rad_s();
            let turns = ((v1 - v0 - speed * length_s) / TAU).round();
            Term {
                amplitude_m: a0,
                amplitude_m_s: (a1 - a0) / length_s,
                angle_rad: v0.rem_euclid(TAU),
                angle_rad_s: (v1 - v0 - turns * TAU) / length_s,
            }
        };
        Stretch { from_s, mean_m: self.mean_above_datum_m, terms: self.constants.iter().map(of).collect() }
    }
}

impl Stretch {
    fn height_m(&self, since_s: f64) -> f64 {
        let of = |term: &Term| {
            (term.amplitude_m + term.amplitude_m_s * since_s)
                * (term.angle_rad + term.angle_rad_s * since_s).cos()
        };
        self.mean_m + self.terms.iter().map(of).sum::<f64>()
    }

    fn rise_m_s(&self, since_s: f64) -> f64 {
        let of = |term: &Term| {
            let (sin, cos) = (term.angle_rad + term.angle_rad_s * since_s).sin_cos();
            term.amplitude_m_s * cos
                - (term.amplitude_m + term.amplitude_m_s * since_s) * term.angle_rad_s * sin
        };
        self.terms.iter().map(of).sum()
    }

    /// Where the rise changes sign between two moments; where it does so only from one stretch to the next, there.
    fn turned_between(&self, low_s: f64, high_s: f64) -> f64 {
        solve_bracketed(|at| self.rise_m_s(at), low_s, high_s, 0.2).unwrap_or(high_s)
    }

    /// Adds the waters of its first `length_s`. The rise is stepped by turning each term by a fixed angle, which
    /// costs four multiplications instead of a sine.
    fn turn(&self, length_s: f64, rising_before: &mut Option<bool>, waters: &mut Vec<Water>) {
        let mut arms: Vec<(f64, f64)> =
            self.terms.iter().map(|term| (term.angle_rad.cos(), term.angle_rad.sin())).collect();
        let turns: Vec<(f64, f64)> = self
            .terms
            .iter()
            .map(|term| ((term.angle_rad_s * STEP_S).cos(), (term.angle_rad_s * STEP_S).sin()))
            .collect();
        let mut at = 0.0;
        loop {
            let mut rise = 0.0;
            for (term, (cos, sin)) in self.terms.iter().zip(&arms) {
                rise += term.amplitude_m_s * cos
                    - (term.amplitude_m + term.amplitude_m_s * at) * term.angle_rad_s * sin;
            }
            let is_rising = rise > 0.0;
            if let Some(before) = *rising_before
                && before != is_rising
            {
                let turned = self.turned_between((at - STEP_S).max(0.0), at);
                waters.push(Water {
                    unix_s: self.from_s + turned,
                    height_m: self.height_m(turned),
                    is_high: before,
                });
            }
            *rising_before = Some(is_rising);
            if at + STEP_S > length_s + 1e-6 {
                break;
            }
            at += STEP_S;
            for ((cos, sin), (by_cos, by_sin)) in arms.iter_mut().zip(&turns) {
                (*cos, *sin) = (*cos * by_cos - *sin * by_sin, *sin * by_cos + *cos * by_sin);
            }
        }
    }
}

impl Constituent {
    /// How fast its argument runs on \[rad/s\].
    #[must_use]
    pub fn speed_rad_s(&self) -> f64 {
        const HOUR_S: f64 = 3600.0;
        let [before, after] = [-HOUR_S, HOUR_S].map(|at| mean_longitudes_meeus1998(86_400.0 / 2.0 + at));
        (after.combined_rad(self.doodson) - before.combined_rad(self.doodson)) / (2.0 * HOUR_S)
    }
}

fn check_years(from_s: f64, to_s: f64) -> Result<(), TideError> {
    for at in [from_s, to_s] {
        if !(FIRST_UNIX_S..LAST_UNIX_S).contains(&at) {
            return Err(TideError::YearOutside { year: 1970 + (at / 31_556_952.0).floor() as i64 });
        }
    }
    Ok(())
}
