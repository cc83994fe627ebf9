//! The figures of check-ups that can be asked where they come from. Not for: their list (`sheets`).

use super::study::UpkeepStudy;
use crate::field;
use crate::sheet::{Interval, figure_list};

figure_list! {
    /// The figures of the bank's tests.
    UPKEEP_FIGURES of UpkeepStudy {
    /// Now.
    CAPACITY_BY_TESTS { "capacity_by_tests", "capacity that her tests tell for today, over the rated one", Share,
        formula: "v(t) = v_m + b (t - t_m), each test weighed by 1 / sd²; one test alone stands for itself", sources: ["peukert2020", "lfpcold2024", "nrel2002"],
        inputs: [field::pack::CAPACITY, field::pack::CHEMISTRY],
        validity: "tests in one go at a steady current; errors independent from test to test", value: |s| s.capacity_now() }
    /// Fade.
    CAPACITY_FALL { "capacity_fall", "capacity that she loses in a year, over the rated one", Share,
        formula: "-b = -sum w (t - t_m)(v - v_m) / sum w (t - t_m)²", sources: [], inputs: [],
        validity: "least squares, textbook; two tests at least; as long as it goes on as it went", value: |s| s.fall_per_year() }
    /// Smallest.
    CAPACITY_FALL_SHOWN { "capacity_fall_shown", "smallest loss from the first test to the last that these tests would show", Share,
        formula: "(1.96 + 1.28) sd(b) (t_last - t_first)", sources: [], inputs: [],
        validity: "nine times in ten, one false alarm in twenty; textbook", value: |s| Some(Interval::exact(s.fade.ok()?.smallest_change())) }
    /// Need.
    CAPACITY_OF_THE_TRIP { "capacity_of_the_trip", "capacity that the longest trip takes, over the rated one", Share,
        formula: "health now x (power at cruising speed x distance / speed) / energy from full to reserve", sources: [],
        inputs: [field::usage::CRUISING_SPEED, field::bank::RESERVE, field::pack::HEALTH],
        validity: "calm water at cruising speed; energy taken as in proportion to what the packs hold", value: |s| s.asked.trip_share }
    }
}
