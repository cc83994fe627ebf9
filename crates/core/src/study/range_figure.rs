//! The figures of one speed's range that can be asked where they come from. Not for: those of the state
//! at that speed (`figure`).

use super::origin::study_figures;
use super::summary::SpeedRow;

study_figures! {
    /// A figure of the range at one speed.
    RangeFigure of SpeedRow {
    /// Miles to the reserve.
    Distance { "range", "miles to the reserve", Distance,
        formula: "V x the time in which the power at that speed, wind, waves and standing load in it, runs the bank from its charge to the \
                  reserve on its own curve",
        sources: ["bpx2023", "peukert2020", "keuning1998"],
        inputs: ["bank.state_of_charge", "bank.reserve", "bank.house_load", "bank.temperature", "pack.capacity", "pack.count", "pack.health",
                 "sea.head_wind", "sea.sea_margin", "hull.displacement", "hull.bottom"],
        validity: "through the water; constant speed and load", value: |s| s.distance_m }
    /// Miles with the sun.
    Sunny { "range_with_sun", "miles to the reserve with the sun by day", Distance,
        formula: "as the miles to the reserve, hour by hour from the hour of leaving, the power less what the panels give in that hour of the \
                  month",
        sources: ["bendt1981", "nrel2008", "erbs1982", "bpx2023"],
        inputs: ["panel.power", "panel.count", "panel.tilt", "panel.shade", "place.latitude", "place.climate", "week.leaves_at",
                 "bank.house_load"],
        validity: "the same day again and again, sampled from the days of the month; no end is shown as such after thirty days",
        value: |s| s.beyond.with_sun_m }
    /// Miles on sun alone.
    SunAlone { "miles_a_day_on_sun", "miles a day without touching the bank", Distance,
        formula: "(sun of the day - loads aboard of the day) x what of it comes out of the bank again / drive energy for each mile, at most 24 h \
                  at that speed",
        sources: ["bendt1981", "nrel2008", "keuning1998"],
        inputs: ["panel.power", "panel.count", "place.latitude", "place.climate", "house.power", "hull.displacement"],
        validity: "as the sun and the drive", value: |s| s.beyond.sun_alone_day_m }
    /// Miles after years.
    Aged { "range_after_years", "miles to the reserve after years", Distance,
        formula: "as the miles to the reserve, the packs' health less the yearly loss x years", sources: ["ageing2022", "bpx2023"],
        inputs: ["pack.chemistry", "pack.health", "bank.state_of_charge", "bank.reserve"],
        validity: "lying charged at mild temperatures; cycling takes its own. A capacity test goes before it",
        value: |s| s.beyond.aged_m }
    }
}
