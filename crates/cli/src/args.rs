//! Arguments that commands share.

use clap::{Args, ValueEnum};
use wakewright_rooms::sampling::{DEFAULT_SAMPLES, DEFAULT_SEED};

/// What every command that shows results takes.
#[derive(Debug, Clone, Args)]
pub struct OutputArgs {
    /// Print JSON instead of text (see `wakewright schema`)
    #[arg(long)]
    pub json: bool,
    /// Units of the text
    #[arg(long, value_enum, default_value_t = Units::Trade)]
    pub units: Units,
    /// Colour and weight in the text
    #[arg(long, value_enum, default_value_t = Colour::Auto)]
    pub colour: Colour,
}

/// What every command that computes takes.
#[derive(Debug, Clone, Args)]
pub struct BoatArgs {
    /// A boat document, or the name of a boat in the store
    #[arg(value_name = "BOAT")]
    pub boat: String,
    /// Try a change without touching the file, for example reduction.ratio=3:1
    #[arg(long = "set", value_name = "FIELD=VALUE")]
    pub set: Vec<String>,
    /// Samples of the unsure inputs behind each 80 % band
    #[arg(long, default_value_t = DEFAULT_SAMPLES, value_parser = samples_in_range)]
    pub samples: usize,
    /// Seed of the samples; the same seed gives the same figures
    #[arg(long, default_value_t = DEFAULT_SEED)]
    pub seed: u64,
    #[command(flatten)]
    pub output: OutputArgs,
}

fn samples_in_range(text: &str) -> Result<usize, String> {
    match text.parse::<usize>() {
        Ok(count @ 50..=200_000) => Ok(count),
        _ => Err("give a whole number from 50 to 200000".to_owned()),
    }
}

/// Unit systems.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// As the trade speaks: metres, propellers in inches, knots
    Trade,
    /// Metric, propellers in millimetres
    Metric,
    /// Feet, pounds, degrees Fahrenheit
    Us,
}

/// When text has colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// In a terminal, unless NO_COLOR is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}
