//! Capacity tests and histories of check-ups that separate scripts made up (`scripts/simulate-capacity`,
//! `scripts/simulate-trends`), and what must be refused.

use jiff::civil::{Date, date};
use wakewright_core::battery::Chemistry;
use wakewright_core::upkeep::{
    Bad, CapacityError, CapacityTest, Fullness, NoTrend, Reached, Reading, Trend, capacity,
};
use wakewright_testkit::Table;

/// Of 80 % bands 75 to 85 % hold what was true.
fn assert_coverage(held: usize, of: usize, what: &str) {
    let share = held as f64 / of as f64;
    assert!((0.75..=0.85).contains(&share), "{what}: {held} of {of}");
}

fn test(chemistry: Chemistry) -> CapacityTest {
    CapacityTest {
        chemistry,
        cells: if chemistry.is_lead() { 24 } else { 16 },
        rated_coulomb: 100.0 * 3600.0,
        current_a: 20.0,
        current_error: 0.01,
        flowed_s: 4.0 * 3600.0,
        lasted_s: None,
        counted_coulomb: None,
        is_pause_told: false,
        from: Fullness::Full,
        to: Fullness::CutOff,
        temperature_k: 293.15,
    }
}

#[test]
fn a_capacity_lies_within_its_band() {
    let table = Table::read("electric/simulated_capacity.csv");
    let of_word = |word: &str| match word {
        "lfp" => Chemistry::Lfp,
        "nmc" => Chemistry::Nmc111,
        "lead flooded" => Chemistry::LeadFlooded,
        _ => Chemistry::LeadAgm,
    };
    let mut held = 0;
    for row in 0..table.rows.len() {
        let number = |column: &str| table.number(row, column).unwrap();
        let end = table.text(row, "end");
        let chemistry = of_word(table.text(row, "kind"));
        let found = capacity(&CapacityTest {
            rated_coulomb: number("rated_ah") * 3600.0,
            current_a: number("current_a"),
            current_error: number("error"),
            flowed_s: number("hours") * 3600.0,
            temperature_k: number("temperature_c") + 273.15,
            to: end.parse().map_or(Fullness::CutOff, Fullness::Shown),
            ..test(chemistry)
        })
        .unwrap();
        let truth = number("true_ah") * 3600.0;
        held += usize::from((found.coulomb.p10..=found.coulomb.p90).contains(&truth));
        assert!((found.coulomb.value / truth - 1.0).abs() < 0.35, "row {row}: {found:?}");
    }
    assert_coverage(held, table.rows.len(), "capacity");
}

struct History {
    readings: Vec<Reading>,
    fall_per_year: f64,
    reaches: Option<Date>,
    need: (f64, f64),
    need_reached: Option<Date>,
    number: usize,
}

fn histories() -> Vec<History> {
    let table = Table::read("electric/simulated_trends.csv");
    let mut all: Vec<History> = Vec::new();
    for row in 0..table.rows.len() {
        let number = |column: &str| table.number(row, column).unwrap();
        let day = |column: &str| table.text(row, column).parse::<Date>().ok();
        let history = number("history") as usize;
        if all.len() <= history {
            all.push(History {
                readings: Vec::new(),
                fall_per_year: number("true_fall_per_year"),
                reaches: day("true_reaches"),
                need: (number("need"), number("need_error")),
                need_reached: day("true_need_reached"),
                number: history,
            });
        }
        let reading = Reading { day: day("day").unwrap(), value: number("value"), error: number("error") };
        all[history].readings.push(reading);
    }
    all
}

/// Whether the day lies in the band, which begins with the last reading.
fn holds(found: Reached, last: Date, truth: Option<Date>) -> bool {
    let Some(truth) = truth else { return found.to.is_none() };
    let begins = found.from.is_some_and(|from| from <= truth || from == last);
    // What was reached before the last reading is held by a band that may be over already.
    begins && found.to.is_none_or(|to| truth <= to || (to == last && truth <= last))
}

#[test]
fn slope_and_day_lie_within_their_bands() {
    let all = histories();
    let (mut slopes, mut days, mut needs) = (0, 0, 0);
    for history in &all {
        let trend = Trend::of(&history.readings).unwrap();
        let slope = trend.per_year();
        slopes += usize::from((slope.p10..=slope.p90).contains(&-history.fall_per_year));
        days += usize::from(holds(trend.reaches(0.8, 0.0, Bad::Below), trend.last, history.reaches));
        let (need, error) = history.need;
        needs += usize::from(holds(trend.reaches(need, error, Bad::Below), trend.last, history.need_reached));
    }
    assert_coverage(slopes, all.len(), "slope");
    assert_coverage(days, all.len(), "day of 80 %");
    assert_coverage(needs, all.len(), "day of the longest trip");
}

/// A fall of 3 % in all is told where the readings carry it and not before; where nothing falls, one time in forty.
#[test]
fn a_fall_is_told_when_the_readings_carry_it() {
    let all = histories();
    let falls = |trend: &Trend| trend.shows_change() && trend.per_year().value < 0.0;
    let of = |wanted: usize| {
        let of = all.iter().filter(move |history| history.number % 5 == wanted);
        of.map(|history| Trend::of(&history.readings).unwrap()).collect::<Vec<_>>()
    };
    let steady = of(0);
    let told = steady.iter().filter(|trend| falls(trend)).count();
    println!("told of {} that do not fall: {told}", steady.len());
    assert!(told as f64 <= 0.05 * steady.len() as f64, "{told} of {}", steady.len());
    let (strong, weak): (Vec<_>, Vec<_>) =
        of(1).into_iter().partition(|trend| trend.smallest_change() <= 0.03);
    let share =
        |trends: &[Trend]| trends.iter().filter(|trend| falls(trend)).count() as f64 / trends.len() as f64;
    println!("3 %: {} strong {:.2}, {} weak {:.2}", strong.len(), share(&strong), weak.len(), share(&weak));
    assert!(share(&strong) >= 0.9, "{:.2}", share(&strong));
    let hopeless: Vec<_> = weak.into_iter().filter(|trend| trend.smallest_change() > 0.06).collect();
    assert!(share(&hopeless) < 0.4, "{:.2} of {}", share(&hopeless), hopeless.len());
}

#[test]
fn one_check_up_has_no_trend() {
    let one = Reading { day: date(2026, 5, 1), value: 0.9, error: 0.02 };
    assert_eq!(Trend::of(&[]), Err(NoTrend::Nothing));
    assert_eq!(Trend::of(&[one]), Err(NoTrend::One));
    assert_eq!(Trend::of(&[one, one]), Err(NoTrend::OneDay));
}

/// Readings that scatter far more than their errors say widen the band; agreeing ones leave it.
#[test]
fn errors_that_are_too_small_grow() {
    let at = |year, value| Reading { day: date(year, 5, 1), value, error: 0.01 };
    let wild = Trend::of(&[at(2020, 1.0), at(2021, 0.8), at(2022, 1.1), at(2023, 0.7)]).unwrap();
    assert!(wild.scatter > 10.0 && !wild.shows_change(), "{wild:?}");
    let quiet = Trend::of(&[at(2020, 1.0), at(2021, 0.98), at(2022, 0.955), at(2023, 0.94)]).unwrap();
    assert!(quiet.scatter == 1.0 && quiet.shows_change(), "{quiet:?}");
}

/// Measured rows: what iron phosphate keeps at 0 °C, 0.80 [lfpcold2024]; a sound bank tested there is still whole.
#[test]
fn the_cold_is_put_right() {
    let cold = CapacityTest { flowed_s: 4.0 * 3600.0 * 0.976, temperature_k: 273.15, ..test(Chemistry::Lfp) };
    let found = capacity(&cold).unwrap().share;
    assert!((found.value - 1.0).abs() < 0.01, "{found:?}");
}

#[test]
fn what_tells_no_capacity_is_refused_in_words() {
    let lfp = test(Chemistry::Lfp);
    let agm = test(Chemistry::LeadAgm);
    let refused = [
        (CapacityTest { current_a: -20.0, ..lfp }, "above zero"),
        (CapacityTest { flowed_s: 0.0, ..lfp }, "the time"),
        (CapacityTest { lasted_s: Some(6.0 * 3600.0), ..lfp }, "broke off"),
        (CapacityTest { is_pause_told: true, ..agm }, "lead recovers"),
        (CapacityTest { counted_coulomb: Some(60.0 * 3600.0), ..lfp }, "the counter"),
        (CapacityTest { to: Fullness::RestVolts(52.8), ..lfp }, "hardly change"),
        (CapacityTest { to: Fullness::RestVolts(12.2), ..agm }, "no rest volts"),
        (CapacityTest { to: Fullness::Shown(0.9), ..lfp }, "at least a fifth"),
        (CapacityTest { current_a: 200.0, ..lfp }, "on the label"),
        (CapacityTest { temperature_k: 330.0, ..lfp }, "45"),
    ];
    for (test, words) in refused {
        let said = capacity(&test).unwrap_err().to_string();
        assert!(said.contains(words), "{said}");
    }
    let told = CapacityTest { lasted_s: Some(6.0 * 3600.0), is_pause_told: true, ..lfp };
    assert!(capacity(&told).is_ok(), "lithium with its pause told");
    assert!(!matches!(capacity(&agm), Err(CapacityError::FlatVolts)));
    let rested =
        capacity(&CapacityTest { to: Fullness::RestVolts(48.6), flowed_s: 2.0 * 3600.0, ..agm }).unwrap();
    assert!(rested.share.p90 / rested.share.p10 > 1.25, "rest volts of lead are rough: {rested:?}");
}
