//! Sessions: devices that have shown the code, told by a random cookie. Kept in memory only, so that
//! they end with the program.

use axum::http::HeaderMap;
use axum::http::header::COOKIE;
use subtle::ConstantTimeEq;

use crate::config::GuardError;

const TOKEN_BYTES: usize = 32;
/// Devices let in at once; the one unused for longest makes room.
const MOST_SESSIONS: usize = 16;

pub(crate) type Token = [u8; TOKEN_BYTES];

/// A new token from the system's random source.
pub(crate) fn random_token() -> Result<Token, GuardError> {
    let mut token = [0; TOKEN_BYTES];
    getrandom::fill(&mut token).map_err(GuardError::NoRandomness)?;
    Ok(token)
}

pub(crate) fn hex(token: &Token) -> String {
    token.iter().map(|b| format!("{b:02x}")).collect()
}

/// The values of the cookies of this name.
pub(crate) fn cookie_values<'h>(headers: &'h HeaderMap, name: &'h str) -> impl Iterator<Item = &'h str> {
    let cookies = headers.get_all(COOKIE).iter().filter_map(|line| line.to_str().ok());
    cookies
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .filter(move |(found, _)| *found == name)
        .map(|(_, value)| value)
}

/// The devices let in, the one used last at the end.
#[derive(Debug)]
pub(crate) struct Sessions {
    cookie_name: String,
    tokens: Vec<Token>,
}

impl Sessions {
    /// Cookies do not know ports, so the name carries it: two programs on one host keep apart.
    pub(crate) fn new(port: u16) -> Self {
        Self { cookie_name: format!("wakewright_{port}"), tokens: Vec::new() }
    }

    /// Lets a device in; gives the value for its `Set-Cookie` header.
    pub(crate) fn begin(&mut self) -> Result<String, GuardError> {
        let token = random_token()?;
        if self.tokens.len() >= MOST_SESSIONS {
            self.tokens.remove(0);
        }
        self.tokens.push(token);
        let value = hex(&token);
        // Not `Secure`: there is no encryption on the boat's network to ask for.
        Ok(format!("{}={value}; HttpOnly; SameSite=Strict; Path=/", self.cookie_name))
    }

    /// Whether the request shows the cookie of a device that was let in.
    pub(crate) fn knows(&mut self, headers: &HeaderMap) -> bool {
        let shown: Vec<Token> = cookie_values(headers, &self.cookie_name).filter_map(token_from).collect();
        let known = self.tokens.iter().rposition(|t| shown.iter().any(|s| t.ct_eq(s).into()));
        if let Some(place) = known {
            let token = self.tokens.remove(place);
            self.tokens.push(token);
        }
        known.is_some()
    }
}

pub(crate) fn token_from(hex: &str) -> Option<Token> {
    let mut token = [0; TOKEN_BYTES];
    if hex.len() != 2 * TOKEN_BYTES || !hex.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    for (place, byte) in token.iter_mut().enumerate() {
        *byte = u8::from_str_radix(hex.get(2 * place..2 * place + 2)?, 16).ok()?;
    }
    Some(token)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn showing(set_cookie: &str) -> HeaderMap {
        let pair = set_cookie.split(';').next().unwrap();
        HeaderMap::from_iter([(COOKIE, format!("other=1; {pair}").parse().unwrap())])
    }

    #[test]
    fn a_device_is_known_by_its_cookie_until_it_has_to_make_room() {
        let mut sessions = Sessions::new(8321);
        let mine = sessions.begin().unwrap();
        assert!(
            mine.starts_with("wakewright_8321=") && mine.ends_with("; HttpOnly; SameSite=Strict; Path=/")
        );
        let unused = sessions.begin().unwrap();
        for _ in 0..MOST_SESSIONS - 2 {
            sessions.begin().unwrap();
        }
        assert!(sessions.knows(&showing(&mine)), "and is now the one used last");
        sessions.begin().unwrap();
        assert!(!sessions.knows(&showing(&unused)));
        assert!(sessions.knows(&showing(&mine)));
        assert_eq!(sessions.tokens.len(), MOST_SESSIONS);
    }

    #[test]
    fn other_cookies_let_nobody_in() {
        let mut sessions = Sessions::new(8321);
        let mine = sessions.begin().unwrap();
        let value = &mine["wakewright_8321=".len()..][..64];
        for wrong in [
            format!("wakewright_8322={value}"),
            format!("wakewright_8321={}", &value[..62]),
            format!("wakewright_8321={}", "0".repeat(64)),
            format!("wakewright_8321={}", "é".repeat(32)),
            "wakewright_8321".to_owned(),
        ] {
            let headers = HeaderMap::from_iter([(COOKIE, wrong.parse().unwrap())]);
            assert!(!sessions.knows(&headers), "{wrong}");
        }
        assert!(!sessions.knows(&HeaderMap::new()));
    }
}
