//! The form of the Search page: what may be exchanged, what must hold, what matters. Named as the flags of
//! the command. Not for: what the wishes mean (`searching::Wish`).

use maud::{Markup, html};
use wakewright_core::search::{Keep, Preference, Prices};

use super::wish::{PREFERENCES, texts};
use wakewright_rooms::search::{Pattern, Wish, WishFault};

/// The form, as typed, with what is wrong.
pub fn form(wish: &Wish, faults: &[WishFault], action: &str, is_open: bool) -> Markup {
    let field = |name: &'static str, label: &str, value: &str, help: &str| {
        Field { name, label, value, help }.row(faults)
    };
    let typed =
        |name: &str| texts(wish).into_iter().find(|(other, _)| *other == name).map_or("", |(_, text)| text);
    html! {
        form.wish method="post" action=(action) autocomplete="off" data-remember="wish" {
            fieldset {
                legend { "What may be exchanged" }
                div.ticks role="group" aria-label="Stays as it is" {
                    span.lead { "Stays as it is" }
                    @for part in Keep::ALL {
                        label.tick {
                            input type="checkbox" name="keep" value=(part.key()) checked[wish.keep.contains(&part)];
                            " " (part.words())
                        }
                    }
                }
                details.part open[is_open] {
                    summary { h2 { "Which sizes to try" } span.count { "every stock size that has room, unless said here" } }
                    div.fields {
                    (field("diameter", "diameter", typed("diameter"), "12 in..14 in; empty: every stock size that has room"))
                    (field("pitch", "pitch", typed("pitch"), "for example 12 in..16 in"))
                    (field("blades", "blades", typed("blades"), "for example 3,4"))
                    div.one {
                        label for="pattern" { "pattern" }
                        select id="pattern" name="pattern" {
                            option value="" { "fixed and folding" }
                            @for pattern in Pattern::ALL {
                                option value=(pattern.key()) selected[wish.pattern == Some(pattern)] { "only " (pattern.key()) }
                            }
                        }
                        div.note {}
                    }
                    (field("ratios", "reductions", typed("ratios"), "2,2.5,3 or 2..3.5/0.1; empty: 1 to 4 by tenths"))
                    (field("cells", "cells in series", typed("cells"), "16,20; empty: the usual voltages"))
                    (field("packs", "packs in parallel", typed("packs"), "2,3,4; empty: up to two more"))
                    }
                }
            }
            fieldset {
                legend { "What must hold" }
                div.fields {
                    (field("cruise", "cruising speed, held for hours", &wish.cruise.join(", "), "up to three; the first counts for the energy per mile"))
                }
                details.part open[is_open] {
                    summary { h3 { "Further limits" } span.count { "largest propeller, mass, budget" } }
                    div.fields {
                    (field("largest", "largest propeller", typed("largest"), "when neither aperture nor tip clearance is in her document"))
                    (field("mass", "motor and packs at most", typed("mass"), "for example 120 kg"))
                    (field("budget", "budget", typed("budget"), "an amount; needs the prices below"))
                    }
                }
                label.tick {
                    input type="checkbox" name="allow-over-60-v" checked[wish.may_exceed_touch_limit];
                    " Try banks above 60 V too: a touch of such a voltage can kill"
                }
            }
            fieldset {
                legend { "What matters most" }
                div.fields {
                    @for place in 0..PREFERENCES {
                        @let chosen = wish.prefer.get(place).copied();
                        div.one {
                            label for={ "prefer-" (place + 1) } { @match place { 0 => "first", 1 => "then", _ => "after that" } }
                            select id={ "prefer-" (place + 1) } name="prefer" {
                                option value="" { @if place == 0 { "range and speed alike" } @else { "nothing more" } }
                                @for preference in Preference::ALL {
                                    option value=(preference.key()) selected[chosen == Some(preference)] { (preference.words()) }
                                }
                            }
                        }
                    }
                }
            }
            (prices(wish, faults))
            @for fault in faults.iter().filter(|fault| fault.field.is_empty()) { p.fault { (sentence(&fault.problem)) } }
            div.buttons { button.main { "Search" } }
        }
    }
}

pub(super) fn prices(wish: &Wish, faults: &[WishFault]) -> Markup {
    let is_open = !wish.prices.is_empty() || faults.iter().any(|fault| fault.field == "price");
    html! {
        details.part open[is_open] {
            summary { h3 { "Prices, ready aboard" } span.count { "your own, in one currency" } }
            p.aside { "Without prices the search counts parts that change. With them, give one for everything that may be bought." }
            div.fields {
                @for (item, words) in Prices::ITEMS {
                    @let amount = wish.prices.iter().find(|(other, _)| other == item).map_or("", |(_, amount)| amount);
                    @let own = |fault: &&WishFault| fault.field == "price" && fault.typed.split('=').next() == Some(item);
                    @let fault = faults.iter().find(own);
                    div.one {
                        label for={ "price-" (item) } { (words) }
                        input id={ "price-" (item) } name={ "price:" (item) } value=(amount) inputmode="decimal"
                            aria-invalid=[fault.map(|_| "true")] aria-describedby={ "price-" (item) "-note" };
                        div.note id={ "price-" (item) "-note" } {
                            @if let Some(fault) = fault { p.fault { (sentence(&fault.problem)) } }
                        }
                    }
                }
            }
        }
    }
}

struct Field<'a> {
    name: &'static str,
    label: &'a str,
    value: &'a str,
    help: &'a str,
}

impl Field<'_> {
    fn row(&self, faults: &[WishFault]) -> Markup {
        let own: Vec<&WishFault> = faults.iter().filter(|fault| fault.field == self.name).collect();
        html! {
            div.one {
                label for=(self.name) { (self.label) }
                input id=(self.name) name=(self.name) value=(self.value) spellcheck="false"
                    aria-invalid=[(!own.is_empty()).then_some("true")] aria-describedby={ (self.name) "-note" };
                div.note id={ (self.name) "-note" } {
                    @for fault in &own { p.fault { (sentence(&fault.problem)) } }
                    p.aside { (self.help) }
                }
            }
        }
    }
}

fn sentence(text: &str) -> String {
    let text = text.trim_end_matches('.');
    let mut letters = text.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}
