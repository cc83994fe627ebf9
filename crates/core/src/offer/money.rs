//! Money: whole cents of one currency, so that sums are right to the cent. Not for: rates between currencies.

use wakewright_units::read_money;

/// An amount of one currency.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Money {
    /// Hundredths of the currency.
    pub cents: i64,
    /// The currency as typed.
    pub currency: String,
}

/// Largest amount that is read; below it a double holds every cent.
const MOST: f64 = 1e9;

impl Money {
    /// Reads `2,150 EUR` or `EUR 11.40`.
    ///
    /// # Errors
    /// What to write instead: no amount, an amount that can be read in two ways, no currency.
    ///
    /// # Example
    /// ```
    /// # use wakewright_core::offer::Money;
    /// assert_eq!(Money::read("1,900.05 EUR").unwrap().cents, 190_005);
    /// assert!(Money::read("1.900 EUR").is_err() && Money::read("12").is_err());
    /// ```
    pub fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let advice = || format!("{text} is no amount of money; write 2,150 EUR or 11.40 GBP");
        let start = text.find(|c: char| c.is_ascii_digit()).ok_or_else(advice)?;
        let (before, number) = text.split_at(start);
        let (amount, after) = read_money(number).map_err(|error| error.to_string())?;
        let currency = match (before.trim(), after.trim()) {
            ("", after) => after,
            (before, "") => before,
            _ => return Err(advice()),
        };
        let is_currency = (1..=4).contains(&currency.chars().count())
            && !currency.contains(|c: char| c.is_ascii_digit() || "+-−=".contains(c));
        if !is_currency || !(0.0..=MOST).contains(&amount) {
            return Err(advice());
        }
        Ok(Self { cents: (amount * 100.0).round() as i64, currency: currency.to_owned() })
    }

    /// So many of them; `thousandths` of a piece or of a metre, halves of a cent rounded up.
    ///
    /// # Example
    /// Hand: 11.40 times 2.4 is 27.36; 0.05 times 0.5 is 0.025, which is 0.03.
    /// ```
    /// # use wakewright_core::offer::Money;
    /// assert_eq!(Money::read("11.40 EUR").unwrap().times(2_400).cents, 2_736);
    /// assert_eq!(Money::read("0.05 EUR").unwrap().times(500).cents, 3);
    /// ```
    #[must_use]
    pub fn times(&self, thousandths: u64) -> Self {
        let cents = (i128::from(self.cents) * i128::from(thousandths) + 500) / 1000;
        Self { cents: i64::try_from(cents).unwrap_or(i64::MAX), currency: self.currency.clone() }
    }
}

impl std::fmt::Display for Money {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let whole = (self.cents / 100).to_string();
        let mut grouped = String::new();
        for (place, digit) in whole.chars().enumerate() {
            if place > 0 && (whole.len() - place).is_multiple_of(3) {
                grouped.push(',');
            }
            grouped.push(digit);
        }
        write!(f, "{grouped}.{:02} {}", self.cents % 100, self.currency)
    }
}
