//! What is made from the definitions: schemas, the list of fields, completions, the manual page.

use clap::{Args, ValueEnum};
use clap_complete::Shell;
use serde_json::Value;
use wakewright_core::causes::{CAUSES_SHEETS, FORECAST_SHEETS, HELD_SHEETS};
use wakewright_core::sheet::AnySheet;
use wakewright_core::trial::TRIAL_SHEETS;
use wakewright_records::boat::{field_listing, json_schema, manual_markdown};
use wakewright_rooms::check::CheckView;
use wakewright_rooms::explain::ExplainView;
use wakewright_rooms::room::empty_sheets;
use wakewright_rooms::trial::logs_schema;
use wakewright_rooms::view::schema_of;

use super::store::BoatsView;
use super::{Done, Failure, command, output, room};
use wakewright_rooms::Rooms;
use wakewright_rooms::sheets::{answer_schema, room_schema, sheets_schema};

/// Arguments of `schema`.
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// Of the boat document, or of a command's JSON
    #[arg(default_value = "boat")]
    of: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Schema {
    /// The boat document
    Boat,
    /// `check --json`
    Check,
    /// `explain --json`
    Explain,
    /// `boats --json`
    Boats,
    /// `trial import --json`
    TrialImport,
    /// `trial runs --json`
    TrialRuns,
    /// `trial causes --json`
    TrialCauses,
    /// `trial forecast --json`
    TrialForecast,
    /// `trial forecast --hold --json`
    TrialHeld,
    /// `trial show --json`
    TrialShow,
}

/// Everything that has a schema.
pub fn schema_names(rooms: Rooms) -> Vec<&'static str> {
    let others = Schema::value_variants().iter().filter_map(|of| {
        let name = of.to_possible_value()?.get_name().to_owned();
        Some(&*Box::leak(name.into_boxed_str()))
    });
    others.chain(rooms.iter().map(|room| room.card().key)).collect()
}

/// Runs `schema`.
pub fn schema(args: &SchemaArgs, rooms: Rooms) -> Done {
    if let Some(room) = room::named(rooms, &args.of) {
        return output::write_json(&room_schema(room));
    }
    let Ok(of) = Schema::from_str(&args.of, true) else {
        return Err(Failure::input(format!("{}: there is no such schema\n", args.of)));
    };
    let schema = match of {
        Schema::Boat => json_schema(),
        Schema::Check => schema_of::<CheckView>(),
        Schema::Explain => schema_of::<ExplainView>(),
        Schema::Boats => schemars::schema_for!(BoatsView).to_value(),
        Schema::TrialImport => logs_schema("trial-import", "What logs are, and what is in them"),
        Schema::TrialRuns => {
            schema_of_sheets("trial-runs", "Steady runs, the stream taken out", &TRIAL_SHEETS)
        }
        Schema::TrialCauses => schema_of_sheets("causes", "What makes her slow", &CAUSES_SHEETS),
        Schema::TrialForecast => schema_of_sheets("forecast", "What remedies will give", &FORECAST_SHEETS),
        Schema::TrialHeld => schema_of_sheets("forecast-held", "How forecasts fared", &HELD_SHEETS),
        Schema::TrialShow => schema_of_sheets("trial-kept", "A trial of the store", &TRIAL_SHEETS),
    };
    output::write_json(&schema)
}

fn schema_of_sheets<F>(of: &str, about: &str, sheets: &[&dyn AnySheet<F>]) -> Value {
    answer_schema(of, about, &sheets_schema(&empty_sheets(sheets)))
}

/// Arguments of `fields`.
#[derive(Debug, Args)]
pub struct FieldsArgs {
    /// As Markdown (this is docs/boat-document.md)
    #[arg(long)]
    markdown: bool,
}

/// Runs `fields`.
pub fn fields(args: &FieldsArgs) -> Done {
    output::write(&if args.markdown { manual_markdown() } else { field_listing() })
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// For which shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Runs `completions`.
pub fn completions(args: &CompletionsArgs, rooms: Rooms) -> Done {
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut command(rooms), "wakewright", &mut text);
    output::write(&String::from_utf8_lossy(&text))
}

/// Arguments of `man`.
#[derive(Debug, Args)]
pub struct ManArgs {}

/// Runs `man`.
pub fn man(_: &ManArgs, rooms: Rooms) -> Done {
    let mut text = Vec::new();
    let whole = command(rooms);
    let mut pages = vec![whole.clone()];
    pages.extend(whole.get_subcommands().map(|sub| {
        let name: &'static str = Box::leak(format!("wakewright-{}", sub.get_name()).into_boxed_str());
        sub.clone().name(name)
    }));
    for page in pages {
        clap_mangen::Man::new(page)
            .render(&mut text)
            .map_err(|error| Failure::input(format!("manual page: {error}\n")))?;
    }
    output::write(&String::from_utf8_lossy(&text))
}
