//! `sail`: what the propeller costs under sail, what cancels it, what comes back.

use clap::Args;
use wakewright_core::sail::SailQuestions;
use wakewright_records::boat::BoatDocument;
use wakewright_report::text::sail_text;
use wakewright_report::view::sail_view;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, parse_certain};

use super::{BoatArgs, Done, Failure, output};
use crate::boats::load;
use crate::sampling::sail_study;

/// Arguments of `sail`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright sail myboat.toml\n  wakewright sail myboat.toml --speed \"6 kn\" \
    --loss \"0.3 kn\" --set bank.state_of_charge=\"60 %\""
)]
pub struct SailArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// Speed that regeneration may cost beyond the freely turning propeller; that of her week when left out
    #[arg(long, value_name = "SPEED", value_parser = read_loss)]
    loss: Option<f64>,
    /// Speed that the finding tells of; that of her week when left out
    #[arg(long, value_name = "SPEED", value_parser = read_told)]
    speed: Option<f64>,
}

/// A loss of speed \[m/s\] from 0 to 2 kn.
fn read_loss(text: &str) -> Result<f64, String> {
    read_within(text, 0.0, 2.0)
}

/// A speed under sail \[m/s\] from 1 to 12 kn.
fn read_told(text: &str) -> Result<f64, String> {
    read_within(text, 1.0, 12.0)
}

fn read_within(text: &str, from_kn: f64, to_kn: f64) -> Result<f64, String> {
    let limits = (from_kn * KNOT_M_S, to_kn * KNOT_M_S * (1.0 + 1e-9));
    let speed = parse_certain(text, Quantity::Speed, limits).map_err(|error| error.to_string())?;
    if (limits.0..=limits.1).contains(&speed) {
        Ok(speed)
    } else {
        Err(format!("give a speed from {from_kn:.0} to {to_kn:.0} kn"))
    }
}

/// Questions over 2 to 9 kn in steps of `1 / steps_a_knot`, and at the speed that is told of. What is not
/// said is as in the week of her document.
#[must_use]
pub fn questions(
    document: &BoatDocument,
    loss_m_s: Option<f64>,
    told_m_s: Option<f64>,
    steps_a_knot: u32,
) -> SailQuestions {
    let week = |field: &str| document.number(field).map_or(0.0, |stated| stated.value_si);
    let told_m_s = told_m_s.unwrap_or_else(|| week("week.sailing_speed"));
    let steps = 2 * steps_a_knot..=9 * steps_a_knot;
    let mut speeds_m_s: Vec<f64> =
        steps.map(|step| f64::from(step) / f64::from(steps_a_knot) * KNOT_M_S).collect();
    if speeds_m_s.iter().all(|speed| (speed / told_m_s - 1.0).abs() > 1e-6) {
        speeds_m_s.push(told_m_s);
        speeds_m_s.sort_by(f64::total_cmp);
    }
    let loss_m_s = loss_m_s.unwrap_or_else(|| week("week.regeneration_loss"));
    SailQuestions { speeds_m_s, loss_m_s, told_m_s }
}

/// Runs the command.
pub fn run(args: &SailArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let study = sail_study(
        &boat.spec,
        &questions(&boat.document, args.loss, args.speed, 1),
        args.boat.samples,
        args.boat.seed,
    )
    .map_err(|error| Failure::input(format!("{}: {error}\n", boat.place)))?;
    let paper = output::paper(&args.boat.output);
    if args.boat.output.json {
        return output::write_json(&sail_view(&boat.name, &study, &paper));
    }
    output::write(&sail_text(&boat.name, &study, &paper))
}
