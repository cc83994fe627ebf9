//! The inputs that may be uncertain, and how a sampled value enters the boat. Not for: their spreads.

use super::Boat;
use crate::field;

macro_rules! inputs {
    ($($(#[$doc:meta])* $name:ident => $key:expr, $words:literal, |$boat:ident, $value:ident| $set:expr;)+) => {
        /// An input whose uncertainty is carried into the results.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Input { $($(#[$doc])* $name),+ }

        impl Input {
            /// All inputs.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// The document field it belongs to, or a name of its own for a model's own spread.
            #[must_use]
            pub fn key(self) -> &'static str {
                match self { $(Self::$name => $key),+ }
            }

            /// In words, for a list of what makes the interval wide.
            #[must_use]
            pub fn words(self) -> &'static str {
                match self { $(Self::$name => $words),+ }
            }

            /// Puts `value` (SI) into `boat`.
            pub fn set(self, boat: &mut Boat, value: f64) {
                match self { $(Self::$name => { let ($boat, $value) = (boat, value); $set; }),+ }
            }
        }
    };
}

inputs! {
    /// Length on the waterline.
    LengthWaterline => field::hull::LENGTH_WATERLINE, "length on the waterline", |b, v| b.form.length_waterline_m = v;
    /// Beam on the waterline.
    BeamWaterline => field::hull::BEAM_WATERLINE, "beam on the waterline", |b, v| b.form.beam_waterline_m = v;
    /// Draught.
    Draught => field::hull::DRAUGHT, "draught", |b, v| b.form.draught_m = v;
    /// Displacement.
    Displacement => field::hull::DISPLACEMENT, "displacement", |b, v| b.form.displacement_kg = v;
    /// Prismatic coefficient.
    Prismatic => field::hull::PRISMATIC_COEFFICIENT, "prismatic coefficient", |b, v| b.form.prismatic_coefficient = Some(v);
    /// Centre of buoyancy.
    CentreOfBuoyancy => field::hull::CENTRE_OF_BUOYANCY, "centre of buoyancy", |b, v| b.form.lcb_fraction = Some(v);
    /// Keel's wetted area.
    KeelArea => field::hull::KEEL_WETTED_AREA, "wetted area of the keel", |b, v| b.keel.wetted_area_m2 = Some(v);
    /// Rudder's wetted area.
    RudderArea => field::hull::RUDDER_WETTED_AREA, "wetted area of the rudder", |b, v| b.rudder.wetted_area_m2 = Some(v);
    /// Growth on the bottom.
    BottomGrowth => field::hull::BOTTOM, "growth on the bottom", |b, v| b.bottom_sand_height_m = v;
    /// Growth on the blades.
    BladeGrowth => field::propeller::BLADES_STATE, "growth on the blades", |b, v| b.blades_sand_height_m = v;
    /// Spread of the residuary resistance.
    ResiduaryFactor => field::model::RESIDUARY, "residuary resistance (method)", |b, v| b.sea.residuary_factor = v;
    /// Spread of the windage.
    WindageFactor => field::model::WINDAGE, "windage (method)", |b, v| b.sea.windage_factor = v;
    /// What the stern does not win back between banks.
    SternLoss => field::model::STERN_LOSS, "what the stern loses between banks (method)", |b, v| b.sea.stern_loss = v;
    /// In-service factor.
    InService => field::usage::IN_SERVICE_FACTOR, "in-service factor", |b, v| b.sea.in_service_factor = v;
    /// Head wind.
    HeadWind => field::sea::HEAD_WIND, "head wind", |b, v| b.sea.true_head_wind_m_s = v;
    /// Sea margin.
    SeaMargin => field::sea::SEA_MARGIN, "sea margin", |b, v| b.sea.sea_margin = v;
    /// Propeller diameter.
    PropellerDiameter => field::propeller::DIAMETER, "propeller diameter", |b, v| b.propeller.diameter_m = v;
    /// Propeller pitch.
    PropellerPitch => field::propeller::PITCH, "propeller pitch", |b, v| b.propeller.pitch_m = v;
    /// Blade area.
    AreaRatio => field::propeller::AREA_RATIO, "blade area", |b, v| b.propeller.area_ratio = v;
    /// Spread of the torque of the series.
    TorqueFactor => field::model::PROPELLER_TORQUE, "torque of the propeller series", |b, v| b.propeller.torque_factor = v;
    /// Spread of the thrust of the series.
    ThrustFactor => field::model::PROPELLER_THRUST, "thrust of the propeller series", |b, v| b.propeller.thrust_factor = v;
    /// Wake fraction.
    Wake => field::propeller::WAKE_FRACTION, "wake", |b, v| b.stern.wake_fraction = v;
    /// Thrust deduction.
    ThrustDeduction => field::propeller::THRUST_DEDUCTION, "thrust deduction", |b, v| b.stern.thrust_deduction = v;
    /// Relative rotative efficiency.
    RelativeRotative => field::model::RELATIVE_ROTATIVE, "relative rotative efficiency", |b, v| b.stern.relative_rotative_efficiency = v;
    /// Efficiency of the reduction.
    ReductionEfficiency => field::reduction::EFFICIENCY, "efficiency of the reduction", |b, v| b.drive_line.reduction_efficiency = v;
    /// Friction of bearing and seal.
    BearingTorque => field::model::BEARING, "friction of shaft bearing and seal", |b, v| b.drive_line.bearing_torque_n_m = v;
    /// What the reduction takes at any torque.
    ReductionDrag => field::model::REDUCTION_DRAG, "what turning belt or gears takes", |b, v| b.drive_line.reduction_drag_n_m = v;
    /// What the drive takes at rest.
    StandingLoss => field::controller::STANDING_POWER, "standing power of the drive", |b, v| b.controller.fixed_loss_w = v;
    /// Drop over brushes.
    BrushDrop => field::model::BRUSH_DROP, "drop over the brushes", |b, v| b.controller.brush_drop_v = v;
    /// Iron and friction of a motor without a known no-load current.
    IronShare => field::model::MOTOR_DRAG, "what turning the motor takes", |b, v| b.motor.iron_share = v;
    /// Leg, bracket, exposed shaft.
    GearDrag => field::model::GEAR_DRAG, "drag of leg or bracket", |b, v| b.sea.gear_drag_area_m2 = v;
    /// Blades below the Reynolds number of the series.
    LowReynolds => field::model::BLADE_REYNOLDS, "small blades at small speed", |b, v| b.propeller.low_reynolds = v;
    /// Reduction ratio.
    Ratio => field::reduction::RATIO, "reduction ratio", |b, v| b.drive_line.ratio = v;
    /// Rated power.
    RatedPower => field::motor::RATED_POWER, "rated power", |b, v| b.motor.rated_power_w = v;
    /// Limit of the motor current.
    PhaseCurrent => field::controller::PHASE_CURRENT, "limit of the motor current", |b, v| b.controller.phase_current_limit_a = v;
    /// Limit of the battery current.
    BatteryCurrent => field::controller::BATTERY_CURRENT, "limit of the battery current", |b, v| b.controller.battery_current_limit_a = v;
    /// Motor speed constant.
    SpeedConstant => field::motor::SPEED_CONSTANT, "speed constant of the motor", |b, v| b.motor.no_load_speed_rev_s_v = v;
    /// Winding resistance.
    MotorResistance => field::motor::RESISTANCE, "winding resistance", |b, v| b.motor.resistance_ohm = Some(v);
    /// No-load current.
    NoLoadCurrent => field::motor::NO_LOAD_CURRENT, "no-load current", |b, v| b.motor.no_load_current_a = Some(v);
    /// Air around the motor.
    MotorAmbient => field::sea::AIR_TEMPERATURE, "air around the motor", |b, v| b.motor_ambient_k = v;
    /// State of charge.
    StateOfCharge => field::bank::STATE_OF_CHARGE, "state of charge", |b, v| b.bank.state_of_charge = v;
    /// Resistance of the packs.
    PackResistance => field::pack::RESISTANCE, "resistance of the packs", |b, v| b.scale_pack_resistance(v);
    /// What the packs really hold.
    PackCapacity => field::pack::CAPACITY, "what the packs really hold", |b, v| b.scale_pack_capacity(v);
    /// Cable and joints.
    CableResistance => field::bank::CABLE_RESISTANCE, "resistance of cable and joints", |b, v| b.bank.cable_resistance_ohm = v;
    /// Standing loads.
    HousePower => field::bank::HOUSE_LOAD, "standing loads", |b, v| b.house_power_w = v;
}

impl Input {
    /// What would make it surer, as a sentence.
    #[must_use]
    pub fn how_to_know_better(self) -> String {
        match self {
            Self::InService => "A sea trial in calm water, both ways, would narrow it most.".to_owned(),
            Self::BottomGrowth => {
                "A look at the bottom, or a trial after a scrub, would narrow it most.".to_owned()
            }
            Self::ResiduaryFactor
            | Self::TorqueFactor
            | Self::ThrustFactor
            | Self::WindageFactor
            | Self::SternLoss => {
                format!("{}: only a trial of this boat narrows it.", capitalised(self.words()))
            }
            Self::BearingTorque | Self::ReductionDrag | Self::IronShare => format!(
                "{}: a run at creep with amps and volts, or a spring balance on the uncoupled shaft, would narrow it most.",
                capitalised(self.words())
            ),
            Self::StandingLoss => {
                "The amps at the bank, key on and lever at rest, would narrow it most.".to_owned()
            }
            Self::Wake | Self::ThrustDeduction | Self::RelativeRotative => {
                "A trial with speed, shaft speed and power together would narrow it most.".to_owned()
            }
            _ => format!("A better value of {} would narrow it most.", self.words()),
        }
    }
}

fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + chars.as_str())
}

#[cfg(test)]
mod tests {
    use super::Input;

    #[test]
    fn keys_are_unique() {
        let mut keys: Vec<_> = Input::ALL.iter().map(|input| input.key()).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), Input::ALL.len());
    }
}
