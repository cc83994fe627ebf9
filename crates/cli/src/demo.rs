//! `demo`: the whole job on an invented boat, from the documents built into the program. Its chapters are
//! the rooms, each asked as its command would be. Not for: what a room finds.

use clap::Args;
use serde_json::{Map, Value};
use wakewright_core::causes::{CausesOptions, Change, Epoch, HeldForecast, Remedy};
use wakewright_core::field;
use wakewright_core::practice::check_practice;
use wakewright_core::study::Questions;
use wakewright_logs::trial::{LogUse, TrialDocument, read_trial};
use wakewright_papers::{Record, first_digits};
use wakewright_records::boat::render_faults;
use wakewright_rooms::Rooms;
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::causes::{ForecastRecord, causes_finding, forecast_finding, held_answer};
use wakewright_rooms::check::check_text;
use wakewright_rooms::demo::{DEMO_BOAT, demo_records};
use wakewright_rooms::diagnosing::{diagnose_boat, epoch_of, forecast_remedies, hold_against};
use wakewright_rooms::explain::explain_text;
use wakewright_rooms::explain::{figure_named, open_in};
use wakewright_rooms::logs::read;
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Replies};
use wakewright_rooms::sampling::{DEFAULT_SAMPLES, DEFAULT_SEED, study};
use wakewright_rooms::sheets::answer_json;
use wakewright_rooms::sheets::{answer_text, finding_only};
use wakewright_rooms::text::{Ink, Paper, finding_text};

use super::{Done, Failure, OutputArgs, output, trial_store};

/// Her two invented afternoons.
static LOG_AS_SHE_CAME: &[u8] = include_bytes!("../../../examples/logs/2025-09-21_as_she_came.csv");
static LOG_AFTER_THE_WORK: &[u8] = include_bytes!("../../../examples/logs/2025-10-12_after_the_work.csv");

/// The last two runs of each were made at full throttle.
const FULL_THROTTLE: [usize; 2] = [9, 10];

/// Samples for the parts of which only the finding is shown.
const FEWER_SAMPLES: usize = 400;
/// What is changed after the first afternoon.
const PULLEYS: &str = "reduction.ratio=3:1";
const NEW_RATIO: f64 = 3.0;

/// Rooms of which everything is shown, not the finding alone.
const IN_FULL: [&str; 3] = ["drive", "range", "options"];

/// The figure that is opened.
const OPENED: &str = "resistance";

/// A chapter that asks its room more than its card does.
struct Chapter {
    /// The room.
    room: &'static str,
    /// Changes on her.
    sets: &'static [&'static str],
    /// Questions of the room, and what is said to them.
    replies: &'static [(&'static str, &'static str)],
    /// What it asks, after the room's own chapter; in that chapter itself where there is none.
    question: Option<&'static str>,
}

/// A month of waters at an invented place.
const RENN_SOUND: &str = include_str!("../../../examples/renn_sound_waters.txt");

/// A route there, and the streams along it.
const TO_PORT_ALDIS: &str = include_str!("../../../examples/renn_sound_to_port_aldis.gpx");
const RENN_SOUND_STREAMS: &str = include_str!("../../../examples/renn_sound_streams.txt");

/// What an invented fitter typed.
const PRICES: &str = "motor=2,900 EUR, 2026-09-01, 16 h\ncontroller=1,650 EUR, 2026-09-01, 4 h\npack=1,480 EUR, 2026-09-01, 6 h\n\
    main cable=24.60 EUR, 2026-09-01, 1.5 h\nmain fuse=58.90 EUR, 2026-09-01, 0.5 h";

static CHAPTERS: [Chapter; 10] = [
    Chapter {
        room: "quote",
        sets: &[],
        replies: &[
            ("price", PRICES),
            ("labour", "55 EUR"),
            ("contingency", "10 %"),
            ("valid-until", "2026-12-31"),
            ("hours", "120"),
            ("fuel", "1.45 EUR"),
            ("power", "0.32 EUR"),
        ],
        question: None,
    },
    Chapter {
        room: "checkup",
        sets: &[],
        replies: &[("on", "2026-10-01"), ("trip", "9 nm")],
        question: None,
    },
    Chapter { room: "fleet", sets: &[], replies: &[("on", "2026-10-01")], question: None },
    Chapter {
        room: "tide",
        sets: &[],
        replies: &[("place", "Renn Sound"), ("day", "2026-09-28"), ("zone", "UTC"), ("table", RENN_SOUND)],
        question: None,
    },
    Chapter {
        room: "dryout",
        sets: &[],
        replies: &[("place", "Renn pier"), ("day", "2026-09-20"), ("draught", "1.72 m")],
        question: None,
    },
    Chapter {
        room: "gethome",
        sets: &[],
        replies: &[
            ("miles", "9"),
            ("stream", "2 kn against until 00:30, 1 kn with until 05:00"),
            ("charge", "61 %"),
            ("now", "22:00"),
        ],
        question: None,
    },
    Chapter {
        room: "passage",
        sets: &[],
        replies: &[
            ("route", TO_PORT_ALDIS),
            ("leg", "all: stream A"),
            ("streams", RENN_SOUND_STREAMS),
            ("port", "Renn Sound"),
            ("table", RENN_SOUND),
            ("zone", "UTC"),
            ("day", "2026-09-28"),
            ("leave", "08:00"),
            ("arrive", "by 13:00"),
        ],
        question: None,
    },
    Chapter { room: "range", sets: &[], replies: &[("month", "September"), ("years", "6")], question: None },
    Chapter { room: "drive", sets: &[PULLEYS], replies: &[], question: Some("what would other pulleys do?") },
    Chapter {
        room: "energy",
        sets: &[],
        replies: &[("date", "2026-09-19"), ("under-way", "yes")],
        question: Some("a day out in September"),
    },
];

/// Arguments of `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Print the boat document of the demo, to start from
    #[arg(long)]
    document: bool,
    #[command(flatten)]
    output: OutputArgs,
}

/// Runs the command.
pub fn run(args: &DemoArgs, rooms: Rooms) -> Done {
    if args.document {
        return output::write(DEMO_BOAT);
    }
    let boat = understand(DEMO_BOAT, "demo", &[])?;
    let paper = output::paper(&args.output);
    if args.output.json {
        let answers = rooms.iter().map(|&room| {
            let answer = own_chapter(room).answer(room, &paper)?;
            Ok((room.card().key.to_owned(), answer_json(room.card().key, &boat.name, &answer)))
        });
        return output::write_json(&answers.collect::<Result<Map<String, Value>, Failure>>()?);
    }
    let mut told = Told {
        out: paper.wrap(boat.document.text(field::boat::INVENTED).unwrap_or(""), 0),
        chapters: 0,
        paper,
    };
    let found = study(&boat.spec, &Questions::default(), DEFAULT_SAMPLES, DEFAULT_SEED)
        .map_err(|error| Failure::input(format!("demo: {error}\n")))?;
    let doubts = render_faults(boat.document.doubts(), DEMO_BOAT, "demo");
    let checked = check_text(
        &boat.name,
        &check_practice(&boat.spec, &found),
        (&doubts, boat.document.doubts().len()),
        &found.notices,
        &paper,
    );
    told.chapter("check: does the document hold together, is she as such boats are?", &checked);
    for &room in rooms {
        let own = own_chapter(room);
        let further = CHAPTERS.iter().filter(|c| c.room == room.card().key && c.question.is_some());
        for chapter in std::iter::once(&own).chain(further) {
            let answer = chapter.answer(room, &paper)?;
            let text =
                if chapter.is_full() { answer_text(&answer, &paper) } else { finding_only(&answer, &paper) };
            told.chapter(&chapter.heading(room), &text);
        }
    }
    let geared = understand(DEMO_BOAT, "demo", &[PULLEYS.to_owned()])?;
    told.chapter(
        "trial: slower than she should be; why, what helps, and did it?",
        &story(&boat, &geared, &paper)?,
    );
    if let Some((room, figure)) = figure_named(rooms, OPENED) {
        let opened = open_in(room, figure, &Asked::of(&boat, DEFAULT_SAMPLES), &paper)?;
        let heading = format!("explain {OPENED}: where does a figure come from?");
        told.chapter(&heading, &explain_text(&boat.name, &opened, &paper));
    }
    told.chapter("quote, report, pocket: what stays with her?", &papers(boat, &paper));
    output::write(&told.out)
}

/// How her papers are written, and by what they are known again.
fn papers(boat: Loaded, paper: &Paper) -> String {
    let fingerprint = Record::of_file(boat).fingerprint();
    let first = paper.wrap(
        "The offer as a paper, a report for her owner, a fitter or a surveyor to print, and a sheet for the phone that needs no network: all say \
         what the rooms say, invented like all of her.",
        0,
    );
    format!(
        "{first}\n  wakewright demo --document > campion.toml\n  wakewright quote campion.toml --hours 120 --out offer.html\n  wakewright report campion.toml --for owner --out report.html\n  \
         wakewright pocket campion.toml --out pocket.html\n\n{}",
        paper.wrap(&format!("Fingerprint of her document: {}.", first_digits(&fingerprint)), 0)
    )
}

/// What has been told so far.
struct Told {
    out: String,
    chapters: usize,
    paper: Paper,
}

impl Told {
    fn chapter(&mut self, heading: &str, text: &str) {
        self.chapters += 1;
        let line = self.paper.ink(Ink::Faint, &"=".repeat(self.paper.width));
        let heading = self.paper.wrap_hanging(&format!("{:<2} {heading}", self.chapters), 0, 3);
        let heading = self.paper.ink(Ink::Strong, heading.trim_end());
        self.out += &format!("\n{line}\n{heading}\n\n{text}");
    }
}

/// The example in which a text stands.
fn file_of(text: &str) -> &'static str {
    match text {
        TO_PORT_ALDIS => "renn_sound_to_port_aldis.gpx",
        RENN_SOUND_STREAMS => "renn_sound_streams.txt",
        PRICES => "\"motor=2,900 EUR, 2026-09-01, 16 h\" and so on",
        _ => "renn_sound_waters.txt",
    }
}

/// The chapter of a room itself.
fn own_chapter(room: &dyn AnyRoom) -> Chapter {
    let key = room.card().key;
    let asked = CHAPTERS.iter().find(|chapter| chapter.room == key && chapter.question.is_none());
    Chapter { room: key, sets: &[], replies: asked.map_or(&[], |asked| asked.replies), question: None }
}

impl Chapter {
    fn is_full(&self) -> bool {
        self.question.is_none() && IN_FULL.contains(&self.room)
    }

    /// As the command would be typed, and what it asks.
    fn heading(&self, room: &dyn AnyRoom) -> String {
        let has_value = |name: &str| room.questions().iter().any(|q| q.key == name && q.value_name.is_some());
        let sets = self.sets.iter().filter_map(|set| set.split_once('='));
        let sets = sets.map(|(field, value)| format!(" --set {field}=\"{value}\""));
        let replies = self.replies.iter().map(|(name, text)| {
            let shown = match () {
                () if text.contains('\n') => file_of(text).to_owned(),
                () if text.contains(' ') => format!("\"{text}\""),
                () => (*text).to_owned(),
            };
            match () {
                () if matches!(*name, "place" | "route") => format!(" {shown}"),
                () if has_value(name) => format!(" --{name} {shown}"),
                () => format!(" --{name}"),
            }
        });
        let asked: String = sets.chain(replies).collect();
        format!("{}{asked}: {}", self.room, self.question.unwrap_or(room.card().demo))
    }

    fn answer(&self, room: &dyn AnyRoom, paper: &Paper) -> Result<Answer, Failure> {
        let sets: Vec<String> = self.sets.iter().map(|&set| set.to_owned()).collect();
        let boat = Loaded { records: demo_records(), ..understand(DEMO_BOAT, "demo", &sets)? };
        let replies = Replies::read(room.questions(), self.replies.iter().copied())
            .map_err(|(name, why)| Failure::input(format!("demo: {name}: {why}\n")))?;
        let usual = room.card().samples.usual;
        let samples = if self.is_full() { usual } else { usual.min(FEWER_SAMPLES) };
        Ok(room.answer(&Asked { replies, ..Asked::of(&boat, samples) }, None, paper)?)
    }
}

/// Two invented afternoons: slower than her document has her, the causes, a forecast, the work, the forecast held
/// against what came. `geared` is she after the work.
fn story(boat: &Loaded, geared: &Loaded, paper: &Paper) -> Result<String, Failure> {
    let failed = |why: String| Failure::input(format!("demo: {why}\n"));
    const LOOKED_AT: [&str; 3] = ["bottom=light slime", "blades=clean", "wind_from=NW"];
    let noted = |wind: &'static str| [&LOOKED_AT[..], &[wind]].concat();
    let as_she_came = demo_epoch(boat, LOG_AS_SHE_CAME, &noted("wind=3 kn"))?;
    let after_the_work = demo_epoch(geared, LOG_AFTER_THE_WORK, &noted("wind=4 kn"))?;
    let options = CausesOptions::default();
    let slow = diagnose_boat(boat, &[as_she_came], &options).map_err(failed)?;
    let work = Remedy {
        name: "current as ordered, 3:1 pulleys".to_owned(),
        changes: vec![Change::LimitsAsStated, Change::Ratio(NEW_RATIO)],
    };
    let forecasts = forecast_remedies(&slow, &[work]);
    let later = diagnose_boat(geared, &[after_the_work], &options).map_err(failed)?;
    let record = ForecastRecord::of(&forecasts[0], &boat.name, "2025-09-21", ("as she came", None));
    let scores = hold_against(&record, &later).map_err(failed)?;
    let held = HeldForecast { remedy: record.remedy, made_on: record.made_on, scores };
    Ok(finding_text(&causes_finding(&boat.name, &slow, paper), paper)
        + "\n"
        + &finding_text(&forecast_finding(&boat.name, &forecasts, paper), paper)
        + "\n"
        + &answer_text(&held_answer(&[held], paper), paper))
}

fn demo_epoch(boat: &Loaded, log: &'static [u8], noted: &[&str]) -> Result<Epoch, Failure> {
    let opened = read("demo log", log, &[]);
    let log = opened.log.map_err(|why| Failure::input(format!("demo: {why}\n")))?;
    let mut document = TrialDocument::default();
    for (word, text) in noted.iter().filter_map(|noted| noted.split_once('=')) {
        trial_store::note(&mut document, word, text).map_err(Failure::input)?;
    }
    document.logs.push(LogUse {
        digest: "demo".to_owned(),
        name: "demo log".to_owned(),
        shift: String::new(),
        mapping: None,
        left_out: std::collections::BTreeSet::new(),
    });
    let reading = read_trial(&document, &[Some(&log)]);
    Ok(epoch_of(&document, &reading, boat, &FULL_THROTTLE))
}
