//! What is in the bank, as it is told: a share, or amp-hours. Not for: what is made of it.

use wakewright_core::battery::{Bank, Chemistry};
use wakewright_core::spread::Spread;
use wakewright_units::{Quantity, format_number, read_quantity};

use crate::no_answer::NoAnswer;

/// Half the band of a charge as read off a gauge, and of amp-hours counted: own estimate, no source.
const GAUGE: f64 = 0.04;
const COUNTED: f64 = 0.03;

/// What is in the bank, with its spread.
/// # Errors
/// What cannot be read, and volts that say nothing.
pub fn charge(text: Option<&str>, bank: &Bank) -> Result<Spread, NoAnswer> {
    let Some(text) = text.filter(|text| !text.is_empty()) else {
        return Ok(Spread::absolute(bank.state_of_charge, GAUGE));
    };
    let wrong = || {
        NoAnswer::input(format!(
            "charge \"{text}\" cannot be read; write 61 %, 80 Ah used since full, or 120 Ah left"
        ))
    };
    let plain = text.replace("used", "").replace("since full", "").replace("left", "");
    let plain = plain.trim();
    let within = |share: f64, band: f64| {
        if (0.0..=1.0).contains(&share) { Ok(Spread::absolute(share, band)) } else { Err(wrong()) }
    };
    if plain.ends_with('%') {
        return within(read_quantity(plain, Quantity::Share).map_err(|_| wrong())?.si, GAUGE);
    }
    if plain.to_lowercase().ends_with("ah") {
        let told = read_quantity(plain, Quantity::Charge).map_err(|_| wrong())?.si;
        let whole: f64 =
            bank.groups.iter().map(wakewright_core::battery::PackGroup::aged_capacity_coulomb).sum();
        let ampere_hours = format_number(whole / 3600.0, 0);
        if told > whole {
            return Err(NoAnswer::input(format!(
                "charge \"{text}\": more than the {ampere_hours} Ah that her bank holds by the document"
            )));
        }
        return match (text.contains("used"), text.contains("left")) {
            (true, false) => within(1.0 - told / whole, COUNTED),
            (false, true) => within(told / whole, COUNTED),
            _ => Err(NoAnswer::input(format!(
                "charge \"{text}\": are they used since full, or left? Write \"{plain} used\" or \"{plain} left\""
            ))),
        };
    }
    if plain.to_uppercase().ends_with('V') {
        return Err(NoAnswer::input(volts_say_nothing(bank, text)));
    }
    Err(wrong())
}

fn volts_say_nothing(bank: &Bank, text: &str) -> String {
    let is_flat = bank.groups.iter().any(|group| group.chemistry == Chemistry::Lfp);
    let why = if is_flat {
        "the rest voltage of iron-phosphate cells is the same within a few hundredths of a volt from 30 to 90 %, and under load \
         it says less"
    } else {
        "volts tell the charge only after hours of rest, and she is under way"
    };
    format!("charge \"{text}\": {why}. Give the share that the gauge shows, or the amp-hours used since full")
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakewright_core::battery::PackGroup;

    #[test]
    fn charge_is_a_share_or_amp_hours_and_never_volts_of_flat_cells() {
        let bank = Bank::of(PackGroup::new(Chemistry::Lfp, 16, 100.0 * 3600.0, 2), 0.8);
        let share = |text| charge(Some(text), &bank).map(|spread| spread.median);
        assert!((share("61 %").unwrap() - 0.61).abs() < 1e-9);
        assert!((share("80 Ah used since full").unwrap() - 0.6).abs() < 1e-9);
        assert!((charge(None, &bank).unwrap().median - 0.8).abs() < 1e-9);
        assert!(share("52.4 V").unwrap_err().message().contains("iron-phosphate"));
        assert!(share("300 Ah used").unwrap_err().message().contains("200 Ah"));
        assert!((share("120 Ah left").unwrap() - 0.6).abs() < 1e-9);
        assert!(share("80 Ah").unwrap_err().message().contains("used since full, or left"));
        assert!(share("half").unwrap_err().message().contains("61 %"));
    }
}
