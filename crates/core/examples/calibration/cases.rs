//! Synthetic boats whose truth is known: sampled from the prior, with one strong cause, with a sea that nobody
//! noted, with something at work that the inference does not know. Not for: judging the answers.
use std::error::Error;

use serde_json::{Value, json};
use wakewright_core::boat::{BoatSpec, Input};
use wakewright_core::causes::{
    CAUSE_COUNT, Cause, Epoch, Headline, Hypothesis, Noise, Observed, OfTrial, Problem, TrialRun, Unknown,
    shares_at,
};
use wakewright_core::drive::ReductionKind;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::hull::ResiduaryMethod;
use wakewright_core::spread::{Sampler, name_number};
use wakewright_core::steady::{Limit, PreparedBoat};
use wakewright_core::trial::Run;
use wakewright_records::boat::{BoatDocument, build_spec};

/// Boats with one strong cause: as many of each kind on each design.
const SINGLES: usize = 7 * 4 * 6;
/// Boats with a sea that nobody noted.
const HEAD_SEAS: usize = 24;
/// Trials with each disturbance that the inference does not know.
const DISTURBED: usize = 200;
/// Wind given for every synthetic day \[m/s\], from ahead on the first course.
const WIND_M_S: f64 = 2.0;

/// The designs that the synthetic boats are sampled around: the demo boat, and three that differ in hull,
/// propeller, drive and what was looked at.
fn designs() -> Result<Vec<BoatSpec>, Box<dyn Error>> {
    let changes: [&[(&str, &str)]; 4] = [
        &[],
        &[
            ("hull.displacement", "9.8 t"),
            ("hull.length_waterline", "11.3 m"),
            ("hull.keel", "fin"),
            ("hull.keel_chord", "1.9 m"),
            ("propeller.arrangement", "P-bracket"),
            ("hull.rudder", "spade"),
            ("propeller.diameter", "20 in"),
            ("propeller.pitch", "13 in"),
            ("reduction.ratio", "3.4:1"),
        ],
        &[
            ("pack[1].count", "2"),
            ("pack[1].bms_discharge", "85 A"),
            ("propeller.pitch", "14 in"),
            ("reduction.kind", "V-belt"),
            ("reduction.ratio", "3.1:1"),
            ("controller.battery_current", "165 A"),
        ],
        &[
            ("motor.speed_constant", "29 rpm/V"),
            ("reduction.ratio", "2.6:1"),
            ("hull.displacement", "18.5 t"),
            ("hull.length_waterline", "11.8 m"),
            ("propeller.diameter", "23 in"),
            ("propeller.pitch", "16 in"),
        ],
    ];
    changes
        .iter()
        .map(|changes| {
            let mut document = BoatDocument::parse(include_str!("../../../../examples/sea_campion.toml"))
                .map_err(|faults| format!("{faults:?}"))?;
            for (field, text) in *changes {
                document = document.set(field, text).map_err(|faults| format!("{field}: {faults:?}"))?;
            }
            let mut spec = build_spec(&document).map_err(|faults| format!("{faults:?}"))?;
            // The form that the independent program has: the inference is held here, not a method.
            spec.boat.residuary_method = ResiduaryMethod::KeuningSonnenberg1998;
            Ok(spec)
        })
        .collect()
}

/// What is planned for a day: shaft speeds as shares of full throttle's, and the throttle fully open; of the
/// readings only that they are taken matters yet.
fn planned(spec: &BoatSpec, observed: Observed) -> Result<Epoch, Box<dyn Error>> {
    let full = PreparedBoat::new(&spec.boat)?.value.solve_limited(1.0, Limit::acts_at_once)?.state;
    let mut runs = Vec::new();
    for (setting, share) in [0.5, 0.62, 0.75, 0.87, 1.0].into_iter().enumerate() {
        for course_rad in [0.0, std::f64::consts::PI] {
            runs.push(TrialRun {
                run: Run {
                    time_s: 400.0 * runs.len() as f64,
                    duration_s: 240.0,
                    course_rad: Some(course_rad),
                    depth_m: Some(20.0),
                    speed_over_ground_m_s: Some(1.0),
                    shaft_speed_rev_s: Some(share * full.shaft_rev_s),
                    voltage_v: Some(50.0),
                    power_w: Some(1000.0),
                    ..Run::default()
                },
                is_full_throttle: setting == 4,
                left_out: None,
            });
        }
    }
    Ok(Epoch { label: "synthetic".into(), date: "2026-01-01".into(), runs, observed, ..Epoch::default() })
}

/// One synthetic boat: what is true, and what is noted of the day.
pub struct Case {
    pub kind: String,
    pub spec: BoatSpec,
    pub epoch: Epoch,
    pub problem: Problem,
    pub deviates: Vec<f64>,
    pub hypothesis: Hypothesis,
    /// What is at work that the inference does not know, as the program that makes the runs reads it.
    pub disturbance: Value,
}

impl Case {
    /// Whether the headline names a cause that is not at work.
    pub fn is_wrong(&self, headline: Headline) -> bool {
        let disturbance =
            Disturbance::ALL.into_iter().find(|d| self.kind == format!("unmodelled {}", d.kind()));
        match (disturbance, headline) {
            // A voltmeter that shows wrong takes no speed: what truly takes most is named rightly.
            (Some(disturbance), Headline::Named(share)) => {
                let takes_most = self.is_instrument() && self.true_main() == Some(share.cause);
                !(disturbance.is_rightly(share.cause) || takes_most)
            }
            _ => false,
        }
    }

    /// Whether all that disturbs is an instrument, which takes no speed.
    fn is_instrument(&self) -> bool {
        self.disturbance["kind"] == "volts" && self.disturbance["is_read"] == true
    }

    /// What truly takes most at full throttle, by the boat that was made, over some orders of the causes.
    fn true_main(&self) -> Option<Cause> {
        const ORDERS: u64 = 8;
        // The power of the second point, which plays no part at full throttle.
        const ANY_POWER_W: f64 = 1000.0;
        let mut sums = [0.0; CAUSE_COUNT];
        for order in 0..ORDERS {
            let shares = shares_at(&self.problem, &self.deviates, self.hypothesis, ANY_POWER_W, (7, order))?;
            sums.iter_mut().zip(&shares.shares_m_s).for_each(|(sum, share)| *sum += share);
        }
        Cause::ALL.iter().copied().max_by(|a, b| sums[*a as usize].total_cmp(&sums[*b as usize]))
    }
}

fn observed(number: usize) -> Observed {
    let looks =
        [FoulingCondition::AsApplied, FoulingCondition::HeavySlime, FoulingCondition::SmallShellOrWeed];
    Observed {
        bottom: number.is_multiple_of(2).then(|| looks[(number / 2) % 3]),
        blades: number.is_multiple_of(3).then_some(FoulingCondition::CleanPolished),
        months_since_cleaning: (!number.is_multiple_of(2)).then_some((number % 11) as f64),
        true_wind_m_s: Some(WIND_M_S),
        wind_from_rad: Some(0.0),
        state_of_charge: Some(0.85),
        ..Observed::default()
    }
}

/// Everything from the prior, odd causes at their prior odds.
fn from_prior(designs: &[BoatSpec], number: usize, seed: u64) -> Result<Case, Box<dyn Error>> {
    let spec = &designs[number % designs.len()];
    let epoch = planned(spec, observed(number / designs.len()))?;
    let problem = Problem::new(spec, std::slice::from_ref(&epoch), &Noise::default())?;
    let sampler = Sampler::new(seed);
    let name = name_number("synthetic boat");
    let deviates =
        (0..problem.size()).map(|j| sampler.deviate(name.wrapping_add(j as u64), number as u64)).collect();
    let possible: Vec<Hypothesis> = problem.oddities().iter().map(|odd| odd.what).collect();
    let total: f64 = possible.iter().map(|h| h.prior()).sum();
    let mut left = total * sampler.uniform(name_number("synthetic oddity"), number as u64);
    let mut hypothesis = Hypothesis::Nothing;
    for candidate in possible {
        if left < candidate.prior() {
            hypothesis = candidate;
            break;
        }
        left -= candidate.prior();
    }
    Ok(Case {
        kind: "prior".to_owned(),
        spec: spec.clone(),
        epoch,
        problem,
        deviates,
        hypothesis,
        disturbance: Value::Null,
    })
}

/// One strong cause, all else within half of its band.
fn single(designs: &[BoatSpec], number: usize, seed: u64) -> Result<Case, Box<dyn Error>> {
    const KINDS: [&str; 7] = ["bottom_growth", "propeller", "limits", "bank", "hull", "load", "blade_growth"];
    let spec = &designs[(number / KINDS.len()) % designs.len()];
    let kind = KINDS[number % KINDS.len()];
    let mut noted = Observed {
        bottom: Some(FoulingCondition::AsApplied),
        blades: Some(FoulingCondition::CleanPolished),
        ..observed(number)
    };
    match kind {
        "bottom_growth" => noted.bottom = Some(FoulingCondition::SmallShellOrWeed),
        "blade_growth" => noted.blades = Some(FoulingCondition::MediumShell),
        "load" => noted.displacement_kg = Some(1.3 * spec.boat.form.displacement_kg),
        _ => {}
    }
    let epoch = planned(spec, noted)?;
    let problem = Problem::new(spec, std::slice::from_ref(&epoch), &Noise::default())?;
    let sampler = Sampler::new(seed + 1);
    let name = name_number("single cause");
    let mut deviates: Vec<f64> = (0..problem.size())
        .map(|j| 0.5 * sampler.deviate(name.wrapping_add(j as u64), number as u64))
        .collect();
    let mut hypothesis = Hypothesis::Nothing;
    let mut set = |unknown: Unknown, deviate: f64| {
        if let Some(j) = problem.parameters.iter().position(|p| p.unknown == unknown) {
            deviates[j] = deviate;
        }
    };
    match kind {
        "bottom_growth" => set(Unknown::Trial(0, OfTrial::BottomGrowth), 0.8),
        "blade_growth" => set(Unknown::Trial(0, OfTrial::BladeGrowth), 0.8),
        "propeller" => set(Unknown::Boat(Input::PropellerPitch), -3.5),
        "hull" => set(Unknown::Boat(Input::InService), 1.8),
        "limits" => {
            hypothesis = Hypothesis::HeldBack;
            set(Unknown::Odd, -0.8);
        }
        "bank" => hypothesis = Hypothesis::PackLost,
        _ => {}
    }
    Ok(Case {
        kind: format!("single {kind}"),
        spec: spec.clone(),
        epoch,
        problem,
        deviates,
        hypothesis,
        disturbance: Value::Null,
    })
}

/// A sea on one course that is in nobody's notes.
fn head_sea(designs: &[BoatSpec], number: usize, seed: u64) -> Result<Case, Box<dyn Error>> {
    let mut noted = observed(number);
    (noted.bottom, noted.blades) = (Some(FoulingCondition::AsApplied), Some(FoulingCondition::CleanPolished));
    let spec = &designs[number % designs.len()];
    let epoch = planned(spec, noted)?;
    let problem = Problem::new(spec, std::slice::from_ref(&epoch), &Noise::default())?;
    let sampler = Sampler::new(seed + 2);
    let name = name_number("head sea");
    let deviates = (0..problem.size())
        .map(|j| 0.5 * sampler.deviate(name.wrapping_add(j as u64), number as u64))
        .collect();
    let unknown_sea = 0.5 + 0.6 * sampler.uniform(name_number("sea"), number as u64);
    Ok(Case {
        kind: "head_sea".to_owned(),
        spec: spec.clone(),
        epoch,
        problem,
        deviates,
        hypothesis: Hypothesis::Nothing,
        disturbance: json!({ "kind": "sea", "share": unknown_sea }),
    })
}

/// What is at work that the inference does not know.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Disturbance {
    /// Walls and bottom close by: return flow.
    Confined,
    /// A belt that gives no more than a torque.
    Belt,
    /// A wind that is in nobody's notes.
    Wind,
    /// A bank of fewer volts than stated whose volts nobody read, or a voltmeter that shows wrong.
    Volts,
}

impl Disturbance {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Confined, Self::Belt, Self::Wind, Self::Volts];

    /// Name of the cases.
    pub fn kind(self) -> &'static str {
        match self {
            Self::Confined => "confined",
            Self::Belt => "belt",
            Self::Wind => "wind",
            Self::Volts => "volts",
        }
    }

    /// Whether naming `cause` is not wrong.
    pub fn is_rightly(self, cause: Cause) -> bool {
        cause == Cause::Unexplained
            || match self {
                Self::Confined => false,
                Self::Belt => cause == Cause::Transmission,
                Self::Wind => cause == Cause::WindAndSea,
                Self::Volts => matches!(cause, Cause::Bank | Cause::Instruments),
            }
    }
}

/// A trial with something at work that the inference does not know, all else within half of its band.
pub fn disturbed(
    designs: &[BoatSpec],
    disturbance: Disturbance,
    number: usize,
    seed: u64,
) -> Result<Case, Box<dyn Error>> {
    let spec = &designs[number % designs.len()];
    let sampler = Sampler::new(seed + 3);
    let name = name_number(disturbance.kind());
    let between = |what: u64, from: f64, to: f64| {
        from + (to - from) * sampler.uniform(name.wrapping_add(1000 + what), number as u64)
    };
    // A clean boat: looked at, or scrubbed a month or two ago; else growth would be at work as well.
    let is_looked_at = (number / designs.len() / 2).is_multiple_of(2);
    let mut noted = Observed {
        bottom: is_looked_at.then_some(FoulingCondition::AsApplied),
        blades: is_looked_at.then_some(FoulingCondition::CleanPolished),
        months_since_cleaning: (!is_looked_at).then_some(1.0 + (number % 2) as f64),
        ..observed(number)
    };
    let mut spec = spec.clone();
    if disturbance == Disturbance::Belt {
        spec.fittings.reduction = Some(ReductionKind::VBelt);
    }
    let spec = &spec;
    if disturbance == Disturbance::Wind {
        (noted.true_wind_m_s, noted.wind_from_rad) = (None, None);
    }
    let mut epoch = planned(spec, noted)?;
    let is_odd = (number / designs.len()) % 2 == 1;
    let made = match disturbance {
        Disturbance::Confined => {
            // Nobody noted the depth.
            for run in &mut epoch.runs {
                run.run.depth_m = None;
            }
            json!({ "blockage": between(0, 0.10, 0.30), "depth_over_draught": between(1, 1.3, 2.2) })
        }
        Disturbance::Belt => {
            if is_odd {
                for run in &mut epoch.runs {
                    let shaft = run.run.shaft_speed_rev_s.take();
                    run.run.motor_speed_rev_s = shaft.map(|shaft| shaft * spec.boat.drive_line.ratio);
                }
            }
            json!({ "torque_share": between(0, 0.45, 0.9), "counts_motor": is_odd })
        }
        Disturbance::Wind => {
            json!({ "wind_m_s": between(0, 4.0, 10.0), "from_rad": between(1, 0.0, std::f64::consts::TAU) })
        }
        Disturbance::Volts if is_odd => {
            for run in &mut epoch.runs {
                run.run.voltage_v = None;
            }
            json!({ "bank_factor": between(0, 0.85, 0.95), "is_read": false })
        }
        Disturbance::Volts => {
            let off = between(0, 0.03, 0.08);
            json!({ "meter_factor": if (number / 8).is_multiple_of(2) { 1.0 - off } else { 1.0 + off }, "is_read": true })
        }
    };
    let problem = Problem::new(spec, std::slice::from_ref(&epoch), &Noise::default())?;
    let deviates = (0..problem.size())
        .map(|j| 0.5 * sampler.deviate(name.wrapping_add(j as u64), number as u64))
        .collect();
    let mut made = made;
    made["kind"] = json!(disturbance.kind());
    Ok(Case {
        kind: format!("unmodelled {}", disturbance.kind()),
        spec: spec.clone(),
        epoch,
        problem,
        deviates,
        hypothesis: Hypothesis::Nothing,
        disturbance: made,
    })
}

/// All cases.
pub fn cases(count: usize, seed: u64) -> Result<Vec<Case>, Box<dyn Error>> {
    let designs = designs()?;
    let mut cases = Vec::new();
    for number in 0..count {
        cases.push(from_prior(&designs, number, seed)?);
    }
    for number in 0..SINGLES {
        cases.push(single(&designs, number, seed)?);
    }
    for number in 0..HEAD_SEAS {
        cases.push(head_sea(&designs, number, seed)?);
    }
    for kind in Disturbance::ALL {
        for number in 0..DISTURBED {
            cases.push(disturbed(&designs, kind, number, seed)?);
        }
    }
    Ok(cases)
}
