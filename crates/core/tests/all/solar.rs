//! The sun against reference vectors computed elsewhere and against textbook values.
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use wakewright_core::constants::ZERO_CELSIUS_K;
use wakewright_core::solar::cell::{
    HeatLoss, Losses, cell_by_king2004_k, cell_from_noct_k, glass_transmission, panel_power_w,
};
use wakewright_core::solar::clear_sky::{
    Irradiance, clear_sky_haurwitz1945, clear_sky_ineichen2002, relative_airmass,
};
use wakewright_core::solar::climate::Climate;
use wakewright_core::solar::diffuse::{diffuse_fraction_erbs1982, split_erbs1982};
use wakewright_core::solar::geometry::{normal, stand, towards_sun, turn_to_sun, turned};
use wakewright_core::solar::position::{
    Air, civil_day, day_of_year, extraterrestrial_day_w_m2, extraterrestrial_w_m2, unix_of_day,
};
use wakewright_core::solar::transposition::{Stand, View, transpose_isotropic, transpose_perez1990};
use wakewright_core::solar::weather::{DailyClearness, WeatherYear, hour_over_even};
use wakewright_core::solar::{Place, Sun};
use wakewright_core::spread::Sampler;
use wakewright_testkit::{Table, assert_near, assert_within};

/// Unix seconds of `2025-01-05T08:43:42Z` or `2025-03-20 06:24:26+00:00`.
fn unix(text: &str) -> f64 {
    let part = |from: usize, to: usize| text[from..to].parse::<u32>().unwrap();
    unix_of_day(i64::from(part(0, 4)), part(5, 7), part(8, 10)).unwrap()
        + f64::from(part(11, 13) * 3600 + part(14, 16) * 60 + part(17, 19))
}

struct Row<'a>(&'a Table, usize);

impl Row<'_> {
    fn number(&self, column: &str) -> f64 {
        self.0.number(self.1, column).unwrap_or_else(|| panic!("{column} row {}", self.1))
    }

    fn place(&self) -> Place {
        Place::of_degrees(self.number("lat_deg"), self.number("lon_deg_east"))
    }
}

fn rows(table: &Table) -> impl Iterator<Item = Row<'_>> {
    (0..table.rows.len()).map(move |i| Row(table, i))
}

/// Angles apart, whatever the turn.
fn apart_deg(a: f64, b: f64) -> f64 {
    ((a - b + 540.0).rem_euclid(360.0) - 180.0).abs()
}

/// All 60 rows.
#[test]
fn reda2004_position() {
    let table = Table::read("sky/reda2004_position.csv");
    assert_eq!(table.rows.len(), 60);
    for row in rows(&table) {
        let air = Air {
            pressure_pa: 100.0 * row.number("pressure_hpa"),
            temperature_k: row.number("temp_c") + ZERO_CELSIUS_K,
        };
        let time = unix(table.text(row.1, "utc"));
        let sun = row.place().sun_at(time, row.number("alt_m"), row.number("delta_t_s"), air).unwrap();
        let near = |what: &str, found: f64| {
            let off = apart_deg(found.to_degrees(), row.number(what));
            assert!(off < 2e-6, "{what} row {}: off by {off}°", row.1);
        };
        near("zenith_deg", sun.zenith_rad);
        near("apparent_zenith_deg", sun.apparent_zenith_rad);
        near("azimuth_deg", sun.azimuth_rad);
    }
}

#[test]
fn reda2004_rise_set() {
    let table = Table::read("sky/reda2004_rise_set.csv");
    let (mut worst, mut compared) = (0.0_f64, 0);
    for row in rows(&table) {
        let (rise, set) = (table.text(row.1, "sunrise_utc"), table.text(row.1, "sunset_utc"));
        for (text, is_rise) in [(rise, true), (set, false)] {
            // An event that falls on the neighbouring day UTC stands in the table with the time of the
            // named day, shifted by 24 hours: off by what a day changes (60 s at 40° at the equinox).
            if !text.starts_with(table.text(row.1, "date")) {
                continue;
            }
            compared += 1;
            let expected = unix(text);
            let found = row.place().rise_and_set(expected - 6.0 * 3600.0);
            let found = if is_rise { found.0 } else { found.1 }.unwrap();
            worst = worst.max((found - expected).abs());
        }
    }
    println!("largest difference of rising and setting {worst:.1} s");
    assert!(worst < 10.0 && compared > 60, "{worst} s over {compared} events");
}

fn sun_of(row: &Row<'_>, strength: &str) -> Sun {
    Sun {
        zenith_rad: 0.0,
        apparent_zenith_rad: row.number("apparent_zenith_deg").to_radians(),
        azimuth_rad: 0.0,
        extraterrestrial_w_m2: row.number(strength),
    }
}

/// Rows at sea level: clear sky from the sun's height, airmass and strength above the air.
#[test]
fn ineichen2002_clear_sky() {
    let table = Table::read("sky/ineichen2002_clear_sky.csv");
    let mut compared = 0;
    for row in rows(&table) {
        let day = day_of_year(unix(table.text(row.1, "utc")));
        assert_near("strength", extraterrestrial_w_m2(day), row.number("dni_extra_spencer_1366p1"), 1e-5);
        let sun = sun_of(&row, "dni_extra_spencer_1366p1");
        let haurwitz = clear_sky_haurwitz1945(sun.apparent_zenith_rad);
        assert_near("haurwitz", haurwitz, row.number("haurwitz_ghi"), 0.001);
        if row.number("alt_m") != 0.0 || row.number("pressure_pa") != 101_325.0 {
            continue;
        }
        let airmass = relative_airmass(sun.apparent_zenith_rad).unwrap();
        assert_near("airmass", airmass, row.number("airmass_rel_ky89"), 1e-5);
        let sky = clear_sky_ineichen2002(&sun, row.number("linke_turbidity"));
        assert_near("global", sky.global_w_m2, row.number("ineichen_ghi"), 0.002);
        assert_near("beam", sky.beam_w_m2, row.number("ineichen_dni"), 0.002);
        assert_near("diffuse", sky.diffuse_w_m2, row.number("ineichen_dhi"), 0.002);
        compared += 1;
    }
    println!("{compared} of {} rows at sea level", table.rows.len());
    assert!(compared > 60);
}

#[test]
fn erbs1982_curve() {
    let table = Table::read("sky/erbs1982_curve.csv");
    for row in rows(&table) {
        let found = diffuse_fraction_erbs1982(row.number("kt"));
        assert_near("diffuse fraction", found, row.number("diffuse_fraction_formula"), 5e-7);
    }
}

#[test]
fn erbs1982_split() {
    let table = Table::read("sky/erbs1982_split.csv");
    for row in rows(&table) {
        let cos_zenith = row.number("zenith_deg").to_radians().cos();
        let found = split_erbs1982(row.number("ghi"), cos_zenith, row.number("dni_extra"));
        assert_near("beam", found.beam_w_m2, row.number("erbs_dni"), 0.001);
        assert_near("diffuse", found.diffuse_w_m2, row.number("erbs_dhi"), 0.001);
    }
}

/// All 288 rows, three models.
#[test]
fn perez1990_transposition() {
    let table = Table::read("sky/perez1990_transposition.csv");
    assert_eq!(table.rows.len(), 288);
    for row in rows(&table) {
        let sun =
            Sun { azimuth_rad: row.number("solar_azimuth_deg").to_radians(), ..sun_of(&row, "dni_extra") };
        let plane =
            normal(row.number("surface_tilt").to_radians(), row.number("surface_azimuth").to_radians());
        let stand: Stand = stand(plane, &sun);
        let cos_aoi = row.number("aoi_deg").to_radians().cos();
        assert_near("angle of incidence", stand.cos_incidence, cos_aoi, 3e-7);
        let light = Irradiance {
            global_w_m2: row.number("ghi"),
            beam_w_m2: row.number("dni"),
            diffuse_w_m2: row.number("dhi"),
        };
        let (strength, albedo) = (row.number("dni_extra"), row.number("albedo"));
        let isotropic = transpose_isotropic(&light, &stand, albedo);
        // What runs, without glass and with a closed back.
        let view = View::of(&stand, |_| 1.0, 0.0, albedo);
        let perez = transpose_perez1990(&light, &stand, strength, row.number("airmass_rel"), albedo);
        let near = |column: &str, found: f64| {
            let expected = row.number(column);
            assert_near(&format!("{column} row {}", row.1), found, expected, 0.001);
        };
        near("poa_direct", light.beam_w_m2 * view.beam);
        near("poa_ground", light.global_w_m2 * view.ground);
        near("isotropic_poa_global", isotropic.total_w_m2());
        near("haydavies_poa_global", view.light_w_m2(&light, strength));
        near("perez_poa_global", perez.total_w_m2());
    }
}

#[test]
fn dobos2014_cell_power() {
    let table = Table::read("sky/dobos2014_cell_power.csv");
    for row in rows(&table) {
        let (light, wind) = (row.number("poa_w_m2"), row.number("wind_m_s"));
        let air = row.number("temp_air_c") + ZERO_CELSIUS_K;
        let near = |column: &str, found_k: f64| {
            assert_near(column, found_k - ZERO_CELSIUS_K, row.number(column), 6e-6);
        };
        near("tcell_noct_simple", cell_from_noct_k(light, air, row.number("noct_c") + ZERO_CELSIUS_K));
        let king = cell_by_king2004_k(light, air, wind, -3.56, -0.075, 3.0);
        near("tcell_sapm_open_rack_glass_polymer", king);
        near(
            "tcell_sapm_insulated_back_glass_polymer",
            cell_by_king2004_k(light, air, wind, -2.81, -0.0455, 0.0),
        );
        // The library's U-value forms take an efficiency of 0.1, the plain one no absorption at all.
        near("tcell_pvsyst_freestanding", HeatLoss::FREE.cell_k(light, air, wind, 0.1));
        near("tcell_pvsyst_insulated", HeatLoss::GLUED.cell_k(light, air, wind, 0.1));
        let faiman = HeatLoss { still_w_m2_k: 25.0, wind_w_s_m3_k: 6.84 };
        near("tcell_faiman_u0_25_u1_6.84", faiman.cell_k(light / 0.81, air, wind, 0.1));
        let column = "pdc_w_pvwatts_1000Wp_g-0.0035_sapm_open_rack_glass_polymer";
        assert_near(column, panel_power_w(1000.0, light, king, -0.0035), row.number(column), 6e-6);
    }
}

#[test]
fn dobos2014_worked() {
    let table = Table::read("sky/dobos2014_worked.csv");
    let value = |row: usize| table.number(row, "value").unwrap();
    assert_near("losses", Losses::FIELD.total(), value(0), 1e-15);
    assert_near("power", panel_power_w(100.0, 900.0, 303.15, -0.003), value(1), 0.005);
}

#[test]
fn desoto2006_glass() {
    let table = Table::read("sky/desoto2006_glass.csv");
    for row in rows(&table) {
        let cos_incidence = row.number("aoi").to_radians().cos();
        let expected = row.number("iam_physical_n1p526_K4_L0p002");
        assert_near("glass", glass_transmission(cos_incidence), expected, 2e-6);
    }
}

/// Daily totals of fixed, pivoting and tracking planes under a clear sky, within 1 %.
#[test]
fn ineichen2002_tracking_daily() {
    let table = Table::read("sky/ineichen2002_tracking_daily.csv");
    assert_eq!(table.rows.len(), 36);
    const STEP_S: f64 = 120.0;
    let deg = f64::to_radians;
    let mut worst = 0.0_f64;
    for row in rows(&table) {
        let place = row.place();
        let begin = unix(&format!("{}T00:00:00Z", table.text(row.1, "date")));
        let columns = [
            "fixed_horizontal",
            "fixed_south_tilt30",
            "fixed_south_tilt60",
            "sa_fore_aft_NS",
            "sa_fore_aft_NS_max45",
            "sa_axis_EW",
            "sa_axis_NE_SW_max45",
            "dual_axis",
        ];
        let mut sums = [0.0; 8];
        for step in 0..720 {
            let sun = place.sun(begin + (f64::from(step) + 0.5) * STEP_S).unwrap();
            if sun.height_sine() <= 0.0 {
                continue;
            }
            let sky = clear_sky_ineichen2002(&sun, row.number("linke_turbidity"));
            let follow = |axis: f64, limit: f64| turned(turn_to_sun(&sun, deg(axis), deg(limit)), deg(axis));
            let planes = [
                [0.0, 0.0, 1.0],
                normal(deg(30.0), deg(180.0)),
                normal(deg(60.0), deg(180.0)),
                follow(0.0, 90.0),
                follow(0.0, 45.0),
                follow(90.0, 90.0),
                follow(45.0, 45.0),
                towards_sun(&sun),
            ];
            for (sum, plane) in sums.iter_mut().zip(planes) {
                let view = View::of(&stand(plane, &sun), |_| 1.0, 0.0, 0.06);
                *sum += view.light_w_m2(&sky, sun.extraterrestrial_w_m2) * STEP_S / 3.6e6;
            }
        }
        for (column, sum) in columns.iter().zip(sums) {
            worst = worst.max((sum / row.number(column) - 1.0).abs());
            assert_within(&format!("{column} row {}", row.1), sum, row.number(column), 0.01);
        }
    }
    println!("largest difference of a daily total {:.3} %", 100.0 * worst);
}

#[test]
fn duffie2013_extraterrestrial() {
    let table = Table::read("sky/duffie2013_extraterrestrial.csv");
    for row in rows(&table) {
        let found = extraterrestrial_day_w_m2(row.number("lat_deg").to_radians(), row.number("n") as u32);
        assert_near("H0", found * 24.0 / 1000.0, row.number("H0_kwh_m2_d"), 6e-6);
    }
    assert!(extraterrestrial_day_w_m2(90_f64.to_radians(), 355) < 1e-9, "polar night");
    assert!(extraterrestrial_day_w_m2(90_f64.to_radians(), 172) > 500.0, "polar day");
}

#[test]
fn collares1979_profile() {
    let table = Table::read("sky/collares1979_profile.csv");
    for row in rows(&table) {
        let (ws, w) =
            (row.number("ws_deg").to_radians(), (15.0 * row.number("hours_from_noon")).to_radians());
        // Half a unit of the sixth decimal in each column that stands on either side.
        let over_even = hour_over_even(ws, w);
        let (a, b) = (row.number("a"), row.number("b"));
        assert_near("a + b cos w", over_even, a + b * w.cos(), 5.01e-7 * (1.0 + w.cos().abs()));
        let even = row.number("r_d_liu_jordan");
        let r_t = row.number("r_t_collares_pereira_rabl");
        assert_near("r_t", even * over_even, r_t, 5.01e-7 * (1.0 + over_even));
    }
}

/// The table built in is the open one.
#[test]
fn collected_climate() {
    let table = Table::read("sky/collected_climate.csv");
    assert_eq!(table.rows.len(), 12 * Climate::ALL.len());
    for row in rows(&table) {
        let climate = Climate::ALL[row.1 / 12].row();
        assert_eq!(climate.clearness[row.1 % 12], row.number("KT"));
        assert_eq!(climate.latitude_deg, row.number("lat_deg"));
    }
}

/// The sampled days keep the month's mean and what is known of their spread: clear days outnumber dark ones
/// in sunny months.
#[test]
fn drawn_days_keep_the_mean_of_the_month() {
    for mean in [0.2, 0.32, 0.45, 0.6, 0.7] {
        let months = [DailyClearness::around(mean); 12];
        let mut sum = 0.0;
        let mut pairs = (0.0, 0.0);
        let years = 60;
        for sample in 0..years {
            let year = WeatherYear::sample(&months, Sampler::new(3), sample).clearness;
            assert_eq!(year.len(), 365);
            assert!(year.iter().all(|k| (0.049..0.85).contains(k)));
            sum += year.iter().sum::<f64>();
            for pair in year.windows(2) {
                pairs.0 += (pair[0] - mean) * (pair[1] - mean);
                pairs.1 += (pair[0] - mean).powi(2);
            }
        }
        assert_within("mean clearness", sum / (365.0 * years as f64), mean, 0.01);
        let persistence = pairs.0 / pairs.1;
        assert!((0.2..0.35).contains(&persistence), "{persistence}");
    }
}

/// Days of an independent clock: `date -u -d @1782000000`, and leap years by the calendar's rule.
#[test]
fn days_of_the_calendar() {
    assert_eq!(civil_day(1_782_000_000.0).to_string(), "2026-06-21");
    assert_eq!(unix_of_day(2026, 6, 21), Some(1_782_000_000.0));
    assert_eq!(day_of_year(unix_of_day(2024, 12, 31).unwrap()), 366);
    assert_eq!((unix_of_day(2100, 2, 29), unix_of_day(2026, 13, 1)), (None, None));
    assert_eq!(civil_day(f64::INFINITY).year(), 9999);
}
