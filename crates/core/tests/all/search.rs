//! The search against the steady state, against brute force, and against what must be true of any
//! search. Not for: open-water figures (`propeller.rs`).
#![allow(clippy::unwrap_used, reason = "a test may stop")]

use crate::common::{INCH_M, KNOT_M_S, heavy_long_keeler, random::Dice, random::random_boat};
use proptest::prelude::*;
use wakewright_core::boat::{Boat, BoatSpec, Fittings};
use wakewright_core::propeller::{Pattern, Propeller};
use wakewright_core::search::{
    Cause, Demands, Machine, Member, Merits, Partial, Prices, Reduction, Refusals, Search, Space, evaluate,
    generic_machines, stock_propellers,
};
use wakewright_core::steady::{Ask, Limit, PreparedBoat};

fn spec_of(boat: Boat) -> BoatSpec {
    BoatSpec { boat, uncertain: Vec::new(), fittings: Fittings::default(), not_known: Vec::new() }
}

fn aboard(boat: &Boat) -> Machine {
    Machine {
        words: "as aboard".to_owned(),
        plate: boat.motor,
        controller: boat.controller,
        nominal_v: boat.bank.groups[0].nominal_voltage_v(),
        is_present: true,
    }
}

fn open_demands() -> Demands {
    Demands {
        largest_diameter_m: f64::INFINITY,
        may_exceed_touch_limit: true,
        most_mass_kg: f64::INFINITY,
        budget: f64::INFINITY,
    }
}

/// A few of everything around `boat`.
fn small_space(boat: &Boat, dice: &mut Dice) -> Space {
    let diameter_m = boat.propeller.diameter_m;
    let propellers = (0..6)
        .map(|_| {
            let (pattern, blades, area) = dice.one_of(&[
                (Pattern::BSeries, 3, 0.5),
                (Pattern::BSeries, 4, 0.6),
                (Pattern::Folding, 2, 0.3),
            ]);
            let d = diameter_m * dice.between(0.8, 1.3);
            Propeller::clean(d, d * dice.between(0.5, 1.1), blades, area, pattern)
        })
        .chain([boat.propeller])
        .collect();
    let mut machines = generic_machines();
    machines.truncate(5);
    machines.push(aboard(boat));
    Space {
        propellers,
        machines,
        reductions: [1.0, 1.7, 2.4, 3.1].iter().map(|&ratio| Reduction::for_boat(boat, ratio)).collect(),
        cells: vec![boat.bank.groups[0].cells_in_series, 15, 20],
        packs: vec![1, 2, 4],
    }
}

fn search_of(boat: &Boat, sample: u64) -> Option<Search> {
    let dice = &mut Dice::new(5, sample);
    let space = small_space(boat, dice);
    let fastest = PreparedBoat::new(boat).ok()?.value.fastest_m_s();
    let cruise = fastest * dice.between(0.15, 0.35);
    Search::new(&spec_of(boat.clone()), space, open_demands(), [cruise, 0.85 * cruise, 1.1 * cruise], None)
        .ok()
}

fn members(partial: Partial) -> Vec<Member> {
    partial.front.into_members()
}

/// Every candidate within the limits, by the tables: a search of it alone puts it on the front.
fn each_within(search: &Search) -> Vec<Member> {
    (0..search.space().len()).flat_map(|index| members(search.run(index..index + 1))).collect()
}

/// Full throttle and cruise of the tables against the steady state, over invented boats: every candidate,
/// not only those on a front.
#[test]
fn tables_against_the_steady_state() {
    let (mut worst_kn, mut worst_energy, mut worst_tip, mut compared) = (0.0_f64, 0.0_f64, 0.0_f64, 0);
    let mut errors_kn = Vec::new();
    for sample in 0..40 {
        let mut boat = random_boat(sample);
        boat.motor.field_weakening = None;
        let Some(search) = search_of(&boat, sample) else { continue };
        for member in each_within(&search) {
            let exact = evaluate(&search, &member).unwrap();
            let error = (member.merits.top_speed_m_s - exact.merits.top_speed_m_s).abs() / KNOT_M_S;
            errors_kn.push(error);
            worst_kn = worst_kn.max(error);
            worst_energy = worst_energy
                .max((member.merits.energy_per_metre_j / exact.merits.energy_per_metre_j - 1.0).abs());
            worst_tip = worst_tip.max((member.merits.tip_speed_m_s - exact.merits.tip_speed_m_s).abs());
            compared += 1;
        }
    }
    errors_kn.sort_by(f64::total_cmp);
    println!(
        "{compared} candidates: worst {worst_kn:.5} kn, median {:.6} kn, energy {worst_energy:.1e}, tip {worst_tip:.1e}",
        errors_kn[errors_kn.len() / 2]
    );
    assert!(compared > 2000, "{compared}");
    assert!(worst_kn < 0.01, "top speed off by {worst_kn} kn");
    assert!(worst_energy < 1e-6 && worst_tip < 1e-9, "{worst_energy} {worst_tip}");
}

/// What the tables refuse, the steady state refuses; what they pass, it passes.
#[test]
fn limits_are_those_of_the_steady_state() {
    let (mut passed, mut refused) = (0, 0);
    for sample in 0..25 {
        let mut boat = random_boat(sample);
        boat.motor.field_weakening = None;
        let Some(search) = search_of(&boat, sample) else { continue };
        for index in 0..search.space().len() {
            let tally = search.run(index..index + 1).tally;
            let own = [Cause::MotorSpeed, Cause::Thrust, Cause::Clearance];
            if own.iter().any(|&cause| tally.refused[cause as usize] > 0) {
                continue;
            }
            let candidate = search.boat(index);
            let prepared = PreparedBoat::new(&candidate).unwrap().value;
            let most = search
                .cruise_m_s()
                .iter()
                .flat_map(|&speed| prepared.solve(Ask::Speed(speed)).unwrap().usage)
                .fold(0.0, f64::max);
            // Shares within a millionth of 1 may fall either way.
            if (most - 1.0).abs() < 1e-6 {
                continue;
            }
            assert_eq!(tally.within == 1, most < 1.0, "boat {sample}, candidate {index}: {most}, {tally:?}");
            if most < 1.0 { passed += 1 } else { refused += 1 }
        }
    }
    assert!(passed > 1000 && refused > 1000, "{passed} passed, {refused} refused");
}

/// The front by comparing everything with everything.
fn brute_front(all: &[Member]) -> Vec<Member> {
    let beats = |a: &Member, b: &Member| {
        let (a_ranks, b_ranks) = (a.merits.ranks(), b.merits.ranks());
        let no_worse = a_ranks.iter().zip(&b_ranks).all(|(a, b)| a <= b);
        no_worse && (a_ranks != b_ranks || a.index < b.index)
    };
    all.iter().filter(|member| !all.iter().any(|other| beats(other, member))).copied().collect()
}

#[test]
fn front_equals_brute_force() {
    let mut sizes = Vec::new();
    for sample in 0..30 {
        let mut boat = random_boat(sample);
        boat.motor.field_weakening = None;
        let Some(search) = search_of(&boat, sample) else { continue };
        let brute = brute_front(&each_within(&search));
        assert_eq!(members(search.run(0..search.space().len())), brute, "boat {sample}");
        sizes.push(brute.len());
    }
    assert!(sizes.iter().filter(|&&size| size > 5).count() > 10, "{sizes:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Any split of the space, put together in any order, gives the same front and the same counts.
    #[test]
    fn any_split_gives_the_same(sample in 0_u64..200, cuts in prop::collection::vec(0.0..1.0_f64, 0..12), turn in 0_usize..12) {
        let mut boat = random_boat(sample);
        boat.motor.field_weakening = None;
        let Some(search) = search_of(&boat, sample) else { return Ok(()) };
        let whole = search.run(0..search.space().len());
        let mut ends: Vec<usize> = cuts.iter().map(|cut| (cut * search.space().len() as f64) as usize).collect();
        ends.extend([0, search.space().len()]);
        ends.sort_unstable();
        let mut parts: Vec<Partial> = ends.windows(2).map(|pair| search.run(pair[0]..pair[1])).collect();
        let turn = turn % parts.len();
        parts.rotate_left(turn);
        let mut together = Partial::default();
        parts.into_iter().for_each(|part| together.merge(part));
        prop_assert_eq!(together.tally, whole.tally);
        prop_assert_eq!(members(together), members(whole));
    }

    /// No member of a front violates a limit, by the steady state.
    #[test]
    fn nothing_on_the_front_violates_a_limit(sample in 0_u64..300) {
        let mut boat = random_boat(sample);
        boat.motor.field_weakening = None;
        let Some(search) = search_of(&boat, sample) else { return Ok(()) };
        for member in members(search.run(0..search.space().len())) {
            let exact = evaluate(&search, &member).unwrap();
            for bound in &exact.cruise {
                prop_assert!(bound.usage.iter().all(|&share| share <= 1.0 + 1e-6), "{:?}", bound.usage);
            }
            prop_assert!(exact.full.held.usage.iter().all(|&share| share <= 1.0 + 1e-6));
            prop_assert!(exact.merits.top_speed_m_s >= search.cruise_m_s().iter().copied().fold(0.0, f64::max) - 1e-6);
        }
    }

    /// Numbers and places belong together.
    #[test]
    fn numbers_and_places(index in 0_usize..1512) {
        let space = small_space(&heavy_long_keeler(), &mut Dice::new(5, 1));
        prop_assert_eq!(space.len(), 1512);
        prop_assert_eq!(space.index(space.place(index)), index);
    }
}

fn heavy_search(demands: Demands, cruise_kn: f64, prices: Option<&Prices>) -> Search {
    let boat = heavy_long_keeler();
    let space = Space {
        propellers: stock_propellers(&boat.propeller, 0.42),
        machines: vec![aboard(&boat)],
        reductions: (20..=35).map(|tenths| Reduction::for_boat(&boat, f64::from(tenths) / 10.0)).collect(),
        cells: vec![16, 20],
        packs: vec![2, 3],
    };
    let cruise = [cruise_kn, cruise_kn - 0.5, cruise_kn + 0.5].map(|knots| knots * KNOT_M_S);
    Search::new(&spec_of(boat), space, demands, cruise, prices).unwrap()
}

#[test]
fn demands_are_kept() {
    let demands = Demands { largest_diameter_m: 0.36, may_exceed_touch_limit: false, ..open_demands() };
    let search = heavy_search(demands, 3.5, None);
    let found = members(search.run(0..search.space().len()));
    assert!(!found.is_empty());
    for member in &found {
        let boat = search.boat(member.index);
        assert!(boat.propeller.diameter_m <= 0.36);
        assert!(!boat.bank.groups[0].exceeds_touch_limit());
    }
    let lightest = found.iter().map(|m| m.merits.mass_kg).fold(f64::INFINITY, f64::min);
    let light = heavy_search(Demands { most_mass_kg: lightest, ..demands }, 3.5, None);
    let found = members(light.run(0..light.space().len()));
    assert!(!found.is_empty() && found.iter().all(|m| m.merits.mass_kg <= lightest));
}

/// Costs are sums of the prices given, nothing else.
#[test]
fn costs_are_the_prices_given() {
    let prices = Prices {
        propeller: Some(500.0),
        repitch: Some(120.0),
        folding_propeller: Some(1500.0),
        reduction: Some(300.0),
        motor: None,
        pack: Some(1400.0),
    };
    let demands = Demands { budget: 700.0, ..open_demands() };
    let search = heavy_search(demands, 3.5, Some(&prices));
    assert!(prices.missing(search.space(), search.base()).is_empty(), "no motor is on offer");
    let found = members(search.run(0..search.space().len()));
    for Member { index, merits: Merits { cost, .. }, .. } in &found {
        assert!([0.0, 120.0, 300.0, 420.0, 500.0].contains(cost), "candidate {index} costs {cost}");
    }
    let none = Prices::default().missing(search.space(), search.base());
    assert_eq!(none, ["propeller", "folding-propeller", "repitch", "reduction", "pack"]);
}

/// A search that finds nothing knows which limit to loosen, and by how much: done so, it finds something.
#[test]
fn nothing_found_says_what_to_loosen() {
    let demands = Demands { largest_diameter_m: 0.19, ..open_demands() };
    let search = heavy_search(demands, 3.5, None);
    let whole = 0..search.space().len();
    assert!(search.run(whole.clone()).front.is_empty());
    let mut refusals = Refusals::default();
    for start in whole.clone().step_by(1000) {
        refusals.merge(&search.refusals(start..start + 1000));
    }
    assert_eq!(refusals, search.refusals(whole.clone()));
    assert_eq!(refusals.foremost(), Some(Cause::Clearance));
    let (cause, share, index) = refusals.easiest().unwrap();
    assert_eq!(cause, Cause::Clearance);
    let loosened = Demands { largest_diameter_m: 0.19 * share * (1.0 + 1e-12), ..demands };
    let again = heavy_search(loosened, 3.5, None);
    let found = again.run(whole.clone());
    assert!(found.tally.within > 0);
    assert_eq!(again.run(index..index + 1).tally.within, 1);
    let tighter = Demands { largest_diameter_m: 0.19 * share * (1.0 - 1e-6), ..demands };
    assert_eq!(heavy_search(tighter, 3.5, None).run(whole).tally.within, 0, "no smaller loosening does");
}

/// Counts add up, whoever refuses.
#[test]
fn counts_add_up() {
    let search = heavy_search(Demands { largest_diameter_m: 0.36, ..open_demands() }, 4.5, None);
    let tally = search.run(0..search.space().len()).tally;
    assert_eq!(tally.candidates, search.space().len() as u64);
    assert_eq!(tally.within + tally.refused.iter().sum::<u64>(), tally.candidates);
    let refusals = search.refusals(0..search.space().len());
    for cause in Cause::ALL {
        assert!(refusals.violated[cause as usize] >= tally.refused[cause as usize], "{cause:?}");
    }
}

/// Rules of the trade (common practice, no source), plausibility only. Propellers of equal sum of diameter
/// and pitch load a drive about alike: borne out, an inch of either brings the same power within a third.
/// Another rule has two inches of diameter do what one of pitch does: not borne out by the series where the
/// bank's voltage holds the shaft speed, since torque goes with the fifth power of the diameter; two inches
/// of diameter load her one and a half to two and a half times as much.
#[test]
fn diameter_and_pitch_trade_inch_for_inch() {
    let boat = heavy_long_keeler();
    let power_w = |diameter_in: f64, pitch_in: f64| {
        let propeller = Propeller::clean(diameter_in * INCH_M, pitch_in * INCH_M, 3, 0.5, Pattern::BSeries);
        let prepared = PreparedBoat::new(&Boat { propeller, ..boat.clone() }).unwrap().value;
        prepared.solve_limited(1.0, |limit| limit == Limit::BankVolts).unwrap().state.drive_power_w
    };
    for (diameter, pitch) in [(13.0, 8.0), (14.0, 9.0), (16.0, 10.0)] {
        let rise = |d: f64, p: f64| power_w(diameter + d, pitch + p) / power_w(diameter, pitch) - 1.0;
        let (pitched, widened, twice) = (rise(0.0, 1.0), rise(1.0, 0.0), rise(2.0, 0.0));
        println!(
            "{diameter} x {pitch}: an inch of pitch {pitched:.3}, of diameter {widened:.3}, two {twice:.3}"
        );
        assert!((0.67..1.5).contains(&(widened / pitched)), "{pitched} {widened}");
        assert!((1.5..3.0).contains(&(twice / pitched)), "{pitched} {twice}");
    }
}
