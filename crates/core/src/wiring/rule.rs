//! The rules that wiring is held against, each with its basis and how surely that is known.
//! Not for: applying them (`judge`).

use wakewright_units::Quantity;

use crate::sheet::Word;

/// How surely a rule is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// Read in two sources or in the law itself.
    Read,
    /// Read in one source, or at second hand.
    ReadOnce,
    /// From memory.
    Memory,
    /// Trade practice without a source.
    Practice,
}

impl Ground {
    /// For files and reading.
    #[must_use]
    pub fn word(self) -> Word {
        let (key, words) = match self {
            Self::Read => ("read", "read"),
            Self::ReadOnce => ("read_once", "read once"),
            Self::Memory => ("from_memory", "memory"),
            Self::Practice => ("practice", "practice"),
        };
        Word { key, words }
    }
}

/// What came of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// It does not hold.
    Fails,
    /// A figure is missing.
    CannotTell,
    /// It holds.
    Passes,
}

impl Verdict {
    /// For files and reading.
    #[must_use]
    pub fn word(self) -> Word {
        let (key, words) = match self {
            Self::Fails => ("fails", "fails"),
            Self::CannotTell => ("cannot_tell", "cannot tell"),
            Self::Passes => ("passes", "passes"),
        };
        Word { key, words }
    }

    /// Passes, fails, or cannot be told.
    #[must_use]
    pub fn of(holds: Option<bool>) -> Self {
        match holds {
            Some(true) => Self::Passes,
            Some(false) => Self::Fails,
            None => Self::CannotTell,
        }
    }
}

/// What the rules are, in words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleWords {
    /// Stable name for files.
    pub key: &'static str,
    /// What must hold.
    pub words: &'static str,
    /// What its part does, before the figure found: "faces"; the whole clause where there is no figure.
    pub found: &'static str,
    /// What it may, before the limit: "breaks".
    pub limit: &'static str,
    /// Quantity of both.
    pub quantity: Quantity,
    /// What it stands on.
    pub basis: &'static str,
    /// How surely that is known.
    pub ground: Ground,
    /// Somebody or something can be hurt where it fails.
    pub can_hurt: bool,
    /// What to do where it fails or a figure is missing.
    pub remedy: &'static str,
}

macro_rules! rules {
    ($($name:ident $key:literal, $words:literal, $found:literal, $limit:literal, $quantity:ident, $basis:literal, $ground:ident,
        $hurts:literal, $remedy:literal;)+) => {
        /// A rule.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum RuleKind { $(#[doc = $words] $name),+ }

        impl RuleKind {
            /// What it says.
            #[must_use]
            pub fn words(self) -> RuleWords {
                match self { $(Self::$name => RuleWords { key: $key, words: $words, found: $found, limit: $limit,
                    quantity: Quantity::$quantity, basis: $basis, ground: Ground::$ground, can_hurt: $hurts, remedy: $remedy }),+ }
            }
        }
    };
}

rules! {
    Ampacity "ampacity", "a conductor carries its current for hours", "carries", "may carry", Current,
        "cfr183-425", Read, true, "Take a larger size, better insulation or fewer in the bundle; give cable.size where it is missing.";
    Drop "drop", "a run loses no more of its volts than its kind may", "loses", "may lose", Voltage,
        "iso10133-2012", ReadOnce, false, "Take a larger size or a shorter run. For propulsion no published limit was found: 3 % is a default.";
    Fused "fused", "every run is protected at its source", "has no fuse that protects it", "", Ratio,
        "cfr183-455", Read, true, "Fuse it at its source; where one before it shall protect it, that one's rating has to fit this run's conductor.";
    FusePlace "fuse_place", "the fuse stands at the source of its run", "stands from the source", "may stand", SmallLength,
        "cfr183-455", Read, true, "Move it to the source, or sheathe the run all the way; give fuse.distance where it is missing.";
    FuseRating "fuse_rating", "the fuse protects its conductor", "is rated", "may be rated", Current,
        "cfr183-455", Read, true, "Take a smaller fuse or a larger conductor.";
    FuseLoad "fuse_load", "the fuse carries its load for hours with a quarter in hand, and what the controller takes for minutes", "is rated", "should be rated from", Current,
        "fuseload2022", ReadOnce, false, "Take a larger fuse, and with it a conductor that it still protects.";
    FuseVolts "fuse_volts", "the fuse stands the highest direct volts", "sees", "stands", Voltage,
        "cfr183-455", Read, true, "Take a fuse for more direct volts; alternating volts on a sheet say nothing. Give fuse.voltage from its sheet.";
    FuseBreaks "fuse_breaks", "the fuse breaks the greatest short circuit", "faces", "breaks", Current,
        "batteryfuse2023", ReadOnce, true, "Take a class that breaks more at these volts; give fuse.interrupting from its sheet and pack.instant_resistance.";
    FuseMelts "fuse_melts", "the least short circuit melts the fuse within 5 s", "sees at least", "melts in 5 s at", Current,
        "iec60364-4-41", Memory, true, "Read the current at 5 s off the fuse's curve into fuse.melting_current; a pack's protection may open first and does not count.";
    LetThrough "let_through", "the conductor survives what the fuse lets through", "lets through", "survives", Ratio,
        "iec60364-5-54", ReadOnce, true, "Read the total let-through (A2s, at direct volts) off the fuse's sheet into fuse.let_through.";
    TimeConstant "time_constant", "the fuse's sheet holds for the circuit's L/R", "has an L/R of at least", "is told for", Instant,
        "timeconstant2021", ReadOnce, true, "Read the L/R of the sheet into fuse.l_over_r; conductors side by side have the least.";
    Selective "selective", "a fault behind one fuse leaves the other whole", "stands before the other at", "must stand at", Ratio,
        "fuseguide2015", ReadOnce, false, "Both fuses of one class with ratings this far apart; across classes only the sheets tell.";
    SwitchCarries "switch_carries", "a contactor or switch carries its current for hours", "carries", "may carry", Current,
        "common practice, no source", Practice, true, "Take a larger one; give contactor.continuous from its sheet.";
    SwitchMakes "switch_makes", "a contactor makes the current at closing", "closes on", "makes", Current,
        "precharge2020", ReadOnce, true, "Pre-charge further, wait longer; give precharge.resistor, controller.capacitance and contactor.make.";
    SwitchBreaks "switch_breaks", "a contactor or switch breaks the full current at the highest volts, both ways", "has to break", "breaks", Current,
        "common practice, no source", Practice, true, "Take one that breaks this at these volts in both directions; torque to nought before it opens. Give contactor.break, break_voltage and both_ways.";
    PrechargeEnds "precharge_ends", "the pre-charge completes", "ends at", "counts as complete at", Share,
        "paralleling2021", ReadOnce, true, "Take what is drawn off that side, or a smaller resistor; give precharge.resistor and what is drawn.";
    PrechargePulse "precharge_pulse", "the pre-charge resistor takes its pulse", "takes", "may take", Energy,
        "precharge2020", ReadOnce, true, "Take a resistor for a larger pulse; give precharge.pulse_energy from its sheet. Let it cool between starts.";
    PrechargeSwitch "precharge_switch", "the pre-charge has a switch of its own", "has no switch of its own", "", Ratio,
        "common practice, no source", Practice, true, "With the resistor always across the contactor the controller is live with the contactor open.";
    Bleeds "bleeds", "the capacitors empty to 30 V", "empty in", "should empty within", ShortDuration,
        "common practice, no source", Practice, true, "Fit a bleeder, or wait and measure; give precharge.bleeder and controller.capacitance.";
    OnePackLost "one_pack_lost", "the others carry the drive when a pack drops out", "would carry of their limit", "may carry", Share,
        "parallelpacks2023", ReadOnce, true, "Let the controller fold back its battery current to what one pack fewer can give.";
    Dump "load_dump", "the controller stands the volts when the protection opens while it brakes", "reaches", "stands", Voltage,
        "regeneration2023", ReadOnce, true, "Set a braking limit well below the packs' charge limit and an over-voltage stop; give controller.capacitance, braking_stops_at, braking_stops_in and motor.phase_inductance.";
    Touch "touch", "what can be touched is safe to touch, or covered", "reaches", "counts as safe up to", Voltage,
        "iec60598-2008", ReadOnce, true, "Cover or enclose every live part, and above 60 V (30 V where wet) leave it to a qualified person; say so in wiring.covered.";
    PolesFused "poles_fused", "a floating bank has fuse and switch in both poles at the source", "is fused in one pole", "", Ratio,
        "shipdc2024", ReadOnce, true, "Fuse and switch both poles, or join one to earth at one place; say which in wiring.poles and wiring.both_poles_fused.";
    Watched "insulation_watched", "the insulation of a floating bank is watched", "is not watched", "", Ratio,
        "common practice, no source", Memory, true, "The first fault to the hull shows nothing by itself and the second is a short circuit: fit a monitor, or measure at every service.";
    Isolator "isolator", "a main switch stands at the bank", "has none", "", Ratio,
        "ukbss2023", ReadOnce, true, "Fit a main switch that breaks the full current, near the packs, within reach without tools.";
    HelmStop "helm_stop", "a stop is within reach of the helm", "has none", "", Ratio,
        "ukbss2023", ReadOnce, true, "Fit a stop that cuts the motor and can be worked from where she is steered.";
    Warning "warning", "a warning is heard at the helm before the packs cut", "gives none", "", Ratio,
        "abyce13", ReadOnce, true, "Wire the protection's warning to a buzzer at the helm.";
    Shunt "shunt", "the bank's current is measured", "has no shunt", "", Ratio,
        "common practice, no source", Practice, false, "Fit a shunt in the negative with every current through it.";
    ShoreEarth "shore_earth", "the shore's earth comes aboard whole and without a stream through the hull", "leaves hull and water at risk", "", Ratio,
        "iso13297-2020", ReadOnce, true, "Never cut or leave off the shore earth to save anodes: a fault then makes hull and water live. Fit an isolating transformer, or a galvanic isolator that stands the fault current and fails safe. Read the hull's potential at check-ups, shore lead in and out.";
    Converters "converters", "charger and converter separate their two sides", "joins both sides", "", Ratio,
        "common practice, no source", Practice, false, "A converter without separation joins the poles of both sides: count them as one bank, or take one that separates.";
    DrySpace "dry_space", "water cannot stand where the packs are", "may stand in water", "", Ratio,
        "iso10133-2012", ReadOnce, true, "Raise packs and joints above what the bilge can hold, or fit an alarm and a drain.";
    LostTogether "lost_together", "no one part takes away the radio and lights", "takes the radio and lights with it", "", Ratio,
        "common practice, no source", Practice, true, "Feed radio, lights and pump from a source of their own, ahead of the contactor.";
    StringVolts "string_volts", "a cold string stays below what its regulator stands", "reach", "stand at the regulator", Voltage,
        "common practice, no source", Memory, true, "Fewer panels in series or a regulator for more volts; give panel.open_voltage, in_series and regulator_voltage.";
    StringFuse "string_fuse", "three or more strings have a fuse each", "have none", "", Ratio,
        "common practice, no source", Memory, true, "The others drive their current backwards into a string that is shorted: fuse each, or a diode; give panel.in_series and string_fused.";
    Lugs "lugs", "a stud holds few lugs", "carries", "may carry", Ratio,
        "common practice, no source", Memory, true, "A busbar with a stud for each; no more than four lugs on one. Give wiring.lugs_on_stud.";
    LeadsAlike "leads_alike", "the motor's leads are of one size and length", "are not alike", "", Ratio,
        "common practice, no source", Practice, false, "Leads that differ share the current unequally: make them alike, side by side. Give wiring.leads_alike.";
    DeadBand "dead_band", "a lever at rest asks for nothing", "has a dead band of", "should have from", Share,
        "common practice, no source", Practice, true, "Widen the dead band: a lever that is a little off lets her creep. Give controls.dead_band.";
    Ramps "ramps", "reversing takes its time", "turns over in", "should take from", ShortDuration,
        "common practice, no source", Practice, true, "Set ramps and a wait at nought: shaft, key and belt see the whole torque against their way. Give controls.ramp_down, reversing_wait and ramp_up.";
    NeutralStart "neutral_start", "the drive starts in neutral alone", "starts wherever it stands", "", Ratio,
        "common practice, no source", Practice, true, "Set the controller so that it waits for neutral after the key; give controls.neutral_start.";
    TwoStations "two_stations", "a second station takes over in neutral alone", "take over as they stand", "", Ratio,
        "common practice, no source", Practice, true, "Let the station change in neutral only: a lever left at full would take her at once. Give controls.takes_over.";
    StopOrder "stop_order", "the stop takes the torque away before the contactor opens", "opens under the full current", "", Ratio,
        "common practice, no source", Practice, true, "Wire the stop to the controller first and to the contactor a moment later; give controls.stop_order.";
    BrakingCurrent "braking_current", "braking puts back no more than the packs take", "puts back up to", "may put back", Current,
        "regeneration2023", ReadOnce, true, "Set the controller's current into the bank below the packs' charge limit; give controller.regeneration_current.";
    BrakingFull "braking_full", "braking ends before the bank is full", "brakes up to", "should end at", Share,
        "regeneration2023", ReadOnce, true, "Let the braking end below a full bank, before the packs' protection ends it; give controls.braking_full_at.";
    BrakingCold "braking_cold", "braking ends before the cells are too cold to be charged", "brakes down to", "may brake down to", Temperature,
        "lfpcharge2024", ReadOnce, true, "Let a sensor of the cells end the braking; give controls.braking_cold_at.";
}

/// A rule as it came out for one part.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// Which rule.
    pub kind: RuleKind,
    /// Which part: a name of the document, or what it is.
    pub part: String,
    /// What came of it.
    pub verdict: Verdict,
    /// The figure found, SI.
    pub found: Option<f64>,
    /// Its limit, SI.
    pub limit: Option<f64>,
    /// What else has to be known of it: both sides of a doubt, what was taken for what is missing.
    pub note: String,
}

impl Judged {
    /// A figure against its limit.
    #[must_use]
    pub fn held(
        kind: RuleKind,
        part: &str,
        found: Option<f64>,
        limit: Option<f64>,
        holds: impl Fn(f64, f64) -> bool,
    ) -> Self {
        let verdict = Verdict::of(found.zip(limit).map(|(found, limit)| holds(found, limit)));
        Self { kind, part: part.to_owned(), verdict, found, limit, note: String::new() }
    }

    /// A rule that the document says yes or no to.
    #[must_use]
    pub fn said(kind: RuleKind, part: &str, holds: Option<bool>) -> Self {
        Self {
            kind,
            part: part.to_owned(),
            verdict: Verdict::of(holds),
            found: None,
            limit: None,
            note: String::new(),
        }
    }

    /// True where it fails and somebody or something can be hurt.
    #[must_use]
    pub fn hurts(&self) -> bool {
        self.verdict == Verdict::Fails && self.kind.words().can_hurt
    }
}
