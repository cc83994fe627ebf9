//! Bare-hull resistance by the Holtrop & Mennen method: for full hulls, which the Delft series does not know.
//! Not for: yachts, bulbs, transoms, Froude numbers above 0.40; propulsion (see `propeller::holtrop1982`).

use super::complete::CanoeBody;
use super::form::block_coefficient;

/// Froude number up to which the wave part is given: the paper's low range.
pub const HIGHEST_FROUDE: f64 = 0.40;
/// Exponent of the Froude number in the first part of the waves. Source: \[holtrop1982\].
const D: f64 = -0.9;

/// The form as the method takes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShipForm {
    /// Length on the waterline \[m\].
    pub length_m: f64,
    /// Beam on the waterline \[m\].
    pub beam_m: f64,
    /// Mean draught \[m\].
    pub draught_m: f64,
    /// Displaced volume \[m³\].
    pub volume_m3: f64,
    /// Prismatic coefficient.
    pub prismatic_coefficient: f64,
    /// Midship coefficient.
    pub midship_coefficient: f64,
    /// Waterplane area / (length x beam).
    pub waterplane_coefficient: f64,
    /// Centre of buoyancy forward of 0.5 L, in percent of L.
    pub buoyancy_centre_percent: f64,
}

/// Coefficients by their names in the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaveCoefficients {
    /// Beam over length, bounded.
    pub c7: f64,
    /// Half angle of entrance \[°\].
    pub entrance_deg: f64,
    /// Entrance and proportions.
    pub c1: f64,
    /// Of the smooth part.
    pub m1: f64,
    /// Slenderness.
    pub c15: f64,
    /// Of the humps and hollows.
    pub lambda: f64,
}

impl ShipForm {
    /// The form of a canoe body.
    #[must_use]
    pub fn of(body: &CanoeBody) -> Self {
        Self {
            length_m: body.length_waterline_m,
            beam_m: body.beam_waterline_m,
            draught_m: body.draught_m,
            volume_m3: body.volume_m3,
            prismatic_coefficient: body.prismatic_coefficient,
            midship_coefficient: body.midship_coefficient,
            waterplane_coefficient: body.waterplane_area_m2
                / (body.length_waterline_m * body.beam_waterline_m),
            buoyancy_centre_percent: 100.0 * (0.5 - body.lcb_fraction),
        }
    }

    /// Length of the run LR \[m\]: `L (1 - Cp + 0.06 Cp lcb / (4 Cp - 1))`.
    /// # Source
    /// \[holtrop1982\], from memory; its printed example gives 81.385 m.
    /// # Example
    /// ```
    /// # use wakewright_core::hull::holtrop::ShipForm;
    /// # let (length_m, beam_m, draught_m, volume_m3) = (205.0, 32.0, 10.0, 37_500.0);
    /// # let (prismatic_coefficient, midship_coefficient) = (0.5833, 0.98);
    /// # let (waterplane_coefficient, buoyancy_centre_percent) = (0.75, -0.75);
    /// # let ship = ShipForm {
    /// #     length_m,
    /// #     beam_m,
    /// #     draught_m,
    /// #     volume_m3,
    /// #     prismatic_coefficient,
    /// #     midship_coefficient,
    /// #     waterplane_coefficient,
    /// #     buoyancy_centre_percent,
    /// # };
    /// assert!((ship.run_length_m() - 81.385).abs() < 0.01);
    /// ```
    #[must_use]
    pub fn run_length_m(&self) -> f64 {
        let (cp, lcb) = (self.prismatic_coefficient, self.buoyancy_centre_percent);
        self.length_m * (1.0 - cp + 0.06 * cp * lcb / (4.0 * cp - 1.0))
    }

    /// Factor on plate friction for the form, `1 + k1`.
    /// # Source
    /// \[holtrop1984\], coefficients read in one copy; no printed value at hand. The printed example of 1982 has 1.156 by
    /// the older formula, this one 1.185 there by separate code.
    /// # Example
    /// The separate code's 1.18508 has the example's U sections (1 + 0.011 x 10).
    /// ```
    /// # use wakewright_core::hull::holtrop::ShipForm;
    /// # let (length_m, beam_m, draught_m, volume_m3) = (205.0, 32.0, 10.0, 37_500.0);
    /// # let (prismatic_coefficient, midship_coefficient) = (0.5833, 0.98);
    /// # let (waterplane_coefficient, buoyancy_centre_percent) = (0.75, -0.75);
    /// # let ship = ShipForm {
    /// #     length_m,
    /// #     beam_m,
    /// #     draught_m,
    /// #     volume_m3,
    /// #     prismatic_coefficient,
    /// #     midship_coefficient,
    /// #     waterplane_coefficient,
    /// #     buoyancy_centre_percent,
    /// # };
    /// assert!((0.93 + 1.11 * (ship.form_factor() - 0.93) - 1.185_08).abs() < 2e-4);
    /// ```
    #[must_use]
    pub fn form_factor(&self) -> f64 {
        let (l, b) = (self.length_m, self.beam_m);
        0.93 + 0.487_118
            * (b / l).powf(1.068_06)
            * (self.draught_m / l).powf(0.461_06)
            * (l / self.run_length_m()).powf(0.121_563)
            * (l.powi(3) / self.volume_m3).powf(0.364_86)
            * (1.0 - self.prismatic_coefficient).powf(-0.604_247)
    }

    /// Wetted surface without bulb \[m²\].
    /// # Source
    /// \[holtrop1982\], coefficients from memory; its printed example gives 7381.45 m2, of which the bulb's term
    /// `2.38 ABT/CB` is 83.3.
    /// # Example
    /// ```
    /// # use wakewright_core::hull::holtrop::ShipForm;
    /// # let (length_m, beam_m, draught_m, volume_m3) = (205.0, 32.0, 10.0, 37_500.0);
    /// # let (prismatic_coefficient, midship_coefficient) = (0.5833, 0.98);
    /// # let (waterplane_coefficient, buoyancy_centre_percent) = (0.75, -0.75);
    /// # let ship = ShipForm {
    /// #     length_m,
    /// #     beam_m,
    /// #     draught_m,
    /// #     volume_m3,
    /// #     prismatic_coefficient,
    /// #     midship_coefficient,
    /// #     waterplane_coefficient,
    /// #     buoyancy_centre_percent,
    /// # };
    /// assert!((ship.wetted_surface_m2() + 83.3 - 7381.45).abs() < 0.1);
    /// ```
    #[must_use]
    pub fn wetted_surface_m2(&self) -> f64 {
        let cm = self.midship_coefficient;
        let cb = block_coefficient(self.volume_m3, self.length_m, self.beam_m, self.draught_m);
        self.length_m
            * (2.0 * self.draught_m + self.beam_m)
            * cm.sqrt()
            * (0.453 + 0.4425 * cb - 0.2862 * cm - 0.003_467 * self.beam_m / self.draught_m
                + 0.3696 * self.waterplane_coefficient)
    }

    /// The coefficients of the wave part.
    /// # Source
    /// \[holtrop1982\], from memory; its printed example gives c7 0.1561, iE 12.08°, c1 1.398, m1 -2.1274, c15
    /// -1.69385, lambda 0.6513.
    /// # Example
    /// ```
    /// # use wakewright_core::hull::holtrop::ShipForm;
    /// # let (length_m, beam_m, draught_m, volume_m3) = (205.0, 32.0, 10.0, 37_500.0);
    /// # let (prismatic_coefficient, midship_coefficient) = (0.5833, 0.98);
    /// # let (waterplane_coefficient, buoyancy_centre_percent) = (0.75, -0.75);
    /// # let ship = ShipForm {
    /// #     length_m,
    /// #     beam_m,
    /// #     draught_m,
    /// #     volume_m3,
    /// #     prismatic_coefficient,
    /// #     midship_coefficient,
    /// #     waterplane_coefficient,
    /// #     buoyancy_centre_percent,
    /// # };
    /// let found = ship.wave_coefficients();
    /// assert!((found.entrance_deg - 12.08).abs() < 0.005 && (found.c1 - 1.398).abs() < 5e-4);
    /// assert!((found.m1 + 2.1274).abs() < 5e-4 && (found.lambda - 0.6513).abs() < 5e-5);
    /// ```
    #[must_use]
    pub fn wave_coefficients(&self) -> WaveCoefficients {
        let (l, b, t, v) = (self.length_m, self.beam_m, self.draught_m, self.volume_m3);
        let (cp, lcb) = (self.prismatic_coefficient, self.buoyancy_centre_percent);
        let c7 = match b / l {
            narrow if narrow < 0.11 => 0.229_577 * narrow.cbrt(),
            wide if wide > 0.25 => 0.5 - 0.0625 * l / b,
            between => between,
        };
        let entrance_deg = 1.0
            + 89.0
                * (-(l / b).powf(0.808_56)
                    * (1.0 - self.waterplane_coefficient).max(0.0).powf(0.304_84)
                    * (1.0 - cp - 0.0225 * lcb).max(0.0).powf(0.6367)
                    * (self.run_length_m() / b).powf(0.345_74)
                    * (100.0 * v / l.powi(3)).powf(0.163_02))
                .exp();
        let c16 =
            if cp < 0.8 { cp * (8.07981 + cp * (-13.8673 + cp * 6.984_388)) } else { 1.730_14 - 0.7067 * cp };
        let slender = l.powi(3) / v;
        let c15 = if slender < 512.0 {
            -1.693_85
        } else if slender > 1727.0 {
            0.0
        } else {
            -1.693_85 + (slender.cbrt() - 8.0) / 2.36
        };
        WaveCoefficients {
            c7,
            entrance_deg,
            c1: 2_223_105.0
                * c7.powf(3.786_13)
                * (t / b).powf(1.079_61)
                * (90.0 - entrance_deg).powf(-1.375_65),
            m1: 0.014_040_7 * l / t - 1.752_54 * v.cbrt() / l - 4.793_23 * b / l - c16,
            c15,
            lambda: 1.446 * cp - if l / b < 12.0 { 0.03 * l / b } else { 0.36 },
        }
    }

    /// Wave resistance / weight, without bulb and transom.
    ///
    /// `c1 exp(m1 Fn^d + m2 cos(lambda Fn^-2))`, `m2 = c15 Cp^2 exp(-0.1 Fn^-2)`.
    /// # Source
    /// \[holtrop1982\], from memory; its printed example gives 557.11 kN (with the bulb's factor c2 0.7595 and the
    /// transom's c5 0.9592).
    /// # Valid for
    /// Froude numbers to 0.40, Cp 0.55 to 0.85, L/B 3.9 to 15 (ships; from memory). No transom, no bulb.
    /// # Example
    /// 25 kn with the example's g of 9.81 are a Froude number of 0.28679.
    /// ```
    /// # use wakewright_core::hull::holtrop::ShipForm;
    /// # let (length_m, beam_m, draught_m, volume_m3) = (205.0, 32.0, 10.0, 37_500.0);
    /// # let (prismatic_coefficient, midship_coefficient) = (0.5833, 0.98);
    /// # let (waterplane_coefficient, buoyancy_centre_percent) = (0.75, -0.75);
    /// # let ship = ShipForm {
    /// #     length_m,
    /// #     beam_m,
    /// #     draught_m,
    /// #     volume_m3,
    /// #     prismatic_coefficient,
    /// #     midship_coefficient,
    /// #     waterplane_coefficient,
    /// #     buoyancy_centre_percent,
    /// # };
    /// let weight_n = 37_500.0 * 1025.0 * 9.81;
    /// let force_n = ship.wave_ratio(0.28679) * weight_n * 0.7595 * 0.9592;
    /// assert!((force_n / 557.11e3 - 1.0).abs() < 2e-3);
    /// ```
    #[must_use]
    pub fn wave_ratio(&self, froude: f64) -> f64 {
        if froude <= 0.0 {
            return 0.0;
        }
        let c = self.wave_coefficients();
        let inverse_square = (froude * froude).recip();
        let m2 = c.c15 * self.prismatic_coefficient.powi(2) * (-0.1 * inverse_square).exp();
        c.c1 * (c.m1 * froude.powf(D) + m2 * (c.lambda * inverse_square).cos()).exp()
    }
}
