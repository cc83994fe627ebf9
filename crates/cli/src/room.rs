//! Every room as a command: arguments from its questions, text, JSON or CSV from its sheets.
//! Not for: any one room.

use std::sync::atomic::AtomicBool;

use crate::load;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches};
use wakewright_rooms::Rooms;
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Replies, Reply, Watch};
use wakewright_rooms::sheets::answer_text;
use wakewright_rooms::sheets::{answer_csv, answer_json};
use wakewright_rooms::text::Paper;

use super::meter::Meter;
use super::{BoatArgs, CHECK_FAILED, Done, Failure, OutputArgs, output};

/// The command of a room.
pub fn command(room: &'static dyn AnyRoom) -> Command {
    let card = room.card();
    let examples: Vec<String> =
        card.examples.iter().map(|example| format!("  wakewright {} {example}", card.key)).collect();
    let (fewest, most) = card.samples.range;
    let mut command = BoatArgs::augment_args(Command::new(card.key))
        .about(card.about)
        .long_about(None)
        .mut_arg("samples", |arg| {
            arg.default_value(&*Box::leak(card.samples.usual.to_string().into_boxed_str())).value_parser(
                move |text: &str| match text.parse::<usize>() {
                    Ok(count) if (fewest..=most).contains(&count) => Ok(count),
                    _ => Err(format!("give a whole number from {fewest} to {most}")),
                },
            )
        })
        .display_order(2)
        .after_help(format!("Examples:\n{}", examples.join("\n")));
    for question in room.questions() {
        let arg = Arg::new(question.key).long(question.key).help(question.help);
        command = command.arg(match question.value_name {
            Some(name) if name.contains('|') => {
                let read = question.read;
                let words = PossibleValuesParser::new(name.split('|')).try_map(move |word| read(&word));
                arg.value_name(name).value_parser(words).hide_possible_values(true).action(ArgAction::Append)
            }
            Some(name) => arg.value_name(name).value_parser(question.read).action(ArgAction::Append),
            None => arg.action(ArgAction::SetTrue),
        });
    }
    let sheets: Vec<&'static str> = room.empty_sheets().iter().map(|sheet| sheet.key).collect();
    command.arg(
        Arg::new("csv")
            .long("csv")
            .value_name("SHEET")
            .value_parser(sheets)
            .conflicts_with("json")
            .help("Print one sheet of figures as comma-separated values"),
    )
}

/// The room of this command.
pub fn named(rooms: Rooms, key: &str) -> Option<&'static dyn AnyRoom> {
    rooms.iter().copied().find(|room| room.card().key == key)
}

/// Runs the command of a room.
pub fn run(room: &'static dyn AnyRoom, matches: &ArgMatches) -> Done {
    let args =
        BoatArgs::from_arg_matches(matches).map_err(|error| super::Failure::input(error.to_string()))?;
    let boat = load(&args.boat, &args.set)?;
    let mut replies = Replies::default();
    for question in room.questions() {
        match question.value_name {
            Some(_) => {
                for reply in matches.get_many::<Reply>(question.key).into_iter().flatten() {
                    if replies.has(question.key) && !matches!(reply, Reply::Texts(_)) {
                        return Err(Failure::input(format!("--{}: give it once\n", question.key)));
                    }
                    replies.put(question.key, reply.clone());
                }
            }
            None if matches.get_flag(question.key) => replies.put(question.key, Reply::Yes),
            None => {}
        }
    }
    let meter = Meter::new();
    let watch =
        Watch { progress: &|done, total| meter.show(done, total), cancelled: &AtomicBool::new(false) };
    let seeks_remedy = !args.output.json && !matches.contains_id("csv");
    let asked = Asked {
        replies,
        seed: args.seed,
        watch: Some(&watch),
        seeks_remedy,
        ..Asked::of(&boat, args.samples)
    };
    let paper = output::paper(&args.output);
    let answer = room.answer(&asked, None, &paper);
    meter.wipe();
    let answer = answer?;
    let csv = matches.get_one::<String>("csv").map(String::as_str);
    let code = show(room.card().key, &boat.name, &answer, (&args.output, csv), &paper)?;
    Ok(if answer.finding.fails { CHECK_FAILED } else { code })
}

/// Writes an answer as it is asked for: as text, as JSON, or one sheet of it as CSV.
pub fn show(
    of: &str,
    boat: &str,
    answer: &Answer,
    (output, csv): (&OutputArgs, Option<&str>),
    paper: &Paper,
) -> Done {
    if output.json {
        return output::write_json(&answer_json(of, boat, answer));
    }
    let Some(key) = csv else { return output::write(&answer_text(answer, paper)) };
    match answer.sheets.iter().find(|sheet| sheet.key == key) {
        Some(sheet) => output::write(&answer_csv(sheet)),
        None => {
            let keys: Vec<&str> = answer.sheets.iter().map(|sheet| sheet.key).collect();
            Err(Failure::input(format!(
                "--csv {key}: there is no such sheet; there are {}\n",
                keys.join(", ")
            )))
        }
    }
}
