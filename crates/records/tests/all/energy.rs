//! Loads, panels and standing load of the document as the year takes them: one truth, each unsure input
//! sampled under its own name. Not for: what the year makes of them (core's tests).
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use wakewright_core::boat::{BoatSpec, Input};
use wakewright_core::energy::EnergyPlan;
use wakewright_core::spread::{Sampler, quantiles};
use wakewright_records::boat::{BoatDocument, Severity, build_spec, charging_sources, energy_plan};

const SEA_CAMPION: &str = include_str!("../../../../examples/sea_campion.toml");

fn read(text: &str) -> (BoatDocument, BoatSpec, EnergyPlan) {
    let document = BoatDocument::parse(text).unwrap();
    let spec = build_spec(&document).unwrap();
    let plan = energy_plan(&document, &spec, 2026).unwrap();
    (document, spec, plan)
}

fn changed(from: &str, to: &str) -> String {
    assert!(SEA_CAMPION.contains(from), "{from}");
    SEA_CAMPION.replacen(from, to, 1)
}

/// By hand: 48 W round the clock and 55 W for six hours are 61.75 W in the mean.
const MEAN_W: f64 = 48.0 + 55.0 * 6.0 / 24.0;

#[test]
fn the_loads_mean_stands_for_a_standing_load_that_is_not_stated() {
    let (_, stated, _) = read(SEA_CAMPION);
    assert_eq!(stated.boat.house_power_w, 110.0);
    assert!(stated.notices().is_empty());
    let (_, spec, plan) = read(&changed("house_load = \"110 W\"\n", ""));
    assert!((spec.standing_load_w() - MEAN_W).abs() < 1e-9, "{}", spec.standing_load_w());
    assert!(format!("{:?}", spec.notices()).contains("standing load"));
    let mean_w = |by_hour: [f64; 24]| by_hour.iter().sum::<f64>() / 24.0;
    assert!((mean_w(plan.house_w()) - MEAN_W).abs() < 1e-9);
    // Its band is that of the loads, each unsure for itself.
    let sampler = Sampler::new(1);
    let of = |watts: &dyn Fn(u64) -> f64| quantiles(&mut (0..2000).map(watts).collect::<Vec<_>>()).unwrap();
    let standing = of(&|i| spec.sample(sampler, i).house_power_w);
    let by_hours = of(&|i| mean_w(plan.sampled_house_w(sampler, i)));
    assert!((standing.p10 / by_hours.p10 - 1.0).abs() < 0.02, "{standing:?} {by_hours:?}");
    assert!((standing.p90 / by_hours.p90 - 1.0).abs() < 0.02, "{standing:?} {by_hours:?}");
}

#[test]
fn two_standing_loads_that_differ_by_more_than_half_are_doubted() {
    let doubts = |load: &str| {
        let text = changed("house_load = \"110 W\"", &format!("house_load = \"{load}\""));
        let document = BoatDocument::parse(&text).unwrap();
        let named = |doubt: &&wakewright_records::boat::Fault| doubt.field == "bank.house_load";
        let found = document.doubts().iter().filter(named).cloned().collect::<Vec<_>>();
        assert!(found.iter().all(|doubt| doubt.severity == Severity::Doubt));
        found.len()
    };
    assert_eq!((doubts("110 W"), doubts("40 W")), (0, 0));
    assert_eq!((doubts("300 W"), doubts("0 W"), doubts("18 W")), (1, 1, 1));
}

/// Without loads by the hour the year takes the standing load, sample for sample.
#[test]
fn the_standing_load_stands_for_loads_that_are_not_stated() {
    let begin = SEA_CAMPION.find("[[house]]").unwrap();
    let end = SEA_CAMPION.find("[week]").unwrap();
    let (_, spec, plan) = read(&[&SEA_CAMPION[..begin], &SEA_CAMPION[end..]].concat());
    assert!(spec.uncertain.iter().any(|uncertain| uncertain.input == Input::HousePower));
    let sampler = Sampler::new(4);
    for sample in 0..50 {
        let standing_w = spec.sample(sampler, sample).house_power_w;
        assert_eq!(plan.sampled_house_w(sampler, sample), [standing_w; 24]);
    }
}

/// The bands behind the fields are those of the samples: 2 % of a measured power, 8 points of an assumed shade;
/// what stands twice in the document is sampled twice.
#[test]
fn panels_are_drawn_as_unsure_as_they_are_stated() {
    let (_, _, plan) = read(SEA_CAMPION);
    let sampler = Sampler::new(2);
    let sampled: Vec<_> = (0..2000).map(|i| plan.sampled_panels(sampler, i)).collect();
    let band =
        |of: &dyn Fn(usize) -> f64| quantiles(&mut (0..sampled.len()).map(of).collect::<Vec<_>>()).unwrap();
    let power = band(&|i| sampled[i][0].rated_w);
    assert!((power.p10 - 525.0 / 1.02).abs() < 1.0 && (power.p90 - 525.0 * 1.02).abs() < 1.0, "{power:?}");
    let shade = band(&|i| sampled[i][0].shade[9]);
    assert!((shade.p10 - 0.04).abs() < 0.01 && (shade.p90 - 0.20).abs() < 0.01, "{shade:?}");
    let product = |i: usize| (sampled[i][0].shade[9] - 0.12) * (sampled[i][1].shade[9] - 0.05);
    let correlation = (0..sampled.len()).map(product).sum::<f64>()
        / sampled.len() as f64
        / (0.08 * 0.03 / 1.2816_f64.powi(2));
    assert!(correlation.abs() < 0.1, "{correlation}");
    // Surely stated, surely sampled.
    let (_, _, exact) = read(&changed("shade = \"12 %, assumed\"", "shade = \"12 % ± 0 %\""));
    assert!((0..50).all(|i| exact.sampled_panels(sampler, i)[0].shade == [0.12; 24]));
}

/// Shade counts in the panels' watts at noon, and no hours are promised of a noon.
#[test]
fn bright_noon_counts_the_shade() {
    let noon = |text: &str| charging_sources(&BoatDocument::parse(text).unwrap()).pop().unwrap();
    let (shaded, open) = (noon(SEA_CAMPION), noon(&changed("shade = \"12 %, assumed\"", "shade = \"0 %\"")));
    assert!(!shaded.is_steady && shaded.power_w < 0.95 * open.power_w);
}
