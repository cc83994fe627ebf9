//! The figures of a steady state. Each has one definition:
//! its value, formula, sources, the inputs it stands on and its validity.
//! Not for: how a value is written (units, digits).

use crate::field;
use wakewright_units::Quantity;

use crate::sheet;
use crate::spread::Interval;
use crate::steady::{Bound, Limit, PreparedBoat};

macro_rules! figures {
    ($($(#[$doc:meta])* $name:ident { $key:literal, $head:literal, $label:literal, $quantity:ident,
        formula: $formula:literal, sources: [$($source:literal),*], inputs: [$($input:expr),*],
        validity: $validity:literal, value: |$boat:ident, $bound:ident| $value:expr })+) => {
        /// A figure of a steady state.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[repr(usize)]
        pub enum StateFigure { $($(#[$doc])* $name),+ }

        impl StateFigure {
            /// All figures in the order of their numbers.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// Its value (SI) in a state of a boat.
            #[must_use]
            pub fn value(self, boat: &PreparedBoat, bound: &Bound) -> f64 {
                match self { $(Self::$name => { let ($boat, $bound) = (boat, bound); $value }),+ }
            }
        }

        /// Each figure of a steady state as sheets show it, indexed by [`StateFigure`].
        pub static STATE: [sheet::Figure; FIGURE_COUNT] = [$(sheet::Figure {
            key: $key, head: $head, label: $label, quantity: Quantity::$quantity,
            origin: sheet::Origin::Formula {
                formula: $formula, sources: &[$($source),*], inputs: &[$($input),*], validity: $validity,
            },
        }),+];
    };
}

figures! {
    /// Speed through the water.
    Speed { "speed", "speed", "speed through the water", Speed,
        formula: "the highest speed at which every limit holds: resistance R(V) = (1 - t) T, with thrust T, torque and \
                  revolutions of the propeller, motor volts and amps, and the bank's volts under that load all of the same moment",
        sources: ["keuning1998", "oosterveld1975", "krause2013"],
        inputs: [field::hull::DISPLACEMENT, field::hull::LENGTH_WATERLINE, field::hull::BEAM_WATERLINE, field::hull::BOTTOM, field::propeller::DIAMETER,
                 field::propeller::PITCH, field::propeller::BLADES, field::propeller::AREA_RATIO, field::reduction::RATIO, field::motor::SPEED_CONSTANT,
                 field::pack::CELLS_IN_SERIES, field::bank::STATE_OF_CHARGE, field::usage::IN_SERVICE_FACTOR, field::sea::HEAD_WIND],
        validity: "as narrow as the narrowest of hull, propeller and motor methods; see resistance, thrust and motor volts",
        value: |_boat, bound| bound.state.speed_m_s }
    /// Resistance.
    Resistance { "resistance", "resistance", "resistance", Force,
        formula: "R = [RF (ITTC-1957 on 0.7 LWL, roughness by similarity law) + RR (fit to the Delft series; Holtrop and Mennen where that is her method, as for canal boats) + keel, rudder, leg or bracket] x (1 + sea margin) x \
                  in-service factor + windage; where she was towed the table stands for all before the factors",
        sources: ["ittc1957", "dsyhs2022", "holtrop1984", "keuning1998", "granville1987", "hoerner1965", "larsson2000"],
        inputs: [field::hull::LENGTH_WATERLINE, field::hull::BEAM_WATERLINE, field::hull::DISPLACEMENT, field::hull::DRAUGHT, field::hull::CANOE_BODY_DRAUGHT,
                 field::hull::PRISMATIC_COEFFICIENT, field::hull::KEEL, field::hull::BOTTOM, field::sea::HEAD_WIND, field::sea::DEPTH, field::sea::SEA_MARGIN,
                 field::usage::IN_SERVICE_FACTOR, field::model::RESIDUARY, field::model::WINDAGE, field::model::GEAR_DRAG],
        validity: "of a towed boat her table's speeds; Holtrop and Mennen: its own range stands with the notices; Delft series: LWL/BWL 2.73-5.00, BWL/Tc 2.46-19.38, LWL/volume^(1/3) 4.34-8.50, Cp 0.52-0.60; total within 3.5 % RMS on \
                   measured hulls that the fit has not seen, 4.6 % from length, beam and displacement alone; full-size boats in service scatter far more, which the in-service factor carries",
        value: |_boat, bound| bound.state.resistance_n }
    /// Froude number.
    Froude { "froude_number", "Froude", "Froude number", Ratio,
        formula: "Fn = V / sqrt(g LWL)", sources: ["ittc1957"], inputs: [field::hull::LENGTH_WATERLINE],
        validity: "exact; the resistance methods end at 0.60",
        value: |boat, bound| boat.hull().froude(bound.state.speed_m_s) }
    /// Thrust.
    Thrust { "thrust", "thrust", "thrust of the propeller", Force,
        formula: "T = R / (1 - t) = rho n^2 D^4 KT(J), J = V (1 - w) / (n D); KT from the Wageningen B-series polynomials (or the Gawn re-fit)",
        sources: ["oosterveld1975", "blount1981"],
        inputs: [field::propeller::DIAMETER, field::propeller::PITCH, field::propeller::BLADES, field::propeller::AREA_RATIO, field::propeller::BLADES_STATE,
                 field::propeller::WAKE_FRACTION, field::propeller::THRUST_DEDUCTION],
        validity: "P/D 0.5-1.4, blades 2-7, AE/A0 0.30-1.05; two-blade results are optimistic",
        value: |_boat, bound| bound.state.thrust_n }
    /// Shaft speed.
    ShaftSpeed { "shaft_speed", "shaft", "propeller shaft speed", RotationalSpeed,
        formula: "n such that rho n^2 D^4 KT(J) = T at J = V (1 - w) / (n D)", sources: ["oosterveld1975"],
        inputs: [field::propeller::DIAMETER, field::propeller::PITCH, field::propeller::BLADES, field::propeller::AREA_RATIO, field::propeller::WAKE_FRACTION,
                 field::propeller::THRUST_DEDUCTION, field::hull::DISPLACEMENT],
        validity: "as thrust", value: |_boat, bound| bound.state.shaft_rev_s }
    /// Shaft torque.
    ShaftTorque { "shaft_torque", "torque", "torque at the propeller", Torque,
        formula: "Q = rho n^2 D^5 KQ(J) / etaR", sources: ["oosterveld1975", "holtrop1984"],
        inputs: [field::propeller::DIAMETER, field::propeller::PITCH, field::propeller::BLADES, field::propeller::AREA_RATIO, field::model::PROPELLER_TORQUE,
                 field::model::RELATIVE_ROTATIVE],
        validity: "as thrust; torque of the series within a few per cent for a propeller made to its drawing",
        value: |_boat, bound| bound.state.shaft_torque_n_m }
    /// Delivered power.
    DeliveredPower { "delivered_power", "at the\nprop", "power at the propeller", Power,
        formula: "PD = 2 pi n Q", sources: ["oosterveld1975"], inputs: [field::propeller::DIAMETER, field::propeller::PITCH],
        validity: "as torque", value: |_boat, bound| bound.state.delivered_power_w() }
    /// Propeller efficiency in open water.
    PropellerEfficiency { "propeller_efficiency", "propeller", "propeller efficiency in open water", Share,
        formula: "eta0 = J KT / (2 pi KQ)", sources: ["oosterveld1975"],
        inputs: [field::propeller::DIAMETER, field::propeller::PITCH, field::propeller::BLADES, field::propeller::AREA_RATIO, field::propeller::BLADES_STATE],
        validity: "as thrust",
        value: |_boat, bound| {
            let s = &bound.state;
            s.thrust_n * s.speed_of_advance_m_s / s.delivered_power_w()
        } }
    /// Propulsive efficiency.
    PropulsiveEfficiency { "propulsive_efficiency", "shaft to\nwater", "from the propeller shaft to the water", Share,
        formula: "R V / PD", sources: ["holtrop1984"], inputs: [field::propeller::WAKE_FRACTION, field::propeller::THRUST_DEDUCTION],
        validity: "as resistance and torque", value: |_boat, bound| bound.state.propulsive_efficiency() }
    /// Overall efficiency.
    OverallEfficiency { "overall_efficiency", "bank to\nwater", "from the bank to the water", Share,
        formula: "R V / (bank volts x drive amps)", sources: ["krause2013"], inputs: [field::motor::RESISTANCE, field::reduction::EFFICIENCY],
        validity: "as its parts", value: |_boat, bound| bound.state.overall_efficiency() }
    /// Apparent slip.
    Slip { "slip", "slip", "apparent slip", Share,
        formula: "1 - V / (P n), on the boat's own speed", sources: ["common practice, no source"],
        inputs: [field::propeller::PITCH], validity: "a definition; 30 to 50 % is usual for a displacement boat with a small propeller",
        value: |boat, bound| bound.state.apparent_slip(boat.propeller().propeller().pitch_m) }
    /// Motor speed.
    MotorSpeed { "motor_speed", "motor", "motor speed", RotationalSpeed,
        formula: "reduction ratio x shaft speed", sources: ["common practice, no source"], inputs: [field::reduction::RATIO],
        validity: "no belt slip", value: |_boat, bound| bound.state.motor.omega_rad_s / std::f64::consts::TAU }
    /// Motor volts.
    MotorVolts { "motor_volts", "motor\nvolts", "volts that the motor asks for", Voltage,
        formula: "V = n / Kv (1 - 0.001 x 0.6 (T - 20 C)) + I R(T), T the steady temperature of the winding, which the magnets follow by \
                  six tenths (judgement) and weaken with", sources: ["krause2013"],
        inputs: [field::motor::SPEED_CONSTANT, field::motor::RESISTANCE, field::reduction::RATIO],
        validity: "direct-current equivalent of a permanent-magnet machine",
        value: |_boat, bound| bound.state.motor.voltage_v }
    /// Phase current.
    PhaseCurrent { "phase_current", "phase", "motor (phase) current", Current,
        formula: "I = (torque + drag torque) / Kt, Kt = 1 / (2 pi Kv)", sources: ["krause2013"],
        inputs: [field::motor::SPEED_CONSTANT, field::motor::NO_LOAD_CURRENT, field::reduction::RATIO, field::reduction::EFFICIENCY],
        validity: "direct-current equivalent; a controller may state the RMS or the peak of a phase",
        value: |_boat, bound| bound.state.motor.current_a }
    /// Winding temperature.
    WindingTemperature { "winding_temperature", "winding", "winding temperature when held for hours", Temperature,
        formula: "ambient + heat paths x losses, the paths set so that the rated point just reaches the winding's limit",
        sources: ["krause2013"], inputs: [field::motor::RATED_POWER, field::motor::RATED_SPEED, field::motor::WINDING_LIMIT, field::motor::COOLING, field::sea::AIR_TEMPERATURE],
        validity: "an estimate from the continuous rating; a measured temperature goes before it",
        value: |_boat, bound| bound.state.motor.winding_k }
    /// Bank volts under load.
    BankVolts { "bank_volts", "bank", "bank volts under load", Voltage,
        formula: "U = (E + sqrt(E^2 - 4 R P)) / 2, E from the open-circuit curve of the chemistry at this state of charge",
        sources: ["bpx2023"], inputs: [field::pack::CHEMISTRY, field::pack::CELLS_IN_SERIES, field::pack::COUNT, field::pack::RESISTANCE, field::bank::STATE_OF_CHARGE,
                 field::bank::TEMPERATURE, field::bank::CABLE_RESISTANCE],
        validity: "rested bank, constant load", value: |_boat, bound| bound.state.bank_v }
    /// Bank current.
    BankCurrent { "bank_current", "bank", "current out of the bank", Current,
        formula: "I = P / U, standing loads included", sources: ["bpx2023"], inputs: [field::bank::HOUSE_LOAD, field::pack::RESISTANCE],
        validity: "as bank volts", value: |_boat, bound| bound.state.bank_a }
    /// Bank power.
    BankPower { "bank_power", "bank", "power out of the bank", Power,
        formula: "motor power + controller loss + standing power of the drive + standing loads; the motor turns propeller, shaft line \
                  (a torque by diameter and seal) and reduction (a torque of its own and a share of what goes through)",
        sources: ["krause2013", "jsme2006"],
        inputs: [field::motor::RESISTANCE, field::motor::NO_LOAD_CURRENT, field::model::MOTOR_DRAG, field::bank::HOUSE_LOAD, field::controller::STANDING_POWER,
                 field::reduction::EFFICIENCY, field::model::REDUCTION_DRAG, field::propeller::SHAFT_DIAMETER, field::propeller::SHAFT_SEAL, field::model::BEARING],
        validity: "as its parts", value: |_boat, bound| bound.state.bank_power_w() }
    /// Energy per distance.
    EnergyPerMile { "energy_per_mile", "energy", "energy for each mile through the water", EnergyPerDistance,
        formula: "bank power / speed", sources: ["common practice, no source"], inputs: [field::bank::HOUSE_LOAD],
        validity: "as its parts", value: |_boat, bound| bound.state.energy_per_metre_j() }
    /// Tip speed.
    TipSpeed { "tip_speed", "tips", "blade tip speed", LocalSpeed,
        formula: "sqrt(VA^2 + (pi n D)^2)", sources: ["common practice, no source"], inputs: [field::propeller::DIAMETER],
        validity: "a definition; about 30 m/s and above is heard (from memory)",
        value: |boat, bound| {
            let tip = std::f64::consts::PI * bound.state.shaft_rev_s * boat.propeller().propeller().diameter_m;
            bound.state.speed_of_advance_m_s.hypot(tip)
        } }
    /// Blade loading against the cavitation limit.
    CavitationShare { "cavitation_share", "cavitation", "blade loading, share of the cavitation limit", Share,
        formula: "tau_c / tau_c(sigma at 0.7R), limit 0.43 (sigma - 0.02)^0.71", sources: ["burrill1943"],
        inputs: [field::propeller::AREA_RATIO, field::propeller::SHAFT_DEPTH, field::propeller::DIAMETER],
        validity: "fits of the 10 % back-cavitation line, from memory", value: |_boat, bound| bound.usage[Limit::Cavitation as usize] }
}

/// Number of figures.
pub const FIGURE_COUNT: usize = StateFigure::ALL.len();

/// The figure of this number in the figures of a state with their bands: what a column of sheets takes out
/// of them.
#[must_use]
#[expect(clippy::ptr_arg, reason = "a column is taken out of a row by its own type")]
pub fn at<const FIGURE: usize>(figures: &Vec<Interval>) -> Option<Interval> {
    figures.get(FIGURE).copied()
}

/// All figures of one state, indexed by [`StateFigure`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures([f64; FIGURE_COUNT]);

impl Figures {
    /// Figures of a state of `boat`.
    #[must_use]
    pub fn of(boat: &PreparedBoat, bound: &Bound) -> Self {
        let mut values = [0.0; FIGURE_COUNT];
        for &figure in StateFigure::ALL {
            values[figure as usize] = figure.value(boat, bound);
        }
        Self(values)
    }

    /// One of them.
    #[must_use]
    pub fn get(&self, figure: StateFigure) -> f64 {
        self.0[figure as usize]
    }
}

impl StateFigure {
    /// What it is called and where it comes from.
    #[must_use]
    pub fn figure(self) -> &'static sheet::Figure {
        &STATE[self as usize]
    }

    /// The figure with this key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|figure| figure.figure().key == key)
    }
}
