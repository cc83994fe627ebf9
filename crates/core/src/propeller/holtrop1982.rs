//! Propulsion factors of the Holtrop & Mennen method, single screw, as published for ships: a second
//! opinion for heavy motor boats. Not for: yachts proper (every range is left) or the resistance part.

use crate::notice::{Notice, check_range};

/// Hull form as the method needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HullForm {
    /// Length on the waterline L \[m\].
    pub length_waterline_m: f64,
    /// Beam B \[m\].
    pub beam_m: f64,
    /// Mean draught T \[m\].
    pub draught_m: f64,
    /// Draught aft TA \[m\].
    pub draught_aft_m: f64,
    /// Displaced volume \[m³\].
    pub volume_m3: f64,
    /// Midship section coefficient CM.
    pub midship_coefficient: f64,
    /// Centre of buoyancy forward of 0.5 L, as percentage of L.
    pub buoyancy_centre_percent: f64,
    /// Wetted surface with appendages S \[m²\].
    pub wetted_surface_m2: f64,
    /// Stern shape: -25 pram, -10 V, 0 normal, +10 U sections.
    pub stern_coefficient: f64,
    /// Viscous resistance coefficient CV = (1 + k) CF + CA.
    pub viscous_coefficient: f64,
    /// Propeller diameter D \[m\].
    pub propeller_diameter_m: f64,
}

/// The coefficients between the inputs and the answer, by their names in the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Prismatic coefficient.
    pub cp: f64,
    /// Block coefficient.
    pub cb: f64,
    /// Prismatic coefficient shifted for the centre of buoyancy.
    pub cp1: f64,
    /// Wetted surface, beam, draught and diameter.
    pub c9: f64,
    /// Beam over length, bounded for stubby hulls.
    pub c10: f64,
    /// Draught over diameter.
    pub c11: f64,
}

impl HullForm {
    /// Coefficients of the paper.
    /// # Source
    /// \[holtrop1982\]; its printed example gives CP1 0.5477, c9 14.500, c10 0.15610, c11 1.250.
    /// # Example
    /// ```
    /// # use wakewright_core::propeller::holtrop1982::HullForm;
    /// # let surface_m2 = 7381.45 + 50.0;
    /// # let form_factor = (7381.45 * 1.156 + 50.0 * 1.5) / surface_m2;
    /// # let hull = HullForm {
    /// #     length_waterline_m: 205.0,
    /// #     beam_m: 32.0,
    /// #     draught_m: 10.0,
    /// #     draught_aft_m: 10.0,
    /// #     volume_m3: 37_500.0,
    /// #     midship_coefficient: 0.98,
    /// #     buoyancy_centre_percent: -0.75,
    /// #     wetted_surface_m2: surface_m2,
    /// #     stern_coefficient: 10.0,
    /// #     viscous_coefficient: form_factor * 0.001_390 + 0.000_352,
    /// #     propeller_diameter_m: 8.0,
    /// # };
    /// let found = hull.coefficients();
    /// assert!((found.cp1 - 0.5477).abs() < 6e-5 && (found.c9 - 14.500).abs() < 5e-4);
    /// assert!((found.c10 - 0.156_10).abs() < 5e-6 && (found.c11 - 1.250).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn coefficients(&self) -> Coefficients {
        let (l, b, ta, d) =
            (self.length_waterline_m, self.beam_m, self.draught_aft_m, self.propeller_diameter_m);
        let cb = self.volume_m3 / (l * b * self.draught_m);
        let cp = cb / self.midship_coefficient;
        let s = self.wetted_surface_m2;
        let c8 = if b / ta < 5.0 {
            b * s / (l * d * ta)
        } else {
            s * (7.0 * b / ta - 25.0) / (l * d * (b / ta - 3.0))
        };
        let submergence = ta / d;
        Coefficients {
            cp,
            cb,
            cp1: 1.45 * cp - 0.315 - 0.0225 * self.buoyancy_centre_percent,
            c9: if c8 < 28.0 { c8 } else { 32.0 - 16.0 / (c8 - 24.0) },
            c10: if l / b > 5.2 { b / l } else { 0.25 - 0.003_328_402 / (b / l - 0.134_615_385) },
            c11: if submergence < 2.0 {
                submergence
            } else {
                0.083_333_3 * submergence * submergence * submergence + 1.333_33
            },
        }
    }

    /// Wake fraction, form of 1982.
    /// # Source
    /// \[holtrop1982\]; its printed example gives 0.2584.
    /// # Valid for
    /// See [`Self::check_limits`].
    /// # Example
    /// ```
    /// # use wakewright_core::propeller::holtrop1982::HullForm;
    /// # let surface_m2 = 7381.45 + 50.0;
    /// # let form_factor = (7381.45 * 1.156 + 50.0 * 1.5) / surface_m2;
    /// # let hull = HullForm {
    /// #     length_waterline_m: 205.0,
    /// #     beam_m: 32.0,
    /// #     draught_m: 10.0,
    /// #     draught_aft_m: 10.0,
    /// #     volume_m3: 37_500.0,
    /// #     midship_coefficient: 0.98,
    /// #     buoyancy_centre_percent: -0.75,
    /// #     wetted_surface_m2: surface_m2,
    /// #     stern_coefficient: 10.0,
    /// #     viscous_coefficient: form_factor * 0.001_390 + 0.000_352,
    /// #     propeller_diameter_m: 8.0,
    /// # };
    /// assert!((hull.wake_fraction_1982() - 0.2584).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn wake_fraction_1982(&self) -> f64 {
        let Coefficients { cp, cb, cp1, c9, c11, .. } = self.coefficients();
        let (cv, b_by_l) = (self.viscous_coefficient, self.beam_m / self.length_waterline_m);
        c9 * cv * self.length_waterline_m / self.draught_aft_m
            * (0.066_187_5 + 1.217_56 * c11 * cv / (1.0 - cp1))
            + 0.245_58 * (b_by_l / (1.0 - cp1)).sqrt()
            - 0.097_26 / (0.95 - cp)
            + 0.114_34 / (0.95 - cb)
            + 0.75 * self.stern_coefficient * cv
            + 0.002 * self.stern_coefficient
    }

    /// Thrust deduction, form of 1982.
    /// # Source
    /// \[holtrop1982\]; its printed example gives 0.1747.
    /// # Example
    /// ```
    /// # use wakewright_core::propeller::holtrop1982::HullForm;
    /// # let surface_m2 = 7381.45 + 50.0;
    /// # let form_factor = (7381.45 * 1.156 + 50.0 * 1.5) / surface_m2;
    /// # let hull = HullForm {
    /// #     length_waterline_m: 205.0,
    /// #     beam_m: 32.0,
    /// #     draught_m: 10.0,
    /// #     draught_aft_m: 10.0,
    /// #     volume_m3: 37_500.0,
    /// #     midship_coefficient: 0.98,
    /// #     buoyancy_centre_percent: -0.75,
    /// #     wetted_surface_m2: surface_m2,
    /// #     stern_coefficient: 10.0,
    /// #     viscous_coefficient: form_factor * 0.001_390 + 0.000_352,
    /// #     propeller_diameter_m: 8.0,
    /// # };
    /// assert!((hull.thrust_deduction_1982() - 0.1747).abs() < 6e-5);
    /// ```
    #[must_use]
    pub fn thrust_deduction_1982(&self) -> f64 {
        let Coefficients { cp1, c10, .. } = self.coefficients();
        let (b, d) = (self.beam_m, self.propeller_diameter_m);
        0.001_979 * self.length_waterline_m / (b - b * cp1) + 1.058_5 * c10
            - 0.005_24
            - 0.141_8 * d * d / (b * self.draught_m)
            + 0.001_5 * self.stern_coefficient
    }

    /// Wake fraction, form of 1984.
    /// # Source
    /// \[holtrop1984\], read in one copy; no printed example at hand.
    /// # Example
    /// Plausibility only: near the 0.2584 of the form of 1982.
    /// ```
    /// # use wakewright_core::propeller::holtrop1982::HullForm;
    /// # let surface_m2 = 7381.45 + 50.0;
    /// # let form_factor = (7381.45 * 1.156 + 50.0 * 1.5) / surface_m2;
    /// # let hull = HullForm {
    /// #     length_waterline_m: 205.0,
    /// #     beam_m: 32.0,
    /// #     draught_m: 10.0,
    /// #     draught_aft_m: 10.0,
    /// #     volume_m3: 37_500.0,
    /// #     midship_coefficient: 0.98,
    /// #     buoyancy_centre_percent: -0.75,
    /// #     wetted_surface_m2: surface_m2,
    /// #     stern_coefficient: 10.0,
    /// #     viscous_coefficient: form_factor * 0.001_390 + 0.000_352,
    /// #     propeller_diameter_m: 8.0,
    /// # };
    /// assert!((hull.wake_fraction_1984() - 0.2584).abs() < 0.05);
    /// ```
    #[must_use]
    pub fn wake_fraction_1984(&self) -> f64 {
        let Coefficients { cp, cb, cp1, c9, c11, .. } = self.coefficients();
        let (cv, b_by_l) = (self.viscous_coefficient, self.beam_m / self.length_waterline_m);
        let c19 = if cp < 0.7 {
            0.129_97 / (0.95 - cb) - 0.110_56 / (0.95 - cp)
        } else {
            0.185_67 / (1.357_1 - self.midship_coefficient) - 0.712_76 + 0.386_48 * cp
        };
        let c20 = 1.0 + 0.015 * self.stern_coefficient;
        c9 * c20 * cv * self.length_waterline_m / self.draught_aft_m
            * (0.050_776 + 0.934_05 * c11 * cv / (1.0 - cp1))
            + 0.279_15 * c20 * (b_by_l / (1.0 - cp1)).sqrt()
            + c19 * c20
    }

    /// Thrust deduction, form of 1984.
    /// # Source
    /// \[holtrop1984\], coefficients read in two copies, the bracket `sqrt(B T)/D` from memory (both copies
    /// have it wrong, and only this one is without dimension).
    /// # Example
    /// Plausibility only: near the 0.1747 of the form of 1982.
    /// ```
    /// # use wakewright_core::propeller::holtrop1982::HullForm;
    /// # let surface_m2 = 7381.45 + 50.0;
    /// # let form_factor = (7381.45 * 1.156 + 50.0 * 1.5) / surface_m2;
    /// # let hull = HullForm {
    /// #     length_waterline_m: 205.0,
    /// #     beam_m: 32.0,
    /// #     draught_m: 10.0,
    /// #     draught_aft_m: 10.0,
    /// #     volume_m3: 37_500.0,
    /// #     midship_coefficient: 0.98,
    /// #     buoyancy_centre_percent: -0.75,
    /// #     wetted_surface_m2: surface_m2,
    /// #     stern_coefficient: 10.0,
    /// #     viscous_coefficient: form_factor * 0.001_390 + 0.000_352,
    /// #     propeller_diameter_m: 8.0,
    /// # };
    /// assert!((hull.thrust_deduction_1984() - 0.1747).abs() < 0.04);
    /// ```
    #[must_use]
    pub fn thrust_deduction_1984(&self) -> f64 {
        let cp = self.coefficients().cp;
        let (b, lcb) = (self.beam_m, self.buoyancy_centre_percent);
        0.250_14
            * (b / self.length_waterline_m).powf(0.289_56)
            * ((b * self.draught_m).sqrt() / self.propeller_diameter_m).powf(0.262_4)
            / (1.0 - cp + 0.022_5 * lcb).powf(0.017_62)
            + 0.001_5 * self.stern_coefficient
    }

    /// Relative rotative efficiency, single screw.
    /// # Source
    /// \[holtrop1982\], also in \[molland2011\] sec. 16.3.2; the printed example gives 0.9931.
    /// # Example
    /// ```
    /// # use wakewright_core::propeller::holtrop1982::HullForm;
    /// # let surface_m2 = 7381.45 + 50.0;
    /// # let form_factor = (7381.45 * 1.156 + 50.0 * 1.5) / surface_m2;
    /// # let hull = HullForm {
    /// #     length_waterline_m: 205.0,
    /// #     beam_m: 32.0,
    /// #     draught_m: 10.0,
    /// #     draught_aft_m: 10.0,
    /// #     volume_m3: 37_500.0,
    /// #     midship_coefficient: 0.98,
    /// #     buoyancy_centre_percent: -0.75,
    /// #     wetted_surface_m2: surface_m2,
    /// #     stern_coefficient: 10.0,
    /// #     viscous_coefficient: form_factor * 0.001_390 + 0.000_352,
    /// #     propeller_diameter_m: 8.0,
    /// # };
    /// assert!((hull.relative_rotative_efficiency(0.7393) - 0.9931).abs() < 6e-5);
    /// ```
    #[must_use]
    pub fn relative_rotative_efficiency(&self, area_ratio: f64) -> f64 {
        let cp = self.coefficients().cp;
        0.992_2 - 0.059_08 * area_ratio + 0.074_24 * (cp - 0.022_5 * self.buoyancy_centre_percent)
    }

    /// Notices where the hull leaves the published data.
    /// # Source
    /// Limits from memory: CP 0.55 to 0.85, L/B 3.9 to 15, B/T 2.1 to 4.0.
    /// # Example
    /// The ship of the paper's example lies within.
    /// ```
    /// # use wakewright_core::propeller::holtrop1982::HullForm;
    /// # let surface_m2 = 7381.45 + 50.0;
    /// # let form_factor = (7381.45 * 1.156 + 50.0 * 1.5) / surface_m2;
    /// # let hull = HullForm {
    /// #     length_waterline_m: 205.0,
    /// #     beam_m: 32.0,
    /// #     draught_m: 10.0,
    /// #     draught_aft_m: 10.0,
    /// #     volume_m3: 37_500.0,
    /// #     midship_coefficient: 0.98,
    /// #     buoyancy_centre_percent: -0.75,
    /// #     wetted_surface_m2: surface_m2,
    /// #     stern_coefficient: 10.0,
    /// #     viscous_coefficient: form_factor * 0.001_390 + 0.000_352,
    /// #     propeller_diameter_m: 8.0,
    /// # };
    /// assert!(hull.check_limits().is_empty());
    /// ```
    #[must_use]
    pub fn check_limits(&self) -> Vec<Notice> {
        let mut notices = Vec::new();
        let cp = self.coefficients().cp;
        let mut check = |quantity, value, range| {
            check_range(
                &mut notices,
                "propulsion factors for ships",
                quantity,
                value,
                range,
                "",
                "holtrop1982",
            );
        };
        check("prismatic coefficient", cp, (0.55, 0.85));
        check("length / beam", self.length_waterline_m / self.beam_m, (3.9, 15.0));
        check("beam / draught", self.beam_m / self.draught_m, (2.1, 4.0));
        notices
    }
}

/// Fall of the section drag coefficient from model to full size.
///
/// `dCD = (2 + 4 t/c) (0.003605 - (1.89 + 1.62 log10(c/kp))^-2.5)`.
/// # Source
/// \[holtrop1982\], kp = 30e-6 m for new ship propellers; its printed example gives 0.000956.
/// # Valid for
/// Ship propellers. For a chord near 0.13 m it turns negative: not used for small ones.
/// # Arguments
/// `chord_m` and `thickness_ratio` at 0.75R, `roughness_m` kp.
/// # Example
/// ```
/// # use wakewright_core::propeller::holtrop1982::section_drag_fall;
/// assert!((section_drag_fall(3.065, 0.035_24, 30e-6) - 0.000_956).abs() < 1.5e-6);
/// ```
#[must_use]
pub fn section_drag_fall(chord_m: f64, thickness_ratio: f64, roughness_m: f64) -> f64 {
    let rough = (1.89 + 1.62 * (chord_m / roughness_m).log10()).powf(-2.5);
    (2.0 + 4.0 * thickness_ratio) * (0.003_605 - rough)
}
