//! `search`: every stock propeller with every reduction, motor, voltage and number of packs that fits.

use std::io::{IsTerminal, Write};
use std::sync::Mutex;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use clap::{Args, ValueEnum};
use wakewright_core::hull::form::hull_speed_m_s;
use wakewright_core::search::{Demands, Keep, Outcome, Preference, Prices, Scope, Search, room_m};
use wakewright_report::text::{search_csv, search_text};
use wakewright_report::view::search_view;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, parse_quantity};

use super::{BoatArgs, Done, Failure, output};
use crate::boats::{Loaded, load};
use crate::searching::{self, Watch};

/// Arguments of `search`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wakewright search myboat.toml --cruise \"4.5 kn\"\n  \
    wakewright search myboat.toml --keep motor --keep voltage --keep packs --prefer range\n  \
    wakewright search myboat.toml --price propeller=450 --price reduction=300 --keep motor --keep voltage --keep packs --budget 600\n\n\
    Nothing is written to disk. Ctrl-C stops at once with nothing printed: half a search is no answer.")]
pub struct SearchArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// Speed that she must hold for hours; up to three, the first counts for the energy a mile
    #[arg(long, value_name = "SPEED")]
    cruise: Vec<String>,
    /// What matters most; again for what comes next
    #[arg(long, value_enum, value_name = "WHAT")]
    prefer: Vec<PreferArg>,
    /// A part that stays as it is
    #[arg(long, value_enum, value_name = "PART")]
    keep: Vec<KeepArg>,
    /// Ratios to try, for example 2,2.5,3 or 2..3.5/0.1
    #[arg(long, value_name = "LIST")]
    ratios: Option<String>,
    /// Cells in series to try, for example 16,20
    #[arg(long, value_name = "LIST")]
    cells: Option<String>,
    /// Packs in parallel to try, for example 2,3,4
    #[arg(long, value_name = "LIST")]
    packs: Option<String>,
    /// Largest propeller, when the document knows neither aperture nor tip clearance
    #[arg(long, value_name = "LENGTH")]
    largest: Option<String>,
    /// Heaviest motor and packs together
    #[arg(long, value_name = "MASS")]
    mass: Option<String>,
    /// Most that may be spent; needs the prices
    #[arg(long, value_name = "AMOUNT")]
    budget: Option<f64>,
    /// A price, ready aboard: propeller, folding-propeller, repitch, reduction, motor or pack
    #[arg(long = "price", value_name = "ITEM=AMOUNT")]
    prices: Vec<String>,
    /// Try banks above 60 V too (dangerous to touch)
    #[arg(long)]
    allow_over_60_v: bool,
    /// Threads (all cores when not given); the answer is the same
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
    /// Rows of the table
    #[arg(long, default_value_t = 15, value_parser = clap::value_parser!(u16).range(1..=10_000))]
    rows: u16,
    /// Print the whole front as CSV
    #[arg(long, conflicts_with = "json")]
    csv: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum PreferArg {
    /// Few watt-hours a mile
    Range,
    /// Top speed
    Speed,
    /// Slow blade tips
    Quiet,
    /// Little mass
    Light,
    /// Little cost; without prices, few parts changed
    Cheap,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum KeepArg {
    /// The propeller
    Propeller,
    /// The reduction
    Reduction,
    /// Motor and controller
    Motor,
    /// Cells in series
    Voltage,
    /// Packs in parallel
    Packs,
}

impl From<PreferArg> for Preference {
    fn from(arg: PreferArg) -> Self {
        match arg {
            PreferArg::Range => Self::Range,
            PreferArg::Speed => Self::Speed,
            PreferArg::Quiet => Self::Quiet,
            PreferArg::Light => Self::Light,
            PreferArg::Cheap => Self::Cheap,
        }
    }
}

impl From<KeepArg> for Keep {
    fn from(arg: KeepArg) -> Self {
        match arg {
            KeepArg::Propeller => Self::Propeller,
            KeepArg::Reduction => Self::Reduction,
            KeepArg::Motor => Self::Motor,
            KeepArg::Voltage => Self::Voltage,
            KeepArg::Packs => Self::Packs,
        }
    }
}

/// Runs the command.
pub fn run(args: &SearchArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let search = prepare(args, &boat)?;
    let preferences: Vec<Preference> = args.prefer.iter().map(|&arg| arg.into()).collect();
    let outcome = match args.threads {
        None => searched(args, &boat, &search, &preferences),
        Some(threads) => rayon::ThreadPoolBuilder::new()
            .num_threads(threads.into())
            .build()
            .map_err(|error| Failure::input(format!("{threads} threads: {error}\n")))?
            .install(|| searched(args, &boat, &search, &preferences)),
    };
    let outcome = outcome.ok_or_else(|| Failure::input("the search was stopped\n"))?;
    let paper = output::paper(&args.boat.output);
    if args.boat.output.json {
        return output::write_json(&search_view(&boat.name, &outcome, &paper));
    }
    if args.csv {
        return output::write(&search_csv(&outcome));
    }
    output::write(&search_text(&boat.name, &outcome, usize::from(args.rows), &paper))
}

fn searched(
    args: &SearchArgs,
    boat: &Loaded,
    search: &Search,
    preferences: &[Preference],
) -> Option<Outcome> {
    let meter = Meter::new();
    let never = AtomicBool::new(false);
    let watch = Watch { progress: &|done, total| meter.show(done, total), cancelled: &never };
    let mut outcome = searching::run(search, preferences, &watch)?;
    meter.wipe();
    outcome.gain = searching::gain_of(&boat.spec, &outcome, args.boat.samples, args.boat.seed);
    Some(outcome)
}

/// The search that the arguments ask for.
fn prepare(args: &SearchArgs, boat: &Loaded) -> Result<Search, Failure> {
    let mut spec = boat.spec.clone();
    if let Some(largest) = &args.largest {
        // A largest propeller is an aperture that just takes it.
        let diameter = quantity("--largest", largest, Quantity::PropellerLength)?;
        spec.fittings.aperture_height_m = Some(1.2 * diameter);
        spec.fittings.tip_clearance_m = None;
    }
    let scope = Scope {
        keep: args.keep.iter().map(|&arg| arg.into()).collect(),
        ratios: args.ratios.as_deref().map(|text| numbers("--ratios", text)).transpose()?,
        cells: args.cells.as_deref().map(|text| counts("--cells", text)).transpose()?,
        packs: args.packs.as_deref().map(|text| counts("--packs", text)).transpose()?,
        may_exceed_touch_limit: args.allow_over_60_v,
    };
    let space = scope.space(&spec);
    let demands = Demands {
        largest_diameter_m: room_m(&spec).unwrap_or(spec.boat.propeller.diameter_m),
        may_exceed_touch_limit: args.allow_over_60_v,
        most_mass_kg: match &args.mass {
            Some(mass) => quantity("--mass", mass, Quantity::Mass)?,
            None => f64::INFINITY,
        },
        budget: args.budget.unwrap_or(f64::INFINITY),
    };
    let prices = prices(args)?;
    if args.budget.is_some() || prices.is_some() {
        let missing = prices.unwrap_or_default().missing(&space, &spec.boat);
        if !missing.is_empty() {
            let flags: Vec<String> = missing.iter().map(|item| format!("--price {item}=...")).collect();
            return Err(Failure::input(format!(
                "costs need a price for everything that may be bought; give {} (or --keep the part)\n",
                flags.join(" ")
            )));
        }
    }
    let cruise = cruise_speeds(args, boat)?;
    Search::new(&spec, space, demands, cruise, prices.as_ref())
        .map_err(|error| Failure::input(format!("{}: {error}\n", boat.place)))
}

/// Three speeds: those asked for, or half a knot either side of the first.
fn cruise_speeds(args: &SearchArgs, boat: &Loaded) -> Result<[f64; 3], Failure> {
    let asked: Vec<f64> = args
        .cruise
        .iter()
        .map(|text| quantity("--cruise", text, Quantity::Speed))
        .collect::<Result<_, _>>()?;
    let usual = || {
        let hull = hull_speed_m_s(boat.spec.boat.form.length_waterline_m);
        boat.spec
            .fittings
            .cruising_speed_m_s
            .unwrap_or((0.65 * hull / (0.5 * KNOT_M_S)).round() * 0.5 * KNOT_M_S)
    };
    match asked.as_slice() {
        [] | [_] => {
            let first = asked.first().copied().unwrap_or_else(usual);
            let half = 0.5 * KNOT_M_S;
            Ok([first, (first - half).max(0.5 * first), first + half])
        }
        [first, second] => Ok([*first, *second, *second]),
        [first, second, third] => Ok([*first, *second, *third]),
        _ => Err(Failure::input("give --cruise three times at most\n")),
    }
}

fn quantity(flag: &str, text: &str, kind: Quantity) -> Result<f64, Failure> {
    let value = parse_quantity(text, kind).map_err(|error| {
        Failure::input(format!("{flag} {text}: {} {}\n", error.problem(), error.advice()))
    })?;
    if value > 0.0 {
        Ok(value)
    } else {
        Err(Failure::input(format!("{flag} {text}: it must be above zero\n")))
    }
}

/// `2,2.5,3` or `2..3.5/0.1`.
fn numbers(flag: &str, text: &str) -> Result<Vec<f64>, Failure> {
    let bad = || {
        Failure::input(format!("{flag} {text}: give a list (2,2.5,3) or a range with a step (2..3.5/0.1)\n"))
    };
    let number =
        |part: &str| part.trim().parse::<f64>().ok().filter(|n| *n > 0.0 && n.is_finite()).ok_or_else(bad);
    let Some((from, rest)) = text.split_once("..") else { return text.split(',').map(number).collect() };
    let (to, step) = rest.split_once('/').ok_or_else(bad)?;
    let (from, to, step) = (number(from)?, number(to)?, number(step)?);
    let steps = ((to - from) / step + 1e-9).floor();
    if !(0.0..=1000.0).contains(&steps) {
        return Err(bad());
    }
    // Whole thousandths, so that 2.3 is 2.3.
    Ok((0..=steps as u32).map(|i| ((from + f64::from(i) * step) * 1000.0).round() / 1000.0).collect())
}

fn counts(flag: &str, text: &str) -> Result<Vec<u32>, Failure> {
    let bad =
        || Failure::input(format!("{flag} {text}: give whole numbers from 1 to 200, for example 2,3,4\n"));
    text.split(',')
        .map(|part| part.trim().parse().ok().filter(|n| (1..=200).contains(n)).ok_or_else(bad))
        .collect()
}

fn prices(args: &SearchArgs) -> Result<Option<Prices>, Failure> {
    if args.prices.is_empty() {
        return Ok(None);
    }
    let mut prices = Prices::default();
    for text in &args.prices {
        let bad = || {
            Failure::input(format!(
                "--price {text}: give propeller, folding-propeller, repitch, reduction, motor or pack, an equals sign and \
                 an amount, for example --price pack=1400\n"
            ))
        };
        let (item, amount) = text.split_once('=').ok_or_else(bad)?;
        let amount =
            amount.trim().parse::<f64>().ok().filter(|a| *a >= 0.0 && a.is_finite()).ok_or_else(bad)?;
        let place = match item.trim() {
            "propeller" => &mut prices.propeller,
            "folding-propeller" => &mut prices.folding_propeller,
            "repitch" => &mut prices.repitch,
            "reduction" => &mut prices.reduction,
            "motor" => &mut prices.motor,
            "pack" => &mut prices.pack,
            _ => return Err(bad()),
        };
        *place = Some(amount);
    }
    Ok(Some(prices))
}

/// Progress and time left on the error channel: in a terminal only, and after a second.
struct Meter {
    start: Instant,
    shown: Mutex<Option<Instant>>,
    is_terminal: bool,
}

impl Meter {
    fn new() -> Self {
        Self { start: Instant::now(), shown: Mutex::new(None), is_terminal: std::io::stderr().is_terminal() }
    }

    fn show(&self, done: usize, total: usize) {
        const PATIENCE: Duration = Duration::from_secs(1);
        const PAUSE: Duration = Duration::from_millis(200);
        if !self.is_terminal || self.start.elapsed() < PATIENCE {
            return;
        }
        // Whoever finds another thread writing has nothing newer to say.
        let Ok(mut shown) = self.shown.try_lock() else { return };
        if shown.is_some_and(|before| before.elapsed() < PAUSE) {
            return;
        }
        *shown = Some(Instant::now());
        let share = done as f64 / total as f64;
        let left_s = self.start.elapsed().as_secs_f64() * (1.0 - share) / share;
        let _ =
            write!(std::io::stderr(), "\r{:3.0} % of {total} candidates, {left_s:.0} s left ", 100.0 * share);
    }

    fn wipe(&self) {
        if self.shown.lock().is_ok_and(|shown| shown.is_some()) {
            let _ = write!(std::io::stderr(), "\r{:60}\r", "");
        }
    }
}
