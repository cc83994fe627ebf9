//! `draw`: a picture of a boat or of what was found about her, as a file that stands alone.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::PathBuf;

use clap::{Args, ValueEnum};
use wakewright_core::boat::BoatError;
use wakewright_report::draw::{ladder_picture, resistance_picture};
use wakewright_report::picture::{Frame, Picture, Theme};
use wakewright_report::text::Paper;

use super::{BoatArgs, Done, Failure, output};
use crate::boats::{Loaded, load};
use crate::scene::{DriveScene, RangeScene, profile_of};

/// Arguments of `draw`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wakewright draw myboat.toml torque --out torque.svg\n  \
    wakewright draw myboat.toml range --out range.svg --theme dark --width 1200 --set bank.state_of_charge=\"60 %\"")]
pub struct DrawArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// Which picture
    #[arg(value_enum)]
    picture: Subject,
    /// The file to write (SVG, fonts within)
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Colours
    #[arg(long, value_enum, default_value_t = Colours::Light)]
    theme: Colours,
    /// Width to lay out for, in pixels
    #[arg(long, default_value_t = 960, value_parser = clap::value_parser!(u16).range(320..=1600))]
    width: u16,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
}

/// Pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Subject {
    /// Torque against shaft speed: what the drive can reach, what the propeller asks
    Torque,
    /// Where each watt goes at full throttle
    Ladder,
    /// Miles and power against speed
    Range,
    /// What the resistance is made of, against speed
    Resistance,
    /// The boat from the side, to scale
    Profile,
}

/// Colours of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Colours {
    /// Ink on paper
    Light,
    /// Chalk on slate
    Dark,
    /// Dim red
    Night,
}

impl From<Colours> for Theme {
    fn from(colours: Colours) -> Self {
        match colours {
            Colours::Light => Self::Light,
            Colours::Dark => Self::Dark,
            Colours::Night => Self::Night,
        }
    }
}

/// Runs the command.
pub fn run(args: &DrawArgs) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let paper = output::paper(&args.boat.output);
    let picture = picture_of(args.picture, &boat, args.boat.samples, &paper)
        .map_err(|error| Failure::input(format!("{}: {error}\n", boat.place)))?;
    let svg = picture.to_svg(&Frame::new(f64::from(args.width), args.theme.into(), "picture"));
    write_file(args, &svg)?;
    output::write(&format!("{} written.\n", args.out.display()))
}

fn picture_of(
    subject: Subject,
    boat: &Loaded,
    samples: usize,
    paper: &Paper,
) -> Result<Box<dyn Picture>, BoatError> {
    let drive = || DriveScene::new(boat, None, None, samples, paper);
    Ok(match subject {
        Subject::Torque => Box::new(drive()?.torque(&boat.spec, paper)),
        Subject::Ladder => Box::new(ladder_picture(&drive()?.study)),
        Subject::Resistance => Box::new(resistance_picture(&drive()?.study)),
        Subject::Range => Box::new(RangeScene::new(boat, samples)?.range(&boat.spec, paper)),
        Subject::Profile => Box::new(profile_of(&boat.document, Some(&boat.spec), paper)),
    })
}

fn write_file(args: &DrawArgs, svg: &str) -> Result<(), Failure> {
    let mut options = OpenOptions::new();
    options.write(true);
    if args.force {
        options.create(true).truncate(true);
    } else {
        options.create_new(true);
    }
    options.open(&args.out).and_then(|mut file| file.write_all(svg.as_bytes())).map_err(|error| {
        let what = match error.kind() {
            ErrorKind::AlreadyExists => "it is there already; --force writes over it".to_owned(),
            _ => error.to_string(),
        };
        Failure::input(format!("{}: {what}\n", args.out.display()))
    })
}
