//! What wrong codes cost: waiting, longer each time, for the device that sent them. When many devices
//! send them, the right code does not suffice any more: the owner has to agree.
//!
//! Takes the time from the caller. Knows no codes.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv6Addr};
use std::time::{Duration, Instant};

/// Wrong codes of one device before it has to wait: the third one costs.
const DEVICE_TRIES: u32 = 3;
/// Wrong codes of all devices together before the owner is asked, against one that changes its address:
/// it costs such a device every chance, and a new phone only a word with the owner.
const TRIES_OF_ALL: u32 = 20;
const FIRST_WAIT: Duration = Duration::from_secs(15);
const LONGEST_WAIT: Duration = Duration::from_secs(15 * 60);
/// Wrong codes are forgotten after this time without another.
const FORGOTTEN_AFTER: Duration = Duration::from_secs(60 * 60);
/// Devices remembered; beyond that the one whose last wrong code is longest ago is dropped.
const MOST_DEVICES: usize = 256;

/// What became of an attempt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// The code is right.
    LetIn,
    /// The code is right, but so many wrong ones came before that the owner has to agree.
    Ask,
    /// The code is wrong; another may be tried.
    Wrong,
    /// Nothing was or will be looked at for this long.
    Wait(Duration),
}

#[derive(Debug, Clone, Copy)]
struct Failures {
    count: u32,
    last: Instant,
}

impl Failures {
    fn wait_from(self, now: Instant, free_tries: u32) -> Option<Duration> {
        let beyond = self.count.checked_sub(free_tries)?;
        let wait = FIRST_WAIT.saturating_mul(2_u32.saturating_pow(beyond)).min(LONGEST_WAIT);
        wait.checked_sub(now.saturating_duration_since(self.last)).filter(|left| !left.is_zero())
    }

    fn is_forgotten(self, now: Instant) -> bool {
        now.saturating_duration_since(self.last) >= FORGOTTEN_AFTER
    }
}

/// Wrong codes so far.
#[derive(Debug, Default)]
pub(crate) struct Limiter {
    devices: HashMap<IpAddr, Failures>,
    all: Option<Failures>,
}

impl Limiter {
    /// Judges an attempt. While a device has to wait, the right code is refused like a wrong one:
    /// else guessing could go on.
    pub(crate) fn attempt(&mut self, peer: IpAddr, now: Instant, is_right: impl FnOnce() -> bool) -> Verdict {
        let device = device_of(peer);
        self.forget(now);
        if let Some(wait) = self.wait(device, now) {
            return Verdict::Wait(wait);
        }
        if is_right() {
            self.devices.remove(&device);
            let is_under_attack = self.all.is_some_and(|all| all.count >= TRIES_OF_ALL);
            return if is_under_attack { Verdict::Ask } else { Verdict::LetIn };
        }
        self.count(device, now);
        self.wait(device, now).map_or(Verdict::Wrong, Verdict::Wait)
    }

    fn wait(&self, device: IpAddr, now: Instant) -> Option<Duration> {
        self.devices.get(&device).and_then(|f| f.wait_from(now, DEVICE_TRIES))
    }

    /// Addresses that have sent wrong codes, and how many, the most first.
    pub(crate) fn wrong_codes(&self) -> Vec<(IpAddr, u32)> {
        let mut found: Vec<_> = self.devices.iter().map(|(device, f)| (*device, f.count)).collect();
        found.sort_by_key(|(device, count)| (std::cmp::Reverse(*count), *device));
        found
    }

    /// Forgets all wrong codes, because the owner says so.
    pub(crate) fn forget_all(&mut self) {
        *self = Self::default();
    }

    fn count(&mut self, device: IpAddr, now: Instant) {
        if !self.devices.contains_key(&device) && self.devices.len() >= MOST_DEVICES {
            let oldest = self.devices.iter().min_by_key(|(_, f)| f.last).map(|(device, _)| *device);
            oldest.and_then(|device| self.devices.remove(&device));
        }
        let add = |before: Option<Failures>| Failures { count: before.map_or(1, |f| f.count + 1), last: now };
        self.devices.insert(device, add(self.devices.get(&device).copied()));
        self.all = Some(add(self.all));
    }

    fn forget(&mut self, now: Instant) {
        self.devices.retain(|_, f| !f.is_forgotten(now));
        self.all = self.all.filter(|f| !f.is_forgotten(now));
    }
}

/// A device can take any address of its /64 network, so that is what is counted.
fn device_of(peer: IpAddr) -> IpAddr {
    match peer.to_canonical() {
        IpAddr::V6(v6) => IpAddr::V6(Ipv6Addr::from_bits(v6.to_bits() & (u128::MAX << 64))),
        v4 => v4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn peer(n: u32) -> IpAddr {
        IpAddr::V4((0x0a00_0000 + n).into())
    }

    #[test]
    fn the_third_wrong_code_costs_time_and_each_further_one_twice_as_much() {
        let mut limiter = Limiter::default();
        let mut now = Instant::now();
        assert_eq!(limiter.attempt(peer(1), now, || false), Verdict::Wrong);
        assert_eq!(limiter.attempt(peer(1), now, || false), Verdict::Wrong);
        for seconds in [15, 30, 60, 120, 240, 480, 900, 900] {
            let wait = Duration::from_secs(seconds);
            assert_eq!(limiter.attempt(peer(1), now, || false), Verdict::Wait(wait));
            let asked = limiter.attempt(peer(1), now + wait / 2, || unreachable!("not looked at"));
            assert_eq!(asked, Verdict::Wait(wait / 2));
            now += wait;
        }
        assert_eq!(limiter.attempt(peer(2), now, || true), Verdict::LetIn, "others are not held up");
        assert_eq!(limiter.attempt(peer(1), now, || true), Verdict::LetIn);
        assert_eq!(limiter.attempt(peer(1), now, || false), Verdict::Wrong, "begins anew");
    }

    #[test]
    fn changing_the_address_does_not_help_and_keeps_nobody_out() {
        let mut limiter = Limiter::default();
        let now = Instant::now();
        for n in 1..=TRIES_OF_ALL {
            assert_eq!(limiter.attempt(peer(n), now, || false), Verdict::Wrong);
        }
        assert_eq!(limiter.attempt(peer(100), now, || true), Verdict::Ask);
        assert_eq!(limiter.wrong_codes().len(), TRIES_OF_ALL as usize);
        limiter.forget_all();
        assert_eq!(limiter.attempt(peer(100), now, || true), Verdict::LetIn);
        let v6 = |a: &str| device_of(a.parse().unwrap());
        assert_eq!(v6("fd00::1:2:3:4"), v6("fd00::9:9:9:9"));
        assert_eq!(v6("::ffff:10.0.0.1"), peer(1));
    }

    #[test]
    fn wrong_codes_are_forgotten_and_memory_is_bounded() {
        let mut limiter = Limiter::default();
        let mut now = Instant::now();
        for n in 0..2000 {
            now += LONGEST_WAIT;
            limiter.all = None;
            limiter.attempt(peer(n), now, || false);
            limiter.devices.values_mut().for_each(|f| f.last = now);
        }
        assert_eq!(limiter.devices.len(), MOST_DEVICES);
        assert_eq!(limiter.attempt(peer(5000), now + FORGOTTEN_AFTER, || false), Verdict::Wrong);
        assert_eq!(limiter.devices.len(), 1);
    }

    /// How far guessing gets: no code lets anybody in once the owner is asked.
    #[test]
    fn guessing_ends_with_the_owner() {
        let mut limiter = Limiter::default();
        let now = Instant::now();
        let chances = (0..100_000).take_while(|n| {
            limiter.attempt(peer(*n), now, || false);
            limiter.all.is_some_and(|all| all.count < TRIES_OF_ALL)
        });
        let share = chances.count() as f64 / 25_f64.powi(8);
        assert!(share < 1e-9, "{share:.1e}");
    }
}
