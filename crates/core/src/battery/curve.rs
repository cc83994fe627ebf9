//! A monotone curve through equally spaced nodes: smooth, no overshoot, one cell look-up.
//! Not for: unequal spacing (`numeric`), the values themselves (`chemistry`).

/// Open-circuit voltage of a cell against state of charge 0..1, `N` equally spaced nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenCircuitCurve<const N: usize> {
    volts: [f64; N],
    /// Slope at each node, per interval.
    slopes: [f64; N],
}

impl<const N: usize> OpenCircuitCurve<N> {
    /// Cubic through the nodes with limited slopes, so that rising nodes give a rising curve.
    ///
    /// Slope at an inner node: the harmonic mean of its two neighbouring differences (0 where they
    /// differ in sign); at an end the neighbouring difference.
    /// # Source
    /// \[fritsch1984\], harmonic-mean slopes, equal spacing.
    /// # Example
    /// By hand: nodes on a straight line give the straight line.
    /// ```
    /// # use wakewright_core::battery::OpenCircuitCurve;
    /// let curve = OpenCircuitCurve::new([2.0, 2.1, 2.2]);
    /// assert!((curve.at(0.25) - 2.05).abs() < 1e-12);
    /// ```
    #[must_use]
    pub const fn new(volts: [f64; N]) -> Self {
        const { assert!(N >= 2, "a curve needs two nodes") };
        let mut slopes = [0.0; N];
        let mut i = 0;
        while i < N {
            let before = if i == 0 { volts[1] - volts[0] } else { volts[i] - volts[i - 1] };
            let after = if i == N - 1 { before } else { volts[i + 1] - volts[i] };
            slopes[i] = if before * after > 0.0 { 2.0 * before * after / (before + after) } else { 0.0 };
            i += 1;
        }
        Self { volts, slopes }
    }

    /// Volts per cell at a state of charge, constant beyond 0 and 1.
    #[must_use]
    pub fn at(&self, state_of_charge: f64) -> f64 {
        let position = state_of_charge.clamp(0.0, 1.0) * (N - 1) as f64;
        let cell = (position as usize).min(N - 2);
        let u = position - cell as f64;
        let v = 1.0 - u;
        self.volts[cell] * v * v * (1.0 + 2.0 * u)
            + self.volts[cell + 1] * u * u * (3.0 - 2.0 * u)
            + u * v * (self.slopes[cell] * v - self.slopes[cell + 1] * u)
    }
}
