//! The events by time: what opens or is lost, how the volts of the bus go, what the crew sees, which protection acts, what
//! is left. Not for: reckoning them (`study`).

use crate::sheet::Word;
use crate::wiring::Verdict;

/// What the tables say of a kind of event, whatever the boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EventWords {
    /// Stable name for files.
    pub key: &'static str,
    /// What happens.
    pub words: &'static str,
    /// What the crew sees.
    pub sees: &'static str,
    /// What acts against it.
    pub acts: &'static str,
    /// What to do where it fails or cannot be told.
    pub remedy: &'static str,
}

macro_rules! events {
    ($($name:ident $key:literal, $words:literal, $sees:literal, $acts:literal, $remedy:literal;)+) => {
        /// What opens or is lost.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum EventKind { $(#[doc = $words] $name),+ }

        impl EventKind {
            /// All of them, in the order of the table.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// What is said of it.
            #[must_use]
            pub fn words(self) -> EventWords {
                match self { $(Self::$name => EventWords { key: $key, words: $words, sees: $sees, acts: $acts, remedy: $remedy }),+ }
            }
        }
    };
}

events! {
    PackTrips "pack_trips", "a pack trips while she drives", "Revolutions fall, or all stops at once.",
        "The packs' protection; the controller's own limit of its battery current, where it folds back.",
        "Let the controller fold back to what one pack fewer gives; a warning at the helm before the packs cut.";
    ContactorDriving "contactor_driving", "the contactor opens while she drives", "The motor stops; she carries her way.",
        "The controller's stop at low volts; its capacitors take what the windings hold.",
        "Give the sheets' figures; torque to nought before the contactor opens.";
    ContactorBraking "contactor_braking", "the contactor opens, propeller charging", "The braking vanishes; the propeller runs up.",
        "The controller's own stop at high volts alone: the packs are cut off.",
        "An over-voltage stop well below what the controller stands, less braking current, more capacitance.";
    PacksBraking "packs_braking", "the packs trip, propeller charging", "The braking vanishes; lights and display may go.",
        "The controller's own stop at high volts alone; all that hangs on the busbar sees the same volts.",
        "End the braking below the packs' limits; give cable.stands of all that hangs on the busbar.";
    EmergencyStop "emergency_stop", "the stop is pressed under load", "The motor stops; she carries her way.",
        "The stop: torque to nought and then the contactor, or the contactor at once.",
        "Torque to nought first; a contactor that breaks the full current all the same. Give controls.stop_order.";
    WireBroken "wire_broken", "a wire of the lever breaks", "The lever does nothing.",
        "The controller's watch over its lever's signal.",
        "A lever whose broken wire stops the drive; try it on the slip by pulling the plug. Give controls.wire_broken.";
    SensorLost "sensor_lost", "the motor's position sensor is lost", "The motor stutters or stops.",
        "The controller's watch over its sensor.",
        "A controller that stops by itself; its sheet or its maker tells. Give controls.sensor_lost.";
    TwelveVoltsLost "twelve_volts_lost", "the supply of contactor and controls is lost", "The motor stops with all that hangs on that supply.",
        "The contactor drops out under whatever flows.",
        "Feed coil and controls from the bank's own side, fused by themselves. Give contactor.coil_from.";
    KeyOff "key_off", "the key is turned off while she sails", "The propeller turns freely.",
        "Nothing: the controller is off and its diodes conduct.",
        "Lock or hold the shaft under sail, or keep the drive awake. Give controller.overvoltage.";
    WeakenedTrip "weakened_trip", "a trip at speed with the field weakened", "A jerk: the motor brakes or all goes dark.",
        "Nothing quick enough: the shaft's own volts stand above the bank's.",
        "Keep the speed at which the shaft alone makes more than the controller stands out of reach. Give controller.field_weakening.";
}

/// Volts of the bus in an event.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Volts {
    /// As it begins \[V\].
    pub before_v: f64,
    /// Highest within the first 20 ms \[V\]; `None` where it cannot be told.
    pub highest_v: Option<f64>,
    /// What it reaches at the least, told or not \[V\].
    pub at_least_v: f64,
    /// Lowest within the first 20 ms \[V\]; `None` where it cannot be told.
    pub lowest_v: Option<f64>,
    /// Time \[s\] and volts of the first 10 s, at the most; empty where they cannot be told.
    pub later: Vec<(f64, f64)>,
    /// Time \[s\] and volts of the first 20 ms, as far as they can be drawn.
    pub first: Vec<(f64, f64)>,
}

impl Volts {
    /// After 10 s, at the most \[V\].
    #[must_use]
    pub fn after_v(&self) -> Option<f64> {
        Some(self.later.last()?.1)
    }
}

/// Something that sees the volts of the bus, and what it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Hangs {
    /// Its name: the place at the end of its run.
    pub name: String,
    /// Its own greatest volts \[V\].
    pub stands_v: Option<f64>,
}

/// An event as it came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// What happens.
    pub kind: EventKind,
    /// What came of it.
    pub verdict: Verdict,
    /// Volts.
    pub volts: Volts,
    /// What stands least of all that sees them; `None` where nothing is told.
    pub weakest: Option<Hangs>,
    /// Way that she makes before anything acts \[m\].
    pub way_m: Option<f64>,
    /// Why it fails, cannot be told, or holds.
    pub why: String,
    /// What is left.
    pub left: String,
}

impl EventKind {
    /// For files and reading.
    #[must_use]
    pub fn word(self) -> Word {
        Word { key: self.words().key, words: self.words().words }
    }
}
