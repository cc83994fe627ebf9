//! What is asked of a search, as typed on the command line or into the form, and the search that it
//! means. Each wish is named once, for both. Not for: running it.

use wakewright_core::battery::TOUCH_LIMIT_V;
use wakewright_core::hull::form::hull_speed_m_s;
use wakewright_core::search::{
    CRUISE_SPEEDS, Demands, Keep, Preference, Prices, Scope, Search, SearchError, Shelf, room_m,
};
use wakewright_records::boat::parse_cost;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{NumberError, Quantity, parse_typed, read_money};

use crate::boats::Loaded;
use crate::room::Replies;

/// Fixed propellers only, or folding ones only.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// Solid blades.
    Fixed,
    /// Blades that fold or feather.
    Folding,
}

impl Pattern {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Fixed, Self::Folding];

    /// Its word.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Fixed => "fixed",
            Self::Folding => "folding",
        }
    }
}

/// What is asked, as typed. What is empty takes what is usual.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Wish {
    /// Speeds that she must hold for hours.
    pub cruise: Vec<String>,
    /// What matters, most first.
    pub prefer: Vec<Preference>,
    /// Parts that stay.
    pub keep: Vec<Keep>,
    /// Diameter or range of diameters.
    pub diameter: String,
    /// Pitch or range of pitches.
    pub pitch: String,
    /// Numbers of blades.
    pub blades: String,
    /// Only this kind of propeller.
    pub pattern: Option<Pattern>,
    /// Ratios, a list or a range with a step.
    pub ratios: String,
    /// Cells in series.
    pub cells: String,
    /// Packs in parallel.
    pub packs: String,
    /// Largest propeller that has room.
    pub largest: String,
    /// Heaviest motor and packs together.
    pub mass: String,
    /// Most that may be spent.
    pub budget: String,
    /// Item and amount.
    pub prices: Vec<(String, String)>,
    /// Banks above the touch limit are tried too.
    pub may_exceed_touch_limit: bool,
}

/// Why a wish cannot be met as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WishFault {
    /// The wish, named as the flag of the command line; empty when the boat is what is wrong.
    pub field: &'static str,
    /// As typed.
    pub typed: String,
    /// What is wrong and what to do.
    pub problem: String,
}

impl WishFault {
    fn new(field: &'static str, typed: &str, problem: impl Into<String>) -> Self {
        Self { field, typed: typed.to_owned(), problem: problem.into() }
    }
}

impl Wish {
    /// From the replies to the questions of a search.
    #[must_use]
    pub fn of(replies: &Replies) -> Self {
        let text = |key: &str| replies.text(key).unwrap_or_default().trim().to_owned();
        let parts = |all: &str| -> Vec<String> {
            all.split(',').map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned).collect()
        };
        let is_said = |key: &str, word: &str| replies.texts(key).iter().any(|said| said == word);
        let mut prefer: Vec<Preference> = Vec::new();
        for word in replies.texts("prefer") {
            let known = Preference::ALL.into_iter().find(|preference| preference.key() == word);
            prefer.extend(known.filter(|preference| !prefer.contains(preference)));
        }
        let price = |typed: &String| match typed.split_once('=') {
            Some((item, amount)) => (item.to_owned(), amount.trim().to_owned()),
            None => (typed.clone(), String::new()),
        };
        Self {
            cruise: replies.texts("cruise").iter().flat_map(|all| parts(all)).collect(),
            prefer,
            keep: Keep::ALL.into_iter().filter(|part| is_said("keep", part.key())).collect(),
            diameter: text("diameter"),
            pitch: text("pitch"),
            blades: text("blades"),
            pattern: Pattern::ALL.into_iter().find(|pattern| replies.text("pattern") == Some(pattern.key())),
            ratios: text("ratios"),
            cells: text("cells"),
            packs: text("packs"),
            largest: text("largest"),
            mass: text("mass"),
            budget: text("budget"),
            prices: replies.texts("price").iter().map(price).collect(),
            may_exceed_touch_limit: replies.has("allow-over-60-v"),
        }
    }

    /// A search that begins with the propeller: motor, volts and packs stay until asked otherwise.
    /// A bank that stands above the touch limit already is no reason to refuse everything.
    #[must_use]
    pub fn propeller_first(boat: &Loaded) -> Self {
        Self {
            keep: vec![Keep::Motor, Keep::Voltage, Keep::Packs],
            may_exceed_touch_limit: boat.spec.boat.bank.highest_charging_v() > TOUCH_LIMIT_V,
            ..Self::default()
        }
    }

    /// The same where no part is named that stays, or "nothing": what cells and packs are to be tried is asked for by that.
    #[must_use]
    pub fn or_propeller_first(mut self, is_said: bool, boat: &Loaded) -> Self {
        if !is_said {
            let Self { keep, may_exceed_touch_limit, .. } = Self::propeller_first(boat);
            let is_asked = |part: &Keep| match part {
                Keep::Voltage => !self.cells.is_empty(),
                Keep::Packs => !self.packs.is_empty(),
                _ => false,
            };
            self.may_exceed_touch_limit |= may_exceed_touch_limit && self.cells.is_empty();
            self.keep = keep.into_iter().filter(|part| !is_asked(part)).collect();
        }
        self
    }

    /// The search of `boat` that is meant.
    /// # Errors
    /// Every wish that cannot be met; the boat's own faults when all can.
    pub fn search(&self, boat: &Loaded) -> Result<Search, Vec<WishFault>> {
        let mut faults = Vec::new();
        let mut spec = boat.spec.clone();
        let length =
            |field, typed: &str| optional(typed, |typed| quantity(field, typed, Quantity::PropellerLength));
        let range = |field, typed: &str| optional(typed, |typed| lengths(field, typed));
        if let Some(diameter) = taken(&mut faults, length("largest", &self.largest)).flatten() {
            // A largest propeller is an aperture that just takes it.
            spec.fittings.aperture_height_m = Some(1.2 * diameter);
            spec.fittings.tip_clearance_m = None;
        }
        let shelf = Shelf {
            diameter_m: taken(&mut faults, range("diameter", &self.diameter)).flatten(),
            pitch_m: taken(&mut faults, range("pitch", &self.pitch)).flatten(),
            blades: taken(&mut faults, optional(&self.blades, blades)).flatten(),
            stows: self.pattern.map(|pattern| pattern == Pattern::Folding),
        };
        let scope = Scope {
            keep: self.keep.clone(),
            shelf,
            ratios: taken(&mut faults, optional(&self.ratios, |typed| numbers("ratios", typed))).flatten(),
            cells: taken(&mut faults, optional(&self.cells, |typed| counts("cells", typed))).flatten(),
            packs: taken(&mut faults, optional(&self.packs, |typed| counts("packs", typed))).flatten(),
            may_exceed_touch_limit: self.may_exceed_touch_limit,
        };
        let mass = optional(&self.mass, |typed| quantity("mass", typed, Quantity::Mass));
        let budget = taken(&mut faults, optional(&self.budget, |typed| amount("budget", typed))).flatten();
        let demands = Demands {
            largest_diameter_m: room_m(&spec).unwrap_or(spec.boat.propeller.diameter_m),
            may_exceed_touch_limit: self.may_exceed_touch_limit,
            most_mass_kg: taken(&mut faults, mass).flatten().unwrap_or(f64::INFINITY),
            budget: budget.unwrap_or(f64::INFINITY),
        };
        let prices = taken(&mut faults, self.read_prices().map_err(|fault| vec![fault])).flatten();
        faults.extend(self.mixed_currencies());
        let cruise = taken(&mut faults, self.cruise_speeds(boat).map_err(|fault| vec![fault]));
        let (Some(cruise), true) = (cruise, faults.is_empty()) else { return Err(faults) };
        let space = scope.space(&spec);
        if budget.is_some() || prices.is_some() {
            let missing = prices.unwrap_or_default().missing(&space, &spec.boat);
            if !missing.is_empty() {
                let problem = "costs need a price for everything that may be bought";
                let fault = |item: &&str| WishFault::new("price", item, problem);
                return Err(missing.iter().map(fault).collect());
            }
        }
        Search::new(&spec, space, demands, cruise, prices.as_ref()).map_err(|error| {
            let typed = self.cruise.first().map_or("", String::as_str);
            let field = if matches!(error, SearchError::BeyondHull { .. }) { "cruise" } else { "" };
            vec![WishFault::new(field, typed, error.to_string())]
        })
    }

    /// The first amount in another currency than one before it: sums of them would say nothing.
    fn mixed_currencies(&self) -> Option<WishFault> {
        let prices = self.prices.iter().map(|(_, typed)| ("price", typed));
        let mut stated = std::iter::once(("budget", &self.budget))
            .chain(prices)
            .filter_map(|(field, typed)| Some((field, typed, currency_of(typed)?)));
        let (_, _, first) = stated.next()?;
        let (field, typed, _) = stated.find(|(_, _, currency)| *currency != first)?;
        let problem = format!("another amount is in {first}; give all in one currency");
        Some(WishFault::new(field, typed, problem))
    }

    /// Three speeds: those asked for, or half a knot either side of the first.
    fn cruise_speeds(&self, boat: &Loaded) -> Result<[f64; CRUISE_SPEEDS], WishFault> {
        let asked: Vec<f64> = self
            .cruise
            .iter()
            .map(|typed| quantity("cruise", typed, Quantity::Speed))
            .collect::<Result<_, _>>()?;
        let half = 0.5 * KNOT_M_S;
        let usual = || {
            let hull = hull_speed_m_s(boat.spec.boat.form.length_waterline_m);
            boat.spec.fittings.cruising_speed_m_s.unwrap_or((0.65 * hull / half).round() * half)
        };
        match asked.as_slice() {
            [] | [_] => {
                let first = asked.first().copied().unwrap_or_else(usual);
                Ok([first, (first - half).max(0.5 * first), first + half])
            }
            [first, second] => Ok([*first, *second, *second]),
            [first, second, third] => Ok([*first, *second, *third]),
            _ => Err(WishFault::new("cruise", &self.cruise.join(", "), "give three cruising speeds at most")),
        }
    }

    fn read_prices(&self) -> Result<Option<Prices>, WishFault> {
        let mut prices = Prices::default();
        let mut is_any = false;
        for (item, typed) in &self.prices {
            let items: Vec<&str> = Prices::ITEMS.iter().map(|(key, _)| *key).collect();
            let Some(place) = prices.of_item(item.trim()) else {
                let problem = format!("there is no price of that; there are those of {}", items.join(", "));
                return Err(WishFault::new("price", item, problem));
            };
            let price = amount("price", typed)
                .map_err(|fault| WishFault { typed: format!("{item}={typed}"), ..fault })?;
            *place = Some(price);
            is_any = true;
        }
        Ok(is_any.then_some(prices))
    }
}

type Read<T> = Result<T, WishFault>;

/// `None` where nothing is typed.
fn optional<T>(typed: &str, read: impl FnOnce(&str) -> Read<T>) -> Result<Option<T>, Vec<WishFault>> {
    let typed = typed.trim();
    if typed.is_empty() { Ok(None) } else { read(typed).map(Some).map_err(|fault| vec![fault]) }
}

/// The value; its fault goes to the others.
fn taken<T>(faults: &mut Vec<WishFault>, read: Result<T, Vec<WishFault>>) -> Option<T> {
    match read {
        Ok(value) => Some(value),
        Err(more) => {
            faults.extend(more);
            None
        }
    }
}

fn quantity(field: &'static str, typed: &str, kind: Quantity) -> Read<f64> {
    let value = parse_typed(typed, kind)
        .map_err(|error| WishFault::new(field, typed, format!("{} {}", error.problem(), error.advice())))?;
    if value > 0.0 { Ok(value) } else { Err(WishFault::new(field, typed, "it must be above zero")) }
}

/// `12 in..15 in`, or one length alone.
fn lengths(field: &'static str, typed: &str) -> Read<(f64, f64)> {
    let read = |part: &str| {
        quantity(field, part.trim(), Quantity::PropellerLength)
            .map_err(|fault| WishFault { typed: typed.to_owned(), ..fault })
    };
    let (low, high) = match typed.split_once("..") {
        Some((low, high)) => (read(low)?, read(high)?),
        None => (read(typed)?, read(typed)?),
    };
    if low > high {
        let problem = "the least comes first, for example 12 in..15 in";
        return Err(WishFault::new(field, typed, problem));
    }
    Ok((low, high))
}

/// `2,2.5,3` or `2..3.5/0.1`.
fn numbers(field: &'static str, typed: &str) -> Read<Vec<f64>> {
    let bad = || WishFault::new(field, typed, "give a list (2,2.5,3) or a range with a step (2..3.5/0.1)");
    let number = |part: &str| {
        let part = part.trim();
        let part = part.strip_suffix(":1").unwrap_or(part);
        part.parse::<f64>().ok().filter(|n| *n > 0.0 && n.is_finite()).ok_or_else(bad)
    };
    let Some((from, rest)) = typed.split_once("..") else { return typed.split(',').map(number).collect() };
    let (to, step) = rest.split_once('/').ok_or_else(bad)?;
    let (from, to, step) = (number(from)?, number(to)?, number(step)?);
    let steps = ((to - from) / step + 1e-9).floor();
    if !(0.0..=1000.0).contains(&steps) {
        return Err(bad());
    }
    // Whole thousandths, so that 2.3 is 2.3.
    Ok((0..=steps as u32).map(|i| ((from + f64::from(i) * step) * 1000.0).round() / 1000.0).collect())
}

fn counts(field: &'static str, typed: &str) -> Read<Vec<u32>> {
    let bad = || WishFault::new(field, typed, "give whole numbers from 1 to 200, for example 2,3,4");
    typed
        .split(',')
        .map(|part| part.trim().parse().ok().filter(|n| (1..=200).contains(n)).ok_or_else(bad))
        .collect()
}

fn blades(typed: &str) -> Read<Vec<u8>> {
    let bad = || WishFault::new("blades", typed, "give numbers of blades from 2 to 4, for example 3,4");
    typed
        .split(',')
        .map(|part| part.trim().parse().ok().filter(|n| (2..=4).contains(n)).ok_or_else(bad))
        .collect()
}

/// An amount of money, with or without its currency: `1400`, `1,400 EUR`, `£1400`.
fn amount(field: &'static str, typed: &str) -> Read<f64> {
    let usage = || WishFault::new(field, typed, "give an amount, for example 1400 or 1,400 EUR");
    let start = typed.find(|c: char| c.is_ascii_digit()).ok_or_else(usage)?;
    match read_money(&typed[start..]) {
        Ok((amount, after)) => match (currency_before(&typed[..start]), after.trim()) {
            (None, _) => Err(usage()),
            (Some(""), "") => Ok(amount),
            _ => parse_cost(typed).map(|_| amount).ok_or_else(usage),
        },
        Err(NumberError::Money { number }) => {
            Err(WishFault::new(field, typed, NumberError::Money { number }.to_string()))
        }
        Err(_) => Err(usage()),
    }
}

/// The currency in front of an amount; empty where there is none, none where a sign stands there.
fn currency_before(text: &str) -> Option<&str> {
    let text = text.trim();
    (!text.contains(['-', '−', '+', '.', ','])).then_some(text)
}

/// The currency of an amount that has one.
fn currency_of(typed: &str) -> Option<String> {
    parse_cost(typed).map(|cost| cost.currency)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boats::understand;
    use crate::demo::DEMO_BOAT;
    use wakewright_core::propeller::Propeller;
    use wakewright_units::factors::INCH_M;

    fn boat() -> Loaded {
        understand(DEMO_BOAT, "the invented boat", &[]).unwrap()
    }

    #[test]
    fn every_wrong_wish_is_named_at_once() {
        let wish = Wish {
            cruise: vec!["fast".to_owned()],
            diameter: "15 in..12 in".to_owned(),
            pitch: "wide".to_owned(),
            blades: "9".to_owned(),
            ratios: "3..2/0".to_owned(),
            cells: "16,0".to_owned(),
            mass: "-2 kg".to_owned(),
            budget: "much".to_owned(),
            prices: vec![("anchor".to_owned(), "3".to_owned())],
            ..Wish::default()
        };
        let faults = wish.search(&boat()).unwrap_err();
        let fields: Vec<&str> = faults.iter().map(|fault| fault.field).collect();
        assert_eq!(
            fields,
            ["diameter", "pitch", "blades", "ratios", "cells", "budget", "mass", "price", "cruise"]
        );
    }

    #[test]
    fn money_with_two_readings_is_refused() {
        assert_eq!(amount("budget", "1,900").unwrap(), 1900.0);
        assert_eq!(amount("budget", "1900.50").unwrap(), 1900.5);
        for typed in ["1.200", "12.5", "-3", "1.200 EUR", "1200 EUR or so", "EUR", ""] {
            assert!(amount("price", typed).is_err(), "{typed}");
        }
        assert_eq!(amount("budget", "1,900 EUR").unwrap(), 1900.0);
        assert_eq!(amount("budget", "£250.50").unwrap(), 250.5);
        let mixed = Wish {
            budget: "900 EUR".to_owned(),
            prices: vec![("propeller".to_owned(), "£300".to_owned())],
            ..Wish::default()
        };
        assert_eq!(mixed.mixed_currencies().unwrap().field, "price");
        assert!(amount("price", "1.200").unwrap_err().problem.contains("1200 or 1,200"));
        assert!(quantity("mass", "1.200 kg", Quantity::Mass).is_err());
    }

    #[test]
    fn the_shelf_is_narrowed_and_her_own_propeller_stays() {
        let wish = Wish {
            diameter: "12 in .. 13 in".to_owned(),
            pitch: "254 mm".to_owned(),
            blades: "3, 4".to_owned(),
            pattern: Some(Pattern::Fixed),
            keep: vec![Keep::Motor],
            ..Wish::default()
        };
        let search = wish.search(&boat()).unwrap();
        let present = boat().spec.boat.propeller;
        let (own, others): (Vec<&Propeller>, Vec<&Propeller>) =
            search.space().propellers.iter().partition(|propeller| **propeller == present);
        assert_eq!(own.len(), 1);
        assert!(!others.is_empty());
        for propeller in others {
            let (diameter, pitch) = (propeller.diameter_m / INCH_M, propeller.pitch_m / INCH_M);
            assert!(diameter > 11.99 && diameter < 13.01 && (pitch - 10.0).abs() < 1e-6, "{propeller:?}");
            assert!(propeller.blades >= 3 && !propeller.pattern.is_stowed_under_sail());
        }
    }
}
