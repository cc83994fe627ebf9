//! Every room as a command: arguments from its questions, text, JSON or CSV from its sheets.
//! Not for: any one room.

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use crate::load;
use clap::builder::{PathBufValueParser, PossibleValuesParser, TypedValueParser};
use clap::{Arg, ArgAction, ArgMatches, Args, Command, FromArgMatches};
use wakewright_records::boat::unread;
use wakewright_rooms::Rooms;
use wakewright_rooms::boats::{Loaded, places_of_default_store, understand};
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Question, Replies, Reply, Watch};
use wakewright_rooms::sheets::answer_text;
use wakewright_rooms::sheets::{answer_csv, answer_json};
use wakewright_rooms::shop::{Over, Shop, trials_named};
use wakewright_rooms::text::Paper;
use wakewright_rooms::trials::{LogShelf, growth_trials, trial_streams};
use wakewright_store::Store;

use super::meter::Meter;
use super::{BoatArgs, CHECK_FAILED, Done, Failure, OutputArgs, output, paper};

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
    if room.is_of_place() {
        // No boat is asked for: the place stands where she would.
        command = command
            .mut_arg("boat", |arg| {
                arg.value_name("PLACE").help("A place by name, or by the key of its station")
            })
            .mut_args(|arg| match arg.get_id().as_str() {
                "set" | "samples" | "seed" => arg.hide(true),
                _ => arg,
            });
    }
    if room.over() == Over::Boats {
        command = command.mut_args(|arg| match arg.get_id().as_str() {
            "boat" => arg.required(false).default_value("").hide(true),
            "set" | "samples" | "seed" => arg.hide(true),
            _ => arg,
        });
    }
    for question in room.questions().iter().filter(|question| !is_place(room, question)) {
        let arg = Arg::new(question.key).long(question.key).help(question.help);
        command = command.arg(match question.value_name {
            Some(name) if name.contains('|') => {
                let read = question.read;
                let words = PossibleValuesParser::new(name.split('|')).try_map(move |word| read(&word));
                arg.value_name(name).value_parser(words).hide_possible_values(true).action(ArgAction::Append)
            }
            Some("FILE") => {
                let read = question.read;
                let text = move |path: &str| match std::fs::read_to_string(path) {
                    Ok(text) => read(&text),
                    Err(why) => Err(format!("{path}: {}", unread(&why))),
                };
                arg.value_name("FILE").value_parser(text).action(ArgAction::Append)
            }
            // A route stands behind the boat: a file, or the route itself.
            Some("ROUTE") => {
                let read = question.read;
                let text = move |given: &str| match std::fs::read_to_string(given) {
                    Ok(text) => read(&text),
                    Err(_) if is_path(given) => Err(format!("there is no file {given}")),
                    Err(_) => read(given),
                };
                Arg::new(question.key).index(2).help(question.help).value_name("ROUTE").value_parser(text)
            }
            // The place that a boat goes to stands behind her.
            Some(name) if question.key == "place" => {
                Arg::new("place").index(2).help(question.help).value_name(name).value_parser(question.read)
            }
            Some(name) => {
                let read = question.read;
                // What is below zero is answered by what reads it; an option is no value.
                let text = move |given: &str| match given.strip_prefix("--") {
                    Some(_) => Err(format!("a value is missing before {given}")),
                    None => read(given),
                };
                arg.value_name(name).allow_hyphen_values(true).value_parser(text).action(ArgAction::Append)
            }
            None => arg.action(ArgAction::SetTrue),
        });
    }
    if has_paper(room) {
        command = command
            .arg(
                Arg::new("out")
                    .long("out")
                    .value_name("FILE")
                    .value_parser(PathBufValueParser::new())
                    .conflicts_with_all(["json", "csv", "set", "samples", "seed"])
                    .help("Write it as a paper to hand over: HTML, or PDF where the name ends in .pdf"),
            )
            .arg(
                Arg::new("force")
                    .long("force")
                    .requires("out")
                    .action(ArgAction::SetTrue)
                    .help("Write over a file that is there"),
            );
    }
    let sheets: Vec<&'static str> = room.empty_sheets().iter().map(|sheet| sheet.key).collect();
    let kinds = room.file_kinds();
    if !kinds.is_empty() {
        command = command.arg(
            Arg::new("as")
                .long("as")
                .value_name("KIND")
                .value_parser(kinds.to_vec())
                .conflicts_with_all(["json", "csv"])
                .help("Print it as a file for other programs"),
        );
    }
    command.arg(
        Arg::new("csv")
            .long("csv")
            .value_name("SHEET")
            .value_parser(sheets)
            .conflicts_with("json")
            .help("Print one sheet of figures as comma-separated values"),
    )
}

/// Whether its answer is a paper to hand over.
fn has_paper(room: &dyn AnyRoom) -> bool {
    room.over() == Over::HerAlone && !room.is_of_place()
}

/// Whether what was given is rather the name of a file than a route.
fn is_path(given: &str) -> bool {
    !given.contains(char::is_whitespace)
}

/// Whether a question is answered by the argument of the command.
fn is_place(room: &dyn AnyRoom, question: &Question) -> bool {
    room.is_of_place() && question.key == "place"
}

/// The room of this command.
pub fn named(rooms: Rooms, key: &str) -> Option<&'static dyn AnyRoom> {
    rooms.iter().copied().find(|room| room.card().key == key)
}

/// Replies to questions of a room, each as `question=reply`.
pub fn replies(room: &dyn AnyRoom, asked: &[String]) -> Result<Replies, Failure> {
    let pair =
        |text: &'_ str| text.split_once('=').map(|(name, reply)| (name.trim().to_owned(), reply.to_owned()));
    let mut pairs = Vec::new();
    for text in asked {
        let known =
            pair(text).filter(|(name, _)| room.questions().iter().any(|question| question.key == name));
        let names = || room.questions().iter().map(|question| question.key).collect::<Vec<_>>().join(", ");
        pairs.push(known.ok_or_else(|| {
            Failure::input(format!(
                "--ask {text}: write question=reply; {} is asked for {}\n",
                room.card().key,
                names()
            ))
        })?);
    }
    Replies::read(room.questions(), pairs.iter().map(|(name, reply)| (name.as_str(), reply.as_str())))
        .map_err(|(name, why)| Failure::input(format!("--ask {name}: {why}\n")))
}

/// Runs the command of a room.
pub fn run(rooms: Rooms, room: &'static dyn AnyRoom, matches: &ArgMatches) -> Done {
    let args =
        BoatArgs::from_arg_matches(matches).map_err(|error| super::Failure::input(error.to_string()))?;
    let mut replies = Replies::default();
    // A room of a place looks at no boat; one stands in for the questions that every room is handed.
    if room.is_of_place() && args.boat.trim().is_empty() {
        return Err(Failure::input(
            "give a place: the name of a station (Boston), or a position (42.35 N 71.05 W)\n",
        ));
    }
    let is_of_shop = room.over() == Over::Boats;
    if is_of_shop && !args.boat.is_empty() {
        let key = room.card().key;
        return Err(Failure::input(format!("{key} is asked of all boats of the store: give no boat\n")));
    }
    let boat = if room.is_of_place() || is_of_shop {
        replies.put("place", Reply::Text(args.boat.trim().to_owned()));
        let nobody = understand(DEMO_BOAT, &args.boat, &[]);
        let nobody = nobody.map_err(|error| Failure::input(error.message()))?;
        Loaded { shop_places: places_of_default_store(), ..nobody }
    } else {
        load(&args.boat, &args.set)?
    };
    let name = if room.is_of_place() || is_of_shop { "" } else { &boat.name };
    let mut shop = match room.over() {
        Over::HerAlone => None,
        Over::Calls | Over::HerTrials if Path::new(&args.boat).exists() => None,
        over => {
            let store = Store::open_default_to_read()?;
            let mut shop = Shop::read(&store, over)?;
            if over == Over::HerTrials {
                let id = store.find(&args.boat)?.id;
                shop.trials = growth_trials((&store, &LogShelf::default()), id, &boat);
            }
            Some(shop)
        }
    };
    for question in room.questions().iter().filter(|question| !is_place(room, question)) {
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
    let trials = trials_named(replies.said());
    if !trials.is_empty() && !Path::new(&args.boat).exists() {
        let store = Store::open_default_to_read()?;
        let id = store.find(&args.boat)?.id;
        let streams = trial_streams((&store, &LogShelf::default()), id, &trials);
        shop = Some(Shop { streams, ..shop.unwrap_or_default() });
    }
    if has_paper(room)
        && let Some(out) = matches.get_one::<PathBuf>("out")
    {
        let to = (out.as_path(), matches.get_flag("force"));
        return paper::of_room(rooms, room, &args, replies, to);
    }
    let meter = Meter::new();
    let watch =
        Watch { progress: &|done, total| meter.show(done, total), cancelled: &AtomicBool::new(false) };
    let seeks_remedy = !args.output.json && !matches.contains_id("csv");
    let asked = Asked {
        replies,
        shop: shop.as_ref(),
        seed: args.seed,
        watch: Some(&watch),
        seeks_remedy,
        ..Asked::of(&boat, args.samples)
    };
    let paper = output::paper(&args.output);
    let answer = room.answer(&asked, None, &paper);
    meter.wipe();
    let answer = answer?;
    if let Ok(Some(kind)) = matches.try_get_one::<String>("as") {
        return match answer.files.iter().find(|(known, _)| known == kind) {
            Some((_, text)) => output::write(text),
            None if kind == "ics" => Err(Failure::input(format!(
                "--as {kind}: no tide is advised, so that there is nothing to put into a calendar: {}\n",
                answer.finding.sentence
            ))),
            None => Err(Failure::input(format!(
                "--as {kind}: it takes positions, and what was given has none: give points, 55.90 N 7.40 W Renn pier\n"
            ))),
        };
    }
    let csv = matches.get_one::<String>("csv").map(String::as_str);
    let code = show(room.card().key, name, &answer, (&args.output, csv), &paper)?;
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
