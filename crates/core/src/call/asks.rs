//! What a caller can tell without a tool, and what a meter tells one who is competent. Not for: what it means (`parts`).

/// Whether a question needs a meter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meter {
    /// Eyes, ears and a hand.
    None,
    /// A meter at test points, covers on.
    Asked,
}

/// A question with its answers.
#[derive(Debug, Clone, Copy)]
pub struct Ask {
    /// Stable name.
    pub key: &'static str,
    /// In a field.
    pub label: &'static str,
    /// As it is asked.
    pub question: &'static str,
    /// Names and words of the answers.
    pub answers: &'static [(&'static str, &'static str)],
    /// Weights of the answers for a part that says nothing about them; common practice, no source. What is misheard is counted for all
    /// questions alike, and not once more here.
    pub usual: &'static str,
    /// Share of those whose part says something about it who tell of something else that happened or lies there beside it: the
    /// usual answers. Own estimate, no source.
    pub beside: f64,
    /// How readily it is answered: its gain counts by this.
    pub ease: f64,
    /// Needs a meter.
    pub meter: Meter,
    /// Asked only of a boat with two drives.
    pub of_two_drives: bool,
}

/// Volts above which nobody is asked for a meter \[V\]; common practice, no source: the limits of touch that low-voltage practice uses.
pub const METER_DRY_V: f64 = 60.0;
/// The same where it is wet \[V\].
pub const METER_WET_V: f64 = 30.0;

/// Name of the question that is answered in figures.
pub const FIGURES: &str = "figures";

/// What was done last and what lies about are told whether or not they have to do with it.
const BESIDE: f64 = 0.25;

const PLAIN: Ask = Ask {
    key: "",
    label: "",
    question: "",
    answers: &[],
    usual: "",
    beside: 0.0,
    ease: 1.0,
    meter: Meter::None,
    of_two_drives: false,
};

/// All of them, in the order in which one would ask.
pub static ASKS: [Ask; 18] = [
    Ask {
        key: "symptom",
        label: "What she does",
        question: "What does she do when the lever is moved?",
        answers: &[
            ("nothing", "nothing turns"),
            ("weak", "goes, but slower or weaker than before"),
            ("cuts", "goes and cuts out"),
            ("spins", "the motor turns, she does not move"),
            ("shudders", "hums or shudders, does not turn"),
            ("backwards", "turns the wrong way"),
        ],
        usual: "nothing 1, weak 1, cuts 1, spins 1, shudders 1, backwards 1",
        ..PLAIN
    },
    Ask {
        key: "when",
        label: "When it came",
        question: "When did it come?",
        answers: &[
            ("switching_on", "as she was switched on"),
            ("suddenly", "under way, at once"),
            ("gradually", "under way, little by little"),
        ],
        usual: "switching_on 5, suddenly 5, gradually 0.5",
        ..PLAIN
    },
    Ask {
        key: "display",
        label: "The display",
        question: "What does the display show?",
        answers: &[
            ("dark", "it is dark"),
            ("usual", "as always"),
            ("held", "it asks for stop, key, lead or neutral"),
            ("hot", "heat"),
            ("low", "low volts or an empty bank"),
            ("lever", "the lever"),
            ("motor", "the motor, its leads or sensor"),
            ("code", "a code that says nothing, or another"),
        ],
        usual: "dark 0.5, usual 5, held 0.3, hot 0.4, low 0.4, lever 0.2, motor 0.4, code 3",
        ..PLAIN
    },
    Ask {
        key: "last",
        label: "What was last",
        question: "What was done or happened last?",
        answers: &[
            ("nothing", "nothing special"),
            ("full_power", "a long time at full power"),
            ("rope", "a rope, weed or the ground"),
            ("work", "work on the drive"),
            ("laid_up", "she was laid up"),
            ("shore", "she was on the shore lead"),
            ("wet", "rain or water came in"),
        ],
        usual: "nothing 6, full_power 1, rope 0.4, work 0.6, laid_up 1, shore 0.6, wet 0.6",
        beside: BESIDE,
        ..PLAIN
    },
    Ask {
        key: "stops",
        label: "Stop, switch, lead, lever",
        question: "Look at stop button and kill cord, main switch, shore lead, and at the lever in neutral as she is switched on: which is not as it should?",
        answers: &[
            ("set", "all as they should"),
            ("stop", "stop or kill cord"),
            ("switch", "the main switch"),
            ("lead", "the shore lead"),
            ("lever", "the lever"),
        ],
        usual: "set 1",
        ..PLAIN
    },
    Ask {
        key: "look",
        label: "A look, covers shut",
        question: "Look, touch nothing, covers shut: what is odd?",
        answers: &[
            ("nothing", "nothing"),
            ("line", "a line or weed astern"),
            ("belt", "belt off, or its dust"),
            ("cover", "a cover discoloured"),
            ("plug", "a thin plug off or wet"),
            ("gland", "the gland runs or is dry"),
            ("coupling", "the coupling turns alone"),
            ("small_fuse", "a small fuse blown"),
            ("weed", "growth at the waterline"),
        ],
        usual: "nothing 17, weed 1",
        beside: BESIDE,
        ease: 0.9,
        ..PLAIN
    },
    Ask {
        key: FIGURES,
        label: "Figures of the display",
        question: "Figures of the display: volts in neutral, then volts and amps with the lever full ahead, made fast or in open water?",
        ease: 0.8,
        ..PLAIN
    },
    Ask {
        key: "sound",
        label: "What is heard",
        question: "What is heard with the lever moved?",
        answers: &[
            ("none", "nothing"),
            ("hum", "a hum"),
            ("squeal", "a squeal"),
            ("knock", "knocking or rattling"),
            ("beeps", "beeps"),
        ],
        usual: "none 7, beeps 2",
        ..PLAIN
    },
    Ask {
        key: "click",
        label: "Click at switching on",
        question: "Is the click heard as she is switched on?",
        answers: &[("usual", "as always"), ("none", "no click"), ("again", "again and again")],
        usual: "usual 1",
        ..PLAIN
    },
    Ask {
        key: "packs",
        label: "Lamps of the packs",
        question: "What do the packs' own lamps show?",
        answers: &[("on", "all on"), ("one_off", "one off"), ("off", "all off"), ("alarm", "an alarm")],
        usual: "on 1",
        ease: 0.9,
        ..PLAIN
    },
    Ask {
        key: "shaft",
        label: "The propeller's shaft",
        question: "Does the shaft to the propeller turn while the lever is moved? Look from where no hand can reach it",
        answers: &[("turns", "it turns"), ("stands", "it stands")],
        usual: "turns 1, stands 1",
        ease: 0.9,
        ..PLAIN
    },
    Ask {
        key: "again",
        label: "After a rest",
        question: "Lever in neutral, switch her off, wait ten minutes, switch on: and now?",
        answers: &[("same", "the same"), ("a_while", "goes for a while"), ("goes", "goes as always")],
        usual: "same 1",
        ease: 0.6,
        ..PLAIN
    },
    Ask {
        key: "lights",
        label: "Cabin lights",
        question: "Do the cabin lights burn as always?",
        answers: &[("usual", "as always"), ("dim", "dim"), ("dark", "dark")],
        usual: "usual 1",
        ..PLAIN
    },
    Ask {
        key: "gauge",
        label: "The charge shown",
        question: "What charge does the gauge show?",
        answers: &[("enough", "enough"), ("low", "little or none"), ("dark", "it is dark")],
        usual: "enough 9, low 1",
        ..PLAIN
    },
    Ask {
        key: "astern",
        label: "Astern",
        question: "Is it better astern?",
        answers: &[("same", "the same"), ("better", "better astern")],
        usual: "same 1",
        ease: 0.8,
        ..PLAIN
    },
    Ask {
        key: "hand",
        label: "Shaft by hand",
        question: "Key out and main switch off: how does the shaft turn by hand?",
        answers: &[
            ("free", "as always"),
            ("stiff", "stiff"),
            ("stuck", "not at all"),
            ("loose", "loose of the motor"),
        ],
        usual: "free 1",
        ease: 0.6,
        ..PLAIN
    },
    Ask {
        key: "other",
        label: "The other drive",
        question: "Does the other drive go?",
        answers: &[("goes", "it goes"), ("same", "the same with it")],
        usual: "goes 18, same 2",
        of_two_drives: true,
        ..PLAIN
    },
    Ask {
        key: "meter",
        label: "Meter at the controller",
        question: "Covers on, at the test points of the controller, leads clipped on with the main switch off: how many volts when it is on again?",
        answers: &[
            ("bank", "those of the bank"),
            ("less", "a volt or more less, lever moved"),
            ("none", "none"),
        ],
        usual: "bank 18, less 1, none 1",
        ease: 0.5,
        meter: Meter::Asked,
        ..PLAIN
    },
];

/// The question of this name.
#[must_use]
pub fn ask_of(key: &str) -> Option<&'static Ask> {
    ASKS.iter().find(|ask| ask.key == key)
}

impl Ask {
    /// Place of an answer of this name.
    #[must_use]
    pub fn answer(&self, key: &str) -> Option<usize> {
        self.answers.iter().position(|(known, _)| *known == key)
    }

    /// Shares of the answers by `weights`, `name weight, name weight`; an answer that is left out has none.
    /// `None` where a name or a weight cannot be read.
    #[must_use]
    pub fn shares(&self, weights: &str) -> Option<Vec<f64>> {
        let mut shares = vec![0.0; self.answers.len()];
        for part in weights.split(',') {
            let (name, weight) = part.trim().split_once(' ')?;
            shares[self.answer(name)?] = weight.trim().parse().ok()?;
        }
        let sum: f64 = shares.iter().sum();
        (sum > 0.0).then(|| shares.iter().map(|share| share / sum).collect())
    }
}
