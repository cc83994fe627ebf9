//! Air drag of hull, mast and rigging, wind from ahead.
//! Not for: wind from the side, sails.

use super::HullError;
use super::form::HullKind;
use crate::constants::ATMOSPHERE_PA;
use crate::notice::{Notice, push_once};

/// Specific gas constant of dry air \[J/(kg K)\]. Source: \[iso2533\].
const AIR_GAS_CONSTANT: f64 = 287.052_87;
/// Drag coefficient of spray hood, arch and the like on frontal area: engineering judgement 1.0
/// to 1.2, no source.
const EXTRA_DRAG_COEFFICIENT: f64 = 1.1;

/// Density of air at one atmosphere \[kg/m³\], by the gas law, dry.
#[must_use]
pub fn air_density_kg_m3(temperature_k: f64) -> f64 {
    ATMOSPHERE_PA / (AIR_GAS_CONSTANT * temperature_k)
}

/// Which published form of the drag area.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WindageForm {
    /// Hull 0.5 on beam x freeboard, mast 1.0, rigging 1.2: the middle of the three, the default.
    /// Source: \[larsson2000\] fig. 9.2, read on a page that reproduces it.
    #[default]
    Larsson,
    /// Hull 0.68 on beam x freeboard, mast 0.4 (faired by a sail), no rigging. The lowest.
    /// Source: \[orc2013\], read in a copy.
    Orc,
    /// 1.13 on beam x freeboard + mast frontal area. The highest. Source: \[hazen1980\], read in a copy.
    Hazen,
}

/// What stands in the wind. `None` means not known: estimated from length overall.
#[derive(Debug, Clone, PartialEq)]
pub struct Topsides {
    /// Length overall \[m\].
    pub length_overall_m: f64,
    /// Greatest beam \[m\].
    pub beam_overall_m: Option<f64>,
    /// Mean freeboard \[m\].
    pub freeboard_m: Option<f64>,
    /// Mast height above deck \[m\]; 0 for no mast.
    pub mast_height_m: Option<f64>,
    /// Mast diameter across the boat \[m\].
    pub mast_diameter_m: Option<f64>,
    /// Mean diameter of wires \[m\].
    pub rigging_diameter_m: Option<f64>,
    /// Length of all wires together \[m\].
    pub rigging_length_m: Option<f64>,
    /// Frontal area of spray hood, wheelhouse, radar, solar arch \[m²\]; 0 for none.
    pub extra_frontal_area_m2: f64,
    /// Which published form.
    pub form: WindageForm,
}

/// Topsides with nothing missing, as the forms use them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrontalAreas {
    /// Beam x freeboard \[m²\].
    pub hull_m2: f64,
    /// Mast height x diameter \[m²\].
    pub mast_m2: f64,
    /// Wire length x diameter \[m²\].
    pub rigging_m2: f64,
    /// Everything else \[m²\].
    pub extra_m2: f64,
}

impl FrontalAreas {
    /// Drag coefficient x area, wind from ahead \[m²\].
    #[must_use]
    pub fn drag_area_m2(&self, form: WindageForm) -> f64 {
        let boat = match form {
            WindageForm::Larsson => 0.5 * self.hull_m2 + self.mast_m2 + 1.2 * self.rigging_m2,
            WindageForm::Orc => 0.68 * self.hull_m2 + 0.4 * self.mast_m2,
            WindageForm::Hazen => 1.13 * (self.hull_m2 + self.mast_m2),
        };
        boat + EXTRA_DRAG_COEFFICIENT * self.extra_m2
    }
}

/// Fills what is missing by proportion to length overall and gives the frontal areas.
///
/// Beam `0.70 LOA^(2/3)`, freeboard `0.114 LOA`, mast `1.35 LOA` high and 1/120 of that thick, wires
/// 6 mast heights long and LOA/1400 thick: proportions of the 40-ft boat of \[larsson2000\] (beam rule:
/// common practice). A motor boat has no mast unless one is given.
/// # Errors
/// [`HullError`] when a measurement is negative or no number.
pub fn frontal_areas(
    topsides: &Topsides,
    kind: HullKind,
    notices: &mut Vec<Notice>,
) -> Result<FrontalAreas, HullError> {
    let loa = super::positive("length overall", topsides.length_overall_m)?;
    let mut filled = |quantity: &'static str, given: Option<f64>, usual: f64| {
        let value = given.unwrap_or_else(|| {
            push_once(
                notices,
                Notice::Estimated {
                    quantity,
                    value: usual,
                    unit: "m",
                    basis: "the usual proportion to length overall",
                    source: "common practice, no source",
                },
            );
            usual
        });
        super::within(quantity, value, (0.0, 1000.0), "give metres")
    };
    let beam = filled("beam overall", topsides.beam_overall_m, 0.70 * loa.powf(2.0 / 3.0))?;
    let freeboard = filled("mean freeboard", topsides.freeboard_m, 0.114 * loa)?;
    let has_no_mast = topsides.mast_height_m == Some(0.0)
        || (kind != HullKind::SailingYacht && topsides.mast_height_m.is_none());
    let (mast_m2, rigging_m2) = if has_no_mast {
        (0.0, topsides.rigging_length_m.unwrap_or(0.0) * topsides.rigging_diameter_m.unwrap_or(0.0))
    } else {
        let height = filled("mast height", topsides.mast_height_m, 1.35 * loa)?;
        let diameter = filled("mast diameter", topsides.mast_diameter_m, height / 120.0)?;
        let length = filled("length of all shrouds and stays", topsides.rigging_length_m, 6.0 * height)?;
        let wire = filled("diameter of shrouds and stays", topsides.rigging_diameter_m, loa / 1400.0)?;
        (height * diameter, length * wire)
    };
    let extra_m2 = super::within(
        "extra frontal area",
        topsides.extra_frontal_area_m2,
        (0.0, 1000.0),
        "give square metres, 0 for none",
    )?;
    Ok(FrontalAreas { hull_m2: beam * freeboard, mast_m2, rigging_m2, extra_m2 })
}

/// Air drag with its derivative by boat speed, wind from ahead or (negative) astern.
///
/// `0.5 rho CdA |V + W| (V + W)`; less that of a calm where a towing table has it already.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Windage {
    /// Half air density x drag area \[kg/m\].
    pub half_density_area: f64,
    /// True wind from ahead \[m/s\].
    pub head_wind_m_s: f64,
    /// The air of her own way is in the drag that was measured by towing her in a calm.
    pub is_in_tow: bool,
}

impl Windage {
    /// Drag \[N\] and slope \[N s/m\].
    #[inline]
    pub fn drag_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let apparent = speed_m_s + self.head_wind_m_s;
        let once = self.half_density_area * apparent.abs();
        let own = if self.is_in_tow { self.half_density_area * speed_m_s } else { 0.0 };
        (once * apparent - own * speed_m_s, 2.0 * (once - own))
    }
}
