//! The sliders of a page as a form. Each is a choice among values, so that it works as a list where there
//! is no script; the script turns the list into a slider. Not for: what may be chosen (`rooms::whatif`).

use maud::{Markup, html};
use wakewright_rooms::whatif::Slider;

use crate::parts::fold;

/// So many stand in view on a phone.
const FIRST: usize = 3;

/// The sliders as a form that shows the page `action` with what is chosen.
#[must_use]
pub fn slider_form(sliders: &[Slider], action: &str, is_open: bool) -> Markup {
    let (first, more) = sliders.split_at(sliders.len().min(FIRST));
    let names: Vec<&str> = more.iter().map(|slider| slider.label).collect();
    let is_tried = more.iter().any(|slider| slider.at != slider.kept);
    html! {
        form.sliders method="get" action=(action) data-sliders aria-label="Try, without keeping" {
            @for slider in first { (control(slider)) }
            @if !more.is_empty() {
                (fold("sliders", "More to try", &names.join(", "), is_open || is_tried, &html! {
                    @for slider in more { (control(slider)) }
                }))
            }
            button.show { "Show" }
        }
    }
}

fn control(slider: &Slider) -> Markup {
    let id = format!("try-{}", slider.key.replace(['.', '[', ']'], "-"));
    html! {
        div.slot {
            div.slider data-slider=(slider.key) data-kept=(slider.kept) {
                label for=(id) { (slider.label) }
                output for=(id) { (slider.places.get(slider.at).map_or("", |place| place.1.as_str())) }
                select id=(id) name=(if slider.is_own() { slider.key } else { "set" }) {
                    @for (place, (value, words)) in slider.places.iter().enumerate() {
                        option value=(option_value(slider, place, value)) selected[place == slider.at] { (words) }
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
