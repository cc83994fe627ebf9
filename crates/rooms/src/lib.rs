//! Results of Wakewright made readable: sentences, terminal text, machine-readable views, pictures.
//! Returns strings and opens nothing; no computation of boats is done here.

pub mod archive;
pub mod bank;
pub mod boats;
pub mod call;
pub mod causes;
pub mod check;
pub mod checkup;
pub mod commission;
pub mod controls;
pub mod dated;
pub mod demo;
pub mod diagnosing;
pub mod draw;
pub mod drive;
pub mod dryout;
pub mod energy;
pub mod explain;
pub mod first_questions;
pub mod fleet;
pub mod gethome;
pub mod growth;
pub mod left_out;
pub mod logs;
pub mod moment;
pub mod no_answer;
pub mod options;
#[cfg(feature = "parquet")]
pub mod parquet;
pub mod passage;
pub mod photograph;
pub mod places;
pub mod quote;
pub mod range;
pub mod remedies;
pub mod room;
pub mod sail;
pub mod sampling;
pub mod scale;
pub mod scene;
pub mod search;
pub mod sentence;
pub mod shaft;
pub mod sheets;
pub mod shop;
pub mod sources;
pub mod standing;
pub mod story;
mod streams;
pub mod text;
pub mod tide;
pub mod transfer;
pub mod trial;
pub mod trials;
pub mod view;
pub mod weights;
pub mod whatif;
pub mod wiring;
pub mod wish;

use room::AnyRoom;

/// Questions that a boat can be asked. Commands and page are handed them: what is in the list is all there is.
pub type Rooms = &'static [&'static dyn AnyRoom];

/// Every question of the program, in the order of the navigation; the last is asked of all boats.
pub static ROOMS: [&dyn AnyRoom; 21] = [
    &drive::Drive,
    &range::Range,
    &sail::Sail,
    &bank::Bank,
    &energy::Energy,
    &wiring::Wiring,
    &controls::ControlsRoom,
    &weights::Weights,
    &shaft::Shaft,
    &options::Options,
    &search::Searching,
    &quote::Quote,
    &tide::Tide,
    &dryout::DryOut,
    &gethome::GetHome,
    &passage::Passage,
    &commission::Commission,
    &call::Call,
    &checkup::CheckUp,
    &growth::Growth,
    &fleet::Fleet,
];
