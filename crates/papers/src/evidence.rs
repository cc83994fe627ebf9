//! What standards ask to see, and what of it this boat has: there, missing, who must sign. Not for: judging whether a
//! boat complies; nothing here does.

use maud::{Markup, html};
use wakewright_core::battery::Chemistry;
use wakewright_core::field;
use wakewright_rooms::boats::Loaded;

use crate::Record;
use crate::block::scrolling;

/// A standard.
struct Standard {
    name: &'static str,
    about: &'static str,
    source: &'static str,
    holds: fn(&Loaded) -> bool,
    asks: &'static [Asks],
}

/// One thing to be seen.
struct Asks {
    what: &'static str,
    has: Has,
    signs: &'static str,
}

/// How it is found.
enum Has {
    /// The room of this key answered.
    Room(&'static str),
    /// This field is written.
    Field(&'static str),
    /// A trial is kept.
    Trial,
    /// A paper for the owner.
    Owner,
    /// Nothing here can show it.
    Elsewhere,
}

const FITTER: &str = "who fitted it";
const ELECTRICIAN: &str = "a qualified electrician";
const ARCHITECT: &str = "a naval architect";
const MAKER: &str = "the maker";

const fn asks(what: &'static str, has: Has, signs: &'static str) -> Asks {
    Asks { what, has, signs }
}

fn always(_: &Loaded) -> bool {
    true
}

fn has_lithium(boat: &Loaded) -> bool {
    let is_lithium = |chemistry: Chemistry| {
        !matches!(chemistry, Chemistry::LeadFlooded | Chemistry::LeadAgm | Chemistry::LeadGel)
    };
    boat.spec.boat.bank.groups.iter().any(|group| is_lithium(group.chemistry))
}

static STANDARDS: [Standard; 7] = [
    Standard {
        name: "ISO 16315",
        about: "electric propulsion",
        source: "iso16315-2016",
        holds: always,
        asks: &[
            asks("diagram and schedule of the propulsion circuit", Has::Room("wiring"), ELECTRICIAN),
            asks("what a short circuit does, and what breaks it", Has::Room("wiring"), ELECTRICIAN),
            asks("what happens when something opens or is lost", Has::Room("controls"), FITTER),
            asks("a stop within reach of the helm", Has::Field(field::wiring::HELM_STOP), FITTER),
            asks("tests under way", Has::Trial, FITTER),
            asks("commissioning sheet", Has::Room("commission"), FITTER),
            asks("pages for the owner's manual", Has::Owner, FITTER),
            asks("the makers' instructions for motor, controller and packs", Has::Elsewhere, MAKER),
        ],
    },
    Standard {
        name: "ISO 13297",
        about: "direct and alternating current aboard; it leaves propulsion to ISO 16315",
        source: "iso13297-2020",
        holds: always,
        asks: &[
            asks("house circuits with their fuses", Has::Room("wiring"), ELECTRICIAN),
            asks(
                "how shore earth and hull are kept apart",
                Has::Field(field::wiring::SHORE_EARTH),
                ELECTRICIAN,
            ),
            asks("test of the shore connection and its breaker", Has::Elsewhere, ELECTRICIAN),
        ],
    },
    Standard {
        name: "ISO 23625",
        about: "lithium-ion batteries",
        source: "iso23625-2025",
        holds: has_lithium,
        asks: &[
            asks("limits of the packs' protection", Has::Field(field::pack::BMS_DISCHARGE), MAKER),
            asks("papers of the cells (IEC 62619, IEC 62620)", Has::Elsewhere, MAKER),
            asks(
                "how the space of the packs keeps people safe when a cell vents, in writing",
                Has::Elsewhere,
                FITTER,
            ),
        ],
    },
    Standard {
        name: "ISO 9094",
        about: "fire protection",
        source: "iso9094-2022",
        holds: always,
        asks: &[asks("extinguishers, alarms and ways out for the new drive", Has::Elsewhere, FITTER)],
    },
    Standard {
        name: "ISO 12217",
        about: "stability",
        source: "iso12217-2022",
        holds: always,
        asks: &[
            asks("masses taken out and put in, trim and initial stability", Has::Room("weights"), ARCHITECT),
            asks("assessment of the design category", Has::Elsewhere, ARCHITECT),
        ],
    },
    Standard {
        name: "ISO 25197",
        about: "electronic control of shift and throttle",
        source: "iso25197-2020",
        holds: always,
        asks: &[asks("what the lever does when a wire breaks or power goes", Has::Room("controls"), FITTER)],
    },
    Standard {
        name: "ISO 11547",
        about: "no start with thrust on",
        source: "iso11547-1994",
        holds: always,
        asks: &[asks(
            "that she starts from neutral only",
            Has::Field(field::controls::NEUTRAL_START),
            FITTER,
        )],
    },
];

/// What was said of the directive, as facts.
const DIRECTIVE: &str = "A conversion that changes the means of propulsion of a craft of 2.5 to 24 m is a major craft \
    conversion in the sense of Directive 2013/53/EU; whoever puts her into service after it has the conformity assessment after \
    construction to do (module PCA). Whether a boat that never was marked falls under it is not settled by what was read here: ask \
    a notified body. No advice: the current text goes first.";

/// The table of what there is, for one who was told `answered`, the rooms that answered; and how much is missing.
pub fn evidence(record: &Record, answered: &[&'static str]) -> (Markup, usize) {
    let boat = &record.boat;
    let asked = STANDARDS.iter().filter(|standard| (standard.holds)(boat)).flat_map(|standard| standard.asks);
    let missing = asked.filter(|asks| stands(&asks.has, record, answered) == MISSING).count();
    let table = html! {
        p { "What each standard asks to see, as far as it is known here, and where it stands. \"Here\" says that this paper \
             tells it, reckoned or as typed: nobody has looked at the boat for it. It becomes evidence when whoever is named has \
             checked and signed it." }
        @for standard in STANDARDS.iter().filter(|standard| (standard.holds)(boat)) {
            h3 { (standard.name) ": " (standard.about) }
            (scrolling(standard.name, &html! { table {
                thead { tr { th scope="col" { "asked for" } th scope="col" { "stands" } th scope="col" { "signs" } } }
                tbody { @for asks in standard.asks {
                    @let stands = stands(&asks.has, record, answered);
                    tr.out[stands == MISSING] {
                        th scope="row" { (asks.what) } td { (stands) } td { (asks.signs) ": ____________" }
                    }
                } }
            } }))
        }
        h3 { "European law" }
        p { (DIRECTIVE) }
    };
    (table, missing)
}

const MISSING: &str = "missing";

fn stands(has: &Has, record: &Record, answered: &[&'static str]) -> String {
    let found = match has {
        Has::Room(key) => answered.contains(key).then(|| "here, reckoned".to_owned()),
        Has::Field(address) => is_written(&record.boat, address).then(|| "here, as typed".to_owned()),
        Has::Trial if record.story.is_empty() => None,
        Has::Trial => Some("here, measured".to_owned()),
        Has::Owner => Some("the report for the owner".to_owned()),
        Has::Elsewhere => None,
    };
    found.unwrap_or_else(|| MISSING.to_owned())
}

fn is_written(boat: &Loaded, key: &str) -> bool {
    let (section, name) = key.split_once('.').unwrap_or((key, ""));
    let rows = boat.document.rows(section);
    if rows.is_empty() {
        return boat.document.typed(key).is_some();
    }
    rows.iter().all(|row| boat.document.typed(&format!("{}.{name}", row.address())).is_some())
}

/// Keys of the sources that the list names.
pub fn sources() -> impl Iterator<Item = &'static str> {
    STANDARDS.iter().map(|standard| standard.source).chain(["directive2013-53"])
}
