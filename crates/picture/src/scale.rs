//! Scales and round ticks, and how a number is written beside them.

/// A straight map from values to px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    pub from: f64,
    pub to: f64,
    pub px_from: f64,
    pub px_to: f64,
}

impl Scale {
    pub fn px(&self, value: f64) -> f64 {
        self.px_from + (value - self.from) / (self.to - self.from) * (self.px_to - self.px_from)
    }
}

/// A range that can be drawn: from the wish if it is one, else round the values; never empty, always finite.
pub(super) fn range(
    wish: Option<(f64, f64)>,
    values: impl Iterator<Item = f64>,
    from_zero: bool,
) -> (f64, f64) {
    if let Some((low, high)) = wish
        && is_drawable(low)
        && is_drawable(high)
        && high - low > spacing(low, high)
    {
        return (low, high);
    }
    let (mut low, mut high) = values
        .filter(|v| is_drawable(*v))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if low > high {
        return (0.0, 1.0);
    }
    if from_zero {
        (low, high) = (low.min(0.0), high.max(0.0));
    }
    if high - low <= spacing(low, high) {
        let half = if low == 0.0 { 0.5 } else { low.abs() * 0.1 };
        return (low - half, high + half);
    }
    let step = nice_step((high - low) / 5.0) / 2.0;
    ((low / step).floor() * step, (high / step).ceil() * step)
}

/// Whether a value can be put on a scale without overflow.
pub(super) fn is_drawable(value: f64) -> bool {
    value.is_finite() && value.abs() < 1e100
}

fn spacing(low: f64, high: f64) -> f64 {
    low.abs().max(high.abs()) * 1e-9
}

/// The smallest of 1, 2, 2.5, 5 times a power of ten that is not below `rough`.
fn nice_step(rough: f64) -> f64 {
    let power = 10_f64.powf(rough.log10().floor());
    let factor = [1.0, 2.0, 2.5, 5.0].into_iter().find(|f| f * power >= rough * 0.999_999).unwrap_or(10.0);
    factor * power
}

/// Round values within a range, about `count` of them, and their step.
pub(super) fn ticks(from: f64, to: f64, count: f64) -> (Vec<f64>, f64) {
    let step = nice_step((to - from) / count.max(1.0));
    let first = (from / step - 1e-6).ceil();
    let last = (to / step + 1e-6).floor();
    let mut ticks = Vec::new();
    let mut index = first;
    while index <= last && ticks.len() < 60 {
        ticks.push(index * step);
        index += 1.0;
    }
    (ticks, step)
}

/// Parts into which the fine grid divides a step: fifths of 1 and 5, halves or quarters of 2 and 2.5.
pub(super) fn fine_parts(step: f64) -> u32 {
    let lead = step / 10_f64.powf(step.log10().floor());
    if (lead - 2.0).abs() < 0.01 { 4 } else { 5 }
}

/// Decimals that a tick of that step needs.
pub(super) fn decimals_for(step: f64) -> usize {
    (0..6)
        .find(|d| {
            let scaled = step * 10_f64.powi(*d);
            (scaled - scaled.round()).abs() < 1e-6 * scaled.max(1.0)
        })
        .and_then(|d| usize::try_from(d).ok())
        .unwrap_or(6)
}

/// A number for reading: fixed decimals, comma between thousands, a true minus sign; powers of ten beyond ten million.
#[must_use]
pub fn format_number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    if value != 0.0 && value.abs() >= 1e7 {
        return format!("{value:.1e}").replace('-', "−");
    }
    let text = format!("{:.decimals$}", value.abs());
    let (whole, fraction) = text.split_once('.').map_or((text.as_str(), None), |(w, f)| (w, Some(f)));
    let mut out = String::new();
    if value < 0.0 && text.chars().any(|c| c.is_ascii_digit() && c != '0') {
        out.push('−');
    }
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    if let Some(fraction) = fraction {
        out.push('.');
        out.push_str(fraction);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_the_trade_writes_them() {
        assert_eq!(format_number(1060.0, 0), "1,060");
        assert_eq!(format_number(-0.04, 1), "0.0");
        assert_eq!(format_number(-12345.67, 1), "−12,345.7");
        assert_eq!(format_number(999.0, 0), "999");
    }

    #[test]
    fn ticks_are_round_and_inside() {
        let (values, step) = ticks(0.0, 1600.0, 5.0);
        assert_eq!(step, 500.0);
        assert_eq!(values, [0.0, 500.0, 1000.0, 1500.0]);
        assert_eq!(decimals_for(0.25), 2);
    }

    #[test]
    fn a_range_is_never_empty() {
        for values in [vec![], vec![3.0], vec![0.0, 0.0], vec![f64::NAN, f64::INFINITY]] {
            let (low, high) = range(None, values.into_iter(), true);
            assert!(low < high && low.is_finite() && high.is_finite());
        }
    }
}
