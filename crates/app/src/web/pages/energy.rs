//! The page Energy: a day and a year of her bank, what it holds, and one pack lost.
//! Not for: computing or drawing.

use maud::{Markup, html};
use wakewright_core::energy::EnergyFigure;
use wakewright_core::study::{BankFigure, BankStudy, Interval, Opening};
use wakewright_report::text::{
    Paper, bank_finding, bank_tables, day_finding, energy_finding, hours_table, year_basis_words, year_tables,
};

use crate::cli::bank::questions;
use crate::explain::has_place;
use crate::no_answer;
use crate::sampling;
use crate::scene::{DayAsked, EnergyScene};
use crate::web::address;
use crate::web::error::WebError;
use crate::web::layout::Here;
use crate::web::pages::bench::{self, Asked, Bench, Parts};
use crate::web::parts::{self, SETTLED_SAMPLES, Widths, live};
use crate::web::query::Query;
use crate::web::state::BoatOnPage;
use crate::web::visitor::Visitor;
use crate::web::whatif::{Slider, Tried, energy_sliders, is_under_way, month_of};

/// Weathers that a moving slider is answered with.
const QUICK_WEATHERS: usize = 12;
/// Weathers of a page at rest.
const SETTLED_WEATHERS: usize = 200;
/// Samples of the bank at rest; a moving slider gets fewer.
const SETTLED_BANK_SAMPLES: usize = 400;

/// The page Energy.
pub struct Energy;

impl Bench for Energy {
    const WORD: &'static str = "energy";
    const TITLE: &'static str = "Energy";
    const HERE: Here = Here::Energy;

    fn sliders(boat: &BoatOnPage, tried: &Tried, query: &Query) -> Vec<Slider> {
        energy_sliders(&boat.loaded.document, tried, query)
    }

    fn parts(asked: &Asked<'_>) -> Result<Parts, WebError> {
        Ok(View::new(asked)?.parts())
    }

    fn contents(boat: &BoatOnPage, query: &Query, visitor: &Visitor) -> Result<Markup, WebError> {
        if has_place(&boat.loaded) {
            bench::contents::<Self>(boat, query, visitor)
        } else {
            without_place(boat)
        }
    }
}

/// Without a place there is no sun and no year; the bank is shown all the same.
fn without_place(boat: &BoatOnPage) -> Result<Markup, WebError> {
    let paper = parts::paper();
    let study = bank_of(boat, &Tried::new(&boat.loaded, &Query::default()), SETTLED_BANK_SAMPLES)?;
    let (name, spec) = (&boat.loaded.name, &boat.loaded.spec);
    Ok(html! {
        (parts::finding(&bank_finding(name, spec, &study, &paper), ""))
        p {
            "Her document does not say where she lies: no sun and no year. "
            a href=(address::of_boat(&boat.entry.slug, "boat")) { "Say so on the sheet" }
            ", under place; panels, loads aboard and the week go with it."
        }
        @for titled in bank_tables(spec, &study, &paper) { (parts::titled(&titled)) }
        (parts::cautions(&study.notices))
        (parts::notices(&study.notices))
    })
}

fn bank_of(boat: &BoatOnPage, tried: &Tried, samples: usize) -> Result<BankStudy, WebError> {
    let loaded = &tried.loaded;
    sampling::bank_study(&loaded.spec, &questions(loaded), samples, sampling::DEFAULT_SEED).map_err(|error| {
        WebError::NoResult(no_answer::why(&boat.entry.name, &loaded.spec.boat, &error, &parts::paper()))
    })
}

/// One result with everything that shows it.
struct View<'a> {
    boat: &'a BoatOnPage,
    tried: &'a Tried,
    scene: EnergyScene,
    bank: BankStudy,
    widths: Widths,
    paper: Paper,
}

impl<'a> View<'a> {
    fn new(asked: &Asked<'a>) -> Result<Self, WebError> {
        let Asked { boat, tried, query, visitor, samples } = *asked;
        let is_settled = samples >= SETTLED_SAMPLES;
        let weathers = if is_settled { SETTLED_WEATHERS } else { QUICK_WEATHERS };
        let asked = DayAsked { month: month_of(query), is_under_way: is_under_way(query) };
        let scene = EnergyScene::new(&tried.loaded, asked, weathers, is_settled)
            .map_err(|failure| WebError::NoResult(failure.message))?;
        let bank = bank_of(boat, tried, samples.min(SETTLED_BANK_SAMPLES))?;
        let widths = Widths::of(parts::contents_width(query, visitor));
        Ok(Self { boat, tried, scene, bank, widths, paper: parts::paper() })
    }

    fn parts(&self) -> Parts {
        let name = &self.tried.loaded.name;
        let finding = energy_finding(name, &self.scene.plan, &self.scene.study);
        Parts {
            finding: parts::finding(&finding, ""),
            chart: live("chart", &self.strips()),
            cautions: live("cautions", &self.cautions()),
            keep: bench::keep::<Energy>(self.boat, self.tried, &html! {}),
            rest: live("rest", &self.rest()),
        }
    }

    fn strips(&self) -> Markup {
        let loaded = &self.tried.loaded;
        let (day, year) = (self.scene.day_strip(loaded), self.scene.year_strip(loaded));
        let said = day_finding(&loaded.name, &self.scene.day);
        html! {
            (parts::figure(&year, self.widths.chart, "year", "A year, week by week"))
            (parts::figure(&day, self.widths.chart, "day", "A day, hour by hour"))
            p { (said.sentence) " " (said.further) }
        }
    }

    fn cautions(&self) -> Markup {
        let mut notices = self.scene.study.notices.clone();
        for notice in &self.bank.notices {
            if !notices.contains(notice) {
                notices.push(notice.clone());
            }
        }
        parts::cautions(&notices)
    }

    /// What stands below strips and sliders.
    fn rest(&self) -> Markup {
        let (spec, study) = (&self.tried.loaded.spec, &self.scene.study);
        let bank = bank_finding(&self.tried.loaded.name, spec, &self.bank, &self.paper);
        let of_year = EnergyFigure::ALL.iter().map(|&f| (Opening::Energy(f), f.value(study)));
        let of_bank = BankFigure::ALL.iter().map(|&f| (Opening::Bank(f), f.value(&self.bank)));
        let openings: Vec<(Opening, Option<Interval>)> =
            of_year.chain(of_bank).filter(|(_, interval)| interval.is_some()).collect();
        html! {
            @for titled in year_tables(study) { (parts::titled(&titled)) }
            p.aside { (year_basis_words(spec, &self.scene.plan, study, &self.paper)) }
            (parts::titled(&hours_table(&self.scene.day, false)))
            h2 { "The bank" }
            p { (bank.sentence) " " (bank.further) }
            @for titled in bank_tables(spec, &self.bank, &self.paper) { (parts::titled(&titled)) }
            (parts::figures_table("A year and the bank", &openings, &self.boat.entry.slug, &self.tried.to_query(), &self.paper))
            (parts::notices(&study.notices))
        }
    }
}
