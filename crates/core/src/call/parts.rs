//! The parts that can fail, how often, what each would show, and what is done about it. All of it is common practice, no source.
//! Not for: weighing them (`weigh`), the cautions' words (`caution`).

use crate::caution::{CALL_COVERS, CALL_HOT, CALL_PACKS, CALL_SHAFT, CALL_SHORE, CALL_SWITCHING};
use crate::notice::Notice;

/// A part that can fail.
#[derive(Debug, Clone)]
pub struct Part {
    /// Stable name.
    pub key: &'static str,
    /// As it stands behind "most likely".
    pub words: &'static str,
    /// How often, against the others.
    pub often: f64,
    /// What it would show: `question: answer weight, answer weight; question: ...`. What is left out is as usual.
    /// A part that fails under way is also found as she is switched on the next time; one that acts at switching on alone is found then. Ways that are as likely
    /// as each other stand side by side, `way || way`: a key that is fed from the bank, and one with a battery of its own.
    pub shows: &'static str,
    /// Opens what is done.
    pub caution: Notice,
    /// What is done.
    pub to_do: &'static str,
    /// Shared by two drives.
    pub is_shared: bool,
    /// The place where it is: parts of one place are looked at together.
    pub place: &'static str,
}

/// Stands for everything that is not in the list.
pub const STRANGE: &str = "strange";

macro_rules! parts {
    ($($key:literal in $place:literal, $words:literal, $often:literal, $is_shared:literal, $caution:ident, $shows:literal, $to_do:literal;)+) => {
        /// All of them.
        pub const PARTS: &[Part] = &[$(Part {
            key: $key, place: $place, words: $words, often: $often, is_shared: $is_shared, caution: $caution, shows: $shows, to_do: $to_do,
        }),+];
    };
}

parts! {
    "stop" in "held", "the emergency stop is pressed or the kill cord is out", 3.0, false, CALL_SWITCHING,
        "symptom: nothing 1; when: switching_on 7, suddenly 3; click: none 7, usual 3; display: usual 4, held 4, code 2; stops: stop 8, set 2; shaft: stands 9, turns 1",
        "Turn the button out until it springs up, put the cord in, switch on with the lever in neutral.";
    "neutral" in "held", "the lever was not in neutral as she was switched on", 2.0, false, CALL_SWITCHING,
        "symptom: nothing 1; when: switching_on 1; display: usual 4, held 4, code 2; stops: lever 7, set 3; again: same 6, goes 4; shaft: stands 9, turns 1",
        "Switch off, lever to neutral until it clicks, switch on.";
    "isolator" in "isolator", "the main switch is off", 2.0, true, CALL_SWITCHING,
        "symptom: nothing 1; when: switching_on 1; display: dark 1; lights: dark 8, usual 2; click: none 1; gauge: dark 1; sound: none 1; last: laid_up 4, work 2, nothing 4; stops: switch 8, set 2; shaft: stands 1; packs: on 1; meter: none 1 || symptom: nothing 1; when: switching_on 1; display: code 6, usual 3, low 1; click: none 1; last: laid_up 4, work 2, nothing 4; stops: switch 8, set 2; shaft: stands 1; meter: none 1",
        "Lever in neutral, then the main switch on.";
    "shore_lead" in "held", "the charger or the shore lead holds the drive back", 2.0, true, CALL_SHORE,
        "symptom: nothing 1; when: switching_on 1; display: usual 4, held 4, code 2; last: shore 8, nothing 2; stops: lead 7, set 3; shaft: stands 9, turns 1",
        "Take the lead off and stow it, switch the drive off and on.";
    "empty" in "empty", "the bank is empty", 1.8, true, CALL_PACKS,
        "symptom: weak 6, cuts 4; when: gradually 5, suddenly 3, switching_on 2; display: low 8, code 1, usual 1; lights: usual 6, dim 4; packs: on 6, alarm 4; gauge: low 9, enough 1; again: same 6, a_while 4; last: nothing 6, full_power 4; click: usual 9, none 1; sound: none 6, beeps 4; shaft: turns 1; meter: bank 6, less 4",
        "Anchor or make fast. Slow is far: half the speed takes a fifth of the power. Charge before she is tried again.";
    "cut_off" in "empty", "the bank is empty and its packs have cut it off", 1.2, true, CALL_PACKS,
        "symptom: nothing 8, cuts 2; when: suddenly 4, gradually 3, switching_on 4; display: dark 1; lights: dark 8, usual 2; packs: off 5, alarm 4, on 1; gauge: dark 1; again: same 6, a_while 4; last: nothing 5, full_power 4, laid_up 2; click: none 9, usual 1; sound: none 7, beeps 3; shaft: stands 9, turns 1; meter: none 1 || symptom: nothing 8, cuts 2; when: suddenly 4, gradually 3, switching_on 4; display: low 7, code 3; packs: off 5, alarm 4, on 1; gauge: low 9, enough 1; again: same 6, a_while 4; last: nothing 5, full_power 4, laid_up 2; click: none 9, usual 1; sound: none 5, beeps 5; shaft: stands 9, turns 1; meter: none 1",
        "Anchor or make fast, loads off. Charge before she is tried again, gently if it was cold or lay long; a pack that takes no charge is left off.";
    "pack_off" in "pack_off", "one pack is off", 2.0, true, CALL_PACKS,
        "symptom: weak 6, cuts 4; when: suddenly 6, switching_on 3, gradually 2; display: usual 5, low 4, code 1; packs: one_off 8, alarm 2; again: same 7, a_while 3; shaft: turns 1; meter: less 5, bank 5; last: nothing 5, full_power 3, laid_up 2",
        "Go slowly on those that are on. Put the pack back only when it is cool and within a few tenths of a volt of the others, by the maker's way.";
    "packs_tripped" in "packs_tripped", "the packs' protection has switched them off", 1.0, true, CALL_PACKS,
        "symptom: nothing 6, cuts 4; when: suddenly 7, switching_on 3; display: dark 1; lights: dark 8, usual 2; packs: off 6, alarm 4; click: none 9, usual 1; gauge: dark 1; sound: beeps 3, none 7; last: full_power 5, nothing 3, laid_up 1, wet 1; again: same 5, a_while 5; shaft: stands 8, turns 2; meter: none 1 || symptom: nothing 6, cuts 4; when: suddenly 7, switching_on 3; display: code 7, low 2, usual 1; packs: off 6, alarm 4; click: none 9, usual 1; sound: beeps 5, none 5; last: full_power 5, nothing 3, laid_up 1, wet 1; again: same 5, a_while 5; shaft: stands 8, turns 2; meter: none 1",
        "Everything off, wait ten minutes, packs on by the maker's way, once; then little lever. If they trip again, leave them off.";
    "main_fuse" in "feed", "the main fuse has blown", 1.0, true, CALL_COVERS,
        "symptom: nothing 9, cuts 1; when: suddenly 7, switching_on 3; display: code 6, dark 2, usual 2; click: none 8, usual 2; last: full_power 3, work 3, nothing 4; shaft: stands 1; meter: none 1",
        "A fuse blows for a cause: no new one before a fitter has found it.";
    "contactor" in "feed", "the main contactor does not close or its pre-charge fails", 1.0, false, CALL_COVERS,
        "symptom: nothing 1; when: switching_on 1; display: code 8, usual 2; click: none 4, again 6; last: laid_up 2, wet 2, nothing 6; shaft: stands 1; meter: none 7, less 3",
        "Switch off, wait ten minutes for the resistor to cool, switch on once. If it only clicks again, leave it off for a fitter.";
    "control_supply" in "control_supply", "key and display have no supply: their fuse or small battery", 1.0, false, CALL_COVERS,
        "symptom: nothing 1; when: switching_on 9, suddenly 1; display: dark 1; gauge: dark 1; lights: usual 5, dim 2, dark 3; click: none 1; sound: none 1; last: laid_up 4, nothing 5, work 1; shaft: stands 1; meter: none 1; look: small_fuse 5, nothing 5",
        "Look at the small fuse of the key and the charge of the small battery; the same rating again, once.";
    "display" in "display", "the display or its lead alone has failed", 0.7, false, CALL_COVERS,
        "symptom: nothing 8, weak 2; display: dark 1; gauge: dark 1; when: suddenly 6, switching_on 4; click: usual 1; sound: none 1; shaft: turns 9, stands 1; last: wet 3, nothing 6, work 1",
        "Go on by ear at little lever, the bank's own gauge in sight.";
    "lever" in "lever", "the lever's sender or its wire", 1.0, false, CALL_SWITCHING,
        "symptom: nothing 6, cuts 2, weak 2; display: lever 5, code 3, usual 2; astern: better 4, same 6; last: wet 3, work 2, nothing 5; shaft: stands 7, turns 3",
        "Switch off, lever through its whole travel some times, look at its plug, switch on in neutral; a second station if she has one.";
    "joint" in "joint", "a loose or burnt joint between bank and controller", 2.0, true, CALL_COVERS,
        "symptom: weak 5, cuts 4, nothing 1; when: suddenly 4, gradually 3, switching_on 3; display: usual 4, low 5, code 1; last: work 4, full_power 3, laid_up 2, nothing 4; again: a_while 5, same 5; shaft: turns 9, stands 1; meter: less 8, none 1, bank 1; look: cover 4, nothing 6",
        "Little lever only. A cover that is warm, discoloured or smells is left shut: everything off. The joints are a fitter's, dead and proved dead.";
    "hot" in "hot", "motor or controller is too hot and holds back", 2.0, false, CALL_HOT,
        "symptom: weak 6, cuts 3, nothing 1; when: gradually 6, suddenly 2, switching_on 2; display: hot 8, code 1, usual 1; again: a_while 8, same 1, goes 1; last: full_power 8, nothing 2; shaft: turns 9, stands 1; sound: beeps 4, none 6",
        "Half lever, or off until it is cool. Look at cooling water and at what shuts its air off.";
    "controller" in "controller", "the controller has failed", 1.0, false, CALL_COVERS,
        "symptom: nothing 9, cuts 1; display: dark 7, code 3; when: suddenly 7, switching_on 3; last: wet 3, full_power 2, work 1, nothing 5; click: none 6, usual 4; shaft: stands 9, turns 1; gauge: dark 7, enough 3; meter: bank 8, none 2 || symptom: nothing 8, cuts 2; display: code 8, usual 2; when: suddenly 7, switching_on 3; last: wet 3, full_power 2, work 1, nothing 5; click: usual 8, none 2; shaft: stands 9, turns 1; meter: bank 1",
        "Note the code. Switch off, wait ten minutes, on once. If it is the same, leave it off.";
    "phase" in "motor_side", "one of the motor's three leads is off", 1.0, false, CALL_COVERS,
        "symptom: shudders 8, weak 1, nothing 1; sound: hum 6, knock 3, none 1; display: motor 5, code 3, usual 2; last: work 4, nothing 5, full_power 1; shaft: stands 9, turns 1; when: suddenly 6, switching_on 4",
        "Lever to neutral at once and leave it there: it burns. The leads are a fitter's.";
    "sensor" in "motor_side", "the motor's sensor or its plug", 1.0, false, CALL_COVERS,
        "symptom: shudders 6, nothing 3, cuts 1; sound: hum 4, knock 3, none 3, beeps 2; display: motor 5, code 3, usual 2; last: work 3, wet 4, nothing 3; again: same 8, a_while 2; shaft: stands 9, turns 1; look: plug 5, nothing 5",
        "Switch off; see that the thin plug at the motor is home and dry, if it can be seen without taking a cover off.";
    "crossed" in "motor_side", "motor leads or sensor are swapped", 0.7, false, CALL_SWITCHING,
        "symptom: backwards 6, shudders 4; when: switching_on 1; last: work 9, nothing 1; display: usual 6, motor 3, code 1; sound: none 6, hum 3, knock 2; shaft: turns 6, stands 4",
        "Lever to neutral, off, and leave it off: it can run away. Whoever worked on it puts it right, coupling open.";
    "rope" in "rope", "something is round the propeller", 3.0, false, CALL_SHAFT,
        "symptom: weak 5, cuts 2, shudders 2, nothing 1; when: suddenly 8, switching_on 2; last: rope 9, nothing 2; sound: knock 4, hum 3, none 3; hand: stuck 5, stiff 4, free 1; astern: better 5, same 5; display: usual 6, motor 1, code 1, hot 2; shaft: turns 6, stands 4; look: line 6, nothing 4",
        "Astern at little lever a few seconds, once; else anchor, off, and pull the tail by a boat hook while the shaft is turned by hand the other way.";
    "bearing" in "bearing", "bearing, seal or gland holds the shaft", 1.0, false, CALL_SHAFT,
        "symptom: weak 7, cuts 2, shudders 1; when: gradually 6, suddenly 2, switching_on 2; sound: squeal 4, knock 3, hum 1, none 2; hand: stiff 6, stuck 3, free 1; last: laid_up 4, work 3, nothing 4; display: usual 6, hot 2, motor 1, code 1; shaft: turns 9, stands 1; look: gland 5, nothing 5",
        "Slowly, if at all. See whether the gland is hot, and let it drip a little more when it is cool.";
    "belt" in "joining", "the belt slips or is off", 1.0, false, CALL_SHAFT,
        "symptom: spins 6, weak 4; sound: squeal 6, none 3, knock 1; shaft: stands 6, turns 4; hand: loose 5, free 5; last: full_power 3, nothing 6, wet 1; when: suddenly 5, gradually 3, switching_on 2; display: usual 9, hot 1; look: belt 7, nothing 3",
        "Look at the belt through its guard: teeth, dust, a pulley that has walked. Little lever if it still carries.";
    "key" in "joining", "key, pin or coupling between motor and shaft is sheared or loose", 1.0, false, CALL_SHAFT,
        "symptom: spins 9, weak 1; sound: knock 4, none 6; shaft: stands 9, turns 1; hand: loose 6, free 4; when: suddenly 7, switching_on 3; last: full_power 3, rope 2, work 2, nothing 5; display: usual 9, code 1; look: coupling 6, nothing 4",
        "Look at coupling and its bolts; see that the shaft cannot slide out of her.";
    "propeller" in "propeller", "the propeller is lost, or its blades do not open", 1.0, false, CALL_SHAFT,
        "symptom: spins 8, weak 2; shaft: turns 1; last: rope 4, work 2, laid_up 1, nothing 4; astern: better 3, same 7; when: suddenly 7, switching_on 3; sound: none 7, knock 3; display: usual 1",
        "Short bursts ahead and astern may throw folding blades open. Else sail, anchor or a tow.";
    "growth" in "growth", "growth on bottom or propeller", 1.0, true, CALL_SHAFT,
        "symptom: weak 1; when: gradually 8, switching_on 2; last: laid_up 6, nothing 5; display: usual 9, hot 1; shaft: turns 1; click: usual 1; look: weed 8, nothing 2",
        "She goes: slowly home, then a look at bottom and blades.";
}

impl Part {
    /// The ways in which it shows.
    #[must_use]
    pub fn ways(&self) -> Vec<&'static str> {
        self.shows.split("||").collect()
    }
}

/// What a way shows of this question, as weights.
#[must_use]
pub fn shown(way: &'static str, ask: &str) -> Option<&'static str> {
    way.split(';')
        .find_map(|one| one.trim().split_once(':').filter(|(key, _)| *key == ask))
        .map(|(_, weights)| weights.trim())
}

/// A place in words, where it holds more than one part.
#[must_use]
pub fn place_words(place: &str) -> Option<&'static str> {
    match place {
        "held" => Some("something holds the drive back: stop, kill cord, lever or lead"),
        "feed" => Some("the way from the bank: main fuse, contactor or pre-charge"),
        "motor_side" => Some("the motor's leads or its sensor"),
        "joining" => Some("what joins motor and shaft: belt, key or coupling"),
        _ => None,
    }
}
