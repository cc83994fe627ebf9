//! `draw`: a picture of a boat or of what was found about her, as a file that stands alone.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::PathBuf;

use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};
use wakewright_core::steady::BoatError;
use wakewright_core::study::Beyond;
use wakewright_picture::{Frame, Picture, Plot, Theme};
use wakewright_records::boat::Alternative;
use wakewright_rooms::draw::{ladder_picture, resistance_picture, shaft_power_picture};
use wakewright_rooms::text::Paper;

use wakewright_rooms::Rooms;
use wakewright_rooms::room::{AnyRoom, Asked, Block};

use super::{BoatArgs, Done, Failure, no_answer, output};
use wakewright_rooms::boats::{Loaded, load};
use wakewright_rooms::energy::DEFAULT_WEATHERS;
use wakewright_rooms::explain::USUAL_MONTH;
use wakewright_rooms::laying::lay_side_by_side;
use wakewright_rooms::scene::{DayAsked, DriveScene, EnergyScene, RangeScene, profile_of};

/// Arguments of `draw`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  wakewright draw myboat.toml torque --out torque.svg\n  \
    wakewright draw myboat.toml range --out range.svg --theme dark --width 1200 --set bank.state_of_charge=\"60 %\"")]
pub struct DrawArgs {
    #[command(flatten)]
    boat: BoatArgs,
    /// Which picture
    picture: String,
    /// Of an alternative of the document: its torque beside that of the boat as she is
    #[arg(long, value_name = "NAME")]
    alternative: Option<String>,
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
    /// A day of June at rest, hour by hour
    Day,
    /// The year month by month
    Year,
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
pub fn run(args: &DrawArgs, rooms: Rooms) -> Done {
    let boat = load(&args.boat.boat, &args.boat.set)?;
    let paper = output::paper(&args.boat.output);
    let picture = match &args.alternative {
        Some(name) => Box::new(alternative_picture(args, &boat, name, &paper)?),
        None => picture_of(args, rooms, &boat, &paper)?,
    };
    let svg = picture.to_svg(&Frame::new(f64::from(args.width), args.theme.into(), "picture"));
    write_file(args, &svg)?;
    output::write(&format!("{} written.\n", args.out.display()))
}

fn picture_of(
    args: &DrawArgs,
    rooms: Rooms,
    boat: &Loaded,
    paper: &Paper,
) -> Result<Box<dyn Picture>, Failure> {
    let samples = args.boat.samples;
    let failed = |error: BoatError| no_answer(boat, &error, &args.boat.output);
    let drive = || DriveScene::new(boat, None, None, samples, paper).map_err(failed);
    let energy = || {
        let day = DayAsked { month: USUAL_MONTH, is_under_way: false };
        EnergyScene::new(boat, day, DEFAULT_WEATHERS, false)
    };
    if let Some(room) = room_of(rooms, &args.picture) {
        return picture_in(room, args, boat, paper);
    }
    let Ok(subject) = Subject::from_str(&args.picture, true) else {
        return Err(Failure::input(format!("{}: there is no such picture\n", args.picture)));
    };
    Ok(match subject {
        Subject::Torque => Box::new(drive()?.torque(&boat.spec, paper)),
        Subject::Ladder => Box::new(ladder_picture(&drive()?.study)),
        Subject::Resistance => Box::new(resistance_picture(&drive()?.study)),
        Subject::Range => {
            let scene = RangeScene::new(boat, Beyond::default(), samples).map_err(failed)?;
            Box::new(scene.range(&boat.spec, paper))
        }
        Subject::Day => Box::new(energy()?.day_strip(boat)),
        Subject::Year => Box::new(energy()?.year_strip(boat)),
        Subject::Profile => Box::new(profile_of(&boat.document, Some(&boat.spec), paper)),
    })
}

/// The room that has the picture of this name.
fn room_of(rooms: Rooms, picture: &str) -> Option<&'static dyn AnyRoom> {
    rooms.iter().copied().find(|room| room.card().pictures.iter().any(|(name, _)| *name == picture))
}

/// Names of all pictures.
pub fn picture_names(rooms: Rooms) -> Vec<PossibleValue> {
    let of_rooms = rooms.iter().flat_map(|room| room.card().pictures);
    let of_rooms = of_rooms.map(|(name, help)| PossibleValue::new(*name).help(*help));
    let others = Subject::value_variants().iter().filter_map(ValueEnum::to_possible_value);
    of_rooms.chain(others).collect()
}

/// The picture among what the room shows.
fn picture_in(
    room: &'static dyn AnyRoom,
    args: &DrawArgs,
    boat: &Loaded,
    paper: &Paper,
) -> Result<Box<dyn Picture>, Failure> {
    let asked = Asked { has_pictures: true, seed: args.boat.seed, ..Asked::of(boat, args.boat.samples) };
    let answer = room.answer(&asked, None, paper)?;
    let found = answer.blocks.into_iter().find_map(|block| match block {
        Block::Picture { key, picture, .. } if key == args.picture => Some(picture as Box<dyn Picture>),
        _ => None,
    });
    found.ok_or_else(|| {
        Failure::input(format!(
            "{}: of her there is nothing to draw in the picture {}\n",
            boat.place, args.picture
        ))
    })
}

/// What both shafts take, as she is and with the alternative `name`.
fn alternative_picture(args: &DrawArgs, boat: &Loaded, name: &str, paper: &Paper) -> Result<Plot, Failure> {
    if args.picture != "torque" {
        return Err(Failure::input("--alternative: only the picture torque shows an alternative\n"));
    }
    let alternatives = boat.document.alternatives();
    let names: Vec<&str> = alternatives.iter().map(|alternative| alternative.name.as_str()).collect();
    let chosen: Vec<Alternative> = alternatives.iter().filter(|a| a.name == name).cloned().collect();
    if chosen.is_empty() {
        let known = if names.is_empty() { "none".to_owned() } else { names.join(", ") };
        return Err(Failure::input(format!(
            "--alternative {name}: there is none of that name; there are: {known}\n"
        )));
    }
    let sampling = (args.boat.samples, args.boat.seed);
    let laid = lay_side_by_side(boat, &chosen, &[], sampling, paper).map_err(Failure::input)?;
    shaft_power_picture(&laid.comparison, 1, paper)
        .ok_or_else(|| Failure::input("there is nothing to draw\n"))
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
