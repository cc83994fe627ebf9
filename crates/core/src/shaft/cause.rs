//! What makes a shaft line shake, in the order in which it is looked for. Not for: how it is mended.

use super::study::{ShaftAsked, ShaftStudy};

/// A cause of shaking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// A bent shaft or blade, or a propeller out of balance.
    Unbalanced,
    /// Blades of unequal pitch.
    UnequalBlades,
    /// Blades that pass at a beat of hull or rig.
    BladeBeat,
    /// Blades that pass close to the hull.
    TipNear,
    /// The shaft whirls.
    Whirls,
    /// Motor and shaft out of line, or a worn bearing.
    OutOfLine,
    /// The motor itself, its belt or its mounts.
    Motor,
}

/// A cause with what was found for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// Which.
    pub cause: Cause,
    /// How much it is worth looking there first; the sum over all is 1.
    pub weight: f64,
}

impl Cause {
    /// All, with how often each is met; common practice, no source.
    const USUAL: [(Self, f64); 7] = [
        (Self::Unbalanced, 0.25),
        (Self::OutOfLine, 0.2),
        (Self::UnequalBlades, 0.15),
        (Self::BladeBeat, 0.15),
        (Self::TipNear, 0.1),
        (Self::Motor, 0.1),
        (Self::Whirls, 0.05),
    ];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Unbalanced => "a bent shaft or blade, or a propeller out of balance",
            Self::UnequalBlades => "blades of unequal pitch",
            Self::BladeBeat => "blades that pass at the beat of hull or rig",
            Self::TipNear => "blades that pass close to the hull",
            Self::Whirls => "a shaft that whirls",
            Self::OutOfLine => "motor and shaft out of line, or a worn bearing",
            Self::Motor => "the motor, its belt or its mounts",
        }
    }

    /// The test that separates it from the others.
    #[must_use]
    pub const fn test(self) -> &'static str {
        match self {
            Self::Unbalanced => {
                "a dial gauge along the shaft and at the hub, hauled out; it shakes at all revolutions, much more at high ones"
            }
            Self::UnequalBlades => {
                "measure the pitch of each blade at three radii; it shakes with the thrust: less with way on than against the quay"
            }
            Self::BladeBeat => {
                "change the revolutions by a fifth: it goes; with another number of blades it comes at other revolutions"
            }
            Self::TipNear => {
                "measure the gap between tip and hull; it shakes at all revolutions under load, and hardly when she coasts at the same ones"
            }
            Self::Whirls => {
                "it comes at one speed and goes above it, with the load or without; the shaft is seen to swing between its bearings"
            }
            Self::OutOfLine => {
                "open the coupling, afloat: faces that gape or a shaft that drops show it; lift the shaft at its bearing"
            }
            Self::Motor => {
                "open the coupling and turn the motor alone: what still shakes is not shaft nor propeller"
            }
        }
    }
}

/// How near two beats count as one, as a share: a phone and a tachometer between them.
const SAME: f64 = 0.07;

/// Beats of the shaft at which each cause shows.
fn orders(cause: Cause, blades: f64, ratio: f64) -> Vec<f64> {
    match cause {
        Cause::Unbalanced | Cause::UnequalBlades | Cause::Whirls => vec![1.0],
        Cause::OutOfLine => vec![1.0, 2.0],
        Cause::BladeBeat | Cause::TipNear => vec![blades, 2.0 * blades],
        Cause::Motor if (ratio - 1.0).abs() < SAME => vec![1.0],
        Cause::Motor => vec![ratio, 2.0 * ratio],
    }
}

/// The causes in order, where somebody told at which revolutions it shakes.
pub(super) fn suspects(asked: &ShaftAsked, study: &ShaftStudy, tip_share: Option<f64>) -> Vec<Suspect> {
    let Some(shakes_rev_s) = asked.shakes_rev_s else { return Vec::new() };
    let near = |one: f64, other: f64, by: f64| (one / other - 1.0).abs() <= by;
    let told = |is_so: bool| if is_so { 4.0 } else { 0.2 };
    let blades = f64::from(study.blades);
    let of_what = |cause: Cause| match cause {
        Cause::Whirls => study.whirls_rev_s.map_or(1.0, |whirls| {
            let (from, to) = (0.8 * whirls.p10, 1.2 * whirls.p90);
            told((from..=to).contains(&shakes_rev_s))
        }),
        Cause::BladeBeat if asked.beats_hz.is_empty() => 1.0,
        Cause::BladeBeat => told(asked.beats_hz.iter().any(|beat| near(blades * shakes_rev_s, *beat, 0.2))),
        Cause::TipNear => tip_share.map_or(1.0, |share| told(share < 0.10)),
        Cause::UnequalBlades => asked.pitch.as_ref().map_or(1.0, |pitch| told(pitch.between_blades() > 0.03)),
        Cause::Unbalanced | Cause::OutOfLine | Cause::Motor => 1.0,
    };
    let of_beat = |cause: Cause| {
        asked.felt_hz.map_or(1.0, |felt| {
            let fits = |order: &f64| near(felt, order * shakes_rev_s, SAME);
            if orders(cause, blades, study.ratio).iter().any(fits) { 1.0 } else { 0.05 }
        })
    };
    let mut found: Vec<Suspect> = Cause::USUAL
        .iter()
        .map(|(cause, usual)| Suspect { cause: *cause, weight: usual * of_what(*cause) * of_beat(*cause) })
        .collect();
    let sum: f64 = found.iter().map(|one| one.weight).sum();
    found.iter_mut().for_each(|one| one.weight /= sum);
    found.sort_by(|one, other| other.weight.total_cmp(&one.weight));
    found
}

impl ShaftAsked {
    /// The beat that was felt is none that shaft, blades or motor make at these revolutions.
    #[must_use]
    pub fn is_of_none(&self, blades: u8, ratio: f64) -> bool {
        let Some((felt, shakes)) = self.felt_hz.zip(self.shakes_rev_s) else { return false };
        let all = Cause::USUAL.iter().flat_map(|(cause, _)| orders(*cause, f64::from(blades), ratio));
        !all.into_iter().any(|order| (felt / (order * shakes) - 1.0).abs() <= SAME)
    }
}
