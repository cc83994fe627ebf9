//! Remedies as they are typed, in the command and on the page. Not for: forecasting them.

use wakewright_core::causes::{Change, Remedy};
use wakewright_units::{Quantity, parse_typed};

/// The changes that can be typed, for help texts.
pub const CHANGES: &str = "clean bottom; clean blades; pitch +1 in; propeller 20 in x 14 in; ratio 3; cells 28; cable 1 mohm; \
     sound packs; limits as stated";

/// Reads `NAME: change; change`.
///
/// # Errors
/// What is wrong, in words.
pub fn read_remedy(text: &str) -> Result<Remedy, String> {
    const HOW: &str = "write a name, a colon and changes";
    let (name, rest) = text.split_once(':').ok_or(HOW)?;
    let changes = rest
        .split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(read_change)
        .collect::<Result<Vec<_>, _>>()?;
    if changes.is_empty() || name.trim().is_empty() {
        return Err(HOW.to_owned());
    }
    Ok(Remedy { name: name.trim().to_owned(), changes })
}

fn read_change(text: &str) -> Result<Change, String> {
    let number = |text: &str, quantity: Quantity| {
        parse_typed(text.trim(), quantity).map_err(|error| format!("{}; {}", error.problem(), error.advice()))
    };
    match text {
        "clean bottom" => return Ok(Change::CleanBottom),
        "clean blades" => return Ok(Change::CleanBlades),
        "sound packs" => return Ok(Change::SoundPacks),
        "limits as stated" => return Ok(Change::LimitsAsStated),
        _ => {}
    }
    let (word, value) = text.split_once(' ').ok_or_else(|| format!("\"{text}\" is no change"))?;
    let within = |value: f64, low: f64, high: f64, what: &str| {
        if value >= low && value <= high {
            Ok(value)
        } else {
            Err(format!("{text}: no {what} of such a boat"))
        }
    };
    match word {
        "pitch" => {
            let is_less = value.trim_start().starts_with('-');
            let size = number(value.trim_start().trim_start_matches(['+', '-']), Quantity::PropellerLength)?;
            let size = within(size, 0.0, 0.3, "change of pitch")?;
            Ok(Change::Repitch(if is_less { -size } else { size }))
        }
        "propeller" => {
            let (diameter, pitch) =
                value.split_once('x').ok_or_else(|| format!("{text}: write propeller 20 in x 14 in"))?;
            Ok(Change::NewPropeller {
                diameter_m: within(number(diameter, Quantity::PropellerLength)?, 0.12, 1.2, "propeller")?,
                pitch_m: within(number(pitch, Quantity::PropellerLength)?, 0.05, 1.2, "propeller")?,
            })
        }
        "ratio" => Ok(Change::Ratio(within(number(value, Quantity::Ratio)?, 0.5, 10.0, "reduction")?)),
        "cells" => match value.trim().parse::<u32>() {
            Ok(cells @ 3..=250) => Ok(Change::Cells(cells)),
            _ => Err(format!("{text}: write a number of cells in series, 3 to 250")),
        },
        "cable" => Ok(Change::Cable(within(number(value, Quantity::Resistance)?, 0.0, 0.5, "cable")?)),
        _ => Err(format!("\"{text}\" is no change")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remedies_are_read_or_refused_in_words() {
        let remedy =
            read_remedy("both: clean bottom; pitch +1 in; ratio 2.6; propeller 14 in x 9 in; pitch -20 mm")
                .unwrap();
        assert_eq!(remedy.changes[0], Change::CleanBottom);
        assert!(matches!(remedy.changes[1], Change::Repitch(by) if (by - 0.0254).abs() < 1e-9));
        assert!(matches!(remedy.changes[4], Change::Repitch(by) if (by + 0.02).abs() < 1e-9));
        for wrong in
            ["", "x", "x:", "x: polish", "x: pitch much", "x: cells 1", "x: ratio 0", ": clean bottom"]
        {
            assert!(read_remedy(wrong).is_err(), "{wrong}");
        }
    }
}
