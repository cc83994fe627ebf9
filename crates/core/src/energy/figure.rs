//! The figures of the year that can be asked where they come from. Not for: those of a steady state
//! (`study::figure`).

use super::study::EnergyStudy;
use crate::field;
use crate::sheet::figure_list;

figure_list! {
    /// The figures of the year.
    ENERGY_FIGURES of EnergyStudy {
    /// Sun.
    SUN { "sun_year", "what the panels could give in a year", Energy,
        formula: "each hour: light on the panel (direct, from the sky, from the ground) x rating / 1000 W/m2 x (1 + gamma (cell - 25 °C)) x \
                  losses; light by day from the monthly clearness, split and turned on to the panel",
        sources: ["nrel2008", "erbs1982", "collares1979", "hay1980", "faiman2008", "dobos2014"],
        inputs: [field::panel::POWER, field::panel::COUNT, field::panel::MOUNT, field::panel::TILT, field::panel::FACES, field::panel::SHADE, field::place::LATITUDE, field::place::CLIMATE],
        validity: "yearly sums within 10 % in four of five; a mast's shade beyond what is entered, snow and dirt are not in it",
        value: |s| Some(s.year.sun_j) }
    /// Regeneration.
    REGENERATION { "regeneration_year", "back under sail in a year", Energy,
        formula: "power into the bank at the sailing speed, for the stated loss of speed, x hours", sources: ["smogeli2006"],
        inputs: [field::week::SAILING, field::week::SAILING_SPEED, field::week::REGENERATES, field::week::REGENERATION_LOSS, field::propeller::PITCH],
        validity: "one speed stands for all sailing; the cube of speed makes a few fast hours count", value: |s| Some(s.year.regeneration_j) }
    /// Shore energy.
    SHORE { "shore_year", "energy from the shore in a year", Energy,
        formula: "what the bank takes at the berth beyond sun and propeller", sources: ["shorepower2017"],
        inputs: [field::shore::CURRENT, field::shore::CHARGER_POWER, field::shore::PLUG_IN_AT, field::shore::UNTIL, field::week::MOTORING, field::house::POWER],
        validity: "as the hours; at the bank's terminals, the charger's losses come on top", value: |s| Some(s.year.shore_j) }
    /// House.
    HOUSE { "house_year", "loads aboard in a year", Energy,
        formula: "sum over the hours of the day", sources: ["common practice, no source"], inputs: [field::house::POWER, field::house::FROM, field::house::TO],
        validity: "as well as the loads are known", value: |s| Some(s.year.house_j) }
    /// Motoring.
    MOTORING { "motoring_year", "drive in a year", Energy,
        formula: "power out of the bank for the drive at the motoring speed x hours, down to the reserve", sources: ["keuning1998", "oosterveld1975"],
        inputs: [field::week::DAYS, field::week::MOTORING, field::week::MOTORING_SPEED, field::hull::DISPLACEMENT, field::hull::BOTTOM, field::sea::HEAD_WIND],
        validity: "as the power out of the bank at that speed", value: |s| Some(s.year.motoring_j) }
    /// Surplus.
    SURPLUS { "surplus_year", "sun and propeller not taken in a year", Energy,
        formula: "offered less taken, where the cells are full, cold (lithium below 10 °C: 0.1 C / (1 - t / 10 °C), none below 0 °C), or at \
                  their charge limit",
        sources: ["cccv2024", "coldcharge2024", "bendt1981"],
        inputs: [field::bank::TEMPERATURE, field::pack::CAPACITY, field::pack::COUNT, field::pack::BMS_CHARGE, field::panel::POWER, field::house::POWER],
        validity: "as the sun", value: |s| Some(s.year.surplus_j) }
    /// Shore hours.
    SHORE_HOURS { "shore_hours", "time on shore power in a year", Duration,
        formula: "hours from the charge at which she plugs in to that at which she unplugs or leaves, of 8,760 run one by one",
        sources: ["bendt1981", "graham1988", "shorepower2017"],
        inputs: [field::shore::PLUG_IN_AT, field::shore::UNTIL, field::shore::CURRENT, field::shore::CHARGER_POWER, field::week::MOTORING, field::house::POWER, field::panel::POWER,
                 field::place::CLIMATE],
        validity: "weather sampled around monthly means, each day leaning on the day before; a berth is always free",
        value: |s| Some(s.year.shore_hours.scaled(3600.0)) }
    /// Motoring lost.
    MOTORING_LOST { "motoring_lost_hours", "motoring lost at the reserve in a year", Duration,
        formula: "hours of motoring asked for in her week less those served: the drive stops when the bank is at its reserve, or where the packs \
                  cut out before it",
        sources: ["bendt1981"],
        inputs: [field::bank::RESERVE, field::pack::CAPACITY, field::pack::COUNT, field::week::MOTORING, field::week::MOTORING_SPEED, field::shore::PLUG_IN_AT, field::shore::UNTIL],
        validity: "as the hours on shore power; loads are served before the drive", value: |s| Some(s.year.motoring_lost_hours.scaled(3600.0)) }
    /// Hours at the reserve.
    RESERVE_HOURS { "reserve_hours", "time in a year at the reserve or below", Duration,
        formula: "hours that end with the charge at the reserve or below; below it only the loads aboard draw", sources: ["bendt1981"],
        inputs: [field::bank::RESERVE, field::pack::CAPACITY, field::pack::COUNT, field::week::MOTORING, field::house::POWER, field::shore::PLUG_IN_AT],
        validity: "as the hours on shore power", value: |s| Some(s.year.reserve_hours.scaled(3600.0)) }
    /// Hours cut out.
    CUT_OUT_HOURS { "cut_out_hours", "time in a year with the packs cut out", Duration,
        formula: "hours in which a load is asked for and the packs' volts under it would fall below their cut-out, or the bank is empty",
        sources: ["bpx2023", "bendt1981"],
        inputs: [field::pack::CHEMISTRY, field::pack::CAPACITY, field::pack::COUNT, field::house::POWER, field::shore::PLUG_IN_AT, field::bank::TEMPERATURE],
        validity: "as the hours on shore power", value: |s| Some(s.year.cut_out_hours.scaled(3600.0)) }
    /// Miles a week.
    MILES_WEEK { "miles_a_week_on_sun", "motoring a week that the sun alone carries", Distance,
        formula: "the year run once more without shore and sails: on each of her days under way she motors from the hour of leaving until the \
                  bank is at its reserve or the day ends; drive energy of a week / drive energy for each mile",
        sources: ["bendt1981", "keuning1998", "bpx2023"],
        inputs: [field::panel::POWER, field::panel::COUNT, field::pack::CAPACITY, field::pack::COUNT, field::bank::RESERVE, field::bank::TEMPERATURE, field::house::POWER, field::week::DAYS,
                 field::week::LEAVES_AT, field::week::MOTORING_SPEED, field::place::CLIMATE, field::place::LATITUDE, field::hull::DISPLACEMENT],
        validity: "as sun and drive; what the bank holds above the reserve, takes and loses is in it; a week that leaves nothing above the \
                   reserve counts as zero and leaves no hole to the next",
        value: |s| s.year.miles_week_m }
    }
}
