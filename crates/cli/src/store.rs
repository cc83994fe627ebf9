//! Commands on the store: `boats`, `backup`, `restore`, `import`, `export`.
//! Not for: what a document means.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;
use wakewright_store::{BoatSummary, Store, StoreError, UnixMs};

use super::{Done, Failure, output};
use wakewright_rooms::moment;

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        Self::input(format!("{error}\n"))
    }
}

pub(super) fn now() -> UnixMs {
    UnixMs(jiff::Timestamp::now().as_millisecond())
}

/// Arguments of `boats`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  wakewright boats\n  wakewright drive \"Sea Campion\"")]
pub struct BoatsArgs {
    /// The boats that were removed (the page can reinstate them)
    #[arg(long)]
    removed: bool,
    /// Print JSON instead of text (see `wakewright schema boats`)
    #[arg(long)]
    json: bool,
}

/// The boats of the store.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BoatsView {
    /// Name of the format: `wakewright/boats`.
    format: &'static str,
    /// Version of the format.
    version: u32,
    /// The boats, by name.
    boats: Vec<BoatLine>,
}

/// A boat of the store.
#[derive(Debug, Serialize, JsonSchema)]
struct BoatLine {
    /// Her name.
    name: String,
    /// Her name in addresses and file names.
    slug: String,
    /// How many revisions she has.
    revisions: u32,
    /// When the latest was saved, universal time.
    changed: String,
}

/// Runs `boats`.
pub fn boats(args: &BoatsArgs) -> Done {
    let store = Store::open_default_to_read()?;
    let list = if args.removed { store.removed()? } else { store.list()? };
    if args.json {
        let boats = list.iter().map(boat_line).collect();
        return output::write_json(&BoatsView { format: "wakewright/boats", version: 1, boats });
    }
    output::write(&boats_text(&list, args.removed))
}

fn boat_line(summary: &BoatSummary) -> BoatLine {
    BoatLine {
        name: summary.boat.name.clone(),
        slug: summary.boat.slug.clone(),
        revisions: summary.revisions,
        changed: moment::universal(summary.latest_time),
    }
}

fn boats_text(list: &[BoatSummary], is_removed: bool) -> String {
    let kind = if is_removed { "removed boat" } else { "boat" };
    if list.is_empty() {
        let hint = "`wakewright import myboat.toml` or the page (`wakewright serve`) enters one.";
        return if is_removed {
            format!("No {kind}.\n")
        } else {
            format!("No {kind} in the store yet; {hint}\n")
        };
    }
    let plural = if list.len() == 1 { "" } else { "s" };
    let width = list.iter().map(|line| line.boat.name.chars().count()).max().unwrap_or(0);
    let lines = list.iter().map(|line| {
        let (name, when) = (&line.boat.name, moment::local(line.latest_time));
        let revisions = if line.revisions == 1 { "revision" } else { "revisions" };
        format!("  {name:width$}  {when}  {} {revisions}\n", line.revisions)
    });
    format!("{} {kind}{plural}.\n\n{}", list.len(), lines.collect::<String>())
}
