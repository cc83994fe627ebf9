//! Where measured runs stand beside what her document says of her: points, the promised curves, and
//! the sentence about how far the one lies off the other.
//! Not for: why (the causes), nor for drawing.

use wakewright_core::study::Interval;
use wakewright_units::Quantity;
use wakewright_units::factors::KNOT_M_S;

use crate::text::Finding;
use crate::text::Paper;

/// A speed that was measured, the stream out: a pair, or a single run with a log.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MeasuredPoint {
    /// Numbers of the runs, from 1.
    pub runs: Vec<usize>,
    /// Speed through the water \[m/s\].
    pub speed_m_s: f64,
    /// Half of its 80 % band, where the readings tell it \[m/s\].
    pub band_m_s: Option<f64>,
    /// Shaft \[rev/s\].
    pub shaft_rev_s: Option<f64>,
    /// Power of the drive in the conditions of the document \[W\].
    pub power_w: Option<f64>,
    /// True where depth or a canal held her back: shown, and not judged.
    pub is_held_back: bool,
    /// True where the throttle is known to have been fully open.
    pub is_full_throttle: bool,
}

impl MeasuredPoint {
    /// Speed with its band; without one where nothing tells it.
    #[must_use]
    pub fn speed(&self) -> Interval {
        let half = self.band_m_s.unwrap_or(0.0);
        Interval { value: self.speed_m_s, p10: self.speed_m_s - half, p90: self.speed_m_s + half }
    }

    /// `1 and 2`.
    #[must_use]
    pub fn name(&self) -> String {
        let numbers: Vec<String> = self.runs.iter().map(usize::to_string).collect();
        numbers.join(" and ")
    }
}

/// What her document says of one speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PromisedRow {
    /// Speed through the water \[m/s\].
    pub speed_m_s: f64,
    /// Shaft speed that it takes \[rev/s\].
    pub shaft_rev_s: Interval,
    /// Power of the drive that it takes \[W\].
    pub power_w: Interval,
}

/// A point beside what she should do.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The point.
    pub point: MeasuredPoint,
    /// What it is judged at.
    pub at: Setting,
    /// What she should do there \[m/s\].
    pub should: Interval,
}

/// What is held while speeds are compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Setting {
    /// Shaft speed \[rev/s\].
    Shaft(f64),
    /// Power \[W\].
    Power(f64),
}

impl Standing {
    /// Compares `point` with the promise: at its shaft speed, else at its power. `None` where neither is
    /// known or the promise does not reach so far.
    #[must_use]
    pub fn of(point: &MeasuredPoint, promised: &[PromisedRow]) -> Option<Self> {
        let shaft = point.shaft_rev_s.and_then(|shaft| {
            Some((Setting::Shaft(shaft), speed_at(promised, shaft, |row| row.shaft_rev_s)?))
        });
        let power = || {
            let watts = point.power_w?;
            Some((Setting::Power(watts), speed_at(promised, watts, |row| row.power_w)?))
        };
        let (at, should) = shaft.or_else(power)?;
        Some(Self { point: point.clone(), at, should })
    }

    /// How much she falls short \[m/s\]; negative where she is faster.
    #[must_use]
    pub fn short_m_s(&self) -> f64 {
        self.should.value - self.point.speed_m_s
    }

    /// True where the point lies within the 80 % band of the promise.
    #[must_use]
    pub fn is_within_band(&self) -> bool {
        (self.should.p10..=self.should.p90).contains(&self.point.speed_m_s)
    }

    /// The setting, and how it is called when it is spoken of again.
    fn setting_words(&self, paper: &Paper) -> (String, &'static str) {
        match self.at {
            Setting::Shaft(rev_s) => {
                (paper.quantity(rev_s, Quantity::RotationalSpeed), "at those revolutions")
            }
            Setting::Power(watts) => (paper.quantity(watts, Quantity::Power), "with that power"),
        }
    }
}

/// The speed at which the promise takes `setting`, with its band. The band follows exactly from that of
/// the setting, since in each draw the setting rises with speed: she is slower than v at this setting
/// where v takes more than it.
fn speed_at(
    promised: &[PromisedRow],
    setting: f64,
    of: impl Fn(&PromisedRow) -> Interval,
) -> Option<Interval> {
    let crossing = |pick: fn(Interval) -> f64| {
        promised.windows(2).find_map(|two| {
            let (low, high) = (pick(of(&two[0])), pick(of(&two[1])));
            let share = (setting - low) / (high - low);
            (low < high && (0.0..=1.0).contains(&share))
                .then(|| two[0].speed_m_s + share * (two[1].speed_m_s - two[0].speed_m_s))
        })
    };
    let value = crossing(|interval| interval.value)?;
    let slow = crossing(|interval| interval.p90);
    let fast = crossing(|interval| interval.p10);
    Some(Interval { value, p10: slow.unwrap_or(value).min(value), p90: fast.unwrap_or(value).max(value) })
}

/// Speeds nearer than this are the same \[m/s\]: half a step of the figures shown.
const SAME_M_S: f64 = 0.05 * KNOT_M_S;

/// What her document says of full throttle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FullThrottle {
    /// Speed through the water \[m/s\].
    pub speed_m_s: Interval,
    /// Shaft speed \[rev/s\].
    pub shaft_rev_s: f64,
}

/// What a trial says of a boat: the fastest point that can be judged, and how it stands, at what it was run with and, made
/// with the throttle fully open, against `full` throttle too.
#[must_use]
pub fn standing_finding(
    name: &str,
    standings: &[Standing],
    full: Option<FullThrottle>,
    paper: &Paper,
) -> Option<Finding> {
    let judged = standings.iter().filter(|standing| !standing.point.is_held_back);
    let fastest = judged.clone().max_by(|a, b| a.point.speed_m_s.total_cmp(&b.point.speed_m_s))?;
    let shown = |si: f64| paper.decimals(si, Quantity::Speed, 1);
    let short = fastest.short_m_s();
    let (setting, there) = fastest.setting_words(paper);
    let how = if short.abs() < SAME_M_S {
        format!("as she should {there}")
    } else if short > 0.0 {
        format!("{} below what she should do {there}", shown(short))
    } else {
        format!("{} above what she should do {there}", shown(-short))
    };
    let made = fastest.point.speed_m_s;
    let missed = full.filter(|full| {
        fastest.point.is_full_throttle && made < full.speed_m_s.p10.min(full.speed_m_s.value - SAME_M_S)
    });
    let missed = missed.map(|full| {
        format!(
            "at full throttle she should make {} at {}",
            shown(full.speed_m_s.value),
            paper.quantity(full.shaft_rev_s, Quantity::RotationalSpeed)
        )
    });
    let but = missed.as_ref().map_or_else(String::new, |missed| format!("; but {missed}"));
    let measured = paper.four_in_five(fastest.point.speed(), Quantity::Speed);
    let measured = measured.map_or_else(String::new, |band| format!(" ({band})"));
    let sentence = format!("{name} makes {}{measured} at {setting}, {how}{but}.", shown(made));
    // Only what is short beyond her band binds: good news is not red.
    let is_short = short >= SAME_M_S && !fastest.is_within_band();
    let binding = missed.or_else(|| is_short.then_some(how)).unwrap_or_default();
    let band = paper.band(fastest.should, Quantity::Speed);
    let mut further = if fastest.is_within_band() {
        format!("Her document leaves open {band} there, so this may be she herself.")
    } else {
        format!(
            "Four times in five a boat such as her document describes makes {band} there; what is not known of her does not explain the difference."
        )
    };
    let (count, off) = (judged.clone().count(), judged.filter(|standing| !standing.is_within_band()).count());
    if count > 1 {
        let all = if count == 2 { "Both".to_owned() } else { format!("All {count}") };
        further += &match off {
            0 => format!(" {all} points lie within the band."),
            off if off == count => format!(" {all} points lie outside the band."),
            1 => format!(" Of {count} points one lies outside the band."),
            off => format!(" Of {count} points {off} lie outside the band."),
        };
    }
    Some(Finding { sentence, binding, further, ..Finding::default() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakewright_units::UnitSystem;

    fn promised() -> Vec<PromisedRow> {
        let interval = |value: f64| Interval { value, p10: 0.9 * value, p90: 1.1 * value };
        (1..=8)
            .map(|step| {
                let speed_m_s = 0.5 * f64::from(step);
                PromisedRow {
                    speed_m_s,
                    shaft_rev_s: interval(5.0 * speed_m_s),
                    power_w: interval(100.0 * speed_m_s.powi(3)),
                }
            })
            .collect()
    }

    fn point(speed_m_s: f64, shaft_rev_s: Option<f64>, power_w: Option<f64>) -> MeasuredPoint {
        MeasuredPoint { runs: vec![1, 2], speed_m_s, shaft_rev_s, power_w, ..MeasuredPoint::default() }
    }

    #[test]
    fn the_band_of_speed_is_that_of_the_setting_turned_round() {
        let standing = Standing::of(&point(1.8, Some(10.0), None), &promised()).unwrap();
        // 10 rev/s are 2 m/s; 11 where she needs ten per cent more: 10 / 5.5 and 10 / 4.5.
        assert!((standing.should.value - 2.0).abs() < 1e-12);
        assert!((standing.should.p10 - 10.0 / 5.5).abs() < 1e-12);
        assert!((standing.should.p90 - 10.0 / 4.5).abs() < 1e-12);
        assert!(!standing.is_within_band());
    }

    #[test]
    fn without_shaft_speed_the_power_judges_and_without_both_nothing() {
        let standing = Standing::of(&point(2.0, None, Some(800.0)), &promised()).unwrap();
        assert!(standing.short_m_s().abs() < 1e-12, "{standing:?}");
        assert_eq!(Standing::of(&point(2.0, None, None), &promised()), None);
        assert_eq!(Standing::of(&point(2.0, Some(900.0), None), &promised()), None);
        assert_eq!(Standing::of(&point(2.0, Some(f64::NAN), None), &promised()), None);
    }

    #[test]
    fn it_says_how_far_below() {
        let paper = Paper::plain(UnitSystem::Trade);
        let standing = Standing::of(&point(1.5, Some(10.0), None), &promised()).unwrap();
        let finding = standing_finding("Sea Campion", &[standing], None, &paper).unwrap();
        let below =
            "Sea Campion makes 2.9 kn at 600 rpm, 1.0 kn below what she should do at those revolutions.";
        assert_eq!(finding.sentence, below);
        // As she should for the turns that she reaches, and short of what full throttle should give.
        let open = MeasuredPoint { is_full_throttle: true, ..point(2.0, Some(10.0), None) };
        let open = [Standing::of(&open, &promised()).unwrap()];
        let full = Interval { value: 2.6, p10: 2.4, p90: 2.8 };
        let full = FullThrottle { speed_m_s: full, shaft_rev_s: 13.0 };
        let finding = standing_finding("Sea Campion", &open, Some(full), &paper).unwrap();
        let but =
            "as she should at those revolutions; but at full throttle she should make 5.1 kn at 780 rpm.";
        assert_eq!(finding.sentence, format!("Sea Campion makes 3.9 kn at 600 rpm, {but}"));
        assert_eq!(finding.binding, "at full throttle she should make 5.1 kn at 780 rpm");
        let held_back = MeasuredPoint { is_held_back: true, ..point(1.5, Some(10.0), None) };
        let held_back = Standing::of(&held_back, &promised()).unwrap();
        assert_eq!(standing_finding("Sea Campion", &[held_back], None, &paper), None);
    }
}
