//! The lever as the document has it. Not for: what comes of it (`wakewright_core::controls`).

use wakewright_core::controls::Controls;
use wakewright_core::field;

use crate::boat::document::BoatDocument;

/// The lever of `document`.
#[must_use]
pub fn controls(document: &BoatDocument) -> Controls {
    let number = |key: &str| document.number(key).map(|stated| stated.value_si);
    let stated = |key: &str| document.stated_number(key).map(|stated| stated.value_si);
    let packs = document.rows(field::pack::SECTION);
    let every_pack =
        |key: &str| packs.iter().filter(|row| row.is_of_drive()).all(|row| row.stated_number(key).is_some());
    Controls {
        dead_band: number(field::controls::DEAD_BAND),
        first_demand: number(field::controls::FIRST_DEMAND),
        ramp_up_s: number(field::controls::RAMP_UP),
        ramp_down_s: number(field::controls::RAMP_DOWN),
        reversing_wait_s: number(field::controls::REVERSING_WAIT),
        reversing_torque: number(field::controls::REVERSING_TORQUE),
        starts_in_neutral: document.flag(field::controls::NEUTRAL_START),
        braking_full_at: number(field::controls::BRAKING_FULL_AT),
        braking_cold_at_k: number(field::controls::BRAKING_COLD_AT),
        wire_broken: document.chosen(field::controls::WIRE_BROKEN),
        wire_noticed_s: number(field::controls::WIRE_NOTICED),
        sensor_lost: document.chosen(field::controls::SENSOR_LOST),
        stations: document.integer(field::controls::STATIONS).unwrap_or(1),
        takes_over: document.chosen(field::controls::TAKES_OVER),
        stop: document.chosen(field::controls::STOP_ORDER),
        sailing_m_s: number(field::week::SAILING_SPEED),
        // What stands where nothing is written is no word on the controller.
        weakens_field: document
            .origin(field::controller::FIELD_WEAKENING)
            .and_then(|_| document.flag(field::controller::FIELD_WEAKENING)),
        braking_a: stated(field::controller::REGENERATION_CURRENT),
        phase_a: stated(field::controller::PHASE_CURRENT),
        tells_discharge: every_pack(field::pack::BMS_DISCHARGE),
        tells_charge: every_pack(field::pack::BMS_CHARGE),
    }
}
