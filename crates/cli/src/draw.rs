//! `draw`: a picture of a boat or of what was found about her, as a file that stands alone.

use std::path::PathBuf;

use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};
use wakewright_picture::{Frame, Picture, Theme};
use wakewright_rooms::text::Paper;

use wakewright_rooms::Rooms;
use wakewright_rooms::options::Options;
use wakewright_rooms::room::{AnyRoom, Asked, Block};

use super::{BoatArgs, Done, Failure, output, room};
use crate::load;
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::scene::profile_of;

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
    /// What the picture's question is asked beyond the boat, for example place=Boston
    #[arg(long, value_name = "QUESTION=REPLY")]
    ask: Vec<String>,
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
    let picture = match (&args.alternative, args.picture.as_str()) {
        (None, _) => picture_of(args, rooms, &boat, &paper)?,
        (Some(_), "torque" | "shafts") => picture_in(&Options, "shafts", args, &boat, &paper)?,
        (Some(_), _) => {
            return Err(Failure::input("--alternative: only the picture torque shows an alternative\n"));
        }
    };
    let svg = picture.to_svg(&Frame::new(f64::from(args.width), args.theme.into(), "picture"));
    output::write_file(&args.out, &svg, args.force, "--force")?;
    output::write(&format!("{} written.\n", args.out.display()))
}

fn picture_of(
    args: &DrawArgs,
    rooms: Rooms,
    boat: &Loaded,
    paper: &Paper,
) -> Result<Box<dyn Picture>, Failure> {
    if let Some(room) = room_of(rooms, &args.picture) {
        return picture_in(room, &args.picture, args, boat, paper);
    }
    let Ok(subject) = Subject::from_str(&args.picture, true) else {
        return Err(Failure::input(format!("{}: there is no such picture\n", args.picture)));
    };
    Ok(match subject {
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
    wanted: &str,
    args: &DrawArgs,
    boat: &Loaded,
    paper: &Paper,
) -> Result<Box<dyn Picture>, Failure> {
    let samples = room.card().samples.of_general(args.boat.samples);
    let chosen = args.alternative.iter().map(|name| format!("alternative={name}"));
    let replies = room::replies(room, &args.ask.iter().cloned().chain(chosen).collect::<Vec<_>>())?;
    let asked = Asked { replies, has_pictures: true, seed: args.boat.seed, ..Asked::of(boat, samples) };
    let answer = room.answer(&asked, None, paper)?;
    let found = answer.blocks.into_iter().find_map(|block| match block {
        Block::Picture { key, picture, .. } if key == wanted => Some(picture as Box<dyn Picture>),
        _ => None,
    });
    found.ok_or_else(|| {
        Failure::input(format!("{}: of her there is nothing to draw in the picture {}\n", boat.place, wanted))
    })
}
