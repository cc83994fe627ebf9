//! The boat from the side, to scale from her own numbers. The hull's shape between the measured points is a
//! draughtsman's guess after her kind of keel; what is dimensioned is true to the numbers.

use super::{Drawing, Frame, Picture};

/// Kind of keel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Keel {
    /// A fin.
    #[default]
    Fin,
    /// Two keels side by side.
    Twin,
    /// A long keel.
    Long,
    /// No ballast keel: a launch with a deadwood.
    None,
}

/// Kind of rudder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Rudder {
    /// Hung on the transom.
    Transom,
    /// Hung on the after edge of a long keel.
    Keel,
    /// Behind a skeg.
    Skeg,
    /// No blade: the drive steers.
    None,
    /// Free, without support.
    #[default]
    Spade,
}

/// Where the propeller works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Arrangement {
    /// In an aperture between keel and rudder.
    Aperture,
    /// Behind a skeg.
    Skeg,
    /// On an open shaft with a bracket.
    PBracket,
    /// On the leg of a saildrive.
    #[default]
    Saildrive,
    /// On a pod under the hull.
    Pod,
    /// On a leg hung on the transom.
    OutboardLeg,
}

/// The opening in which a propeller turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aperture {
    /// Height, m.
    pub height_m: f64,
    /// Length along the keel at the shaft, m.
    pub length_m: f64,
}

/// Wording of the dimensions, in the reader's units; an empty text leaves the dimension out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct DimensionTexts {
    /// Length over all.
    pub length_overall: String,
    /// Length of the waterline.
    pub length_waterline: String,
    /// Draught.
    pub draught: String,
    /// Freeboard.
    pub freeboard: String,
    /// Diameter of the propeller.
    pub propeller_diameter: String,
    /// Gap between blade tip and hull.
    pub tip_clearance: String,
    /// Depth of the shaft under the waterline.
    pub shaft_depth: String,
}

/// Parts of the wiring where they stand, and the runs between them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fitted {
    /// Name; aft of the fore end of the waterline and above the waterline, m.
    pub places: Vec<(String, f64, f64)>,
    /// Runs between two of them.
    pub runs: Vec<(usize, usize)>,
}

/// The boat. Lengths in metres, those not given as is usual; wording in [`DimensionTexts`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Profile<L = Option<f64>> {
    /// Name for screen readers.
    pub title: String,
    /// Sentence for screen readers.
    pub description: String,
    /// Length over all.
    pub length_overall_m: L,
    /// Length of the waterline.
    pub length_waterline_m: L,
    /// Draught.
    pub draught_m: L,
    /// Draught of the canoe body, without keel.
    pub canoe_body_draught_m: L,
    /// Freeboard at midships.
    pub freeboard_m: L,
    /// Kind of keel.
    pub keel: Keel,
    /// Kind of rudder.
    pub rudder: Rudder,
    /// Foot of the mast, abaft the stem head; none on a launch.
    pub mast_base_m: Option<f64>,
    /// Diameter of the propeller.
    pub propeller_diameter_m: L,
    /// Depth of the propeller's centre under the waterline.
    pub shaft_depth_m: L,
    /// Size of the aperture, if she has one.
    pub aperture: Option<Aperture>,
    /// Where the propeller works.
    pub arrangement: Arrangement,
    /// Gap between upper blade tip and hull, where measured.
    pub tip_clearance_m: Option<f64>,
    /// Wording of the dimensions.
    pub texts: DimensionTexts,
    /// What is told of the places of her wiring.
    pub fitted: Fitted,
}

impl Profile {
    /// The same boat with every length given and within what can be drawn; the drawing never fails.
    pub(super) fn drawable(&self) -> Profile<f64> {
        let held = |value: Option<f64>, low: f64, high: f64, or: f64| {
            value.filter(|value| value.is_finite() && *value > 0.0).map_or(or, |value| value.clamp(low, high))
        };
        let length_overall_m = held(self.length_overall_m, 1.0, 200.0, 10.0);
        let l = length_overall_m;
        let length_waterline_m = held(self.length_waterline_m, 0.5 * l, 0.995 * l, 0.85 * l);
        let draught_m = held(self.draught_m, 0.02 * l, 0.6 * l, 0.15 * l);
        let propeller_diameter_m = held(self.propeller_diameter_m, 0.01 * l, 0.2 * l, 0.04 * l);
        Profile {
            title: self.title.clone(),
            description: self.description.clone(),
            length_overall_m,
            length_waterline_m,
            draught_m,
            canoe_body_draught_m: held(self.canoe_body_draught_m, 0.01 * l, draught_m, 0.5 * draught_m),
            freeboard_m: held(self.freeboard_m, 0.02 * l, 0.4 * l, 0.1 * l),
            keel: self.keel,
            rudder: self.rudder,
            mast_base_m: self.mast_base_m.filter(|m| *m > 0.0 && *m < l),
            propeller_diameter_m,
            shaft_depth_m: held(self.shaft_depth_m, 0.4 * propeller_diameter_m, 0.6 * l, 0.6 * draught_m),
            aperture: self.aperture.map(|a| Aperture {
                height_m: held(
                    Some(a.height_m),
                    0.5 * propeller_diameter_m,
                    draught_m,
                    1.3 * propeller_diameter_m,
                ),
                length_m: held(
                    Some(a.length_m),
                    0.2 * propeller_diameter_m,
                    0.15 * l,
                    0.6 * propeller_diameter_m,
                ),
            }),
            arrangement: self.arrangement,
            tip_clearance_m: self.tip_clearance_m.filter(|c| c.is_finite() && *c > 0.0 && *c < l),
            texts: self.texts.clone(),
            fitted: self.fitted.clone(),
        }
    }
}

impl Picture for Profile {
    fn draw(&self, frame: &Frame) -> Drawing {
        super::profile_draw::draw(&self.drawable(), frame)
    }
}
