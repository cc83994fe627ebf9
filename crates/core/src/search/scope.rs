//! What a search tries when nothing else is said: every part of the drive, or those that may change.
//! Not for: what exists to be bought (`stock`).

use super::choice::present_bank;
use super::prepared::room_m;
use super::space::{Reduction, Space};
use super::stock::{Machine, generic_machines, stock_propellers};
use crate::battery::{Chemistry, PackGroup};
use crate::boat::BoatSpec;
use crate::drive::ReductionKind;
use crate::propeller::Propeller;

/// A part that stays as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Keep {
    /// The propeller.
    Propeller,
    /// The reduction.
    Reduction,
    /// Motor and controller.
    Motor,
    /// Cells in series.
    Voltage,
    /// Packs in parallel.
    Packs,
}

impl Keep {
    /// All parts, in the order in which they are asked.
    pub const ALL: [Self; 5] = [Self::Propeller, Self::Reduction, Self::Motor, Self::Voltage, Self::Packs];

    /// Its word, for commands and forms.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Propeller => "propeller",
            Self::Reduction => "reduction",
            Self::Motor => "motor",
            Self::Voltage => "voltage",
            Self::Packs => "packs",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Propeller => "The propeller",
            Self::Reduction => "The reduction",
            Self::Motor => "Motor and controller",
            Self::Voltage => "Cells in series",
            Self::Packs => "Packs in parallel",
        }
    }
}

/// Which propellers off the shelf are tried. What is `None` is open.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shelf {
    /// Least and largest diameter \[m\].
    pub diameter_m: Option<(f64, f64)>,
    /// Least and largest pitch \[m\].
    pub pitch_m: Option<(f64, f64)>,
    /// Numbers of blades.
    pub blades: Option<Vec<u8>>,
    /// Only those that fold or feather, or only those that do not.
    pub stows: Option<bool>,
}

impl Shelf {
    fn holds(&self, propeller: &Propeller) -> bool {
        // A hundredth of a millimetre for the rounding of inches.
        let within = |range: Option<(f64, f64)>, value: f64| {
            range.is_none_or(|(low, high)| value > low - 1e-5 && value < high + 1e-5)
        };
        within(self.diameter_m, propeller.diameter_m)
            && within(self.pitch_m, propeller.pitch_m)
            && self.blades.as_ref().is_none_or(|blades| blades.contains(&propeller.blades))
            && self.stows.is_none_or(|stows| propeller.pattern.is_stowed_under_sail() == stows)
    }
}

/// How wide a search looks. What is `None` or empty takes what is usual.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scope {
    /// Parts that stay.
    pub keep: Vec<Keep>,
    /// Propellers to try besides the one aboard.
    pub shelf: Shelf,
    /// Ratios to try.
    pub ratios: Option<Vec<f64>>,
    /// Cells in series to try.
    pub cells: Option<Vec<u32>>,
    /// Packs to try.
    pub packs: Option<Vec<u32>>,
    /// Banks above the touch limit are tried as well.
    pub may_exceed_touch_limit: bool,
}

/// Ratios tried when nothing else is said: 1:1 to 4:1 by tenths.
const RATIO_TENTHS: std::ops::RangeInclusive<u32> = 10..=40;

/// Packs that are tried beyond those aboard.
const MORE_PACKS: u32 = 2;

/// Cells in series of the usual voltage classes 24, 48, 72 and 96 V.
fn usual_cells(chemistry: Chemistry) -> [u32; 4] {
    match chemistry {
        Chemistry::Lfp => [8, 16, 24, 30],
        Chemistry::Nmc111 | Chemistry::Nmc811 => [7, 14, 20, 27],
        Chemistry::LeadFlooded | Chemistry::LeadAgm | Chemistry::LeadGel => [12, 24, 36, 48],
    }
}

impl Scope {
    /// The candidates around the boat of `spec`; the boat as she is is among them when her packs are of
    /// one kind. Propellers a little too large for the room are there too, so that a search that finds
    /// nothing can say what more room would give.
    #[must_use]
    pub fn space(&self, spec: &BoatSpec) -> Space {
        let base = &spec.boat;
        let keeps = |part: Keep| self.keep.contains(&part);
        let present = base.propeller;
        let propellers = if keeps(Keep::Propeller) {
            vec![present]
        } else {
            const ROOM_LOOKED_BEYOND: f64 = 1.1;
            let mut tried =
                stock_propellers(&present, ROOM_LOOKED_BEYOND * room_m(spec).unwrap_or(present.diameter_m));
            tried.retain(|propeller| *propeller == present || self.shelf.holds(propeller));
            tried
        };
        let nominal_v = base.bank.groups.first().map_or(0.0, PackGroup::nominal_voltage_v);
        let mut machines = vec![Machine {
            words: "as aboard".to_owned(),
            plate: base.motor,
            controller: base.controller,
            nominal_v,
            is_present: true,
        }];
        if !keeps(Keep::Motor) {
            machines.extend(generic_machines());
        }
        let ratio = base.drive_line.ratio;
        let mut ratios = match &self.ratios {
            _ if keeps(Keep::Reduction) => Vec::new(),
            Some(asked) => asked.clone(),
            // The bevel gears of a leg are what they are.
            None if base.drive_line.kind == ReductionKind::BevelLeg => Vec::new(),
            None => RATIO_TENTHS.map(|tenths| f64::from(tenths) / 10.0).collect(),
        };
        add_unless_there(&mut ratios, ratio, |a, b| (a - b).abs() < 1e-9);
        ratios.sort_by(f64::total_cmp);
        let (cells_now, packs_now) = present_bank(base);
        let chemistry = base.bank.groups.first().map_or(Chemistry::Lfp, |group| group.chemistry);
        let classes = usual_cells(chemistry);
        let mut cells = match &self.cells {
            _ if keeps(Keep::Voltage) => Vec::new(),
            Some(asked) => asked.clone(),
            None if self.may_exceed_touch_limit => classes.to_vec(),
            None => classes[..2].to_vec(),
        };
        add_unless_there(&mut cells, cells_now, u32::eq);
        cells.sort_unstable();
        let mut packs = match &self.packs {
            _ if keeps(Keep::Packs) => Vec::new(),
            Some(asked) => asked.clone(),
            None => (1..=packs_now + MORE_PACKS).collect(),
        };
        add_unless_there(&mut packs, packs_now, u32::eq);
        packs.sort_unstable();
        let reductions = ratios.into_iter().map(|ratio| Reduction::for_boat(base, ratio)).collect();
        Space { propellers, machines, reductions, cells, packs }
    }
}

fn add_unless_there<T>(list: &mut Vec<T>, value: T, is_same: impl Fn(&T, &T) -> bool) {
    if !list.iter().any(|there| is_same(there, &value)) {
        list.push(value);
    }
}
