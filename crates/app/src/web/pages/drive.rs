//! The Drive page: what stops her at full throttle, what the drive can reach and what the propeller asks,
//! where each watt goes. Not for: computing or drawing.

use maud::{Markup, html};
use wakewright_core::battery::TOUCH_LIMIT_V;
use wakewright_core::study::{Figure, Opening, Study, ThrottleRow};
use wakewright_report::draw::ladder_picture;
use wakewright_report::sentence::drive_finding;
use wakewright_report::text::Paper;
use wakewright_units::factors::{KNOT_M_S, NAUTICAL_MILE_M, RPM_REV_S, WATT_HOUR_J};
use wakewright_units::{Quantity, format_number};

use crate::boats::Loaded;
use crate::no_answer;
use crate::scene::DriveScene;
use crate::web::error::WebError;
use crate::web::layout::Here;
use crate::web::pages::bench::{self, Asked, Bench, Parts};
use crate::web::parts::{self, Widths, live};
use crate::web::query::Query;
use crate::web::state::BoatOnPage;
use crate::web::whatif::{Slider, Tried, drive_sliders, throttle_of};

/// Figures of the table.
const FIGURES: [Figure; 16] = [
    Figure::Speed,
    Figure::ShaftSpeed,
    Figure::ShaftTorque,
    Figure::DeliveredPower,
    Figure::BankPower,
    Figure::BankCurrent,
    Figure::BankVolts,
    Figure::MotorVolts,
    Figure::PhaseCurrent,
    Figure::WindingTemperature,
    Figure::Thrust,
    Figure::Resistance,
    Figure::Slip,
    Figure::PropellerEfficiency,
    Figure::OverallEfficiency,
    Figure::CavitationShare,
];

/// The page Drive.
pub struct Drive;

impl Bench for Drive {
    const WORD: &'static str = "drive";
    const TITLE: &'static str = "Drive";
    const HERE: Here = Here::Drive;

    fn sliders(boat: &BoatOnPage, tried: &Tried, query: &Query) -> Vec<Slider> {
        drive_sliders(&boat.loaded.document, tried, query)
    }

    fn parts(asked: &Asked<'_>) -> Result<Parts, WebError> {
        Ok(View::new(asked)?.parts())
    }
}

/// One result with everything that shows it.
struct View<'a> {
    boat: &'a BoatOnPage,
    tried: &'a Tried,
    scene: DriveScene,
    widths: Widths,
    paper: Paper,
}

impl<'a> View<'a> {
    fn new(asked: &Asked<'a>) -> Result<Self, WebError> {
        let Asked { boat, tried, query, visitor, samples } = *asked;
        let paper = parts::paper();
        let kept: Option<&Loaded> = tried.differs().then_some(&boat.loaded);
        let scene =
            DriveScene::new(&tried.loaded, kept, throttle_of(query), samples, &paper).map_err(|error| {
                WebError::NoResult(no_answer::why(
                    &boat.entry.name,
                    &tried.loaded.spec.boat,
                    &error,
                    &parts::paper(),
                ))
            })?;
        let widths = Widths::of(parts::contents_width(query, visitor));
        Ok(Self { boat, tried, scene, widths, paper })
    }

    fn parts(&self) -> Parts {
        Parts {
            finding: self.finding(),
            chart: self.chart(),
            cautions: self.cautions(),
            keep: self.keep(),
            rest: self.rest(),
        }
    }

    fn finding(&self) -> Markup {
        let study = &self.scene.study;
        let (loaded, paper) = (&self.tried.loaded, &self.paper);
        let finding = drive_finding(&loaded.name, &loaded.spec, study, paper);
        let state = &study.answers.full.held.state;
        let figure = format!(
            "{} at {}",
            paper.decimals(state.speed_m_s, Quantity::Speed, 1),
            paper.quantity(state.shaft_rev_s, Quantity::RotationalSpeed)
        );
        parts::finding(&finding, &figure)
    }

    fn chart(&self) -> Markup {
        let plot = self.scene.torque(&self.tried.loaded.spec, &self.paper);
        let caption = "What the drive can reach, what the propeller asks";
        live(
            "chart",
            &html! {
                (parts::figure(&plot, self.widths.chart, "torque", caption))
                (self.eased())
            },
        )
    }

    /// The numbers at the throttle position that is looked at.
    fn eased(&self) -> Markup {
        let row = self.scene.throttle.and_then(|throttle| {
            self.scene.study.throttles.iter().find(|row| (row.throttle - throttle).abs() < 1e-9)
        });
        let Some(row) = row else { return html! {} };
        let said = |figure: Figure| {
            self.paper.quantity(row.figures[figure as usize].value, figure.origin().quantity)
        };
        html! {
            p.eased {
                "Throttle at " (parts::percent(row.throttle)) ": " strong { (said(Figure::Speed)) }
                " at " (said(Figure::ShaftSpeed)) ", " (said(Figure::BankPower)) " and " (said(Figure::BankCurrent))
                " out of the bank, " (said(Figure::EnergyPerMile)) "."
            }
        }
    }

    /// What differs from what is kept, and the ways to keep it.
    fn keep(&self) -> Markup {
        let volts = self.scene.study.prepared.bank().high_voltage_v;
        let caution = html! {
            @if volts > TOUCH_LIMIT_V { (high_voltage(&self.paper.quantity(volts, Quantity::Voltage))) }
        };
        bench::keep::<Drive>(self.boat, self.tried, &caution)
    }

    /// What to read before anything is done about it.
    fn cautions(&self) -> Markup {
        live("cautions", &parts::cautions(&self.scene.study.notices))
    }

    /// What stands below chart and sliders.
    fn rest(&self) -> Markup {
        let study = &self.scene.study;
        let slug = &self.boat.entry.slug;
        let ladder = ladder_picture(study);
        let figures = FIGURES.map(|figure| (Opening::State(figure), Some(study.at_full(figure))));
        let rest = html! {
            (parts::figure(&ladder, self.widths.whole, "ladder", "Where each watt goes at full throttle"))
            (throttle_table(study, self.scene.throttle))
            @for (throttle, why) in &study.throttles_without_way {
                p.aside { "At " (parts::percent(*throttle)) " throttle " (why) "." }
            }
            div.columns {
                div { (parts::limits_table(study, &self.paper)) (parts::width_list(study)) }
                div {
                    (parts::figures_table("At full throttle", &figures, slug, &self.tried.to_query(), &self.paper))
                    (quay(study, &self.paper))
                    (parts::second_opinions(study, &self.paper))
                }
            }
            (parts::notices(&study.notices))
        };
        live("rest", &rest)
    }
}

fn high_voltage(volts: &str) -> Markup {
    html! {
        div.caution {
            strong { "Above 60 V" }
            p {
                "Fully charged this bank stands at " (volts) ". Above 60 V direct current a touch can kill, and an arc does \
                not go out by itself. Local codes, the makers' instructions and licensed practice go before anything said \
                here."
            }
        }
    }
}

fn throttle_table(study: &Study, looked_at: Option<f64>) -> Markup {
    html! {
        div.scroll role="region" aria-label="Over the lever" tabindex="0" {
            table {
                caption { "Over the lever" }
                thead { tr {
                    th.number scope="col" { "throttle" }
                    @for head in ["speed, kn", "four times in five", "shaft, rpm", "torque, N m", "at the shaft, kW",
                        "out of the bank, kW", "bank, A", "Wh for a mile"] { th.number scope="col" { (head) } }
                } }
                tbody { @for row in &study.throttles { (throttle_row(row, looked_at)) } }
            }
        }
    }
}

fn throttle_row(row: &ThrottleRow, looked_at: Option<f64>) -> Markup {
    let value = |figure: Figure| row.figures[figure as usize].value;
    let is_full = row.throttle > 0.995;
    let is_looked_at = looked_at.is_some_and(|throttle| (throttle - row.throttle).abs() < 1e-9);
    let cells = [
        format_number(value(Figure::Speed) / KNOT_M_S, 1),
        parts::band(row.figures[Figure::Speed as usize], KNOT_M_S, 1),
        format_number(value(Figure::ShaftSpeed) / RPM_REV_S, 0),
        format_number(value(Figure::ShaftTorque), 0),
        format_number(value(Figure::DeliveredPower) / 1000.0, 2),
        format_number(value(Figure::BankPower) / 1000.0, 2),
        format_number(value(Figure::BankCurrent), 0),
        format_number(value(Figure::EnergyPerMile) * NAUTICAL_MILE_M / WATT_HOUR_J, 0),
    ];
    html! {
        tr.binds[is_full] .looked-at[is_looked_at] {
            th.number scope="row" { (parts::percent(row.throttle)) }
            @for cell in cells { td.number { (cell) } }
        }
    }
}

fn quay(study: &Study, paper: &Paper) -> Markup {
    let (Some(pull), Some(interval)) = (study.answers.bollard, study.bollard_n) else { return html! {} };
    html! {
        p {
            "Tied to a quay she would pull " strong { (paper.quantity(interval.value, Quantity::Force)) }
            " (" (paper.band(interval, Quantity::Force)) ") at "
            (paper.quantity(pull.shaft_rev_s, Quantity::RotationalSpeed)) "."
        }
    }
}
