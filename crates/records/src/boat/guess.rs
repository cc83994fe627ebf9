//! What stands for the figures that an owner does not know, so that name, kind, length and beam are enough for a first
//! verdict: estimated from what is there, with a wide band, marked.
//!
//! All shares here are common practice or from memory, no source, and say so in the fields' `estimated`; no boat that was
//! measured entered. Not for: what a stated boat leaves to the computation (form coefficients, keel area).

use std::collections::BTreeMap;

use wakewright_core::field;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::hull::{HullKind, KeelKind, RudderKind};
use wakewright_core::spread::Spread;

use super::build::growth_since_cleaning;
use super::choice::{BoatKind, Chosen, PropellerPlace};
use super::document::BoatDocument;
use super::fields::field_named;
use super::guess_drive::fill_drive;
use super::reading::Said;
use super::stated::{Origin, Stated};

/// Values by address.
pub(super) type Guesses = BTreeMap<String, Said>;

/// Words that say that a value is not known.
pub(super) fn is_not_known(text: &str) -> bool {
    let text = text.trim();
    text.eq_ignore_ascii_case("not known") || text.eq_ignore_ascii_case("unknown")
}

/// Salt water \[kg/m³\]; a few per cent do not matter here.
const WATER_KG_M3: f64 = 1025.0;

pub(super) struct Filling<'a> {
    pub(super) document: &'a mut BoatDocument,
}

impl Filling<'_> {
    pub(super) fn number(&self, address: &str) -> Option<f64> {
        self.document.number(address).map(|stated| stated.value_si)
    }

    fn is_open(&self, address: &str) -> bool {
        self.document.is_open(address)
    }

    /// Puts `value` with a band from `low` to `high` times it where nothing stands, inside what the field allows.
    pub(super) fn put(&mut self, address: &str, value: f64, low: f64, high: f64) {
        let Some(field) = field_named(address).filter(|_| self.is_open(address)) else { return };
        let (least, most) = field.possible.unwrap_or((f64::MIN, f64::MAX));
        if !value.is_finite() {
            return;
        }
        let value_si = value.clamp(least, most);
        let spread = Spread::factor(low * value_si, value_si, high * value_si);
        let text = field.value_text(value_si);
        let stated = Stated { value_si, origin: Origin::Assumed, spread, text, line: None };
        self.document.guesses.insert(address.to_owned(), Said::Number(stated));
    }

    pub(super) fn choose<T: Chosen>(&mut self, address: &str, choice: T) {
        if self.is_open(address) {
            self.document.guesses.insert(address.to_owned(), Said::Word(choice.word(), Origin::Assumed));
        }
    }
}

/// Fills what is open in `document`; where even the basis is missing it stays open.
pub(super) fn fill_guesses(document: &mut BoatDocument) {
    let mut filling = Filling { document };
    if fill_hull(&mut filling).is_some() {
        fill_drive(&mut filling);
    }
}

fn fill_hull(f: &mut Filling<'_>) -> Option<()> {
    let boat_kind = f.document.chosen::<BoatKind>(field::hull::KIND)?;
    let is_multihull = boat_kind == BoatKind::Multihull;
    // A hull without a published resistance is guessed in the proportions of a sailing yacht.
    let kind = boat_kind.hull_kind().unwrap_or(HullKind::SailingYacht);
    let of_kind = |sail: f64, motor: f64, canal: f64| match kind {
        HullKind::SailingYacht => sail,
        HullKind::RoundBilgeMotor => motor,
        HullKind::CanalBoat => canal,
    };
    let overall = f.number(field::hull::LENGTH_OVERALL)?;
    f.put(
        field::hull::LENGTH_WATERLINE,
        of_kind(0.83, 0.92, 0.97) * overall,
        0.92,
        of_kind(1.10, 1.06, 1.02),
    );
    let length = f.number(field::hull::LENGTH_WATERLINE)?;
    if is_multihull {
        // All hulls side by side, each about a tenth of its length wide; what lies between them carries nothing.
        f.put(field::hull::BEAM_WATERLINE, 0.2 * length, 0.75, 1.4);
    } else if let Some(beam) = f.number(field::hull::BEAM_OVERALL) {
        f.put(field::hull::BEAM_WATERLINE, of_kind(0.88, 0.92, 1.0) * beam, 0.93, of_kind(1.06, 1.06, 1.0));
    }
    let beam = f.number(field::hull::BEAM_WATERLINE)?;
    f.choose(
        field::hull::KEEL,
        if kind == HullKind::SailingYacht && !is_multihull { KeelKind::Fin } else { KeelKind::None },
    );
    let keel = f.document.chosen(field::hull::KEEL).unwrap_or(KeelKind::None);
    let is_long = matches!(keel, KeelKind::Long | KeelKind::LongWithAperture);
    f.choose(field::hull::RUDDER, if is_long { RudderKind::KeelHung } else { RudderKind::Spade });
    let grown = growth_since_cleaning(f.document).map(|sand| FoulingCondition::nearest(sand.median));
    f.choose(field::hull::BOTTOM, grown.unwrap_or(FoulingCondition::LightSlime));
    let draught = match (kind, keel) {
        (HullKind::SailingYacht, KeelKind::Fin) => 0.21 * length,
        (HullKind::SailingYacht, KeelKind::Twin) => 0.145 * length,
        (HullKind::SailingYacht, KeelKind::None) => 0.075 * length,
        (HullKind::SailingYacht, KeelKind::Long | KeelKind::LongWithAperture) => 0.165 * length,
        (HullKind::RoundBilgeMotor, _) => 0.09 * length,
        (HullKind::CanalBoat, _) => 0.6,
    };
    f.put(field::hull::DRAUGHT, draught, 0.8, 1.25);
    let draught = f.number(field::hull::DRAUGHT)?;
    // Canoe body of a sailing yacht from beam over its draught, since the keel hides it; of others from the draught, of a
    // motor boat less its skeg.
    let (volume, low, high) = match kind {
        // Two hulls, each half as deep as wide.
        _ if is_multihull => (0.5 * length * beam * 0.25 * beam, 0.65, 1.6),
        HullKind::SailingYacht => {
            let beam_over_draught = if is_long { 4.2 } else { 5.2 };
            (1.04 * 0.392 * length * beam * beam / beam_over_draught, 0.74, 1.35)
        }
        HullKind::RoundBilgeMotor => (0.46 * length * beam * 0.8 * draught, 0.75, 1.35),
        HullKind::CanalBoat => (0.85 * length * beam * draught, 0.88, 1.08),
    };
    f.put(field::hull::DISPLACEMENT, WATER_KG_M3 * volume, low, high);
    let has_two = f.document.integer(field::motor::COUNT).is_some_and(|count| count > 1);
    f.choose(
        field::propeller::ARRANGEMENT,
        match kind {
            // Two shafts leave her beside the keel.
            _ if has_two => PropellerPlace::PBracket,
            HullKind::SailingYacht if is_long => PropellerPlace::Aperture,
            HullKind::SailingYacht => PropellerPlace::PBracket,
            HullKind::RoundBilgeMotor | HullKind::CanalBoat => PropellerPlace::Deadwood,
        },
    );
    Some(())
}
