//! Addresses of the boat document's fields, each declared once. Whatever reads, sets, explains or varies a
//! field names it by its constant here, so that a field that is renamed has no forgotten reader.
//! Not for: what a field means (its descriptor in `records`).

/// The address of the field `key` in a row: `pack.capacity` in `pack[2]` is `pack[2].capacity`.
#[must_use]
pub fn in_row(row: &str, key: &str) -> String {
    format!("{row}.{}", key.split_once('.').map_or(key, |(_, name)| name))
}

macro_rules! sections {
    ($($(#[$doc:meta])* $module:ident $section:literal { $($name:ident $field:literal,)* })*) => { $(
        $(#[$doc])*
        pub mod $module {
            /// The section itself.
            pub const SECTION: &str = $section;
            $(
                #[doc = concat!("`", $section, ".", $field, "`.")]
                pub const $name: &str = concat!($section, ".", $field);
            )*
        }
    )* };
}

/// Sections that stand several times, with the addresses in the first of them.
macro_rules! rows {
    ($($(#[$doc:meta])* $module:ident $section:literal { $($name:ident $field:literal,)* })*) => { $(
        $(#[$doc])*
        pub mod $module {
            /// The section itself.
            pub const SECTION: &str = $section;
            $(
                #[doc = concat!("`", $section, ".", $field, "`.")]
                pub const $name: &str = concat!($section, ".", $field);
            )*
            /// In the first row.
            pub mod first {
                $(
                    #[doc = concat!("`", $section, "[1].", $field, "`.")]
                    pub const $name: &str = concat!($section, "[1].", $field);
                )*
            }
        }
    )* };
}

sections! {
    /// Who she is.
    boat "boat" {
        NAME "name",
        INVENTED "invented",
        TYPE "type",
        YEAR "year",
        SURVEYED "surveyed",
        NOTE "note",
    }
    /// The hull.
    hull "hull" {
        KIND "kind",
        LENGTH_OVERALL "length_overall",
        LENGTH_WATERLINE "length_waterline",
        BEAM_OVERALL "beam_overall",
        BEAM_WATERLINE "beam_waterline",
        DRAUGHT "draught",
        CANOE_BODY_DRAUGHT "canoe_body_draught",
        DISPLACEMENT "displacement",
        KEEL "keel",
        KEEL_CHORD "keel_chord",
        KEEL_THICKNESS "keel_thickness",
        KEEL_WETTED_AREA "keel_wetted_area",
        RUDDER "rudder",
        RUDDER_CHORD "rudder_chord",
        RUDDER_WETTED_AREA "rudder_wetted_area",
        PRISMATIC_COEFFICIENT "prismatic_coefficient",
        MIDSHIP_COEFFICIENT "midship_coefficient",
        CENTRE_OF_BUOYANCY "centre_of_buoyancy",
        CENTRE_OF_FLOTATION "centre_of_flotation",
        WATERPLANE_AREA "waterplane_area",
        FREEBOARD "freeboard",
        MAST_HEIGHT "mast_height",
        MAST_DIAMETER "mast_diameter",
        EXTRA_FRONTAL_AREA "extra_frontal_area",
        BOTTOM "bottom",
        BOTTOM_CLEANED "bottom_cleaned",
    }
    /// Propeller and shaft.
    propeller "propeller" {
        PATTERN "pattern",
        BLADES "blades",
        DIAMETER "diameter",
        PITCH "pitch",
        AREA_RATIO "area_ratio",
        BLADES_STATE "blades_state",
        ARRANGEMENT "arrangement",
        APERTURE_HEIGHT "aperture_height",
        TIP_CLEARANCE "tip_clearance",
        SHAFT_DEPTH "shaft_depth",
        SHAFT_DIAMETER "shaft_diameter",
        SHAFT_FRICTION "shaft_friction",
        WAKE_FRACTION "wake_fraction",
        THRUST_DEDUCTION "thrust_deduction",
        SHAFT_SEAL "shaft_seal",
    }
    /// What stands between motor and shaft.
    reduction "reduction" {
        KIND "kind",
        RATIO "ratio",
        EFFICIENCY "efficiency",
    }
    /// The motor.
    motor "motor" {
        NOTE "note",
        SPEED_CONSTANT "speed_constant",
        RESISTANCE "resistance",
        NO_LOAD_CURRENT "no_load_current",
        RATED_POWER "rated_power",
        RATED_SPEED "rated_speed",
        PEAK_POWER "peak_power",
        PEAK_TIME "peak_time",
        MASS "mass",
        COOLING "cooling",
        WINDING_LIMIT "winding_limit",
        BRUSHES "brushes",
        COUNT "count",
        RUNNING "running",
        PHASE_INDUCTANCE "phase_inductance",
    }
    /// Its controller.
    controller "controller" {
        PHASE_CURRENT "phase_current",
        BATTERY_CURRENT "battery_current",
        POWER_LIMIT "power_limit",
        UNDERVOLTAGE "undervoltage",
        OVERVOLTAGE "overvoltage",
        REGENERATION_CURRENT "regeneration_current",
        MAXIMUM_DUTY "maximum_duty",
        LEVER "lever",
        FIELD_WEAKENING "field_weakening",
        STANDING_POWER "standing_power",
        CAPACITANCE "capacitance",
        BRAKING_STOPS_AT "braking_stops_at",
        BRAKING_STOPS_IN "braking_stops_in",
    }
    /// The packs taken together.
    bank "bank" {
        STATE_OF_CHARGE "state_of_charge",
        TEMPERATURE "temperature",
        CABLE_RESISTANCE "cable_resistance",
        RESERVE "reserve",
        HOUSE_LOAD "house_load",
        FOR_EACH_DRIVE "for_each_drive",
    }
    /// Where she lies.
    place "place" {
        NAME "name",
        LATITUDE "latitude",
        LONGITUDE "longitude",
        CLIMATE "climate",
        CLEARNESS "clearness",
        SUN "sun",
        LIES "lies",
        HEADING "heading",
    }
    /// A usual week.
    week "week" {
        DAYS "days",
        LEAVES_AT "leaves_at",
        MOTORING "motoring",
        MOTORING_SPEED "motoring_speed",
        SAILING "sailing",
        SAILING_SPEED "sailing_speed",
        REGENERATES "regenerates",
        REGENERATION_LOSS "regeneration_loss",
    }
    /// Socket, charger and generator.
    shore "shore" {
        CURRENT "current",
        VOLTAGE "voltage",
        CHARGER_POWER "charger_power",
        CHARGER_EFFICIENCY "charger_efficiency",
        GENERATOR "generator",
        PLUG_IN_AT "plug_in_at",
        UNTIL "until",
    }
    /// What was decided about the wiring as a whole.
    wiring "wiring" {
        POLES "poles",
        BOTH_POLES_FUSED "both_poles_fused",
        INSULATION_WATCHED "insulation_watched",
        COVERED "covered",
        ISOLATOR "isolator",
        HELM_STOP "helm_stop",
        WARNING "warning",
        SHUNT "shunt",
        SHORE_EARTH "shore_earth",
        CONVERTERS_ISOLATED "converters_isolated",
        DRY_SPACE "dry_space",
        LUGS_ON_STUD "lugs_on_stud",
        LEADS_ALIKE "leads_alike",
        ENGINE_SPACE "engine_space",
        COLDEST "coldest",
    }
    /// Charging the controller's capacitors.
    precharge "precharge" {
        RESISTOR "resistor",
        PULSE_ENERGY "pulse_energy",
        DRAWN "drawn",
        TIME_OUT "time_out",
        BLEEDER "bleeder",
        POWER "power",
        OWN_SWITCH "own_switch",
    }
    /// What the lever may do.
    controls "controls" {
        DEAD_BAND "dead_band",
        FIRST_DEMAND "first_demand",
        RAMP_UP "ramp_up",
        RAMP_DOWN "ramp_down",
        REVERSING_WAIT "reversing_wait",
        REVERSING_TORQUE "reversing_torque",
        NEUTRAL_START "neutral_start",
        BRAKING_FULL_AT "braking_full_at",
        BRAKING_COLD_AT "braking_cold_at",
        WIRE_BROKEN "wire_broken",
        WIRE_NOTICED "wire_noticed",
        SENSOR_LOST "sensor_lost",
        STATIONS "stations",
        TAKES_OVER "takes_over",
        STOP_ORDER "stop_order",
    }
    /// The engine that was in her.
    old_engine "old_engine" {
        POWER "power",
        RATED_SPEED "rated_speed",
        GEARBOX_RATIO "gearbox_ratio",
        MASS "mass",
    }
    /// Sea and weather.
    sea "sea" {
        WATER "water",
        WATER_TEMPERATURE "water_temperature",
        AIR_TEMPERATURE "air_temperature",
        DEPTH "depth",
        CANAL_WIDTH "canal_width",
        HEAD_WIND "head_wind",
        SEA_MARGIN "sea_margin",
    }
    /// What is wanted of her.
    usage "use" {
        CRUISING_SPEED "cruising_speed",
        WISHED_SPEED "wished_speed",
        IN_SERVICE_FACTOR "in_service_factor",
    }
    /// Spreads of the methods themselves, which no document states.
    model "model" {
        RESIDUARY "residuary",
        WINDAGE "windage",
        STERN_LOSS "stern_loss",
        PROPELLER_TORQUE "propeller_torque",
        PROPELLER_THRUST "propeller_thrust",
        RELATIVE_ROTATIVE "relative_rotative",
        BEARING "bearing",
        CALENDAR_LOSS "calendar_loss",
        DRAG_UNDER_SAIL "drag_under_sail",
        PROPELLER_ASTERN "propeller_astern",
        SUN "sun",
        TORQUE_UNDER_SAIL "torque_under_sail",
        REDUCTION_DRAG "reduction_drag",
        BRUSH_DROP "brush_drop",
        MOTOR_DRAG "motor_drag",
        GEAR_DRAG "gear_drag",
        BLADE_REYNOLDS "blade_reynolds",
    }
}

rows! {
    /// A row of the towing measurements.
    towed "towed" {
        SPEED "speed",
        DRAG "drag",
    }
    /// A kind of pack.
    pack "pack" {
        NAME "name",
        GROUP "group",
        CHEMISTRY "chemistry",
        COUNT "count",
        CELLS_IN_SERIES "cells_in_series",
        VOLTAGE "voltage",
        CAPACITY "capacity",
        RESISTANCE "resistance",
        HEALTH "health",
        BMS_DISCHARGE "bms_discharge",
        BMS_CHARGE "bms_charge",
        INSTANT_RESISTANCE "instant_resistance",
    }
    /// A kind of solar panel.
    panel "panel" {
        NAME "name",
        POWER "power",
        COUNT "count",
        MOUNT "mount",
        TILT "tilt",
        FACES "faces",
        FIXING "fixing",
        SHADE "shade",
        SHADE_MORNING "shade_morning",
        SHADE_AFTERNOON "shade_afternoon",
        BIFACIAL "bifacial",
        OPEN_VOLTAGE "open_voltage",
        IN_SERIES "in_series",
        REGULATOR_VOLTAGE "regulator_voltage",
        STRING_FUSED "string_fused",
    }
    /// A load by the hour.
    house "house" {
        NAME "name",
        POWER "power",
        FROM "from",
        TO "to",
    }
    /// A run of cable.
    cable "cable" {
        NAME "name",
        FROM "from",
        TO "to",
        LENGTH "length",
        SIZE "size",
        CONDUCTOR "conductor",
        INSULATION "insulation",
        ENGINE_SPACE "engine_space",
        TOGETHER "together",
        SHEATHED "sheathed",
        SPACING "spacing",
        SERVICE "service",
        LOAD "load",
        STANDS "stands",
        STUD "stud",
    }
    /// A fuse or breaker.
    fuse "fuse" {
        NAME "name",
        CABLE "cable",
        END "end",
        CLASS "class",
        RATING "rating",
        VOLTAGE "voltage",
        VOLTAGE_KIND "voltage_kind",
        INTERRUPTING "interrupting",
        MELTING_CURRENT "melting_current",
        LET_THROUGH "let_through",
        L_OVER_R "l_over_r",
        DISTANCE "distance",
    }
    /// A contactor or switch.
    contactor "contactor" {
        NAME "name",
        CABLE "cable",
        KIND "kind",
        MAKE "make",
        BREAK "break",
        BREAK_VOLTAGE "break_voltage",
        CONTINUOUS "continuous",
        BOTH_WAYS "both_ways",
        COIL_FROM "coil_from",
    }
    /// What might be changed.
    alternative "alternative" {
        NAME "name",
        NOTE "note",
        COST "cost",
        CHANGES "changes",
    }
    /// A mass that an alternative moves.
    mass "mass" {
        ALTERNATIVE "alternative",
        WHAT "what",
        DIRECTION "direction",
        MASS "mass",
        AFT "aft",
        HEIGHT "height",
        ASIDE "aside",
        PLACE "place",
    }
}
