//! One field of the survey sheet: label, place to type, mark, what was read or what is wrong.
//! Made from the field's descriptor alone. Not for: reading.

use maud::{Markup, html};
use wakewright_core::boat::BoatSpec;
use wakewright_records::boat::{
    BoatDocument, Choice, Fault, Field, FieldKind, Origin, Presence, Severity, Stated,
};
use wakewright_units::{Digits, Quantity, UnitSystem, format_quantity, read_quantity};

use crate::parts::UNITS;
use crate::words::{fault_words, field_id};
use crate::working::{MARK, Reading, VALUE, shown, takes_marks};

/// A field at its address, in a text as it stands.
#[derive(Debug)]
pub struct FieldOnSheet<'a> {
    /// Its descriptor.
    pub field: &'static Field,
    /// Where it stands: `pack[2].capacity`.
    pub address: String,
    /// The text.
    pub reading: &'a Reading,
}

/// Where a value comes from, as its mark shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// What the value says.
    Said(Origin),
    /// From other fields.
    Estimated,
    /// The usual value.
    Usual,
    /// Nothing there, and nothing in its place.
    None,
}

impl Mark {
    /// Its word; also the class of its shape.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Said(origin) => origin.word(),
            Self::Estimated => "estimated",
            Self::Usual => "usual",
            Self::None => "",
        }
    }
}

impl FieldOnSheet<'_> {
    fn document(&self) -> Option<&BoatDocument> {
        self.reading.document.as_ref()
    }

    /// The id of its element; what belongs to it begins with it.
    pub fn id(&self) -> String {
        field_id(&self.address)
    }

    fn faults(&self, severity: Severity) -> impl Iterator<Item = &Fault> {
        self.reading.faults.iter().filter(move |f| f.severity == severity && f.field == self.address)
    }

    /// Whether what is typed cannot be used.
    pub fn is_invalid(&self) -> bool {
        self.faults(Severity::Error).next().is_some()
    }

    /// The value as typed, and where it is from.
    fn value(&self) -> (String, Origin) {
        let nothing = || (String::new(), self.field.usual_origin());
        self.document().map_or_else(nothing, |d| shown(d, self.field, &self.address))
    }

    /// The value without its band.
    pub fn plain_value(&self) -> Option<String> {
        let (value, _) = self.value();
        Some(value.split(['±', '+']).next()?.trim().to_owned())
    }

    /// Whether something is typed.
    pub fn is_filled(&self) -> bool {
        self.document().is_some_and(|d| d.typed(&self.address).is_some())
    }

    /// The mark that the value bears.
    pub fn mark(&self) -> Mark {
        match (self.is_filled(), self.field.presence) {
            (true, _) if !takes_marks(self.field) => Mark::None,
            (true, _) => Mark::Said(self.value().1),
            (false, Presence::Estimated { .. }) => Mark::Estimated,
            (false, Presence::Default(_)) => Mark::Usual,
            (false, _) => Mark::None,
        }
    }

    /// The whole row.
    pub fn row(&self) -> Markup {
        let (id, (_, origin)) = (self.id(), self.value());
        let is_needed = self.field.presence == Presence::Required;
        html! {
            div.field data-address=(self.address) {
                label for=(id) {
                    (self.field.label)
                    @if is_needed { " " span.needed { "needed" } }
                }
                (self.control(&id))
                span.marks {
                    @if takes_marks(self.field) {
                        span.from {
                            select name={ (MARK) (self.address) } aria-label={ (self.field.label) ": where it is from" } {
                                @for one in Origin::ALL {
                                    option value=(one.word()) selected[one == origin] { (one.words()) }
                                }
                            }
                        }
                    }
                    (stand_in_mark(self.mark()))
                }
                span.help id={ (id) "-help" } { (self.help()) }
                div.note id={ (id) "-note" } { (self.note()) }
            }
        }
    }

    fn help(&self) -> Markup {
        let is_choice = matches!(self.field.kind, FieldKind::Choice(_) | FieldKind::Flag);
        html! {
            (self.field.help)
            @if !is_choice && !self.field.example.is_empty() && self.field.example.len() < 40 {
                " For example " span.example { (example_in(self.field, UNITS.get())) }
                @if let Some(unit) = self.document().and_then(|d| d.unit_shown(&self.address)) { "; a bare number is in " (unit.symbol()) }
                "."
            }
        }
    }

    fn control(&self, id: &str) -> Markup {
        let name = format!("{VALUE}{}", self.address);
        let invalid = self.is_invalid().then_some("true");
        let described = format!("{id}-note {id}-help");
        let (value, _) = self.value();
        match self.field.kind {
            FieldKind::Choice(choices) => html! {
                select id=(id) name=(name) aria-invalid=[invalid] aria-describedby=(described) {
                    option value="" selected[value.is_empty()] { (self.words_for_nothing()) }
                    (options(choices, &value))
                }
            },
            FieldKind::Flag => html! {
                select id=(id) name=(name) aria-invalid=[invalid] aria-describedby=(described) {
                    option value="" selected[value.is_empty()] { (self.words_for_nothing()) }
                    @for (word, text) in [("true", "yes"), ("false", "no")] {
                        option value=(word) selected[value == word] { (text) }
                    }
                    @if !matches!(value.as_str(), "" | "true" | "false") { option value=(value) selected { (value) } }
                }
            },
            FieldKind::Text if is_long_text(self.field, &value) => html! {
                textarea id=(id) name=(name) rows="2" aria-invalid=[invalid] aria-describedby=(described) {
                    "\n" (value)
                }
            },
            kind => html! {
                input id=(id) name=(name) value=(value) autocomplete="off" spellcheck="false" placeholder=" "
                    class=[(!matches!(kind, FieldKind::Text)).then_some("number")]
                    aria-invalid=[invalid] aria-describedby=(described);
            },
        }
    }

    fn words_for_nothing(&self) -> String {
        match self.field.presence {
            Presence::Default(text) => format!("not stated: {text} is taken"),
            Presence::Estimated { .. } => "not stated: is estimated".to_owned(),
            Presence::Required => "choose".to_owned(),
            Presence::Optional => "not stated".to_owned(),
        }
    }

    /// What was read, or what is wrong and what to do.
    pub fn note(&self) -> Markup {
        html! {
            @for fault in self.faults(Severity::Error) { p.fault { (fault_words(fault)) } }
            @for fault in self.faults(Severity::Doubt) { p.doubt { (fault_words(fault)) } }
            @if !self.is_invalid() && let Some(read) = self.read() { p.read { (read) } }
        }
    }

    fn read(&self) -> Option<String> {
        let document = self.document()?;
        if !self.is_filled() {
            return self.stands_in();
        }
        match self.field.kind {
            FieldKind::Quantity(quantity) => read_words(&document.stated_number(&self.address)?, quantity),
            FieldKind::Choice(choices) => {
                let word = document.choice(&self.address)?;
                choices.iter().find(|choice| choice.word == word).map(|choice| choice.help.to_owned())
            }
            _ => None,
        }
    }

    /// What is taken in the place of a value that is not given.
    fn stands_in(&self) -> Option<String> {
        match self.field.presence {
            Presence::Default(text) => Some(format!("Left out: {text} is taken.")),
            Presence::Estimated { how, .. } => {
                let value = self.reading.spec.as_ref().and_then(|spec| estimated(spec, &self.address));
                let in_units = |si| match (self.field.quantity(), UNITS.get()) {
                    (Some(quantity), units) if units != UnitSystem::Trade => {
                        format_quantity(si, quantity, units, Digits::Usual)
                    }
                    _ => self.field.value_text(si),
                };
                let value = value.map_or_else(String::new, |si| format!(": {}", in_units(si)));
                Some(format!("Left out: estimated from {how}{value}."))
            }
            _ => None,
        }
    }
}

/// An example as it may be typed, in the units that were chosen; as it stands where it cannot be told in them and be read again.
fn example_in(field: &Field, units: UnitSystem) -> String {
    let stands = field.example.trim_end_matches('.');
    let FieldKind::Quantity(quantity) = field.kind else { return stands.to_owned() };
    if units == UnitSystem::Trade {
        return stands.to_owned();
    }
    let told = |part: &str| {
        let part = part.trim();
        let si = read_quantity(part, quantity).ok()?.si;
        let text = format_quantity(si, quantity, units, Digits::Usual);
        let again = read_quantity(&text, quantity).ok()?.si;
        ((again - si).abs() <= 0.02 * si.abs()).then_some(text)
    };
    let (value, band) = stands.split_once('±').map_or((stands, None), |(value, band)| (value, Some(band)));
    match (told(value), band.map(told)) {
        (Some(value), None) => value,
        (Some(value), Some(Some(band))) => format!("{value} ± {band}"),
        _ => stands.to_owned(),
    }
}

/// The mark of what stands in for a value that is not given; a given one has its switch.
fn stand_in_mark(mark: Mark) -> Markup {
    let stands_in = matches!(mark, Mark::Estimated | Mark::Usual);
    html! { @if stands_in { span.mark.stand-in.estimated[mark == Mark::Estimated].usual[mark == Mark::Usual] { (mark.word()) } } }
}

fn is_long_text(field: &Field, value: &str) -> bool {
    matches!(field.name(), "note" | "invented") || value.contains('\n')
}

fn options(choices: &[Choice], value: &str) -> Markup {
    html! {
        @for choice in choices { option value=(choice.word) selected[value == choice.word] { (choice.word) } }
        @if !value.is_empty() && !choices.iter().any(|choice| choice.word == value) {
            option value=(value) selected { (value) }
        }
    }
}

fn estimated(spec: &BoatSpec, address: &str) -> Option<f64> {
    spec.uncertain.iter().find(|uncertain| uncertain.input.key() == address).map(|found| found.spread.median)
}

/// The value in another unit than the one that was typed, and its band.
fn read_words(stated: &Stated, quantity: Quantity) -> Option<String> {
    let typed = stated.text.trim_start_matches('~').split(['±', '+']).next().unwrap_or_default();
    let typed = typed.trim();
    let typed = typed
        .rsplit_once(", ")
        .map_or(typed, |(value, mark)| if Origin::of_word(mark.trim()).is_some() { value } else { typed })
        .trim();
    let unit = read_quantity(typed, quantity).ok().map(|read| read.unit.symbol());
    let ends_with = |text: &str| unit.is_some_and(|unit| text.ends_with(&format!(" {unit}")));
    let words = |si: f64, system| format_quantity(si, quantity, system, Digits::Usual);
    let units = UNITS.get();
    let other = [units, UnitSystem::Trade, UnitSystem::Metric, UnitSystem::Us]
        .map(|system| words(stated.value_si, system))
        .into_iter()
        .find(|text| !ends_with(text) && text.contains(' '));
    let (low, high) = (stated.spread.p10, stated.spread.p90);
    let band = (low < high).then(|| {
        let (low, high) = (words(low, units), words(high, units));
        if low == high { format!("within {high}") } else { format!("four times in five {low} to {high}") }
    });
    let equals = other.map(|text| format!("= {text}"));
    let parts: Vec<String> = equals.into_iter().chain(band).collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(text: &str, address: &str) -> String {
        let reading = Reading::of(text);
        let field = wakewright_records::boat::field_named(address).unwrap();
        FieldOnSheet { field, address: address.to_owned(), reading: &reading }.note().into_string()
    }

    #[test]
    fn it_says_what_was_read() {
        let got = note("[propeller]\ndiameter = \"12 in\"\n", "propeller.diameter");
        assert!(got.contains("= 305 mm"), "{got}");
        let got = note("[hull]\nlength_overall = \"32 ft 2 in\"\n", "hull.length_overall");
        assert!(got.contains("= 9.80 m"), "{got}");
        let got = note("[hull]\ndisplacement = \"5.4 t ± 0.3 t\"\n", "hull.displacement");
        assert!(got.contains("5.1 t to 5.7 t"), "{got}");
    }

    #[test]
    fn examples_follow_the_units() {
        let example =
            |address, units| example_in(wakewright_records::boat::field_named(address).unwrap(), units);
        assert_eq!(example("hull.draught", UnitSystem::Trade), "1.7 m");
        assert_eq!(example("hull.draught", UnitSystem::Us), "5 ft 7 in");
        assert_eq!(example("hull.displacement", UnitSystem::Trade), "15.6 t ± 0.5 t");
        assert!(example("hull.displacement", UnitSystem::Us).contains("lb ± "));
        for field in wakewright_records::boat::all_fields() {
            let FieldKind::Quantity(quantity) = field.kind else { continue };
            for units in [UnitSystem::Metric, UnitSystem::Us] {
                let text = example_in(field, units);
                let value = text.trim_start_matches('~').split('±').next().unwrap().trim();
                let is_read =
                    read_quantity(value, quantity).is_ok() || text == field.example.trim_end_matches('.');
                assert!(is_read, "{}: {text}", field.key);
            }
        }
    }

    #[test]
    fn it_says_what_is_wrong_and_escapes_what_was_typed() {
        let got = note("[hull]\ndraught = \"<b>wet\"\n", "hull.draught");
        assert!(got.contains("class=\"fault\"") && !got.contains("<b>"), "{got}");
        assert!(note("[sea]\n", "sea.water").contains("salt is taken"));
    }
}
