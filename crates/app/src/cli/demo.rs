//! `demo`: the whole job on an invented boat, from the documents built into the program.

use clap::Args;
use wakewright_core::practice::check_practice;
use wakewright_core::study::{Figure, Questions};
use wakewright_report::options::{options_text, options_view};
use wakewright_report::text::{Ink, check_text, drive_text, explain_text, range_text};
use wakewright_report::view::{drive_view, range_view};

use super::drive::LEVERS;
use super::range::half_knots;
use super::{Done, Failure, OutputArgs, output};
use crate::boats::{Loaded, understand};
use crate::explain::{inputs_of, sources_of};
use crate::options::{lay_side_by_side, usual_speed};
use crate::sampling::{self, DEFAULT_SAMPLES, DEFAULT_SEED};

/// The invented boat.
pub static DEMO_BOAT: &str = include_str!("../../../../examples/grey_wagtail.toml");

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
pub fn run(args: &DemoArgs) -> Done {
    if args.document {
        return output::write(DEMO_BOAT);
    }
    let boat = understand(DEMO_BOAT, "demo", &[])?;
    let questions =
        Questions { levers: LEVERS.to_vec(), speeds_m_s: half_knots(&boat), ..Questions::default() };
    let study = |boat: &Loaded, questions: &Questions| {
        sampling::study(&boat.spec, questions, DEFAULT_SAMPLES, DEFAULT_SEED)
            .map_err(|error| Failure::input(format!("demo: {error}\n")))
    };
    let found = study(&boat, &questions)?;
    let paper = output::paper(&args.output);
    let alternatives = boat.document.alternatives();
    let speeds = [usual_speed(&boat.spec)];
    let laid = lay_side_by_side(&boat, &alternatives, &speeds, (DEFAULT_SAMPLES, DEFAULT_SEED), &paper)
        .map_err(Failure::input)?;
    if args.output.json {
        return output::write_json(&serde_json::json!({
            "drive": drive_view(&boat.name, &boat.spec, &found, &paper),
            "range": range_view(&boat.name, &boat.spec, &found, &paper),
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
    out += &heading("4  range: how far does she go?");
    out += &range_text(&boat.name, &boat.spec, &found, &paper);
    out += &heading("5  options: re-pitch, new propeller or more volts?");
    out += &options_text(&laid.scene(&boat.name), &paper);
    out += &heading("6  explain resistance: where does a figure come from?");
    let (inputs, sources) = (inputs_of(Figure::Resistance, &boat), sources_of(Figure::Resistance));
    out += &explain_text(&boat.name, Figure::Resistance, &found, &inputs, &sources, &paper);
    output::write(&out)
}

/// The text up to the first table.
fn finding_only(text: &str) -> String {
    text.split_once("\n\n").map_or(text, |(finding, _)| finding).to_owned() + "\n"
}
