//! The figures of the bank that can be asked where they come from. Not for: those of a steady state
//! (`study::figure`).

use super::{BankStudy, CRUISING};
use crate::field;
use crate::sheet::{Interval, figure_list};

figure_list! {
    /// The figures of the bank.
    BANK_FIGURES of BankStudy {
    /// Energy to the reserve.
    USABLE { "usable_energy", "energy from full to the reserve at cruising speed", Energy,
        formula: "int U I dt from full to the reserve, or to where the first pack cuts out; U = E(s) - I R, lithium by charge, lead by \
                  Peukert's law in differential form",
        sources: ["bpx2023", "peukert2020"],
        inputs: [field::pack::CHEMISTRY, field::pack::CAPACITY, field::pack::COUNT, field::pack::HEALTH, field::pack::RESISTANCE, field::bank::TEMPERATURE, field::bank::RESERVE],
        validity: "constant load and temperature, no recovery in pauses; in deep cold at a high load the cold counts twice, since capacities \
                   were tested down to a voltage under load; capacity as measured goes before it",
        value: |s| s.loads.get(CRUISING)?.usable_j }
    /// Current of the most loaded pack.
    PACK_CURRENT { "pack_current", "highest current of a pack at full throttle", Current,
        formula: "parallel packs share so that E_i - I_i R_i is the same for all", sources: ["parallelpacks2023"],
        inputs: [field::pack::COUNT, field::pack::RESISTANCE, field::pack::HEALTH, field::pack::BMS_DISCHARGE],
        validity: "packs of one voltage, rested and joined at the same charge",
        value: |s| s.packs.iter().map(|pack| pack.current_a).max_by(f64::total_cmp).map(Interval::exact) }
    /// Current of the rest with a pack lost.
    LOST_CURRENT { "current_with_pack_lost", "current of the packs left, together, when one drops out", Current,
        formula: "the power of that throttle shared by the packs that are left, at their sagging volts", sources: ["parallelpacks2023"],
        inputs: [field::pack::COUNT, field::pack::RESISTANCE, field::pack::BMS_DISCHARGE],
        validity: "at full throttle, in the first moment, before it is eased", value: |s| s.lost.last()?.outcome.current_a.map(Interval::exact) }
    /// Speed with a pack lost.
    LOST_SPEED { "speed_with_pack_lost", "speed left at full throttle with one pack lost", Speed,
        formula: "the balance of the drive on the packs that are left", sources: ["parallelpacks2023", "keuning1998"],
        inputs: [field::pack::COUNT, field::pack::RESISTANCE, field::propeller::PITCH, field::reduction::RATIO],
        validity: "as the speed through the water; where the others trip too it is that after switching on again with the throttle eased",
        value: |s| s.lost.last()?.left.map(|(speed, _)| Interval::exact(speed)) }
    /// Full throttle when low.
    SAGGED_VOLTS { "volts_when_low", "volts under full load with a tenth of charge left", Voltage,
        formula: "U = (E + sqrt(E^2 - 4 R P)) / 2 at 10 % charge", sources: ["bpx2023"],
        inputs: [field::pack::CHEMISTRY, field::pack::RESISTANCE, field::pack::COUNT, field::bank::CABLE_RESISTANCE, field::bank::TEMPERATURE],
        validity: "rested bank, constant load", value: |s| s.sag.last().map(|row| Interval::exact(row.loaded_v)) }
    /// Time to charge.
    CHARGING_TIME { "charging_time", "time from the reserve to full on the first source", Duration,
        formula: "constant current within what the source gives and the packs take, then constant voltage with a falling current; lithium below \
                  10 °C takes 0.1 C / (1 - t / 10 °C) at most, below 0 °C nothing",
        sources: ["cccv2024", "coldcharge2024", "bode1977", "shorepower2017"],
        inputs: [field::shore::CURRENT, field::shore::VOLTAGE, field::shore::CHARGER_POWER, field::shore::CHARGER_EFFICIENCY, field::pack::BMS_CHARGE, field::pack::CAPACITY,
                 field::bank::RESERVE, field::bank::TEMPERATURE],
        validity: "sockets at four fifths of their rating; the end, where the cells limit, may take half or twice the time",
        value: |s| s.charging.first()?.to_full.map(|charge| Interval::exact(charge.duration_s)) }
    /// Health after years.
    HEALTH_LATER { "capacity_after_years", "capacity left after ten years, over the rated one", Share,
        formula: "health x (1 - loss a year x years)", sources: ["ageing2022"],
        inputs: [field::pack::CHEMISTRY, field::pack::HEALTH],
        validity: "lying charged at mild temperatures; cycling takes its own, and tests of it disagree by a factor of ten",
        value: |s| s.ageing.last().map(|row| row.health) }
    }
}
