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
use wakewright_rooms::explain::{Occasion, USUAL_MONTH, USUAL_YEARS, open};
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
static LOG_BEFORE: &[u8] = include_bytes!("../../../examples/logs/2025-05-03_before_the_scrub.csv");
static LOG_AFTER: &[u8] = include_bytes!("../../../examples/logs/2025-05-18_after_the_scrub.csv");

/// The last two runs of each were made at full throttle.
const FULL_THROTTLE: [usize; 2] = [9, 10];

/// Samples for the parts of which only the finding is shown.
const FEWER_SAMPLES: usize = 400;
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
        beyond: beyond_of(&boat, Some(USUAL_MONTH), Some(USUAL_YEARS))?,
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
    out += &heading("3  drive --set propeller.pitch=\"11 in\": what would three inches more pitch do?");
    let pitched = understand(DEMO_BOAT, "demo", &["propeller.pitch=11 in".to_owned()])?;
    let more_pitch = study(&pitched, &Questions::default())?;
    out += &finding_only(&drive_text(&pitched.name, &pitched.spec, &more_pitch, &paper));
    out += &heading("4  range --month June --years 6: how far does she go?");
    out += &range_text(&boat.name, &boat.spec, &found, &paper);
    out += &heading("5  options: re-pitch, new propeller or more volts?");
    out += &options_text(&laid.scene(&boat.name), &paper);
    out += &heading("6  sail: what does the propeller cost, and what comes back?");
    out += &wakewright_rooms::text::finding_only(&under_sail, &paper);
    out += &heading("7  bank: what does it hold, and what if a pack drops out?");
    out += &finding_only(&bank_text(&boat.name, &boat.spec, &bank, &paper));
    out += &heading("8  energy: when must she plug in?");
    out += &finding_only(&year_text(&boat.name, &boat.spec, &plan, &year, &paper));
    out += &heading("9  energy --date 2026-06-20 --under-way: a day out in June");
    let day = energy::day_of(&boat, &plan, (energy::USUAL_YEAR, 6, 20), true)?;
    out += &finding_only(&day_text(&boat.name, &day, &paper));
    out += &heading("10 trial: she is slow; why, what helps, and did it?");
    out += &story(&boat, &paper)?;
    out += &heading("11 explain resistance: where does a figure come from?");
    let asked =
        Occasion { month: USUAL_MONTH, years: USUAL_YEARS, samples: DEFAULT_SAMPLES, seed: DEFAULT_SEED };
    let opened = open(Opening::State(Figure::Resistance), &boat, &asked, |figure| {
        Err(NoAnswer::input(format!("{}: the demo opens no figure of a trial", figure.origin().key)))
    })?;
    out += &explain_text(&boat.name, &opened, &paper);
    output::write(&out)
}

/// Two invented afternoons: slow, the causes, a forecast, a scrub, the forecast held against what came.
fn story(boat: &Loaded, paper: &Paper) -> Result<String, Failure> {
    let failed = |why: String| Failure::input(format!("demo: {why}\n"));
    let before = demo_epoch(boat, LOG_BEFORE, &["bottom=small shell or weed", "wind=2 kn", "wind_from=95"])?;
    let after =
        demo_epoch(boat, LOG_AFTER, &["bottom=as applied", "blades=clean", "wind=4 kn", "wind_from=95"])?;
    let options = CausesOptions::default();
    let slow = diagnose_boat(boat, &[before], &options).map_err(failed)?;
    let scene = CausesScene { name: &boat.name, diagnosis: &slow, forecasts: &[] };
    let scrub = Remedy {
        name: "scrub bottom and blades".to_owned(),
        changes: vec![Change::CleanBottom, Change::CleanBlades],
    };
    let forecasts = forecast_remedies(&slow, &[scrub]);
    let later = diagnose_boat(boat, &[after], &options).map_err(failed)?;
    let record = ForecastRecord::of(&forecasts[0], &boat.name, "2025-05-03", ("before the scrub", None));
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
