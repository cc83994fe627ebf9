//! What a year costs, and the numbers with which another program can compute the same year: one JSON
//! object on standard output. Not for: users.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_types,
    reason = "a measurement may stop, prints, and needs a clock"
)]

use std::time::Instant;

use wakewright_core::battery::{Bank, Chemistry, PackGroup};
use wakewright_core::energy::{
    EnergyPlan, EnergyRequest, HouseLoad, Lived, Shore, Store, UnderWay, Week, YearSums,
};
use wakewright_core::solar::clear_sky::Irradiance;
use wakewright_core::solar::diffuse::split_erbs1982;
use wakewright_core::solar::geometry::{normal, stand};
use wakewright_core::solar::panel::USUAL_GAMMA_1_K;
use wakewright_core::solar::position::unix_of_day;
use wakewright_core::solar::transposition::View;
use wakewright_core::solar::{Lies, Panel, Place};
use wakewright_core::spread::Sampler;

const WEATHERS: u64 = 200;
const REPEATS: usize = 7;
const CLEARNESS: [f64; 12] = [0.31, 0.36, 0.41, 0.45, 0.46, 0.47, 0.46, 0.45, 0.43, 0.38, 0.33, 0.29];

fn plan() -> EnergyPlan {
    let lamps =
        HouseLoad { is_on: std::array::from_fn(|hour| (18..23).contains(&hour)), ..HouseLoad::steady(35.0) };
    EnergyPlan {
        // Longitude 0: local mean time is UTC, which keeps the other program simple.
        place: Place::of_degrees(50.0, 0.0),
        lies: Lies::Swinging,
        clearness: CLEARNESS,
        climate_source: "as stated",
        air_k: 288.15,
        wind_m_s: 3.0,
        panels: vec![Panel { shade: [0.1; 24], ..Panel::flat(400.0) }],
        unsure_panels: Vec::new(),
        house: vec![HouseLoad::steady(32.0), lamps],
        reserve: 0.2,
        week: Week {
            days: 2,
            leaves_at: 9,
            motoring_s: 3.0 * 3600.0,
            motoring_m_s: 1.8,
            sailing_s: 8.0 * 3600.0,
            sailing_m_s: 2.5,
            regeneration_loss_m_s: None,
        },
        shore: Shore { charge_w: 1200.0, plug_in_at: 0.3, until: 0.8 },
        year: 2026,
        notices: Vec::new(),
    }
}

/// Median seconds of some runs.
fn median_s(mut run: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..REPEATS)
        .map(|_| {
            let begin = Instant::now();
            run();
            begin.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_unstable_by(f64::total_cmp);
    times[REPEATS / 2]
}

fn list(values: impl IntoIterator<Item = f64>) -> String {
    let words: Vec<String> = values.into_iter().map(|value| format!("{value:?}")).collect();
    format!("[{}]", words.join(","))
}

fn main() {
    let plan = plan();
    let bank = Bank {
        cable_resistance_ohm: 0.002,
        ..Bank::of(PackGroup::new(Chemistry::Lfp, 16, 720_000.0, 1), 0.9)
    };
    let request = EnergyRequest::new(plan.clone(), Vec::new()).unwrap();
    let under_way = UnderWay { motoring_w: 1500.0, regeneration_w: 30.0 };
    let sampler = Sampler::new(1);
    let store = || Store::new(&bank).unwrap();
    let sun_of = |sample: u64| {
        request.sunshine.of_year(&plan.panels, &request.weather(sampler, sample).clearness, 1.0)
    };
    let house_w = plan.house_w();
    let year = |sample: u64| -> YearSums {
        let lived = Lived { plan: &plan, store: &store(), house_w, under_way, start: 0.9 };
        lived.year(&sun_of(sample))
    };
    let both = |sample: u64| -> f64 {
        let sun = sun_of(sample);
        let lived = Lived { plan: &plan, store: &store(), house_w, under_way, start: 0.9 };
        lived.year(&sun).total().shore_hours + lived.on_sun_alone(&sun).week_of_year_j()
    };
    let hours = |sample: u64| year(sample).total().shore_hours;
    let threads = |count: u64, run: &(dyn Fn(u64) -> f64 + Sync)| -> f64 {
        let share = WEATHERS.div_ceil(count);
        std::thread::scope(|scope| {
            let running: Vec<_> = (0..count)
                .map(|i| {
                    let range = i * share..((i + 1) * share).min(WEATHERS);
                    scope.spawn(move || range.map(run).sum::<f64>())
                })
                .collect();
            running.into_iter().map(|thread| thread.join().unwrap()).sum()
        })
    };
    let one_thread_s = median_s(|| {
        std::hint::black_box(threads(1, &hours));
    });
    let two_threads_s = median_s(|| {
        std::hint::black_box(threads(2, &hours));
    });
    let both_two_threads_s = median_s(|| {
        std::hint::black_box(threads(2, &both));
    });
    let prepare_s = median_s(|| {
        std::hint::black_box(EnergyRequest::new(plan.clone(), Vec::new()).unwrap());
    });

    // The sun on one plane tilted 30° to the south, hour by hour: position, splitting, transposition, heat,
    // power.
    let begin = unix_of_day(2026, 1, 1).unwrap();
    let plane = normal(30_f64.to_radians(), std::f64::consts::PI);
    let panel = Panel { gamma_1_k: USUAL_GAMMA_1_K, ..Panel::flat(400.0) };
    let hour_of_sun = |hour: usize| -> f64 {
        let sun = plan.place.sun(begin + (hour as f64 + 0.5) * 3600.0).unwrap();
        if sun.height_sine() <= 0.0 {
            return 0.0;
        }
        let global = 0.5 * sun.extraterrestrial_w_m2 * sun.height_sine();
        let light: Irradiance = split_erbs1982(global, sun.zenith_rad.cos(), sun.extraterrestrial_w_m2);
        let view = View::of(&stand(plane, &sun), |_| 1.0, 0.0, 0.06);
        panel.power_w(view.light_w_m2(&light, sun.extraterrestrial_w_m2), 288.15, 3.0)
    };
    let sun_wh: f64 = (0..8760).map(hour_of_sun).sum();
    let sun_s = median_s(|| {
        std::hint::black_box((0..8760).map(hour_of_sun).sum::<f64>());
    });

    let suns: Vec<_> =
        (0..8760).map(|hour| plan.place.sun(begin + (f64::from(hour) + 0.5) * 3600.0).unwrap()).collect();
    let nodes = (0..=200).map(|node| f64::from(node) / 200.0);
    let at = |charge: f64| Bank { state_of_charge: charge, ..bank.clone() }.prepare().unwrap();
    let weathers: Vec<f64> =
        (0..WEATHERS).flat_map(|sample| request.weather(sampler, sample).clearness).collect();
    let totals: Vec<_> = (0..WEATHERS).map(|sample| year(sample).total()).collect();
    println!("{{");
    println!(
        "\"weathers\": {WEATHERS}, \"one_thread_s\": {one_thread_s}, \"two_threads_s\": {two_threads_s},"
    );
    println!("\"both_two_threads_s\": {both_two_threads_s},");
    println!("\"prepare_s\": {prepare_s}, \"sun_s\": {sun_s}, \"sun_wh\": {sun_wh},");
    println!("\"cos_zenith\": {},", list(suns.iter().map(|sun| sun.height_sine())));
    println!("\"strength_w_m2\": {},", list(suns.iter().map(|sun| sun.extraterrestrial_w_m2)));
    println!("\"apparent_zenith_rad\": {},", list(suns.iter().map(|sun| sun.apparent_zenith_rad)));
    println!("\"clearness\": {},", list(weathers));
    println!("\"house_w\": {},", list(plan.house_w()));
    println!("\"rest_v\": {},", list(nodes.clone().map(|charge| at(charge).open_circuit_v)));
    println!("\"resistance_ohm\": {},", list(nodes.map(|charge| at(charge).resistance_ohm())));
    println!("\"capacity_coulomb\": {:?},", at(0.5).capacity_coulomb);
    println!("\"efficiency\": {:?},", Chemistry::Lfp.coulombic_efficiency(bank.temperature_k));
    println!("\"shore_hours\": {},", list(totals.iter().map(|total| total.shore_hours)));
    println!("\"sun_j\": {},", list(totals.iter().map(|total| total.sun_j)));
    println!("\"lost_hours\": {},", list(totals.iter().map(|total| total.motoring_lost_hours)));
    println!("\"surplus_j\": {}", list(totals.iter().map(|total| total.surplus_j)));
    println!("}}");
}
