//! `demo`: the whole job on an invented boat, from the documents built into the program.

use clap::Args;
use wakewright_core::causes::{CausesOptions, Change, Epoch, Remedy};
use wakewright_core::practice::check_practice;
use wakewright_core::steady::BoatError;
use wakewright_core::study::{Figure, Opening, Questions};
use wakewright_logs::trial::{LogUse, TrialDocument, read_trial};
use wakewright_rooms::causes::{CausesScene, ForecastRecord, causes_text, forecast_text, score_text};
use wakewright_rooms::options::{options_text, options_view};
use wakewright_rooms::text::{
    Ink, Paper, bank_text, check_text, day_text, drive_text, explain_text, range_text, year_text,
};
use wakewright_rooms::view::{bank_view, drive_view, energy_view, range_view};

use super::{Done, Failure, OutputArgs, output};
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::diagnosing::{diagnose_boat, epoch_of, forecast_remedies, hold_against};
use wakewright_rooms::drive::THROTTLES;
use wakewright_rooms::explain::{Occasion, USUAL_YEARS, open};
use wakewright_rooms::laying::{lay_side_by_side, usual_speed};
use wakewright_rooms::logs::read;
use wakewright_rooms::no_answer::NoAnswer;
use wakewright_rooms::range::{beyond_of, half_knots};
use wakewright_rooms::room::Asked;
use wakewright_rooms::sampling::{self, DEFAULT_SAMPLES, DEFAULT_SEED, bank_study, energy_study};
use wakewright_rooms::sheets::answer_json;
use wakewright_rooms::{ROOMS, Rooms};
use wakewright_rooms::{bank, energy};

/// Her two invented afternoons.
static LOG_AS_SHE_CAME: &[u8] = include_bytes!("../../../examples/logs/2025-09-21_as_she_came.csv");
static LOG_AFTER_THE_WORK: &[u8] = include_bytes!("../../../examples/logs/2025-10-12_after_the_work.csv");

/// The last two runs of each were made at full throttle.
const FULL_THROTTLE: [usize; 2] = [9, 10];

/// Samples for the parts of which only the finding is shown.
const FEWER_SAMPLES: usize = 400;
/// The month of the story.
const MONTH: u32 = 9;
/// What is changed after the first afternoon.
const PULLEYS: &str = "reduction.ratio=3:1";
const NEW_RATIO: f64 = 3.0;

/// Arguments of `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Print the boat document of the demo, to start from
    #[arg(long)]
    document: bool,
    #[command(flatten)]
    output: OutputArgs,
}

/// Runs the command.
pub fn run(args: &DemoArgs, _: Rooms) -> Done {
    if args.document {
        return output::write(DEMO_BOAT);
    }
    let boat = understand(DEMO_BOAT, "demo", &[])?;
    let questions = Questions {
        throttles: THROTTLES.to_vec(),
        speeds_m_s: half_knots(&boat),
        beyond: beyond_of(&boat, Some(MONTH), Some(USUAL_YEARS))?,
        ..Questions::default()
    };
    let study = |boat: &Loaded, questions: &Questions| {
        sampling::study(&boat.spec, questions, DEFAULT_SAMPLES, DEFAULT_SEED)
            .map_err(|error| Failure::input(format!("demo: {error}\n")))
    };
    let found = study(&boat, &questions)?;
    let paper = output::paper(&args.output);
    let failed = |error: BoatError| Failure::input(format!("demo: {error}\n"));
    let under_sail = ROOMS[0].answer(&Asked::of(&boat, FEWER_SAMPLES), None, &paper)?;
    let bank =
        bank_study(&boat.spec, &bank::questions(&boat), FEWER_SAMPLES, DEFAULT_SEED).map_err(failed)?;
    let plan = energy::plan_of(&boat, energy::USUAL_YEAR)?;
    let request = energy::request_of(&boat, plan.clone(), true)?;
    let year = energy_study(&boat.spec, &request, energy::DEFAULT_WEATHERS, DEFAULT_SEED).map_err(failed)?;
    let alternatives = boat.document.alternatives();
    let speeds = [usual_speed(&boat.spec)];
    let laid = lay_side_by_side(&boat, &alternatives, &speeds, (DEFAULT_SAMPLES, DEFAULT_SEED), &paper)
        .map_err(Failure::input)?;
    if args.output.json {
        return output::write_json(&serde_json::json!({
            "drive": drive_view(&boat.name, &boat.spec, &found, &paper),
            "range": range_view(&boat.name, &boat.spec, &found, &paper),
            "sail": answer_json(ROOMS[0], &boat.name, &under_sail),
            "bank": bank_view(&boat.name, &boat.spec, &bank, &paper),
            "energy": energy_view(&boat.name, &plan, None, Some(&year)),
            "options": options_view(&laid.scene(&boat.name), &paper),
        }));
    }
    let heading = |text: &str| {
        let line = "=".repeat(paper.width);
        format!("\n{}\n{}\n\n", paper.ink(Ink::Faint, &line), paper.ink(Ink::Strong, text))
    };
    let mut out = String::new();
    out += &paper.wrap(boat.document.text("boat.invented").unwrap_or(""), 0);
    out += &heading("1  check: does the document hold together, is she as such boats are?");
    let doubts = wakewright_records::boat::render_faults(boat.document.doubts(), DEMO_BOAT, "demo");
    out += &check_text(&boat.name, &check_practice(&boat.spec, &found), &doubts, &found.notices, &paper);
    out += &heading("2  drive: what stops her at full throttle?");
    out += &drive_text(&boat.name, &boat.spec, &found, &paper);
    out += &heading("3  drive --set reduction.ratio=3:1: what would other pulleys do?");
    let geared = understand(DEMO_BOAT, "demo", &[PULLEYS.to_owned()])?;
    let other_pulleys = study(&geared, &Questions::default())?;
    out += &finding_only(&drive_text(&geared.name, &geared.spec, &other_pulleys, &paper));
    out += &heading("4  range --month September --years 6: how far does she go?");
    out += &range_text(&boat.name, &boat.spec, &found, &paper);
    out += &heading("5  options: pulleys, less pitch or a larger controller?");
    out += &options_text(&laid.scene(&boat.name), &paper);
    out += &heading("6  sail: what does the propeller cost, and what comes back?");
    out += &wakewright_rooms::text::finding_only(&under_sail, &paper);
    out += &heading("7  bank: what does it hold, and what if a pack drops out?");
    out += &finding_only(&bank_text(&boat.name, &boat.spec, &bank, &paper));
    out += &heading("8  energy: when must she plug in?");
    out += &finding_only(&year_text(&boat.name, &boat.spec, &plan, &year, &paper));
    out += &heading("9  energy --date 2026-09-19 --under-way: a day out in September");
    let day = energy::day_of(&boat, &plan, (energy::USUAL_YEAR, MONTH, 19), true)?;
    out += &finding_only(&day_text(&boat.name, &day, &paper));
    out += &heading("10 trial: slower than she should be; why, what helps, and did it?");
    out += &story(&boat, &geared, &paper)?;
    out += &heading("11 explain resistance: where does a figure come from?");
    let asked = Occasion { month: MONTH, years: USUAL_YEARS, samples: DEFAULT_SAMPLES, seed: DEFAULT_SEED };
    let opened = open(Opening::State(Figure::Resistance), &boat, &asked, |figure| {
        Err(NoAnswer::input(format!("{}: the demo opens no figure of a trial", figure.origin().key)))
    })?;
    out += &explain_text(&boat.name, &opened, &paper);
    output::write(&out)
}

/// Two invented afternoons: slower than her document has her, the causes, a forecast, the work, the forecast held
/// against what came. `geared` is she after the work.
fn story(boat: &Loaded, geared: &Loaded, paper: &Paper) -> Result<String, Failure> {
    let failed = |why: String| Failure::input(format!("demo: {why}\n"));
    const LOOKED_AT: [&str; 3] = ["bottom=light slime", "blades=clean", "wind_from=NW"];
    let noted = |wind: &'static str| [&LOOKED_AT[..], &[wind]].concat();
    let as_she_came = demo_epoch(boat, LOG_AS_SHE_CAME, &noted("wind=3 kn"))?;
    let after_the_work = demo_epoch(geared, LOG_AFTER_THE_WORK, &noted("wind=4 kn"))?;
    let options = CausesOptions::default();
    let slow = diagnose_boat(boat, &[as_she_came], &options).map_err(failed)?;
    let scene = CausesScene { name: &boat.name, diagnosis: &slow, forecasts: &[] };
    let work = Remedy {
        name: "current as ordered, 3:1 pulleys".to_owned(),
        changes: vec![Change::LimitsAsStated, Change::Ratio(NEW_RATIO)],
    };
    let forecasts = forecast_remedies(&slow, &[work]);
    let later = diagnose_boat(geared, &[after_the_work], &options).map_err(failed)?;
    let record = ForecastRecord::of(&forecasts[0], &boat.name, "2025-09-21", ("as she came", None));
    let scores = hold_against(&record, &later).map_err(failed)?;
    let mut out = finding_only(&causes_text(&scene, paper)) + "\n";
    out += &finding_only(&forecast_text(&boat.name, &forecasts, paper));
    out += "\n";
    out += &score_text(&record.remedy, &record.made_on, &scores, paper);
    Ok(out)
}

fn demo_epoch(boat: &Loaded, log: &'static [u8], noted: &[&str]) -> Result<Epoch, Failure> {
    let opened = read("demo log", log, &[]);
    let log = opened.log.map_err(|why| Failure::input(format!("demo: {why}\n")))?;
    let mut document = TrialDocument::default();
    for (word, text) in noted.iter().filter_map(|noted| noted.split_once('=')) {
        document.set_condition(word, text);
    }
    document.logs.push(LogUse {
        digest: "demo".to_owned(),
        name: "demo log".to_owned(),
        shift: String::new(),
        mapping: None,
        left_out: std::collections::BTreeSet::new(),
    });
    let reading = read_trial(&document, &[Some(&log)]);
    Ok(epoch_of(&document, &reading, &boat.document, &FULL_THROTTLE))
}

/// The text up to the first table.
fn finding_only(text: &str) -> String {
    text.split_once("\n\n").map_or(text, |(finding, _)| finding).to_owned() + "\n"
}
