//! What somebody types into one field, put as the document has it where one reading is possible: `14x10`, a bare
//! number, `30.4.2025`, `1150 rpm at 48 V`. What has two readings stays as typed, so that it is asked about.
//! Not for: documents, which have their unit written behind each number.

use wakewright_core::field;
use wakewright_units::factors::RPM_REV_S;
use wakewright_units::{Quantity, Unit, parse_quantity, read_number_twice, read_quantity, unit_named};

use super::day::day_of;
use super::descriptor::{Field, FieldKind};
use super::document::BoatDocument;
use super::fields::field_named;
use super::stated::split_marks;

impl BoatDocument {
    /// The lines that `typed` at `address` stands for, in this boat: most often that one, a propeller's two numbers
    /// are two.
    #[must_use]
    pub fn as_typed(&self, address: &str, typed: &str) -> Vec<(String, String)> {
        let one = |text: String| vec![(address.to_owned(), text)];
        let typed = typed.trim();
        let as_it_is = || one(typed.to_owned());
        let Some(field) = field_named(address) else { return as_it_is() };
        match field.kind {
            FieldKind::Date => day_of(typed).map_or_else(as_it_is, one),
            FieldKind::Quantity(Quantity::RotationalSpeedPerVolt) => {
                let said = at_volts(typed).or_else(|| self.with_unit(field, address, typed));
                said.map_or_else(as_it_is, one)
            }
            FieldKind::Quantity(_) => self
                .both_numbers(address, typed)
                .or_else(|| self.with_unit(field, address, typed).map(one))
                .unwrap_or_else(as_it_is),
            _ => as_it_is(),
        }
    }

    /// The unit that a bare number takes at `address`: that of the value which stands there, else of the field's
    /// example. Ratios have none.
    #[must_use]
    pub fn unit_shown(&self, address: &str) -> Option<&'static Unit> {
        let field = field_named(address)?;
        let quantity = field.quantity()?;
        let of = |text: &str| {
            let (value, _) = split_marks(text).ok()?;
            read_quantity(value_and_rest(value).0, quantity).ok().map(|read| read.unit)
        };
        let unit = self.typed(address).and_then(of).or_else(|| of(field.example))?;
        (!unit.symbol().is_empty()).then_some(unit)
    }

    /// A bare number with its unit, mark and band left as they are.
    fn with_unit(&self, field: &Field, address: &str, typed: &str) -> Option<String> {
        let unit = self.unit_shown(address)?;
        let (unmarked, _) = split_marks(typed).ok()?;
        let (number, _) = value_and_rest(unmarked);
        let read = read_number_twice(number).ok().filter(|read| read.rest.trim().is_empty())?;
        // A share up to one is read as it stands.
        if field.quantity() == Some(Quantity::Share) && read.value.abs() <= 1.0 {
            return None;
        }
        let end = typed.find(number)? + number.len();
        Some(format!("{} {}{}", &typed[..end], unit.symbol(), &typed[end..]))
    }

    /// Diameter and pitch of a propeller as they are stamped on its hub, `14 x 10`.
    fn both_numbers(&self, address: &str, typed: &str) -> Option<Vec<(String, String)>> {
        const BOTH: [&str; 2] = [field::propeller::DIAMETER, field::propeller::PITCH];
        if !BOTH.contains(&address) {
            return None;
        }
        let (unmarked, _) = split_marks(typed).ok()?;
        let (left, right) = unmarked.split_once(['x', 'X', '×', '*'])?;
        let sides = [left.trim(), right.trim()];
        let is_bare = |text: &&str| read_number_twice(text).is_ok_and(|read| read.rest.trim().is_empty());
        let unit_of = |text: &str| read_quantity(text, Quantity::PropellerLength).ok().map(|read| read.unit);
        let units: Vec<&'static Unit> = match (is_bare(&sides[0]), is_bare(&sides[1])) {
            (true, true) => {
                let inches = unit_named(Quantity::PropellerLength, "in");
                self.unit_shown(address).into_iter().chain([inches]).collect()
            }
            (true, false) => vec![unit_of(sides[1])?],
            (false, _) => vec![unit_of(sides[0])?],
        };
        let written = |unit: &Unit| {
            sides.map(
                |side| if is_bare(&side) { format!("{side} {}", unit.symbol()) } else { side.to_owned() },
            )
        };
        let fits = |unit: &&Unit| {
            written(unit).iter().zip(BOTH).all(|(text, address)| {
                let limits = field_named(address).and_then(|field| field.possible);
                let value = parse_quantity(text, Quantity::PropellerLength);
                value.is_ok_and(|si| limits.is_none_or(|(low, high)| (low..=high).contains(&si)))
            })
        };
        let unit = units.iter().copied().find(fits)?;
        let mark = &typed[typed.find(unmarked)? + unmarked.len()..];
        let lines = BOTH.into_iter().zip(written(unit));
        Some(lines.map(|(address, text)| (address.to_owned(), format!("{text}{mark}"))).collect())
    }
}

/// The value in front of its band, and the band.
fn value_and_rest(text: &str) -> (&str, &str) {
    let end = ["±", "+/-", "+-"].iter().filter_map(|sign| text.find(sign)).min().unwrap_or(text.len());
    (text[..end].trim(), &text[end..])
}

/// `1150 rpm at 48 V` as revolutions per minute for each volt.
fn at_volts(typed: &str) -> Option<String> {
    let (speed, volts) = typed.split_once(" at ").or_else(|| typed.split_once('@'))?;
    let speed = read_quantity(speed, Quantity::RotationalSpeed).ok()?;
    let volts = read_quantity(volts, Quantity::Voltage).ok()?;
    // A figure with two readings is asked about, not divided.
    let is_certain = speed.other_si.is_none() && volts.other_si.is_none();
    let constant = speed.si / RPM_REV_S / volts.si;
    (is_certain && constant.is_finite() && volts.si > 0.0).then(|| {
        let digits = (4.0 - constant.abs().max(1e-9).log10().ceil()).clamp(0.0, 6.0) as usize;
        format!("{constant:.digits$} rpm/V")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(document: &str, address: &str, typed: &str) -> Vec<String> {
        let document = BoatDocument::parse_lenient(document).0.unwrap();
        document
            .as_typed(address, typed)
            .into_iter()
            .map(|(address, text)| format!("{address}={text}"))
            .collect()
    }

    #[test]
    fn a_propeller_is_typed_as_it_is_stamped() {
        let both = ["propeller.diameter=14 in", "propeller.pitch=10 in"];
        for typed in ["14x10", "14 x 10", "14 × 10", "14x10 in", "14 in x 10 in"] {
            for address in [field::propeller::DIAMETER, field::propeller::PITCH] {
                assert_eq!(read("", address, typed), both, "{typed}");
            }
        }
        // Millimetres stand there, and 14 of them are no propeller; 350 are one.
        let metric = "[propeller]\ndiameter = \"356 mm\"\npitch = \"254 mm\"\n";
        assert_eq!(read(metric, "propeller.diameter", "14x10"), both);
        let got = read(metric, "propeller.diameter", "350x250, assumed");
        assert_eq!(got, ["propeller.diameter=350 mm, assumed", "propeller.pitch=250 mm, assumed"]);
        // In no unit a propeller: it stays as typed and is asked about.
        assert_eq!(read("", "propeller.diameter", "3x2"), ["propeller.diameter=3x2"]);
        assert_eq!(read("", "propeller.diameter", "14x10x3"), ["propeller.diameter=14x10x3"]);
        assert_eq!(read("", "hull.draught", "14x10"), ["hull.draught=14x10"]);
    }

    #[test]
    fn a_bare_number_takes_the_unit_that_its_field_shows() {
        assert_eq!(read("", "propeller.pitch", "15"), ["propeller.pitch=15 in"]);
        assert_eq!(read("", "hull.draught", "1,4"), ["hull.draught=1,4 m"]);
        let feet = "[hull]\ndraught = \"5 ft 3 in\"\n";
        assert_eq!(read(feet, "hull.draught", "4.5"), ["hull.draught=4.5 ft"]);
        assert_eq!(read("", "hull.displacement", "~5.4 ± 0.3"), ["hull.displacement=~5.4 t ± 0.3"]);
        assert_eq!(read("", "hull.displacement", "5.4, assumed"), ["hull.displacement=5.4 t, assumed"]);
        for typed in ["5.4 t", "wet", "", "-", "5,4,3"] {
            assert_eq!(read("", "hull.displacement", typed), [format!("hull.displacement={typed}")]);
        }
        assert_eq!(read("", "reduction.ratio", "2.5"), ["reduction.ratio=2.5"]);
        assert_eq!(read("", "motor.number", "2"), ["motor.number=2"]);
    }

    #[test]
    fn a_share_above_one_is_in_per_cent() {
        assert_eq!(read("", "bank.reserve", "20"), ["bank.reserve=20 %"]);
        assert_eq!(read("", "bank.reserve", "0.2"), ["bank.reserve=0.2"]);
    }

    #[test]
    fn revolutions_at_a_voltage_are_a_speed_constant() {
        // 1150 / 48 = 23.958.
        assert_eq!(
            read("", "motor.speed_constant", "1150 rpm at 48 V"),
            ["motor.speed_constant=23.96 rpm/V"]
        );
        assert_eq!(read("", "motor.speed_constant", "36"), ["motor.speed_constant=36 rpm/V"]);
        let twofold = "1.150 rpm at 48 V";
        assert_eq!(read("", "motor.speed_constant", twofold), [format!("motor.speed_constant={twofold}")]);
    }
}
