//! `sail`: what the propeller costs under sail, what cancels it, what comes back.

use clap::Args;
use wakewright_core::sail::SailQuestions;
use wakewright_report::text::sail_text;
use wakewright_report::view::sail_view;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, read_quantity};

use super::{BoatArgs, Done, Failure, output};
use crate::boats::load;
use crate::sampling::sail_study;

/// Arguments of `sail`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright sail myboat.toml\n  wakewright sail myboat.toml --loss \"0.2 kn\" \
    --set bank.state_of_charge=\"60 %\""
)]
pub struct SailArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// Speed that regeneration may cost beyond the freely turning propeller
    #[arg(long, default_value = "0.2 kn", value_name = "SPEED", value_parser = read_loss)]
    loss: f64,
}

/// A loss of speed \[m/s\] from 0 to 2 kn.
pub(super) fn read_loss(text: &str) -> Result<f64, String> {
    let read = read_quantity(text, Quantity::Speed).map_err(|error| error.to_string())?;
    if (0.0..=2.0 * KNOT_M_S).contains(&read.si) {
        Ok(read.si)
    } else {
        Err("give a loss of speed from 0 to 2 kn".to_owned())
    }
}

/// Questions over 2 to 9 kn.
#[must_use]
pub fn questions(loss_m_s: f64) -> SailQuestions {
    let speeds_m_s = (2..=9).map(|knots| f64::from(knots) * KNOT_M_S).collect();
    SailQuestions { speeds_m_s, loss_m_s }
}

/// Runs the command.
pub fn run(args: &SailArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let study = sail_study(&boat.spec, &questions(args.loss), args.boat.samples, args.boat.seed)
        .map_err(|error| Failure::input(format!("{}: {error}\n", boat.place)))?;
    let paper = output::paper(&args.boat.output);
    if args.boat.output.json {
        return output::write_json(&sail_view(&boat.name, &study, &paper));
    }
    output::write(&sail_text(&boat.name, &study, &paper))
}
