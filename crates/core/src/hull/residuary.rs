//! Residuary resistance of the canoe body by the published fits to the Delft series.
//! Not for: keel (see `keel_residuary`), friction, heel.

use super::complete::CanoeBody;
use super::delft_tables::{
    GERRITSMA_1992_HIGH, GERRITSMA_1992_LOW, KEUNING_KATGERT_2008, KEUNING_SONNENBERG_1998,
};
use super::holtrop::{self, ShipForm};
use super::nodes::{NODES, NodeCurve, fourth_power_curve, node_froude};
use super::own_fit::{COLUMNS, FormKnown, column_froude, own_estimate};
use crate::notice::{Notice, check_range};

/// Which published fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ResiduaryMethod {
    /// Bare canoe body, Fn 0.10 to 0.60.
    #[default]
    KeuningSonnenberg1998,
    /// Bare canoe body, Fn 0.15 to 0.75. The second opinion.
    KeuningKatgert2008,
    /// Hull with keel and rudder as tested (inferred, see [`residuary_ratio_gerritsma1992`]): an
    /// upper check, to which no keel residuary is added.
    Gerritsma1992,
    /// Bare canoe body, own fit to the open measurements, Fn 0.15 to 0.60. What a document's boat is
    /// computed by: it errs less on hulls it has not seen than the published terms fitted again without them.
    OwnFit(FormKnown),
    /// Full hulls by a method for ships: form factor on the whole length, waves up to Fn 0.40.
    HoltropMennen,
}

impl ResiduaryMethod {
    /// Name for a report.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::KeuningSonnenberg1998 => "Keuning and Sonnenberg 1998",
            Self::KeuningKatgert2008 => "Keuning and Katgert 2008",
            Self::Gerritsma1992 => "Gerritsma and others 1992 (keel and rudder included)",
            Self::HoltropMennen => "Holtrop and Mennen 1982 and 1984, a method for ships",
            Self::OwnFit(FormKnown::Tape) => {
                "own fit to the open Delft measurements (length, beam, displacement)"
            }
            Self::OwnFit(FormKnown::Section) => {
                "own fit to the open Delft measurements (with draught and prismatic coefficient)"
            }
            Self::OwnFit(FormKnown::Lines) => {
                "own fit to the open Delft measurements (all measures of the form)"
            }
        }
    }

    /// True when keel and rudder are inside the fit.
    #[must_use]
    pub fn includes_appendages(self) -> bool {
        self == Self::Gerritsma1992
    }
}

const DOMAIN_SOURCE: &str = "keuning2008";

/// Published ranges of the parameters \[keuning2008\] (read in two copies).
const LENGTH_BEAM: (f64, f64) = (2.73, 5.00);
const BEAM_DRAUGHT: (f64, f64) = (2.46, 19.38);
const SLENDERNESS: (f64, f64) = (4.34, 8.50);
const LCB_FRACTION: (f64, f64) = (0.500, 0.582);
const LCF_FRACTION: (f64, f64) = (0.518, 0.595);
const PRISMATIC: (f64, f64) = (0.52, 0.60);
const MIDSHIP: (f64, f64) = (0.65, 0.78);
const WATERPLANE: (f64, f64) = (3.78, 12.67);

/// The parameters of the fits with value and published range.
fn parameters(body: &CanoeBody) -> [(&'static str, f64, (f64, f64)); 8] {
    let area_ratio = body.waterplane_area_m2 / body.volume_m3.powf(2.0 / 3.0);
    [
        ("waterline length / beam", body.length_waterline_m / body.beam_waterline_m, LENGTH_BEAM),
        ("beam / canoe-body draught", body.beam_waterline_m / body.draught_m, BEAM_DRAUGHT),
        ("length / volume^(1/3)", body.slenderness(), SLENDERNESS),
        ("centre of buoyancy / length", body.lcb_fraction, LCB_FRACTION),
        ("centre of waterplane / length", body.lcf_fraction, LCF_FRACTION),
        ("prismatic coefficient", body.prismatic_coefficient, PRISMATIC),
        ("midship coefficient", body.midship_coefficient, MIDSHIP),
        ("waterplane area / volume^(2/3)", area_ratio, WATERPLANE),
    ]
}

/// Adds a notice for each parameter outside the published range.
pub fn check_domain(notices: &mut Vec<Notice>, body: &CanoeBody) {
    for (quantity, value, range) in parameters(body) {
        check_range(notices, "residuary resistance", quantity, value, range, "", DOMAIN_SOURCE);
    }
}

/// Number of parameters outside the published range.
#[must_use]
pub fn parameters_outside(body: &CanoeBody) -> usize {
    parameters(body).iter().filter(|(_, value, (low, high))| value < low || value > high).count()
}

/// Residuary resistance / weight of the canoe body at one column (`a`: a0..a8).
///
/// `a0 + s (a1 xb + a2 Cp + a3 V^(2/3)/Aw + a4 B/L) + s (a5 V^(2/3)/Sc + a6 xb/xf + a7 xb^2 + a8 Cp^2)`,
/// `s = V^(1/3)/L`, xb and xf from the forward end in lengths.
fn column_1998(body: &CanoeBody, a: &[f64]) -> f64 {
    let v13 = body.volume_m3.cbrt();
    let v23 = v13 * v13;
    let (xb, cp) = (body.lcb_fraction, body.prismatic_coefficient);
    a[0] + v13 / body.length_waterline_m
        * (a[1] * xb
            + a[2] * cp
            + a[3] * v23 / body.waterplane_area_m2
            + a[4] * body.beam_waterline_m / body.length_waterline_m
            + a[5] * v23 / body.wetted_surface_m2
            + a[6] * xb / body.lcf_fraction
            + a[7] * xb * xb
            + a[8] * cp * cp)
}

/// As `column_1998` with `s (a5 xb/xf + a6 B/Tc + a7 Cm)` as the second part.
fn column_2008(body: &CanoeBody, a: &[f64]) -> f64 {
    let v13 = body.volume_m3.cbrt();
    a[0] + v13 / body.length_waterline_m
        * (a[1] * body.lcb_fraction
            + a[2] * body.prismatic_coefficient
            + a[3] * v13 * v13 / body.waterplane_area_m2
            + a[4] * body.beam_waterline_m / body.length_waterline_m
            + a[5] * body.lcb_fraction / body.lcf_fraction
            + a[6] * body.beam_waterline_m / body.draught_m
            + a[7] * body.midship_coefficient)
}

/// What the 1992 fit asks for; it needs no more than the open 308-point set gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parameters1992 {
    /// Canoe-body prismatic coefficient.
    pub prismatic_coefficient: f64,
    /// Centre of buoyancy from midship in percent of the length, negative aft (as published).
    pub lcb_percent: f64,
    /// Waterline beam / canoe-body draught.
    pub beam_draught: f64,
    /// Waterline length / volume^(1/3).
    pub slenderness: f64,
    /// Waterline length / beam.
    pub length_beam: f64,
    /// Waterplane area / volume^(2/3); used above Fn 0.45 only.
    pub waterplane_ratio: f64,
}

impl Parameters1992 {
    /// The parameters of a canoe body.
    #[must_use]
    pub fn of(body: &CanoeBody) -> Self {
        Self {
            prismatic_coefficient: body.prismatic_coefficient,
            lcb_percent: 100.0 * (0.5 - body.lcb_fraction),
            beam_draught: body.beam_waterline_m / body.draught_m,
            slenderness: body.slenderness(),
            length_beam: body.length_waterline_m / body.beam_waterline_m,
            waterplane_ratio: body.waterplane_area_m2 / body.volume_m3.powf(2.0 / 3.0),
        }
    }
}

/// Residuary resistance / weight at a published column of the 1992 fit.
///
/// Fn 0.125 to 0.45: `1000 Rr/W = a0 + a1 Cp + a2 L + a3 B/Tc + a4 M + a5 Cp^2 + a6 Cp M + a7 L^2 +
/// a8 M^2 + a9 M^3`; 0.475 to 0.60: `c0 + c1 L/B + c2 Q + c3 LCB + c4 (L/B)^2 + c5 (L/B) Q^3`.
/// `None` when `froude` is no column.
/// # Source
/// \[gerritsma1992\], read in copies. That keel and rudder are inside is inferred: the open set
/// \[delft308\] that it fits lies 12 to 36 % above the bare-hull fits.
/// # Example
/// By hand from the published column of Fn 0.125, for Cp 0.5 and M 5 alone: -6.735654 + 19.184155 - 9.98621 - 9.715203 +
/// 2.391478 + 6.822375 - 2.1895 = -0.228559.
/// ```
/// # use wakewright_core::hull::residuary::{Parameters1992, residuary_ratio_gerritsma1992};
/// let (prismatic_coefficient, slenderness, length_beam, waterplane_ratio) = (0.5, 5.0, 0.0, 0.0);
/// let (lcb_percent, beam_draught) = (0.0, 0.0);
/// let form = Parameters1992 {
///     prismatic_coefficient,
///     lcb_percent,
///     beam_draught,
///     slenderness,
///     length_beam,
///     waterplane_ratio,
/// };
/// let found = residuary_ratio_gerritsma1992(&form, 0.125).unwrap();
/// assert!((1000.0 * found + 0.228_559).abs() < 2e-6);
/// ```
#[must_use]
pub fn residuary_ratio_gerritsma1992(p: &Parameters1992, froude: f64) -> Option<f64> {
    let is_column = |row: f64| (row - froude).abs() < 1e-9;
    let (cp, lcb, m) = (p.prismatic_coefficient, p.lcb_percent, p.slenderness);
    if let Some([_, a @ ..]) = GERRITSMA_1992_LOW.iter().find(|row| is_column(row[0])) {
        let sum = a[0]
            + cp * (a[1] + a[5] * cp + a[6] * m)
            + lcb * (a[2] + a[7] * lcb)
            + a[3] * p.beam_draught
            + m * (a[4] + m * (a[8] + m * a[9]));
        return Some(sum * 1e-3);
    }
    let [_, c @ ..] = GERRITSMA_1992_HIGH.iter().find(|row| is_column(row[0]))?;
    let (lb, q) = (p.length_beam, p.waterplane_ratio);
    let sum = c[0] + lb * (c[1] + c[4] * lb + c[5] * q.powi(3)) + c[2] * q + c[3] * lcb;
    Some(sum * 1e-3)
}

/// Residuary resistance / weight of the canoe body over Froude number.
///
/// Between the columns of a fit, and below its first, it goes in step with the fourth power of speed
/// ([`fourth_power_curve`]). Of [`ResiduaryMethod::HoltropMennen`] it is the waves alone (form drag goes with
/// friction), up to Fn 0.40.
/// # Source
/// \[keuning1998\], \[keuning2008\], \[gerritsma1992\], \[holtrop1982\], own fit to \[dsyhs2022\]. Total resistance of
/// the 44 measured bare hulls \[dsyhs2022\] by the 1998 fit with friction: rms 3.2 to 4.4 % by band, in-sample; a real
/// boat is worse.
/// # Valid for
/// The ranges of [`check_domain`].
/// # Example
/// Hull 1 of \[dsyhs2022\] at a Froude number of 0.30 by an independent evaluation of \[keuning1998\]: 0.002917 of
/// her weight.
/// ```
/// # use wakewright_core::hull::complete::CanoeBody;
/// # use wakewright_core::hull::nodes::node_froude;
/// # use wakewright_core::hull::ResiduaryMethod;
/// # use wakewright_core::hull::residuary::residuary_curve;
/// let body = CanoeBody {
///     length_waterline_m: 1.6,
///     beam_waterline_m: 0.5072,
///     draught_m: 0.127_04,
///     volume_m3: 0.037_613_6,
///     prismatic_coefficient: 0.564_414,
///     midship_coefficient: 0.646_41,
///     lcb_fraction: 0.5 + 0.036_64 / 1.6,
///     lcf_fraction: 0.5 + 0.053_28 / 1.6,
///     waterplane_area_m2: 0.558_566,
///     wetted_surface_m2: 0.642_534,
/// };
/// let curve = residuary_curve(&body, ResiduaryMethod::KeuningSonnenberg1998);
/// assert!((node_froude(12) - 0.30).abs() < 1e-12);
/// assert!((curve[12].0 - 0.002_917).abs() < 0.6e-6);
/// ```
#[must_use]
pub fn residuary_curve(body: &CanoeBody, method: ResiduaryMethod) -> NodeCurve {
    match method {
        ResiduaryMethod::KeuningSonnenberg1998 => fourth_power_curve(
            &KEUNING_SONNENBERG_1998.map(|[froude, a @ ..]| (froude, column_1998(body, &a))),
        ),
        ResiduaryMethod::KeuningKatgert2008 => {
            fourth_power_curve(&KEUNING_KATGERT_2008.map(|[froude, a @ ..]| (froude, column_2008(body, &a))))
        }
        ResiduaryMethod::Gerritsma1992 => {
            let parameters = Parameters1992::of(body);
            let columns: Vec<(f64, f64)> = (0..NODES)
                .map(node_froude)
                .filter_map(|froude| Some((froude, residuary_ratio_gerritsma1992(&parameters, froude)?)))
                .collect();
            fourth_power_curve(&columns)
        }
        ResiduaryMethod::HoltropMennen => {
            let form = ShipForm::of(body);
            let step = 1e-5;
            std::array::from_fn(|node| {
                let froude = node_froude(node).min(holtrop::HIGHEST_FROUDE);
                let rise = form.wave_ratio(froude + step) - form.wave_ratio(froude - step);
                (form.wave_ratio(froude), rise / (2.0 * step))
            })
        }
        ResiduaryMethod::OwnFit(known) => {
            let ratio = own_estimate(body, known).ratio;
            let columns: [(f64, f64); COLUMNS] = std::array::from_fn(|i| (column_froude(i), ratio[i]));
            fourth_power_curve(&columns)
        }
    }
}
