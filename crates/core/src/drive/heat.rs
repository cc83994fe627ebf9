//! Heating of a motor as two bodies, winding and case: steady temperatures, and the time that a
//! load may be held. Not for: what the losses are (`motor`), heating of cables or cells.

/// Specific heat of a motor as a whole \[J/(kg K)\]. Source: \[mauracher1996\] as used in the data
/// file of its drive for motor and controller together.
pub const SPECIFIC_HEAT_J_KG_K: f64 = 430.0;

/// Share of the motor's heat capacity that follows the winding at once: copper and the teeth
/// around it. Judgement, no source.
pub const WINDING_CAPACITY_SHARE: f64 = 0.25;

/// How the motor gets rid of its heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Cooling {
    /// Fins and still air.
    AirNatural,
    /// A fan that runs whatever the motor's speed.
    AirForced,
    /// A water jacket.
    Water,
}

impl Cooling {
    /// Share of the winding's rise above ambient that lies between winding and case at the
    /// continuous rating: the better the case is cooled, the more of the rise stays inside.
    /// Judgement, no source; it moves minutes to the limit, not the continuous rating.
    #[must_use]
    pub fn inner_share(self) -> f64 {
        match self {
            Self::AirNatural => 0.3,
            Self::AirForced => 0.45,
            Self::Water => 0.7,
        }
    }
}

/// Losses by the body that they heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Into the winding: copper \[W\].
    pub winding_w: f64,
    /// Into the case: iron, bearings \[W\].
    pub case_w: f64,
}

/// Temperatures of the two bodies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Temperatures {
    /// Winding \[K\].
    pub winding_k: f64,
    /// Case \[K\].
    pub case_k: f64,
}

impl Temperatures {
    /// Everything at `ambient_k`.
    #[must_use]
    pub fn cold(ambient_k: f64) -> Self {
        Self { winding_k: ambient_k, case_k: ambient_k }
    }
}

/// Thermal resistances and capacities: winding to case to ambient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatPath {
    /// From winding to case \[K/W\].
    pub winding_to_case_k_w: f64,
    /// From case to ambient \[K/W\].
    pub case_to_ambient_k_w: f64,
    /// Heat capacity of the winding \[J/K\].
    pub winding_j_k: f64,
    /// Heat capacity of the case \[J/K\].
    pub case_j_k: f64,
}

impl HeatPath {
    /// Resistances from the continuous rating, capacities from mass.
    ///
    /// At the rated losses the winding settles exactly at its limit, `rise_k` above ambient;
    /// [`Cooling::inner_share`] of the rise lies inside. Capacity is 430 J/(kg K), a quarter of it
    /// in the winding.
    /// # Source
    /// Specific heat \[mauracher1996\]; both splits are judgement.
    /// # Valid for
    /// A rating that is limited by heat. A plate rated by its maker's battery or controller gives
    /// a motor that is really cooler than computed.
    /// # Accuracy
    /// Continuous load as good as the rating; minutes to the limit within a factor of about 1.5.
    /// # Example
    /// By hand, 100 K at 600 and 200 W: 30 K over 600 W inside, 70 K over 800 W outside, a quarter of 20 kg x 430 J/(kg K).
    /// ```
    /// # use wakewright_core::drive::{Cooling, HeatPath, Losses};
    /// let rated = Losses { winding_w: 600.0, case_w: 200.0 };
    /// let path = HeatPath::from_rating(rated, 100.0, 20.0, Cooling::AirNatural);
    /// assert!((path.winding_to_case_k_w - 0.05).abs() < 1e-12);
    /// assert!((path.case_to_ambient_k_w - 0.0875).abs() < 1e-12);
    /// assert!((path.winding_j_k - 2150.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn from_rating(rated: Losses, rise_k: f64, mass_kg: f64, cooling: Cooling) -> Self {
        let inner = cooling.inner_share();
        let capacity = SPECIFIC_HEAT_J_KG_K * mass_kg;
        Self {
            winding_to_case_k_w: inner * rise_k / rated.winding_w,
            case_to_ambient_k_w: (1.0 - inner) * rise_k / (rated.winding_w + rated.case_w),
            winding_j_k: WINDING_CAPACITY_SHARE * capacity,
            case_j_k: (1.0 - WINDING_CAPACITY_SHARE) * capacity,
        }
    }

    /// Winding to ambient \[K/W\].
    #[must_use]
    pub fn total_k_w(&self) -> f64 {
        self.winding_to_case_k_w + self.case_to_ambient_k_w
    }

    /// Where the temperatures settle when the losses no longer change.
    /// # Example
    /// ```
    /// # use wakewright_core::drive::{Cooling, HeatPath, Losses};
    /// // What the rating says: at its losses the winding settles at its rise above the air.
    /// let rated = Losses { winding_w: 600.0, case_w: 200.0 };
    /// let path = HeatPath::from_rating(rated, 100.0, 30.0, Cooling::AirNatural);
    /// assert!((path.steady(rated, 313.15).winding_k - 413.15).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn steady(&self, losses: Losses, ambient_k: f64) -> Temperatures {
        let case_k = ambient_k + self.case_to_ambient_k_w * (losses.winding_w + losses.case_w);
        Temperatures { winding_k: case_k + self.winding_to_case_k_w * losses.winding_w, case_k }
    }

    /// Time constant of the whole motor \[s\], case to ambient.
    #[must_use]
    pub fn time_constant_s(&self) -> f64 {
        self.case_to_ambient_k_w * (self.winding_j_k + self.case_j_k)
    }

    /// Fastest time constant \[s\]: the winding against a case held still, or the case alone.
    fn fastest_s(&self) -> f64 {
        let winding = self.winding_to_case_k_w * self.winding_j_k;
        let case = self.case_j_k / (1.0 / self.winding_to_case_k_w + 1.0 / self.case_to_ambient_k_w);
        1.0 / (1.0 / winding + 1.0 / case)
    }

    /// Rates of change \[K/s\].
    fn rates(&self, losses: Losses, at: Temperatures, ambient_k: f64) -> (f64, f64) {
        let inward = (at.winding_k - at.case_k) / self.winding_to_case_k_w;
        let outward = (at.case_k - ambient_k) / self.case_to_ambient_k_w;
        ((losses.winding_w - inward) / self.winding_j_k, (losses.case_w + inward - outward) / self.case_j_k)
    }

    /// Temperatures `duration_s` later, losses following the winding temperature: one step of the
    /// classical fourth-order Runge-Kutta method. Keep `duration_s` below [`HeatPath::step_s`].
    #[must_use]
    pub fn advance(
        &self,
        losses: impl Fn(f64) -> Losses,
        from: Temperatures,
        ambient_k: f64,
        duration_s: f64,
    ) -> Temperatures {
        let shifted = |(winding, case): (f64, f64), by: f64| Temperatures {
            winding_k: from.winding_k + by * winding,
            case_k: from.case_k + by * case,
        };
        let rate = |at: Temperatures| self.rates(losses(at.winding_k), at, ambient_k);
        let half = 0.5 * duration_s;
        let k1 = rate(from);
        let k2 = rate(shifted(k1, half));
        let k3 = rate(shifted(k2, half));
        let k4 = rate(shifted(k3, duration_s));
        let mean = |a: f64, b: f64, c: f64, d: f64| (a + 2.0 * (b + c) + d) / 6.0;
        shifted((mean(k1.0, k2.0, k3.0, k4.0), mean(k1.1, k2.1, k3.1, k4.1)), duration_s)
    }

    /// A step \[s\] that [`HeatPath::advance`] takes with an error far below 0.01 K.
    #[must_use]
    pub fn step_s(&self) -> f64 {
        0.2 * self.fastest_s()
    }

    /// Seconds until the winding reaches `limit_k`; `None` when it never does (or not within
    /// forty time constants of the whole motor).
    ///
    /// `losses` gives the losses at a winding temperature, so that copper loss grows as the
    /// winding heats.
    /// # Accuracy
    /// Against the analytic solution of one body: 1e-4 relative. In use that of
    /// [`HeatPath::from_rating`].
    /// # Example
    /// By hand, a case that stays cold: `-R C ln(1 - rise / (P R))`, 0.2 K/W x 4000 J/K x ln 2 = 554.5 s to half of 180 K.
    /// ```
    /// # use wakewright_core::drive::{HeatPath, Losses, Temperatures};
    /// let (winding_to_case_k_w, case_to_ambient_k_w) = (0.2, 0.01);
    /// let path = HeatPath { winding_to_case_k_w, case_to_ambient_k_w, winding_j_k: 4000.0, case_j_k: 1e12 };
    /// let losses = |_| Losses { winding_w: 900.0, case_w: 0.0 };
    /// let found_s = path.time_to_limit_s(losses, Temperatures::cold(300.0), 300.0, 390.0).unwrap();
    /// assert!((found_s - 554.5).abs() < 0.1);
    /// ```
    #[must_use]
    pub fn time_to_limit_s(
        &self,
        losses: impl Fn(f64) -> Losses,
        start: Temperatures,
        ambient_k: f64,
        limit_k: f64,
    ) -> Option<f64> {
        if start.winding_k >= limit_k {
            return Some(0.0);
        }
        // Losses at the limit are the highest on the way there: what settles below it with these
        // never reaches it, unless it comes in hotter in the case.
        if self.steady(losses(limit_k), ambient_k).winding_k <= limit_k && start.case_k <= start.winding_k {
            return None;
        }
        let step = self.step_s();
        let horizon = 40.0 * self.time_constant_s().max(self.winding_to_case_k_w * self.winding_j_k);
        let mut now_s = 0.0;
        let mut now = start;
        while now_s < horizon {
            let next = self.advance(&losses, now, ambient_k, step);
            if next.winding_k >= limit_k {
                let (rate_0, _) = self.rates(losses(now.winding_k), now, ambient_k);
                let (rate_1, _) = self.rates(losses(next.winding_k), next, ambient_k);
                let end = (next.winding_k - limit_k, rate_1);
                return Some(now_s + crossing_s((now.winding_k - limit_k, rate_0), end, step));
            }
            if next.winding_k - now.winding_k < 1e-9 && (next.case_k - now.case_k).abs() < 1e-9 {
                return None;
            }
            now = next;
            now_s += step;
        }
        None
    }
}

/// Where in `0..step_s` the cubic through (value, rate) at both ends crosses zero from below.
fn crossing_s(from: (f64, f64), to: (f64, f64), step_s: f64) -> f64 {
    let ((y0, r0), (y1, r1)) = (from, to);
    let cubic = |u: f64| {
        let v = 1.0 - u;
        y0 * v * v * (1.0 + 2.0 * u) + y1 * u * u * (3.0 - 2.0 * u) + step_s * u * v * (r0 * v - r1 * u)
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if cubic(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high) * step_s
}
