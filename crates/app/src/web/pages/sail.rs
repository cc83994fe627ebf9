//! The page Under sail: what the propeller costs, what cancels it, what comes back.
//! Not for: computing or drawing.

use maud::{Markup, html};
use wakewright_core::sail::SailFigure;
use wakewright_core::study::{Interval, Opening};
use wakewright_report::text::{Paper, hazard_words, sail_finding, sail_tables, stopping_words};
use wakewright_units::Quantity;

use crate::no_answer;
use crate::scene::SailScene;
use crate::web::error::WebError;
use crate::web::layout::Here;
use crate::web::pages::bench::{self, Asked, Bench, Parts};
use crate::web::parts::{self, Widths, live};
use crate::web::query::Query;
use crate::web::state::BoatOnPage;
use crate::web::whatif::{Slider, Tried, sail_sliders};

/// The page Under sail.
pub struct Sail;

impl Bench for Sail {
    const WORD: &'static str = "sail";
    const TITLE: &'static str = "Under sail";
    const HERE: Here = Here::Sail;

    fn sliders(boat: &BoatOnPage, tried: &Tried, _query: &Query) -> Vec<Slider> {
        sail_sliders(&boat.loaded.document, tried)
    }

    fn parts(asked: &Asked<'_>) -> Result<Parts, WebError> {
        Ok(View::new(asked)?.parts())
    }
}

/// One result with everything that shows it.
struct View<'a> {
    boat: &'a BoatOnPage,
    tried: &'a Tried,
    scene: SailScene,
    widths: Widths,
    paper: Paper,
}

impl<'a> View<'a> {
    fn new(asked: &Asked<'a>) -> Result<Self, WebError> {
        let Asked { boat, tried, query, visitor, samples } = *asked;
        let paper = parts::paper();
        let scene = SailScene::new(&tried.loaded, samples).map_err(|error| {
            WebError::NoResult(no_answer::why(&boat.entry.name, &tried.loaded.spec.boat, &error, &paper))
        })?;
        let widths = Widths::of(parts::contents_width(query, visitor));
        Ok(Self { boat, tried, scene, widths, paper })
    }

    fn parts(&self) -> Parts {
        Parts {
            finding: self.finding(),
            chart: self.charts(),
            cautions: live("cautions", &self.cautions()),
            keep: bench::keep::<Sail>(self.boat, self.tried, &html! {}),
            rest: live("rest", &self.rest()),
        }
    }

    fn finding(&self) -> Markup {
        let study = &self.scene.study;
        let speed = study
            .finding_row()
            .map_or_else(String::new, |row| self.paper.decimals(row.speed_m_s, Quantity::Speed, 1));
        parts::finding(&sail_finding(&self.tried.loaded.name, study, &self.paper), &speed)
    }

    fn charts(&self) -> Markup {
        let drag = self.scene.drag(&self.paper);
        let pictures = html! {
            (parts::figure(&drag, self.widths.chart, "sail-drag", "Drag of the propeller against speed under sail"))
            @if let Some(power) = self.scene.power(&self.paper) {
                (parts::figure(&power, self.widths.chart, "sail-power", "Watts from the bank, and back into it"))
            }
        };
        live("chart", &pictures)
    }

    /// What may happen, where it is decided.
    fn cautions(&self) -> Markup {
        let study = &self.scene.study;
        html! {
            @if !study.is_stowed {
                div.caution {
                    strong { "What may happen" }
                    p { (hazard_words(study, &self.paper)) }
                }
            }
            (parts::cautions(&study.notices))
        }
    }

    /// What stands below charts and sliders.
    fn rest(&self) -> Markup {
        let study = &self.scene.study;
        let openings: Vec<(Opening, Option<Interval>)> = SailFigure::ALL
            .iter()
            .filter(|figure| figure.value(study).is_some())
            .map(|&figure| (Opening::Sail(figure), figure.value(study)))
            .collect();
        let stopping = stopping_words(study, &self.paper);
        html! {
            @for titled in sail_tables(study, &self.paper) { (parts::titled(&titled)) }
            @if !stopping.is_empty() {
                h2 { "Tied up, and stopping" }
                p { (stopping) }
            }
            (parts::figures_table("Under sail", &openings, &self.boat.entry.slug, &self.tried.to_query(), &self.paper))
            (parts::notices(&study.notices))
        }
    }
}
