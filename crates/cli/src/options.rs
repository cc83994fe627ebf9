//! `options`: alternatives laid beside the boat as she is.

use clap::Args;
use wakewright_records::boat::{Alternative, Change};
use wakewright_rooms::options::{options_csv, options_text, options_view};

use super::{BoatArgs, Done, Failure, output};
use wakewright_rooms::boats::{load, unknown_field};
use wakewright_rooms::laying::{lay_side_by_side, read_speeds, usual_speed};

/// Arguments of `options`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright options myboat.toml\n  wakewright options myboat.toml --speeds \"3 kn,4 kn\" \
                  --try \"deeper: propeller.pitch=11 in\" --try \"geared: reduction.ratio=2.2\""
)]
pub struct OptionsArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// An alternative beside those of the document: a name, a colon, changes set off by semicolons
    #[arg(long = "try", value_name = "NAME: FIELD=VALUE; ...")]
    tries: Vec<String>,
    /// Speeds for power, energy and range, set off by commas; else the document's cruising speed
    #[arg(long, value_name = "SPEEDS")]
    speeds: Option<String>,
    /// Print comma-separated values instead of text
    #[arg(long, conflicts_with = "json")]
    csv: bool,
}

/// Runs the command.
pub fn run(args: &OptionsArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let mut alternatives = boat.document.alternatives();
    for text in &args.tries {
        let tried = read_try(text)?;
        if alternatives.iter().any(|other| other.name == tried.name) {
            let problem = format!("--try {text}: there is an alternative \"{}\" already\n", tried.name);
            return Err(Failure::input(problem));
        }
        alternatives.push(tried);
    }
    let speeds = match &args.speeds {
        Some(text) => read_speeds(text).map_err(|why| Failure::input(format!("--speeds {why}\n")))?,
        None => vec![usual_speed(&boat.spec)],
    };
    let paper = output::paper(&args.boat.output);
    let sampling = (args.boat.samples, args.boat.seed);
    let laid = lay_side_by_side(&boat, &alternatives, &speeds, sampling, &paper).map_err(Failure::input)?;
    let scene = laid.scene(&boat.name);
    if args.csv {
        output::write(&options_csv(&scene))
    } else if args.boat.output.json {
        output::write_json(&options_view(&scene, &paper))
    } else {
        output::write(&options_text(&scene, &paper))
    }
}

fn read_try(text: &str) -> Result<Alternative, Failure> {
    let usage = || {
        let example = "--try \"deeper: propeller.pitch=11 in; reduction.ratio=2.2\"";
        Failure::input(format!("--try {text}: write a name, a colon and changes, for example {example}\n"))
    };
    let (name, rest) = text.split_once(':').ok_or_else(usage)?;
    let name = name.trim();
    if name.is_empty() || name.contains('=') {
        return Err(usage());
    }
    let mut changes = Vec::new();
    for part in rest.split(';').filter(|part| !part.trim().is_empty()) {
        let (field, value) = part.split_once('=').ok_or_else(usage)?;
        if let Some(advice) = unknown_field(field.trim()) {
            return Err(Failure::input(format!("--try {text}: {advice}\n")));
        }
        changes.push(Change::new(field.trim(), value.trim()));
    }
    if changes.is_empty() {
        return Err(usage());
    }
    Ok(Alternative { name: name.to_owned(), note: None, cost: None, changes })
}
