//! The sea in which a trial was made, as the boat is reckoned with it. Not for: its wind and waves, which are unknowns (`parameter`).

use super::evidence::Epoch;
use super::observation::is_shallow_for;
use crate::boat::BoatSpec;

/// The document's sea is for planning, a trial has its own; but a canal is where she lives, and a depth that slows her is reckoned with
/// where it was noted and about the same all along.
pub(super) fn in_a_calm(spec: &BoatSpec, epoch: &Epoch) -> BoatSpec {
    let depth_m = canal_depth_m(spec, epoch).or_else(|| shoal_depth_m(spec, epoch));
    let mut spec = spec.clone();
    spec.boat.sea.true_head_wind_m_s = 0.0;
    spec.boat.sea.sea_margin = 0.0;
    spec.boat.sea.depth_m = depth_m;
    spec
}

/// Depth of the canal of her document, where a trial was made in it: where no run says another depth.
fn canal_depth_m(spec: &BoatSpec, epoch: &Epoch) -> Option<f64> {
    /// What is noted by a lead line in a canal is within this share of what the document has.
    const ALIKE: f64 = 0.3;
    let depth = spec.boat.sea.canal_depth_m()?;
    let noted: Vec<f64> = epoch.runs.iter().filter_map(|run| run.run.depth_m).collect();
    if noted.iter().any(|noted| (noted / depth - 1.0).abs() > ALIKE) {
        return None;
    }
    Some(if noted.is_empty() { depth } else { noted.iter().sum::<f64>() / noted.len() as f64 })
}

/// Depth of the shallow water in which every run was made: the mean of what was noted, where it was about the same for all.
fn shoal_depth_m(spec: &BoatSpec, epoch: &Epoch) -> Option<f64> {
    const ALIKE: f64 = 0.2;
    let is_shallow = epoch.runs.iter().any(|run| is_shallow_for(&run.run, &spec.boat));
    let noted: Vec<f64> = epoch.runs.iter().map(|run| run.run.depth_m).collect::<Option<_>>()?;
    let mean = noted.iter().sum::<f64>() / noted.len() as f64;
    let is_alike = noted.iter().all(|depth| (depth / mean - 1.0).abs() <= ALIKE);
    (is_shallow && is_alike && spec.boat.sea.canal_width_m.is_none()).then_some(mean)
}
