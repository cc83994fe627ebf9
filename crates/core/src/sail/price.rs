//! What a drag costs in speed, the sails' drive unchanged. Not for: the drag itself (`prepared`), the sails.

use super::prepared::{ModeState, UnderSail};
use crate::numeric::solve_bracketed;

/// Half-width to which a speed is found \[m/s\].
const SPEED_TOLERANCE_M_S: f64 = 1e-8;
/// Steps over the hull's range in which the first speed of a given resistance is sought.
const STEPS: f64 = 24.0;

/// What a drag costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedPrice {
    /// How much faster she would sail without the drag \[m/s\].
    pub lost_m_s: f64,
    /// That speed lies beyond what is known of the hull: her resistance was continued along its slope at
    /// the end.
    pub is_continued: bool,
}

impl UnderSail {
    /// How much faster she would sail without `drag_n`.
    ///
    /// `R(V') = R(V) + D(V)`; lost is `V' - V`. V is the speed that she makes with the drag, the one that the log
    /// shows and at which the drag is taken; R her resistance in still air.
    /// # Source
    /// Balance of forces, from memory. The root is the first above V, bracketed on the resistance curve itself.
    /// # Valid for
    /// A drive of the sails that is the same at both speeds. In truth the apparent wind draws ahead as she goes
    /// faster, and the loss is smaller.
    /// # Example
    /// In closed form: a hull of 100 N at 1 m/s by the square law, with as much drag again, would sail `sqrt(2)` as fast
    /// without it: 0.828 m/s lost at 2 m/s.
    /// ```
    /// # use wakewright_core::hull::{Sea, TowedResistance};
    /// # use wakewright_core::sail::UnderSail;
    /// # use wakewright_records::boat::{BoatDocument, build_spec};
    /// # let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/sea_campion.toml");
    /// # let document = BoatDocument::parse(&std::fs::read_to_string(path).unwrap()).unwrap();
    /// # let mut boat = build_spec(&document).unwrap().boat;
    /// let speeds_m_s: Vec<f64> = (1..=160).map(|i| 0.025 * f64::from(i)).collect();
    /// let drags_n = speeds_m_s.iter().map(|speed| 100.0 * speed * speed).collect();
    /// boat.towed = Some(TowedResistance { speeds_m_s, drags_n });
    /// boat.sea = Sea { windage_factor: 0.0, ..Sea::tank() };
    /// let price = UnderSail::new(&boat).unwrap().value.speed_price(2.0, 400.0);
    /// assert!((price.lost_m_s - 0.828).abs() < 0.0005);
    /// ```
    #[must_use]
    pub fn speed_price(&self, speed_m_s: f64, drag_n: f64) -> SpeedPrice {
        let price = |lost_m_s, is_continued| SpeedPrice { lost_m_s, is_continued };
        let hull = &self.hull;
        let end_m_s = hull.max_speed_m_s();
        let wanted_n = hull.resistance_n(speed_m_s) + drag_n;
        let excess = |speed: f64| hull.resistance_n(speed) - wanted_n;
        if drag_n == 0.0 || wanted_n.is_nan() {
            return price(if drag_n == 0.0 { 0.0 } else { f64::NAN }, false);
        }
        if drag_n < 0.0 {
            // Blades that push: what she would lose without them.
            let found = solve_bracketed(excess, 0.0, speed_m_s, SPEED_TOLERANCE_M_S);
            return price(found.unwrap_or(0.0) - speed_m_s, false);
        }
        let mut low = speed_m_s;
        while low < end_m_s {
            let high = (low + end_m_s / STEPS).min(end_m_s);
            if excess(high) >= 0.0 {
                let found = solve_bracketed(excess, low, high, SPEED_TOLERANCE_M_S);
                return price(found.unwrap_or(high) - speed_m_s, false);
            }
            low = high;
        }
        let (end_n, slope) = hull.resistance_and_slope(end_m_s);
        let beyond_m_s = if slope > 0.0 { (wanted_n - end_n) / slope } else { 0.0 };
        price(end_m_s + beyond_m_s - speed_m_s, true)
    }

    /// The drag that costs her `lost_m_s` where she sails at `speed_m_s` with it \[N\]: [`Self::speed_price`] the
    /// other way round.
    #[must_use]
    pub fn drag_at_price_n(&self, speed_m_s: f64, lost_m_s: f64) -> f64 {
        let (end_m_s, without_m_s) = (self.hull.max_speed_m_s(), speed_m_s + lost_m_s);
        let (resistance_n, slope) = self.hull.resistance_and_slope(without_m_s.min(end_m_s));
        let beyond_n = slope.max(0.0) * (without_m_s - end_m_s).max(0.0);
        resistance_n + beyond_n - self.hull.resistance_n(speed_m_s)
    }

    /// `state` with what its drag costs at `speed_m_s`.
    pub(super) fn priced(&self, speed_m_s: f64, state: ModeState) -> ModeState {
        let price = self.speed_price(speed_m_s, state.drag_n);
        ModeState { speed_lost_m_s: price.lost_m_s, is_loss_continued: price.is_continued, ..state }
    }
}
