//! The words that may be chosen in a document and what each stands for: one table each way, so that a word
//! that is renamed has no forgotten reader. Not for: in which field a word stands (`fields`).

use wakewright_core::battery::Chemistry;
use wakewright_core::controls::{OnLoss, StopOrder, TakesOver};
use wakewright_core::drive::{Cooling, ReductionKind, ShaftSeal, ThrottleMode};
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::hull::{HullKind, KeelKind, RudderKind};
use wakewright_core::propeller::{Pattern, SternArrangement};
use wakewright_core::solar::Fixing;
use wakewright_core::solar::climate::Climate;
use wakewright_core::wiring::{FuseClass, Insulation, Poles, Service, ShoreEarth, Strand};

use super::descriptor::Choice;

/// What a word of a document stands for.
pub trait Chosen: Copy + PartialEq + 'static {
    /// The words with their help, in the order in which they are offered.
    const CHOICES: &'static [Choice];

    /// Its word.
    fn word(self) -> &'static str;

    /// What `word` stands for; none for any other.
    fn of_word(word: &str) -> Option<Self>;
}

macro_rules! choices {
    ($($kind:ident { $($variant:ident = $word:literal, $help:literal;)+ })+) => { $(
        impl Chosen for $kind {
            const CHOICES: &'static [Choice] = &[$(Choice { word: $word, help: $help }),+];

            fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            fn of_word(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$variant),)+
                    _ => None,
                }
            }
        }
    )+ };
}

macro_rules! words {
    ($($(#[$doc:meta])* $kind:ident { $($variant:ident = $word:literal, $help:literal;)+ })+) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq)]
            pub enum $kind { $(#[doc = $help] $variant),+ }
        )+
        choices! { $($kind { $($variant = $word, $help;)+ })+ }
    };
}

choices! {
    Pattern {
        BSeries = "fixed", "solid, ordinary blades";
        GawnWide = "wide-blade", "solid, broad blades of constant width (workboat pattern)";
        Folding = "folding", "blades fold aft under sail";
        Feathering = "feathering", "blades turn edge-on under sail";
    }
    ReductionKind {
        Direct = "direct", "motor on the shaft, ratio 1";
        ToothedBelt = "toothed belt", "belt and pulleys with teeth";
        VBelt = "V-belt", "smooth belts";
        Gear = "gearbox", "gear wheels";
        BevelLeg = "saildrive leg", "the bevel gears of a leg";
    }
    ShaftSeal {
        PackedGland = "packed gland", "packing squeezed by a nut or flange; drips";
        FaceSeal = "face seal", "two faces pressed together by a bellows";
        LipSeals = "lip seals", "rubber lips in oil or grease";
    }
    Cooling {
        AirNatural = "still air", "no fan";
        AirForced = "fan", "air blown over or through it";
        Water = "water", "a water jacket or cold plate";
    }
    ThrottleMode {
        Speed = "speed", "a shaft speed";
        Torque = "torque", "a torque, that is a motor current";
        Power = "power", "a power";
        Voltage = "voltage", "a share of the voltage (duty)";
    }
    KeelKind {
        Fin = "fin", "one short keel";
        Twin = "twin", "two keels side by side";
        Long = "long", "most of the waterline, propeller off it";
        LongWithAperture = "long with aperture", "most of the waterline, propeller in a cut-out";
        None = "none", "only skeg or deadwood, or a raised centreboard";
    }
    RudderKind {
        Spade = "spade", "free blade on its stock";
        Skeg = "skeg", "behind a skeg";
        KeelHung = "keel-hung", "on the after edge of the keel";
        Transom = "transom", "hung on the transom, outside the hull";
        None = "none", "no blade in the water: a turning leg or pod steers";
    }
    Insulation {
        C60 = "60 °C", "rated for 60 °C";
        C75 = "75 °C", "rated for 75 °C";
        C80 = "80 °C", "rated for 80 °C";
        C90 = "90 °C", "rated for 90 °C";
        C105 = "105 °C", "rated for 105 °C";
        C125 = "125 °C", "rated for 125 °C";
        C200 = "200 °C", "rated for 200 °C";
    }
    Strand {
        FlexiblePlain = "flexible plain", "fine wires of bare copper (class 5 or 6)";
        FlexibleTinned = "flexible tinned", "fine wires, tinned";
        StiffPlain = "stiff plain", "coarse wires of bare copper (class 2)";
        StiffTinned = "stiff tinned", "coarse wires, tinned";
    }
    Service {
        Propulsion = "propulsion", "from the bank to the controller";
        Phase = "motor leads", "from the controller to the motor";
        Charging = "charging", "from a charger or panels";
        Vital = "vital", "navigation lights, radio, pumps";
        Other = "other", "anything else";
    }
    FuseClass {
        Blade = "blade", "blade of road vehicles";
        Midi = "small bolt-down", "30 to 200 A, bolted";
        Mega = "large bolt-down", "100 to 500 A, bolted";
        Anl = "strip", "a bare strip between two bolts";
        Terminal = "stud", "a block on the battery's own stud";
        T = "class T", "short cylinder with blades, fast";
        KnifeBlade = "gG", "knife-blade or cartridge, full range";
        Semiconductor = "aR", "for semiconductors: short circuits alone";
        Vehicle = "vehicle", "bolt-down of electric road vehicles, 450 V and more";
        Breaker = "breaker", "a breaker";
    }
    Poles {
        Floating = "floating", "neither pole is joined to hull or earth";
        NegativeToHull = "negative to hull", "the negative is joined to hull or earth at one place";
    }
    ShoreEarth {
        Straight = "straight", "joined aboard as it comes";
        Isolator = "isolator", "through a galvanic isolator that fails safe and stands the fault current";
        Transformer = "transformer", "ends at an isolating transformer";
        Cut = "cut", "cut or left off";
    }
    OnLoss {
        Stops = "stops", "torque goes to nought";
        Holds = "goes on", "it goes on as it was";
        RunsUp = "runs up", "it asks for more";
    }
    TakesOver {
        InNeutral = "in neutral", "only with both levers in neutral";
        BySwitch = "by switch", "by a switch, whatever the levers say";
        AtAnyTime = "at any time", "whichever lever moved last";
    }
    StopOrder {
        TorqueFirst = "torque first", "torque to nought, then the contactor";
        AtOnce = "contactor at once", "the contactor under whatever flows";
    }
    Fixing {
        Free = "free", "on an arch or rail, air on both faces";
        Spaced = "spaced", "on a deck or roof with a gap";
        Glued = "glued", "stuck on deck or cloth";
    }
}

words! {
    /// What is built of her, as a document says.
    BoatKind {
        SailingYacht = "sailing yacht", "round or wedge-shaped displacement hull with ballast keel";
        RoundBilge = "round-bilge motor boat", "displacement launch or motor boat without hard chines";
        CanalBoat = "canal boat", "full, flat-bottomed and slow: narrow boat, barge";
        Planing = "planing", "lifts out at speed: only with towing measurements";
        Multihull = "multihull", "two or three slender hulls: only with towing measurements";
    }
    /// Where the propeller turns, as a document says.
    PropellerPlace {
        Aperture = "aperture", "in a cut-out of keel and rudder";
        Deadwood = "skeg or deadwood", "close behind a skeg or the end of the keel";
        PBracket = "P-bracket", "on a free shaft held by a bracket";
        Saildrive = "saildrive", "on a leg through the hull";
        Pod = "pod", "on a pod below the hull";
        OutboardLeg = "outboard leg", "on a leg hung on the transom";
    }
    /// What the cells are, as a document says.
    CellKind {
        Lfp = "LFP", "lithium iron phosphate";
        Nmc = "NMC", "lithium nickel manganese cobalt";
        LeadFlooded = "lead flooded", "lead-acid with caps, topped up with water";
        Agm = "AGM", "lead-acid in glass mat";
        Gel = "gel", "lead-acid in gel";
    }
    /// How a panel is held.
    PanelMount {
        Flat = "flat", "lies flat";
        Tilted = "tilted", "tilted for good";
        SetByHand = "set by hand", "pivots about a level axis, set in the morning and at noon";
        Tracking = "tracking", "pivots about a level axis, turned after the sun all the time";
    }
    /// The side that a panel faces.
    Side {
        Bow = "bow", "forward";
        Starboard = "starboard", "to the right";
        Stern = "stern", "aft";
        Port = "port", "to the left";
    }
    /// How she lies.
    Lying {
        AtAnchor = "at anchor", "swings through all directions";
        Berth = "berth", "bow in one direction";
    }
    /// What she floats in.
    WaterKind {
        Salt = "salt", "the sea";
        Fresh = "fresh", "lake, canal or river";
    }
    /// At which end of its cable a fuse stands.
    CableEnd {
        From = "from", "at its beginning";
        To = "to", "at its end";
    }
    /// Which volts a fuse's sheet tells.
    VoltsKind {
        Direct = "DC", "direct";
        Alternating = "AC only", "alternating alone";
    }
    /// What opens a run.
    SwitchKind {
        Contactor = "contactor", "worked by a coil";
        MainSwitch = "switch", "worked by hand";
    }
    /// The way a mass goes.
    Direction {
        In = "in", "comes aboard";
        Out = "out", "leaves her";
    }
}

/// Kinds that have their words from the computation, which writes them as well.
macro_rules! own_words {
    ($($kind:ident |$one:ident| $word:expr, $help:expr;)+) => { $(
        impl Chosen for $kind {
            const CHOICES: &'static [Choice] = &{
                let mut choices = [Choice { word: "", help: "" }; $kind::ALL.len()];
                let mut number = 0;
                while number < choices.len() {
                    let $one = $kind::ALL[number];
                    choices[number] = Choice { word: $word, help: $help };
                    number += 1;
                }
                choices
            };

            fn word(self) -> &'static str {
                let $one = self;
                $word
            }

            fn of_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| Chosen::word(*one) == word)
            }
        }
    )+ };
}

own_words! {
    Climate |climate| climate.row().name, climate.row().latitude_words;
    FoulingCondition |condition| condition.word(), help_of_condition(condition);
}

const fn help_of_condition(condition: FoulingCondition) -> &'static str {
    match condition {
        FoulingCondition::CleanPolished => "smooth and free of growth",
        FoulingCondition::AsApplied => "fresh antifouling paint, brushed or rolled",
        FoulingCondition::LightSlime => "a film that a finger wipes off, or old rough paint",
        FoulingCondition::HeavySlime => "a coat that hides the paint",
        FoulingCondition::SmallShellOrWeed => "weed, or barnacles up to some millimetres",
        FoulingCondition::MediumShell => "barnacles of about a centimetre over much of it",
        FoulingCondition::HeavyShell => "closed cover of large barnacles or mussels",
    }
}

impl BoatKind {
    /// The kind of hull whose resistance is published; none for those that only a towing test covers.
    #[must_use]
    pub fn hull_kind(self) -> Option<HullKind> {
        match self {
            Self::SailingYacht => Some(HullKind::SailingYacht),
            Self::RoundBilge => Some(HullKind::RoundBilgeMotor),
            Self::CanalBoat => Some(HullKind::CanalBoat),
            Self::Planing | Self::Multihull => None,
        }
    }
}

impl PropellerPlace {
    /// The arrangement on a boat of this kind.
    #[must_use]
    pub fn arrangement(self, kind: BoatKind) -> SternArrangement {
        match self {
            Self::Aperture => SternArrangement::Aperture,
            Self::Deadwood if kind == BoatKind::RoundBilge => SternArrangement::LaunchDeadwood,
            Self::Deadwood => SternArrangement::Skeg,
            Self::PBracket => SternArrangement::PBracket,
            Self::Saildrive => SternArrangement::Saildrive,
            Self::Pod => SternArrangement::Pod,
            Self::OutboardLeg => SternArrangement::OutboardLeg,
        }
    }
}

impl CellKind {
    /// The cells of the computation.
    #[must_use]
    pub fn chemistry(self) -> Chemistry {
        match self {
            Self::Lfp => Chemistry::Lfp,
            Self::Nmc => Chemistry::Nmc111,
            Self::LeadFlooded => Chemistry::LeadFlooded,
            Self::Agm => Chemistry::LeadAgm,
            Self::Gel => Chemistry::LeadGel,
        }
    }
}
