//! The figures of a diagnosis that can be asked where they come from. Not for: finding them (`diagnosis`).

use super::cause::Cause;
use super::diagnosis::{Diagnosis, ShortfallPoint};
use crate::field;
use crate::sheet::{Figure, Interval, figure_list};

figure_list! {
    /// The figures of a diagnosis that open.
    CAUSES_FIGURES of Diagnosis {
    /// Shortfall at full throttle.
    FULL_SHORT { "full_short", "speed that she falls short of at full throttle", Speed,
        formula: "V of the document's boat, clean and in a calm, less V of the boat that the trials find, both with every limit but the \
                  motor's heat; samples of everything unknown, weighted by how well they give the readings (Student's t, 5 degrees of freedom)",
        sources: ["lange1989", "cui2014", "vehtari2024", "talts2018"],
        inputs: [field::hull::DISPLACEMENT, field::hull::BOTTOM, field::propeller::DIAMETER, field::propeller::PITCH, field::motor::SPEED_CONSTANT, field::reduction::RATIO,
                 field::bank::STATE_OF_CHARGE, field::usage::IN_SERVICE_FACTOR],
        validity: "steady runs in open, deep water; in calibration with synthetic boats the bands hold close to four times in five",
        value: |d| point(d, 0).map(|p| p.shortfall) }
    /// Shortfall at cruising power.
    CRUISE_SHORT { "cruise_short", "speed that she falls short of at cruising power", Speed,
        formula: "as at full throttle, with both boats given the power out of the bank that the document's boat needs at her cruising speed",
        sources: ["lange1989", "cui2014", "vehtari2024", "talts2018"], inputs: [field::usage::CRUISING_SPEED, field::hull::DISPLACEMENT, field::hull::BOTTOM],
        validity: "as at full throttle", value: |d| point(d, 1).map(|p| p.shortfall) }
    /// Taken by growth on the bottom.
    BOTTOM_GROWTH { "knots_by_bottom_growth", "speed lost to growth on the bottom", Speed,
        formula: "share of the shortfall: what she gains when the bottom is clean, the mean over an order of the causes and its reverse (Shapley), \
                  so that all shares add up; growth as a sand height, its friction by the similarity law",
        sources: ["shapley1953", "mitchell2022", "granville1987", "schultz2007"],
        inputs: [field::hull::BOTTOM, field::hull::LENGTH_WATERLINE, field::hull::DRAUGHT],
        validity: "before the runs: what was seen at the bottom, or months since cleaning; growth is one roughness all over",
        value: |d| taken(d, Cause::BottomGrowth) }
    /// Taken by growth on the blades.
    BLADE_GROWTH { "knots_by_blade_growth", "speed lost to growth on the blades", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: drag of rough blade sections off thrust and on torque",
        sources: ["shapley1953", "mitchell2022", "holtrop1984", "granville1987"],
        inputs: [field::propeller::BLADES_STATE, field::propeller::DIAMETER, field::propeller::AREA_RATIO],
        validity: "one roughness over all blades", value: |d| taken(d, Cause::BladeGrowth) }
    /// Taken by the propeller.
    PROPELLER { "knots_by_propeller", "speed lost to a propeller other than stated", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: pitch, diameter, blade area and the series' own scatter in thrust and torque, pitch and diameter with \
                  heavy tails since a stamp may belong to another propeller",
        sources: ["shapley1953", "mitchell2022", "oosterveld1975", "iso484"],
        inputs: [field::propeller::PITCH, field::propeller::DIAMETER, field::propeller::AREA_RATIO, field::model::PROPELLER_TORQUE, field::model::PROPELLER_THRUST],
        validity: "a bent blade counts as pitch; at one shaft speed pitch and wake look alike", value: |d| taken(d, Cause::Propeller) }
    /// Taken by the flow.
    FLOW { "knots_by_flow", "speed lost to the flow at the propeller", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: wake fraction, thrust deduction, relative rotative efficiency within what is known of the stern",
        sources: ["shapley1953", "mitchell2022", "holtrop1984"], inputs: [field::propeller::WAKE_FRACTION, field::propeller::THRUST_DEDUCTION],
        validity: "a rope or a folded anode is nothing but a deeper wake to it", value: |d| taken(d, Cause::Flow) }
    /// Taken by the motor.
    MOTOR { "knots_by_motor", "speed lost to the motor", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: speed constant, winding, no-load current; weak magnets or another winding as a rival with prior odds of \
                  1 in 50",
        sources: ["shapley1953", "mitchell2022", "krause2013"], inputs: [field::motor::SPEED_CONSTANT, field::motor::RESISTANCE, field::motor::NO_LOAD_CURRENT],
        validity: "readings of volts and rpm tell it; odds are judgement", value: |d| taken(d, Cause::Motor) }
    /// Taken by belt, gear and shaft.
    TRANSMISSION { "knots_by_transmission", "speed lost to belt, gear and shaft line", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: efficiency of the reduction and drag of the bearings; another reduction (1 in 100) or a slipping belt \
                  (1 in 20) as rivals",
        sources: ["shapley1953", "mitchell2022", "belt2025"], inputs: [field::reduction::RATIO, field::reduction::EFFICIENCY],
        validity: "odds are judgement; a toothed belt does not slip", value: |d| taken(d, Cause::Transmission) }
    /// Taken by a limit.
    LIMITS { "knots_by_limits", "speed lost to a limit of controller, throttle, BMS or heat", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: every limit lowered to between half and nearly all of what is stated, as a rival with prior odds of 2 in \
                  25",
        sources: ["shapley1953", "mitchell2022"], inputs: [field::controller::BATTERY_CURRENT, field::controller::PHASE_CURRENT, field::pack::BMS_DISCHARGE],
        validity: "shows at full throttle only; odds are judgement", value: |d| taken(d, Cause::Limits) }
    /// Taken by the bank.
    BANK { "knots_by_bank", "speed lost to the bank and its cables", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: resistance of packs and cables, charge on the day; a pack that gives nothing (prior odds 1 in \
                  25), weak packs and a poor joint (1 in 33 each) as rivals",
        sources: ["shapley1953", "mitchell2022", "bpx2023"],
        inputs: [field::pack::RESISTANCE, field::pack::COUNT, field::bank::CABLE_RESISTANCE, field::bank::STATE_OF_CHARGE],
        validity: "volts under load tell it; odds are judgement", value: |d| taken(d, Cause::Bank) }
    /// Taken by her weight.
    LOAD { "knots_by_load", "speed lost to her weight", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: displacement on the day over the stated one, as noted or within its band",
        sources: ["shapley1953", "mitchell2022", "keuning1998"], inputs: [field::hull::DISPLACEMENT],
        validity: "as resistance", value: |d| taken(d, Cause::Load) }
    /// Taken by the hull.
    HULL { "knots_by_hull", "speed lost to the hull's own drag", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: in-service factor, the methods' own scatter, dimensions and windage within their bands",
        sources: ["shapley1953", "mitchell2022", "keuning1998"],
        inputs: [field::usage::IN_SERVICE_FACTOR, field::hull::LENGTH_WATERLINE, field::hull::BEAM_WATERLINE, field::model::RESIDUARY, field::model::WINDAGE],
        validity: "tells itself from growth by speed only, unless one trial was sailed clean", value: |d| taken(d, Cause::Hull) }
    /// Taken by wind and sea.
    WIND_AND_SEA { "knots_by_wind_and_sea", "speed lost to wind and sea", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: what the noted wind and waves, with their bands, add to resistance over a calm",
        sources: ["shapley1953", "mitchell2022", "iso15016"], inputs: [field::hull::BEAM_WATERLINE, field::model::WINDAGE],
        validity: "as noted on the day; double runs let most of the wind go out", value: |d| taken(d, Cause::WindAndSea) }
    /// Taken by bottom and banks.
    BANKS { "knots_by_depth_and_banks", "speed lost to the depth and the banks", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: the section of the water on the day over the document's, and what the stern does not win back",
        sources: ["shapley1953", "mitchell2022"], inputs: [field::sea::DEPTH, field::sea::CANAL_WIDTH],
        validity: "canals of the document only; how much the section differs is judgement", value: |d| taken(d, Cause::Banks) }
    /// Taken by the instruments.
    INSTRUMENTS { "knots_by_instruments", "speed lost to the instruments", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: factors of log, meter and revolution counter", sources: ["shapley1953", "mitchell2022"],
        inputs: [], validity: "speed over ground of double runs needs no log", value: |d| taken(d, Cause::Instruments) }
    /// Not explained.
    UNEXPLAINED { "knots_not_explained", "speed lost that these causes do not explain", Speed,
        formula: "its part of the shortfall, by the rule of knots_by_bottom_growth: a factor on resistance, next to nothing on most days, seldom a tenth and more",
        sources: ["shapley1953", "mitchell2022"], inputs: [],
        validity: "a rope, a head sea, shallow water, a stream that changed; its width is judgement", value: |d| taken(d, Cause::Unexplained) }
    }
}

fn point(diagnosis: &Diagnosis, number: usize) -> Option<&ShortfallPoint> {
    diagnosis.points.get(number)
}

/// What `cause` takes at full throttle; `None` where it cannot be at work.
fn taken(diagnosis: &Diagnosis, cause: Cause) -> Option<Interval> {
    point(diagnosis, 0)?.shares.iter().find(|share| share.cause == cause).map(|share| share.taken)
}

/// The figure of what `cause` takes.
#[must_use]
pub fn figure_of_cause(cause: Cause) -> &'static Figure {
    match cause {
        Cause::BottomGrowth => &BOTTOM_GROWTH,
        Cause::BladeGrowth => &BLADE_GROWTH,
        Cause::Propeller => &PROPELLER,
        Cause::Flow => &FLOW,
        Cause::Motor => &MOTOR,
        Cause::Transmission => &TRANSMISSION,
        Cause::Limits => &LIMITS,
        Cause::Bank => &BANK,
        Cause::Load => &LOAD,
        Cause::Hull => &HULL,
        Cause::WindAndSea => &WIND_AND_SEA,
        Cause::Banks => &BANKS,
        Cause::Instruments => &INSTRUMENTS,
        Cause::Unexplained => &UNEXPLAINED,
    }
}

/// The figure of this key.
#[must_use]
pub fn causes_figure(key: &str) -> Option<&'static Figure> {
    CAUSES_FIGURES.0.iter().map(|column| column.figure).find(|figure| figure.key == key)
}

/// A figure of what was found; `None` where it has none.
#[must_use]
pub fn causes_value(figure: &Figure, diagnosis: &Diagnosis) -> Option<Interval> {
    CAUSES_FIGURES.0.iter().find(|column| column.figure.key == figure.key)?.of(diagnosis).interval()
}
