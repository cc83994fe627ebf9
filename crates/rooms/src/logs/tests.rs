//! What is asked of logs and remembered of them.
use std::io::Write;

use flate2::Compression;
use flate2::write::GzEncoder;
use proptest::prelude::*;

use super::*;

/// Inputs, unless `WAKEWRIGHT_FUZZ_INPUTS` says another number.
fn inputs() -> u32 {
    std::env::var("WAKEWRIGHT_FUZZ_INPUTS").ok().and_then(|text| text.parse().ok()).unwrap_or(2000)
}

fn packed(plain: &[u8], level: u32) -> Vec<u8> {
    let mut packer = GzEncoder::new(Vec::new(), Compression::new(level));
    packer.write_all(plain).unwrap();
    packer.finish().unwrap()
}

const TABLE: &str =
    "time,volts,amps,speed kn\n2026-05-02 14:05:00,51.2,40.5,4.1\n2026-05-02 14:05:01,51.3,40.1,4.2\n";

#[test]
fn a_file_packed_in_two_pieces_is_read_whole() {
    let (first, second) = TABLE.split_at(40);
    let bytes = [packed(first.as_bytes(), 9), packed(second.as_bytes(), 1)].concat();
    let log = read("two.csv.gz", bytes.as_slice(), &[]).log.unwrap();
    assert!(log.channels.iter().all(|channel| channel.values.len() == 2));
}

#[test]
fn what_never_ends_is_refused() {
    let error = read("endless.nmea", std::io::repeat(b'$'), &[]).log.unwrap_err();
    assert!(error.contains("no line is understood"), "{error}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: inputs(), failure_persistence: None, ..ProptestConfig::default() })]

    /// Packed files with bytes changed and their end cut off: read as far as that goes, or refused.
    #[test]
    fn packed_files(
        level in 0_u32..10,
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        kept in any::<prop::sample::Index>(),
    ) {
        let mut bytes = packed(TABLE.repeat(8).as_bytes(), level);
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        bytes.truncate(kept.index(bytes.len() + 1));
        let _ = read("spoilt.csv.gz", bytes.as_slice(), &[]);
    }
}
