//! Who is asking: the device, by a cookie of its own, and how it wants the page to look.
//! Not for: letting anybody in (that is the guard's).

use axum::http::HeaderMap;
use axum::http::header::COOKIE;
use wakewright_units::UnitSystem;

const THEME_COOKIE: &str = "wakewright_theme";
const DEVICE_COOKIE: &str = "wakewright_device";
const WIDTH_COOKIE: &str = "wakewright_width";
const UNITS_COOKIE: &str = "wakewright_units";

/// Units that pages are written in, by the words of the switch.
pub const UNITS: [(&str, UnitSystem); 3] =
    [("trade", UnitSystem::Trade), ("metric", UnitSystem::Metric), ("US", UnitSystem::Us)];

tokio::task_local! {
    /// Units of whoever is answered, from the request to where its answer is computed.
    pub static ASKED_IN: UnitSystem;
}
/// Browsers cap the life of a cookie at 400 days.
const COOKIE_LIFE: &str = "Max-Age=34560000; SameSite=Strict; Path=/";

/// Width that pictures are laid out for until the browser has given its own, px.
const FIRST_WIDTH_PX: f64 = 720.0;

/// Colours of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// As the device is set.
    #[default]
    Device,
    /// Paper and ink.
    Light,
    /// Ink as ground.
    Dark,
    /// Dim red, for use on deck.
    Night,
}

impl Theme {
    /// All, in the order of the switch.
    pub const ALL: [Self; 4] = [Self::Device, Self::Light, Self::Dark, Self::Night];

    /// The word in cookie, form and switch.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Device => "device",
            Self::Light => "light",
            Self::Dark => "dark",
            Self::Night => "night",
        }
    }

    /// From its word; anything else is [`Theme::Device`].
    pub fn from_word(word: &str) -> Self {
        Self::ALL.into_iter().find(|theme| theme.word() == word).unwrap_or_default()
    }
}

/// A device that asks for a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Visitor {
    /// Colours it chose.
    pub theme: Theme,
    /// Its own name, random.
    pub device: String,
    /// Whether it was named just now and has to be said.
    pub is_new: bool,
    /// Width of its page's contents, px.
    pub width_px: f64,
    /// Whether its pages run scripts: one told the width.
    pub has_script: bool,
    /// Units it chose.
    pub units: UnitSystem,
}

impl Visitor {
    /// From the cookies of a request.
    pub fn from_headers(headers: &HeaderMap) -> Self {
        let device = cookie(headers, DEVICE_COOKIE).filter(|name| is_device_name(name));
        let width = cookie(headers, WIDTH_COOKIE).and_then(|text| text.parse::<f64>().ok());
        Self {
            theme: cookie(headers, THEME_COOKIE).map_or(Theme::Device, Theme::from_word),
            is_new: device.is_none(),
            device: device.map_or_else(random_name, str::to_owned),
            units: cookie(headers, UNITS_COOKIE).map_or(UnitSystem::default(), units_of),
            has_script: width.is_some(),
            width_px: width.filter(|w| w.is_finite()).map_or(FIRST_WIDTH_PX, |w| w.clamp(320.0, 1600.0)),
        }
    }

    /// The `Set-Cookie` that names the device.
    pub fn device_cookie(&self) -> String {
        format!("{DEVICE_COOKIE}={}; HttpOnly; {COOKIE_LIFE}", self.device)
    }
}

/// The `Set-Cookie` that keeps a choice of colours.
pub fn theme_cookie(theme: Theme) -> String {
    format!("{THEME_COOKIE}={}; {COOKIE_LIFE}", theme.word())
}

/// Units by the word of the switch; anything else is the trade's.
fn units_of(word: &str) -> UnitSystem {
    UNITS.into_iter().find(|(known, _)| *known == word).map_or(UnitSystem::Trade, |(_, units)| units)
}

/// The word of the switch.
pub fn units_word(units: UnitSystem) -> &'static str {
    UNITS.into_iter().find(|(_, known)| *known == units).map_or("", |(word, _)| word)
}

/// The `Set-Cookie` that keeps a choice of units.
pub fn units_cookie(word: &str) -> String {
    format!("{UNITS_COOKIE}={}; {COOKIE_LIFE}", units_word(units_of(word)))
}

/// Sixteen random hex digits, to tell devices and drafts apart; it guards nothing.
pub fn random_name() -> String {
    let mut bytes = [0; 8];
    // Without randomness all devices share one name, and only lose the telling apart.
    let _ = getrandom::fill(&mut bytes);
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Whether `name` is one that [`random_name`] gives.
pub fn is_device_name(name: &str) -> bool {
    name.len() == 16 && name.bytes().all(|byte| byte.is_ascii_hexdigit())
}

fn cookie<'h>(headers: &'h HeaderMap, wanted: &str) -> Option<&'h str> {
    headers
        .get_all(COOKIE)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find_map(|(name, value)| (name == wanted).then_some(value))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(cookies: &str) -> Visitor {
        Visitor::from_headers(&HeaderMap::from_iter([(COOKIE, cookies.parse().unwrap())]))
    }

    #[test]
    fn cookies_say_how_the_page_looks_and_nonsense_does_not() {
        let visitor = with(
            "a=b; wakewright_theme=night; wakewright_device=0123456789abcdef; wakewright_width=332; wakewright_units=US",
        );
        assert_eq!((visitor.theme, visitor.is_new, visitor.width_px), (Theme::Night, false, 332.0));
        assert_eq!(visitor.units, UnitSystem::Us);
        let odd = with("wakewright_theme=\"><script>; wakewright_device=../../x; wakewright_width=NaN");
        assert_eq!((odd.theme, odd.is_new, odd.width_px), (Theme::Device, true, FIRST_WIDTH_PX));
        assert!(is_device_name(&odd.device));
    }
}
