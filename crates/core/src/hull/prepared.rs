//! The resistance curve of one boat in one sea, prepared once so that asking it is fast.
//!
//! Friction, with and without growth, and residuary resistance stand in cubics between nodes of speed, without a
//! kink where two columns of a fit meet; air drag is exact. Value and slope belong to
//! the same function. Not for: solving for speed or thrust.

use super::complete::CompletedHull;
use super::confined::Canal;
use super::fitted::{FittedCurve, fit_curve};
use super::form::{HullKind, KeelKind};
use super::holtrop;
use super::nodes::HIGHEST_FROUDE;
use super::residuary::{ResiduaryMethod, check_domain};
use super::resistance::{ResistanceParts, Sea};
use super::shallow::{HIGHEST_BLOCKAGE, ShallowWater};
use super::towed::{TowedCurve, TowedResistance};
use super::windage::{Topsides, Windage, air_density_kg_m3, frontal_areas};
use super::{HullError, positive, within};
use crate::constants::GRAVITY_M_S2;
use crate::notice::{Noted, Notice, Severity, check_range, push_once};
use crate::numeric::solve_bracketed;
use crate::water::Water;
use wakewright_units::factors::KNOT_M_S;

/// Coarsest sand height taken \[m\].
const COARSEST_SAND_M: f64 = 0.1;

/// Share of a canal's section that the hull may take: more is a lock, where no steady flow comes about. Judgement,
/// no source.
const HIGHEST_CANAL_BLOCKAGE: f64 = 0.6;

/// Where calm-water resistance comes from.
#[derive(Debug, Clone, PartialEq)]
enum CalmWater {
    Fitted(Box<FittedCurve>),
    Towed(TowedCurve),
}

impl CalmWater {
    #[inline]
    fn drag_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        match self {
            Self::Fitted(curve) => curve.drag_and_slope(speed_m_s),
            Self::Towed(curve) => curve.drag_and_slope(speed_m_s),
        }
    }
}

/// The resistance of one boat in one sea.
#[derive(Debug, Clone, PartialEq)]
pub struct PreparedHull {
    calm: CalmWater,
    windage: Windage,
    shallow: Option<ShallowWater>,
    in_service_factor: f64,
    sea_margin: f64,
    froude_per_speed: f64,
    max_speed_m_s: f64,
}

impl PreparedHull {
    /// Prepares the curve from the published fits.
    ///
    /// `roughness_m` is the equivalent sand height of hull, keel and rudder (0 is smooth).
    /// # Source
    /// Hull friction: \[ittc1957\] on 0.7 of the waterline length without form factor; keel and
    /// rudder: the same line on their chord with the thickness factor of \[hoerner1965\]; growth:
    /// [`crate::fouling::cf_rough`] rough less smooth on the same lengths (with the thickness factor
    /// on keel and rudder); residuary by `method`; keel residuary \[keuning1998\]; air drag
    /// [`super::windage`]; shallow water [`super::shallow`].
    /// # Valid for
    /// Froude numbers 0 to 0.60 and the ranges of [`check_domain`].
    /// # Accuracy
    /// See [`super::bands`]. The cubics are within 0.1 % of the friction lines from Fn 0.05 up.
    /// # Errors
    /// [`HullError`] when an input is impossible, no method knows such proportions, or she is aground.
    pub fn new(
        hull: &CompletedHull,
        topsides: &Topsides,
        sea: &Sea,
        roughness_m: f64,
        method: ResiduaryMethod,
        water: &Water,
    ) -> Result<Noted<Self>, HullError> {
        sea.check()?;
        within("roughness", roughness_m, (0.0, COARSEST_SAND_M), "give the sand height in metres")?;
        positive("water density", water.density_kg_m3)?;
        positive("water viscosity", water.viscosity_m2_s)?;
        let mut notices = Vec::new();
        check_hull(&mut notices, hull, method);
        let windage = prepare_windage(topsides, hull.kind, sea, &mut notices)?;
        let shallow = prepare_shallow(hull, sea, water, &mut notices)?;
        if hull.kind == HullKind::CanalBoat && sea.canal_width_m.is_none() {
            push_once(&mut notices, CANAL_NOT_TOLD);
        }
        let curve = fit_curve(hull, sea, roughness_m, method, water, &mut notices);
        let froude_per_speed = 1.0 / (GRAVITY_M_S2 * hull.body.length_waterline_m).sqrt();
        let highest = match method {
            ResiduaryMethod::HoltropMennen => holtrop::HIGHEST_FROUDE,
            _ => HIGHEST_FROUDE,
        };
        let deep_max_m_s = highest / froude_per_speed;
        let value = Self {
            calm: CalmWater::Fitted(Box::new(curve)),
            windage,
            shallow,
            in_service_factor: sea.in_service_factor,
            sea_margin: sea.sea_margin,
            froude_per_speed,
            max_speed_m_s: shallow.map_or(deep_max_m_s, |s| shallow_max_m_s(&s, deep_max_m_s)),
        };
        // Far outside the proportions of its hulls a method grows beyond all numbers, first where she is slow.
        if [0.002, 0.02, 0.2, 1.0]
            .iter()
            .any(|share| !value.resistance_n(share * value.max_speed_m_s).is_finite())
        {
            let body = &hull.body;
            return Err(HullError::NoSuchForm {
                beam_to_draught: body.beam_waterline_m / body.draught_m,
                length_m: body.length_waterline_m,
                volume_m3: body.volume_m3,
            });
        }
        Ok(Noted { value, notices })
    }

    /// Prepares the curve from a towing table. Roughness and the factor on residuary resistance play
    /// no part: both are in the table as they were on the day. Depth is not corrected for.
    /// # Errors
    /// [`HullError`] when the table or another input cannot be used.
    pub fn from_towing(
        towed: &TowedResistance,
        length_waterline_m: f64,
        kind: HullKind,
        topsides: &Topsides,
        sea: &Sea,
    ) -> Result<Noted<Self>, HullError> {
        sea.check()?;
        let length = positive("waterline length", length_waterline_m)?;
        let curve = TowedCurve::new(towed)?;
        let mut notices = vec![Notice::Remark {
            severity: Severity::Note,
            text: "Resistance is the towing table as measured: growth, load, depth and the air of her own way are those of that day. Its last \
                   speed is the end of what is known of her, not of what she can do.",
            source: "common practice, no source",
        }];
        let windage = Windage { is_in_tow: true, ..prepare_windage(topsides, kind, sea, &mut notices)? };
        let value = Self {
            max_speed_m_s: curve.max_speed_m_s(),
            calm: CalmWater::Towed(curve),
            windage,
            shallow: None,
            in_service_factor: sea.in_service_factor,
            sea_margin: sea.sea_margin,
            froude_per_speed: 1.0 / (GRAVITY_M_S2 * length).sqrt(),
        };
        Ok(Noted { value, notices })
    }

    /// The same curve in another wind from ahead \[m/s\], from astern where negative.
    #[must_use]
    pub fn with_head_wind(&self, head_wind_m_s: f64) -> Self {
        Self { windage: Windage { head_wind_m_s, ..self.windage }, ..self.clone() }
    }

    /// Highest speed at which resistance is known \[m/s\]: Froude number 0.60, less in shallow water,
    /// or the end of the towing table.
    #[must_use]
    pub fn max_speed_m_s(&self) -> f64 {
        self.max_speed_m_s
    }

    /// Froude number on the waterline length.
    #[must_use]
    pub fn froude(&self, speed_m_s: f64) -> f64 {
        speed_m_s * self.froude_per_speed
    }

    /// Resistance \[N\]; NaN outside 0 to [`Self::max_speed_m_s`], so that nothing is extrapolated
    /// unseen. At rest it is the air drag of the wind alone, negative when the wind pushes.
    #[inline]
    #[must_use]
    pub fn resistance_n(&self, speed_m_s: f64) -> f64 {
        self.resistance_and_slope(speed_m_s).0
    }

    /// Resistance \[N\] and its derivative by speed \[N s/m\], of the same piecewise function (at a
    /// node: of the piece above). NaN outside 0 to [`Self::max_speed_m_s`].
    #[inline]
    #[must_use]
    pub fn resistance_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        if !(speed_m_s >= 0.0 && speed_m_s <= self.max_speed_m_s) {
            return (f64::NAN, f64::NAN);
        }
        let (calm, calm_slope) = match &self.shallow {
            None => self.calm.drag_and_slope(speed_m_s),
            Some(shallow) => {
                let (deep_speed, stretch) = shallow.deep_speed_and_slope(speed_m_s);
                let (drag, slope) = self.calm.drag_and_slope(deep_speed);
                let (level, level_slope) = shallow.level_drag_and_slope(speed_m_s);
                (drag + level, slope * stretch + level_slope)
            }
        };
        let factor = self.in_service_factor * (1.0 + self.sea_margin);
        let (air, air_slope) = self.windage.drag_and_slope(speed_m_s);
        (factor * calm + air, factor * calm_slope + air_slope)
    }

    /// The parts of the resistance; their sum is [`Self::resistance_n`] to rounding.
    /// # Errors
    /// [`HullError::SpeedOutside`] outside 0 to [`Self::max_speed_m_s`].
    pub fn breakdown(&self, speed_m_s: f64) -> Result<ResistanceParts, HullError> {
        let speed = self.checked(speed_m_s)?;
        let mut parts = match &self.calm {
            CalmWater::Fitted(curve) => curve.parts(speed),
            CalmWater::Towed(curve) => {
                ResistanceParts { towed_n: curve.drag_and_slope(speed).0, ..ResistanceParts::default() }
            }
        };
        if let Some(shallow) = &self.shallow {
            let deep_speed = shallow.deep_speed_and_slope(speed).0;
            let level = shallow.level_drag_and_slope(speed).0;
            parts.shallow_water_n = self.calm.drag_and_slope(deep_speed).0 + level - parts.calm_water_n();
        }
        let calm = parts.calm_water_n();
        parts.in_service_n = (self.in_service_factor - 1.0) * calm;
        parts.sea_margin_n = self.sea_margin * self.in_service_factor * calm;
        parts.windage_n = self.windage.drag_and_slope(speed).0;
        Ok(parts.summed())
    }

    fn checked(&self, speed_m_s: f64) -> Result<f64, HullError> {
        if speed_m_s >= 0.0 && speed_m_s <= self.max_speed_m_s {
            Ok(speed_m_s)
        } else {
            Err(HullError::SpeedOutside { speed_m_s, max_m_s: self.max_speed_m_s })
        }
    }
}

fn check_hull(notices: &mut Vec<Notice>, hull: &CompletedHull, method: ResiduaryMethod) {
    if method != ResiduaryMethod::HoltropMennen {
        check_domain(notices, &hull.body);
    }
    if hull.kind == HullKind::CanalBoat {
        push_once(
            notices,
            Notice::Remark {
                severity: Severity::Weak,
                text: "Resistance of a canal boat is that of a method for ships with finer ends: form drag may be from six \
                       tenths to twice of it. A trial or a towing table is better.",
                source: "holtrop1984",
            },
        );
    }
    if hull.kind == HullKind::RoundBilgeMotor {
        push_once(
            notices,
            Notice::Remark {
                severity: Severity::Weak,
                text: "Residuary resistance is that of sailing hulls; for a round-bilge motor \
                       boat it holds within 20 % at best and below Froude number 0.40 only. A trial or a towing table is better.",
                source: "common practice, no source",
            },
        );
    }
    let is_fin = hull.keel.as_ref().is_none_or(|k| matches!(k.kind, KeelKind::Fin | KeelKind::None));
    if !is_fin {
        push_once(
            notices,
            Notice::Remark {
                severity: Severity::Weak,
                text: "The hulls behind the fit had fin keels; resistance of a long keel or of \
                       twin keels is carried over from them by area and volume.",
                source: "keuning1998",
            },
        );
    }
}

const CANAL_NOT_TOLD: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "A canal boat whose canal is not told is reckoned in wide, deep water: between banks she is slower by a knot or two and takes \
           several times the power. Give the canal's width and depth.",
    source: "common practice, no source",
};

fn prepare_windage(
    topsides: &Topsides,
    kind: HullKind,
    sea: &Sea,
    notices: &mut Vec<Notice>,
) -> Result<Windage, HullError> {
    let drag_area_m2 = frontal_areas(topsides, kind, notices)?.drag_area_m2(topsides.form);
    let density = air_density_kg_m3(sea.air_temperature_k);
    Ok(Windage {
        half_density_area: 0.5 * density * drag_area_m2 * sea.windage_factor,
        head_wind_m_s: sea.true_head_wind_m_s,
        is_in_tow: false,
    })
}

fn prepare_shallow(
    hull: &CompletedHull,
    sea: &Sea,
    water: &Water,
    notices: &mut Vec<Notice>,
) -> Result<Option<ShallowWater>, HullError> {
    let Some(depth_m) = sea.depth_m else { return Ok(None) };
    if depth_m <= hull.draught_m {
        return Err(HullError::Aground { depth_m, draught_m: hull.draught_m });
    }
    warn_of_ground(hull, depth_m, notices);
    let midship_area_m2 = hull.body.midship_area_m2();
    let banks = prepare_banks(hull, sea, depth_m, notices)?
        .map(|canal| (canal, water.density_kg_m3 * sea.stern_loss.max(0.0)));
    let shallow = ShallowWater { depth_m, midship_area_m2, banks };
    if banks.is_none() {
        push_once(
            notices,
            Notice::Remark {
                severity: Severity::Note,
                text: "Depth is allowed for by a speed loss published for ships, without walls beside \
                       the boat; a canal costs more.",
                source: "from memory",
            },
        );
    }
    check_range(
        notices,
        "speed loss in shallow water",
        "midship area / depth^2",
        shallow.blockage(),
        (0.0, HIGHEST_BLOCKAGE),
        "",
        "lackenby1963",
    );
    Ok(Some(shallow))
}

/// Says that she sinks as she moves, where little water stands under her keel.
///
/// Sinkage of a slender ship in shallow water without banks, `s = 1.46 vol / L² F² / sqrt(1 - F²)` with the depth Froude
/// number F, taken at F = 0.7. Tuck 1966, from memory; boats with beams of a third of their length lie outside of it, so that it
/// is a warning and no figure.
fn warn_of_ground(hull: &CompletedHull, depth_m: f64, notices: &mut Vec<Notice>) {
    const TUCK: f64 = 1.46;
    const DEPTH_FROUDE: f64 = 0.7;
    /// So many times the sinkage in hand are no cause to speak: swell and an uneven bottom take from it.
    const IN_HAND: f64 = 2.0;
    let under_keel_m = depth_m - hull.draught_m;
    let length_m = hull.body.length_waterline_m;
    let slender = hull.body.volume_m3 / (length_m * length_m);
    let sinks_m = TUCK * slender * DEPTH_FROUDE * DEPTH_FROUDE / (1.0 - DEPTH_FROUDE * DEPTH_FROUDE).sqrt();
    if under_keel_m > IN_HAND * sinks_m {
        return;
    }
    let at_kn = DEPTH_FROUDE * (GRAVITY_M_S2 * depth_m).sqrt() / KNOT_M_S;
    let strikes = if under_keel_m <= sinks_m { ": she strikes before that" } else { "" };
    let notice = Notice::Read {
        severity: Severity::Caution,
        text: format!(
            "Only {under_keel_m:.2} m stand between keel and bottom, and as she moves she sinks: by some {sinks_m:.2} m at \
             {at_kn:.1} kn{strikes}. Swell and what lies on the bottom are not in this; no speed told here is one to make there."
        ),
    };
    push_once(notices, notice);
}

/// The banks of a canal.
fn prepare_banks(
    hull: &CompletedHull,
    sea: &Sea,
    depth_m: f64,
    notices: &mut Vec<Notice>,
) -> Result<Option<Canal>, HullError> {
    let Some(width_m) = sea.canal_width_m else { return Ok(None) };
    let beam_m = hull.body.beam_waterline_m;
    if width_m <= beam_m {
        return Err(HullError::CanalTooNarrow { width_m, beam_m });
    }
    let canal = Canal { depth_m, width_m, midship_area_m2: hull.body.midship_area_m2() };
    within(
        "midship section / section of the canal",
        canal.blockage(),
        (0.0, HIGHEST_CANAL_BLOCKAGE),
        "she all but plugs it, as in a lock; measure width and depth of the canal again",
    )?;
    push_once(
        notices,
        Notice::Remark {
            severity: Severity::Weak,
            text: "Between banks the water must pass back beside the hull, and its level falls there: allowed for by its \
                   mean speed over the section and a wide band for what the stern does not win back. Beyond a limiting speed power only digs a deeper hollow, and she sinks with \
                   the water beside her. Steer in the middle, and slow down for moored boats and soft banks.",
            source: "schijf1949",
        },
    );
    Ok(Some(canal))
}

/// Speed in shallow water that has the resistance of `deep_max_m_s`, at most the critical speed.
fn shallow_max_m_s(shallow: &ShallowWater, deep_max_m_s: f64) -> f64 {
    let critical = shallow.critical_speed_m_s().min(deep_max_m_s);
    let excess = |speed: f64| shallow.deep_speed_and_slope(speed).0 - deep_max_m_s;
    if excess(critical) <= 0.0 {
        return critical;
    }
    // Half the tolerance low, so that the deep-water speed stays inside the nodes.
    solve_bracketed(excess, 0.0, critical, 1e-9).map_or(critical, |speed| speed - 1e-9)
}
