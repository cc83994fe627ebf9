//! Holds the program against boats that their owners reported (`reference/practice/field_points.csv`), none of which was
//! used to build it: predicted watts from the battery, band, reported, inside. How far bands reach upwards is set for each
//! boat from the others. Run by `scripts/field`. Not for: fitting a boat; medians are as they are.
#![allow(clippy::print_stdout, reason = "its output is the report")]

use std::collections::BTreeMap;
use std::error::Error;

use wakewright_core::boat::{BoatSpec, Input};
use wakewright_core::drive::small_load::{WIDER_UPWARDS, drawn_within};
use wakewright_core::spread::Sampler;
use wakewright_core::steady::{Ask, PreparedBoat};
use wakewright_records::boat::{BoatDocument, build_spec};

/// Samples of each boat.
const SAMPLES: u64 = 1000;
/// Widths tried: exponent on the upper half of the band of each term in [`WIDENED`].
const WIDTHS: [f64; 9] = [1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 3.5, 4.0];
/// Terms whose bands the boats may widen: what drives take whatever they give.
const WIDENED: [Input; 4] =
    [Input::BearingTorque, Input::ReductionDrag, Input::StandingLoss, Input::HousePower];
const KNOT_M_S: f64 = 1852.0 / 3600.0;
const GRAVITY: f64 = 9.80665;

/// One reported point.
struct Point {
    speed_m_s: f64,
    froude: f64,
    /// Geometric mean of what was told \[W\], and its ends.
    told_w: f64,
    ends_w: (f64, f64),
    /// Tenth percentile, median, ninetieth, for each of [`WIDTHS`].
    bands: Vec<[f64; 3]>,
}

impl Point {
    fn is_inside(&self, width: usize) -> bool {
        self.ends_w.1 >= self.bands[width][0] && self.ends_w.0 <= self.bands[width][2]
    }
}

type Boats = BTreeMap<String, Vec<Point>>;

fn main() -> Result<(), Box<dyn Error>> {
    let boats = read()?;
    println!("boat, speed kn, Fn, predicted W, band W, reported W, inside, width used");
    let mut shares = Vec::new();
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for (name, points) in &boats {
        let width = width_without(&boats, name);
        for p in points {
            let [low, median, high] = p.bands[width];
            println!(
                "{name}, {:.2}, {:.2}, {median:.0}, {low:.0} to {high:.0}, {:.0} to {:.0}, {}, {}",
                p.speed_m_s / KNOT_M_S,
                p.froude,
                p.ends_w.0,
                p.ends_w.1,
                if p.is_inside(width) { "yes" } else { "no" },
                WIDTHS[width]
            );
            before.push((p.bands[0][2] / p.bands[0][0]).ln());
            after.push((high / low).ln());
        }
        shares.push(share_of(points, width));
    }
    let count = shares.len() as f64;
    let mean = shares.iter().sum::<f64>() / count;
    let (low, high) = interval(&shares);
    println!(
        "\nshare inside, counted by boats: {mean:.2} (80 % interval {low:.2} to {high:.2}, {count} boats)"
    );
    let geometric = |logs: &[f64]| (logs.iter().sum::<f64>() / logs.len().max(1) as f64).exp();
    println!(
        "mean width of the bands, upper over lower: {:.1} before, {:.1} after",
        geometric(&before),
        geometric(&after)
    );
    for (words, from, to) in [
        ("below Fn 0.15", 0.0, 0.15),
        ("at cruise, Fn 0.15 to 0.30", 0.15, 0.30),
        ("near hull speed", 0.30, 1.0),
    ] {
        let logs: Vec<f64> = boats
            .values()
            .flatten()
            .filter(|p| (from..to).contains(&p.froude))
            .map(|p| (p.bands[0][1] / p.told_w).ln())
            .collect();
        println!("predicted over reported {words}: {:.2} ({} points)", geometric(&logs), logs.len());
    }
    println!("width that all boats together ask for: {}", WIDTHS[width_without(&boats, "")]);
    Ok(())
}

/// The narrowest width at which eight tenths of the other boats' points lie inside, counted by boats.
fn width_without(boats: &Boats, left_out: &str) -> usize {
    let others: Vec<&Vec<Point>> =
        boats.iter().filter(|(name, _)| *name != left_out).map(|(_, p)| p).collect();
    let share = |width: usize| others.iter().map(|p| share_of(p, width)).sum::<f64>() / others.len() as f64;
    (0..WIDTHS.len()).find(|&width| share(width) >= 0.8).unwrap_or(WIDTHS.len() - 1)
}

fn share_of(points: &[Point], width: usize) -> f64 {
    points.iter().filter(|p| p.is_inside(width)).count() as f64 / points.len() as f64
}

/// 80 % interval of a share that was counted in so many boats (Wilson's score).
fn interval(shares: &[f64]) -> (f64, f64) {
    const Z: f64 = 1.281_551_565_5;
    let n = shares.len() as f64;
    let p = shares.iter().sum::<f64>() / n;
    let middle = (p + Z * Z / (2.0 * n)) / (1.0 + Z * Z / n);
    let half = Z / (1.0 + Z * Z / n) * (p * (1.0 - p) / n + Z * Z / (4.0 * n * n)).sqrt();
    (middle - half, middle + half)
}

/// The boats that can be described without inventing waterline or weight, computed.
fn read() -> Result<Boats, Box<dyn Error>> {
    let text = include_str!("../../../reference/practice/field_points.csv");
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let head: Vec<&str> = lines.next().ok_or("no head")?.split(',').collect();
    let mut boats = Boats::new();
    for line in lines {
        let cells: Vec<&str> = line.split(',').collect();
        let cell = |name: &str| {
            head.iter().position(|h| *h == name).and_then(|i| cells.get(i)).copied().unwrap_or("")
        };
        let (Ok(length), Ok(tonnes)) = (cell("lwl_m").parse::<f64>(), cell("displacement_t").parse::<f64>())
        else {
            continue;
        };
        let speed_m_s = cell("speed_kn").parse::<f64>()? * KNOT_M_S;
        let ends_w = (cell("low_w").parse::<f64>()?, cell("high_w").parse::<f64>()?);
        let spec = described(&cell, length, tonnes)?;
        let bands = WIDTHS.iter().map(|width| band(&spec, *width, speed_m_s)).collect();
        boats.entry(cell("boat").to_owned()).or_default().push(Point {
            speed_m_s,
            froude: speed_m_s / (GRAVITY * length).sqrt(),
            told_w: (ends_w.0 * ends_w.1).sqrt(),
            ends_w,
            bands,
        });
    }
    Ok(boats)
}

/// What is told of a boat and nothing else.
fn described<'a>(
    cell: &impl Fn(&str) -> &'a str,
    length: f64,
    tonnes: f64,
) -> Result<BoatSpec, Box<dyn Error>> {
    let bottom = match cell("bottom") {
        "clean" => "clean",
        "newly painted" | "refitted" => "as applied",
        "two weeks on a mooring" => "light slime",
        _ => "not known",
    };
    let (arrangement, reduction) = match cell("boat") {
        name if name.contains("pod") => ("pod", "direct"),
        name if name.contains("leg") => ("saildrive", "saildrive leg"),
        _ => ("not known", "not known"),
    };
    let voltage = cell("volts").parse::<f64>().map_or("not known".to_owned(), |volts| format!("{volts} V"));
    // The name tells the length overall; it counts for the wind alone.
    let overall = match cell("boat").split_whitespace().collect::<Vec<_>>()[..] {
        [feet, "ft", ..] => feet.parse::<f64>()? * 0.3048,
        [metres, "m", ..] => metres.parse::<f64>()?,
        _ => length / 0.83,
    };
    let text = format!(
        "[boat]\nname = \"reported\"\n[hull]\nkind = \"sailing yacht\"\nlength_overall = \"{:.2} m\"\n\
         length_waterline = \"{length} m\"\nbeam_overall = \"{} m\"\ndraught = \"{} m\"\n\
         displacement = \"{tonnes} t, assumed\"\nkeel = \"{}\"\nbottom = \"{bottom}\"\n\
         [propeller]\narrangement = \"{arrangement}\"\n[reduction]\nkind = \"{reduction}\"\n\
         [[pack]]\nvoltage = \"{voltage}\"\n",
        overall.max(1.02 * length),
        cell("beam_m"),
        cell("draught_m"),
        cell("keel"),
    );
    let document = BoatDocument::parse(&text).map_err(|faults| format!("{}: {faults:?}", cell("boat")))?;
    Ok(build_spec(&document).map_err(|faults| format!("{}: {faults:?}", cell("boat")))?)
}

/// Power from the battery at a speed: tenth percentile, median, ninetieth.
fn band(spec: &BoatSpec, width: f64, speed_m_s: f64) -> [f64; 3] {
    let mut spec = spec.clone();
    for unsure in spec.uncertain.iter_mut().filter(|unsure| WIDENED.contains(&unsure.input)) {
        let spread = &mut unsure.spread;
        spread.p90 = spread.median * (spread.p90 / spread.median).powf(width / WIDER_UPWARDS);
        unsure.possible = drawn_within(*spread);
    }
    let sampler = Sampler::new(11);
    let mut powers: Vec<f64> = (0..SAMPLES)
        .filter_map(|sample| {
            let prepared = PreparedBoat::new(&spec.sample(sampler, sample)).ok()?.value;
            Some(prepared.solve(Ask::Speed(speed_m_s)).ok()?.state.bank_power_w())
        })
        .collect();
    powers.sort_by(f64::total_cmp);
    [0.1, 0.5, 0.9]
        .map(|share| powers.get((share * powers.len() as f64) as usize).copied().unwrap_or(f64::NAN))
}
