//! How she floats when masses come and go: sinkage and trim from her waterplane.
//! Not for: stability, or masses that are a large part of her displacement.

use crate::boat::Boat;
use crate::hull::{HullError, complete};

/// Something that comes aboard or leaves her.
#[derive(Debug, Clone, PartialEq)]
pub struct MassMove {
    /// In words.
    pub what: String,
    /// Its mass \[kg\]: above zero it comes aboard, below it leaves.
    pub mass_kg: f64,
    /// Its middle aft of the fore end of the waterline \[m\]; unknown, it does not trim her.
    pub aft_m: Option<f64>,
    /// Its middle above the waterline \[m\].
    pub height_m: Option<f64>,
}

/// Takes `mass_kg` aboard `boat` (below zero: ashore): she floats deeper by it, with the keel and rudder that
/// she has. What was estimated from her former floating is held, or a deeper canoe body would be given a
/// smaller keel. A towed hull keeps its table.
pub(super) fn take_aboard(boat: &mut Boat, mass_kg: f64) {
    if let (Ok(hull), Ok(waterplane)) =
        (complete(&boat.form, &boat.keel, &boat.rudder, &boat.water), Waterplane::of(boat))
    {
        let hull = hull.value;
        let sinkage_m = mass_kg / waterplane.mass_per_sinkage_kg_m();
        if let Some(keel) = &hull.keel {
            boat.keel.mean_chord_m = Some(keel.mean_chord_m);
            boat.keel.thickness_ratio = Some(keel.thickness_ratio);
            boat.keel.wetted_area_m2 = Some(keel.wetted_area_m2);
            boat.keel.volume_m3 = Some(keel.volume_m3);
        }
        boat.rudder.mean_chord_m = Some(hull.rudder.mean_chord_m);
        boat.rudder.thickness_ratio = Some(hull.rudder.thickness_ratio);
        boat.rudder.wetted_area_m2 = Some(hull.rudder.wetted_area_m2);
        boat.form.canoe_body_draught_m = Some(hull.body.draught_m + sinkage_m);
        boat.form.draught_m += sinkage_m;
        boat.stern.shaft_depth_m += sinkage_m;
    }
    boat.form.displacement_kg += mass_kg;
}

/// The waterplane, as far as small changes of load ask for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Waterplane {
    /// Length \[m\].
    pub length_m: f64,
    /// Area \[m²\].
    pub area_m2: f64,
    /// Its centre aft of the fore end \[m\].
    pub centre_aft_m: f64,
    /// Second moment of the area about its centre, along the boat \[m⁴\].
    pub inertia_m4: f64,
    /// Density of the water \[kg/m³\].
    pub density_kg_m3: f64,
}

/// What masses do to how she floats.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Floating {
    /// Mass gained \[kg\].
    pub mass_kg: f64,
    /// How much deeper she floats at the centre of the waterplane \[m\].
    pub sinkage_m: f64,
    /// How much deeper the after end of the waterline goes than the fore end \[m\].
    pub trim_aft_m: f64,
    /// Mass times height gained above the waterline \[kg m\]; above zero it makes her more tender.
    pub height_moment_kg_m: f64,
}

impl Waterplane {
    /// The waterplane of `boat`, as measured or estimated with the hull.
    ///
    /// Its second moment is that of a waterline `y = b (1 - |2x/L|^n)`, with n from the area:
    /// `I = C B L³ / (12 (3 - 2 C))`, C = area / (L B).
    /// # Source
    /// Derived here; exact for a rectangle (C = 1), a parabola (2/3) and a rhombus (1/2). The fit that
    /// textbooks of ship design give, `0.350 C² - 0.405 C + 0.146` (from memory), lies within 10 % of
    /// it for C 0.6 to 1.
    /// # Errors
    /// [`HullError`] when the hull's measurements contradict each other.
    /// # Example
    /// Within 10 % of the fit of the textbooks.
    /// ```
    /// # use wakewright_core::options::Waterplane;
    /// # use wakewright_records::boat::{BoatDocument, build_spec};
    /// # let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/sea_campion.toml");
    /// # let document = BoatDocument::parse(&std::fs::read_to_string(path).unwrap()).unwrap();
    /// # let mut boat = build_spec(&document).unwrap().boat;
    /// let plane = Waterplane::of(&boat).unwrap();
    /// let (length, beam) = (plane.length_m, boat.form.beam_waterline_m);
    /// let c = plane.area_m2 / (length * beam);
    /// let fit_m4 = (0.350 * c * c - 0.405 * c + 0.146) * beam * length.powi(3);
    /// assert!((plane.inertia_m4 / fit_m4 - 1.0).abs() < 0.10);
    /// ```
    pub fn of(boat: &Boat) -> Result<Self, HullError> {
        let hull = complete(&boat.form, &boat.keel, &boat.rudder, &boat.water)?.value;
        let body = &hull.body;
        let (length, beam) = (body.length_waterline_m, body.beam_waterline_m);
        Ok(Self {
            length_m: length,
            area_m2: body.waterplane_area_m2,
            centre_aft_m: body.lcf_fraction * length,
            inertia_m4: inertia_m4(length, beam, body.waterplane_area_m2),
            density_kg_m3: boat.water.density_kg_m3,
        })
    }

    /// Mass that sinks her by one metre, were her sides upright \[kg/m\]; a hundredth of it is the
    /// tonnes per centimetre of textbooks.
    #[must_use]
    pub fn mass_per_sinkage_kg_m(&self) -> f64 {
        self.density_kg_m3 * self.area_m2
    }

    /// Moment that trims her by one metre over the waterline \[kg m/m\]; a hundredth of it is the moment to
    /// change trim one centimetre of textbooks.
    ///
    /// `rho I / L`: the longitudinal metacentric height is taken as the metacentric radius, from which it
    /// differs by a few per cent.
    /// # Source
    /// Textbook hydrostatics, from memory.
    /// # Example
    /// A box of 10 m by 3 m in sea water, by hand: I = 3 x 10³ / 12 = 250 m⁴, 1025 x 250 / 10 = 25,625 kg m.
    /// ```
    /// # use wakewright_core::options::Waterplane;
    /// let (length_m, area_m2, centre_aft_m) = (10.0, 30.0, 5.0);
    /// let plane = Waterplane { length_m, area_m2, centre_aft_m, inertia_m4: 250.0, density_kg_m3: 1025.0 };
    /// assert!((plane.moment_per_trim_kg_m_m() - 25_625.0).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn moment_per_trim_kg_m_m(&self) -> f64 {
        self.density_kg_m3 * self.inertia_m4 / self.length_m
    }

    /// How `masses` change her floating.
    ///
    /// `sinkage = m / (rho A)`, `trim = m (x - centre) L / (rho I)`.
    /// # Valid for
    /// Masses up to some per cent of the displacement; the waterplane is taken as it was.
    /// # Accuracy
    /// As the waterplane: within about 10 % when its area was estimated.
    /// # Example
    /// The same box by hand: 307.5 kg two metres abaft the middle sink her by 1 cm and trim her by 2.4 cm.
    /// ```
    /// # use wakewright_core::options::{MassMove, Waterplane};
    /// let (length_m, area_m2, centre_aft_m) = (10.0, 30.0, 5.0);
    /// let plane = Waterplane { length_m, area_m2, centre_aft_m, inertia_m4: 250.0, density_kg_m3: 1025.0 };
    /// let bank = MassMove { what: "bank".into(), mass_kg: 307.5, aft_m: Some(7.0), height_m: None };
    /// let found = plane.with(&[bank]);
    /// assert!((found.sinkage_m - 0.01).abs() < 1e-9 && (found.trim_aft_m - 0.024).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn with(&self, masses: &[MassMove]) -> Floating {
        let sum = |of: &dyn Fn(&MassMove) -> f64| masses.iter().map(of).sum::<f64>();
        let mass_kg = sum(&|mass| mass.mass_kg);
        let moment = sum(&|mass| mass.aft_m.map_or(0.0, |aft| mass.mass_kg * (aft - self.centre_aft_m)));
        Floating {
            mass_kg,
            sinkage_m: mass_kg / self.mass_per_sinkage_kg_m(),
            trim_aft_m: moment / self.moment_per_trim_kg_m_m(),
            height_moment_kg_m: sum(&|mass| mass.height_m.map_or(0.0, |height| mass.mass_kg * height)),
        }
    }
}

fn inertia_m4(length_m: f64, beam_m: f64, area_m2: f64) -> f64 {
    let fullness = area_m2 / (length_m * beam_m);
    fullness * beam_m * length_m.powi(3) / (12.0 * (3.0 - 2.0 * fullness))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn barge() -> Waterplane {
        Waterplane {
            length_m: 10.0,
            area_m2: 30.0,
            centre_aft_m: 5.0,
            inertia_m4: inertia_m4(10.0, 3.0, 30.0),
            density_kg_m3: 1025.0,
        }
    }

    /// A box of 10 m by 3 m in sea water, by hand: 10 · 3 · 1025 = 30,750 kg a metre of sinkage;
    /// I = 3 · 10³ / 12 = 250 m⁴, so 1025 · 250 / 10 = 25,625 kg m a metre of trim.
    #[test]
    fn box_floats_as_by_hand() {
        let barge = barge();
        assert!((barge.mass_per_sinkage_kg_m() - 30_750.0).abs() < 1e-9);
        assert!((barge.moment_per_trim_kg_m_m() - 25_625.0).abs() < 1e-6);
        let ballast = |mass_kg, aft_m| MassMove { what: String::new(), mass_kg, aft_m, height_m: Some(0.5) };
        // 307.5 kg two metres abaft the middle: 1 cm down, 615 / 25,625 = 2.4 cm by the stern.
        let found = barge.with(&[ballast(307.5, Some(7.0))]);
        assert!((found.sinkage_m - 0.01).abs() < 1e-12 && (found.trim_aft_m - 0.024).abs() < 1e-12);
        assert!((found.height_moment_kg_m - 153.75).abs() < 1e-9);
        // 200 kg out aft and 150 kg in forward: lighter by 50 kg, by the head.
        let swap = barge.with(&[ballast(-200.0, Some(8.0)), ballast(150.0, Some(4.0))]);
        assert!((swap.sinkage_m + 50.0 / 30_750.0).abs() < 1e-12);
        assert!((swap.trim_aft_m + (200.0 * 3.0 + 150.0) / 25_625.0).abs() < 1e-12);
        // Without a place it only sinks her.
        assert_eq!(barge.with(&[ballast(100.0, None)]).trim_aft_m, 0.0);
    }

    /// Second moments by integration by hand: parabola L³B/30, rhombus L³B/48.
    #[test]
    fn inertia_of_known_waterlines() {
        for (fullness, divisor) in [(1.0, 12.0), (2.0 / 3.0, 30.0), (0.5, 48.0)] {
            let found = inertia_m4(9.0, 3.0, fullness * 27.0);
            assert!((found - 729.0 * 3.0 / divisor).abs() < 1e-9, "{fullness}: {found}");
        }
    }
}
