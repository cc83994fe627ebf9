//! How sure a passage is: samples of streams, boat and charge, for the plan kept and for the speed chosen anew on the way; and
//! until when she can turn back. Not for: sampling in parallel.

use super::aboard::Aboard;
use super::course::{Course, Grid, Piece};
use super::home::HomeSpreads;
use super::keep::Kept;
use super::leg::{Leg, Off};
use super::plan::Policy;
use super::power::{PowerTable, Setting, power_tables};
use super::supply::{Left, Supply};
use super::voyage::{Planned, Run, Stands};
use crate::boat::{Boat, BoatSpec};
use crate::spread::{DEVIATE_P90, Interval, Sampler, Spread, name_number};
use crate::steady::Taken;

/// What is sampled.
#[derive(Debug, Clone, Copy)]
pub struct ChanceAsked<'a> {
    /// The course as expected.
    pub course: &'a Course<'a>,
    /// What each power table holds in.
    pub settings: &'a [Setting],
    /// The plan that keeps the window.
    pub planned: &'a Planned,
    /// The same as it is kept.
    pub kept: &'a Kept,
    /// What is best where the window is given up.
    pub free: &'a Policy,
    /// Charge at the start.
    pub charge: Spread,
    /// Spreads of streams and wind.
    pub spreads: HomeSpreads,
}

/// How a sample of a passage went, at the start and at the end of each leg.
#[derive(Debug, Clone, PartialEq)]
pub struct Gone {
    /// When \[s\]; shorter where she came to a stand.
    pub at_s: Vec<f64>,
    /// Share of all that the banks hold.
    pub shares: Vec<f64>,
    /// The least that it was above the reserve up to there.
    pub spare: Vec<f64>,
    /// Whether she is there.
    pub is_there: bool,
    /// Out of the banks for the drive \[J\].
    pub drive_j: f64,
}

impl Gone {
    fn of(pieces: &[Piece], run: &Run, reserve: f64) -> Self {
        let mut gone = Self {
            at_s: Vec::new(),
            shares: Vec::new(),
            spare: Vec::new(),
            is_there: run.is_there,
            drive_j: run.drive_j,
        };
        let mut spare = f64::INFINITY;
        for (i, share) in run.shares.iter().enumerate() {
            spare = spare.min(share - reserve);
            let is_end = i == 0 || pieces.get(i).is_none_or(|next| next.leg() != pieces[i - 1].leg());
            if is_end {
                gone.at_s.push(run.at_s[i]);
                gone.shares.push(*share);
                gone.spare.push(spare);
            }
        }
        gone
    }
}

/// A sample: the plan kept, and the speed chosen anew.
#[derive(Debug, Clone, PartialEq)]
pub struct PassageSample {
    /// The plan kept.
    pub kept: Gone,
    /// The speed chosen anew each half hour.
    pub anew: Gone,
}

/// Speed is chosen anew after this \[s\].
pub const ANEW_S: f64 = 1800.0;

impl ChanceAsked<'_> {
    /// Sample number `sample`, `aboard` being what goes on aboard in it; none where her figures contradict each other.
    #[must_use]
    pub fn sample(
        &self,
        spec: &BoatSpec,
        aboard: impl Fn(&Boat) -> Aboard,
        sampler: Sampler,
        sample: u64,
    ) -> Option<PassageSample> {
        const SPEEDS: usize = 11;
        const CHARGES: usize = 5;
        let deviate = |name: &str| sampler.deviate(name_number(name), sample);
        let share = |name: &str| deviate(name) / DEVIATE_P90;
        let off = Off {
            share: self.spreads.stream_share * share("stream_share"),
            beside_m_s: self.spreads.stream_m_s * share("stream_beside"),
            later_s: self.spreads.change_s * share("stream_time"),
        };
        let mut boat = spec.sample(sampler, sample);
        boat.bank.state_of_charge = self.charge.at_deviate(deviate("charge_now")).clamp(0.0, 1.0);
        let (supply, left) = Supply::of(&boat).ok()?;
        let table = self.course.tables.first()?;
        let speeds = (table.first_m_s, table.last_m_s());
        let wind_off_m_s = self.spreads.wind_m_s * share("wind_off");
        let windier = |setting: &Setting| Setting {
            head_wind_m_s: Some(setting.head_wind_m_s.unwrap_or(boat.sea.true_head_wind_m_s) + wind_off_m_s),
            ..*setting
        };
        let settings: Vec<Setting> = self.settings.iter().map(windier).collect();
        let tables =
            power_tables(&boat, &supply.looked_at(&left, CHARGES), &settings, speeds, SPEEDS).ok()?;
        let legs: Vec<Leg> =
            self.course.legs.iter().map(|leg| Leg { stream: leg.stream.off(off), ..leg.clone() }).collect();
        let aboard = aboard(&boat);
        let course = Course { legs: &legs, tables: &tables, aboard: &aboard, ..self.course.clone() };
        let pieces = &self.planned.pieces;
        let reserve = supply.reserve_share();
        let from = (course.leaves_s, &left);
        let keeps = |stands: Stands<'_>| course.keeps(pieces, &self.kept.chosen, stands.piece, stands.at_s);
        let kept = course.run(pieces, &supply, from, keeps);
        let mut helm = Helm {
            asked: self,
            course: &course,
            supply: &supply,
            until_s: f64::NEG_INFINITY,
            speed_m_s: 0.0,
        };
        let anew = course.run(pieces, &supply, from, |stands| helm.chooses(stands));
        Some(PassageSample { kept: Gone::of(pieces, &kept, reserve), anew: Gone::of(pieces, &anew, reserve) })
    }
}

/// Who chooses the speed anew: by the plan's own knowledge of the streams, with what the drive is seen to take.
struct Helm<'a> {
    asked: &'a ChanceAsked<'a>,
    course: &'a Course<'a>,
    supply: &'a Supply,
    until_s: f64,
    speed_m_s: f64,
}

impl Helm<'_> {
    fn chooses(&mut self, stands: Stands<'_>) -> f64 {
        let Stands { piece, at_s, left, share } = stands;
        let window = &self.asked.planned.policy;
        let leg = match self.asked.planned.pieces[piece] {
            Piece::Stop(_) => return window.best(piece, at_s).unwrap_or(0.0),
            Piece::Way(leg, _) => leg,
        };
        if at_s < self.until_s {
            return self.speed_m_s;
        }
        self.until_s = at_s + ANEW_S;
        let in_time = window.best(piece, at_s).unwrap_or(self.course.slowest_m_s);
        let table = self.asked.course.legs[leg].table;
        let takes = |tables: &[PowerTable]| tables[table].power_w(in_time, share);
        let more = (takes(self.course.tables) / takes(self.asked.course.tables)).clamp(0.5, 3.0);
        let is_enough = self.supply.above_reserve_j(left) >= more * window.to_go_j(piece, at_s);
        // The window is given up before the reserve is.
        self.speed_m_s = if is_enough {
            in_time
        } else {
            self.asked.free.best(piece, at_s).unwrap_or(in_time).min(in_time)
        };
        self.speed_m_s
    }
}

/// The end of a leg over all samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PassageRow {
    /// When, the plan kept \[s\].
    pub at_s: Interval,
    /// Share of all that the banks hold, the plan kept; 0 where she does not come there.
    pub share: Interval,
    /// Share of samples that come there and never fell to the reserve, the plan kept.
    pub above_kept: f64,
    /// The same, the speed chosen anew.
    pub above_anew: f64,
}

/// All samples of a passage.
#[derive(Debug, Clone, PartialEq)]
pub struct PassageStudy {
    /// The start, and the end of each leg.
    pub rows: Vec<PassageRow>,
    /// When she is there, the speed chosen anew \[s\].
    pub anew_at_s: Interval,
    /// Share of samples that are there before the window closes, the plan kept and the speed chosen anew; none without a window.
    pub in_time: Option<(f64, f64)>,
    /// The drive's energy of nine cases in ten over that expected.
    pub more: f64,
    /// The samples.
    pub taken: Taken,
}

impl PassageStudy {
    /// The leg on which most samples fall to the reserve, from 0; none where hardly any does.
    #[must_use]
    pub fn weakest(&self) -> Option<usize> {
        const HARDLY: f64 = 0.01;
        let falls = self.rows.windows(2).map(|two| two[0].above_kept - two[1].above_kept).enumerate();
        falls.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, fall)| *fall >= HARDLY).map(|(leg, _)| leg)
    }
}

/// Puts samples together.
#[must_use]
pub fn summarise_passage(
    spec: &BoatSpec,
    asked: &ChanceAsked<'_>,
    sampler: Sampler,
    samples: &[Option<PassageSample>],
) -> PassageStudy {
    let all: Vec<&PassageSample> = samples.iter().flatten().collect();
    let count = all.len().max(1) as f64;
    let above = |of: fn(&PassageSample) -> &Gone, place: usize| {
        let is = |gone: &Gone| gone.spare.get(place).is_some_and(|spare| *spare > 0.0);
        all.iter().filter(|sample| is(of(sample))).count() as f64 / count
    };
    let row = |place: usize| PassageRow {
        at_s: Interval::over(&mut all.iter().filter_map(|s| s.kept.at_s.get(place).copied()).collect())
            .unwrap_or(Interval::exact(f64::INFINITY)),
        share: Interval::over(
            &mut all.iter().map(|s| s.kept.shares.get(place).copied().unwrap_or(0.0)).collect(),
        )
        .unwrap_or(Interval::exact(0.0)),
        above_kept: above(|sample| &sample.kept, place),
        above_anew: above(|sample| &sample.anew, place),
    };
    let last = asked.course.legs.len();
    let in_time = |close_s: f64, of: fn(&PassageSample) -> &Gone| {
        /// A helmsman reads whole minutes.
        const MINUTE_S: f64 = 60.0;
        let is = |gone: &Gone| {
            gone.at_s.get(last).is_some_and(|at_s| gone.is_there && *at_s <= close_s + MINUTE_S)
        };
        all.iter().filter(|sample| is(of(sample))).count() as f64 / count
    };
    let in_time =
        asked.course.window_s.1.map(|close_s| {
            (in_time(close_s, |sample| &sample.kept), in_time(close_s, |sample| &sample.anew))
        });
    let there = all.iter().filter_map(|sample| sample.anew.at_s.get(last).copied());
    let more =
        Interval::over(&mut all.iter().map(|s| s.kept.drive_j / asked.kept.run.drive_j.max(1.0)).collect());
    PassageStudy {
        rows: (0..=last).map(row).collect(),
        anew_at_s: Interval::over(&mut there.collect()).unwrap_or(Interval::exact(f64::INFINITY)),
        in_time,
        more: more.map_or(1.0, |more| more.p90.max(1.0)),
        taken: Taken::of(samples, |sample| spec.sample(sampler, sample)),
    }
}

/// Until where along `kept` she can turn and be back above the reserve, the drive taking `more` times what is expected: the place
/// among the pieces, the instant, and what is left then; none where not even from the first.
#[must_use]
pub fn turns_back(
    course: &Course<'_>,
    pieces: &[Piece],
    kept: &Kept,
    supply: &Supply,
    more: f64,
    grid: Grid,
) -> Option<(usize, f64, f64)> {
    /// Longest that going back is looked at, over what going on takes.
    const LONGER: f64 = 2.0;
    const SPARE_S: f64 = 6.0 * 3600.0;
    let legs: Vec<Leg> = course.legs.iter().map(Leg::back).collect();
    let dearer = |table: &PowerTable| {
        let mut table = table.clone();
        table.rows.iter_mut().flat_map(|row| &mut row.power_w).for_each(|power| *power *= more);
        table
    };
    let tables: Vec<PowerTable> = course.tables.iter().map(dearer).collect();
    let back = Course { legs: &legs, tables: &tables, window_s: (None, None), ..course.clone() };
    let ways: Vec<usize> = (0..pieces.len()).filter(|i| matches!(pieces[*i], Piece::Way(..))).collect();
    let turned: Vec<Piece> = ways.iter().rev().map(|i| pieces[*i]).collect();
    let run = &kept.run;
    let share_at = |i: usize| run.shares.get(i).or(run.shares.last()).copied().unwrap_or(0.0);
    let mut shares: Vec<f64> = ways.iter().rev().map(|i| share_at(*i)).collect();
    shares.push(share_at(0));
    let (from_s, to_s) = (course.leaves_s, run.at_s.last().copied()?);
    let spans = vec![(from_s, to_s + LONGER * (to_s - from_s) + SPARE_S); turned.len() + 1];
    let gains = vec![Vec::new(); turned.len()];
    let policy = back.policy(&turned, &shares, &gains, &spans, grid);
    let home = |place: usize, left: &Left| {
        let done = ways.iter().filter(|way| **way < place).count();
        let first = turned.len() - done;
        let choose =
            |stands: Stands<'_>| policy.best(first + stands.piece, stands.at_s).unwrap_or(course.slowest_m_s);
        let run = back.run(&turned[first..], supply, (run.at_s[place], left), choose);
        run.is_there.then(|| run.shares.iter().copied().fold(f64::INFINITY, f64::min))
    };
    let is_back =
        |place: usize| home(place, &run.left[place]).is_some_and(|least| least > supply.reserve_share());
    (1..run.left.len())
        .rev()
        .find(|place| is_back(*place))
        .map(|place| (place, run.at_s[place], run.shares[place]))
}
