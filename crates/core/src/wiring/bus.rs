//! The volts of the bus over time when the protection opens while a braking controller pushes current: the controller
//! is a booster, and lifts its own capacitors until it stops. Not for: how hard it brakes (`sail`).

/// What pushes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Push {
    /// A current that stays what it was \[A\].
    Current(f64),
    /// A power that stays what it was \[W\].
    Power(f64),
}

/// The bus as the protection opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bus {
    /// Capacitors on the controller's side \[F\].
    pub capacitance_f: f64,
    /// Volts before \[V\].
    pub before_v: f64,
    /// What pushes.
    pub push: Push,
    /// What is drawn on that side meanwhile \[A\].
    pub drawn_a: f64,
    /// Volts at which the controller stops braking \[V\].
    pub stops_at_v: f64,
    /// How long it takes to stop once it sees them \[s\].
    pub delay_s: f64,
    /// Energy that the windings still hold then, which goes into the capacitors \[J\].
    pub windings_j: f64,
    /// What the turning motor rectifies by itself \[V\].
    pub motor_v: f64,
}

/// A moment of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BusMoment {
    /// Since the protection opened \[s\].
    pub time_s: f64,
    /// Volts of the bus \[V\].
    pub bus_v: f64,
}

/// What the bus did.
#[derive(Debug, Clone, PartialEq)]
pub struct BusCourse {
    /// Moment by moment.
    pub moments: Vec<BusMoment>,
    /// Highest volts \[V\].
    pub highest_v: f64,
    /// When the controller saw its limit \[s\]; `None` when it never did.
    pub reached_s: Option<f64>,
    /// Pushed in, less what was drawn \[J\].
    pub into_j: f64,
    /// By which the capacitors hold more than before \[J\].
    pub held_j: f64,
}

/// Energy of the windings \[J\]: `3/4 L I²`, L of one phase and I the peak of its current.
/// # Source
/// Three sinusoidal currents of one peak: the squares add up to 3/2 at any moment; textbook.
/// # Valid for
/// Phase inductance alike in every position.
/// # Accuracy
/// Salient rotors differ.
/// # Example
/// By hand: 100 uH at 283 A hold 6.007 J, which lift 2 mF from 54 to 94.46 V.
/// ```
/// # use wakewright_core::wiring::{lifted_to_v, windings_j};
/// let joules = windings_j(100e-6, 283.0);
/// assert!((lifted_to_v(2e-3, 54.0, joules) - 94.46).abs() < 0.01);
/// ```
#[must_use]
pub fn windings_j(phase_inductance_h: f64, peak_a: f64) -> f64 {
    0.75 * phase_inductance_h * peak_a * peak_a
}

/// Volts of capacitors that stood at `before_v` and took so much energy \[V\]: `sqrt(V² + 2 E / C)`.
#[must_use]
pub fn lifted_to_v(capacitance_f: f64, before_v: f64, joules: f64) -> f64 {
    (before_v * before_v + 2.0 * joules / capacitance_f).max(0.0).sqrt()
}

/// Volts of capacitors that take the windings' energy while the turning motor, which makes `motor_v`, drives it on \[V\]:
/// `E + sqrt((V - E)² + 2 W / C)`.
///
/// # Source
/// A coil that empties into a capacitor against a constant voltage, without losses; textbook. At rest, E nothing, it is
/// [`lifted_to_v`].
/// # Valid for
/// A motor that brakes: one that drives stands against its own current, and [`lifted_to_v`] is the most.
/// # Accuracy
/// An upper bound: resistance is left out and the motor's volts stay as they are meanwhile.
/// # Example
/// By hand: 6 J into 2 mF at 54 V from a motor that makes 40 V: 40 + sqrt(196 + 6000) = 118.7 V; at rest 94.4 V.
/// ```
/// # use wakewright_core::wiring::swung_to_v;
/// assert!((swung_to_v(2e-3, 54.0, 40.0, 6.0) - 118.71).abs() < 0.01);
/// assert!((swung_to_v(2e-3, 54.0, 0.0, 6.0) - 94.42).abs() < 0.01);
/// ```
#[must_use]
pub fn swung_to_v(capacitance_f: f64, before_v: f64, motor_v: f64, joules: f64) -> f64 {
    if joules <= 0.0 {
        return before_v;
    }
    motor_v + ((before_v - motor_v).powi(2) + 2.0 * joules / capacitance_f).sqrt()
}

impl Bus {
    /// Steps through it until the controller has stopped, or until `longest_s`.
    ///
    /// `C dV/dt = I - drawn`, I the pushed current or P/V; fourth-order steps of a thousandth of the time that the rise
    /// would take, the moment at which the limit is seen met by a shorter step.
    /// # Source
    /// Charge on a capacitor; textbook.
    /// # Valid for
    /// A controller that goes on braking until it stops itself; field weakening at speed is another event.
    /// # Accuracy
    /// Against the closed forms at constant current and constant power better than 1e-6.
    /// # Example
    /// By hand: 40 A into 2 mF from 54 V see 90 V after 1.8 ms.
    /// ```
    /// # use wakewright_core::wiring::{Bus, Push};
    /// let bus = Bus { capacitance_f: 2e-3, before_v: 54.0, push: Push::Current(40.0), drawn_a: 0.0, stops_at_v: 90.0,
    ///     delay_s: 0.0, windings_j: 0.0, motor_v: 0.0 };
    /// assert!((bus.course(1.0).reached_s.unwrap() - 1.8e-3).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn course(&self, longest_s: f64) -> BusCourse {
        let current = |v: f64| match self.push {
            Push::Current(amperes) => amperes,
            Push::Power(watts) => watts / v,
        };
        let rate = |v: f64| (current(v) - self.drawn_a) / self.capacitance_f;
        let first = rate(self.before_v).abs().max(1e-9);
        let step_s =
            (((self.stops_at_v - self.before_v).abs().max(1.0) / first) * 1e-3).min(longest_s / 100.0);
        let (mut time_s, mut v, mut into_j) = (0.0, self.before_v, 0.0);
        let mut moments = vec![BusMoment { time_s, bus_v: v }];
        let mut reached_s = (v >= self.stops_at_v).then_some(0.0);
        let mut end_s = reached_s.map_or(longest_s, |at| at + self.delay_s);
        while time_s < end_s && moments.len() < 100_000 {
            let mut h = step_s.min(end_s - time_s);
            let mut next = step(rate, v, h);
            if reached_s.is_none() && next >= self.stops_at_v {
                // Newton on the length of the step: the rate there is known.
                for _ in 0..8 {
                    h -= (next - self.stops_at_v) / rate(next);
                    next = step(rate, v, h);
                }
                reached_s = Some(time_s + h);
                end_s = (time_s + h + self.delay_s).min(longest_s);
            }
            // Simpson over the step: the power in, held against what the capacitors gained.
            let middle = step(rate, v, 0.5 * h);
            let power = |v: f64| v * (current(v) - self.drawn_a);
            into_j += h / 6.0 * (power(v) + 4.0 * power(middle) + power(next));
            (time_s, v) = (time_s + h, next.max(0.0));
            moments.push(BusMoment { time_s, bus_v: v });
            if v <= 0.0 {
                break;
            }
        }
        if reached_s.is_some() && self.windings_j > 0.0 {
            let before_v = v;
            v = swung_to_v(self.capacitance_f, v, self.motor_v, self.windings_j);
            into_j += self.windings_j + self.motor_v * self.capacitance_f * (v - before_v);
            moments.push(BusMoment { time_s, bus_v: v });
        }
        let held_j = 0.5 * self.capacitance_f * (v * v - self.before_v * self.before_v);
        if self.motor_v > v {
            v = self.motor_v;
            moments.push(BusMoment { time_s, bus_v: v });
        }
        let highest_v = moments.iter().fold(v, |most, moment| most.max(moment.bus_v));
        BusCourse { moments, highest_v, reached_s, into_j, held_j }
    }
}

/// One step of Runge and Kutta.
fn step(rate: impl Fn(f64) -> f64, v: f64, h: f64) -> f64 {
    let k1 = rate(v);
    let k2 = rate(v + 0.5 * h * k1);
    let k3 = rate(v + 0.5 * h * k2);
    let k4 = rate(v + h * k3);
    v + h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)
}
