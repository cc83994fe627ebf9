//! Fields of the hull and of towing measurements.
//!
//! Bands of measured lengths are what a tape on the hard gives; those of assumed ones are common
//! practice, no source. Limits are plausibility, not physics.

use crate::boat::choice::{BoatKind, Chosen};
use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::{Absolute, Relative};
use wakewright_core::field;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::hull::{KeelKind, RudderKind};
use wakewright_units::Quantity as Q;
use wakewright_units::factors::{KNOT_M_S, MONTH_S};

/// Where a coefficient of the form comes from that was not measured.
const MEDIAN: &str = "what her kind usually has (sailing yachts: the median of the 51 Delft hulls)";
const DELFT_SOURCE: &str = "dsyhs2022";
const PRACTICE: &str = "common practice, no source";

pub(super) static HULL: &[Field] = &[
    Field::new(field::hull::KIND, "kind of hull", FieldKind::Choice(BoatKind::CHOICES)).required().help(
        "Which family of hulls she belongs to; it decides how her resistance is \
             computed.",
        "sailing yacht",
    ),
    Field::quantity_of(field::hull::LENGTH_OVERALL, "length overall", Q::Length)
        .required()
        .possible(3.0, 30.0)
        .usual(5.0, 16.0)
        .spread(Relative(0.005), Relative(0.02))
        .help("Length of the hull itself, without bowsprit, pulpit or rudder.", "12.7 m"),
    Field::quantity_of(field::hull::LENGTH_WATERLINE, "length of the waterline", Q::Length)
        .estimated("length overall and kind of hull", PRACTICE)
        .possible(2.5, 25.0)
        .usual(4.5, 14.0)
        .spread(Relative(0.01), Relative(0.03))
        .help(
            "Length along the water, afloat and loaded as she is used. On the hard: plumb down from the \
             ends of the water mark and measure along the ground.",
            "35 ft 11 in",
        ),
    Field::quantity_of(field::hull::BEAM_OVERALL, "beam overall", Q::Length)
        .possible(0.8, 8.0)
        .usual(1.6, 4.8)
        .spread(Relative(0.005), Relative(0.03))
        .help("Greatest width of the hull.", "3.95 m"),
    Field::quantity_of(field::hull::BEAM_WATERLINE, "beam on the waterline", Q::Length)
        .estimated("kind of hull and beam overall, of several hulls length", PRACTICE)
        .possible(0.6, 7.0)
        .usual(1.4, 4.2)
        .spread(Relative(0.015), Relative(0.05))
        .help(
            "Greatest width at the water mark; of several hulls all their widths together. Left out, it is about nine tenths of the \
             beam overall, of several hulls a fifth of the length.",
            "3.6 m",
        ),
    Field::quantity_of(field::hull::DRAUGHT, "draught", Q::Length)
        .estimated("waterline, kind of hull and keel", PRACTICE)
        .possible(0.15, 5.0)
        .usual(0.35, 2.6)
        .spread(Absolute(0.03), Absolute(0.10))
        .help("From the water mark to the lowest point of keel or skeg, loaded as she is used.", "1.7 m"),
    Field::quantity_of(field::hull::CANOE_BODY_DRAUGHT, "draught of the canoe body", Q::Length)
        .estimated(
            "displacement, waterline and the usual block coefficient of her kind (sailing yachts: the median of the 51 Delft hulls)",
            DELFT_SOURCE,
        )
        .possible(0.08, 2.5)
        .usual(0.2, 1.0)
        .spread(Absolute(0.03), Relative(0.15))
        .help("Depth of the hull without its keel, at its deepest section.", "0.9 m"),
    Field::quantity_of(field::hull::DISPLACEMENT, "displacement", Q::Mass)
        .estimated("waterline, beam, draught and kind of hull", PRACTICE)
        .possible(200.0, 60_000.0)
        .usual(700.0, 25_000.0)
        .spread(Relative(0.03), Relative(0.12))
        .help(
            "Her weight as she is used, with tanks, gear and crew. A crane's load cell is best; a brochure \
             figure is usually too low by a tenth or two.",
            "15.6 t ± 0.5 t",
        ),
    Field::new(field::hull::KEEL, "kind of keel", FieldKind::Choice(KeelKind::CHOICES))
        .estimated("kind of hull", PRACTICE)
        .help("The keel below the canoe body.", "long with aperture"),
    Field::quantity_of(field::hull::KEEL_CHORD, "mean chord of the keel", Q::Length)
        .estimated("the kind of keel and the waterline", PRACTICE)
        .possible(0.15, 20.0)
        .usual(0.4, 8.0)
        .spread(Relative(0.05), Relative(0.25))
        .help("Fore-and-aft length of the keel, half way down.", "6 m"),
    Field::quantity_of(field::hull::KEEL_THICKNESS, "thickness of the keel", Q::Share)
        .estimated("the kind of keel: 12 % for a fin, 10 % for twin keels, 4.5 % for a long keel", PRACTICE)
        .possible(0.01, 0.6)
        .usual(0.04, 0.25)
        .spread(Absolute(0.01), Absolute(0.04))
        .help("Greatest thickness of the keel, as a share of its chord.", "10 %"),
    Field::quantity_of(field::hull::KEEL_WETTED_AREA, "wetted area of the keel", Q::Area)
        .estimated(
            "the kind of keel, waterline and draught (as deep as the draught less the canoe body's, or where that is not \
             measured 70 % of the draught for a fin, 55 % for twin keels, 53 % for a long keel, a quarter either way)",
            PRACTICE,
        )
        .possible(0.02, 60.0)
        .usual(0.5, 20.0)
        .spread(Relative(0.05), Relative(0.25))
        .help("Both sides of the keel together, below the canoe body.", "10.8 m2"),
    Field::new(field::hull::RUDDER, "kind of rudder", FieldKind::Choice(RudderKind::CHOICES))
        .estimated("kind of keel", PRACTICE)
        .help("How the rudder is carried.", "keel-hung"),
    Field::quantity_of(field::hull::RUDDER_CHORD, "mean chord of the rudder", Q::Length)
        .estimated("the kind of rudder and the waterline", PRACTICE)
        .possible(0.05, 3.0)
        .usual(0.2, 1.0)
        .spread(Relative(0.05), Relative(0.25))
        .help("Fore-and-aft length of the rudder blade, half way down.", "0.65 m"),
    Field::quantity_of(field::hull::RUDDER_WETTED_AREA, "wetted area of the rudder", Q::Area)
        .estimated("the kind of rudder, waterline and draught", PRACTICE)
        .possible(0.02, 8.0)
        .usual(0.2, 2.5)
        .spread(Relative(0.05), Relative(0.25))
        .help("Both sides of the rudder blade together.", "1.7 m2"),
    Field::quantity_of(field::hull::PRISMATIC_COEFFICIENT, "prismatic coefficient", Q::Ratio)
        .estimated(MEDIAN, DELFT_SOURCE)
        .possible(0.4, 0.97)
        .usual(0.5, 0.93)
        .spread(Absolute(0.005), Absolute(0.02))
        .help(
            "Volume of the canoe body over waterline length times midship section; from a lines \
             plan.",
            "0.55",
        ),
    Field::quantity_of(field::hull::MIDSHIP_COEFFICIENT, "midship coefficient", Q::Ratio)
        .estimated("displacement, length, beam and canoe-body draught over the prismatic coefficient", PRACTICE)
        .possible(0.4, 1.0)
        .usual(0.6, 0.85)
        .spread(Absolute(0.01), Absolute(0.05))
        .help(
            "Area of the midship section over waterline beam times canoe-body draught; from a lines \
             plan.",
            "0.71",
        ),
    Field::quantity_of(field::hull::CENTRE_OF_BUOYANCY, "centre of buoyancy", Q::Share)
        .estimated(MEDIAN, DELFT_SOURCE)
        .possible(0.4, 0.65)
        .usual(0.49, 0.58)
        .spread(Absolute(0.005), Absolute(0.015))
        .help(
            "Distance aft of the fore end of the waterline, as a share of its length; 50 % is \
             amidships. For the fit in use it counts with the centre of flotation, draught of the canoe body and \
             prismatic coefficient.",
            "52.5 %",
        ),
    Field::quantity_of(field::hull::CENTRE_OF_FLOTATION, "centre of flotation", Q::Share)
        .estimated(MEDIAN, DELFT_SOURCE)
        .possible(0.4, 0.7)
        .usual(0.5, 0.61)
        .spread(Absolute(0.005), Absolute(0.015))
        .help(
            "Middle of the waterplane: distance aft of the fore end of the waterline, as a share of \
             its length. Counts as the centre of buoyancy does.",
            "55 %",
        ),
    Field::quantity_of(field::hull::WATERPLANE_AREA, "area of the waterplane", Q::Area)
        .estimated(MEDIAN, DELFT_SOURCE)
        .possible(1.0, 120.0)
        .usual(4.0, 45.0)
        .spread(Relative(0.02), Relative(0.06))
        .help("Area that the waterline encloses; from a lines plan. Asked for by the second opinions and by canal boats alone.", "26.5 m2"),
    Field::quantity_of(field::hull::FREEBOARD, "mean freeboard", Q::Length)
        .estimated("a tenth of the length overall", PRACTICE)
        .possible(0.1, 4.0)
        .usual(0.4, 2.0)
        .spread(Absolute(0.05), Relative(0.2))
        .help("Height of the deck edge above the water, averaged over bow, middle and stern.", "1.25 m"),
    Field::quantity_of(field::hull::MAST_HEIGHT, "height of the mast", Q::Length)
        .estimated("the usual proportion of a sailing yacht, 1.35 times the length overall; other boats none", PRACTICE)
        .possible(0.0, 40.0)
        .usual(0.0, 22.0)
        .spread(Relative(0.02), Relative(0.1))
        .help("Length of the mast above the deck, all masts together; 0 m where there is none.", "21 m"),
    Field::quantity_of(field::hull::MAST_DIAMETER, "mean diameter of the mast", Q::SmallLength)
        .estimated("the height of the mast", PRACTICE)
        .possible(0.02, 0.5)
        .usual(0.06, 0.25)
        .spread(Relative(0.05), Relative(0.2))
        .help("Athwartships, at half height.", "190 mm"),
    Field::quantity_of(field::hull::EXTRA_FRONTAL_AREA, "further area facing the wind", Q::Area)
        .default("0 m2")
        .possible(0.0, 30.0)
        .usual(0.0, 6.0)
        .spread(Relative(0.1), Relative(0.3))
        .help(
            "Seen from ahead: wheelhouse, sprayhood, arch, dinghy, what stands above the \
             deck.",
            "3.5 m2",
        ),
    Field::new(field::hull::BOTTOM, "state of the bottom", FieldKind::Choice(FoulingCondition::CHOICES))
        .estimated("how long ago it was cleaned, else what is usual between two cleanings", PRACTICE)
        .help("What a look or a hand finds on most of it.", "light slime"),
    Field::quantity_of(field::hull::BOTTOM_CLEANED, "time since the bottom was cleaned", Q::Duration)
        .possible(0.0, 240.0 * MONTH_S)
        .usual(0.0, 36.0 * MONTH_S)
        .spread(Relative(0.1), Relative(0.4))
        .help("How long ago the bottom was last cleaned or painted; it stands for the state of the bottom where nobody looked.", "4 months"),
];

pub(super) static TOWED: &[Field] = &[
    Field::quantity_of(field::towed::SPEED, "speed through the water", Q::Speed)
        .required()
        .possible(0.1 * KNOT_M_S, 30.0 * KNOT_M_S)
        .usual(KNOT_M_S, 10.0 * KNOT_M_S)
        .spread(Absolute(0.1 * KNOT_M_S), Absolute(0.3 * KNOT_M_S))
        .help("Through the water, mean of a run with the stream and one against it.", "5 kn"),
    Field::quantity_of(field::towed::DRAG, "pull in the line", Q::Force)
        .required()
        .possible(1.0, 100_000.0)
        .usual(20.0, 8000.0)
        .spread(Relative(0.05), Relative(0.15))
        .help("Along the line, propeller off or taken account of, in calm air.", "850 N"),
];
