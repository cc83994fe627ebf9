//! The cautions that stand where a decision is taken: what can hurt somebody, and whose word goes
//! first. Worded here and nowhere else. Not for: limits that a formula finds (`notice`).

use crate::notice::{Notice, Severity};

/// A caution with its basis.
macro_rules! cautions {
    ($($(#[$doc:meta])* $name:ident: $source:literal, $text:literal;)+) => {
        $($(#[$doc])* pub const $name: Notice =
            Notice::Remark { severity: Severity::Caution, text: $text, source: $source };)+

        /// All of them, for the manual and for tests.
        pub const ALL: &[Notice] = &[$($name),+];
    };
}

cautions! {
    /// Tides reckoned here.
    OFFICIAL_TIDE_TABLES: "common practice, no source",
        "Not for navigation: official tables and notices first. Weather, river and ice are not in these figures, and no \
         depths, hazards, traffic or wash are known here.";
    /// A datum from constants.
    DATUM_OF_CONSTANTS: "common practice, no source",
        "The datum of this station was computed from its constants and is not that of the chart: set no drying height or \
         depth of a chart against these heights before the official offset is known.";
    /// A station an ocean away from where she lies.
    FAR_STATION: "common practice, no source",
        "This station lies more than 400 nm from where she lies by her document or leaves: another place of that name may be meant. Look \
         at its country.";
    /// The store's places cannot be read.
    PLACES_UNREAD: "common practice, no source",
        "The places kept in the store could not be read, and none of them was looked at: what stands here is by the station or table of \
         that name. `wakewright boats` says what is wrong with the store.";
    /// A secondary place at a water outside the tabulated ones.
    BEYOND_SPRINGS_AND_NEAPS: "common practice, no source",
        "Waters beyond the tabulated springs and neaps are among these: their differences are carried on in the same \
         proportion, which no table promises.";
    /// A boat on the ground.
    DRYING_OUT: "common practice, no source",
        "A boat on her keel: people and weights away from her ends, somebody aboard and at the lines as she touches and as she \
         lifts, nobody under or between her and a wall while she moves. Swell and wash pound her. The ground is not known here: \
         look at it on the low water before.";
    /// Work under her.
    UNDER_HER: "common practice, no source",
        "While anybody is under her the drive is locked out: bank off, key out. Packs stay restrained at an angle; seacocks shut \
         before she floats; nothing that is cooled by sea water runs while its intake is dry.";
    /// Scrubbing.
    SCRUBBING: "common practice, no source",
        "Scrubbing, washing and painting fall under local rules: ask the harbour first, scrub biocidal paint lightly, collect what \
         comes off.";
    /// A way home on what is left.
    GETTING_HOME: "common practice, no source",
        "Not for navigation: official charts, tables and notices first. No depths, hazards, traffic, sea or wind to come are known \
         here. A bank that runs out leaves her without way: keep an anchor ready, somewhere to lie on the way and somebody told, \
         and turn back while that is cheaper.";
    /// Work on propeller or shaft.
    TURNING_SHAFT: "common practice, no source",
        "An electric drive makes no noise before it turns. Before anybody touches shaft or propeller, or is in the water near it: \
         bank off, key out, shaft locked.";
    /// Lithium packs.
    LITHIUM: "common practice, no source",
        "Lithium packs can push thousands of amperes and can catch fire. Fuse every pack at its terminal with a \
         fuse that breaks the bank's short-circuit current at its voltage, cover the terminals, and keep to the maker's instructions and local codes.";
    /// Direct current.
    DIRECT_CURRENT: "common practice, no source",
        "Direct current above about 20 V holds an arc. Never pull a connector under load; work with the bank switched off and \
         proved dead; the controller's capacitors stay charged for minutes after the bank is off.";
    /// A capacity test.
    CAPACITY_TEST: "common practice, no source",
        "A capacity test is made alongside, one group at a time, with another way home, and the bank is charged again at once: an empty \
         bank drives nobody off a lee shore, and lithium that stands empty is spoilt.";
    /// Measuring on a live bank.
    CHECKUP_MEASURING: "common practice, no source",
        "Meter leads are clipped on dead and taken off dead. Insulation is tested only with controller, management, chargers and converters \
         disconnected, at a voltage that their makers allow. Above 60 V (30 V where it is wet) it is work for a qualified person.";
    /// Lead-acid gas.
    HYDROGEN: "common practice, no source",
        "Lead-acid cells give off hydrogen while charging: vent the space, no spark near them.";
    /// Lithium in the cold.
    CHARGING_COLD: "lfpcharge2024",
        "Never charge lithium cells below 0 °C, by sun, shore or regeneration: metal plates out inside and the damage stays.";
    /// Lithium below freezing, now.
    TOO_COLD_TO_CHARGE: "lfpcharge2024",
        "Below 0 °C lithium cells must not be charged, by sun, shore or regeneration: metal plates out and the damage stays. At \
         the bank's temperature as stated this bank takes no charge.";
    /// Lithium between freezing and 10 °C.
    COOL_TO_CHARGE: "coldcharge2024",
        "Below 10 °C lithium cells are charged slowly, with no more than a tenth of the current that would fill them in one \
         hour; a charger that gives more harms them. The maker's table of current against temperature goes first.";
    /// Shore lead.
    SHORE_POWER: "common practice, no source",
        "Shore power kills in the wet, and plugs at full current for hours burn: about 80 % of the outlet's rating at most, and \
         the shore end is pulled first. Local codes and licensed practice go before anything said here.";
    /// Runs of a trial.
    TRIAL_RUNS: "common practice, no source",
        "Somebody else steers and keeps the lookout while you read and write. Full throttle wants room to stop in, a cold motor and \
         an eye on its heat; the rules of the road and the harbour's speed limit stand.";
    /// Pull against a quay.
    QUAY_PULL: "common practice, no source",
        "Pulling against a quay loads line, scale and cleats like a tow: nobody in line with them, a bollard and a cleat that are \
         known to hold, throttle opened slowly, nobody in the water, and the harbour asked first.";
    /// Work on the drive's wiring.
    WIRING_WORK: "common practice, no source",
        "Before any terminal is touched: torque to nought, bank off, switch locked off, shaft locked, proved dead with a meter that \
         was tried before and after; the controller's capacitors stay charged for minutes. Direct current does not put out its own \
         arc. Cover every terminal that stays live, work with insulated tools, take rings and watch off.";
    /// Switching while current flows back.
    WIRING_CHARGING: "regeneration2023",
        "Never open the main switch while it charges, from shore, sun or propeller: what pushes goes on pushing and lifts the volts \
         past every limit in milliseconds.";
    /// Who may.
    WIRING_CERTIFICATE: "common practice, no source",
        "No certificate. The makers' sheets, the current text of the standards, local codes and licensed practice go first; above 60 V \
         (30 V where it is wet) the work is a qualified person's.";
    /// A paper.
    PAPER: "common practice, no source",
        "No certificate, no survey and no conformity assessment: a reckoning from what was measured, typed and estimated. The makers' \
         sheets, the current text of the standards, local codes and licensed practice go before anything on this paper.";
    /// Trying the lever and the stop.
    LEVER_TRIED: "common practice, no source",
        "Try lever, stop and broken wire made fast alongside, at little demand, with room, somebody at the main switch and nobody near \
         the shaft: a drive that does not stop pulls cleats out.";
    /// Events of the bus.
    EVENTS_RECKONED: "common practice, no source",
        "Reckoned from what was typed, never proved: no event here is safe before the makers' sheets and somebody licensed say so. Never \
         open a main switch or a battery's plug to try one of them.";
    /// What initial stability does not say.
    STABILITY: "common practice, no source",
        "Initial stability says nothing of its range, of flooding or of a design category. A naval architect must look before she is \
         used where masses, their height or her freeboard change much, where passengers are carried or she is hired, or where a \
         category is asked for.";
    /// Inclining and rolling her.
    INCLINING: "common practice, no source",
        "Incline and roll her in a calm, lines slack, hatches and seacocks shut, all aboard seated and holding on: by a few degrees, \
         never until she frightens anybody.";
    /// First turn of a motor.
    COMMISSION_FIRST_TURN: "common practice, no source",
        "First turn with the coupling open, belt off or the torque limit at its least, nobody near the shaft, one hand at the main switch: a motor \
         whose leads are swapped can run away.";
    /// Leads of a meter.
    COMMISSION_LEADS: "common practice, no source",
        "Meter leads are clipped on dead and taken off dead, never held; covers back on before anything turns. Above 60 V (30 V where it is wet) it is \
         a qualified person's.";
    /// Testing insulation.
    COMMISSION_INSULATION: "common practice, no source",
        "Insulation is tested only with controller, BMS, chargers and converters disconnected, at a voltage that their makers allow; what was tested \
         is discharged before it is touched.";
    /// Fire, gas or heat at a pack, on a call.
    RED_FIRE: "common practice, no source",
        "Leave: everybody up and to windward, life jackets on, hatches open if that can be done from outside. Call for help now. Main switch \
         off only where it is reached without going in. Nobody goes back, opens a pack or looks for the cause.";
    /// Water at a pack, on a call.
    RED_WATER: "common practice, no source",
        "Hands off packs and the water round them. Main switch and charger off where they are reached dry; shore lead off ashore. Pump from \
         outside, keep clear, call for help. A pack that was wet stays off, however dry it looks.";
    /// A tingle, on a call.
    RED_TINGLE: "common practice, no source",
        "Hands off, nobody in the water. Shore lead off, first by the switch ashore; then the main switch, dry and with one hand. Whoever felt it \
         is seen by a doctor. Nothing is switched on again before a qualified person has found it.";
    /// Somebody in the water, on a call.
    RED_OVERBOARD: "common practice, no source",
        "Lever to neutral and key out: the propeller stands while anybody is in the water. One points at him, something that floats goes in, \
         call for help now. The drive can wait.";
    /// Drifting on to something, on a call.
    RED_DRIFTING: "common practice, no source",
        "Anchor first: let it go now, with all its chain; or sail, oar, fender and a line. Call for help and say where you are. Look for the \
         cause when she lies.";
    /// Before something is switched on again, on a call.
    CALL_SWITCHING: "common practice, no source",
        "Lever in neutral, nobody in the water or near the shaft: she may start at once.";
    /// Before a hand goes to shaft or blades, on a call.
    CALL_SHAFT: "common practice, no source",
        "Drive off, key out, main switch off before a hand goes near shaft, belt or blades; nobody into the water in the dark, in a stream or alone.";
    /// Behind covers, on a call.
    CALL_COVERS: "common practice, no source",
        "Covers stay on: behind them it is live, and capacitors stay charged after the switch is off.";
    /// At the packs, on a call.
    CALL_PACKS: "common practice, no source",
        "Hands off the packs' terminals. If one is warm, swollen, hisses or smells: leave it, everybody out, vent, call for help.";
    /// Hot parts, on a call.
    CALL_HOT: "common practice, no source",
        "Hands off motor and controller until they are cool: they burn. Smoke or a smell: leave, vent, call for help.";
    /// Heat where none should be, on a call.
    CALL_HEAT: "common practice, no source",
        "More volts are lost under load than packs and cables take: something burns. Lever to neutral and leave it there; anchor or sail, \
         everything off, covers shut, hands off.";
    /// The shore lead, on a call.
    CALL_SHORE: "common practice, no source",
        "Shore lead: the switch ashore off first, dry hands, the shore end pulled first.";
    /// A meter, on a call.
    CALL_METER: "common practice, no source",
        "A meter only for one who is competent, at test points, covers on, never above 60 V (30 V where it is wet): clip on with the switch \
         off, take off with the switch off.";
    /// A propeller that is warmed to come off.
    HUB_WARMED: "common practice, no source",
        "Take seals and rubber out first, and open the grease cavities of folding and feathering blades: trapped grease bursts. Even \
         heat, no flame near paint, fuel or a vent, the nut left on by a few threads to catch the hub, nobody behind it; cold before it \
         is seated again. The maker's instructions go first.";
    /// What a remedy asks for.
    REMEDIES: "common practice, no source",
        "Working with packs, cables and controllers: local codes, the makers' instructions and licensed practice go first.";
}

/// The cautions that belong to runs of a trial and what would tell more.
#[must_use]
pub fn of_trials() -> Vec<Notice> {
    vec![TRIAL_RUNS, QUAY_PULL]
}

/// The cautions that belong to what is done about it: in the water at her blades, or at her drive.
#[must_use]
pub fn of_remedies() -> Vec<Notice> {
    vec![TURNING_SHAFT, DIRECT_CURRENT, REMEDIES]
}

/// The cautions that belong to the drive's wiring.
#[must_use]
pub fn of_wiring() -> Vec<Notice> {
    vec![WIRING_WORK, WIRING_CHARGING, WIRING_CERTIFICATE]
}

/// The cautions that belong to commissioning.
#[must_use]
pub fn of_commissioning() -> Vec<Notice> {
    vec![COMMISSION_FIRST_TURN, COMMISSION_LEADS, COMMISSION_INSULATION, QUAY_PULL, TRIAL_RUNS]
}

/// The cautions that belong to masses and floating, and to the tests that are asked for.
#[must_use]
pub fn of_weights() -> Vec<Notice> {
    vec![STABILITY, INCLINING]
}

/// The cautions that belong to a check-up.
#[must_use]
pub fn of_checkups() -> Vec<Notice> {
    vec![TURNING_SHAFT, CHECKUP_MEASURING, CAPACITY_TEST]
}

/// The cautions that belong to the shaft line, with those of a hub that is warmed.
#[must_use]
pub fn of_shaft(is_warmed: bool) -> Vec<Notice> {
    if is_warmed { vec![TURNING_SHAFT, HUB_WARMED] } else { vec![TURNING_SHAFT] }
}

/// The cautions that belong to lever and events.
#[must_use]
pub fn of_controls() -> Vec<Notice> {
    vec![EVENTS_RECKONED, WIRING_CHARGING, LEVER_TRIED, TURNING_SHAFT]
}

/// The cautions that belong to charging a bank with (`is_lithium`) or without lithium packs.
#[must_use]
pub fn of_charging(is_lithium: bool) -> Vec<Notice> {
    let mut found = Vec::new();
    if is_lithium {
        found.push(CHARGING_COLD);
    }
    found.push(SHORE_POWER);
    found
}

/// The cautions that belong to an electric drive on a bank with lithium packs, lead packs or both.
#[must_use]
pub fn of_drive(is_lithium: bool, is_lead: bool) -> Vec<Notice> {
    let mut found = vec![TURNING_SHAFT];
    if is_lithium {
        found.push(LITHIUM);
    }
    if is_lead {
        found.push(HYDROGEN);
    }
    found.push(DIRECT_CURRENT);
    found
}
