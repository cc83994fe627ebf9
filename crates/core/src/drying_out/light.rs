//! Daylight as stretches of time. Not for: where the sun stands (`solar`).

use crate::solar::Place;
use wakewright_units::factors::DAY_S;

/// From sunrise to sunset between two instants, in their order \[Unix s\].
#[must_use]
pub fn daylight(place: Place, from_s: f64, to_s: f64) -> Vec<(f64, f64)> {
    let is_up = |unix_s: f64| place.sun(unix_s).is_ok_and(|sun| sun.height_sine() > 0.0);
    let mut events: Vec<(f64, bool)> = Vec::new();
    for day in 0..((to_s - from_s) / DAY_S).ceil().max(0.0) as usize {
        let (rise, set) = place.rise_and_set(from_s + day as f64 * DAY_S);
        events.extend(rise.map(|at| (at, true)));
        events.extend(set.map(|at| (at, false)));
    }
    events.sort_by(|a, b| a.0.total_cmp(&b.0));
    events.retain(|event| event.0 < to_s);
    let starts_up = events.first().map_or_else(|| is_up(from_s), |event| !event.1);
    let (mut stretches, mut since) = (Vec::new(), starts_up.then_some(from_s));
    for (at, rises) in events {
        match (rises, since) {
            (true, None) => since = Some(at),
            (false, Some(from)) => {
                stretches.push((from, at));
                since = None;
            }
            _ => {}
        }
    }
    stretches.extend(since.map(|from| (from, to_s)));
    stretches
}

/// How much of a stretch lies within others \[s\].
#[must_use]
pub fn shared_s((from_s, to_s): (f64, f64), stretches: &[(f64, f64)]) -> f64 {
    stretches.iter().map(|(from, to)| (to.min(to_s) - from.max(from_s)).max(0.0)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solar::position::unix_of_day;

    /// Sunrise and sunset of an independent evaluation, 20 March 2025 at 50.1° N 5.5° W: 06:24:26 and 18:35:14.
    #[test]
    fn a_day_in_march_and_one_beyond_the_circle() {
        let midnight = unix_of_day(2025, 3, 20).unwrap();
        let days = daylight(Place::of_degrees(50.1, -5.5), midnight, midnight + 2.0 * DAY_S);
        assert_eq!(days.len(), 2);
        assert!(
            (days[0].0 - midnight - 23_066.0).abs() < 2.0 && (days[0].1 - midnight - 66_914.0).abs() < 2.0
        );
        assert!((shared_s((midnight + 60_000.0, midnight + 70_000.0), &days) - 6_914.0).abs() < 2.0);
        let june = unix_of_day(2025, 6, 20).unwrap();
        assert_eq!(daylight(Place::of_degrees(69.3, 16.1), june, june + DAY_S), [(june, june + DAY_S)]);
    }
}
