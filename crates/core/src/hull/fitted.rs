//! Calm deep-water resistance from the published fits, as a fast piecewise function of speed.
//! Not for: wind, waves, depth (see `prepared`).

use super::complete::CompletedHull;
use super::cubic::{Cubic, cubic_slope, cubic_value, hermite};
use super::friction::{HULL_FRICTION_LENGTH_FRACTION, foil_form_factor};
use super::holtrop::ShipForm;
use super::keel_residuary::keel_residuary_curve;
use super::nodes::{FROUDE_STEP, NODES, NodeCurve, node_cubic};
use super::residuary::{ResiduaryMethod, residuary_curve};
use super::resistance::{ResistanceParts, Sea};
use crate::constants::GRAVITY_M_S2;
use crate::fouling::{RoughnessFunction, check_coarseness, plate_friction_near};
use crate::friction::frictional_coefficient_with_slope;
use crate::notice::Notice;
use crate::water::Water;

/// Friction segments: one for two steps of the residuary nodes.
const SEGMENTS: usize = (NODES - 1) / 2;
/// A part of the friction as cubics between the nodes.
#[derive(Debug, Clone, PartialEq)]
struct FrictionCurve([Cubic; SEGMENTS]);

impl FrictionCurve {
    /// From values and slopes (by segment width) at the nodes; zero and level at rest.
    fn through(nodes: &[(f64, f64); SEGMENTS + 1]) -> Self {
        let mut cubics = [[0.0; 4]; SEGMENTS];
        for (i, cubic) in cubics.iter_mut().enumerate() {
            *cubic = hermite([nodes[i].0, nodes[i + 1].0], [nodes[i].1, nodes[i + 1].1]);
        }
        Self(cubics)
    }
}

/// Calm deep-water resistance from the published fits.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FittedCurve {
    /// Residuary nodes per m/s.
    nodes_per_speed: f64,
    /// Smooth canoe body.
    hull_friction: FrictionCurve,
    /// What roughness adds, all surfaces.
    growth_friction: FrictionCurve,
    /// Smooth keel and rudder, and gear in the water.
    foil_friction: FrictionCurve,
    /// Residuary resistance of the hull \[N\].
    hull_residuary: ResiduaryCubics,
    /// Residuary resistance of the keel \[N\].
    keel_residuary: ResiduaryCubics,
    /// Sum of all.
    all: ResiduaryCubics,
}

/// Cubics from each residuary node to the next \[N\].
type ResiduaryCubics = [Cubic; NODES - 1];

/// `curve` times `weight_n`.
fn residuary_cubics(curve: &NodeCurve, weight_n: f64) -> ResiduaryCubics {
    std::array::from_fn(|node| node_cubic(curve, node).map(|c| c * weight_n))
}

/// Half of a cubic over two steps, as a cubic over one of them.
fn half(cubic: &Cubic, is_second: bool) -> Cubic {
    let from = if is_second { 0.5 } else { 0.0 };
    [
        cubic_value(cubic, from),
        0.5 * cubic_slope(cubic, from),
        0.25 * (cubic[2] + 3.0 * cubic[3] * from),
        0.125 * cubic[3],
    ]
}

/// Where a speed lies among the nodes.
#[derive(Clone, Copy)]
struct Place {
    node: usize,
    in_node: f64,
}

impl FittedCurve {
    #[inline]
    fn place(&self, speed_m_s: f64) -> Place {
        let position = speed_m_s * self.nodes_per_speed;
        let node = (position as usize).min(NODES - 2);
        Place { node, in_node: position - node as f64 }
    }

    #[inline]
    pub fn drag_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let at = self.place(speed_m_s);
        let cubic = &self.all[at.node];
        (cubic_value(cubic, at.in_node), self.nodes_per_speed * cubic_slope(cubic, at.in_node))
    }

    pub fn parts(&self, speed_m_s: f64) -> ResistanceParts {
        let at = self.place(speed_m_s);
        let (segment, in_segment) = (at.node / 2, 0.5 * ((at.node % 2) as f64 + at.in_node));
        let friction = |curve: &FrictionCurve| cubic_value(&curve.0[segment], in_segment);
        let residuary = |cubics: &ResiduaryCubics| cubic_value(&cubics[at.node], at.in_node);
        ResistanceParts {
            friction_clean_n: friction(&self.hull_friction),
            friction_growth_n: friction(&self.growth_friction),
            residuary_n: residuary(&self.hull_residuary),
            keel_and_rudder_n: friction(&self.foil_friction) + residuary(&self.keel_residuary),
            ..ResistanceParts::default()
        }
    }
}

/// A surface with its friction length and what multiplies the plate's coefficient.
struct Surface {
    length_m: f64,
    /// Wetted area x form factor \[m²\].
    effective_area_m2: f64,
}

impl Surface {
    fn foil(chord_m: f64, thickness_ratio: f64, wetted_area_m2: f64) -> Self {
        Self { length_m: chord_m, effective_area_m2: wetted_area_m2 * foil_form_factor(thickness_ratio) }
    }

    /// Smooth drag and the rise by roughness at `speed_m_s`, each with its slope times `width_m_s`.
    /// `near` holds the rough and the smooth plate's coefficient of a speed nearby, and then of this one.
    fn drag(
        &self,
        speed_m_s: f64,
        width_m_s: f64,
        roughness_m: f64,
        water: &Water,
        near: &mut Option<(f64, f64)>,
    ) -> [(f64, f64); 2] {
        let reynolds = speed_m_s * self.length_m / water.viscosity_m2_s;
        let force = 0.5 * water.density_kg_m3 * self.effective_area_m2 * speed_m_s * speed_m_s;
        let with_slope = |coefficient: f64, slope: f64| {
            (force * coefficient, force / speed_m_s * (2.0 * coefficient + slope) * width_m_s)
        };
        let (smooth, smooth_slope) = frictional_coefficient_with_slope(reynolds);
        if roughness_m <= 0.0 {
            return [with_slope(smooth, smooth_slope), (0.0, 0.0)];
        }
        let plate = |from: f64, ks_over_l: f64| {
            plate_friction_near(from, reynolds, ks_over_l, RoughnessFunction::default())
        };
        let (near_rough, near_even) = near.unwrap_or((smooth, smooth));
        let rough = plate(near_rough, roughness_m / self.length_m);
        let even = plate(near_even, 0.0);
        *near = Some((rough.coefficient, even.coefficient));
        [
            with_slope(smooth, smooth_slope),
            with_slope(
                rough.coefficient - even.coefficient,
                rough.slope_ln_reynolds - even.slope_ln_reynolds,
            ),
        ]
    }
}

/// Evaluates the fits for one boat.
pub(super) fn fit_curve(
    hull: &CompletedHull,
    sea: &Sea,
    roughness_m: f64,
    method: ResiduaryMethod,
    water: &Water,
    notices: &mut Vec<Notice>,
) -> FittedCurve {
    let body = &hull.body;
    let residuary_factor = sea.residuary_factor;
    let node_m_s = FROUDE_STEP * (GRAVITY_M_S2 * body.length_waterline_m).sqrt();
    let width_m_s = 2.0 * node_m_s;
    let is_ship = method == ResiduaryMethod::HoltropMennen;
    let length_share = if is_ship { 1.0 } else { HULL_FRICTION_LENGTH_FRACTION };
    let skin = Surface {
        length_m: length_share * body.length_waterline_m,
        effective_area_m2: body.wetted_surface_m2,
    };
    let rudder = &hull.rudder;
    let foils = [
        hull.keel.as_ref().map(|k| Surface::foil(k.mean_chord_m, k.thickness_ratio, k.wetted_area_m2)),
        Some(Surface::foil(rudder.mean_chord_m, rudder.thickness_ratio, rudder.wetted_area_m2)),
    ];
    check_coarseness(notices, roughness_m / skin.length_m);

    let mut hull_nodes = [(0.0, 0.0); SEGMENTS + 1];
    let mut growth_nodes = hull_nodes;
    let mut foil_nodes = hull_nodes;
    let mut near_skin = None;
    let mut near_foils = [None; 2];
    // From the highest speed down, where neighbouring coefficients differ least at first.
    for i in (1..=SEGMENTS).rev() {
        let speed = i as f64 * width_m_s;
        [hull_nodes[i], growth_nodes[i]] = skin.drag(speed, width_m_s, roughness_m, water, &mut near_skin);
        // A square of the speed, which the cubics hold exactly.
        let gear_n = 0.5 * water.density_kg_m3 * sea.gear_drag_area_m2 * speed * speed;
        foil_nodes[i] = (gear_n, 2.0 * gear_n / speed * width_m_s);
        for (foil, near) in foils.iter().zip(&mut near_foils) {
            let Some(foil) = foil else { continue };
            let [smooth, rise] = foil.drag(speed, width_m_s, roughness_m, water, near);
            foil_nodes[i] = (foil_nodes[i].0 + smooth.0, foil_nodes[i].1 + smooth.1);
            growth_nodes[i] = (growth_nodes[i].0 + rise.0, growth_nodes[i].1 + rise.1);
        }
    }
    let hull_friction = FrictionCurve::through(&hull_nodes);
    let growth_friction = FrictionCurve::through(&growth_nodes);
    let foil_friction = FrictionCurve::through(&foil_nodes);

    let unit_weight_n_m3 = water.density_kg_m3 * GRAVITY_M_S2 * residuary_factor;
    let mut hull_residuary =
        residuary_cubics(&residuary_curve(body, method), body.volume_m3 * unit_weight_n_m3);
    if is_ship {
        let form_drag = residuary_factor * (ShipForm::of(body).form_factor() - 1.0);
        add(&mut hull_residuary, &hull_friction, form_drag);
    }
    let keel_residuary = match &hull.keel {
        Some(keel) if !method.includes_appendages() => residuary_cubics(
            &keel_residuary_curve(body, hull.draught_m, keel),
            keel.volume_m3 * unit_weight_n_m3,
        ),
        _ => [[0.0; 4]; NODES - 1],
    };
    let mut all = hull_residuary;
    for (all, keel) in all.iter_mut().flatten().zip(keel_residuary.iter().flatten()) {
        *all += keel;
    }
    for friction in [&hull_friction, &growth_friction, &foil_friction] {
        add(&mut all, friction, 1.0);
    }
    FittedCurve {
        nodes_per_speed: 1.0 / node_m_s,
        hull_friction,
        growth_friction,
        foil_friction,
        hull_residuary,
        keel_residuary,
        all,
    }
}

/// Adds `share` of the friction to cubics between nodes.
fn add(cubics: &mut ResiduaryCubics, friction: &FrictionCurve, share: f64) {
    for (node, cubic) in cubics.iter_mut().enumerate() {
        let more = half(&friction.0[node / 2], node % 2 == 1);
        for (mine, theirs) in cubic.iter_mut().zip(more) {
            *mine += share * theirs;
        }
    }
}
