//! Whether she gets home on what is in the bank: when to leave, how fast, how sure, and until when to turn back.
//! Not for: how it is computed (`wakewright_core::passage`), her steady state.

pub mod asked;
pub mod charge;
mod chart;
mod sheets;
mod words;

use wakewright_core::caution;
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::passage::{
    HomeAsked, HomeSpreads, HomeStudy, Stage, Try, TryRow, Way, least_energy_speed, sample_home,
    summarise_home, turn_back_s,
};
use wakewright_core::sheet::{AnySheet, Filled};
use wakewright_core::spread::Sampler;
use wakewright_core::steady::{Ask, BoatError, PreparedBoat};
use wakewright_records::boat::usual_reserve;
use wakewright_units::factors::KNOT_M_S;

use crate::boats::loads_by_hour;
use crate::left_out::Counted;
use crate::no_answer::NoAnswer;
use crate::room::{Asked, Block, Card, Place, Question, Room, SAMPLES, Typed};
use crate::sampling;
use crate::text::{Finding, Paper};
use crate::whatif::{Slider, placed, sized, standing_of, stock};
use asked::Told;

/// The room.
#[derive(Debug)]
pub struct GetHome;

static CARD: Card = Card {
    key: "gethome",
    title: "Get home",
    about: "Whether she gets home on what is in the bank, how fast and when to leave",
    examples: &[
        "myboat.toml --miles 9 --stream \"2 kn against until 00:30\" --charge \"61 %\" --now 22:00",
        "myboat.toml --miles 5 --stream \"at noaa/FPI0901\" --course 245 --now 18:00",
        "myboat.toml --miles 6 --charge \"80 Ah used\" --set sea.head_wind=\"12 kn\"",
    ],
    pictures: &[("gethome", "Charge on arrival against speed")],
    demo: "does she get home tonight?",
    samples: SAMPLES,
};

/// Slowest speed at which she steers \[m/s\]: 2 kn, from memory.
const STEERS_M_S: f64 = 2.0 * KNOT_M_S;
/// Speeds of the curve.
const SPEEDS: usize = 9;

/// What was found.
#[derive(Debug)]
pub struct Found {
    study: HomeStudy,
    /// First row of the departures; those before are speeds of leaving now.
    first_departure: usize,
    /// The row that is advised.
    best: usize,
    /// The row of least energy at the departure that is advised.
    cheapest: usize,
    /// Row of the place to lie, where one was typed.
    lie: Option<usize>,
    stages: Vec<Stage>,
    is_last_assumed: bool,
    /// Until when the stream is known where a tide makes it, and whose it is.
    tidal: Option<(f64, String)>,
    spreads: HomeSpreads,
    now_s: f64,
    charge: f64,
    reserve: f64,
    distance_m: f64,
    fastest_m_s: Option<f64>,
    sure_m_s: Option<f64>,
    turn_back_s: Option<f64>,
    /// Whether loads go by the hour, and their mean over the day \[W\].
    loads: (bool, f64),
    /// From when on full throttle stems the stream, where it does not at once \[s\].
    stems_from_s: Option<f64>,
    /// How full the banks are by the document that are used after the drive's, where there are some.
    further: Option<f64>,
    notices: Vec<Notice>,
}

impl Found {
    fn best(&self) -> Option<&TryRow> {
        self.study.rows.get(self.best)
    }

    fn speeds(&self) -> impl Iterator<Item = &TryRow> {
        self.study.rows[..self.first_departure].iter()
    }

    fn departures(&self) -> impl Iterator<Item = &TryRow> {
        let end = self.lie.unwrap_or(self.study.rows.len());
        self.study.rows[self.first_departure..end].iter()
    }

    /// The hour of the clock, so long from now.
    fn clock(&self, after_s: f64) -> String {
        let minutes = (((self.now_s + after_s) / 60.0).round() as i64).rem_euclid(24 * 60);
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
    }
}

/// Her power at a speed, straight between speeds that lie close.
struct Powers {
    first_m_s: f64,
    step_m_s: f64,
    power_w: Vec<f64>,
}

impl Powers {
    fn of(prepared: &PreparedBoat, (slowest, fastest): (f64, f64)) -> Self {
        const COUNT: usize = 60;
        let step_m_s = (fastest - slowest) / (COUNT - 1) as f64;
        let at = |i: usize| {
            let bound = prepared.solve(Ask::Speed(slowest + i as f64 * step_m_s)).ok();
            bound.map_or(f64::NAN, |bound| bound.state.bank_power_w())
        };
        Self { first_m_s: slowest, step_m_s, power_w: (0..COUNT).map(at).collect() }
    }

    fn at(&self, speed_m_s: f64) -> Option<f64> {
        let place = ((speed_m_s - self.first_m_s) / self.step_m_s).max(0.0);
        let (i, share) = (place.floor() as usize, place.fract());
        let (one, other) = (*self.power_w.get(i)?, *self.power_w.get(i + 1).or(self.power_w.last())?);
        Some(one + (other - one) * share).filter(|power| power.is_finite())
    }
}

impl Room for GetHome {
    type Found = Found;

    fn card(&self) -> &'static Card {
        &CARD
    }

    fn questions(&self) -> &'static [Question] {
        &asked::QUESTIONS
    }

    fn answer(&self, asked: &Asked<'_>) -> Result<Found, NoAnswer> {
        let spec = &asked.boat.spec;
        let failed = |error: BoatError| NoAnswer::of(asked.boat, &error);
        let distance_m = asked.replies.number("miles").ok_or_else(|| {
            NoAnswer::input("give the miles home over the ground. Stream, charge and hour go with them")
        })?;
        if let Some(lie_m) = asked.replies.number("lie")
            && lie_m >= distance_m
        {
            return Err(NoAnswer::input(
                "the place to lie is no nearer than home; give its own miles, fewer than those home",
            ));
        }
        let asked::Told { stages, is_last_assumed, now_s, turns_s, tidal, spreads, notices } =
            Told::of(asked)?;
        let charge = charge::charge(asked.replies.text("charge"), &spec.boat.bank)?;
        let mut boat = spec.boat.clone();
        boat.bank.state_of_charge = charge.median;
        let prepared = PreparedBoat::new(&boat).map_err(failed)?.value;
        let full_m_s = prepared.full_throttle().map_err(|error| failed(error.into()))?.held.state.speed_m_s;
        // Just within full throttle, where rounding cannot put it out of reach.
        let slowest_m_s = asked.replies.number("slowest").unwrap_or(STEERS_M_S);
        let limits = (slowest_m_s.min(0.95 * full_m_s), full_m_s * (1.0 - 1e-6));
        let powers = Powers::of(&prepared, limits);
        let power = |speed: f64| powers.at(speed);
        let way = Way { distance_m, stages: stages.clone() };
        let tenth =
            |speed: f64| ((speed / KNOT_M_S * 10.0).round() / 10.0 * KNOT_M_S).max(limits.0).min(limits.1);
        let best_at = |way: &Way, leaves_s: f64| {
            let best = least_energy_speed(way, leaves_s, limits, power)?.0;
            Some(Try { leaves_s, speed_m_s: tenth(best), distance_m: way.distance_m })
        };
        let Some(now) = best_at(&way, 0.0) else {
            return Err(NoAnswer::Finding(words::never(&asked.boat.name, full_m_s, &stages)));
        };
        let mut tries: Vec<Try> = (0..SPEEDS)
            .map(|i| limits.0 + (limits.1 - limits.0) * i as f64 / (SPEEDS - 1) as f64)
            .map(|speed_m_s| Try { speed_m_s, ..now })
            .filter(|tried| way.takes_s(0.0, tried.speed_m_s).is_some())
            .collect();
        let first_departure = tries.len();
        tries.push(now);
        tries.extend(later(&turns_s).into_iter().filter_map(|leaves_s| best_at(&way, leaves_s)));
        let lie = asked
            .replies
            .number("lie")
            .and_then(|metres| best_at(&Way { distance_m: metres, stages: stages.clone() }, 0.0));
        let lie_at = lie.map(|_| tries.len());
        tries.extend(lie);
        let further = spec.boat.further.iter().find(|further| further.follows(&spec.boat.bank));
        let loads = loads_by_hour(asked.boat);
        let stages_now = stages.clone();
        let question =
            HomeAsked { stages: stages_now, is_last_assumed, charge, spreads, loads, now_s, tries };
        let samples =
            sampling::every(asked.samples, asked.seed, |sampler, n| sample_home(spec, &question, sampler, n));
        let study = summarise_home(spec, &question, Sampler::new(asked.seed), &samples);
        let cheapest =
            advised(&study.rows[first_departure..lie_at.unwrap_or(study.rows.len())]) + first_departure;
        let best = if cheapest == first_departure {
            let usual = spec.fittings.cruising_speed_m_s.unwrap_or(0.7 * full_m_s);
            kept(&study.rows[..=first_departure], usual)
        } else {
            cheapest
        };
        let advised = study.rows[best].tried;
        let (is_home, is_sure) =
            (|row: &TryRow| row.charge.value - boat.reserve, |row: &TryRow| row.above_share - 0.9);
        let mut curve = study.rows[..=first_departure].to_vec();
        curve.sort_by(|a, b| a.tried.speed_m_s.total_cmp(&b.tried.speed_m_s));
        Ok(Found {
            fastest_m_s: last_above(&curve, is_home),
            sure_m_s: last_above(&curve, is_sure),
            turn_back_s: turn_back_s(&way, advised.leaves_s, advised.speed_m_s, limits, power),
            study,
            first_departure,
            best,
            cheapest,
            lie: lie_at,
            stages,
            is_last_assumed,
            now_s,
            charge: charge.median,
            reserve: boat.reserve,
            distance_m,
            loads: (!question.loads.is_empty(), boat.house_power_w),
            stems_from_s: way.not_stemmed_until_s(0.0, full_m_s),
            further: further.map(|further| further.bank.state_of_charge),
            tidal,
            spreads,
            notices: [vec![caution::GETTING_HOME], notices].concat(),
        })
    }

    fn sheets(&self) -> &'static [&'static dyn AnySheet<Found>] {
        &sheets::SHEETS
    }

    fn finding(&self, asked: &Asked<'_>, found: &Found, paper: &Paper) -> Finding {
        words::finding(&asked.boat.name, found, paper)
    }

    fn blocks(&self, asked: &Asked<'_>, found: &Found, sheets: &[Filled], paper: &Paper) -> Vec<Block> {
        let sentence = words::finding(&asked.boat.name, found, paper).sentence;
        vec![
            Block::picture("gethome", "Charge on arrival against speed, leaving now", Place::Chart, chart::picture(found, sentence, paper)),
            Block::sheet(sheets, "departures"),
            Block::sheet(sheets, "speeds").remark(
                "Left: of all cases, 0 where she does not arrive; where banks are used one after the other, of all of them together.",
            ),
            Block::sheet(sheets, "figures"),
            Block::words("The stream as it was taken", words::streams(found, paper)),
        ]
    }

    fn notices<'f>(&self, found: &'f Found) -> &'f [Notice] {
        &found.notices
    }

    fn samples(&self, found: &Found) -> Vec<Counted> {
        Counted::one(&found.study.taken)
    }

    fn sliders(&self, asked: &Asked<'_>) -> Vec<Slider> {
        sliders(asked)
    }

    fn typed(&self, _: &Asked<'_>) -> Vec<Typed> {
        asked::fields()
    }

    fn occasion(&self, _: &Asked<'_>, found: &Found, _: &Paper) -> String {
        format!("Leaving at {}", found.clock(0.0))
    }
}

/// What is tried on a way that the bank has to last for: wind, reserve, loads, sea, and the charge where none is typed.
#[must_use]
pub fn sliders(asked: &Asked<'_>) -> Vec<Slider> {
    let document = &asked.as_kept().document;
    let reserve = format!("{:.0} %", 100.0 * usual_reserve(&asked.boat.spec.boat.bank));
    let mut sliders = vec![
        sized(field::sea::HEAD_WIND, "wind from ahead", stock::winds()),
        Slider { usual: Some(reserve), ..sized(field::bank::RESERVE, "reserve", stock::shares(0, 50)) },
        Slider {
            usual: Some(standing_of(document)),
            ..sized(field::bank::HOUSE_LOAD, "standing load", stock::loads())
        },
        sized(field::sea::SEA_MARGIN, "sea margin", stock::shares(0, 50)),
    ];
    if !asked.replies.has("charge") {
        sliders.insert(0, sized(field::bank::STATE_OF_CHARGE, "state of charge", stock::shares(20, 100)));
    }
    placed(sliders, document, asked.tried)
}

/// Departures beside now: when the streams change, and half hours until the last of these.
fn later(ends_s: &[f64]) -> Vec<f64> {
    const HALF_HOUR_S: f64 = 1800.0;
    const MOST: usize = 5;
    let last = ends_s.iter().copied().fold(0.0, f64::max).min(24.0 * 3600.0);
    let mut found: Vec<f64> = ends_s.iter().copied().filter(|end| *end <= last).collect();
    let every =
        (last / HALF_HOUR_S / (MOST - found.len().min(MOST - 1)) as f64).ceil().max(1.0) * HALF_HOUR_S;
    let mut at = every;
    while at < last - 0.5 * HALF_HOUR_S {
        if found.iter().all(|known| (known - at).abs() >= 0.5 * HALF_HOUR_S) {
            found.push(at);
        }
        at += every;
    }
    found.sort_by(f64::total_cmp);
    found
}

/// The speed to keep, leaving now; the last row is that of least energy. Where she is surely home, the one nearest to her usual
/// speed of those that are as sure as any: a night at two knots is no gain. Else the surest where it is surer.
fn kept(leaving_now: &[TryRow], usual_m_s: f64) -> usize {
    const AS_SURE: f64 = 0.01;
    let cheapest = leaving_now.len() - 1;
    let surest = leaving_now.iter().map(|row| row.above_share).fold(0.0, f64::max);
    // Where hardly any brings her home the sentence tells of the speed of least energy.
    let is_no_surer = surest < leaving_now[cheapest].above_share + 2.0 * AS_SURE;
    if surest < 0.1 || (surest < 0.9 && is_no_surer) {
        return cheapest;
    }
    let off = |place: usize| (leaving_now[place].tried.speed_m_s - usual_m_s).abs();
    let as_sure = (0..leaving_now.len()).filter(|place| leaving_now[*place].above_share >= surest - AS_SURE);
    as_sure.min_by(|a, b| off(*a).total_cmp(&off(*b))).unwrap_or(cheapest)
}

/// Now where that is sure, else the surest departure where it is surer by a twentieth. Who is home about as soon by waiting, with no
/// less in the bank, waits: against a stream as fast as she is she only stands still.
fn advised(departures: &[TryRow]) -> usize {
    /// So much later is about as soon \[s\]; judgement.
    const SOON_S: f64 = 1800.0;
    let waits = departures.first().and_then(|now| {
        let is_as_good = |row: &TryRow| {
            row.after_s.value <= now.after_s.value + SOON_S
                && row.charge.value >= now.charge.value - 1e-9
                && row.above_share >= now.above_share - 1e-9
        };
        let later = departures.iter().enumerate().skip(1).filter(|(_, row)| is_as_good(row));
        later.max_by(|a, b| a.1.charge.value.total_cmp(&b.1.charge.value)).map(|(place, _)| place)
    });
    if let Some(place) = waits {
        return place;
    }
    let now = departures.first().map_or(0.0, |row| row.above_share);
    let surest = departures.iter().enumerate().max_by(|a, b| a.1.above_share.total_cmp(&b.1.above_share));
    match surest {
        Some((place, row)) if now < 0.9 && row.above_share > now + 0.05 => place,
        _ => 0,
    }
}

/// The fastest speed at which `of` is not negative, straight between rows; none where it is nowhere.
fn last_above(rows: &[TryRow], of: impl Fn(&TryRow) -> f64) -> Option<f64> {
    let last = rows.iter().rposition(|row| of(row) >= 0.0)?;
    let (row, next) = (&rows[last], rows.get(last + 1));
    let speed = |row: &TryRow| row.tried.speed_m_s;
    Some(next.map_or(speed(row), |next| {
        speed(row) + (speed(next) - speed(row)) * of(row) / (of(row) - of(next)).max(1e-9)
    }))
}
