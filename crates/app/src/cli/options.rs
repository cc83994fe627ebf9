//! `options`: alternatives laid beside the boat as she is.

use clap::Args;
use wakewright_core::boat::BoatSpec;
use wakewright_records::boat::{Alternative, Change, build_variants, render_faults};
use wakewright_report::options::{OptionsScene, options_csv, options_text, options_view};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, parse_quantity};

use super::{BoatArgs, Done, Failure, output};
use crate::boats::{Loaded, load, unknown_field};
use crate::options::{compare_variants, words_of};

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
        Some(text) => read_speeds(text)?,
        None => vec![usual_speed(&boat.spec)],
    };
    let paper = output::paper(&args.boat.output);
    with_scene(&boat, &alternatives, &speeds, &args.boat, |scene| {
        if args.csv {
            output::write(&options_csv(scene))
        } else if args.boat.output.json {
            output::write_json(&options_view(scene, &paper))
        } else {
            output::write(&options_text(scene, &paper))
        }
    })
}

/// Compares `alternatives` and hands what was found to `show`.
/// # Errors
/// Without alternatives, for faults in them, or when one has no steady state.
pub fn with_scene<T>(
    boat: &Loaded,
    alternatives: &[Alternative],
    speeds_m_s: &[f64],
    args: &BoatArgs,
    show: impl FnOnce(&OptionsScene<'_>) -> Result<T, Failure>,
) -> Result<T, Failure> {
    if alternatives.is_empty() {
        return Err(Failure::input(format!(
            "{}: no alternatives. Add [[alternative]] sections (`wakewright fields`), or name one with --try \"deeper: \
             propeller.pitch=11 in\".\n",
            boat.place
        )));
    }
    let variants = build_variants(&boat.document, alternatives)
        .map_err(|faults| Failure::input(render_faults(&faults, "", &boat.place)))?;
    let comparison = compare_variants(&variants, speeds_m_s, args.samples, args.seed).map_err(|(i, error)| {
        Failure::input(format!("{}, \"{}\": {error}\n", boat.place, variants[i].name))
    })?;
    let paper = output::paper(&args.output);
    let words = words_of(&boat.document, alternatives, &variants, &paper);
    let cruise = nearest_to(speeds_m_s, usual_speed(&boat.spec));
    show(&OptionsScene { name: &boat.name, comparison: &comparison, words: &words, cruise })
}

/// The cruising speed of the document; without one, seven tenths of hull speed, as boats cruise.
pub fn usual_speed(spec: &BoatSpec) -> f64 {
    let hull_speed = wakewright_core::hull::form::hull_speed_m_s(spec.boat.form.length_waterline_m);
    spec.fittings.cruising_speed_m_s.unwrap_or(0.7 * hull_speed)
}

fn nearest_to(speeds_m_s: &[f64], wanted: f64) -> Option<usize> {
    let gap = |i: &usize| (speeds_m_s[*i] - wanted).abs();
    (0..speeds_m_s.len()).min_by(|a, b| gap(a).total_cmp(&gap(b)))
}

fn read_speeds(text: &str) -> Result<Vec<f64>, Failure> {
    const FASTEST_M_S: f64 = 30.0 * KNOT_M_S;
    text.split(',')
        .map(|part| match parse_quantity(part.trim(), Quantity::Speed) {
            Ok(speed) if speed > 0.0 && speed < FASTEST_M_S => Ok(speed),
            Ok(_) => Err(Failure::input(format!("--speeds {part}: no speed of such a boat\n"))),
            Err(error) => Err(Failure::input(format!("--speeds {part}: {error}\n"))),
        })
        .collect()
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
