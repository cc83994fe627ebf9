//! Contradictions in towing measurements and in the speeds that she is said to make.

use super::Checks;
use wakewright_core::field;
use wakewright_units::factors::KNOT_M_S;

/// Fewest towing measurements that show a curve.
const FEWEST_TOWED: usize = 4;

pub(super) fn check_towed(checks: &mut Checks<'_>) {
    let mut points: Vec<(f64, f64, String)> = Vec::new();
    for row in checks.document.rows(field::towed::SECTION) {
        if let (Some(speed), Some(drag)) = (row.number(field::towed::SPEED), row.number(field::towed::DRAG)) {
            points.push((speed.value_si, drag.value_si, row.address().to_owned()));
        }
    }
    let count = checks.document.rows(field::towed::SECTION).len();
    if count > 0 && count < FEWEST_TOWED {
        checks.error(
            &["towed[1]"],
            format!("{count} towing measurements are too few"),
            "Write at least four, spread from slow to as fast as she will be driven.",
        );
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    for pair in points.windows(2) {
        let fields = [format!("{}.drag", pair[1].2), format!("{}.drag", pair[0].2)];
        let names = [fields[0].as_str(), fields[1].as_str()];
        let knots = |speed_m_s: f64| format!("{:.1} kn", speed_m_s / KNOT_M_S);
        if pair[1].0 - pair[0].0 < 0.02 * KNOT_M_S {
            checks.error(
                &names,
                format!("two rows are for {}", knots(pair[0].0)),
                "Keep one row for each speed; take the mean of runs both ways.",
            );
        } else if pair[1].1 <= pair[0].1 {
            checks.error(
                &names,
                format!("the drag at {} is not more than at {}", knots(pair[1].0), knots(pair[0].0)),
                "Drag rises with speed; check the rows, or whether they are swapped.",
            );
        }
    }
}

pub(super) fn check_speeds(checks: &mut Checks<'_>) {
    let (cruising, wished) = (field::usage::CRUISING_SPEED, field::usage::WISHED_SPEED);
    if let (Some(slow), Some(fast)) = (checks.value(cruising), checks.value(wished))
        && slow > fast
    {
        checks.error(
            &[cruising, wished],
            "the cruising speed is above the wished top speed".to_owned(),
            "Check which of the two is wrong, or whether they are swapped.",
        );
    }
    // 1.34 times the root of the waterline in feet, in knots: common practice, no source.
    if let (Some(fast_m_s), Some(lwl_m)) = (checks.value(wished), checks.value(field::hull::LENGTH_WATERLINE))
    {
        let hull_speed_kn = 2.43 * lwl_m.sqrt();
        if fast_m_s / KNOT_M_S > 1.1 * hull_speed_kn {
            checks.doubt(
                &[wished, field::hull::LENGTH_WATERLINE],
                format!(
                    "{:.1} kn is well above her hull speed of about {hull_speed_kn:.1} kn",
                    fast_m_s / KNOT_M_S
                ),
                "A displacement boat of this size is not driven so fast by any usual power.",
            );
        }
    }
}
