//! What is asked of an offer: prices with their days, the price of an hour, what nobody foresees, hours of a year.
//! Not for: what comes of it.

use jiff::civil::Date;
use wakewright_core::offer::{Money, Part, Priced, sums};
use wakewright_units::{Quantity, read_quantity};

use crate::no_answer::NoAnswer;
use crate::room::{Question, Replies, Reply, Typed, read_date, read_share_within, read_speed_within};

/// # Errors
/// What to write instead.
pub fn money(text: &str) -> Result<Reply, String> {
    Money::read(text).map(|_| Reply::Text(text.trim().to_owned()))
}

fn lines(text: &str) -> Result<Reply, String> {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
    Ok(Reply::Texts(lines.map(str::to_owned).collect()))
}

const PRICE: &str = "Price of a part by its name, its day, hours of work, mass of one: \"main cable=11.40 EUR, 2026-11-20, 1.5 h, 0.7 kg\"; of a run of cable a metre, an alternative by its name";

/// Everything that may be asked.
pub static QUESTIONS: [Question; 9] = [
    Question { key: "price", value_name: Some("PART=PRICE"), help: PRICE, read: lines },
    Question {
        key: "prices",
        value_name: Some("FILE"),
        help: "The same from a file, a line each",
        read: lines,
    },
    Question {
        key: "labour",
        value_name: Some("PRICE"),
        help: "Price of an hour of work: \"55 EUR\"",
        read: money,
    },
    Question {
        key: "contingency",
        value_name: Some("SHARE"),
        help: "For what nobody foresees, a share of parts and work: \"10 %\"; nothing when left out",
        read: |text| read_share_within(text, 0, 100),
    },
    Question {
        key: "valid-until",
        value_name: Some("YYYY-MM-DD"),
        help: "Last day on which the offer holds",
        read: read_date,
    },
    Question {
        key: "hours",
        value_name: Some("HOURS"),
        help: "Hours under way in a year, for energy and money against the old engine",
        read: |text| {
            let plain = text.trim().trim_end_matches('h').trim();
            match plain.parse::<f64>() {
                Ok(hours) if (1.0..=8760.0).contains(&hours) => Ok(Reply::Number(hours * 3600.0)),
                _ => Err("give hours under way in a year, 1 to 8760".to_owned()),
            }
        },
    },
    Question {
        key: "at",
        value_name: Some("SPEED"),
        help: "Speed in those hours; her cruising speed when left out",
        read: |text| read_speed_within(text, 1.0, 20.0),
    },
    Question {
        key: "fuel",
        value_name: Some("PRICE"),
        help: "Price of a litre of diesel: \"1.45 EUR\"",
        read: money,
    },
    Question {
        key: "power",
        value_name: Some("PRICE"),
        help: "Price of a kilowatt-hour from the shore: \"0.32 EUR\"",
        read: money,
    },
];

/// The fields of the page.
pub fn fields() -> Vec<Typed> {
    vec![
        Typed::table("price", "Prices, a line each", "main cable=11.40 EUR, 2026-11-20, 1.5 h"),
        Typed::new("labour", "An hour of work", "55 EUR"),
        Typed::new("contingency", "For what nobody foresees", "0 %"),
        Typed::new("valid-until", "Holds until", "not said"),
        Typed::new("hours", "Hours under way in a year", "not said"),
        Typed::new("at", "at", "cruising speed"),
        Typed::new("fuel", "A litre of diesel", "not said"),
        Typed::new("power", "A kilowatt-hour", "not said"),
    ]
}

/// The money typed to a question.
pub fn typed_money(replies: &Replies, key: &str) -> Option<Money> {
    Money::read(replies.text(key)?).ok()
}

/// What a part that has a price comes to with its work and what nobody foresees, with its day.
pub fn price_of(part: &Part, labour: Option<&Money>, contingency_thousandths: u64) -> Option<String> {
    let day = &part.priced.as_ref()?.day;
    let totals = sums(std::slice::from_ref(part), labour, contingency_thousandths);
    let totals: Vec<String> = totals.iter().map(|sum| sum.total.to_string()).collect();
    Some(format!("{} of {day}", totals.join(" and ")))
}

/// Parts with the prices that were typed for them.
/// # Errors
/// Every line that cannot be used, with what to write.
pub fn priced(mut parts: Vec<Part>, replies: &Replies) -> Result<Vec<Part>, NoAnswer> {
    let mut faults = Vec::new();
    for line in replies.texts("prices").iter().chain(replies.texts("price")) {
        match read_line(line) {
            Err(why) => faults.push(format!("price \"{line}\": {why}")),
            Ok((name, price, mass_kg)) => {
                match parts.iter_mut().find(|part| part.name.eq_ignore_ascii_case(&name)) {
                    None => {
                        let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
                        faults.push(format!(
                            "price \"{line}\": there is no part {name}; there are {}",
                            names.join(", ")
                        ));
                    }
                    Some(part) if part.priced.is_some() => {
                        faults.push(format!("price \"{line}\": {name} has a price already; give one"));
                    }
                    Some(part) if mass_kg.is_some() && part.mass_kg.is_some() => {
                        faults.push(format!(
                            "price \"{line}\": the mass of {name} stands in the document; leave it out"
                        ));
                    }
                    Some(part) => {
                        part.priced = Some(price);
                        part.mass_kg = mass_kg.or(part.mass_kg);
                    }
                }
            }
        }
    }
    if faults.is_empty() { Ok(parts) } else { Err(NoAnswer::input(faults.join("\n"))) }
}

/// `main cable=11.40 EUR, 2026-11-20, 1.5 h, 0.7 kg`: a price, its day, hours of work, mass of one.
fn read_line(line: &str) -> Result<(String, Priced, Option<f64>), String> {
    const ADVICE: &str = "write PART=PRICE, DAY and, where there are any, hours of work and the mass of one (of a metre): \
         main cable=11.40 EUR, 2026-11-20, 1.5 h, 0.7 kg";
    let (name, rest) = line.rsplit_once('=').ok_or(ADVICE)?;
    // A comma may stand in the amount; a blank follows the one that ends it.
    let mut parts = rest.split(", ").map(str::trim);
    let each = Money::read(parts.next().unwrap_or_default())?;
    let day = parts.next().ok_or_else(|| format!("a price has its day: {ADVICE}"))?;
    let day: Date = day.parse().map_err(|_| format!("{day} is no day; write it like 2026-11-20"))?;
    let (mut hours, mut mass_kg) = (None, None);
    for part in parts {
        let (kept, read) = match read_quantity(part, Quantity::Mass) {
            Ok(mass) => (&mut mass_kg, mass.si),
            Err(_) => (
                &mut hours,
                read_quantity(part, Quantity::Duration)
                    .map_err(|error| format!("{part}: {error}; {ADVICE}"))?
                    .si
                    / 3600.0,
            ),
        };
        if kept.replace(read).is_some() || !(0.0..=10_000.0).contains(&read) {
            return Err(ADVICE.to_owned());
        }
    }
    let hours_hundredths = (hours.unwrap_or(0.0) * 100.0).round() as u64;
    Ok((name.trim().to_owned(), Priced { each, day: day.to_string(), hours_hundredths }, mass_kg))
}
