//! Fills what was not measured of hull, keel and rudder, says how, and refuses contradictions.
//! Not for: judging whether the result suits a resistance fit (see `residuary`).

use super::appendages::{CompletedKeel, CompletedRudder, complete_keel, complete_rudder, keel_habit};
use super::estimates::{Estimates, Medians, PRACTICE};
use super::form::{HullForm, HullKind, Keel, Rudder, block_coefficient};
use super::friction::wetted_surface_m2;
use super::holtrop::ShipForm;
use super::{HullError, positive, within};
use crate::notice::{Noted, Notice, Severity, push_once};
use crate::water::Water;

/// Share of the draught by which canoe body and keel, both estimated, may miss it before it is said: about
/// what the two estimates are unsure. Judgement, no source.
const DEPTHS_APART: f64 = 0.25;

/// The hull without keel and rudder, complete.
#[derive(Debug, Clone, PartialEq)]
pub struct CanoeBody {
    /// Length of the waterline \[m\].
    pub length_waterline_m: f64,
    /// Greatest beam of the waterline \[m\].
    pub beam_waterline_m: f64,
    /// Draught \[m\].
    pub draught_m: f64,
    /// Volume below the waterline \[m³\].
    pub volume_m3: f64,
    /// Volume / (midship area x length).
    pub prismatic_coefficient: f64,
    /// Midship area / (beam x draught).
    pub midship_coefficient: f64,
    /// Centre of buoyancy from the forward end, in lengths.
    pub lcb_fraction: f64,
    /// Centre of the waterplane from the forward end, in lengths.
    pub lcf_fraction: f64,
    /// Area of the waterplane \[m²\].
    pub waterplane_area_m2: f64,
    /// Wetted surface \[m²\].
    pub wetted_surface_m2: f64,
}

impl CanoeBody {
    /// Area of the midship section below the waterline \[m²\].
    #[must_use]
    pub fn midship_area_m2(&self) -> f64 {
        self.midship_coefficient * self.beam_waterline_m * self.draught_m
    }

    /// Waterline length / cube root of the volume.
    #[must_use]
    pub fn slenderness(&self) -> f64 {
        super::form::slenderness(self.length_waterline_m, self.volume_m3)
    }
}

/// A hull with everything that the resistance methods ask for.
#[derive(Debug, Clone, PartialEq)]
pub struct CompletedHull {
    /// Sort of hull.
    pub kind: HullKind,
    /// Draught to the lowest point \[m\].
    pub draught_m: f64,
    /// Hull without keel and rudder.
    pub body: CanoeBody,
    /// Keel, if there is one.
    pub keel: Option<CompletedKeel>,
    /// Rudder.
    pub rudder: CompletedRudder,
    /// How many of the form parameters beyond length, beam and displacement were measured (0 to 6).
    pub measured_form_parameters: u8,
}

/// Fills what is missing of `form`, `keel` and `rudder` and notes each estimate.
///
/// Canoe-body volume is displacement / density less keel and rudder. Canoe-body draught, when not
/// given, follows from that volume and `Cb = Cp Cm` (no keel: it is the draught at most). A midship
/// coefficient that is not given follows from volume and draught when these are known, so that the
/// set is consistent.
///
/// The keel reaches from the canoe body to the draught where both were measured. Where the canoe body's
/// draught is itself an estimate, the keel's depth is a share of the draught by its sort, which does not ask
/// for displacement: whatever she weighs, she has the keel that she has, and more weight is a deeper hull.
/// When the two estimates do not add up to the draught it is said.
/// # Errors
/// [`HullError`] when a measurement is not positive or the measurements contradict each other.
pub fn complete(
    form: &HullForm,
    keel: &Keel,
    rudder: &Rudder,
    water: &Water,
) -> Result<Noted<CompletedHull>, HullError> {
    check_form(form)?;
    let mut notices = Vec::new();
    let medians = Medians::of(form.kind);
    let mut estimates = Estimates { notices: &mut notices, medians };
    let length = form.length_waterline_m;
    let whole_m3 = form.displacement_kg / positive("water density", water.density_kg_m3)?;

    let rudder = complete_rudder(form, rudder, &mut estimates)?;
    let keel = match keel_habit(keel.kind) {
        None => None,
        Some(habit) => {
            let span_m = match form.canoe_body_draught_m {
                Some(canoe_m) => form.draught_m - canoe_m,
                None => habit.span_m(form.draught_m),
            };
            if span_m <= 0.0 {
                return Err(too_deep(form.draught_m - span_m, form));
            }
            Some((complete_keel(keel, &habit, length, span_m, &mut estimates)?, span_m))
        }
    };
    let appendages_m3 = rudder.volume_m3 + keel.as_ref().map_or(0.0, |(keel, _)| keel.volume_m3);
    if appendages_m3 > 0.5 * whole_m3 {
        return Err(HullError::AppendagesTooLarge { appendages_m3, whole_m3 });
    }
    let volume_m3 = whole_m3 - appendages_m3;
    let draught_m = form.canoe_body_draught_m.unwrap_or_else(|| {
        let block = form.prismatic_coefficient.unwrap_or(medians.prismatic)
            * form.midship_coefficient.unwrap_or(medians.midship);
        let from_volume = volume_m3 / (block * length * form.beam_waterline_m);
        if keel.is_none() && from_volume > form.draught_m {
            let basis = "the draught, since there is no keel";
            return estimates.note("canoe-body draught", form.draught_m, "m", basis, PRACTICE);
        }
        let basis = "canoe-body volume and the block coefficient";
        estimates.note("canoe-body draught", from_volume, "m", basis, medians.source)
    });
    positive("canoe-body draught", draught_m)?;
    if draught_m > form.draught_m || (keel.is_some() && draught_m >= form.draught_m) {
        return Err(too_deep(draught_m, form));
    }
    if let (None, Some((_, span_m))) = (form.canoe_body_draught_m, &keel) {
        check_depths(draught_m, *span_m, form.draught_m, estimates.notices);
    }
    let keel = keel.map(|(keel, _)| keel.within_depth(form.draught_m - draught_m));
    let body = complete_body(form, draught_m, volume_m3, &mut estimates)?;
    let hull = CompletedHull {
        kind: form.kind,
        draught_m: form.draught_m,
        body,
        keel,
        rudder,
        measured_form_parameters: count_measured(form),
    };
    Ok(Noted { value: hull, notices })
}

fn too_deep(canoe_body_draught_m: f64, form: &HullForm) -> HullError {
    HullError::CanoeBodyTooDeep { canoe_body_draught_m, draught_m: form.draught_m }
}

/// Says so when hull and keel, estimated apart, miss the measured draught together.
fn check_depths(canoe_body_draught_m: f64, span_m: f64, draught_m: f64, notices: &mut Vec<Notice>) {
    if ((canoe_body_draught_m + span_m) / draught_m - 1.0).abs() > DEPTHS_APART {
        push_once(
            notices,
            Notice::Remark {
                severity: Severity::Weak,
                text: "Canoe body and keel, estimated apart, do not add up to the draught: measure the draught of the \
                       canoe body, or the keel's wetted area; the keel's drag stands on them.",
                source: PRACTICE,
            },
        );
    }
}

fn check_form(form: &HullForm) -> Result<(), HullError> {
    let is_canal_boat = form.kind == HullKind::CanalBoat;
    positive("waterline length", form.length_waterline_m)?;
    positive("waterline beam", form.beam_waterline_m)?;
    positive("displacement", form.displacement_kg)?;
    positive("draught", form.draught_m)?;
    within(
        "waterline length / beam",
        form.length_waterline_m / form.beam_waterline_m,
        (1.5, if is_canal_boat { 12.0 } else { 8.0 }),
        "check both; a multihull is not covered, use a resistance table from towing",
    )?;
    let advice = "leave it out if it is not known from drawings";
    let highest_prismatic = if is_canal_boat { 0.97 } else { 0.85 };
    for (quantity, value, range) in [
        ("prismatic coefficient", form.prismatic_coefficient, (0.4, highest_prismatic)),
        ("midship coefficient", form.midship_coefficient, (0.4, 1.0)),
        ("centre of buoyancy / length", form.lcb_fraction, (0.35, 0.7)),
        ("centre of waterplane / length", form.lcf_fraction, (0.35, 0.75)),
    ] {
        if let Some(value) = value {
            within(quantity, value, range, advice)?;
        }
    }
    if let Some(area) = form.waterplane_area_m2 {
        let coefficient = area / (form.length_waterline_m * form.beam_waterline_m);
        within("waterplane area / (length x beam)", coefficient, (0.45, 1.0), advice)?;
    }
    Ok(())
}

fn complete_body(
    form: &HullForm,
    draught_m: f64,
    volume_m3: f64,
    estimates: &mut Estimates<'_>,
) -> Result<CanoeBody, HullError> {
    let (length, beam) = (form.length_waterline_m, form.beam_waterline_m);
    let block = block_coefficient(volume_m3, length, beam, draught_m);
    let medians = estimates.medians;
    let (low, high) = medians.block_range;
    if !(low..=high).contains(&block) {
        return Err(HullError::BlockCoefficient { block_coefficient: block, low, high });
    }
    if let (Some(prismatic), Some(midship)) = (form.prismatic_coefficient, form.midship_coefficient) {
        let from_coefficients = prismatic * midship;
        let mismatch = (from_coefficients / block - 1.0).abs();
        if mismatch > 0.25 {
            return Err(HullError::FormContradiction { from_coefficients, from_displacement: block });
        }
        if mismatch > 0.08 {
            push_once(
                estimates.notices,
                Notice::Remark {
                    severity: Severity::Weak,
                    text: "Prismatic and midship coefficient do not quite fit displacement, \
                           length, beam and canoe-body draught; one of them is probably wrong. All are used as given.",
                    source: PRACTICE,
                },
            );
        }
    }
    // Of Cb = Cp Cm the one that is missing follows; when both are, the prismatic median stands.
    let (prismatic, midship) = match (form.prismatic_coefficient, form.midship_coefficient) {
        (Some(prismatic), Some(midship)) => (prismatic, midship),
        (None, Some(midship)) => (follow(estimates, "prismatic coefficient", block / midship), midship),
        (Some(prismatic), None) => (prismatic, follow(estimates, "midship coefficient", block / prismatic)),
        (None, None) => {
            let prismatic = estimates.median("prismatic coefficient", medians.prismatic, "");
            (prismatic, follow(estimates, "midship coefficient", block / prismatic))
        }
    };
    within(
        "prismatic coefficient",
        prismatic,
        (0.3, 1.0),
        "displacement, length, beam and canoe-body draught do not fit together: measure them again",
    )?;
    within(
        "midship coefficient",
        midship,
        (0.3, 1.2),
        "displacement, length, beam and canoe-body draught do not fit together: measure them again",
    )?;
    let lcb_fraction = form
        .lcb_fraction
        .unwrap_or_else(|| estimates.median("centre of buoyancy / length", medians.lcb_fraction, ""));
    let lcf_fraction = form
        .lcf_fraction
        .unwrap_or_else(|| estimates.median("centre of waterplane / length", medians.lcf_fraction, ""));
    let waterplane_area_m2 = form
        .waterplane_area_m2
        .unwrap_or_else(|| estimates.median("waterplane area", medians.waterplane * length * beam, "m2"));
    let mut body = CanoeBody {
        length_waterline_m: length,
        beam_waterline_m: beam,
        draught_m,
        volume_m3,
        prismatic_coefficient: prismatic,
        midship_coefficient: midship,
        lcb_fraction,
        lcf_fraction,
        waterplane_area_m2,
        wetted_surface_m2: wetted_surface_m2(length, beam, draught_m, volume_m3, midship),
    };
    if form.kind == HullKind::CanalBoat {
        body.wetted_surface_m2 = ShipForm::of(&body).wetted_surface_m2();
    }
    Ok(body)
}

fn follow(estimates: &mut Estimates<'_>, quantity: &'static str, value: f64) -> f64 {
    estimates.note(quantity, value, "", "displacement, length, beam and canoe-body draught", PRACTICE)
}

fn count_measured(form: &HullForm) -> u8 {
    [
        form.canoe_body_draught_m,
        form.prismatic_coefficient,
        form.midship_coefficient,
        form.lcb_fraction,
        form.lcf_fraction,
        form.waterplane_area_m2,
    ]
    .iter()
    .map(|field| u8::from(field.is_some()))
    .sum()
}
