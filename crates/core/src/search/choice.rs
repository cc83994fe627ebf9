//! What has to be changed aboard for a candidate, and what that costs by the prices that the user gave.
//! Not for: inventing prices; a price that nobody gave stays unknown.

use super::space::Space;
use crate::boat::Boat;
use crate::propeller::{Propeller, PropellerChange};

/// What is changed against the boat as she is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// The propeller.
    pub propeller: PropellerChange,
    /// Another reduction.
    pub reduction: bool,
    /// Another motor with its controller.
    pub motor: bool,
    /// Another number of cells in series, so other packs.
    pub voltage: bool,
    /// Packs more (or fewer) than now; all of them when the voltage changes.
    pub packs: i64,
}

impl Change {
    /// From `base` to candidate `index` of `space`.
    #[must_use]
    pub fn of(space: &Space, base: &Boat, index: usize) -> Self {
        let place = space.place(index);
        let (cells, packs) = present_bank(base);
        let voltage = space.cells[place.cells] != cells;
        Self {
            propeller: PropellerChange::between(&base.propeller, &space.propellers[place.propeller]),
            reduction: is_other_ratio(base, space.reductions[place.reduction].ratio),
            motor: !space.machines[place.machine].is_present,
            voltage,
            packs: i64::from(space.packs[place.packs]) - if voltage { 0 } else { i64::from(packs) },
        }
    }

    /// Number of parts that are touched: propeller, reduction, motor, bank.
    #[must_use]
    pub fn parts(&self) -> u32 {
        u32::from(self.propeller != PropellerChange::None)
            + u32::from(self.reduction)
            + u32::from(self.motor)
            + u32::from(self.voltage || self.packs != 0)
    }
}

/// Cells in series and packs in parallel of `base`, those of the first group.
pub(super) fn present_bank(base: &Boat) -> (u32, u32) {
    let packs = base.bank.groups.iter().map(|group| group.packs_in_parallel).sum();
    (base.bank.groups.first().map_or(0, |group| group.cells_in_series), packs)
}

pub(super) fn is_other_ratio(base: &Boat, ratio: f64) -> bool {
    (base.drive_line.ratio - ratio).abs() > 1e-9
}

/// What parts cost, ready aboard, in the user's currency.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Prices {
    /// A new fixed propeller.
    pub propeller: Option<f64>,
    /// A new folding or feathering propeller.
    pub folding_propeller: Option<f64>,
    /// Re-pitching the propeller that she has.
    pub repitch: Option<f64>,
    /// Another reduction.
    pub reduction: Option<f64>,
    /// Another motor with controller.
    pub motor: Option<f64>,
    /// One pack.
    pub pack: Option<f64>,
}

impl Prices {
    /// What has a price: its word for commands and forms, and in words.
    pub const ITEMS: [(&'static str, &'static str); 6] = [
        ("propeller", "new fixed propeller"),
        ("folding-propeller", "new folding propeller"),
        ("repitch", "re-pitching hers"),
        ("reduction", "another reduction"),
        ("motor", "motor with controller"),
        ("pack", "one pack"),
    ];

    /// The price of the item of this word; `None` when there is no such item.
    pub fn of_item(&mut self, item: &str) -> Option<&mut Option<f64>> {
        match item {
            "propeller" => Some(&mut self.propeller),
            "folding-propeller" => Some(&mut self.folding_propeller),
            "repitch" => Some(&mut self.repitch),
            "reduction" => Some(&mut self.reduction),
            "motor" => Some(&mut self.motor),
            "pack" => Some(&mut self.pack),
            _ => None,
        }
    }

    /// Prices that `space` needs and that were not given, by name.
    #[must_use]
    pub fn missing(&self, space: &Space, base: &Boat) -> Vec<&'static str> {
        let change = |propeller: &Propeller| PropellerChange::between(&base.propeller, propeller);
        let is_new = |stows: bool| {
            space
                .propellers
                .iter()
                .any(|p| change(p) == PropellerChange::New && p.pattern.is_stowed_under_sail() == stows)
        };
        let (cells, packs) = present_bank(base);
        let needed = [
            ("propeller", self.propeller, is_new(false)),
            ("folding-propeller", self.folding_propeller, is_new(true)),
            ("repitch", self.repitch, space.propellers.iter().any(|p| change(p) == PropellerChange::Repitch)),
            ("reduction", self.reduction, space.reductions.iter().any(|r| is_other_ratio(base, r.ratio))),
            ("motor", self.motor, space.machines.iter().any(|m| !m.is_present)),
            (
                "pack",
                self.pack,
                space.cells.iter().any(|&c| c != cells) || space.packs.iter().any(|&p| p > packs),
            ),
        ];
        needed
            .into_iter()
            .filter(|(_, price, is_needed)| *is_needed && price.is_none())
            .map(|(name, ..)| name)
            .collect()
    }
}

/// Cost of each choice on each axis; a candidate costs their sum. Without prices every changed part
/// counts one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Costs {
    pub propellers: Vec<f64>,
    pub machines: Vec<f64>,
    pub reductions: Vec<f64>,
    /// By cells, then packs.
    pub banks: Vec<f64>,
}

impl Costs {
    pub(super) fn new(space: &Space, base: &Boat, prices: Option<&Prices>) -> Self {
        let one = Prices {
            propeller: Some(1.0),
            folding_propeller: Some(1.0),
            repitch: Some(1.0),
            reduction: Some(1.0),
            motor: Some(1.0),
            pack: None,
        };
        let by = prices.unwrap_or(&one);
        // Like drives stay like: what is changed is changed on each.
        let fitted = f64::from(base.drives.fitted());
        let known = |price: Option<f64>| fitted * price.unwrap_or(0.0);
        let when = |is_so: bool, price: Option<f64>| if is_so { known(price) } else { 0.0 };
        let (cells_now, packs_now) = present_bank(base);
        let bank = |cells: u32, packs: u32| {
            let bought = if cells == cells_now { packs.saturating_sub(packs_now) } else { packs };
            match by.pack {
                Some(price) => price * f64::from(bought),
                None if prices.is_none() && (cells != cells_now || packs != packs_now) => 1.0,
                None => 0.0,
            }
        };
        let propeller = |p: &Propeller| match PropellerChange::between(&base.propeller, p) {
            PropellerChange::None => 0.0,
            PropellerChange::Repitch => known(by.repitch),
            PropellerChange::New if p.pattern.is_stowed_under_sail() => known(by.folding_propeller),
            PropellerChange::New => known(by.propeller),
        };
        Self {
            propellers: space.propellers.iter().map(propeller).collect(),
            machines: space.machines.iter().map(|m| when(!m.is_present, by.motor)).collect(),
            reductions: space
                .reductions
                .iter()
                .map(|r| when(is_other_ratio(base, r.ratio), by.reduction))
                .collect(),
            banks: space
                .cells
                .iter()
                .flat_map(|&c| space.packs.iter().map(move |&p| (c, p)))
                .map(|(c, p)| bank(c, p))
                .collect(),
        }
    }
}
