//! `search`: every stock propeller with every reduction, motor, voltage and number of packs that fits.

use std::io::{IsTerminal, Write};
use std::sync::Mutex;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use wakewright_core::search::{Keep, Outcome, Preference, Search};
use wakewright_rooms::text::{search_csv, search_text};
use wakewright_rooms::view::search_view;

use super::{BoatArgs, Done, Failure, output};
use wakewright_rooms::boats::{Loaded, load};
use wakewright_rooms::searching::{self, Pattern, Watch, Wish, WishFault};

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
    #[arg(long, value_parser = one_of(Preference::ALL, Preference::key, Preference::words), value_name = "WHAT")]
    prefer: Vec<Preference>,
    /// A part that stays as it is
    #[arg(long, value_parser = one_of(Keep::ALL, Keep::key, Keep::words), value_name = "PART")]
    keep: Vec<Keep>,
    /// Diameters to try, for example "12 in..14 in"
    #[arg(long, value_name = "LENGTHS")]
    diameter: Option<String>,
    /// Pitches to try, for example "8 in..11 in"
    #[arg(long, value_name = "LENGTHS")]
    pitch: Option<String>,
    /// Numbers of blades to try, for example 3,4
    #[arg(long, value_name = "LIST")]
    blades: Option<String>,
    /// Only propellers of this pattern
    #[arg(long, value_parser = one_of(Pattern::ALL, Pattern::key, Pattern::words), value_name = "PATTERN")]
    pattern: Option<Pattern>,
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
    budget: Option<String>,
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

/// A word of a fixed list, each with what it means.
fn one_of<T: Copy + Send + Sync + 'static, const N: usize>(
    all: [T; N],
    key: fn(T) -> &'static str,
    words: fn(T) -> &'static str,
) -> impl TypedValueParser<Value = T> {
    let named = all.map(|one| PossibleValue::new(key(one)).help(words(one)));
    PossibleValuesParser::new(named).try_map(move |word| {
        all.into_iter().find(|one| key(*one) == word).ok_or_else(|| format!("{word} is none of them"))
    })
}

/// Runs the command.
pub fn run(args: &SearchArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let search = prepare(args, &boat)?;
    let outcome = match args.threads {
        None => searched(args, &boat, &search, &args.prefer),
        Some(threads) => rayon::ThreadPoolBuilder::new()
            .num_threads(threads.into())
            .build()
            .map_err(|error| Failure::input(format!("{threads} threads: {error}\n")))?
            .install(|| searched(args, &boat, &search, &args.prefer)),
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
    let text = |typed: &Option<String>| typed.clone().unwrap_or_default();
    let price = |typed: &String| match typed.split_once('=') {
        Some((item, amount)) => (item.to_owned(), amount.to_owned()),
        None => (typed.clone(), String::new()),
    };
    let wish = Wish {
        cruise: args.cruise.clone(),
        prefer: args.prefer.clone(),
        keep: args.keep.clone(),
        diameter: text(&args.diameter),
        pitch: text(&args.pitch),
        blades: text(&args.blades),
        pattern: args.pattern,
        ratios: text(&args.ratios),
        cells: text(&args.cells),
        packs: text(&args.packs),
        largest: text(&args.largest),
        mass: text(&args.mass),
        budget: text(&args.budget),
        prices: args.prices.iter().map(price).collect(),
        may_exceed_touch_limit: args.allow_over_60_v,
    };
    wish.search(boat).map_err(|faults| Failure::input(complaint(boat, &faults)))
}

fn complaint(boat: &Loaded, faults: &[WishFault]) -> String {
    let unpriced: Vec<&WishFault> =
        faults.iter().filter(|fault| fault.field == "price" && !fault.typed.contains('=')).collect();
    if let (Some(first), true) = (unpriced.first(), unpriced.len() == faults.len()) {
        let flags: Vec<String> =
            unpriced.iter().map(|fault| format!("--price {}=...", fault.typed)).collect();
        return format!("{}; give {} (or --keep the part)\n", first.problem, flags.join(" "));
    }
    let said = |fault: &WishFault| match fault.field {
        "" => format!("{}: {}\n", boat.place, fault.problem),
        field => format!("--{field} {}: {}\n", fault.typed, fault.problem),
    };
    faults.iter().map(said).collect()
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
