//! Devices that know the code and wait for the owner's word. Kept in memory only.

use std::net::IpAddr;

use axum::http::HeaderMap;

use crate::config::GuardError;
use crate::session::{Token, cookie_values, hex, random_token, token_from};

/// Devices that may wait at once; the one that came first makes room.
const MOST_WAITING: usize = 8;

#[derive(Debug, Clone)]
struct Waiting {
    token: Token,
    /// What the owner sees: the address, and two letters that both screens show.
    peer: IpAddr,
    is_let_in: bool,
}

/// The devices that wait, in the order in which they came.
#[derive(Debug)]
pub(crate) struct WaitingRoom {
    cookie_name: String,
    devices: Vec<Waiting>,
}

impl WaitingRoom {
    pub(crate) fn new(port: u16) -> Self {
        Self { cookie_name: format!("wakewright_{port}_wait"), devices: Vec::new() }
    }

    /// Takes a device in; gives the value for its `Set-Cookie` header and the word to compare.
    pub(crate) fn enter(&mut self, peer: IpAddr) -> Result<(String, String), GuardError> {
        let token = random_token()?;
        if self.devices.len() >= MOST_WAITING {
            self.devices.remove(0);
        }
        self.devices.push(Waiting { token, peer, is_let_in: false });
        let cookie = format!("{}={}; HttpOnly; SameSite=Strict; Path=/enter", self.cookie_name, hex(&token));
        Ok((cookie, word(&token)))
    }

    /// The word of the device that shows its cookie, and whether it was let in meanwhile; then it waits
    /// no longer.
    pub(crate) fn ask(&mut self, headers: &HeaderMap) -> Option<(String, bool)> {
        let shown: Vec<Token> = cookie_values(headers, &self.cookie_name).filter_map(token_from).collect();
        let place = self.devices.iter().position(|waiting| shown.contains(&waiting.token))?;
        let found = (word(&self.devices[place].token), self.devices[place].is_let_in);
        if found.1 {
            self.devices.remove(place);
        }
        Some(found)
    }

    /// Address and word of each that waits.
    pub(crate) fn list(&self) -> Vec<(IpAddr, String)> {
        let waiting = self.devices.iter().filter(|waiting| !waiting.is_let_in);
        waiting.map(|waiting| (waiting.peer, word(&waiting.token))).collect()
    }

    /// The owner lets the device of this word in.
    pub(crate) fn let_in(&mut self, chosen: &str) {
        for waiting in self.devices.iter_mut().filter(|waiting| word(&waiting.token) == chosen) {
            waiting.is_let_in = true;
        }
    }
}

/// Four digits of the token's start, in hex: enough to tell eight devices apart, and nothing of what
/// the cookie rests on.
fn word(token: &Token) -> String {
    hex(token).chars().take(4).collect::<String>().to_uppercase()
}
