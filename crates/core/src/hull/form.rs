//! What is measured of a hull, its keel and its rudder, and the ratios made of it.
//! Not for: filling gaps (see `complete`).

use super::estimates::Medians;
use crate::constants::GRAVITY_M_S2;
use crate::water::Water;

/// What sort of hull the fits are asked to stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HullKind {
    /// Displacement sailing boat with a canoe body, as in the Delft series.
    SailingYacht,
    /// Round-bilge displacement motor boat: the same fits with a wider band.
    RoundBilgeMotor,
    /// Full, flat-bottomed boat of canals and rivers: a method for ships.
    CanalBoat,
}

/// The hull as measured. `None` means not known: [`super::complete()`] fills it and says how.
#[derive(Debug, Clone, PartialEq)]
pub struct HullForm {
    /// Sort of hull.
    pub kind: HullKind,
    /// Length of the waterline as she floats \[m\].
    pub length_waterline_m: f64,
    /// Greatest beam of the waterline \[m\].
    pub beam_waterline_m: f64,
    /// Mass of the whole boat as she floats, keel and rudder included \[kg\].
    pub displacement_kg: f64,
    /// Draught to the lowest point \[m\].
    pub draught_m: f64,
    /// Draught of the hull without keel \[m\].
    pub canoe_body_draught_m: Option<f64>,
    /// Canoe-body volume / (midship area x waterline length).
    pub prismatic_coefficient: Option<f64>,
    /// Midship area / (waterline beam x canoe-body draught).
    pub midship_coefficient: Option<f64>,
    /// Centre of buoyancy from the forward end of the waterline, in waterline lengths.
    pub lcb_fraction: Option<f64>,
    /// Centre of the waterplane from the forward end of the waterline, in waterline lengths.
    pub lcf_fraction: Option<f64>,
    /// Area of the waterplane \[m²\].
    pub waterplane_area_m2: Option<f64>,
}

impl HullForm {
    /// Greatest displacement that length, beam and draught allow where no keel hides the hull's depth \[kg\]; none elsewhere.
    #[must_use]
    pub fn fullest_kg(&self, water: &Water) -> Option<f64> {
        let (_, fullest) = Medians::of(self.kind).block_range;
        (self.kind == HullKind::CanalBoat).then_some(
            fullest * water.density_kg_m3 * self.length_waterline_m * self.beam_waterline_m * self.draught_m,
        )
    }
}

/// Sort of keel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeelKind {
    /// None (motor boat, or a board that is up).
    None,
    /// One fin.
    Fin,
    /// Two keels side by side.
    Twin,
    /// Long keel.
    Long,
    /// Long keel with the propeller in an aperture at its after end.
    LongWithAperture,
}

/// The keel as measured; for twin keels chord and thickness are those of one keel, area and volume
/// those of both.
#[derive(Debug, Clone, PartialEq)]
pub struct Keel {
    /// Sort of keel.
    pub kind: KeelKind,
    /// Mean fore-and-aft length \[m\].
    pub mean_chord_m: Option<f64>,
    /// Thickness / chord.
    pub thickness_ratio: Option<f64>,
    /// Wetted area, both sides \[m²\].
    pub wetted_area_m2: Option<f64>,
    /// Volume \[m³\].
    pub volume_m3: Option<f64>,
}

/// Sort of rudder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RudderKind {
    /// Free-standing blade under the hull.
    Spade,
    /// Blade behind a skeg (the skeg counts in area and chord).
    Skeg,
    /// Blade on the after edge of a long keel.
    KeelHung,
    /// Blade on the transom.
    Transom,
    /// No rudder in the water: a leg or pod that turns steers.
    None,
}

/// The rudder as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Rudder {
    /// Sort of rudder.
    pub kind: RudderKind,
    /// Mean fore-and-aft length \[m\].
    pub mean_chord_m: Option<f64>,
    /// Thickness / chord.
    pub thickness_ratio: Option<f64>,
    /// Wetted area, both sides \[m²\].
    pub wetted_area_m2: Option<f64>,
}

/// Canoe-body volume / (length x beam x canoe-body draught).
#[must_use]
pub fn block_coefficient(
    canoe_body_volume_m3: f64,
    length_waterline_m: f64,
    beam_waterline_m: f64,
    canoe_body_draught_m: f64,
) -> f64 {
    canoe_body_volume_m3 / (length_waterline_m * beam_waterline_m * canoe_body_draught_m)
}

/// Waterline length / cube root of the canoe-body volume: under 4.34 she is heavier than any hull
/// of the Delft series.
#[must_use]
pub fn slenderness(length_waterline_m: f64, canoe_body_volume_m3: f64) -> f64 {
    length_waterline_m / canoe_body_volume_m3.cbrt()
}

/// The speed whose wave is as long as the waterline, `sqrt(g L / (2 pi))` \[m/s\] (Froude number
/// 0.399). Linear deep-water wave theory; no limit of any boat, a mark on the scale.
#[must_use]
pub fn hull_speed_m_s(length_waterline_m: f64) -> f64 {
    (GRAVITY_M_S2 * length_waterline_m / std::f64::consts::TAU).sqrt()
}
