//! The sliders of a page as a form, and above them the fields to type in. Each is a choice among values, so that it works as a list where there
//! is no script; the script turns the list into a slider. Not for: what may be chosen (`rooms::whatif`).

use maud::{Markup, html};
use wakewright_rooms::room::Typed;
use wakewright_rooms::whatif::{Slider, in_units};

use crate::parts::{UNITS, fold};
use crate::query::Query;

/// So many stand in view on a phone.
const FIRST: usize = 3;
/// And so many fields to type in.
const FIRST_TYPED: usize = 6;

/// The fields and sliders as a form that shows the page `action` with what is typed and chosen.
#[must_use]
pub fn slider_form(
    (typed, query): (&[Typed], &Query),
    sliders: &[Slider],
    action: &str,
    is_open: bool,
) -> Markup {
    let (first, more) = sliders.split_at(sliders.len().min(FIRST));
    let (typed_first, typed_more) = typed.split_at(typed.len().min(FIRST_TYPED));
    let typed_words: Vec<&str> = typed_more.iter().map(|field| field.label).collect();
    let said = |field: &Typed| query.get(field.key).unwrap_or_default();
    let names: Vec<&str> = more.iter().map(|slider| slider.label).collect();
    let is_tried = more.iter().any(|slider| slider.at != slider.kept);
    html! {
        form.sliders method="get" action=(action) data-sliders data-remember=[(!typed.is_empty()).then_some("asked")]
            aria-label="Try, without keeping" {
            @for field in typed_first { (type_in(field, said(field))) }
            @if !typed_more.is_empty() {
                (fold("typed", "More to say", &named(&typed_words), typed_more.iter().any(|field| !said(field).is_empty()), &html! {
                    @for field in typed_more { (type_in(field, said(field))) }
                }))
            }
            @for slider in first { (control(slider)) }
            @if !more.is_empty() {
                (fold("sliders", "More to try", &named(&names), is_open || is_tried, &html! {
                    @for slider in more { (control(slider)) }
                }))
            }
            button.show { "Show" }
        }
    }
}

/// What is in a fold: the first few by name, the rest counted.
fn named(labels: &[&str]) -> String {
    const NAMED: usize = 4;
    match labels.len() {
        count if count > NAMED + 1 => format!("{} and {} more", labels[..NAMED].join(", "), count - NAMED),
        _ => labels.join(", "),
    }
}

/// A field as it was typed.
fn type_in(field: &Typed, text: &str) -> Markup {
    let id = format!("ask-{}", field.key);
    html! {
        div.typed-in {
            label for=(id) { (field.label) }
            @if field.lines > 1 {
                textarea id=(id) name=(field.key) rows=(field.lines) placeholder=(field.usual) { (text) }
            } @else if !field.choices.is_empty() {
                select id=(id) name=(field.key) {
                    option value="" selected[text.is_empty()] { (field.usual) }
                    @for (value, words) in &field.choices { option value=(value) selected[*value == text] { (words) } }
                }
            } @else {
                input id=(id) name=(field.key) value=(text) placeholder=(field.usual) autocomplete="off";
            }
        }
    }
}

fn control(slider: &Slider) -> Markup {
    let id = format!("try-{}", slider.key.replace(['.', '[', ']'], "-"));
    html! {
        div.slot {
            div.slider data-slider=(slider.key) data-kept=(slider.kept) {
                label for=(id) { (slider.label) }
                output for=(id) { (slider.places.get(slider.at).map_or_else(String::new, |place| in_units(slider.key, &place.1, UNITS.get()))) }
                select id=(id) name=(if slider.is_own() { slider.key } else { "set" }) {
                    @for (place, (value, words)) in slider.places.iter().enumerate() {
                        option value=(option_value(slider, place, value)) selected[place == slider.at] { (in_units(slider.key, words, UNITS.get())) }
                    }
                }
            }
        }
    }
}

/// What is kept needs no word in the query.
fn option_value(slider: &Slider, place: usize, value: &str) -> String {
    match () {
        () if place == slider.kept => String::new(),
        () if slider.is_own() => value.to_owned(),
        () => format!("{}={value}", slider.key),
    }
}
