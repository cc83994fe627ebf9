//! `check`: the document and the boat against common practice.

use clap::Args;
use wakewright_core::practice::{Standing, check_practice};
use wakewright_core::study::Questions;
use wakewright_records::boat::{Fault, Severity, render_faults};
use wakewright_rooms::check::check_text;
use wakewright_rooms::check::{FaultView, check_view};

use super::{BAD_INPUT, BoatArgs, CHECK_FAILED, Done, output};
use crate::load;
use wakewright_rooms::boats::LoadError;
use wakewright_rooms::no_answer::NoAnswer;
use wakewright_rooms::sampling;

/// Arguments of `check`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  wakewright check myboat.toml\n\nExit code 1 when something must not be so; a duty is said and does not fail."
)]
pub struct CheckArgs {
    #[command(flatten)]
    boat: BoatArgs,
}

/// Runs the command.
pub fn run(args: &CheckArgs) -> Done {
    let paper = output::paper(&args.boat.output);
    let boat = match load(&args.boat.boat, &args.boat.set) {
        Ok(boat) => boat,
        Err(LoadError::Faulty { faults, .. }) if args.boat.output.json => {
            let views = faults.iter().map(fault_view).collect();
            output::write_json(&check_view(&args.boat.boat, views, &[], &[], &paper))?;
            return Ok(BAD_INPUT);
        }
        Err(error) => return Err(error.into()),
    };
    let study = sampling::study(&boat.spec, &Questions::default(), args.boat.samples, args.boat.seed)
        .map_err(|error| NoAnswer::of(&boat, &error))?;
    let findings = check_practice(&boat.spec, &study);
    let doubts = boat.document.doubts();
    if args.boat.output.json {
        let views = doubts.iter().map(fault_view).collect();
        output::write_json(&check_view(&boat.name, views, &findings, &study.notices, &paper))?;
    } else {
        let said = render_faults(doubts, boat.document.to_toml(), &boat.place);
        output::write(&check_text(&boat.name, &findings, (&said, doubts.len()), &study.notices, &paper))?;
    }
    let is_forbidden = findings.iter().any(|finding| finding.standing == Standing::Forbidden);
    Ok(if is_forbidden { CHECK_FAILED } else { 0 })
}

fn fault_view(fault: &Fault) -> FaultView {
    FaultView {
        severity: if fault.severity == Severity::Error { "error" } else { "doubt" },
        line: fault.line,
        column: fault.column,
        field: fault.field.clone(),
        problem: fault.problem.clone(),
        advice: fault.advice.clone(),
    }
}
