//! The lightest stock sizes, and fuses with them, that pass the rules which can be told without a sheet.
//! Not for: let-through, curves and time constants, which only the sheet of the fuse that is bought tells.

use super::conductor::allowed_a;
use super::fault::{FuseFaces, fuse_faces};
use super::harness::{Cable, Fuse, PACK, Service};
use super::network::{Network, warm_ohm};
use super::protection::{FUSE_RATINGS_A, FuseClass, largest_rating_a};
use super::size::Size;
use super::study::Wired;

/// Density of copper \[kg/m³\].
const COPPER_KG_M3: f64 = 8960.0;

/// What is proposed for a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposed {
    /// Name of its cable.
    pub cable: String,
    /// Metric row or gauge.
    pub is_metric: bool,
    /// How many such runs there are.
    pub count: usize,
    /// Size; `None` where no stock size does.
    pub size: Option<Size>,
    /// Rating of its fuse \[A\]; none for motor leads.
    pub rating_a: Option<f64>,
    /// Class of its fuse; none where no class that is known by its sheets breaks what it faces at these volts.
    pub class: Option<FuseClass>,
    /// What that fuse faces \[A\].
    pub faces_a: Option<f64>,
    /// Copper of all such runs \[kg\].
    pub mass_kg: f64,
    /// Heat of all such runs for hours \[W\].
    pub heat_w: f64,
    /// Cost of their conductors, in whatever money prices were typed; none without the price of that size.
    pub cost: Option<f64>,
}

/// Prices of a metre of conductor by size, as they were typed.
pub type Prices = Vec<(Size, f64)>;

/// Classes by what they weigh, each with its largest usual rating \[A\].
const BY_MASS: [(FuseClass, f64); 6] = [
    (FuseClass::Blade, 40.0),
    (FuseClass::Midi, 200.0),
    (FuseClass::Mega, 500.0),
    (FuseClass::Anl, 750.0),
    (FuseClass::T, 1200.0),
    (FuseClass::KnifeBlade, 1250.0),
];

/// Of each run the smallest size that carries its hours, loses no more than its kind may and has a stock fuse between
/// its load and its conductor's limit; metric sizes, then gauges.
///
/// Sizes are chosen one by one: each rule on a size asks of that run alone, so that the smallest of each make the lightest
/// set. Fuses are then held against the short circuits of the network that these sizes make.
#[must_use]
pub fn proposed(wired: &Wired, prices: &Prices) -> Vec<Proposed> {
    [true, false].into_iter().flat_map(|is_metric| of_row(wired, is_metric, prices)).collect()
}

fn of_row(wired: &Wired, is_metric: bool, prices: &Prices) -> Vec<Proposed> {
    let mut harness = wired.harness.clone();
    let chosen: Vec<Option<(Size, Option<f64>)>> = (0..harness.cables.len())
        .map(|place| {
            let sizes = Size::all().filter(|size| matches!(size, Size::Metric(_)) == is_metric);
            sizes.into_iter().find_map(|size| fits(wired, place, size))
        })
        .collect();
    harness.fuses.clear();
    for (place, chosen) in chosen.iter().enumerate() {
        let cable = &mut harness.cables[place];
        (cable.size, cable.loop_ohm) = (chosen.map(|(size, _)| size).or(cable.size), None);
    }
    let network = Network::of(&harness, wired.packs_ohm.len());
    chosen
        .iter()
        .enumerate()
        .map(|(place, chosen)| {
            let cable = &harness.cables[place];
            let count = if cable.from == PACK { wired.packs_ohm.len() } else { 1 };
            let is_at_end = wired.harness.fuses_of(place).next().is_some_and(|fuse: &Fuse| fuse.is_at_end);
            let rating_a = chosen.and_then(|(_, rating)| rating);
            let faces = rating_a.and(fuse_faces(&harness, &network, &wired.fault_packs, place));
            let faces = faces.map(|[begin, end]| if is_at_end { end } else { begin });
            let amperes = wired.carried[place].hours_a;
            let times = count as f64;
            Proposed {
                cable: cable.name.clone(),
                is_metric,
                count,
                size: chosen.map(|(size, _)| size),
                rating_a,
                class: rating_a.zip(faces).and_then(|(rating, faces)| class_for(wired, rating, faces)),
                faces_a: faces.map(|faces| faces.greatest.value),
                mass_kg: chosen.map_or(0.0, |(size, _)| times * copper_kg(cable, size)),
                heat_w: chosen.map_or(0.0, |(size, _)| times * warm_ohm(cable, size) * amperes * amperes),
                cost: chosen.and_then(|(size, _)| {
                    let (_, price) = prices.iter().find(|(priced, _)| *priced == size)?;
                    Some(times * conductors(cable) * cable.length_m * price)
                }),
            }
        })
        .collect()
}

/// The size with its fuse, where it carries its hours, loses no more than its kind may, and a stock fuse stands between its
/// load, that of minutes with it, and what protects its conductor.
pub(super) fn fits(wired: &Wired, place: usize, size: Size) -> Option<(Size, Option<f64>)> {
    let (cable, carried) = (&wired.harness.cables[place], &wired.carried[place]);
    let allowed = allowed_a(size, cable.insulation, cable.air_c, wired.together(cable))?;
    let worst_a = carried.worst_hours_a()?;
    let carries = allowed >= worst_a;
    if !carries || warm_ohm(cable, size) * carried.hours_a > cable.service.drop_limit() * wired.nominal_v {
        return None;
    }
    if cable.service == Service::Phase {
        return Some((size, None));
    }
    let largest = largest_rating_a(allowed, wired.rule_v());
    let load = carried.fuse_load_a()?;
    let rating = FUSE_RATINGS_A.into_iter().find(|rating| *rating >= load)?;
    (rating <= largest + 1e-9).then_some((size, Some(rating)))
}

/// The lightest class that stands the volts and breaks the upper end of what it faces.
fn class_for(wired: &Wired, rating_a: f64, faces: FuseFaces) -> Option<FuseClass> {
    let does = |(class, largest_a): &(FuseClass, f64)| {
        let usual = class.usual();
        rating_a <= *largest_a
            && usual.is_some_and(|(volts, breaks)| volts >= wired.highest_v && breaks >= faces.greatest.p90)
    };
    BY_MASS.iter().find(|class| does(class)).map(|(class, _)| *class)
}

fn conductors(cable: &Cable) -> f64 {
    if cable.service == Service::Phase { 3.0 } else { 2.0 }
}

/// Copper of a run \[kg\]: two conductors, of motor leads three.
fn copper_kg(cable: &Cable, size: Size) -> f64 {
    conductors(cable) * cable.length_m * size.area_mm2() * 1e-6 * COPPER_KG_M3
}
