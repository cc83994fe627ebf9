//! Charging the controller's capacitors through a resistor before the main contactor closes.
//! Not for: choosing contactors or fuses.

/// Share of the bus voltage at which pre-charge counts as complete. Common practice, no source.
pub const COMPLETE_AT: f64 = 0.95;

/// A pre-charge circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precharge {
    /// Bus voltage, fully charged \[V\].
    pub bus_v: f64,
    /// Resistor \[ohm\].
    pub resistance_ohm: f64,
    /// Capacitance behind the contactor \[F\].
    pub capacitance_f: f64,
}

impl Precharge {
    /// `tau = R C` \[s\].
    #[must_use]
    pub fn time_constant_s(&self) -> f64 {
        self.resistance_ohm * self.capacitance_f
    }

    /// Time until the capacitors hold `fraction` (below 1) of the bus voltage \[s\]:
    /// `-tau ln(1 - fraction)`.
    /// # Example
    /// Worked in \[precharge2020\]: 800 V, 47 Ω and 1 mF, 99 % after 0.2164 s, 320 J in the resistor.
    /// ```
    /// # use wakewright_core::drive::Precharge;
    /// let circuit = Precharge { bus_v: 800.0, resistance_ohm: 47.0, capacitance_f: 1e-3 };
    /// assert!((circuit.time_to_s(0.99) - 0.2164).abs() < 5e-5);
    /// assert!((circuit.energy_j() - 320.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn time_to_s(&self, fraction: f64) -> f64 {
        -self.time_constant_s() * (-fraction).ln_1p()
    }

    /// First current \[A\]: `V / R`.
    #[must_use]
    pub fn peak_current_a(&self) -> f64 {
        self.bus_v / self.resistance_ohm
    }

    /// First power in the resistor \[W\]: `V² / R`.
    #[must_use]
    pub fn peak_power_w(&self) -> f64 {
        self.bus_v * self.bus_v / self.resistance_ohm
    }

    /// Heat that the resistor must swallow each time \[J\]: `C V² / 2`, as much as ends up in the
    /// capacitors.
    #[must_use]
    pub fn energy_j(&self) -> f64 {
        0.5 * self.capacitance_f * self.bus_v * self.bus_v
    }
}
