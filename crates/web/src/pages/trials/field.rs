//! A field of a trial on its page: label, place to type, what is wrong beside it. What is typed is
//! named as the document names its faults.

use maud::{Markup, html};
use wakewright_logs::NotebookCell;
use wakewright_logs::trial::{Condition, TrialAddress, TrialDocument, TrialFault, YES};

use wakewright_rooms::trials::KeptTrial;

/// Start of the names of form fields that hold what is typed.
pub const TYPED: &str = "t:";

/// How a field is typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind<'a> {
    /// Words.
    Text,
    /// A number with or without its unit.
    Number,
    /// Several lines.
    Long,
    /// One of these, value and words; another that was typed stays.
    Choice(&'a [(&'a str, &'a str)]),
    /// Yes or nothing.
    Switch,
}

/// A field.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialField<'a> {
    /// Where it stands in the document.
    pub address: TrialAddress,
    /// What it is called.
    pub label: &'a str,
    /// What to write.
    pub hint: &'a str,
    /// How it is typed.
    pub kind: Kind<'a>,
}

/// The id of a field's element; what belongs to it begins with it.
#[must_use]
pub fn id_of(address: &TrialAddress) -> String {
    address.name().chars().map(|c| if c.is_ascii_alphanumeric() || c == '_' { c } else { '-' }).collect()
}

impl TrialField<'_> {
    /// The field as it stands.
    #[must_use]
    pub fn markup(&self, kept: &KeptTrial) -> Markup {
        let id = id_of(&self.address);
        let name = format!("{TYPED}{}", self.address.name());
        let value = kept.document.typed(&self.address).unwrap_or_default();
        let described = format!("{id}-note");
        // Volts and amps of another boat would mislead: their unit alone.
        let unit = self.hint.rsplit_once(' ').map(|(_, unit)| unit).filter(|unit| ["V", "A"].contains(unit));
        let hint = unit.unwrap_or(self.hint);
        let is_wrong = !faults_of(kept, &self.address).is_empty();
        let invalid = is_wrong.then_some("true");
        if self.kind == Kind::Switch {
            return html! {
                label.tick for=(id) {
                    input type="hidden" name="switch" value=(self.address.name());
                    input type="checkbox" id=(id) name=(name) value=(YES) checked[value == YES];
                    span { (self.label) }
                }
            };
        }
        html! {
            div.one {
                label for=(id) { (self.label) }
                @match self.kind {
                    Kind::Long => textarea id=(id) name=(name) rows="3" aria-describedby=(described) { "\n" (value) },
                    Kind::Choice(choices) => select id=(id) name=(name) aria-invalid=[invalid] aria-describedby=(described) {
                        @for (word, words) in choices { option value=(word) selected[*word == value] { (words) } }
                        @if !choices.iter().any(|(word, _)| *word == value) { option value=(value) selected { (value) } }
                    },
                    kind => input id=(id) name=(name) value=(value) placeholder=(hint) autocomplete="off" spellcheck="false"
                        inputmode=[(kind == Kind::Number).then_some("decimal")] aria-invalid=[invalid] aria-describedby=(described);,
                }
                div.note id=(described) { (note(kept, &self.address)) }
            }
        }
    }
}

/// What is wrong with a field.
#[must_use]
pub fn faults_of<'a>(kept: &'a KeptTrial, address: &TrialAddress) -> Vec<&'a TrialFault> {
    let name = address.name();
    kept.reading.faults.iter().filter(|fault| fault.field == name).collect()
}

/// The same in words.
#[must_use]
pub fn note(kept: &KeptTrial, address: &TrialAddress) -> Markup {
    html! { @for fault in faults_of(kept, address) { p.fault { (sentence(&fault.problem)) } } }
}

/// With a capital and a full stop.
#[must_use]
pub fn sentence(text: &str) -> String {
    let mut letters = text.trim().trim_end_matches('.').chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    let end = if text.trim_end().ends_with('?') { "" } else { "." };
    format!("{first}{}{end}", letters.as_str())
}

/// All fields with a note beside them.
#[must_use]
pub fn noted(document: &TrialDocument) -> Vec<TrialAddress> {
    let mut noted = vec![
        TrialAddress::Date,
        TrialAddress::Title,
        TrialAddress::Done,
        TrialAddress::Note,
        TrialAddress::LeastRun,
        TrialAddress::MeterZero,
        TrialAddress::MeterHouse,
    ];
    noted.extend(Condition::ALL.map(TrialAddress::Condition));
    for row in 0..=document.notebook.len() {
        noted.extend(NotebookCell::ALL.map(|cell| TrialAddress::Cell(row, cell)));
    }
    noted.extend((0..document.logs.len()).map(TrialAddress::Shift));
    noted.extend((0..document.marks.as_ref().map_or(0, Vec::len)).map(TrialAddress::Mark));
    noted
}
