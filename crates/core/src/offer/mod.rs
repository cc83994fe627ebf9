//! What an offer says in figures: money to the cent, a year of energy against the engine that was taken out,
//! alternatives side by side. Not for: prices, of which none is built in.

mod fuel;
mod money;
mod sheets;
mod study;

pub use fuel::{CARBON_KG_M3, carbon_kg, fuel_energy_j_m3, fuel_heat_j, fuel_volume_m3};
pub use money::Money;
pub use sheets::OFFER_SHEETS;
pub use study::{Choice, Drawn, OfferStudy, Part, Priced, Sum, Year, YearAsked, sums};
