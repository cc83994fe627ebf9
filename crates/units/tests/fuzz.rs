//! Any text must be read as a number, an amount, a quantity or a column without a panic: 2,000 inputs
//! for each; `scripts/attack` makes it 100,000 each.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use wakewright_units::{
    Quantity, Separators, both_readings, column_style, parse_typed, read_money, read_number_as,
    read_number_twice, read_quantity, text_cell, text_of_cell,
};

fn inputs() -> u32 {
    std::env::var("WAKEWRIGHT_FUZZ_INPUTS").ok().and_then(|text| text.parse().ok()).unwrap_or(2000)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: inputs(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn numbers(text in "[-+−0-9., /eE½ a-z'\"]{0,24}|\\PC{0,12}") {
        let _ = read_money(&text);
        let _ = both_readings(&text);
        for style in [Separators::PointDecimals, Separators::CommaDecimals] {
            let _ = read_number_as(&text, style);
        }
        if let Ok(read) = read_number_twice(&text)
            && let Some(other) = read.other
            && read.value != 0.0
        {
            // The two readings are three decades apart, but for a fraction behind them.
            let ratio = (read.value / other).abs().log10().abs();
            prop_assert!(ratio < 3.2, "{text}: {} {other}", read.value);
        }
    }

    #[test]
    fn quantities_have_readings_that_read_back(text in "-?[0-9]{1,3}[.,][0-9]{3} ?(mm|m|kn|kW|W|rpm|kg|t|h|in|ft 6 in)") {
        for kind in [Quantity::Length, Quantity::Speed, Quantity::Power, Quantity::RotationalSpeed, Quantity::Mass, Quantity::Duration] {
            let Ok(read) = read_quantity(&text, kind) else { continue };
            let _ = parse_typed(&text, kind);
            let Some(other) = read.other_si else { continue };
            let found: Vec<f64> = both_readings(&text).iter().map(|reading| {
                let again = read_quantity(reading, kind).unwrap_or_else(|error| panic!("{reading}: {error}"));
                assert!(again.other_si.is_none(), "{reading} has two readings");
                again.si
            }).collect();
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
            let is_same = near(found[0], read.si) && near(found[1], other) || near(found[0], other) && near(found[1], read.si);
            prop_assert!(is_same, "{text}: {found:?} for {} and {other}", read.si);
        }
    }

    #[test]
    fn columns(cells in proptest::collection::vec("-?[0-9]{0,4}[.,]?[0-9]{0,4}[.,]?[0-9]{0,3}", 0..40)) {
        let _ = column_style(cells.iter().map(String::as_str), None);
        let _ = column_style(cells.iter().map(String::as_str), Some((0.0, 60.0)));
    }

    #[test]
    fn cells(text in "[=+@'\t\r\"a-z,-]{0,8}") {
        let cell = text_cell(&text);
        let inner = cell.strip_prefix('"').and_then(|c| c.strip_suffix('"')).map_or(cell.clone(), |c| c.replace("\"\"", "\""));
        prop_assert_eq!(text_of_cell(&inner), text);
    }
}
