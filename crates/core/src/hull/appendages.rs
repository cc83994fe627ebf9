//! Keel and rudder: what was measured, and usual proportions for the rest.
//! Not for: their drag (see `friction` and `keel_residuary`).

use super::estimates::Estimates;
use super::form::{HullForm, Keel, KeelKind, Rudder, RudderKind};
use super::{HullError, Impossible, positive, within};

/// Section area of a symmetrical four-digit foil / (thickness x chord). Source: \[abbott1959\]
/// thickness form, integrated.
const FOIL_AREA_FACTOR: f64 = 0.685;
/// Depth of the keel's centre of volume below the root, in spans: a little over half of it lies
/// in the thicker root. Common practice, no source.
const KEEL_CENTROID_SPANS: f64 = 0.45;

/// The keel, complete.
#[derive(Debug, Clone, PartialEq)]
pub struct CompletedKeel {
    /// Sort of keel.
    pub kind: KeelKind,
    /// Mean chord (of one keel) \[m\].
    pub mean_chord_m: f64,
    /// Thickness / chord.
    pub thickness_ratio: f64,
    /// Wetted area, both sides, all keels \[m²\].
    pub wetted_area_m2: f64,
    /// Volume, all keels \[m³\].
    pub volume_m3: f64,
    /// Centre of volume below the root \[m\].
    pub centroid_below_root_m: f64,
}

impl CompletedKeel {
    /// The same keel between a canoe body and a draught that are `depth_m` apart: its centre is moved, what it
    /// is stays.
    pub(super) fn within_depth(self, depth_m: f64) -> Self {
        Self { centroid_below_root_m: KEEL_CENTROID_SPANS * depth_m, ..self }
    }
}

/// The rudder, complete.
#[derive(Debug, Clone, PartialEq)]
pub struct CompletedRudder {
    /// Mean chord \[m\].
    pub mean_chord_m: f64,
    /// Thickness / chord.
    pub thickness_ratio: f64,
    /// Wetted area, both sides \[m²\].
    pub wetted_area_m2: f64,
    /// Volume \[m³\].
    pub volume_m3: f64,
}

/// Chord and thickness taken for a keel that was not measured.
pub(super) struct KeelHabit {
    chord_in_lengths: f64,
    thickness_ratio: f64,
    count: f64,
    span_in_draughts: f64,
}

impl KeelHabit {
    /// Depth of the keel under the hull where the canoe body's draught was not measured \[m\]: a share of the
    /// whole draught, by sort of keel.
    ///
    /// Not the draught less the canoe body's, which would itself be a guess from displacement: a boat found
    /// heavier, or loaded, would then be given a smaller keel, and less drag.
    /// # Accuracy
    /// A tenth for fins, a quarter for twin and long keels. Common practice, no source: judged from main
    /// dimensions of cruising boats, from memory.
    pub(super) fn span_m(&self, draught_m: f64) -> f64 {
        self.span_in_draughts * draught_m
    }
}

/// Shares of the lateral plan by sort of keel. Common practice, no source: read off many drawings
/// of cruising boats, individual boats differ by a third.
pub(super) fn keel_habit(kind: KeelKind) -> Option<KeelHabit> {
    let habit = |chord_in_lengths, thickness_ratio, count, span_in_draughts| {
        Some(KeelHabit { chord_in_lengths, thickness_ratio, count, span_in_draughts })
    };
    match kind {
        KeelKind::None => None,
        KeelKind::Fin => habit(0.18, 0.12, 1.0, 0.70),
        KeelKind::Twin => habit(0.14, 0.10, 2.0, 0.55),
        KeelKind::Long => habit(0.60, 0.045, 1.0, 0.53),
        KeelKind::LongWithAperture => habit(0.55, 0.045, 1.0, 0.53),
    }
}

/// Area (one side) in waterline length x draught, chord in waterline lengths, thickness ratio.
/// Common practice, no source.
fn rudder_habit(kind: RudderKind) -> (f64, f64, f64) {
    match kind {
        RudderKind::Spade => (0.040, 0.055, 0.12),
        RudderKind::Skeg => (0.055, 0.080, 0.11),
        RudderKind::KeelHung => (0.045, 0.060, 0.06),
        RudderKind::Transom => (0.040, 0.050, 0.08),
        RudderKind::None => (0.0, 0.050, 0.08),
    }
}

/// Cross-section of all keels \[m²\]: their volume per metre of span.
fn keel_section_m2(keel: &Keel, habit: &KeelHabit, length_m: f64) -> f64 {
    let chord = keel.mean_chord_m.unwrap_or(habit.chord_in_lengths * length_m);
    let thickness = keel.thickness_ratio.unwrap_or(habit.thickness_ratio);
    habit.count * FOIL_AREA_FACTOR * thickness * chord * chord
}

pub(super) fn complete_keel(
    keel: &Keel,
    habit: &KeelHabit,
    length_m: f64,
    span_m: f64,
    estimates: &mut Estimates<'_>,
) -> Result<CompletedKeel, HullError> {
    let mean_chord_m = positive(
        "keel chord",
        keel.mean_chord_m
            .unwrap_or_else(|| estimates.habit("keel chord", habit.chord_in_lengths * length_m, "m")),
    )?;
    let thickness_ratio = foil_thickness(
        "keel thickness / chord",
        keel.thickness_ratio
            .unwrap_or_else(|| estimates.habit("keel thickness / chord", habit.thickness_ratio, "")),
    )?;
    let wetted_area_m2 = not_negative(
        "keel wetted area",
        keel.wetted_area_m2.unwrap_or_else(|| {
            estimates.habit("keel wetted area", 2.0 * habit.count * mean_chord_m * span_m, "m2")
        }),
    )?;
    let volume_m3 = not_negative(
        "keel volume",
        keel.volume_m3.unwrap_or_else(|| {
            estimates.habit("keel volume", keel_section_m2(keel, habit, length_m) * span_m, "m3")
        }),
    )?;
    Ok(CompletedKeel {
        kind: keel.kind,
        mean_chord_m,
        thickness_ratio,
        wetted_area_m2,
        volume_m3,
        centroid_below_root_m: KEEL_CENTROID_SPANS * span_m,
    })
}

pub(super) fn complete_rudder(
    form: &HullForm,
    rudder: &Rudder,
    estimates: &mut Estimates<'_>,
) -> Result<CompletedRudder, HullError> {
    let (area_share, chord_share, thickness) = rudder_habit(rudder.kind);
    let length = form.length_waterline_m;
    if rudder.kind == RudderKind::None && rudder.wetted_area_m2.is_none() {
        return Ok(CompletedRudder {
            mean_chord_m: chord_share * length,
            thickness_ratio: thickness,
            wetted_area_m2: 0.0,
            volume_m3: 0.0,
        });
    }
    let mean_chord_m = positive(
        "rudder chord",
        rudder.mean_chord_m.unwrap_or_else(|| estimates.habit("rudder chord", chord_share * length, "m")),
    )?;
    let thickness_ratio = foil_thickness(
        "rudder thickness / chord",
        rudder.thickness_ratio.unwrap_or_else(|| estimates.habit("rudder thickness / chord", thickness, "")),
    )?;
    let wetted_area_m2 = not_negative(
        "rudder wetted area",
        rudder.wetted_area_m2.unwrap_or_else(|| {
            estimates.habit("rudder wetted area", 2.0 * area_share * length * form.draught_m, "m2")
        }),
    )?;
    let volume_m3 = FOIL_AREA_FACTOR * thickness_ratio * mean_chord_m * 0.5 * wetted_area_m2;
    Ok(CompletedRudder { mean_chord_m, thickness_ratio, wetted_area_m2, volume_m3 })
}

fn foil_thickness(quantity: &'static str, value: f64) -> Result<f64, Impossible> {
    within(quantity, value, (0.0, 0.4), "give thickness divided by the fore-and-aft length")
}

fn not_negative(quantity: &'static str, value: f64) -> Result<f64, Impossible> {
    within(quantity, value, (0.0, 1000.0), "give the area or volume in square or cubic metres")
}
