//! Differences of a secondary place as European tables print them, typed in one line. Not for: the proportions
//! (`wakewright_core::tide::secondary`).

use wakewright_core::tide::Water;
use wakewright_core::tide::secondary::Differences;

/// Of high and of low waters.
#[derive(Debug, Clone, PartialEq)]
pub struct Secondary {
    /// The place, where it is named.
    pub name: Option<String>,
    high: Differences,
    low: Differences,
}

const HOW: &str = "for high and for low water write two hours each with its minutes, then springs and neaps each with its \
                   metres: high 00:00 +35 06:00 +23 4.2 +1.1 3.4 +0.8; low 00:00 +10 06:00 +25 0.4 +0.1 1.1 +0.2";

impl Secondary {
    /// Reads them; a name may stand first, before a colon and a space.
    /// # Errors
    /// What to write.
    pub fn read(text: &str) -> Result<Self, String> {
        let (name, rest) = text.split_once(": ").map_or((None, text), |(name, rest)| (Some(name), rest));
        let small = rest.to_lowercase();
        let part = |word: &str| {
            let after = small.split(word).nth(1)?;
            let until = after.split(|c: char| c.is_alphabetic()).next()?;
            let words: Vec<&str> = until
                .split(|c: char| c.is_whitespace() || c == ',' || c == ';')
                .filter(|w| !w.is_empty())
                .collect();
            let [hour1, min1, hour2, min2, springs, add1, neaps, add2] = words.as_slice() else {
                return None;
            };
            let number =
                |word: &str| word.trim_start_matches('+').parse::<f64>().ok().filter(|n| n.is_finite());
            let found = Differences {
                at_hours: [(hour(hour1)?, 60.0 * number(min1)?), (hour(hour2)?, 60.0 * number(min2)?)],
                at_heights: [(number(springs)?, number(add1)?), (number(neaps)?, number(add2)?)],
            };
            let apart = (found.at_hours[1].0 - found.at_hours[0].0).rem_euclid(43_200.0);
            (apart > 0.0 && found.at_heights[0].0 != found.at_heights[1].0).then_some(found)
        };
        let (high, low) = (part("high"), part("low"));
        match (high, low) {
            (Some(high), Some(low)) => Ok(Self { name: name.map(|name| name.trim().to_owned()), high, low }),
            (None, _) => Err(format!("the differences of high water cannot be read: {HOW}")),
            (_, None) => Err(format!("the differences of low water cannot be read: {HOW}")),
        }
    }
}

fn hour(word: &str) -> Option<f64> {
    let (hours, minutes) = match word.split_once(':') {
        Some(parts) => parts,
        None if word.len() == 4 => word.split_at(2),
        None => return None,
    };
    Some(hours.parse::<f64>().ok()? * 3600.0 + minutes.parse::<f64>().ok()? * 60.0)
}

/// The waters of the secondary place, and whether any lies beyond springs and neaps. `day_s` gives the seconds since
/// midnight of an instant, in the zone of the tables.
#[must_use]
pub fn of_table(waters: &[Water], secondary: &Secondary, day_s: impl Fn(f64) -> f64) -> (Vec<Water>, bool) {
    let mut is_beyond = false;
    let of = |water: &Water| {
        let by = if water.is_high { &secondary.high } else { &secondary.low };
        let (higher_m, beyond) = by.higher_m(water.height_m);
        is_beyond |= beyond;
        Water {
            unix_s: water.unix_s + by.later_s(day_s(water.unix_s)),
            height_m: water.height_m + higher_m,
            is_high: water.is_high,
        }
    };
    (waters.iter().map(of).collect(), is_beyond)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows of `reference/tide/secondary_port_example.csv`, printed by a teaching page.
    #[test]
    fn the_printed_example_comes_out_as_typed() {
        let text =
            "Creek Head: high 00:00 +35 06:00 +23 4.2 +1.1 3.4 +0.8; low 00:00 0 06:00 0 0.4 +0.1 1.1 +0.2";
        let secondary = Secondary::read(text).unwrap();
        assert_eq!(secondary.name.as_deref(), Some("Creek Head"));
        let high = |hour: f64, height_m: f64| {
            let water = Water { unix_s: hour * 3600.0, height_m, is_high: true };
            let (moved, _) = of_table(&[water], &secondary, |unix_s| unix_s.rem_euclid(86_400.0));
            ((moved[0].unix_s - water.unix_s) / 60.0, moved[0].height_m)
        };
        for (hour, height, later_min, then_m) in [
            (3.0, 3.8, 29.0, 4.75),
            (0.0, 4.2, 35.0, 5.3),
            (22.0 + 35.0 / 60.0, 4.2, 32.0, 5.3),
            (9.0, 3.8, 29.0, 4.75),
        ] {
            let (later, metres) = high(hour, height);
            assert!(
                (later - later_min).abs() < 1.0 && (metres - then_m).abs() < 0.05,
                "{hour}: {later} {metres}"
            );
        }
        assert!(Secondary::read("high 00:00 +35").unwrap_err().contains("high water"));
    }
}
