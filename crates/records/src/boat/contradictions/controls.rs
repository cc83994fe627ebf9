//! The lever and the volts of what hangs on the bus against each other. What can be and is dangerous is doubted, so that
//! every room still answers. Not for: the rules of the controls (their room).

use super::Checks;
use super::wiring::highest_bank_v;
use wakewright_core::controls::OnLoss;
use wakewright_core::field;

pub(super) fn check(checks: &mut Checks<'_>) {
    let document = checks.document;
    let stops = checks.written(field::controller::BRAKING_STOPS_AT);
    if let (Some(stops_v), Some(stands_v)) = (stops, checks.written(field::controller::OVERVOLTAGE))
        && stops_v >= stands_v
    {
        checks.doubt(
            &[field::controller::BRAKING_STOPS_AT, field::controller::OVERVOLTAGE],
            format!("braking that stops at {stops_v:.0} V on a controller that stands {stands_v:.0} V"),
            "It stops when it is lost: the stop belongs well below what controller and capacitors stand.",
        );
    }
    let highest = highest_bank_v(checks);
    if let (Some(stops_v), Some(highest_v)) = (stops, highest)
        && stops_v <= highest_v
    {
        checks.doubt(
            &[field::controller::BRAKING_STOPS_AT],
            format!("braking that stops at {stops_v:.0} V on a bank that is charged to {highest_v:.1} V"),
            "It stops in use; take a stop between what the bank is charged to and what the controller stands.",
        );
    }
    for row in document.rows(field::cable::SECTION) {
        let stands = row.address_of(field::cable::STANDS);
        if let (Some(stands_v), Some(highest_v)) = (checks.written(&stands), highest)
            && stands_v < highest_v
        {
            checks.doubt(
                &[&stands],
                format!(
                    "something that stands {stands_v:.0} V on a bank that is charged to {highest_v:.1} V"
                ),
                "Look at its sheet: it is lost at the end of a charge already.",
            );
        }
    }
    let broken = document.chosen::<OnLoss>(field::controls::WIRE_BROKEN);
    if checks.written(field::controls::WIRE_NOTICED).is_some() && broken != Some(OnLoss::Stops) {
        checks.doubt(
            &[field::controls::WIRE_NOTICED, field::controls::WIRE_BROKEN],
            "a time until a broken wire is noticed, of a drive that does not stop with it".to_owned(),
            "Say that it stops (wire_broken = \"stops\"), or leave the time out.",
        );
    }
    if document.origin(field::controls::TAKES_OVER).is_some()
        && document.integer(field::controls::STATIONS).is_none_or(|stations| stations < 2)
    {
        checks.doubt(
            &[field::controls::TAKES_OVER, field::controls::STATIONS],
            "a way for a second station to take over where there is one".to_owned(),
            "Say how many stations there are (stations = 2).",
        );
    }
}
