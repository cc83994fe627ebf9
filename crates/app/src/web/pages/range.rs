//! The Range page: what each speed costs and how far it carries. Not for: computing or drawing.

use maud::{Markup, html};
use wakewright_core::study::{Figure, Interval, Opening, RangeFigure, SpeedRow};
use wakewright_report::sentence::{chosen_speed, range_finding};
use wakewright_report::text::{Paper, beyond_table};
use wakewright_units::factors::{HOUR_S, KNOT_M_S, NAUTICAL_MILE_M, RPM_REV_S, WATT_HOUR_J};
use wakewright_units::{Quantity, format_number};

use crate::cli::range::beyond_of;
use crate::explain::has_place;
use crate::no_answer;
use crate::scene::RangeScene;
use crate::web::error::WebError;
use crate::web::layout::Here;
use crate::web::pages::bench::{self, Asked, Bench, Parts};
use crate::web::parts::{self, Widths, live};
use crate::web::query::Query;
use crate::web::state::BoatOnPage;
use crate::web::whatif::{Slider, Tried, month_of, range_sliders, years_of};

/// The page Range.
pub struct Range;

impl Bench for Range {
    const WORD: &'static str = "range";
    const TITLE: &'static str = "Range";
    const HERE: Here = Here::Range;

    fn sliders(boat: &BoatOnPage, tried: &Tried, query: &Query) -> Vec<Slider> {
        range_sliders(&boat.loaded.document, tried, query, has_place(&boat.loaded))
    }

    fn parts(asked: &Asked<'_>) -> Result<Parts, WebError> {
        Ok(View::new(asked)?.parts())
    }
}

/// One result with everything that shows it.
struct View<'a> {
    boat: &'a BoatOnPage,
    tried: &'a Tried,
    scene: RangeScene,
    widths: Widths,
    paper: Paper,
}

impl<'a> View<'a> {
    fn new(asked: &Asked<'a>) -> Result<Self, WebError> {
        let Asked { boat, tried, query, visitor, samples } = *asked;
        let sun = has_place(&tried.loaded).then(|| month_of(query));
        let beyond = beyond_of(&tried.loaded, sun, Some(years_of(query)))
            .map_err(|failure| WebError::NoResult(failure.message))?;
        let scene = RangeScene::new(&tried.loaded, beyond, samples).map_err(|error| {
            WebError::NoResult(no_answer::why(
                &boat.entry.name,
                &tried.loaded.spec.boat,
                &error,
                &parts::paper(),
            ))
        })?;
        let widths = Widths::of(parts::contents_width(query, visitor));
        Ok(Self { boat, tried, scene, widths, paper: parts::paper() })
    }

    fn parts(&self) -> Parts {
        Parts {
            finding: self.finding(),
            chart: self.chart(),
            cautions: self.cautions(),
            keep: bench::keep::<Range>(self.boat, self.tried, &html! {}),
            rest: self.rest(),
        }
    }

    fn finding(&self) -> Markup {
        let (loaded, paper) = (&self.tried.loaded, &self.paper);
        let finding = range_finding(&loaded.name, &loaded.spec, &self.scene.study, paper);
        let miles = chosen_speed(&loaded.spec, &self.scene.study)
            .and_then(|row| row.distance_m)
            .map_or_else(String::new, |distance| paper.quantity(distance.value, Quantity::Distance));
        parts::finding(&finding, &miles)
    }

    fn chart(&self) -> Markup {
        let plot = self.scene.range(&self.tried.loaded.spec, &self.paper);
        let caption = "Miles to the reserve and power, against speed";
        live("chart", &parts::figure(&plot, self.widths.chart, "range", caption))
    }

    /// What the miles stand on, and what they are not for.
    fn cautions(&self) -> Markup {
        let boat = &self.tried.loaded.spec.boat;
        let words = html! {
            p.aside {
                "From " (parts::percent(boat.bank.state_of_charge)) " down to a reserve of " (parts::percent(boat.reserve))
                ". Miles are through the water: a stream adds or takes its own. The row set apart is full throttle. “Reached in” is the share of samples of the unsure inputs in which she reaches the speed; the bands of a row are over those."
            }
            div.caution {
                strong { "Not for navigation" }
                p { "Plan with official charts and tide tables, and with more in hand than the reserve." }
            }
        };
        live("cautions", &words)
    }

    /// What stands below chart and sliders.
    fn rest(&self) -> Markup {
        let rest = html! {
            (speed_table(&self.scene))
            @if let Some(beyond) = beyond_table(&self.scene.study, &self.paper) { (parts::titled(&beyond)) }
            (self.openings())
            (parts::notices(&self.scene.study.notices))
        };
        live("rest", &rest)
    }
}

impl View<'_> {
    /// The figures of the chosen speed, each of which opens.
    fn openings(&self) -> Markup {
        let study = &self.scene.study;
        let Some(row) = chosen_speed(&self.tried.loaded.spec, study) else { return html! {} };
        let openings: Vec<(Opening, Option<Interval>)> = RangeFigure::ALL
            .iter()
            .filter(|figure| figure.value(row).is_some())
            .map(|&figure| (Opening::Range(figure), figure.value(row)))
            .collect();
        let caption = format!("At {}", self.paper.decimals(row.speed_m_s, Quantity::Speed, 1));
        parts::figures_table(&caption, &openings, &self.boat.entry.slug, &self.tried.to_query(), &self.paper)
    }
}

fn speed_table(scene: &RangeScene) -> Markup {
    let full = scene.full_m_s;
    let rows = scene.study.speeds.iter().filter(|row| is_half_knot(row) || is_at(row, full));
    html! {
        div.scroll role="region" aria-label="Speed by speed" tabindex="0" {
            table {
                caption { "Speed by speed" }
                thead { tr {
                    @for head in ["speed, kn", "shaft, rpm", "out of the bank, kW", "Wh for a mile", "hours", "miles",
                        "four times in five", "reached in"] { th.number scope="col" { (head) } }
                } }
                tbody { @for row in rows { (speed_row(row, full)) } }
            }
        }
    }
}

fn is_half_knot(row: &SpeedRow) -> bool {
    let halves = 2.0 * row.speed_m_s / KNOT_M_S;
    (halves - halves.round()).abs() < 1e-6
}

fn is_at(row: &SpeedRow, speed_m_s: f64) -> bool {
    (row.speed_m_s / speed_m_s - 1.0).abs() < 1e-6
}

fn speed_row(row: &SpeedRow, full_m_s: f64) -> Markup {
    let value = |figure: Figure| row.figure(figure).map_or(f64::NAN, |interval| interval.value);
    let miles_decimals = |metres: f64| usize::from(metres < 20.0 * NAUTICAL_MILE_M);
    let (hours, miles, band) = match (row.duration_s, row.distance_m) {
        (Some(duration), Some(distance)) => (
            format_number(duration.value / HOUR_S, 1),
            format_number(distance.value / NAUTICAL_MILE_M, miles_decimals(distance.value)),
            parts::band(distance, NAUTICAL_MILE_M, miles_decimals(distance.p10)),
        ),
        _ => ("–".to_owned(), "–".to_owned(), String::new()),
    };
    let is_out = row.distance_m.is_none();
    // Full throttle hardly ever falls on a half knot; a second digit tells it from the row beside it.
    let decimals = if is_at(row, full_m_s) { 2 } else { 1 };
    html! {
        tr.binds[is_at(row, full_m_s)] .out[is_out] {
            th.number scope="row" { (format_number(row.speed_m_s / KNOT_M_S, decimals)) }
            td.number { (format_number(value(Figure::ShaftSpeed) / RPM_REV_S, 0)) }
            td.number { (format_number(value(Figure::BankPower) / 1000.0, 2)) }
            td.number { (format_number(value(Figure::EnergyPerMile) * NAUTICAL_MILE_M / WATT_HOUR_J, 0)) }
            td.number { (hours) }
            td.number { (miles) }
            td.number { @if is_out { "out of reach" } @else { (band) } }
            td.number { (parts::percent(row.share_in_reach)) }
        }
    }
}
