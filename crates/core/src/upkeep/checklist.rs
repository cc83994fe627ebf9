//! The list of a check-up: what to look at on which kind of drive, how often, what is measured there and from where on it
//! is bad. Not for: what was found.

use wakewright_units::Quantity;

use super::trend::Bad;

/// What a boat has, as far as the list depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Fitted {
    /// A shaft through the hull.
    pub shaft: bool,
    /// Its gland is packed.
    pub packed_gland: bool,
    /// A leg through the hull.
    pub saildrive: bool,
    /// A pod, or a leg on the transom.
    pub pod: bool,
    /// Blades that fold or feather.
    pub moving_blades: bool,
    /// Belts.
    pub belt: bool,
    /// Gear wheels in oil, of a gearbox or a leg.
    pub gears: bool,
    /// A motor with brushes.
    pub brushes: bool,
    /// A motor cooled by water.
    pub water_cooled: bool,
    /// Lead packs.
    pub lead: bool,
    /// Lead packs with caps.
    pub vented: bool,
    /// Lithium packs.
    pub lithium: bool,
    /// More than one pack side by side.
    pub in_parallel: bool,
    /// Panels.
    pub panels: bool,
    /// A charger ashore.
    pub shore: bool,
}

/// Where in the round an item stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Before a hand goes anywhere.
    Before,
    /// Afloat.
    Afloat,
    /// The mechanical side, drive dead.
    Mechanical,
    /// Out of the water.
    Ashore,
    /// Cables, fuses, switches.
    Electrical,
    /// The packs.
    Battery,
    /// What saves her.
    Safety,
}

impl Stage {
    /// All of them, in the order of the round.
    pub const ALL: [Self; 7] = [
        Self::Before,
        Self::Afloat,
        Self::Mechanical,
        Self::Ashore,
        Self::Electrical,
        Self::Battery,
        Self::Safety,
    ];

    /// As a heading.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Before => "Before touching anything",
            Self::Afloat => "Afloat",
            Self::Mechanical => "Mechanical",
            Self::Ashore => "Out of the water",
            Self::Electrical => "Propulsion circuit",
            Self::Battery => "Bank",
            Self::Safety => "Safety round",
        }
    }
}

/// What an item stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Published check lists for electric drives have it.
    Read,
    /// Common practice, no source.
    Practice,
}

impl Standing {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Read => "read in a published list",
            Self::Practice => "common practice",
        }
    }
}

/// A value that an item asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// What is measured.
    pub what: &'static str,
    /// Its kind.
    pub quantity: Quantity,
    /// On which side it is bad.
    pub bad: Bad,
    /// From where on, SI; a maker's figure goes before it.
    pub limit: Option<f64>,
    /// Half of the 80 % band of a reading, as a share of it: common practice, no source.
    pub error_share: f64,
    /// The least that it is, SI.
    pub error_least: f64,
}

/// An item of the list.
#[derive(Debug, Clone, Copy)]
pub struct Item {
    /// Stable name.
    pub key: &'static str,
    /// Where it stands.
    pub stage: Stage,
    /// What to do.
    pub what: &'static str,
    /// What it stands on.
    pub standing: Standing,
    /// Months to the next time.
    pub months: u32,
    /// What is measured.
    pub measured: Option<Measured>,
    /// Whether a boat has it.
    pub fits: fn(&Fitted) -> bool,
}

use Bad::{Above, Below};
use Stage::{Afloat, Ashore, Battery, Before, Electrical, Mechanical, Safety};
use Standing::{Practice, Read};

const fn item(key: &'static str, stage: Stage, standing: Standing, what: &'static str) -> Item {
    Item { key, stage, what, standing, months: 12, measured: None, fits: |_| true }
}

impl Item {
    const fn every(mut self, months: u32) -> Self {
        self.months = months;
        self
    }

    const fn where_(mut self, fits: fn(&Fitted) -> bool) -> Self {
        self.fits = fits;
        self
    }

    const fn reads(
        mut self,
        what: &'static str,
        quantity: Quantity,
        (bad, limit): (Bad, Option<f64>),
        (error_share, error_least): (f64, f64),
    ) -> Self {
        self.measured = Some(Measured { what, quantity, bad, limit, error_share, error_least });
        self
    }
}

/// The list, in the order of the round.
pub static CHECKLIST: [Item; 52] = [
    item("dead", Before, Practice, "Isolate and lock off, wait for the controller's capacitors, prove dead with a meter that was proved live first."),
    item("history", Before, Practice, "Note hours, energy, charge, fault codes and firmware; save the logs of controller and packs with the date."),
    item("owner", Before, Practice, "Ask her owner what changed: heat, smell, noise, vibration, speed, trips."),
    item("run", Afloat, Read, "Run her both ways in calm water at four to six settings: volts, amps, revolutions, speed, state of the bottom; keep it as a trial.")
        .reads("speed at the usual setting", Quantity::Speed, (Below, None), (0.0, 0.05)),
    item("pull", Afloat, Read, "Where there is no room to run: pull against the quay at full setting. Less than the rated current is too little propeller or a limit.")
        .reads("amps tied up, full setting", Quantity::Current, (Below, None), (0.03, 0.5)),
    item("shaking", Afloat, Practice, "Listen and feel with the coupling connected and, where it can be, apart: shaft and motor told from each other."),
    item("gland", Afloat, Read, "Gland: drips under way and at rest, hose and clips, warm to the hand after the run.")
        .reads("drips a minute", Quantity::Ratio, (Above, None), (0.1, 1.0)).where_(|f| f.shaft && f.packed_gland),
    item("seal", Afloat, Read, "Shaft seal: dry, bellows and clips sound, cool to the hand after the run.").where_(|f| f.shaft && !f.packed_gland),
    item("alignment", Afloat, Read, "Alignment some days after launching: gap between the coupling faces all round. Flexible couplings: the maker's figure.")
        .reads("gap at the coupling", Quantity::SmallLength, (Above, Some(0.000_1)), (0.05, 0.000_02)).where_(|f| f.shaft),
    item("feet", Mechanical, Read, "Motor feet, thrust bearing and mounts: tight, no cracks, rubber sound."),
    item("belt", Mechanical, Read, "Belt: tension as its maker says, dust, teeth, pulleys in line, a spare aboard.").every(6).where_(|f| f.belt),
    item("gear_oil", Mechanical, Practice, "Oil of gearbox or leg: level, colour, chips on the plug.").where_(|f| f.gears),
    item("brushes", Mechanical, Practice, "Brushes: length, springs, commutator even and clean.").every(6)
        .reads("shortest brush", Quantity::SmallLength, (Below, None), (0.0, 0.000_3)).where_(|f| f.brushes),
    item("coupling", Mechanical, Practice, "Coupling bolts, locking, key and keyway; shaft where the gland runs.").where_(|f| f.shaft),
    item("cooling", Mechanical, Read, "Cooling: hoses, strainer, pump, flow, strength of the antifreeze.").every(6).where_(|f| f.water_cooled),
    item("air", Mechanical, Read, "Air for motor and controller: inlets clear, fans run.").where_(|f| !f.water_cooled),
    item("astern", Mechanical, Read, "Astern works, and is worked from the helm."),
    item("lever", Mechanical, Read, "Lever: neutral is found, no creep, cable or sensor unworn; she does not start out of neutral; the stop acts."),
    item("anodes", Ashore, Read, "Anodes: renew at half gone.")
        .reads("least left of an anode", Quantity::Share, (Below, Some(0.5)), (0.0, 0.07)),
    item("bonding", Ashore, Read, "Bonding: resistance between any two parts that are joined.")
        .reads("worst bonding path", Quantity::Resistance, (Above, Some(1.0)), (0.03, 0.05)),
    item("propeller", Ashore, Practice, "Propeller: dings, bent blades, pink bronze, key, nut and locking; pitch on a bench where she shakes or slows."),
    item("blade_play", Ashore, Practice, "Folding or feathering blades: play, grease, an anode of their own.").where_(|f| f.moving_blades),
    item("shaft_bearing", Ashore, Practice, "Bearing in the water: lift the shaft and measure its play; about 1.6 mm is the end on small shafts.")
        .reads("play of the shaft bearing", Quantity::SmallLength, (Above, Some(0.001_6)), (0.0, 0.000_15)).where_(|f| f.shaft),
    item("diaphragm", Ashore, Practice, "Saildrive: age of the diaphragm against its maker's term, oil, seal of the shaft.").where_(|f| f.saildrive),
    item("pod_seal", Ashore, Practice, "Pod or leg: seals, line round the shaft, cable where it enters, its anode.").where_(|f| f.pod),
    item("bottom", Ashore, Practice, "Photograph bottom and propeller before they are scrubbed; note growth and paint."),
    item("joints", Electrical, Read, "Every joint of high current, drive dead: torque mark whole, tightened to its maker's figure; no wing nuts."),
    item("joint_drop", Electrical, Practice, "Volts lost over each joint at one known current, like with like (31 mV at 104 A); after ten minutes none 10 K above its twin. A sound joint has about an eighth of a milliohm, four times that wants a look (from memory).")
        .reads("worst joint", Quantity::Resistance, (Above, Some(0.000_5)), (0.03, 0.000_01)),
    item("jackets", Electrical, Read, "Cables: chafe, melting, support, drip loops, labels."),
    item("fuses", Electrical, Practice, "Fuses: the right ones, close to the bank, holders not browned."),
    item("contactors", Electrical, Practice, "Contactors: they click, pre-charge works, volts lost over closed contacts."),
    item("isolator", Electrical, Read, "The main switch, in reach of the helm, really takes the motor off."),
    item("stop", Electrical, Practice, "Emergency stop once under load."),
    item("insulation", Electrical, Practice, "Insulation to hull and bonding, electronics disconnected or at a voltage that their makers allow; the trend says most.")
        .reads("insulation to hull", Quantity::Resistance, (Below, Some(1.0e6)), (0.1, 1.0e4)),
    item("poles", Electrical, Practice, "Each pole to hull with a meter: next to no current on a bank that floats."),
    item("hull_potential", Electrical, Practice, "Hull potential afloat, shore lead out for some hours: voltmeter's plus on shaft or bonding, its minus on a silver chloride electrode over the side. Less negative than -550 mV the anodes no longer hold bronze (from memory); the maker of the anodes goes first.")
        .reads("hull potential, shore lead out", Quantity::Voltage, (Above, Some(-0.55)), (0.0, 0.01)),
    item("hull_shift", Electrical, Practice, "The same with the shore lead put in: it stands still where no current comes by the shore's earth. That earth is never cut or left off to save anodes: isolating transformer, or galvanic isolator that fails safe.")
        .reads("potential moved by the shore lead", Quantity::Voltage, (Above, Some(0.02)), (0.0, 0.005)).where_(|f| f.shore),
    item("shore_lead", Electrical, Read, "Shore lead: three cores, size, socket against splashes; warning light and switch; air for the charger.").where_(|f| f.shore),
    item("panels", Electrical, Practice, "Panels: open-circuit volts, current at noon; the regulator holds when the bank is full under sail.")
        .reads("current at noon", Quantity::Current, (Below, None), (0.1, 0.1)).where_(|f| f.panels),
    item("restraint", Battery, Read, "Packs held down, boxes closed, air to bank, motor and controller; the fan's own switch works."),
    item("acid", Battery, Read, "Lead with caps: clean, level, density of every cell.")
        .reads("densities differ by", Quantity::Density, (Above, Some(50.0)), (0.0, 5.0)).every(6).where_(|f| f.vented),
    item("rest_volts", Battery, Practice, "Lead: volts of each block after some hours of rest.")
        .reads("lowest block at rest", Quantity::Voltage, (Below, None), (0.0, 0.03)).where_(|f| f.lead),
    item("alarms", Battery, Practice, "Packs: alarms and events of the management, temperature sensors, balancing, firmware.").where_(|f| f.lithium),
    item("cells", Battery, Practice, "Cells: spread near full and at rest, charger off for an hour. Beyond 50 mV (from memory) a cell is weak or the balancing does not get there.")
        .reads("cells differ by", Quantity::Voltage, (Above, Some(0.05)), (0.0, 0.002)).where_(|f| f.lithium),
    item("opens", Battery, Practice, "The pack's contactor opens when it is told to.").where_(|f| f.lithium),
    item("capacity", Battery, Practice, "Capacity: full to cut-off at a steady current; enter it as a test.").every(24),
    item("counter", Battery, Practice, "Amp-hours taken out against the monitor's count; zero of its shunt; set it anew when full."),
    item("alike", Battery, Read, "Packs side by side: of one age and size.").where_(|f| f.in_parallel),
    item("bilge", Safety, Practice, "Bilge dry under bank and motor; pump and its switch.").every(6),
    item("fire", Safety, Practice, "Extinguisher that suits the packs; smoke or gas alarm.").every(6),
    item("supply", Safety, Practice, "Radio and lights live without the drive's bank; the anchor is ready."),
    item("spares", Safety, Read, "Spares aboard: main fuse, throttle sensor, and a belt where there is one."),
];

/// The item of this name.
#[must_use]
pub fn item_named(key: &str) -> Option<&'static Item> {
    CHECKLIST.iter().find(|item| item.key == key)
}
