//! The values that a fitter chooses among: stock sizes of propellers, usual ratios, cells, winds.
//! Not for: whether they fit this boat (the document's own checks say so).

use wakewright_records::boat::CellKind;

/// Half inches up to this size, whole ones above: common practice, no source.
const HALF_INCHES_BELOW_IN: f64 = 13.0;

/// Propeller sizes from `from_in` to `to_in`, in inches.
pub fn propeller_sizes(from_in: f64, to_in: f64) -> Vec<String> {
    let mut sizes = Vec::new();
    let mut size = from_in;
    while size <= to_in + 1e-9 {
        sizes.push(format!("{size} in"));
        size += if size < HALF_INCHES_BELOW_IN - 1e-9 { 0.5 } else { 1.0 };
    }
    sizes
}

/// Ratios from 1 to 4 in tenths.
pub fn ratios() -> Vec<String> {
    (10..=40).map(|tenths| format!("{}:1", f64::from(tenths) / 10.0)).collect()
}

/// Cells in series that packs of a chemistry are sold with; common practice, no source.
pub fn cells(chemistry: CellKind) -> &'static [u32] {
    match chemistry {
        CellKind::Lfp => &[8, 12, 15, 16, 20, 23, 24, 28, 30, 32],
        CellKind::Nmc => &[7, 10, 13, 14, 17, 20, 24, 28],
        CellKind::LeadFlooded | CellKind::Agm | CellKind::Gel => &[6, 12, 18, 24, 30, 36, 48],
    }
}

/// Head winds, in knots.
pub fn winds() -> Vec<String> {
    [0, 2, 5, 8, 10, 12, 15, 18, 20, 25, 30].iter().map(|kn| format!("{kn} kn")).collect()
}

/// Shares from `from` to `to` per cent in steps of five.
pub fn shares(from: u32, to: u32) -> Vec<String> {
    (from..=to).step_by(5).map(|share| format!("{share} %")).collect()
}

/// Boat speeds, in halves from `from` to `to` half knots.
pub fn speeds(from: u32, to: u32) -> Vec<String> {
    (from..=to).map(|half| format!("{} kn", 0.5 * f64::from(half))).collect()
}

/// Speeds that charging may cost, in knots.
pub fn losses() -> Vec<String> {
    (0..=10).map(|tenths| format!("{} kn", f64::from(tenths) / 10.0)).collect()
}

/// Temperatures of a bank, in degrees Celsius.
pub fn temperatures() -> Vec<String> {
    [-15, -10, -5, -2, 0, 2, 5, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 60]
        .iter()
        .map(|celsius| format!("{celsius} °C"))
        .collect()
}

/// Air of an engine space.
pub fn warm_airs() -> Vec<String> {
    (3..=7).map(|tens| format!("{} °C", 10 * tens)).collect()
}

/// Ratings of sockets ashore, in amperes; common practice, no source.
pub fn sockets() -> Vec<String> {
    [6, 10, 16, 32].iter().map(|amperes| format!("{amperes} A")).collect()
}

/// Powers of a panel, in watts.
pub fn panels() -> Vec<String> {
    [20, 40, 60, 80, 100, 120, 150, 180, 200, 250, 300, 350, 400, 450, 500, 600]
        .iter()
        .map(|w| format!("{w} W"))
        .collect()
}

/// Tilts of a panel, in degrees.
pub fn tilts() -> Vec<String> {
    (0..=90).step_by(5).map(|degrees| format!("{degrees} deg")).collect()
}

/// Hours in a week.
pub fn hours() -> Vec<String> {
    [0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30].iter().map(|hours| format!("{hours} h")).collect()
}

/// Standing loads, in watts.
pub fn loads() -> Vec<String> {
    [0, 20, 40, 60, 80, 100, 150, 200, 300, 400, 600, 800, 1000].iter().map(|w| format!("{w} W")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_step_by_halves_and_then_by_inches() {
        let sizes = propeller_sizes(12.0, 15.0);
        assert_eq!(sizes, ["12 in", "12.5 in", "13 in", "14 in", "15 in"]);
    }
}
